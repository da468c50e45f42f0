"""One valid call for every public callable of beam.gear, by its name: what the tests of bad input spoil."""

import inspect
from functools import cache
from tempfile import gettempdir

import numpy as np
from gear_part_calls import ANGLE, CURVE, GEAR, SHOCKS, STROKE, part_calls
from scipy.constants import g

import beam.gear as gear
from beam.gear import Curve, PivotAxis
from beam.loads import drop_load_factor, effective_mass

AXIS = PivotAxis(point=[0.1, 0.0, 0.05], direction=[-0.8, 0.5, 0.2], angle=1.6)
DOOR = {"on_gear": [0.05, 0.1, -0.3], "on_airplane": [0.1, 0.45, -0.1], "force": CURVE}
SWINGING = {
    "axis": AXIS,
    "mass": [12.0, 6.0],
    "center": [[0.05, 0.1, -0.8], [0.0, 0.02, -0.4]],
    "actuator_on_gear": [0.0, -0.05, -0.25],
    "actuator_on_airplane": [0.0, -0.5, 0.5],
    "own_inertia": 0.4,
    "drag_area": 0.08,
    "side_area": 0.2,
    "drag_center": [0.02, 0.05, -0.6],
    "exposure": Curve(x=[0.0, 1.0], y=[1.0, 0.0]),
    "pivot_friction": 9.0,
    "wheel_axle": [0.05, -1.0, 0.1],
    "wheel_inertia": 0.3,
    "door": gear.DoorRod(**DOOR),
}
RETRACTING = gear.RetractingGear(**SWINGING)
FLIGHT = {
    "load_factor": (0.0, 0.0, 2.0),
    "dynamic_pressure": 1500.0,
    "sideslip_deg": 5.0,
    "brake_torque": 50.0,
}
LANDING = {"mass": 500.0, "speed": 2.5, "lift_ratio": 2 / 3, "ground_speed": 30.0, "attitude_deg": 2.0}
BUMP = {"ground_speed": 10.0, "bump_height": 0.02, "bump_length": 1.0}
SWAY = gear.StrutSway(stiffness=6e5, mass=2.0)
DEMAND = {
    "stroke": 0.115,
    "load_factor": 3.2,
    "mass": 500.0,
    "speed": 2.9,
    "reserve_speed": 3.48,
    "lift_ratio": 0.6,
    "ground_speed": 35.0,
    "static_window": (0.6, 0.7),
    "bump": gear.Bump(**BUMP),
}
TABLE = {
    "leg": ["starboard", "port"],
    "Fx": [0.0, 100.0],
    "Fy": [10.0, 0.0],
    "Fz": [1e4, 1e4],
    "applied_at": ["ground", "axle"],
    "shock": ["static", "landing"],
    "attitude_deg": [0.0, 1.0],
    "strokes": [(), (0.5, 1.0)],
}
WHEEL = {
    "force": [[0.0, 0.0, 1e4]],
    "applied_at": ["ground"],
    "stroke": [0.05],
    "attitude_deg": [2.0],
    "tire_load": [5e3],
    "moment": [[0.0, 1.0, 0.0]],
    "unsprung_factor": [1.0],
}
CENTERS = {"extended_center": [0.0, 0.0, -1.0], "stowed_center": [0.0, -1.0, 0.0]}
TURNED = [[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]]


@cache
def plan():
    return gear.plan_drop_test(GEAR, **PLAN)


PLAN = {
    "mass": 500.0,
    "height": 0.3,
    "lift_ratio": 0.6,
    "rule": effective_mass,
    "load_factor_rule": drop_load_factor,
    "ground_speed": 30.0,
    "attitude_deg": 1.0,
}


@cache
def record():
    time = np.arange(-0.05, 0.3, 2.5e-4)
    down, at = time >= 0, np.maximum(time, 0.0)
    forces = plan().prediction.history.forces_at(at)
    return {
        "time": time,
        "acceleration": np.where(down, plan().acceleration_at(at), -g),
        "stroke": np.where(down, forces.stroke, 0.0),
        "force": np.where(down, forces.ground, 0.0),
    }


@cache
def calls():
    """Name -> (callable, its arguments)."""
    cases = gear.leg_cases(GEAR, TABLE, static_load=5e3)
    found = part_calls() | {
        "MainGear": (
            gear.MainGear,
            {
                "link": GEAR.link,
                "shock": GEAR.shock,
                "tire": GEAR.tire,
                "wheel_mass": 9.0,
                "wheel_inertia": 0.13,
                "rolling_radius": 0.2,
                "link_mass": 5.0,
                "link_center": [0.1, 1.0, -0.66],
                "link_inertia": 0.05,
                "friction": GEAR.friction,
            },
        ),
        "MainGear.axle": (GEAR.axle, {"stroke": STROKE}),
        "MainGear.contact": (
            GEAR.contact,
            {"stroke": STROKE, "tire_load": [5e3, 6e3], "attitude_deg": [0.0, 3.0]},
        ),
        "MainGear.shock_at_rest": (GEAR.shock_at_rest, {"stroke": STROKE, "load": [5e3, 6e3]}),
        "MainGear.static": (GEAR.static, {"mass": [450.0, 500.0], "slow": True}),
        "MainGear.strut_loads": (GEAR.strut_loads, WHEEL),
        "StrutSway": (gear.StrutSway, {"stiffness": 6e5, "mass": 2.0, "damping_ratio": 0.03}),
        "leg_cases": (
            gear.leg_cases,
            {"gear": GEAR, "table": TABLE, "static_load": [5e3, 6e3], "fractions": (0.25, 1.0)},
        ),
        "LegCases.strut_loads": (cases.strut_loads, {"gear": GEAR}),
        "free_fall_speed": (gear.free_fall_speed, {"height": 0.4}),
        "drop": (
            gear.drop,
            {
                "gear": GEAR,
                **LANDING,
                "sway": SWAY,
                "duration": 0.3,
                "rtol": 1e-4,
                "method": "RK45",
                "bottoming": "record",
            },
        ),
        "reserve_energy": (
            gear.reserve_energy,
            {
                "gear": GEAR,
                "mass": 500.0,
                "reserve_speed": 3.0,
                "ground_speed": 30.0,
                "sway": SWAY,
                "duration": 0.4,
                "rtol": 1e-4,
            },
        ),
        "taxi_bump": (
            gear.taxi_bump,
            {"gear": GEAR, "mass": 450.0, **BUMP, "lift_ratio": 0.1, "duration": 0.3, "rtol": 1e-4},
        ),
        "drops": (
            gear.drops,
            {
                "gear": GEAR,
                **{k: [v, v] for k, v in LANDING.items()},
                "shocks": SHOCKS,
                "attitude_deg": 2.0,
                "duration": 0.5,
                "rtol": 1e-3,
                "processes": 1,
            },
        ),
        "Bump": (gear.Bump, BUMP),
        "ShockDemand": (gear.ShockDemand, DEMAND),
        "choose_shock": (
            gear.choose_shock,
            {"gear": GEAR, "demand": gear.ShockDemand(**{**DEMAND, "load_factor": 5.0}), "rounds": 0},
        ),
        "shock_trade": (
            gear.shock_trade,
            {"gear": GEAR, "demand": gear.ShockDemand(**DEMAND), "stroke": [0.115], "rounds": 0},
        ),
        "plan_drop_test": (gear.plan_drop_test, {"gear": GEAR, **PLAN}),
        "DropTestPlan.landing_factor": (plan().landing_factor, {"test_factor": 3.0, "dropped_mass": 300.0}),
        "DropTestPlan.acceleration_at": (plan().acceleration_at, {"time": np.array([0.0, 0.1])}),
        "DropRecord": (gear.DropRecord, record()),
        "compare_drop": (
            gear.compare_drop,
            {"plan": plan(), "record": gear.DropRecord(**record()), "mass": plan().effective_mass},
        ),
        "PivotAxis": (PivotAxis, {"point": [0.1, 0.0, 0.05], "direction": [-0.8, 0.5, 0.2], "angle": 1.6}),
        "PivotAxis.terms": (AXIS.terms, {"point": [[0.0, 1.0, -0.7]]}),
        "PivotAxis.at": (AXIS.at, {"point": [0.0, 1.0, -0.7], "angle": ANGLE}),
        "PivotAxis.turned": (AXIS.turned, {"along": [0.0, 1.0, 0.0], "angle": ANGLE}),
        "PivotAxis.swept_wheel": (
            AXIS.swept_wheel,
            {
                "center": [0.0, 1.0, -0.7],
                "axle": [0.0, 1.0, 0.0],
                "angle": ANGLE,
                "radius": 0.2,
                "width": 0.1,
                "points": 8,
            },
        ),
        "pivot_axis": (
            gear.pivot_axis,
            {**CENTERS, "extended_orientation": np.eye(3), "stowed_orientation": TURNED},
        ),
        "wheel_pivot_axis": (
            gear.wheel_pivot_axis,
            {**CENTERS, "extended_axle": [0.0, 1.0, 0.0], "stowed_axle": [0.0, 0.0, -1.0]},
        ),
        "DoorRod": (gear.DoorRod, DOOR),
        "DoorRod.moment": (gear.DoorRod(**DOOR).moment, {"axis": AXIS, "angle": ANGLE}),
        "RetractingGear": (gear.RetractingGear, SWINGING),
        "RetractingGear.actuator_length": (RETRACTING.actuator_length, {"angle": ANGLE}),
        "RetractingGear.actuator_arm": (RETRACTING.actuator_arm, {"angle": ANGLE}),
        "RetractingGear.weight_moment": (
            RETRACTING.weight_moment,
            {"angle": ANGLE, "load_factor": (0.0, 0.0, 2.0)},
        ),
        "RetractingGear.air_moment": (
            RETRACTING.air_moment,
            {"angle": ANGLE, "dynamic_pressure": 1500.0, "sideslip_deg": 5.0},
        ),
        "RetractingGear.brake_moment": (RETRACTING.brake_moment, {"brake_torque": 50.0}),
        "RetractingGear.held_moment": (RETRACTING.held_moment, {"angle": ANGLE, **FLIGHT}),
        "swing": (
            gear.swing,
            {
                "gear": RETRACTING,
                "duration": 4.0,
                **FLIGHT,
                "wheel_speed": 100.0,
                "extending": False,
                "steps": 20,
            },
        ),
        "lock_load": (
            gear.lock_load,
            {
                "axis": AXIS,
                "angle": 1.6,
                "moment": [100.0, 200.0],
                "lock_at": [0.0, 0.3, -0.5],
                "lock_line": [0.2, 0.1, 1.0],
            },
        ),
        "read_drop": (gear.read_drop, {"path": f"{gettempdir()}/no such drop.csv"}),
    }
    return found


RESULTS = {
    "Alignment", "BumpRide", "Channel", "ChannelError", "Constraint", "Drop", "DropComparison", "DropTestPlan",
    "Drops", "Instant", "LegCases", "ShockChoice", "ShockTrade", "StrutLoads", "Swing",
}  # fmt: skip
"""What the library hands out and nobody else makes."""

ERRORS = {"Bottomed", "NoShock"}
"""What it raises."""


def public():
    """Names of all public callables of the room, methods that take an argument included."""
    for name in gear.__all__:
        item = getattr(gear, name)
        if name not in RESULTS | ERRORS:
            yield name
        if inspect.isclass(item) and name not in ERRORS:
            for part, method in vars(item).items():
                method = getattr(method, "__func__", method)
                if (part == "__call__" or not part.startswith("_")) and inspect.isfunction(method):
                    yield f"{name}.{part}"
