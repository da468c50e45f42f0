"""Retraction: pivot axis, swept path, actuator force over the travel, lock loads."""

from beam.gear.retraction.actuator import DoorRod
from beam.gear.retraction.pivot_axis import PivotAxis, pivot_axis, wheel_pivot_axis
from beam.gear.retraction.retracting_gear import RetractingGear
from beam.gear.retraction.swing import Swing, lock_load, swing

__all__ = [
    "DoorRod",
    "PivotAxis",
    "RetractingGear",
    "Swing",
    "lock_load",
    "pivot_axis",
    "swing",
    "wheel_pivot_axis",
]
