"""Search of charge pressure, gas volume and orifice for the least ground force, by batches of drops.

A design is three numbers: standing stroke over full stroke f, tightness w (volume displaced at full stroke over gas
volume) and the logarithm of the orifice coefficient. The charge pressure follows from f and w, so every design stands
within the window asked. A grid over the three is dropped at the limit and at the reserve energy. Mean and covariance
of the best designs so far then give a normal distribution from which the next round is drawn (the cross-entropy
method). The covariance follows the narrow valley in which the first and the later peaks of the load are equal; a
shrinking grid loses it.
"""

from dataclasses import replace
from typing import Annotated

import numpy as np
from numpy.typing import NDArray
from scipy.constants import g

from beam.gear.landing.shock_demand import ShockDemand
from beam.gear.main_gear import MainGear
from beam.gear.motion.many_drops import drops
from beam.gear.parts.shocks import Shocks
from beam.gear.parts.spring import AirSpring
from materials.checks import Array, Frozen, Limits, Numbers, reject

GRID = (5, 7, 7)
"""Values of standing stroke, tightness and orifice in the first batch [-]."""

ROUNDS = 8
"""Rounds after the grid [-]."""

DRAWN, ELITE = 160, 20
"""Designs drawn in a round, and the best of all so far that they are drawn around [-]."""

FLOOR, CLOSING = 0.15, 0.6
"""Deviation added in the first round over the range of a number, and what is left of it a round later: the
best designs of a grid may all lie in one of its planes [-]."""

TIGHTNESS = (0.30, 0.97)
"""Volume displaced at full stroke over gas volume: from soft to as tight as a shock is built [-]."""

ORIFICE = (0.05, 3.0)
"""Orifice coefficients tried, over the one that at touchdown speed gives the constant force that would stop
the mass within the stroke [-]."""

LEAST_PRESSURE = 1e3
"""Least charge pressure by gauge [Pa]."""

CLEARANCE = 1e-3
"""Fraction of the stroke that a design keeps off its stops, for the accuracy of the batch [-]."""

RTOL = 1e-3
"""Relative tolerance of the batch [-]."""


class Tried(Frozen):
    """Designs that were dropped: the gear with the stroke asked, places, shape (design, 3), and what each gives."""

    gear: MainGear
    demand: ShockDemand
    places: Annotated[Numbers, Limits(shape=(-1, 3))]
    load_factor: Annotated[Numbers, Limits(shape=(-1,))]
    stroke_over: Annotated[Numbers, Limits(shape=(-1,))]

    @property
    def by_load_factor(self) -> NDArray[np.intp]:
        """Designs from best to worst: those off the stops by load factor, then the others by stroke."""
        return np.lexsort((self.load_factor, np.maximum(self.stroke_over + CLEARANCE, 0.0)))

    @property
    def by_stroke(self) -> NDArray[np.intp]:
        """Designs from best to worst: those within the load factor by stroke, then the others by load factor."""
        excess = np.maximum(self.load_factor - self.demand.load_factor, 0.0)
        return np.lexsort((self.stroke_over, excess))

    @property
    def shocks(self) -> Shocks:
        """The shock of every design."""
        return shocks_at(self.gear, self.demand.mass, self.places)


def gas_spring(gear: MainGear) -> AirSpring:
    """Gas spring of a gear; refuse a shock that is not one gas chamber."""
    spring = gear.shock.spring
    if not isinstance(spring, AirSpring):
        cause = "its volume and charge are what is chosen"
        reject("choose_shock: spring", type(spring).__name__, "AirSpring", cause)
    return spring


def standing_pressure(gear: MainGear, mass: float, standing: Array, tightness: Array) -> Array:
    """Charge pressure [Pa] p of a gas spring that stands at f of its stroke, shape (...).

    A [(p + p_a) (1 - w f)**-n - p_a] = F(f), with the slow exponent n and the shock force at rest F.
    """
    spring = gas_spring(gear)
    force = gear.shock_at_rest(standing * gear.shock.max_stroke, mass * g)
    absolute = force / spring.area + spring.ambient_pressure
    return np.asarray(absolute * (1 - tightness * standing) ** spring.slow_exponent - spring.ambient_pressure)


def shocks_at(gear: MainGear, mass: float, places: Array) -> Shocks:
    """Shocks of designs, places of shape (design, 3)."""
    standing, tightness, orifice = places.T
    return Shocks.of(
        gear.shock,
        pressure=standing_pressure(gear, mass, standing, tightness),
        volume=gas_spring(gear).area * gear.shock.max_stroke / tightness,
        compression=np.exp(orifice),
    )


def search(
    gear: MainGear, demand: ShockDemand, *, rounds: int = ROUNDS, least_stroke: bool = False
) -> Tried | None:
    """Try designs, closing in on the least load factor off the stops, or on the least stroke within the load factor.

    The draws are the same every time. None says that no spring stands within the window.
    """
    spring = gas_spring(gear)
    volume = spring.volume * demand.stroke / gear.shock.max_stroke
    shock = replace(gear.shock, spring=replace(spring, volume=volume), max_stroke=demand.stroke)
    gear = replace(gear, shock=shock)
    ratio = float(gear.link.motion_ratio(0.0))
    even = demand.mass * (0.5 * demand.speed**2 / demand.stroke + (1 - demand.lift_ratio) * g / ratio)
    middle = even / (ratio * demand.speed) ** 2
    low = np.array([demand.static_window[0], TIGHTNESS[0], np.log(ORIFICE[0] * middle)])
    high = np.array([demand.static_window[1], TIGHTNESS[1], np.log(ORIFICE[1] * middle)])
    axes = [np.linspace(a, b, n) for a, b, n in zip(low, high, GRID, strict=True)]
    places = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    places = places[_can_stand(gear, demand.mass, places)]
    if not len(places):
        return None
    found = _drop_all(gear, demand, places)
    draw = np.random.default_rng(0)
    for k in range(rounds):
        order = found.by_stroke if least_stroke else found.by_load_factor
        best = found.places[order[:ELITE]]
        added = (FLOOR * CLOSING**k * (high - low)) ** 2
        cloud = draw.multivariate_normal(best.mean(axis=0), np.cov(best.T) + np.diag(added), size=DRAWN)
        places = np.clip(cloud, low, high)
        places = places[_can_stand(gear, demand.mass, places)]
        if len(places):
            more = _drop_all(gear, demand, places)
            found = replace(
                found,
                places=np.concatenate([found.places, more.places]),
                load_factor=np.concatenate([found.load_factor, more.load_factor]),
                stroke_over=np.concatenate([found.stroke_over, more.stroke_over]),
            )
    return found


def _can_stand(gear: MainGear, mass: float, places: Array) -> NDArray[np.bool_]:
    """Whether the charge can be filled and the extended shock carries less than the standing load."""
    pressure = standing_pressure(gear, mass, places[:, 0], places[:, 1])
    extended = float(gear.shock_at_rest(0.0, mass * g))
    return (pressure >= LEAST_PRESSURE) & (pressure * gas_spring(gear).area < extended)


def _drop_all(gear: MainGear, demand: ShockDemand, places: Array) -> Tried:
    """Drop designs at the limit and at the reserve energy, in one batch."""
    count = len(places)
    found = drops(
        gear,
        mass=demand.mass,
        speed=np.repeat([demand.speed, demand.reserve_speed], count),
        lift_ratio=np.repeat([demand.lift_ratio, 1.0], count),
        ground_speed=demand.ground_speed,
        shocks=shocks_at(gear, demand.mass, np.tile(places, (2, 1))),
        duration=1.0,
        rtol=RTOL,
    )
    used = found.max_stroke_used.reshape(2, count).max(axis=0)
    return Tried(
        gear=gear,
        demand=demand,
        places=places,
        load_factor=found.load_factor[:count],
        stroke_over=used / gear.shock.max_stroke - 1,
    )
