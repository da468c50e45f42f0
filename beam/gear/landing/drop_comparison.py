"""Measurement over prediction: the load factor that a drop test gave, and how far the prediction was off."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.constants import g
from scipy.integrate import cumulative_trapezoid

from beam.gear.landing.drop_record import DropRecord, contact_time
from beam.gear.landing.drop_test_plan import DropTestPlan
from materials.checks import Array, number, reject
from materials.kinds import instance

FORCE_OVER_INERTIA = (0.6, 1.6)
"""Peak force over mass times (peak acceleration + g): beyond, no inertia of the wheel explains it [-]."""

CHANNELS = {"acceleration": "m/s2", "stroke": "m", "force": "N"}
"""What is compared, and its unit."""


@dataclass(frozen=True, kw_only=True, eq=False)
class ChannelError:
    """One history, measured and predicted, on one clock that starts at touchdown.

    Parameters
    ----------
    time : ndarray, shape (sample,)
        Times of the record within the prediction, from touchdown [s].
    measured, predicted : ndarray, shape (sample,)
        The two histories [any].
    unit : str
        Their unit.
    """

    time: Array
    measured: Array
    predicted: Array
    unit: str

    @property
    def peak(self) -> tuple[float, float]:
        """Largest value measured and predicted, in `unit` [any]."""
        return float(self.measured.max()), float(self.predicted.max())

    @property
    def peak_ratio(self) -> float:
        """Measured over predicted peak [-]."""
        return self.peak[0] / self.peak[1]

    @property
    def time_of_peak(self) -> tuple[float, float]:
        """When the largest value was measured and is predicted [s]."""
        return float(self.time[np.argmax(self.measured)]), float(self.time[np.argmax(self.predicted)])

    @property
    def delay(self) -> float:
        """How much later than predicted the peak came [s]."""
        return self.time_of_peak[0] - self.time_of_peak[1]

    @property
    def rms(self) -> float:
        """Root of the mean square difference over time, over the predicted peak [-]."""
        square = np.trapezoid((self.measured - self.predicted) ** 2, self.time)
        return float(np.sqrt(square / np.ptp(self.time))) / self.peak[1]


@dataclass(frozen=True, kw_only=True, eq=False)
class DropComparison:
    """A measured drop beside its plan.

    Parameters
    ----------
    plan : DropTestPlan
        What was planned and predicted.
    record : DropRecord
        What was measured.
    mass : float
        Mass that was dropped [kg].

    Raises
    ------
    ValueError
        If force and acceleration cannot belong to that mass, or the record is too short.
    """

    plan: DropTestPlan
    record: DropRecord
    mass: float

    def __post_init__(self) -> None:
        number("DropComparison: mass [kg]", self.mass, above=0, cause="the mass dropped, wheel included")
        if self.time[-1] < self.plan.prediction.time_to_peak:
            limit = f"past the predicted peak at {self.plan.prediction.time_to_peak:.4g}"
            reject("DropComparison: end of the record after touchdown [s]", f"{self.time[-1]:.4g}", limit)
        push = self.mass * (self.record.acceleration.max() + g)
        ratio, (low, high) = float(self.record.force.max() / push), FORCE_OVER_INERTIA
        what = "DropComparison: peak force over mass times (peak acceleration + g) [-]"
        number(what, ratio, at_least=low, at_most=high, cause="a slip of units in force, or another mass?")

    @cached_property
    def time(self) -> Array:
        """Clock of the record from touchdown, shape (sample,) [s].

        The record is laid on the prediction where both forces rise through the same part of their
        peaks.
        """
        predicted = self.plan.prediction
        shift = contact_time(predicted.time, predicted.ground_force) - self.record.contact_time
        return self.record.time + shift

    @cached_property
    def channels(self) -> dict[str, ChannelError]:
        """Histories of acceleration, stroke and force, measured and predicted."""
        inside = (self.time >= 0) & (self.time <= self.plan.prediction.time[-1])
        time = self.time[inside]
        forces = self.plan.prediction.history.forces_at(time)
        predicted = (self.plan.acceleration_at(time), forces.stroke, forces.ground)
        return {
            name: ChannelError(
                time=time, measured=getattr(self.record, name)[inside], predicted=values, unit=unit
            )
            for (name, unit), values in zip(CHANNELS.items(), predicted, strict=True)
        }

    @property
    def load_factor(self) -> float:
        """Load factor n of the landing, 23.725(e), with n_j from the accelerometer [-].

        The largest sample counts: noise that was not filtered out makes n larger.
        """
        n_j = float(self.record.acceleration.max()) / g + 1
        return self.plan.landing_factor(n_j, self.mass)

    @property
    def load_factor_by_force(self) -> float:
        """The same with n_j W_e from the platform, which also weighs the inertia of wheel and link [-]."""
        n_j = float(self.record.force.max()) / (self.mass * g)
        return self.plan.landing_factor(n_j, self.mass)

    @property
    def load_factor_ratio(self) -> float:
        """Measured over predicted load factor [-]."""
        return self.load_factor / self.plan.load_factor

    @property
    def travel(self) -> float:
        """Descent of the dropped mass after touchdown, the acceleration integrated twice [m]."""
        after = self.time >= 0
        time = np.concatenate([[0.0], self.time[after]])
        rise = np.concatenate([[-g], self.record.acceleration[after]])
        speed = self.plan.touchdown_speed - cumulative_trapezoid(rise, time, initial=0)
        return float(cumulative_trapezoid(speed, time, initial=0).max())

    @property
    def mass_needed(self) -> float:
        """Effective mass by the rule for the measured descent; more than was dropped: drop again [kg]."""
        plan = self.plan
        return float(np.asarray(plan.rule(plan.mass, plan.height, self.travel, plan.lift_ratio)))


def compare_drop(plan: DropTestPlan, record: DropRecord, *, mass: float | None = None) -> DropComparison:
    """Lay a measured drop over its prediction.

    Parameters
    ----------
    plan : DropTestPlan
        The plan.
    record : DropRecord
        The measurement.
    mass : float, optional
        Mass that was dropped, wheel included; the planned effective mass if not given [kg].

    Returns
    -------
    DropComparison
        Load factor by 23.725(e), error figures per channel, measured descent.

    Raises
    ------
    ValueError
        If the record is coarser than the plan asks for.
    """
    instance("compare_drop: plan", plan, DropTestPlan)
    instance("compare_drop: record", record, DropRecord)
    rate, least = 1 / float(np.diff(record.time).max()), plan.sample_rate
    if rate < 0.99 * least:
        cause = "too coarse for the peak, and for the travel that sets the mass"
        reject(
            "compare_drop: record",
            f"{rate:.4g} samples a second where they are widest",
            f">= {least:.4g}",
            cause,
        )
    return DropComparison(plan=plan, record=record, mass=plan.effective_mass if mass is None else mass)
