"""Drawings of a strut and its span: ply book, section forces, deflected shape, modes.

Every function draws on axes and never saves.
"""

from collections.abc import Iterable, Sequence
from typing import Any, Literal

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Patch

from beam.axes import FORCES
from beam.plots import COLORS, DASHES, INK, MARKS, PALE, given_or_new, level_text, one_or_new
from beam.strut.ply_book import BookPly
from beam.strut.point_loads import PointLoads
from beam.strut.solver.vibration import Modes
from beam.strut.span import Span
from beam.strut.strut import Strut
from beam.units import shown, symbol
from materials.checks import Array, checked, reject

__all__ = ["plot_deflection", "plot_forces", "plot_modes", "plot_ply_book"]

Units = Literal["SI", "US"]
HATCHES = ("", "////", "....", "xxxx", "----")
PANELS = (
    ("bending, M2", "moment", (4,)),
    ("bending, M3", "moment", (5,)),
    ("shear", "force", (1, 2)),
    ("torsion", "moment", (3,)),
)


@checked
def plot_ply_book(strut: Strut, *, ax: Axes | None = None, units: Units = "SI") -> Axes:
    """Every ply as a bar from where it starts to where it ends, by wall group, in the order of laying.

    Parameters
    ----------
    strut : Strut
        The strut.
    ax : Axes, optional
        Where to draw; None makes a figure.
    units : str
        "SI" or "US".

    Returns
    -------
    Axes
        The axes, stations along x; the color says the fiber angle, the hatch the lamina.
    """
    ax = one_or_new(ax, (11.0, 7.0))
    plies = list(enumerate(strut.ply_book.plies, start=1))
    groups: dict[tuple[str, ...], list[tuple[int, BookPly]]] = {}
    for number, ply in plies:
        walls = tuple(w for w in strut.mold_line.wall_names if w in ply.walls)
        groups.setdefault(walls, []).append((number, ply))
    angles = sorted({_family(p.angle_deg) for _, p in plies})
    color = {a: COLORS[i % len(COLORS)] for i, a in enumerate(angles)}
    laminae = list(dict.fromkeys(p.lamina.name for _, p in plies))
    hatch = {name: HATCHES[i % len(HATCHES)] for i, name in enumerate(laminae)}
    rows = len(plies) + 2 * len(groups)
    size = float(np.clip(300 / rows, 3.5, 7.5))
    length = float(shown(strut.mold_line.length, "length", units))
    y = 0.0
    for walls, members in groups.items():
        title = "all walls" if len(walls) == len(strut.mold_line.wall_names) else ", ".join(walls)
        for number, ply in members:
            start, end = shown([ply.start, ply.end], "length", units)
            tint = color[_family(ply.angle_deg)]
            ax.barh(
                y,
                end - start,
                left=start,
                height=0.8,
                color=tint,
                ec="white",
                lw=0.3,
                hatch=hatch[ply.lamina.name],
            )
            ax.text(start - 0.006 * length, y, f"{number}", ha="right", va="center", fontsize=size)
            angle = f"{ply.angle_deg:+.0f}°".replace("+0°", "0°")
            ax.text(end + 0.006 * length, y, angle, va="center", fontsize=size)
            y += 1.0
        ax.text(0.0, y + 0.1, title, fontsize=8, fontweight="bold", va="center")
        y += 2.0
    for s in shown(strut.bays[1:-1], "length", units):
        ax.axvline(s, color=INK, lw=0.5, ls=":", zorder=0)
    ax.set_xlim(-0.06 * length, 1.08 * length)
    ax.set_ylim(-1.0, y - 0.5)
    ax.set_yticks([])
    ax.set_xlabel(_station(units))
    ax.set_ylabel("plies of a wall group, the mandrel side lowest\n(numbers: place in the book)")
    handles = [Patch(color=color[a], label=f"±{a:g}°" if 0 < a < 90 else f"{a:g}°") for a in angles]
    handles += [Patch(facecolor=PALE, ec="white", hatch=hatch[name], label=name) for name in laminae]
    ax.legend(
        handles=handles, title="color: fiber angle\nhatch: lamina", fontsize=8, title_fontsize=8,
        bbox_to_anchor=(1.0, 1.0), loc=2,
    )  # fmt: skip
    mass = f"{shown(strut.mass, 'mass', units):.3g} {symbol('mass', units)}"
    ax.set_title(
        f"Ply book: {len(plies)} plies, {mass}; dotted: ends of plies, stations of the mold line", fontsize=10
    )
    return ax


@checked
def plot_forces(
    span: Span,
    loads: PointLoads,
    *,
    cases: Iterable[str],
    axes: Sequence[Axes] | None = None,
    units: Units = "SI",
) -> tuple[Axes, ...]:
    """Bending, shear and torsion along the span; the cases that reach an extreme are named.

    Parameters
    ----------
    span : Span
        The span.
    loads : PointLoads
        Loads of shape (case, load, 3).
    cases : iterable of str
        Labels of the cases.
    axes : sequence of Axes, optional
        Four: M2, M3, shear, torsion; None makes a figure.
    units : str
        "SI" or "US".

    Returns
    -------
    tuple of Axes
        M2, M3, shear, torsion. The title of the first names the load level.
    """
    s, labels = _both_sides(span, loads), tuple(cases)
    force = span.forces(loads, s)
    _refuse_labels(force, labels, "plot_forces")
    each = given_or_new("plot_forces", axes, 4, size=(11.0, 10.0), sharex=True)
    x, ultimate = shown(s, "length", units), loads.at_ultimate
    for ax, (title, quantity, components) in zip(each, PANELS, strict=True):
        value = shown(force, quantity, units)
        lines: list[tuple[int, int, Any]] = []
        for c, dash in zip(components, DASHES, strict=False):
            ax.plot(x, value[..., c].T, ls=dash, color=PALE, lw=0.4, alpha=0.6, zorder=1, rasterized=True)
            for most in (np.argmax, np.argmin):
                worst = int(most(value[..., c])) // value.shape[1]
                if (worst, c, dash) not in lines:
                    lines.append((worst, c, dash))
        named = list(dict.fromkeys(case for case, _, _ in lines))
        for case, c, dash in lines:
            at = int(np.argmax(np.abs(value[case, :, c])))
            given = " (ultimate)" if ultimate[case] else ""
            label = f"{FORCES[c]} {value[case, at, c]:+.3g}: {labels[case]}{given}"
            tint, mark = COLORS[named.index(case) % len(COLORS)], MARKS[named.index(case) % len(MARKS)]
            ax.plot(
                x,
                value[case, :, c],
                ls=dash,
                color=tint,
                lw=1.6,
                label=label,
                marker=mark,
                ms=4,
                markevery=[at],
            )
        ax.axhline(0.0, color=INK, lw=0.6)
        for place in shown(np.unique(loads.at), "length", units):
            ax.axvline(place, color=INK, lw=0.5, ls=":")
        ax.set_xlim(0.0, x[-1])
        ax.set_ylabel(f"{title} [{symbol(quantity, units)}]")
        ax.grid(alpha=0.3)
        ax.legend(fontsize=6.5, loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=2, frameon=False)
    each[0].set_title(f"Section forces {_level(loads)}", fontsize=10, pad=22)
    each[-1].set_xlabel(f"{_station(units)}; dotted: loads; gray: all {len(force)} cases")
    return each


@checked
def plot_deflection(
    span: Span,
    loads: PointLoads,
    *,
    cases: Iterable[str],
    axes: Sequence[Axes] | None = None,
    large: bool = False,
    units: Units = "SI",
) -> tuple[Axes, ...]:
    """Displacement of the axis, for the cases that move the tip furthest each way.

    Parameters
    ----------
    span : Span
        The span.
    loads : PointLoads
        Loads of shape (case, load, 3).
    cases : iterable of str
        Labels of the cases.
    axes : sequence of Axes, optional
        Three: along e2 and along e3 over the station, and both seen from the tip; None makes a figure.
    large : bool
        Let the loads follow the deflected shape.
    units : str
        "SI" or "US".

    Returns
    -------
    tuple of Axes
        The axes. Every number is a true displacement, none is magnified.
    """
    moved, labels = span.displacement(loads, large=large)[..., :3], tuple(cases)
    _refuse_labels(moved, labels, "plot_deflection")
    each = given_or_new("plot_deflection", axes, 3, size=(9.0, 11.0))
    furthest = [most_at(moved[:, -1, k]) for k in (1, 2) for most_at in (np.argmax, np.argmin)]
    x, length = shown(span.stations, "length", units), symbol("length", units)
    for i, case in enumerate(dict.fromkeys(int(i) for i in furthest)):
        color, dash = COLORS[i % len(COLORS)], DASHES[i % len(DASHES)]
        _, u2, u3 = shown(moved[case], "length", units).T
        tip = float(shown(np.linalg.norm(moved[case, -1]), "length", units))
        given = " (ultimate)" if loads.at_ultimate[case] else ""
        label = f"{labels[case]}{given}: tip moves {tip:.3g} {length}"
        for ax, along, across in zip(each, (x, x, u2), (u2, u3, u3), strict=True):
            ax.plot(along, across, ls=dash, color=color, label=label)
            ax.plot(along[-1], across[-1], MARKS[i % len(MARKS)], color=color, ms=5)
    each[0].set(xlabel=_station(units), ylabel=f"displacement along e2 [{length}]")
    each[1].set(xlabel=_station(units), ylabel=f"displacement along e3 [{length}]")
    each[2].set(xlabel=f"along e2 [{length}]", ylabel=f"along e3 [{length}]")
    each[2].set_aspect("equal", adjustable="datalim")
    for ax in each:
        ax.grid(alpha=0.3)
    way = "loads follow the strut" if large else "small displacements"
    title = f"Displacement of the axis {_level(loads)}, {way}; marks: tip"
    each[0].legend(title=title, fontsize=7, loc="lower left", bbox_to_anchor=(0.0, 1.0), frameon=False)
    return each


@checked
def plot_modes(
    span: Span, modes: Modes, *, axes: Sequence[Axes] | None = None, units: Units = "SI"
) -> tuple[Axes, ...]:
    """Mode shapes along the span.

    Parameters
    ----------
    span : Span
        The span.
    modes : Modes
        From `Span.modes`.
    axes : sequence of Axes, optional
        One for each mode; None makes a figure.
    units : str
        "SI" or "US".

    Returns
    -------
    tuple of Axes
        One for each mode.

    Notes
    -----
    Twist is drawn as the motion of a point a tenth of the length off the axis.
    """
    count = len(modes.frequency)
    each = given_or_new("plot_modes", axes, count, size=(9.0, 2.6 * count), sharex=True)
    x = shown(span.stations, "length", units)
    lever = 0.1 * span.axis.length
    for number, (ax, f, shape) in enumerate(zip(each, modes.frequency, modes.shape, strict=True), start=1):
        parts = {f"u{i + 1}": shape[:, i] for i in range(3)} | {"twist r1 x L/10": shape[:, 3] * lever}
        largest = max((v[np.argmax(np.abs(v))] for v in parts.values()), key=abs)
        for color, dash, (name, value) in zip(COLORS, DASHES, parts.items(), strict=False):
            ax.plot(x, value / largest, ls=dash, color=color, label=name)
        ax.axhline(0.0, color=INK, lw=0.6)
        ax.set(title=f"mode {number}: {f:.4g} Hz, without load", xlim=(x[0], x[-1]), ylabel="shape [-]")
        ax.grid(alpha=0.3)
    each[-1].set_xlabel(_station(units))
    each[0].legend(fontsize=7)
    return each


def _family(angle: float) -> float:
    """Angle from 0 to 90 of a fiber direction and of its mirror image [deg]."""
    return float(round(abs((angle + 90) % 180 - 90), 6))


def _station(units: str) -> str:
    """Label of the axis of stations."""
    return f"station from root [{symbol('length', units)}]"


def _both_sides(span: Span, loads: PointLoads) -> Array:
    """Stations for lines that jump at loads and supports [m]."""
    jumps = np.unique(np.concatenate([loads.at, span.held.at]))
    beyond = jumps[jumps < span.axis.length] + 1e-6 * span.axis.length
    return np.unique(np.concatenate([span.stations, np.linspace(0.0, span.axis.length, 101), jumps, beyond]))


def _level(loads: PointLoads) -> str:
    """Load level of the cases, for a title."""
    ultimate = int(loads.at_ultimate.sum())
    levels = ["limit"] * (len(loads.at_ultimate) - ultimate) + ["ultimate"] * ultimate
    return level_text(levels) + (f" ({ultimate} cases are given at ultimate)" if len(set(levels)) > 1 else "")


def _refuse_labels(value: Array, labels: tuple[str, ...], who: str) -> None:
    """Refuse labels that are not one for each case of the value (case, station, ...)."""
    if value.ndim != 3 or len(labels) != len(value):
        got = f"{len(labels)} labels for loads of shape {value.shape[:-2]}"
        reject(f"{who}: cases", got, "one for each case")
