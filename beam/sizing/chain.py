"""The lightest chain of lay-ups from root to tip, on the grid of counts.

What may follow a lay-up outboard is a set of drops: how many groups of each kind end. Where a drop is allowed, so is
one with fewer ends. So the set is a union of boxes from zero to its largest drops, and the least value over a box is a
running minimum along each axis of the grid. Time and memory grow with the number of lay-ups, not its square.

Groups of local kinds may start as well. What starts at a boundary is such a set of its own, so that what may follow is
a union of products of two boxes, and the least over one of these is a running minimum forth and one back.
"""

from collections.abc import Sequence
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.sizing.lattice import Counts
from materials.checks import Array

Mask = NDArray[np.bool_]


class Drops(NamedTuple):
    """Drops that one boundary allows: whether each is, on a grid (kind ...) from 0, and the largest, (drop, kind)."""

    allowed: Mask
    largest: Counts

    @classmethod
    def at(cls, ending: Array, dropped: float, most: Counts) -> "Drops":
        """Drops of at most `most` groups of each kind, (kind,), and `dropped` of thickness in each wall [m].

        `ending` is the thickness that one group of a kind adds to a wall, shape (kind, wall) [m].
        """
        drop = np.stack(np.meshgrid(*(np.arange(m + 1) for m in most), indexing="ij"), axis=-1)
        allowed: Mask = np.asarray((drop @ np.unique(ending, axis=1) <= dropped * (1 + 1e-12)).all(axis=-1))
        largest = allowed.copy()
        for axis in range(len(most)):
            # A drop is not one of the largest if one more group of some kind may end.
            inner = [slice(None)] * len(most)
            outer = list(inner)
            inner[axis], outer[axis] = slice(None, -1), slice(1, None)
            largest[tuple(inner)] &= ~allowed[tuple(outer)]
        return cls(allowed, drop[largest])

    def least(self, value: Array, *, outboard: bool) -> Array:
        """Least value (kind ...) of what may lie outboard of each count, or inboard of it."""
        whole = np.full(value.shape, np.inf)
        for drop in self.largest:
            part = value
            for axis, most in enumerate(drop):
                part = _running_least(part, axis, int(most), outboard=outboard)
            np.minimum(whole, part, out=whole)
        return whole

    def allows(self, drop: Counts) -> Mask:
        """Whether what ends of each drop (..., kind) is allowed; what starts is left out."""
        most = np.array(self.allowed.shape) - 1
        at = tuple(np.moveaxis(np.clip(drop, 0, most), -1, 0))
        return np.asarray(self.allowed[at] & (drop <= most).all(axis=-1))


class Steps(NamedTuple):
    """What one boundary allows: groups that end there, and groups of local kinds that start."""

    ends: Drops
    starts: Drops

    def least(self, value: Array, *, outboard: bool) -> Array:
        """Least value (kind ...) of what may lie outboard of each count, or inboard of it."""
        return self.starts.least(self.ends.least(value, outboard=outboard), outboard=not outboard)

    def allows(self, drop: Counts) -> Mask:
        """Whether each drop (..., kind) is allowed; where it is negative, groups start."""
        return self.ends.allows(drop) & self.starts.allows(-drop)


def _running_least(value: Array, axis: int, most: int, *, outboard: bool) -> Array:
    """Least of each entry and the `most` before it along an axis, or behind it."""
    near, far = (slice(None),) * axis, most + 1
    width = 1
    while width < far:
        step = min(width, far - width)
        ahead, back = (*near, slice(step, None)), (*near, slice(None, -step))
        new = value.copy()
        if outboard:
            np.minimum(value[ahead], value[back], out=new[ahead])
        else:
            np.minimum(value[back], value[ahead], out=new[back])
        value, width = new, width + step
    return value


class _Grid:
    """Counts from `low` to `high`, (kind,) each, and where the lay-ups `counts` (candidate, kind) stand among them."""

    def __init__(self, counts: Counts, low: Counts, high: Counts) -> None:
        self.low, self.shape = low, tuple((high - low + 1).tolist())
        self.inside = np.asarray(((counts >= low) & (counts <= high)).all(axis=1))
        self.at = tuple((counts[self.inside] - low).T)

    def spread(self, value: Array) -> Array:
        """Values (candidate,) on the grid, inf where there is no candidate."""
        out = np.full(self.shape, np.inf)
        out[self.at] = value[self.inside]
        return out

    @cached_property
    def number(self) -> NDArray[np.int64]:
        """Number of the candidate at each place, -1 where there is none."""
        out = np.full(self.shape, -1)
        out[self.at] = np.flatnonzero(self.inside)
        return out


class Chains:
    """Chains of the lay-ups `counts` (candidate, kind) under the rules for plies that end.

    `limits` are the fewest and the most counts of each bay, (bay, kind), where these differ: the mass of other lay-ups
    is inf there. Counts of `local` kinds may grow.
    """

    def __init__(
        self,
        counts: Counts,
        ending: Array,
        dropped: Array,
        most_ending: int,
        *,
        local: Sequence[bool] | None = None,
        limits: tuple[Counts, Counts] | None = None,
    ) -> None:
        self.counts = counts
        whole = counts.min(axis=0), counts.max(axis=0)
        least, most = whole if limits is None else (np.clip(one, *whole) for one in limits)
        least, most = (np.broadcast_to(one, (len(dropped) + 1, len(whole[0]))) for one in (least, most))
        may_start = np.zeros(len(whole[0]), dtype=bool) if local is None else np.asarray(local)
        known: dict[tuple[object, ...], tuple[_Grid, Steps]] = {}
        self.boundaries: list[tuple[_Grid, Steps]] = []
        """What lies on the two sides of each boundary, and what may happen there."""
        for bay, one in enumerate(dropped.tolist()):
            low, high = least[bay : bay + 2].min(axis=0), most[bay : bay + 2].max(axis=0)
            key = one, *low.tolist(), *high.tolist()
            if key not in known:
                step = np.minimum(high - low, most_ending)
                both = (Drops.at(ending, one, some) for some in (step, step * may_start))
                known[key] = _Grid(counts, low, high), Steps(*both)
            self.boundaries.append(known[key])

    def outboard(self, mass: Array) -> Array:
        """Least mass from each candidate to the tip, its own included, (bay, candidate); inf if none."""
        return self._values(mass, outboard=True)

    def inboard(self, mass: Array) -> Array:
        """Least mass from the root to each candidate, its own included, (bay, candidate); inf if none."""
        return self._values(mass, outboard=False)

    def _values(self, mass: Array, *, outboard: bool) -> Array:
        bays = len(mass)
        value = mass.copy()
        order = range(bays - 2, -1, -1) if outboard else range(1, bays)
        for bay in order:
            other = bay + 1 if outboard else bay - 1
            grid, steps = self.boundaries[min(bay, other)]
            value[bay, grid.inside] += steps.least(grid.spread(value[other]), outboard=outboard)[grid.at]
        return value

    def follow(self, outboard: Array) -> NDArray[np.int64]:
        """The lightest chain, (bay,), by the masses to the tip; ties go to the candidate listed first."""
        chain = [int(outboard[0].argmin())]
        for bay in range(1, len(outboard)):
            number = self.after(bay - 1, chain[-1])
            chain.append(int(number[outboard[bay][number].argmin()]))
        return np.array(chain, dtype=np.int64)

    def after(self, bay: int, candidate: int) -> NDArray[np.int64]:
        """Candidates, (layup,), that may lie in the bay outboard of one with a candidate; in the order of the list."""
        grid, steps = self.boundaries[bay]
        have = self.counts[candidate] - grid.low
        ends, starts = (np.array(side.allowed.shape) - 1 for side in steps)
        first, last = np.maximum(have - ends, 0), np.minimum(have + starts, np.array(grid.shape) - 1)
        there = np.moveaxis(np.indices(last - first + 1), 0, -1) + first
        number = grid.number[tuple(np.moveaxis(there, -1, 0))]
        return np.asarray(number[steps.allows(have - there) & (number >= 0)])
