"""Drawings of a strut in bricks. Every function draws on axes and never saves."""

from typing import Annotated, Literal

from matplotlib.axes import Axes

from beam.plots import level_text, one_or_new
from beam.strut.bricks.comparison import Comparison
from beam.units import shown, symbol
from materials.checks import Limits, checked, reject

__all__ = ["plot_beam_and_bricks"]

BEAM, BRICKS, INK = "#0072B2", "#D55E00", "#222222"
MICRO = 1e6


@checked
def plot_beam_and_bricks(
    comparison: Comparison,
    case: Annotated[int, Limits("-", at_least=0)],
    wall: Annotated[int, Limits("-", at_least=0)],
    *,
    ax: Axes | None = None,
    units: Literal["SI", "US"] = "SI",
) -> Axes:
    """Largest and least strain along the span of one wall under one load case, by beam theory and by bricks.

    Parameters
    ----------
    comparison : Comparison
        From `beam.strut.bricks.compare`.
    case : int
        Number of the load case [-].
    wall : int
        Index of the wall [-].
    ax : Axes, optional
        Where to draw; new axes if not given.
    units : {"SI", "US"}
        Units of the station.

    Returns
    -------
    Axes
        The axes; bands gray, ribs dotted; a dot for each row of bricks.
    """
    if case >= len(comparison.beam) or wall >= len(comparison.walls):
        limit = f"below ({len(comparison.beam)}, {len(comparison.walls)})"
        reject("plot_beam_and_bricks: case, wall [-]", (case, wall), limit)
    ax = one_or_new(ax)
    x = shown(comparison.stations, "length", units)
    for value, color, dash, name in (
        (comparison.bricks, BRICKS, ".-", "bricks"),
        (comparison.beam, BEAM, "--", "beam"),
    ):
        for k, label in ((0, f"{name}, largest and least"), (1, None)):
            ax.plot(x, MICRO * value[case, :, wall, k], dash, color=color, lw=1.4, ms=4, label=label)
    banded = ribbed = False
    for start, end in shown(comparison.marks, "length", units):
        if end > start:
            ax.axvspan(start, end, color=INK, alpha=0.08, lw=0, label=None if banded else "band of a fitting")
            banded = True
        else:
            ax.axvline(start, color=INK, lw=0.8, ls=":", label=None if ribbed else "rib")
            ribbed = True
    ax.axhline(0.0, color=INK, lw=0.6)
    if len(x) > 1:
        ax.set_xlim(x[0], x[-1])
    level = level_text([comparison.level[case]])
    title = f"wall '{comparison.walls[wall]}', case {case}, {level}: extremes over its faces and width"
    ax.set_title(title, fontsize=9, loc="left")
    ax.set_xlabel(f"station from root [{symbol('length', units)}]", fontsize=8)
    ax.set_ylabel("strain along the span [microstrain]", fontsize=8)
    ax.tick_params(labelsize=8)
    ax.grid(alpha=0.3)
    return ax
