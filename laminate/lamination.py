"""Lamination parameters: the twelve numbers through which the angles of a stack of one material enter A, B, D.

They lie between -1 and 1, and A, B, D are linear in them. Stiffness is often optimized in their space.
"""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from laminate.lamina_stiffness import cos_sin
from laminate.plate import blocks, interfaces
from materials.checks import Array, Limits, checked_together, reject

__all__ = ["abd_of_parameters", "lamination_parameters"]

ROUNDING = 1e-8
"""How far beyond -1 or 1 rounding may put a lamination parameter [-]."""
WITHIN = Limits("-", last=(3, 4), at_least=-1 - ROUNDING, at_most=1 + ROUNDING)


@checked_together
def lamination_parameters(
    angle_deg: Annotated[ArrayLike, Limits("deg", last=(-1,))],
    thickness: Annotated[ArrayLike, Limits("m", last=(-1,), at_least=0.0)],
) -> Array:
    """Lamination parameters of a stack.

    Parameters
    ----------
    angle_deg : array_like, shape (..., ply)
        Fiber angles, ply 0 at z = -h/2 [deg].
    thickness : array_like, shape (..., ply)
        Ply thicknesses; zero leaves a ply out [m].

    Returns
    -------
    ndarray, shape (..., 3, 4)
        Rows for A, B, D; columns cos 2 theta, cos 4 theta, sin 2 theta, sin 4 theta [-].

    Raises
    ------
    ValueError
        If the two differ in the number of plies, a thickness is negative, or all are zero.

    Notes
    -----
    With u = 2 z / h: (1/2) integral of f du, (2/2) integral of u f du, (3/2) integral of u^2 f du, -1 to 1.

    References
    ----------
    S. W. Tsai, H. T. Hahn, Introduction to Composite Materials, 1980, ch. 4 and 5; M. Miki, Y. Sugiyama,
    Optimum design of laminated composite plates using lamination parameters, AIAA Journal 31 (1993) 921.

    Examples
    --------
    >>> lamination_parameters([0.0, 90.0, 90.0, 0.0], [1e-4] * 4)[2, :2].round(3)  # cos 2 theta, cos 4 theta of D
    array([0.75, 1.  ])
    """
    theta, t = np.asarray(angle_deg), np.asarray(thickness)
    if theta.shape[-1] != t.shape[-1]:
        plies = f"{theta.shape[-1]} and {t.shape[-1]} plies"
        reject("lamination_parameters: angle_deg and thickness", plies, "as many")
    if not t.any(axis=-1).all():
        reject("lamination_parameters: thickness [m]", "zero for all plies of a stack", "> 0 for one of them")
    z = interfaces(t)
    u = z / z[..., -1:]
    (c2, s2), (c4, s4) = cos_sin(2 * theta), cos_sin(4 * theta)
    weight = np.stack([np.diff(u) / 2, np.diff(u * u) / 2, np.diff(u**3) / 2], axis=-2)
    return weight @ np.stack([c2, c4, s2, s4], axis=-1)


@checked_together
def abd_of_parameters(
    parameters: Annotated[ArrayLike, WITHIN],
    invariants: Annotated[ArrayLike, Limits("Pa", last=(5,))],
    thickness: Annotated[ArrayLike, Limits("m", above=0.0)],
) -> Array:
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

    Notes
    -----
    E.g. A11 = h (U1 + U2 xi1 + U3 xi2), B11 = (h^2/4) (U2 xi1 + U3 xi2), D11 = (h^3/12) (U1 + U2 xi1 + U3 xi2)
    with the row xi of A, of B and of D.

    Examples
    --------
    >>> from laminate import invariants, q_reduced
    >>> U = invariants(q_reduced(181e9, 10.3e9, 7.17e9, 0.28))
    >>> quasi_isotropic = np.zeros((3, 4))
    >>> float(abd_of_parameters(quasi_isotropic, U, 1e-3)[0, 0].round(-4)) / 1e6  # [MN/m]
    76.37
    """
    xi, U, h = np.asarray(parameters), np.asarray(invariants), np.asarray(thickness)
    lead = np.broadcast_shapes(xi.shape[:-2], U.shape[:-1], h.shape)
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
    rows = ((0, 1, 1), (1, 2, 4), (2, 3, 12))
    out = blocks(*(K[..., i, :, :] * (h**power / d)[..., None, None] for i, power, d in rows))
    Limits(definite=True).hold("abd_of_parameters: stiffness of these parameters and invariants", out)
    return out
