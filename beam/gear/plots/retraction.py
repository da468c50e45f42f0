"""Actuator force over a retraction, and what it works against."""

from typing import TYPE_CHECKING

import numpy as np

from beam.gear.retraction import Swing

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def plot_swing(swing: Swing, *, axes: "tuple[Axes, Axes] | None" = None) -> "tuple[Axes, Axes]":
    """Draw the actuator's force over its length, and the moments over the turn.

    Parameters
    ----------
    swing : Swing
        The retraction or extension.
    axes : tuple of Axes, optional
        Where to draw, two of them; None makes a figure.

    Returns
    -------
    tuple of Axes
        Force over length, moments over turn.
    """
    if axes is None:
        from matplotlib import pyplot as plt

        left, right = plt.subplots(1, 2, figsize=(11, 4.5), layout="constrained")[1]
        axes = left, right
    force, moments = axes
    force.plot(1e3 * swing.length, swing.force, color="tab:red")
    force.plot(1e3 * swing.length[0], swing.force[0], "ko", label="start")
    force.set(xlabel="length of the actuator [mm]", ylabel="force, positive pushes [N]")
    for name in ("weight", "inertia", "air", "friction"):
        moments.plot(np.degrees(swing.angle), getattr(swing, name), label=name)
    moments.set(xlabel="turn from extended [deg]", ylabel="moment, positive toward stowed [N m]")
    for ax in axes:
        ax.grid(alpha=0.3)
        ax.legend(frameon=False)
    return axes
