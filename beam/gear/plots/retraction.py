"""Actuator force over a retraction, and what it works against."""

from typing import TYPE_CHECKING

import numpy as np

from beam.gear.retraction.swing import Swing
from beam.units import shown, symbol
from materials.checks import one_of
from materials.kinds import instance

if TYPE_CHECKING:
    from matplotlib.axes import Axes

MOMENTS = {
    "weight": "tab:blue",
    "inertia": "tab:orange",
    "air": "tab:green",
    "friction": "0.45",
    "brake": "tab:purple",
    "door": "tab:cyan",
}
"""What the actuator works against, and its color."""


def plot_swing(
    swing: Swing, *, axes: "tuple[Axes, Axes] | None" = None, units: str = "SI"
) -> "tuple[Axes, Axes]":
    """Draw the actuator's force and the moments that it works against, both over the turn.

    Parameters
    ----------
    swing : Swing
        The retraction or extension.
    axes : tuple of Axes, optional
        Where to draw, two of them; None makes a figure.
    units : str
        "SI" or "US".

    Returns
    -------
    tuple of Axes
        Force, moments; a moment that is zero throughout is left out.

    Raises
    ------
    ValueError
        If it is no swing or the system of units is unknown.
    """
    instance("plot_swing: swing", swing, Swing)
    one_of("plot_swing: units", units, ("SI", "US"))
    if axes is None:
        from matplotlib import pyplot as plt

        left, right = plt.subplots(1, 2, figsize=(12, 4.8), sharex=True, layout="constrained")[1]
        axes = left, right
    force, moments = axes
    turn, drawn = np.degrees(swing.angle), shown(swing.force, "force", units)
    force.plot(turn, drawn, color="tab:red", lw=1.6)
    force.plot(turn[0], drawn[0], "ko", ms=5, label="start")
    for name, peak in (("push", swing.push), ("pull", swing.pull)):
        if peak:
            k = int(np.argmax(swing.force if name == "push" else -swing.force))
            said = f"largest {name} {shown(peak, 'force', units):.3g} {symbol('force', units)}"
            said += f", actuator {shown(swing.length[k], 'length', units):.4g} {symbol('length', units)} long"
            force.plot(turn[k], drawn[k], "v" if name == "push" else "^", color="tab:red", label=said)
    force.set_ylabel(f"force of the actuator, positive pushes [{symbol('force', units)}]")
    for name, color in MOMENTS.items():
        values = getattr(swing, name)
        if values.any():
            moments.plot(turn, shown(values, "moment", units), lw=1.4, label=name, color=color)
    moments.set_ylabel(f"moment about the axis, positive toward stowed [{symbol('moment', units)}]")
    for ax in axes:
        ax.set_xlabel("turn from extended [deg]")
        ax.axhline(0.0, color="0.6", lw=0.8, zorder=0)
        ax.margins(y=0.12)
        ax.grid(alpha=0.3)
        ax.legend(frameon=False, fontsize=9)
    return axes
