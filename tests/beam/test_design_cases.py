"""From the wheel to the strut's root: what the link hands on must be what the ground put in."""

from dataclasses import replace

import numpy as np
import pytest
import tarn

from beam.axes import into
from beam.design_cases import design_cases
from beam.gear import leg_cases
from beam.loads import SpinUp, ground_cases, static_reactions
from beam.strut import MoldLine

STATIC = static_reactions(tarn.AIRPLANE)
CASES = ground_cases(
    tarn.AIRPLANE, load_factor=3.0, spin_up=SpinUp(wheel_inertia=0.13, rolling_radius=0.2, time_to_peak=0.08)
)
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
    strut = tarn.LATTICE.book([[k.most for k in tarn.LATTICE.kinds]] * tarn.BAYS)
    from beam.strut import Strut

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


def test_ultimate_rows_are_refused():
    some = CASES.copy()
    some.loc[some.index[some["leg"] == "starboard"][0], "level"] = "ultimate"
    with pytest.raises(ValueError, match="limit loads only"):
        design_cases(tarn.GEAR, some, tarn.MOLD_LINE, static=STATIC)
