"""Search of charge pressure, gas volume and orifice for the least ground force, by batches of drops.

A design is three numbers: where it stands (stroke over full stroke, within the window asked), how
tight its gas is (volume displaced at full stroke over volume) and its orifice coefficient. The charge
pressure follows from standing there, so every design tried holds its static position. A grid over the three is dropped
at the limit and at the reserve energy. The best of all designs so far then set mean and covariance of a normal
distribution from which the next round is drawn: the covariance follows the narrow valley in which
the first and the later peaks of the load are equal, which a shrinking grid loses.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.constants import g

from beam.gear.landing.shock_demand import ShockDemand
from beam.gear.main_gear import MainGear
from beam.gear.motion.batch import Indices, drops
from beam.gear.parts.shocks import Shocks
from beam.gear.parts.spring import AirSpring
from materials.checks import Array, reject

GRID = (5, 7, 7)
"""Values tried at once of standing place, tightness and orifice [-]."""

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

ROOM = 1e-3
"""Part of the stroke that a design keeps off its stops, for the accuracy of the batch [-]."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Tried:
    """Designs that were dropped.

    Parameters
    ----------
    places : ndarray, shape (design, 3)
        Standing stroke over full stroke, tightness, log of the orifice coefficient in N s2/m2 [-].
    shocks : Shocks
        The designs.
    load_factor : ndarray, shape (design,)
        Load factor at the limit landing [-].
    stroke_over : ndarray, shape (design,)
        Larger of the strokes at limit and reserve landing over the full stroke, less 1 [-].
    """

    places: Array
    shocks: Shocks
    load_factor: Array
    stroke_over: Array

    @property
    def by_load_factor(self) -> Indices:
        """From best to worst: those that keep off the stops by load factor, then the others by stroke."""
        return np.lexsort((self.load_factor, np.maximum(self.stroke_over + ROOM, 0.0)))

    def by_stroke(self, load_factor: float) -> Indices:
        """From best to worst: those within a load factor by stroke, then the others by load factor.

        Parameters
        ----------
        load_factor : float
            The most it may be [-].

        Returns
        -------
        ndarray of int, shape (design,)
            Indices of the designs [-].
        """
        return np.lexsort((self.stroke_over, np.maximum(self.load_factor - load_factor, 0.0)))


def standing_pressure(gear: MainGear, mass: float, standing: Array, tightness: Array) -> Array:
    """Charge pressure of a gas spring that stands at a given place.

    Parameters
    ----------
    gear : MainGear
        The gear; its shock gives stroke, area and slow exponent.
    mass : float
        Mass that stands on the unit [kg].
    standing : ndarray, shape (...)
        Standing stroke over full stroke, f [-].
    tightness : ndarray, shape (...)
        Volume displaced at full stroke over gas volume, w [-].

    Returns
    -------
    ndarray, shape (...)
        Charge pressure by gauge [Pa].

    Notes
    -----
    A [(p + p_a) (1 - w f)**-n - p_a] = F(f) solved for p, with the slow exponent n and the shock force at rest F.
    """
    spring = gear.shock.spring
    assert isinstance(spring, AirSpring)
    force = gear.shock_at_rest(standing * gear.shock.max_stroke, mass * g)
    absolute = force / spring.area + spring.ambient_pressure
    return np.asarray(absolute * (1 - tightness * standing) ** spring.slow_exponent - spring.ambient_pressure)


def search(
    gear: MainGear, demand: ShockDemand, *, rounds: int = ROUNDS, least_stroke: bool = False
) -> Tried | None:
    """Try designs, closing in on the least load factor that does not bottom.

    Parameters
    ----------
    gear : MainGear
        Link, tire and wheel; its shock gives area, exponents, friction and extension orifice.
    demand : ShockDemand
        What is asked.
    rounds : int
        Rounds after the grid; the draws are the same every time [-].
    least_stroke : bool
        Close in on the least stroke within the load factor of the demand instead.

    Returns
    -------
    Tried or None
        All that was tried; None if no spring stands within the window.

    Raises
    ------
    ValueError
        If the shock is not one gas chamber with an orifice.
    """
    spring = gear.shock.spring
    if not isinstance(spring, AirSpring):
        reject(
            "choose_shock: spring",
            type(spring).__name__,
            "AirSpring",
            "its volume and charge are what is chosen",
        )
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
        order = found.by_stroke(demand.load_factor) if least_stroke else found.by_load_factor
        best = found.places[order[:ELITE]]
        added = (FLOOR * CLOSING**k * (high - low)) ** 2
        cloud = draw.multivariate_normal(best.mean(axis=0), np.cov(best.T) + np.diag(added), size=DRAWN)
        places = np.clip(cloud, low, high)
        places = places[_can_stand(gear, demand.mass, places)]
        if len(places):
            found = _joined(found, _drop_all(gear, demand, places))
    return found


def _can_stand(gear: MainGear, mass: float, places: Array) -> NDArray[np.bool_]:
    """Whether the charge can be filled and the extended shock carries less than the standing load."""
    spring = gear.shock.spring
    assert isinstance(spring, AirSpring)
    pressure = standing_pressure(gear, mass, places[:, 0], places[:, 1])
    extended = float(gear.shock_at_rest(0.0, mass * g))
    return (pressure >= LEAST_PRESSURE) & (pressure * spring.area < extended)


def _drop_all(gear: MainGear, demand: ShockDemand, places: Array) -> Tried:
    """Drop designs at the limit and at the reserve energy, in one batch."""
    spring, stroke = gear.shock.spring, gear.shock.max_stroke
    assert isinstance(spring, AirSpring)
    standing, tightness, orifice = places.T
    shocks = Shocks.of(
        gear.shock,
        pressure=standing_pressure(gear, demand.mass, standing, tightness),
        volume=spring.area * stroke / tightness,
        compression=np.exp(orifice),
    )
    count = len(places)
    found = drops(
        gear,
        mass=demand.mass,
        speed=np.repeat([demand.speed, demand.reserve_speed], count),
        lift_ratio=np.repeat([demand.lift_ratio, 1.0], count),
        ground_speed=demand.ground_speed,
        shocks=shocks.take(np.tile(np.arange(count), 2)),
        duration=1.0,
        rtol=1e-3,
    )
    used = found.max_stroke_used.reshape(2, count).max(axis=0)
    return Tried(
        places=places, shocks=shocks, load_factor=found.load_factor[:count], stroke_over=used / stroke - 1
    )


def _joined(one: Tried, other: Tried) -> Tried:
    """All designs of two rounds."""
    places, load_factor, over = (
        np.concatenate([getattr(one, name), getattr(other, name)])
        for name in ("places", "load_factor", "stroke_over")
    )
    numbers = {
        name: np.concatenate(
            [np.broadcast_to(getattr(tried.shocks, name), tried.shocks.shape) for tried in (one, other)]
        )
        for name in Shocks.numbers()
    }
    shocks = Shocks(**numbers, metering=one.shocks.metering)
    return Tried(places=places, shocks=shocks, load_factor=load_factor, stroke_over=over)
