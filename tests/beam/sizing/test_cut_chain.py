"""The lightest chain under limits that add up over the bays, against all chains listed."""

from itertools import product

import numpy as np
import pytest

from beam.sizing.chain import Chains
from beam.sizing.cut_chain import Cuts, lightest_under

COUNTS = np.array(list(product(range(3), range(2))))
ENDING = np.array([[1.0, 0.0], [0.4, 1.0]])


def problem(seed, bays=4, cuts=2):
    """Random masses that grow with the counts, random values of either sign, and limits that bind."""
    rng = np.random.default_rng(seed)
    chains = Chains(COUNTS, ENDING, rng.uniform(0.5, 2.5, size=bays - 1), most_ending=2)
    mass = 1.0 + COUNTS.sum(axis=1) + rng.uniform(0.0, 0.5, size=(bays, len(COUNTS)))
    mass[rng.random(mass.shape) < 0.1] = np.inf
    value = rng.normal(size=(cuts, bays, len(COUNTS))) - 0.5 * COUNTS.sum(axis=1)
    every = np.array(list(product(range(len(COUNTS)), repeat=bays)))
    keep = np.isfinite(mass[np.arange(bays), every].sum(axis=1))
    for bay in range(bays - 1):
        pairs = np.zeros((len(COUNTS), len(COUNTS)), dtype=bool)
        for one in range(len(COUNTS)):
            pairs[one, chains.after(bay, one)] = True
        keep &= pairs[every[:, bay], every[:, bay + 1]]
    every = every[keep]
    sums = value[:, np.arange(bays), every].sum(axis=-1).T
    limit = np.quantile(sums, rng.uniform(0.0, 0.4, size=cuts), axis=0)[0] if len(every) else np.zeros(cuts)
    return chains, mass, Cuts(value, limit), every, sums


@pytest.mark.parametrize("cuts", [1, 2, 3])
@pytest.mark.parametrize("seed", range(25))
def test_equals_the_list_of_all_chains(seed, cuts):
    chains, mass, limits, every, sums = problem(seed, cuts=cuts)
    met = (sums <= limits.limit).all(axis=1) if len(every) else np.zeros(0, dtype=bool)
    found = lightest_under(chains, mass, limits)
    if not met.any():
        assert found.chain is None
        assert found.bound == np.inf
        return
    best = mass[np.arange(4), every[met]].sum(axis=1).min()
    assert found.mass == pytest.approx(best, rel=1e-12)
    assert found.bound == pytest.approx(best, rel=1e-12)
    assert limits.met(found.chain)
    assert (every == found.chain).all(axis=1).any()
    assert lightest_under(chains, mass, limits, at_most=0.999 * best).chain is None
    assert lightest_under(chains, mass, limits, at_most=1.001 * best).mass == pytest.approx(best, rel=1e-12)


def test_cuts_bind_in_these_problems():
    """Otherwise the test above would prove nothing: limits make most of the books heavier, some impossible."""
    heavier = impossible = 0
    for seed in range(25):
        _, mass, limits, every, sums = problem(seed)
        if len(every):
            total = mass[np.arange(4), every].sum(axis=1)
            met = (sums <= limits.limit).all(axis=1)
            heavier += bool(met.any() and total[met].min() > total.min())
            impossible += not met.any()
    assert heavier >= 10
    assert impossible >= 2


def test_when_too_many_pieces_are_left_the_bound_is_still_one(monkeypatch):
    chains, mass, limits, every, sums = problem(1)
    best = mass[np.arange(4), every[(sums <= limits.limit).all(axis=1)]].sum(axis=1).min()
    monkeypatch.setattr("beam.sizing.cut_chain.PIECES", 0)
    found = lightest_under(chains, mass, limits)
    assert found.bound <= best * (1 + 1e-12)
    assert found.mass >= best * (1 - 1e-12)
