"""The lightest ply book, with its proof.

The section forces of a strut on statically determinate supports follow from equilibrium alone. So whether a lay-up
holds in a bay depends on that bay only. Bays are tied to each other by the mold line, by counts that never grow toward
the tip and by the length that ending plies need. The search is

1. Find the lightest chain of lay-ups not yet excluded (exact, `cheapest_chain`).
2. Judge its lay-ups in every load case at every station of their bays.
3. Exclude every lay-up that fails, and all others that fail the same case at the same station. Go to 1.
4. If nothing failed, build the strut and judge it from its ply book by `beam.margins`. Exclude what fails in a wall by
   a mode that step 2 leaves out (curved walls, corners) and go to 1. If nothing failed, stop.

A lay-up is only excluded by a load case that it does not hold. So the lightest chain of step 1 is at every pass a
lower bound on the mass of any feasible book of the lattice. The last one is feasible itself: the bound is met.

Limits of the whole strut (column, motion of the tip, frequency) belong to no bay. A book that fails one gives a cut: a
sum over the bays with a limit that every book which holds must meet (`beam.sizing.whole_strut`). Step 1 then finds
the lightest chain that meets the cuts (`beam.sizing.cut_chain`), still a lower bound. On the deflected strut a limit
is drawn in by the growth found, and the bound is that of first order.

On redundant supports the section forces are those of a book, held: the search goes on with those of the book found
until that book is the one held. The proof is then that of the held forces. The lower bound handed back is another one,
for any reaction (`beam.sizing.reaction_range`).

Taper, bands, ribs and ends add wall loads that tie the bays to each other. They are found on a book and held during the
search. Those of the book that it finds are held besides, so that every case counts once with the loads of each book,
until the book found is one of them. It then holds its own loads, and the proof is that of all held loads.
"""

from collections.abc import Callable, Iterable
from functools import cached_property
from typing import Annotated, Any

import numpy as np

from beam.sizing.diagnosis import why_not
from beam.sizing.lattice import Counts, Lattice, bay_masses
from beam.sizing.margin_recheck import MarginRecheck
from beam.sizing.reaction_range import lower_bound
from beam.sizing.search import ROUNDING, Search
from beam.strength.global_modes import tip_limits
from beam.strength.margins import margins
from beam.strength.ply_places import refuse_lacking
from beam.strength.requirement import Requirement, refuse_route
from beam.strut import Band, MoldLine, PlyBook, PointLoads, Rib, Strut
from beam.strut.introductions import End
from materials.checks import Array, Frozen, Items, Limits, Table, checked, default, reject


class InfeasibleSizing(ValueError):
    """No ply book of the lattice holds every case: which bay, case, station and mode, and how far off."""


class Sizing(Frozen):
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
    held : sequence of str
        Books whose added wall loads of taper, bands, ribs and ends were held; none: a long straight tube.
    supports : sequence of Support, or of one such sequence for each case, optional
        What it was sized on, as `lightest` took it; the strut stands on the first of several sets.
    notes : sequence of str
        What the proof rests on besides the lattice; none: nothing.

    Examples
    --------
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> sizing = lightest(LATTICE, PULL, REQUIREMENT)
    >>> sizing.counts.tolist(), sizing.kinds_at_limit
    ([[3], [3]], ())
    """

    strut: Strut
    lattice: Lattice
    counts: Counts
    bound: Annotated[float, Limits("kg", above=0.0)]
    margins: Table
    evaluations: int
    passes: int
    held: Annotated[Items[str], Limits(items=0)] = default(())
    supports: Any = None
    notes: Annotated[Items[str], Limits(items=0)] = default(())

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


@checked
def lightest(
    lattice: Lattice,
    loads: PointLoads,
    requirement: Requirement,
    *,
    cases: Any = None,
    bands: Annotated[Iterable[Band], Limits(items=0)] = (),
    ribs: Annotated[Iterable[Rib], Limits(items=0)] = (),
    root_end: End = "warping held",
    tip_end: End = "open",
    supports: Any = None,
    deflected: bool = False,
    start: Strut | None = None,
    progress: Callable[[str], None] | None = None,
) -> Sizing:
    """Find the lightest ply book of a lattice that holds every case with margin >= 0.

    Parameters
    ----------
    lattice : Lattice
        Mold line, bays and kinds of plies.
    loads : PointLoads
        Loads on the strut, each case with its level.
    requirement : Requirement
        Services, factors and checks; both load levels are sized for together.
    cases : array_like of str, shape (case,), optional
        Labels of the load cases; their numbers if not given.
    bands, ribs, root_end, tip_end, supports : as of `beam.Strut`
        Where loads enter, ribs, ends and restraint: one set of supports, or one for each case, empty for a clamp.
    deflected : bool
        Judge the book found on the deflected strut too and return that table, as `beam.margins` makes it.
    start : Strut, optional
        A strut near the answer; what taper, bands, ribs and ends add in it is held first. None: of the fewest plies.
    progress : callable, optional
        Called with a line of text after every step.

    Returns
    -------
    Sizing
        With the bound that proves it.

    Raises
    ------
    ValueError
        If there is no case, or a check lacks what it needs of a lamina.
    InfeasibleSizing
        If no book of the lattice holds every case, or none obeys the rule for ending plies.
    RuntimeError
        If the table contradicts the search, or, on redundant supports, no book is found and none is not proved.

    Notes
    -----
    mass >= bound for every feasible book; where ``sizing.gap`` is not 0, `Sizing.notes` says why. With taper or bands
    the bound is that of the held loads, those of the book found among them, and of flat plies in thick corners.

    Examples
    --------
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> found = lightest(LATTICE, PULL, REQUIREMENT)
    >>> found.counts.ravel().tolist(), f"{found.mass:.3f} kg", abs(found.gap) < 1e-12
    ([3, 3], '0.161 kg', True)
    """
    if loads.force.ndim != 3:
        reject("lightest: loads", f"force of shape {loads.force.shape}", "(case, load, 3)")
    count = len(loads.force)
    labels = np.arange(count) if cases is None else np.asarray(cases)
    if labels.shape != (count,):
        reject("lightest: cases", f"shape {labels.shape}", f"({count},), one label for each load case")
    if not count:
        reject("lightest: loads", "no case", "at least one", "a strut of the fewest plies would hold nothing")
    refuse_route(requirement, (kind.lamina for kind in lattice.kinds))
    refuse_lacking(requirement, (kind.lamina for kind in lattice.kinds))
    if len(np.unique(labels)) != len(labels):
        twice = sorted({str(one) for one in labels if (labels == one).sum() > 1})
        reject("lightest: cases", twice, "labels that differ", "two load cases of one name?")
    for state in requirement.states:
        state.temperature_change(*(state.lamina(kind.lamina) for kind in lattice.kinds))
        for kind in lattice.kinds:
            state.refuse_too_hot(state.lamina(kind.lamina))
    say = progress or (lambda _: None)
    bands, ribs = tuple(bands), tuple(ribs)

    def built(book: PlyBook) -> Strut:
        return Strut(
            lattice.mold_line,
            book,
            supports=search.sets[0][0],
            bands=bands,
            ribs=ribs,
            root_end=root_end,
            tip_end=tip_end,
        )

    straight = is_straight(lattice.mold_line) and not bands
    search = Search(lattice, loads, requirement, say, supports, hold=not straight, bands=bands)
    recheck = MarginRecheck(search, loads, labels)
    said: list[str] = []
    known: list[PlyBook] = []
    least = lattice.book(lattice.limits[0])
    first = built(least if start is None else start.ply_book)
    resting = [first]
    if search.redundant:
        search.rest_on(resting, ())
    elif not straight:
        search.hold(first)
    met: list[PlyBook] = [first.ply_book]
    together, strict = False, np.inf
    passes = 0
    while True:
        passes += 1
        bound, chain = search.lightest()
        if not np.isfinite(bound):
            reason = _no_stiff_book(search, built) or why_not(search, labels, recheck.failed)
            if search.redundant and np.isfinite(lower_bound(search, np.inf, straight=straight).mass):
                fullest = built(lattice.book(search.counts[search.heaviest()]))
                if fullest.ply_book in met:
                    raise RuntimeError(_unproved(resting, reason))
                met.append(fullest.ply_book)
                resting, search.whole = [fullest], search.whole.strict()
                search.rest_on(resting, recheck.failed)
                say(
                    "no book holds under these section forces of redundant supports: those of the fullest book are held"
                )
                continue
            raise InfeasibleSizing(reason)
        failed = search.judge(chain)
        say(
            f"pass {passes}: no book can be lighter than {bound:.4f} kg; "
            f"in the book of that mass {failed} of {len(chain)} bays fail"
        )
        if failed:
            continue
        strut = built(lattice.book(search.counts[chain]))
        if weak := search.whole.failing(search.struts(strut)):
            for one in weak:
                search.whole.cut(one, chain, str(labels[one.case]))
                say(
                    f"as a whole strut the book fails {one.mode} in case {labels[one.case]}, reserve {one.reserve:.4f}"
                )
            continue
        if search.redundant and strut.ply_book not in [one.ply_book for one in resting]:
            together = together or strut.ply_book in met
            met.append(strut.ply_book)
            resting = [*resting, strut] if together else [strut]
            change = search.rest_on(resting, recheck.failed)
            said.append(
                f"forces of redundant supports held as in the book of {strut.mass:.4f} kg, largest change of a "
                f"section force {change:.2g} of the largest"
            )
            say(said[-1])
            continue
        if not search.redundant and not straight and strut.ply_book not in known:
            known.append(strut.ply_book)
            search.hold(strut)
            said.append(f"book {len(known)} of {strut.mass:.4f} kg")
            say(f"what taper, bands and ribs add, found on {said[-1]}, is held too")
            continue
        say("judging the book found once more, from its plies")
        excluded, table = recheck.judge(strut, chain)
        if table is not None:
            if not deflected:
                break
            second = margins(
                strut,
                loads,
                requirement,
                stations=search.every,
                cases=labels,
                deflected=True,
                supports=supports,
            )
            grown = _grown(table, second, requirement)
            if not grown:
                table = second
                break
            strict = min(strict, bound)
            for mode, case, growth in grown:
                number = int(np.flatnonzero(labels.astype(str) == str(case))[0])
                search.whole.tighten(search.struts(strut), mode, number, growth, str(case))
                said.append(
                    f"{mode} in case {case} is held to its limit over {growth:.4f}, its growth by deflection"
                )
                say(said[-1])
            continue
        say(f"by modes that only the margin table judges, {excluded} of {len(chain)} bays fail")
    assert table is not None
    proved, notes = min(bound, strict), []
    if strut.thick_corners:
        notes.append(
            "the search judges plies of thick corners as flat: a lighter book that holds only by its curved stacks is "
            "not excluded by the bound"
        )
    if np.isfinite(strict):
        notes.append(
            f"on the deflected strut motions of the tip grow as found; no book is lighter than {strict:.4f} kg, "
            f"and none than {bound:.4f} kg if they grow as much in every book"
        )
    if search.redundant:
        relaxed = lower_bound(search, strut.mass, straight=straight)
        proved = min(relaxed.mass, strict)
        notes.append(
            f"the proof of {bound:.4f} kg is for the section forces of the book found, held: supports are redundant"
        )
        notes.append(f"lower bound for any book {proved:.4f} kg: {relaxed.basis}")
    sizing = Sizing(
        strut=strut,
        lattice=lattice,
        counts=search.counts[chain],
        bound=proved,
        margins=table,
        evaluations=search.evaluations,
        passes=passes,
        held=said,
        supports=supports,
        notes=notes,
    )
    _confirm(sizing, bound)
    return sizing


def _grown(first: Table, second: Table, requirement: Requirement) -> list[tuple[str, Any, float]]:
    """Tip limits that fail on the deflected strut: mode, case and how much the motion grew; refuse failing walls."""
    failing = second[(second["margin"] < -ROUNDING) & second["decides"]]
    names = failing.index.get_level_values("mode")
    tips = names.isin(list(tip_limits(requirement)))
    if not tips.all():
        walls = failing[~tips]
        worst = walls["margin"].idxmin()
        # With less, this very book passes the search again.
        need = requirement.deflection_allowance * float(first.loc[first["decides"], "reserve"].min())
        cause = f"on the deflected strut the margin is {walls['margin'].min():+.3f} at {worst}"
        reject(
            "lightest: requirement: deflection_allowance [-]",
            requirement.deflection_allowance,
            f"above {need:.4f}",
            cause,
        )
    return [
        (str(mode), case, float(first.loc[key, "reserve"] / failing.loc[key, "reserve"]))
        for key, mode, case in zip(failing.index, names, failing.index.get_level_values("case"), strict=True)
    ]


def _unproved(resting: list[Strut], reason: str) -> str:
    """What is known where no book holds under the forces held, and none is proved."""
    masses = ", ".join(f"{one.mass:.4g} kg" for one in resting)
    return (
        f"lightest: no book holds under the section forces that redundant supports have in the book of {masses}: "
        f"{reason}. That none exists is not proved: start from a strut that holds (start=)"
    )


def _no_stiff_book(search: Search, built: Callable[[PlyBook], Strut]) -> str:
    """Why no book that may hold by its walls holds as a whole strut; empty where the walls alone leave no book."""
    mass = np.where(search.open_, search.mass, np.inf)
    if not search.whole.weights or not np.isfinite(search.chains.outboard(mass)[0]).any():
        return ""
    what, nearest = search.whole.impossible(mass)
    head = f"no book of the lattice holds as a whole strut: {what}"
    if nearest is None:
        return f"{head}: each of these can be met, but not all in one book whose walls may hold"
    strut = built(search.lattice.book(search.counts[nearest]))
    mode = what.partition(" in case ")[0]
    spare = min(one.reserve for one in search.whole.failing(search.struts(strut)) if one.mode == mode)
    return (
        f"{head}; the nearest book, {strut.mass:.4g} kg, has margin {spare - 1:+.3f}; "
        "take a larger section, stiffer laminae or more plies"
    )


def is_straight(line: MoldLine) -> bool:
    """Whether a mold line has no taper."""
    return all(float(np.ptp(one)) == 0.0 for one in (line.width, line.height, line.corner_radius))


def _confirm(sizing: Sizing, bound: float) -> None:
    """Stop if the margin table or the mass of the strut contradicts the search."""
    deciding = sizing.margins.loc[sizing.margins["decides"], "margin"]
    worst = deciding.min()
    blank = bool(sizing.margins["margin"].isna().any())
    if blank or not (worst >= -ROUNDING and abs(sizing.mass / bound - 1) <= ROUNDING):
        raise RuntimeError(
            f"lightest: the ply book found has lowest margin {worst:.3g} at {deciding.idxmin()} "
            f"and mass {sizing.mass:.9g} kg against the bound {bound:.9g} kg: "
            "search and margin table disagree, do not use it"
        )
