"""The chain of bays against enumeration of every chain."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from beam.sizing.chain import cheapest_chain, may_follow


def enumerate_chains(mass, open_, follow):
    best = (np.inf, None)
    for chain in product(range(mass.shape[1]), repeat=len(mass)):
        if not all(open_[b, c] for b, c in enumerate(chain)):
            continue
        if not all(follow[b][chain[b], chain[b + 1]] for b in range(len(mass) - 1)):
            continue
        total = sum(mass[b, c] for b, c in enumerate(chain))
        best = min(best, (total, chain))
    return best


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_equals_enumeration(seed):
    rng = np.random.default_rng(seed)
    bays, candidates = rng.integers(1, 5), rng.integers(1, 6)
    mass = rng.uniform(0.1, 1.0, (bays, candidates))
    open_ = rng.random(mass.shape) < 0.7
    follow = [rng.random((candidates, candidates)) < 0.6 for _ in range(bays - 1)]
    total, chain = cheapest_chain(mass, open_, follow)
    best, which = enumerate_chains(mass, open_, follow)
    assert total == pytest.approx(best, rel=1e-12)
    if np.isfinite(best):
        assert tuple(chain) == which


def test_nothing_open_is_infinite():
    total, _ = cheapest_chain(np.ones((2, 2)), np.zeros((2, 2), dtype=bool), [np.ones((2, 2), dtype=bool)])
    assert total == np.inf


def test_counts_never_grow_and_drops_fit_the_room():
    counts = np.array([[1, 1], [2, 1], [2, 2], [4, 1]])
    thickness = counts @ np.array([[0.4e-3, 0.0], [0.6e-3, 0.6e-3]])
    follow = may_follow(counts, thickness, room=0.8e-3)
    expected = np.array(
        [
            [True, False, False, False],
            [True, True, False, False],
            [False, True, True, False],  # (2,2)->(1,1) ends 1.0 mm in the cap
            [False, True, False, True],  # (4,1)->(1,1) ends 1.2 mm; (4,1)->(2,1) ends 0.8 mm
        ]
    )
    np.testing.assert_array_equal(follow, expected)
