"""Why there is no ply book: which bay, case, station and mode cannot be met, and how far off."""

from collections.abc import Callable, Mapping
from typing import Annotated, Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.sizing.lattice import book_of, thinnest, wall_thickness
from beam.sizing.margin_recheck import Failed
from beam.sizing.problem import Problem
from beam.sizing.search import Search
from beam.sizing.what_if import what_if, why_none
from beam.strength.requirement import decides, level_of
from beam.strength.section_forces import in_service
from beam.strength.station_ratios import reserve as reserve_factor
from beam.strength.station_ratios import station_ratios
from beam.strut import PlyBook, Strut
from materials.checks import Limits, Table, checked, reject

Seconds = Annotated[float, Limits("s", above=0.0)]


class InfeasibleSizing(ValueError):
    """No ply book of the lattice holds every case: which bay, case, station and mode, and how far off.

    Parameters
    ----------
    message : str
        What cannot be met.
    problem : Problem, optional
        What was sized.
    size : callable, optional
        Sizes a `Problem`, as `beam.sizing.size`.

    Examples
    --------
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> from dataclasses import replace
    >>> from beam.sizing import Problem, size
    >>> tight = replace(LATTICE.mold_line, corner_radius=[3e-4, 2e-4])
    >>> lattice = replace(LATTICE, mold_line=tight)
    >>> try:
    ...     size(Problem(lattice=lattice, loads=PULL, requirement=REQUIREMENT))
    ... except InfeasibleSizing as error:
    ...     print(error.why()["binding"].to_dict())
    {1: 'corner radius', 2: 'corner radius'}
    """

    def __init__(
        self, message: str, problem: Problem | None = None, size: Callable[..., Any] | None = None
    ) -> None:
        super().__init__(message)
        self.problem, self.size = problem, size

    def _given(self) -> tuple[Problem, Callable[..., Any]]:
        if self.problem is None or self.size is None:
            reject("InfeasibleSizing: problem, size", "none", "those of the sizing that failed")
        return self.problem, self.size

    @checked
    def why(self, *, seconds: Seconds = 60.0) -> Table:
        """Bays of the nearest book that fail, the worst first, and what keeps each from holding.

        Parameters
        ----------
        seconds : float
            Time after which the nearest book is not sought further [s].

        Returns
        -------
        DataFrame
            As of `Sizing.why`; bay 0 is the strut as a whole. The binding is a "count", the "corner radius", the "drop
            rule", the "stretch" of a local kind, a shop rule in its words or another rule that refuses the group that
            helps most; "allowable" where no group helps; "supports" for the strut as a whole. Neighbors have one group
            more, with the margin of the bay then.

        Notes
        -----
        The nearest book is the lightest one for the largest part of the loads that has a book, with groups put in
        where they raise the margin of a bay that fails under all loads. Where no part of the loads has a book, it
        starts from the thinnest lay-up.
        """
        return why_none(*self._given(), seconds)

    @checked
    def what_if(
        self, *, seconds: Seconds = 60.0, workers: Any = None, progress: Callable[[str], None] | None = None
    ) -> Table:
        """The smallest change of one section, count, allowable, load or rule that gives a book, by exact sizing.

        Parameters
        ----------
        seconds : float
            Time for each change; then its best so far [s].
        workers : int, Executor or callable, optional
            Number of processes, an executor, or a function like ``map`` [-].
        progress : callable, optional
            Called with a line of text and the time left after every change.

        Returns
        -------
        DataFrame
            Indexed by change, the smallest ratio first; columns group, before, after, times (after over before), mass
            [kg], note. After and mass are NaN where a change alone does not help; the note says how far it was tried.

        Notes
        -----
        Found by steps that double and by halves, to 1 %: the smallest where more of a change never harms.
        """
        return what_if(*self._given(), seconds, workers, progress)


Closed = Mapping[tuple[int, int], Failed]


class Shortfall(NamedTuple):
    """Margin of the best lay-up of a bay, and where it fails in words."""

    margin: float
    words: str


def why_not(search: Search, labels: NDArray[np.generic], failed: Closed | None = None) -> str:
    """Reason why a search ended without a book; `failed` holds what the margin table excluded, by (bay, candidate)."""
    lattice, closed = search.lattice, failed or {}
    empty = [bay for bay in range(lattice.bays) if not search.holds(bay)]
    fits = np.isfinite(search.mass).any(axis=1)
    if not fits.all():
        bay = int(np.flatnonzero(~fits)[0])
        thick = wall_thickness(lattice, thinnest(lattice))[bay].max() * 1e3
        return f"{search.name(bay)}: the thinnest lay-up, {thick:.3g} mm, passes the outside corner radius"
    if empty:
        best = {bay: _shortfall(search, bay, _fit(search, bay), labels, closed) for bay in empty}
        bay = min(best, key=lambda one: best[one].margin)
        others = f", the worst of {len(empty)} bays" if len(empty) > 1 else ""
        return f"no lay-up of the lattice holds in {search.name(bay)}{others}: the best one {best[bay].words}; {ASK}"
    to_tip = search.chains.outboard(np.where(search.open_, search.mass, np.inf))
    for bay in range(lattice.bays - 1, -1, -1):
        if not np.isfinite(to_tip[bay]).any():
            return _no_run(search, bay, labels, closed)
    reject("why_not", "a search with a book", "one that found none")


ASK = "why() and what_if() of this error tell more"


def _fit(search: Search, bay: int) -> NDArray[np.int64]:
    """Candidates inside the corner radius in a bay."""
    return np.flatnonzero(np.isfinite(search.mass[bay]))


def _no_run(search: Search, bay: int, labels: NDArray[np.generic], failed: Closed) -> str:
    """Reason where lay-ups hold in a bay but none can run on outboard: the best that could, and what it fails."""
    lattice = search.lattice
    most = lattice.most_dropped * 1e3
    head = (
        f"no lay-up that holds in {search.name(bay)} can run on into one that holds outboard of it: "
        f"counts may not grow toward the tip, and at {lattice.stations[bay + 1]:.4g} m "
        f"at most {most[bay]:.3g} mm and {lattice.most_ending} groups of a kind may end"
    )
    able = _able_to_run_on(search, bay)
    best = (
        f"; of those that can, the best one {_shortfall(search, bay, able, labels, failed).words}"
        if able.size
        else ""
    )
    return f"{head}{best}; {ASK}"


def _able_to_run_on(search: Search, bay: int) -> NDArray[np.int64]:
    """Candidates of a bay, holding there or not, from which a chain of open lay-ups leads to the tip."""
    mass = np.where(search.open_, search.mass, np.inf)
    mass[bay] = search.mass[bay]
    return np.flatnonzero(np.isfinite(search.chains.outboard(mass)[bay]))


def _shortfall(
    search: Search,
    bay: int,
    candidates: NDArray[np.int64],
    labels: NDArray[np.generic],
    failed: Closed,
) -> Shortfall:
    """What the best of some lay-ups fails in a bay, and by how much."""
    lattice, requirement = search.lattice, search.requirement
    closed = [failed[bay, c].margin + 1 if (bay, c) in failed else np.inf for c in candidates.tolist()]
    best = search.best(candidates, bay, np.array(closed))
    laid = ", ".join(f"{n} {kind.name}" for n, kind in zip(search.counts[best], lattice.kinds, strict=True))
    if (bay, best) in failed:
        row = failed[bay, best]
        words = (
            f"({laid} groups per side) has margin {row.margin:+.3f} in case {row.case} at station {row.station:.4g} m, "
            f"wall {row.wall}, mode {row.mode}, {row.service}"
        )
        return Shortfall(row.margin, words)
    reserve = search.reserve(best, bay).min(axis=(2, 3, 4))
    check, case = np.unravel_index(reserve.argmin(), reserve.shape)
    station = float(search.stations[bay][check])
    strut = Strut(lattice.mold_line, _only_in(search, bay, search.counts[best]))
    factors = {level: one[[case]] for level, one in search.factors.items()}
    forces = search.forces[bay][check, [case]][None]
    found = [
        one._replace(service=indices[one.service])
        for indices, states, laid_up in in_service(strut, requirement)
        for one in station_ratios(laid_up, station, forces, requirement, states, factors=factors)
    ]
    spare = [
        (
            float(reserve_factor(one.ratio.min(axis=1), factors[level_of(requirement, one.mode)])[0])
            / search.feasibility.region_factor(station, one.mode),
            one,
        )
        for one in found
        if decides(requirement, one.mode)
    ]
    lowest, worst = min(spare, key=lambda pair: pair[0])
    margin = min(lowest, float(reserve.min())) - 1  # the search also has what bands, ribs and regions add
    where = (
        f"at station {station:.4g} m, wall {lattice.mold_line.wall_names[worst.wall]}, mode {worst.mode}, "
        f"{requirement.states[worst.service].title}"
    )
    if margin == -1.0:
        words = f"({laid} groups per side) fails {where}, without any load: cure and moisture stress alone break a ply"
        return Shortfall(margin, words)
    words = f"({laid} groups per side) has margin {margin:+.3f} in case {labels[case % search.cases]} {where}"
    return Shortfall(margin, words)


def _only_in(search: Search, bay: int, counts: NDArray[np.int64]) -> PlyBook:
    """Book with some counts (kind,) in one bay, and the thinnest elsewhere, where these may pass the corner radius."""
    book = thinnest(search.lattice).copy()
    book[bay] = counts
    return book_of(search.lattice, book)
