"""The lightest chain of bays: dynamic programming over counts that never grow toward the tip."""

import numpy as np
from numpy.typing import NDArray

from beam.sizing.lattice import Counts
from materials.checks import Array

Mask = NDArray[np.bool_]


def may_follow(inboard: Counts, outboard: Counts, ending: Array, room: float, most_ending: int) -> Mask:
    """Which counts, shape (a, kind), may lie inboard of which, shape (b, kind), over one boundary: shape (a, b).

    No count grows outboard, no kind ends more than `most_ending` groups, and no wall more thickness than `room` [m].
    `ending` is the thickness that one group of a kind adds to a wall, shape (kind, wall) [m].
    """
    allowed = np.ones((len(inboard), len(outboard)), dtype=bool)
    for column in range(inboard.shape[1]):
        ends = inboard[:, None, column] - outboard[None, :, column]
        allowed &= (ends >= 0) & (ends <= most_ending)
    for wall in np.unique(ending, axis=1).T:
        allowed &= (inboard @ wall)[:, None] - (outboard @ wall)[None, :] <= room * (1 + 1e-12)
    return allowed


def cheapest_chain(
    mass: Array, open_: Mask, counts: Counts, ending: Array, room: Array, most_ending: int
) -> tuple[float, NDArray[np.int64]]:
    """Least total mass of a chain of bays [kg], and the chain, shape (bay,); inf and empty if no chain is open.

    The value of a candidate is its own mass plus the least value of what may follow it, from the tip inwards. Every
    chain is covered, so the value at the root is the exact minimum over all chains of open candidates. `mass` and
    `open_` have shape (bay, candidate), `room` shape (bay - 1,). Ties go to the candidate listed first.
    """
    chosen = [np.flatnonzero(row) for row in open_]
    if not all(one.size for one in chosen):
        return np.inf, np.empty(0, dtype=np.int64)
    value = mass[-1, chosen[-1]]
    best: list[NDArray[np.int64]] = []
    for bay in range(len(mass) - 2, -1, -1):
        follow = may_follow(counts[chosen[bay]], counts[chosen[bay + 1]], ending, room[bay], most_ending)
        onward = np.where(follow, value, np.inf)
        best.append(onward.argmin(axis=1))
        value = mass[bay, chosen[bay]] + onward.min(axis=1)
    place = int(value.argmin())
    total = float(value[place])
    if not np.isfinite(total):
        return np.inf, np.empty(0, dtype=np.int64)
    places = [place]
    for step in reversed(best):
        places.append(int(step[places[-1]]))
    return total, np.array([one[i] for one, i in zip(chosen, places, strict=True)], dtype=np.int64)
