"""23.473, 23.723, 23.725 and 23.727: masses, load factors and drop tests, and the mistakes people make with them."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from loads_airplane import tourer
from loads_rows import rows
from numpy.testing import assert_allclose
from scipy.constants import g

from beam.loads import (
    Landing,
    contact_speed,
    drop_height,
    drop_load_factor,
    effective_mass,
    ground_cases,
    limit_descent_speed,
    required_load_factor,
    reserve_descent_speed,
    reserve_drop_height,
    stance,
    unit_masses,
)


@pytest.mark.parametrize(
    ("factor", "lift", "needed"),
    [(1.0, 2 / 3, 2.67), (2.67, 2 / 3, 2.67), (3.1, 2 / 3, 3.1), (2.0, 0.0, 2.67), (1.0, 0.667, 2.67)],
)
def test_required_load_factor(factor, lift, needed):
    assert required_load_factor(factor, lift) == needed
    Landing(load_factor=needed, lift_ratio=lift)


@pytest.mark.parametrize("lift", [-0.01, 0.668, 1.0, float("nan")])
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
    cases = ground_cases(tourer(), load_factor=3.0)
    landing = cases.paragraph.str.startswith(("23.479", "23.481", "23.483"))
    assert set(cases[landing].mass) == {1180.0, 1240.0}
    assert set(cases[~landing].mass) == {1240.0}
    assert set(cases.cg) == {"forward", "aft"}
    main = rows(cases, "tail-down", leg="starboard", cg="aft").set_index("mass").Fz
    assert main[1180.0] == pytest.approx((3.0 - 2 / 3) * 1180.0 * g / 2, rel=1e-14)
    assert main[1240.0] == pytest.approx((2.67 - 2 / 3) * 1240.0 * g / 2, rel=1e-14)


def test_one_mass_when_landing_at_maximum():
    cases = ground_cases(tourer(landing_mass=1240.0), load_factor=3.0)
    assert set(cases.mass) == {1240.0}
    total = rows(cases, "tail-down", leg="port").Fz
    assert_allclose(total, (3.0 - 2 / 3) * 1240.0 * g / 2, rtol=1e-14)


def test_load_factor_at_maximum_mass_can_be_given():
    cases = ground_cases(tourer(), load_factor=3.0, max_mass_load_factor=2.9)
    found = rows(cases, "tail-down", leg="starboard", mass=1240.0).Fz
    assert_allclose(found, (2.9 - 2 / 3) * 1240.0 * g / 2, rtol=1e-14)


@pytest.mark.parametrize("quantity", [limit_descent_speed, drop_height])
def test_formulas_take_arrays_and_refuse_nonsense(quantity):
    loading = np.array([[200.0, 500.0, 900.0], [1100.0, 1300.0, 3000.0]])
    whole = quantity(loading)
    assert_allclose(whole.ravel(), [quantity(w) for w in loading.ravel()], rtol=1e-15)
    assert whole.shape == loading.shape
    assert (np.diff(whole.ravel()) >= 0).all()
    with pytest.raises(ValueError, match="wing_loading"):
        quantity([500.0, 0.0])


# drop test


def test_effective_mass_limits():
    """Lift equal to nothing drops all of W; lift equal to W drops W h / (h + d)."""
    assert effective_mass(600.0, 0.3, 0.2, 0.0) == pytest.approx(600.0)
    assert effective_mass(600.0, 0.3, 0.2, 1.0) == pytest.approx(360.0)
    m, h, d, L = np.meshgrid([400.0, 600.0], [0.25, 0.4], [0.1, 0.3], [0.0, 0.5, 2 / 3], indexing="ij")
    whole = effective_mass(m, h, d, L)
    assert_allclose(
        whole.ravel(), [effective_mass(*x) for x in zip(m.flat, h.flat, d.flat, L.flat, strict=True)]
    )


@settings(max_examples=50, deadline=None)
@given(
    h=st.floats(0.2, 0.5),
    d=st.floats(0.05, 0.5),
    L=st.floats(0.0, 0.667),
)
def test_effective_mass_does_the_work_of_the_landing(h, d, L):
    """A spring deflected d by the drop of W_e takes what the landing of W with lift L W gives it."""
    W = 5000.0
    W_e = effective_mass(W, h, d, L)
    assert W_e * (h + d) == pytest.approx(W * h + (W - L * W) * d, rel=1e-12)


def test_mistake_lift_between_the_limit_and_the_reserve_drop():
    with pytest.raises(ValueError, match=r"0\.667.*or 1"):
        effective_mass(600.0, 0.3, 0.2, 0.8)


@pytest.mark.parametrize(
    ("values", "name"),
    [
        ((0.0, 0.3, 0.2, 0.5), "mass"),
        ((600.0, -0.3, 0.2, 0.5), "height"),
        ((600.0, 0.3, 0.0, 0.5), "deflection"),
    ],
)
def test_effective_mass_refuses(values, name):
    with pytest.raises(ValueError, match=name):
        effective_mass(*values)


def test_drop_load_factor_counts_lift_once():
    """n W = n_j W_e + L W: the ground carries n - L of the weight."""
    n = drop_load_factor(3.2, 450.0, 600.0, 2 / 3)
    assert (n - 2 / 3) * 600.0 == pytest.approx(3.2 * 450.0)
    with pytest.raises(ValueError, match="mass"):
        drop_load_factor(3.2, 450.0, 0.0, 2 / 3)


def test_mistake_whole_airplane_on_one_unit():
    """W_M is half the airplane with the nose clear, not the static share; W_N is braked with 0.33 g."""
    airplane = tourer()
    main, nose = unit_masses(airplane, 1180.0)
    assert main == 590.0
    at = stance(airplane, "forward")
    assert nose == pytest.approx(1180.0 * (at.main_arm + 0.33 * at.height) / at.wheelbase)


@pytest.mark.parametrize(
    ("values", "name"),
    [
        ((-3.0, 300.0, 400.0, 0.6), "test_factor"),
        ((3.0, 0.0, 400.0, 0.6), "effective_mass"),
        ((3.0, 300.0, 400.0, 60.0), "lift_ratio"),
    ],
)
def test_drop_load_factor_refuses(values, name):
    with pytest.raises(ValueError, match=name):
        drop_load_factor(*values)


def test_reserve_energy_is_made_at_1_2_times_the_speed_and_1_44_times_the_height():
    """23.723(b) and 23.727(a); 1.44 is 1.2 squared, as height goes with the square of the speed."""
    loading = np.array([200.0, 500.0, 900.0, 3000.0])
    assert_allclose(reserve_descent_speed(loading), 1.2 * limit_descent_speed(loading), rtol=1e-15)
    assert_allclose(reserve_drop_height(loading), 1.44 * drop_height(loading), rtol=1e-15)


def test_contact_speed_grows_with_the_root_of_the_mass():
    assert contact_speed(tourer(), 1180.0) == pytest.approx(1.2 * 29.0)
    assert contact_speed(tourer(), 1240.0) == pytest.approx(1.2 * 29.0 * (1240 / 1180) ** 0.5)
    with pytest.raises(ValueError, match=r"mass.*pounds"):
        contact_speed(tourer(), 2600.0)


@pytest.mark.parametrize("loading", [10.0, 60.0, 105.0])
def test_mistake_wing_loading_in_other_units(loading):
    """15 lb/ft2 or 73 kg/m2 would be clamped to the least speed without a word."""
    for formula in (limit_descent_speed, drop_height):
        with pytest.raises(ValueError, match=r"wing_loading.*kg/m2 or lb/ft2"):
            formula(loading)
