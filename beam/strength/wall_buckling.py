"""Buckling of the walls of a section: flat walls in closed form, curved walls with the effect of their curvature."""

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
    """Sizes of the compression Nx and of the shear Nxy along +y and -y that a curved wall bears, each alone [N/m]."""

    Nx: float
    Nxy: float
    Nxy_back: float


Known = dict[tuple[bytes, float, float], CurvedLoads | None]
"""Curved walls solved before, by stiffness, width and radius."""


def flat_wall_ratio(laminate: Laminate, width: float, running: Array, fixed: Array) -> Array:
    """Ratios (...) of a wall as a long flat one simply supported: width along its arc [m], loads (..., 6) [N/m, N]."""
    # The reduced bending stiffness is used, D16 and D26 bounded. Nx and Nxy of the place are taken to act over the
    # whole width; Ny is left out, which the walls of a tube without pressure hardly have.
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
    """Half the sum and half the difference of the ends of Nx (..., place, case) [N/m], (..., 1, case).

    Compression beyond the straight line between the ends, which unsymmetric walls alone may have, is added to the mean.
    """
    first, last = Nx[..., :1, :], Nx[..., -1:, :]
    mean, bending = 0.5 * (first + last), 0.5 * (last - first)
    line = mean + bending * (2.0 * np.asarray(places)[:, None] - 1.0)
    return mean + (Nx - line).min(axis=-2, keepdims=True), bending


def bent_wall_ratio(
    laminate: Laminate, width: float, running: Array, fixed: Array, places: Sequence[float]
) -> Array:
    """Ratios (..., place, case) of a long flat wall under compression, in-plane bending and shear together.

    Loads are (..., place, case, 6) [N/m, N] from end to end. As `flat_wall_ratio`, but Nx is split by `linear_across`;
    the shear of each place and the most compressive residual are taken over the whole width.
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
    """Design loads of a curved wall of some width and radius [m], knocked down; None if its buckles are too small."""
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
    """Ratios (...) of a curved wall from its design loads; running and fixed loads (..., 6) [N/m, N]."""
    # R is the first root of max(-Nx, 0)/Nx_cr + |Nxy|/Nxy_cr = 1 with N = R running + fixed and Nxy_cr that of the sign
    # of Nxy: a straight line, safe because the loads a perfect shell can bear are a convex set. The left side is
    # the largest of four straight lines in R, so R is the least of their roots.
    along = (-running[..., 0] / loads.Nx, -fixed[..., 0] / loads.Nx)
    lowest, spent = np.full((), np.inf), np.zeros(())
    for compression in (0.0, 1.0):
        for sheared in (1.0 / loads.Nxy, -1.0 / loads.Nxy_back):
            grows = compression * along[0] + sheared * running[..., 2]
            left = 1.0 - compression * along[1] - sheared * fixed[..., 2]
            with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
                lowest = np.minimum(lowest, np.where(grows > 0.0, left / grows, np.inf))
            spent = np.maximum(spent, 1.0 - left)
    return np.asarray(np.where(spent < 1.0, lowest, 0.0))
