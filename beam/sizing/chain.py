"""The lightest chain of lay-ups from root to tip, on the grid of counts.

What may follow a lay-up outboard is a set of drops: how many groups of each kind end. Where a drop is allowed, so is
one with fewer ends. So the set is a union of boxes from zero to its largest drops, and the least value over a box is a
running minimum along each axis of the grid. Time and memory grow with the number of lay-ups, not its square.
"""

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
    def at(cls, ending: Array, room: float, most: Counts) -> "Drops":
        """Drops of at most `most` groups of each kind, (kind,), and `room` of thickness in each wall [m].

        `ending` is the thickness that one group of a kind adds to a wall, shape (kind, wall) [m].
        """
        drop = np.stack(np.meshgrid(*(np.arange(m + 1) for m in most), indexing="ij"), axis=-1)
        allowed: Mask = np.asarray((drop @ np.unique(ending, axis=1) <= room * (1 + 1e-12)).all(axis=-1))
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


class Chains:
    """Chains of the lay-ups `counts` (candidate, kind) under the rules for ending plies."""

    def __init__(self, counts: Counts, ending: Array, room: Array, most_ending: int) -> None:
        self.counts, self._least = counts, counts.min(axis=0)
        self._shape = tuple((counts.max(axis=0) - self._least + 1).tolist())
        self._at = tuple((counts - self._least).T)
        most = np.minimum(np.array(self._shape) - 1, most_ending)
        known = {float(one): Drops.at(ending, float(one), most) for one in room}
        self.drops = [known[float(one)] for one in room]

    @cached_property
    def _number(self) -> NDArray[np.int64]:
        """Number of the candidate at each place of the grid, -1 where there is none."""
        out = np.full(self._shape, -1)
        out[self._at] = np.arange(len(self.counts))
        return out

    def _grid(self, value: Array) -> Array:
        """Values (candidate,) on the grid of counts, inf where there is no candidate."""
        out = np.full(self._shape, np.inf)
        out[self._at] = value
        return out

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
            other, drops = (bay + 1, self.drops[bay]) if outboard else (bay - 1, self.drops[bay - 1])
            value[bay] += drops.least(self._grid(value[other]), outboard=outboard)[self._at]
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
        have = self.counts[candidate] - self._least
        allowed = self.drops[bay].allowed
        reach = np.minimum(have + 1, allowed.shape)
        box = tuple(slice(int(h + 1 - r), int(h + 1)) for h, r in zip(have, reach, strict=True))
        number = self._number[box]
        may = np.flip(allowed[tuple(slice(int(r)) for r in reach)])
        return np.asarray(number[may & (number >= 0)])
