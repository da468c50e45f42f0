"""Stresses between the plies: through the thickness of a corner, and from transverse shear."""

from laminate.interlaminar.corner import CornerStress, corner_stress, radial_peak
from laminate.interlaminar.delamination import delamination_ratio
from laminate.interlaminar.shear import interlaminar_shear

__all__ = ["CornerStress", "corner_stress", "delamination_ratio", "interlaminar_shear", "radial_peak"]
