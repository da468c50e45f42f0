"""The trade of a shock: stroke against load factor."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.landing.shock_demand import ShockDemand
from beam.gear.landing.shock_search import ROOM, ROUNDS, search
from beam.gear.main_gear import MainGear
from materials.checks import Array, array, reject, whole
from materials.kinds import instance


@dataclass(frozen=True, kw_only=True, eq=False)
class ShockTrade:
    """Stroke against load factor.

    Parameters
    ----------
    demand : ShockDemand
        What was asked besides the stroke.
    stroke : ndarray, shape (stroke,)
        Strokes between the stops [m].
    load_factor : ndarray, shape (stroke,)
        Least load factor at the limit landing; NaN where every design bottoms [-].
    pressure : ndarray, shape (stroke,)
        Charge pressure of that design by gauge [Pa].
    volume : ndarray, shape (stroke,)
        Its gas volume [m3].
    compression : ndarray, shape (stroke,)
        Its orifice coefficient [N s2/m2].
    """

    demand: ShockDemand
    stroke: Array
    load_factor: Array
    pressure: Array
    volume: Array
    compression: Array


def shock_trade(
    gear: MainGear, demand: ShockDemand, stroke: ArrayLike, *, rounds: int = ROUNDS
) -> ShockTrade:
    """Least load factor for each of several strokes.

    Parameters
    ----------
    gear : MainGear
        As for `choose_shock`.
    demand : ShockDemand
        What is asked; its own stroke and load factor do not bind here, and the bump is left out.
    stroke : array_like, shape (stroke,)
        Strokes between the stops [m].
    rounds : int
        Rounds of each search after its grid [-].

    Returns
    -------
    ShockTrade
        The curve, by the batch solution.
    """
    instance("shock_trade: gear", gear, MainGear)
    instance("shock_trade: demand", demand, ShockDemand)
    rounds = whole("shock_trade: rounds [-]", rounds, at_least=0, at_most=1000)
    strokes = array("shock_trade: stroke [m]", stroke, last=(-1,))
    if strokes.ndim != 1 or not len(strokes):
        reject("shock_trade: stroke [m]", f"shape {strokes.shape}", "one row of strokes")
    rows = []
    for one in strokes.tolist():
        tried = search(gear, replace(demand, stroke=one), rounds=rounds)
        best = None if tried is None else int(tried.by_load_factor[0])
        if tried is None or best is None or tried.stroke_over[best] > -ROOM:
            rows.append([np.nan] * 4)
            continue
        spring = tried.shocks
        rows.append(
            [tried.load_factor[best], spring.pressure[best], spring.volume[best], spring.compression[best]]
        )
    load_factor, pressure, volume, compression = np.array(rows, dtype=float).T
    return ShockTrade(
        demand=demand,
        stroke=strokes,
        load_factor=load_factor,
        pressure=pressure,
        volume=volume,
        compression=compression,
    )
