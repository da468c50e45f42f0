"""Ground loads against numbers printed outside: 14 CFR Part 23 and a static split.

Read in 14 CFR Part 23 (2015 annual edition, through Amendment 23-62): the numbers that the paragraphs print, in the
units they print them in. Read in part: the static split of a transport. From memory: none.
"""

import pytest
from loads_airplane import tourer, wheels
from printed import printed
from scipy.constants import foot, g, inch, knot, pound, pound_force

from beam.loads import (
    Landing,
    SpinUp,
    brake_energy,
    contact_speed,
    drag_factor,
    drop_height,
    limit_descent_speed,
    required_load_factor,
    reserve_descent_speed,
    reserve_drop_height,
    spin_up_drag,
    split,
    static_reactions,
)
from beam.loads.part23 import braked_roll, jacking, nose_wheel, pivoting, side_load, towing

PSF = pound_force / foot**2
LANDING = Landing(load_factor=3.0)


@pytest.mark.parametrize(("psf", "speed", "height"), [(5, "7", "9.2"), (30, "10", "18.7")])
def test_least_and_most_descent_speed_and_drop_height(psf, speed, height):
    """23.473(d): not below 7 ft/s, need not exceed 10 ft/s; 23.725(a): 9.2 and 18.7 inches."""
    assert limit_descent_speed(psf * PSF) / foot == pytest.approx(float(speed), rel=1e-14)
    assert drop_height(psf * PSF) / inch == pytest.approx(float(height), rel=1e-14)


def test_coefficients_of_descent_speed_and_drop_height():
    """V = 4.4 (W/S)^(1/4) and h = 3.6 (W/S)^(1/2); reserve energy: 1.2 V (23.723(b)) and 1.44 h (23.727(a))."""
    loading = 16 * PSF
    assert limit_descent_speed(loading) / foot / 2 == pytest.approx(4.4, rel=1e-14)
    assert drop_height(loading) / inch / 4 == pytest.approx(3.6, rel=1e-14)
    assert reserve_descent_speed(loading) / limit_descent_speed(loading) == pytest.approx(1.2, rel=1e-14)
    assert reserve_drop_height(loading) / drop_height(loading) == pytest.approx(1.44, rel=1e-14)


def test_least_load_factors():
    """23.473(g): n not below 2.67; (e): lift of 2/3 of the weight."""
    assert required_load_factor(0.0, 2 / 3) == 2.67


@pytest.mark.parametrize(("weight", "K"), [(3000, "0.25"), (6000, "0.33")])
def test_ends_of_the_drag_factor(weight, K):
    """Appendix C, Note 1: 0.25 for 3,000 lb or less, 0.33 for 6,000 lb or more."""
    assert drag_factor(weight * pound) == pytest.approx(float(K), rel=1e-14)


@pytest.mark.parametrize(
    ("rule", "condition", "leg", "component", "factor"),
    [
        (side_load, "side load, starboard wheel inboard", "starboard", "Fz", 1.33 / 2),
        (side_load, "side load, starboard wheel inboard", "starboard", "Fy", -0.5),
        (side_load, "side load, starboard wheel inboard", "port", "Fy", -0.33),
        (side_load, "side load, port wheel inboard", "port", "Fy", 0.5),
        (braked_roll, "braked roll, nose clear", "port", "Fz", 1.33 / 2),
        (braked_roll, "braked roll, nose clear", "port", "Fx", 0.8 * 1.33 / 2),
        (towing, "tow on starboard leg, aft", "starboard", "Fx", 0.225),
        (towing, "tow on nose leg, forward", "nose", "Fx", -0.3),
    ],
)
def test_loads_over_the_weight_of_the_airplane(rule, condition, leg, component, factor):
    """23.485(b), (c); 23.493(a), (b); 23.509: factors on W as printed."""
    load = getattr(wheels(rule(tourer(), LANDING), condition)[leg], component)
    assert load / (1240.0 * g) == pytest.approx(factor, rel=1e-14)


@pytest.mark.parametrize(
    ("rule", "condition", "component", "factor"),
    [
        (nose_wheel, "nose wheel, aft load", "Fz", 2.25),
        (nose_wheel, "nose wheel, aft load", "Fx", 0.8 * 2.25),
        (nose_wheel, "nose wheel, forward load", "Fx", -0.4 * 2.25),
        (nose_wheel, "nose wheel, side load to port", "Fy", -0.7 * 2.25),
        (jacking, "jack under nose leg, push aft", "Fz", 1.35),
        (jacking, "jack under nose leg, push aft", "Fx", 0.4),
        (pivoting, "pivoting about port wheel, turning to port", "Fz", 1.0),
    ],
)
def test_loads_over_the_static_reaction(rule, condition, component, factor):
    """23.499(a) to (c); 23.507; 23.511(a): factors on the static reaction as printed."""
    static = static_reactions(tourer()).set_index(["mass", "cg"]).nose[1240.0, "aft"]
    load = getattr(wheels(rule(tourer(), LANDING), condition)["nose"], component)
    assert load / static == pytest.approx(factor, rel=1e-13)


def test_spin_up_numbers():
    """Appendix D: contact at 1.2 V_S0, friction 0.80, drag not above 0.8 of the peak vertical load."""
    assert contact_speed(tourer(), 1180.0) / 29.0 == pytest.approx(1.2, rel=1e-14)
    wheel = {"wheel_inertia": 5.0, "rolling_radius": 0.2, "time_to_peak": 0.1}
    assert SpinUp(**wheel).friction == 0.80
    assert spin_up_drag(1e4, 35.0, **wheel)[0] / 1e4 == pytest.approx(0.8, rel=1e-14)


def test_brake_energy():
    """23.735(a): KE = 0.0443 W V^2 / N in ft lbf, lb, knots."""
    assert brake_energy(1 * pound, 1 * knot, 1) / (pound_force * foot) == pytest.approx(0.0443, rel=1e-14)


@pytest.mark.parametrize(
    ("main_arm", "which", "value"),
    [(0.79, "mains", "1628717.661"), (13.35 - 11.28, "nose", "268427.194"), (0.79, "nose", "102443.229")],
)
def test_static_split(main_arm, which, value):
    """Worked calculation of a transport: 176,469 kg, wheelbase 13.35 m, g 9.81; read in part."""
    nose, mains = split(176_469 * 9.81, 13.35 - main_arm, main_arm)
    assert {"nose": nose, "mains": mains}[which] == printed(value)
