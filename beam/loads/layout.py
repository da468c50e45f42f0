"""Layout and equipment of the standing airplane against the code and against practice: angles, clearances, ratings."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Annotated, Any

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import inch

from beam.loads.airplane import CENTERS, Airplane
from beam.loads.case import Condition, GroundCase
from beam.loads.case_tables import Units, case_list
from beam.loads.equipment import Equipment
from beam.loads.part23 import LANDING_AND_ROLLING
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
from beam.units import shown, symbol
from materials.checks import Array, Limits, broadcastable, checked, common_shape, reject

if TYPE_CHECKING:
    from pandas import DataFrame

FRICTION = 0.8
PROPELLER_CLEARANCE = 7 * inch
"""23.493(b) friction of a braked tire [-]; 23.925(a) with a nose wheel [m]."""

NOSE_SHARE = (0.05, 0.20)
TIP_BACK_DEG = 15.0
TURNOVER_DEG = 63.0
"""Raymer, Aircraft Design, and Currey, Aircraft Landing Gear Design; from memory, not regulation."""

PRACTICE = "common practice (Raymer, Currey; from memory)"

LONGEST = 20.0
"""No length of a light airplane's gear is longer [m]; common practice, no source."""

READ_AS = {"N": "force", "m": "distance", "N m": "moment", "J": "energy", "m/s2": "acceleration"}
"""Unit of a check -> quantity of `beam.units.shown`."""

_SLIP = "given in mm or inches?"
_BEHIND = "over or behind the main wheels the airplane sits on its tail; given in mm or inches?"
_Lengths = Annotated[ArrayLike, Limits("m", above=0.0, at_most=LONGEST, cause=_SLIP)]
_Check = tuple[str, float | None, str, float | None, str, str]
"""What is checked, value, relation, limit, unit, source."""


@checked
def tip_back_angle(
    main_arm: Annotated[ArrayLike, Limits("m", above=0.0, at_most=LONGEST, cause=_BEHIND)],
    height: _Lengths,
) -> Array:
    """Return the angle from the vertical to the line from the main contacts up to the c.g.

    Parameters
    ----------
    main_arm : array_like
        c.g. to main contacts along the ground [m].
    height : array_like
        c.g. above the ground [m].

    Returns
    -------
    ndarray
        Pitch at which the c.g. stands over the main wheels [deg].

    Raises
    ------
    ValueError
        If a length is not positive; a c.g. behind the mains has no tip-back angle.

    Notes
    -----
    tan(angle) = b / h.

    Examples
    --------
    >>> tip_back_angle(0.32, [1.0, 1.05]).round(2)
    array([17.74, 16.95])
    """
    b, h = broadcastable(main_arm=main_arm, height=height)
    return np.degrees(np.arctan2(b, h))


@checked
def turnover_angle(
    nose_arm: Annotated[
        ArrayLike,
        Limits(
            "m",
            above=0.0,
            at_most=LONGEST,
            cause="the c.g. is ahead of the nose wheel, or given in mm or inches?",
        ),
    ],
    wheelbase: _Lengths,
    half_track: _Lengths,
    height: _Lengths,
) -> Array:
    """Return the turnover angle: how steep the c.g. stands above the line from nose to main contact.

    Parameters
    ----------
    nose_arm : array_like
        Nose contact to c.g. along the ground [m].
    wheelbase : array_like
        Nose to main contacts along the ground [m].
    half_track : array_like
        Main contact to the plane of symmetry [m].
    height : array_like
        c.g. above the ground [m].

    Returns
    -------
    ndarray
        Angle; small is stable [deg].

    Raises
    ------
    ValueError
        If a length is not positive, or the c.g. is behind the main wheels.

    Notes
    -----
    tan(angle) = h / (a sin(delta)), tan(delta) = half track / wheelbase.

    Examples
    --------
    >>> turnover_angle(1.61, 2.01, 1.05, [1.0, 1.05]).round(2)
    array([53.3 , 54.63])
    """
    a, d, t, h = broadcastable(nose_arm=nose_arm, wheelbase=wheelbase, half_track=half_track, height=height)
    if not (a < d).all():
        reject("turnover_angle: nose_arm [m]", a.tolist(), f"below the wheelbase of {d.tolist()}",
               "the c.g. is behind the main wheels: the airplane sits on its tail")  # fmt: skip
    return np.degrees(np.arctan2(h, a * t / np.hypot(t, d)))


@checked
def tail_clearance_angle(
    point: Annotated[ArrayLike, Limits("m", last=(2,), at_most=2 * LONGEST, cause="x runs aft, in meters")],
    wheel_radius: Annotated[ArrayLike, Limits("m", at_least=0.0, at_most=2.0, cause=_SLIP)],
) -> Array:
    """Return the pitch from level at which a point of the tail touches, rolling back on the main wheels.

    Parameters
    ----------
    point : array_like, shape (..., 2)
        Aft of and above the main contacts, on ground axes [m].
    wheel_radius : array_like
        Main axle above the ground; the leg stays at its standing length [m].

    Returns
    -------
    ndarray
        Pitch [deg].

    Raises
    ------
    ValueError
        If the point is not behind the main wheel.

    Notes
    -----
    The point turns about the axle, R away at the angle gamma above aft, and touches when it is a wheel radius r
    below the axle: gamma + asin(r / R).

    Examples
    --------
    >>> tail_clearance_angle([[4.0, 0.9], [4.0, 1.1]], 0.19).round(2)
    array([12.75, 15.47])
    """
    at, r = np.asarray(point), np.asarray(wheel_radius)
    common_shape("tail_clearance_angle: point, wheel_radius", at.shape[:-1], r.shape)
    if not (at[..., 0] > r).all():
        reject("tail_clearance_angle: point, aft of the main contacts [m]", at[..., 0].tolist(),
               "more than wheel_radius", "a point ahead of the mains does not come down; x runs aft")  # fmt: skip
    x, z = at[..., 0], at[..., 1] - r
    return np.degrees(np.arctan2(z, x) + np.arcsin(r / np.hypot(x, z)))


@checked
def layout_table(
    airplane: Airplane,
    equipment: Equipment,
    landing: Any,
    *,
    conditions: Sequence[Condition] = LANDING_AND_ROLLING,
    units: Units = "SI",
) -> "DataFrame":
    """Return the layout and equipment checks.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    equipment : Equipment
        Ratings and points; what is missing is listed without a value.
    landing : Landing or any object
        The landing of the ground cases, for the limit ratings of the wheels.
    conditions : sequence of callable
        Functions (airplane, landing) -> list of GroundCase, as of `ground_cases`.
    units : str
        "SI": base units; "US": US customary, as the column unit says.

    Returns
    -------
    DataFrame
        Columns check, value, relation, limit, unit, met (missing where value or limit is), source (paragraph, or
        common practice).

    Raises
    ------
    ValueError
        If the sheet or the landing lacks what a condition needs, or no case loads a wheel.

    Notes
    -----
    The angles are those of `tip_back_angle`, `turnover_angle` and `tail_clearance_angle`. With the nose sunk by s
    the airplane turns about the main contacts by asin(s / d).
    Source: 14 CFR 23.481, 23.731, 23.733, 23.735, 23.925.

    Examples
    --------
    >>> from beam.loads import Landing
    >>> from tourer import TOURER  # examples/tourer.py
    >>> table = layout_table(TOURER, Equipment(), Landing(load_factor=3.0))
    >>> table.loc[table.check == "nose wheel limit rating", ["limit", "unit"]].round(0).values.tolist()
    [[11693.0, 'N']]
    """
    from pandas import DataFrame

    cases = case_list(airplane, landing, conditions=conditions)
    rows = []
    for check, value, relation, limit, unit, source in (
        *_angles(airplane),
        *_clearances(airplane, equipment),
        *_ratings(airplane, equipment, cases),
        *_brakes(airplane, equipment),
    ):
        met = None if value is None or limit is None else is_met(value, relation, limit)
        if units == "US" and unit in READ_AS:
            # clearances are short: 23.925 prints inches; the way of a stop is long
            quantity = "length" if unit == "m" and limit is not None else READ_AS[unit]
            value, limit = (None if x is None else float(shown(x, quantity, units)) for x in (value, limit))
            unit = symbol(quantity, units)
        rows.append([check, value, relation, limit, unit, met, source])
    table = DataFrame(rows, columns=["check", "value", "relation", "limit", "unit", "met", "source"])
    return table.astype({"value": float, "limit": float, "met": "boolean"})


def is_met(value: float, relation: str, limit: float) -> bool:
    """Whether a value reaches (>=), exceeds (>) or keeps (<=) its limit; rounding is forgiven where it may be equal."""
    if relation == ">":
        return value > limit
    slack = value - limit if relation == ">=" else limit - value
    return slack >= -1e-12 * abs(limit)


def sunk_nose_height(point: Array, wheelbase: float, sink: float) -> float:
    """Height above the ground of a point aft of and above the main contacts (2,), when the nose has sunk [m]."""
    # the airplane turns nose down about the main contacts by asin(sink / wheelbase)
    if sink >= wheelbase:
        reject("Equipment: nose_sink [m]", sink, f"below the wheelbase of {wheelbase:g}", _SLIP)
    s = sink / wheelbase
    return float(point[1] * np.sqrt(1.0 - s**2) + point[0] * s)


def _angles(airplane: Airplane) -> Iterator[_Check]:
    """Nose share, tip-back and turnover angle, each at its worse c.g."""
    forward, aft = (stance(airplane, cg) for cg in CENTERS)
    least, most = NOSE_SHARE
    yield "nose share, aft c.g.", aft.main_arm / aft.wheelbase, ">=", least, "-", PRACTICE
    yield "nose share, forward c.g.", forward.main_arm / forward.wheelbase, "<=", most, "-", PRACTICE
    tip = min(float(tip_back_angle(at.main_arm, at.height)) for at in (forward, aft))
    yield "tip-back angle", tip, ">=", TIP_BACK_DEG, "deg", PRACTICE
    yield "tip-back angle against tail-down angle", tip, ">=", _pitch(airplane), "deg", PRACTICE
    over = [turnover_angle(at.nose_arm, at.wheelbase, at.half_track, at.height) for at in (forward, aft)]
    yield "turnover angle", max(map(float, over)), "<=", TURNOVER_DEG, "deg", PRACTICE


def _pitch(airplane: Airplane) -> float | None:
    """Pitch of the tail-down landing from level [deg]."""
    tail_down = airplane.tail_down_angle_deg
    return None if tail_down is None else tail_down - airplane.level_attitude_deg


def _clearances(airplane: Airplane, equipment: Equipment) -> Iterator[_Check]:
    """Clearance of the tail in the tail-down landing and of the propeller."""
    touch = tail_pitch(airplane, equipment)
    name = "pitch at which the tail touches, against tail-down angle"
    yield name, touch, ">=", _pitch(airplane), "deg", "23.481(a)(2)"
    propeller = _from_main(airplane, equipment.propeller_tip)
    height = None if propeller is None else float(propeller[1])
    yield "propeller clearance, standing", height, ">=", PROPELLER_CLEARANCE, "m", "23.925(a)"
    sunk = None
    if propeller is not None and equipment.nose_sink is not None:
        sunk = sunk_nose_height(propeller, airplane.wheelbase, equipment.nose_sink)
    yield "propeller clearance, nose strut bottomed and tire flat", sunk, ">", 0.0, "m", "23.925(a)"


def tail_pitch(airplane: Airplane, equipment: Equipment) -> float | None:
    """Pitch from level at which the tail touches [deg]; None without a tail point."""
    tail = _from_main(airplane, equipment.tail_point)
    if tail is None:
        return None
    return float(tail_clearance_angle(tail, airplane.required("main_wheel_radius", "23.481(a)(2)")))


def _from_main(airplane: Airplane, point: Array | None) -> Array | None:
    """A point aft of and above the main contacts, on ground axes, airplane level (2,) [m]."""
    if point is None:
        return None
    offset = ground_axes(point - airplane.main_contact, airplane.level_attitude_deg)
    return np.asarray(offset[[0, 2]])


def _ratings(airplane: Airplane, equipment: Equipment, cases: Sequence[GroundCase]) -> Iterator[_Check]:
    """Ratings of wheels and tires."""
    main, nose = static_wheel_loads(airplane)
    main_limit, nose_limit = radial_limit_load(cases, "starboard", "port"), radial_limit_load(cases, "nose")
    for name, limit, source in (
        ("main_wheel_static_rating", main, "23.731(a)"),
        ("main_wheel_limit_rating", main_limit, "23.731(b)"),
        ("main_tire_static_rating", main, "23.733(a)"),
        ("nose_wheel_static_rating", nose, "23.731(a)"),
        ("nose_wheel_limit_rating", nose_limit, "23.731(b)"),
        ("nose_tire_dynamic_rating", nose_tire_load(airplane), "23.733(b)"),
    ):
        yield name.replace("_", " "), getattr(equipment, name), ">=", limit, "N", source


def _brakes(airplane: Airplane, equipment: Equipment) -> Iterator[_Check]:
    """Energy of a brake, and distance, torque and skidding at the deceleration of braking."""
    energy = float(brake_energy(airplane.landing_mass, airplane.stall_speed))
    name = "brake energy rating, one brake, from V_S0"
    yield name, equipment.brake_energy_rating, ">=", energy, "J", "23.735(a)"
    slow, given = equipment.braking_deceleration, "follows from the given deceleration"
    if slow is None:
        return
    distance = float(stopping_distance(airplane.stall_speed, slow))
    yield "stopping distance from V_S0 at the deceleration of braking", distance, "", None, "m", given
    radius = airplane.required("main_wheel_radius", "the brake torque")
    torque = float(braking_torque(airplane.landing_mass, slow, radius))
    name = "brake torque, one brake, at the deceleration of braking"
    yield name, airplane.brake_torque, ">=", torque, "N m", given
    name = f"deceleration against skidding at friction {FRICTION:g}"
    yield name, slow, "<=", skid_deceleration(airplane, FRICTION), "m/s2", "friction of 23.493(b)"
