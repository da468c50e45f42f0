"""23.471: inertia balances every case, and spread over the mass items it is the same inertia."""

import dataclasses
import importlib

import numpy as np
import pytest
from calls_loads import CASE
from hypothesis import given, settings
from hypothesis import strategies as st
from loads_airplane import airplanes, tourer
from loads_residual import residuals
from numpy.testing import assert_allclose
from scipy.constants import g

from beam.loads import (
    GroundCase,
    Landing,
    SpinUp,
    WheelLoad,
    airplane_axes,
    balance,
    case_list,
    inertia_balance,
    stance,
)
from beam.loads.balance import wheel_position
from beam.loads.part23 import (
    HANDLING,
    LANDING_AND_ROLLING,
    one_wheel_landing,
    side_load,
    tail_down_landing,
    three_point_landing,
)

ON_GROUND = (*LANDING_AND_ROLLING, *HANDLING)
WHEEL = SpinUp(wheel_inertia=0.2, rolling_radius=0.18, time_to_peak=0.1)


CASES = case_list(tourer(), Landing(load_factor=3.0, spin_up=WHEEL), conditions=ON_GROUND)


def some_case(condition, cases=CASES, cg="aft"):
    return next(case for case in cases if case.condition == condition and case.cg == cg)


def particles(airplane, mass):
    """Six equal masses with the airplane's moments of inertia about the c.g.: places from the c.g., airplane axes."""
    I = np.asarray(airplane.moments_of_inertia)
    squares = (I.sum() / 2 - I) * 3 / mass  # distance of the pair on each axis, squared
    return np.concatenate([np.diag(np.sqrt(squares)), -np.diag(np.sqrt(squares))])


@settings(max_examples=4, deadline=None)
@given(airplane=airplanes(), n=st.floats(2.67, 6.0))
def test_forces_of_wheels_lift_and_mass_items_are_in_equilibrium(airplane, n):
    """d'Alembert, by hand: wheels placed from the sheet, turned by cosine and sine, moments about the port main
    contact; the mass in six particles, each with the acceleration of its place. A wrong arm anywhere shows."""
    main, nose = airplane.main_contact, airplane.nose_contact
    slope = np.arctan2(main[2] - nose[2], main[0] - nose[0])
    cases = case_list(airplane, Landing(load_factor=n, spin_up=WHEEL), conditions=ON_GROUND)
    for case, found in zip(cases, balance(airplane, cases), strict=True):
        pitch = np.radians(case.attitude_deg)
        c, s = np.cos(pitch), np.sin(pitch)
        turned = np.array([[c, 0, s], [0, 1, 0], [-s, 0, c]])
        cg = getattr(airplane, f"cg_{case.cg}")
        W = case.mass * g
        places, forces, couple = [], [], np.zeros(3)
        for w in case.wheels:
            contact = nose if w.leg == "nose" else main * (1, -1 if w.leg == "port" else 1, 1)
            r = airplane.nose_wheel_radius if w.leg == "nose" else airplane.main_wheel_radius
            axle = turned @ (contact + r * np.array([-np.sin(slope), 0, np.cos(slope)]))
            places.append(axle if w.applied_at == "axle" else axle - (0, 0, r))
            forces.append((w.Fx, w.Fy, w.Fz))
            couple += (w.Mx, w.My, w.Mz)
        places.append(turned @ cg)
        forces.append((0, 0, case.lift_ratio * W))
        offsets = particles(airplane, case.mass)
        acceleration = turned @ np.cross(found.angular_acceleration, offsets).T
        linear = -found.inertia_force / case.mass
        for offset, spin in zip(offsets, acceleration.T, strict=True):
            places.append(turned @ (cg + offset))
            forces.append(-case.mass / 6 * (linear + spin + (0, 0, g)))
        about = turned @ (main * (1, -1, 1))
        moment = sum(np.cross(p - about, f) for p, f in zip(places, forces, strict=True)) + couple
        assert_allclose(np.sum(forces, axis=0), 0.0, atol=1e-11 * W)
        assert_allclose(moment, 0.0, atol=1e-11 * W * airplane.wheelbase, err_msg=case.condition)


@pytest.mark.parametrize("axis", [0, 1, 2])
@pytest.mark.parametrize(
    "condition", ["tail-down", "starboard wheel only, spin-up", "side load, port wheel inboard"]
)
def test_mistake_wrong_arm_shows_in_the_residual(monkeypatch, condition, axis):
    """The residual places the wheels anew: an arm wrong by 10 mm in what the balance uses leaves a moment."""
    wheels = importlib.import_module("beam.loads.balance")
    true = wheels.wheel_positions
    airplane, case = tourer(), some_case(condition)
    assert abs(residuals(airplane, balance(airplane, [case]))).max() < 1e-14
    monkeypatch.setattr(wheels, "wheel_positions", lambda *given: true(*given) + 0.01 * np.eye(3)[axis])
    force = np.sum([(w.Fx, w.Fy, w.Fz) for w in case.wheels], axis=0)
    lost = np.linalg.norm(np.cross(0.01 * np.eye(3)[axis], force)) / (case.mass * g * airplane.wheelbase)
    (found,) = residuals(airplane, balance(airplane, [case]))
    assert np.linalg.norm(found[3:]) == pytest.approx(lost, rel=1e-6, abs=1e-12)
    assert lost > 1e-3 or axis == 2  # no drag or side load to miss it by


@settings(max_examples=6, deadline=None)
@given(airplane=airplanes(), n=st.floats(2.67, 6.0), L=st.floats(0.0, 2 / 3))
def test_residual_is_zero_and_load_factor_is_the_prescribed_one(airplane, n, L):
    landing = Landing(load_factor=n, lift_ratio=L, spin_up=WHEEL)
    cases = case_list(airplane, landing, conditions=ON_GROUND)
    balanced = balance(airplane, cases)
    assert abs(residuals(airplane, balanced)).max() < 1e-12
    for case, found in zip(cases, balanced, strict=True):
        if (
            case.paragraph.startswith(("23.479", "23.481"))
            and case.mass == airplane.landing_mass < airplane.max_mass
        ):
            peak = "peak vertical" in case.condition or case.condition == "tail-down"
            assert found.load_factor[2] == pytest.approx(n) if peak else found.load_factor[2] < n + 1e-12
        if case.paragraph == "23.485":
            assert_allclose(found.load_factor[1:] ** 2, [0.83**2, 1.33**2], rtol=1e-12)
        if case.paragraph == "23.493":
            assert found.load_factor[2] == pytest.approx(1.33)
        if case.paragraph in ("23.509", "23.511(a)"):
            assert found.load_factor[2] == pytest.approx(1.0)


@settings(max_examples=10, deadline=None)
@given(airplane=airplanes(), n=st.floats(2.67, 6.0))
def test_three_point_landing_does_not_pitch(airplane, n):
    """Moments from wheel positions in space, apart from the formula that shared the load."""
    for case in three_point_landing(airplane, Landing(load_factor=n)):
        if case.condition == "three-point, peak vertical":
            found = balance(airplane, [case])[0]
            scale = case.mass * g * airplane.wheelbase
            assert abs(found.inertia_moment).max() < 1e-12 * n * scale


@settings(max_examples=6, deadline=None)
@given(airplane=airplanes())
def test_inertia_of_mass_items_balances_the_wheels(airplane):
    """Second way: six points with the airplane's mass, c.g. and moments of inertia, each with the load
    factor of its place, add up to minus the external forces and moments."""
    rules = (one_wheel_landing, tail_down_landing, side_load)
    cases = case_list(airplane, Landing(load_factor=3.0, spin_up=WHEEL), conditions=rules)
    for condition in ("starboard wheel only, peak vertical", "tail-down", "side load, port wheel inboard"):
        case = some_case(condition, cases, "forward")
        found = balance(airplane, [case])[0]
        offsets = particles(airplane, case.mass)
        inertia = -case.mass / 6 * g * found.load_factor_at(offsets)
        wheels = sum(airplane_axes([w.Fx, w.Fy, w.Fz], case.attitude_deg) for w in case.wheels)
        lift = airplane_axes([0, 0, case.lift_ratio * case.mass * g], case.attitude_deg)
        scale = case.mass * g
        assert_allclose(inertia.sum(axis=0), -(wheels + lift), atol=1e-9 * scale)
        moment = airplane_axes(found.inertia_moment, case.attitude_deg)
        assert_allclose(np.cross(offsets, inertia).sum(axis=0), moment, atol=1e-9 * scale)


def test_one_wheel_rolls_the_airplane_and_inertia_holds_against_it():
    """The starboard wheel alone lifts the starboard side: angular acceleration about +x, inertia about -x."""
    found = balance(tourer(), [some_case("starboard wheel only, peak vertical")])[0]
    assert found.angular_acceleration[0] > 0
    assert found.inertia_moment[0] == pytest.approx(-found.case.wheels[0].Fz * 1.05)
    assert found.angular_acceleration[0] == pytest.approx(-found.inertia_moment[0] / 1900.0)


def test_braking_pitches_nose_down_where_the_nose_is_clear():
    """Drag on the ground and lift ahead... the c.g. is ahead of the mains: both push the nose down (-y)."""
    airplane = tourer()
    found = balance(airplane, [some_case("braked roll, nose clear")])[0]
    at = stance(airplane, "aft")
    W = 1240.0 * g
    assert -found.inertia_moment[1] == pytest.approx(-1.33 * W * (at.main_arm + 0.8 * at.height), rel=1e-12)


def test_mistake_spin_up_couple_put_into_the_airplane():
    """Drag at the axle: the couple of its radius goes into the wheel, so the arm is h - r, not h."""
    airplane = tourer()
    case = some_case("nose clear, peak vertical")
    at, wheel = stance(airplane, "aft"), case.wheels[0]
    expected = -2 * (wheel.Fz * at.main_arm + wheel.Fx * (at.height - 0.19))
    assert -balance(airplane, [case])[0].inertia_moment[1] == pytest.approx(expected, rel=1e-12)


def test_mistake_tail_down_about_the_level_wheel():
    """Pitching by the tail-down angle brings the axle under the c.g.; the wheel touches below the axle."""
    airplane = tourer()
    case = some_case("tail-down")
    at, pitch = stance(airplane, "aft"), np.radians(13.0)
    axle = wheel_position(airplane, case, "port", "axle")
    up = at.height - 0.19
    assert axle[0] == pytest.approx(at.main_arm * np.cos(pitch) - up * np.sin(pitch), rel=1e-12)
    assert axle[2] == pytest.approx(-up * np.cos(pitch) - at.main_arm * np.sin(pitch), rel=1e-12)
    ground = wheel_position(airplane, case, "port", "ground")
    assert_allclose(axle - ground, [0, 0, 0.19], atol=1e-15)


def test_positions_mirror():
    case = some_case("nose clear, peak vertical")
    star, port = (wheel_position(tourer(), case, leg, "ground") for leg in ("starboard", "port"))
    assert star[1] == -port[1] == 1.05
    assert_allclose(star[[0, 2]], port[[0, 2]], rtol=0)
    assert wheel_position(tourer(), case, "nose", "ground")[0] == pytest.approx(-(2.51 - 0.82))


def test_sheet_without_inertia_gives_moments_but_no_angular_acceleration():
    airplane = tourer(moments_of_inertia=None)
    found = balance(airplane, [some_case("tail-down")])[0]
    assert found.angular_acceleration is None
    with pytest.raises(ValueError, match="moments_of_inertia"):
        found.load_factor_at([1.0, 0.0, 0.0])


def test_table_of_inertia():
    table = inertia_balance(tourer(), Landing(load_factor=3.0))
    row = table[(table.condition == "nose clear, peak vertical") & (table.mass == 1180.0)].iloc[0]
    assert (row.nx, row.ny, row.nz) == pytest.approx((0.75, 0.0, 3.0))
    assert not table.duplicated(["paragraph", "condition", "mass", "cg"]).any()


def test_couples_of_a_case_enter_the_balance():
    case = some_case("pivoting about starboard wheel, turning to port")
    without = dataclasses.replace(case, wheels=tuple(dataclasses.replace(w, Mz=0.0) for w in case.wheels))
    couple = sum(w.Mz for w in case.wheels)
    assert couple < 0
    difference = balance(tourer(), [case])[0].inertia_moment - balance(tourer(), [without])[0].inertia_moment
    assert_allclose(difference, [0, 0, -couple], atol=1e-9)


def test_a_case_without_loads_has_no_balance():
    with pytest.raises(ValueError, match="no wheel load"):
        balance(tourer(), [dataclasses.replace(some_case("tail-down"), wheels=())])


def test_many_cases_are_a_loop():
    airplane, cases = tourer(), CASES[::4]
    together = balance(airplane, cases)
    assert len(together) == len(cases)
    assert balance(airplane, []) == []
    for case, found in zip(cases, together, strict=True):
        (alone,) = balance(airplane, [case])
        assert found.case is case
        for name in ("load_factor", "inertia_force", "inertia_moment", "angular_acceleration"):
            assert_allclose(getattr(found, name), getattr(alone, name), rtol=1e-12, atol=1e-9)


def test_a_case_heavier_than_the_airplane():
    wheel = WheelLoad(leg="nose", Fz=1e4, applied_at="ground")
    case = GroundCase(**CASE | {"mass": 2.2 * 1240.0, "wheels": (wheel,)})
    with pytest.raises(ValueError, match=r"mass.*pounds"):
        balance(tourer(), [case])


@pytest.mark.parametrize(("pitch", "needed"), [(0.0, False), (1e-3, True)])
def test_wheel_radius_is_needed_only_where_the_axle_turns(pitch, needed):
    """A load at the ground of a level airplane acts at the contact of the sheet, whatever the radius."""
    airplane = tourer(main_wheel_radius=None)
    case = GroundCase(**CASE | {"attitude_deg": airplane.level_attitude_deg + pitch})
    if needed:
        with pytest.raises(ValueError, match="main_wheel_radius"):
            wheel_position(airplane, case, "starboard", "ground")
    else:
        assert_allclose(
            wheel_position(airplane, case, "starboard", "ground"),
            wheel_position(tourer(), case, "starboard", "ground"),
            rtol=1e-14,
        )
