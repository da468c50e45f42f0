"""Modes that the search leaves out: lay-ups that fail them are closed in their bay, and the bound stays exact."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from enumeration import Enumeration
from small_strut import CLOTH, LENGTH, MOLD_LINE, REQUIREMENT, TAPE, lattice

from beam.sizing import InfeasibleSizing, Lattice, PlyKind, lightest, margin_recheck, sizing
from beam.sizing.margin_recheck import Failed, MarginRecheck
from beam.sizing.search import Search
from beam.strength import margins
from beam.strut import Band, MoldLine, PointLoads, Strut

LINE = MoldLine(
    root=[0, 0, 0], tip=[0, 0, -LENGTH], stations=[0, LENGTH], width=[0.3] * 2, height=[0.28] * 2,
    corner_radius=[0.12] * 2,
)  # fmt: skip
ALL = {"lamina": CLOTH, "walls": LINE.wall_names}
LATTICE = Lattice(
    mold_line=LINE,
    stations=[0.0, 0.25, LENGTH],
    kinds=(
        PlyKind(name="wrap", angles_deg=(45.0, -45.0), least=1, most=2, depth=-1.0, pitch=3.0, **ALL),
        PlyKind(name="hoop", angles_deg=(90.0,), least=0, most=1, depth=-0.5, pitch=4.0, **ALL),
    ),
    most_ending=9,
)
COLD = replace(REQUIREMENT, services=REQUIREMENT.services[1:], corner_opening=False)
OPENING = replace(COLD, corner_opening=True)
LOADS = PointLoads(
    at=[0.2, LENGTH],
    force=[[[-3e4, 0, 0], [-1e4, 0, 0]], [[0, 0, 0], [-4e3, 5e2, 0]]],
    moment=[[[0, 0, 0], [0, 0, 0]], [[8.7e3, 0, 0], [8e2, 0, 0]]],
)


@cache
def judged(tip, factor=1.0):
    """Enumeration with a share of the load at the tip."""
    share = np.array([[1.0], [tip]]) * factor
    loads = PointLoads(at=LOADS.at, force=LOADS.force * share, moment=LOADS.moment * share)
    return Enumeration(LATTICE, loads, COLD)


def lightest_of(judged):
    """The lightest book that holds, which must be heavier than the lightest by what the search judges."""
    every = list(judged.books())
    best = min((row for row in every if row[2] >= -1e-9), key=lambda row: row[0])
    without = min((row for row in every if row[3] >= -1e-9), key=lambda row: row[0])
    assert without[0] < best[0], "the modes left out must govern, or this proves nothing"
    return best


@pytest.mark.parametrize("tip", [1.0, 0.5])
def test_curved_walls_govern_and_the_book_is_still_the_lightest(tip):
    """With half the load at the tip the lightest lay-up fails inboard alone, and stays outboard."""
    best, said = lightest_of(judged(tip)), []
    got = lightest(LATTICE, judged(tip).loads, COLD, progress=said.append)
    assert got.mass == pytest.approx(best[0], rel=1e-12)
    assert got.counts.tolist() == judged(tip).counts(best[1]).tolist()
    assert got.bound == pytest.approx(best[0], rel=1e-12)
    assert got.margins["margin"].min() == pytest.approx(best[2], rel=1e-9)
    assert set(got.margins.index.get_level_values("wall")) == {*LINE.wall_names, "whole strut"}
    assert any("by modes that only the margin table judges" in line for line in said)


def test_nothing_left_names_the_curved_wall():
    """The best lay-up over the whole span, by the enumeration, is the one whose shortfall is told."""
    every = list(judged(1.0, 1.5).books())
    assert max(row[2] for row in every) < 0 < max(row[3] for row in every)
    with pytest.raises(InfeasibleSizing, match="mode curved wall buckling, cold") as caught:
        lightest(LATTICE, judged(1.0, 1.5).loads, COLD, cases=["push", "twist"])
    text = str(caught.value)
    assert "in case twist at station" in text
    inboard = max(row[2] for row in every if row[1][0] == row[1][1])
    assert f"margin {inboard:+.3f}" in text


def test_corners_that_open_govern_and_the_book_is_still_the_lightest():
    """A resin of 1 MPa between the plies, and axial tension with bending, which opens corners."""
    weak = {one: replace(one, allowables=replace(one.allowables, Zt=1e6)) for one in (TAPE, CLOTH)}
    small = lattice(2, most=(2, 1, 2))
    small = replace(small, kinds=tuple(replace(kind, lamina=weak[kind.lamina]) for kind in small.kinds))
    loads = PointLoads(
        at=[0.25, MOLD_LINE.length],
        force=[[[1e4, 0, 0], [2e4, 1e3, 1e3]], [[0, 0, 0], [1e4, 3e3, 0]]],
        moment=[[[0, 0, 0], [0, 500, 500]], [[0, 0, 0], [0, 1500, 0]]],
    )
    every = Enumeration(small, loads, OPENING)
    best = lightest_of(every)
    got = lightest(small, loads, OPENING)
    assert got.mass == pytest.approx(best[0], rel=1e-12)
    assert got.counts.tolist() == every.counts(best[1]).tolist()
    assert got.margins["margin"].min() == pytest.approx(best[2], rel=1e-9)
    with pytest.raises(InfeasibleSizing, match="mode corner opening"):
        lightest(small, loads.times(1.3), OPENING)


def test_other_layups_are_excluded_by_the_row_where_one_fails(monkeypatch):
    """Each fails that row of the table of a strut laid up so, by as much; one round goes on until one holds."""
    kept = []

    def judge(*given):
        kept.append(MarginRecheck(*given))
        return kept[0]

    monkeypatch.setattr(sizing, "MarginRecheck", judge)
    monkeypatch.setattr(margin_recheck, "OTHERS", 1)
    kinds = (replace(LATTICE.kinds[0], most=4), replace(LATTICE.kinds[1], most=4))
    wide, loads, said = replace(LATTICE, kinds=kinds), LOADS.times(2.0), []
    found = lightest(wide, loads, COLD, progress=said.append)
    (recheck,) = kept
    rounds = sum("by modes that only the margin table judges" in line for line in said)
    assert len(recheck.failed) > 2
    assert rounds == 1
    worst = found.margins.loc[found.margins["decides"], "margin"].min()
    assert worst >= -1e-9
    for (_, candidate), row in recheck.failed.items():
        book = wide.book([recheck.search.counts[candidate]] * 2)
        table = margins(Strut(LINE, book), loads, COLD, stations=[row.station]).reset_index()
        own = table[(table["case"] == row.case) & table["decides"] & (table["wall"] != "whole strut")]
        lowest = own.loc[own["margin"].idxmin()]
        assert row.margin == pytest.approx(lowest["margin"], rel=1e-9)
        assert row.margin < 0
        assert (row.mode, row.service) == (lowest["mode"], lowest["service"])


@pytest.mark.parametrize("banded", [False, True])
def test_a_layup_meets_the_row_as_in_the_margin_table_where_its_own_loads_are_held(banded):
    """Of a tapered strut of one lay-up, with a band and thick corners or without; of more books held the worst."""
    small, number, labels = lattice(2), 5, np.array(["a", "b"])
    force = 40 * np.array([[[0, 0, 0], [-9e3, 5e3, 2e3]], [[0, 0, 0], [4e3, 3e3, 6e3]]])
    loads, required = PointLoads(at=[0.25, LENGTH], force=force), replace(REQUIREMENT, corner_opening=True)
    bands = (Band(name="clamp", start=0.22, end=0.28, fitting="rigid"),) if banded else ()

    def laid_up(candidate):
        return Strut(MOLD_LINE, small.book([small.candidates[candidate]] * 2), bands=bands)

    strut = laid_up(number)
    assert strut.thick_corners == banded
    for books in ([strut], [laid_up(-1), strut], [strut, laid_up(-1)]):
        search = Search(small, loads, required, lambda _: None, hold=True, bands=bands)
        for book in books:
            search.hold(book)
        recheck = MarginRecheck(search, loads, labels)
        table = margins(strut, loads, required, stations=search.every, cases=labels).reset_index()
        table = table[(table["case"] == "b") & table["decides"] & (table["wall"] != "whole strut")]
        for bay, stations in enumerate(search.stations):
            row = table[table["station"].isin(stations)].sort_values("margin").iloc[0]
            expected = Failed(*(row[name] for name in Failed._fields))
            found = recheck._at_row(strut, bay, number, expected)
            assert found is not None
            assert found.margin <= expected.margin + 1e-9 < 0
            if len(books) == 1:
                assert found == expected._replace(margin=pytest.approx(expected.margin, rel=1e-9))
