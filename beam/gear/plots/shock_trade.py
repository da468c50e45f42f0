"""Stroke against load factor."""

from typing import TYPE_CHECKING

import numpy as np

from beam.gear.landing.shock_choice import ShockChoice
from beam.gear.landing.shock_trade import ShockTrade
from beam.units import shown, symbol
from materials.checks import one_of
from materials.kinds import instance

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def plot_shock_trade(
    trade: ShockTrade,
    choice: ShockChoice | None = None,
    *,
    ax: "Axes | None" = None,
    units: str = "SI",
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
    units : str
        "SI" or "US".

    Returns
    -------
    Axes
        The drawing.

    Raises
    ------
    ValueError
        If it is no trade or no choice, or the system of units is unknown.
    """
    instance("plot_shock_trade: trade", trade, ShockTrade)
    if choice is not None:
        instance("plot_shock_trade: choice", choice, ShockChoice)
    one_of("plot_shock_trade: units", units, ("SI", "US"))
    if ax is None:
        from matplotlib import pyplot as plt

        ax = plt.subplots(figsize=(7, 4.5), layout="constrained")[1]
    stroke = shown(trade.stroke, "length", units)
    ax.plot(stroke, trade.load_factor, "o-", color="tab:blue", label="least load factor found")
    bottoms = np.isnan(trade.load_factor)
    if bottoms.any():
        ax.plot(
            stroke[bottoms],
            np.full(bottoms.sum(), trade.demand.load_factor),
            "x",
            color="0.4",
            label="every design tried bottoms",
        )
    ax.axhline(trade.demand.load_factor, ls="--", color="tab:red", label="load factor asked")
    ax.axvline(
        float(shown(trade.demand.stroke, "length", units)), ls=":", color="tab:red", label="stroke allowed"
    )
    if choice is not None:
        at = float(shown(choice.gear.shock.max_stroke, "length", units)), choice.limit.load_factor
        ax.plot(*at, "*", color="k", ms=12, label="chosen, tight solution")
    ax.set(xlabel=f"stroke of the shock [{symbol('length', units)}]", ylabel="load factor n [-]")
    ax.grid(alpha=0.3)
    ax.legend(frameon=False, fontsize=9)
    return ax
