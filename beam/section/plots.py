"""Drawings of a section: its walls to scale, and running loads drawn on them. Draws on axes, never saves."""

from typing import Annotated, Any, Literal

import numpy as np
from matplotlib.axes import Axes
from matplotlib.collections import PolyCollection
from numpy.typing import ArrayLike

from beam.plots import BLUE, INK, RED, one_or_new
from beam.section.section import Section
from beam.units import shown, symbol
from materials.checks import Array, Limits, checked

__all__ = ["plot_section", "plot_wall_load"]

Units = Literal["SI", "US"]
COMPONENTS = ("Nx", "Ny", "Nxy", "Mx", "My", "Mxy")
PLACES = 41
SKIN = "#D9D9D9"


@checked
def plot_section(
    section: Section, *, ax: Axes | None = None, names: bool = True, units: Units = "SI"
) -> Axes:
    """Draw the walls to scale, seen from the tip toward the root, with centroid and shear center.

    Parameters
    ----------
    section : Section
        The section.
    ax : Axes, optional
        Axes to draw on; new ones if left out.
    names : bool
        Write the names of the walls beside them, unless there are more than twelve.
    units : {"SI", "US"}
        Units of the axes.

    Returns
    -------
    Axes
        The axes.
    """
    ax = one_or_new(ax, (7.0, 5.5))
    at = np.linspace(0.0, 1.0, PLACES)
    r, n = shown(section.contour.position(at), "length", units), section.contour.normal(at)
    half = 0.5 * shown([wall.thickness for wall in section.laminates], "length", units)[:, None, None]
    outlines = np.concatenate([r + half * n, (r - half * n)[:, ::-1]], axis=1)
    ax.add_collection(PolyCollection(list(outlines), facecolor=SKIN, edgecolor=INK, lw=0.6))
    for point, mark, label in (
        (np.zeros(2), "+", "reference axis"),
        (shown(section.centroid, "length", units), "o", "centroid"),
        (shown(section.shear_center, "length", units), "^", "shear center"),
    ):
        ax.plot(*point, mark, color=INK, mfc="none", ms=8 if mark == "+" else 6, label=label, ls="none")
    if names and len(outlines) <= 12:
        for name, place, out in zip(
            section.contour.names, (r + half * n)[:, PLACES // 2], n[:, PLACES // 2], strict=True
        ):
            side: Any = "left" if out[0] > 0.5 else "right" if out[0] < -0.5 else "center"
            ax.annotate(
                name,
                tuple(place),
                tuple(9 * out),
                textcoords="offset points",
                ha=side,
                va="center",
                fontsize=7,
            )
    length = symbol("length", units)
    ax.set(xlabel=f"y2, along e2 [{length}]", ylabel=f"y3, along e3 [{length}]", aspect="equal")
    ax.set_title("seen from the tip: + reference axis, o centroid, triangle shear center", fontsize=9)
    ax.margins(0.12)
    ax.autoscale_view()
    return ax


@checked
def plot_wall_load(
    section: Section,
    F: Annotated[ArrayLike, Limits("N, N m", shape=(6,))],
    component: Literal["Nx", "Ny", "Nxy", "Mx", "My", "Mxy"] = "Nxy",
    *,
    ax: Axes | None = None,
    units: Units = "SI",
) -> Axes:
    """Draw the size of a running load outward from the walls, its sign by color; arrows show a shear flow.

    Parameters
    ----------
    section : Section
        The section.
    F : array_like, shape (6,)
        Section forces (N, V2, V3, T, M2, M3) [N], [N m].
    component : {"Nx", "Ny", "Nxy", "Mx", "My", "Mxy"}
        The running load; Nxy is the shear flow.
    ax : Axes, optional
        Axes to draw on; new ones if left out.
    units : {"SI", "US"}
        Units to show.

    Returns
    -------
    Axes
        The axes. A negative load is hatched. Its level is that of the section forces.
    """
    ax = plot_section(section, ax=ax, names=False, units=units)
    at = np.linspace(0.0, 1.0, PLACES)
    r, n = shown(section.contour.position(at), "length", units), section.contour.normal(at)
    quantity = "running load" if component.startswith("N") else "running moment"
    unit = symbol(quantity, units)
    value = shown(section.wall_loads(F, at)[..., COMPONENTS.index(component)], quantity, units)
    size = float(np.abs(value).max())
    reach = 0.22 * float(np.ptp(r, axis=(0, 1)).max())
    tip = r + (reach / size if size else 0.0) * np.abs(value)[..., None] * n
    for wall in range(len(r)):
        for sign, color, hatch in ((1.0, BLUE, ""), (-1.0, RED, "////")):
            part = r[wall] + np.where(sign * value[wall] > 0, 1.0, 0.0)[:, None] * (tip[wall] - r[wall])
            shape = np.concatenate([r[wall], part[::-1]])
            ax.fill(*shape.T, facecolor=color, alpha=0.35, lw=0.0, hatch=hatch)
        ax.plot(*tip[wall].T, color=INK, lw=0.8)
    if component == "Nxy":
        _arrows(ax, r, section.contour.tangent(at), value, size)
    top = divmod(int(np.abs(value).argmax()), PLACES)
    ax.annotate(
        f"{value[top]:.4g} {unit}",
        tuple(tip[top]),
        tuple(9 * n[top]),
        textcoords="offset points",
        ha="center",
        va="center",
        fontsize=8,
        bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 1},
    )
    ax.set_title(
        f"{component} [{unit}] at the section forces given: blue positive, hatched negative", fontsize=9
    )
    ax.margins(0.2)
    ax.autoscale_view()
    return ax


def _arrows(ax: Axes, r: Array, t: Array, value: Array, size: float) -> None:
    """Short arrows the way the flow runs, where it is more than a twentieth of the largest."""
    length = 0.07 * float(np.ptp(r, axis=(0, 1)).max())
    for wall in range(len(r)):
        for place in (PLACES // 6, PLACES // 2, PLACES - 1 - PLACES // 6):
            if abs(value[wall, place]) <= 0.05 * size:
                continue
            step = 0.5 * length * np.sign(value[wall, place]) * t[wall, place]
            ax.annotate(
                "",
                tuple(r[wall, place] + step),
                tuple(r[wall, place] - step),
                arrowprops={"arrowstyle": "-|>", "color": INK, "lw": 1.0, "shrinkA": 0, "shrinkB": 0},
            )
