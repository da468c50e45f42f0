"""Bands, ribs and the ends of a strut: what is refused and what is said."""

from dataclasses import replace

import numpy as np
import pytest
from struts import LENGTH, MOLD, TAPE, book

from beam.strut import Band, PointLoads, Rib, Strut, Support
from beam.strut.introductions import REACH

BRACKET = Band(name="bracket", start=0.26, end=0.32, walls=["aft"])
PIVOT = Band(name="pivot", start=LENGTH - 0.06, end=LENGTH, fitting="rigid")
WHOLE = replace(TAPE, G13=5e9, G23=3.2e9)
LOADS = PointLoads(at=[0.3, LENGTH], force=[[[0, 0, 3e4], [0, 0, -1e4]]])


def strut(lamina=WHOLE, **changed):
    """The strut of the book in a lamina."""
    return Strut(MOLD, book(lamina=lamina), **changed)


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"bands": [BRACKET, Band(name="stay", start=0.3, end=0.4)]}, "overlaps the band 'bracket'"),
        ({"bands": [replace(PIVOT, end=LENGTH + 0.01)]}, "'pivot'.*at most the tip"),
        ({"bands": [replace(BRACKET, walls=["after"])]}, "after.*misspelt"),
        ({"bands": [BRACKET, replace(BRACKET, start=0.4, end=0.5)]}, "all different"),
        ({"ribs": [Rib(station=LENGTH + 0.01)]}, "at most the tip"),
        ({"ribs": [Rib(station=0.3), Rib(station=0.3)]}, "twice"),
        ({"tip_end": "shut"}, "tip_end"),
    ],
)
def test_introductions_that_cannot_be_are_refused(given, message):
    with pytest.raises(ValueError, match=message):
        strut(**given)


@pytest.mark.parametrize("given", [{"start": 0.33}, {"start": 0.32}, {"walls": ["aft", "aft"]}])
def test_a_band_that_cannot_be_is_refused(given):
    with pytest.raises(ValueError, match="Band 'bracket'"):
        replace(BRACKET, **given)


def test_bands_may_touch_within_a_billionth_of_the_length():
    touching = Band(name="stay", start=BRACKET.end - 0.5e-9 * LENGTH, end=0.4)
    assert len(strut(bands=[BRACKET, touching]).bands) == 2
    with pytest.raises(ValueError, match="overlaps"):
        strut(bands=[BRACKET, replace(touching, start=BRACKET.end - 2e-9 * LENGTH)])


def test_a_load_enters_by_the_band_at_its_station():
    one = strut(bands=[PIVOT, BRACKET, Band(name="next", start=0.32, end=0.35)])
    assert [one.band_at(s) for s in (0.26, 0.3, 0.32, LENGTH)] == [BRACKET, BRACKET, BRACKET, PIVOT]
    assert one.band_at(0.2) is None
    assert one.band_at(0.25999) is None


def test_a_load_without_a_band_and_a_band_without_a_rib_are_said():
    wide = max(one.max() for one in (strut().mold_line.width, strut().mold_line.height))
    first, last = strut().introduction_notes(LOADS)
    assert "0.3 m has no band" in first.text
    assert f"{LENGTH:g} m has no band" in last.text
    assert first[:2] == pytest.approx((0.3 - REACH * wide, 0.3 + REACH * wide))
    assert last[:2] == pytest.approx((LENGTH - REACH * wide, LENGTH))
    (only,) = strut(bands=[BRACKET, PIVOT]).introduction_notes(LOADS)
    assert "'bracket' has no rib" in only.text
    assert only[:2] == pytest.approx((0.26 - REACH * wide, 0.32 + REACH * wide))


def test_ribs_at_the_edges_a_rigid_fitting_or_a_closed_end_leave_nothing_to_say():
    ribs = [Rib(station=0.26), Rib(station=0.32)]
    assert strut(bands=[BRACKET, PIVOT], ribs=ribs).introduction_notes(LOADS) == ()
    soft = replace(PIVOT, fitting="flexible")
    assert strut(bands=[BRACKET, soft], ribs=ribs, tip_end="closed").introduction_notes(LOADS) == ()
    (said,) = strut(bands=[BRACKET, soft], ribs=ribs).introduction_notes(LOADS)
    assert "'pivot' has no rib" in said.text
    trunnion = Band(name="trunnion", start=0.0, end=0.05)
    near_root = PointLoads(at=[0.02], force=[[[0, 0, 1e3]]])
    assert strut(bands=[trunnion], root_end="closed").introduction_notes(near_root) == ()
    (said,) = strut(bands=[trunnion], root_end="open").introduction_notes(near_root)
    assert "'trunnion' has no rib" in said.text
    unloaded = PointLoads(at=[0.3, LENGTH], force=np.zeros((1, 2, 3)))
    assert strut(bands=[BRACKET]).introduction_notes(unloaded) == ()


def test_a_rib_inside_a_flexible_band_is_said_and_inside_a_rigid_one_not():
    inside = [Rib(station=0.29, name="middle")]
    (said,) = strut(bands=[BRACKET, PIVOT], ribs=inside).introduction_notes(LOADS)
    assert "'middle' at 0.29 m inside the flexible band 'bracket'" in said.text
    assert (
        strut(bands=[replace(BRACKET, fitting="rigid"), PIVOT], ribs=inside).introduction_notes(LOADS) == ()
    )


def test_a_support_in_a_band_without_a_rib_or_without_a_band_is_said():
    stay = Support.motions(0.3, ["u3"], name="stay")
    tip_only = PointLoads(at=[LENGTH], force=[[[0, 0, 1e3]]])
    one = strut(supports=[Support.clamp(), stay], bands=[BRACKET, PIVOT])
    assert [note.text for note in one.introduction_notes(tip_only)] == [
        "support 'stay' in band 'bracket' without a rib: its reaction enters evenly"
    ]
    (said,) = strut(supports=[Support.clamp(), stay], bands=[PIVOT]).introduction_notes(tip_only)
    assert "support 'stay' at 0.3 m has no band" in said.text
    ribs = [Rib(station=0.26), Rib(station=0.32, bending_stiffness=300.0)]
    assert replace(one, ribs=ribs).introduction_notes(tip_only) == ()
    assert [rib.station for rib in replace(one, ribs=ribs[::-1]).ribs_in(BRACKET)] == [0.26, 0.32]


@pytest.mark.parametrize("missing", ["G13", "G23"])
def test_walls_without_transverse_shear_moduli_are_said_where_bands_add_loads(missing):
    """Their walls count as rigid across their thickness: My beside and between ribs is then another."""
    whole = strut(bands=[BRACKET, PIVOT], ribs=[Rib(station=0.26)])
    bare = strut(replace(WHOLE, **{missing: None}), bands=whole.bands, ribs=whole.ribs)
    (said,) = bare.introduction_notes(LOADS)
    assert said == (0.0, LENGTH, said.text)
    assert "'tape' without G13 or G23" in said.text
    assert not any("G13" in note.text for note in replace(bare, bands=[]).introduction_notes(LOADS))
    assert whole.introduction_notes(LOADS) == ()
    peaks = [np.abs(each.added_wall_loads(LOADS, [0.25, 0.29])[..., 4]).max() for each in (bare, whole)]
    assert abs(peaks[0] / peaks[1] - 1) > 1e-3
