"""What is asked of a shock, and how far a design misses it."""

from collections.abc import Sequence
from dataclasses import dataclass

from beam.gear.main_gear import MainGear
from beam.gear.motion.bump import BumpHeight, BumpLength, TaxiSpeed
from materials.checks import Frozen, array, number, reject
from materials.kinds import instance


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

    Raises
    ------
    ValueError
        If a number is outside its limits.
    """

    ground_speed: TaxiSpeed
    bump_height: BumpHeight
    bump_length: BumpLength


@dataclass(frozen=True, kw_only=True)
class ShockDemand:
    """What a shock has to do.

    Parameters
    ----------
    stroke : float
        Stroke that may be built between the stops [m].
    load_factor : float
        Largest inertia load factor n at the limit landing [-].
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
        Least and largest standing stroke over the stroke. About two thirds is the custom for a gas
        shock (common practice, no source) [-].
    bump : Bump, optional
        A bump to ride over.

    Raises
    ------
    ValueError
        If a number is outside its limits.
    """

    stroke: float
    load_factor: float
    mass: float
    speed: float
    reserve_speed: float
    lift_ratio: float = 2 / 3
    ground_speed: float = 0.0
    static_window: tuple[float, float] = (0.55, 0.75)
    bump: Bump | None = None

    def __post_init__(self) -> None:
        number("ShockDemand: stroke [m]", self.stroke, above=0.01, at_most=2, cause="given in mm?")
        number("ShockDemand: lift_ratio [-]", self.lift_ratio, at_least=0, at_most=1)
        what, cause = "ShockDemand: load_factor [-]", "n of the airplane, not of the ground load"
        number(what, self.load_factor, above=self.lift_ratio, at_most=20, cause=cause)
        number("ShockDemand: mass [kg]", self.mass, above=0, at_most=1e5)
        number("ShockDemand: speed [m/s]", self.speed, above=0, at_most=8, cause="given in ft/s?")
        what, cause = "ShockDemand: reserve_speed [m/s]", "not below the limit speed; 1.2 times it in Part 23"
        number(what, self.reserve_speed, at_least=self.speed, at_most=10, cause=cause)
        what, cause = "ShockDemand: ground_speed [m/s]", "given in knots or km/h?"
        number(what, self.ground_speed, at_least=0, at_most=150, cause=cause)
        window = array("ShockDemand: static_window [-]", self.static_window)
        if window.shape != (2,) or not 0 < window[0] < window[1] < 1:
            cause = "given in percent or meters?"
            reject("ShockDemand: static_window [-]", window.tolist(), "0 < least < largest < 1", cause)
        if self.bump is not None:
            instance("ShockDemand: bump", self.bump, Bump)


@dataclass(frozen=True, kw_only=True)
class Constraint:
    """One thing asked, and what a design gives.

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
    note : str
        More to say of a miss.
    """

    name: str
    value: float
    limit: float
    unit: str
    note: str = ""

    @property
    def excess(self) -> float:
        """How far the value is beyond its limit; negative when it holds, in `unit` [any]."""
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
    nearest : sequence of tuple
        What the nearest designs give for everything asked: the one that keeps off its stops with the
        least load factor, then the one within the load factor that is least short of stroke.
    gear : MainGear, optional
        The gear with the first of them; None if no spring stands within the window.
    """

    def __init__(self, nearest: Sequence[tuple[Constraint, ...]], gear: MainGear | None) -> None:
        self.nearest, self.gear = tuple(nearest), gear
        missed = ["; ".join(str(c) for c in constraints if not c.holds) for constraints in nearest]
        super().__init__(f"choose_shock: no design meets the demand. Nearest: {'. Or: '.join(missed)}")
