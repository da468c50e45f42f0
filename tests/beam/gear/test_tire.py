"""Tires: continuity, energy, bottoming, loaded radius, damping, friction over slip."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.integrate import quad

from beam.gear import GroundFriction, Tire
from beam.gear.parts.tire import smiley_horne_ratio

SIZE = {
    "width": 0.16,
    "diameter": 0.4445,
    "pressure": 290e3,
    "rated_pressure": 290e3,
    "bottoming_deflection": 0.11,
}
TIRES = {
    "smiley_horne": Tire.smiley_horne(**SIZE),
    "type I": Tire.smiley_horne(**SIZE, tire_type="I"),
    "power": Tire.power_law(radius=0.22, load=6e3, deflection=0.04, bottoming_deflection=0.11, exponent=1.3),
    "points": Tire.from_points(
        radius=0.22, deflection=[0, 0.02, 0.05, 0.1], load=[0, 2e3, 7e3, 18e3], bottoming_deflection=0.11
    ),
}


@pytest.fixture(params=TIRES)
def tire(request):
    return TIRES[request.param]


def test_energy_is_the_integral_of_the_load(tire):
    for end in (0.005, 0.03, 0.08, 0.13):
        breaks = [p for p in (0.016, 0.02, 0.05, 0.1, 0.11, 10 / 3 * 0.02 * 0.16) if p < end]
        area, _ = quad(lambda d: float(tire.load(d)), 0, end, points=breaks, epsrel=1e-11)
        assert float(tire.energy(end)) == pytest.approx(area, rel=1e-8)


def test_load_rises_from_zero_and_is_nothing_off_the_ground(tire):
    load = tire.load(np.linspace(0, 0.15, 200))
    assert load[0] == 0
    assert (np.diff(load) > 0).all()
    assert_allclose(tire.load([-0.1, -1e-9], 3.0), 0.0)
    assert_allclose(tire.energy([-0.1, -1e-9]), 0.0)


def test_loaded_radius_gives_the_load_back(tire):
    load = np.array([[0.0, 500.0], [5168.0, 15e3]])
    assert_allclose(tire.load(tire.radius - tire.loaded_radius(load)), load, rtol=1e-10, atol=1e-9)


@pytest.mark.parametrize("Cz", [0.02, 0.03])
def test_smiley_and_horne_branches_meet_in_value_and_slope(Cz):
    # R. F. Smiley, W. B. Horne, NASA TR R-64 (1960), equations from memory; the two branches must fit each other
    x, step = 10 * Cz / 3, 1e-7
    below, at, above = smiley_horne_ratio([x - step, x, x + step], Cz)
    assert at == pytest.approx(5.6 * Cz, rel=1e-12)
    assert (at - below) / step == pytest.approx((above - at) / step, rel=1e-5)
    assert (above - at) / step == pytest.approx(2.4, rel=1e-5)


def test_load_scales_with_pressure_and_size():
    one = Tire.smiley_horne(**SIZE)
    stiff = Tire.smiley_horne(**{**SIZE, "pressure": 2 * 290e3, "rated_pressure": 2 * 290e3})
    assert float(stiff.load(0.05)) == pytest.approx(2 * float(one.load(0.05)), rel=1e-12)
    large = Tire.smiley_horne(**{**SIZE, "width": 0.32, "diameter": 0.889, "bottoming_deflection": 0.22})
    assert float(large.load(0.1)) == pytest.approx(4 * float(one.load(0.05)), rel=1e-12)
    # F = (p + 0.08 pr) w sqrt(w d) 2.4 (x - Cz), by hand
    assert float(one.load(0.08)) == pytest.approx(1.08 * 290e3 * 0.16 * np.sqrt(0.16 * 0.4445) * 2.4 * 0.47)


def test_bottoming_stiffens_the_tire(tire):
    rim = tire.bottoming_deflection
    soft = float(tire.load(rim) - tire.load(rim - 1e-4))
    hard = float(tire.load(rim + 1e-4) - tire.load(rim))
    # ten times the secant, itself below the tangent of a tire that stiffens
    assert hard == pytest.approx(soft + 1e-4 * 10 * float(tire.load(rim)) / rim, rel=0.01)


def test_damping_vanishes_with_the_load_and_never_pulls():
    tire = Tire.power_law(radius=0.2, load=6e3, deflection=0.04, bottoming_deflection=0.1, damping=0.05)
    assert float(tire.load(0.04, 2.0)) == pytest.approx(6e3 * 1.1)
    assert float(tire.load(0.04, -2.0)) == pytest.approx(6e3 * 0.9)
    assert float(tire.load(0.04, -50.0)) == 0.0
    assert float(tire.load(0.0, 50.0)) == 0.0


def test_arrays_equal_loops(tire):
    at, rate = np.linspace(-0.01, 0.13, 6).reshape(2, 3), np.array([1.0, -1.0, 0.0])
    whole = tire.load(at, rate)
    assert whole.shape == (2, 3)
    for i in np.ndindex(at.shape):
        assert whole[i] == float(tire.load(at[i], rate[i[1]]))


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"diameter": 17.5}, "diameter"),
        ({"pressure": 2.9e6, "rated_pressure": 2.9e5}, "pressure.*rated"),
        ({"bottoming_deflection": 0.3}, "bottoming_deflection.*mm"),
    ],
)
def test_bad_sizes_are_refused(changes, message):
    with pytest.raises(ValueError, match=message):
        Tire.smiley_horne(**{**SIZE, **changes})


@pytest.mark.parametrize(
    ("deflection", "load", "message"),
    [
        ([0.01, 0.02], [0, 1e3], r"first.*\(0, 0\)"),
        ([0, 0.02, 0.04], [0, 2e3, 1e3], "rising"),
    ],
)
def test_bad_points_are_refused(deflection, load, message):
    with pytest.raises(ValueError, match=message):
        Tire.from_points(radius=0.2, deflection=deflection, load=load, bottoming_deflection=0.1)


def test_a_load_that_flattens_the_tire_is_refused():
    with pytest.raises(ValueError, match=r"load \[N\]: got 1e\+09, must be < .*whole airplane"):
        TIRES["power"].loaded_radius(1e9)


def test_friction_follows_its_table_and_the_direction_of_slip():
    mu = GroundFriction()
    assert float(mu(35.0, 35.0)) == pytest.approx(0.8)
    assert float(mu(0.10 * 35.0, 35.0)) == pytest.approx(0.68)
    assert float(mu(-0.05 * 35.0, 35.0)) == pytest.approx(-0.40)
    assert float(mu(0.0, 35.0)) == 0.0
    # slower than the least speed, slip is taken over that
    assert float(mu(0.5, 1.0)) == pytest.approx(0.40)
    assert_allclose(mu(np.array([[1.0], [2.0]]), np.array([20.0, 40.0])).shape, (2, 2))


def test_friction_that_does_not_start_at_nothing_is_refused():
    with pytest.raises(ValueError, match=r"coefficient \[-\]: got .*, must be from \(0, 0\), then above 0"):
        GroundFriction(slip=(0.1, 1.0), coefficient=(0.5, 0.8))
    with pytest.raises(ValueError, match=r"must be from \(0, 0\), then above 0"):
        GroundFriction(slip=(0.0, 0.5, 1.0), coefficient=(0.0, 0.0, 0.8))
