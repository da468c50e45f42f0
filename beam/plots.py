"""Pictures of results: strain along the span, the landing, the shock. Every function draws on axes and never saves."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import ArrayLike, NDArray

from beam.gear import Drop, Shock
from beam.strain import FIBER_COMPRESSION, FIBER_TENSION, SHEAR, SpanStrain
from beam.units import shown, symbol

# Blue, vermilion, green, black: told apart by every common kind of color vision, and by dash as well.
TENSION, COMPRESSION, THIRD, LIMIT = "#0072B2", "#D55E00", "#009E73", "#222222"
MICRO = 1e6


def plot_strain_along_span(
    strain: SpanStrain, part: str, *, cases: Sequence[str] | NDArray[np.generic], axes: ArrayLike, units: str = "SI"
) -> None:
    """Draw the extreme fiber or shear strain of every wall along the span, with its allowable.

    Parameters
    ----------
    strain : SpanStrain
        From `beam.strain.span_strain`.
    part : str
        "fiber" or "shear".
    cases : sequence of str
        Labels of the load cases; the one that makes the extreme of each wall is named.
    axes : array_like of Axes, shape (wall,)
        One for each wall.
    units : str
        "SI" or "US".

    Raises
    ------
    ValueError
        If `part` is neither, or the axes are not one for each wall.
    """
    lines = {
        "fiber": ((FIBER_TENSION, TENSION, "-", "tension"), (FIBER_COMPRESSION, COMPRESSION, "--", "compression")),
        "shear": ((SHEAR, THIRD, "-", "shear, size"),),
    }
    if part not in lines:
        raise ValueError(f"plot_strain_along_span: part: got {part!r}, must be 'fiber' or 'shear'")
    each = np.asarray(axes, dtype=object).ravel()
    if each.size != len(strain.walls):
        raise ValueError(f"plot_strain_along_span: axes: got {each.size}, must be {len(strain.walls)}, one for each wall")
    x = shown(strain.stations, "length", units)
    for wall, (name, ax) in enumerate(zip(strain.walls, each, strict=True)):
        note = []
        for k, color, dash, label in lines[part]:
            value = strain.strain[:, wall, k] * MICRO
            at = int(np.abs(value).argmax())
            ax.plot(x, value, dash, color=color, label=label)
            ax.plot(x[at], value[at], "o", color=color, ms=4)
            ax.axhline(strain.allowable[k] * MICRO, color=color, lw=0.9, ls=":", label=f"allowable {label.split(',')[0]}")
            note.append(f"{label.split(',')[0]}: {cases[strain.case[at, wall, k]]}")
        ax.axhline(0.0, color=LIMIT, lw=0.6)
        ax.set_title(f"{name}\n" + "\n".join(note), fontsize=6.5, loc="left")
        ax.set_xlim(x[0], x[-1])
        ax.grid(alpha=0.3)
        ax.set_xlabel(f"station from root [{symbol('length', units)}]", fontsize=7)
        ax.set_ylabel(f"{part} strain [microstrain]", fontsize=7)
        ax.tick_params(labelsize=7)


def strain_figure(strain: SpanStrain, part: str, *, cases: Sequence[str] | NDArray[np.generic], units: str = "SI") -> Figure:
    """Lay out `plot_strain_along_span` for all walls on one page.

    Parameters
    ----------
    strain : SpanStrain
        From `beam.strain.span_strain`.
    part : str
        "fiber" or "shear".
    cases : sequence of str
        Labels of the load cases.
    units : str
        "SI" or "US".

    Returns
    -------
    Figure
        Faces in the upper row, corners in the lower one.
    """
    fig = Figure(figsize=(13, 7.2), layout="constrained")
    grid = fig.subplots(2, -(-len(strain.walls) // 2), sharex=True, sharey=True)
    # Walls alternate face, corner; read column-wise they fill the rows.
    plot_strain_along_span(strain, part, cases=cases, axes=grid.T.ravel(), units=units)
    handles, labels = grid[0, 0].get_legend_handles_labels()
    fig.legend(handles, labels, loc="outside lower center", ncols=4, fontsize=8)
    fig.suptitle(
        f"Extreme {part} strain of the plies at ultimate load, {strain.service.name}; "
        "dot: extreme of the wall, made by the case named above it",
        fontsize=10,
    )
    return fig


def plot_drop(drop: Drop, *, axes: Sequence[Axes], units: str = "SI") -> None:
    """Draw the time history of a landing: forces above, strokes below.

    Parameters
    ----------
    drop : Drop
        From `beam.gear.drop`.
    axes : sequence of Axes
        Two.
    units : str
        "SI" or "US".
    """
    t = drop.time * 1e3
    force, travel = axes
    for value, color, dash, label in (
        (drop.ground_force, TENSION, "-", "ground, vertical"),
        (drop.drag_force, COMPRESSION, "--", "ground, drag"),
        (drop.shock_force, THIRD, "-.", "shock, axial"),
    ):
        force.plot(t, shown(value, "force", units), dash, color=color, label=label)
    peak = shown(drop.peak_ground_force, "force", units)
    force.plot(drop.time_to_peak * 1e3, peak, "o", color=TENSION, ms=4)
    force.annotate(
        f"{peak:.1f} {symbol('force', units)}, n = {drop.load_factor:.2f}",
        (drop.time_to_peak * 1e3, float(peak)),
        xytext=(6, 4),
        textcoords="offset points",
        fontsize=8,
    )
    force.set_ylabel(f"force [{symbol('force', units)}]")
    travel.plot(t, shown(drop.stroke, "length", units), color=THIRD, label="shock stroke")
    on_ground = np.where(drop.tire_deflection > 0, drop.tire_deflection, 0.0)
    travel.plot(t, shown(on_ground, "length", units), "--", color=TENSION, label="tire deflection")
    travel.set_ylabel(f"travel [{symbol('length', units)}]")
    travel.set_xlabel("time from touchdown [ms]")
    for ax in (force, travel):
        ax.grid(alpha=0.3)
        ax.set_xlim(t[0], t[-1])
        ax.legend(fontsize=8, loc="upper right")


def plot_shock(drop: Drop, shock: Shock, *, ax: Axes, units: str = "SI", **line: Any) -> Axes:
    """Draw the force of the shock over its stroke in a landing, and at rest.

    Parameters
    ----------
    drop : Drop
        From `beam.gear.drop`.
    shock : Shock
        The shock.
    ax : Axes
        Where to draw.
    units : str
        "SI" or "US".
    **line
        Passed to matplotlib for the landing curve.

    Returns
    -------
    Axes
        The same axes.
    """
    inward = np.linspace(0.0, shock.max_stroke, 200)
    ax.plot(
        shown(drop.stroke, "length", units),
        shown(drop.shock_force, "force", units),
        **{"color": TENSION, "label": "landing: in and out", **line},
    )
    ax.plot(
        shown(inward, "length", units),
        shown(shock.force(inward, np.zeros_like(inward)), "force", units),
        "--",
        color=COMPRESSION,
        label="air spring alone",
    )
    ax.axvline(float(shown(shock.max_stroke, "length", units)), color=LIMIT, lw=0.9, ls=":", label="full stroke")
    ax.set_xlabel(f"stroke [{symbol('length', units)}]")
    ax.set_ylabel(f"axial force [{symbol('force', units)}]")
    ax.set_ylim(bottom=min(0.0, ax.get_ylim()[0]))
    ax.grid(alpha=0.3)
    ax.legend(fontsize=8)
    return ax
