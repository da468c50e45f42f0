"""Appendix C: drag. Appendix D: spin-up and spring-back, and the mistakes people make with them."""

import numpy as np
import pytest
from loads_airplane import rows, tourer
from numpy.testing import assert_allclose
from printed import printed
from scipy.constants import foot, g, knot, pound, pound_force

from beam.loads import Landing, SpinUp, drag_factor, ground_cases, spin_up_drag

WHEEL = SpinUp(wheel_inertia=0.25, rolling_radius=0.17, time_to_peak=0.1)
PRINTED = {"rolling_radius": 0.45 * foot, "time_to_peak": 0.15}
SLUG_FT2 = pound_force * foot  # slug ft2 = lbf s2/ft ft2


@pytest.mark.parametrize(
    ("weight", "K"), [(1600, "0.25"), (4000, "0.276667"), (4500, "0.29"), (9000, "0.33")]
)
def test_drag_factor(weight, K):
    """Appendix C, Note 1, W in lb: linear between its ends, by hand."""
    assert drag_factor(weight * pound) == printed(K)


@pytest.mark.parametrize(
    ("inertia", "drag", "vertical", "time"),
    [(0.25, "1200", "1500", "0.15"), (0.08, "759.02", "948.8", "0.0949")],
)
def test_spin_up_by_hand(inertia, drag, vertical, time):
    """r_e 0.45 ft, V_S0 45 kt, F_V 1500 lb, t_s 0.15 s; the first meets its cap."""
    peak = 1500 * pound_force
    found, then = spin_up_drag(peak, 1.2 * 45 * knot, wheel_inertia=inertia * SLUG_FT2, **PRINTED)
    assert found / pound_force == printed(drag)
    assert then / pound_force == printed(vertical)
    assert 0.15 * then / peak == printed(time)


def test_spin_up_before_its_cap():
    """The same formula gives 1341.76 lb where a higher F_V lifts the cap: F_H grows as sqrt(F_V)."""
    peak = 4 * 1500 * pound_force
    drag, _ = spin_up_drag(peak, 1.2 * 45 * knot, wheel_inertia=0.25 * SLUG_FT2, **PRINTED)
    assert drag / 2 / pound_force == printed("1341.76")


def test_spin_up_none_takes_the_cap():
    cases = ground_cases(tourer(), Landing(load_factor=3.0))
    peak = rows(cases, "nose clear, peak vertical", leg="starboard", mass=1180.0).iloc[0].Fz
    spun = rows(cases, "nose clear, spin-up", leg="starboard", mass=1180.0).iloc[0]
    assert spun.Fx == pytest.approx(0.8 * peak)
    assert spun.Fz == pytest.approx(peak)


def test_mistake_spin_up_with_the_peak_vertical():
    """The vertical load of spin-up is that of its instant: drag over friction."""
    cases = ground_cases(tourer(), Landing(load_factor=3.0, spin_up=WHEEL))
    peak = rows(cases, "nose clear, peak vertical", leg="starboard", mass=1180.0).iloc[0].Fz
    spun = rows(cases, "nose clear, spin-up", leg="starboard", mass=1180.0).iloc[0]
    assert spun.Fz == pytest.approx(spun.Fx / 0.8)
    assert spun.Fz < 0.8 * peak
    hand = np.sqrt(2 * 0.25 * 1.2 * 29.0 * 0.8 * peak / 0.1) / 0.17
    assert spun.Fx == pytest.approx(hand, rel=1e-12)


def test_mistake_contact_speed_with_1_25():
    """V_H is 1.2 V_S0; at maximum mass V_S0 grows with the root of the mass."""
    cases = ground_cases(tourer(), Landing(load_factor=3.0, spin_up=WHEEL, max_mass_load_factor=3.0))
    spun = rows(cases, "nose clear, spin-up", leg="starboard", cg="aft").set_index("mass").Fx
    # F_H grows as sqrt(V_H F_V) = (m1/m0)^(1/4 + 1/2)
    assert spun[1240.0] / spun[1180.0] == pytest.approx((1240 / 1180) ** 0.75, rel=1e-12)


def test_mistake_spring_back_enlarged_or_left_out():
    """Spring-back is the spin-up drag turned forward, same size, between two vertical loads."""
    cases = ground_cases(tourer(), Landing(load_factor=3.0, spin_up=WHEEL))
    at = {"leg": "starboard", "mass": 1180.0}
    spun, peak, early, late = (
        rows(cases, f"nose clear, {name}", **at).iloc[0]
        for name in (
            "spin-up",
            "peak vertical",
            "spring-back, vertical at spin-up",
            "spring-back, peak vertical",
        )
    )
    assert early.Fx == late.Fx == -spun.Fx
    assert (early.Fz, late.Fz) == (spun.Fz, peak.Fz)


def test_mistake_spring_back_or_drag_in_the_tail_down_landing():
    cases = ground_cases(tourer(), Landing(load_factor=3.0, spin_up=WHEEL))
    tail_down = cases[cases.paragraph.str.startswith("23.481")]
    assert (tail_down[["Fx", "Fy"]] == 0).all().all()
    assert set(tail_down.attitude_deg) == {13.0}
    assert "nose" not in set(tail_down.leg)


def test_light_wheel_meets_the_drag_floor_on_the_friction_line():
    """A light wheel spins up on little; 23.479(c) then asks for the drag of Appendix C, which friction
    gives from K n W / 0.8 up."""
    light = SpinUp(wheel_inertia=0.005, rolling_radius=0.17, time_to_peak=0.1)
    cases = ground_cases(tourer(), Landing(load_factor=3.0, spin_up=light))
    spun = rows(cases, "nose clear, spin-up", leg="starboard", mass=1180.0).iloc[0]
    assert spun.Fx == pytest.approx(0.25 * 3.0 * 1180.0 * g / 2)
    assert spun.Fz == pytest.approx(spun.Fx / 0.8)


def test_mistake_cap_on_the_vertical_load():
    """0.8 F_V limits F_H, not F_V: drag grows with inertia up to it and stays."""
    inertia = np.array([0.01, 0.1, 1.0, 10.0])
    drag, vertical = spin_up_drag(10e3, 35.0, wheel_inertia=inertia, rolling_radius=0.17, time_to_peak=0.1)
    assert (np.diff(drag) >= 0).all()
    assert drag[-1] == pytest.approx(8e3)
    assert vertical[-1] == pytest.approx(10e3)


def test_mistake_load_factor_as_the_n_of_the_printed_formula():
    """The n of Appendix D is friction: with less of it the drag falls as its root."""
    wheel = {"wheel_inertia": 0.05, "rolling_radius": 0.17, "time_to_peak": 0.1}
    full, then = spin_up_drag(10e3, 35.0, **wheel)
    half, later = spin_up_drag(10e3, 35.0, **wheel, friction=0.4)
    assert half == pytest.approx(full / np.sqrt(2))
    assert later == pytest.approx(then * np.sqrt(2))


def test_pre_rotation_lessens_spin_up():
    wheel = {"wheel_inertia": 0.05, "rolling_radius": 0.17, "time_to_peak": 0.1}
    full, _ = spin_up_drag(10e3, 35.0, **wheel)
    less, _ = spin_up_drag(10e3, 35.0, **wheel, pre_rotation=26.25)
    assert less == pytest.approx(full / 2)
    assert spin_up_drag(10e3, 35.0, **wheel, pre_rotation=40.0)[0] == 0.0


def test_spin_up_momentum():
    """Second way: the linear rise of Appendix D gives the wheel the angular momentum I V / r by time t_1."""
    peak, speed, inertia, radius, t_s, mu = 10e3, 35.0, 0.05, 0.17, 0.1, 0.8
    drag, then = spin_up_drag(peak, speed, wheel_inertia=inertia, rolling_radius=radius, time_to_peak=t_s)
    t = np.linspace(0.0, t_s * float(then) / peak, 2001)
    friction = mu * peak * t / t_s
    assert friction[-1] == pytest.approx(float(drag))
    impulse = np.sum((friction[1:] + friction[:-1]) / 2 * np.diff(t)) * radius
    # the rule equates torque impulse and I w with w = (V_H - V_C) / r
    assert impulse == pytest.approx(inertia * speed / radius, rel=1e-12)


def test_spin_up_scales_with_its_units():
    """kg, m, s = 2, 3, 5 old ones: N = kg m/s2."""
    N, old = 2 * 3 / 25, (10e3, 35.0, 0.05, 0.17, 0.1)
    drag, _ = spin_up_drag(*old[:2], wheel_inertia=old[2], rolling_radius=old[3], time_to_peak=old[4])
    new, _ = spin_up_drag(
        old[0] * N,
        old[1] * 3 / 5,
        wheel_inertia=old[2] * 2 * 9,
        rolling_radius=old[3] * 3,
        time_to_peak=old[4] * 5,
    )
    assert new == pytest.approx(drag * N, rel=1e-12)


def test_nose_wheel_spins_up_on_its_own_data():
    nose = SpinUp(wheel_inertia=0.1, rolling_radius=0.14, time_to_peak=0.12)
    cases = ground_cases(tourer(), Landing(load_factor=3.0, spin_up=WHEEL, nose_spin_up=nose))
    row = rows(cases, "three-point, spin-up", leg="nose", mass=1180.0, cg="forward").iloc[0]
    peak = rows(cases, "three-point, peak vertical", leg="nose", mass=1180.0, cg="forward").iloc[0].Fz
    assert row.Fx == pytest.approx(np.sqrt(2 * 0.1 * 1.2 * 29.0 * 0.8 * peak / 0.12) / 0.14, rel=1e-12)


def test_mistake_vertical_load_of_spin_up_above_the_peak():
    """On slippery ground the cap on the drag would ask for more than the peak vertical load."""
    wheel = {"wheel_inertia": 10.0, "rolling_radius": 0.17, "time_to_peak": 0.1}
    drag, vertical = spin_up_drag(10e3, 35.0, **wheel, friction=[0.4, 0.7, 0.8])
    assert_allclose(drag, 8e3)
    assert_allclose(vertical, 10e3)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"rolling_radius": 170.0}, "mm"),
        ({"time_to_peak": 100.0}, "ms"),
        ({"friction": 0.9}, "0.8"),
        ({"pre_rotation": -1.0}, "lessens"),
    ],
)
def test_slips_of_the_wheel(changes, message):
    with pytest.raises(ValueError, match=message):
        SpinUp(**{"wheel_inertia": 0.05, "rolling_radius": 0.17, "time_to_peak": 0.1} | changes)
