"""Drawings of a strut and its span: ply book, section forces, deflected shape, modes.

Every function draws on axes and never saves.
"""

from collections.abc import Iterable
from typing import Annotated, Literal

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Patch

from beam.axes import FORCES
from beam.strut.ply_book import BookPly
from beam.strut.point_loads import PointLoads
from beam.strut.solver.vibration import Modes
from beam.strut.span import Span
from beam.strut.strut import Strut
from beam.units import shown, symbol
from materials.checks import Array, Limits, checked, reject

__all__ = ["plot_deflection", "plot_forces", "plot_modes", "plot_ply_book"]

Units = Literal["SI", "US"]
INK, PALE = "#222222", "#A0A0A0"
COLORS = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9")
PANELS = (("bending", "moment", (4, 5)), ("shear", "force", (1, 2)), ("torsion", "moment", (3,)))


@checked
def plot_ply_book(strut: Strut, *, ax: Axes, units: Units = "SI") -> Axes:
    """Every ply as a bar from where it starts to where it ends, by wall group, in the order of laying.

    Parameters
    ----------
    strut : Strut
        The strut.
    ax : Axes
        Where to draw.
    units : str
        "SI" or "US".

    Returns
    -------
    Axes
        The axes, stations along x.
    """
    plies = list(enumerate(strut.ply_book.plies, start=1))
    groups: dict[tuple[str, ...], list[tuple[int, BookPly]]] = {}
    for number, ply in plies:
        walls = tuple(w for w in strut.mold_line.wall_names if w in ply.walls)
        groups.setdefault(walls, []).append((number, ply))
    angles = sorted({_family(p.angle_deg) for _, p in plies})
    color = {a: COLORS[i % len(COLORS)] for i, a in enumerate(angles)}
    rows = len(plies) + 2 * len(groups)
    size = float(np.clip(300 / rows, 3.5, 7.5))
    length = float(shown(strut.mold_line.length, "length", units))
    y = 0.0
    for walls, members in groups.items():
        title = "all walls" if len(walls) == len(strut.mold_line.wall_names) else ", ".join(walls)
        for number, ply in members:
            start, end = shown([ply.start, ply.end], "length", units)
            tint = color[_family(ply.angle_deg)]
            ax.barh(y, end - start, left=start, height=0.8, color=tint, ec="white", lw=0.3)
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
    ax.legend(
        handles=handles, title="fiber angle", fontsize=8, title_fontsize=8, bbox_to_anchor=(1.0, 1.0), loc=2
    )
    mass = f"{shown(strut.mass, 'mass', units):.3g} {symbol('mass', units)}"
    ax.set_title(
        f"Ply book: {len(plies)} plies, {mass}; dotted: ends of plies, stations of the mold line", fontsize=10
    )
    return ax


@checked
def plot_forces(
    span: Span, loads: PointLoads, *, cases: Iterable[str], axes: Iterable[Axes], units: Units = "SI"
) -> None:
    """Bending, shear and torsion along the span; the cases that reach an extreme are named.

    Parameters
    ----------
    span : Span
        The span.
    loads : PointLoads
        Loads of shape (case, load, 3).
    cases : iterable of str
        Labels of the cases.
    axes : iterable of Axes, shape (3,)
        For bending, shear and torsion.
    units : str
        "SI" or "US".
    """
    s = _both_sides(span, loads)
    force = span.forces(loads, s)
    each, labels = _drawable(force, tuple(cases), tuple(axes), 3, "plot_forces")
    x = shown(s, "length", units)
    for ax, (title, quantity, components) in zip(each, PANELS, strict=True):
        value = shown(force, quantity, units)
        lines: list[tuple[int, int, str]] = []
        for c, dash in zip(components, ("-", "--"), strict=False):
            ax.plot(x, value[..., c].T, dash, color=PALE, lw=0.4, alpha=0.6, zorder=1, rasterized=True)
            for most in (np.argmax, np.argmin):
                worst = int(most(value[..., c])) // value.shape[1]
                if (worst, c, dash) not in lines:
                    lines.append((worst, c, dash))
        named = list(dict.fromkeys(case for case, _, _ in lines))
        for case, c, dash in lines:
            extreme = value[case, :, c][np.argmax(np.abs(value[case, :, c]))]
            label = f"{FORCES[c]} {extreme:+.3g}: {labels[case]}"
            tint = COLORS[named.index(case) % len(COLORS)]
            ax.plot(x, value[case, :, c], dash, color=tint, lw=1.6, label=label)
        ax.axhline(0.0, color=INK, lw=0.6)
        for at in shown(np.unique(loads.at), "length", units):
            ax.axvline(at, color=INK, lw=0.5, ls=":")
        ax.set_xlim(0.0, x[-1])
        ax.set_ylabel(f"{title} [{symbol(quantity, units)}]")
        ax.grid(alpha=0.3)
        ax.legend(fontsize=6.5, loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=2, frameon=False)
    each[-1].set_xlabel(f"{_station(units)}; dotted: loads; gray: all {len(force)} cases")


@checked
def plot_deflection(
    span: Span,
    loads: PointLoads,
    *,
    cases: Iterable[str],
    axes: Iterable[Axes],
    large: bool = False,
    magnify: Annotated[float | None, Limits("-", above=0.0)] = None,
    units: Units = "SI",
) -> None:
    """The deflected shape in three views, for the cases that move the tip furthest each way.

    Parameters
    ----------
    span : Span
        The span.
    loads : PointLoads
        Loads of shape (case, load, 3).
    cases : iterable of str
        Labels of the cases.
    axes : iterable of Axes, shape (3,)
        For the views onto e1-e2, e1-e3 and e2-e3.
    large : bool
        Let the loads follow the deflected shape.
    magnify : float, optional
        Factor on the displacements; chosen so that the largest is a tenth of the length if left out [-].
    units : str
        "SI" or "US".
    """
    moved = span.displacement(loads, large=large)[..., :3]
    each, labels = _drawable(moved, tuple(cases), tuple(axes), 3, "plot_deflection")
    most = float(np.abs(moved).max(initial=0.0))
    factor = magnify if magnify is not None else _round(0.1 * span.axis.length / most if most else 1.0)
    place = span.axis.position(span.stations)
    furthest = [most_at(moved[:, -1, k]) for k in (1, 2) for most_at in (np.argmax, np.argmin)]
    chosen = list(dict.fromkeys(int(i) for i in furthest))
    straight = shown(place, "length", units)
    for ax, (i, j) in zip(each, ((0, 1), (0, 2), (1, 2)), strict=True):
        ax.plot(straight[:, i], straight[:, j], color=INK, lw=1.2, label="unloaded")
        ax.plot(straight[0, i], straight[0, j], "s", color=INK, ms=6)
        for color, case in zip(COLORS, chosen, strict=False):
            line = shown(place + factor * moved[case], "length", units)
            tip = float(shown(np.linalg.norm(moved[case, -1]), "length", units))
            label = f"{labels[case]}: tip moves {tip:.3g} {symbol('length', units)}"
            ax.plot(line[:, i], line[:, j], color=color, label=label)
            ax.plot(line[-1, i], line[-1, j], "o", color=color, ms=4)
        ax.set(xlabel=f"e{i + 1} [{symbol('length', units)}]", ylabel=f"e{j + 1} [{symbol('length', units)}]")
        ax.set_aspect("equal", adjustable="datalim")
        ax.grid(alpha=0.3)
    title = f"Deflected shape, displacements x {factor:g}; square: root"
    each[0].legend(title=title, fontsize=7, loc="lower left", bbox_to_anchor=(0.0, 1.0), frameon=False)


@checked
def plot_modes(span: Span, modes: Modes, *, axes: Iterable[Axes], units: Units = "SI") -> None:
    """Mode shapes along the span.

    Parameters
    ----------
    span : Span
        The span.
    modes : Modes
        From `Span.modes`.
    axes : iterable of Axes, shape (mode,)
        One for each mode.
    units : str
        "SI" or "US".

    Notes
    -----
    Twist is drawn as the motion of a point a tenth of the length off the axis.
    """
    each = tuple(axes)
    if len(each) != len(modes.frequency):
        reject("plot_modes: axes", len(each), f"{len(modes.frequency)} axes")
    x = shown(span.stations, "length", units)
    lever = 0.1 * span.axis.length
    for number, (ax, f, shape) in enumerate(zip(each, modes.frequency, modes.shape, strict=True), start=1):
        parts = {f"u{i + 1}": shape[:, i] for i in range(3)} | {"twist r1 x L/10": shape[:, 3] * lever}
        largest = max((v[np.argmax(np.abs(v))] for v in parts.values()), key=abs)
        for color, (name, value) in zip(COLORS, parts.items(), strict=False):
            ax.plot(x, value / largest, color=color, label=name)
        ax.axhline(0.0, color=INK, lw=0.6)
        ax.set(title=f"mode {number}: {f:.4g} Hz", xlim=(x[0], x[-1]), ylabel="shape [-]")
        ax.set_xlabel(_station(units))
        ax.grid(alpha=0.3)
    each[0].legend(fontsize=7)


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


def _drawable(
    value: Array, labels: tuple[str, ...], axes: tuple[Axes, ...], count: int, who: str
) -> tuple[tuple[Axes, ...], tuple[str, ...]]:
    """Axes and labels, if there are `count` axes and a label for each case of the value (case, station, ...)."""
    if len(axes) != count:
        reject(f"{who}: axes", len(axes), f"{count} axes")
    if value.ndim != 3 or len(labels) != len(value):
        got = f"{len(labels)} labels for loads of shape {value.shape[:-2]}"
        reject(f"{who}: cases", got, "one for each case")
    return axes, labels


def _round(factor: float) -> float:
    """Round down to 1, 2 or 5 times a power of ten."""
    ten = 10.0 ** np.floor(np.log10(factor))
    return float(max(k * ten for k in (1, 2, 5) if k * ten <= factor * (1 + 1e-12)))
