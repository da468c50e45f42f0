"""Retracting gears, a drop-test plan, and what ideal instruments would record of it."""

from functools import cache

import numpy as np
from gears import trailing_gear
from scipy.constants import g

from beam.gear import Curve, DoorRod, PivotAxis, RetractingGear, plan_drop_test
from beam.loads import drop_load_factor, effective_mass

GEAR = trailing_gear()
PLAN = {
    "mass": 500.0,
    "height": 0.4,
    "lift_ratio": 2 / 3,
    "rule": effective_mass,
    "load_factor_rule": drop_load_factor,
    "ground_speed": 35.0,
}


@cache
def plan():
    return plan_drop_test(GEAR, **PLAN)


def columns(*, rate=4000.0, end=0.3, start=-0.05, clock=1.7):
    """Columns of the record of the predicted drop, on a clock of its own."""
    time = np.arange(start, end, 1 / rate)
    down, after = time >= 0, np.maximum(time, 0.0)
    forces = plan().prediction.history.forces_at(after)
    return {
        "time": time + clock,
        "acceleration": np.where(down, plan().acceleration_at(after), -g),
        "stroke": np.where(down, forces.stroke, 0.0),
        "force": np.where(down, forces.ground, 0.0),
    }


DOOR = DoorRod(
    on_gear=[0.05, 0.1, -0.3],
    on_airplane=[0.1, 0.45, -0.1],
    force=Curve(x=[0.0, 0.4, 1.0], y=[-200.0, 50.0, 600.0]),
)
# an axis that leans every way, so that every load has a part about it
SKEWED = {
    "axis": PivotAxis(point=[0.1, 0.0, 0.05], direction=[-0.8, 0.5, 0.2], angle=1.6),
    "mass": [12.0, 6.0],
    "center": [[0.05, 0.1, -0.8], [0.0, 0.02, -0.4]],
    "own_inertia": 0.4,
    "actuator_on_gear": [0.0, -0.05, -0.25],
    "actuator_on_airplane": [0.0, -0.5, 0.5],
    "drag_area": 0.08,
    "side_area": 0.2,
    "drag_center": [0.02, 0.05, -0.6],
    "pivot_friction": 9.0,
    "wheel_axle": [0.05, -1.0, 0.1],
    "wheel_inertia": 0.3,
    "door": DOOR,
}
SKEWED_GEAR = RetractingGear(**SKEWED)
FLIGHT = {
    "load_factor": (0.1, -0.2, 1.8),
    "dynamic_pressure": 1500.0,
    "sideslip_deg": 12.0,
    "wheel_speed": 150.0,
    "brake_torque": 60.0,
}
