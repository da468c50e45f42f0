"""The chain of bays against enumeration of every chain."""

from itertools import pairwise, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from beam.sizing.chain import Chains, Drops

ENDING = np.array([[0.4e-3, 0.0], [0.6e-3, 0.6e-3]])


def lawful(counts, chain, room, most_ending, local=(False, False)):
    """The rules for plies that end and start, one boundary and one wall at a time."""
    for bay, (a, b) in enumerate(pairwise(chain)):
        drop = counts[a] - counts[b]
        if (abs(drop) > most_ending).any() or any(
            d < 0 and not may for d, may in zip(drop, local, strict=True)
        ):
            return False
        for side in (1, -1):
            for wall in range(2):
                if sum(max(side * drop[k], 0) * ENDING[k, wall] for k in range(2)) > room[bay] + 1e-15:
                    return False
    return True


@settings(max_examples=120, deadline=None)
@given(st.integers(0, 2**32 - 1), st.booleans(), st.booleans())
def test_equals_enumeration(seed, first_local, second_local):
    rng = np.random.default_rng(seed)
    counts = np.array(list(product(range(1, 4), range(1, 3))))
    local = first_local, second_local
    bays, most_ending = int(rng.integers(1, 5)), int(rng.integers(1, 3))
    mass = rng.uniform(0.1, 1.0, (bays, len(counts)))
    open_ = rng.random(mass.shape) < 0.6
    room = rng.choice([0.3e-3, 0.7e-3, 1.5e-3], bays - 1)
    # Limits of each bay that hold the open lay-ups: counts of the first kind from 1 or 2, of the second up to 1 or 2.
    low, high = np.array([[1, 1]] * bays), np.array([[3, 2]] * bays)
    low[:, 0], high[:, 1] = rng.integers(1, 3, bays), rng.integers(1, 3, bays)
    open_ &= ((counts >= low[:, None]) & (counts <= high[:, None])).all(axis=-1)
    chains = Chains(counts, ENDING, room, most_ending, local=local, limits=(low, high))
    masses = np.where(open_, mass, np.inf)
    to_tip, from_root = chains.outboard(masses), chains.inboard(masses)
    total = to_tip[0].min()
    chain = chains.follow(to_tip) if np.isfinite(total) else ()
    best, which, through = np.inf, None, np.full(mass.shape, np.inf)
    for one in product(range(len(counts)), repeat=bays):
        if all(open_[b, c] for b, c in enumerate(one)) and lawful(counts, one, room, most_ending, local):
            heavy = sum(mass[b, c] for b, c in enumerate(one))
            through[range(bays), one] = np.minimum(through[range(bays), one], heavy)
            if heavy < best:
                best, which = heavy, one
    assert total == pytest.approx(best, rel=1e-12)
    assert tuple(chain) == (which or ())
    np.testing.assert_allclose(to_tip + from_root - np.where(open_, mass, 0.0), through, rtol=1e-12)


def test_counts_never_grow_and_endings_fit_the_room():
    counts = np.array([[1, 1], [2, 1], [2, 2], [4, 1]])
    drops = Drops.at(ENDING, 0.8e-3, np.array([2, 2]))
    drop = counts[:, None] - counts[None]
    inside = ((drop >= 0) & (drop <= 2)).all(axis=-1)
    follow = inside & drops.allowed[tuple(np.clip(drop, 0, 2).reshape(-1, 2).T)].reshape(inside.shape)
    assert sorted(map(tuple, drops.largest.tolist())) == [(0, 1), (2, 0)]
    expected = np.array(
        [
            [True, False, False, False],
            [True, True, False, False],
            [False, True, True, False],  # (2,2) to (1,1) would end 1.0 mm in the cap
            [False, True, False, True],  # (4,1) to (1,1) would end three groups; (4,1) to (2,1) ends 0.8 mm
        ]
    )
    np.testing.assert_array_equal(follow, expected)
