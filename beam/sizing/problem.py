"""What is sized, as one object: the lattice, the loads and the requirement, and the same with something changed."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Annotated, Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.sizing.lattice import Counts, Lattice, bay_masses, wall_thickness
from beam.strength.margins import margins
from beam.strength.ply_places import refuse_lacking
from beam.strength.requirement import Requirement
from beam.strut import Band, PlyBook, PointLoads, Rib, Strut
from beam.strut.introductions import End
from beam.strut.supports import Support, support_sets
from materials import Factor, Lamina
from materials.allowables import AllowableName
from materials.checks import Frozen, Items, Limits, Table, checked, default, reject

STRENGTHS: dict[str, tuple[AllowableName, ...]] = {
    "Xt": ("Xt", "e1t"),
    "Xc": ("Xc", "e1c"),
    "Yt": ("Yt", "e2t"),
    "Yc": ("Yc", "e2c"),
    "S": ("S", "S02", "g12"),
    "Zt": ("Zt",),
}
"""Allowables that belong to one test: a strength with its failure strain."""

_SCALE = Limits("-", at_least=0.1, at_most=10.0)


class Problem(Frozen):
    """A sizing problem.

    Parameters
    ----------
    lattice : Lattice
        Mold line, bays, kinds of plies and shop rules.
    loads : PointLoads
        Loads on the strut.
    requirement : Requirement
        Services, factors and checks.
    cases : sequence of str
        Labels of the load cases; none: their numbers.
    bands, ribs : sequences of Band and Rib
        Where loads enter, and the ribs of the strut.
    root_end, tip_end : {"warping held", "closed", "open"}
        Ends, as of `beam.Strut`.
    supports : sequence of Support, or of one such sequence for each case, optional
        What restrains the strut, as of `beam.lightest`.
    deflected : bool
        Judge books on the deflected strut too, as of `beam.lightest`.

    Raises
    ------
    ValueError
        If there is no case, or a check lacks what it needs of a lamina.

    Examples
    --------
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> from beam.sizing import size
    >>> problem = Problem(lattice=LATTICE, loads=PULL, requirement=REQUIREMENT)
    >>> [f"{size(one).mass:.3f} kg" for one in (problem, problem.reshaped(width_factor=0.8))]
    ['0.161 kg', '0.144 kg']
    """

    lattice: Lattice
    loads: PointLoads
    requirement: Requirement
    cases: Annotated[Items[str], Limits(items=0)] = default(())
    bands: Annotated[Items[Band], Limits(items=0)] = default(())
    ribs: Annotated[Items[Rib], Limits(items=0)] = default(())
    root_end: End = "warping held"
    tip_end: End = "open"
    supports: Any = None
    deflected: bool = False

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.loads.force.ndim == 3 and not len(self.loads.force):
            reject("Problem: loads", "no case", "at least one")
        refuse_lacking(self.requirement, (kind.lamina for kind in self.lattice.kinds))

    @checked
    def strut(self, counts: Sequence[Sequence[int]] | Counts) -> Strut:
        """The strut of a book of the lattice, with bands, ribs and ends.

        Parameters
        ----------
        counts : array_like of int, shape (bay, kind)
            Groups per side of the mid-plane [-].
        """
        return laid_up(self, self.lattice.book(counts))

    @checked
    def margins(
        self, strut: Strut, *, stations: Annotated[ArrayLike | None, Limits("m", shape=(-1,))] = None
    ) -> Table:
        """Margins of a strut in this problem, as `beam.margins`.

        Parameters
        ----------
        strut : Strut
            Any strut, as that of another problem.
        stations : array_like, shape (station,), optional
            Where to find margins; all that matter if not given [m].
        """
        return margins(
            strut,
            self.loads,
            self.requirement,
            stations=stations,
            cases=self.cases or None,
            supports=self.supports,
            deflected=self.deflected,
        )

    @checked
    def reshaped(
        self,
        *,
        width_factor: Annotated[float, _SCALE] = 1.0,
        height_factor: Annotated[float, _SCALE] = 1.0,
        tip_factor: Annotated[float, _SCALE] = 1.0,
    ) -> "Problem":
        """The same problem on a mold line of other size; its ends and the loads stay.

        Parameters
        ----------
        width_factor, height_factor : float
            On the width and the height of all stations [-].
        tip_factor : float
            On width and height at the tip; linear along the axis from 1 at the root [-].

        Notes
        -----
        Corner radii grow or shrink with the smaller of width and height, so that the corners stay inside the section.
        """
        line = self.lattice.mold_line
        along = 1.0 + (tip_factor - 1.0) * line.stations / line.length
        new = replace(
            line,
            width=width_factor * along * line.width,
            height=height_factor * along * line.height,
            corner_radius=min(width_factor, height_factor) * along * line.corner_radius,
        )
        return replace(self, lattice=replace(self.lattice, mold_line=new))

    @checked
    def with_laminae(self, new: Mapping[str, Lamina]) -> "Problem":
        """The same problem with other materials.

        Parameters
        ----------
        new : mapping of str to Lamina
            What takes the place of the laminae of these names.
        """
        known = {kind.lamina.name for kind in self.lattice.kinds}
        if unknown := set(new) - known:
            reject("Problem.with_laminae: new", sorted(unknown), f"among {sorted(known)}")
        return each_lamina(self, lambda one: new.get(one.name, one))


def laid_up(problem: Problem, book: PlyBook) -> Strut:
    """The strut of a problem with a book; of several sets of supports it stands on the first."""
    return Strut(
        problem.lattice.mold_line,
        book,
        supports=support_sets("Problem", problem.supports, len(problem.loads.force))[0][0],
        bands=problem.bands,
        ribs=problem.ribs,
        root_end=problem.root_end,
        tip_end=problem.tip_end,
    )


def least_margin(margins: Table) -> float:
    """Least margin that decides."""
    return float(margins.loc[margins["decides"], "margin"].min())


def with_some_cases(problem: Problem, cases: Sequence[Any]) -> Problem:
    """The problem under some of its cases, by their labels; numbers where it has none become labels."""
    labels = list(problem.cases or range(len(problem.loads.force)))
    numbers = [labels.index(one) for one in cases]
    supports = () if problem.supports is None else tuple(problem.supports)
    if not all(isinstance(one, Support) for one in supports):
        supports = tuple(supports[i] for i in numbers)
    return replace(
        problem,
        loads=problem.loads.take(numbers),
        cases=[str(one) for one in cases],
        supports=supports or None,
    )


def with_lattice(problem: Problem, values: Mapping[str, Any]) -> Problem:
    """The problem with other values of its lattice."""
    changed: dict[str, Any] = dict(values)
    return replace(problem, lattice=replace(problem.lattice, **changed))


def with_kind(problem: Problem, index: int, values: Mapping[str, Any]) -> Problem:
    """The problem with other values of one kind."""
    kinds, changed = list(problem.lattice.kinds), dict[str, Any](values)
    kinds[index] = replace(kinds[index], **changed)
    return with_lattice(problem, {"kinds": kinds})


def scaled(problem: Problem, factor: float) -> Problem:
    """The problem with all loads times a factor."""
    return replace(problem, loads=problem.loads.times(factor))


def with_cap(problem: Problem, index: int, name: str, value: float) -> Problem:
    """The problem with another cap of fiber strain in one of its checks."""
    checks = list(problem.requirement.checks)
    given = checks[index].caps
    assert given is not None
    values: dict[str, Any] = {name: value}
    caps = replace(given, **values)
    checks[index] = replace(checks[index], caps=caps, criterion=caps.criterion)
    return replace(problem, requirement=replace(problem.requirement, checks=checks))


def required(problem: Problem, name: str, value: Any) -> Problem:
    """The problem with another value in its requirement; a study may mix the two routes."""
    values: dict[str, Any] = {"mixed": problem.requirement.mixed or "a study of what is assumed", name: value}
    return replace(problem, requirement=replace(problem.requirement, **values))


def each_lamina(problem: Problem, change: Callable[[Lamina], Lamina]) -> Problem:
    """The problem with a function applied to the lamina of every kind."""
    kinds = [replace(kind, lamina=change(kind.lamina)) for kind in problem.lattice.kinds]
    return replace(problem, lattice=replace(problem.lattice, kinds=kinds))


def with_strengths(lamina: Lamina, factors: Mapping[str, float]) -> Lamina:
    """A lamina with some of its `STRENGTHS` as stated times factors; knockdowns act on them as before."""
    if lamina.allowables is None:
        return lamina
    stated = lamina.allowables.before or lamina.allowables
    values: dict[str, Any] = {
        name: getattr(stated, name) * factor
        for group, factor in factors.items()
        for name in STRENGTHS[group]
        if getattr(stated, name) is not None
    }
    if stated.highest is not None:
        highest: dict[str, Any] = {
            name: getattr(stated.highest, name) * factor
            for group, factor in factors.items()
            for name in STRENGTHS[group]
            if getattr(stated.highest, name) is not None
        }
        values["highest"] = replace(stated.highest, **highest)
    return replace(lamina, allowables=replace(stated, **values).times(*lamina.allowables.factors))


def scale_strength(problem: Problem, name: str, group: str, factor: float) -> Problem:
    """The problem with one of the `STRENGTHS` of the lamina of a name times a factor, also in its tests."""

    def scaled(lamina: Lamina) -> Lamina:
        return with_strengths(lamina, {group: factor})

    def service(one: Any) -> Any:
        tests = [
            replace(tested, conditions=[replace(at, lamina=scaled(at.lamina)) for at in tested.conditions])
            if tested.name == name
            else tested
            for tested in one.conditioned
        ]
        return replace(one, conditioned=tests)

    services = [service(one) for one in problem.requirement.services]
    out = replace(problem, requirement=replace(problem.requirement, services=services))
    return each_lamina(out, lambda one: scaled(one) if one.name == name else one)


def change_factor(problem: Problem, factor: Factor, value: float) -> Problem:
    """The problem with another value of one knockdown, on laminae and in services."""
    new = replace(factor, value=value)

    def swapped(factors: tuple[Factor, ...]) -> list[Factor]:
        return [new if one == factor else one for one in factors]

    def lamina(one: Lamina) -> Lamina:
        if one.allowables is None or factor not in one.allowables.factors:
            return one
        stated = one.allowables.before
        assert stated is not None
        return replace(one, allowables=stated.times(*swapped(one.allowables.factors)))

    services = [replace(one, factors=swapped(one.factors)) for one in problem.requirement.services]
    out = replace(problem, requirement=replace(problem.requirement, services=services))
    return each_lamina(out, lamina)


class Broken(NamedTuple):
    """A rule that a book breaks, and where."""

    rule: str
    where: str


COUNT, STRETCH, GROWTH, DROP, SHARE, RADIUS = (
    "count", "stretch", "growth toward the tip", "drop rule", "least share", "corner radius"
)  # fmt: skip


def broken_rule(lattice: Lattice, counts: Counts) -> Broken | None:
    """The first rule of the lattice that a book, counts (bay, kind), breaks; None if it is one of the lattice.

    A shop rule goes by its own words.
    """
    return (
        _count(lattice, counts)
        or _step(lattice, counts)
        or _share(lattice, counts)
        or _shop_rule(lattice, counts)
        or passed_radius(lattice, counts)
    )


def _count(lattice: Lattice, counts: Counts) -> Broken | None:
    """A kind with too few or too many groups, or outside its stretch."""
    least, most = lattice.limits
    for i, kind in enumerate(lattice.kinds):
        n, lies = counts[:, i], most[:, i] > 0
        if kind.is_local and (n[~lies] > 0).any():
            start, end = (kind.start or 0.0), (lattice.stations[-1] if kind.end is None else kind.end)
            return Broken(STRETCH, f"{kind.name} lies from {start:.4g} to {end:.4g} m alone")
        if (n < least[:, i]).any():
            return Broken(COUNT, f"at least {kind.least} {kind.name}")
        if (n > most[:, i]).any():
            return Broken(COUNT, f"at most {kind.most} {kind.name}")
    return None


def _step(lattice: Lattice, counts: Counts) -> Broken | None:
    """A station where a kind of the whole strut grows, or where too much ends or starts."""
    whole = np.array([not kind.is_local for kind in lattice.kinds])
    for station, most, step in zip(
        lattice.stations[1:-1], lattice.most_dropped, np.diff(counts, axis=0), strict=True
    ):
        at = f"at {station:.4g} m"
        if (grows := np.flatnonzero(whole & (step > 0))).size:
            return Broken(GROWTH, f"{lattice.kinds[grows[0]].name} {at}")
        for side, groups in (("end", np.maximum(-step, 0)), ("start", np.maximum(step, 0))):
            if (groups > lattice.most_ending).any():
                return Broken(DROP, f"{at} at most {lattice.most_ending} groups of a kind {side}")
            if (groups @ lattice.group_thickness > most * (1 + 1e-12)).any():
                return Broken(DROP, f"{at} at most {most * 1e3:.3g} mm {side}")
    return None


def _share(lattice: Lattice, counts: Counts) -> Broken | None:
    """A kind that is too small a part of a wall in a bay where it lies."""
    thickness, most = wall_thickness(lattice, counts), lattice.limits[1]
    for i, kind in enumerate(lattice.kinds):
        lies, own = most[:, i] > 0, lattice.group_thickness[i] > 0
        part = counts[lies, i, None] * kind.group_thickness
        if (part < kind.least_share * thickness[lies][:, own] * (1 - 1e-12)).any():
            return Broken(SHARE, f"at least {kind.least_share:.0%} of a wall is {kind.name}")
    return None


def _shop_rule(lattice: Lattice, counts: Counts) -> Broken | None:
    """A shop rule that the laminate of a wall breaks."""
    for rule in lattice.rules:
        if (broken := np.flatnonzero(~lattice._keeps(rule, counts))).size:
            return Broken(str(rule), f"{rule}, in bay {broken[0] + 1}")
    return None


def passed_radius(lattice: Lattice, counts: Counts) -> Broken | None:
    """A bay whose wall is thicker than the outside corner radius."""
    passes = ~np.isfinite(np.diagonal(bay_masses(lattice, counts)))
    if not passes.any():
        return None
    bay = int(passes.argmax())
    return Broken(
        RADIUS, f"a wall of {wall_thickness(lattice, counts)[bay].max() * 1e3:.3g} mm in bay {bay + 1}"
    )


def with_tip_limit(problem: Problem, index: int, value: float) -> Problem:
    """The problem with another value of one of its limits on the motion of the tip."""
    limits = list(problem.requirement.tip_limits)
    limits[index] = replace(limits[index], limit=value)
    return replace(problem, requirement=replace(problem.requirement, tip_limits=limits))
