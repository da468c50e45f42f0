"""Choosing the shock: the least ground force for the stroke there is, judged again by the tight solution."""

from dataclasses import dataclass, replace

import numpy as np
from scipy.constants import g

from beam.gear.landing.shock_demand import Constraint, NoShock, ShockDemand
from beam.gear.landing.shock_search import (
    LEAST_PRESSURE,
    ROOM,
    ROUNDS,
    TIGHTNESS,
    Tried,
    search,
    standing_pressure,
)
from beam.gear.main_gear import MainGear
from beam.gear.motion.bump import BumpRide, taxi_bump
from beam.gear.motion.drop import Drop, drop, reserve_energy
from beam.gear.parts.shock import Shock
from beam.gear.parts.spring import AirSpring
from materials.checks import whole
from materials.kinds import instance

OTHERS = 5
"""How many more designs are ridden over the bump when the best one bottoms there [-]."""

STEP = 1.003
"""Load factor of one such design over the one before [-]."""

LIMIT, RESERVE, BUMP = "stroke at the limit landing", "stroke at reserve energy", "stroke over the bump"
"""What must not bottom."""

AFTER_BUMP = 0.5
"""Time followed behind a bump [s]."""

RTOL = 1e-6
"""Relative tolerance of the last judgement [-]."""


@dataclass(frozen=True, kw_only=True, eq=False)
class ShockChoice:
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
    """

    gear: MainGear
    demand: ShockDemand
    limit: Drop
    reserve: Drop
    bump: BumpRide | None
    tried: int

    @property
    def static_fraction(self) -> float:
        """Standing stroke over full stroke [-]."""
        return float(self.gear.static(self.demand.mass)) / self.gear.shock.max_stroke

    @property
    def constraints(self) -> tuple[Constraint, ...]:
        """What was asked and what this shock gives."""
        stroke = self.gear.shock.max_stroke
        low, high = self.demand.static_window
        rows = [
            Constraint(
                name="load factor at the limit landing",
                value=self.limit.load_factor,
                limit=self.demand.load_factor,
                unit="-",
            ),
            # the window is held by construction: what is left is the last digit of the root
            Constraint(name="standing stroke", value=self.static_fraction, limit=high * (1 + 1e-9), unit="-"),
            Constraint(
                name="standing stroke, from below",
                value=-self.static_fraction,
                limit=-low * (1 - 1e-9),
                unit="-",
            ),
        ]
        rides = ((LIMIT, self.limit), (RESERVE, self.reserve), (BUMP, self.bump))
        for where, ride in rides:
            if ride is not None:
                left = ride.bottoming_energy
                note = f"{left:.3g} J left when it meets the stop" if ride.bottomed else ""
                used = ride.max_stroke_used
                rows.append(Constraint(name=where, value=used, limit=stroke, unit="m", note=note))
        return tuple(rows)

    @property
    def holds(self) -> bool:
        """Whether everything asked is held."""
        return all(constraint.holds for constraint in self.constraints)


def choose_shock(gear: MainGear, demand: ShockDemand, *, rounds: int = ROUNDS) -> ShockChoice:
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
        The shock and its landings by the tight solution.

    Raises
    ------
    NoShock
        If no design tried holds everything asked; says what the nearest one misses and by how much.
    ValueError
        If the shock is not one gas chamber with an orifice, or the stroke is beyond the geometry.

    Notes
    -----
    The least force is that of the designs tried, not a proven bound. The reserve energy
    may bottom in the code as long as nothing fails; here it may not.
    """
    instance("choose_shock: gear", gear, MainGear)
    instance("choose_shock: demand", demand, ShockDemand)
    rounds = whole("choose_shock: rounds [-]", rounds, at_least=0, at_most=1000)
    tried = search(gear, demand, rounds=rounds)
    if tried is None:
        raise NoShock([(_standing_room(gear, demand),)], None)
    order, count = tried.by_load_factor, len(tried.load_factor)
    best = _judge(gear, demand, tried.shocks.shock(int(order[0])), count)
    if best.holds:
        return best
    nearest = [best.constraints]
    if best.bump is not None and all(c.holds for c in best.constraints if c.name != BUMP):
        for index in _alternatives(tried, demand):
            shock = tried.shocks.shock(index)
            ride = _ride(replace(gear, shock=shock), demand)
            if ride is not None and not ride.bottomed:
                other = _judge(gear, demand, shock, count)
                if other.holds:
                    return other
    if best.limit.load_factor > demand.load_factor:
        short = search(gear, demand, rounds=rounds, least_stroke=True)
        assert short is not None
        index = int(short.by_stroke(demand.load_factor)[0])
        if short.load_factor[index] <= demand.load_factor:
            nearest.append(_judge(gear, demand, short.shocks.shock(index), count).constraints)
    raise NoShock(nearest, best.gear)


def _ride(built: MainGear, demand: ShockDemand) -> BumpRide | None:
    """Ride over the bump, if one is asked, until well behind it."""
    if demand.bump is None:
        return None
    bump = demand.bump
    return taxi_bump(
        built,
        mass=demand.mass,
        ground_speed=bump.ground_speed,
        bump_height=bump.bump_height,
        bump_length=bump.bump_length,
        duration=bump.bump_length / bump.ground_speed + AFTER_BUMP,
        rtol=RTOL,
    )


def _alternatives(tried: Tried, demand: ShockDemand) -> list[int]:
    """Designs that hold the landings, in steps of load factor from the best."""
    found: list[int] = []
    least = 0.0
    for index in tried.by_load_factor.tolist():
        holds = tried.stroke_over[index] <= -ROOM and tried.load_factor[index] <= demand.load_factor
        if holds and tried.load_factor[index] >= least:
            found.append(index)
            least = STEP * tried.load_factor[index]
    return found[1 : OTHERS + 1]


def _judge(gear: MainGear, demand: ShockDemand, shock: Shock, tried: int) -> ShockChoice:
    """Land, land harder and ride over the bump with one design, by the tight solution."""
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
    return ShockChoice(
        gear=built,
        demand=demand,
        limit=limit,
        reserve=reserve,
        bump=_ride(built, demand),
        tried=tried,
    )


def _standing_room(gear: MainGear, demand: ShockDemand) -> Constraint:
    """Why no gas spring stands within the window."""
    spring = gear.shock.spring
    assert isinstance(spring, AirSpring)
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
