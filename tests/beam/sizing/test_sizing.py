"""The lightest book against full enumeration by the margin table, and what the search says when there is none."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from enumeration import Enumeration
from scipy.optimize import Bounds, LinearConstraint, milp
from small_strut import CASES, LOADS, MOLD_LINE, REQUIREMENT, lattice

from beam.sizing import InfeasibleSizing, lightest
from beam.sizing.diagnosis import why_not
from beam.sizing.lattice import wall_thickness
from beam.sizing.search import Search
from beam.strength.margins import margins

# Corner opening has an enumeration of its own, in test_margin_recheck.
PLAIN = replace(REQUIREMENT, corner_opening=False)
COLD = replace(PLAIN, services=PLAIN.services[1:])


@cache
def found(bays, scale):
    """The lightest book of the small lattice under scaled loads."""
    return lightest(lattice(bays), LOADS.times(scale), PLAIN, cases=CASES)


@pytest.mark.parametrize("scale", [0.3, 0.5])
def test_equals_full_enumeration(scale):
    """At both rules for ending plies; four whole books are judged as such, the lightest among them."""
    judged = Enumeration(lattice(2, most=(2, 2, 1)), LOADS.times(scale), COLD)
    for most_ending in (9, 1):
        judged.lattice = lattice(2, most=(2, 2, 1), most_ending=most_ending)
        every = list(judged.books())
        feasible = [row for row in every if row[2] >= -1e-9]
        assert 0 < len(feasible) < len(every)
        best, chain, lowest, _ = min(feasible, key=lambda row: row[0])
        for _, other, margin, _ in (every[0], every[len(every) // 2], every[-1]):
            assert judged.table(judged.counts(other))["margin"].min() == pytest.approx(margin, rel=1e-9)
        got = lightest(judged.lattice, judged.loads, COLD, cases=CASES)
        assert got.mass == pytest.approx(best, rel=1e-12)
        np.testing.assert_array_equal(got.counts, judged.counts(chain))
        assert got.margins["margin"].min() == pytest.approx(lowest, rel=1e-9)
        assert got.bound == pytest.approx(best, rel=1e-12)
        assert abs(got.gap) < 1e-12
        assert got.bay_mass.sum() == pytest.approx(best, rel=1e-12)


def test_heavier_loads_never_make_a_lighter_strut():
    masses = [found(3, f).mass for f in (0.2, 0.5, 0.8)]
    assert (np.diff(masses) >= 0).all()
    assert masses[-1] > masses[0]


def test_every_margin_of_the_winner_holds_on_a_fine_grid():
    got, loads = found(3, 0.8), LOADS.times(0.8)
    fine = margins(got.strut, loads, PLAIN, stations=np.linspace(0.0, MOLD_LINE.length, 47))
    assert fine["margin"].min() >= -1e-9


def test_infeasible_names_bay_case_station_mode_and_how_far_off():
    with pytest.raises(InfeasibleSizing) as caught:
        lightest(lattice(2), LOADS.times(6.0), PLAIN, cases=CASES)
    text = str(caught.value)
    for word in ("bay 1", "margin -", "in case", "station", "wall", "mode"):
        assert word in text
    assert any(case in text for case in CASES)


def test_infeasible_without_any_load_blames_the_cure_and_not_a_case():
    hot = [replace(k, lamina=replace(k.lamina, stress_free_temperature=700.0)) for k in lattice(2).kinds]
    kinds = (replace(hot[0], least=1), *hot[1:])
    with pytest.raises(InfeasibleSizing, match="without any load: cure and moisture stress alone") as caught:
        lightest(replace(lattice(2), kinds=kinds), LOADS.times(0.1), PLAIN, cases=CASES)
    assert "in case" not in str(caught.value)


def test_infeasible_as_a_whole_strut():
    stiff = replace(PLAIN, deflection_limit=1e-4)
    with pytest.raises(InfeasibleSizing, match=r"as a whole strut: deflection in case"):
        lightest(lattice(2), LOADS.times(0.5), stiff, cases=CASES)


def test_infeasible_by_the_rule_for_ending_plies():
    """Each bay has a lay-up that holds, but the outboard one is the thicker: no book can have both."""
    search = Search(lattice(2), LOADS.times(0.1), PLAIN, str)
    thick, thin = (int(np.flatnonzero((search.counts == n).all(axis=1))[0]) for n in ([3, 2, 2], [2, 2, 2]))
    search.open_[:] = False
    search.open_[0, thin] = search.open_[1, thick] = True
    assert np.isinf(search.lightest()[0])
    text = why_not(search, np.array(CASES))
    assert "bay 1" in text
    assert "may not grow toward the tip" in text
    assert "at 0.25 m" in text
    assert "of those that can, the best one (" in text
    assert "groups per side) has margin" in text
    assert any(case in text for case in CASES)


def test_labels_must_be_one_for_each_case():
    with pytest.raises(ValueError, match="one label for each"):
        lightest(lattice(), LOADS, PLAIN, cases=CASES[:1])


def test_progress_is_told():
    said = []
    lightest(lattice(), LOADS.times(0.5), PLAIN, progress=said.append)
    assert any("bay 2" in line for line in said)
    assert any("no book can be lighter than" in line for line in said)


@pytest.mark.parametrize("scale", [0.4, 0.7, 1.0])
def test_whatever_is_closed_fails_a_case_of_its_own_bay(scale):
    """The proof stands on this: a lay-up is closed only if it fails somewhere in its bay, judged in full."""
    search = Search(lattice(3), LOADS.times(scale), PLAIN, str)
    while np.isfinite(search.lightest()[0]) and search.judge(search.lightest()[1]):
        pass
    closed = np.argwhere(np.isfinite(search.mass) & ~search.open_)
    assert len(closed) > 0
    for bay, candidate in closed.tolist():
        assert search.reserve(candidate, bay).min() < 1


@pytest.mark.parametrize("scale", [0.4, 0.7])
def test_an_integer_program_on_the_same_tables_finds_the_same_mass(scale):
    """Second way for the search and its chains: every lay-up judged in every case, then `scipy.optimize.milp`."""
    grid = replace(lattice(4, most=(6, 3, 2), most_ending=2), drop_length=60.0)
    search = Search(grid, LOADS.times(scale), PLAIN, str)
    counts, bays = search.counts, grid.bays
    every, able = np.arange(len(counts)), np.isfinite(search.mass)
    for bay in range(bays):
        for station, forces in zip(search.stations[bay], search.forces[bay], strict=True):
            some = every[able[bay]]
            F = np.broadcast_to(forces, (len(some), *forces.shape))
            lowest = search.feasibility.reserve(some, np.full(len(some), station), F, factors=search.factors)
            able[bay, some] &= lowest.min(axis=(1, 2, 3, 4)) >= 1
    one = np.kron(np.eye(bays), np.ones(len(counts)))
    step = np.eye(bays)[:-1] - np.eye(bays)[1:]
    drops = [(np.kron(step, column), 0.0, np.full(bays - 1, 2.0)) for column in counts.T]
    thinner = [
        (np.kron(step, t), -np.inf, grid.most_dropped * (1 + 1e-12)) for t in wall_thickness(grid, counts).T
    ]
    rules = [LinearConstraint(A, low, high) for A, low, high in ((one, 1.0, 1.0), *drops, *thinner)]
    mass = np.where(np.isfinite(search.mass), search.mass, 0.0).ravel()
    found = milp(
        mass,
        integrality=np.ones(mass.size),
        bounds=Bounds(0.0, able.ravel().astype(float)),
        constraints=rules,
    )
    assert found.success
    got = lightest(grid, LOADS.times(scale), PLAIN)
    assert got.bound == pytest.approx(found.fun, rel=1e-9)
    assert len({tuple(n) for n in got.counts.tolist()}) > 1
