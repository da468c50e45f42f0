"""Lamination parameters: all that ABD of a stack of one material knows of its angles.

The twelve numbers lie between -1 and 1, and A, B, D are linear in them; this is why stiffness design
is often done in their space.
"""

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import cosdg, sindg

from laminate.plate import ROUNDING, interfaces, unit_diagonal
from materials.checks import Array, array, common_shape, reject


def lamination_parameters(angle_deg: ArrayLike, thickness: ArrayLike) -> Array:
    """Lamination parameters of a stack.

    Parameters
    ----------
    angle_deg : array_like, shape (..., ply)
        Fiber angles, ply 0 at z = -h/2 [deg].
    thickness : array_like, shape (..., ply)
        Ply thicknesses [m].

    Returns
    -------
    ndarray, shape (..., 3, 4)
        Rows for A, B, D; columns cos 2 theta, cos 4 theta, sin 2 theta, sin 4 theta [-].

    Raises
    ------
    ValueError
        If the two differ in the number of plies, or a thickness is negative.

    Notes
    -----
    With u = 2 z / h: (1/2) integral of f du, (2/2) integral of u f du, (3/2) integral of u^2 f du, -1 to 1.

    References
    ----------
    S. W. Tsai, H. T. Hahn, Introduction to Composite Materials, 1980, ch. 4 and 5; H. Miki, Y. Sugiyama,
    Optimum design of laminated composite plates using lamination parameters, AIAA Journal 31 (1993) 921.
    """
    theta = array("lamination_parameters: angle_deg [deg]", angle_deg, last=(-1,), copy=False)
    z = interfaces(thickness)
    if theta.shape[-1] != z.shape[-1] - 1:
        reject(
            "lamination_parameters: angle_deg and thickness",
            f"{theta.shape[-1]} and {z.shape[-1] - 1} plies",
            "as many",
        )
    common_shape("angle_deg and thickness, leading", theta.shape[:-1], z.shape[:-1])
    u = z / z[..., -1:]
    f = np.stack([cosdg(2 * theta), cosdg(4 * theta), sindg(2 * theta), sindg(4 * theta)], axis=-1)
    weight = np.stack([np.diff(u) / 2, np.diff(u * u) / 2, np.diff(u**3) / 2], axis=-2)
    return weight @ f


def abd_of_parameters(parameters: ArrayLike, invariants: ArrayLike, thickness: ArrayLike) -> Array:
    """Stiffness of a stack of one material from its lamination parameters.

    Parameters
    ----------
    parameters : array_like, shape (..., 3, 4)
        As `lamination_parameters` gives them [-].
    invariants : array_like, shape (..., 5)
        U1 ... U5 of the ply [Pa].
    thickness : array_like, shape (...)
        Thickness of the stack [m].

    Returns
    -------
    ndarray, shape (..., 6, 6)
        ABD [N/m], [N], [N m].

    Raises
    ------
    ValueError
        If an array does not fit, a parameter is outside -1 to 1, the thickness is not positive, or no
        stack can have the parameters, because the stiffness would not be positive definite.
    """
    xi = array("abd_of_parameters: parameters [-]", parameters, last=(3, 4), copy=False)
    U = array("abd_of_parameters: invariants [Pa]", invariants, last=(5,), copy=False)
    h = array("abd_of_parameters: thickness [m]", thickness, copy=False)
    if not (abs(xi) <= 1 + ROUNDING).all():
        worst = xi.flat[abs(xi).argmax()]
        reject("abd_of_parameters: parameters [-]", f"{worst:g}", "from -1 to 1")
    if not (h > 0).all():
        reject("abd_of_parameters: thickness [m]", f"{h.min():g}", "> 0")
    lead = common_shape("parameters, invariants, thickness, leading", xi.shape[:-2], U.shape[:-1], h.shape)
    U1, U2, U3, U4, U5 = (U[..., i, None] for i in range(5))
    c2, c4, s2, s4 = (xi[..., i] for i in range(4))
    one = np.array([1.0, 0.0, 1.0])  # the constant part of B integrates to zero
    K = np.empty((*lead, 3, 3, 3))
    K[..., 0, 0] = U1 * one + U2 * c2 + U3 * c4
    K[..., 1, 1] = U1 * one - U2 * c2 + U3 * c4
    K[..., 0, 1] = K[..., 1, 0] = U4 * one - U3 * c4
    K[..., 2, 2] = U5 * one - U3 * c4
    K[..., 0, 2] = K[..., 2, 0] = U2 * s2 / 2 + U3 * s4
    K[..., 1, 2] = K[..., 2, 1] = U2 * s2 / 2 - U3 * s4
    A, B, D = (
        K[..., i, :, :] * (h**p / d)[..., None, None] for i, p, d in ((0, 1, 1), (1, 2, 4), (2, 3, 12))
    )
    out = np.concatenate([np.concatenate([A, B], axis=-1), np.concatenate([B, D], axis=-1)], axis=-2)
    unit_diagonal("abd_of_parameters: stiffness of these parameters and invariants", out)
    return out
