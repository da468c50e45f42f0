"""Drops: ledger, momentum, load factor, convergence."""

import numpy as np
import pytest
from gears import linear_spring, upright_gear, with_shock
from hypothesis import given, settings
from hypothesis import strategies as st
from landings import GEAR, LIMIT, SKEWED, SWAY, limit_drop
from numpy.testing import assert_allclose
from scipy.constants import g
from scipy.integrate import simpson

from beam.gear import Orifice, drop, free_fall_speed


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


def test_a_loose_tolerance_is_refused_by_its_ledger():
    with pytest.raises(
        RuntimeError, match=r"energy ledger is open by .*, at most 0.001 allowed; .*rtol than 0.01"
    ):
        drop(SKEWED, **LIMIT, sway=SWAY, rtol=1e-2)
    # what passes holds its peak as well as its ledger says
    loose = drop(SKEWED, **LIMIT, sway=SWAY, rtol=2e-4)
    tight = limit_drop(True, True)
    assert 1e-5 < loose.energy_error <= 1e-3
    assert loose.peak_ground_force == pytest.approx(tight.peak_ground_force, rel=1e-3)


def test_a_drop_from_a_height_is_an_impact_at_its_speed():
    # energy of the fall: m g h; a free drop has no lift
    fallen = drop(GEAR, mass=300.0, speed=free_fall_speed(0.25), lift_ratio=0.0)
    found = fallen.history
    assert 0.5 * 300.0 * found.states[0][3] ** 2 == pytest.approx(300.0 * g * 0.25, rel=1e-12)
    assert fallen.ground_force[0] == pytest.approx(0.0, abs=1e-6)


def test_an_integrator_that_stops_short_is_an_error(monkeypatch):
    # a shock whose force is not a number beyond 20 mm
    class Broken(Orifice):
        def force(self, stroke, rate):
            return super().force(stroke, rate) / (np.asarray(stroke) < 0.02)

    with (
        np.errstate(all="ignore"),
        pytest.raises(RuntimeError, match=r"integration failed at .* s: .*state \{'sink'"),
    ):
        drop(with_shock(GEAR, damper=Broken(compression=20e3, extension=250e3)), **LIMIT)


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
