"""Drops: balance, momentum, load factor, convergence, bottoming, rebound; what a drop keeps."""

import copy
import pickle
import re
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from gears import linear_spring, trailing_gear, upright_gear, with_shock
from hypothesis import given, settings
from hypothesis import strategies as st
from landings import GEAR, LIMIT, SKEWED, SWAY, limit_drop
from numpy.testing import assert_allclose, assert_array_equal
from scipy.constants import g
from scipy.integrate import simpson, solve_ivp

from beam.gear import (
    AirSpring,
    Bottomed,
    CurveSpring,
    DamperCurve,
    Orifice,
    TwoChamberSpring,
    drop,
    free_fall_speed,
    reserve_energy,
    taxi_bump,
)
from beam.gear.motion import history as history_module
from beam.gear.motion.equations import STATES
from beam.gear.parts.rotation import position
from beam.loads import limit_descent_speed
from beam.loads.part23.landing import reserve_descent_speed


@pytest.mark.parametrize("flexible", [False, True])
@pytest.mark.parametrize("skewed", [False, True])
def test_the_energy_balance_closes(skewed, flexible):
    found = limit_drop(skewed, flexible)
    assert 0 < found.energy_error < 2e-6
    for loss in ("damper_loss", "friction_loss", "slip_loss"):
        # heat only grows, to the accuracy of the integration
        assert (np.diff(found.history.state(loss)) > -1e-6 * 0.5 * 500 * 2.9**2).all()


@given(
    mass=st.floats(300, 600),
    speed=st.floats(1.0, 2.9),
    lift_ratio=st.floats(0.5, 1.0),
    ground_speed=st.floats(0, 45),
    coefficient=st.floats(1e4, 4e4),
    attitude_deg=st.floats(-3, 12),
)
@settings(max_examples=6, deadline=None)
def test_energy_and_momentum_close_for_any_landing(
    mass, speed, lift_ratio, ground_speed, coefficient, attitude_deg
):
    gear = with_shock(SKEWED, damper=Orifice(compression=coefficient, extension=8 * coefficient))
    found = drop(
        gear,
        mass=mass,
        speed=speed,
        lift_ratio=lift_ratio,
        ground_speed=ground_speed,
        attitude_deg=attitude_deg,
        duration=0.4,
        bottoming="record",
    )
    assert found.energy_error < 1e-5
    # spin: the impulse of the drag times the radius is the wheel's angular momentum
    spin = gear.wheel_inertia * found.history.state("spin")
    assert_allclose(spin, gear.rolling_radius * found.history.state("drag_impulse"), rtol=1e-6, atol=1e-6)


@pytest.mark.parametrize("flexible", [False, True])
def test_vertical_momentum_follows_the_forces(flexible):
    found = limit_drop(False, flexible, 1e-8)
    push = simpson((1 - found.lift_ratio) * found.mass * g - found.ground_force, x=found.time)
    angle, rate = found.history.state("angle"), found.history.state("angle_rate")
    rising = rate * np.einsum("i,ti->t", [0, 0, 1], _mass_rise(GEAR, angle))
    momentum = found.mass * found.history.state("sink_rate") - rising
    # the samples resolve the load to a few parts in 1e5 of the impulse
    assert momentum[-1] - momentum[0] == pytest.approx(push, abs=1e-4 * abs(momentum[0]))


def _mass_rise(gear, angle):
    step = 1e-6

    def moment(at):
        turn = position(gear.link.axle_terms, at) * gear.wheel_mass
        center = (position(gear.link.axle_terms, at) + gear.link.pivot) / 2 * gear.link_mass
        return turn + center

    return (moment(angle + step) - moment(angle - step)) / (2 * step)


def test_load_factor_is_ground_load_over_weight_plus_lift():
    found = limit_drop()
    assert found.speed == pytest.approx(2.9, rel=1e-14)
    assert found.load_factor == pytest.approx(found.ground_force.max() / (500.0 * g) + 2 / 3, rel=1e-5)
    assert found.ground_force[np.argmax(found.ground_force)] <= found.peak_ground_force
    # the center of mass of the whole unit: m a = F - (1 - L) m g, at every sample
    up = found.acceleration * found.mass
    angle, rate = found.history.state("angle"), found.history.state("angle_rate")
    turning = np.gradient(rate * _mass_rise(GEAR, angle)[:, 2], found.time)
    inside = slice(20, -20)
    total = (up + turning)[inside]
    assert_allclose(
        total, (found.ground_force - found.mass * g / 3)[inside], atol=0.02 * found.peak_ground_force
    )


def test_the_effective_mass_of_a_drop_test_gives_the_same_load_factor():
    # 23.725(b): W_e = W (h + (1 - L) d) / (h + d); 23.725(e): n = n_j W_e / W + L; exact for a frictionless spring
    gear = upright_gear(spring=linear_spring(150e3), tire_stiffness=1e8, wheel_mass=0.1)
    mass, lift, height = 500.0, 2 / 3, 0.4
    speed = free_fall_speed(height)
    landing = drop(gear, mass=mass, speed=speed, lift_ratio=lift, method="LSODA", rtol=1e-6, duration=0.15)
    d = landing.history.peak(lambda t: landing.history.solution(t)[0])[1]
    effective = mass * (height + (1 - lift) * d) / (height + d)
    test = drop(gear, mass=effective, speed=speed, lift_ratio=0.0, method="LSODA", rtol=1e-6, duration=0.15)
    assert test.history.peak(lambda t: test.history.solution(t)[0])[1] == pytest.approx(d, rel=1e-4)
    assert test.load_factor * effective / mass + lift == pytest.approx(landing.load_factor, rel=1e-4)
    # a linear spring has an efficiency of one half
    assert landing.efficiency == pytest.approx(0.5, abs=2e-3)


def test_free_fall_speed():
    assert free_fall_speed(0.4) == pytest.approx(np.sqrt(2 * 9.80665 * 0.4))
    with pytest.raises(ValueError, match="height"):
        free_fall_speed(-0.1)


SHORT = 0.2
"""Just past the peaks of load and stroke [s]."""


@cache
def tight_drop():
    return drop(SKEWED, **LIMIT, flexibility=SWAY, rtol=1e-11, duration=SHORT)


@pytest.mark.parametrize("method", ["RK45", "DOP853", "LSODA", "Radau"])
def test_integrators_agree_and_their_output_is_kept(method, monkeypatch):
    solved = []

    def spy(*given, **more):
        solved.append(solve_ivp(*given, **more))
        return solved[-1]

    monkeypatch.setattr(history_module, "solve_ivp", spy)
    found = drop(SKEWED, **LIMIT, flexibility=SWAY, method=method, rtol=1e-7, duration=SHORT)
    assert found.peak_ground_force == pytest.approx(tight_drop().peak_ground_force, rel=2e-6)
    assert found.max_stroke_used == pytest.approx(tight_drop().max_stroke_used, rel=2e-6)
    time = np.random.default_rng(0).uniform(0.0, SHORT, 200)
    want = solved[0].sol(time)
    size = np.abs(want).max(axis=1, keepdims=True)
    size[size == 0] = 1.0
    assert_allclose(found.history.solution(time) / size, want / size, atol=1e-10)
    assert found.history.solution(0.1).shape == (len(STATES) + 2,)
    assert found.history.solution(time.reshape(20, 10)).shape == (len(STATES) + 2, 20, 10)


def test_the_peak_converges_at_the_order_of_the_integrator():
    # Dormand and Prince's pair carries the fifth-order solution on: error falls as work to the fifth power
    tight, tolerances = tight_drop().peak_ground_force, 10.0 ** -np.arange(5, 11)
    runs = [
        drop(SKEWED, **LIMIT, flexibility=SWAY, rtol=rtol, method="RK45", duration=SHORT)
        for rtol in tolerances
    ]
    work = np.log([run.history.evaluations for run in runs])
    error = np.log([abs(run.peak_ground_force / tight - 1) for run in runs])
    order = -np.polyfit(work, error, 1)[0]
    assert 4.0 < order < 6.5
    # and the balance in proportion to the tolerance
    balance = np.log([run.energy_error for run in runs])
    assert np.polyfit(np.log(tolerances), balance, 1)[0] == pytest.approx(1, abs=0.15)


def test_a_loose_tolerance_is_refused_by_its_balance():
    with pytest.raises(
        RuntimeError, match=r"energy balance is off by .*, at most 0.001 allowed; .*rtol than 0.01"
    ):
        drop(SKEWED, **LIMIT, flexibility=SWAY, rtol=1e-2)
    # what passes has its peak as exact as its balance
    loose = drop(SKEWED, **LIMIT, flexibility=SWAY, rtol=2e-4)
    tight = limit_drop(True, True)
    assert 1e-5 < loose.energy_error <= 1e-3
    assert loose.peak_ground_force == pytest.approx(tight.peak_ground_force, rel=1e-3)


def test_a_drop_from_a_height_is_an_impact_at_its_speed():
    # energy of the fall: m g h; a free drop has no lift
    fallen = drop(GEAR, mass=300.0, speed=free_fall_speed(0.25), lift_ratio=0.0)
    found = fallen.history
    assert 0.5 * 300.0 * found.state("sink_rate")[0] ** 2 == pytest.approx(300.0 * g * 0.25, rel=1e-12)
    assert fallen.ground_force[0] == pytest.approx(0.0, abs=1e-6)


def test_an_integrator_that_stops_short_is_an_error():
    # a shock whose force is not a number beyond 20 mm
    class Broken(Orifice):
        def force(self, stroke, rate):
            return super().force(stroke, rate) / (np.asarray(stroke) < 0.02)

    with (
        np.errstate(all="ignore"),
        pytest.raises(RuntimeError, match=r"integration failed at .* s: .*state \{'sink'"),
    ):
        drop(with_shock(GEAR, damper=Broken(compression=20e3, extension=250e3)), **LIMIT)


def test_a_mass_below_twice_the_wheel_and_link_is_refused():
    with pytest.raises(ValueError, match=r"drop: mass \[kg\]: got 10, must be > 28; .*on this unit"):
        drop(GEAR, **{**LIMIT, "mass": 10.0})


@pytest.mark.parametrize(
    ("duration", "what"), [(0.05, "still shortens"), (2e-3, "still"), (1e-6, "still rises")]
)
def test_a_history_that_ends_too_early_is_refused(duration, what):
    with pytest.raises(RuntimeError, match=rf"{what}.* after {duration:g} s; give a longer duration"):
        drop(GEAR, **LIMIT, duration=duration)


def test_a_drop_and_a_ride_go_through_other_processes():
    found = drop(GEAR, **LIMIT, flexibility=SWAY, rtol=1e-5, duration=0.2, attitude_deg=3.0)
    ride = taxi_bump(
        GEAR, mass=500.0, ground_speed=10.0, bump_height=0.02, bump_length=1.0, duration=0.12, rtol=1e-4
    )
    with ProcessPoolExecutor(1) as pool:
        there = list(pool.map(copy.copy, [found, ride]))
    for one, other in zip([found, ride], there, strict=True):
        assert other.load_factor == one.load_factor
        assert_array_equal(other.history.states, one.history.states)
        assert_array_equal(other.ground_force, one.ground_force)
    assert_array_equal(there[0].strut_drag, found.strut_drag)
    assert there[1].history.setup.bump_height == 0.02


def test_a_drop_that_bottoms_says_by_how_much():
    weak = with_shock(GEAR, spring=AirSpring(pressure=1.2e6, volume=240e-6, area=1.6e-3, exponent=1.1))
    with pytest.raises(
        Bottomed, match=r"bottomed at its full stroke of 0\.115 m.*J of 2\d\d\d J not absorbed"
    ) as caught:
        drop(weak, **LIMIT)
    going_on = drop(weak, **LIMIT, bottoming="record", duration=0.2)
    again = pickle.loads(pickle.dumps(caught.value))
    assert (str(again), vars(again)) == (str(caught.value), vars(caught.value))
    assert going_on.bottomed
    assert going_on.bottoming_energy == pytest.approx(caught.value.energy, rel=1e-4)
    assert going_on.max_stroke_used > weak.shock.max_stroke
    # what came in: the speed at touchdown and the weight less lift over the descent until then
    sunk = float(going_on.history.solution(caught.value.time)[0])
    total = 0.5 * 500 * 2.9**2 + 500 * g / 3 * sunk
    assert f"{caught.value.energy:.4g} J of {total:.4g} J" in str(caught.value)
    # the energy at that instant by the sink speed alone is nearly all of it
    assert caught.value.energy == pytest.approx(0.5 * 500 * caught.value.speed**2, rel=0.1)
    assert caught.value.time > 0.02
    assert not limit_drop().bottomed
    assert limit_drop().bottoming_energy == 0


def test_more_energy_is_never_left_than_came_in():
    with pytest.raises(Bottomed) as caught:
        drop(GEAR, mass=2500.0, speed=0.3, lift_ratio=0.0, duration=1.0)
    left, came = (float(part) for part in re.findall(r"([\d.e+]+) J", str(caught.value)))
    assert 0 < left < came


def test_a_shock_that_never_moves_has_no_efficiency():
    found = drop(GEAR, mass=60.0, speed=0.1, lift_ratio=1.0)
    assert found.max_stroke_used < 0
    assert np.isnan(found.efficiency)


def test_reserve_energy_is_a_faster_landing_with_full_lift():
    run = {"duration": 0.2, "rtol": 1e-5}
    found = reserve_energy(GEAR, mass=500.0, reserve_speed=1.2 * 2.9, ground_speed=35.0, **run)
    same = drop(GEAR, mass=500.0, speed=1.2 * 2.9, lift_ratio=1.0, ground_speed=35.0, **run)
    assert found.peak_ground_force == same.peak_ground_force
    assert not found.bottomed
    assert reserve_energy(GEAR, mass=800.0, reserve_speed=3.84, **run).bottoming_energy > 50


def test_the_reserve_speed_of_the_code_is_handed_in():
    # 23.723(b): 1.2 times the limit speed, so 1.44 times its energy; lift = weight, so nothing is added on the way down
    loading = 0.05e6 / 50
    speed = float(reserve_descent_speed(loading))
    found = reserve_energy(GEAR, mass=450.0, reserve_speed=speed, duration=0.2, rtol=1e-5)
    limit = 0.5 * 450.0 * float(limit_descent_speed(loading)) ** 2
    supplied = found.history.state("sink_rate")[0]
    assert 0.5 * 450.0 * supplied**2 == pytest.approx(1.44 * limit, rel=1e-9)
    assert found.lift_ratio == 1


def test_a_tire_on_its_rim_is_seen():
    gear = replace(GEAR, tire=replace(GEAR.tire, bottoming_deflection=0.05, bottoming_stiffness=1e6))
    assert drop(gear, **LIMIT, duration=0.2, rtol=1e-5).tire_bottomed
    assert not limit_drop().tire_bottomed


TWO_CHAMBERS = TwoChamberSpring(
    pressure=2.6e6, volume=180e-6, second_pressure=8e6, second_volume=60e-6, area=1.6e-3, exponent=1.1
)


def test_it_settles_to_where_it_stands():
    found = drop(GEAR, mass=350.0, speed=2.0, lift_ratio=0.0, duration=3.0, rtol=1e-5)
    assert found.stroke[-1] == pytest.approx(float(GEAR.static(350.0, slow=False)), rel=1e-6)
    assert found.ground_force[-1] == pytest.approx(350 * g, rel=1e-6)
    assert found.tire_deflection[-1] == pytest.approx(float(GEAR.tire.deflection(350 * g)), rel=1e-6)
    # all of the energy that came in and is not in spring and tire was turned into heat
    assert found.heat > 0.8 * 0.5 * 350 * 2.0**2


def test_rebound_leaves_the_ground_only_with_lift():
    assert np.isfinite(drop(GEAR, **{**LIMIT, "lift_ratio": 1.0}).lift_off_time)
    heavy = with_shock(GEAR, damper=Orifice(compression=20e3, extension=3e6))
    assert np.isnan(drop(heavy, mass=400.0, speed=1.0, lift_ratio=0.0).lift_off_time)


def test_attitude_turns_the_link():
    # nose up, the trailing link hangs steeper to the ground: same as turning the whole gear
    turn = np.radians(10.0)
    rotate = np.array([[np.cos(turn), 0, np.sin(turn)], [0, 1, 0], [-np.sin(turn), 0, np.cos(turn)]])
    up = drop(GEAR, **LIMIT, attitude_deg=10.0, duration=0.2)
    turned = drop(trailing_gear(rotate=rotate), **LIMIT, duration=0.2)
    assert up.peak_ground_force == pytest.approx(turned.peak_ground_force, rel=1e-6)
    assert up.load_factor != pytest.approx(limit_drop().load_factor, rel=1e-3)
    # nose up lowers the tail: the airplane's aft axis turns toward the ground
    assert (rotate @ [1, 0, 0])[2] < 0


@pytest.mark.parametrize(
    "changes",
    [
        {"spring": TWO_CHAMBERS},
        {"spring": CurveSpring(stroke=[0, 0.04, 0.08, 0.115], fast_force=[4e3, 6e3, 10e3, 26e3])},
        {"damper": DamperCurve(rate=[-1.0, 0.0, 1.0, 2.0], force_at_rate=[-60e3, 0.0, 14e3, 40e3])},
    ],
)
def test_other_springs_and_dampers_land_too(changes):
    found = drop(with_shock(GEAR, **changes), **LIMIT, bottoming="record", duration=0.2, rtol=1e-6)
    assert found.energy_error < 1e-5
    assert 2.0 < found.load_factor < 5.0


def test_heat_is_the_work_of_damper_and_friction():
    found = limit_drop(rtol=1e-8)
    f = found.history.forces
    work = simpson((f.damper + f.friction) * f.stroke_rate, x=found.time)
    assert found.heat == pytest.approx(work, rel=1e-4)
    assert found.heat > 1.01 * found.history.state("damper_loss")[-1]


def test_stronger_damping_uses_less_stroke():
    used = [
        drop(
            with_shock(GEAR, damper=Orifice(compression=c, extension=250e3)),
            **LIMIT,
            duration=0.2,
            rtol=1e-5,
        ).max_stroke_used
        for c in (15e3, 20e3, 30e3)
    ]
    assert used[0] > used[1] > used[2]
