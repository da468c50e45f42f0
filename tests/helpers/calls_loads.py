"""One good call of every public callable of `beam.loads` and its packages, with every argument."""

import matplotlib as mpl

mpl.use("Agg")

import tempfile
from pathlib import Path

from tourer import TOURER

from beam import loads
from beam.loads import part23, plots
from beam.loads.part23.landing import Landing

PACKAGES = [loads, part23, plots]

LANDING = Landing(load_factor=3.0, reserve_load_factor=4.0)
CASES = loads.case_list(TOURER, LANDING)
WHEEL = loads.WheelLoad(leg="nose", Fz=1.0, applied_at="axle")
PATH = Path(tempfile.mkdtemp()) / "loads.csv"
loads.case_table(CASES).to_csv(PATH, index=False)

INSTANT = {
    "name": "spin-up",
    "drag": 7000.0,
    "ground_drag": 6000.0,
    "vertical": 7500.0,
    "fraction": 0.1,
    "basis": "nominal",
}
POINT = {
    "condition": "nose clear",
    "mass": 1180.0,
    "load_factor": 3.0,
    "attitude_deg": 1.0,
    "instants": (loads.DropInstant(**INSTANT),),
    "reserve_load_factor": 4.0,
    "basis": "nominal",
}
SPIN_UP = {
    "wheel_inertia": 0.2,
    "rolling_radius": 0.18,
    "time_to_peak": 0.1,
    "friction": 0.8,
    "pre_rotation": 0.0,
}
LEG = {
    "mass": 14.0,
    "drag_area": 0.06,
    "stall_speed_clean": 32.0,
    "wheel_inertia": 0.25,
    "take_off_speed": 36.0,
    "retraction_rate": (0.5, 0.0, -0.2),
    "brake_torque": 120.0,
    "flight_load_factor": 3.8,
    "sideslip_deg": 12.0,
    "side_area": 0.09,
}
SHEET = {
    "max_mass": 1240.0,
    "landing_mass": 1180.0,
    "wing_area": 11.8,
    "cg_forward": (2.43, 0.0, 0.20),
    "cg_aft": (2.51, 0.0, 0.20),
    "nose_contact": (0.82, 0.0, -0.85),
    "main_contact": (2.83, 1.05, -0.85),
    "stall_speed": 29.0,
    "main_wheel_radius": 0.19,
    "nose_wheel_radius": 0.16,
    "tail_down_angle_deg": 13.0,
    "brake_torque": 400.0,
    "main_tire_pressure": 3.1e5,
    "steering_torque": 150.0,
    "fuel_capacity": 300.0,
    "half_hour_fuel": 40.0,
    "moments_of_inertia": (1900.0, 2300.0, 3900.0),
    "flight_gear": loads.FlightGear(**LEG),
    "name": "tourer",
}
EQUIPMENT = {
    "main_wheel_static_rating": 6.5e3,
    "main_wheel_limit_rating": 20e3,
    "main_tire_static_rating": 6.5e3,
    "nose_wheel_static_rating": 3e3,
    "nose_wheel_limit_rating": 16e3,
    "nose_tire_dynamic_rating": 5e3,
    "brake_energy_rating": 260e3,
    "braking_deceleration": 3.0,
    "propeller_tip": (0.30, 0.0, -0.58),
    "nose_sink": 0.15,
    "tail_point": (6.2, 0.0, 0.3),
}
CASE = {
    "paragraph": "X 1",
    "condition": "some",
    "mass": 1000.0,
    "cg": "aft",
    "shock": "landing",
    "attitude_deg": 2.0,
    "wheels": (WHEEL,),
    "lift_ratio": 0.5,
    "level": "limit",
    "strokes": (0.5, 0.9),
}
BALANCED = loads.balance(TOURER, CASES[:1])[0]
TABLE = {"airplane": TOURER, "landing": LANDING, "conditions": part23.LANDING_AND_ROLLING, "units": "US"}

ITEM = {"name": "fuel", "mass": 100.0, "arm": (2.5, 0.0, 0.1), "least": 20.0, "all_or_none": False}
ITEMS = (loads.MassItem(**ITEM), loads.MassItem(name="empty", mass=900.0, arm=(2.4, 0.0, 0.2)))
RANGE = loads.cg_range(ITEMS, [950.0])

CALLS = {
    loads.MassItem: ITEM,
    loads.CgRange: {name: getattr(RANGE, name) for name in loads.CgRange.__dataclass_fields__},
    loads.cg_range: {"items": ITEMS, "mass": [950.0]},
    loads.Airplane: SHEET,
    loads.Airplane.required: {"self": TOURER, "name": "main_wheel_radius", "paragraph": "X 1"},
    loads.Airplane.wing_loading: {"self": TOURER, "mass": 1000.0},
    loads.Balance: {
        "case": CASES[0],
        "load_factor": (0.0, 0.0, 3.0),
        "inertia_force": (0.0, 0.0, -2e4),
        "inertia_moment": (0.0, 1e3, 0.0),
        "angular_acceleration": (0.0, 1.0, 0.0),
    },
    loads.Balance.load_factor_at: {"self": BALANCED, "offset": (1.0, 0.0, 0.0)},
    loads.Equipment: EQUIPMENT,
    loads.FlightGear: LEG,
    loads.GroundCase: CASE,
    loads.DropInstant: INSTANT,
    loads.LandingPoint: POINT,
    loads.Landing: {
        "points": (loads.LandingPoint(**POINT),),
        "factors": "one for all",
        "load_factor": 3.0,
        "lift_ratio": 0.5,
        "spin_up": loads.SpinUp(**SPIN_UP),
        "nose_spin_up": loads.SpinUp(**SPIN_UP),
        "max_mass_load_factor": 2.9,
        "reserve_load_factor": 4.0,
    },
    loads.SpinUp: SPIN_UP,
    loads.Stance: {"nose_arm": 1.7, "main_arm": 0.3, "height": 1.0, "half_track": 1.0},
    loads.WheelLoad: {"leg": "nose", "applied_at": "axle"}
    | dict.fromkeys(("Fx", "Fy", "Fz", "Mx", "My", "Mz", "ground_Fx"), 9.0),
    loads.airplane_axes: {"vector": (1.0, 2.0, 3.0), "attitude_deg": 3.0},
    loads.ground_axes: {"vector": (1.0, 2.0, 3.0), "attitude_deg": 3.0},
    loads.balance: {"airplane": TOURER, "cases": tuple(CASES)},
    loads.brake_energy: {"mass": 1000.0, "speed": 30.0, "braked_wheels": 2},
    loads.braking_torque: {"mass": 1000.0, "deceleration": 3.0, "wheel_radius": 0.2, "braked_wheels": 2},
    loads.case_list: {name: TABLE[name] for name in ("airplane", "landing", "conditions")},
    loads.case_table: {"cases": tuple(CASES), "units": "US"},
    loads.contact_speed: {"airplane": TOURER, "mass": 1000.0},
    loads.drag_factor: {"mass": 1000.0},
    loads.drop_height: {"wing_loading": 1000.0},
    loads.drop_load_factor: {"test_factor": 3.0, "effective_mass": 400.0, "mass": 500.0, "lift_ratio": 0.5},
    loads.effective_mass: {"mass": 500.0, "height": 0.3, "deflection": 0.2, "lift_ratio": 0.5},
    loads.ground_cases: TABLE,
    loads.inertia_balance: TABLE,
    loads.layout_table: TABLE | {"equipment": loads.Equipment(**EQUIPMENT)},
    loads.limit_descent_speed: {"wing_loading": 1000.0},
    loads.nose_tire_load: {"airplane": TOURER},
    loads.pair: {"Fx": 1.0, "Fz": 2.0, "applied_at": "axle"},
    loads.read_cases: {"path": PATH},
    loads.required_load_factor: {"drop_load_factor": 3.0, "lift_ratio": 0.5},
    loads.reserve_descent_speed: {"wing_loading": 1000.0},
    loads.reserve_drop_height: {"wing_loading": 1000.0},
    loads.spin_up_drag: {"peak_vertical": 9e3, "ground_speed": 30.0} | SPIN_UP,
    loads.split: {"weight": 9e3, "nose_arm": 1.7, "main_arm": 0.3, "moment": 0.0},
    loads.stance: {"airplane": TOURER, "cg": "aft"},
    loads.standing: {
        "airplane": TOURER,
        "paragraph": "X 1",
        "condition": "some",
        "cg": "aft",
        "wheels": WHEEL,
    },
    loads.static_reactions: {"airplane": TOURER, "masses": (900.0, 1000.0), "units": "US"},
    loads.stopping_distance: {"speed": 30.0, "deceleration": 3.0},
    loads.tail_clearance_angle: {"point": (4.0, 0.9), "wheel_radius": 0.2},
    loads.tip_back_angle: {"main_arm": 0.3, "height": 1.0},
    loads.turnover_angle: {"nose_arm": 1.7, "wheelbase": 2.0, "half_track": 1.0, "height": 1.0},
    loads.unit_masses: {"airplane": TOURER, "mass": 1000.0},
    plots.plot_cg_range: {"cg_range": RANGE, "airplane": TOURER, "ax": None, "units": "US"},
    plots.plot_airplane: {"airplane": TOURER, "case": CASES[0], "axes": None, "units": "US"},
} | {condition: {"airplane": TOURER, "landing": LANDING} for condition in part23.EVERY}
EXCLUDED = {"Callable": "the type of a condition, not a function"}
