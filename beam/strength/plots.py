"""Plots of strength: strain and reserve along the span, map of margins. They draw on axes and never save."""

from collections.abc import Mapping, Sequence
from itertools import product
from typing import Annotated, Any, Literal

import numpy as np
from matplotlib import colormaps
from matplotlib.axes import Axes
from matplotlib.colors import BoundaryNorm
from matplotlib.figure import Figure

from beam.plots import BLUE, BROWN, GREEN, INK, MARKS, ORANGE, PINK, RED, SKY, level_text, one_or_new
from beam.strength.strain import KINDS, SpanStrain
from beam.strut import Strut
from beam.units import shown, symbol
from materials.checks import Limits, Table, checked, reject

__all__ = ["plot_margin_map", "plot_reserve_along_span", "plot_strain_along_span", "strain_figure"]

Part = Literal["fiber", "transverse", "shear"]
Units = Literal["SI", "US"]

LAMINAE = (BLUE, RED, GREEN, PINK)
CHECKS = (*LAMINAE, SKY, ORANGE, BROWN, INK)
MICRO = 1e6
BANDS = (0.0, 0.05, 0.1, 0.2, 0.3, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 5.0, 10.0)
"""Ends of the color bands of the margin map [-]: close where a margin is small."""
PARTS = {
    part: [(k, dash, label) for (k, label), dash in zip(kinds, ("-", "--"), strict=False)]
    for part, kinds in KINDS.items()
}


@checked
def plot_strain_along_span(
    strain: SpanStrain,
    part: Part,
    wall: Annotated[int, Limits("-", at_least=0)],
    *,
    letters: Mapping[int, str] | None = None,
    ax: Axes | None = None,
    units: Units = "SI",
) -> Axes:
    """Draw the extreme fiber, transverse or shear strain of one wall along the span, with its allowable.

    Parameters
    ----------
    strain : SpanStrain
        From `beam.strength.span_strain`.
    part : {"fiber", "transverse", "shear"}
        Which strain.
    wall : int
        Index of the wall [-].
    letters : mapping of int to str, optional
        Short names of the cases by number [-], written before the extremes they make; None: "case" and the number.
    ax : Axes, optional
        Where to draw; None makes a figure with a legend.
    units : {"SI", "US"}
        Units of the station.

    Returns
    -------
    Axes
        The axes. Tension is drawn full, compression dashed, allowables dotted.
    """
    if len(strain.laminae) > len(LAMINAE):
        count = len(strain.laminae)
        reject("plot_strain_along_span: strain: laminae", count, f"at most {len(LAMINAE)}", "no more colors")
    if wall >= len(strain.walls):
        reject("plot_strain_along_span: wall [-]", wall, f"an index of {len(strain.walls)} walls")
    given, ax = ax is not None, one_or_new(ax)
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
                case = int(strain.case[lamina, at, wall, k])
                extremes.append(f"{f'case {case}' if letters is None else letters[case]} {value[at]:.0f}")
        ax.text(
            0.03, 0.78 - 0.07 * lamina, ",  ".join(extremes), color=color, fontsize=8, transform=ax.transAxes,
            zorder=5, bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.85, "pad": 1.0},
        )  # fmt: skip
    ax.axhline(0.0, color=INK, lw=0.6)
    if part == "fiber" and strain.caps is not None:
        for cap in strain.caps * MICRO:
            ax.axhline(cap, color=INK, lw=1.2, ls="-.", label="caps that decide, on the strain of load alone")
    title = f"{strain.walls[wall]}: {part} strain of the plies at ultimate load, {strain.service.name}"
    ax.set_title(title, fontsize=9, loc="left")
    ax.set_xlabel(f"station from root [{symbol('length', units)}]")
    ax.set_ylabel(f"{part} strain [microstrain]")
    ax.set_xlim(x[0], x[-1])
    ax.grid(alpha=0.3)
    ax.tick_params(labelsize=8)
    if not given:
        ax.get_figure(root=True).legend(loc="outside lower center", fontsize=8, ncols=2)  # type: ignore[union-attr]
    return ax


@checked
def plot_reserve_along_span(
    table: Table,
    *,
    ax: Axes | None = None,
    modes: Sequence[str] = (),
    wall: str | None = None,
    highest: Annotated[float, Limits("-", above=1.0)] = 4.0,
    units: Units = "SI",
) -> Axes:
    """Draw the lowest reserve factor of every check along the span, over all cases, walls and plies.

    Parameters
    ----------
    table : DataFrame
        From `beam.margins`.
    ax : Axes, optional
        Where to draw; None makes a figure with a legend.
    modes : sequence of str
        Modes to draw; all of the table if none.
    wall : str, optional
        Only this wall.
    highest : float
        Upper end of the axis [-].
    units : {"SI", "US"}
        Units of the station.

    Returns
    -------
    Axes
        The axes. Checks at limit load are dashed, those at ultimate load full; thin gray lines do not decide. Modes of
        the whole strut are dots at the tip.
    """
    rows = table[["reserve", "level", "decides"]]
    for name, wanted in (("wall", wall and [wall]), ("mode", list(modes))):
        if wanted:
            rows = rows[rows.index.get_level_values(name).isin(wanted)]
    rows = rows.reset_index()
    found = [mode for mode in rows["mode"].unique() if not modes or mode in modes]
    if missing := set(modes) - set(found):
        reject("plot_reserve_along_span: modes", ", ".join(sorted(missing)), "modes of the table")
    given, ax, deciding = ax is not None, one_or_new(ax, (11.0, 5.5)), 0
    for mode in found:
        own = rows[rows["mode"] == mode]
        level, decides = own["level"].iloc[0], bool(own["decides"].iloc[0])
        lowest = own.groupby("station")["reserve"].min()
        x = shown(lowest.index.to_numpy(dtype=float), "length", units)
        turn, n = divmod(deciding, len(CHECKS))
        color, width = (CHECKS[n], 1.6) if decides else ("#888888", 1.0)
        deciding += decides
        note = f", lowest {lowest.min():.2f}" + (" (above the axis)" if lowest.min() > highest else "")
        dash = "--" if level == "limit" else "-" if decides or len(found) == 1 else (":", "-.")[len(mode) % 2]
        ax.plot(
            x, lowest, dash, color=color, lw=width, marker=MARKS[(n + turn) % len(MARKS)] if decides else None, ms=4,
            label=f"{level}: {mode}{note}{'' if decides else ', does not decide'}",
        )  # fmt: skip
    ax.axhline(1.0, color=RED, lw=1.2, zorder=1)
    ax.text(0.01, 1.0, "required", color=RED, fontsize=8, va="bottom", transform=ax.get_yaxis_transform())
    none = bool((rows["reserve"] == 0.0).any())  # heat and moisture alone reach a strength
    ax.set_ylim(-0.06 * highest if none else 0.0, highest)
    ends = shown(np.array([rows["station"].min(), rows["station"].max()]), "length", units)
    ax.set_xlim(ends[0], ends[1] + 0.02 * max(float(ends[1] - ends[0]), 1e-3))
    ax.set_xlabel(f"station from root [{symbol('length', units)}]")
    ax.set_ylabel("reserve factor at the load of its level [-]")
    ax.set_title(
        f"lowest over cases, services and plies, {'all walls' if wall is None else wall}, each check at its load level",
        fontsize=9, loc="left",
    )  # fmt: skip
    ax.grid(alpha=0.3)
    if not given:
        ax.get_figure(root=True).legend(loc="outside lower center", fontsize=8, ncols=2)  # type: ignore[union-attr]
    return ax


@checked
def strain_figure(
    strain: SpanStrain,
    part: Part,
    *,
    cases: Sequence[Any],
    table: Table | None = None,
    units: Units = "SI",
) -> Figure:
    """Lay out the strain along the span of all walls on one page, the governing cases listed below.

    Parameters
    ----------
    strain : SpanStrain
        From `beam.strength.span_strain`.
    part : {"fiber", "transverse", "shear"}
        Which strain.
    cases : sequence of str
        Labels of the load cases.
    table : DataFrame, optional
        From `beam.margins`: the reserve of Tsai-Wu is drawn below the strain of each wall.
    units : {"SI", "US"}
        Units of the station.

    Returns
    -------
    Figure
        Faces in the upper row, corners in the lower one.
    """
    walls = range(len(strain.walls))
    named: dict[int, None] = {}
    for lamina, wall, (k, *_) in product(range(len(strain.laminae)), walls, PARTS[part]):
        at = strain.governing(lamina, wall, k)
        if at is not None:
            named[int(strain.case[lamina, at, wall, k])] = None
    letters = {case: _letter(i) for i, case in enumerate(named)}
    columns, beside = -(-len(walls) // 2), table is not None
    height = (11.5 if beside else 7.7) + 0.19 * len(letters)
    fig = Figure(figsize=(12.5, height), layout="constrained")
    every = fig.subplots(
        4 if beside else 2,
        columns,
        sharex=True,
        height_ratios=(3, 1.3) * 2 if beside else (1, 1),
        squeeze=False,
    )
    grid = every[::2] if beside else every
    # Walls alternate face, corner; read by columns they fill the rows.
    for wall, ax in zip(walls, grid.T.ravel(), strict=True):
        ax.sharey(grid[0, 0]) if ax is not grid[0, 0] else None
        plot_strain_along_span(strain, part, wall, letters=letters, ax=ax, units=units)
        ax.set_title(strain.walls[wall], fontsize=9, loc="left")
        ax.set(xlabel="", ylabel="")
    if table is not None:
        for wall, ax in zip(walls, every[1::2].T.ravel(), strict=True):
            plot_reserve_along_span(table, ax=ax, modes=["tsai_wu"], wall=strain.walls[wall], units=units)
            ax.set_title("", loc="left")
            ax.set(xlabel="", ylabel="")
            ax.tick_params(labelsize=8)
        own = table.xs("tsai_wu", level="mode")
        notes = "" if own["decides"].any() else "\ndoes not decide"
        notes += "\n0: failed by heat alone" if (own["reserve"] == 0.0).any() else ""
        for ax in every[1::2, 0]:
            ax.set_ylabel(f"Tsai-Wu reserve\nat ultimate load [-]{notes}", fontsize=8)
    for ax in every[-1]:
        ax.set_xlabel(f"station from root [{symbol('length', units)}]", fontsize=8)
    for ax in grid[:, 0]:
        ax.set_ylabel(f"{part} strain of the plies [microstrain]", fontsize=8)
    named_once = dict(zip(*grid[0, 0].get_legend_handles_labels()[::-1], strict=True))
    handles, labels = list(named_once.values()), list(named_once)
    listed = "\n".join(f"{letter}: {cases[case]}" for case, letter in letters.items())
    fig.legend(
        handles,
        labels,
        loc="outside lower center",
        ncols=2,
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


@checked
def plot_margin_map(
    table: Table,
    strut: Strut,
    *,
    ax: Axes | None = None,
    highest: Annotated[float, Limits("-", above=0.0)] = 2.0,
    units: Units = "SI",
) -> Axes:
    """Draw the lowest margin that decides, over all cases, plies and modes, on the unrolled skin: walls along y.

    Parameters
    ----------
    table : DataFrame
        From `beam.margins`.
    strut : Strut
        Gives the walls and their lengths around the section.
    ax : Axes, optional
        Where to draw; None makes a figure.
    highest : float
        Margins above it have one color [-].
    units : {"SI", "US"}
        Units of the station.

    Returns
    -------
    Axes
        The axes; walls as wide as at the root, colored halfway from each station to the next, in bands that are
        narrow where a margin is small; below zero in orange and hatched; a cross marks the lowest, which the title
        names with its check, load level, case and service.
    """
    ax = one_or_new(ax, (11.0, 6.0))
    names = strut.mold_line.wall_names
    rows = table.loc[table["decides"], ["margin", "level", "service"]].reset_index()
    rows = rows[rows["wall"].isin(names)]
    s = np.unique(rows["station"].to_numpy(dtype=float))
    lowest = rows.groupby(["wall", "station"], observed=True)["margin"].min().unstack()
    grid = lowest.reindex(index=names, columns=s).fillna(np.inf).to_numpy()
    edges = shown(np.concatenate([s[:1], (s[1:] + s[:-1]) / 2, s[-1:]]), "length", units)
    around = shown(np.concatenate([[0.0], np.cumsum(strut.section(0.0).contour.length)]), "length", units)
    ends = [*(end for end in BANDS if end < highest), highest]
    colors = colormaps["cividis_r"].with_extremes(under=RED)
    norm = BoundaryNorm(ends, colors.N, extend="both")
    drawn = ax.pcolormesh(edges, around, grid, cmap=colors, norm=norm)
    failed = np.ma.masked_where(grid >= 0.0, grid)
    ax.pcolor(edges, around, failed, cmap=colors, norm=norm, hatch="xxx", edgecolor=INK, lw=0.0)
    bar = ax.get_figure(root=True).colorbar(drawn, ax=ax, ticks=ends, spacing="uniform")  # type: ignore[union-attr]
    bar.set_label("lowest margin [-]; below zero in orange, hatched")
    worst = rows.iloc[int(rows["margin"].to_numpy().argmin())]
    wall = names.index(worst["wall"])
    middle = (around[1:] + around[:-1]) / 2
    along = shown(worst["station"], "length", units)
    for color, size, width in ((INK, 9, 4), ("white", 8, 2)):
        ax.plot(along, middle[wall], "x", color=color, ms=size, mew=width, clip_on=False)
    ax.set_title(
        f"Lowest margin that decides, checks {level_text(rows['level'])}. "
        f"Lowest of all {worst['margin']:+.3f}: {names[wall]}, "
        f"{worst['mode']} at {worst['level']} load,\ncase {worst['case']}, {worst['service']}",
        fontsize=9, loc="left",
    )  # fmt: skip
    ax.set_yticks(middle, names)
    ax.set_xlabel(f"station from root [{symbol('length', units)}]")
    return ax


def _letter(i: int) -> str:
    """A to Z, then AA, AB, ..."""
    return (_letter(i // 26 - 1) if i >= 26 else "") + chr(ord("A") + i % 26)
