"""23.479 with Appendix C, 23.481 and 23.483: rules and the mistakes people make with them."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from loads_airplane import airplanes, tourer
from loads_rows import rows
from numpy.testing import assert_allclose
from scipy.constants import g, pound

from beam.loads import Landing, SpinUp, case_list, drag_factor, ground_cases, stance
from beam.loads.part23 import nose_clear_landing, one_wheel_landing, tail_down_landing, three_point_landing

WHEEL = SpinUp(wheel_inertia=0.25, rolling_radius=0.17, time_to_peak=0.1)
LANDINGS = (three_point_landing, nose_clear_landing, tail_down_landing, one_wheel_landing)


def test_drag_factor_is_linear_between_its_ends():
    mass = np.array([[2999.0, 3000.0, 3001.0], [5999.0, 6000.0, 6001.0]]) * pound
    K = drag_factor(mass)
    assert K.shape == mass.shape
    assert_allclose(K[0, :2], 0.25, rtol=1e-15)
    assert_allclose(K[1, 1:], 0.33, rtol=1e-15)
    assert K[0, 2] == pytest.approx(0.25 + 0.08 / 3000)


@pytest.mark.parametrize("lift", [0.0, 0.4, 2 / 3])
def test_mistake_drag_floor_taken_with_lift(lift):
    """25 percent of the vertical reaction WITHOUT lift: 0.25 n W, not 0.25 (n - L) W."""
    cases = ground_cases(tourer(), load_factor=3.0, lift_ratio=lift)
    row = rows(cases, "nose clear, peak vertical", leg="starboard", mass=1180.0).iloc[0]
    assert row.Fx == pytest.approx(0.25 * 3.0 * 1180.0 * g / 2, rel=1e-14)


def test_mistake_reaction_of_both_mains_on_each():
    cases = ground_cases(tourer(), load_factor=3.0)
    pair = rows(cases, "nose clear, peak vertical", mass=1180.0, cg="aft")
    assert len(pair) == 2
    assert pair.Fz.sum() == pytest.approx((3.0 - 2 / 3) * 1180.0 * g, rel=1e-14)


@settings(max_examples=40, deadline=None)
@given(airplane=airplanes(), n=st.floats(2.67, 6.0), L=st.floats(0.0, 2 / 3))
def test_three_point_is_appendix_c_with_arms_across_the_reaction(airplane, n, L):
    """V_f = (n - L) W b'/d', D_f = K n W b'/d', V_r = (n - L) W a'/d' with primed arms across the reaction.

    Arms are worked out from points: distances between lines through wheel axles and c.g. along the
    inclined reaction. With wheels of one size they add up as in the appendix.
    """
    radius = airplane.main_wheel_radius
    airplane = dataclasses.replace(airplane, nose_wheel_radius=radius)
    mass = airplane.landing_mass
    for factor in (n,):
        K = float(drag_factor(mass))
        lean = np.array([K * factor, factor - L]) / np.hypot(K * factor, factor - L)
        across = np.array([lean[1], -lean[0]])
        for cg in ("forward", "aft"):
            at = stance(airplane, cg)
            a = -np.dot(across, (-at.nose_arm, radius - at.height))
            b = np.dot(across, (at.main_arm, radius - at.height))
            found = [
                case
                for case in three_point_landing(airplane, Landing(load_factor=n, lift_ratio=L))
                if (case.cg, case.mass) == (cg, mass) and "peak vertical" in case.condition[:30]
            ]
            wheels = {wheel.leg: wheel for wheel in found[0].wheels}
            W = mass * g
            assert wheels["nose"].Fz == pytest.approx((factor - L) * W * b / (a + b), rel=1e-9)
            assert wheels["nose"].Fx == pytest.approx(K * factor * W * b / (a + b), rel=1e-9)
            assert 2 * wheels["port"].Fz == pytest.approx((factor - L) * W * a / (a + b), rel=1e-9)
            assert 2 * wheels["port"].Fx == pytest.approx(K * factor * W * a / (a + b), rel=1e-9)


def test_mistake_one_wheel_takes_the_whole_airplane():
    """The leg that touches carries what it carries with both down: half of (n - L) W, at every instant."""
    cases = ground_cases(tourer(), load_factor=3.0, spin_up=WHEEL)
    for name in (
        "peak vertical",
        "spin-up",
        "spring-back, vertical at spin-up",
        "spring-back, peak vertical",
    ):
        both = rows(cases, f"nose clear, {name}", leg="starboard")
        one = rows(cases, f"starboard wheel only, {name}", leg="starboard")
        assert_allclose(one[["Fx", "Fy", "Fz"]], both[["Fx", "Fy", "Fz"]], rtol=0)
        assert set(cases[cases.condition == f"port wheel only, {name}"].leg) == {"port"}


def test_mistake_landing_drag_at_the_ground():
    """Spin-up reaches the leg at the axle, judged over 25 to 100 percent of the stroke."""
    cases = ground_cases(tourer(), load_factor=3.0)
    landing = cases[cases.paragraph.str.startswith(("23.479", "23.481", "23.483"))]
    assert set(landing.applied_at) == {"axle"}
    assert set(landing.shock) == {"landing"}
    assert set(landing.strokes) == {(0.25, 0.5, 0.75, 1.0)}


@settings(max_examples=40, deadline=None)
@given(airplane=airplanes(), n=st.floats(2.67, 6.0), L=st.floats(0.0, 2 / 3), inertia=st.floats(0.01, 1.0))
def test_vertical_reactions_are_what_the_paragraph_says(airplane, n, L, inertia):
    wheel = SpinUp(wheel_inertia=inertia, rolling_radius=airplane.main_wheel_radius, time_to_peak=0.12)
    landing = Landing(load_factor=n, lift_ratio=L, spin_up=wheel)
    factor = {airplane.max_mass: max(2.67, 2 + L)}
    factor[airplane.landing_mass] = max(n, factor.get(airplane.landing_mass, 0.0))
    for case in case_list(airplane, landing, conditions=LANDINGS):
        total = (factor[case.mass] - L) * case.mass * g * (0.5 if case.paragraph == "23.483" else 1.0)
        vertical = sum(w.Fz for w in case.wheels)
        if "peak vertical" in case.condition or case.condition == "tail-down":
            assert vertical == pytest.approx(total, rel=1e-12), case.condition
        else:
            assert 0 < vertical <= total * (1 + 1e-12)
        for w in case.wheels:
            assert abs(w.Fx) <= 0.8 * w.Fz * (1 + 1e-12)
            assert w.Fy == 0.0
            if "spin-up" in case.condition.split(", ")[1:2]:
                assert w.Fx >= 0.25 * factor[case.mass] / (factor[case.mass] - L) * w.Fz * (1 - 1e-12)
        mains = {w.leg: w for w in case.wheels}
        if {"starboard", "port"} <= set(mains):
            assert mains["starboard"].Fz == mains["port"].Fz
            assert mains["starboard"].Fx == mains["port"].Fx


def test_mistake_weight_left_out_of_the_nose_reaction():
    """Some reprints of Appendix C drop the W from V_f: every reaction is a force and doubles with the mass."""
    light = tourer(max_mass=900.0, landing_mass=900.0, wing_area=9.0)
    heavy = tourer(max_mass=1300.0, landing_mass=1300.0, wing_area=13.0)  # K is 0.25 for both
    for leg in ("nose", "starboard"):
        one, two = (
            rows(ground_cases(sheet, load_factor=3.0), "three-point, peak vertical", leg=leg)
            for sheet in (light, heavy)
        )
        assert_allclose(two[["Fx", "Fz"]], one[["Fx", "Fz"]] * 13 / 9, rtol=1e-12)
