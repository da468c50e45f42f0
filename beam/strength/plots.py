"""Pictures of results: strain along the span, margins. Every function draws on axes and never saves."""

from collections.abc import Mapping, Sequence
from itertools import product
from typing import TYPE_CHECKING

import numpy as np
from matplotlib import colormaps
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from beam.strength.strain import KINDS, SpanStrain
from beam.strut import Strut
from beam.units import shown, symbol
from materials.checks import reject

if TYPE_CHECKING:
    import pandas as pd

# Blue, vermilion, green, purple, black: told apart by every common kind of color vision; dashes repeat what they say.
TENSION, COMPRESSION, THIRD, FOURTH, LIMIT = "#0072B2", "#D55E00", "#009E73", "#CC79A7", "#222222"
LAMINAE = (TENSION, COMPRESSION, THIRD, FOURTH)
MICRO = 1e6
PARTS = {
    part: [(k, dash, label) for (k, label), dash in zip(kinds, ("-", "--"), strict=False)]
    for part, kinds in KINDS.items()
}


def plot_strain_along_span(
    strain: SpanStrain, part: str, wall: int, *, letters: Mapping[int, str], ax: Axes, units: str = "SI"
) -> Axes:
    """Draw the extreme fiber, transverse or shear strain of one wall along the span, with its allowable.

    Parameters
    ----------
    strain : SpanStrain
        From `beam.strength.strain.span_strain`.
    part : str
        "fiber", "transverse" or "shear".
    wall : int
        Index of the wall [-].
    letters : mapping of int to str
        Short names of the cases by number [-], written before the extremes they make.
    ax : Axes
        Where to draw.
    units : str
        "SI" or "US".

    Returns
    -------
    Axes
        The same axes.
    """
    if len(strain.laminae) > len(LAMINAE):
        reject(
            "plot_strain_along_span: laminae",
            len(strain.laminae),
            f"at most {len(LAMINAE)}",
            "no more colors",
        )
    x = shown(strain.stations, "length", units)
    for lamina, (name, color) in enumerate(zip(strain.laminae, LAMINAE, strict=False)):
        extremes = []
        for k, dash, label in PARTS[part]:
            value, limit = strain.strain[lamina, :, wall, k] * MICRO, strain.allowable[lamina, k] * MICRO
            at = strain.governing(lamina, wall, k)
            ax.plot(x, value, dash, color=color, label=f"{name}, {label}")
            ax.axhline(
                limit, color=color, lw=1.0, ls=":", label=f"{name}, allowable in {label.split(',')[0]}"
            )
            if at is not None:
                ax.plot(x[at], value[at], "o", color=color, ms=4)
                extremes.append(f"{letters[int(strain.case[lamina, at, wall, k])]} {value[at]:.0f}")
        ax.text(
            0.03, 0.78 - 0.06 * lamina, ",  ".join(extremes), color=color, fontsize=8, transform=ax.transAxes
        )
    ax.axhline(0.0, color=LIMIT, lw=0.6)
    ax.set_title(strain.walls[wall], fontsize=9, loc="left")
    ax.set_xlim(x[0], x[-1])
    ax.grid(alpha=0.3)
    ax.tick_params(labelsize=8)
    return ax


def strain_figure(
    strain: SpanStrain, part: str, *, cases: Sequence[str] | NDArray[np.generic], units: str = "SI"
) -> Figure:
    """Lay out the strain along the span of all walls on one page, the governing cases listed below.

    Parameters
    ----------
    strain : SpanStrain
        From `beam.strength.strain.span_strain`.
    part : str
        "fiber", "transverse" or "shear".
    cases : sequence of str
        Labels of the load cases.
    units : str
        "SI" or "US".

    Returns
    -------
    Figure
        Faces in the upper row, corners in the lower one.

    Raises
    ------
    ValueError
        If `part` is none of them.
    """
    if part not in PARTS:
        reject("strain_figure: part", repr(part), f"one of {tuple(PARTS)}")
    walls = range(len(strain.walls))
    named: dict[int, None] = {}
    for lamina, wall, (k, *_) in product(range(len(strain.laminae)), walls, PARTS[part]):
        at = strain.governing(lamina, wall, k)
        if at is not None:
            named[int(strain.case[lamina, at, wall, k])] = None
    letters = {case: _letter(i) for i, case in enumerate(named)}
    fig = Figure(figsize=(12.5, 7.4 + 0.19 * len(letters)), layout="constrained")
    grid = fig.subplots(2, -(-len(walls) // 2), sharex=True, sharey=True)
    # Walls alternate face, corner; read by columns they fill the rows.
    for wall, ax in zip(walls, grid.T.ravel(), strict=True):
        plot_strain_along_span(strain, part, wall, letters=letters, ax=ax, units=units)
    for ax in grid[-1]:
        ax.set_xlabel(f"station from root [{symbol('length', units)}]", fontsize=8)
    for ax in grid[:, 0]:
        ax.set_ylabel(f"{part} strain of the plies [microstrain]", fontsize=8)
    handles, labels = grid[0, 0].get_legend_handles_labels()
    listed = "\n".join(f"{letter}: {cases[case]}" for case, letter in letters.items())
    fig.legend(
        handles,
        labels,
        loc="outside lower center",
        ncols=4,
        fontsize=8,
        title=listed,
        title_fontsize=8,
        alignment="left",
    )
    fig.suptitle(
        f"Extreme {part} strain at ultimate load over all cases, {strain.service.name}. "
        "Dots and numbers: extreme of the lamina in the wall, and its case",
        fontsize=10,
    )
    return fig


def plot_margin_map(
    table: "pd.DataFrame", strut: Strut, *, ax: Axes, highest: float = 2.0, units: str = "SI"
) -> Axes:
    """Draw the lowest margin over all cases, plies and modes on the unrolled skin: span along x, walls along y.

    Parameters
    ----------
    table : DataFrame
        From `beam.margins`.
    strut : Strut
        Gives the walls and their lengths around the section.
    ax : Axes
        Where to draw.
    highest : float
        Margins above it are drawn alike [-].
    units : str
        "SI" or "US".

    Returns
    -------
    Axes
        The axes; walls as wide as at the root, colored halfway from each station to the next; below zero in orange; a
        cross marks the lowest.
    """
    names = strut.mold_line.wall_names
    rows = table["margin"].reset_index()
    rows = rows[rows["wall"].isin(names)]
    s = np.unique(rows["station"].to_numpy(dtype=float))
    grid = np.full((len(names), len(s)), np.inf)
    across, along = rows["wall"].to_numpy(), rows["station"].to_numpy()
    for i, name in enumerate(names):
        for j, station in enumerate(s):
            grid[i, j] = rows["margin"].to_numpy()[(across == name) & (along == station)].min(initial=np.inf)
    edges = shown(np.concatenate([s[:1], (s[1:] + s[:-1]) / 2, s[-1:]]), "length", units)
    around = shown(np.concatenate([[0.0], np.cumsum(strut.section(0.0).contour.length)]), "length", units)
    # Dark where there is no margin to spare, orange where it is gone.
    colors = colormaps["cividis"].with_extremes(under=COMPRESSION)
    drawn = ax.pcolormesh(edges, around, np.minimum(grid, highest), cmap=colors, vmin=0.0, vmax=highest)
    bar = ax.get_figure(root=True).colorbar(drawn, ax=ax, extend="both")  # type: ignore[union-attr]
    bar.set_label(f"lowest margin [-]; below zero in orange, {highest:g} and above alike")
    worst = rows.iloc[int(rows["margin"].to_numpy().argmin())]
    wall = names.index(worst["wall"])
    middle = (around[1:] + around[:-1]) / 2
    ax.plot(
        shown(worst["station"], "length", units), middle[wall], "x", color=LIMIT, ms=9, mew=4, clip_on=False
    )
    ax.plot(
        shown(worst["station"], "length", units), middle[wall], "x", color="white", ms=8, mew=2, clip_on=False
    )
    ax.set_title(
        f"lowest {worst['margin']:+.3f}: {names[wall]}, {worst['mode']}, case {worst['case']}",
        fontsize=9,
        loc="left",
    )
    ax.set_yticks(middle, names)
    ax.set_xlabel(f"station from root [{symbol('length', units)}]")
    return ax


def _letter(i: int) -> str:
    """A to Z, then AA, AB, ..."""
    return (_letter(i // 26 - 1) if i >= 26 else "") + chr(ord("A") + i % 26)
