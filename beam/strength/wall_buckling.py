"""Buckling of the walls of a section: of flat ones in closed form, of curved ones with what curvature is worth."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from laminate import Laminate, stability
from materials.checks import Array

# Trial functions to begin with; `panel_buckling` takes more until the last two change nothing above half a percent.
TERMS = 8
# Each alone: compression, shear along +y and along -y.
UNIT_Nx, UNIT_Nxy = (-1.0, 0.0, 0.0), (0.0, 1.0, -1.0)


class CurvedLoads(NamedTuple):
    """Design loads of a curved wall, each acting alone, knocked down for imperfections.

    Parameters
    ----------
    Nx : float
        Size of the compression along the span [N/m].
    Nxy : float
        Shear along +y [N/m].
    Nxy_back : float
        Size of the shear along -y [N/m].
    """

    Nx: float
    Nxy: float
    Nxy_back: float


Known = dict[tuple[bytes, float, float], CurvedLoads | None]
"""Curved walls solved already, by stiffness, width and radius."""


def flat_wall_ratio(laminate: Laminate, width: float, running: Array, fixed: Array) -> Array:
    """Ratios of a wall judged as a long flat one on simple supports.

    Parameters
    ----------
    laminate : Laminate
        Lay-up of the wall.
    width : float
        Width of the wall, along its arc if it has one [m].
    running : ndarray, shape (..., 6)
        Running loads at limit load [N/m], [N].
    fixed : ndarray, shape (..., 6)
        Running loads that do not grow [N/m], [N].

    Returns
    -------
    ndarray, shape (...)
        Factor on the load; inf where nothing can buckle the wall, 0 where the residual alone does [-].

    Notes
    -----
    `stability.buckling_ratio` with the reduced bending stiffness, D16 and D26 bounded. Nx and Nxy of the place are
    taken to act over the whole width; Ny is left out, which the walls of a tube without pressure hardly have.
    """
    return stability.buckling_ratio(
        stability.reduced_bending_stiffness(laminate.abd),
        width,
        running[..., 0],
        running[..., 2],
        residual_Nx=fixed[..., 0],
        residual_Nxy=fixed[..., 2],
        bound_anisotropy=True,
    )


def linear_across(Nx: Array, places: Sequence[float]) -> tuple[Array, Array]:
    """Split the axial load of a flat wall into compression and in-plane bending.

    Parameters
    ----------
    Nx : ndarray, shape (..., place, case)
        Axial running load [N/m].
    places : sequence of float
        Where, from 0 to 1 [-].

    Returns
    -------
    mean, bending : ndarray, shape (..., 1, case)
        Half the sum and half the difference of the ends [N/m]; what is more compressed than the straight line
        between the ends, which unsymmetric walls alone may be, is added to the mean all across.
    """
    first, last = Nx[..., :1, :], Nx[..., -1:, :]
    mean, bending = 0.5 * (first + last), 0.5 * (last - first)
    line = mean + bending * (2.0 * np.asarray(places)[:, None] - 1.0)
    return mean + (Nx - line).min(axis=-2, keepdims=True), bending


def bent_wall_ratio(
    laminate: Laminate, width: float, running: Array, fixed: Array, places: Sequence[float]
) -> Array:
    """Ratios of a long flat wall on simple supports under compression, in-plane bending and shear together.

    Parameters
    ----------
    laminate : Laminate
        Lay-up of the wall.
    width : float
        Width of the wall [m].
    running : ndarray, shape (..., place, case, 6)
        Running loads at limit load, from end to end of the wall [N/m], [N].
    fixed : ndarray, shape (..., place, 1, 6)
        Running loads that do not grow [N/m], [N].
    places : sequence of float
        Where, from 0 to 1 [-].

    Returns
    -------
    ndarray, shape (..., place, case)
        Factor on the load, with the shear of each place taken all across; inf where nothing can buckle the wall, 0
        where the residual alone does [-].

    Notes
    -----
    As `flat_wall_ratio`, but Nx is split by `linear_across`; its residual is the most compressed one, all across.
    """
    mean, bending = linear_across(running[..., 0], places)
    return stability.buckling_ratio(
        stability.reduced_bending_stiffness(laminate.abd),
        width,
        mean,
        running[..., 2],
        Nx_bending=bending,
        residual_Nx=fixed[..., 0].min(axis=-2, keepdims=True),
        residual_Nxy=fixed[..., 2],
        bound_anisotropy=True,
    )


def curved_loads(laminate: Laminate, width: float, radius: float, known: Known) -> CurvedLoads | None:
    """Design loads of a curved wall.

    Parameters
    ----------
    laminate : Laminate
        Lay-up of the wall.
    width : float
        Length along the arc [m].
    radius : float
        Radius of the mid surface [m].
    known : dict
        Walls solved before; this one is added.

    Returns
    -------
    CurvedLoads or None
        None if the buckles are too small beside the wall for `stability.panel_buckling` to follow.
    """
    key = (laminate.abd.tobytes(), width, radius)
    if key not in known:
        try:
            perfect = stability.panel_buckling(
                laminate.abd, width, radius, UNIT_Nx, UNIT_Nxy, terms=TERMS
            ).ratio
            loads = perfect * stability.compression_knockdown(laminate.abd, radius)
            known[key] = CurvedLoads(*loads.tolist())
        except stability.NotConverged:
            known[key] = None
    return known[key]


def curved_wall_ratio(loads: CurvedLoads, running: Array, fixed: Array) -> Array:
    """Ratios of a curved wall from its design loads.

    Parameters
    ----------
    loads : CurvedLoads
        From `curved_loads`.
    running : ndarray, shape (..., 6)
        Running loads at limit load [N/m], [N].
    fixed : ndarray, shape (..., 6)
        Running loads that do not grow [N/m], [N].

    Returns
    -------
    ndarray, shape (...)
        Factor on the load; inf where nothing can buckle the wall, 0 where the residual alone does [-].

    Notes
    -----
    R is the first root of max(-Nx, 0)/Nx_cr + |Nxy|/Nxy_cr = 1 with N = R running + fixed and Nxy_cr that of the
    sign of Nxy: a straight line, safe because the loads a perfect shell can bear are a convex set. The left side is
    the largest of four straight lines in R, so R is the least of their roots.
    """
    pressed = (-running[..., 0] / loads.Nx, -fixed[..., 0] / loads.Nx)
    lowest, spent = np.full((), np.inf), np.zeros(())
    for compression in (0.0, 1.0):
        for sheared in (1.0 / loads.Nxy, -1.0 / loads.Nxy_back):
            grows = compression * pressed[0] + sheared * running[..., 2]
            left = 1.0 - compression * pressed[1] - sheared * fixed[..., 2]
            with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
                lowest = np.minimum(lowest, np.where(grows > 0.0, left / grows, np.inf))
            spent = np.maximum(spent, 1.0 - left)
    return np.asarray(np.where(spent < 1.0, lowest, 0.0))
