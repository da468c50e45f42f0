"""One good call of every public callable of the retraction on the strut and of the alignment under load."""

import numpy as np
import tarn
from matplotlib.figure import Figure
from retracting import AXIS, BEARINGS, BRACE, CARRIED, CONDITIONS, DOWN_LOCK, HOLDING, RETRACTING, UP_LOCK

import beam.retraction_cases
import beam.wheel_alignment
from beam.gear import (
    FlightCondition,
    LegLoads,
    LegReactions,
    Lock,
    OverCenterBrace,
    flight_conditions,
    leg_loads,
    leg_reactions,
)
from beam.gear.plots import plot_alignment, plot_retraction
from beam.loads import Landing, ground_cases, static_reactions
from beam.retraction_cases import (
    RetractionCases,
    SupportGroup,
    down_lock_force,
    locked_down_supports,
    retraction_cases,
    sizing_cases,
)
from beam.strut import Strut
from beam.strut_cases import design_cases
from beam.wheel_alignment import alignment_under_load, standing_legs

PACKAGES = [beam.retraction_cases, beam.wheel_alignment]

STRUT = Strut(tarn.MOLD_LINE, tarn.FIRST_STRUT.ply_book)
LEGS = standing_legs(tarn.GEAR, [450.0, 527.0])
FLYING = {
    "gear": RETRACTING, "angle": [0.0, 0.7, 1.4], "angle_rate": 0.4, "angle_acceleration": [0.1, 0.2, 0.3],
    "load_factor": (0.1, 0.2, 2.0), "dynamic_pressure": 1300.0, "sideslip_deg": 5.0, "wheel_speed": 100.0,
    "brake_torque": 90.0, "friction": -8.0, "wheel": 0, "air_points": [RETRACTING.drag_center], "air_shares": [1.0],
}  # fmt: skip
LOADS = leg_loads(**FLYING)
REACTIONS = leg_reactions(RETRACTING, LOADS, bearings=BEARINGS)
TWO = [one for one in CARRIED["conditions"] if one.state in ("down", "up")][-3:]
SHORT = {
    **CARRIED, "conditions": TWO, "steps": 10, "link": tarn.GEAR.link, "wheel": 0,
    "air_points": [RETRACTING.drag_center], "air_shares": [1.0],
}  # fmt: skip
CASES = retraction_cases(**SHORT)
GROUND = design_cases(
    tarn.GEAR,
    ground_cases(tarn.AIRPLANE, Landing(load_factor=2.96)),
    tarn.MOLD_LINE,
    static=static_reactions(tarn.AIRPLANE),
)
TIP = tarn.MOLD_LINE.point_loads([0.62], [[tarn.PIVOT]], [[[0.0, 0.0, 1000.0]]])
ALIGNED = alignment_under_load(tarn.GEAR, STRUT, LEGS)
AXES = tuple(Figure().subplots(1, 2))


def fields(one):
    return {name: getattr(one, name) for name in type(one).__dataclass_fields__}


CALLS = {
    Lock: {"on_gear": [0.0, 0.2, -0.5], "line": [0.0, 0.1, 1.0]},
    OverCenterBrace: BRACE,
    OverCenterBrace.fold: {"self": DOWN_LOCK, "axis": AXIS, "angle": [0.0, 0.7, 1.4]},
    OverCenterBrace.over_travel: {"self": DOWN_LOCK, "axis": AXIS},
    OverCenterBrace.locking_moment: {"self": DOWN_LOCK, "force": [100.0, -100.0], "load_factor": [0.0, 0.0, 2.0]},
    OverCenterBrace.moment_to_unlock: {"self": DOWN_LOCK, "force": [100.0, -100.0]},
    LegLoads: fields(LOADS),
    leg_loads: FLYING,
    LegReactions: fields(REACTIONS),
    leg_reactions: {"gear": RETRACTING, "loads": leg_loads(RETRACTING, 0.0), "bearings": BEARINGS, "held_by": UP_LOCK},
    FlightCondition: {"name": "pull-up", "state": "up", "load_factor": [0.0, 0.0, 3.8], "dynamic_pressure": 900.0,
                      "sideslip_deg": 3.0, "wheel_speed": 0.0, "brake_torque": 0.0, "actuator_force": 200.0},
    flight_conditions: CONDITIONS,
    RetractionCases: fields(CASES),
    SupportGroup: fields(CASES.groups[0]),
    sizing_cases: {"retraction": CASES, "design": GROUND},
    retraction_cases: SHORT,
    locked_down_supports: {"gear": RETRACTING, "mold_line": tarn.MOLD_LINE, **HOLDING},
    down_lock_force: {"gear": RETRACTING, "mold_line": tarn.MOLD_LINE, "loads": TIP, "down_lock": DOWN_LOCK},
    standing_legs: {"gear": tarn.GEAR, "mass": np.array([450.0, 527.0])},
    alignment_under_load: {"gear": tarn.GEAR, "strut": STRUT, "legs": LEGS, "labels": ["light", "heavy"]},
    plot_retraction: {"table": CASES.table, "axes": AXES, "units": "SI"},
    plot_alignment: {"table": ALIGNED, "axes": AXES, "units": "SI"},
}  # fmt: skip

EXCLUDED = {}
