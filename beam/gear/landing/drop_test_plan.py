"""The plan of a drop test: what to drop, from where, how fast the wheel turns, what to measure, what to expect."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.gear.checks import able
from beam.gear.main_gear import MainGear
from beam.gear.motion.drop import Drop, drop, free_fall_speed
from beam.gear.motion.equations import STATES
from materials.checks import Array, array, number, reject
from materials.kinds import instance

FULL_SCALE = 1.5
"""Range of a channel over its predicted peak (common practice, no source) [-]."""

SAMPLES_TO_PEAK = 200
"""Samples between touchdown and peak load that show its shape (common practice, no source) [-]."""

TRAVEL_TOLERANCE = 1e-5
"""Descent on which two rounds of effective mass and drop agree [m]."""


class EffectiveMassRule(Protocol):
    """A code's rule for the mass of a free drop, such as `beam.loads.effective_mass`."""

    def __call__(self, mass: float, height: float, deflection: float, lift_ratio: float, /) -> ArrayLike:
        """Return the mass to drop [kg]."""


class LoadFactorRule(Protocol):
    """A code's rule from a drop test to the landing it stands for, such as `beam.loads.drop_load_factor`."""

    def __call__(
        self, test_factor: float, effective_mass: float, mass: float, lift_ratio: float, /
    ) -> ArrayLike:
        """Return the load factor n of the landing [-]."""


@dataclass(frozen=True, kw_only=True)
class Channel:
    """One thing to measure.

    Parameters
    ----------
    quantity : str
        What is measured, and its sign.
    unit : str
        Unit of the numbers.
    peak : float
        Predicted peak, in `unit` [any].
    time_of_peak : float
        When, since touchdown [s].
    """

    quantity: str
    unit: str
    peak: float
    time_of_peak: float

    @property
    def full_scale(self) -> float:
        """Range to set, in `unit` [any]."""
        return FULL_SCALE * self.peak


@dataclass(frozen=True, kw_only=True, eq=False)
class DropTestPlan:
    """A free drop of one main unit that stands for a landing with wing lift.

    Parameters
    ----------
    mass : float
        Mass that stands on the unit in the airplane [kg].
    height : float
        Drop height, from the tire to the platform [m].
    lift_ratio : float
        Lift over weight of the landing that it stands for [-].
    effective_mass : float
        Mass to drop, link and wheel included [kg].
    travel : float
        Descent of the dropped mass after touchdown, tire deflection plus axle travel, on which the
        effective mass rests [m].
    prediction : Drop
        The free drop itself: effective mass, no lift.
    rule : EffectiveMassRule
        The rule that gave the effective mass.
    load_factor_rule : LoadFactorRule
        The rule from the test's acceleration to the load factor of the landing.
    """

    mass: float
    height: float
    lift_ratio: float
    effective_mass: float
    travel: float
    prediction: Drop
    rule: EffectiveMassRule
    load_factor_rule: LoadFactorRule

    @property
    def wheel_speed(self) -> float:
        """Speed to spin the wheel up to before release, BACKWARD, for the landing's spin-up [rad/s]."""
        return self.prediction.ground_speed / self.prediction.gear.rolling_radius

    @property
    def touchdown_speed(self) -> float:
        """Sink speed to check at touchdown [m/s]."""
        return self.prediction.speed

    @property
    def sample_rate(self) -> float:
        """Least rate of the records [1/s]."""
        return SAMPLES_TO_PEAK / self.prediction.time_to_peak

    @property
    def load_factor(self) -> float:
        """Load factor n of the landing as this test is predicted to give it, from the acceleration [-]."""
        return self.landing_factor(self.channels[0].peak / g + 1, self.effective_mass)

    @property
    def channels(self) -> tuple[Channel, ...]:
        """What to measure, the first four at least, and the predicted peaks."""
        history = self.prediction.history
        spin, sink = STATES.index("spin"), STATES.index("sink")
        rows: tuple[tuple[str, str, Callable[[Array], Array]], ...] = (
            ("acceleration dv/dt of the dropped mass, up; -g in free fall", "m/s2", self.acceleration_at),
            ("stroke of the shock", "m", lambda t: history.forces_at(t).stroke),
            ("vertical force on the platform", "N", lambda t: history.forces_at(t).ground),
            ("descent of the dropped mass since touchdown", "m", lambda t: history.solution(t)[sink]),
            ("drag on the platform, aft", "N", lambda t: history.forces_at(t).drag),
            ("deflection of the tire", "m", lambda t: history.forces_at(t).deflection),
            ("axial force of the shock", "N", lambda t: history.forces_at(t).shock),
            # a wheel spun backward is brought to rest: its change of speed is the spin-up of the landing
            ("change of the wheel's speed", "rad/s", lambda t: history.solution(t)[spin]),
        )
        found = [(quantity, unit, history.peak(values)) for quantity, unit, values in rows]
        return tuple(
            Channel(quantity=quantity, unit=unit, peak=peak, time_of_peak=time)
            for quantity, unit, (time, peak) in found
        )

    def landing_factor(self, test_factor: float, dropped_mass: float) -> float:
        """Load factor of the landing that a test stands for, by the code's rule.

        Parameters
        ----------
        test_factor : float
            Largest dv/dt of the dropped mass over g, plus 1, n_j [-].
        dropped_mass : float
            Mass that was dropped, wheel included [kg].

        Returns
        -------
        float
            Load factor n [-].
        """
        number("DropTestPlan: test_factor [-]", test_factor, above=0, at_most=50, cause="given in m/s2?")
        number("DropTestPlan: dropped_mass [kg]", dropped_mass, above=0)
        n = self.load_factor_rule(test_factor, dropped_mass, self.mass, self.lift_ratio)
        what, cause = "DropTestPlan: load factor by load_factor_rule [-]", "not a rule for a load factor?"
        held = array(what, n)
        if held.ndim:
            reject(what, f"shape {held.shape}", "a number", cause)
        return number(what, float(held), at_least=0, at_most=50, cause=cause)

    def acceleration_at(self, time: Array) -> Array:
        """Predicted acceleration of the dropped mass, dv/dt, positive up.

        Parameters
        ----------
        time : ndarray, shape (...)
            Time since touchdown [s].

        Returns
        -------
        ndarray, shape (...)
            Acceleration [m/s2].
        """
        at = array("DropTestPlan.acceleration_at: time [s]", time)
        last = float(self.prediction.time[-1])
        if not ((at >= 0) & (at <= last)).all():
            limit = f"from 0 to {last:g}, where the prediction ends"
            reject("DropTestPlan.acceleration_at: time [s]", f"{at.min():g} to {at.max():g}", limit)
        return -self.prediction.history.rates_at(at)[STATES.index("sink_rate")]


def plan_drop_test(
    gear: MainGear,
    *,
    mass: float,
    height: float,
    lift_ratio: float,
    rule: EffectiveMassRule,
    load_factor_rule: LoadFactorRule,
    ground_speed: float = 0.0,
    attitude_deg: float = 0.0,
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
    rule : EffectiveMassRule
        Effective mass from mass, height, deflection and lift ratio, such as `beam.loads.effective_mass`.
    load_factor_rule : LoadFactorRule
        Load factor of the landing from the test's, such as `beam.loads.drop_load_factor`.
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
    Bottomed
        If the shock meets its stop.
    RuntimeError
        If effective mass and travel do not settle.
    ValueError
        If an input is outside its limits.

    Notes
    -----
    The effective mass asks for the descent d of the dropped mass, which depends on that mass; the
    two are found in turn, from the longest d, so from the least mass up. 23.725(b): the d used may not exceed the d
    measured, so a softer test than predicted keeps the mass and a stiffer one asks for more.
    """
    instance("plan_drop_test: gear", gear, MainGear)
    for name, function in (("rule", rule), ("load_factor_rule", load_factor_rule)):
        able(f"plan_drop_test: {name}", function, "__call__")
    number("plan_drop_test: mass [kg]", mass, above=0, at_most=1e5)
    speed = free_fall_speed(height)
    number("plan_drop_test: lift_ratio [-]", lift_ratio, at_least=0, at_most=1, cause="2/3 at limit")
    travel = float(gear.axle(gear.shock.max_stroke)[2] - gear.axle(0.0)[2]) + gear.tire.bottoming_deflection
    for _ in range(20):
        effective = float(np.asarray(rule(mass, height, travel, lift_ratio)))
        prediction = drop(
            gear,
            mass=effective,
            speed=speed,
            lift_ratio=0.0,
            ground_speed=ground_speed,
            attitude_deg=attitude_deg,
        )
        _, found = prediction.history.peak(
            lambda t, at=prediction.history: at.solution(t)[STATES.index("sink")]  # type: ignore[misc]
        )
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
