"""A lower bound on the mass of a strut on redundant supports, whatever its plies make of the reactions.

With one direction more than six, the section forces of a case are F0 + X f: F0 and f follow from equilibrium, and X,
the force of that direction, is minus the motion there over the flexibility there. Both are sums over the bays. So the
least and the greatest X of all chains of a lattice are found exactly (W. Dinkelbach, Management Science 13 (1967) 492,
from memory): X <= t for all chains if no chain has a positive sum of (motion + t flexibility) with its sign.

A lay-up is left out only if no X of that range lets it hold a case at all stations of its bay. The greatest of 1/R
over plies, walls and places is a convex function of X where the safe sets are convex, so chords through its values at
a few X, prolonged, are below it in between.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.sizing.feasibility import Feasibility
from beam.sizing.search import Search
from beam.sizing.whole_strut import Weights
from beam.strut import PointLoads, Span
from beam.strut.solver import linear
from materials.checks import Array

PARTS = 8
"""Parts of the range of X between which the chords run."""
BATCH = 64
"""Lay-ups of a bay judged at a time."""
WORST = 1e6
"""1/R that stands for all greater ones."""


class Bound(NamedTuple):
    """A lower bound on the mass of every book that holds [kg], and what it rests on."""

    mass: float
    basis: str


def lower_bound(search: Search, mass: float, *, straight: bool) -> Bound:
    """Bound on the mass of every book that holds; `mass` is that of one which does [kg]."""
    most = max(len(span.held.rows) for span in search.spans) - 6
    heat = any(judge.restraint for _, judge in search.feasibility._parts)
    reason = (
        "more than one redundant direction"
        if most > 1
        else "heat or moisture loads the supports"
        if heat
        else ""
    )
    reason = reason or ("" if straight else "taper or bands add loads")
    if reason:
        return Bound(_plain(search, mass), f"the lightest book whatever its walls hold, since {reason}")
    free = _Relaxed(search, mass)
    return Bound(
        free.bound(), "any reaction that a book of the lattice no heavier than the one found can have"
    )


def _plain(search: Search, mass: float) -> float:
    """Mass of the lightest chain that meets the cuts which no section force enters [kg]."""
    return min(search.whole.strict().lightest(search.mass).bound, mass)


class _Relaxed:
    """The search with free reactions; it lives for one call of `lower_bound`."""

    def __init__(self, search: Search, mass: float) -> None:
        self.search, self.mass = search, mass
        self.whole = search.whole.strict()
        self.feasibility = Feasibility(lattice=search.lattice, requirement=search.requirement)
        # Buckling is judged by formulas whose convexity is not shown.
        convex = {check.mode for check in search.requirement.checks if check.convex}
        self.only = {one for one in self.feasibility.pieces if one.mode in convex}
        self.open_ = np.isfinite(search.mass)

    def bound(self) -> float:
        """Lightest chain of which every lay-up may hold under some reaction [kg]."""
        for _ in range(2):
            self._close_heavy()
            if not np.isfinite(self._open_mass()).any(axis=1).all():
                return self.mass
            self.ranges = [self._range(number) for number in range(len(self.search.sets))]
            found = self._exclude()
            if found >= self.mass:
                return self.mass
        return found

    def _open_mass(self) -> Array:
        return np.where(self.open_, self.search.mass, np.inf)

    def _through(self) -> Array:
        """Mass of the lightest open chain through each lay-up, inf where there is none [kg]."""
        own, chains = self._open_mass(), self.search.chains
        with np.errstate(invalid="ignore"):
            through = chains.inboard(own) + chains.outboard(own) - own
        return np.where(np.isfinite(through), through, np.inf)

    def _close_heavy(self) -> None:
        """Close lay-ups that no book lighter than the one found has."""
        self.open_ &= self._through() < self.mass * (1 - 1e-12)

    def _exclude(self) -> float:
        """Mass of the lightest chain left when lay-ups that cannot hold are closed [kg]."""
        known: set[tuple[int, int]] = set()
        while True:
            found = self.whole.lightest(self._open_mass())
            if not np.isfinite(found.bound) or found.bound >= self.mass:
                return self.mass
            if found.chain is None:
                return found.bound
            new = [(bay, c) for bay, c in enumerate(found.chain.tolist()) if (bay, c) not in known]
            if not new:
                return found.bound
            through = self._through()
            for bay, own in new:
                some = np.flatnonzero(np.isfinite(through[bay]))
                some = some[[(bay, c) not in known for c in some.tolist()]]
                some = np.union1d(some[np.argsort(through[bay, some], kind="stable")[:BATCH]], own)
                holds = self._may_hold(bay, some)
                self.open_[bay, some[~holds]] = False
                known.update((bay, c) for c in some.tolist())

    def _may_hold(self, bay: int, candidates: NDArray[np.int64]) -> NDArray[np.bool_]:
        """Whether lay-ups (candidate,) hold every case of their bay under some reaction of its range."""
        s = self.search.stations[bay]
        shape = len(s), self.search.cases, PARTS + 3
        forces, x = np.zeros((*shape, 6)), np.zeros(shape[1:])
        for number, (_, rows) in enumerate(self.search.sets):
            fixed, unit = self._forces(number, s)
            low, high = self.ranges[number]
            step = np.maximum(high - low, 1e-9 * (np.abs(low) + np.abs(high)) + 1e-9) / PARTS
            x[rows] = low[:, None] + step[:, None] * np.arange(-1, PARTS + 2)
            forces[:, rows] = fixed[:, :, None] + x[rows][None, :, :, None] * unit[:, None, None]
        flat = forces.reshape(len(s), -1, 6)
        factors = {
            level: np.repeat(one[: shape[1]], shape[2]) for level, one in self.search._alone[1].items()
        }
        out = np.empty(len(candidates), dtype=bool)
        for i, candidate in enumerate(candidates.tolist()):
            reserve = self.feasibility.reserve(
                np.full(len(s), candidate), s, flat, only=self.only, factors=factors
            )
            lowest = reserve.min(axis=(0, 2, 3, 4)).reshape(shape[1:])
            inverse = np.where(lowest > 1 / WORST, 1 / np.maximum(lowest, 1 / WORST), WORST)
            out[i] = bool((_least_of_convex(inverse) <= 1 + 1e-9).all())
        return out

    def _forces(self, number: int, s: Array) -> tuple[Array, Array]:
        """Section forces (station, case, 6) without the redundant direction, and (station, 6) of its unit force."""
        span, loads = self.search.spans[number], self.search.loads.take(self.search.sets[number][1])
        R, unit = self._reactions(span, loads)
        fixed = linear.section_forces(span.axis, span.held, loads, R, s)
        none = PointLoads(at=loads.at, force=np.zeros((1, *loads.force.shape[-2:])))
        return np.swapaxes(fixed, 0, 1), linear.section_forces(span.axis, span.held, none, unit[None], s)[0]

    @staticmethod
    def _reactions(span: Span, loads: PointLoads) -> tuple[Array, Array]:
        """Reactions (case, direction) without the redundant direction, and (direction,) of its unit force."""
        held = span.held
        B, first = held.rigid, held.primary
        extra = np.setdiff1d(np.arange(len(B)), first)
        lever = span.axis.position(loads.at) - span.axis.points[0]
        moment = loads.moment + np.cross(lever, loads.force)
        W = np.concatenate([loads.force, moment], axis=-1).sum(axis=-2)
        R, unit = np.zeros((len(W), len(B))), np.zeros(len(B))
        R[:, first] = -W @ np.linalg.inv(B[first])
        if extra.size:
            unit[first] = -np.linalg.solve(B[first].T, B[extra[0]])
            unit[extra[0]] = 1.0
        return R, unit

    def _range(self, number: int) -> tuple[Array, Array]:
        """Least and greatest force of the redundant direction, (case,) each, over all open chains and stiffnesses."""
        span, rows = self.search.spans[number], self.search.sets[number][1]
        loads = self.search.loads.take(rows)
        low, high = np.full(len(rows), np.inf), np.full(len(rows), -np.inf)
        R, unit = self._reactions(span, loads)
        if not unit.any():
            return np.zeros(len(rows)), np.zeros(len(rows))
        samples = self.whole.samples
        forces = [self._forces(number, one.at) for one in samples]
        spring = span.held.flexibility
        for part in range(len(self.feasibility._parts)):
            soft = self._sums(
                part, [_weights(a.weight, f, f) for a, (_, f) in zip(samples, forces, strict=True)]
            )
            stiff = float((spring * unit * unit).sum())
            for case in range(len(rows)):
                both = zip(samples, forces, strict=True)
                moved = self._sums(part, [_weights(a.weight, f, F[:, case]) for a, (F, f) in both])
                given = float((spring * unit * R[case]).sum())
                for sign, ends in ((1.0, high), (-1.0, low)):
                    end = sign * self._greatest(-sign * moved, -sign * given, soft, stiff)
                    ends[case] = max(ends[case], end) if sign > 0 else min(ends[case], end)
        return low, high

    def _sums(self, part: int, weights: list[Array]) -> Array:
        """Values (bay, candidate) of the open lay-ups by weights of the compliance."""
        one = Weights(part, weights, None, None, 0.0, "")
        out = np.full(self.open_.shape, np.nan)
        for bay, row in enumerate(self.open_):
            some = np.flatnonzero(row)
            out[bay, some] = self.whole._properties(part, bay).value(some, one)
        return out

    def _greatest(self, top: Array, more: float, below: Array, rest: float) -> float:
        """Greatest (top + more) / (below + rest) over all open chains, values (bay, candidate), from above."""
        bays, t = np.arange(len(top)), -np.inf
        chain = self.search.chains.follow(self.search.chains.outboard(self._open_mass()))
        for _ in range(50):
            t = (top[bays, chain].sum() + more) / (below[bays, chain].sum() + rest)
            to_tip = self.search.chains.outboard(np.where(self.open_, t * below - top, np.inf))
            chain = self.search.chains.follow(to_tip)
            ahead = more - t * rest - float(to_tip[0].min())
            if ahead <= 1e-10 * (abs(more) + abs(t) * (rest + below[bays, chain].sum())):
                break
        return float(t + 1e-9 * abs(t))


def _weights(weight: Array, f: Array, F: Array) -> Array:
    """Weights (sample, 6, 6) of C in the integral of f C F, f and F (sample, 6)."""
    both = weight[:, None, None] * f[:, :, None] * F[:, None, :]
    return np.asarray((both + np.swapaxes(both, -1, -2)) / 2)


def _least_of_convex(values: Array) -> Array:
    """Lower bound (...) on a convex function of values (..., point) at even steps, its first and last step left out."""
    step = np.diff(values, axis=-1)
    left, right = values[..., 1:-2], values[..., 2:-1]
    down, up = step[..., :-2], step[..., 2:]
    # In each part: at u from 0 to 1, above left + down u and above right - up (1 - u).
    cross = np.divide(right - up - left, down - up, out=np.zeros_like(left), where=down != up)
    u = np.clip(cross, 0.0, 1.0)
    either = [np.maximum(left + down * v, right - up * (1 - v)) for v in (0.0 * u, u, 0.0 * u + 1.0)]
    return np.asarray(np.min(either, axis=0).min(axis=-1))
