"""Stroke against load factor."""

from typing import TYPE_CHECKING

import numpy as np

from beam.gear.choose_shock import ShockChoice
from beam.gear.shock_trade import ShockTrade

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def plot_shock_trade(
    trade: ShockTrade, choice: ShockChoice | None = None, *, ax: "Axes | None" = None
) -> "Axes":
    """Draw the least load factor over the stroke, with what is asked and what was chosen.

    Parameters
    ----------
    trade : ShockTrade
        The curve.
    choice : ShockChoice, optional
        The chosen shock.
    ax : Axes, optional
        Where to draw; None makes a figure.

    Returns
    -------
    Axes
        The drawing.
    """
    if ax is None:
        from matplotlib import pyplot as plt

        ax = plt.subplots(figsize=(7, 4.5), layout="constrained")[1]
    ax.plot(1e3 * trade.stroke, trade.load_factor, "o-", color="tab:blue", label="least load factor")
    bottoms = np.isnan(trade.load_factor)
    if bottoms.any():
        limit = 1e3 * float(trade.stroke[bottoms].max())
        ax.axvspan(1e3 * float(trade.stroke.min()), limit, color="0.9", label="every design bottoms")
    ax.axhline(trade.demand.load_factor, ls="--", color="tab:red", label="load factor asked")
    ax.axvline(1e3 * trade.demand.stroke, ls=":", color="tab:red", label="stroke allowed")
    if choice is not None:
        at = 1e3 * choice.gear.shock.max_stroke, choice.limit.load_factor
        ax.plot(*at, "*", color="k", ms=12, label="chosen, tight solution")
    ax.set(xlabel="stroke of the shock [mm]", ylabel="load factor n [-]")
    ax.grid(alpha=0.3)
    ax.legend(frameon=False, fontsize=9)
    return ax
