"""The ride over a bump."""

import numpy as np
import pytest
from gears import trailing_gear
from numpy.testing import assert_allclose
from scipy.constants import g

from beam.gear import taxi_bump
from beam.gear.motion.equations import Setup

GEAR = trailing_gear()


def test_level_ground_leaves_it_standing():
    ride = taxi_bump(GEAR, mass=527.0, ground_speed=15.0, bump_height=0.0, bump_length=1.0, duration=0.3)
    assert_allclose(ride.stroke, ride.stroke[0], atol=1e-9)
    assert ride.stroke[0] == pytest.approx(float(GEAR.static(527.0)), rel=1e-9)
    assert_allclose(ride.ground_force, 527 * g, rtol=1e-9)
    assert ride.load_factor == pytest.approx(1.0, rel=1e-9)


def test_lift_stands_it_higher():
    ride = taxi_bump(
        GEAR, mass=500.0, ground_speed=20.0, bump_height=0.0, bump_length=1.0, lift_ratio=0.2, duration=0.3
    )
    assert_allclose(ride.stroke, float(GEAR.static(400.0)), atol=1e-6)
    assert_allclose(ride.ground_force, 400.0 * g, rtol=1e-5)


def test_a_long_low_bump_is_followed():
    # so slow that the airplane rides up with the ground
    ride = taxi_bump(
        GEAR, mass=527.0, ground_speed=3.0, bump_height=0.05, bump_length=9.0, duration=3.0, rtol=1e-5
    )
    sink = ride.sink - ride.sink[0]
    height, _ = ride.history.setup.ground(ride.time)
    assert_allclose(sink, -height, atol=2e-3)
    assert ride.load_factor == pytest.approx(1.0, abs=0.03)


def test_a_higher_bump_loads_more_until_it_bottoms():
    rides = [
        taxi_bump(GEAR, mass=527.0, ground_speed=15.0, bump_height=h, bump_length=1.0, duration=0.4)
        for h in (0.02, 0.05, 0.15)
    ]
    factor = [ride.load_factor for ride in rides]
    assert factor[0] < factor[1] < factor[2]
    assert [ride.bottomed for ride in rides] == [False, False, True]
    assert rides[2].bottoming_energy > 0
    assert rides[0].bottoming_energy == 0
    assert all(ride.energy_error < 1e-5 for ride in rides)


def test_a_dip_unloads_first():
    ride = taxi_bump(GEAR, mass=527.0, ground_speed=15.0, bump_height=-0.03, bump_length=1.0, duration=0.4)
    assert ride.ground_force[20:80].min() < 0.7 * 527 * g
    assert ride.energy_error < 1e-5


def test_profile_and_its_rate():
    time = np.linspace(-0.02, 0.12, 50)
    ground = Setup(
        gear=GEAR, mass=500.0, lift_ratio=0.0, ground_speed=10.0, bump_height=0.06, bump_length=1.0
    ).ground
    height, climb = ground(time)
    after, _ = ground(time + 1e-7)
    before, _ = ground(time - 1e-7)
    assert_allclose(climb, (after - before) / 2e-7, atol=1e-5)
    assert_allclose(height[time <= 0], 0.0)
    assert_allclose(height[time >= 0.1], 0.0, atol=1e-15)
    assert height.max() == pytest.approx(0.06, rel=1e-2)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"duration": 0.01}, "ends before the bump"),
        ({"mass": 20.0}, "mass"),
        ({"mass": 4000.0}, "static position outside the stroke"),
    ],
)
def test_bad_rides_are_refused(changes, message):
    good = {"mass": 527.0, "ground_speed": 15.0, "bump_height": 0.05, "bump_length": 1.0}
    with pytest.raises(ValueError, match=message):
        taxi_bump(GEAR, **{**good, **changes})
