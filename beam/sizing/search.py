"""The search: which lay-ups are still open in each bay, and which cases excluded the others."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from beam.sizing.feasibility import Feasibility, Piece
from beam.sizing.lattice import Counts, Lattice, bay_masses
from beam.strength.check import Level
from beam.strength.requirement import Requirement, case_factors
from beam.strength.section_forces import PLACES
from beam.strut import PointLoads
from beam.strut.axis import Axis
from beam.strut.point_loads import before, outboard, past
from materials.checks import Array

# How many failing walls and states of a trial lay-up are used to exclude others. Any number finds the same book.
CUTS = 6
# Reserve factors are sums of rounded terms; a lay-up this close to 1 is not excluded, here or by the margin table.
ROUNDING = 1e-9
# Places in a wall where many lay-ups are judged together; what holds there is judged at all places.
COARSE = (0.0, 0.5, 1.0)


class Search:
    """Excludes lay-ups bay by bay; it lives for one call of `lightest`."""

    def __init__(
        self, lattice: Lattice, loads: PointLoads, requirement: Requirement, progress: Callable[[str], None]
    ) -> None:
        self.lattice, self.requirement = lattice, requirement
        self.feasibility = Feasibility(lattice=lattice, requirement=requirement)
        self.counts = lattice.candidates
        self.mass = bay_masses(lattice, self.counts)
        self.open_: Mask = np.isfinite(self.mass)
        self.evaluations = 0
        self.stations = [self._check_stations(bay, loads.at) for bay in range(lattice.bays)]
        axis = Axis.straight(lattice.mold_line.length)
        self.forces = [np.moveaxis(outboard(axis, s, loads.at, loads.wrench), -2, 0) for s in self.stations]
        self.factors = case_factors(requirement, loads)
        self._passed: set[tuple[int, int]] = set()
        self._hard_cases: dict[int, None] = {}
        self._first_cuts(progress)

    def lightest(self, first: int = 0) -> tuple[float, NDArray[np.int64]]:
        """Mass [kg] and candidates, shape (bay,), of the lightest open chain from bay `first` on; inf if none."""
        return cheapest_chain(
            self.mass[first:],
            self.open_[first:],
            self.counts,
            self.lattice.group_thickness,
            self.lattice.most_dropped[first:],
            self.lattice.most_ending,
        )

    def name(self, bay: int) -> str:
        """Number and ends of a bay, as in "bay 1 (0 to 0.05 m)"."""
        start, end = self.lattice.stations[bay : bay + 2]
        return f"bay {bay + 1} ({start:.4g} to {end:.4g} m)"

    def _check_stations(self, bay: int, at: Array) -> Array:
        """Ends of the bay and its middle, and both sides of every step and load in it [m].

        A load still counts at its own station, and a little beyond: `past` is its outboard side.
        """
        start, end = self.lattice.stations[bay : bay + 2]
        steps = np.concatenate([at, self.lattice.mold_line.stations])
        steps = steps[(steps > start) & (steps < end)]
        last = end if bay == self.lattice.bays - 1 else float(before(end, self.lattice.mold_line.length))
        beyond = past(at, self.lattice.mold_line.length)
        beyond = beyond[(beyond > start) & (beyond < last)]
        return np.unique([start, last, (start + end) / 2, *steps, *beyond])

    def reserve(self, candidate: int, bay: int, cases: NDArray[np.int64] | None = None) -> Array:
        """Reserve factors of one lay-up in a bay, shape (check, case, state, wall, place), of all or of some cases."""
        s, F = self.stations[bay], self.forces[bay]
        F = F if cases is None else F[:, cases]
        self.evaluations += F.shape[0] * F.shape[1]
        return self.feasibility.reserve(np.full(len(s), candidate), s, F, factors=self.factors_of(cases))

    def factors_of(self, cases: NDArray[np.int64] | list[int] | None) -> dict[Level, Array]:
        """Factors on load of all or of some cases at each level, (case,) [-]."""
        return {level: one if cases is None else one[cases] for level, one in self.factors.items()}

    def lowest_reserve(self, candidates: NDArray[np.int64], bay: int) -> Array:
        """Lowest reserve factor, shape (layup,), in the cases that excluded lay-ups before; in all if none did."""
        cases = list(self._hard_cases) or list(range(self.forces[bay].shape[1]))
        lowest = np.full(len(candidates), np.inf)
        for s, F in zip(self.stations[bay], self.forces[bay], strict=True):
            forces = np.broadcast_to(F[cases], (len(candidates), len(cases), 6))
            found = self.feasibility.reserve(
                candidates, np.full(len(candidates), s), forces, places=COARSE, factors=self.factors_of(cases)
            )
            np.minimum(lowest, found.min(axis=(1, 2, 3, 4)), out=lowest)
        return lowest

    def _exclude(self, bay: int, reserve: Array, cases: NDArray[np.int64]) -> None:
        """Exclude every lay-up of the bay that fails the case and station where the trial has its lowest reserve.

        Of that station the worst case and place of each wall and state that fails are used.
        """
        check = int(reserve.min(axis=(1, 2, 3, 4)).argmin())
        here = reserve[check]
        worst = here.min(axis=(0, 3))
        order = np.argsort(worst, axis=None, kind="stable")[:CUTS]
        pieces = [Piece(*(int(i) for i in np.unravel_index(at, worst.shape))) for at in order]
        pieces = [piece for piece in pieces if worst[piece] < 1 - ROUNDING]
        worst_at = [np.unravel_index(here[:, p.state, p.wall].argmin(), here[:, 0, 0].shape) for p in pieces]
        hard = dict.fromkeys(int(cases[case]) for case, _ in worst_at)
        self._hard_cases |= hard
        candidates = np.flatnonzero(self.open_[bay])
        if not candidates.size:
            return
        forces = self.forces[bay][check, list(hard)]
        self.evaluations += len(candidates) * len(hard)
        found = self.feasibility.reserve(
            candidates,
            np.full(len(candidates), self.stations[bay][check]),
            np.broadcast_to(forces, (len(candidates), *forces.shape)),
            pieces,
            sorted({*COARSE, *(PLACES[place] for _, place in worst_at)}),
            self.factors_of(list(hard)),
        )
        self.open_[bay, candidates[found.min(axis=(1, 2, 3, 4)) < 1 - ROUNDING]] = False

    def _first_cuts(self, progress: Callable[[str], None]) -> None:
        """Let the lightest lay-up of each bay show which cases are hardest."""
        every = np.arange(self.forces[0].shape[1])
        for bay in range(self.lattice.bays):
            if self.open_[bay].any():
                lightest = int(np.where(self.open_[bay], self.mass[bay], np.inf).argmin())
                reserve = self.reserve(lightest, bay)
                if reserve.min() < 1 - ROUNDING:
                    self._exclude(bay, reserve, every)
            left = int(self.open_[bay].sum())
            progress(
                f"{self.name(bay)}: {left} of {len(self.counts)} lay-ups left by the hardest cases of the lightest"
            )

    def judge(self, chain: NDArray[np.int64]) -> int:
        """Judge a chain in every case at every station and exclude what fails; return the number of bays that failed.

        The cases that excluded a lay-up before are tried first; only what holds these is judged in all.
        """
        every = np.arange(self.forces[0].shape[1])
        failed = 0
        for bay, candidate in enumerate(chain.tolist()):
            if (bay, candidate) in self._passed:
                continue
            for cases in (np.array(list(self._hard_cases), dtype=np.int64), every):
                reserve = self.reserve(candidate, bay, cases) if cases.size else np.ones((1, 1, 1, 1, 1))
                if not reserve.min() >= 1 - ROUNDING:
                    failed += 1
                    self.open_[bay, candidate] = False
                    self._exclude(bay, reserve, cases)
                    break
            else:
                self._passed.add((bay, candidate))
        return failed


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
