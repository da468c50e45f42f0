"""Why a book is as it is: what governs each bay, and what keeps a group of plies from being left out or put in."""

from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.sizing.lattice import Counts, Lattice, book_of
from beam.sizing.problem import RADIUS, Problem, broken_rule, laid_up, passed_radius, with_some_cases
from beam.sizing.search import ROUNDING
from beam.strength.global_modes import WHOLE_STRUT
from beam.strength.margins import check_stations
from beam.strut.supports import support_sets
from materials.checks import Table

PLACE = ("case", "station", "wall", "ply", "mode", "service", "margin")
COLUMNS = ("start", "end", "counts", *PLACE, "binding", "neighbors")
MARGIN, ALLOWABLE, SUPPORTS, HELD = "margin", "allowable", "supports", "held loads"
MORE = "one more group"
"""It helps and is allowed: the nearest book was not sought to its end in the time given."""
FEW = 12
"""Cases of the lowest margins that judge a changed bay first; where it holds them, all cases follow."""


class Neighbor(NamedTuple):
    """A book with one group of a kind more or less, what refuses it, in words, and its margin in the bay."""

    counts: Counts
    rule: str
    words: str
    margin: float


def bay_table(problem: Problem, counts: Counts, table: Table, *, lighter: bool) -> Table:
    """What governs every bay of a book (bay, kind) with the margins of a table, and its neighbors.

    The neighbors have one group of a kind less where `lighter`; else one more, of the bays that fail. Row 0 is the
    strut as a whole.
    """
    import pandas as pd

    rows = table[table["decides"]].reset_index()
    bay_of_row = bay_of(problem.lattice, rows["station"].to_numpy()) + 1
    bay_of_row[(rows["wall"] == WHOLE_STRUT).to_numpy()] = 0
    out = []
    for bay in np.unique(bay_of_row).tolist():
        worst = lowest_row(rows[bay_of_row == bay])
        binding, words = MARGIN if lighter else SUPPORTS, ""
        if bay and (lighter or worst["margin"] < -ROUNDING):
            cases = lowest_cases(rows[bay_of_row == bay])
            found = neighbors(problem, counts, bay - 1, cases, lighter=lighter)
            rules = (one.rule for one in found)
            binding = "; ".join(dict.fromkeys(rules)) if lighter else _binding(found, worst["margin"])
            words = "; ".join(one.words for one in found)
        elif worst["margin"] >= -ROUNDING and not lighter:
            binding = ""
        start, end = problem.lattice.stations[[0, -1] if bay == 0 else [bay - 1, bay]]
        own = "" if bay == 0 else in_words(problem.lattice, counts[bay - 1])
        place = [worst[name] for name in PLACE]
        out.append([bay, start, end, own, *place, binding, words])
    return pd.DataFrame(out, columns=["bay", *COLUMNS]).set_index("bay")


def bay_of(lattice: Lattice, station: NDArray[np.float64]) -> NDArray[np.int64]:
    """Bay of each station, counted from 0."""
    inside = np.searchsorted(lattice.stations, station, side="right") - 1
    return np.clip(inside, 0, lattice.bays - 1)


def in_words(lattice: Lattice, counts: NDArray[np.int64]) -> str:
    """Groups per side of each kind."""
    return ", ".join(f"{n} {kind.name}" for n, kind in zip(counts, lattice.kinds, strict=True))


def lowest_row(rows: Table) -> Any:
    """The row of the least margin."""
    return rows.iloc[int(rows["margin"].to_numpy().argmin())]


def lowest_cases(rows: Table) -> list[Any]:
    """The `FEW` cases with the lowest margins of some rows."""
    return list(rows.groupby("case", observed=True)["margin"].min().nsmallest(FEW).index)


def neighbors(
    problem: Problem, counts: Counts, bay: int, cases: list[Any], *, lighter: bool
) -> list[Neighbor]:
    """Books with one group of each kind less, or more, in a bay, counted from 0.

    Counts never grow toward the tip. So a group is left out also of the bays outboard that have as many, and put in
    also inboard. Those of local kinds may, and change in the bay alone. Where a kind has no group, none is left out.
    `cases` judge first.
    """
    lattice, out = problem.lattice, []
    for i, kind in enumerate(lattice.kinds):
        if lighter and not counts[bay, i]:
            continue
        changed = counts.copy()
        if lighter:
            own = changed[bay : bay + 1 if kind.is_local else None, i]
            np.minimum(own, counts[bay, i] - 1, out=own)
        else:
            own = changed[bay if kind.is_local else 0 : bay + 1, i]
            np.maximum(own, counts[bay, i] + 1, out=own)
        bays = np.flatnonzero((changed != counts).any(axis=1))
        broken, margin = broken_rule(lattice, changed), np.nan
        if broken is None:
            rule, words, margin = _judged(problem, changed, bay, bays if lighter else None, cases)
        else:
            rule, words = broken
            if not lighter and rule != RADIUS:
                # What the group would do if the rule let it in, also where it runs as far as the kind may lie.
                along, lies = changed.copy(), ~np.array(kind.is_local) | (lattice.limits[1][:, i] > 0)
                along[lies, i] = np.maximum(along[lies, i], counts[bay, i] + 1)
                margin = max(_free_margin(problem, one, bay, cases) for one in (changed, along))
                words += f", else {margin:+.3f}" if np.isfinite(margin) else f", and {RADIUS}"
                rule = rule if np.isfinite(margin) else RADIUS
        sign = "less" if lighter else "more"
        out.append(Neighbor(changed, rule, f"{kind.name} 1 {sign}: {words}", margin))
    return out


def _free_margin(problem: Problem, counts: Counts, bay: int, cases: list[Any]) -> float:
    """Least margin in a bay of a book that breaks a rule; -inf where it passes the corner radius."""
    if passed_radius(problem.lattice, counts):
        return -np.inf
    try:
        return float(lowest(problem, counts, [bay], cases, whole=False)["margin"])
    except ValueError:
        return -np.inf


def _judged(
    problem: Problem, changed: Counts, bay: int, bays: Any, cases: list[Any]
) -> tuple[str, str, float]:
    """What refuses a book of the lattice, in words, and its margin: in its own bay first, in `bays`, then in all.

    Without `bays` only the walls of its own bay count.
    """
    full = list(range(problem.lattice.bays))
    every, whole = list(problem.cases or range(len(problem.loads.force))), bays is not None
    tried = (([bay], cases), (bays, cases), (full, every)) if whole else (([bay], cases), ([bay], every))
    for where, some in tried:
        row = lowest(problem, changed, where, some, whole=whole)
        if row["margin"] < -ROUNDING:
            at = bay_of(problem.lattice, np.array([row["station"]]))[0]
            of_strut = row["wall"] == WHOLE_STRUT
            there = "" if of_strut or at == bay else f" in bay {at + 1}"
            wall = "as a whole" if of_strut else row["wall"]
            words = f"{row['margin']:+.3f}{there}, {row['mode']}, {wall}, case {row['case']}"
            return MARGIN, words, float(row["margin"])
    return HELD, f"{row['margin']:+.3f} with the loads that it adds itself", float(row["margin"])


def lowest(problem: Problem, counts: Counts, bays: list[int], cases: list[Any], *, whole: bool) -> Any:
    """The row of the least margin of a book in some bays in some cases; also of the strut as a whole."""
    some, strut = with_some_cases(problem, cases), laid_up(problem, book_of(problem.lattice, counts))
    sets = support_sets("Problem", problem.supports, len(problem.loads.force))
    each = [check_stations(replace(strut, supports=own), problem.loads) for own, _ in sets]
    stations = np.unique(np.concatenate(each))
    table = some.margins(strut, stations=stations[np.isin(bay_of(problem.lattice, stations), bays)])
    rows = table[table["decides"]].reset_index()
    rows = rows if whole else rows[rows["wall"] != WHOLE_STRUT]
    return lowest_row(rows)


def _binding(found: list[Neighbor], margin: float) -> str:
    """What keeps a bay that fails by a margin from holding: the rule that refuses the group that helps most."""
    better = [one for one in found if one.margin > margin + 1e-6]
    if better:
        best = max(better, key=lambda one: one.margin)
        return MORE if best.rule in (MARGIN, HELD) else best.rule
    return RADIUS if any(one.rule == RADIUS for one in found) else ALLOWABLE
