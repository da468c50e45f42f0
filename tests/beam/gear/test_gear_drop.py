"""Drops: ledger, momentum, load factor, spin-up, spring-back, rebound, convergence, bottoming."""

import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from gears import SKEW, linear_spring, trailing_gear, upright_gear, with_shock
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.constants import g
from scipy.integrate import simpson

from beam.gear import (
    AirSpring,
    Bottomed,
    CurveSpring,
    DamperCurve,
    Orifice,
    StrutSway,
    TwoChamberSpring,
    drop,
    free_fall_speed,
    reserve_energy,
)
from beam.gear.tables import spin_up_table

GEAR, SKEWED = trailing_gear(), trailing_gear(**SKEW)
LIMIT = {"mass": 500.0, "speed": 2.9, "lift_ratio": 2 / 3, "ground_speed": 35.0}
TWO_CHAMBERS = TwoChamberSpring(
    pressure=2.6e6, volume=180e-6, second_pressure=8e6, second_volume=60e-6, area=1.6e-3, exponent=1.1
)
SWAY = StrutSway(stiffness=6e5, mass=2.0, damping_ratio=0.03)


@cache
def limit_drop(skewed=False, flexible=False, rtol=1e-7):
    return drop(SKEWED if skewed else GEAR, **LIMIT, sway=SWAY if flexible else None, rtol=rtol, duration=0.3)


@pytest.mark.parametrize("flexible", [False, True])
@pytest.mark.parametrize("skewed", [False, True])
def test_the_energy_ledger_closes(skewed, flexible):
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
@settings(max_examples=8, deadline=None)
def test_ledger_and_momentum_close_for_any_landing(
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
        duration=0.6,
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
        turn = gear.link.axle_at(at) * gear.wheel_mass
        center = (gear.link.axle_at(at) + gear.link.pivot) / 2 * gear.link_mass
        return turn + center

    return (moment(angle + step) - moment(angle - step)) / (2 * step)


def test_load_factor_is_ground_load_over_weight_plus_lift():
    found = limit_drop()
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
    landing = drop(gear, mass=mass, speed=speed, lift_ratio=lift, method="LSODA", rtol=1e-8, duration=0.15)
    d = landing.history.peak(lambda t: landing.history.solution(t)[0])[1]
    effective = mass * (height + (1 - lift) * d) / (height + d)
    test = drop(gear, mass=effective, speed=speed, lift_ratio=0.0, method="LSODA", rtol=1e-8, duration=0.15)
    assert test.history.peak(lambda t: test.history.solution(t)[0])[1] == pytest.approx(d, rel=1e-4)
    assert test.load_factor * effective / mass + lift == pytest.approx(landing.load_factor, rel=1e-4)
    # a linear spring has an efficiency of one half
    assert landing.efficiency == pytest.approx(0.5, abs=2e-3)


def test_free_fall_speed():
    assert free_fall_speed(0.4) == pytest.approx(np.sqrt(2 * 9.80665 * 0.4))
    with pytest.raises(ValueError, match="height"):
        free_fall_speed(-0.1)


def test_integrators_agree():
    tight = limit_drop(True, True, 1e-10)
    for method in ("DOP853", "LSODA", "Radau"):
        other = drop(SKEWED, **LIMIT, sway=SWAY, method=method, rtol=1e-7, duration=0.2)
        assert other.peak_ground_force == pytest.approx(tight.peak_ground_force, rel=2e-6)
        assert other.max_stroke_used == pytest.approx(tight.max_stroke_used, rel=2e-6)


def test_the_peak_converges_at_the_order_of_the_integrator():
    # Dormand and Prince's pair carries the fifth-order solution on: error falls as work to the fifth power
    tight = drop(SKEWED, **LIMIT, sway=SWAY, rtol=1e-12, duration=0.2).peak_ground_force
    runs = [
        drop(SKEWED, **LIMIT, sway=SWAY, rtol=rtol, method="RK45", duration=0.2)
        for rtol in (1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9, 1e-10)
    ]
    work = np.log([run.history.evaluations for run in runs])
    error = np.log([abs(run.peak_ground_force / tight - 1) for run in runs])
    order = -np.polyfit(work, error, 1)[0]
    assert 4.0 < order < 6.5
    # and the ledger in proportion to the tolerance
    ledger = np.log([run.energy_error for run in runs])
    assert np.polyfit(np.log([1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9, 1e-10]), ledger, 1)[0] == pytest.approx(
        1, abs=0.15
    )


def test_the_wheel_spins_up_to_the_ground():
    found = limit_drop()
    rolling = found.history.state("spin") * GEAR.rolling_radius
    assert rolling[0] == 0
    # sliding at first: drag is 0.8 of the load until the wheel is nearly up to speed
    sliding = rolling < 0.8 * 35.0
    assert_allclose(found.drag_force[sliding], 0.8 * found.ground_force[sliding], rtol=1e-12)
    up = found.time > found.spin_up.time + 0.02
    assert_allclose(rolling[up & (found.tire_deflection > 0)], 35.0, atol=1.5)


def test_a_standing_ground_leaves_no_drag():
    # but what turns the wheel as the axle swings aft: I x'' / r^2
    found = drop(GEAR, **{**LIMIT, "ground_speed": 0.0})
    assert np.abs(found.drag_force).max() < 0.04 * found.peak_ground_force


def test_spring_back_is_the_free_sway_after_spin_up():
    # a link so long that it does not sway with the stroke: the strut's force is Duhamel's integral of the ground drag
    gear = upright_gear(
        spring=linear_spring(150e3),
        damper=Orifice(compression=2e3, extension=2e3),
        tire_stiffness=5e5,
        wheel_mass=10.0,
    )
    gear = replace(gear, wheel_inertia=0.13, tire=replace(gear.tire, damping=0.05))
    sway = StrutSway(stiffness=6e5, mass=5.0, damping_ratio=0.05)
    found = drop(gear, **LIMIT, sway=sway, rtol=1e-8, method="LSODA", duration=0.12)
    t = found.time
    w = np.sqrt(sway.stiffness / 15.0)
    wd, decay = w * np.sqrt(1 - 0.05**2), 0.05 * w
    force = [
        sway.stiffness
        * simpson(
            found.drag_force[: i + 1]
            * np.exp(-decay * (t[i] - t[: i + 1]))
            * np.sin(wd * (t[i] - t[: i + 1])),
            x=t[: i + 1],
        )
        / (15.0 * wd)
        for i in range(1, len(t))
    ]
    elastic = sway.stiffness * found.history.state("sway")[1:]
    assert_allclose(elastic, force, atol=0.003 * np.abs(elastic).max())
    resist = 2 * 0.05 * np.sqrt(sway.stiffness * 15.0) * found.history.state("sway_rate")
    assert_allclose(found.strut_drag[1:], elastic + resist[1:], atol=1e-6 * np.abs(elastic).max())
    assert found.spring_back.drag < -0.4 * found.spin_up.drag
    assert found.spring_back.time > found.spin_up.time


def test_without_flexibility_there_is_no_spring_back():
    rigid, flexible = limit_drop(), limit_drop(False, True)
    assert abs(rigid.spring_back.drag) < 0.05 * rigid.spin_up.drag
    assert flexible.spring_back.drag < -0.5 * rigid.spin_up.drag
    # a stiffer strut comes to the rigid one
    stiff = drop(GEAR, **LIMIT, sway=StrutSway(stiffness=3e8, mass=2.0, damping_ratio=0.3), duration=0.2)
    assert stiff.peak_ground_force == pytest.approx(rigid.peak_ground_force, rel=1e-3)


def test_spring_back_comes_after_spin_up():
    # slow ground: the link's own swing pushes forward before the wheel is up to speed; that is not spring-back
    found = drop(GEAR, **{**LIMIT, "ground_speed": 2.0}, sway=SWAY)
    assert found.time[np.argmin(found.strut_drag)] < found.spin_up.time < found.spring_back.time
    assert found.strut_drag.min() < found.spring_back.drag < 0


def test_spin_up_table_sets_the_drop_beside_a_rule():
    def rule(peak, speed, *, wheel_inertia, rolling_radius, time_to_peak, friction):
        assert (speed, wheel_inertia, rolling_radius, friction) == (35.0, 0.13, 0.20, 0.8)
        assert 0 < time_to_peak < 0.3
        return np.float64(5000.0), np.float64(6250.0)

    found = limit_drop(False, True)
    table = spin_up_table(found, rule)
    assert list(table.index) == ["ground drag", "strut, aft", "strut, forward"]
    assert table["rule_drag"].tolist() == [5000.0, 5000.0, -5000.0]
    assert table["ratio"].tolist() == [
        found.history.peak(lambda t: found.history.forces_at(t).drag)[1] / 5e3
    ] + [
        found.spin_up.drag / 5e3,
        found.spring_back.drag / -5e3,
    ]


def test_it_settles_to_where_it_stands():
    found = drop(GEAR, mass=350.0, speed=2.0, lift_ratio=0.0, duration=4.0)
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
    up = drop(GEAR, **LIMIT, attitude_deg=10.0)
    turned = drop(trailing_gear(rotate=rotate), **LIMIT)
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
    found = drop(with_shock(GEAR, **changes), **LIMIT, bottoming="record")
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
        drop(with_shock(GEAR, damper=Orifice(compression=c, extension=250e3)), **LIMIT).max_stroke_used
        for c in (15e3, 20e3, 30e3)
    ]
    assert used[0] > used[1] > used[2]


def test_a_drop_that_bottoms_says_by_how_much():
    weak = with_shock(GEAR, spring=AirSpring(pressure=1.2e6, volume=240e-6, area=1.6e-3, exponent=1.1))
    with pytest.raises(
        Bottomed, match=r"bottomed at its full stroke of 0\.115 m.*J of 2\d\d\d J not absorbed"
    ) as caught:
        drop(weak, **LIMIT)
    going_on = drop(weak, **LIMIT, bottoming="record")
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
    found = reserve_energy(GEAR, mass=500.0, descent_speed=2.9, ground_speed=35.0)
    same = drop(GEAR, mass=500.0, speed=1.2 * 2.9, lift_ratio=1.0, ground_speed=35.0)
    assert found.peak_ground_force == same.peak_ground_force
    assert not found.bottomed
    assert reserve_energy(GEAR, mass=800.0, descent_speed=3.2).bottoming_energy > 50


def test_a_tire_on_its_rim_is_seen():
    gear = replace(GEAR, tire=replace(GEAR.tire, bottoming_deflection=0.05, bottoming_stiffness=1e6))
    assert drop(gear, **LIMIT).tire_bottomed
    assert not limit_drop().tire_bottomed


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"mass": 10.0}, r"mass.*on this unit"),
        ({"speed": 0.0}, "speed"),
        ({"speed": 570.0}, "speed.*ft/min"),
        ({"lift_ratio": 1.2}, "lift_ratio"),
        ({"ground_speed": 200.0}, "ground_speed.*knots"),
        ({"rtol": 1e-15}, "rtol"),
        ({"duration": 0.0}, "duration"),
        ({"method": "Euler"}, "method.*RK45"),
        ({"bottoming": "ignore"}, "bottoming.*raise.*record"),
        ({"attitude_deg": 60.0}, "attitude_deg"),
    ],
)
def test_bad_input_is_refused(changes, message):
    with pytest.raises(ValueError, match=message):
        drop(GEAR, **{**LIMIT, **changes})


def test_a_history_that_ends_too_early_is_refused():
    with pytest.raises(RuntimeError, match=r"still shortens after 0.05 s"):
        drop(GEAR, **LIMIT, duration=0.05)


def test_bad_flexibility_is_refused():
    with pytest.raises(ValueError, match=r"stiffness.*N/mm"):
        StrutSway(stiffness=600.0, mass=2.0)
    with pytest.raises(ValueError, match=r"damping_ratio.*percent"):
        StrutSway(stiffness=6e5, mass=2.0, damping_ratio=3.0)
