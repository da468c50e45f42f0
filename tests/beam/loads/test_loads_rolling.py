"""23.485, 23.493 and 23.499: side load, braked roll, nose wheel, and the mistakes people make with them."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from loads_airplane import airplanes, tourer, wheels
from printed import printed
from scipy.constants import g

from beam.loads import Landing, balance, stance
from beam.loads.part23 import braked_roll, nose_wheel, side_load

LANDING = Landing(load_factor=3.0)


def weight(airplane):
    return airplane.max_mass * g


def static(airplane, cg):
    at = stance(airplane, cg)
    nose = weight(airplane) * at.main_arm / at.wheelbase
    return nose, (weight(airplane) - nose) / 2


# 23.485


def test_mistake_side_load_on_the_wheel_load():
    """0.5 and 0.33 are of the weight of the airplane, not of the load of a wheel; they add up to 0.83."""
    airplane = tourer()
    W = weight(airplane)
    for case in side_load(airplane, LANDING):
        assert sum(w.Fz for w in case.wheels) == pytest.approx(1.33 * W)
        assert abs(sum(w.Fy for w in case.wheels)) == pytest.approx(0.83 * W)
        assert sorted(abs(w.Fy) for w in case.wheels) == pytest.approx([0.33 * W, 0.5 * W])


def test_mistake_side_load_one_way_only():
    """Each leg is pushed inboard with 0.5 W and outboard with 0.33 W; starboard inboard is -y."""
    cases = side_load(tourer(), LANDING)
    W = weight(tourer())
    for leg, inboard in (("starboard", -1.0), ("port", 1.0)):
        found = {w.Fy for case in cases for w in case.wheels if w.leg == leg}
        assert sorted(found) == pytest.approx(sorted([inboard * 0.5 * W, -inboard * 0.33 * W]))


def test_mistake_side_load_at_the_axle_or_off_static():
    for case in (*side_load(tourer(), LANDING), *braked_roll(tourer(), LANDING)):
        assert {w.applied_at for w in case.wheels} == {"ground"}
        assert case.shock == "static"
        assert case.strokes == ()
        assert case.mass == 1240.0


@pytest.mark.parametrize(("leg", "ratio"), [("starboard", "0.752"), ("port", "0.496")])
def test_side_over_vertical(leg, ratio):
    """0.5 and 0.33 over 0.665, by hand."""
    load = wheels(side_load(tourer(), LANDING), "side load, starboard wheel inboard")[leg]
    assert abs(load.Fy / load.Fz) == printed(ratio)


# 23.493


@settings(max_examples=12, deadline=None)
@given(airplane=airplanes())
def test_braked_roll_on_three_wheels_does_not_pitch(airplane):
    """Moments about the c.g. from points in space; and the closed form V_m = 1.33 W a / (d + 0.8 h)."""
    for case in braked_roll(airplane, LANDING):
        W, at = case.mass * g, stance(airplane, case.cg)
        found = {w.leg: w for w in case.wheels}
        assert sum(w.Fz for w in case.wheels) == pytest.approx(1.33 * W, rel=1e-12)
        assert found["port"].Fx == pytest.approx(0.8 * found["port"].Fz)
        if "three wheels" in case.condition:
            assert 2 * found["port"].Fz == pytest.approx(
                1.33 * W * at.nose_arm / (at.wheelbase + 0.8 * at.height)
            )
            assert found["nose"].Fx == 0.0
            assert abs(balance(airplane, [case])[0].inertia_moment[1]) < 1e-9 * W


@settings(max_examples=12, deadline=None)
@given(airplane=airplanes())
def test_weak_brake_limits_the_drag_and_still_balances(airplane):
    torque = 0.3 * airplane.max_mass * g / 2 * airplane.main_wheel_radius
    weak = replace(airplane, brake_torque=torque)
    for case in braked_roll(weak, LANDING):
        found = {w.leg: w for w in case.wheels}
        assert found["starboard"].Fx == pytest.approx(torque / airplane.main_wheel_radius)
        if "three wheels" in case.condition:
            assert sum(w.Fz for w in case.wheels) == pytest.approx(1.33 * case.mass * g)
            assert abs(balance(weak, [case])[0].inertia_moment[1]) < 1e-9 * case.mass * g


def test_strong_brake_leaves_friction_in_charge():
    assert wheels(braked_roll(tourer(brake_torque=5e3), LANDING), "braked roll, nose clear") == wheels(
        braked_roll(tourer(), LANDING), "braked roll, nose clear"
    )


# 23.499


def test_nose_wheel_conditions():
    airplane = tourer()
    cases = nose_wheel(airplane, LANDING)
    nose, _ = static(airplane, "forward")
    for condition, components, where in (
        ("nose wheel, aft load", (0.8, 0.0), "axle"),
        ("nose wheel, forward load", (-0.4, 0.0), "axle"),
        ("nose wheel, side load to starboard", (0.0, 0.7), "ground"),
        ("nose wheel, side load to port", (0.0, -0.7), "ground"),
    ):
        (load,) = wheels(cases, condition, "forward").values()
        assert load.Fz == pytest.approx(2.25 * nose)
        assert (load.Fx, load.Fy) == pytest.approx(tuple(2.25 * nose * c for c in components))
        assert load.applied_at == where
    assert {case.level for case in cases} == {"limit"}
    assert not [case for case in cases if case.paragraph == "23.499(d)"]


def test_powered_steering():
    airplane = tourer(steering_torque=150.0)
    found = [case for case in nose_wheel(airplane, LANDING) if case.paragraph == "23.499(d)"]
    assert sorted({case.wheels[0].Mz for case in found}) == pytest.approx([-199.5, 199.5])
    top = max(case.wheels[0].Fz for case in found)
    assert top == pytest.approx(1.33 * static(airplane, "forward")[0])
