"""Tubes and curved walls for design: the perfect shell, knocked down for imperfections and ovalization."""

import numpy as np

from laminate.stability.arguments import Endless, Length, Load, Terms, WallStiffness
from laminate.stability.panel import panel_buckling
from laminate.stability.tube import tube_buckling_ratio
from materials.checks import Array, Limits, checked_together

__all__ = ["bending_knockdown", "brazier_moment", "compression_knockdown", "curved_wall_ratio", "tube_ratio"]

TORSION_KNOCKDOWN = 0.67
"""Factor on the torsion buckling load of a moderately long tube [-]."""

THINNEST = 1500.0
"""Largest radius over equivalent thickness the factors were drawn from [-]."""


@checked_together
def compression_knockdown(abd: WallStiffness, radius: Length) -> Array:
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
    ValueError: if abd cannot be a stiffness, or the wall is thinner than those of the tests.

    Notes
    -----
    gamma = 1 - 0.901 (1 - exp(-sqrt(R/h)/16)), with the equivalent thickness h of an orthotropic wall,
    h = sqrt(12) (D11 D22 / (A11 A22))^(1/4); R/h up to 1500.

    References
    ----------
    V. I. Weingarten, P. Seide, J. P. Peterson, Buckling of Thin-Walled Circular Cylinders, NASA SP-8007,
    1968; from memory.

    Examples
    --------
    >>> plane = 70e9 / (1 - 0.3**2) * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> abd = np.kron(np.diag([1e-3, 1e-9 / 12]), plane)
    >>> compression_knockdown(abd, [0.05, 0.5]).round(3)  # R/h = 50 and 500
    array([0.678, 0.322])
    """
    return 1.0 - 0.901 * _exponential(np.asarray(abd), np.asarray(radius))


@checked_together
def bending_knockdown(abd: WallStiffness, radius: Length) -> Array:
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
    ValueError: if abd cannot be a stiffness, or the wall is thinner than those of the tests.

    Notes
    -----
    gamma = 1 - 0.731 (1 - exp(-sqrt(R/h)/16)); h and source as for `compression_knockdown`.

    Examples
    --------
    >>> plane = 70e9 / (1 - 0.3**2) * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> abd = np.kron(np.diag([1e-3, 1e-9 / 12]), plane)
    >>> bending_knockdown(abd, [0.05, 0.5]).round(3)  # R/h = 50 and 500
    array([0.739, 0.45 ])
    """
    return 1.0 - 0.731 * _exponential(np.asarray(abd), np.asarray(radius))


def _exponential(abd: Array, radius: Array) -> Array:
    """1 - exp(-sqrt(R/h)/16) (...) of walls (..., 6, 6) and radii (...)."""
    A11, A22, D11, D22 = (abd[..., i, i] for i in (0, 1, 3, 4))
    thinness = radius / (np.sqrt(12.0) * (D11 * D22 / (A11 * A22)) ** 0.25)
    Limits(at_most=THINNEST).hold("radius / equivalent thickness [-]", thinness)
    return 1.0 - np.exp(-np.sqrt(thinness) / 16.0)


@checked_together
def brazier_moment(abd: WallStiffness, radius: Length) -> Array:
    """Bending moment at which a long tube ovalizes and collapses.

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
    ValueError: if abd cannot be a stiffness, or the radius is not positive.

    Notes
    -----
    M = (4 pi/3) sqrt(2/3) R sqrt(Ex h D22), from the strain energy of a tube bent and ovalized by zeta,
    (pi/2) Ex h R^3 kappa^2 (1 - 3 zeta/2) + (9 pi/2) D22 zeta^2 / R. For an isotropic wall
    (2 sqrt(2) pi/9) E R h^2/sqrt(1 - nu^2), as Brazier found.

    References
    ----------
    L. G. Brazier, "On the flexure of thin cylindrical shells and other thin sections", Proc. R. Soc. A 116
    (1927) 104-114.

    Examples
    --------
    >>> plane = 70e9 / (1 - 0.3**2) * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> abd = np.kron(np.diag([1e-3, 1e-9 / 12]), plane)
    >>> float(brazier_moment(abd, 0.05).round(1))
    3622.4
    """
    stiffness, r = np.asarray(abd), np.asarray(radius)
    membrane = 1.0 / np.linalg.inv(stiffness[..., :3, :3])[..., 0, 0]
    return 4.0 * np.pi / 3.0 * np.sqrt(2.0 / 3.0) * r * np.sqrt(membrane * stiffness[..., 4, 4])


@checked_together
def tube_ratio(
    abd: WallStiffness,
    radius: Length,
    tube_length: Length,
    Nx: Load = 0.0,
    Nxy: Load = 0.0,
    *,
    Nx_bending: Load = 0.0,
) -> Array:
    """Design factor on the load at which a tube buckles, imperfections included.

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        Stiffness of the wall, z outward [N/m, N, N m].
    radius, tube_length : array_like, shape (...)
        Radius of the mid surface, and length between stations that stay round [m].
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
    ValueError: as `tube_buckling_ratio`, or if the wall is thinner than the tests behind the knockdown factors.
    NotConverged: as `tube_buckling_ratio`.

    Notes
    -----
    1/R = Nx/min(gamma_c Nc, N_column) + Nb/(gamma_b min(Nc, N_Brazier)) + Nxy/(0.67 Nt), each load alone
    against the perfect tube: a straight line, safe because the set of loads a shell can bear is convex.
    Bending is judged by its largest compression, as if that acted all around. Tension is not
    credited. The column between the two stations, simply supported, needs no knockdown.

    Examples
    --------
    >>> plane = 70e9 / (1 - 0.3**2) * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> abd = np.kron(np.diag([1e-3, 1e-9 / 12]), plane)
    >>> perfect = tube_buckling_ratio(abd, 0.05, 0.05, -1e5)
    >>> float((tube_ratio(abd, 0.05, 0.05, -1e5) / perfect).round(3))  # the knockdown
    0.678
    """
    r, axial, shear, bending = map(np.asarray, (radius, Nx, Nxy, Nx_bending))
    with_column, wall = (tube_buckling_ratio(abd, r, tube_length, -1.0, column=c) for c in (True, False))
    compression = np.minimum(with_column, compression_knockdown(abd, r) * wall)
    flattening = brazier_moment(abd, r) / (np.pi * r**2)
    used = np.maximum(-axial, 0.0) / compression
    used = used + abs(bending) / (bending_knockdown(abd, r) * np.minimum(wall, flattening))
    for sense in (1.0, -1.0):
        acting = np.maximum(sense * shear, 0.0)
        if acting.any():
            torsion = tube_buckling_ratio(abd, r, tube_length, 0.0, sense)
            used = used + acting / (TORSION_KNOCKDOWN * torsion)
    with np.errstate(divide="ignore", over="ignore"):
        return np.asarray(1.0 / used)


@checked_together
def curved_wall_ratio(
    abd: WallStiffness,
    width: Length,
    radius: Length,
    Nx: Load = 0.0,
    Nxy: Load = 0.0,
    *,
    longest_half_wave: Endless = np.inf,
    terms: Terms = 12,
) -> Array:
    """Design factor on the load at which a long curved wall buckles, imperfections included.

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        Stiffness of the wall [N/m, N, N m].
    width : array_like, shape (...)
        Width between the long edges, along the arc [m].
    radius : array_like, shape (...)
        Radius of the mid surface [m].
    Nx, Nxy : array_like, shape (...)
        Load along the span, compression negative, and in shear [N/m].
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
    ValueError: as `panel_buckling`, or if the wall is thinner than the tests behind the knockdown factor.
    NotConverged: as `panel_buckling`.

    Notes
    -----
    The larger of the flat wall's ratio and the knockdown of a whole tube in compression times the ratio of
    the perfect curved wall, all with simply supported edges: curvature is credited only after the
    knockdown, and a flat wall is not sensitive to imperfections. Common practice, no source.

    Examples
    --------
    >>> plane = 70e9 / (1 - 0.3**2) * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> abd = np.kron(np.diag([1e-3, 1e-9 / 12]), plane)
    >>> flat = panel_buckling(abd, 0.1, np.inf, -1e4, terms=8).ratio
    >>> float((curved_wall_ratio(abd, 0.1, 0.5, -1e4, terms=8) / flat).round(2))  # curvature after its knockdown
    1.07
    """
    knockdown = compression_knockdown(abd, radius)
    flat, curved = (
        panel_buckling(abd, width, r, Nx, Nxy, longest_half_wave=longest_half_wave, terms=terms).ratio
        for r in (np.inf, radius)
    )
    return np.maximum(flat, knockdown * curved)
