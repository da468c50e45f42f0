"""Kinds of plies that lie over a stretch of the strut: doublers that start outboard of the root, grow and fall."""

from dataclasses import replace
from functools import cache
from itertools import product

import numpy as np
import pytest
from enumeration import Enumeration, lawful
from hypothesis import given, settings
from hypothesis import strategies as st
from small_strut import CAPS, CLOTH, LENGTH, LOADS, MOLD_LINE, REQUIREMENT, TAPE, WALLS, lattice

from beam.dossier import shop
from beam.sizing import InfeasibleSizing, PlyKind, lightest
from beam.sizing.feasibility import Feasibility
from beam.sizing.lattice import bay_masses, in_every_bay, wall_thickness
from beam.sizing.problem import broken_rule
from beam.strength.margins import margins
from beam.strength.ply_end_margins import ply_end_margins
from beam.strength.station_ratios import station_ratios
from beam.strut import PlyBook, PointLoads, Strut
from beam.strut.cut_list import cut_list
from beam.strut.plots import plot_ply_book
from beam.strut.ply_drops import steep, steps

COLD = replace(REQUIREMENT, services=REQUIREMENT.services[1:], corner_opening=False)
STATIONS = [0.0, 0.1, 0.2, 0.35, LENGTH]


def doubler(least=0, most=2, start=0.1, end=0.35, **more):
    """A doubler of cloth on all walls."""
    return PlyKind(
        **{"name": "doubler", "lamina": CLOTH, "angles_deg": (45.0, -45.0), "walls": WALLS, "depth": 0.5, "pitch": 1.0,
           "least": least, "most": most, "start": start, "end": end, **more}
    )  # fmt: skip


def with_doubler(*local, stations=STATIONS, most=(2, 1, 1), most_ending=9):
    """The small lattice with local kinds."""
    plain = lattice(1, most=most, most_ending=most_ending)
    return replace(plain, stations=stations, kinds=(*plain.kinds, *local))


LATTICE = with_doubler(doubler())


@st.composite
def books(draw):
    """Counts of the lattice with a doubler, the drop rules left out."""
    least, most = LATTICE.limits
    rows = []
    for low, high in zip(least, most, strict=True):
        cap = [h if kind.is_local or not rows else min(h, rows[-1][i]) for i, (h, kind) in
               enumerate(zip(high, LATTICE.kinds, strict=True))]  # fmt: skip
        rows.append([draw(st.integers(int(one), int(c))) for one, c in zip(low, cap, strict=True)])
    return np.array(rows)


@settings(max_examples=30, deadline=None)
@given(books())
def test_book_lays_each_bay_as_counted(counts):
    """Every bay has its counts, its mass and a symmetric balanced stack; runs of a group are whole plies."""
    book = LATTICE.book(counts)
    strut = Strut(MOLD_LINE, book)
    for bay, row in enumerate(counts):
        station = float(LATTICE.stations[bay] + LATTICE.stations[bay + 1]) / 2
        for wall in WALLS:
            laminate = book.laminate(wall, station)
            assert laminate.is_symmetric
            assert laminate.is_balanced
            laid = sum(ply.lamina is CLOTH and ply.start > 0 for ply in book.at(wall, station))
            assert laid <= 4 * row[3]
            assert laminate.thickness == pytest.approx(
                wall_thickness(LATTICE, row)[WALLS.index(wall)], rel=1e-12
            )
        assert not row[3] or 0.1 < station < 0.35
    local = [ply for ply in book.plies if ply.start > 0 or ply.end < LENGTH]
    assert all(ply.start == 0 for ply in book.plies if ply.lamina is TAPE)
    assert sum(p.length for p in local if p.lamina is CLOTH and p.start > 0) <= 8 * 0.25 + 1e-12
    assert sum(float(bay_masses(LATTICE, n[None])[bay, 0]) for bay, n in enumerate(counts)) == pytest.approx(
        strut.mass, rel=1e-12
    )
    # Second way: the cut list, ply by ply.
    assert sum(ply.mass for ply in cut_list(strut)) == pytest.approx(strut.mass, rel=1e-9)
    assert {(p.start, p.end) for p in cut_list(strut)} == {(p.start, p.end) for p in book.plies}


def test_a_doubler_grows_and_falls_and_may_lie_twice():
    counts = np.array([[1, 1, 1, 0], [1, 1, 1, 2], [1, 1, 1, 1], [1, 1, 1, 0]])
    own = [ply for ply in LATTICE.book(counts).plies if ply.start > 0]
    assert [(ply.angle_deg, ply.start, ply.end) for ply in own] == [
        (45, 0.1, 0.35), (-45, 0.1, 0.35), (45, 0.1, 0.2), (-45, 0.1, 0.2),
        (-45, 0.1, 0.2), (45, 0.1, 0.2), (-45, 0.1, 0.35), (45, 0.1, 0.35),
    ]  # fmt: skip
    fine = with_doubler(doubler(), stations=[0.0, 0.1, 0.15, 0.2, 0.35, LENGTH])
    twice = np.array([[1, 1, 1, n] for n in (0, 1, 0, 1, 0)])
    runs = [(p.start, p.end) for p in fine.book(twice).plies if p.start > 0]
    assert runs == [(0.1, 0.15), (0.2, 0.35)] * 2 + [(0.2, 0.35), (0.1, 0.15)] * 2
    assert fine.book(twice).laminate("aft", 0.17).thickness < fine.book(twice).laminate("aft", 0.25).thickness


def test_growing_counts_of_other_kinds_are_no_book_nor_a_doubler_outside_its_stretch():
    with pytest.raises(ValueError, match="never growing toward the tip but of a local kind"):
        LATTICE.book([[1, 1, 1, 0], [2, 1, 1, 0], [1, 1, 1, 0], [1, 1, 1, 0]])
    with pytest.raises(ValueError, match="whole numbers"):
        LATTICE.book([[1, 1, 1, 1]] + [[1, 1, 1, 0]] * 3)


MIDDLE = PointLoads(
    at=[0.15, 0.3],
    force=[[[0, 6e3, 3e3], [0, -6e3, -3e3]], [[0, -4e3, 5e3], [0, 4e3, -5e3]]],
    moment=[[[1.2e3, 0, -4e2], [-1.2e3, 0, 0]], [[-1e3, 6e2, 4e2], [1e3, 0, 0]]],
)
"""Loads that hold each other in the middle of the strut: nothing acts beyond them."""
CAP_PAD = doubler(lamina=TAPE, angles_deg=(0.0,), walls=CAPS, most=3)
RULES = {"free": (9, 20.0), "one at a time": (1, 20.0), "gentle": (9, 90.0)}


def under(rules):
    """The lattice of wraps and a doubler of tape under some rules for plies that end."""
    most_ending, drop_length = RULES[rules]
    return replace(with_doubler(CAP_PAD, most=(0, 2, 1)), most_ending=most_ending, drop_length=drop_length)


@cache
def judged(scale):
    """Every candidate of every bay by the margin table."""
    return Enumeration(under("free"), MIDDLE.times(scale), COLD)


@pytest.mark.parametrize("scale", [0.75, 1.15])
def test_equals_full_enumeration(scale):
    """Loads in the middle call for plies there alone; every book is judged by the margin table."""
    every, masses = judged(scale), {}
    for rules in RULES:
        every.lattice = under(rules)
        books = list(every.books())
        feasible = [row for row in books if row[2] >= -1e-9]
        assert len(feasible) < len(books)
        if not feasible:
            with pytest.raises(InfeasibleSizing):
                lightest(every.lattice, every.loads, COLD)
            masses[rules] = np.inf
            continue
        best, chain, lowest, _ = min(feasible, key=lambda row: row[0])
        got = lightest(every.lattice, every.loads, COLD)
        masses[rules] = got.mass
        assert got.mass == pytest.approx(best, rel=1e-12)
        assert got.bound == pytest.approx(best, rel=1e-12)
        np.testing.assert_array_equal(got.counts, every.counts(chain))
        assert got.margins["margin"].min() == pytest.approx(lowest, rel=1e-9)
        assert (np.diff(got.counts[:, 3]) > 0).any(), "a doubler must start outboard, or this proves nothing"
        assert lawful(every.lattice, got.counts)
        assert broken_rule(every.lattice, got.counts) is None
        assert every.table(got.counts)["margin"].min() == pytest.approx(lowest, rel=1e-9)
    assert masses["free"] <= min(masses.values())
    assert scale < 1 or masses["free"] < masses["one at a time"], "the rule must bind at the higher load"


def test_obeys_is_the_rule_of_the_enumeration():
    """Every book of the counts, lawful or not."""
    for rules in RULES:
        lat = under(rules)
        for chain in product(range(len(lat.candidates)), repeat=4):
            book = lat.candidates[list(chain)]
            assert (broken_rule(lat, book) is None) == lawful(lat, book)


def test_batch_judge_equals_the_margin_table_for_every_candidate_of_every_bay():
    """Every candidate that a bay may have, at its inboard end, with what taper adds in its book held."""
    lat = under("free")
    judge = Feasibility(lattice=lat, requirement=COLD)
    for bay, station in enumerate(lat.stations[:-1].tolist()):
        own = np.flatnonzero(lat.allowed[bay])
        assert set(map(tuple, lat.candidates[own])) == {
            tuple(n)
            for n in lat.candidates
            if (n >= lat.limits[0][bay]).all() and (n <= lat.limits[1][bay]).all()
        }
        for candidate in own.tolist():
            strut = Strut(MOLD_LINE, lat.book(in_every_bay(lat, lat.candidates[candidate])))
            forces = strut.span.forces(LOADS, at=[station])[:, 0]
            judge.held.clear()
            judge.hold([(strut, LOADS, np.arange(len(LOADS.force)))], np.array([station]))
            got = judge.reserve(np.array([candidate]), np.array([station]), forces[None])[0]
            expected = np.full(got.shape[:-1], np.inf)
            for r in station_ratios(strut, station, forces[None], COLD):
                if r.mode not in ("curved wall buckling", "corner opening"):
                    state = 1 if r.mode == "buckling" else r.service
                    expected[:, state, r.wall] = np.minimum(expected[:, state, r.wall], r.ratio.min(axis=1))
            np.testing.assert_allclose(got.min(axis=-1), expected / COLD.ultimate_factor, rtol=1e-9)


def test_relaxing_never_heavier_and_tightening_never_lighter():
    """Wider stretch, more groups, gentler rules: each lets in more books."""
    loads = MIDDLE.times(0.75)
    base = lightest(under("free"), loads, COLD).mass
    lat = under("free")

    def mass(**change):
        kinds = (*lat.kinds[:3], replace(lat.kinds[3], **change))
        return lightest(replace(lat, kinds=kinds), loads, COLD).mass

    assert mass(start=0.0, end=LENGTH) <= base
    assert mass(start=0.0) <= base
    assert mass(most=4) <= base
    assert mass(least=1) >= base
    assert mass(end=0.2) > base


@pytest.mark.parametrize(
    ("local", "words"),
    [
        (doubler(start=0.6, end=0.8), r"PlyKind 'doubler': start \[m\]: got 0.6,.*outside the strut"),
        (doubler(end=0.9), r"PlyKind 'doubler': end \[m\]: got 0.9,.*outside the strut"),
        (doubler(start=0.12), r"PlyKind 'doubler': start \[m\]: got 0.12, must be an end of a bay.*nearest is 0.1"),
        (doubler(least=2, most=3, end=None), r"start at 0.1 m: least \[-\]: got doubler 2, must be <= most_ending, 1"),
    ],
)  # fmt: skip
def test_bad_local_kind(local, words):
    with pytest.raises(ValueError, match=words):
        with_doubler(local, most_ending=1)


def test_a_stretch_that_cannot_end_gently_is_refused():
    with pytest.raises(
        ValueError, match=r"start at 0.1 m: least .* 3 mm in a wall.*by drop_length.*longer bays"
    ):
        replace(with_doubler(doubler(least=3, most=3)), drop_length=60.0)
    with pytest.raises(ValueError, match=r"end at 0.35 m"):
        replace(with_doubler(doubler(least=2, most=3, start=None)), most_ending=1)
    with pytest.raises(ValueError, match=r"bare.*local kinds cover their stretch alone"):
        replace(LATTICE, kinds=[replace(kind, start=0.1) for kind in LATTICE.kinds])
    with pytest.raises(ValueError, match="start, end"):
        doubler(start=0.3, end=0.2)
    with pytest.raises(ValueError, match="in mm"):
        doubler(start=100.0, end=200.0)


@pytest.fixture(scope="module")
def doubled():
    """A strut with plies that start outboard of the root."""
    return Strut(MOLD_LINE, LATTICE.book([[2, 1, 1, 0], [2, 1, 1, 2], [1, 1, 1, 1], [1, 1, 1, 0]]))


def test_drops_and_stations_know_both_ends_of_a_doubler(doubled):
    book = doubled.ply_book
    np.testing.assert_allclose(book.drops, [0.1, 0.2, 0.35])
    aft = [step for step in steps(book) if step.wall == "aft"]
    assert [(s.station, s.ends, len(s.plies)) for s in aft] == [
        (0.1, False, 8),
        (0.2, True, 4),
        (0.35, True, 4),
    ]
    assert [s.run for s in aft] == pytest.approx([0.1, 0.15, 0.15])
    assert [s.thickness for s in aft] == pytest.approx([2e-3, 1e-3, 1e-3])
    assert not steep(book)
    assert any(not s.ends for s in steep(book, least_rate=60.0))


def test_margins_on_both_sides_of_a_start(doubled):
    """At the station of a start the thicker lay-up counts, just inboard of it the thinner."""
    table = margins(doubled, LOADS, COLD, whole_strut=False)
    stations = table.index.get_level_values("station").to_numpy()
    near = np.unique(stations[np.abs(stations - 0.1) < 1e-6])
    assert len(near) == 2
    assert near[1] == pytest.approx(0.1, abs=1e-12)
    plies = [set(table.index.get_level_values("ply")[stations == s]) - {0} for s in near]
    local = {i for i, ply in enumerate(doubled.ply_book.plies, 1) if ply.start > 0}
    assert not plies[0] & local
    every = margins(doubled, LOADS, COLD, stations=[0.1], whole_strut=False)
    bare = Strut(MOLD_LINE, LATTICE.book([[2, 1, 1, 0], [2, 1, 1, 0], [1, 1, 1, 0], [1, 1, 1, 0]]))
    thin = margins(bare, LOADS, COLD, stations=[0.1], whole_strut=False)
    walls = [one.xs("buckling", level="mode")["ratio"].min() for one in (every, thin)]
    assert walls[0] > 1.5 * walls[1]


def test_shop_papers_of_a_doubler(doubled, tmp_path):
    patterns = shop.flat_patterns(doubled)
    pieces = [one.piece for one in patterns]
    starting = [piece for piece in pieces if piece.start > 0]
    assert {(piece.start, piece.end) for piece in starting} == {(0.1, 0.35), (0.1, 0.2)}
    assert all(ply.start == doubled.ply_book.plies[ply.ply - 1].start for ply in pieces)
    table = shop.drop_table(doubled)
    assert table.index.tolist() == pytest.approx([100.0, 200.0, 350.0])
    first, second, third = table.to_dict("records")
    assert len(first["plies that start"].split()) == 8
    assert not first["plies that end"]
    assert len(second["plies that end"].split()) == 4 + 2  # the doubler and the tape
    assert len(third["plies that end"].split()) == 4
    files = shop.write_svg(patterns, tmp_path)
    one = files[pieces.index(starting[0])].read_text()
    assert "station from the root: 100 to" in one
    bars = plot_ply_book(doubled).patches
    assert sum(abs(bar.get_x() - 100.0) < 1e-9 for bar in bars) == len(
        [p for p in doubled.ply_book.plies if p.start]
    )


def test_ply_ends_of_a_doubler_are_judged(doubled):
    tough = [
        replace(ply, lamina=replace(ply.lamina, GIc=250.0, GIIc=700.0)) for ply in doubled.ply_book.plies
    ]
    found = ply_end_margins(Strut(MOLD_LINE, PlyBook(tough)), LOADS, COLD)
    at = found.index.get_level_values("station").to_numpy()
    for station in (0.1, 0.2, 0.35):
        assert (np.abs(at - station) < 1e-6).any(), station
