"""The lightest ply book, with its proof.

The section forces of a strut on statically determinate supports follow from equilibrium alone. So whether a lay-up
holds in a bay depends on that bay only. Bays are tied to each other by the mold line, by counts that never grow toward
the tip and by the length that ending plies need. The search is

1. Find the lightest chain of lay-ups not yet excluded (exact, `cheapest_chain`).
2. Judge its lay-ups in every load case at every station of their bays.
3. Exclude every lay-up that fails, and all others that fail the same case at the same station. Go to 1.
4. If nothing failed, build the strut and judge it from its ply book by `beam.margins`. Exclude what fails in a wall by
   a mode that step 2 leaves out (curved walls, corners), and the lightest others that fail the same case at the same
   station, with the added loads held. Go to 1. If nothing failed, stop.

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

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cached_property, partial
from typing import Annotated, Any

import numpy as np

from beam.sizing.diagnosis import InfeasibleSizing, Seconds, why_not
from beam.sizing.lattice import Counts, Lattice, bay_masses, is_straight
from beam.sizing.margin_recheck import MarginRecheck
from beam.sizing.problem import Problem, laid_up
from beam.sizing.reaction_range import lower_bound
from beam.sizing.scatter import Scatter, Variation, scatter, usual_variations
from beam.sizing.search import ROUNDING, Search
from beam.sizing.sensitivity import sensitivity
from beam.sizing.what_if import widened
from beam.sizing.why import bay_table
from beam.strength.global_modes import tip_limits
from beam.strength.margins import margins
from beam.strength.ply_places import refuse_lacking
from beam.strength.requirement import Requirement, refuse_route
from beam.strut import Band, PlyBook, PointLoads, Rib, Strut
from beam.strut.introductions import End
from materials.checks import Array, Frozen, Items, Limits, Table, checked, default, reject


class Sizing(Frozen):
    """The lightest ply book of a lattice and what proves it.

    Parameters
    ----------
    strut : Strut
        The strut laid up as found.
    problem : Problem
        What was sized: lattice, loads, requirement and supports; the strut stands on the first of several sets.
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
    problem: Problem
    counts: Counts
    bound: Annotated[float, Limits("kg", above=0.0)]
    margins: Table
    evaluations: int
    passes: int
    held: Annotated[Items[str], Limits(items=0)] = default(())
    notes: Annotated[Items[str], Limits(items=0)] = default(())

    @property
    def lattice(self) -> Lattice:
        """What was searched."""
        return self.problem.lattice

    @property
    def supports(self) -> Any:
        """What it was sized on, as `lightest` took it."""
        return self.problem.supports

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
    def why(self) -> Table:
        """What governs every bay, and what refuses the books that are lighter by one group.

        Returns
        -------
        DataFrame
            Indexed by bay, from 1 at the root; 0 is the strut as a whole. Columns start, end [m], counts; case, station
            [m], wall, ply, mode, service and margin of the lowest margin; binding: what refuses the lighter neighbors,
            of "margin", "count", "drop rule", shop rules in their words and other rules; neighbors: for each kind what
            refuses one group less. "held loads": the neighbor holds with what it adds itself to the wall loads, and
            only what other books add refuses it.

        Notes
        -----
        A group is left out of the bay and of the bays outboard that have no more; a local one of the bay alone. The
        cases of the lowest margins judge first: where a neighbor fails one of them, the others are not asked, and its
        margin may be lower still.

        Examples
        --------
        >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
        >>> lightest(LATTICE, PULL, REQUIREMENT).why().loc[2, "neighbors"]
        'tape 1 less: -0.330, buckling, inboard, case 0'
        """
        return bay_table(self.problem, self.counts, self.margins, lighter=True)

    @checked
    def widened(
        self,
        *,
        lower: bool = False,
        seconds: Seconds = 300.0,
        workers: Any = None,
        progress: Callable[[str], None] | None = None,
    ) -> Table:
        """What a wider lattice buys, by exact sizing.

        Parameters
        ----------
        lower : bool
            Lower the least counts too, where a kind stands at its least: they may be there for other reasons.
        seconds : float
            Time for each way to widen [s].
        workers : int, Executor or callable, optional
            Number of processes, an executor, or a function like ``map`` [-].
        progress : callable, optional
            Called with a line of text and the time left after every way.

        Returns
        -------
        DataFrame
            Indexed by change: "most" of each kind at its upper count, raised until it is not; "least"; each kind that
            does not run all round counted for its flat walls apart, corners with the first flat wall beside them; and
            those that buy mass together. Columns mass [kg], change_g [g], percent, note.

        Examples
        --------
        >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
        >>> sizing = lightest(LATTICE, PULL, REQUIREMENT)
        >>> sizing.widened(lower=True)["change_g"].to_dict()
        {}
        """
        return widened(
            size, self.problem, self, lower=lower, seconds=seconds, workers=workers, progress=progress
        )

    @checked
    def sensitivity(
        self,
        *,
        step: Annotated[float, Limits("-", above=0.0, below=0.5)] = 0.1,
        variants: Mapping[str, PointLoads] | None = None,
        only: Sequence[str] | None = None,
        workers: Any = None,
        progress: Callable[[str], None] | None = None,
    ) -> Table:
        """Mass and least margin against every assumption, each changed alone and the strut sized again.

        Parameters
        ----------
        step : float
            Share by which factors, caps, limits, strengths and loads are changed to both sides [-].
        variants : mapping of str to PointLoads, optional
            Other loads, as those of another landing, by name; with the same cases in the same order.
        only : sequence of str, optional
            Groups to change, of "factor", "allowable", "limit", "load", "shop rule" and "stacking", the order of the
            plies within the counts; all but the last if not given.
        workers : int, Executor or callable, optional
            Number of processes, an executor, or a function like ``map`` [-].
        progress : callable, optional
            Called with a line of text and the time left after every change.

        Returns
        -------
        DataFrame
            Indexed by (assumption, side); columns group, before, after, mass [kg], change_g [g] over the book of
            before, margin (least of the book of before, not sized again), new_margin (least of the new one), note.
            Mass is NaN where no book holds or the change is refused; the note says which.

        Notes
        -----
        A change is relaxed where it lets in more books. Factors, loads, caps, limits and shop rules are ordered: the
        books that hold the stricter problem hold the other. So a book of before that still holds a stricter problem,
        and obeys its rules, is its lightest book without another search. Strengths are ordered so only where no check
        is Tsai-Wu, whose surface moves in with one strength where it moves out with another.

        "stacking" lays each kind outermost, innermost and spread evenly in turn, and all in reverse: few of all orders.
        Its `margin` is that of the same counts in the other order.

        On a strut with taper or bands each re-sizing starts from what these add to the strut of before, and rests on
        the held loads of its own books, as `beam.lightest` says.

        An interrupt returns the changes that are finished; `progress` says how many.

        Examples
        --------
        >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
        >>> table = lightest(LATTICE, PULL, REQUIREMENT).sensitivity(only=["load"], step=0.4)
        >>> table["change_g"].round(1).to_dict()
        {('all loads', 'tightened'): 53.0, ('all loads', 'relaxed'): -53.4}
        """
        return sensitivity(
            self.problem,
            self,
            size,
            step=step,
            variants=variants,
            only=only,
            workers=workers,
            progress=progress,
        )

    @checked
    def scatter(
        self,
        variations: Sequence[Variation] | None = None,
        *,
        samples: Annotated[int, Limits("-", at_least=1000, at_most=100_000_000)] = 1 << 20,
        seed: Annotated[int, Limits("-", at_least=0)] = 0,
        workers: Any = None,
        progress: Callable[[str], None] | None = None,
    ) -> Scatter:
        """Probability that the strut fails where some quantities scatter: `beam.sizing.scatter` of it.

        Parameters
        ----------
        variations : sequence of Variation, optional
            What scatters; `usual_variations` if not given.
        samples : int
            Number of quasi-random samples [-].
        seed : int
            Of the samples [-].
        workers : int, Executor or callable, optional
            Number of processes, an executor, or a function like ``map`` [-].
        progress : callable, optional
            Called with a line of text after every step.
        """
        problem, strut = self.problem, self.strut
        some = usual_variations(problem, strut) if variations is None else variations
        return scatter(
            problem,
            strut,
            some,
            nominal=self.margins,
            samples=samples,
            seed=seed,
            workers=workers,
            progress=progress,
        )


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
    the bound is that of the held loads, those of the book found among them.

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
    labels = np.arange(count) if cases is None else np.asarray(cases).astype(str)
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

    problem = Problem(
        lattice=lattice,
        loads=loads,
        requirement=requirement,
        cases=() if cases is None else labels.tolist(),
        bands=bands,
        ribs=ribs,
        root_end=root_end,
        tip_end=tip_end,
        supports=supports,
        deflected=deflected,
    )
    built = partial(laid_up, problem)
    straight = is_straight(lattice.mold_line) and not bands
    search = Search(lattice, loads, requirement, say, supports, hold=not straight, bands=bands)
    recheck = MarginRecheck(search, loads, labels)
    said: list[str] = []
    known: list[PlyBook] = []
    if not np.isfinite(search.mass).any(axis=1).all():
        raise InfeasibleSizing(why_not(search, labels), problem, size)
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
            raise InfeasibleSizing(reason, problem, size)
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
            if strut.ply_book != first.ply_book:  # whose additions are held from the start
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
        problem=problem,
        counts=search.counts[chain],
        bound=proved,
        margins=table,
        evaluations=search.evaluations,
        passes=passes,
        held=said,
        notes=notes,
    )
    _confirm(sizing, bound)
    return sizing


@checked
def size(
    problem: Problem, *, start: Strut | None = None, progress: Callable[[str], None] | None = None
) -> Sizing:
    """Find the lightest book of a problem, as `beam.lightest`.

    Parameters
    ----------
    problem : Problem
        What is sized.
    start : Strut, optional
        A strut near the answer.
    progress : callable, optional
        Called with a line of text after every step.

    Returns
    -------
    Sizing
        With the bound that proves it.

    Raises
    ------
    InfeasibleSizing
        If there is no such book.

    Examples
    --------
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> f"{size(Problem(lattice=LATTICE, loads=PULL, requirement=REQUIREMENT)).mass:.3f} kg"
    '0.161 kg'
    """
    return lightest(
        problem.lattice,
        problem.loads,
        problem.requirement,
        cases=problem.cases or None,
        bands=problem.bands,
        ribs=problem.ribs,
        root_end=problem.root_end,
        tip_end=problem.tip_end,
        supports=problem.supports,
        deflected=problem.deflected,
        start=start,
        progress=progress,
    )


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
