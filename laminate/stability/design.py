"""Design factors of tubes and curved walls: the perfect shell, knocked down for its imperfections."""

import numpy as np
from numpy.typing import ArrayLike

from laminate.stability.inputs import length, wall_stiffness
from laminate.stability.knockdown import (
    TORSION_KNOCKDOWN,
    bending_knockdown,
    brazier_moment,
    compression_knockdown,
)
from laminate.stability.panel import panel_buckling
from laminate.stability.tube import tube_buckling_ratio
from materials.checks import Array, array, common_shape


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
    knockdown = compression_knockdown(abd, radius)
    flat, curved = (
        panel_buckling(abd, width, r, Nx, Nxy, longest_half_wave=longest_half_wave, terms=terms).ratio
        for r in (np.inf, radius)
    )
    return np.maximum(flat, knockdown * curved)
