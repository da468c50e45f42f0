"""A stack as it is laid: every ply to scale, with its angle and the direction of its fibers."""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from laminate.plots.canvas import COLORS, INK, QUIET, Units, axes_or_new, shown, unit
from laminate.stack import Laminate
from materials.checks import checked

__all__ = ["plot_stack"]

LABELLED = 40
"""Stacks of more plies get no text on each ply: it would not be legible."""


def angle_label(angle_deg: float) -> str:
    """Fiber angle [deg] with its sign, between -90 and 90 degrees, as in "+45°" or "90°"."""
    turned = 90.0 - (90.0 - angle_deg) % 180.0
    text = f"{turned:+g}°" if turned % 90.0 else f"{turned:g}°"
    return text.replace("-", "\N{MINUS SIGN}")


@checked
def plot_stack(laminate: Laminate, *, ax: Axes | None = None, units: Units = "SI") -> Axes:
    """Draw the cross-section of a stack, inner (mandrel) side below.

    Parameters
    ----------
    laminate : Laminate
        The stack.
    ax : Axes, optional
        Where to draw; new axes if none.
    units : str
        "SI" or "US".

    Returns
    -------
    Axes
        With one bar for each ply, its angle, a stroke along its fibers as seen from outside with x to
        the right, and the material where there are several.

    Raises
    ------
    ValueError: if it is no laminate, or the units are unknown.
    """
    ax = axes_or_new(ax)
    z = shown(laminate.interfaces, "length", units)
    kinds = list(dict.fromkeys((ply.lamina.name, ply.direction_deg) for ply in laminate.plies))
    hybrid = len({name for name, _ in kinds}) > 1
    size = min(9.0, 220.0 / len(laminate.plies))
    for ply, low, high in zip(laminate.plies, z[:-1], z[1:], strict=True):
        color = COLORS[kinds.index((ply.lamina.name, ply.direction_deg)) % len(COLORS)]
        ax.add_patch(Rectangle((0.0, low), 1.0, high - low, facecolor=color, alpha=0.30, edgecolor="none"))
        if len(laminate.plies) > LABELLED:
            continue
        ax.plot([0.0, 1.0], [low, low], color=INK, linewidth=0.5)
        middle = (low + high) / 2.0
        text = f"{angle_label(ply.angle_deg)}  {ply.lamina.name}" if hybrid else angle_label(ply.angle_deg)
        ax.text(0.5, middle, text, ha="center", va="center", fontsize=size, color=INK)
        _fiber(ax, middle, ply.angle_deg, size, color)
    ax.plot([0.0, 1.0], [z[-1], z[-1]], color=INK, linewidth=0.5)
    ax.axhline(0.0, color=INK, linewidth=1.0, linestyle=(0, (8, 4)))
    ax.annotate(
        "mid", (1.0, 0.0), (3, 0), xycoords=("axes fraction", "data"), textcoords="offset points",
        va="center", fontsize=8, color=QUIET,
    )  # fmt: skip
    ax.set(xlim=(0.0, 1.0), ylim=(z[0], z[-1]), xticks=[])
    ax.set_ylabel(f"z, inner to outer side [{unit('length', units)[1]}]")
    ax.spines[["top", "right", "bottom"]].set_visible(False)
    symbol = unit("length", units)[1]
    ax.set_title(f"{len(laminate.plies)} plies, {np.ptp(z):.3g} {symbol}", fontsize=10)
    if len(laminate.plies) > LABELLED:
        _legend(ax, kinds, hybrid)
    return ax


def _fiber(ax: Axes, middle: float, angle_deg: float, size: float, color: str) -> None:
    """Stroke at the true fiber angle, in points so that the scale of the axes does not turn it."""
    angle = np.radians(angle_deg)
    reach = 0.75 * size * np.array([np.cos(angle), np.sin(angle)])
    for sign in (1.0, -1.0):
        ax.annotate(
            "", (0.12, middle), tuple(sign * reach), textcoords="offset points",
            arrowprops={"arrowstyle": "-", "color": color, "linewidth": 1.6, "shrinkA": 0, "shrinkB": 0},
        )  # fmt: skip


def _legend(ax: Axes, kinds: list[tuple[str, float]], hybrid: bool) -> None:
    for i, (name, angle) in enumerate(kinds):
        label = f"{angle_label(angle)}  {name}" if hybrid else angle_label(angle)
        ax.add_patch(Rectangle((0, 0), 0, 0, facecolor=COLORS[i % len(COLORS)], alpha=0.3, label=label))
    ax.legend(loc="center left", bbox_to_anchor=(1.08, 0.5), frameon=False)
