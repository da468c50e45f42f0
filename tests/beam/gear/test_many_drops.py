"""Many drops: equal to a loop of tight drops, of the stated order, each independent of the others."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from gears import SKEW, linear_spring, trailing_gear
from numpy.testing import assert_allclose, assert_array_equal
from scipy.constants import g

from beam.gear import Curve, GroundFriction, Orifice, Tire, drop
from beam.gear.motion import many_drops
from beam.gear.motion.equations import INTEGRALS, hanging_angle, touchdown, unit_of
from beam.gear.motion.many_drops import ORDER, around, drops, follow, follow_drops
from beam.gear.parts.shocks import Shocks

COUNT = 5
GEAR, SKEWED = trailing_gear(), trailing_gear(**SKEW)


def designs(count, seed=9):
    """Shocks and landings around the demonstration gear, some of which bottom."""
    rng = np.random.default_rng(seed)
    shocks = Shocks.of(
        GEAR.shock,
        pressure=rng.uniform(1.5e6, 3.5e6, count),
        volume=rng.uniform(200e-6, 320e-6, count),
        compression=rng.uniform(8e3, 40e3, count),
        extension=rng.uniform(50e3, 300e3, count),
    )
    landing = {
        "mass": rng.uniform(400, 550, count),
        "speed": rng.uniform(1.5, 3.2, count),
        "lift_ratio": rng.uniform(0.5, 1, count),
        "ground_speed": rng.uniform(0, 40, count),
    }
    return shocks, landing


@cache
def tight(count=COUNT):
    shocks, landing = designs(count)
    return [
        drop(
            replace(SKEWED, shock=shocks.shock(i)),
            **{name: float(values[i]) for name, values in landing.items()},
            attitude_deg=4.0,
            bottoming="record",
            rtol=1e-7,
            duration=0.25,
        )
        for i in range(count)
    ]


def many(gear, shocks, ground_speed):
    """Designs that are alike but for their shocks, and their states at touchdown."""
    one = np.ones(shocks.shape)
    unit = unit_of(gear, mass=500.0 * one, lift_ratio=2 / 3 * one, ground_speed=ground_speed, shock=shocks)
    return unit, touchdown(unit, 2.0 * one)[: -len(INTEGRALS)]


def test_many_drops_are_the_loop_of_tight_drops():
    shocks, landing = designs(COUNT)
    found = drops(SKEWED, **landing, shocks=shocks, attitude_deg=4.0)
    loop = tight()
    assert_allclose(found.peak_ground_force, [one.peak_ground_force for one in loop], rtol=3e-4)
    assert_allclose(found.load_factor, [one.load_factor for one in loop], rtol=3e-4)
    assert_allclose(found.max_stroke_used, [one.max_stroke_used for one in loop], rtol=3e-4)
    assert_allclose(found.peak_tire_deflection, [one.tire_deflection.max() for one in loop], rtol=3e-4)
    shock = [one.history.peak(lambda t, one=one: one.history.forces_at(t).shock)[1] for one in loop]
    assert_allclose(found.peak_shock_force, shock, rtol=1e-3)
    assert_allclose(found.time_to_peak, [one.time_to_peak for one in loop], atol=1.5e-3)
    assert_array_equal(found.bottomed, [one.bottomed for one in loop])
    assert found.bottomed.any()
    assert not found.bottomed.all()


def test_peaks_close_in_with_the_tolerance():
    shocks, landing = designs(COUNT)
    wanted = np.array([one.peak_ground_force for one in tight()])
    errors = [
        np.abs(
            drops(SKEWED, **landing, shocks=shocks, attitude_deg=4.0, rtol=rtol).peak_ground_force / wanted
            - 1
        ).max()
        for rtol in (1e-2, 1e-4, 1e-6)
    ]
    assert errors[1] < 0.2 * errors[0]
    assert errors[2] < 0.2 * errors[1]
    assert errors[2] < 1e-5


def test_order_of_convergence():
    # fixed steps on a motion without kinks: the shock goes on closing, one smooth law for tire and for friction
    gear = replace(
        GEAR,
        tire=Tire.power_law(radius=0.22, load=5e3, deflection=0.04, bottoming_deflection=0.11, exponent=1.5),
        friction=GroundFriction(slip=(0.0, 1.0), coefficient=(0.0, 0.5)),
    )
    shocks = Shocks.of(gear.shock, pressure=[2.6e6, 2.2e6], compression=[20e3, 12e3])
    unit, start = many(gear, shocks, np.full(2, 30.0))
    start[1], start[0], start[3], start[4] = 0.15, 0.10, 5.0, 120.0

    def end(step):
        paths = follow_drops(unit, shocks, start, duration=0.016, rtol=np.inf, max_step=step, first_step=step)
        assert (paths.states[3] > 0).all()
        return paths.states[[0, 1, 2, 3], -1]

    steps = 0.016 / np.array([32, 64, 128])
    best = end(0.016 / 1024)
    error = np.array([np.abs(end(step) / best - 1).max() for step in steps])
    assert_allclose(np.log2(error[:-1] / error[1:]), ORDER, atol=0.15)


def test_order_of_the_pair_on_a_known_motion():
    # y'' = - w^2 y: against the closed form
    w = np.array([3.0, 5.0])
    start = np.array([np.ones(2), np.zeros(2)])

    def error(step):
        paths = follow(
            lambda index: lambda y: np.array([y[1], -(w[index] ** 2) * y[0]]),
            start,
            sizes=np.ones((2, 2)),
            ended=lambda y: np.zeros(y.shape[1], dtype=bool),
            duration=1.0,
            rtol=np.inf,
            max_step=step,
            first_step=step,
        )
        assert_allclose(paths.time[-1], 1.0, rtol=1e-12)
        exact = np.array([np.cos(w), -w * np.sin(w)])
        return np.linalg.norm(paths.states[:, -1] - exact, axis=0)

    assert_allclose(np.log2(error(1 / 64) / error(1 / 128)), ORDER, atol=0.1)


def test_interpolation_between_points_is_cubic():
    w = np.array([3.0])
    paths = follow(
        lambda index: lambda y: np.array([y[1], -(w[index] ** 2) * y[0]]),
        np.array([[0.0], [3.0]]),
        sizes=np.ones((2, 1)),
        ended=lambda y: y[1] < 0,
        duration=5.0,
        rtol=1e-7,
        max_step=0.05,
        first_step=0.01,
    )
    # it ends at the first point beyond the top of the sine
    assert np.pi / 6 < paths.time[-1, 0] < np.pi / 6 + 0.05
    time, states = around(paths, np.argmax(paths.states[0], axis=0), points=8)
    assert_allclose(states[0], np.sin(3 * time), atol=2e-6)


def test_a_shock_that_opens_on_the_way_down_does_not_end_the_drop():
    shocks = Shocks.of(GEAR.shock)
    unit, start = many(GEAR, shocks, np.zeros(1))
    start[0], start[1], start[3] = 0.05, 0.3, -0.5
    paths = follow_drops(unit, shocks, start, duration=0.5, rtol=1e-4)
    assert (paths.states[[2, 3], -1] < 0).all()
    assert paths.states[0].max() > 0.1


def test_a_design_does_not_depend_on_the_others(monkeypatch):
    shocks, landing = designs(12)
    together = drops(GEAR, **landing, shocks=shocks)
    monkeypatch.setattr(many_drops, "CHUNK", 5)
    order = np.arange(12)[::-1]
    turned = drops(GEAR, **{k: v[order] for k, v in landing.items()}, shocks=shocks.take(order))
    for name in ("peak_ground_force", "max_stroke_used", "time_to_peak"):
        assert_allclose(getattr(turned, name)[order], getattr(together, name), rtol=1e-12)


def test_processes_share_the_designs():
    shocks, landing = designs(5)
    alone, shared = (drops(GEAR, **landing, shocks=shocks, processes=count) for count in (1, 2))
    for name in ("peak_ground_force", "max_stroke_used", "time_to_peak", "mass", "max_stroke"):
        assert_allclose(getattr(shared, name), getattr(alone, name), rtol=1e-12)


def test_numbers_broadcast_and_a_gear_brings_its_own_shock():
    found = drops(GEAR, mass=500.0, speed=[2.0, 2.5], lift_ratio=2 / 3)
    one = drop(GEAR, mass=500.0, speed=2.5, lift_ratio=2 / 3, rtol=1e-6, duration=0.2)
    assert found.peak_ground_force.shape == (2,)
    assert found.peak_ground_force[1] == pytest.approx(one.peak_ground_force, rel=3e-4)
    assert found.load_factor[1] == pytest.approx(one.peak_ground_force / (500 * g) + 2 / 3, rel=3e-4)


def test_hanging_angles_are_those_of_one_gear():
    shocks, _ = designs(3)
    wanted = [hanging_angle(SKEWED, shocks.shock(i), 5.0) for i in range(3)]
    assert_allclose(hanging_angle(SKEWED, shocks, 5.0), wanted, rtol=1e-9)


def test_many_shocks_are_the_single_shocks():
    metering = Curve(x=[0.0, 0.1], y=[0.6, 1.4])
    base = replace(GEAR.shock, damper=Orifice(compression=2e4, extension=2e5, metering=metering))
    shocks = Shocks.of(base, pressure=[1e6, 2e6, 3e6], max_stroke=[0.10, 0.11, 0.12])
    stroke, rate = np.array([[-1e-4], [0.05], [0.121]]), np.array([[-0.5], [0.0], [1.5]])
    for i in range(3):
        one = shocks.shock(i)
        s, v = stroke[:, 0], rate[:, 0]
        assert_allclose(shocks.laws.elastic(stroke)[:, i], one.elastic_force(s), rtol=1e-12)
        assert_allclose(shocks.laws.energy(stroke)[:, i], one.energy(s), rtol=1e-12)
        both = np.broadcast_arrays(stroke, np.zeros(3))[0]
        assert_allclose(shocks.laws.damper(both, rate)[:, i], one.damper.force(s, v), rtol=1e-12)
        assert_allclose(
            np.broadcast_to(shocks.laws.friction(rate), (3, 3))[:, i], one.laws.friction(v), rtol=1e-12
        )
    again = shocks.take([2, 0])
    assert_array_equal(again.pressure, [3e6, 1e6])
    assert again.shape == (2,)
    for pick in (shocks.take, lambda index: shocks.shock(index[0])):
        with pytest.raises(ValueError, match=r"index \[-\]: got 3, must be .*<= 2; counted from 0"):
            pick([3])


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"pressure": [[1e6]]}, "one design axis"),
        ({"pressure": [1e6, 2e6], "volume": [2e-4, 3e-4, 4e-4]}, "broadcastable"),
        ({"max_stroke": [0.115, 0.2]}, "in design 1"),
    ],
)
def test_bad_shocks_are_refused(change, message):
    with pytest.raises(ValueError) as error:
        Shocks.of(GEAR.shock, **change)
    assert message in str(error.value)


def test_other_kinds_of_shock_are_refused():
    with pytest.raises(ValueError, match="AirSpring and Orifice"):
        Shocks.of(replace(GEAR.shock, spring=linear_spring(1e5)))


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"mass": []}, "one design axis"),
        ({"mass": [500.0, 20.0]}, r"mass \[kg\]: got 20"),
        ({"speed": 10.01}, r"speed \[m/s\]: got 10\.01, must be <= 10; given in ft/s"),
        ({"ground_speed": [[30.0]]}, "one design axis"),
        ({"mass": [500.0, 510.0], "speed": [1.0, 2.0, 3.0]}, "broadcastable"),
    ],
)
def test_bad_landings_are_refused(change, message):
    with pytest.raises(ValueError, match=message):
        drops(GEAR, **({"mass": 500.0, "speed": 2.5, "lift_ratio": 2 / 3} | change))


def test_a_time_too_short_is_an_error_that_names_the_design(monkeypatch):
    with pytest.raises(RuntimeError, match=r"design 0 still shortens after 0\.03 s"):
        drops(GEAR, mass=500.0, speed=2.5, lift_ratio=2 / 3, duration=0.03)
    monkeypatch.setattr(many_drops, "CHUNK", 2)
    with pytest.raises(RuntimeError, match=r"design 3 still shortens after 0\.18 s"):
        drops(GEAR, mass=500.0, speed=[2.9, 2.9, 2.9, 0.5], lift_ratio=2 / 3, duration=0.18)
