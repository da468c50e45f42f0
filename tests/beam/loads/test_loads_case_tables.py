"""The tables as a whole: every row in its place, symmetric legs, both systems of units."""

import pytest
from hypothesis import given, settings
from loads_airplane import airplanes, tourer
from loads_flight_gear import LEG
from scipy.constants import foot, g, inch, pound, pound_force

from beam.loads import (
    Equipment,
    FlightGear,
    Landing,
    case_list,
    ground_cases,
    inertia_balance,
    layout_table,
    static_reactions,
)
from beam.loads.part23 import EVERY, HANDLING, LANDING_AND_ROLLING

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


def test_checks_in_us_units():
    cases = case_list(tourer(), LANDING)
    equipment = Equipment(
        **{"braking_deceleration": 3.0, "propeller_tip": (0.3, 0.0, -0.58), "brake_energy_rating": 260e3}
    )
    one, two = (layout_table(tourer(), equipment, cases, units=units) for units in ("SI", "US"))
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
