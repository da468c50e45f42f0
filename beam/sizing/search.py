"""The search: which lay-ups are still open in each bay, and which cases excluded the others."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.sizing.chain import Chains
from beam.sizing.feasibility import Feasibility, Piece, Worst
from beam.sizing.lattice import Lattice, bay_masses
from beam.strength.requirement import Requirement, case_factors
from beam.strength.section_forces import PLACES
from beam.strut import PointLoads, Strut
from beam.strut.axis import Axis
from beam.strut.point_loads import before, outboard, past
from materials.checks import Array

# How many failing pieces of a trial lay-up are used to exclude others. Any number finds the same book.
CUTS = 3
# Lay-ups of a bay that are judged together when one has failed, and where only the bay counts; the lightest first.
BATCH, MANY = 128, 1024
# Reserve factors are sums of rounded terms; a lay-up this close to 1 is not excluded, here or by the margin table.
ROUNDING = 1e-9
# Places in a wall where many lay-ups are judged together; what holds there is judged at all places.
COARSE = (0.0, 0.5, 1.0)


class Cut(NamedTuple):
    """What excluded a lay-up: the index of the station in its bay, the case, the piece and the place."""

    check: int
    case: int
    piece: Piece
    place: float


class Search:
    """Excludes lay-ups bay by bay; it lives for one call of `lightest`."""

    def __init__(
        self,
        lattice: Lattice,
        loads: PointLoads,
        requirement: Requirement,
        progress: Callable[[str], None],
    ) -> None:
        self.lattice, self.requirement = lattice, requirement
        self.feasibility = Feasibility(lattice=lattice, requirement=requirement)
        self.counts = lattice.candidates
        self.mass = bay_masses(lattice, self.counts)
        self.open_ = np.isfinite(self.mass)
        self.evaluations = 0
        self.stations = [self._check_stations(bay, loads.at) for bay in range(lattice.bays)]
        axis = Axis.straight(lattice.mold_line.length)
        self.forces = [np.moveaxis(outboard(axis, s, loads.at, loads.wrench), -2, 0) for s in self.stations]
        self.factors = case_factors(requirement, loads)
        self.cases, self._loads = len(loads.force), loads
        self._alone = self.forces, self.factors
        self.chains = Chains(self.counts, lattice.group_thickness, lattice.most_dropped, lattice.most_ending)
        self._passed: set[tuple[int, int]] = set()
        self._cuts: list[list[Cut]] = [[] for _ in range(lattice.bays)]
        self._tried = np.zeros(self.mass.shape, dtype=np.int32)
        self._progress = progress

    def lightest(self) -> tuple[float, NDArray[np.int64]]:
        """Mass [kg] and candidates, shape (bay,), of the lightest open chain; inf if none."""
        self._open_mass = np.where(self.open_, self.mass, np.inf)
        self._to_tip = self.chains.outboard(self._open_mass)
        total = float(self._to_tip[0].min())
        if not np.isfinite(total):
            return np.inf, np.empty(0, dtype=np.int64)
        return total, self.chains.follow(self._to_tip)

    def hold(self, strut: Strut) -> None:
        """Let every case count once more, with what taper, bands, ribs and ends add in a strut.

        What was excluded stays so, and lay-ups that passed are judged again.
        """
        if self.feasibility.held:
            forces, factors = self._alone
            pairs = zip(self.forces, forces, strict=True)
            self.forces = [np.concatenate([more, one], axis=1) for more, one in pairs]
            self.factors = {
                level: np.concatenate([self.factors[level], one]) for level, one in factors.items()
            }
        self.feasibility.hold(strut, self._loads, np.unique(np.concatenate(self.stations)))
        self._passed.clear()

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

    def reserve(self, candidate: int, bay: int) -> Array:
        """Reserve factors of one lay-up in a bay, shape (check, case, state, wall, place)."""
        s, F = self.stations[bay], self.forces[bay]
        self.evaluations += F.shape[0] * F.shape[1]
        return self.feasibility.reserve(np.full(len(s), candidate), s, F, factors=self.factors)

    def best(self, candidates: NDArray[np.int64], bay: int, at_most: Array) -> int:
        """The lay-up of some that has the highest lowest reserve in a bay; `at_most` (layup,) bounds it from above."""
        bays, upper = np.full(len(candidates), bay), at_most
        cuts = list(self._cuts[bay])
        while True:
            for cut in cuts:
                upper = np.minimum(upper, self._cut_reserve(candidates, bays, [cut] * len(bays)))
            best = int(upper.argmax())
            found, check = self._found([bay], np.array([candidates[best]] * (bay + 1)), screen=False)
            lowest = np.array([one.reserve for one in found])
            number, row = np.unravel_index(lowest.argmin(), lowest.shape)
            if lowest[number, row] >= upper[best] * (1 - ROUNDING):
                return int(candidates[best])
            one = found[number]
            cuts = [Cut(int(check[row]), int(one.case[row]), one.piece, PLACES[one.place[row]])]

    def judge(self, chain: NDArray[np.int64]) -> int:
        """Judge a chain in every case at every station and exclude what fails; return the number of bays that failed.

        The cuts that excluded lay-ups of a bay before come first; only what holds these is judged in all cases.
        """
        bays = [bay for bay, c in enumerate(chain.tolist()) if (bay, c) not in self._passed]
        todo = [bay for bay in bays if self._tried[bay, chain[bay]] < len(self._cuts[bay])]
        if not bays:
            return 0
        with np.errstate(invalid="ignore"):
            through = self.chains.inboard(self._open_mass) + self._to_tip - self.mass
        # A quarter of the bays at a time, from the tip: counts never grow toward it, so what is excluded there raises
        # the mass of all chains, and fewer lay-ups inboard need a look.
        step = -(-self.lattice.bays // 4)
        for last in range(len(todo), 0, -step):
            if failed := self._refute(todo[max(last - step, 0) : last], chain, through, BATCH):
                return failed
        if failing := self._judge_all(bays, chain):
            self._refute(failing[-step:], chain, through, BATCH)
        return len(failing)

    def holds(self, bay: int) -> bool:
        """Whether a lay-up holds in a bay, whatever lies beside it; those that do not are excluded on the way."""
        chain = np.zeros(self.lattice.bays, dtype=np.int64)
        while self.open_[bay].any():
            chain[bay] = np.where(self.open_[bay], self.mass[bay], np.inf).argmin()
            if (bay, int(chain[bay])) in self._passed:
                return True
            untried = self._tried[bay, chain[bay]] < len(self._cuts[bay])
            if untried and self._refute([bay], chain, self.mass, MANY):
                continue
            if not self._judge_all([bay], chain):
                return True
        return False

    def _judge_all(self, bays: list[int], chain: NDArray[np.int64]) -> list[int]:
        """Judge a chain in some bays in all cases; exclude what fails, note the cuts, return the bays that failed."""
        of_row = np.repeat(bays, [len(self.stations[bay]) for bay in bays])
        found, check = self._found(bays, chain)
        lowest = np.array([one.reserve for one in found])
        failing = []
        for bay in bays:
            own = np.flatnonzero(of_row == bay)
            here = lowest[:, own].min(axis=1)
            if here.min() >= 1 - ROUNDING:
                self._passed.add((bay, int(chain[bay])))
                continue
            failing.append(bay)
            self.open_[bay, chain[bay]] = False
            # One cut for a wall and mode: the states of service differ too little to cut more.
            cuts: dict[tuple[int, str], Cut] = {}
            for number in np.argsort(here, kind="stable")[: (here < 1 - ROUNDING).sum()].tolist():
                one, row = found[number], own[lowest[number, own].argmin()]
                cut = Cut(int(check[row]), int(one.case[row]), one.piece, PLACES[one.place[row]])
                cuts.setdefault((one.piece.wall, one.piece.mode), cut)
            new = list(cuts.values())[:CUTS]
            self._cuts[bay] += new
            self._progress(
                f"{self.name(bay)}: a lay-up fails wall {self.lattice.mold_line.wall_names[new[0].piece.wall]}, "
                f"mode {new[0].piece.mode}, {self.requirement.states[new[0].piece.state].title}"
            )
        return failing

    def _found(
        self, bays: list[int], chain: NDArray[np.int64], *, screen: bool = True
    ) -> tuple[list[Worst], NDArray[np.int64]]:
        """What all cases find of a chain at each station of some bays, and the index of that station in its bay."""
        of_row = np.repeat(bays, [len(self.stations[bay]) for bay in bays])
        forces = np.concatenate([self.forces[bay] for bay in bays])
        stations = np.concatenate([self.stations[bay] for bay in bays])
        self.evaluations += len(of_row) * forces.shape[1]
        found = self.feasibility.worst(chain[of_row], stations, forces, self.factors, screen=screen)
        return found, np.concatenate([np.arange(len(self.stations[bay])) for bay in bays])

    def _refute(self, bays: list[int], chain: NDArray[np.int64], order: Array, batch: int) -> int:
        """Judge the first lay-ups of some bays by the cuts of each; return in how many that of the chain fails.

        The `order` (bay, candidate) is the mass of the lightest chain through a lay-up; inf where there is none [kg].
        """
        parts = []
        for bay in bays:
            some = np.flatnonzero(self._tried[bay] < len(self._cuts[bay]))
            some = some[self.open_[bay, some] & np.isfinite(order[bay, some])]
            if len(some) > batch:
                some = some[np.argpartition(order[bay, some], batch)[:batch]]
            parts.append(np.union1d(some, chain[bay]))
        of_row, candidates = np.repeat(bays, [len(one) for one in parts]), np.concatenate(parts)
        while (left := self._untried(of_row, candidates)).size:
            of_row, candidates = of_row[left], candidates[left]
            cuts = [self._cuts[b][n] for b, n in zip(of_row, self._tried[of_row, candidates], strict=True)]
            low = self._cut_reserve(candidates, of_row, cuts) < 1 - ROUNDING
            self.open_[of_row[low], candidates[low]] = False
            self._tried[of_row, candidates] += 1
        return int(sum(not self.open_[bay, chain[bay]] for bay in bays))

    def _untried(self, bays: NDArray[np.int64], candidates: NDArray[np.int64]) -> NDArray[np.int64]:
        """Rows that are open and have not met every cut of their bay."""
        most = np.array([len(cuts) for cuts in self._cuts])
        return np.flatnonzero(self.open_[bays, candidates] & (self._tried[bays, candidates] < most[bays]))

    def _cut_reserve(self, candidates: NDArray[np.int64], bays: NDArray[np.int64], cuts: list[Cut]) -> Array:
        """Lowest reserve of each lay-up of a bay in the case, station and piece of its cut, (row,)."""
        self.evaluations += len(candidates)
        out = np.empty(len(candidates))
        by_piece: dict[Piece, list[int]] = {}
        for row, cut in enumerate(cuts):
            by_piece.setdefault(cut.piece, []).append(row)
        for piece, rows in by_piece.items():
            own = [(bays[row], cuts[row]) for row in rows]
            cases = np.array([cut.case for _, cut in own])
            out[rows] = self.feasibility.in_piece(
                piece,
                candidates[rows],
                np.array([self.stations[bay][cut.check] for bay, cut in own]),
                np.array([self.forces[bay][cut.check, cut.case] for bay, cut in own]),
                sorted({*COARSE, *(cut.place for _, cut in own)}),
                {level: one[cases] for level, one in self.factors.items()},
                cases,
            )
        return out
