"""Strengths in situ in the search: a bound on the safe side, and where it is the strength of the stack itself.

Without GIc the thick form holds, which asks only whether a tape is covered. Plies of another direction that never end
cover it in every stack of the lattice, on both sides of every ply drop.
"""

from dataclasses import replace

import numpy as np
import pytest
from enumeration import Enumeration
from small_strut import CLOTH, LOADS, MOLD_LINE, REQUIREMENT, TAPE, WALLS, lattice

from beam.sizing import PlyKind, lightest
from beam.sizing.feasibility import Feasibility
from beam.strength.check import Check
from beam.strength.station_ratios import station_ratios
from beam.strut import Strut
from beam.strut.point_loads import before
from laminate.failure import Puck

MATRIX = Check(criterion=Puck(fiber=False), level="limit", name="matrix", applies_to="tape", in_situ=True)
REQUIRED = replace(REQUIREMENT, services=REQUIREMENT.services[1:], corner_opening=False, checks=(MATRIX,))


def small(GIc=None, local=False):
    """Two bays with a drop between them; `local` adds a doubler of cloth that lies in the second."""
    lat = lattice(2, most=(3, 2, 1))
    kinds = [replace(k, lamina=replace(TAPE, GIc=GIc)) if k.lamina is TAPE else k for k in lat.kinds]
    if local:
        more = {"lamina": CLOTH, "walls": WALLS, "least": 0, "most": 1, "start": 0.25}
        kinds.append(PlyKind(name="pad", angles_deg=(45.0, -45.0), depth=-2.0, pitch=1.0, **more))
    return replace(lat, kinds=kinds)


def pairs(lat, required=REQUIRED):
    """Search and table, lowest reserve of the check on each side of the drop of every book: (book and side, 2)."""
    judge, out = Feasibility(lattice=lat, requirement=required), []
    at = np.array([before(0.25, MOLD_LINE.length), 0.25])
    for a, b in np.ndindex(len(lat.candidates), len(lat.candidates)):
        book = lat.candidates[[a, b]]
        grows = (np.diff(book, axis=0)[0] > 0) & [not kind.is_local for kind in lat.kinds]
        if grows.any() or not (lat.allowed[0, a] and lat.allowed[1, b]) or not book[:, 0].all():
            continue
        strut = Strut(MOLD_LINE, lat.book(book))
        forces = np.moveaxis(strut.span.forces(LOADS, at=at), 0, 1)
        judge.held.clear()
        judge.hold([(strut, LOADS, np.arange(len(LOADS.force)))], at)
        found = judge.reserve(np.array([a, b]), at, forces)[:, :, 0].min(axis=(1, 2, 3))
        for side in range(2):
            rows = [
                r
                for r in station_ratios(strut, float(at[side]), forces[side][None], required)
                if r.mode == "matrix"
            ]
            out.append((found[side], min(r.ratio.min() for r in rows) / REQUIRED.limit_factor))
    return np.array(out)


@pytest.mark.parametrize("local", [False, True])
def test_the_bound_is_exact_without_GIc_under_plies_that_never_end(local):
    found, table = pairs(small(local=local)).T
    np.testing.assert_allclose(found, table, rtol=1e-9)
    assert len(found) > 20
    coupon = pairs(small(local=local), replace(REQUIRED, checks=(replace(MATRIX, in_situ=False),)))[:, 0]
    assert (coupon < 0.9 * found).any(), "the strength in situ must differ from that of the coupon"


def test_the_bound_is_on_the_safe_side_where_a_thin_block_is_stronger():
    """GIc so high that the thin form holds: the search takes less than the stack has, never more."""
    found, table = pairs(small(GIc=600.0)).T
    assert (found <= table * (1 + 1e-9)).all()
    print(
        "reserve of the search over that of the stack, least and mean",
        (found / table).min(),
        (found / table).mean(),
    )
    assert (found < 0.95 * table).any()


def test_equals_full_enumeration():
    every = Enumeration(small(), LOADS.times(0.9), REQUIRED)
    books = list(every.books())
    feasible = [row for row in books if row[2] >= -1e-9]
    assert 0 < len(feasible) < len(books)
    best, chain, lowest, _ = min(feasible, key=lambda row: row[0])
    got = lightest(every.lattice, every.loads, REQUIRED)
    assert got.mass == pytest.approx(best, rel=1e-12)
    np.testing.assert_array_equal(got.counts, every.counts(chain))
    assert got.margins.loc[got.margins["decides"], "margin"].min() == pytest.approx(lowest, rel=1e-9)
