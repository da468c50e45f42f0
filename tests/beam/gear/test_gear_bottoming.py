"""Landings that come to the end of the shock or the tire: by how much energy, and what reserve energy asks."""

import re
from dataclasses import replace

import numpy as np
import pytest
from gears import with_shock
from landings import GEAR, LIMIT, limit_drop
from scipy.constants import g

from beam.gear import AirSpring, Bottomed, drop, reserve_energy
from beam.loads import limit_descent_speed
from beam.loads.part23.landing import reserve_descent_speed


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
    found = reserve_energy(GEAR, mass=500.0, reserve_speed=1.2 * 2.9, ground_speed=35.0)
    same = drop(GEAR, mass=500.0, speed=1.2 * 2.9, lift_ratio=1.0, ground_speed=35.0)
    assert found.peak_ground_force == same.peak_ground_force
    assert not found.bottomed
    assert reserve_energy(GEAR, mass=800.0, reserve_speed=3.84).bottoming_energy > 50


def test_the_reserve_speed_of_the_code_is_handed_in():
    # 23.723(b): 1.2 times the limit speed, so 1.44 times its energy; lift = weight, so nothing is added on the way down
    loading = 0.05e6 / 50
    speed = float(reserve_descent_speed(loading))
    found = reserve_energy(GEAR, mass=450.0, reserve_speed=speed)
    limit = 0.5 * 450.0 * float(limit_descent_speed(loading)) ** 2
    supplied = found.history.states[0] @ np.eye(14)[3]
    assert 0.5 * 450.0 * supplied**2 == pytest.approx(1.44 * limit, rel=1e-9)
    assert found.lift_ratio == 1


def test_a_tire_on_its_rim_is_seen():
    gear = replace(GEAR, tire=replace(GEAR.tire, bottoming_deflection=0.05, bottoming_stiffness=1e6))
    assert drop(gear, **LIMIT).tire_bottomed
    assert not limit_drop().tire_bottomed
