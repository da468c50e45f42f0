"""The choice of the shock: least ground force for the stroke available, and the trade of stroke against load factor."""

from dataclasses import replace
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.gear.landing.shock_demand import Constraint, NoShock, ShockDemand
from beam.gear.landing.shock_search import (
    CLEARANCE,
    LEAST_PRESSURE,
    ROUNDS,
    TIGHTNESS,
    Tried,
    gas_spring,
    search,
    standing_pressure,
)
from beam.gear.main_gear import MainGear
from beam.gear.motion.bump import BumpRide, taxi_bump
from beam.gear.motion.drop import Drop, drop, reserve_energy
from beam.gear.parts.shock import Shock
from materials.checks import Frozen, Limits, Numbers, checked

OTHERS = 5
"""How many more designs ride over the bump when the best one bottoms there [-]."""

STEP = 1.003
"""Load factor of one such design over the one before [-]."""

LIMIT, RESERVE, BUMP = "stroke at the limit landing", "stroke at reserve energy", "stroke over the bump"
"""What must not bottom."""

AFTER_BUMP = 0.5
"""Time followed behind a bump [s]."""

RTOL = 1e-6
"""Relative tolerance of the final check of a design [-]."""

WINDOW_TOLERANCE = 1e-9
"""Relative tolerance of the window: every design stands within it but for the last digit of a root [-]."""

Rounds = Annotated[int, Limits("-", at_least=0, at_most=1000)]


class ShockChoice(Frozen):
    """A chosen shock and what it does.

    Parameters
    ----------
    gear : MainGear
        The gear with the chosen shock.
    demand : ShockDemand
        What was asked.
    limit : Drop
        The limit landing.
    reserve : Drop
        The landing at the reserve speed, lift equal to weight.
    bump : BumpRide or None
        The ride over the bump, if one was asked.
    tried : int
        Designs that were dropped [-].

    Examples
    --------
    See `choose_shock`.
    """

    gear: MainGear
    demand: ShockDemand
    limit: Drop
    reserve: Drop
    bump: BumpRide | None
    tried: Annotated[int, Limits("-", at_least=1)]

    @property
    def static_fraction(self) -> float:
        """Standing stroke over full stroke [-]."""
        return float(self.gear.static(self.demand.mass)) / self.gear.shock.max_stroke

    @property
    def constraints(self) -> tuple[Constraint, ...]:
        """What was asked and what this shock gives."""
        stands = self.static_fraction
        low, high = self.demand.static_window
        asked = [
            ("load factor at the limit landing", self.limit.load_factor, self.demand.load_factor),
            ("standing stroke", stands, high * (1 + WINDOW_TOLERANCE)),
            ("standing stroke, from below", -stands, -low * (1 - WINDOW_TOLERANCE)),
        ]
        rows = [Constraint(name=name, value=value, limit=limit, unit="-") for name, value, limit in asked]
        for name, ride in ((LIMIT, self.limit), (RESERVE, self.reserve), (BUMP, self.bump)):
            if ride is not None:
                left = f"{ride.bottoming_energy:.3g} J left when it meets the stop"
                rows.append(
                    Constraint(
                        name=name,
                        value=ride.max_stroke_used,
                        limit=self.gear.shock.max_stroke,
                        unit="m",
                        note=left if ride.bottomed else None,
                    )
                )
        return tuple(rows)

    @property
    def holds(self) -> bool:
        """Whether the shock meets everything asked."""
        return all(constraint.holds for constraint in self.constraints)


class ShockTrade(Frozen):
    """Stroke against load factor.

    Parameters
    ----------
    demand : ShockDemand
        What was asked besides the stroke.
    stroke : array_like, shape (stroke,)
        Strokes between the stops [m].
    load_factor : array_like, shape (stroke,)
        Least load factor at the limit landing; NaN where every design bottoms [-].
    pressure : array_like, shape (stroke,)
        Charge pressure of that design by gauge [Pa].
    volume : array_like, shape (stroke,)
        Its gas volume [m3].
    compression : array_like, shape (stroke,)
        Its orifice coefficient [N s2/m2].

    Examples
    --------
    See `shock_trade`.
    """

    demand: ShockDemand
    stroke: Annotated[Numbers, Limits("m", shape=(-1,))]
    load_factor: Annotated[Numbers, Limits("-", shape=(-1,), finite=False)]
    pressure: Annotated[Numbers, Limits("Pa", shape=(-1,), finite=False)]
    volume: Annotated[Numbers, Limits("m3", shape=(-1,), finite=False)]
    compression: Annotated[Numbers, Limits("N s2/m2", shape=(-1,), finite=False)]


@checked
def choose_shock(gear: MainGear, demand: ShockDemand, *, rounds: Rounds = ROUNDS) -> ShockChoice:
    """Choose charge pressure, gas volume and orifice for the least ground force at the limit landing.

    Parameters
    ----------
    gear : MainGear
        Link, tire and wheel; its shock gives piston area, polytropic exponents, friction, metering and the
        extension orifice, which stay.
    demand : ShockDemand
        What is asked.
    rounds : int
        Rounds of the search after its grid [-].

    Returns
    -------
    ShockChoice
        The shock and its landings, with a tight tolerance.

    Raises
    ------
    NoShock
        If no design tried meets everything asked; says by how much the nearest ones miss.
    ValueError
        If the shock is not one gas chamber with an orifice, or the stroke is beyond the geometry.

    Notes
    -----
    The search drops a grid of designs, then draws around the best (cross-entropy method). The least force is that of
    the designs tried, not a proven bound. The code lets a gear bottom at reserve energy as long as nothing fails;
    here it may not.

    Examples
    --------
    >>> from tourer import GEAR  # examples/tourer.py
    >>> demand = ShockDemand(stroke=0.115, load_factor=4, mass=500, speed=2.5, reserve_speed=3)
    >>> found = choose_shock(GEAR, demand, rounds=0)
    >>> found.holds, found.tried, round(found.limit.load_factor, 2)
    (True, 245, 2.47)
    """
    tried = search(gear, demand, rounds=rounds)
    if tried is None:
        raise NoShock([(_why_none_stands(gear, demand),)], None)
    shocks, order = tried.shocks, tried.by_load_factor
    best = _check(gear, demand, shocks.shock(int(order[0])), len(order))
    if best.holds:
        return best
    nearest = [best.constraints]
    if best.bump is not None and all(c.holds for c in best.constraints if c.name != BUMP):
        for index in _alternatives(tried):
            shock = shocks.shock(index)
            ride = _ride(replace(gear, shock=shock), demand)
            if ride is not None and not ride.bottomed:
                other = _check(gear, demand, shock, len(order))
                if other.holds:
                    return other
    if best.limit.load_factor > demand.load_factor:
        short = search(gear, demand, rounds=rounds, least_stroke=True)
        assert short is not None
        index = int(short.by_stroke[0])
        if short.load_factor[index] <= demand.load_factor:
            nearest.append(_check(gear, demand, short.shocks.shock(index), len(order)).constraints)
    raise NoShock(nearest, best.gear)


@checked
def shock_trade(
    gear: MainGear,
    demand: ShockDemand,
    stroke: Annotated[ArrayLike, Limits("m", shape=(-1,))],
    *,
    rounds: Rounds = ROUNDS,
) -> ShockTrade:
    """Least load factor for each of several strokes.

    Parameters
    ----------
    gear : MainGear
        As for `choose_shock`.
    demand : ShockDemand
        What is asked. Its stroke and load factor do not bind here, and the bump is left out.
    stroke : array_like, shape (stroke,)
        Strokes between the stops [m].
    rounds : int
        Rounds of each search after its grid [-].

    Returns
    -------
    ShockTrade
        The curve, by the batch solution.

    Raises
    ------
    ValueError
        If the shock is not one gas chamber with an orifice, or a stroke is beyond the geometry.

    Examples
    --------
    >>> from tourer import GEAR  # examples/tourer.py
    >>> demand = ShockDemand(stroke=0.115, load_factor=4, mass=500, speed=2.5, reserve_speed=3)
    >>> shock_trade(GEAR, demand, [0.10], rounds=0).load_factor.round(2).tolist()
    [2.7]
    """
    rows = []
    for one in np.asarray(stroke).tolist():
        tried = search(gear, replace(demand, stroke=one), rounds=rounds)
        best = None if tried is None else int(tried.by_load_factor[0])
        if tried is None or best is None or tried.stroke_over[best] > -CLEARANCE:
            rows.append([np.nan] * 4)
            continue
        shocks = tried.shocks
        rows.append(
            [tried.load_factor[best], shocks.pressure[best], shocks.volume[best], shocks.compression[best]]
        )
    load_factor, pressure, volume, compression = np.array(rows, dtype=float).reshape(-1, 4).T
    return ShockTrade(
        demand=demand,
        stroke=stroke,
        load_factor=load_factor,
        pressure=pressure,
        volume=volume,
        compression=compression,
    )


def _ride(built: MainGear, demand: ShockDemand) -> BumpRide | None:
    """Ride over the bump, if one is asked, until well behind it."""
    bump = demand.bump
    if bump is None:
        return None
    return taxi_bump(
        built,
        mass=demand.mass,
        ground_speed=bump.ground_speed,
        bump_height=bump.bump_height,
        bump_length=bump.bump_length,
        duration=bump.bump_length / bump.ground_speed + AFTER_BUMP,
        rtol=RTOL,
    )


def _alternatives(tried: Tried) -> list[int]:
    """Designs that meet the landings, in steps of load factor from the best."""
    found: list[int] = []
    least = 0.0
    for index in tried.by_load_factor.tolist():
        n = tried.load_factor[index]
        if tried.stroke_over[index] <= -CLEARANCE and least <= n <= tried.demand.load_factor:
            found.append(index)
            least = STEP * n
    return found[1 : OTHERS + 1]


def _check(gear: MainGear, demand: ShockDemand, shock: Shock, tried: int) -> ShockChoice:
    """Land, land harder and ride over the bump with one design, with a tight tolerance."""
    built = replace(gear, shock=shock)
    limit = drop(
        built,
        mass=demand.mass,
        speed=demand.speed,
        lift_ratio=demand.lift_ratio,
        ground_speed=demand.ground_speed,
        rtol=RTOL,
        bottoming="record",
    )
    reserve = reserve_energy(
        built,
        mass=demand.mass,
        reserve_speed=demand.reserve_speed,
        ground_speed=demand.ground_speed,
        rtol=RTOL,
    )
    ride = _ride(built, demand)
    return ShockChoice(gear=built, demand=demand, limit=limit, reserve=reserve, bump=ride, tried=tried)


def _why_none_stands(gear: MainGear, demand: ShockDemand) -> Constraint:
    """Why no gas spring stands within the window."""
    spring = gas_spring(gear)
    built = replace(gear, shock=replace(gear.shock, max_stroke=demand.stroke))
    standing, tightness = np.meshgrid(demand.static_window, TIGHTNESS)
    pressure = standing_pressure(built, demand.mass, standing, tightness)
    if pressure.max() < LEAST_PRESSURE:
        force = built.shock_at_rest(standing * demand.stroke, demand.mass * g)
        share = (LEAST_PRESSURE + spring.ambient_pressure) / (
            1 - tightness * standing
        ) ** spring.slow_exponent
        limit = float((force / (share - spring.ambient_pressure)).max())
        return Constraint(
            name="piston area that needs a charge to stand", value=spring.area, limit=limit, unit="m2"
        )
    value, limit = float((pressure * spring.area).min()), float(built.shock_at_rest(0.0, demand.mass * g))
    return Constraint(name="force of the extended shock", value=value, limit=limit, unit="N")
