"""23.473 to 23.483 and Appendices C and D: rules, clamps and the mistakes people make with them."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from loads_airplane import airplanes, tourer
from numpy.testing import assert_allclose
from scipy.constants import g, pound

from beam.loads import (
    Landing,
    SpinUp,
    case_list,
    drag_factor,
    drop_height,
    drop_load_factor,
    effective_mass,
    ground_cases,
    limit_descent_speed,
    required_load_factor,
    spin_up_drag,
    stance,
    unit_masses,
)
from beam.loads.part23 import nose_clear_landing, one_wheel_landing, tail_down_landing, three_point_landing

WHEEL = SpinUp(wheel_inertia=0.25, rolling_radius=0.17, time_to_peak=0.1)
LANDINGS = (three_point_landing, nose_clear_landing, tail_down_landing, one_wheel_landing)


def rows(cases, condition, **where):
    found = cases[cases.condition == condition]
    for column, value in where.items():
        found = found[found[column] == value]
    assert len(found)
    return found


# 23.473


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
    with pytest.raises(ValueError, match="wing loading"):
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


# Appendix C


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


# Appendix D


def test_spin_up_none_takes_the_cap():
    cases = ground_cases(tourer(), load_factor=3.0)
    peak = rows(cases, "nose clear, peak vertical", leg="starboard", mass=1180.0).iloc[0].Fz
    spun = rows(cases, "nose clear, spin-up", leg="starboard", mass=1180.0).iloc[0]
    assert spun.Fx == pytest.approx(0.8 * peak)
    assert spun.Fz == pytest.approx(peak)


def test_mistake_spin_up_with_the_peak_vertical():
    """The vertical load of spin-up is that of its instant: drag over friction."""
    cases = ground_cases(tourer(), load_factor=3.0, spin_up=WHEEL)
    peak = rows(cases, "nose clear, peak vertical", leg="starboard", mass=1180.0).iloc[0].Fz
    spun = rows(cases, "nose clear, spin-up", leg="starboard", mass=1180.0).iloc[0]
    assert spun.Fz == pytest.approx(spun.Fx / 0.8)
    assert spun.Fz < 0.8 * peak
    hand = np.sqrt(2 * 0.25 * 1.2 * 29.0 * 0.8 * peak / 0.1) / 0.17
    assert spun.Fx == pytest.approx(hand, rel=1e-12)


def test_mistake_contact_speed_with_1_25():
    """V_H is 1.2 V_S0; at maximum mass V_S0 grows with the root of the mass."""
    cases = ground_cases(tourer(), load_factor=3.0, spin_up=WHEEL, max_mass_load_factor=3.0)
    spun = rows(cases, "nose clear, spin-up", leg="starboard", cg="aft").set_index("mass").Fx
    # F_H grows as sqrt(V_H F_V) = (m1/m0)^(1/4 + 1/2)
    assert spun[1240.0] / spun[1180.0] == pytest.approx((1240 / 1180) ** 0.75, rel=1e-12)


def test_mistake_spring_back_enlarged_or_left_out():
    """Spring-back is the spin-up drag turned forward, same size, between two vertical loads."""
    cases = ground_cases(tourer(), load_factor=3.0, spin_up=WHEEL)
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
    cases = ground_cases(tourer(), load_factor=3.0, spin_up=WHEEL)
    tail_down = cases[cases.paragraph.str.startswith("23.481")]
    assert (tail_down[["Fx", "Fy"]] == 0).all().all()
    assert set(tail_down.attitude_deg) == {13.0}
    assert "nose" not in set(tail_down.leg)


def test_light_wheel_meets_the_drag_floor_on_the_friction_line():
    """A light wheel spins up on little; 23.479(c) then asks for the drag of Appendix C, which friction
    gives from K n W / 0.8 up."""
    light = SpinUp(wheel_inertia=0.005, rolling_radius=0.17, time_to_peak=0.1)
    cases = ground_cases(tourer(), load_factor=3.0, spin_up=light)
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


def test_spin_up_arrays_are_loops():
    peak, inertia = np.array([[8e3], [12e3]]), np.array([0.02, 0.05, 3.0])
    whole = spin_up_drag(peak, 35.0, wheel_inertia=inertia, rolling_radius=0.17, time_to_peak=0.1)
    loop = [
        spin_up_drag(p, 35.0, wheel_inertia=i, rolling_radius=0.17, time_to_peak=0.1)
        for p in peak.ravel()
        for i in inertia
    ]
    assert whole[0].shape == whole[1].shape == (2, 3)
    assert_allclose(np.stack(whole, axis=-1).reshape(-1, 2), loop, rtol=1e-15)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"rolling_radius": 0.0}, "rolling_radius"),
        ({"rolling_radius": 200.0}, "rolling_radius.*mm"),
        ({"wheel_inertia": -0.1}, "wheel_inertia"),
        ({"time_to_peak": 100.0}, "time_to_peak.*ms"),
        ({"friction": 0.0}, "friction"),
        ({"pre_rotation": float("nan")}, "pre_rotation.*finite"),
    ],
)
def test_spin_up_formula_refuses(changes, message):
    given = {"wheel_inertia": 0.2, "rolling_radius": 0.2, "time_to_peak": 0.1}
    with pytest.raises(ValueError, match=message):
        spin_up_drag(1e4, 35.0, **given | changes)


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


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"rolling_radius": 170.0}, "mm"),
        ({"time_to_peak": 100.0}, "ms"),
        ({"wheel_inertia": 0.0}, "wheel_inertia"),
        ({"friction": 0.9}, "0.8"),
        ({"pre_rotation": -1.0}, "lessens"),
    ],
)
def test_spin_up_refuses(changes, message):
    with pytest.raises(ValueError, match=message):
        SpinUp(**{"wheel_inertia": 0.05, "rolling_radius": 0.17, "time_to_peak": 0.1} | changes)


def test_nose_wheel_spins_up_on_its_own_data():
    nose = SpinUp(wheel_inertia=0.1, rolling_radius=0.14, time_to_peak=0.12)
    cases = ground_cases(tourer(), load_factor=3.0, spin_up=WHEEL, nose_spin_up=nose)
    row = rows(cases, "three-point, spin-up", leg="nose", mass=1180.0, cg="forward").iloc[0]
    peak = rows(cases, "three-point, peak vertical", leg="nose", mass=1180.0, cg="forward").iloc[0].Fz
    assert row.Fx == pytest.approx(np.sqrt(2 * 0.1 * 1.2 * 29.0 * 0.8 * peak / 0.12) / 0.14, rel=1e-12)


# 23.481, 23.483 and all of them


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
    wheel = SpinUp(wheel_inertia=inertia, rolling_radius=0.2, time_to_peak=0.12)
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
