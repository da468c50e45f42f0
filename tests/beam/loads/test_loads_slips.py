"""Slips that leave a number possible but wrong: other units, a digit too many, another wheel, a word misspelled."""

import numpy as np
import pandas as pd
import pytest
import tarn
from loads_airplane import tourer
from loads_calls import CASE, EQUIPMENT, LEG, plain

from beam.loads import (
    Equipment,
    FlightGear,
    GroundCase,
    Landing,
    SpinUp,
    WheelLoad,
    balance,
    brake_energy,
    case_list,
    ground_cases,
    static_reactions,
)
from beam.strut_cases import design_cases

STATIC = static_reactions(tarn.AIRPLANE)
CASES = ground_cases(tarn.AIRPLANE, load_factor=3.0)


@pytest.mark.parametrize(
    ("field", "slip", "message"),
    [
        ("main_tire_pressure", 45.0, "psi"),
        ("main_tire_pressure", 3.1, "bar"),
        ("main_tire_pressure", 310.0, "kPa"),
        ("brake_torque", 0.4, "kN m"),
        ("steering_torque", 1e9, "N mm"),
        ("main_wheel_radius", 1.9e-4, "mm"),
        ("tail_down_angle_deg", 0.22, "radians"),
        ("moments_of_inertia", (1900.0, 2300.0, 39000.0), "sum of the other two"),
        ("moments_of_inertia", (1.9, 2.3, 3.9), "other units"),
    ],
)
def test_of_the_sheet(field, slip, message):
    with pytest.raises(ValueError, match=rf"{field}.*{message}"):
        tourer(**{field: slip})


def test_a_plane_body_has_the_largest_yaw_inertia_there_is():
    assert tourer(moments_of_inertia=(1900.0, 2300.0, 4200.0)).moments_of_inertia[2] == 4200.0


@pytest.mark.parametrize(
    ("field", "slip", "message"),
    [
        ("take_off_speed", 130.0, "km/h"),
        ("sideslip_deg", 0.2, "radians"),
        ("retraction_rate", (28.0, 0.0, -11.0), "deg/s"),
    ],
)
def test_of_the_leg_in_flight(field, slip, message):
    with pytest.raises(ValueError, match=rf"{field}.*{message}"):
        FlightGear(**plain(LEG) | {field: slip})


def test_flaps_up_an_airplane_does_not_stall_slower():
    with pytest.raises(ValueError, match=r"stall_speed_clean.*V_S0"):
        tourer(flight_gear=FlightGear(**plain(LEG) | {"stall_speed_clean": 28.0}))


@pytest.mark.parametrize(
    ("field", "slip", "message"),
    [("braking_deceleration", 0.3, "given in g"), ("nose_sink", 150.0, "mm")],
)
def test_of_the_equipment(field, slip, message):
    with pytest.raises(ValueError, match=rf"{field}.*{message}"):
        Equipment(**plain(EQUIPMENT) | {field: slip})


def test_lift_in_percent():
    with pytest.raises(ValueError, match=r"lift_ratio.*percent"):
        GroundCase(**plain(CASE) | {"lift_ratio": 66.7})


def test_half_a_braked_wheel():
    with pytest.raises(ValueError, match=r"braked_wheels.*whole"):
        brake_energy(1000.0, 30.0, [1.0, 1.5])


def test_a_case_heavier_than_the_airplane():
    wheel = WheelLoad(leg="nose", Fz=1e4, applied_at="ground")
    case = GroundCase(**plain(CASE) | {"mass": 2.2 * 1240.0, "wheels": (wheel,)})
    with pytest.raises(ValueError, match=r"mass.*pounds"):
        balance(tourer(), [case])


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
        ground_cases(tourer(), load_factor=3.0, **{which: wheel})


def test_a_slippery_tire_is_not_loaded_beyond_its_peak():
    """At the cap of 0.8 of the peak, drag over a friction of 0.5 would be 1.6 times the peak."""
    heavy = SpinUp(wheel_inertia=20.0, rolling_radius=0.18, time_to_peak=0.05, friction=0.5)
    table = ground_cases(tourer(), load_factor=3.0, spin_up=heavy)
    clear = table[(table.paragraph == "23.479(a)(2)(ii)") & (table.mass == 1180.0) & (table.cg == "aft")]
    peak = (3.0 - 2 / 3) * 1180.0 * 9.80665 / 2
    assert np.allclose(clear.Fz, peak, rtol=1e-12)
    assert clear.Fx.max() == pytest.approx(0.8 * peak, rel=1e-12)


def test_no_conditions():
    with pytest.raises(ValueError, match="conditions"):
        case_list(tourer(), Landing(load_factor=3.0), conditions=())


@pytest.mark.parametrize(
    ("cases", "static", "message"),
    [
        (CASES.assign(level="Limit"), STATIC, "level.*'Limit'"),
        (CASES.iloc[:0], STATIC, "no row of a main leg"),
        (CASES[CASES.leg == "nose"], STATIC, "no row of a main leg"),
        (CASES.assign(mass="heavy"), STATIC, r"mass of cases \[kg\]"),
        (CASES, STATIC.assign(mass="heavy"), r"mass of static \[kg\]"),
        (CASES, STATIC.assign(main=1.3 * STATIC.main), "both main wheels"),
        (CASES, pd.concat([STATIC, STATIC]), "two rows"),
    ],
)
def test_of_the_tables_for_the_strut(cases, static, message):
    """A level misspelled would be taken for ultimate and its loads divided by the factor of safety."""
    with pytest.raises(ValueError, match=message):
        design_cases(tarn.GEAR, cases, tarn.MOLD_LINE, static=static, factor_of_safety=1.5)


def test_no_gear_and_no_strut():
    with pytest.raises(ValueError, match="gear"):
        design_cases(None, CASES, tarn.MOLD_LINE, static=STATIC)
    with pytest.raises(ValueError, match="mold_line"):
        design_cases(tarn.GEAR, CASES, None, static=STATIC)
    assert np.isfinite(design_cases(tarn.GEAR, CASES, tarn.MOLD_LINE, static=STATIC).shock_force).all()
