"""Spin-up and spring-back: the wheel comes up to the ground, the strut swings back, Appendix D beside it."""

from dataclasses import replace

import numpy as np
import pytest
from gears import linear_spring, upright_gear
from landings import GEAR, LIMIT, SWAY, limit_drop, swaying
from numpy.testing import assert_allclose
from scipy.integrate import simpson

from beam.gear import Orifice, drop
from beam.gear.motion.strut_modes import strut_modes
from beam.loads import spin_up_drag


def test_the_wheel_spins_up_to_the_ground():
    found = limit_drop()
    rolling = found.history.state("spin") * GEAR.rolling_radius
    assert rolling[0] == pytest.approx(0.0, abs=1e-12)
    # sliding at first: drag is 0.8 of the load until the wheel is nearly up to speed
    sliding = rolling < 0.8 * 35.0
    assert_allclose(found.drag_force[sliding], 0.8 * found.ground_force[sliding], rtol=1e-12)
    up = found.time > found.spin_up.time + 0.02
    assert_allclose(rolling[up & (found.tire_deflection > 0)], 35.0, atol=1.5)


def test_a_standing_ground_leaves_no_drag():
    # but what turns the wheel as the axle swings aft: I x'' / r^2
    found = drop(GEAR, **{**LIMIT, "ground_speed": 0.0}, duration=0.2, rtol=1e-5)
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
    k = 6e5
    sway = swaying(gear, stiffness=k, mass=5.0, damping_ratio=0.05)
    found = drop(gear, **LIMIT, flexibility=sway, rtol=1e-8, method="LSODA", duration=0.12)
    t = found.time
    w = np.sqrt(k / 15.0)
    wd, decay = w * np.sqrt(1 - 0.05**2), 0.05 * w
    force = [
        k
        * simpson(
            found.drag_force[: i + 1]
            * np.exp(-decay * (t[i] - t[: i + 1]))
            * np.sin(wd * (t[i] - t[: i + 1])),
            x=t[: i + 1],
        )
        / (15.0 * wd)
        for i in range(1, len(t))
    ]
    modes = strut_modes(gear, sway)
    aft = modes.shape[0, 0]
    elastic = k * aft * found.history.state("mode_1")[1:]
    assert_allclose(elastic, force, atol=0.003 * np.abs(elastic).max())
    resist = 2 * 0.05 * np.sqrt(k * 15.0) * aft * found.history.state("mode_1_rate")
    assert_allclose(found.strut_drag[1:], elastic + resist[1:], atol=1e-6 * np.abs(elastic).max())
    assert found.spring_back.drag < -0.4 * found.spin_up.drag
    assert found.spring_back.time > found.spin_up.time


def test_without_flexibility_there_is_no_spring_back():
    rigid, flexible = limit_drop(), limit_drop(False, True)
    assert abs(rigid.spring_back.drag) < 0.05 * rigid.spin_up.drag
    assert flexible.spring_back.drag < -0.5 * rigid.spin_up.drag
    # a stiffer strut comes to the rigid one
    stiff = drop(GEAR, **LIMIT, flexibility=swaying(GEAR, stiffness=3e8, mass=2.0), duration=0.2)
    assert stiff.peak_ground_force == pytest.approx(rigid.peak_ground_force, rel=1e-3)


def test_spring_back_comes_after_spin_up():
    # slow ground: the link's own swing pushes forward before the wheel is up to speed; that is not spring-back
    found = drop(GEAR, **{**LIMIT, "ground_speed": 2.0}, flexibility=SWAY, duration=0.2, rtol=1e-5)
    assert found.time[np.argmin(found.strut_drag)] < found.spin_up.time < found.spring_back.time
    assert found.strut_drag.min() < found.spring_back.drag < 0


def test_drag_on_the_ground_is_near_that_of_appendix_d():
    """The rule takes the load's rise as straight and the wheel as sliding at 0.8; the drop has neither exactly."""
    found = limit_drop()
    rule, vertical = spin_up_drag(
        found.peak_ground_force,
        found.ground_speed,
        wheel_inertia=GEAR.wheel_inertia,
        rolling_radius=GEAR.rolling_radius,
        time_to_peak=found.time_to_peak,
    )
    time, drag = found.history.peak(lambda t: found.history.forces_at(t).drag)
    assert drag == pytest.approx(float(rule), rel=0.2)
    assert float(found.history.forces_at(time).ground) == pytest.approx(float(vertical), rel=0.2)
