"""Why there is no ply book: which bay, case, station and mode cannot be met, and how far off."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from beam.sizing.lattice import in_every_bay, wall_thickness
from beam.sizing.margin_recheck import Failed
from beam.sizing.search import Search
from beam.strength.requirement import decides, level_of
from beam.strength.section_forces import in_service
from beam.strength.station_ratios import reserve as reserve_factor
from beam.strength.station_ratios import station_ratios
from beam.strut import Strut
from materials.checks import reject

Closed = Mapping[tuple[int, int], Failed]


def why_not(search: Search, labels: NDArray[np.generic], failed: Closed | None = None) -> str:
    """Reason why a search ended without a book; `failed` holds what the margin table excluded, by (bay, candidate)."""
    lattice = search.lattice
    for bay in range(lattice.bays):
        if not search.holds(bay):
            return _no_layup(search, bay, labels, failed or {})
    to_tip = search.chains.outboard(np.where(search.open_, search.mass, np.inf))
    for bay in range(lattice.bays - 1, -1, -1):
        if not np.isfinite(to_tip[bay]).any():
            return _no_run(search, bay, labels, failed or {})
    reject("why_not", "a search with a book", "one that found none")


def _no_layup(search: Search, bay: int, labels: NDArray[np.generic], failed: Closed) -> str:
    """Reason where no lay-up holds in a bay: the best one, what it fails and by how much."""
    fits = np.flatnonzero(np.isfinite(search.mass[bay]))
    if not fits.size:
        thinnest = wall_thickness(search.lattice, search.counts).max(axis=1).min() * 1e3
        return f"{search.name(bay)}: the thinnest lay-up, {thinnest:.3g} mm, passes the outside corner radius"
    best = _shortfall(search, bay, fits, labels, failed)
    return (
        f"no lay-up of the lattice holds in {search.name(bay)}: the best one {best}; "
        "give the lattice more plies there, a larger section, or a stronger lamina"
    )


def _no_run(search: Search, bay: int, labels: NDArray[np.generic], failed: Closed) -> str:
    """Reason where lay-ups hold in a bay but none can run on outboard: the best that could, and what it fails."""
    lattice = search.lattice
    room = lattice.most_dropped * 1e3
    head = (
        f"no lay-up that holds in {search.name(bay)} can run on into one that holds outboard of it: "
        f"counts may not grow toward the tip, and at {lattice.stations[bay + 1]:.4g} m "
        f"at most {room[bay]:.3g} mm and {lattice.most_ending} groups of a kind may end"
    )
    able = _able_to_run_on(search, bay)
    best = (
        f"; of those that can, the best one {_shortfall(search, bay, able, labels, failed)}"
        if able.size
        else ""
    )
    return (
        f"{head}{best}; give the lattice more plies, let more of them end at a station, or deepen the section"
    )


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
) -> str:
    """What the best of some lay-ups fails in a bay, and by how much."""
    lattice, requirement = search.lattice, search.requirement
    closed = [failed[bay, c].margin + 1 if (bay, c) in failed else np.inf for c in candidates.tolist()]
    best = search.best(candidates, bay, np.array(closed))
    laid = ", ".join(f"{n} {kind.name}" for n, kind in zip(search.counts[best], lattice.kinds, strict=True))
    if (bay, best) in failed:
        row = failed[bay, best]
        return (
            f"({laid} groups per side) has margin {row.margin:+.3f} in case {row.case} at station {row.station:.4g} m, "
            f"wall {row.wall}, mode {row.mode}, {row.service}"
        )
    reserve = search.reserve(best, bay).min(axis=(2, 3, 4))
    check, case = np.unravel_index(reserve.argmin(), reserve.shape)
    station = float(search.stations[bay][check])
    strut = Strut(lattice.mold_line, lattice.book(in_every_bay(lattice, search.counts[best])))
    factors = {level: one[[case]] for level, one in search.factors.items()}
    forces = search.forces[bay][check, [case]][None]
    found = [
        one._replace(service=indices[one.service])
        for indices, states, laid_up in in_service(strut, requirement)
        for one in station_ratios(laid_up, station, forces, requirement, states, factors=factors)
    ]
    spare = [
        (float(reserve_factor(one.ratio.min(axis=1), factors[level_of(requirement, one.mode)])[0]), one)
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
        return f"({laid} groups per side) fails {where}, without any load: cure and moisture stress alone break a ply"
    return f"({laid} groups per side) has margin {margin:+.3f} in case {labels[case % search.cases]} {where}"
