"""The lightest chain of lay-ups under limits that add up over the bays.

A *cut* is a value of every lay-up in every bay, and a limit on the sum over the bays of a chain. Prices on the cuts
(Lagrange multipliers) make a problem without limits, which `Chains` solves: at any prices >= 0

    min over all chains of  mass + prices . (value - limit)

is a lower bound on the mass of every chain that meets the cuts. The best prices come from a linear program over the
chains found. What is left between that bound and the lightest chain known is searched from root to tip. A piece of a
chain is dropped if no chain through it can meet a cut, if its bound is above what is looked for, or if another piece
with the same last lay-up has no more mass and no more of any value. None of these drops all of the lightest chains.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.sizing.chain import Chains
from materials.checks import Array

Chain = NDArray[np.int64]
FIRST_EXCESS, WIDER = 1e-4, 4.0
"""What is searched first above the bound on the mass, relative to it, and how much more each time after [-]."""
PRICINGS = 200
"""Linear programs for the prices at most; fewer give a lower bound, and still a bound."""
PIECES = 400_000
"""Pieces of chains that end in one bay at most; beyond, the bound reached is handed back with what is known."""
ROUNDS = 64
"""Pieces of one lay-up that others are compared with; more drop more, and find the same chain."""
SLACK = 1e-12


class Cuts(NamedTuple):
    """Values (cut, bay, candidate) and limits (cut,) on their sum over a chain."""

    value: Array
    limit: Array

    def of(self, chain: Chain) -> Array:
        """Sums (cut,) of a chain."""
        return np.asarray(self.value[:, np.arange(len(chain)), chain].sum(axis=1))

    def met(self, chain: Chain) -> bool:
        """Whether a chain meets every limit."""
        return bool((self.of(chain) <= self.limit).all())


class LightestUnder(NamedTuple):
    """A bound on the mass of every chain that meets the cuts, inf where there is none, and the lightest one known."""

    bound: float
    mass: float
    chain: Chain | None


def lightest_under(chains: Chains, mass: Array, cuts: Cuts, at_most: float = np.inf) -> LightestUnder:
    """The lightest chain by mass (bay, candidate) of at most `at_most` that meets the cuts; bound = mass: proved."""
    search = _Priced(chains, mass, cuts)
    search.price()
    if search.bound > at_most or not search.possible:
        return LightestUnder(np.inf, np.inf, None)
    excess = FIRST_EXCESS
    while True:
        target = min(search.bound * (1 + excess), search.best, at_most)
        found = search.within(target)
        if found is None:
            return LightestUnder(search.proved, search.best, search.chain)
        if search.chain is not None and search.best <= target * (1 + SLACK):
            return LightestUnder(search.best, search.best, search.chain)
        if target >= min(at_most, search.most):
            return LightestUnder(np.inf, np.inf, None)
        search.proved = target
        excess *= WIDER


class _Priced:
    """Chains under cuts, their prices and bounds; it lives for one call of `lightest_under`."""

    def __init__(self, chains: Chains, mass: Array, cuts: Cuts) -> None:
        self.chains, self.mass, self.limit = chains, mass, cuts.limit
        able = np.isfinite(mass)
        self.value = np.where(able, cuts.value, np.inf)
        self.known = Cuts(cuts.value, cuts.limit)
        self.bound, self.proved, self.best = -np.inf, -np.inf, np.inf
        self.chain: Chain | None = None
        self.prices = np.zeros(len(self.limit))
        self.mass_to_tip = chains.outboard(mass)
        self.value_to_tip = np.array([chains.outboard(one) for one in self.value]).reshape(self.value.shape)
        least = self.value_to_tip[:, 0].min(axis=-1)
        self.possible = bool(np.isfinite(self.mass_to_tip[0]).any() and (least <= self.limit).all())
        self.most = float(np.where(able, mass, 0.0).max(axis=1).sum())

    def _note(self, chain: Chain) -> tuple[float, Array]:
        """Mass and sums of a chain, which is kept if it is the lightest that meets the cuts."""
        total, sums = float(self.mass[np.arange(len(chain)), chain].sum()), self.known.of(chain)
        if (sums <= self.limit).all() and total < self.best:
            self.best, self.chain = total, chain
        return total, sums

    def _at(self, prices: Array) -> Array:
        """Least mass with prices from each candidate to the tip, (bay, candidate); limits not yet taken off."""
        priced = np.where(
            np.isfinite(self.mass), self.mass + np.tensordot(prices, self.known.value, 1), np.inf
        )
        return self.chains.outboard(priced)

    def price(self) -> None:
        """Find the prices of the highest bound by the linear program over the chains found."""
        from scipy.optimize import linprog

        if not self.possible:
            return
        columns = [self._note(self.chains.follow(self.mass_to_tip))]
        columns += [self._note(self.chains.follow(one)) for one in self.value_to_tip]
        count, top = len(self.limit), 10.0 * self.most
        scale = np.maximum(np.abs(self.limit), np.finfo(float).tiny)
        prices = np.zeros(count)
        for _ in range(PRICINGS):
            to_tip = self._at(prices)
            bound = float(to_tip[0].min() - prices @ self.limit)
            if bound > self.bound:
                self.bound, self.prices, self.to_tip = bound, prices, to_tip
            columns.append(self._note(self.chains.follow(to_tip)))
            mass, sums = np.array([one for one, _ in columns]), np.array([one for _, one in columns])
            # Shares of the chains found, and what a cut is passed by, at a cost above any mass.
            rows = np.hstack([((sums - self.limit) / scale).T, -np.eye(count)])
            found = linprog(
                np.r_[mass, np.full(count, top)],
                A_ub=rows,
                b_ub=np.zeros(count),
                A_eq=[np.r_[np.ones(len(mass)), np.zeros(count)]],
                b_eq=[1.0],
            )
            if not found.success or float(found.fun or 0.0) <= self.bound * (1 + 1e-9):
                break
            prices = np.maximum(-found.ineqlin.marginals, 0.0) / scale
        self.proved = self.bound

    def within(self, target: float) -> bool | None:
        """Search all chains of at most a mass that meet the cuts; None if there are too many pieces to keep."""
        off = target * (1 + SLACK) + self.prices @ self.limit
        last = np.flatnonzero(self.to_tip[0] <= off)
        mass, sums = self.mass[0, last], self.known.value[:, 0, last].T
        trail: list[tuple[Chain, NDArray[np.intp]]] = [(last, np.zeros(len(last), dtype=np.intp))]
        for bay in range(1, len(self.mass)):
            if not last.size:
                return False
            every, of = np.unique(last, return_inverse=True)
            reach = [self.chains.after(bay - 1, one) for one in every.tolist()]
            # A lay-up from which nothing light enough leads to the tip is left out at once.
            reach = [one[np.isfinite(self.to_tip[bay, one])] for one in reach]
            size = np.array([len(one) for one in reach])[of]
            if size.sum() > 20 * PIECES:
                return None
            before = np.repeat(np.arange(len(last)), size)
            new = np.concatenate([reach[i] for i in of.tolist()])
            m, g = mass[before], sums[before]
            keep = m + g @ self.prices + self.to_tip[bay, new] <= off
            keep &= m + self.mass_to_tip[bay, new] <= target * (1 + SLACK)
            keep &= (g + self.value_to_tip[:, bay, new].T <= self.limit + SLACK * np.abs(self.limit)).all(
                axis=1
            )
            before, new = before[keep], new[keep]
            mass = mass[before] + self.mass[bay, new]
            sums = sums[before] + self.known.value[:, bay, new].T
            keep = _not_worse(new, mass, sums)
            last, mass, sums, before = new[keep], mass[keep], sums[keep], before[keep]
            trail.append((last, before))
            if len(last) > PIECES:
                return None
        met = np.flatnonzero((sums <= self.limit).all(axis=1))
        if not met.size:
            return False
        at = int(met[mass[met].argmin()])
        chain = []
        for own, parent in reversed(trail):
            chain.append(int(own[at]))
            at = int(parent[at])
        self._note(np.array(chain[::-1], dtype=np.int64))
        return True


def _not_worse(last: Chain, mass: Array, sums: Array) -> NDArray[np.intp]:
    """Pieces (piece,) of which no other with the same last lay-up has no more mass and no more of any sum.

    With several cuts some that another beats may be left in.
    """
    if not len(last):
        return np.empty(0, dtype=np.intp)
    order = np.lexsort((*sums.T[::-1], mass, last))
    if sums.shape[1] == 1:
        # In the order of mass, what has less of the sum than all before it; each lay-up starts anew.
        rank = np.unique(sums[order, 0], return_inverse=True)[1]
        rank -= len(rank) * np.cumsum(np.diff(last[order], prepend=-1) > 0)
        least = np.minimum.accumulate(rank)
        return order[np.r_[True, rank[1:] < least[:-1]]]
    kept, left = [], order
    for _ in range(ROUNDS):
        if not left.size:
            break
        # The first of those left of each lay-up has the least mass: what it beats in every sum goes.
        first = np.diff(last[left], prepend=-1) > 0
        kept.append(left[first])
        best = left[first][np.cumsum(first) - 1]
        left = left[(sums[left] < sums[best]).any(axis=1)]
    return np.concatenate([*kept, left])
