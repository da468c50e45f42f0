"""One good call of every public callable of the drop test, the choice of the shock, the retraction and their plots."""

from tempfile import gettempdir

import numpy as np
import tarn
from brake_stop import LANDING, NETWORK
from gear_landing import FLIGHT, GEAR, PLAN, SKEWED, SKEWED_GEAR, columns, plan
from matplotlib.figure import Figure

import beam.gear.plots
from beam.gear import (
    BrakeHeat,
    BrakeStop,
    BrakeTemperatures,
    Bump,
    Channel,
    ChannelError,
    Conduction,
    Constraint,
    Convection,
    Curve,
    DoorRod,
    DropComparison,
    DropRecord,
    DropTestPlan,
    GearWalk,
    LandingEnvelope,
    PivotAxis,
    Radiation,
    RetractingGear,
    ShockChoice,
    ShockDemand,
    ShockTrade,
    Swing,
    ThermalNode,
    Variant,
    bay_clearances,
    choose_shock,
    compare_drop,
    drop,
    gear_walk,
    landing_envelope,
    lock_load,
    pivot_axis,
    plan_drop_test,
    read_drop,
    reserve_energy,
    shock_trade,
    strut_clearances,
    sweep_clearances,
    swing,
    wheel_extent,
    wheel_pivot_axis,
)
from beam.gear.plots import (
    plot_brake_heat,
    plot_drop,
    plot_drop_test,
    plot_landing_envelope,
    plot_shock,
    plot_shock_trade,
    plot_swing,
)
from materials import Source

PACKAGES = [beam.gear.plots]

NODE = {"name": "disc", "mass": 2.0, "specific_heat": 500.0, "source": Source("invented", note="guess"),
        "heat_share": 1.0, "start_temperature": 300.0, "highest_temperature": 900.0}  # fmt: skip
STOP = {"mass": 1180.0, "ground_speed": 29.0, "deceleration": 3.0, "braked_wheels": 2, "energy_share": 0.9,
        "start": 1.0, "name": "landing"}  # fmt: skip
BETWEEN = {"first": "disc", "second": "ambient", "source": Source("invented")}
HEATED = NETWORK.temperatures([LANDING], duration=7200.0)
HEAT = {name: getattr(HEATED, name) for name in BrakeTemperatures.__dataclass_fields__}
MODE = {"stiffness": 5e5, "mass": 14.0, "wheel_inertia": 0.25, "rolling_radius": 0.19, "damping_ratio": 0.03,
        "torque_slope": [-2.0, 1.0], "least_damping_ratio": 0.01}  # fmt: skip
WHEEL = {"radius": 0.2, "width": 0.12}
RECORD = DropRecord(**columns())
DEMAND = {
    "stroke": 0.115,
    "load_factor": 3.2,
    "mass": 500.0,
    "speed": 2.9,
    "reserve_speed": 3.48,
    "lift_ratio": 0.6,
    "ground_speed": 35.0,
    "static_window": (0.6, 0.7),
    "bump": Bump(ground_speed=10.0, bump_height=0.02, bump_length=1.0),
}
ASKED = ShockDemand(**DEMAND)
LIMIT = drop(GEAR, mass=500.0, speed=2.9, lift_ratio=0.6, duration=0.3, rtol=1e-4)
RESERVE = reserve_energy(GEAR, mass=500.0, reserve_speed=3.0, duration=0.3, rtol=1e-4)
CHOICE = {"gear": GEAR, "demand": ASKED, "limit": LIMIT, "reserve": RESERVE, "bump": None, "tried": 245}
PLANNED = {field: getattr(plan(), field) for field in DropTestPlan.__dataclass_fields__}
COMPARISON = {"plan": plan(), "record": RECORD, "mass": plan().effective_mass}
VARIANT = {
    "name": "a variant",
    "source": Source("a document"),
    "orifice": 1.1,
    "charge": 0.9,
    "gas_temperature": 300.0,
    "exponent": 1.2,
    "friction": 1.5,
    "tire_pressure": 0.9,
}
ENVELOPE = landing_envelope(tarn.AIRPLANE, tarn.GEAR, variants=())
TWO = [0.1, 0.2]
TRADE = {"demand": ASKED, "stroke": TWO, "load_factor": [3.0, 2.0], "pressure": [2e6, 1e6],
         "volume": [2e-4, 4e-4], "compression": [2e4, 1e4]}  # fmt: skip
HISTORY = {name: [0.1, 0.2, 0.3] for name in Swing.__dataclass_fields__}
ANGLE = [0.0, 0.8, 1.6]
AXIS = SKEWED["axis"]
EXPOSED = {**SKEWED, "exposure": Curve(x=[0.0, 1.0], y=[1.0, 0.0])}
CENTERS = {"extended_center": [0.0, 0.0, -1.0], "stowed_center": [0.0, -1.0, 0.0]}
TURNED = [[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]]
AXES = tuple(Figure().subplots(3, 1))
AT_REST = {name: FLIGHT[name] for name in ("load_factor", "dynamic_pressure", "sideslip_deg", "brake_torque")}

CALLS = {
    Bump: {"ground_speed": 10.0, "bump_height": 0.02, "bump_length": 1.0},
    Channel: {"quantity": "stroke of the shock", "unit": "m", "peak": 0.1, "time_of_peak": 0.08},
    ChannelError: {"time": [0.0, 0.1], "measured": [1.0, 2.0], "predicted": [1.1, 1.9], "unit": "N",
                   "peak_error": 0.1},
    Constraint: {"name": "load factor", "value": 3.0, "limit": 3.2, "unit": "-", "note": "a remark"},
    DropTestPlan: PLANNED,
    DropTestPlan.landing_factor: {"self": plan(), "test_factor": 3.0, "dropped_mass": 300.0},
    DropTestPlan.acceleration_at: {"self": plan(), "time": [0.0, 0.1]},
    DropRecord: columns() | {"bandwidth": 300.0},
    DropRecord.peak_error: {"self": DropRecord(**columns(), bandwidth=300.0), "channel": "force"},
    DropComparison: COMPARISON,
    ShockDemand: DEMAND,
    ShockChoice: CHOICE,
    ShockTrade: TRADE,
    choose_shock: {"gear": GEAR, "demand": ASKED, "rounds": 0},
    shock_trade: {"gear": GEAR, "demand": ASKED, "stroke": [0.115], "rounds": 0},
    plan_drop_test: {"gear": GEAR, **PLAN, "attitude_deg": 1.0},
    compare_drop: COMPARISON,
    read_drop: {"path": f"{gettempdir()}/no such drop.csv", "bandwidth": 300.0},
    PivotAxis: {"point": [0.1, 0.0, 0.05], "direction": [-0.8, 0.5, 0.2], "angle": 1.6},
    PivotAxis.terms: {"self": AXIS, "point": [[0.0, 1.0, -0.7]]},
    PivotAxis.at: {"self": AXIS, "point": [0.0, 1.0, -0.7], "angle": ANGLE},
    PivotAxis.turned: {"self": AXIS, "along": [0.0, 1.0, 0.0], "angle": ANGLE},
    PivotAxis.swept_wheel: {"self": AXIS, "center": [0.0, 1.0, -0.7], "axle": [0.0, 1.0, 0.0], "angle": ANGLE,
                            "radius": 0.2, "width": 0.1, "points": 8},
    pivot_axis: {**CENTERS, "extended_orientation": np.eye(3), "stowed_orientation": TURNED},
    wheel_pivot_axis: {**CENTERS, "extended_axle": [0.0, 1.0, 0.0], "stowed_axle": [0.0, 0.0, -1.0]},
    DoorRod: {"on_gear": [0.05, 0.1, -0.3], "on_airplane": [0.1, 0.45, -0.1], "force": SKEWED["door"].force},
    DoorRod.moment: {"self": SKEWED["door"], "axis": AXIS, "angle": ANGLE},
    RetractingGear: EXPOSED,
    RetractingGear.actuator_length: {"self": SKEWED_GEAR, "angle": ANGLE},
    RetractingGear.actuator_arm: {"self": SKEWED_GEAR, "angle": ANGLE},
    RetractingGear.weight_moment: {"self": SKEWED_GEAR, "angle": ANGLE, "load_factor": (0.0, 0.0, 2.0)},
    RetractingGear.air_moment: {"self": SKEWED_GEAR, "angle": ANGLE, "dynamic_pressure": 1500.0, "sideslip_deg": 5.0},
    RetractingGear.brake_moment: {"self": SKEWED_GEAR, "brake_torque": 50.0},
    RetractingGear.held_moment: {"self": SKEWED_GEAR, "angle": ANGLE, **AT_REST},
    Swing: HISTORY,
    swing: {"gear": SKEWED_GEAR, "duration": 4.0, **FLIGHT, "extending": False, "steps": 20},
    lock_load: {"axis": AXIS, "angle": 1.6, "moment": [100.0, 200.0], "lock_at": [0.0, 0.3, -0.5],
                "lock_line": [0.2, 0.1, 1.0]},
    ThermalNode: NODE,
    Conduction: BETWEEN | {"conductivity": 45.0, "cross_section": 7e-4, "length": 0.06},
    Convection: BETWEEN | {"coefficient": 20.0, "surface": 0.05},
    Radiation: BETWEEN | {"emissivity": 0.8, "surface": 0.05, "view_factor": 0.6},
    BrakeStop: STOP,
    BrakeStop.power: {"self": LANDING, "time": [0.0, 1.0]},
    BrakeStop.absorbed: {"self": LANDING, "time": [0.0, 1.0]},
    BrakeHeat: {name: getattr(NETWORK, name) for name in BrakeHeat.__dataclass_fields__},
    BrakeHeat.temperatures: {"self": NETWORK, "stops": [LANDING], "duration": 7200.0},
    BrakeTemperatures: HEAT,
    GearWalk: MODE,
    gear_walk: MODE,
    wheel_extent: {"along": [0.0, 0.0, 1.0], "axle": [0.0, 1.0, 0.0], **WHEEL},
    bay_clearances: {"axis": AXIS, "center": [0.0, 1.0, -0.7], "axle": [0.0, 1.0, 0.0], **WHEEL,
                     "lower": [-1.0, -1.0, -1.0], "upper": [1.0, 2.0, 1.0], "orientation": np.eye(3), "angle": ANGLE,
                     "required": 0.01},
    sweep_clearances: {"axis": AXIS, "center": [0.0, 1.0, -0.7], "axle": [0.0, 1.0, 0.0], **WHEEL,
                       "points": [[1.0, 0.0, 0.0]], "names": ["spar"], "required": 0.01},
    strut_clearances: {"position": [[0.0, 0.0, 0.0], [0.0, 0.0, -1.0]], "displacement": [[[0.0] * 3, [0.1, 0.0, 0.0]]],
                       "points": [[1.0, 0.0, 0.0]], "size": [0.06, 0.05], "names": ["spar"], "required": 0.01},
    plot_brake_heat: {"temperatures": HEATED, "ax": AXES[0], "units": "SI"},
    Variant: VARIANT,
    LandingEnvelope: {name: getattr(ENVELOPE, name) for name in LandingEnvelope.__dataclass_fields__},
    landing_envelope: {
        "airplane": tarn.AIRPLANE,
        "gear": tarn.GEAR,
        "flexibility": None,
        "variants": (),
        "corners": False,
        "factors": "one for all",
        "drop_instants": True,
        "nose_clear_attitude_deg": 0.0,
        "lift_ratio": 0.6,
        "equipment": tarn.EQUIPMENT,
        "workers": 1,
        "progress": None,
    },
    plot_landing_envelope: {"envelope": ENVELOPE, "axes": AXES[:2], "units": "SI"},
    plot_drop: {"drop": LIMIT, "axes": AXES[:2], "units": "SI"},
    plot_shock: {"drop": LIMIT, "shock": GEAR.shock, "ax": AXES[0], "units": "SI"},
    plot_drop_test: {"comparison": DropComparison(**COMPARISON), "axes": AXES, "units": "SI"},
    plot_shock_trade: {"trade": ShockTrade(**TRADE), "choice": ShockChoice(**CHOICE), "ax": AXES[0], "units": "SI"},
    plot_swing: {"swing": Swing(**HISTORY), "axes": AXES[:2], "units": "SI"},
}  # fmt: skip

EXCLUDED = {}
