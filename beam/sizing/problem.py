"""What is sized, as one object: the lattice, the loads and the requirement, and the same with something changed."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Annotated, Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.sizing.lattice import Counts, Lattice, bay_masses, wall_thickness
from beam.strength.margins import margins
from beam.strength.requirement import Requirement
from beam.strut import Band, PointLoads, Rib, Strut
from beam.strut.introductions import End
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
        Loads on the strut, clamped at the root.
    requirement : Requirement
        Services, factors and checks.
    cases : sequence of str
        Labels of the load cases; none: their numbers.
    bands, ribs : sequences of Band and Rib
        Where loads enter, and the ribs of the strut.
    root_end, tip_end : {"warping held", "closed", "open"}
        Ends, as of `beam.Strut`.

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

    @checked
    def strut(self, counts: Sequence[Sequence[int]] | Counts) -> Strut:
        """The strut of a book of the lattice, with bands, ribs and ends.

        Parameters
        ----------
        counts : array_like of int, shape (bay, kind)
            Groups per side of the mid-plane [-].
        """
        return Strut(
            self.lattice.mold_line,
            self.lattice.book(counts),
            bands=self.bands,
            ribs=self.ribs,
            root_end=self.root_end,
            tip_end=self.tip_end,
        )

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
        return margins(strut, self.loads, self.requirement, stations=stations, cases=self.cases or None)

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


def least_margin(margins: Table) -> float:
    """Least margin that decides."""
    return float(margins.loc[margins["decides"], "margin"].min())


def with_some_cases(problem: Problem, cases: Sequence[Any]) -> Problem:
    """The problem under some of its cases, by their labels; numbers where it has none become labels."""
    labels = list(problem.cases or range(len(problem.loads.force)))
    numbers = [labels.index(one) for one in cases]
    return replace(problem, loads=problem.loads.take(numbers), cases=[str(one) for one in cases])


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


COUNT, GROWTH, DROP, SHARE, RADIUS, OTHER = (
    "count", "growth toward the tip", "drop rule", "least share", "corner radius", "shop rule"
)  # fmt: skip


def broken_rule(lattice: Lattice, counts: Counts) -> Broken | None:
    """The first rule of the lattice that a book, counts (bay, kind), breaks; None if it is one of the lattice."""
    kinds, ends = lattice.kinds, -np.diff(counts, axis=0)
    for column, kind in zip(counts.T, kinds, strict=True):
        if not kind.least <= column.min() <= column.max() <= kind.most:
            limit = f"at least {kind.least}" if column.min() < kind.least else f"at most {kind.most}"
            return Broken(COUNT, f"{limit} {kind.name}")
    for bay, ending in enumerate(ends, start=1):
        at = f"at {lattice.stations[bay]:.4g} m"
        if (ending < 0).any():
            return Broken(GROWTH, f"{kinds[int(ending.argmin())].name} {at}")
        if (ending > lattice.most_ending).any():
            return Broken(DROP, f"{at} at most {lattice.most_ending} groups of a kind end")
        if (ending @ lattice.group_thickness > lattice.most_dropped[bay - 1] * (1 + 1e-12)).any():
            return Broken(DROP, f"{at} at most {lattice.most_dropped[bay - 1] * 1e3:.3g} mm end")
    thickness = wall_thickness(lattice, counts)
    for i, kind in enumerate(kinds):
        own = lattice.group_thickness[i] > 0
        share = counts[:, i, None] * kind.group_thickness >= kind.least_share * thickness[:, own] * (
            1 - 1e-12
        )
        if not share.all():
            return Broken(SHARE, f"at least {kind.least_share:.0%} of a wall is {kind.name}")
    known = {tuple(row) for row in lattice.candidates.tolist()}
    if not all(tuple(row) in known for row in counts.tolist()):
        return Broken(OTHER, "no lay-up of the lattice")
    fits = np.isfinite(np.diagonal(bay_masses(lattice, counts)))
    if not fits.all():
        bay = int(np.flatnonzero(~fits)[0])
        return Broken(RADIUS, f"a wall of {thickness[bay].max() * 1e3:.3g} mm in bay {bay + 1}")
    return None
