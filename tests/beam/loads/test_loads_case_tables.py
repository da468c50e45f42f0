"""The tables as a whole: every row in its place, symmetric legs, both systems of units."""

import dataclasses

import numpy as np
import pandas as pd
import pytest
import tarn
from calls_loads import EQUIPMENT, LEG
from hypothesis import given, settings
from loads_airplane import airplanes, tourer
from scipy.constants import foot, g, inch, pound, pound_force

from beam.gear import leg_cases
from beam.loads import (
    Equipment,
    FlightGear,
    GroundCase,
    Landing,
    SpinUp,
    WheelLoad,
    case_list,
    case_table,
    ground_cases,
    inertia_balance,
    layout_table,
    read_cases,
    static_reactions,
)
from beam.loads.part23 import EVERY, HANDLING, LANDING_AND_ROLLING
from beam.strut_cases import design_cases

LANDING = Landing(load_factor=3.0)


def test_every_row_has_its_place():
    airplane = tourer(flight_gear=FlightGear(**LEG), steering_torque=150.0)
    cases = ground_cases(airplane, Landing(load_factor=3.0, reserve_load_factor=4.2), conditions=EVERY)
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


@settings(max_examples=8, deadline=None)
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


def test_no_paragraph_that_part_23_does_not_have():
    """There is no 23.498; tail wheels (23.497) and skis (23.505) are not covered and must not seem to be."""
    airplane = tourer(flight_gear=FlightGear(**LEG))
    cases = ground_cases(airplane, Landing(load_factor=3.0, reserve_load_factor=4.2), conditions=EVERY)
    assert not cases.paragraph.str.contains("497|498|505").any()


def test_tables_in_us_units():
    """Converted by hand: 1 lb = 0.45359237 kg, 1 lbf = 4.4482216152605 N, 1 in = 0.0254 m (exact by definition)."""
    si, us = (ground_cases(tourer(), Landing(load_factor=3.0), units=units) for units in ("SI", "US"))
    assert us["Fz [lbf]"].to_numpy() == pytest.approx(si.Fz / 4.4482216152605)
    assert us["mass [lb]"].to_numpy() == pytest.approx(si.mass / 0.45359237)
    assert us["attitude_deg"].equals(si.attitude_deg)
    assert not {"Fz", "mass", "Mx"} & set(us.columns)
    pivot = [
        ground_cases(tourer(), Landing(load_factor=3.0), conditions=HANDLING[2:], units=units)
        for units in ("SI", "US")
    ]
    assert pivot[0].Mz.any()
    assert pivot[1]["Mz [lbf in]"].to_numpy() == pytest.approx(pivot[0].Mz / (4.4482216152605 * 0.0254))
    one, two = (static_reactions(tourer(), units=units) for units in ("SI", "US"))
    assert two["main [lbf]"].to_numpy() == pytest.approx(one.main / pound_force)
    assert two.main_share.equals(one.main_share)
    one, two = (inertia_balance(tourer(), LANDING, units=units) for units in ("SI", "US"))
    assert two["My [lbf in]"].to_numpy() == pytest.approx(one.My / (4.4482216152605 * 0.0254))
    assert two.nz.equals(one.nz)


def test_no_case_is_a_table_without_rows():
    full = case_table(case_list(tourer(), LANDING))
    empty = case_table([])
    assert empty.columns.equals(full.columns)
    assert empty.empty


def test_checks_in_us_units():
    equipment = Equipment(**EQUIPMENT)
    one, two = (layout_table(tourer(), equipment, LANDING, units=units) for units in ("SI", "US"))
    assert one.check.equals(two.check)
    assert one.met.equals(two.met)
    scale = {"N": (pound_force, "lbf"), "m": (foot, "ft"), "N m": (pound_force * inch, "lbf in")}
    scale |= {
        "J": (pound_force * foot, "ft lbf"),
        "m/s2": (foot, "ft/s2"),
        "deg": (1.0, "deg"),
        "-": (1.0, "-"),
    }
    for was, now in zip(one.itertuples(), two.itertuples(), strict=True):
        factor, unit = (inch, "in") if "clearance" in was.check else scale[was.unit]
        assert now.unit == unit
        assert now.value == pytest.approx(was.value / factor, nan_ok=True)
        assert now.limit == pytest.approx(was.limit / factor, nan_ok=True)


def test_reactions_at_masses_of_ones_own():
    table = static_reactions(tourer(), masses=(700.0, 1000.0))
    assert set(table.mass) == {700.0, 1000.0}
    assert (table.nose + 2 * table.main).to_numpy() == pytest.approx(table.mass.to_numpy() * g)
    with pytest.raises(ValueError, match=r"masses.*pounds"):
        static_reactions(tourer(), masses=(1240.0 / pound,))


EVERY_LANDING = Landing(
    load_factor=3.1,
    reserve_load_factor=4.2,
    spin_up=SpinUp(wheel_inertia=0.25, rolling_radius=0.17, time_to_peak=0.1),
)


def a_code_of_other_strokes(airplane, landing):
    """X 1: a landing judged at strokes that have no short decimals."""
    wheel = WheelLoad(leg="starboard", Fz=1e4 / 3, applied_at="axle", My=-1e-7 / 3)
    case = {"paragraph": "1.10", "condition": "a, b", "mass": 700 / 3, "cg": "aft", "shock": "landing"}
    return [GroundCase(**case, attitude_deg=-1 / 3, wheels=[wheel], strokes=[1 / 3, 2 / 3])]


def test_a_written_table_comes_back(tmp_path):
    """Every number to the last bit, every word, strokes as tuples: what reads one reads the other."""
    airplane = tourer(flight_gear=FlightGear(**LEG), steering_torque=150.0)
    table = ground_cases(airplane, EVERY_LANDING, conditions=(*EVERY, a_code_of_other_strokes))
    table.to_csv(tmp_path / "loads.csv", index=False)
    back = read_cases(str(tmp_path / "loads.csv"))
    pd.testing.assert_frame_equal(back, table, check_exact=True)
    assert {type(one) for one in back.strokes} == {type(one) for one in table.strokes}
    assert isinstance(back.strokes[0], tuple)
    assert {(0.25, 0.5, 0.75, 1.0), (), (0.0,), (1 / 3, 2 / 3)} == set(back.strokes)
    assert "1.10" in set(back.paragraph)
    assert '"a, b",starboard' in (tmp_path / "loads.csv").read_text()
    assert ",0.25 0.5 0.75 1.0," in (tmp_path / "loads.csv").read_text()
    load = [5e3] * len(back)
    one, two = (leg_cases(tarn.GEAR, each, static_load=load) for each in (table, back))
    np.testing.assert_array_equal(one.fraction, two.fraction)
    np.testing.assert_array_equal(one.force, two.force)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda text: text.replace("strokes", "places"), "no strokes.*US units"),
        (lambda text: text.replace("0.25 0.5 0.75 1.0", "(0.25, 0.5)"), "numbers of .*strokes with blanks"),
        (lambda text: text.replace("1180.0", "heavy"), "numbers of .*heavy"),
    ],
)
def test_a_file_of_something_else_is_refused(tmp_path, change, message):
    ground_cases(tourer(), LANDING).to_csv(tmp_path / "loads.csv", index=False)
    text = (tmp_path / "loads.csv").read_text()
    (tmp_path / "loads.csv").write_text(change(text))
    with pytest.raises(ValueError, match=rf"read_cases: .*{message}"):
        read_cases(tmp_path / "loads.csv")


def test_cases_that_say_too_much_are_refused():
    (case,) = a_code_of_other_strokes(None, None)
    with pytest.raises(ValueError, match=r"lift_ratio.*percent"):
        dataclasses.replace(case, lift_ratio=66.7)
    with pytest.raises(ValueError, match=r"GroundCase 1\.10 a, b: strokes.*percent"):
        dataclasses.replace(case, strokes=(40.0,))


STATIC = static_reactions(tarn.AIRPLANE)
CASES = ground_cases(tarn.AIRPLANE, LANDING)


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
def test_tables_that_do_not_reach_the_strut(cases, static, message):
    """A level misspelled would change the factor of safety of a case."""
    with pytest.raises(ValueError, match=message):
        design_cases(tarn.GEAR, cases, tarn.MOLD_LINE, static=static)
