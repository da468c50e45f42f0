"""Stiffness of one ply in plane stress: reduced, rotated, its invariants and off-axis moduli.

::

        y                      ply axes 1 (fiber), 2 (transverse) are the laminate axes x, y
        |   2      1           turned by the fiber angle theta about z, positive from x to y
        |    \\   /
        |     \\ /) theta
        +------+---- x
"""

from typing import Annotated, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, Limits, checked, checked_together, reject

__all__ = ["OffAxisModuli", "q_reduced", "q_rotated", "strain_rotation"]

Modulus = Annotated[ArrayLike, Limits("Pa", above=0.0)]
Angle = Annotated[ArrayLike, Limits("deg")]
Plane = Annotated[ArrayLike, Limits("Pa", last=(3, 3))]


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


@checked_together
def q_reduced(E1: Modulus, E2: Modulus, G12: Modulus, nu12: Annotated[ArrayLike, Limits("-")]) -> Array:
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
    ValueError: if a modulus is not positive, nu12 breaks nu12^2 < E1/E2, or the shapes do not fit.

    Notes
    -----
    Q11 = E1 / (1 - nu12 nu21), Q12 = nu12 E2 / (1 - nu12 nu21), Q66 = G12, nu21 = nu12 E2 / E1.

    References
    ----------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999, eq. 2.61.

    Examples
    --------
    >>> (q_reduced(181e9, 10.3e9, 7.17e9, 0.28) / 1e9).round(2)
    array([[181.81,   2.9 ,   0.  ],
           [  2.9 ,  10.35,   0.  ],
           [  0.  ,   0.  ,   7.17]])
    """
    E1, E2, G12, nu12 = np.broadcast_arrays(E1, E2, G12, nu12)
    d = 1 - nu12**2 * E2 / E1
    if not (d > 0).all():
        cause = "nu21 in place of nu12, or E1, E2 swapped?"
        reject("q_reduced: nu12**2 E2 / E1 [-]", f"{(1 - d).max():g}", "< 1", cause)
    Q = np.zeros((*d.shape, 3, 3))
    Q[..., 0, 0] = E1 / d
    Q[..., 1, 1] = E2 / d
    Q[..., 0, 1] = Q[..., 1, 0] = nu12 * E2 / d
    Q[..., 2, 2] = G12
    return Q


def cos_sin(angle_deg: Array) -> tuple[Array, Array]:
    """Cosine and sine of angles [deg], exact at multiples of 90."""
    from scipy.special import cosdg, sindg  # half of the time of `import laminate` at its top

    return cosdg(angle_deg), sindg(angle_deg)


@checked
def strain_rotation(angle_deg: Angle) -> Array:
    """Matrix that takes engineering strain from laminate axes to ply axes.

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
    ValueError: if an angle is not finite.

    Notes
    -----
    Rows (c^2, s^2, cs), (s^2, c^2, -cs), (-2cs, 2cs, c^2 - s^2) with c, s the cosine and sine of the angle.
    The transpose takes stress from ply axes to laminate axes.

    Examples
    --------
    >>> strain_rotation(30.0).round(3)
    array([[ 0.75 ,  0.25 ,  0.433],
           [ 0.25 ,  0.75 , -0.433],
           [-0.866,  0.866,  0.5  ]])
    """
    c, s = cos_sin(np.asarray(angle_deg))
    T = np.empty((*c.shape, 3, 3))
    T[..., 0, 0] = T[..., 1, 1] = c * c
    T[..., 0, 1] = T[..., 1, 0] = s * s
    T[..., 0, 2] = c * s
    T[..., 1, 2] = -c * s
    T[..., 2, 0] = -2 * c * s
    T[..., 2, 1] = 2 * c * s
    T[..., 2, 2] = c * c - s * s
    return T


@checked_together
def q_rotated(Q: Plane, angle_deg: Angle) -> Array:
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
    ValueError: if an array does not fit or is not finite.

    Notes
    -----
    Q-bar = T^T Q T with T of `strain_rotation`: the strain energy is the same in both axes.

    Examples
    --------
    >>> Q = q_reduced(181e9, 10.3e9, 7.17e9, 0.28)
    >>> (q_rotated(Q, [0.0, 45.0, 90.0])[:, 0, 0] / 1e9).round(2)
    array([181.81,  56.66,  10.35])
    """
    T = strain_rotation(angle_deg)
    return T.swapaxes(-1, -2) @ np.asarray(Q) @ T


def moduli_of(compliance: Array) -> OffAxisModuli:
    """Engineering constants (...) of plane compliances (..., 3, 3) in (ex, ey, gxy) = S (sx, sy, txy)."""
    S = compliance
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
