"""What is sized, as one object: the lattice, the loads and the requirement, and the same with something changed."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Annotated, Any

import numpy as np

from beam.sizing.lattice import Counts, Lattice
from beam.sizing.sizing import Sizing, lightest
from beam.strength.margins import margins
from beam.strength.ply_places import refuse_lacking
from beam.strength.requirement import Requirement
from beam.strut import Band, PointLoads, Rib, Strut
from beam.strut.introductions import End
from beam.strut.supports import support_sets
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

    Raises
    ------
    ValueError
        If there is no case, or a check lacks what it needs of a lamina.

    Examples
    --------
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> problem = Problem(lattice=LATTICE, loads=PULL, requirement=REQUIREMENT)
    >>> [f"{one.size().mass:.3f} kg" for one in (problem, problem.reshaped(width_factor=0.8))]
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

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.loads.force.ndim == 3 and not len(self.loads.force):
            reject("Problem: loads", "no case", "at least one")
        refuse_lacking(self.requirement, (kind.lamina for kind in self.lattice.kinds))

    @checked
    def size(self, *, start: Strut | None = None) -> Sizing:
        """Find the lightest book, as `beam.lightest`.

        Parameters
        ----------
        start : Strut, optional
            A strut near the answer.
        """
        return lightest(
            self.lattice,
            self.loads,
            self.requirement,
            cases=self.cases or None,
            bands=self.bands,
            ribs=self.ribs,
            root_end=self.root_end,
            tip_end=self.tip_end,
            supports=self.supports,
            start=start,
        )

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
            supports=support_sets("Problem", self.supports, len(self.loads.force))[0][0],
            bands=self.bands,
            ribs=self.ribs,
            root_end=self.root_end,
            tip_end=self.tip_end,
        )

    @checked
    def margins(self, strut: Strut) -> Table:
        """Margins of a strut in this problem, as `beam.margins`.

        Parameters
        ----------
        strut : Strut
            Any strut, as that of another problem.
        """
        return margins(strut, self.loads, self.requirement, cases=self.cases or None, supports=self.supports)

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

    required = replace(problem.requirement, services=[service(one) for one in problem.requirement.services])
    out = replace(problem, requirement=required)
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


def obeys(lattice: Lattice, counts: np.ndarray) -> bool:
    """Whether a book, counts (bay, kind), is one of the lattice."""
    known = [{tuple(row) for row in lattice.candidates[own].tolist()} for own in lattice.allowed]
    ends = -np.diff(counts, axis=0)
    starting = lattice.most_ending * np.array([kind.is_local for kind in lattice.kinds])
    room = lattice.most_dropped[:, None] * (1 + 1e-12)
    return (
        all(tuple(row) in own for row, own in zip(counts.tolist(), known, strict=True))
        and bool(((ends >= -starting) & (ends <= lattice.most_ending)).all())
        and all(bool((np.maximum(one, 0) @ lattice.group_thickness <= room).all()) for one in (ends, -ends))
    )
