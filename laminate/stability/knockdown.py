"""What imperfections and flattening take from the buckling load of a perfect tube."""

import numpy as np
from numpy.typing import ArrayLike

from laminate.stability.inputs import length, wall_stiffness
from materials.checks import Array, common_shape, reject

TORSION_KNOCKDOWN = 0.67
"""Factor on the torsion buckling load of a moderately long tube [-]."""

THINNEST = 1500.0
"""Largest radius over equivalent thickness the factors were drawn from [-]."""


def compression_knockdown(abd: ArrayLike, radius: ArrayLike) -> Array:
    """Lower bound of tests over theory for tubes in axial compression.

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        Stiffness of the wall [N/m, N, N m].
    radius : array_like, shape (...)
        Radius of the mid surface [m].

    Returns
    -------
    ndarray, shape (...)
        gamma [-].

    Raises
    ------
    ValueError
        If abd cannot be a stiffness, the radius is not positive, or the wall is thinner than the tests.

    Notes
    -----
    gamma = 1 - 0.901 (1 - exp(-sqrt(R/h)/16)), with the equivalent thickness h of an orthotropic wall,
    h = sqrt(12) (D11 D22 / (A11 A22))^(1/4); R/h up to 1500.

    References
    ----------
    V. I. Weingarten, P. Seide, J. P. Peterson, Buckling of Thin-Walled Circular Cylinders, NASA SP-8007,
    1968; from memory.
    """
    return 1.0 - 0.901 * _exponential(abd, radius)


def bending_knockdown(abd: ArrayLike, radius: ArrayLike) -> Array:
    """Lower bound of tests over theory for tubes in bending.

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        Stiffness of the wall [N/m, N, N m].
    radius : array_like, shape (...)
        Radius of the mid surface [m].

    Returns
    -------
    ndarray, shape (...)
        gamma [-].

    Raises
    ------
    ValueError
        If abd cannot be a stiffness, the radius is not positive, or the wall is thinner than the tests.

    Notes
    -----
    gamma = 1 - 0.731 (1 - exp(-sqrt(R/h)/16)); h and source as for `compression_knockdown`.
    """
    return 1.0 - 0.731 * _exponential(abd, radius)


def _exponential(abd: ArrayLike, radius: ArrayLike) -> Array:
    stiffness, r = wall_stiffness(abd), length("radius [m]", radius)
    common_shape("abd and radius", stiffness.shape[:-2], r.shape)
    A11, A22, D11, D22 = (stiffness[..., i, i] for i in (0, 1, 3, 4))
    thinness = r / (np.sqrt(12.0) * (D11 * D22 / (A11 * A22)) ** 0.25)
    if not (thinness <= THINNEST).all():
        reject("radius / equivalent thickness [-]", f"{thinness.max():.4g}", f"<= {THINNEST:g}")
    return 1.0 - np.exp(-np.sqrt(thinness) / 16.0)


def brazier_moment(abd: ArrayLike, radius: ArrayLike) -> Array:
    """Bending moment at which a long tube flattens and gives way.

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        Stiffness of the wall [N/m, N, N m].
    radius : array_like, shape (...)
        Radius of the mid surface [m].

    Returns
    -------
    ndarray, shape (...)
        Largest moment [N m].

    Raises
    ------
    ValueError
        If abd cannot be a stiffness, or the radius is not positive.

    Notes
    -----
    M = (4 pi/3) sqrt(2/3) R sqrt(Ex h D22), from the strain energy of a tube bent and ovalized by zeta,
    (pi/2) Ex h R^3 kappa^2 (1 - 3 zeta/2) + (9 pi/2) D22 zeta^2 / R. For an isotropic wall
    (2 sqrt(2) pi/9) E R h^2/sqrt(1 - nu^2), as Brazier found.

    References
    ----------
    L. G. Brazier, "On the flexure of thin cylindrical shells and other thin sections", Proc. R. Soc. A 116
    (1927) 104-114.
    """
    stiffness, r = wall_stiffness(abd), length("radius [m]", radius)
    common_shape("brazier_moment: abd and radius", stiffness.shape[:-2], r.shape)
    membrane = 1.0 / np.linalg.inv(stiffness[..., :3, :3])[..., 0, 0]
    return 4.0 * np.pi / 3.0 * np.sqrt(2.0 / 3.0) * r * np.sqrt(membrane * stiffness[..., 4, 4])
