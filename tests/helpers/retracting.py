"""An invented retracting gear on the strut of the Tarn: skewed axis, trailing link, over-center brace, locks."""

import numpy as np
import tarn

from beam.gear import Curve, DoorRod, Lock, OverCenterBrace, PivotAxis, RetractingGear
from beam.retraction_cases import flight_conditions

T, LINK = tarn.TRUNNION, tarn.GEAR.link
AXIS = PivotAxis(point=T, direction=(-1.0, 0.1, 0.05), angle=1.4)
BEARINGS = T + np.outer([0.1, -0.12], AXIS.direction)
RETRACTING = RetractingGear(
    axis=AXIS,
    mass=[9.0, 5.0, 1.0, 1.2],
    center=[LINK.axle, (LINK.axle + LINK.pivot) / 2, T + (0.0, 0.08, -0.19), T + (0.0, 0.16, -0.4)],
    own_inertia=0.3,
    actuator_on_gear=T + (0.0, 0.0, -0.2),
    actuator_on_airplane=T + (0.0, -0.5, 0.2),
    drag_area=0.05,
    side_area=0.1,
    drag_center=T + (0.05, 0.2, -0.5),
    pivot_friction=8.0,
    wheel_axle=(0.0, 1.0, 0.0),
    wheel_inertia=0.13,
    door=DoorRod(
        on_gear=T + (0.05, 0.15, -0.3),
        on_airplane=T + (0.05, 0.5, -0.1),
        force=Curve(x=[0.0, 0.4, 1.0], y=[-100.0, 50.0, 300.0]),
    ),
)
BRACE = {
    "on_airplane": T + (0.0, -0.4, 0.0),
    "hinge": (1.0, 0.0, 0.0),
    "knee": T + (0.0, -0.1525, -0.13),
    "on_gear": T + (0.0, 0.1, -0.25),
    "folds_toward": (0.0, 0.0, 1.0),
    "play": 0.001,
    "spring_moment": 5.0,
    "pin_radius": (0.006, 0.007, 0.008),
    "pin_friction": 0.15,
    "knee_mass": 0.8,
}
DOWN_LOCK = OverCenterBrace(**BRACE)
UP_LOCK = Lock(on_gear=T + (0.0, 0.2, -0.5), line=(0.1, 0.1, 1.0))
CONDITIONS = {
    "flight_load_factor": 3.8,
    "negative_load_factor": -1.5,
    "stall_speed_clean": 29.0,
    "transit_load_factor": 2.0,
    "sideslip_deg": 10.0,
    "wheel_speed": 160.0,
    "brake_torque": 90.0,
    "density": 1.225,
}
HOLDING = {"bearings": BEARINGS, "down_lock": DOWN_LOCK}
CARRIED = {
    "gear": RETRACTING,
    "mold_line": tarn.MOLD_LINE,
    **HOLDING,
    "up_lock": UP_LOCK,
    "conditions": flight_conditions(**CONDITIONS),
    "duration": 5.0,
}
