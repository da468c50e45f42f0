"""Layout and equipment of an airplane against the code and against practice."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from scipy.constants import inch

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase
from beam.loads.equipment import Equipment
from beam.loads.layout import sunk_nose_height, tail_clearance_angle, tip_back_angle, turnover_angle
from beam.loads.stance import ground_axes, stance
from beam.loads.wheels import (
    brake_energy,
    braking_torque,
    nose_tire_load,
    radial_limit_load,
    skid_deceleration,
    static_wheel_loads,
    stopping_distance,
)
from materials.checks import Array
from materials.kinds import instance, instances

FRICTION = 0.8
PROPELLER_CLEARANCE = 7 * inch
"""23.493(b) friction of a braked tire [-]; 23.925(a) with a nose wheel [m]."""

NOSE_SHARE = (0.05, 0.20)
TIP_BACK_DEG = 15.0
TURNOVER_DEG = 63.0
"""Raymer, Aircraft Design, and Currey, Aircraft Landing Gear Design; from memory, not regulation."""

PRACTICE = "common practice (Raymer, Currey; from memory)"


@dataclass(frozen=True)
class Check:
    """One line of the table of checks.

    Parameters
    ----------
    check : str
        What is checked.
    value : float, optional
        What the airplane has; None: not given [unit].
    relation : str
        ">=", ">", "<=", or "" where there is no limit.
    limit : float, optional
        What it must reach or keep; None where there is none [unit].
    unit : str
        Unit of value and limit.
    source : str
        Paragraph, or that it is common practice.
    """

    check: str
    value: float | None
    relation: str
    limit: float | None
    unit: str
    source: str

    @property
    def met(self) -> bool | None:
        """Whether the limit is met; None where a side is missing."""
        if self.value is None or self.limit is None:
            return None
        if self.relation == ">":
            return self.value > self.limit
        slack = self.value - self.limit if self.relation == ">=" else self.limit - self.value
        return slack >= -1e-12 * abs(self.limit)


def layout_checks(airplane: Airplane, equipment: Equipment, cases: Iterable[GroundCase]) -> list[Check]:
    """Return every layout and equipment check.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    equipment : Equipment
        Ratings and points; what is missing is listed without a value.
    cases : iterable of GroundCase
        Ground cases, for the limit ratings of the wheels.

    Returns
    -------
    list of Check
        The checks.

    References
    ----------
    14 CFR 23.481, 23.731, 23.733, 23.735, 23.925 (through Amendment 23-62).
    """
    instance("layout_checks: airplane", airplane, Airplane)
    instance("layout_checks: equipment", equipment, Equipment)
    held = instances("layout_checks: cases", cases, GroundCase, least=0)
    return [
        *_angles(airplane),
        *_clearances(airplane, equipment),
        *_ratings(airplane, equipment, held),
        *_brakes(airplane, equipment),
    ]


def _angles(airplane: Airplane) -> Iterator[Check]:
    forward, aft = stance(airplane, "forward"), stance(airplane, "aft")
    least, most = NOSE_SHARE
    yield Check("nose share, aft c.g.", aft.main_arm / aft.wheelbase, ">=", least, "-", PRACTICE)
    yield Check("nose share, forward c.g.", forward.main_arm / forward.wheelbase, "<=", most, "-", PRACTICE)
    tip = min(float(tip_back_angle(at.main_arm, at.height)) for at in (forward, aft))
    yield Check("tip-back angle", tip, ">=", TIP_BACK_DEG, "deg", PRACTICE)
    yield Check("tip-back angle against tail-down angle", tip, ">=", _pitch(airplane), "deg", PRACTICE)
    over = [turnover_angle(at.nose_arm, at.wheelbase, at.half_track, at.height) for at in (forward, aft)]
    yield Check("turnover angle", max(map(float, over)), "<=", TURNOVER_DEG, "deg", PRACTICE)


def _pitch(airplane: Airplane) -> float | None:
    """Pitch of the tail-down landing from level [deg]."""
    tail_down = airplane.tail_down_angle_deg
    return None if tail_down is None else tail_down - airplane.level_attitude_deg


def _clearances(airplane: Airplane, equipment: Equipment) -> Iterator[Check]:
    tail, clear = _from_main(airplane, equipment.point("tail_point")), None
    if tail is not None:
        clear = float(tail_clearance_angle(tail, airplane.required("main_wheel_radius", "23.481(a)(2)")))
    name = "pitch at which the tail touches, against tail-down angle"
    yield Check(name, clear, ">=", _pitch(airplane), "deg", "23.481(a)(2)")
    propeller = _from_main(airplane, equipment.point("propeller_tip"))
    height = None if propeller is None else float(propeller[1])
    yield Check("propeller clearance, standing", height, ">=", PROPELLER_CLEARANCE, "m", "23.925(a)")
    sunk = None
    if propeller is not None and equipment.nose_sink is not None:
        sunk = float(sunk_nose_height(propeller, airplane.wheelbase, equipment.nose_sink))
    name = "propeller clearance, nose strut bottomed and tire flat"
    yield Check(name, sunk, ">", 0.0, "m", "23.925(a)")


def _from_main(airplane: Airplane, point: Array | None) -> Array | None:
    """Aft of and above the main contacts, on ground axes, airplane level."""
    if point is None:
        return None
    offset = ground_axes(point - airplane.point("main_contact"), airplane.level_attitude_deg)
    return np.asarray(offset[[0, 2]])


def _ratings(airplane: Airplane, equipment: Equipment, cases: tuple[GroundCase, ...]) -> Iterator[Check]:
    main, nose = static_wheel_loads(airplane)
    main_limit, nose_limit = radial_limit_load(cases, "starboard", "port"), radial_limit_load(cases, "nose")
    for name, value, limit, source in (
        ("main wheel static rating", equipment.main_wheel_static_rating, main, "23.731(a)"),
        ("main wheel limit rating", equipment.main_wheel_limit_rating, main_limit, "23.731(b)"),
        ("main tire static rating", equipment.main_tire_static_rating, main, "23.733(a)"),
        ("nose wheel static rating", equipment.nose_wheel_static_rating, nose, "23.731(a)"),
        ("nose wheel limit rating", equipment.nose_wheel_limit_rating, nose_limit, "23.731(b)"),
        (
            "nose tire dynamic rating",
            equipment.nose_tire_dynamic_rating,
            nose_tire_load(airplane),
            "23.733(b)",
        ),
    ):
        yield Check(name, value, ">=", limit, "N", source)


def _brakes(airplane: Airplane, equipment: Equipment) -> Iterator[Check]:
    energy = float(brake_energy(airplane.landing_mass, airplane.stall_speed))
    name = "brake energy rating, one brake, from V_S0"
    yield Check(name, equipment.brake_energy_rating, ">=", energy, "J", "23.735(a)")
    slow, given = equipment.braking_deceleration, "follows from the given deceleration"
    if slow is None:
        return
    distance = float(stopping_distance(airplane.stall_speed, slow))
    yield Check("stopping distance from V_S0 at the deceleration of braking", distance, "", None, "m", given)
    radius = airplane.required("main_wheel_radius", "the brake torque")
    torque = float(braking_torque(airplane.landing_mass, slow, radius))
    yield Check(
        "brake torque, one brake, at the deceleration of braking",
        airplane.brake_torque,
        ">=",
        torque,
        "N m",
        given,
    )
    skid = skid_deceleration(airplane, FRICTION)
    name = f"deceleration against skidding at friction {FRICTION:g}"
    yield Check(name, slow, "<=", skid, "m/s2", "friction of 23.493(b)")
