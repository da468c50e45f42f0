"""23.485 to 23.511, 23.723 and 23.729: rules and the mistakes people make with them."""

import numpy as np
import pytest
from hypothesis import given, settings
from loads_airplane import airplanes, tourer
from numpy.testing import assert_allclose
from scipy.constants import g

from beam.loads import FlightGear, Landing, balance, case_list, ground_cases, stance
from beam.loads.part23 import (
    EVERY,
    HANDLING,
    LANDING_AND_ROLLING,
    SYSTEM,
    braked_roll,
    jacking,
    nose_wheel,
    pivoting,
    retraction,
    side_load,
    towing,
)

LANDING = Landing(load_factor=3.0)
LEG = {
    "mass": 14.0,
    "drag_area": 0.06,
    "stall_speed_clean": 32.0,
    "wheel_inertia": 0.25,
    "take_off_speed": 36.0,
    "retraction_rate": (0.5, 0.0, -0.2),
    "brake_torque": 120.0,
    "flight_load_factor": 3.8,
    "sideslip_deg": 12.0,
}


def wheels(cases, condition, cg="aft"):
    (case,) = [case for case in cases if case.condition == condition and case.cg == cg]
    return {wheel.leg: wheel for wheel in case.wheels}


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


# 23.493


@settings(max_examples=30, deadline=None)
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


@settings(max_examples=30, deadline=None)
@given(airplane=airplanes())
def test_weak_brake_limits_the_drag_and_still_balances(airplane):
    torque = 0.3 * airplane.max_mass * g / 2 * airplane.main_wheel_radius
    weak = tourer(**{f: getattr(airplane, f) for f in SHEET}, brake_torque=torque)
    for case in braked_roll(weak, LANDING):
        found = {w.leg: w for w in case.wheels}
        assert found["starboard"].Fx == pytest.approx(torque / airplane.main_wheel_radius)
        if "three wheels" in case.condition:
            assert sum(w.Fz for w in case.wheels) == pytest.approx(1.33 * case.mass * g)
            assert abs(balance(weak, [case])[0].inertia_moment[1]) < 1e-9 * case.mass * g


SHEET = (
    "max_mass",
    "landing_mass",
    "wing_area",
    "stall_speed",
    "cg_forward",
    "cg_aft",
    "nose_contact",
    "main_contact",
    "main_wheel_radius",
    "nose_wheel_radius",
    "tail_down_angle_deg",
)


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


# 23.507, 23.509, 23.511


def test_jacking():
    airplane = tourer()
    cases = jacking(airplane, LANDING)
    assert len(cases) == 2 * 3 * 9
    for cg in ("forward", "aft"):
        nose, main = static(airplane, cg)
        for leg, reaction in (("starboard", main), ("port", main), ("nose", nose)):
            found = [c.wheels[0] for c in cases if c.cg == cg and c.wheels[0].leg == leg]
            assert {round(w.Fz / reaction, 12) for w in found} == {1.35}
            pushes = {(round(w.Fx / reaction, 12), round(w.Fy / reaction, 12)) for w in found}
            assert pushes == {(x, y) for x in (-0.4, 0.0, 0.4) for y in (-0.4, 0.0, 0.4)}


def test_towing():
    airplane = tourer()
    W = weight(airplane)
    cases = towing(airplane, LANDING)
    for case in cases:
        assert sum(w.Fz for w in case.wheels) == pytest.approx(W, rel=1e-14)
        (pulled,) = [w for w in case.wheels if w.applied_at == "axle"]
        pull = np.hypot(pulled.Fx, pulled.Fy) / W
        swivelled = "45 deg" in case.condition
        assert pull == pytest.approx(0.225 if pulled.leg != "nose" else 0.15 if swivelled else 0.3)
        assert all(w.Fx == w.Fy == 0 for w in case.wheels if w is not pulled)
    starboard = [w for c in cases for w in c.wheels if w.applied_at == "axle" and w.leg == "starboard"]
    directions = np.degrees([np.arctan2(w.Fy, w.Fx) for w in starboard])
    assert sorted({round(d) for d in directions}) == [-150, -30, 0, 30, 150, 180]
    nose = [w for c in cases for w in c.wheels if w.applied_at == "axle" and w.leg == "nose"]
    assert sorted({round(d) for d in np.degrees([np.arctan2(w.Fy, w.Fx) for w in nose])}) == [
        -135,
        -45,
        0,
        45,
        135,
        180,
    ]


def test_pivoting_couple_is_friction_over_the_footprint():
    """Second way: sum 0.8 p r dA over rings of the circle that carries V at the tire pressure."""
    airplane = tourer()
    main = static(airplane, "aft")[1]
    p = airplane.main_tire_pressure
    edges = np.linspace(0.0, np.sqrt(main / (np.pi * p)), 4001)
    middle = (edges[1:] + edges[:-1]) / 2
    couple = np.sum(0.8 * p * middle * 2 * np.pi * middle * np.diff(edges))
    cases = pivoting(airplane, LANDING)
    found = wheels(cases, "pivoting about starboard wheel, turning to starboard")
    assert found["starboard"].Mz == pytest.approx(couple, rel=1e-6)
    assert found["port"].Mz == 0.0
    back = wheels(cases, "pivoting about starboard wheel, turning to port")
    assert back["starboard"].Mz == -found["starboard"].Mz
    assert sum(w.Fz for w in found.values()) == pytest.approx(weight(airplane), rel=1e-14)
    with pytest.raises(ValueError, match="main_tire_pressure"):
        pivoting(tourer(main_tire_pressure=None), LANDING)


# 23.723, 23.729


def test_mistake_factor_of_safety_on_reserve_energy():
    """The gear may yield but not fail: the row says ultimate; lift equals weight."""
    cases = ground_cases(tourer(), load_factor=3.0, reserve_load_factor=4.2, conditions=SYSTEM[:1])
    assert set(cases.level) == {"ultimate"}
    assert_allclose(cases.Fz, (4.2 - 1.0) * 1180.0 * g / 2, rtol=1e-14)
    assert (cases.Fx == 0).all()
    with pytest.raises(ValueError, match=r"reserve_load_factor.*23\.723"):
        ground_cases(tourer(), load_factor=3.0, conditions=SYSTEM)
    with pytest.raises(ValueError, match="inertia factor counts the lift"):
        ground_cases(tourer(), load_factor=3.0, reserve_load_factor=0.9)


def test_retraction_couples():
    """H = -I w about y; the couple on the leg is minus dH/dt, dH/dt = Omega x H; mirrored on the port leg."""
    airplane = tourer(flight_gear=FlightGear(**LEG))
    (case,) = [case for case in retraction(airplane, LANDING) if case.cg == "aft"]
    legs = {w.leg: w for w in case.wheels}
    H = np.array([0.0, -0.25 * 36.0 / 0.19, 0.0])
    couple = -np.cross([0.5, 0.0, -0.2], H) - np.array([0.0, 120.0, 0.0])
    star = legs["starboard"]
    assert_allclose([star.Mx, star.My, star.Mz], couple, rtol=1e-12)
    port = legs["port"]
    assert_allclose([port.Mx, port.My, port.Mz], couple * (-1, 1, -1), rtol=1e-12)
    assert star.Fx == pytest.approx(0.5 * 1.225 * (1.6 * 32.0) ** 2 * 0.06)
    assert star.Fz == pytest.approx(-2.0 * 14.0 * g)
    assert case.shock == "extended"
    assert case.strokes == (0.0,)
    with pytest.raises(ValueError, match="in flight"):
        balance(airplane, [case])[0]


def test_braking_torque_has_the_sense_of_ground_drag():
    """Stopping a wheel that rolls forward twists the leg as drag below the axle does."""
    airplane = tourer(flight_gear=FlightGear(**LEG))
    below_axle = np.cross([0, 0, -0.19], [1000.0, 0, 0])
    assert np.sign(retraction(airplane, LANDING)[0].wheels[0].My) == np.sign(below_axle[1])


def test_gear_out_in_flight():
    airplane = tourer(flight_gear=FlightGear(**LEG))
    cases = ground_cases(airplane, load_factor=3.0, conditions=SYSTEM[2:])
    drag = 0.5 * 1.225 * (1.6 * 32.0) ** 2 * 0.06
    assert_allclose(np.hypot(cases.Fx, cases.Fy), drag, rtol=1e-12)
    pull = cases[cases.condition == "gear out, pull-up"]
    assert_allclose(pull.Fz, -3.8 * 14.0 * g, rtol=1e-12)
    assert (pull.Fy == 0).all()
    port = cases[cases.condition == "gear out, wind from port"]
    assert_allclose(port.Fy, drag * np.sin(np.radians(12.0)), rtol=1e-12)
    assert_allclose(port.Fz, -14.0 * g, rtol=1e-12)
    with pytest.raises(ValueError, match=r"flight_gear.*23\.729"):
        ground_cases(tourer(), load_factor=3.0, conditions=SYSTEM[1:])


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"drag_area": 3.0}, "square feet"),
        ({"retraction_rate": (1.0, 0.0)}, "retraction_rate"),
        ({"flight_load_factor": 1.0}, "flight_load_factor"),
        ({"sideslip_deg": 60.0}, "sideslip_deg"),
        ({"mass": -1.0}, "mass"),
    ],
)
def test_flight_gear_refuses(changes, message):
    with pytest.raises(ValueError, match=message):
        FlightGear(**LEG | changes)


# the table as a whole


def test_every_row_has_its_place():
    airplane = tourer(flight_gear=FlightGear(**LEG), steering_torque=150.0)
    cases = ground_cases(airplane, load_factor=3.0, reserve_load_factor=4.2, conditions=EVERY)
    assert not cases.duplicated(["paragraph", "condition", "leg", "mass", "cg"]).any()
    assert not cases.isna().any().any()
    assert list(cases.columns[:11]) == [
        "paragraph",
        "condition",
        "leg",
        "mass",
        "cg",
        "Fx",
        "Fy",
        "Fz",
        "applied_at",
        "shock",
        "attitude_deg",
    ]
    assert set(cases.leg) == {"starboard", "port", "nose"}
    assert set(cases.applied_at) == {"axle", "ground"}
    assert set(cases.shock) == {"landing", "static", "extended"}
    numbers = {p.split("(")[0] for p in cases.paragraph}
    assert numbers == {f"23.{n}" for n in (479, 481, 483, 485, 493, 499, 507, 509, 511, 723, 729)}


@settings(max_examples=25, deadline=None)
@given(airplane=airplanes())
def test_symmetric_airplane_gives_symmetric_legs(airplane):
    """The port leg sees the mirror image of every load of the starboard leg."""
    seen: dict[str, list[tuple[float, ...]]] = {"starboard": [], "port": []}
    for case in case_list(airplane, LANDING, conditions=(*LANDING_AND_ROLLING, *HANDLING)):
        for w in case.wheels:
            if w.leg != "nose":
                mirror = -1.0 if w.leg == "port" else 1.0
                components = (w.Fx, mirror * w.Fy, w.Fz, mirror * w.Mz)
                key = tuple(round(c / (case.mass * g), 10) + 0.0 for c in components)
                seen[w.leg].append((*key, w.applied_at, case.shock, case.cg, case.mass))
    assert sorted(seen["starboard"]) == sorted(seen["port"])


def test_another_code_is_another_function():
    def own_rule(airplane, landing):
        return [case for case in side_load(airplane, landing) if case.cg == "aft"]

    assert len(ground_cases(tourer(), load_factor=3.0, conditions=[own_rule])) == 4
