"""One good call of every public callable of the gear's parts, of the gear itself and of its motion."""

import numpy as np
from tourer import GEAR

import beam.gear
from beam import flexibility
from beam.flexibility import Flexibility
from beam.gear import (
    AirSpring,
    Alignment,
    BumpRide,
    Curve,
    CurveSpring,
    DamperCurve,
    Drop,
    Drops,
    GroundFriction,
    Instant,
    LegCases,
    MainGear,
    Orifice,
    Shock,
    Shocks,
    StrutLoads,
    Tire,
    TrailingLink,
    TwoChamberSpring,
    alignment,
    drop,
    drops,
    fore_aft_stiffness,
    free_fall_speed,
    leg_cases,
    orifice_coefficient,
    reserve_energy,
    taxi_bump,
)

PACKAGES = [beam.gear, flexibility]

LINK, SHOCK, TIRE = GEAR.link, GEAR.shock, GEAR.tire
CURVE = Curve(x=[0.0, 0.1, 0.3], y=[0.0, 2.0, 3.0])
PIN = Curve(x=[0.0, 0.1], y=[1.0, 3.0])
GAS = {
    "pressure": 2.6e6,
    "volume": 221e-6,
    "area": 1.6e-3,
    "exponent": 1.1,
    "slow_exponent": 1.05,
    "ambient_pressure": 1e5,
}
TWO = {**GAS, "second_pressure": 8e6, "second_volume": 60e-6}
POINTS = {"stroke": [0.0, 0.05, 0.115], "fast_force": [4e3, 7e3, 3e4], "slow_force": [3.9e3, 6e3, 2.5e4]}
RATES = {"rate": [-1.0, 0.0, 1.0], "force_at_rate": [-5e4, 0.0, 1e4]}
TIRE_SIZE = {"bottoming_deflection": 0.1, "damping": 0.03}
STROKE, RATE, ANGLE = np.array([0.02, 0.05]), np.array([-0.5, 1.0]), np.array([0.1, 0.4])
SHOCKS = Shocks.of(SHOCK, pressure=[2.4e6, 2.6e6])
LANDING = {"mass": 500.0, "speed": 2.5, "lift_ratio": 2 / 3, "ground_speed": 30.0}
BUMP = {"mass": 450.0, "ground_speed": 10.0, "bump_height": 0.02, "bump_length": 1.0, "lift_ratio": 0.1}
SOFT = {
    "points": [LINK.pivot, LINK.shock_on_strut],
    "compliance": np.diag([4e-7, 5e-7, 1e-7, 3e-6, 3e-6, 8e-6, 1e-7, 1e-7, 1e-8, 1e-6, 1e-6, 3e-6]),
    "inertia": 0.1 * np.eye(12),
    "damping_ratio": 0.03,
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


def fields(item, *names):
    """Fields of an object as the arguments that would make it again."""
    return {name: getattr(item, name) for name in names or item.__dataclass_fields__}


DROPPED = drop(GEAR, **LANDING, duration=0.2, rtol=1e-4)
RIDDEN = taxi_bump(GEAR, **BUMP, duration=0.15, rtol=1e-4)
CASES = leg_cases(GEAR, TABLE, static_load=5e3)

CALLS = {
    Curve: {"x": [0.0, 1.0, 2.0], "y": [0.0, 1.0, 3.0], "extend": True, "name": "a curve"},
    Curve.__call__: {"self": CURVE, "x": STROKE},
    Curve.integral: {"self": CURVE, "x": STROKE},
    AirSpring: GAS,
    TwoChamberSpring: TWO,
    TwoChamberSpring.break_stroke: {"self": TwoChamberSpring(**TWO), "slow": True},
    CurveSpring: POINTS,
    AirSpring.force: {"self": AirSpring(**GAS), "stroke": STROKE, "slow": True},
    AirSpring.energy: {"self": AirSpring(**GAS), "stroke": STROKE},
    AirSpring.settled: {"self": AirSpring(**GAS), "stroke": 0.07},
    orifice_coefficient: {
        "density": 860.0,
        "hydraulic_area": 4e-3,
        "orifice_area": 6e-5,
        "discharge_coefficient": 0.9,
    },
    Orifice: {"compression": 2e4, "extension": 2e5, "metering": PIN},
    Orifice.force: {
        "self": Orifice(compression=2e4, extension=2e5, metering=PIN),
        "stroke": STROKE,
        "rate": RATE,
    },
    DamperCurve: RATES,
    Shock: fields(SHOCK) | {"max_stroke": 0.1},
    Shock.elastic_force: {"self": SHOCK, "stroke": STROKE, "slow": True},
    Shock.force: {"self": SHOCK, "stroke": STROKE, "rate": RATE},
    Shock.energy: {"self": SHOCK, "stroke": STROKE},
    Shock.settled: {"self": SHOCK, "stroke": 0.07},
    Shocks: fields(SHOCKS) | {"metering": PIN},
    Shocks.of: {
        "shock": SHOCK,
        "pressure": [2.4e6, 2.6e6],
        "volume": [221e-6],
        "area": [1.6e-3],
        "compression": [2e4],
        "extension": [2e5],
        "max_stroke": [0.1],
    },
    Shocks.take: {"self": SHOCKS, "index": [1, 0]},
    Shocks.shock: {"self": SHOCKS, "index": 1},
    Tire: {
        "radius": 0.2,
        "law": TIRE.law,
        "bottoming_deflection": 0.1,
        "bottoming_stiffness": 1e6,
        "damping": 0.03,
        "fore_aft_stiffness": 2e5,
    },
    Tire.smiley_horne: TIRE_SIZE
    | {"width": 0.16, "diameter": 0.44, "pressure": 290e3, "rated_pressure": 290e3, "tire_type": "III"},
    Tire.power_law: TIRE_SIZE | {"radius": 0.2, "load": 5e3, "deflection": 0.04, "exponent": 1.5},
    Tire.from_points: TIRE_SIZE | {"radius": 0.2, "deflection": [0.0, 0.05, 0.1], "load": [0.0, 6e3, 14e3]},
    fore_aft_stiffness: {
        "diameter": 0.44,
        "pressure": 290e3,
        "rated_pressure": 290e3,
        "deflection": 0.03,
    },
    Tire.load: {"self": TIRE, "deflection": STROKE, "rate": RATE},
    Tire.energy: {"self": TIRE, "deflection": STROKE},
    Tire.deflection: {"self": TIRE, "load": [5e3, 6e3]},
    Tire.loaded_radius: {"self": TIRE, "load": [5e3, 6e3]},
    GroundFriction: {"slip": [0.0, 0.2, 1.0], "coefficient": [0.0, 0.8, 0.7], "least_speed": 8.0},
    GroundFriction.__call__: {
        "self": GEAR.friction,
        "slip_speed": np.array([3.0, -1.0]),
        "ground_speed": np.array([30.0, 2.0]),
    },
    TrailingLink: fields(LINK),
    TrailingLink.shock_length: {"self": LINK, "angle": ANGLE},
    TrailingLink.shock_arm: {"self": LINK, "angle": ANGLE},
    TrailingLink.angle: {"self": LINK, "stroke": STROKE},
    TrailingLink.motion_ratio: {"self": LINK, "stroke": STROKE},
    Alignment: fields(alignment(LINK, STROKE)),
    alignment: {
        "link": LINK,
        "stroke": STROKE,
        "pivot_motion": [0.0, 0.0, 0.01, 0.01, 0.0, 0.02],
        "bracket_motion": [0.0, 0.0, 0.005],
    },
    MainGear: fields(GEAR) | {"link_inertia": 0.05},
    MainGear.axle: {"self": GEAR, "stroke": STROKE},
    MainGear.contact: {"self": GEAR, "stroke": STROKE, "tire_load": [5e3, 6e3], "attitude_deg": [0.0, 3.0]},
    MainGear.shock_at_rest: {"self": GEAR, "stroke": STROKE, "load": [5e3, 6e3]},
    MainGear.static: {"self": GEAR, "mass": [450.0, 500.0], "slow": True},
    MainGear.strut_loads: {"self": GEAR, **WHEEL},
    StrutLoads: fields(GEAR.strut_loads(**WHEEL)),
    leg_cases: {"gear": GEAR, "table": TABLE, "static_load": [5e3, 6e3], "fractions": [0.25, 1.0]},
    LegCases: fields(CASES),
    LegCases.strut_loads: {"self": CASES, "gear": GEAR},
    Flexibility: SOFT,
    Flexibility.at_point: {"self": Flexibility(**SOFT), "point": [0.2, 1.0, -0.7]},
    free_fall_speed: {"height": 0.4},
    drop: {
        "gear": GEAR,
        **LANDING,
        "attitude_deg": 2.0,
        "flexibility": Flexibility(**SOFT),
        "duration": 0.2,
        "rtol": 1e-4,
        "method": "RK45",
        "bottoming": "record",
    },
    Drop: fields(DROPPED),
    Instant: fields(DROPPED.spin_up),
    reserve_energy: {
        "gear": GEAR,
        "mass": 500.0,
        "reserve_speed": 3.0,
        "ground_speed": 30.0,
        "flexibility": Flexibility(**SOFT),
        "duration": 0.3,
        "rtol": 1e-4,
    },
    taxi_bump: {"gear": GEAR, **BUMP, "duration": 0.15, "rtol": 1e-4},
    BumpRide: fields(RIDDEN),
    drops: {
        "gear": GEAR,
        **{name: [value, value] for name, value in LANDING.items()},
        "shocks": SHOCKS,
        "attitude_deg": [2.0, 3.0],
        "flexibility": Flexibility(**SOFT),
        "tire_factor": [1.0, 1.1],
        "tread_factor": [1.0, 0.9],
        "duration": 0.5,
        "rtol": 1e-3,
        "processes": 1,
        "balance": True,
    },
    Drops: fields(drops(GEAR, **{name: [value] for name, value in LANDING.items()}, rtol=1e-3)),
}

EXCLUDED = {
    "Fold": "a tuple of results",
    "Bottomed": "an error that the drop raises",
    "NoShock": "an error that the choice of the shock raises",
}

SKIP = {}
