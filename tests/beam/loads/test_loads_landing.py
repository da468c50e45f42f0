"""23.473 and 23.723: descent speed, masses and load factors, and the mistakes people make with them."""

import numpy as np
import pytest
from loads_airplane import rows, tourer
from numpy.testing import assert_allclose
from printed import printed
from scipy.constants import foot, g, inch, pound_force

from beam.loads import (
    Landing,
    drop_height,
    ground_cases,
    limit_descent_speed,
    required_load_factor,
    reserve_descent_speed,
    reserve_drop_height,
)

PSF = pound_force / foot**2


@pytest.mark.parametrize(
    ("psf", "speed", "height"),
    [
        ("8", "7.3999", "10.182"),
        ("10", "7.8244", "11.384"),
        ("12", "8.1893", "12.471"),
        ("15", "8.6592", "13.943"),
        ("17", "8.9344", "14.843"),
        ("20", "9.3049", "16.100"),
        ("25", "9.8387", "18.000"),
    ],
)
def test_descent_speed_and_drop_height(psf, speed, height):
    """23.473(d) in ft/s and 23.725(a) in inches, W/S in lb/ft2, evaluated by hand."""
    loading = float(psf) * PSF
    assert limit_descent_speed(loading) / foot == printed(speed)
    assert drop_height(loading) / inch == printed(height)


@pytest.mark.parametrize(
    ("quantity", "low", "high"),
    [(limit_descent_speed, 6.406, 26.680), (drop_height, 6.531, 26.982)],
)
def test_clamps_begin_where_the_formula_reaches_them(quantity, low, high):
    """In lb/ft2, by hand; speed and height do not clamp at the same loading."""
    step = 5e-4
    below, above = quantity(np.array([low - step, low + step]) * PSF)
    assert below < above
    assert quantity((low - step) * PSF) == quantity(4.0 * PSF)
    below, above = quantity(np.array([high - step, high + step]) * PSF)
    assert below < above
    assert quantity((high + step) * PSF) == quantity(70.0 * PSF)


def test_height_and_speed_of_the_code_agree_nearly():
    """h = V^2 / 2g gives 3.610 for the printed 3.6, 9.138 in for 9.2 and 18.649 in for 18.7."""
    gravity = 32.174  # ft/s2
    assert limit_descent_speed(4 * PSF) ** 2 / (2 * gravity * foot) / inch == printed("9.138")
    assert limit_descent_speed(50 * PSF) ** 2 / (2 * gravity * foot) / inch == printed("18.649")
    coefficient = limit_descent_speed(16 * PSF) ** 2 / (2 * gravity * foot) / inch / 4
    assert coefficient == printed("3.610")


@pytest.mark.parametrize(
    ("coefficient", "quantity", "power"),
    [("0.5098", limit_descent_speed, 0.25), ("0.013215", drop_height, 0.5)],
)
def test_coefficients_in_si(coefficient, quantity, power):
    """V = 0.5098 (M g/S)^(1/4) m/s and h = 0.013215 (M g/S)^(1/2) m, by conversion."""
    loading = 100 * g
    assert quantity(loading) / loading**power == printed(coefficient)


@pytest.mark.parametrize(
    ("factor", "lift", "needed"),
    [(1.0, 2 / 3, 2.67), (2.67, 2 / 3, 2.67), (3.1, 2 / 3, 3.1), (2.0, 0.0, 2.67), (1.0, 0.667, 2.67)],
)
def test_required_load_factor(factor, lift, needed):
    assert required_load_factor(factor, lift) == needed
    Landing(load_factor=needed, lift_ratio=lift)


@pytest.mark.parametrize("lift", [-0.01, 0.668, 1.0])
def test_lift_beyond_two_thirds_is_refused(lift):
    with pytest.raises(ValueError, match="lift_ratio"):
        Landing(load_factor=3.0, lift_ratio=lift)
    with pytest.raises(ValueError, match="lift_ratio"):
        required_load_factor(3.0, lift)


@pytest.mark.parametrize("field", ["load_factor", "max_mass_load_factor"])
def test_mistake_reaction_factor_given_for_inertia_factor(field):
    with pytest.raises(ValueError, match=rf"{field}.*2\.67.*was n - L given"):
        Landing(**{"load_factor": 3.0} | {field: 2.33})


def test_both_floors_at_two_thirds_lift_are_one():
    """2.67 - 2/3 = 2.003: the reaction floor of 2.0 holds wherever the inertia floor does."""
    assert 2.0 < required_load_factor(0.0, 2 / 3) - 2 / 3 < 2.004
    assert required_load_factor(0.0, 0.667) - 0.667 > 2.0


def test_mistake_landing_mass_in_the_wrong_conditions():
    """Only 23.479, 23.481 and 23.483 may use the landing mass; floors of 23.473(g) hold at maximum mass."""
    cases = ground_cases(tourer(), Landing(load_factor=3.0))
    landing = cases.paragraph.str.startswith(("23.479", "23.481", "23.483"))
    assert set(cases[landing].mass) == {1180.0, 1240.0}
    assert set(cases[~landing].mass) == {1240.0}
    assert set(cases.cg) == {"forward", "aft"}
    main = rows(cases, "tail-down", leg="starboard", cg="aft").set_index("mass").Fz
    assert main[1180.0] == pytest.approx((3.0 - 2 / 3) * 1180.0 * g / 2, rel=1e-14)
    assert main[1240.0] == pytest.approx((2.67 - 2 / 3) * 1240.0 * g / 2, rel=1e-14)


def test_one_mass_when_landing_at_maximum():
    cases = ground_cases(tourer(landing_mass=1240.0), Landing(load_factor=3.0))
    assert set(cases.mass) == {1240.0}
    total = rows(cases, "tail-down", leg="port").Fz
    assert_allclose(total, (3.0 - 2 / 3) * 1240.0 * g / 2, rtol=1e-14)


def test_load_factor_at_maximum_mass_can_be_given():
    cases = ground_cases(tourer(), Landing(load_factor=3.0, max_mass_load_factor=2.9))
    found = rows(cases, "tail-down", leg="starboard", mass=1240.0).Fz
    assert_allclose(found, (2.9 - 2 / 3) * 1240.0 * g / 2, rtol=1e-14)


def test_reserve_energy_is_made_at_1_2_times_the_speed_and_1_44_times_the_height():
    """23.723(b) and 23.727(a); 1.44 is 1.2 squared, as height goes with the square of the speed."""
    loading = np.array([200.0, 500.0, 900.0, 3000.0])
    assert_allclose(reserve_descent_speed(loading), 1.2 * limit_descent_speed(loading), rtol=1e-15)
    assert_allclose(reserve_drop_height(loading), 1.44 * drop_height(loading), rtol=1e-15)


@pytest.mark.parametrize("formula", [limit_descent_speed, drop_height])
@pytest.mark.parametrize("loading", [10.0, 60.0, 105.0, 4000.0])
def test_mistake_wing_loading_in_other_units(formula, loading):
    """15 lb/ft2 or 73 kg/m2 would be clamped to the least speed without a word."""
    with pytest.raises(ValueError, match=r"wing_loading.*kg/m2 or lb/ft2"):
        formula(loading)


def test_mistake_reaction_factor_of_the_reserve_landing():
    with pytest.raises(ValueError, match=r"reserve_load_factor.*inertia factor counts the lift"):
        Landing(load_factor=3.0, reserve_load_factor=0.9)
