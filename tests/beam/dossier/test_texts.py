"""What is printed carries the numbers and the units it says."""

import re

import numpy as np
import pandas as pd
import pytest
import tarn
from small_strut import CASES, LOADS, REQUIREMENT, lattice

from beam.dossier import texts
from beam.dossier.tables import lowest
from beam.gear import drop
from beam.loads import Landing, ground_cases, static_reactions
from beam.sizing import lightest


@pytest.fixture(scope="module")
def sizing():
    return lightest(lattice(2), LOADS.times(0.6), REQUIREMENT, cases=CASES)


CASE_TABLE = ground_cases(tarn.AIRPLANE, Landing(load_factor=3.0))


def numbers(text, start):
    """Numbers of the line that begins with some words."""
    line = next(line for line in text.splitlines() if line.startswith(start))
    return [float(n) for n in re.findall(r"-?\d+\.?\d*(?:e-?\d+)?", line[len(start) :].split("]")[-1])]


@pytest.mark.parametrize(("units", "pound"), [("SI", 1.0), ("US", 0.45359237)])
def test_airplane(units, pound):
    text = texts.airplane(tarn.AIRPLANE, units=units)
    mass = [round(m / pound) for m in (tarn.MAX_MASS, tarn.LANDING_MASS)]
    assert numbers(text, "maximum mass, landing mass") == mass
    assert f"[{'kg' if units == 'SI' else 'lb'}]" in text


@pytest.mark.parametrize(("units", "length"), [("SI", 1.0), ("US", 0.3048)])
def test_arms_are_printed_from_the_nose_wheel(units, length):
    """examples/tarn.py: main wheels 2 m behind the nose wheel, c.g. 0.40 m to 0.30 m ahead of them."""
    text = texts.airplane(tarn.AIRPLANE, units=units)
    rounding = {"abs": 0.5e-3}
    arms = [pytest.approx(arm / length, **rounding) for arm in (1.6, 1.7)]
    assert numbers(text, "c.g. forward, aft, behind the nose wheel") == arms
    track = 2 * tarn.AIRPLANE.main_contact[1]
    assert numbers(text, "wheelbase, track") == [pytest.approx(x / length, **rounding) for x in (2.0, track)]


@pytest.mark.parametrize(("units", "unit", "size"), [("SI", "kN", 1e3), ("US", "lbf", 4.4482216152605)])
def test_loads_and_reactions(units, unit, size):
    text = texts.loads(CASE_TABLE, leg="starboard", units=units)
    side = next(line for line in text.splitlines() if "side load, starboard wheel inboard" in line)
    assert f"Fy [{unit}]" in text
    assert f"{-0.5 * tarn.MAX_MASS * 9.80665 / size:.2f}" in side  # 23.485(c)
    static = static_reactions(tarn.AIRPLANE)
    assert f"{static['main'].max() / size:.3f}" in texts.reactions(static, units=units)


def test_landing():
    found = drop(tarn.GEAR, mass=590.0, speed=2.85, lift_ratio=2 / 3)
    text = texts.landing(found)
    assert numbers(text, "inertia load factor n [-]") == [pytest.approx(found.load_factor, abs=5e-4)]
    assert numbers(text, "peak ground load of one leg") == [
        pytest.approx(found.peak_ground_force / 1e3, abs=5e-3)
    ]
    us = texts.landing(found, units="US")
    assert numbers(us, "descent speed") == [pytest.approx(2.85 / 0.3048, abs=5e-4)]


def test_proof_prints_mass_bound_factors_and_shop_rules(sizing):
    text = " ".join(texts.proof(sizing, REQUIREMENT).split())
    assert f"one strut {sizing.mass:.4f} kg, lower bound {sizing.bound:.4f} kg" in text
    assert "limit x 1.5 x special factor 1.2 (invented)" in text
    assert "at most 9 groups of a kind end, over 20 times" in text
    assert "0 to 4 spanwise" in text
    assert ("at its upper count" in text) == bool(sizing.kinds_at_limit)
    assert f"{sizing.mass / 0.45359237:.4f} lb" in " ".join(
        texts.proof(sizing, REQUIREMENT, units="US").split()
    )


def test_margins_show_where(sizing):
    rows = lowest(sizing.margins, 3)
    text = texts.margins(rows).splitlines()
    assert text[4:6] == ["Only checks at ultimate load stand in this table.", "What these rows rest on:"]
    for line, row in zip(text[1:4], rows.itertuples(), strict=True):
        assert f"{row.margin:+.4f}" in line
        assert f"{row.station * 1e3:.0f}" in line
        assert row.wall in line
        assert row.case in line


def test_stations_in_inches_have_decimals(sizing):
    rows = lowest(sizing.margins, 5, by="case")
    for line, station in zip(texts.margins(rows, units="US").splitlines()[1:], rows["station"], strict=False):
        assert f" {station / 0.0254:.2f} " in line


def test_cautions_are_said():
    text = " ".join(texts.cautions().split())
    for words in ("checked independently", "authority", "test the actual article", "licensed engineer"):
        assert words in text


def test_what_widening_buys_is_printed_where_it_is_given(sizing):
    change = ["most wrap", "caps apart"]
    table = pd.DataFrame(
        {"change_g": [-12.0, np.nan], "percent": [-2.4, np.nan], "note": ["", "out of time"]}, change
    )
    text = " ".join(texts.proof(sizing, REQUIREMENT, widened=table).split())
    assert "a wider lattice, most wrap: -0.0120 kg, -2.4 %" in text
    assert "a wider lattice, caps apart: (out of time)" in text
    assert "a wider lattice," not in texts.proof(sizing, REQUIREMENT)
