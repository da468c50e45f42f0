"""Stresses between the plies: through the thickness of a corner, and from transverse shear."""

from laminate.interlaminar.corner import CornerStress, corner_stress, radial_peak
from laminate.interlaminar.delamination import delamination_ratio, interlaminar_shear
from laminate.interlaminar.homogenized import (
    CornerModuli,
    corner_moduli,
    thickness_compliance,
    thickness_expansion,
)

__all__ = [
    "CornerModuli",
    "CornerStress",
    "corner_moduli",
    "corner_stress",
    "delamination_ratio",
    "interlaminar_shear",
    "radial_peak",
    "thickness_compliance",
    "thickness_expansion",
]
