"""23.479 with Appendix C, 23.481 and 23.483: rules and the mistakes people make with them."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from loads_airplane import airplanes, rows, tourer
from numpy.testing import assert_allclose
from printed import printed
from scipy.constants import foot, g, knot, pound, pound_force

from beam.loads import Landing, SpinUp, case_list, contact_speed, drag_factor, ground_cases, stance
from beam.loads.part23 import nose_clear_landing, one_wheel_landing, tail_down_landing, three_point_landing

WHEEL = SpinUp(wheel_inertia=0.25, rolling_radius=0.17, time_to_peak=0.1)
LANDINGS = (three_point_landing, nose_clear_landing, tail_down_landing, one_wheel_landing)


@pytest.mark.parametrize("lift", [0.0, 0.4, 2 / 3])
def test_mistake_drag_floor_taken_with_lift(lift):
    """25 percent of the vertical reaction WITHOUT lift: 0.25 n W, not 0.25 (n - L) W."""
    cases = ground_cases(tourer(), Landing(load_factor=3.0, lift_ratio=lift))
    row = rows(cases, "nose clear, peak vertical", leg="starboard", mass=1180.0).iloc[0]
    assert row.Fx == pytest.approx(0.25 * 3.0 * 1180.0 * g / 2, rel=1e-14)


def test_mistake_reaction_of_both_mains_on_each():
    cases = ground_cases(tourer(), Landing(load_factor=3.0))
    pair = rows(cases, "nose clear, peak vertical", mass=1180.0, cg="aft")
    assert len(pair) == 2
    assert pair.Fz.sum() == pytest.approx((3.0 - 2 / 3) * 1180.0 * g, rel=1e-14)


@settings(max_examples=15, deadline=None)
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
    cases = ground_cases(tourer(), Landing(load_factor=3.0, spin_up=WHEEL))
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
    cases = ground_cases(tourer(), Landing(load_factor=3.0))
    landing = cases[cases.paragraph.str.startswith(("23.479", "23.481", "23.483"))]
    assert set(landing.applied_at) == {"axle"}
    assert set(landing.shock) == {"landing"}
    assert set(landing.strokes) == {(0.25, 0.5, 0.75, 1.0)}


@settings(max_examples=15, deadline=None)
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
            rows(ground_cases(sheet, Landing(load_factor=3.0)), "three-point, peak vertical", leg=leg)
            for sheet in (light, heavy)
        )
        assert_allclose(two[["Fx", "Fz"]], one[["Fx", "Fz"]] * 13 / 9, rtol=1e-12)


def test_contact_speed_grows_with_the_root_of_the_mass():
    assert contact_speed(tourer(), 1180.0) == pytest.approx(1.2 * 29.0)
    assert contact_speed(tourer(), 1240.0) == pytest.approx(1.2 * 29.0 * (1240 / 1180) ** 0.5)
    with pytest.raises(ValueError, match=r"mass.*pounds"):
        contact_speed(tourer(), 2600.0)


@pytest.mark.parametrize(
    ("which", "changes", "message"),
    [
        ("spin_up", {"rolling_radius": 0.19 / 0.3048}, "rolling_radius.*feet"),
        ("spin_up", {"rolling_radius": 0.38}, "rolling_radius.*diameter"),
        ("spin_up", {"rolling_radius": 0.09}, "rolling_radius"),
        ("nose_spin_up", {"rolling_radius": 0.3}, "rolling_radius"),
        ("spin_up", {"pre_rotation": 120.0}, "pre_rotation.*km/h"),
    ],
)
def test_the_wheel_that_spins_up_is_that_of_the_airplane(which, changes, message):
    wheel = SpinUp(**{"wheel_inertia": 0.2, "rolling_radius": 0.17, "time_to_peak": 0.1} | changes)
    with pytest.raises(ValueError, match=message):
        ground_cases(tourer(), Landing(load_factor=3.0, **{which: wheel}))


def airplane_of(weight, **changes):
    """The tourer at a weight in lb and 12 lb/ft2."""
    mass, area = weight * pound, weight / 12 * foot**2
    sheet = {
        "max_mass": mass,
        "landing_mass": mass,
        "wing_area": area,
        "stall_speed": 25.0,
        "moments_of_inertia": None,
    }
    return tourer(**sheet | changes)


@pytest.mark.parametrize(
    ("condition", "leg", "column", "value"),
    [
        # Appendix C at n 3, L 2/3, K 0.25: both mains 3733.33 up and 1200 aft, so each half of it
        ("nose clear, peak vertical", "starboard", "Fz", "1866.67"),
        ("nose clear, peak vertical", "starboard", "Fx", "600"),
        ("tail-down", "port", "Fz", "1866.67"),
        ("starboard wheel only, peak vertical", "starboard", "Fz", "1866.67"),
        # 23.485: 1.33 W shared, 0.5 W inboard, 0.33 W outboard of the whole airplane
        ("side load, starboard wheel inboard", "starboard", "Fz", "1064"),
        ("side load, starboard wheel inboard", "starboard", "Fy", "-800"),
        ("side load, starboard wheel inboard", "port", "Fy", "-528"),
        ("side load, port wheel inboard", "starboard", "Fy", "528"),
        # 23.493
        ("braked roll, nose clear", "starboard", "Fz", "1064"),
        ("braked roll, nose clear", "starboard", "Fx", "851.2"),
    ],
)
def test_loads_of_a_1600_lb_airplane(condition, leg, column, value):
    """The paragraphs evaluated by hand, in lb."""
    found = rows(ground_cases(airplane_of(1600), Landing(load_factor=3.0)), condition, leg=leg)
    assert len(found) == 2  # forward and aft c.g.
    for load in found[column] / pound_force:
        assert load == printed(value)


@pytest.mark.parametrize(("n", "ratio"), [(2.67, "0.3332"), (3.0, "0.3214")])
def test_drag_over_vertical_reaction_is_not_a_quarter(n, ratio):
    """K n / (n - L) at K 0.25."""
    cases = ground_cases(airplane_of(1600), Landing(load_factor=n))
    row = rows(cases, "nose clear, peak vertical").iloc[0]
    assert row.Fx / row.Fz == printed(ratio)


def test_contact_speed_reaches_the_spin_up_of_the_cases():
    """1.2 V_S0: the spin-up worked by hand (759.02 lb) from an airplane with F_V 1500 lb, V_S0 45 kt."""
    airplane = airplane_of(2 * 1500 / (3.0 - 2 / 3), stall_speed=45 * knot)
    wheel = SpinUp(wheel_inertia=0.08 * pound_force * foot, rolling_radius=0.45 * foot, time_to_peak=0.15)
    cases = ground_cases(airplane, Landing(load_factor=3.0, spin_up=wheel)).set_index("condition")
    row = cases.loc["nose clear, spin-up"].iloc[0]
    assert row.Fx / pound_force == printed("759.02")
    assert row.Fz / pound_force == printed("948.8")
    back = cases.loc["nose clear, spring-back, vertical at spin-up"].iloc[0]
    assert back.Fx / pound_force == printed("-759.02")


def test_a_slippery_tire_is_not_loaded_beyond_its_peak():
    """At the cap of 0.8 of the peak, drag over a friction of 0.5 would be 1.6 times the peak."""
    heavy = SpinUp(wheel_inertia=20.0, rolling_radius=0.18, time_to_peak=0.05, friction=0.5)
    table = ground_cases(tourer(), Landing(load_factor=3.0, spin_up=heavy))
    clear = table[(table.paragraph == "23.479(a)(2)(ii)") & (table.mass == 1180.0) & (table.cg == "aft")]
    peak = (3.0 - 2 / 3) * 1180.0 * g / 2
    assert np.allclose(clear.Fz, peak, rtol=1e-12)
    assert clear.Fx.max() == pytest.approx(0.8 * peak, rel=1e-12)
