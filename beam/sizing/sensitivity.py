"""Sensitivity: how much mass and margin every assumption costs, by exact re-sizing."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any, Literal, NamedTuple

import numpy as np

from beam.sizing.diagnosis import InfeasibleSizing
from beam.sizing.lattice import Counts, Lattice, PlyKind
from beam.sizing.parallel import finished_calls
from beam.sizing.problem import (
    STRENGTHS,
    Problem,
    broken_rule,
    change_factor,
    least_margin,
    required,
    scale_strength,
    scaled,
    with_cap,
    with_kind,
    with_lattice,
    with_some_cases,
    with_tip_limit,
)
from beam.sizing.search import ROUNDING
from beam.sizing.why import bay_of
from beam.strut import PointLoads
from laminate.failure import TsaiWu
from materials.checks import Table, reject

Side = Literal["relaxed", "tightened", "variant"]
Build = Callable[[], Problem]
USUAL = FACTOR, ALLOWABLE, LIMIT, LOAD, RULE = "factor", "allowable", "limit", "load", "shop rule"
STACKING = "stacking"
GROUPS = (*USUAL, STACKING)
SHARE_STEP = 0.05
"""By how much a least share is changed [-]."""


class Change(NamedTuple):
    """One assumption changed to one side.

    `problem` is None where the library refuses the change; `refused` then says why. `ordered`: a book that holds
    the stricter of the two problems holds the other, so that no re-sizing can go the wrong way.
    """

    assumption: str
    group: str
    side: Side
    before: str
    after: str
    problem: Problem | None
    ordered: bool
    refused: str = ""


class Before(NamedTuple):
    """The book of before: counts (bay, kind), mass [kg] and least margin [-]."""

    counts: Counts
    mass: float
    margin: float


class Resized(NamedTuple):
    """What a change does: mass [kg], least margin of the book of before and of the new one [-], and a note."""

    change: Change
    mass: float
    margin: float
    new_margin: float
    note: str


def sensitivity(
    problem: Problem,
    base: Any,
    size: Callable[..., Any],
    *,
    step: float,
    variants: Mapping[str, PointLoads] | None,
    only: Sequence[str] | None,
    workers: Any,
    progress: Callable[[str], None] | None,
) -> Table:
    """Table of `Sizing.sensitivity`; `base` is the sizing of before and `size` sizes a problem again."""
    wanted = USUAL if only is None else only
    if unknown := [one for one in wanted if one not in GROUPS]:
        reject("Sizing.sensitivity: only", unknown, f"among {GROUPS}")
    for name, loads in (variants or {}).items():
        if loads.force.shape[:1] != problem.loads.force.shape[:1]:
            cases = problem.loads.force.shape[0]
            what = f"Sizing.sensitivity: variants '{name}'"
            reject(what, f"{len(loads.force)} cases", f"{cases}, as the loads sized")
    changes = [one for one in assumptions(problem, base.margins, step, variants or {}) if one.group in wanted]
    before = Before(base.counts, base.mass, least_margin(base.margins))
    judge = partial(_resized, before, partial(size, start=base.strut))
    found = finished_calls("Sizing.sensitivity", judge, changes, workers, progress, partial(_said, base.mass))
    return _table([found[i] for i in sorted(found)], base.mass)


def assumptions(
    problem: Problem, margins: Table, step: float, variants: Mapping[str, PointLoads]
) -> Iterator[Change]:
    """Every change of every assumption."""
    yield from _factors(problem, step)
    yield from _allowables(problem, step)
    yield from _limits(problem, step)
    yield from _loads(problem, margins, step, variants)
    yield from _rules(problem)
    yield from _orders(problem)


def _change(
    assumption: str, group: str, side: Side, before: Any, after: Any, build: Build, *, ordered: bool = True
) -> Change:
    """A change, or why it is refused."""
    said = [f"{one:.4g}" if isinstance(one, float) else str(one) for one in (before, after)]
    try:
        return Change(assumption, group, side, said[0], said[1], build(), ordered)
    except ValueError as error:
        return Change(assumption, group, side, said[0], said[1], None, ordered, str(error))


def _both(
    assumption: str,
    group: str,
    value: float,
    step: float,
    build: Callable[[float], Problem],
    *,
    more: Side,
    least: float = 0.0,
    most: float = np.inf,
    ordered: bool = True,
) -> Iterator[Change]:
    """A number changed to both sides within its limits; `more` is the side of the larger number."""
    less: Side = "tightened" if more == "relaxed" else "relaxed"
    sides: tuple[tuple[Side, float], ...] = (more, 1.0 + step), (less, 1.0 - step)
    for side, factor in sides:
        new = float(np.clip(value * factor, least, most))
        if new != value:
            yield _change(assumption, group, side, value, new, partial(build, new), ordered=ordered)


def _factors(problem: Problem, step: float) -> Iterator[Change]:
    """Knockdowns of laminae and services, the special factor and the deflection allowance."""
    requirement = problem.requirement
    laminae = [kind.lamina for kind in problem.lattice.kinds]
    of_laminae = [one for lamina in laminae if lamina.allowables for one in lamina.allowables.factors]
    of_services = [one for service in requirement.services for one in service.factors]
    for factor in dict.fromkeys((*of_laminae, *of_services)):
        build = partial(change_factor, problem, factor)
        ordered = _strengths_ordered(problem)
        yield from _both(
            factor.name, FACTOR, factor.value, step, build, more="relaxed", most=1.0, ordered=ordered
        )
    for name in ("special_factor", "deflection_allowance"):
        build = partial(required, problem, name)
        value = getattr(requirement, name)
        yield from _both(name.replace("_", " "), FACTOR, value, step, build, more="tightened", least=1.0)


def _strengths_ordered(problem: Problem) -> bool:
    """Whether a higher strength never lowers a ratio."""
    return not any(isinstance(one.criterion, TsaiWu) for one in problem.requirement.checks if one.decides)


def _allowables(problem: Problem, step: float) -> Iterator[Change]:
    """Strengths of every lamina, each with its failure strain."""
    for lamina in {kind.lamina.name: kind.lamina for kind in problem.lattice.kinds}.values():
        for group, names in STRENGTHS.items():
            value = getattr(lamina.allowables, names[0], None)
            if value is not None:
                build = partial(_strength, problem, lamina.name, group, value / 1e6)
                title, ordered = f"{group} of {lamina.name} [MPa]", _strengths_ordered(problem)
                yield from _both(title, ALLOWABLE, value / 1e6, step, build, more="relaxed", ordered=ordered)


def _strength(problem: Problem, lamina: str, group: str, before: float, after: float) -> Problem:
    return scale_strength(problem, lamina, group, after / before)


def _limits(problem: Problem, step: float) -> Iterator[Change]:
    """Caps of fiber strain, and the limits on the motion of the tip."""
    requirement = problem.requirement
    for index, check in enumerate(requirement.checks):
        for name in ("tension", "compression") if check.caps is not None else ():
            build = partial(with_cap, problem, index, name)
            value = getattr(check.caps, name)
            yield from _both(f"cap in {name}, {check.mode} [-]", LIMIT, value, step, build, more="relaxed")
    for name, unit in (("deflection_limit", "m"), ("twist_limit", "rad")):
        value = getattr(requirement, name)
        if value is not None:
            build = partial(required, problem, name)
            yield from _both(f"{name.replace('_', ' ')} [{unit}]", LIMIT, value, step, build, more="relaxed")
    if (hertz := requirement.frequency_limit) is not None:
        build = partial(required, problem, "frequency_limit")
        yield from _both("frequency limit [Hz]", LIMIT, hertz, step, build, more="tightened")
    for index, one in enumerate(requirement.tip_limits):
        build = partial(with_tip_limit, problem, index)
        yield from _both(f"limit of {one.name}", LIMIT, one.limit, step, build, more="relaxed")


def _loads(
    problem: Problem, margins: Table, step: float, variants: Mapping[str, PointLoads]
) -> Iterator[Change]:
    """All loads scaled, each case that governs a bay left out, and the variants."""
    count = len(problem.loads.force)
    yield from _both("all loads", LOAD, 1.0, step, partial(scaled, problem), more="tightened")
    labels = list(problem.cases or range(count))
    for case in _governing_cases(problem.lattice, margins) if count > 1 else ():
        fewer = partial(with_some_cases, problem, [one for one in labels if one != case])
        yield _change(f"case {case}", LOAD, "relaxed", "sized for", "left out", fewer)
    for name, other in variants.items():
        build = partial(replace, problem, loads=other)
        yield _change(f"loads {name}", LOAD, "variant", "as sized", name, build, ordered=False)


def _governing_cases(lattice: Lattice, margins: Table) -> list[Any]:
    """Case of the least margin of every bay, each once."""
    rows = margins[margins["decides"]]
    bay = bay_of(lattice, rows.index.get_level_values("station").to_numpy())
    worst = rows["margin"].reset_index(drop=True).groupby(bay).idxmin()
    return list(dict.fromkeys(rows.index[i][0] for i in worst))


def _rules(problem: Problem) -> Iterator[Change]:
    """Length to end plies, groups that may end at one station, rules, least and most counts, least shares."""
    lattice = problem.lattice
    own: tuple[tuple[str, Any, Any, Side], ...] = (
        ("drop_length", lattice.drop_length, lattice.drop_length / 2, "relaxed"),
        ("drop_length", lattice.drop_length, lattice.drop_length * 2, "tightened"),
        ("most_ending", lattice.most_ending, lattice.most_ending + 1, "relaxed"),
        ("most_ending", lattice.most_ending, lattice.most_ending - 1, "tightened"),
    )
    for name, before, after, side in own:
        build = partial(with_lattice, problem, {name: after})
        yield _change(name.replace("_", " ") + " [-]", RULE, side, before, after, build)
    for index, rule in enumerate(lattice.rules):
        rest = lattice.rules[:index] + lattice.rules[index + 1 :]
        yield _change(
            str(rule), RULE, "relaxed", "kept", "left out", partial(with_lattice, problem, {"rules": rest})
        )
    for index, kind in enumerate(lattice.kinds):
        of_kind: list[tuple[str, Any, Any, Side]] = [
            ("least", kind.least, kind.least - 1, "relaxed"),
            ("least", kind.least, kind.least + 1, "tightened"),
            ("most", kind.most, kind.most + 1, "relaxed"),
            ("most", kind.most, kind.most - 1, "tightened"),
        ]
        if kind.least_share:
            of_kind += [
                ("least_share", kind.least_share, max(kind.least_share - SHARE_STEP, 0.0), "relaxed"),
                ("least_share", kind.least_share, kind.least_share + SHARE_STEP, "tightened"),
            ]
        for name, before, after, side in of_kind:
            if after >= 0:
                build = partial(with_kind, problem, index, {name: after})
                title = f"{name.replace('_', ' ')} of {kind.name} [-]"
                yield _change(title, RULE, side, before, after, build)


def _orders(problem: Problem) -> Iterator[Change]:
    """The plies in other orders from the surface to the mid-plane."""
    kinds = problem.lattice.kinds
    laid = problem.lattice.groups
    for name, order in stacking_orders(kinds).items():
        build = partial(with_lattice, problem, {"kinds": order})
        if replace(problem.lattice, kinds=order, rules=()).groups != laid:
            yield _change(f"order: {name}", STACKING, "variant", "as given", name, build, ordered=False)


def stacking_orders(kinds: Sequence[PlyKind]) -> dict[str, list[PlyKind]]:
    """Kinds with other places of their groups, by name of the order."""
    ends = np.array([[kind.depth, kind.depth + kind.pitch * max(kind.most - 1, 0)] for kind in kinds])
    low, high = float(ends.min()), float(ends.max())
    out = {}
    for i, kind in enumerate(kinds):
        reach = float(np.ptp(ends[i]))
        even = max(high - low, 1.0) / max(kind.most - 1, 1)
        for name, depth, pitch in (
            ("outermost", low - reach - 1.0, kind.pitch),
            ("innermost", high + 1.0, kind.pitch),
            ("spread", low, even),
        ):
            moved = replace(kind, depth=depth, pitch=pitch)
            out[f"{kind.name} {name}"] = [moved if one is kind else one for one in kinds]
    out["reversed"] = [
        replace(kind, depth=low + high - float(end)) for kind, (_, end) in zip(kinds, ends, strict=True)
    ]
    return out


def _resized(before: Before, size: Callable[..., Any], change: Change) -> Resized:
    """Judge the book of before in a changed problem, and size it again where that may move its mass."""
    problem = change.problem
    if problem is None:
        return Resized(change, np.nan, np.nan, np.nan, f"refused: {change.refused}")
    margin = before.margin
    try:
        if change.group != RULE:
            margin = least_margin(problem.margins(problem.strut(before.counts)))
        stays = change.ordered and change.side == "tightened" and margin >= -ROUNDING
        if stays and broken_rule(problem.lattice, before.counts) is None:
            return Resized(change, before.mass, margin, margin, "the book of before holds")
        new = size(problem)
    except InfeasibleSizing as error:
        return Resized(change, np.nan, margin, np.nan, f"no book: {error}")
    except ValueError as error:
        return Resized(change, np.nan, np.nan, np.nan, f"refused: {error}")
    except RuntimeError as error:
        return Resized(change, np.nan, margin, np.nan, f"no proof: {error}")
    note = ", ".join(f"{name} at its most" for name in new.kinds_at_limit)
    return Resized(change, new.mass, margin, least_margin(new.margins), note)


def _said(mass: float, one: Resized) -> str:
    """A change and its result in words."""
    change = one.change
    found = f"{1e3 * (one.mass - mass):+.0f} g" if np.isfinite(one.mass) else one.note[:60]
    return f"{change.assumption} {change.before} -> {change.after}: {found}"


def _table(found: list[Resized], mass: float) -> Table:
    """Table of the results, the assumption that buys most first."""
    import pandas as pd

    table = pd.DataFrame(
        {
            "assumption": [one.change.assumption for one in found],
            "side": [one.change.side for one in found],
            "group": [one.change.group for one in found],
            "before": [one.change.before for one in found],
            "after": [one.change.after for one in found],
            "mass": [one.mass for one in found],
            "change_g": [1e3 * (one.mass - mass) for one in found],
            "margin": [one.margin for one in found],
            "new_margin": [one.new_margin for one in found],
            "note": [one.note for one in found],
        }
    )
    buys = table["change_g"].abs().groupby(table["assumption"]).transform("max").fillna(-1.0)
    order = np.lexsort((np.arange(len(table)), -buys))
    return table.iloc[order].set_index(["assumption", "side"])
