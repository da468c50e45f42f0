"""Buckling of flat and curved orthotropic walls and of tubes."""

from laminate.stability.finite_plate import plate_buckling_ratio
from laminate.stability.imperfection import (
    bending_knockdown,
    brazier_moment,
    compression_knockdown,
    curved_wall_ratio,
    tube_ratio,
)
from laminate.stability.long_plate import CriticalLoads, buckling_ratio, critical_loads
from laminate.stability.panel import panel_buckling
from laminate.stability.ritz import NotConverged
from laminate.stability.stiffness import anisotropy_bound, neighbor_restraint, reduced_bending_stiffness
from laminate.stability.strip import StripBuckling, strip_buckling
from laminate.stability.tube import tube_buckling_ratio

__all__ = [
    "CriticalLoads",
    "NotConverged",
    "StripBuckling",
    "anisotropy_bound",
    "bending_knockdown",
    "brazier_moment",
    "buckling_ratio",
    "compression_knockdown",
    "critical_loads",
    "curved_wall_ratio",
    "neighbor_restraint",
    "panel_buckling",
    "plate_buckling_ratio",
    "reduced_bending_stiffness",
    "strip_buckling",
    "tube_buckling_ratio",
    "tube_ratio",
]
