"""From the wheel to the strut's root: what the link hands on must be what the ground put in."""

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
import tarn
from scipy.constants import g

from beam.axes import into
from beam.gear import leg_cases
from beam.loads import Landing, SpinUp, ground_cases, static_reactions
from beam.loads.part23 import SYSTEM
from beam.strength.margins import margins
from beam.strut import MoldLine, Strut
from beam.strut_cases import design_cases

STATIC = static_reactions(tarn.AIRPLANE)
WHEEL = SpinUp(wheel_inertia=0.13, rolling_radius=0.2, time_to_peak=0.08)
CASES = ground_cases(tarn.AIRPLANE, Landing(load_factor=3.0, spin_up=WHEEL))
DESIGN = design_cases(tarn.GEAR, CASES, tarn.MOLD_LINE, static=STATIC)


def test_root_forces_are_the_wheel_loads_moved_to_the_root():
    """Equilibrium past link and shock: the inside of the gear cannot change what reaches the trunnion."""
    main = CASES[CASES["leg"] != "nose"].reset_index(drop=True)
    standing = {(r.mass, r.cg): r.main for r in STATIC.itertuples()}
    legs = leg_cases(
        tarn.GEAR, main, static_load=[standing[m, c] for m, c in zip(main["mass"], main["cg"], strict=True)]
    )
    pitch = np.radians(legs.attitude_deg)
    up = np.stack([-np.sin(pitch), np.zeros_like(pitch), np.cos(pitch)], axis=-1)
    aft = np.stack([np.cos(pitch), np.zeros_like(pitch), np.sin(pitch)], axis=-1)
    force = legs.force[:, :1] * aft + legs.force[:, 1:2] * [0.0, 1.0, 0.0] + legs.force[:, 2:] * up
    axle = tarn.GEAR.axle(legs.stroke)
    radius = tarn.GEAR.tire.loaded_radius(legs.tire_load)
    ground = axle - np.asarray(radius)[:, None] * up
    point = np.where((legs.applied_at == "ground")[:, None], ground, axle)
    moment = np.cross(point - tarn.MOLD_LINE.root, force)
    expected = np.concatenate(
        [into(tarn.MOLD_LINE.frame, force), into(tarn.MOLD_LINE.frame, moment)], axis=-1
    )
    strut = tarn.DESIGN.strut.ply_book
    got = Strut(tarn.MOLD_LINE, strut).span.forces(DESIGN.loads, at=[0.0])[:, 0]
    # Every kept case is among the expected, and every expected is kept once.
    gap = np.abs(expected[:, None] - got[None]).max(axis=-1) / np.abs(expected).max()
    assert gap.min(axis=1).max() < 1e-10
    assert gap.min(axis=0).max() < 1e-10


def test_cases_are_different_and_named():
    wrench = np.concatenate([DESIGN.loads.force, DESIGN.loads.moment], axis=-1).reshape(
        len(DESIGN.labels), -1
    )
    assert len(np.unique(wrench.round(6), axis=0)) == len(DESIGN.labels) == len(set(DESIGN.labels))
    assert any("23.485" in label and "port leg" in label for label in DESIGN.labels)


def test_landing_cases_stand_at_four_strokes_and_the_others_at_one():
    """14 CFR 23, Appendix C, note 2: from 25 to 100 percent of the stroke."""
    peak = [label for label in DESIGN.labels if "(ii) nose clear, peak vertical, 1240 kg" in label]
    assert [label.split("stroke ")[1] for label in peak] == ["25 %", "50 %", "75 %", "100 %"]
    side = [label for label in DESIGN.labels if "23.485" in label and "1240 kg fwd" in label]
    assert len({label.split("stroke ")[1] for label in side}) == 1


def test_mold_line_must_end_at_the_pivot():
    line = tarn.MOLD_LINE
    elsewhere = MoldLine(
        root=line.root, tip=line.root + 1.1 * (line.tip - line.root), stations=1.1 * line.stations,
        width=line.width, height=line.height, corner_radius=line.corner_radius,
    )  # fmt: skip
    with pytest.raises(ValueError, match="tip at the pivot"):
        design_cases(tarn.GEAR, CASES, elsewhere, static=STATIC)


def test_bracket_must_be_on_the_strut():
    above = replace(tarn.GEAR.link, shock_on_strut=tarn.TRUNNION + np.array([0.05, 0.0, 0.1]))
    with pytest.raises(ValueError, match="bracket"):
        design_cases(replace(tarn.GEAR, link=above), CASES, tarn.MOLD_LINE, static=STATIC)


def test_row_and_shock_force_belong_to_their_case():
    main = CASES[CASES["leg"] != "nose"].reset_index(drop=True)
    for label, row in zip(DESIGN.labels, DESIGN.row, strict=True):
        assert label.startswith(f"{main['paragraph'][row]} {main['condition'][row]}")
    # The bracket bears the shock alone: its force is the shock's, to the size.
    bracket = np.linalg.norm(DESIGN.loads.force[:, 1], axis=-1)
    np.testing.assert_allclose(np.abs(DESIGN.shock_force), bracket, rtol=1e-9)


RESERVE = ground_cases(
    tarn.AIRPLANE, Landing(load_factor=3.0, reserve_load_factor=4.5), conditions=SYSTEM[:1]
)
ALONE = {"mold_line": tarn.MOLD_LINE, "static": STATIC}


def test_reserve_energy_is_ultimate_once_in_the_margin():
    """23.723(b) carries no factor of safety: its load stays as the wheel put it in, and the case says so."""
    both = pd.concat([CASES, RESERVE], ignore_index=True)
    found = design_cases(tarn.GEAR, both, **ALONE)
    reserve = np.flatnonzero(np.char.startswith(found.labels, "23.723(b)"))
    assert len(reserve) == 4  # both c.g. and both legs load the strut alike, at four strokes
    assert all(label.endswith("%, at ultimate load") for label in found.labels[reserve])
    assert np.flatnonzero(found.loads.at_ultimate).tolist() == reserve.tolist()
    up = into(tarn.MOLD_LINE.frame, [0.0, 0.0, 1.0])
    wheel = (4.5 - 1.0) * tarn.AIRPLANE.landing_mass * g / 2
    at_ultimate = found.loads.force[reserve].sum(axis=1)
    np.testing.assert_allclose(at_ultimate, np.tile(wheel * up, (4, 1)), rtol=1e-9, atol=1e-6)
    bracket = np.linalg.norm(found.loads.force[reserve, 1], axis=-1)
    np.testing.assert_allclose(np.abs(found.shock_force[reserve]), bracket, rtol=1e-9)
    others = np.setdiff1d(np.arange(len(found.labels)), reserve)
    assert list(found.labels[others]) == list(DESIGN.labels)
    np.testing.assert_array_equal(found.loads.force[others], DESIGN.loads.force)


def test_margin_of_an_ultimate_case_has_no_factor_of_safety():
    """It is that of the same load at limit with a factor of safety of 1, and meets no check at limit load."""
    book = tarn.DESIGN.strut.ply_book
    strut = Strut(tarn.MOLD_LINE, book)
    one = design_cases(tarn.GEAR, RESERVE, **ALONE)
    two = design_cases(tarn.GEAR, RESERVE.assign(level="limit"), **ALONE)
    stations = [0.0, 0.3]
    required = replace(tarn.REQUIREMENT, deflection_limit=0.05)
    plain = replace(required, factor_of_safety=1.0)
    found = margins(strut, one.loads, required, cases=one.labels, stations=stations)
    expected = margins(strut, two.loads, plain, cases=two.labels, stations=stations)
    expected = expected[expected["level"] == "ultimate"]
    assert required.factor_of_safety == 1.5
    assert set(found["level"]) == {"ultimate"}
    np.testing.assert_allclose(found["margin"], expected["margin"], rtol=1e-9, atol=1e-12)


def test_tables_that_do_not_fit_are_refused():
    us = ground_cases(tarn.AIRPLANE, Landing(load_factor=3.0), units="US")
    with pytest.raises(ValueError, match=r"cases: got no mass.*US units"):
        design_cases(tarn.GEAR, us, **ALONE)
    with pytest.raises(ValueError, match=r"static: got no mass, main.*SI"):
        design_cases(tarn.GEAR, CASES, tarn.MOLD_LINE, static=static_reactions(tarn.AIRPLANE, units="US"))
    with pytest.raises(ValueError, match=r"static: got no row for.*static_reactions"):
        design_cases(tarn.GEAR, CASES.assign(mass=1000.0), **ALONE)
