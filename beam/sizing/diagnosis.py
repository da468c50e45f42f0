"""Why there is no ply book: which bay, case, station and mode cannot be met, and how far off."""

import numpy as np
from numpy.typing import NDArray

from beam.ratios import wall_ratios
from beam.sizing.search import Search
from beam.strut import Strut
from materials.checks import reject


def why_not(search: Search, labels: NDArray[np.generic]) -> str:
    """Explain a search that ended without a book.

    Parameters
    ----------
    search : Search
        Where it ended.
    labels : ndarray, shape (case,)
        Names of the cases [-].

    Returns
    -------
    str
        The reason.

    Raises
    ------
    ValueError
        If there is a book after all.
    """
    lattice = search.lattice
    for bay in range(lattice.bays):
        if not search.open_[bay].any():
            return _no_layup(search, bay, labels)
    for bay in range(lattice.bays - 1, -1, -1):
        total, _ = search.lightest(first=bay)
        if not np.isfinite(total):
            room = lattice.most_dropped()[bay] * 1e3
            return (
                f"no lay-up that holds in {search.name(bay)} can run on into one that holds outboard of it: "
                f"counts may not grow toward the tip, and at {lattice.stations[bay + 1]:.4g} m "
                f"at most {room:.3g} mm and {lattice.most_ending} groups of a kind may end; "
                "take other bays, or a deeper section toward the tip"
            )
    reject("why_not", "a search with a book", "one that found none")


def _no_layup(search: Search, bay: int, labels: NDArray[np.generic]) -> str:
    """No lay-up of the lattice holds in a bay: name the best one, what it fails and by how much."""
    lattice, requirement = search.lattice, search.requirement
    fits = np.flatnonzero(np.isfinite(search.mass[bay]))
    if not fits.size:
        thinnest = lattice.wall_thickness(search.counts).max(axis=1).min() * 1e3
        return f"{search.name(bay)}: the thinnest lay-up, {thinnest:.3g} mm, passes the outside corner radius"
    lowest = np.array([search.reserve(int(candidate), bay).min() for candidate in fits])
    best = int(fits[lowest.argmax()])
    reserve = search.reserve(best, bay).min(axis=(2, 3))
    check, case = np.unravel_index(reserve.argmin(), reserve.shape)
    station = float(search.stations[bay][check])
    strut = Strut(lattice.mold_line, lattice.book(np.tile(search.counts[best], (lattice.bays, 1))))
    found = wall_ratios(strut, station, search.forces[bay][check, [case]], requirement)
    worst = min(found, key=lambda r: float(r.ratio.min()))
    wall = lattice.mold_line.wall_names[worst.wall]
    margin = float(worst.ratio.min()) / requirement.ultimate_factor - 1
    laid = ", ".join(f"{n} {kind.name}" for n, kind in zip(search.counts[best], lattice.kinds, strict=True))
    where = f"at station {station:.4g} m, wall {wall}, mode {worst.mode}, {requirement.services[worst.service].name}"
    head = f"no lay-up of the lattice holds in {search.name(bay)}: the best one ({laid} groups per side)"
    if margin == -1.0:
        return (
            f"{head} fails {where}, without any load: cure and moisture stress alone break a ply; "
            "take a lamina that is stress-free at a lower temperature or stronger across its fibers"
        )
    return (
        f"{head} has margin {margin:+.3f} in case {labels[case]} {where}; "
        "give the lattice more plies there, a larger section, or a stronger lamina"
    )
