"""Stiffness of one ply in plane stress: reduced, rotated, its invariants and off-axis moduli.

::

        y                      ply axes 1 (fiber), 2 (transverse) are the laminate axes x, y
        |   2      1           turned by the fiber angle theta about z, positive from x to y
        |    \\   /
        |     \\ /) theta
        +------+---- x
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import cosdg, sindg

from laminate.plate import unit_diagonal
from materials.checks import Array, array, common_shape, reject


class OffAxisModuli(NamedTuple):
    """Engineering constants along axes turned from the fiber.

    Attributes
    ----------
    Ex, Ey, Gxy : ndarray, shape (...)
        Young's and shear moduli [Pa].
    nu_xy, nu_yx : ndarray, shape (...)
        Poisson's ratios: -strain across / strain along, for stress along the first axis [-].
    eta_xy_x, eta_xy_y : ndarray, shape (...)
        Shear strain / extension along x (y) under stress along x (y) alone [-].
    """

    Ex: Array
    Ey: Array
    Gxy: Array
    nu_xy: Array
    nu_yx: Array
    eta_xy_x: Array
    eta_xy_y: Array


def q_reduced(E1: ArrayLike, E2: ArrayLike, G12: ArrayLike, nu12: ArrayLike) -> Array:
    """Plane-stress stiffness in ply axes.

    Parameters
    ----------
    E1, E2, G12 : array_like, shape (...)
        Moduli along and across the fiber and in shear [Pa].
    nu12 : array_like, shape (...)
        Major Poisson's ratio [-].

    Returns
    -------
    ndarray, shape (..., 3, 3)
        Q in (s1, s2, t12) = Q (e1, e2, g12) [Pa].

    Raises
    ------
    ValueError
        If a modulus is not positive, nu12 breaks nu12^2 < E1/E2, or the shapes do not fit.

    Notes
    -----
    Q11 = E1 / (1 - nu12 nu21), Q12 = nu12 E2 / (1 - nu12 nu21), Q66 = G12, nu21 = nu12 E2 / E1.

    References
    ----------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999, eq. 2.61.
    """
    E1, E2, G12 = (_positive(f"q_reduced: {n} [Pa]", v) for n, v in (("E1", E1), ("E2", E2), ("G12", G12)))
    nu12 = array("q_reduced: nu12 [-]", nu12, copy=False)
    shape = common_shape("q_reduced: E1, E2, G12, nu12", E1.shape, E2.shape, G12.shape, nu12.shape)
    d = 1 - nu12**2 * E2 / E1
    if not (d > 0).all():
        worst = float(np.max(nu12**2 * E2 / E1))
        reject(
            "q_reduced: nu12**2 E2 / E1 [-]", f"{worst:g}", "< 1", "nu21 in place of nu12, or E1, E2 swapped?"
        )
    Q = np.zeros((*shape, 3, 3))
    Q[..., 0, 0] = E1 / d
    Q[..., 1, 1] = E2 / d
    Q[..., 0, 1] = Q[..., 1, 0] = nu12 * E2 / d
    Q[..., 2, 2] = G12
    return Q


def strain_rotation(angle_deg: ArrayLike) -> Array:
    """Matrix that takes engineering strain from laminate axes to ply axes.

    Its transpose takes stress from ply axes back to laminate axes.

    Parameters
    ----------
    angle_deg : array_like, shape (...)
        Fiber angle from x toward y [deg].

    Returns
    -------
    ndarray, shape (..., 3, 3)
        T in (e1, e2, g12) = T (ex, ey, gxy) [-].

    Raises
    ------
    ValueError
        If an angle is not finite.
    """
    theta = array("strain_rotation: angle_deg [deg]", angle_deg, copy=False)
    c, s = cosdg(theta), sindg(theta)
    T = np.empty((*theta.shape, 3, 3))
    T[..., 0, 0] = T[..., 1, 1] = c * c
    T[..., 0, 1] = T[..., 1, 0] = s * s
    T[..., 0, 2] = c * s
    T[..., 1, 2] = -c * s
    T[..., 2, 0] = -2 * c * s
    T[..., 2, 1] = 2 * c * s
    T[..., 2, 2] = c * c - s * s
    return T


def q_rotated(Q: ArrayLike, angle_deg: ArrayLike) -> Array:
    """Plane-stress stiffness in laminate axes, Q-bar.

    Parameters
    ----------
    Q : array_like, shape (..., 3, 3)
        Stiffness in ply axes [Pa].
    angle_deg : array_like, shape (...)
        Fiber angle from x toward y [deg].

    Returns
    -------
    ndarray, shape (..., 3, 3)
        Q-bar in (sx, sy, txy) = Q-bar (ex, ey, gxy) [Pa].

    Raises
    ------
    ValueError
        If an array does not fit or is not finite.
    """
    Q = array("q_rotated: Q [Pa]", Q, last=(3, 3), copy=False)
    T = strain_rotation(angle_deg)
    common_shape("q_rotated: Q and angle_deg, leading", Q.shape[:-2], T.shape[:-2])
    return T.swapaxes(-1, -2) @ Q @ T


def invariants(Q: ArrayLike) -> Array:
    """Invariants U1 ... U5 of the plane-stress stiffness under rotation.

    Parameters
    ----------
    Q : array_like, shape (..., 3, 3)
        Stiffness in ply axes [Pa].

    Returns
    -------
    ndarray, shape (..., 5)
        U1, U2, U3, U4, U5 [Pa].

    Raises
    ------
    ValueError
        If the array has another shape or is not finite.

    References
    ----------
    S. W. Tsai, N. J. Pagano, Invariant properties of composite materials, in Composite Materials
    Workshop, Technomic 1968; S. W. Tsai, H. T. Hahn, Introduction to Composite Materials, 1980, ch. 3.
    """
    Q = array("invariants: Q [Pa]", Q, last=(3, 3), copy=False)
    Q11, Q12, Q22, Q66 = Q[..., 0, 0], Q[..., 0, 1], Q[..., 1, 1], Q[..., 2, 2]
    return np.stack(
        [
            (3 * Q11 + 3 * Q22 + 2 * Q12 + 4 * Q66) / 8,
            (Q11 - Q22) / 2,
            (Q11 + Q22 - 2 * Q12 - 4 * Q66) / 8,
            (Q11 + Q22 + 6 * Q12 - 4 * Q66) / 8,
            (Q11 + Q22 - 2 * Q12 + 4 * Q66) / 8,
        ],
        axis=-1,
    )


def moduli_of(compliance: ArrayLike) -> OffAxisModuli:
    """Engineering constants that belong to a plane compliance.

    Parameters
    ----------
    compliance : array_like, shape (..., 3, 3)
        S in (ex, ey, gxy) = S (sx, sy, txy) [1/Pa].

    Returns
    -------
    OffAxisModuli
        The constants, each of shape (...), moduli [Pa] and ratios [-].

    Raises
    ------
    ValueError
        If the array has another shape, is not finite, or not symmetric and positive definite.
    """
    S = array("moduli_of: compliance [1/Pa]", compliance, last=(3, 3), copy=False)
    unit_diagonal("moduli_of: compliance [1/Pa]", S)
    Sxx, Syy = S[..., 0, 0], S[..., 1, 1]
    return OffAxisModuli(
        Ex=1 / Sxx,
        Ey=1 / Syy,
        Gxy=1 / S[..., 2, 2],
        nu_xy=-S[..., 1, 0] / Sxx,
        nu_yx=-S[..., 0, 1] / Syy,
        eta_xy_x=S[..., 2, 0] / Sxx,
        eta_xy_y=S[..., 2, 1] / Syy,
    )


def off_axis_moduli(
    E1: ArrayLike, E2: ArrayLike, G12: ArrayLike, nu12: ArrayLike, angle_deg: ArrayLike
) -> OffAxisModuli:
    """Engineering constants of a ply along axes turned from its fiber.

    Parameters
    ----------
    E1, E2, G12 : array_like, shape (...)
        Moduli along and across the fiber and in shear [Pa].
    nu12 : array_like, shape (...)
        Major Poisson's ratio [-].
    angle_deg : array_like, shape (...)
        Fiber angle from x toward y [deg].

    Returns
    -------
    OffAxisModuli
        The constants, each of shape (...), moduli [Pa] and ratios [-].

    Raises
    ------
    ValueError
        As `q_reduced`, or if an angle is not finite.
    """
    return moduli_of(np.linalg.inv(q_rotated(q_reduced(E1, E2, G12, nu12), angle_deg)))


def _positive(what: str, value: ArrayLike) -> Array:
    out = array(what, value, copy=False)
    if not (out > 0).all():
        reject(what, f"{out.min():g}", "> 0")
    return out
