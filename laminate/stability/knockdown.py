"""From the perfect shell to the design load: knockdown factors of tubes and curved walls."""

import numpy as np
from numpy.typing import ArrayLike

from laminate.stability.inputs import length, wall_stiffness
from laminate.stability.panel import panel_buckling
from laminate.stability.tube import tube_buckling_ratio
from materials.checks import Array, array, common_shape, reject

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
    membrane = 1.0 / np.linalg.inv(stiffness[..., :3, :3])[..., 0, 0]
    return 4.0 * np.pi / 3.0 * np.sqrt(2.0 / 3.0) * r * np.sqrt(membrane * stiffness[..., 4, 4])


def tube_ratio(
    abd: ArrayLike,
    radius: ArrayLike,
    tube_length: ArrayLike,
    Nx: ArrayLike = 0.0,
    Nxy: ArrayLike = 0.0,
    *,
    Nx_bending: ArrayLike = 0.0,
) -> Array:
    """Find the design factor on the load at which a tube buckles, imperfections included.

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        Stiffness of the wall, z outward [N/m, N, N m].
    radius : array_like, shape (...)
        Radius of the mid surface [m].
    tube_length : array_like, shape (...)
        Length between stations that stay round [m].
    Nx : array_like, shape (...)
        Mean axial load per circumference, compression negative [N/m].
    Nxy : array_like, shape (...)
        Shear load from torsion [N/m].
    Nx_bending : array_like, shape (...)
        Largest axial load per circumference from bending, M/(pi R^2); either sign [N/m].

    Returns
    -------
    ndarray, shape (...)
        Factor on all loads together; inf where nothing can buckle the tube [-].

    Raises
    ------
    ValueError
        As `tube_buckling_ratio`, or if the wall is thinner than the tests behind the knockdown factors.
    NotConverged
        As `tube_buckling_ratio`.

    Notes
    -----
    1/R = Nx/min(gamma_c Nc, N_column) + Nb/(gamma_b min(Nc, N_Brazier)) + Nxy/(0.67 Nt), each load alone
    against the perfect tube: a straight line, safe because the set of loads a shell can bear is convex.
    Bending is judged by its largest compression, as if that went all the way round. Tension is not
    credited. The column between the two stations, simply supported, needs no knockdown.
    """
    stiffness, r = wall_stiffness(abd), length("radius [m]", radius)
    axial, shear, bending = (
        array(f"{name} [N/m]", load) for name, load in (("Nx", Nx), ("Nxy", Nxy), ("Nx_bending", Nx_bending))
    )
    span = length("tube_length [m]", tube_length)
    sizes = (stiffness.shape[:-2], r.shape, span.shape)
    common_shape("tube_ratio: abd, sizes and loads", *sizes, axial.shape, shear.shape, bending.shape)
    whole, wall = (tube_buckling_ratio(stiffness, r, span, -1.0, column=c) for c in (True, False))
    compression = np.minimum(whole, compression_knockdown(stiffness, r) * wall)
    flattening = brazier_moment(stiffness, r) / (np.pi * r**2)
    used = np.maximum(-axial, 0.0) / compression
    used = used + abs(bending) / (bending_knockdown(stiffness, r) * np.minimum(wall, flattening))
    for sense in (1.0, -1.0):
        acting = np.maximum(sense * shear, 0.0)
        if acting.any():
            torsion = tube_buckling_ratio(stiffness, r, span, 0.0, sense)
            used = used + acting / (TORSION_KNOCKDOWN * torsion)
    with np.errstate(divide="ignore", over="ignore"):
        return np.asarray(1.0 / used)


def curved_wall_ratio(
    abd: ArrayLike,
    width: ArrayLike,
    radius: ArrayLike,
    Nx: ArrayLike = 0.0,
    Nxy: ArrayLike = 0.0,
    *,
    longest_half_wave: ArrayLike = np.inf,
    terms: int = 12,
) -> Array:
    """Find the design factor on the load at which a long curved wall buckles, imperfections included.

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        Stiffness of the wall [N/m, N, N m].
    width : array_like, shape (...)
        Width between the long edges, along the arc [m].
    radius : array_like, shape (...)
        Radius of the mid surface [m].
    Nx : array_like, shape (...)
        Load along the span, compression negative [N/m].
    Nxy : array_like, shape (...)
        Shear load [N/m].
    longest_half_wave : array_like, shape (...)
        Longest half wave that fits the wall, as a rule its length [m].
    terms : int
        Number of trial functions across the width, for each displacement [-].

    Returns
    -------
    ndarray, shape (...)
        Factor on the loads; inf where nothing can buckle the wall [-].

    Raises
    ------
    ValueError
        As `panel_buckling`, or if the wall is thinner than the tests behind the knockdown factor.
    NotConverged
        As `panel_buckling`.

    Notes
    -----
    The larger of the flat wall's ratio and the knockdown of a whole tube in compression times the ratio of
    the perfect curved wall, all with simply supported edges: curvature is credited only after the
    knockdown, and a flat wall is not sensitive to imperfections. Common practice, no source.
    """
    flat, curved = (
        panel_buckling(abd, width, r, Nx, Nxy, longest_half_wave=longest_half_wave, terms=terms).ratio
        for r in (np.inf, radius)
    )
    return np.maximum(flat, compression_knockdown(abd, radius) * curved)
