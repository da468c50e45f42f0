"""Sweep: the lightest book over sections, materials and gear dimensions."""

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from itertools import product
from typing import Any, NamedTuple

import numpy as np

from beam.sizing.diagnosis import InfeasibleSizing
from beam.sizing.parallel import finished_calls
from beam.sizing.problem import Problem
from beam.sizing.sizing import Sizing
from beam.sizing.sizing import size as sized
from materials.checks import Array, Frozen, Table, checked, reject

FOUND = ("mass", "deflection", "twist", "margin", "counts", "note")
"""Columns that every sweep has beside its parameters and measures."""


class Sweep(Frozen):
    """What a sweep found.

    Parameters
    ----------
    table : DataFrame
        One row for each combination that is finished: the parameters, then mass [kg], deflection of the tip at limit
        load [m], twist of the tip [rad], least margin, counts, note, and the measures.
    parameters : sequence of str
        Names of the parameters.
    asked : int
        Number of combinations asked for [-].

    Examples
    --------
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> tube = Problem(lattice=LATTICE, loads=PULL, requirement=REQUIREMENT)
    >>> found = sweep(tube.reshaped, {"width_factor": [0.8, 1.0]})
    >>> found.table["counts"].tolist(), found.complete
    ([[[3], [3]], [[3], [3]]], True)
    """

    table: Table
    parameters: tuple[str, ...]
    asked: int

    @property
    def complete(self) -> bool:
        """Whether every combination is finished; not so after an interrupt."""
        return len(self.table) == self.asked

    @checked
    def pareto(self, *columns: str) -> Array:
        """Which rows no other row beats in all of some columns, each the lower the better.

        Parameters
        ----------
        *columns : str
            As "mass", "deflection".

        Returns
        -------
        ndarray of bool, shape (row,)
            False where no book was found.
        """
        if unknown := [one for one in columns if one not in self.table]:
            reject("Sweep.pareto: columns", unknown, f"among {list(self.table)}")
        values = self.table[list(columns)].to_numpy(dtype=float)
        no_worse = (values[:, None] <= values).all(axis=-1)
        better = (values[:, None] < values).any(axis=-1)
        return np.isfinite(values).all(axis=1) & ~(no_worse & better).any(axis=0)


@checked
def sweep(
    build: Callable[..., Problem],
    over: Mapping[str, Sequence[Any]],
    *,
    size: Callable[[Problem], Sizing] = sized,
    measure: Callable[..., Mapping[str, float]] | None = None,
    workers: Any = None,
    progress: Callable[[str], None] | None = None,
) -> Sweep:
    """Size every combination of some parameters exactly.

    Parameters
    ----------
    build : callable
        Makes a `Problem` from the parameters as keywords, as `Problem.reshaped` does of its factors. A
        combination that it or the library refuses stays in the table with the reason.
    over : mapping of str to sequence
        Values of every parameter.
    size : callable, optional
        Sizes a `Problem`; as `beam.lightest` does if not given. ``partial(size, start=strut)`` with `beam.sizing.size`
        starts from a strut near the answers.
    measure : callable, optional
        More columns, ``measure(sizing, **parameters)``, as the load factor of the landing on the strut found.
    workers : int, Executor or callable, optional
        Number of processes, an executor, or a function like ``map`` [-]. For a dask cluster give
        ``client.get_executor()``. With processes the functions must stand at the top of a module.
    progress : callable, optional
        Called with a line of text and the time left after every combination.

    Returns
    -------
    Sweep
        An interrupt returns what is finished: then `Sweep.complete` is False, and `progress` says how many.

    Notes
    -----
    Deflection and twist are the largest over the cases, at the loads given, linear.

    Examples
    --------
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> tube = Problem(lattice=LATTICE, loads=PULL, requirement=REQUIREMENT)
    >>> found = sweep(tube.reshaped, {"width_factor": [0.8, 1.0], "tip_factor": [0.9, 1.0]})
    >>> found.table["mass"].round(3).tolist()
    [0.138, 0.144, 0.154, 0.161]
    """
    names = tuple(over)
    if taken := [one for one in names if one in FOUND]:
        reject("sweep: over", taken, f"none of {FOUND}, which are columns of the result")
    if empty := [name for name, values in over.items() if not len(values)]:
        reject("sweep: over", f"{empty} without values", "one value at least")
    points = [dict(zip(names, values, strict=True)) for values in product(*over.values())]
    found = finished_calls("sweep", partial(_sized, build, size, measure), points, workers, progress, _said)
    import pandas as pd

    rows = [points[i] | found[i].columns for i in sorted(found)]
    return Sweep(
        table=pd.DataFrame(rows, columns=None if rows else [*names, *FOUND]),
        parameters=names,
        asked=len(points),
    )


class _Point(NamedTuple):
    """One combination in words, and its columns."""

    text: str
    columns: dict[str, Any]


def _sized(
    build: Callable[..., Problem],
    size: Callable[[Problem], Sizing],
    measure: Callable[..., Mapping[str, float]] | None,
    point: dict[str, Any],
) -> _Point:
    """Build and size one combination."""
    words = ", ".join(f"{name} {getattr(value, 'name', value)}" for name, value in point.items())
    columns: dict[str, Any] = dict.fromkeys(FOUND, np.nan) | {"counts": None, "note": ""}
    try:
        problem = build(**point)
        sizing = size(problem)
    except InfeasibleSizing as error:
        return _Point(words, columns | {"note": f"no book: {error}"})
    except ValueError as error:
        return _Point(words, columns | {"note": f"refused: {error}"})
    strut, margins = sizing.strut, sizing.margins
    tip = strut.span.displacement(problem.loads, at=[strut.mold_line.length])[..., 0, :]
    columns |= {
        "mass": sizing.mass,
        "deflection": float(np.linalg.norm(tip[..., :3], axis=-1).max()),
        "twist": float(np.abs(tip[..., 3]).max()),
        "margin": float(margins.loc[margins["decides"], "margin"].min()),
        "counts": sizing.counts.tolist(),
    }
    return _Point(words, columns | dict(measure(sizing, **point) if measure else {}))


def _said(one: _Point) -> str:
    """One combination and its result in words."""
    mass = one.columns["mass"]
    return f"{one.text}: {f'{mass:.4g} kg' if np.isfinite(mass) else one.columns['note'][:60]}"
