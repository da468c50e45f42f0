"""The plan of a drop test: the mass to drop, the height, the wheel speed, the channels and the predicted peaks."""

from collections.abc import Callable
from typing import Annotated, Any

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.gear.main_gear import MainGear
from beam.gear.motion.drop import Drop, GroundSpeed, LiftRatio, Mass, Pitch, drop, free_fall_speed
from beam.gear.motion.equations import STATES
from beam.gear.motion.history import History
from materials.checks import Array, Frozen, Limits, checked, number, reject

FULL_SCALE = 1.5
"""Range of a channel over its predicted peak (common practice, no source) [-]."""

SAMPLES_TO_PEAK = 200
"""Samples between touchdown and peak load that show its shape (common practice, no source) [-]."""

TRAVEL_TOLERANCE = 1e-5
"""Largest change of the descent between two rounds that counts as settled [m]."""

ROUNDS = 20
"""Most rounds of effective mass and drop [-]."""

EffectiveMassRule = Callable[[float, float, float, float], ArrayLike]
"""Mass to drop [kg] from mass [kg], height [m], descent [m] and lift ratio, as `beam.loads.effective_mass`."""

LoadFactorRule = Callable[[float, float, float, float], ArrayLike]
"""Load factor of the landing from the test's, dropped mass, mass and lift ratio, as `beam.loads.drop_load_factor`."""

DropHeight = Annotated[float, Limits("m", above=0.0, at_most=5.0)]


class Channel(Frozen, eq=True):
    """One quantity to measure.

    Parameters
    ----------
    quantity : str
        What is measured, and its sign.
    unit : str
        Unit of the numbers.
    peak : float
        Predicted peak, in `unit` [any].
    time_of_peak : float
        Time of the peak since touchdown [s].

    Examples
    --------
    >>> Channel(quantity="stroke of the shock", unit="m", peak=0.08, time_of_peak=0.06).full_scale
    0.12
    """

    quantity: str
    unit: str
    peak: Annotated[float, Limits("any")]
    time_of_peak: Annotated[float, Limits("s", at_least=0.0)]

    @property
    def full_scale(self) -> float:
        """Range to set on the recorder, in `unit` [any]."""
        return FULL_SCALE * self.peak


class DropTestPlan(Frozen):
    """A free drop of one main unit that stands for a landing with wing lift.

    Parameters
    ----------
    mass : float
        Mass that stands on the unit in the airplane [kg].
    height : float
        Drop height, from the tire to the platform [m].
    lift_ratio : float
        Lift over weight of the landing [-].
    effective_mass : float
        Mass to drop, link and wheel included [kg].
    travel : float
        Descent of the dropped mass after touchdown, tire deflection plus axle travel, on which the
        effective mass rests [m].
    prediction : Drop
        The free drop itself: effective mass, no lift.
    rule : callable
        The rule that gave the effective mass.
    load_factor_rule : callable
        The rule from the test's acceleration to the load factor of the landing.

    Examples
    --------
    See `plan_drop_test`.
    """

    mass: Mass
    height: DropHeight
    lift_ratio: LiftRatio
    effective_mass: Mass
    travel: Annotated[float, Limits("m", above=0.0)]
    prediction: Drop
    rule: EffectiveMassRule
    load_factor_rule: LoadFactorRule

    @property
    def wheel_speed(self) -> float:
        """Speed to which the wheel is spun BACKWARD before release, for the landing's spin-up [rad/s]."""
        return self.prediction.ground_speed / self.prediction.gear.rolling_radius

    @property
    def touchdown_speed(self) -> float:
        """Sink speed at touchdown [m/s]."""
        return self.prediction.speed

    @property
    def sample_rate(self) -> float:
        """Least sample rate of the record [1/s]."""
        return SAMPLES_TO_PEAK / self.prediction.time_to_peak

    @property
    def load_factor(self) -> float:
        """Load factor n of the landing that this test is predicted to give, from the acceleration [-]."""
        return self.landing_factor(self.channels[0].peak / g + 1, self.effective_mass)

    @property
    def channels(self) -> tuple[Channel, ...]:
        """What to measure, the first four at least, and the predicted peaks."""
        history = self.prediction.history
        rows: tuple[tuple[str, str, Callable[[Array], Array]], ...] = (
            ("acceleration dv/dt of the dropped mass, up; -g in free fall", "m/s2", self.acceleration_at),
            ("stroke of the shock", "m", lambda t: history.forces_at(t).stroke),
            ("vertical force on the platform", "N", lambda t: history.forces_at(t).ground),
            ("descent of the dropped mass since touchdown", "m", _state(history, "sink")),
            ("drag on the platform, aft", "N", lambda t: history.forces_at(t).drag),
            ("deflection of the tire", "m", lambda t: history.forces_at(t).deflection),
            ("axial force of the shock", "N", lambda t: history.forces_at(t).shock),
            # a wheel spun backward is brought to rest: its change of speed is the spin-up of the landing
            ("change of the wheel's speed", "rad/s", _state(history, "spin")),
        )
        found = [(quantity, unit, history.peak(values)) for quantity, unit, values in rows]
        return tuple(
            Channel(quantity=quantity, unit=unit, peak=peak, time_of_peak=time)
            for quantity, unit, (time, peak) in found
        )

    @checked
    def landing_factor(
        self,
        test_factor: Annotated[float, Limits("-", above=0.0, at_most=50.0, cause="given in m/s2?")],
        dropped_mass: Annotated[float, Limits("kg", above=0.0)],
    ) -> float:
        """Load factor of the landing that a test stands for, by `load_factor_rule` [-].

        Parameters
        ----------
        test_factor : float
            Largest dv/dt of the dropped mass over g, plus 1, n_j [-].
        dropped_mass : float
            Mass that was dropped, wheel included [kg].
        """
        n: Any = self.load_factor_rule(test_factor, dropped_mass, self.mass, self.lift_ratio)
        cause = "not a rule for a load factor?"
        return number("load factor by load_factor_rule [-]", n, at_least=0, at_most=50, cause=cause)

    @checked
    def acceleration_at(self, time: Annotated[ArrayLike, Limits("s", at_least=0.0)]) -> Array:
        """Predicted acceleration of the dropped mass, dv/dt, positive up, shape (...) [m/s2].

        Parameters
        ----------
        time : array_like, shape (...)
            Time since touchdown, within the prediction [s].
        """
        at, last = np.asarray(time), float(self.prediction.time[-1])
        if not (at <= last).all():
            limit = f"from 0 to {last:g}, where the prediction ends"
            reject("DropTestPlan.acceleration_at: time [s]", f"{at.max():g}", limit)
        return -self.prediction.history.rates_at(at)[STATES.index("sink_rate")]


def _state(history: History, name: str) -> Callable[[Array], Array]:
    """One component of the state over time."""
    return lambda time: history.solution(time)[STATES.index(name)]


def mass_by_rule(
    rule: EffectiveMassRule, mass: float, height: float, travel: float, lift_ratio: float
) -> float:
    """Effective mass [kg] by a rule; refuse what is no mass."""
    effective: Any = rule(mass, height, travel, lift_ratio)
    cause = "not a rule for the effective mass?"
    return number("effective mass by rule [kg]", effective, above=0, at_most=1e5, cause=cause)


@checked
def plan_drop_test(
    gear: MainGear,
    *,
    mass: Mass,
    height: DropHeight,
    lift_ratio: LiftRatio,
    rule: EffectiveMassRule,
    load_factor_rule: LoadFactorRule,
    ground_speed: GroundSpeed = 0.0,
    attitude_deg: Pitch = 0.0,
) -> DropTestPlan:
    """Plan the free drop that stands for a landing.

    Parameters
    ----------
    gear : MainGear
        The gear.
    mass : float
        Mass that stands on the unit in the airplane: half of it for one of two mains, the nose wheel
        clear [kg].
    height : float
        Drop height of the code, such as `beam.loads.drop_height`; 1.44 times it for reserve energy [m].
    lift_ratio : float
        Lift over weight; 1 for reserve energy [-].
    rule : callable
        Effective mass from mass, height, descent and lift ratio, such as `beam.loads.effective_mass`.
    load_factor_rule : callable
        Load factor of the landing from the test's load factor, the dropped mass, mass and lift ratio, such as
        `beam.loads.drop_load_factor`.
    ground_speed : float
        Speed of the landing, which sets the wheel's speed [m/s].
    attitude_deg : float
        Nose-up attitude in which the unit hangs [deg].

    Returns
    -------
    DropTestPlan
        Mass, travel and prediction, in agreement with each other.

    Raises
    ------
    Bottomed, RuntimeError
        If the shock meets its stop, or effective mass and travel do not settle.

    Notes
    -----
    14 CFR 23.725(b): W_e = W (h + (1 - L) d) / (h + d), with the descent d of the dropped mass, which depends on W_e.
    Both are found in turn from the longest d, that is from the least mass up. The d used may not exceed the d
    measured: a softer test than predicted keeps the mass, a stiffer one asks for more.

    Examples
    --------
    >>> from tourer import GEAR  # examples/tourer.py
    >>> plan = plan_drop_test(GEAR, mass=500, height=0.4, lift_ratio=2 / 3, rule=lambda *_: 366.0,
    ...                       load_factor_rule=lambda n, dropped, mass, lift: n * dropped / mass + lift)
    >>> plan.effective_mass, round(plan.load_factor, 2), round(plan.travel, 3)
    (366.0, 3.13, 0.255)
    """
    speed = free_fall_speed(height)
    travel = float(gear.axle(gear.shock.max_stroke)[2] - gear.axle(0.0)[2]) + gear.tire.bottoming_deflection
    for _ in range(ROUNDS):
        effective = mass_by_rule(rule, mass, height, travel, lift_ratio)
        prediction = drop(
            gear,
            mass=effective,
            speed=speed,
            lift_ratio=0.0,
            ground_speed=ground_speed,
            attitude_deg=attitude_deg,
        )
        _, found = prediction.history.peak(_state(prediction.history, "sink"))
        settled, travel = abs(found - travel) < TRAVEL_TOLERANCE, found
        if settled:
            return DropTestPlan(
                mass=mass,
                height=height,
                lift_ratio=lift_ratio,
                effective_mass=effective,
                travel=travel,
                prediction=prediction,
                rule=rule,
                load_factor_rule=load_factor_rule,
            )
    raise RuntimeError(f"plan_drop_test: effective mass and travel do not settle; last {effective:.6g} kg")
