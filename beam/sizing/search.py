"""The state of the search: what is still open in each bay, and what refuted the rest."""

import numpy as np
from numpy.typing import NDArray

from beam.margin import wall_ratios
from beam.requirement import Requirement
from beam.sizing.chain import Mask, cheapest_chain
from beam.sizing.feasibility import Feasibility, Piece
from beam.sizing.lattice import Lattice
from beam.sizing.mass import bay_masses
from beam.strut import PointLoads, Strut
from beam.strut.axis import Axis
from beam.strut.statics import outboard
from materials.checks import Array, reject

# How many places of a failed lay-up are used to refute others with. Any number finds the same book.
CUTS = 6
# Reserve factors are sums of rounded terms; a lay-up this close to 1 is not refuted here, nor by the margin table.
ROUNDING = 1e-9


class Search:
    """Refutes lay-ups bay by bay; it lives for one call of `lightest`.

    Parameters
    ----------
    lattice : Lattice
        What may be laid up.
    loads : PointLoads
        Limit loads on the strut.
    requirement : Requirement
        Services, factors and criteria.
    """

    def __init__(self, lattice: Lattice, loads: PointLoads, requirement: Requirement) -> None:
        self.lattice, self.requirement = lattice, requirement
        self.feasibility = Feasibility(lattice=lattice, requirement=requirement)
        self.counts = lattice.candidates
        self.mass = bay_masses(lattice, self.counts)
        self.open_: Mask = np.isfinite(self.mass)
        self.evaluations = 0
        self.stations = [self._check_stations(bay, loads.at) for bay in range(lattice.bays)]
        axis = Axis.straight(lattice.mold_line.length)
        self.forces = [np.moveaxis(outboard(axis, s, loads.at, loads.wrench), -2, 0) for s in self.stations]
        self._held: set[tuple[int, int]] = set()
        self._pressing: dict[int, None] = {}
        self._first_cuts()

    def lightest(self) -> tuple[float, NDArray[np.int64]]:
        """Find the lightest chain of what is still open.

        Returns
        -------
        total : float
            Its mass, a lower bound for every book that holds [kg]; inf if there is none.
        chain : ndarray of int, shape (bay,)
            Candidate of each bay [-].
        """
        return self._chain(0)

    def _chain(self, first: int) -> tuple[float, NDArray[np.int64]]:
        """Lightest chain from a bay to the tip."""
        room = self.lattice.most_dropped()[first:]
        ending = self.lattice.group_thickness
        return cheapest_chain(self.mass[first:], self.open_[first:], self.counts, ending, room)

    def _check_stations(self, bay: int, at: Array) -> Array:
        """Ends of the bay and its middle, and both sides of every step inside it [m]."""
        start, end = self.lattice.stations[bay : bay + 2]
        steps = np.concatenate([at, self.lattice.mold_line.stations])
        steps = steps[(steps > start) & (steps < end)]
        last = end if bay == self.lattice.bays - 1 else np.nextafter(end, 0.0)
        return np.unique([start, last, (start + end) / 2, *steps, *np.nextafter(steps, np.inf)])

    def _all(self, candidate: int, bay: int, cases: NDArray[np.int64] | None = None) -> Array:
        """Reserve factors of one lay-up at every station of its bay, shape (check, case, state, wall) [-]."""
        s, F = self.stations[bay], self.forces[bay]
        F = F if cases is None else F[:, cases]
        self.evaluations += F.shape[0] * F.shape[1]
        return self.feasibility.reserve(np.full(len(s), candidate), s, F)

    def _refute(self, bay: int, reserve: Array, cases: NDArray[np.int64]) -> None:
        """Close every open lay-up of a bay that fails where one lay-up was found hardest pressed.

        That is the station where it fails worst, and there the worst case of each wall and state that fails.
        """
        check = int(reserve.min(axis=(1, 2, 3)).argmin())
        here = reserve[check]
        worst = here.min(axis=0)
        order = np.argsort(worst, axis=None, kind="stable")[:CUTS]
        pieces = [Piece(*(int(i) for i in np.unravel_index(place, worst.shape))) for place in order]
        pieces = [piece for piece in pieces if worst[piece] < 1 - ROUNDING]
        pressing = dict.fromkeys(int(cases[here[:, p.state, p.wall].argmin()]) for p in pieces)
        self._pressing |= pressing
        candidates = np.flatnonzero(self.open_[bay])
        forces = self.forces[bay][check, list(pressing)]
        self.evaluations += len(candidates) * len(pressing)
        found = self.feasibility.reserve(
            candidates,
            np.full(len(candidates), self.stations[bay][check]),
            np.broadcast_to(forces, (len(candidates), *forces.shape)),
            pieces,
        )
        self.open_[bay, candidates[found.min(axis=(1, 2, 3)) < 1 - ROUNDING]] = False

    def _first_cuts(self) -> None:
        """Let the lightest lay-up of each bay show which cases press hardest."""
        every = np.arange(self.forces[0].shape[1])
        for bay in range(self.lattice.bays):
            if self.open_[bay].any():
                lightest = int(np.where(self.open_[bay], self.mass[bay], np.inf).argmin())
                reserve = self._all(lightest, bay)
                if reserve.min() < 1 - ROUNDING:
                    self._refute(bay, reserve, every)

    def judge(self, chain: NDArray[np.int64]) -> int:
        """Judge a chain in every case at every station, and refute what fails.

        The cases that refuted a lay-up before are tried first; only what holds these is judged in all.

        Parameters
        ----------
        chain : ndarray of int, shape (bay,)
            Candidate of each bay [-].

        Returns
        -------
        int
            Number of bays whose lay-up failed [-].
        """
        every = np.arange(self.forces[0].shape[1])
        failed = 0
        for bay, candidate in enumerate(chain.tolist()):
            if (bay, candidate) in self._held:
                continue
            for cases in (np.array(list(self._pressing), dtype=np.int64), every):
                reserve = self._all(candidate, bay, cases) if cases.size else np.ones((1, 1, 1, 1))
                if reserve.min() < 1 - ROUNDING:
                    failed += 1
                    self.open_[bay, candidate] = False
                    self._refute(bay, reserve, cases)
                    break
            else:
                self._held.add((bay, candidate))
        return failed

    def why_not(self, labels: NDArray[np.generic]) -> str:
        """Say which bay, case, station and mode cannot be met, and how far off.

        Parameters
        ----------
        labels : ndarray, shape (case,)
            Names of the cases [-].

        Returns
        -------
        str
            The reason why there is no chain.
        """
        for bay in range(self.lattice.bays):
            if not self.open_[bay].any():
                return self._no_layup(bay, labels)
        for bay in range(self.lattice.bays - 1, -1, -1):
            total, _ = self._chain(bay)
            if not np.isfinite(total):
                room = self.lattice.most_dropped()[bay] * 1e3
                return (
                    f"no lay-up that holds in {self._name(bay)} can run on into one that holds outboard of it: counts may not "
                    f"grow toward the tip and at most {room:.3g} mm may end at {self.lattice.stations[bay + 1]:.4g} m; "
                    "take longer bays, or a deeper section toward the tip"
                )
        reject("why_not", "a chain that exists", "called when there is none")

    def _name(self, bay: int) -> str:
        start, end = self.lattice.stations[bay : bay + 2]
        return f"bay {bay + 1} ({start:.4g} to {end:.4g} m)"

    def _no_layup(self, bay: int, labels: NDArray[np.generic]) -> str:
        fits = np.flatnonzero(np.isfinite(self.mass[bay]))
        if not fits.size:
            thinnest = self.lattice.wall_thickness(self.counts).max(axis=1).min() * 1e3
            return f"{self._name(bay)}: the thinnest lay-up, {thinnest:.3g} mm, is thicker than the outside corner radius"
        lowest = np.array([self._all(int(candidate), bay).min() for candidate in fits])
        best = int(fits[lowest.argmax()])
        reserve = self._all(best, bay).min(axis=(2, 3))
        check, case = np.unravel_index(reserve.argmin(), reserve.shape)
        station = float(self.stations[bay][check])
        strut = Strut(self.lattice.mold_line, self.lattice.book(np.tile(self.counts[best], (self.lattice.bays, 1))))
        found = wall_ratios(strut, station, self.forces[bay][check, [case]], self.requirement)
        worst = min(found, key=lambda r: float(r.ratio.min()))
        wall, mode = self.lattice.mold_line.wall_names[worst.wall], worst.mode
        margin = float(worst.ratio.min()) / self.requirement.ultimate_factor - 1
        laid = ", ".join(f"{n} {kind.name}" for n, kind in zip(self.counts[best], self.lattice.kinds, strict=True))
        return (
            f"no lay-up of the lattice holds in {self._name(bay)}: the best one ({laid} groups per side) has margin {margin:+.3f} "
            f"in case {labels[case]} at station {station:.4g} m, wall {wall}, mode {mode}; "
            "give the lattice more plies there, a larger section, or a stronger lamina"
        )
