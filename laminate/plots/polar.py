"""How the moduli of a stack change with direction."""

from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.projections.polar import PolarAxes

from laminate.constants import moduli_along
from laminate.plots.canvas import Units, axes_or_new, looks, shown, unit
from laminate.stack import Laminate
from materials.checks import checked

__all__ = ["plot_polar_moduli"]


@checked
def plot_polar_moduli(
    laminate: Laminate, *, shear: bool = True, ax: Axes | None = None, units: Units = "SI", **line: Any
) -> Axes:
    """Draw Young's modulus and the shear modulus in the plane over the direction.

    Parameters
    ----------
    laminate : Laminate
        The stack.
    shear : bool
        Whether to draw the shear modulus, too.
    ax : Axes, optional
        Polar axes; new ones if none.
    units : str
        "SI" or "US".
    **line
        Passed to ``Axes.plot``; a label given here goes in front of the names of the moduli.

    Returns
    -------
    Axes
        With x at 0 deg and y at 90 deg.

    Raises
    ------
    ValueError: if it is no laminate, or the units are unknown.

    Notes
    -----
    `laminate.constants.moduli_along` of the moduli of the stack, free to bend.
    """
    ax = axes_or_new(ax, polar=True)
    angle_deg = np.linspace(0.0, 360.0, 721)
    along = moduli_along(laminate.moduli(), angle_deg)
    prefix = f"{line.pop('label')}: " if "label" in line else ""
    # A second stack on the same axes takes the next colors.
    styles = looks(len(ax.lines) + 2)[len(ax.lines) :]
    curves = (("E", along.Ex), ("G", along.Gxy)) if shear else (("E", along.Ex),)
    for (name, modulus), style in zip(curves, styles, strict=False):
        radius = shown(modulus, "modulus", units)
        ax.plot(np.radians(angle_deg), radius, **({"label": prefix + name} | style | line))
    assert isinstance(ax, PolarAxes)
    ax.set_rmin(0.0)
    ax.set_rlabel_position(67.5)
    ax.set_thetagrids(np.arange(0, 360, 30))
    ax.grid(color="#dddddd", linewidth=0.6)
    ax.set_title(f"modulus by direction [{unit('modulus', units)[1]}]", fontsize=10, pad=14)
    ax.legend(loc="upper left", bbox_to_anchor=(1.05, 1.05), frameon=False)
    return ax
