"""What is asked of a shock, and by how much a design misses it."""

from collections.abc import Iterable
from typing import Annotated

from beam.gear.main_gear import MainGear
from beam.gear.motion.bump import BumpHeight, BumpLength, TaxiSpeed
from beam.gear.motion.drop import GroundSpeed, LiftRatio, Mass
from materials.checks import Frozen, Limits, reject


class Bump(Frozen, eq=True):
    """A bump to taxi over without bottoming, see `taxi_bump`.

    Parameters
    ----------
    ground_speed : float
        Taxi speed [m/s].
    bump_height : float
        Height, negative for a dip [m].
    bump_length : float
        Length along the ground [m].

    Examples
    --------
    >>> Bump(ground_speed=10, bump_height=0.05, bump_length=1)
    Bump(ground_speed=10.0, bump_height=0.05, bump_length=1.0)
    """

    ground_speed: TaxiSpeed
    bump_height: BumpHeight
    bump_length: BumpLength


class ShockDemand(Frozen, eq=True):
    """What a shock has to do.

    Parameters
    ----------
    stroke : float
        Stroke that may be built between the stops [m].
    load_factor : float
        Largest inertia load factor n at the limit landing, above the lift ratio [-].
    mass : float
        Mass that stands on the unit, link and wheel included [kg].
    speed : float
        Limit descent speed [m/s].
    reserve_speed : float
        Descent speed at reserve energy, with lift equal to weight, such as
        `beam.loads.part23.reserve_descent_speed`: in Part 23 1.2 times the limit one [m/s].
    lift_ratio : float
        Lift over weight at the limit landing [-].
    ground_speed : float
        Speed of the ground past the airplane at landing [m/s].
    static_window : tuple of float
        Least and largest standing stroke over the stroke. About two thirds is usual for a gas
        shock (common practice, no source) [-].
    bump : Bump, optional
        A bump to ride over.

    Raises
    ------
    ValueError
        If a number is outside its limits, or the reserve speed is below the limit one.

    Examples
    --------
    >>> demand = ShockDemand(stroke=0.115, load_factor=3.2, mass=500, speed=2.9, reserve_speed=1.2 * 2.9)
    >>> demand.static_window
    (0.55, 0.75)
    """

    stroke: Annotated[float, Limits("m", above=0.01, at_most=2.0, cause="given in mm?")]
    load_factor: Annotated[
        float, Limits("-", above=0.0, at_most=20.0, cause="n of the airplane, not of the ground load")
    ]
    mass: Mass
    speed: Annotated[float, Limits("m/s", above=0.0, at_most=8.0, cause="given in ft/s?")]
    reserve_speed: Annotated[float, Limits("m/s", above=0.0, at_most=10.0, cause="given in ft/s?")]
    lift_ratio: LiftRatio = 2 / 3
    ground_speed: GroundSpeed = 0.0
    static_window: Annotated[
        tuple[float, float], Limits("-", above=0.0, below=1.0, cause="given in percent or meters?")
    ] = (0.55, 0.75)
    bump: Bump | None = None

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.load_factor <= self.lift_ratio:
            cause = "n of the airplane, not of the ground load"
            limit = f"> lift_ratio, {self.lift_ratio:.4g}"
            reject("ShockDemand: load_factor [-]", f"{self.load_factor:g}", limit, cause)
        if self.reserve_speed < self.speed:
            cause = "1.2 times the limit speed in Part 23"
            limit = f">= speed, {self.speed:g}"
            reject("ShockDemand: reserve_speed [m/s]", f"{self.reserve_speed:g}", limit, cause)
        if self.static_window[0] >= self.static_window[1]:
            reject("ShockDemand: static_window [-]", self.static_window, "least < largest")


class Constraint(Frozen, eq=True):
    """One requirement, and what a design gives.

    Parameters
    ----------
    name : str
        What is asked.
    value : float
        What the design gives [any].
    limit : float
        The most it may be [any].
    unit : str
        Unit of both.
    note : str, optional
        Remark on a miss.

    Examples
    --------
    >>> missed = Constraint(name="stroke over the bump", value=0.125, limit=0.115, unit="m")
    >>> print(missed)
    stroke over the bump: 0.125 m, at most 0.115 m, exceeds by 0.01 m
    """

    name: str
    value: Annotated[float, Limits("any")]
    limit: Annotated[float, Limits("any")]
    unit: str
    note: str | None = None

    @property
    def excess(self) -> float:
        """Value less limit, in `unit` [any]."""
        return self.value - self.limit

    @property
    def holds(self) -> bool:
        """Whether the value is within its limit."""
        return self.excess <= 0

    def __str__(self) -> str:
        """Name, value and limit in a line."""
        unit = "" if self.unit == "-" else f" {self.unit}"
        sign = "within" if self.holds else f"exceeds by {self.excess:.3g}{unit}"
        line = f"{self.name}: {self.value:.4g}{unit}, at most {self.limit:.4g}{unit}, {sign}"
        return f"{line}; {self.note}" if self.note else line


class NoShock(RuntimeError):
    """No shock of this kind meets the demand.

    Parameters
    ----------
    nearest : iterable of tuple
        `Constraint` objects of the nearest designs: first of the one that keeps off its stops with the
        least load factor, then of the one within the load factor that is least short of stroke.
    gear : MainGear, optional
        The gear with the first of them; None if no spring stands within the window.

    Examples
    --------
    >>> missed = Constraint(name="stroke over the bump", value=0.125, limit=0.115, unit="m")
    >>> print(NoShock([(missed,)], None))
    choose_shock: no design meets the demand. Nearest: stroke over the bump: 0.125 m, at most 0.115 m, exceeds by 0.01 m
    """

    def __init__(self, nearest: Iterable[tuple[Constraint, ...]], gear: MainGear | None) -> None:
        self.nearest, self.gear = tuple(nearest), gear
        missed = ["; ".join(str(c) for c in constraints if not c.holds) for constraints in self.nearest]
        super().__init__(f"choose_shock: no design meets the demand. Nearest: {'. Or: '.join(missed)}")

    def __reduce__(self) -> tuple[object, ...]:
        """Rebuild from the designs, not from the message."""
        return type(self), (self.nearest, self.gear)
