"""What a changed section, count, allowable, load or rule does: the problem sized again with one of them changed."""

import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from typing import Any, NamedTuple

import numpy as np

from beam.sizing.lattice import Counts, Lattice, PlyKind, bay_masses, book_of, thinnest, wall_thickness
from beam.sizing.parallel import finished_calls
from beam.sizing.problem import (
    RADIUS,
    STRENGTHS,
    Problem,
    laid_up,
    required,
    scale_strength,
    scaled,
    with_cap,
    with_kind,
    with_lattice,
    with_tip_limit,
)
from beam.sizing.search import ROUNDING
from beam.sizing.why import COLUMNS, HELD, MARGIN, bay_of, bay_table, in_words, lowest_cases, neighbors
from beam.strength.global_modes import WHOLE_STRUT
from materials.checks import Table

Size = Callable[..., Any]
"""Sizes a `Problem`, with ``progress=`` a function that takes a line of text."""
EXACT, NEAR = 0.01, 0.005
"""How closely a change is found, of its value: one that helps, and the load that a book still holds [-]."""
MOST_LAYUPS = 200_000
"""Lay-ups of a bay above which a lattice is not widened further."""


class Knob(NamedTuple):
    """One thing that can be changed: `build` makes the problem from a number between `now` and `limit`."""

    name: str
    group: str
    now: float
    limit: float
    build: Callable[[float], Problem]
    whole: bool = False


class Tried(NamedTuple):
    """The smallest change of a knob that gives a book, its mass [kg] and counts, or why there is none."""

    knob: Knob
    value: float
    mass: float
    note: str
    counts: Counts | None


class OutOfTimeError(Exception):
    """A sizing took longer than it may."""


def sized_in_time(size: Size, problem: Problem, until: float) -> Any:
    """The sizing of a problem; `OutOfTimeError` after a time of `time.monotonic`."""

    def say(_: str) -> None:
        if time.monotonic() > until:
            raise OutOfTimeError

    say("")
    return size(problem, progress=say)


def smallest_change(size: Size, seconds: float, exact: float, knob: Knob) -> Tried:
    """The smallest change of a knob that gives a book: by steps that double, then by halves."""
    until = time.monotonic() + seconds
    fails, holds, found, reason, end = knob.now, np.nan, None, "", ""
    unit = 1.0 if knob.whole else max(abs(knob.now), 1e-3)
    least = 1.0 if knob.whole else 1e-3
    step, toward = (1.0 if knob.whole else 0.05) * unit, np.sign(knob.limit - knob.now)
    try:
        while found is None and toward * (knob.limit - fails) > 0 and step >= least * unit:
            value = fails + toward * step
            value = float(knob.limit if toward * (value - knob.limit) >= 0 else value)
            try:
                problem = knob.build(value)
                found, holds = sized_in_time(size, problem, until), value
            except OutOfTimeError:
                raise
            except (ValueError, RuntimeError) as error:
                if type(error) is ValueError:  # refused, and not a sizing without a book
                    step, end = step / 4, f"; {value:.4g} is refused"
                    continue
                fails, reason = value, str(error)
            step *= 2.0
        while found is not None and abs(holds - fails) > (1.0 if knob.whole else exact * abs(holds)):
            middle = (holds + fails) / 2
            middle = float(np.floor(middle)) if knob.whole else float(f"{middle:.4g}")
            try:
                found, holds = sized_in_time(size, knob.build(middle), until), middle
            except (ValueError, RuntimeError):
                fails = middle
    except OutOfTimeError:
        end = f"; out of time after {seconds:g} s"
    if found is not None:
        note = f"{fails:.4g} does not help{end}" if "time" in end else ""
        return Tried(knob, holds, found.mass, note, found.counts)
    tried = f"does not help up to {fails:.4g}" if fails != knob.now else "not tried"
    reason = reason.partition(": ")[2].partition("; ")[0][:100]
    return Tried(knob, np.nan, np.nan, f"{tried}{end}" + (f" ({reason})" if reason else ""), None)


def load_knob(problem: Problem) -> Knob:
    """All loads, made smaller."""
    return Knob("all loads", "load", 1.0, 0.01, partial(scaled, problem))


def knobs(problem: Problem) -> Iterator[Knob]:
    """What may give a book, each alone: loads, section, allowables, factors, limits, counts, shop rules."""
    lattice, requirement = problem.lattice, problem.requirement
    yield load_knob(problem)
    yield Knob("width and height", "section", 1.0, 3.0, partial(_wider, problem))
    line = lattice.mold_line
    side = 0.49 * min(line.width.min(), line.height.min())
    radius = float(line.corner_radius.min())
    if radius < side:
        yield Knob("least corner radius [m]", "section", radius, side, partial(_rounder, problem))
    for name in dict.fromkeys(kind.lamina.name for kind in lattice.kinds):
        yield Knob(f"strengths of {name}", "allowable", 1.0, 5.0, partial(_stronger, problem, name))
    for i, check in enumerate(requirement.checks):
        if check.caps is not None:
            yield Knob(f"caps of {check.mode}", "allowable", 1.0, 5.0, partial(_capped, problem, i))
    for name in ("special_factor", "deflection_allowance"):
        if getattr(requirement, name) > 1.0:
            title = name.replace("_", " ")
            yield Knob(title, "factor", getattr(requirement, name), 1.0, partial(required, problem, name))
    for name in ("deflection_limit", "twist_limit"):
        value = getattr(requirement, name)
        if value is not None:
            yield Knob(name.replace("_", " "), "limit", value, 20.0 * value, partial(required, problem, name))
    for i, one in enumerate(requirement.tip_limits):
        build = partial(with_tip_limit, problem, i)
        yield Knob(f"limit of {one.name}", "limit", one.limit, 20.0 * one.limit, build)
    if (hertz := requirement.frequency_limit) is not None:
        build = partial(required, problem, "frequency_limit")
        yield Knob("frequency limit [Hz]", "limit", hertz, hertz / 20.0, build)
    for i, kind in enumerate(lattice.kinds):
        affordable = MOST_LAYUPS * (kind.most - kind.least + 1) // len(lattice.candidates)
        most = min(kind.most + 32, max(affordable, kind.most))
        yield Knob(
            f"most {kind.name}", "count", kind.most, most, partial(_kind, problem, i, "most", int), True
        )
        if kind.least:
            yield Knob(
                f"least {kind.name}", "count", kind.least, 0, partial(_kind, problem, i, "least", int), True
            )
        if kind.least_share:
            build = partial(_kind, problem, i, "least_share", float)
            yield Knob(f"least share of {kind.name}", "shop rule", kind.least_share, 0.0, build)
    for i, rule in enumerate(lattice.rules):
        yield Knob(f"{rule} (1 kept, 0 left out)", "shop rule", 1, 0, partial(_without, problem, i), True)
    if lattice.bays > 1:
        ending = max(kind.most - kind.least for kind in lattice.kinds)
        if lattice.drop_length:
            build = partial(_rule, problem, "drop_length", float)
            yield Knob("drop length", "shop rule", lattice.drop_length, 0.0, build)
        if ending > lattice.most_ending:
            build = partial(_rule, problem, "most_ending", int)
            yield Knob("most ending", "shop rule", lattice.most_ending, ending, build, True)


def _wider(problem: Problem, x: float) -> Problem:
    return problem.reshaped(width_factor=x, height_factor=x)


def _rounder(problem: Problem, x: float) -> Problem:
    line = problem.lattice.mold_line
    return with_lattice(
        problem, {"mold_line": replace(line, corner_radius=np.maximum(line.corner_radius, x))}
    )


def _stronger(problem: Problem, lamina: str, x: float) -> Problem:
    for group in STRENGTHS:
        problem = scale_strength(problem, lamina, group, x)
    return problem


def _capped(problem: Problem, index: int, x: float) -> Problem:
    caps = problem.requirement.checks[index].caps
    for name in ("tension", "compression"):
        problem = with_cap(problem, index, name, x * getattr(caps, name))
    return problem


def _kind(problem: Problem, index: int, name: str, as_type: type, x: float) -> Problem:
    return with_kind(problem, index, {name: as_type(x)})


def _without(problem: Problem, index: int, kept: float) -> Problem:
    rules = list(problem.lattice.rules)
    return problem if kept else with_lattice(problem, {"rules": rules[:index] + rules[index + 1 :]})


def _rule(problem: Problem, name: str, as_type: type, x: float) -> Problem:
    return with_lattice(problem, {name: as_type(x)})


def what_if(
    problem: Problem, size: Size, seconds: float, workers: Any, progress: Callable[[str], None] | None
) -> Table:
    """Table of `InfeasibleSizing.what_if`."""
    import pandas as pd

    call = partial(smallest_change, size, seconds, EXACT)
    found = finished_calls("InfeasibleSizing.what_if", call, list(knobs(problem)), workers, progress, _said)
    columns = ("change", "group", "before", "after", "times", "mass", "note")
    rows = [
        (
            one.knob.name,
            one.knob.group,
            one.knob.now,
            one.value,
            one.value / one.knob.now if one.knob.now else np.nan,
            one.mass,
            one.note,
        )
        for one in (found[i] for i in sorted(found))
    ]
    table = pd.DataFrame(rows, columns=list(columns))
    size_of = np.abs(np.log(table["times"].clip(lower=1e-9)))
    return table.iloc[np.lexsort((size_of, table["mass"].isna()))].set_index("change")


def _said(one: Tried) -> str:
    """A knob and what it gives in words."""
    if one.counts is None:
        return f"{one.knob.name}: {one.note[:80]}"
    return f"{one.knob.name} {one.knob.now:.4g} -> {one.value:.4g}: {one.mass:.4g} kg"


def why_none(problem: Problem, size: Size, seconds: float) -> Table:
    """Table of `InfeasibleSizing.why`: the bays of the nearest book that fail, the worst first."""
    import pandas as pd

    lattice = problem.lattice
    thin = thinnest(lattice)
    thick = wall_thickness(lattice, thin).max(axis=1) * 1e3
    tight = np.flatnonzero(~np.isfinite(np.diagonal(bay_masses(lattice, thin))))
    if tight.size:
        rows = {
            bay + 1: {
                "start": lattice.stations[bay],
                "end": lattice.stations[bay + 1],
                "counts": in_words(lattice, thin[bay]),
                "binding": RADIUS,
                "neighbors": f"a wall of {thick[bay]:.3g} mm, the thinnest, passes the outside corner radius",
            }
            for bay in tight.tolist()
        }
        return pd.DataFrame.from_dict(rows, orient="index", columns=list(COLUMNS)).rename_axis("bay")
    until = time.monotonic() + seconds
    counts = smallest_change(size, seconds / 2, NEAR, load_knob(problem)).counts
    if counts is None:
        counts = thin
    counts, table = grown(problem, counts, until)
    out = bay_table(problem, counts, table, lighter=False)
    return out[out["margin"] < -ROUNDING].sort_values("margin")


def grown(problem: Problem, counts: Counts, until: float) -> tuple[Counts, Table]:
    """A book with groups put in where that raises the margin of a bay that fails, and its margins."""
    table = _margins(problem, counts)
    rows = table[table["decides"]].reset_index()
    rows = rows[rows["wall"] != WHOLE_STRUT]
    bays = bay_of(problem.lattice, rows["station"].to_numpy())
    least = rows["margin"].groupby(bays).min().sort_values()
    before = counts
    for bay in np.asarray(least.index[least < -ROUNDING]).tolist():
        margin, cases = float(least.loc[bay]), lowest_cases(rows[bays == bay])
        while margin < -ROUNDING and time.monotonic() < until:
            found = neighbors(problem, counts, bay, cases, lighter=False)
            able = [one for one in found if one.rule in (MARGIN, HELD) and one.margin > margin + 1e-6]
            if not able:
                break
            best = max(able, key=lambda one: one.margin)
            counts, margin = best.counts, best.margin
    return counts, table if counts is before else _margins(problem, counts)


def _margins(problem: Problem, counts: Counts) -> Table:
    """Margins of counts (bay, kind), also of those that break the rules of the lattice."""
    return problem.margins(laid_up(problem, book_of(problem.lattice, counts)))


class Way(NamedTuple):
    """A way to widen the lattice: steps, each wider than the one before, and the kind and limit that it moves."""

    name: str
    steps: tuple[Callable[[Problem], Problem], ...]
    kind: str = ""
    limit: str = ""


class Widened(NamedTuple):
    """What a way gives: mass [kg], the step that was enough, and a note."""

    way: Way
    mass: float
    step: Callable[[Problem], Problem] | None
    note: str


def ways(problem: Problem, counts: Counts, *, lower: bool) -> Iterator[Way]:
    """Ways to widen the lattice of a book: counts of kinds at their limit, and walls of a kind apart."""
    kinds = problem.lattice.kinds
    for kind, column in zip(kinds, counts.T, strict=True):
        limits = {"most": [kind.most + n for n in (1, 2, 4, 8, 16)]} if column.max() == kind.most else {}
        if lower and 0 < kind.least in column:
            limits["least"] = list(range(kind.least - 1, -1, -1))
        for limit, values in limits.items():
            steps = tuple(partial(_moved, kind.name, limit, value) for value in values)
            yield Way(f"{limit} {kind.name}", steps, kind.name, limit)
    for kind in kinds:
        if len(parts := apart(problem.lattice, kind)) > 1:
            yield Way(f"{kind.name} apart on {' and '.join(parts)}", (partial(_apart, kind.name),))


def apart(lattice: Lattice, kind: PlyKind) -> dict[str, list[str]]:
    """Walls of a kind by the flat wall that they are laid with; none if it runs all round as one piece."""
    names, flat = lattice.mold_line.wall_names, lattice.mold_line.flat_walls
    if set(kind.walls) == set(names):
        return {}
    parts: dict[str, list[str]] = {wall: [wall] for wall in kind.walls if wall in flat}
    for i, wall in enumerate(names):
        beside = [one for one in (names[i - 1], names[(i + 1) % len(names)]) if one in parts]
        if wall in kind.walls and wall not in flat:
            if not beside:
                return {}
            parts[beside[0]].append(wall)
    return parts


def _moved(name: str, limit: str, value: int, problem: Problem) -> Problem:
    """The problem with another count limit of a kind."""
    index = [kind.name for kind in problem.lattice.kinds].index(name)
    return with_kind(problem, index, {limit: value})


def _apart(name: str, problem: Problem) -> Problem:
    """The problem with a kind counted for each of its flat walls apart."""
    kinds: list[PlyKind] = []
    for kind in problem.lattice.kinds:
        parts = apart(problem.lattice, kind) if kind.name == name else {}
        split = [replace(kind, name=f"{name} {wall}", walls=walls) for wall, walls in parts.items()]
        kinds += split or [kind]
    return with_lattice(problem, {"kinds": kinds})


def _all(steps: tuple[Callable[[Problem], Problem], ...], problem: Problem) -> Problem:
    """The problem after several steps."""
    for step in steps:
        problem = step(problem)
    return problem


def widened_by(size: Size, problem: Problem, mass: float, seconds: float, way: Way) -> Widened:
    """The lightest book of a lattice that is widened until the kind is not at its limit any more."""
    until, done, note = time.monotonic() + seconds, None, ""
    for step in way.steps:
        try:
            wide = step(problem)
            layups = np.prod([kind.most - kind.least + 1 for kind in wide.lattice.kinds])
            if layups > MOST_LAYUPS:
                note = f"not tried further: {layups:.2g} lay-ups"
                break
            sizing = sized_in_time(size, wide, until)
        except OutOfTimeError:
            note = f"out of time after {seconds:g} s"
            break
        except (ValueError, RuntimeError) as error:
            note = f"refused: {error}"
            break
        mass, done = sizing.mass, step
        at = [
            kind.name
            for kind, column in zip(wide.lattice.kinds, sizing.counts.T, strict=True)
            if (0 < kind.least in column if way.limit == "least" else column.max() == kind.most)
        ]
        note = f"at its limit: {', '.join(at)}" if at else ""
        if way.kind not in at:
            break
    return Widened(way, mass if done else np.nan, done, note)


def widened(
    size: Size,
    problem: Problem,
    base: Any,
    *,
    lower: bool,
    seconds: float,
    workers: Any,
    progress: Callable[[str], None] | None,
) -> Table:
    """Table of `Sizing.widened`; `base` is the sizing of before."""
    import pandas as pd

    def said(one: Widened) -> str:
        return f"{one.way.name}: {1e3 * (one.mass - base.mass):+.1f} g {one.note}"

    call = partial(widened_by, partial(size, start=base.strut), problem, base.mass, seconds)
    todo = list(ways(problem, base.counts, lower=lower))
    found = finished_calls("Sizing.widened", call, todo, workers, progress, said)
    results = [found[i] for i in sorted(found)]
    buys = tuple(one.step for one in results if one.step and one.mass < base.mass * (1 - 1e-9))
    if len(buys) > 1 and len(found) == len(todo):
        together = Way("these together", (partial(_all, buys),))
        results += finished_calls("Sizing.widened", call, [together], None, progress, said).values()
    rows = [(one.way.name, one.mass, 1e3 * (one.mass - base.mass), one.note) for one in results]
    table = pd.DataFrame(rows, columns=["change", "mass", "change_g", "note"]).set_index("change")
    table.insert(2, "percent", 0.1 * table["change_g"] / base.mass)
    return table
