"""Ground loads against numbers from outside: 14 CFR Part 23 evaluated by hand, and a printed static split.

Standing of the values: "read" was read on a page of its source; "derived" is a formula or statement that
was read in 14 CFR Part 23 (2015 annual edition, through Amendment 23-62), evaluated by hand in the units it
is printed in. The formulas of 23.725(b) and (e) are from memory and follow from the energy balance.
"""

import numpy as np
import pytest
from loads_airplane import tourer
from printed import printed
from scipy.constants import foot, g, inch, knot, pound, pound_force

from beam.loads import (
    SpinUp,
    brake_energy,
    drag_factor,
    drop_height,
    drop_load_factor,
    effective_mass,
    ground_cases,
    limit_descent_speed,
    spin_up_drag,
    split,
)

PSF = pound_force / foot**2
SLUG_FT2 = pound_force * foot  # slug ft2 = lbf s2/ft ft2


@pytest.mark.parametrize(
    ("psf", "speed", "height"),
    [
        ("5", "7.0000", "9.200"),
        ("8", "7.3999", "10.182"),
        ("10", "7.8244", "11.384"),
        ("12", "8.1893", "12.471"),
        ("15", "8.6592", "13.943"),
        ("17", "8.9344", "14.843"),
        ("20", "9.3049", "16.100"),
        ("25", "9.8387", "18.000"),
        ("30", "10.0000", "18.700"),
    ],
)
def test_descent_speed_and_drop_height(psf, speed, height):
    """23.473(d) in ft/s and 23.725(a) in inches, W/S in lb/ft2; derived."""
    loading = float(psf) * PSF
    assert limit_descent_speed(loading) / foot == printed(speed)
    assert drop_height(loading) / inch == printed(height)


@pytest.mark.parametrize(
    ("quantity", "low", "high"),
    [(limit_descent_speed, 6.406, 26.680), (drop_height, 6.531, 26.982)],
)
def test_clamps_begin_where_the_formula_reaches_them(quantity, low, high):
    """Clamp points in lb/ft2, derived; speed and height do not clamp at the same loading."""
    step = 5e-4
    below, above = quantity(np.array([low - step, low + step]) * PSF)
    assert below < above
    assert quantity((low - step) * PSF) == quantity(4.0 * PSF)
    below, above = quantity(np.array([high - step, high + step]) * PSF)
    assert below < above
    assert quantity((high + step) * PSF) == quantity(70.0 * PSF)


def test_height_and_speed_of_the_code_agree_nearly():
    """h = V^2 / 2g gives 3.610 for the printed 3.6, 9.138 in for 9.2 and 18.649 in for 18.7; derived."""
    gravity = 32.174  # ft/s2
    assert limit_descent_speed(4 * PSF) ** 2 / (2 * gravity * foot) / inch == printed("9.138")
    assert limit_descent_speed(50 * PSF) ** 2 / (2 * gravity * foot) / inch == printed("18.649")
    coefficient = limit_descent_speed(16 * PSF) ** 2 / (2 * gravity * foot) / inch / 4
    assert coefficient == printed("3.610")


@pytest.mark.parametrize(
    ("mass", "psf", "deflection", "lift", "n_j", "height", "effective", "n"),
    [
        (800, 12, 8, 2 / 3, 3.2, "12.4708", "591.573", "3.03296"),  # derived
        # derived; the hand calculation gave n 3.03329, which is 3.2 * 591.573 / 800 + 0.667: it took the
        # effective weight of L = 2/3 with L = 0.667. With 591.468 lb, n is 3.03287.
        (800, 12, 8, 0.667, 3.2, "12.4708", "591.468", "3.03287"),
        (1, 16, 6, 0.667, 3.5, "14.4", "0.80382", "3.4804"),  # 23.725, evaluated
    ],
)
def test_drop_test(mass, psf, deflection, lift, n_j, height, effective, n):
    h = drop_height(psf * PSF)
    m_e = effective_mass(mass, h, deflection * inch, lift)
    assert h / inch == printed(height)
    assert m_e == printed(effective)
    assert drop_load_factor(n_j, m_e, mass, lift) == printed(n)


def test_reserve_energy_drop():
    """23.727: 1.44 times the height, and the effective mass at THAT height with L = 1; derived."""
    h = 1.44 * drop_height(12 * PSF)
    assert h / inch == printed("17.9579")
    assert effective_mass(800, h, 8 * inch, 1.0) == printed("553.447")


@pytest.mark.parametrize(
    ("weight", "K"),
    [(1600, "0.25"), (3000, "0.25"), (4000, "0.276667"), (4500, "0.29"), (6000, "0.33"), (9000, "0.33")],
)
def test_drag_factor(weight, K):
    """Appendix C, Note 1, W in lb; derived."""
    assert drag_factor(weight * pound) == printed(K)


def sheet_1600():
    """An invented airplane of 1600 lb and 12 lb/ft2."""
    mass, area = 1600 * pound, 1600 / 12 * foot**2
    return tourer(max_mass=mass, landing_mass=mass, wing_area=area, stall_speed=25.0, moments_of_inertia=None)


@pytest.mark.parametrize(
    ("condition", "leg", "column", "value"),
    [
        # Appendix C at n 3, L 2/3, K 0.25: both mains 3733.33 up and 1200 aft, so each half of it; derived
        ("nose clear, peak vertical", "starboard", "Fz", "1866.67"),
        ("nose clear, peak vertical", "starboard", "Fx", "600"),
        ("tail-down", "port", "Fz", "1866.67"),
        ("starboard wheel only, peak vertical", "starboard", "Fz", "1866.67"),
        # 23.485: 1.33 W shared, 0.5 W inboard, 0.33 W outboard of the whole airplane; derived
        ("side load, starboard wheel inboard", "starboard", "Fz", "1064"),
        ("side load, starboard wheel inboard", "starboard", "Fy", "-800"),
        ("side load, starboard wheel inboard", "port", "Fy", "-528"),
        ("side load, port wheel inboard", "starboard", "Fy", "528"),
        # 23.493; derived
        ("braked roll, nose clear", "starboard", "Fz", "1064"),
        ("braked roll, nose clear", "starboard", "Fx", "851.2"),
    ],
)
def test_loads_of_a_1600_lb_airplane(condition, leg, column, value):
    cases = ground_cases(sheet_1600(), Landing(load_factor=3.0))
    rows = cases[(cases.condition == condition) & (cases.leg == leg)]
    assert len(rows) == 2  # forward and aft c.g.
    for load in rows[column] / pound_force:
        assert load == printed(value)


@pytest.mark.parametrize(("n", "ratio"), [(2.67, "0.3332"), (3.0, "0.3214")])
def test_drag_over_vertical_reaction_is_not_a_quarter(n, ratio):
    """Kn/(n - L) at K 0.25; derived."""
    cases = ground_cases(sheet_1600(), Landing(load_factor=n))
    row = cases[cases.condition == "nose clear, peak vertical"].iloc[0]
    assert row.Fx / row.Fz == printed(ratio)


@pytest.mark.parametrize(("leg", "ratio"), [("starboard", "0.752"), ("port", "0.496")])
def test_side_over_vertical(leg, ratio):
    """23.485; derived."""
    cases = ground_cases(sheet_1600(), Landing(load_factor=3.0))
    row = cases[(cases.condition == "side load, starboard wheel inboard") & (cases.leg == leg)].iloc[0]
    assert abs(row.Fy / row.Fz) == printed(ratio)


@pytest.mark.parametrize(
    ("inertia", "drag", "vertical", "time"),
    [(0.25, "1200", "1500", "0.15"), (0.08, "759.02", "948.8", "0.0949")],
)
def test_spin_up(inertia, drag, vertical, time):
    """Appendix D: r_e 0.45 ft, V_S0 45 kt, F_V 1500 lb, t_s 0.15 s; the first meets its cap; derived."""
    found, then = spin_up_drag(
        1500 * pound_force,
        1.2 * 45 * knot,
        wheel_inertia=inertia * SLUG_FT2,
        rolling_radius=0.45 * foot,
        time_to_peak=0.15,
    )
    assert found / pound_force == printed(drag)
    assert then / pound_force == printed(vertical)
    assert 0.15 * then / (1500 * pound_force) == printed(time)


def test_spin_up_before_its_cap():
    """The same formula gives 1341.76 lb where a higher F_V lifts the cap: F_H grows as sqrt(F_V); derived."""
    drag, _ = spin_up_drag(
        4 * 1500 * pound_force,
        1.2 * 45 * knot,
        wheel_inertia=0.25 * SLUG_FT2,
        rolling_radius=0.45 * foot,
        time_to_peak=0.15,
    )
    assert drag / 2 / pound_force == printed("1341.76")


def test_contact_speed_of_the_cases_is_the_printed_one():
    """1.2 V_S0 reaches the cases: the hand-worked spin-up (759.02 lb) from an airplane with F_V 1500 lb."""
    n = 3.0
    weight = 2 * 1500 / (n - 2 / 3)
    airplane = tourer(
        max_mass=weight * pound,
        landing_mass=weight * pound,
        wing_area=weight / 12 * foot**2,
        stall_speed=45 * knot,
    )
    wheel = SpinUp(wheel_inertia=0.08 * SLUG_FT2, rolling_radius=0.45 * foot, time_to_peak=0.15)
    cases = ground_cases(airplane, Landing(load_factor=n, spin_up=wheel)).set_index("condition")
    row = cases.loc["nose clear, spin-up"].iloc[0]
    assert row.Fx / pound_force == printed("759.02")
    assert row.Fz / pound_force == printed("948.8")
    back = cases.loc["nose clear, spring-back, vertical at spin-up"].iloc[0]
    assert back.Fx / pound_force == printed("-759.02")


@pytest.mark.parametrize(
    ("main_arm", "which", "value"),
    [(0.79, "mains", "1628717.661"), (13.35 - 11.28, "nose", "268427.194"), (0.79, "nose", "102443.229")],
)
def test_static_split(main_arm, which, value):
    """Worked calculation of a transport: 176,469 kg, wheelbase 13.35 m, g 9.81; read in part."""
    nose, mains = split(176_469 * 9.81, 13.35 - main_arm, main_arm)
    assert {"nose": nose, "mains": mains}[which] == printed(value)


def test_brake_energy():
    """23.735(a): 0.0443 W V^2 / N in ft lbf, lb, knots; one half of m V^2 is 0.04427; derived."""
    one = brake_energy(1 * pound, 1 * knot, 1)
    assert one / (pound_force * foot) == printed("0.0443")
    exact = 0.5 * pound * knot**2 / (pound_force * foot)
    assert exact == printed("0.04427")
    assert one / (0.5 * pound * knot**2) == pytest.approx(1, abs=1e-3)


@pytest.mark.parametrize(
    ("coefficient", "quantity"), [("0.5098", limit_descent_speed), ("0.013215", drop_height)]
)
def test_coefficients_in_si(coefficient, quantity):
    """V = 0.5098 (M g/S)^(1/4) m/s and h = 0.013215 (M g/S)^(1/2) m; derived."""
    power = {limit_descent_speed: 0.25, drop_height: 0.5}[quantity]
    loading = 100 * g
    assert quantity(loading) / loading**power == printed(coefficient)
