"""Plots of sizing: what each assumption buys, what a sweep found, how the margin scatters. They draw on axes."""

from typing import Annotated, Literal

import numpy as np
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator

from beam.plots import one_or_new
from beam.sizing.scatter import Scatter
from beam.sizing.sweep import Sweep
from beam.units import shown, symbol
from materials.checks import Limits, Table, checked, reject

__all__ = ["plot_pareto", "plot_scatter", "plot_tornado"]

Units = Literal["SI", "US"]

LIGHTER, HEAVIER, NEUTRAL, LIMIT = "#009E73", "#D55E00", "#0072B2", "#222222"
SIDES = {"relaxed": (LIGHTER, ""), "tightened": (HEAVIER, "////"), "variant": (NEUTRAL, "....")}


@checked
def plot_tornado(
    table: Table,
    *,
    most: Annotated[int, Limits("-", at_least=1)] = 20,
    ax: Axes | None = None,
    units: Units = "SI",
) -> Axes:
    """Draw how much mass each assumption buys or costs, the largest on top.

    Parameters
    ----------
    table : DataFrame
        From `Sizing.sensitivity`.
    most : int
        Most assumptions drawn; those that move nothing are counted in the title [-].
    ax : Axes, optional
        Where to draw; new ones if not given.
    units : {"SI", "US"}
        Units of the picture.

    Returns
    -------
    Axes
        What was drawn on.

    Examples
    --------
    >>> import pandas as pd
    >>> from matplotlib.figure import Figure
    >>> table = pd.DataFrame({"assumption": ["all loads"], "side": ["relaxed"], "before": ["1"], "after": ["0.9"],
    ...                       "change_g": [-50.0], "mass": [1.0]}).set_index(["assumption", "side"])
    >>> plot_tornado(table, ax=Figure().subplots()).get_xlabel()
    'change of mass [g]'
    """
    if missing := {"before", "after", "change_g"} - set(table):
        reject("plot_tornado: table", f"without {sorted(missing)}", "a table of Sizing.sensitivity")
    ax = one_or_new(ax)
    rows = table.reset_index()
    unit, digits, scale = ("g", 0, 1.0) if units == "SI" else ("lb", 3, float(shown(1e-3, "mass", "US")))
    moved = rows["change_g"].abs().groupby(rows["assumption"], sort=False).max()
    none = rows[rows["change_g"].isna()]
    names = [one for one in moved.sort_values(ascending=False).index if moved[one] > MOVED][:most]
    names += [one for one in dict.fromkeys(none["assumption"]) if one not in names][: most - len(names)]
    ax.axvline(0.0, color=LIMIT, linewidth=0.8)
    widest = max(moved.max() if len(moved) else 0.0, MOVED)
    drawn = set()
    for place, name in enumerate(names):
        for row in rows[rows["assumption"] == name].itertuples():
            color, hatch = SIDES[row.side]
            if np.isnan(row.change_g):
                side, text = (
                    -1 if row.side == "relaxed" else 1,
                    f" {row.after}: {row.note.partition(':')[0]} ",
                )
                at = side * 0.02 * scale * widest
                ax.text(at, place, text, va="center", ha="right" if side < 0 else "left", color=color)
            elif abs(row.change_g) > MOVED:
                label = None if row.side in drawn else row.side
                drawn.add(row.side)
                ax.barh(
                    place, scale * row.change_g, 0.7, color=color, hatch=hatch, edgecolor="white", label=label
                )
                left = row.change_g < 0
                text = f"{row.before} → {row.after}: {scale * row.change_g:+.{digits}f} {unit}"
                ax.annotate(
                    text,
                    (scale * row.change_g, place),
                    (-3 if left else 3, 0),
                    textcoords="offset points",
                    ha="right" if left else "left",
                    va="center",
                    fontsize="x-small",
                )
    ax.set_yticks(range(len(names)), names)
    ax.set_ylim(len(names) - 0.5, -0.5)
    ax.margins(x=0.45)
    ax.set_xlabel(f"change of mass [{unit}]")
    still = len(moved) - len(names)
    ax.set_title(
        f"Lightest book with one assumption changed; {still} more move nothing or less", fontsize="medium"
    )
    if drawn:
        ax.legend(loc="lower right")
    return ax


MOVED = 0.05
"""Least change that is drawn [g]."""


@checked
def plot_pareto(
    found: Sweep,
    x: str = "mass",
    y: str = "deflection",
    *,
    color: str | None = None,
    ax: Axes | None = None,
    units: Units = "SI",
) -> Axes:
    """Draw two columns of a sweep against each other, with the rows that no other row beats in both.

    Parameters
    ----------
    found : Sweep
        From `beam.sizing.sweep`.
    x, y : str
        Columns, the lower the better.
    color : str, optional
        Column told by color, as the load factor of the landing.
    ax : Axes, optional
        Where to draw; new ones if not given.
    units : {"SI", "US"}
        Units of the picture.

    Returns
    -------
    Axes
        What was drawn on.

    Examples
    --------
    >>> import pandas as pd
    >>> from matplotlib.figure import Figure
    >>> from beam.sizing import Sweep
    >>> table = pd.DataFrame({"width_factor": [1.0, 1.2], "mass": [2.0, 1.9], "deflection": [0.02, 0.03]})
    >>> ax = plot_pareto(Sweep(table=table, parameters=("width_factor",), asked=2), ax=Figure().subplots())
    >>> ax.get_xlabel()
    'mass [kg]'
    """
    given = [one for one in (x, y, color) if one is not None]
    if unknown := [one for one in given if one not in found.table]:
        reject("plot_pareto: x, y, color", unknown, f"among {list(found.table)}")
    ax = one_or_new(ax)
    table = found.table.assign(best=found.pareto(x, y)).dropna(subset=[x, y])
    for name in {*given} & set(QUANTITIES):
        table[name] = shown(table[name], QUANTITIES[name], units)
    points = ax.scatter(table[x], table[y], s=36, color=NEUTRAL, edgecolor="white", label="lightest book")
    if color:
        points.set(array=table[color].to_numpy(), cmap="viridis")
        ax.figure.colorbar(points, ax=ax, label=_title(color, units))
    best = table[table["best"]].sort_values(x)
    ax.plot(best[x], best[y], color=LIMIT, linewidth=1.0, marker="o", markersize=9, fillstyle="none",
            label="no other is better in both")  # fmt: skip
    last, high = np.inf, np.ptp(table[y].to_numpy())
    for row in best.to_dict("records"):
        if last - row[y] > APART * high:
            words = ", ".join(f"{name.replace('_', ' ')} {_short(row[name])}" for name in found.parameters)
            ax.annotate(words, (row[x], row[y]), (7, 4), textcoords="offset points", fontsize="x-small")
            last = row[y]
    ax.set_xlabel(_title(x, units))
    ax.set_ylabel(_title(y, units))
    ax.margins(x=0.3, y=0.15)
    ax.legend()
    lost = len(found.table) - len(table)
    state = "" if found.complete else f", interrupted: {len(found.table)} of {found.asked}"
    ax.set_title(f"{len(table)} sizings{state}; {lost} without a book", fontsize="medium")
    return ax


APART = 0.06
"""Least distance of points that are named, of the height of the plot [-]."""
QUANTITIES = {"mass": "mass", "deflection": "length"}
UNITS = {"twist": "rad", "margin": "-"}
WORDS = {"deflection": "deflection of the tip at limit load", "margin": "least margin"}


def _title(column: str, units: Units) -> str:
    """Name of a column with its unit."""
    unit = symbol(QUANTITIES[column], units) if column in QUANTITIES else UNITS.get(column)
    return f"{WORDS.get(column, column)} [{unit}]" if unit else column


def _short(value: object) -> str:
    """A value of a parameter in few signs."""
    return f"{value:.4g}" if isinstance(value, float) else str(getattr(value, "name", value))


@checked
def plot_scatter(found: Scatter, *, ax: Axes | None = None) -> Axes:
    """Draw how often the least margin falls below each value, with the bounds on failure.

    Parameters
    ----------
    found : Scatter
        From `beam.sizing.scatter`.
    ax : Axes, optional
        Where to draw; new ones if not given.

    Returns
    -------
    Axes
        What was drawn on.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> from beam.sizing import Problem, Variation, scatter, size
    >>> tube = Problem(lattice=LATTICE, loads=PULL, requirement=REQUIREMENT)
    >>> found = scatter(tube, size(tube).strut, [Variation(quantity="load", deviation=0.05)], samples=4096)
    >>> plot_scatter(found, ax=Figure().subplots()).get_yscale()
    'log'
    """
    ax = one_or_new(ax)
    ordered = np.sort(found.margin)
    at = np.unique(np.geomspace(1, len(ordered), 2000).astype(int)) - 1
    share = (at + 1) / len(ordered)
    ax.plot(ordered[at], share, color=NEUTRAL, label=f"surrogate, {len(ordered)} samples")
    low, high = (max(one, 0.5 / len(ordered)) for one in found.bounds)
    middle = max(found.probability, 0.5 / len(ordered))
    ax.errorbar([0.0], [middle], [[middle - low], [high - middle]], color=HEAVIER, capsize=5, marker="o",
                label=f"failure: {found.probability:.2g}, {found.confidence:.0%} bounds")  # fmt: skip
    first = [max(one, 0.5 / len(ordered)) for one in found.first_order]
    ax.plot([0.0, 0.0], first, color=LIGHTER, marker="_", markersize=14, linewidth=3, alpha=0.6,
            label="first order: worst row to sum of rows")  # fmt: skip
    ax.axvline(0.0, color=LIMIT, linewidth=0.8)
    ax.set_yscale("log")
    ax.set_ylim(0.4 / len(ordered), 1.5)
    ax.xaxis.set_major_locator(MaxNLocator(8))
    ax.set_xlabel("least margin of safety [-]")
    ax.set_ylabel("share of samples below [-]")
    ax.grid(alpha=0.3)
    ax.legend(loc="lower right", fontsize="small")
    return ax
