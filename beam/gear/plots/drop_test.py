"""A measured drop over its prediction."""

from typing import TYPE_CHECKING

import numpy as np
from scipy.constants import g

from beam.gear.landing.drop_comparison import DropComparison
from beam.units import shown, symbol
from materials.checks import Array, one_of
from materials.kinds import instance

if TYPE_CHECKING:
    from matplotlib.axes import Axes

QUANTITIES = {"stroke": "length", "force": "force"}
"""Channels and what kind of quantity they show; acceleration is in g."""


def _shown(name: str, values: Array, units: str) -> Array:
    return values / g if name == "acceleration" else shown(values, QUANTITIES[name], units)


def _off(ratio: float) -> str:
    # adding zero turns a minus zero into zero
    return f"{round(ratio - 1, 3) + 0.0:+.1%}"


def plot_drop_test(
    comparison: DropComparison, *, axes: "tuple[Axes, ...] | None" = None, units: str = "SI"
) -> "tuple[Axes, ...]":
    """Draw acceleration, stroke and force of a drop, measured over predicted.

    Parameters
    ----------
    comparison : DropComparison
        Measurement and prediction.
    axes : tuple of Axes, optional
        Where to draw, three of them; None makes a figure.
    units : str
        "SI" or "US"; acceleration is in g either way.

    Returns
    -------
    tuple of Axes
        Acceleration, stroke, force.

    Raises
    ------
    ValueError
        If it is no comparison or the system of units is unknown.
    """
    instance("plot_drop_test: comparison", comparison, DropComparison)
    one_of("plot_drop_test: units", units, ("SI", "US"))
    if axes is None:
        from matplotlib import pyplot as plt

        axes = tuple(plt.subplots(3, 1, figsize=(8, 9), sharex=True, layout="constrained")[1])
    for ax, (name, error) in zip(axes, comparison.channels.items(), strict=True):
        for values, style, color, label in (
            (error.predicted, "--", "0.3", "predicted"),
            (error.measured, "-", "tab:red", "measured"),
        ):
            drawn, k = _shown(name, values, units), int(np.argmax(values))
            ax.plot(1e3 * error.time, drawn, style, color=color, lw=1.4, label=label)
            ax.plot(1e3 * error.time[k], drawn[k], "o", color=color, ms=4)
        unit = "g" if name == "acceleration" else symbol(QUANTITIES[name], units)
        ax.set_ylabel(f"{'dv/dt' if name == 'acceleration' else name} [{unit}]")
        peak, wanted = (float(_shown(name, np.asarray(value), units)) for value in error.peak)
        ax.set_title(
            f"peak {peak:.4g} {unit}, predicted {wanted:.4g} {unit} ({_off(error.peak_ratio)}, "
            f"{1e3 * error.delay:+.1f} ms); rms {error.rms:.1%} of the peak",
            fontsize=9,
            loc="right",
        )
        ax.axhline(0.0, color="0.7", lw=0.8, zorder=0)
        ax.grid(alpha=0.3)
    axes[0].legend(frameon=False)
    axes[-1].set_xlabel("time since touchdown [ms]")
    n, planned = comparison.load_factor, comparison.plan.load_factor
    axes[0].annotate(
        f"n = {n:.2f}, predicted {planned:.2f} ({_off(comparison.load_factor_ratio)})",
        (0.5, 0.06),
        xycoords="axes fraction",
        ha="center",
        fontsize=11,
        bbox={"fc": "white", "ec": "0.8"},
    )
    return axes
