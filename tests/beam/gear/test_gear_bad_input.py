"""Whatever is wrong, a clear error names it: one valid call for each public callable, its arguments spoiled in turn."""

import inspect
from dataclasses import replace

import numpy as np
import pytest
from gear_calls import GEAR, calls, public
from gears import with_shock

from beam.gear import AirSpring, Bottomed, TrailingLink, drop

NAN, INF = float("nan"), float("inf")
RAGGED = [[1.0], [2.0, 3.0]]

SPRINGS = ("AirSpring", "TwoChamberSpring", "CurveSpring")
LAWS = {
    *(f"{spring}.{name}" for spring in SPRINGS for name in ("force", "energy")),
    *(
        f"{shock}.{name}"
        for shock in ("Shock", "Shocks")
        for name in ("elastic_force", "damper_force", "friction_force", "force", "energy")
    ),
    *("Curve.__call__", "Curve.integral", "DamperCurve.force", "Orifice.force", "GroundFriction.__call__"),
    *("Tire.load", "Tire.energy"),
}
"""What an integrator asks thousands of times, its trial steps as wild as they may be: NaN in, NaN out."""

NO_MATTER = {
    ("DamperCurve.force", "stroke"),
    ("Shock.damper_force", "stroke"),
    ("Shocks.damper_force", "stroke"),
}
"""Arguments that a law takes and, for these dampers, makes no use of."""

POSITIVE = {
    "mass", "volume", "area", "max_stroke", "radius", "wheel_mass", "wheel_inertia", "rolling_radius",
    "friction_speed", "stop_stiffness", "bottoming_deflection", "duration", "rtol", "speed", "reserve_speed",
    "height", "density", "hydraulic_area", "orifice_area", "discharge_coefficient", "diameter", "width",
    "rated_pressure", "second_volume", "bump_length", "tire_load", "static_load", "stiffness", "load_factor",
    "test_factor", "dropped_mass", "exponent", "least_speed", "steps", "processes", "points", "deflection",
}  # fmt: skip
"""Neither zero nor below."""

NOT_NEGATIVE = {
    "pressure", "compression", "extension", "friction", "damping", "link_mass", "link_inertia", "own_inertia",
    "drag_area", "side_area", "pivot_friction", "lift_ratio", "ground_speed", "dynamic_pressure", "brake_torque",
    "wheel_speed", "damping_ratio", "bottoming_stiffness", "rounds", "second_pressure", "fractions", "load",
    "ambient_pressure", "slow_exponent", "index",
}  # fmt: skip
"""Not below zero."""

ALLOWED = {
    ("RetractingGear", "wheel_inertia", 0.0),  # no brake
    ("StrutSway", "mass", 0.0),  # a strut without mass
    ("PivotAxis.swept_wheel", "width", 0.0),  # a disk
    ("MainGear.contact", "tire_load", 0.0),  # a wheel in the air
    ("MainGear.strut_loads", "tire_load", 0.0),
    ("swing", "load_factor", 0.0),  # a vector: weightless, upside down
    ("swing", "load_factor", -1.0),
    ("RetractingGear.weight_moment", "load_factor", 0.0),
    ("RetractingGear.weight_moment", "load_factor", -1.0),
    ("RetractingGear.held_moment", "load_factor", 0.0),
    ("RetractingGear.held_moment", "load_factor", -1.0),
    ("MainGear.shock_at_rest", "load", -1.0),  # what the shock needs to be in balance with any load
}


def spoiled(name, value, optional):
    """Wrong values for an argument, by what a right one is."""
    if isinstance(value, bool):
        return ["no", None, 2]
    if isinstance(value, str):
        return [None, 3.0] if name in ("name", "path") else ["no such word", None, 3.0]
    if isinstance(value, float | int):
        return [NAN, INF, "word", [1.0, 2.0], RAGGED] + ([] if optional else [None])
    try:
        numbers = np.array(value, dtype=float)
    except (TypeError, ValueError):
        return ["word", 3.0] + ([] if optional else [None])
    first = np.arange(numbers.size).reshape(numbers.shape) == 0
    filled = [np.full_like(numbers, NAN), np.where(first, INF, numbers)]
    return [*filled, "word", RAGGED] + ([] if optional else [None])


ARGUMENTS = [pytest.param(n, a, id=f"{n}-{a}") for n, (_, arguments) in calls().items() for a in arguments]


def test_every_public_callable_is_here():
    assert set(calls()) == set(public())


def test_every_argument_is_spoiled():
    for name, (function, arguments) in calls().items():
        assert set(arguments) == set(inspect.signature(function).parameters), name


@pytest.mark.parametrize("name", [name for name in calls() if name != "read_drop"])
def test_the_call_itself_is_valid(name):
    function, arguments = calls()[name]
    function(**arguments)


@pytest.mark.parametrize(("name", "argument"), ARGUMENTS)
def test_a_wrong_value_is_named(name, argument):
    function, arguments = calls()[name]
    optional = inspect.signature(function).parameters[argument].default is None
    for bad in spoiled(argument, arguments[argument], optional):
        if name in LAWS and isinstance(bad, float | np.ndarray):
            with np.errstate(all="ignore"):
                found = function(**arguments | {argument: bad})
            assert (name, argument) in NO_MATTER or not np.isnan(bad).all() or np.isnan(found).all()
        else:
            with pytest.raises(ValueError, match=rf"{argument}.*: got .*, must be"):
                function(**arguments | {argument: bad})


@pytest.mark.parametrize(("name", "argument"), ARGUMENTS)
def test_a_value_that_cannot_be_is_named(name, argument):
    function, arguments = calls()[name]
    value = arguments[argument]
    limits = [0.0, -1.0] if argument in POSITIVE else [-1.0] if argument in NOT_NEGATIVE else []
    if name in LAWS or not isinstance(value, float | int | list | tuple | np.ndarray):
        return
    for limit in limits:
        if (name, argument, limit) not in ALLOWED:
            bad = limit if isinstance(value, float | int) else np.full(np.shape(value), limit)
            with pytest.raises(ValueError, match=rf"{argument}.*: got .*, must be"):
                function(**arguments | {argument: bad})


PAIRS = [
    name
    for name, (_, arguments) in calls().items()
    if {"stroke", "rate"} <= set(arguments) or name in ("Tire.load", "GroundFriction.__call__")
]


@pytest.mark.parametrize("name", PAIRS)
def test_two_rows_that_do_not_fit_are_named(name):
    function, arguments = calls()[name]
    one, other = arguments
    with pytest.raises(
        ValueError, match=rf"{one}, {other}: got shapes \(3,\), \(2,\), must be broadcastable"
    ):
        function(**arguments | {one: np.zeros(3)})


def test_a_file_that_is_not_there_is_named():
    function, arguments = calls()["read_drop"]
    with pytest.raises(FileNotFoundError, match="no such drop"):
        function(**arguments)


WIDE = AirSpring(pressure=2.6e6, volume=900e-6, area=1.6e-3, exponent=1.1)
WEAK = AirSpring(pressure=1.2e6, volume=240e-6, area=1.6e-3, exponent=1.1)
THROUGH = {
    "pivot": (0, 0, 0),
    "axle": (0.2, 0, -0.2),
    "shock_on_link": (0.1, 0, -0.1),
    "shock_on_strut": (-0.1, 0, 0.1),
}


@pytest.mark.parametrize(
    ("mistake", "error", "says"),
    [
        (
            lambda: GEAR.static(5000.0),
            ValueError,
            r"static position outside the stroke: got spring force .* N at the full stroke of 0.115 m, must be .* N",
        ),
        (
            lambda: TrailingLink(**THROUGH),
            ValueError,
            r"arm of the shock about the hinge \[m\]: got 0, must be >= 0.00566; the line .* passes through the pivot",
        ),
        (
            lambda: with_shock(GEAR, spring=WIDE, max_stroke=0.3),
            ValueError,
            r"shock.max_stroke \[m\]: got 0.3, must be < 0.\d+; the link's geometry ends before the shock does",
        ),
        (
            lambda: GEAR.axle(0.3),
            ValueError,
            r"stroke \[m\]: got 0.3, must be from -?\d.* to 0.\d+; beyond what the geometry of the link has",
        ),
        (
            lambda: drop(with_shock(GEAR, spring=WEAK), mass=500.0, speed=2.9, lift_ratio=2 / 3),
            Bottomed,
            r"bottomed at its full stroke of 0.115 m, .* after touchdown, with .* left: \d+.* J of \d+ J not absorbed",
        ),
    ],
    ids=[
        "static load outside the stroke",
        "line through the pivot",
        "stroke beyond the link",
        "position",
        "bottomed",
    ],
)
def test_what_goes_wrong_in_a_design_is_said_with_its_limit(mistake, error, says):
    with pytest.raises(error, match=says):
        mistake()


def test_a_drop_that_goes_on_over_its_stop_says_by_how_much_energy():
    found = drop(
        replace(with_shock(GEAR, spring=WEAK)), mass=500.0, speed=2.9, lift_ratio=2 / 3, bottoming="record"
    )
    assert found.bottomed
    assert 0 < found.bottoming_energy < 0.5 * 500 * 2.9**2
