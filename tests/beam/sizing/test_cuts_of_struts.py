"""What cuts and bounds are made of: sums over the bays against the struts themselves, without any search."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from small_strut import LENGTH, LOADS, MOLD_LINE, REQUIREMENT, lattice

from beam.sizing.problem import broken_rule
from beam.sizing.reaction_range import _least_of_convex, _Relaxed
from beam.sizing.search import Search
from beam.strength.margins import check_stations, margins
from beam.strut import PointLoads, PointMass, Strut, Support

COLD = replace(REQUIREMENT, services=REQUIREMENT.services[1:], corner_opening=False)
FEW = lattice(2, most=(3, 1, 1))
STRAIGHT = replace(
    FEW, mold_line=replace(MOLD_LINE, width=[0.09] * 3, height=[0.07] * 3, corner_radius=[0.018] * 3)
)
SOFT = (
    Support.point(0.0, np.eye(3), arm=[0.0, 0.05, 0.0], name="bearing 1"),
    Support.point(0.0, [[1, 0, 0], [0, 0, 1]], arm=[0.0, -0.05, 0.0], stiffness=4e6, name="bearing 2"),
    Support.point(0.3, [[-0.5, 0.1, 0.8]], arm=[0.0, 0.02, 0.0], stiffness=2e6, name="brace"),
)
PROPPED = (Support.clamp(), Support.point(0.3, [[0.0, 0.6, 0.8]], stiffness=5e6, name="stay"))
COUNTS = np.array([[2, 1, 1], [1, 1, 1]])


def failed(required, supports, loads=LOADS):
    """The search, the chain of `COUNTS` and what that book fails as a whole."""
    search = Search(FEW, loads, required, str, supports)
    strut = Strut(FEW.mold_line, FEW.book(COUNTS), supports=supports)
    chain = np.array([int(np.flatnonzero((search.counts == n).all(axis=1))[0]) for n in COUNTS])
    return search.whole, chain, search.whole.failing(search.struts(strut))


@pytest.mark.parametrize("supports", [None, SOFT])
def test_the_sum_over_the_bays_is_the_strut_s_own_motion_or_energy(supports):
    required = replace(COLD, deflection_limit=1e-3, twist_limit=1e-3, frequency_limit=4e3,
                       carried=(PointMass(at=LENGTH, mass=2.0),))  # fmt: skip
    whole, chain, found = failed(required, supports)
    assert {one.mode for one in found} == {"deflection", "twist", "lowest frequency"}
    for one in found:
        whole.cut(one, chain, "drag")
        over = whole._values[-1][[0, 1], chain].sum() - whole._limits[-1]
        # Of frequency: energy 1 in all, and as much inertia as the square of the frequency asked for makes it.
        expected = 1 / one.reserve**2 - 1 if one.mode == "lowest frequency" else 1 / one.reserve - 1
        assert over == pytest.approx(expected, rel=1e-6)


def test_the_cut_of_a_column_is_its_factor():
    push = PointLoads(at=[LENGTH], force=[[[-6e6, 0.0, 0.0]]])
    whole, chain, found = failed(COLD, SOFT, push)
    (one,) = found
    whole.cut(one, chain, "push")
    over = whole._values[-1][[0, 1], chain].sum() - whole._limits[-1]
    assert over == pytest.approx(1 - one.reserve, rel=1e-6)


def test_the_range_of_the_reaction_is_that_of_all_books():
    search = Search(STRAIGHT, LOADS, replace(COLD, assembly_temperature=233.0), str, PROPPED)
    search.rest_on([Strut(STRAIGHT.mold_line, STRAIGHT.book(COUNTS), supports=PROPPED)], ())
    free = _Relaxed(search, np.inf)
    low, high = free._range(0)
    extra = np.setdiff1d(np.arange(7), search.spans[0].held.primary)[0]
    every = []
    for chain in product(range(len(search.counts)), repeat=2):
        counts = search.counts[list(chain)]
        if broken_rule(STRAIGHT, counts) is None:
            strut = Strut(STRAIGHT.mold_line, STRAIGHT.book(counts), supports=PROPPED)
            every.append(strut.span.reactions(LOADS)[:, extra])
    np.testing.assert_allclose(low, np.min(every, axis=0), rtol=1e-6)
    np.testing.assert_allclose(high, np.max(every, axis=0), rtol=1e-6)
    assert (high - low > 0.01 * np.abs(low)).all()


def test_chords_stay_below_a_convex_function():
    rng = np.random.default_rng(1)
    lines, x = rng.normal(size=(200, 5, 2)), np.linspace(-1.0, 2.0, 13)
    inside = np.linspace(x[1], x[-2], 4001)
    values, fine = ((lines[..., :1] * s + lines[..., 1:]).max(axis=1) for s in (x, inside))
    bound, least = _least_of_convex(values), fine.min(axis=1)
    assert (bound <= least + 1e-12).all()
    assert (bound >= least - 0.5).all()
    assert np.median(least - bound) < 0.02


def test_heat_on_redundant_supports_counts_in_the_search_as_in_the_table():
    """Mounted 60 K warmer and held between two clamps: lowest reserve of every station, tube without taper."""
    supports = (Support.clamp(), Support.motions(LENGTH, ["u1"], name="pull"))
    required = replace(COLD, assembly_temperature=293.0)
    book = STRAIGHT.book(COUNTS[[0, 0]])
    strut = Strut(STRAIGHT.mold_line, book, supports=supports)
    search = Search(STRAIGHT, LOADS, required, str, supports)
    search.rest_on([strut], ())
    candidate = int(np.flatnonzero((search.counts == COUNTS[0]).all(axis=1))[0])
    left_out = ["curved wall buckling", "column"]
    lowest = []
    for warm in (required, replace(required, assembly_temperature=233.0)):
        table = margins(strut, LOADS, warm, stations=search.every)
        lowest.append(table[table["decides"]].drop(left_out, level="mode")["reserve"].min())
    found = min(float(search.reserve(candidate, bay).min()) for bay in range(2))
    assert found == pytest.approx(lowest[0], rel=1e-6)
    assert lowest[1] != pytest.approx(lowest[0], rel=1e-3)


def test_margins_are_found_on_both_sides_of_a_support():
    strut = Strut(MOLD_LINE, FEW.book(COUNTS), supports=SOFT)
    found = check_stations(strut, LOADS)
    beside = found[np.abs(found - 0.3) < 1e-6]
    assert len(beside) == 3
    assert beside[0] < 0.3 < beside[-1]
