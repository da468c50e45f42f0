"""The state of the search: what is still open in each bay, and what refuted the rest."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from beam.sizing.chain import Mask, cheapest_chain
from beam.sizing.feasibility import Feasibility, Piece
from beam.sizing.lattice import Lattice
from beam.sizing.mass import bay_masses
from beam.strength.requirement import Requirement
from beam.strength.wall_ratios import PLACES
from beam.strut import PointLoads
from beam.strut.axis import Axis
from beam.strut.statics import outboard, past
from materials.checks import Array

# How many places of a failed lay-up are used to refute others with. Any number finds the same book.
CUTS = 6
# Reserve factors are sums of rounded terms; a lay-up this close to 1 is not refuted here, nor by the margin table.
ROUNDING = 1e-9
# Where in a wall many lay-ups are judged together: a failure there is a failure; what holds there is judged everywhere.
COARSE = (0.0, 0.5, 1.0)


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
    progress : callable
        Called with a line of text after every bay.
    """

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
        self._held: set[tuple[int, int]] = set()
        self._pressing: dict[int, None] = {}
        self._first_cuts(progress)

    def lightest(self, first: int = 0) -> tuple[float, NDArray[np.int64]]:
        """Find the lightest chain of what is still open.

        Parameters
        ----------
        first : int
            Bay to start from; the chain runs from there to the tip [-].

        Returns
        -------
        total : float
            Its mass; from the root, a lower bound for every book that holds [kg]. inf if there is none.
        chain : ndarray of int, shape (bay,)
            Candidate of each bay [-].
        """
        return cheapest_chain(
            self.mass[first:],
            self.open_[first:],
            self.counts,
            self.lattice.group_thickness,
            self.lattice.most_dropped()[first:],
            self.lattice.most_ending,
        )

    def name(self, bay: int) -> str:
        """Number and ends of a bay, for people.

        Parameters
        ----------
        bay : int
            Index of the bay [-].

        Returns
        -------
        str
            As in "bay 1 (0 to 0.05 m)".
        """
        start, end = self.lattice.stations[bay : bay + 2]
        return f"bay {bay + 1} ({start:.4g} to {end:.4g} m)"

    def _check_stations(self, bay: int, at: Array) -> Array:
        """Ends of the bay and its middle, and both sides of every step and load in it [m].

        A load still counts at its own station, and a little beyond: `past` is its outboard side.
        """
        start, end = self.lattice.stations[bay : bay + 2]
        steps = np.concatenate([at, self.lattice.mold_line.stations])
        steps = steps[(steps > start) & (steps < end)]
        last = end if bay == self.lattice.bays - 1 else np.nextafter(end, 0.0)
        beyond = past(at, self.lattice.mold_line.length)
        beyond = beyond[(beyond > start) & (beyond < last)]
        return np.unique([start, last, (start + end) / 2, *steps, *beyond])

    def reserve(self, candidate: int, bay: int, cases: NDArray[np.int64] | None = None) -> Array:
        """Reserve factors of one lay-up at every station of a bay.

        Parameters
        ----------
        candidate : int
            Index of the candidate [-].
        bay : int
            Index of the bay [-].
        cases : ndarray of int, shape (case,), optional
            Which cases; all if not given [-].

        Returns
        -------
        ndarray, shape (check, case, state, wall, place)
            As `Feasibility.reserve` says [-].
        """
        s, F = self.stations[bay], self.forces[bay]
        F = F if cases is None else F[:, cases]
        self.evaluations += F.shape[0] * F.shape[1]
        return self.feasibility.reserve(np.full(len(s), candidate), s, F)

    def pressed(self, candidates: NDArray[np.int64], bay: int) -> Array:
        """Lowest reserve factor of many lay-ups in the cases that refuted lay-ups before; in all if none did.

        Parameters
        ----------
        candidates : ndarray of int, shape (layup,)
            Which candidates [-].
        bay : int
            Index of the bay [-].

        Returns
        -------
        ndarray, shape (layup,)
            Lowest over the stations of the bay, those cases, states, walls, and their ends and middles [-].
        """
        cases = list(self._pressing) or list(range(self.forces[bay].shape[1]))
        lowest = np.full(len(candidates), np.inf)
        for s, F in zip(self.stations[bay], self.forces[bay], strict=True):
            forces = np.broadcast_to(F[cases], (len(candidates), len(cases), 6))
            found = self.feasibility.reserve(candidates, np.full(len(candidates), s), forces, places=COARSE)
            np.minimum(lowest, found.min(axis=(1, 2, 3, 4)), out=lowest)
        return lowest

    def _refute(self, bay: int, reserve: Array, cases: NDArray[np.int64]) -> None:
        """Close every open lay-up of a bay that fails where one lay-up was found hardest pressed.

        That is the station where it fails worst, and there the worst case and place of each wall and state that fails.
        """
        check = int(reserve.min(axis=(1, 2, 3, 4)).argmin())
        here = reserve[check]
        worst = here.min(axis=(0, 3))
        order = np.argsort(worst, axis=None, kind="stable")[:CUTS]
        pieces = [Piece(*(int(i) for i in np.unravel_index(at, worst.shape))) for at in order]
        pieces = [piece for piece in pieces if worst[piece] < 1 - ROUNDING]
        hardest = [np.unravel_index(here[:, p.state, p.wall].argmin(), here[:, 0, 0].shape) for p in pieces]
        pressing = dict.fromkeys(int(cases[case]) for case, _ in hardest)
        self._pressing |= pressing
        candidates = np.flatnonzero(self.open_[bay])
        if not candidates.size:
            return
        forces = self.forces[bay][check, list(pressing)]
        self.evaluations += len(candidates) * len(pressing)
        found = self.feasibility.reserve(
            candidates,
            np.full(len(candidates), self.stations[bay][check]),
            np.broadcast_to(forces, (len(candidates), *forces.shape)),
            pieces,
            sorted({*COARSE, *(PLACES[place] for _, place in hardest)}),
        )
        self.open_[bay, candidates[found.min(axis=(1, 2, 3, 4)) < 1 - ROUNDING]] = False

    def _first_cuts(self, progress: Callable[[str], None]) -> None:
        """Let the lightest lay-up of each bay show which cases press hardest."""
        every = np.arange(self.forces[0].shape[1])
        for bay in range(self.lattice.bays):
            if self.open_[bay].any():
                lightest = int(np.where(self.open_[bay], self.mass[bay], np.inf).argmin())
                reserve = self.reserve(lightest, bay)
                if reserve.min() < 1 - ROUNDING:
                    self._refute(bay, reserve, every)
            left = int(self.open_[bay].sum())
            progress(
                f"{self.name(bay)}: {left} of {len(self.counts)} lay-ups left by the hardest cases of the lightest"
            )

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
                reserve = self.reserve(candidate, bay, cases) if cases.size else np.ones((1, 1, 1, 1, 1))
                if not reserve.min() >= 1 - ROUNDING:
                    failed += 1
                    self.open_[bay, candidate] = False
                    self._refute(bay, reserve, cases)
                    break
            else:
                self._held.add((bay, candidate))
        return failed
