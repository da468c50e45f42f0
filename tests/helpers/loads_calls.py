"""Every public callable of the ground loads with arguments that it takes."""

from typing import Any, NamedTuple

import numpy as np
from loads_airplane import TOURER, tourer

from beam import loads
from beam.loads import part23
from beam.loads.plots import plot_airplane


class Each(NamedTuple):
    """Argument that is a number or an array of them, broadcast with the others."""

    value: float


class Point(NamedTuple):
    """Argument of a fixed trailing shape."""

    value: tuple[float, ...]


class Word(NamedTuple):
    """Argument that is one of a few words."""

    value: str


class Text(NamedTuple):
    """Argument that is any text."""

    value: str


AIRPLANE = tourer()
LANDING = loads.Landing(load_factor=3.0)
WHEEL = loads.WheelLoad(leg="nose", Fz=1.0, applied_at="axle")
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
    "retraction_rate": Point((0.5, 0.0, -0.2)),
    "brake_torque": 120.0,
    "flight_load_factor": 3.8,
    "sideslip_deg": 12.0,
    "side_area": 0.09,
}
FLYING = tourer(
    flight_gear=loads.FlightGear(**LEG | {"retraction_rate": (0.5, 0.0, -0.2)}), steering_torque=150.0
)
CASE = {
    "paragraph": Text("X 1"),
    "condition": Text("some"),
    "mass": 1000.0,
    "cg": Word("aft"),
    "shock": Word("landing"),
    "attitude_deg": 2.0,
    "wheels": (WHEEL,),
    "lift_ratio": 0.5,
    "level": Word("limit"),
    "strokes": Point((0.5,)),
}
CASES = loads.case_list(AIRPLANE, LANDING)
EQUIPMENT = {
    **dict.fromkeys(
        (
            *("main_wheel_static_rating", "main_wheel_limit_rating", "main_tire_static_rating"),
            *("nose_wheel_static_rating", "nose_wheel_limit_rating", "nose_tire_dynamic_rating"),
            "brake_energy_rating",
        ),
        9e3,
    ),
    "braking_deceleration": 3.0,
    "propeller_tip": Point((0.3, 0.0, -0.58)),
    "nose_sink": 0.15,
    "tail_point": Point((6.2, 0.0, 0.3)),
}
SHEET = {
    **{name: Point(value) if isinstance(value, tuple) else value for name, value in TOURER.items()},
    "name": Text("tourer"),
    "brake_torque": 400.0,
    "steering_torque": 150.0,
    "fuel_capacity": 300.0,
    "half_hour_fuel": 40.0,
    "flight_gear": FLYING.flight_gear,
}
FACTORS = {"load_factor": 3.0, "lift_ratio": 0.5, "max_mass_load_factor": 2.9, "reserve_load_factor": 4.0}
SPUN = {"spin_up": loads.SpinUp(**SPIN_UP), "nose_spin_up": loads.SpinUp(**SPIN_UP)}
UNITS = {"units": Word("US")}
CONDITIONS = {"conditions": part23.LANDING_AND_ROLLING}
ARMS = {"nose_arm": Each(1.7), "main_arm": Each(0.3)}
EQUIPPED = loads.Equipment(**{key: getattr(value, "value", value) for key, value in EQUIPMENT.items()})
CHECKED = {"airplane": AIRPLANE, "equipment": EQUIPPED, "cases": CASES}
BALANCED = loads.balance(AIRPLANE, CASES[:1])[0]
TURNED = {"vector": Point((1.0, 2.0, 3.0)), "attitude_deg": Each(3.0)}

CALLS: dict[str, tuple[Any, dict[str, Any]]] = {
    "Airplane": (loads.Airplane, SHEET),
    "Airplane.point": (AIRPLANE.point, {"name": Word("cg_aft")}),
    "Airplane.required": (AIRPLANE.required, {"name": Word("main_wheel_radius"), "paragraph": Text("X 1")}),
    "Airplane.wing_loading": (AIRPLANE.wing_loading, {"mass": 1000.0}),
    "Balance.load_factor_at": (BALANCED.load_factor_at, {"offset": Point((1.0, 0.0, 0.0))}),
    "Equipment": (loads.Equipment, EQUIPMENT),
    "Equipment.point": (EQUIPPED.point, {"name": Word("tail_point")}),
    "FlightGear": (loads.FlightGear, LEG),
    "GroundCase": (loads.GroundCase, CASE),
    "Landing": (loads.Landing, {**FACTORS, **SPUN}),
    "Landing.case": (
        LANDING.case,
        {
            **{"airplane": AIRPLANE, "paragraph": Text("X 1"), "condition": Text("some"), "mass": 1000.0},
            **{"cg": Word("aft"), "wheels": (WHEEL,), "attitude_deg": 3.0},
        },
    ),
    "Landing.corners": (LANDING.corners, {"airplane": AIRPLANE}),
    "SpinUp": (loads.SpinUp, SPIN_UP),
    "Stance": (loads.Stance, {"nose_arm": 1.7, "main_arm": 0.3, "height": 1.0, "half_track": 1.0}),
    "WheelLoad": (
        loads.WheelLoad,
        {
            "leg": Word("nose"),
            "applied_at": Word("axle"),
            **dict.fromkeys(("Fx", "Fy", "Fz", "Mx", "My", "Mz"), 9.0),
        },
    ),
    "airplane_axes": (loads.airplane_axes, TURNED),
    "balance": (loads.balance, {"airplane": AIRPLANE, "cases": CASES}),
    "brake_energy": (
        loads.brake_energy,
        {"mass": Each(1000.0), "speed": Each(30.0), "braked_wheels": Each(2.0)},
    ),
    "braking_torque": (
        loads.braking_torque,
        {
            **{"mass": Each(1000.0), "deceleration": Each(3.0)},
            **{"wheel_radius": Each(0.2), "braked_wheels": Each(2.0)},
        },
    ),
    "case_list": (loads.case_list, {"airplane": AIRPLANE, "landing": LANDING, **CONDITIONS}),
    "case_table": (loads.case_table, {"cases": CASES, **UNITS}),
    "contact_speed": (loads.contact_speed, {"airplane": AIRPLANE, "mass": 1000.0}),
    "drag_factor": (loads.drag_factor, {"mass": Each(1000.0)}),
    "drop_height": (loads.drop_height, {"wing_loading": Each(1000.0)}),
    "drop_load_factor": (
        loads.drop_load_factor,
        {
            "test_factor": Each(3.0),
            "effective_mass": Each(400.0),
            "mass": Each(500.0),
            "lift_ratio": Each(0.5),
        },
    ),
    "effective_mass": (
        loads.effective_mass,
        {"mass": Each(500.0), "height": Each(0.3), "deflection": Each(0.2), "lift_ratio": Each(0.5)},
    ),
    "ground_axes": (loads.ground_axes, TURNED),
    "ground_cases": (loads.ground_cases, {"airplane": AIRPLANE, **FACTORS, **SPUN, **CONDITIONS, **UNITS}),
    "inertia_balance": (
        loads.inertia_balance,
        {"airplane": AIRPLANE, "landing": LANDING, **CONDITIONS, **UNITS},
    ),
    "layout_checks": (loads.layout_checks, CHECKED),
    "layout_table": (loads.layout_table, {**CHECKED, **UNITS}),
    "limit_descent_speed": (loads.limit_descent_speed, {"wing_loading": Each(1000.0)}),
    "nose_tire_load": (loads.nose_tire_load, {"airplane": AIRPLANE}),
    "pair": (loads.pair, {"Fx": 1.0, "Fz": 2.0, "applied_at": Word("axle")}),
    "required_load_factor": (loads.required_load_factor, {"drop_load_factor": 3.0, "lift_ratio": 0.5}),
    "reserve_descent_speed": (loads.reserve_descent_speed, {"wing_loading": Each(1000.0)}),
    "reserve_drop_height": (loads.reserve_drop_height, {"wing_loading": Each(1000.0)}),
    "spin_up_drag": (
        loads.spin_up_drag,
        {
            name: Each(value)
            for name, value in {"peak_vertical": 9e3, "ground_speed": 30.0, **SPIN_UP}.items()
        },
    ),
    "split": (loads.split, {"weight": Each(9e3), **ARMS, "moment": Each(0.0)}),
    "stance": (loads.stance, {"airplane": AIRPLANE, "cg": Word("aft")}),
    "standing": (
        loads.standing,
        {
            **{"airplane": AIRPLANE, "paragraph": Text("X 1"), "condition": Text("some")},
            **{"cg": Word("aft"), "wheels": (WHEEL,)},
        },
    ),
    "static_reactions": (loads.static_reactions, {"airplane": AIRPLANE, "masses": Each(900.0), **UNITS}),
    "stopping_distance": (loads.stopping_distance, {"speed": Each(30.0), "deceleration": Each(3.0)}),
    "tail_clearance_angle": (
        loads.tail_clearance_angle,
        {"point": Point((4.0, 0.9)), "wheel_radius": Each(0.2)},
    ),
    "tip_back_angle": (loads.tip_back_angle, {"main_arm": Each(0.3), "height": Each(1.0)}),
    "turnover_angle": (
        loads.turnover_angle,
        {"nose_arm": Each(1.7), "wheelbase": Each(2.0), "half_track": Each(1.0), "height": Each(1.0)},
    ),
    "unit_masses": (loads.unit_masses, {"airplane": AIRPLANE, "mass": 1000.0}),
    "plot_airplane": (plot_airplane, {"airplane": AIRPLANE, "case": CASES[0], "axes": None, **UNITS}),
    **{
        name: (
            getattr(part23, name),
            {"airplane": FLYING, "landing": loads.Landing(load_factor=3.0, reserve_load_factor=4.0)},
        )
        for name in (
            *(
                "braked_roll",
                "gear_extended",
                "jacking",
                "nose_clear_landing",
                "nose_wheel",
                "one_wheel_landing",
            ),
            *(
                "pivoting",
                "reserve_energy",
                "retraction",
                "side_load",
                "tail_down_landing",
                "three_point_landing",
            ),
            "towing",
        )
    },
}


def plain(good: dict[str, Any]) -> dict[str, Any]:
    """Return arguments as the callable takes them."""
    return {name: _plain(value) for name, value in good.items()}


def _plain(value: Any) -> Any:
    if isinstance(value, Each):
        return np.copy(value.value)
    return value.value if isinstance(value, Point | Word | Text) else value
