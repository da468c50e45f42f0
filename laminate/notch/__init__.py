"""Holes in laminates: stress around them, strength with an open, a filled and a loaded hole."""

from laminate.notch.hole_stress import (
    edge_stress,
    filled_edge_stress,
    finite_width_factor,
    ligament_stress,
    loads_around_hole,
    stress_concentration,
)
from laminate.notch.loaded_hole import HoleRatios, HoleRule, LoadedHole
from laminate.notch.open_hole import OpenHoleTest, characteristic_distance, open_hole_ratio

__all__ = [
    "HoleRatios",
    "HoleRule",
    "LoadedHole",
    "OpenHoleTest",
    "characteristic_distance",
    "edge_stress",
    "filled_edge_stress",
    "finite_width_factor",
    "ligament_stress",
    "loads_around_hole",
    "open_hole_ratio",
    "stress_concentration",
]
