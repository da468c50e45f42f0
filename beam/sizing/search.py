"""The search: which lay-ups are still open in each bay, and which cases excluded the others."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.sizing.chain import Chains
from beam.sizing.feasibility import Feasibility, Piece, Worst
from beam.sizing.lattice import Lattice, bay_masses
from beam.sizing.whole_strut import WholeStrut
from beam.strength.requirement import Requirement, case_factors
from beam.strength.section_forces import (
    PLACES,
    in_service,
    in_state,
    restraint_beside_tube,
    section_forces,
)
from beam.strut import Band, PointLoads, Span, Strut
from beam.strut.axis import SNAP
from beam.strut.point_loads import before, past
from beam.strut.supports import Supports, support_sets
from materials.checks import Array, reject

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
        supports: Supports | None = None,
        *,
        hold: bool = False,
        bands: Sequence[Band] = (),
    ) -> None:
        self.lattice, self.requirement = lattice, requirement
        self.feasibility = Feasibility(lattice=lattice, requirement=requirement)
        self.counts = lattice.candidates
        masses = bay_masses(lattice, self.counts, corner_opening=requirement.corner_opening)
        self.mass = np.where(lattice.allowed, masses, np.inf)
        self.open_ = np.isfinite(self.mass)
        self.evaluations = 0
        self.supports, self._hold = supports, hold
        self.sets = support_sets("lightest", supports, len(loads.force))
        self.spans = [
            Span(axis=lattice.mold_line.length, stiffness=np.eye(6), supports=own) for own, _ in self.sets
        ]
        for span in self.spans:
            span.held.refuse_play()
        enters = np.unique(np.concatenate([loads.at, *(_outboard_of_root(span) for span in self.spans)]))
        steps = np.concatenate(
            [enters, lattice.mold_line.stations, [s for b in bands for s in (b.start, b.end)]]
        )
        self.stations = [self._check_stations(bay, enters, steps) for bay in range(lattice.bays)]
        self.forces = [self._forces(loads, s, self.spans) for s in self.stations]
        self.factors = case_factors(requirement, loads)
        self.cases, self.loads = len(loads.force), loads
        self._alone = self.forces, self.factors
        self.chains = Chains(
            self.counts,
            lattice.group_thickness,
            lattice.most_dropped,
            lattice.most_ending,
            local=[kind.is_local for kind in lattice.kinds],
            limits=lattice.limits,
        )
        self.whole = WholeStrut(self.feasibility, self.mass, self.chains, enters)
        self._passed: set[tuple[int, int]] = set()
        self._cuts: list[list[Cut]] = [[] for _ in range(lattice.bays)]
        self._tried = np.zeros(self.mass.shape, dtype=np.int32)
        self._progress = progress

    def _forces(self, loads: PointLoads, s: Array, spans: Sequence[Span]) -> Array:
        """Section forces (station, case, 6) at stations (station,), every case on its own supports."""
        out = np.empty((len(s), len(loads.force), 6))
        for span, (_, rows) in zip(spans, self.sets, strict=True):
            out[:, rows] = np.moveaxis(span.forces(loads.take(rows), at=s), -2, 0)
        return out

    @property
    def every(self) -> Array:
        """Stations of all bays [m]."""
        return np.unique(np.concatenate(self.stations))

    @property
    def redundant(self) -> bool:
        """Whether supports carry what depends on the plies."""
        return any(len(span.held.rows) > 6 for span in self.spans)

    def rest_on(self, books: Sequence[Strut], closed: Iterable[tuple[int, int]]) -> float:
        """Take the section forces of redundant supports from some struts, and open every lay-up again but some.

        Every case counts once with the forces of each book; what heat and moisture add is that of the last. Returns
        the largest change of a section force, relative to the largest one [-].
        """
        before = self.forces
        every = self.every
        parts = [in_service(strut, self.requirement) for strut in books]
        self.forces = [
            np.concatenate(
                [
                    self._forces(self.loads, s, [one.span for one, _, _ in self.struts(service.strut)])
                    for services in parts
                    for service in services
                ],
                axis=1,
            )
            for s in self.stations
        ]
        copies = self.forces[0].shape[1] // self.cases
        self.factors = {level: np.tile(one, copies) for level, one in self._alone[1].items()}
        self._restrain(books[-1], every)
        self.feasibility.held.clear()
        for strut, services in zip(books, parts, strict=True):
            for _ in services if self._hold else ():
                self.feasibility.hold(self.struts(strut), every)
        self.open_ = np.isfinite(self.mass)
        for key in closed:
            self.open_[key] = False
        self._passed.clear()
        self._cuts = [[] for _ in self._cuts]
        self._tried[:] = 0
        pairs = [
            (new[:, -self.cases :], old[:, -self.cases :])
            for new, old in zip(self.forces, before, strict=True)
        ]
        size = np.maximum(max_force(new for new, _ in pairs), 1e-300)
        return float((max_force(new - old for new, old in pairs) / size).max())

    def heaviest(self) -> NDArray[np.int64]:
        """The heaviest chain of the lattice."""
        return self.chains.follow(self.chains.outboard(np.where(np.isfinite(self.mass), -self.mass, np.inf)))

    def _restrain(self, strut: Strut, stations: Array) -> None:
        """Hold what heat and moisture make on redundant supports."""
        forces, added = [], []
        for indices, _ in self.feasibility._parts:
            states = tuple(self.requirement.states[i] for i in indices)
            laid_up = in_state(strut, states[0])
            each = [
                section_forces(one, loads, self.requirement, stations, states=states).restraint
                for one, loads, _ in self.struts(laid_up)
            ]
            if len(each) > 1 and any(one.any() for one in each):
                cause = (
                    "heat and moisture load redundant supports: size on one set of them, or judge by margins"
                )
                reject("lightest: supports", f"{len(each)} sets", "one", cause)
            forces.append(each[0])
            added.append(restraint_beside_tube(self.struts(laid_up)[0][0], stations, each[0]))
        self.feasibility.restrain(forces, added, stations)

    def struts(self, strut: Strut) -> list[tuple[Strut, PointLoads, NDArray[np.intp]]]:
        """A strut on every set of supports, with the cases there and their numbers."""
        return [
            (strut if own == strut.supports else replace(strut, supports=own), self.loads.take(rows), rows)
            for own, rows in self.sets
        ]

    def lightest(self) -> tuple[float, NDArray[np.int64]]:
        """Bound on the mass [kg] and candidates, shape (bay,), of the lightest open chain that meets the limits of the
        whole strut found so far; inf if none."""
        self._open_mass = np.where(self.open_, self.mass, np.inf)
        self._to_tip = self.chains.outboard(self._open_mass)
        total = float(self._to_tip[0].min())
        if not np.isfinite(total):
            return np.inf, np.empty(0, dtype=np.int64)
        if self.whole.weights:
            found = self.whole.lightest(self._open_mass)
            return found.bound, np.empty(0, dtype=np.int64) if found.chain is None else found.chain
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
        self.feasibility.hold(self.struts(strut), np.unique(np.concatenate(self.stations)))
        self._passed.clear()

    def name(self, bay: int) -> str:
        """Number and ends of a bay, as in "bay 1 (0 to 0.05 m)"."""
        start, end = self.lattice.stations[bay : bay + 2]
        return f"bay {bay + 1} ({start:.4g} to {end:.4g} m)"

    def _check_stations(self, bay: int, at: Array, steps: Array) -> Array:
        """Ends of the bay and its middle, every step, edge of a band and load in it, and both sides of a load [m].

        A load still counts at its own station, and a little beyond: `past` is its outboard side.
        """
        start, end = self.lattice.stations[bay : bay + 2]
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
        through = self.through
        # A quarter of the bays at a time, from the tip: counts never grow toward it, so what is excluded there raises
        # the mass of all chains, and fewer lay-ups inboard need a look.
        step = -(-self.lattice.bays // 4)
        for last in range(len(todo), 0, -step):
            if failed := self._refute(todo[max(last - step, 0) : last], chain, through, BATCH):
                return failed
        if failing := self._judge_all(bays, chain):
            self._refute(failing[-step:], chain, through, BATCH)
        return len(failing)

    @property
    def through(self) -> Array:
        """Mass of the lightest open chain through each lay-up, (bay, candidate); not finite where none [kg]."""
        with np.errstate(invalid="ignore"):
            return self.chains.inboard(self._open_mass) + self._to_tip - self.mass

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


def _outboard_of_root(span: Span) -> Array:
    """Stations of the supports that are not at the root [m]."""
    return span.held.at[span.held.at > SNAP * span.axis.length]


def max_force(forces: Iterable[Array]) -> Array:
    """Largest force and largest moment of some section forces (..., 6), (2,) [N, N m]."""
    every = [np.abs(one).reshape(-1, 2, 3).max(axis=(0, 2)) for one in forces]
    return np.asarray(np.max(every, axis=0))
