"""The lightest ply book, with its proof.

The internal forces of a strut held at the trunnion follow from equilibrium alone, so whether a
lay-up holds in a bay depends on that bay only; bays are tied to each other by the mold line, by
counts that never grow toward the tip and by the room that ending plies need. The search is

1. find the lightest chain of lay-ups not yet refuted (exact, `cheapest_chain`);
2. judge its lay-ups in every load case at every station of their bays;
3. refute every lay-up that fails, and with it all others that fail the same case at the same
   station; go to 1.
4. If nothing failed, build the strut and judge it from its ply book by `beam.margins`. What fails there in
   a wall by a mode that step 2 leaves out (curved walls and corners) is refuted, too; go to 1. If nothing failed, stop.

A lay-up is only ever refuted by a load case that it does not hold, so the lightest chain of
step 1 is at every pass a lower bound on the mass of any feasible book of the lattice, and the
last one is feasible itself: the bound is met. Search and margin table share the theory of section,
buckling and criteria; lay-ups, mass and batches each has its own.

Modes of the whole strut (column, deflection and twist of the tip) belong to no bay, so that no lay-up can be
refuted by them, and the lightest book that holds them is not found: where the lightest book by its walls
fails as a whole, the search stops and says so.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from beam.sizing.diagnosis import why_not
from beam.sizing.lattice import Counts, Lattice
from beam.sizing.mass import bay_masses
from beam.sizing.search import ROUNDING, Search
from beam.sizing.second import SecondJudge
from beam.strength.global_modes import WHOLE_STRUT
from beam.strength.requirement import Requirement
from beam.strut import PointLoads, Strut
from materials.checks import Array, reject
from materials.kinds import instance

if TYPE_CHECKING:
    import pandas as pd


class InfeasibleSizing(ValueError):
    """No ply book of the lattice holds every case: which bay, case, station and mode, and how far off."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Sizing:
    """The lightest ply book of a lattice and what proves it.

    Parameters
    ----------
    strut : Strut
        The strut laid up as found.
    lattice : Lattice
        What was searched.
    counts : ndarray of int, shape (bay, kind)
        Groups of every kind per side of the mid-plane [-].
    bound : float
        Lower bound on the mass of every feasible book of the lattice [kg].
    margins : DataFrame
        Margins of the strut, found from its ply book by `beam.margins`.
    evaluations : int
        Judgements of one lay-up against one load case at one station [-].
    passes : int
        Times the lightest chain was sought [-].
    """

    strut: Strut
    lattice: Lattice
    counts: Counts
    bound: float
    margins: "pd.DataFrame"
    evaluations: int
    passes: int

    @property
    def mass(self) -> float:
        """Mass of the strut, summed from its ply book and not by the search [kg]."""
        return self.strut.mass

    @property
    def gap(self) -> float:
        """Mass over the lower bound, less one [-]; zero to rounding proves the minimum."""
        return self.mass / self.bound - 1

    @cached_property
    def bay_mass(self) -> Array:
        """Mass of each bay, shape (bay,) [kg]."""
        return np.array([bay_masses(self.lattice, n[None])[i, 0] for i, n in enumerate(self.counts)])

    @property
    def kinds_at_limit(self) -> tuple[str, ...]:
        """Kinds that use their `most` somewhere: a wider lattice might be lighter still."""
        return tuple(k.name for i, k in enumerate(self.lattice.kinds) if (self.counts[:, i] == k.most).any())


def lightest(
    lattice: Lattice,
    loads: PointLoads,
    requirement: Requirement,
    *,
    cases: ArrayLike | None = None,
    progress: Callable[[str], None] | None = None,
) -> Sizing:
    """Find the lightest ply book of a lattice that holds every case with margin >= 0.

    Parameters
    ----------
    lattice : Lattice
        Mold line, bays and kinds of plies.
    loads : PointLoads
        Limit loads on the strut, clamped at the root.
    requirement : Requirement
        Services, factors and criteria.
    cases : array_like of str, shape (case,), optional
        Labels of the load cases; their numbers if not given.
    progress : callable, optional
        Called with a line of text after every step.

    Returns
    -------
    Sizing
        With the bound that proves it.

    Raises
    ------
    ValueError
        If a criterion has no convex set of safe strains: judge such a book with `beam.margins`.
    InfeasibleSizing
        If no book of the lattice holds every case, or none obeys the rule for ending plies.
    RuntimeError
        If the second judgement of the winner contradicts the search.
    """
    instance("lightest: lattice", lattice, Lattice)
    instance("lightest: requirement", requirement, Requirement)
    if progress is not None and not callable(progress):
        reject("lightest: progress", repr(progress), "callable with a line of text")
    if instance("lightest: loads", loads, PointLoads).force.ndim != 3:
        reject("lightest: loads", f"force of shape {loads.force.shape}", "(case, load, 3)")
    labels = np.arange(loads.force.shape[0]) if cases is None else np.asarray(cases)
    if labels.shape != (loads.force.shape[0],):
        reject(
            "lightest: cases",
            f"shape {labels.shape}",
            f"({loads.force.shape[0]},), one label for each load case",
        )
    if unproved := [criterion.name for criterion in requirement.criteria if not criterion.convex]:
        reject(
            "lightest: criteria",
            unproved,
            "convex",
            "the search looks at the outermost surfaces of each kind alone",
        )
    if len(np.unique(labels)) != len(labels):
        twice = sorted({str(one) for one in labels if (labels == one).sum() > 1})
        reject("lightest: cases", twice, "labels that differ", "two load cases of one name?")
    for service in requirement.services:
        service.temperature_change(*(kind.lamina for kind in lattice.kinds))
    say = progress or _silent
    search = Search(lattice, loads, requirement, say)
    second = SecondJudge(search, loads, labels)
    passes = 0
    while True:
        passes += 1
        bound, chain = search.lightest()
        if not np.isfinite(bound):
            raise InfeasibleSizing(why_not(search, labels, second.failed))
        failed = search.judge(chain)
        say(
            f"pass {passes}: no book can be lighter than {bound:.4f} kg; "
            f"in the book of that mass {failed} of {len(chain)} bays fail"
        )
        if failed:
            continue
        say("judging the book found once more, from its plies")
        strut = Strut(lattice.mold_line, lattice.book(search.counts[chain]))
        closed, table = second.judge(strut, chain)
        if table is not None:
            break
        say(f"by modes that only the margin table judges, {closed} of {len(chain)} bays fail")
    sizing = Sizing(
        strut=strut,
        lattice=lattice,
        counts=search.counts[chain],
        bound=bound,
        margins=table,
        evaluations=search.evaluations,
        passes=passes,
    )
    _confirm(sizing)
    return sizing


def _silent(_: str) -> None:
    """Say nothing."""


def _confirm(sizing: Sizing) -> None:
    """Stop if the strut fails as a whole, or if the margin table or its mass contradicts the search."""
    whole = sizing.margins.xs(WHOLE_STRUT, level="wall")["margin"]
    if whole.min() < -ROUNDING:
        case, station, _, mode = whole.index[int(whole.argmin())]
        raise InfeasibleSizing(
            f"the lightest book of the lattice by its walls, {sizing.mass:.4g} kg, has margin {whole.min():+.3f} "
            f"as a whole strut in case {case} at station {station:.4g} m, mode {mode}; the search sizes walls, "
            "not the column or the tip: take a larger section, or raise the least counts"
        )
    worst = sizing.margins["margin"].min()
    blank = bool(sizing.margins["margin"].isna().any())
    if blank or not (worst >= -ROUNDING and abs(sizing.gap) <= ROUNDING):
        raise RuntimeError(
            f"lightest: the ply book found has lowest margin {worst:.3g} at {sizing.margins['margin'].idxmin()} "
            f"and mass {sizing.mass:.9g} kg against the bound {sizing.bound:.9g} kg: "
            "search and margin table disagree, do not use it"
        )
