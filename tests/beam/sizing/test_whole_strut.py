"""Limits of the whole strut and supports in the search, against every book judged by the margin table alone."""

from dataclasses import replace
from functools import cache
from itertools import product

import numpy as np
import pytest
from small_strut import LENGTH, LOADS, MOLD_LINE, REQUIREMENT, lattice

from beam.sizing import InfeasibleSizing, lightest
from beam.sizing.problem import broken_rule
from beam.strength.margins import margins
from beam.strength.requirement import TipLimit
from beam.strut import PointLoads, PointMass, Strut, Support

COLD = replace(REQUIREMENT, services=REQUIREMENT.services[1:], corner_opening=False)
SMALL = lattice(2, most=(2, 2, 1))
CARRIED = (PointMass(at=LENGTH, mass=8.0, arm=[0.0, 0.2, 0.0]),)
FEW = lattice(2, most=(3, 1, 1))
LIGHT = LOADS.times(0.3)

HALF = LOADS.times(0.5)
EACH = tuple(HALF.take([i]) for i in range(3))

LINE = replace(MOLD_LINE, tip=[0, 0, -4.0], stations=[0, 1.6, 4.0])
SLENDER = replace(FEW, mold_line=LINE, stations=[0.0, 2.0, 4.0])
PUSH = PointLoads(at=[2.0, 4.0], force=[[[-1e2, 0, 0], [-1.0e3, 0, 0]], [[0, 0, 0], [-2.2e3, 2, 0]]])

BEARINGS = (
    Support.point(0.0, np.eye(3), arm=[0.0, 0.05, 0.0], name="bearing 1"),
    Support.point(0.0, [[1, 0, 0], [0, 0, 1]], arm=[0.0, -0.05, 0.0], name="bearing 2"),
)
BRACE = Support.point(0.3, [[-0.5, 0.1, 0.8]], arm=[0.0, 0.02, 0.0], stiffness=2e7, name="brace")
LOCK = Support.point(0.1, [[0.0, 0.0, 1.0]], name="up-lock")
HELD = (*BEARINGS, BRACE)


@cache
def slender(factor):
    return PUSH.times(factor)


TOE = TipLimit(name="toe", form=(0.0, 0.0, 0.0, 0.2, 0.7, 0.1), limit=1.0)
UNIT = {"deflection_limit": 1.0, "twist_limit": 1.0, "frequency_limit": 1.0}
MODES = {"deflection_limit": "deflection", "twist_limit": "twist", "frequency_limit": "lowest frequency"}
MODES["toe"] = "toe"


@cache
def every(lattice, loads, supports, carried):
    """(mass, least margin without limits, least reserve at limits of 1) of each book, by its own margin table alone."""
    out = []
    required = replace(COLD, **UNIT, carried=carried, tip_limits=(TOE,))
    for chain in product(range(len(lattice.candidates)), repeat=lattice.bays):
        counts = lattice.candidates[list(chain)]
        if broken_rule(lattice, counts) is None:
            strut = Strut(lattice.mold_line, lattice.book(counts))
            table = margins(strut, loads, required, supports=supports)
            lowest = table.loc[table["decides"], "reserve"].groupby(level="mode", observed=True).min()
            others = lowest.drop(list(MODES.values())).min() - 1
            out.append((strut.mass, others, {name: lowest[mode] for name, mode in MODES.items()}))
    return out


def margin(book, limits):
    """Least margin of one of `every` at some limits: reserves of motions grow with the limit, of frequency fall."""
    spare = [book[2][n] * (1 / x if n == "frequency_limit" else x) - 1 for n, x in limits.items()]
    return min([book[1], *spare])


def check(lattice, loads, limits, supports=None, carried=()):
    """The book found is the lightest that holds, and it is none only if none holds; the mass, nan if none."""
    books = every(lattice, loads, supports, carried)
    holds = [one[0] for one in books if margin(one, limits) >= -1e-9]
    given = {name: one for name, one in limits.items() if name != "toe"}
    tips = [replace(TOE, limit=one) for name, one in limits.items() if name == "toe"]
    required = replace(COLD, **given, carried=carried, tip_limits=tips)
    if not holds:
        with pytest.raises(InfeasibleSizing):
            lightest(lattice, loads, required, supports=supports)
        return np.nan
    got = lightest(lattice, loads, required, supports=supports)
    assert got.mass == pytest.approx(min(holds), rel=1e-12)
    assert got.bound == pytest.approx(min(holds), rel=1e-12)
    assert got.margins.loc[got.margins["decides"], "margin"].min() >= -1e-9
    return got.mass


LIMITS = {
    "deflection_limit": (0.008, 0.0045, 0.0033, 0.0001),
    "twist_limit": (0.02, 0.0145, 0.012, 0.0001),
    "toe": (0.02, 0.01, 0.007, 0.0001),
    "frequency_limit": (20.0, 33.0, 37.0, 500.0),
}


@pytest.mark.parametrize("name", LIMITS)
def test_each_limit_of_the_whole_strut(name):
    """From one that binds nothing to one that no book keeps; the tighter, the heavier."""
    masses = [check(SMALL, LIGHT, {name: one}, carried=CARRIED) for one in LIMITS[name]]
    known = [one for one in masses if np.isfinite(one)]
    assert np.isnan(masses[-1])
    assert len(known) == 3
    assert (np.diff(known) >= 0).all()
    assert known[-1] > known[0]


def test_several_limits_together():
    alone = check(SMALL, LIGHT, {"toe": 0.0095}, carried=CARRIED)
    both = {"toe": 0.0095, "twist_limit": 0.0145, "frequency_limit": 36.0}
    assert check(SMALL, LIGHT, both, carried=CARRIED) > alone


@pytest.mark.parametrize("factor", [0.3, 1.0, 8.0])
def test_the_column(factor):
    mass = check(SLENDER, slender(factor), {})
    assert np.isnan(mass) == (factor == 8.0)


@pytest.mark.parametrize("limits", [{}, {"deflection_limit": 0.0055}])
def test_determinate_supports(limits):
    """A brace takes some of the bending: the forces follow from equilibrium, the proof stays full."""
    braced, clamped = (check(FEW, HALF, limits, one) for one in (HELD, None))
    assert braced != pytest.approx(clamped)


def test_every_case_on_its_own_supports():
    """Down and locked, in transit on another point, clamped: one table, and the lightest book for all of them."""
    sets, limits = (HELD, (*BEARINGS, LOCK), ()), {"deflection_limit": 0.01}
    mass = check(FEW, HALF, limits, sets)
    alone = [check(FEW, one, limits, own or None) for one, own in zip(EACH, sets, strict=True)]
    assert mass >= max(alone)


STRAIGHT = replace(
    FEW, mold_line=replace(MOLD_LINE, width=[0.09] * 3, height=[0.07] * 3, corner_radius=[0.018] * 3)
)
STAY = Support.point(0.3, [[0.0, 0.6, 0.8]], stiffness=5e6, name="stay")
PIN = Support.point(LENGTH, [[0.0, 1.0, 0.0]], stiffness=2e6, name="pin")


@cache
def judged(lattice, loads, required, supports):
    """(mass, least margin that decides) of each book, by its own margin table alone."""
    out = []
    for chain in product(range(len(lattice.candidates)), repeat=lattice.bays):
        counts = lattice.candidates[list(chain)]
        if broken_rule(lattice, counts) is None:
            strut = Strut(lattice.mold_line, lattice.book(counts))
            table = margins(strut, loads, required, supports=supports)
            out.append((strut.mass, table.loc[table["decides"], "margin"].min()))
    return out


def redundant(lattice, scale, supports, **changes):
    """The book found on redundant supports, the masses of all books that hold, and the least mass of any book."""
    required = replace(COLD, **{"assembly_temperature": 233.0} | changes)
    loads = LOADS.times(scale)
    books = judged(lattice, loads, required, supports)
    holds = [mass for mass, lowest in books if lowest >= -1e-9]
    return lightest(lattice, loads, required, supports=supports), holds, min(mass for mass, _ in books)


@pytest.mark.parametrize(
    ("scale", "supports"), [(0.4, (Support.clamp(), STAY)), (0.6, (Support.clamp(), PIN))]
)
def test_redundant_supports(scale, supports):
    """The fixed point holds by its own table, and no book that holds is lighter than the bound."""
    got, holds, least = redundant(STRAIGHT, scale, supports)
    assert got.margins.loc[got.margins["decides"], "margin"].min() >= -1e-9
    assert got.bound <= min(holds) * (1 + 1e-9)
    assert got.mass >= min(holds) * (1 - 1e-9)
    assert got.bound > 1.1 * least
    assert "largest change of a section force" in got.held[-1]
    assert "for the section forces of the book found, held" in got.notes[0]
    assert "lower bound for any book" in got.notes[1]


def test_heat_on_redundant_supports_is_held_and_the_bound_is_weaker():
    """Mounted 60 K warmer between two clamps: the cold pulls on the strut, and on the search."""
    stiff = (Support.clamp(), Support.motions(LENGTH, ["u1"], stiffness=1e8, name="pull"))
    got, holds, _ = redundant(STRAIGHT, 0.4, stiff, assembly_temperature=293.0)
    assert got.margins.loc[got.margins["decides"], "margin"].min() >= -1e-9
    assert got.bound <= min(holds) * (1 + 1e-9)
    assert got.mass >= min(holds) * (1 - 1e-9)
    assert "heat or moisture loads the supports" in got.notes[1]


def test_no_book_on_redundant_supports_is_said_only_where_it_is_proved():
    supports = (Support.clamp(), STAY)
    required = replace(COLD, assembly_temperature=233.0)
    assert max(one for _, one in judged(STRAIGHT, LOADS.times(0.9), required, supports)) < 0
    with pytest.raises(InfeasibleSizing, match="no lay-up of the lattice holds in bay 1"):
        lightest(STRAIGHT, LOADS.times(0.9), required, supports=supports)
    with pytest.raises(RuntimeError, match="That none exists is not proved"):
        lightest(FEW, LOADS.times(0.9), required, supports=supports)


def test_supports_that_cannot_be_sized_on_are_refused():
    loose = Support.point(0.3, [[0.0, 0.6, 0.8]], play=1e-3, name="stay")
    required = replace(COLD, assembly_temperature=293.0)
    for wrong, text in (
        ((Support.clamp(), loose), "without|play"),
        ((HELD, HELD), "one set for each of 3 cases"),
        (BEARINGS, "mechanism"),
        ((HELD, (Support.clamp(), PIN), ()), "heat and moisture load redundant supports"),
    ):
        with pytest.raises(ValueError, match=text):
            lightest(STRAIGHT, LOADS.times(0.3), required, supports=wrong)


def test_second_order_in_the_final_judgement():
    """The tip moves an eighth more on the deflected strut: first order is not enough, and the bound is weak."""
    side = PointLoads(at=[4.0], force=[[[-4e2, 20, 0]], [[-5e2, 2, 30]]])
    required = replace(COLD, deflection_limit=0.03, deflection_allowance=1.3)
    books = []
    for chain in product(range(len(SLENDER.candidates)), repeat=2):
        counts = SLENDER.candidates[list(chain)]
        if broken_rule(SLENDER, counts) is None:
            strut = Strut(LINE, SLENDER.book(counts))
            table = margins(strut, side, required, stations=[0.0, 2.0], deflected=True)
            books.append((strut.mass, table.loc[table["decides"], "margin"].min()))
    best = min(mass for mass, lowest in books if lowest >= -1e-9)
    first, second = (lightest(SLENDER, side, required, deflected=one) for one in (False, True))
    assert first.mass < best
    assert second.mass == pytest.approx(best, rel=1e-12)
    assert second.bound == pytest.approx(first.mass, rel=1e-12)
    assert second.margins["margin"].min() >= -1e-9
    assert "deflection in case" in second.held[-2]
    assert "if they grow as much in every book" in second.notes[0]
    with pytest.raises(ValueError, match=r"deflection_allowance \[-\]: got 1.0, must be above 1\.22"):
        lightest(SLENDER, PointLoads(at=[4.0], force=[[[-2e3, 200, 0]]]), COLD, deflected=True)
