"""23.725 and 23.727: drop tests, and the mistakes people make with them."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from loads_airplane import tourer
from printed import printed
from scipy.constants import foot, inch, pound_force

from beam.loads import drop_height, drop_load_factor, effective_mass, reserve_drop_height, stance, unit_masses

PSF = pound_force / foot**2


@pytest.mark.parametrize(
    ("mass", "psf", "deflection", "lift", "n_j", "height", "effective", "n"),
    [
        (800, 12, 8, 2 / 3, 3.2, "12.4708", "591.573", "3.03296"),
        (800, 12, 8, 0.667, 3.2, "12.4708", "591.468", "3.03287"),
        (1, 16, 6, 0.667, 3.5, "14.4", "0.80382", "3.4804"),
    ],
)
def test_drop_test(mass, psf, deflection, lift, n_j, height, effective, n):
    """23.725 evaluated by hand, in inches and lb/ft2. The effective weight is that of the lift ratio itself."""
    h = drop_height(psf * PSF)
    m_e = effective_mass(mass, h, deflection * inch, lift)
    assert h / inch == printed(height)
    assert m_e == printed(effective)
    assert drop_load_factor(n_j, m_e, mass, lift) == printed(n)


def test_reserve_energy_drop():
    """23.727 by hand: 1.44 times the height, and the effective mass at THAT height with L = 1."""
    h = reserve_drop_height(12 * PSF)
    assert h / inch == printed("17.9579")
    assert effective_mass(800, h, 8 * inch, 1.0) == printed("553.447")


def test_effective_mass_limits():
    """Lift equal to nothing drops all of W; lift equal to W drops W h / (h + d)."""
    assert effective_mass(600.0, 0.3, 0.2, 0.0) == pytest.approx(600.0)
    assert effective_mass(600.0, 0.3, 0.2, 1.0) == pytest.approx(360.0)


@settings(max_examples=20, deadline=None)
@given(h=st.floats(0.2, 0.5), d=st.floats(0.05, 0.5), L=st.floats(0.0, 0.667))
def test_effective_mass_does_the_work_of_the_landing(h, d, L):
    """A spring deflected d by the drop of W_e takes what the landing of W with lift L W gives it."""
    W = 5000.0
    W_e = effective_mass(W, h, d, L)
    assert W_e * (h + d) == pytest.approx(W * h + (W - L * W) * d, rel=1e-12)


def test_mistake_lift_between_the_limit_and_the_reserve_drop():
    with pytest.raises(ValueError, match=r"lift_ratio.*0\.667.*or 1"):
        effective_mass(600.0, 0.3, 0.2, [0.5, 0.8])


def test_drop_load_factor_counts_lift_once():
    """n W = n_j W_e + L W: the ground carries n - L of the weight."""
    n = drop_load_factor(3.2, 450.0, 600.0, 2 / 3)
    assert (n - 2 / 3) * 600.0 == pytest.approx(3.2 * 450.0)


def test_mistake_whole_airplane_on_one_unit():
    """W_M is half the airplane with the nose clear, not the static share; W_N is braked with 0.33 g."""
    airplane = tourer()
    main, nose = unit_masses(airplane, 1180.0)
    assert main == 590.0
    at = stance(airplane, "forward")
    assert nose == pytest.approx(1180.0 * (at.main_arm + 0.33 * at.height) / at.wheelbase)
    with pytest.raises(ValueError, match=r"unit_masses: mass.*pounds"):
        unit_masses(airplane, 1180.0 / 0.45359237)
