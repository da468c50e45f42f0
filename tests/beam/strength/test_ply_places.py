"""In-situ strengths in margins and in sizing: which block a ply lies in, and the weaker side of a ply drop."""

from dataclasses import replace

import numpy as np
import pytest
from small_strut import (
    CAPS,
    CASES,
    CLOTH,
    LENGTH,
    LOADS,
    MOLD_LINE,
    REQUIREMENT,
    STRAIGHT,
    TAPE,
    WALLS,
    lattice,
)

from beam.sizing import lightest
from beam.sizing.feasibility import Feasibility
from beam.strength import Check, margins, recommended
from beam.strength.ply_places import judged_allowables, ply_places
from beam.strength.section_forces import wall_loads, wall_response
from beam.strength.station_ratios import station_ratios
from beam.strut import BookPly, PlyBook, Strut
from beam.strut.point_loads import before
from laminate import in_situ, in_situ_at_drop
from laminate.failure import Puck

DROP = 0.25
TOUGH = replace(TAPE, GIc=277.4)
MATRIX = Check(
    criterion=Puck(fiber=False), level="limit", name="limit matrix", applies_to="tape", in_situ=True
)
COUPON = replace(MATRIX, in_situ=False)
JUDGED = replace(REQUIREMENT, checks=(MATRIX,), corner_opening=False)
(ROOM, _) = JUDGED.services


def book(angles, ends, lamina=TOUGH):
    """Plies of a lamina on every wall; those of `ends` stop at the drop."""
    return PlyBook(
        [
            BookPly(lamina=lamina, angle_deg=a, walls=WALLS, start=0.0, end=DROP if i in ends else LENGTH)
            for i, a in enumerate(angles)
        ]
    )


def strengths(stack, station):
    """Yt of the plies of a wall at a station [MPa], by the place of each."""
    places = ply_places(stack, "aft", station, LENGTH)
    laminae = [ply.lamina for ply in stack.laminate("aft", station).plies]
    return [judged_allowables(MATRIX, ROOM, a, places.get(i, ()))[0].Yt / 1e6 for i, a in enumerate(laminae)]


@pytest.mark.parametrize(
    ("angles", "ends"),
    [((45, 0, -45, 0, 45), {2}), ((90, 0, 0, 90), {2}), ((45, 0, 90, 90, 0), {0}), ((0, 90, 0), {0, 2})],
)
def test_both_sides_of_a_ply_drop_take_the_weaker_strength(angles, ends):
    """The thick side as `in_situ_at_drop` says; the plies that go on have the same strength on the thin side."""
    stack = book(angles, ends)
    thick = stack.laminate("aft", before(DROP, LENGTH))
    goes_on = [i not in ends for i in range(len(angles))]
    expected = [a.Yt / 1e6 for a in in_situ_at_drop(thick, goes_on)]
    assert strengths(stack, float(before(DROP, LENGTH))) == pytest.approx(expected, rel=1e-9)
    weaker = [Yt for Yt, on in zip(expected, goes_on, strict=True) if on]
    assert strengths(stack, DROP) == pytest.approx(weaker, rel=1e-9)
    changed = False
    for far, here in ((0.1, expected), (0.4, weaker)):
        own = [a.Yt / 1e6 for a in in_situ(stack.laminate("aft", far))]
        assert strengths(stack, far) == pytest.approx(own, rel=1e-9)
        changed |= here != pytest.approx(own, rel=1e-3)
    assert changed


@pytest.mark.parametrize("station", [float(before(DROP, LENGTH)), DROP, 0.4])
def test_margins_take_the_strengths_of_the_place(station):
    """Second way: ply states of the wall, Puck with the allowables by hand."""
    stack = book((90, 0, 0, 90, 45), {2})
    strut = Strut(MOLD_LINE, stack)
    found = margins(strut, LOADS, replace(JUDGED, services=(ROOM,)), cases=CASES, stations=[station])
    forces = strut.span.forces(LOADS, at=[station])[:, 0]
    loads = wall_loads(strut, station, forces[None], (ROOM,))
    for wall in ("aft", WALLS[2]):
        w = WALLS.index(wall)
        laminate = stack.laminate(wall, station)
        response = wall_response(laminate, ROOM, loads.running[0][w], loads.fixed[0][w])
        Yt = strengths(stack, station)
        each = [
            MATRIX.criterion.ratio(
                response.load_stress[:, :, i], replace(TOUGH.allowables, Yt=Yt[i] * 1e6),
                residual=response.residual_stress[:, :, i],
            ).min(axis=(0, 2))
            for i in range(len(Yt))
        ]  # fmt: skip
        rows = found.xs((wall, "limit matrix"), level=("wall", "mode"))["ratio"]
        np.testing.assert_allclose(rows.loc[list(CASES)], np.min(each, axis=0), rtol=1e-9)


def test_shear_strength_in_situ_where_declared():
    """As `laminate.in_situ(shear=True)`; the bound of the search stays below it, and missing data name their test."""
    declared = replace(MATRIX, in_situ_shear=True)
    tough = replace(TOUGH, GIIc=787.9, shear_nonlinearity=2.98e-26)
    stack = book((45, 0, 90, 90, 0), {0}, tough)
    for station in (0.1, 0.4):
        places = ply_places(stack, "aft", station, LENGTH)
        for i, a in enumerate(in_situ(stack.laminate("aft", station), shear=True)):
            found = judged_allowables(declared, ROOM, tough, places[i])[0]
            bound = judged_allowables(declared, ROOM, tough, places[i], thin=False)[0]
            assert (found.S, found.Yt) == pytest.approx((a.S, a.Yt), rel=1e-9)
            assert tough.allowables.S <= bound.S <= found.S
    with pytest.raises(ValueError, match=r"GIIc.*ASTM D7905"):
        margins(
            Strut(MOLD_LINE, book((0, 90, 0), ())), LOADS, replace(JUDGED, checks=(declared,)), stations=[0.1]
        )
    with pytest.raises(ValueError, match="S alone is not raised"):
        replace(declared, in_situ=False)


def test_the_search_judges_a_covered_ply_as_the_table_does():
    """Without GIc both take the thick form; with it the search stays below the table."""
    lat = lattice(1, most=(3, 2, 2))
    every = np.arange(len(lat.candidates))
    station = np.full(len(every), 0.19)
    for tape, equal in ((TAPE, True), (TOUGH, False)):
        kinds = [replace(k, lamina=tape) if k.lamina is TAPE else k for k in lat.kinds]
        own = replace(lat, kinds=kinds, mold_line=STRAIGHT)
        forces = Strut(STRAIGHT, own.book([[1, 1, 1]])).span.forces(LOADS, at=[0.19])[:, 0]
        loads = np.broadcast_to(forces, (len(every), *forces.shape))
        got = (
            Feasibility(lattice=own, requirement=JUDGED)
            .reserve(every, station, loads)[:, :, :2]
            .min(axis=(1, 2, 4))
        )
        plain = Feasibility(lattice=own, requirement=replace(JUDGED, checks=(COUPON,)))
        bare = plain.reserve(every, station, loads)[:, :, :2].min(axis=(1, 2, 4))
        caps = [WALLS.index(name) for name in CAPS]
        for i in range(0, len(every), 3):
            counts = own.candidates[i]
            strut = Strut(STRAIGHT, own.book(counts[None]))
            table = np.full(len(WALLS), np.inf)
            for r in station_ratios(strut, 0.19, forces[None], JUDGED):
                if r.mode == "limit matrix":
                    table[r.wall] = min(table[r.wall], r.ratio.min())
            assert (got[i] <= table * (1 + 1e-9)).all()
            assert (got[i] >= bare[i] * (1 - 1e-9)).all()
            if equal:
                np.testing.assert_allclose(got[i], table, rtol=1e-9)
            if counts[0]:
                assert (got[i, caps] > bare[i, caps]).any()


def test_a_cover_that_may_end_is_no_cover():
    """The wrap outside the tape may end at a drop, where the tape is then an outer ply: the coupon's strength."""
    lat = lattice(1, most=(2, 1, 1))
    kinds = [replace(k, least=0) if k.lamina is CLOTH else k for k in lat.kinds]
    kinds = [replace(kinds[0], least=1, walls=WALLS), *kinds[1:]]
    loose = replace(lat, kinds=kinds)
    every = np.arange(len(loose.candidates))
    forces = np.broadcast_to([[3e3, 1e3, -2e3, 500.0, 900.0, -1500.0]], (len(every), 1, 6))
    station = np.full(len(every), 0.1)
    one, other = (
        Feasibility(lattice=loose, requirement=replace(JUDGED, checks=(check,))).reserve(
            every, station, forces
        )
        for check in (MATRIX, COUPON)
    )
    np.testing.assert_allclose(one, other, rtol=1e-12)


def test_the_lightest_book_holds_at_every_drop():
    """Both levels, in-situ strengths: all deciding rows of the printed table, both sides of each drop among them."""

    def offset(lamina):
        return replace(lamina, allowables=replace(lamina.allowables, S02=50e6))

    lat = lattice(2, most=(4, 2, 1))
    lat = replace(lat, kinds=[replace(kind, lamina=offset(kind.lamina)) for kind in lat.kinds])
    required = replace(JUDGED, checks=recommended())
    found = lightest(lat, LOADS.times(0.5), required, cases=CASES)
    deciding = found.margins[found.margins["decides"]]
    assert set(deciding["level"]) == {"limit", "ultimate"}
    assert deciding["margin"].min() >= -1e-9
    drops = found.strut.ply_book.drops
    assert drops.size
    stations = np.concatenate([drops, before(drops, LENGTH), np.linspace(0.0, LENGTH, 17)])
    fine = margins(found.strut, LOADS.times(0.5), required, stations=np.unique(stations), cases=CASES)
    assert fine.loc[fine["decides"], "margin"].min() >= -1e-9
