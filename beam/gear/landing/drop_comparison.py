"""A measured drop over its prediction: the load factor that the test gave, and the errors of the prediction."""

from functools import cached_property
from typing import Annotated, Literal

import numpy as np
from scipy.constants import g
from scipy.integrate import cumulative_trapezoid

from beam.gear.landing.drop_record import DropRecord, amplitude, contact_time
from beam.gear.landing.drop_test_plan import DropTestPlan, mass_by_rule
from materials.checks import Array, Frozen, Limits, Numbers, checked, number, reject

FORCE_OVER_INERTIA = (0.6, 1.6)
"""Peak force over mass times (peak acceleration + g): beyond, no inertia of the wheel explains it [-]."""

_Channel = Literal["acceleration", "stroke", "force"]
CHANNELS: dict[_Channel, str] = {"acceleration": "m/s2", "stroke": "m", "force": "N"}
"""What is compared, and its unit."""

_MASS = Limits("kg", above=0.0, cause="the mass dropped, wheel included")


class ChannelError(Frozen):
    """One history, measured and predicted, on one clock that starts at touchdown.

    Parameters
    ----------
    time : array_like, shape (sample,)
        Times of the record within the prediction, from touchdown [s].
    measured, predicted : array_like, shape (sample,)
        The two histories [any].
    unit : str
        Their unit.
    peak_error : float
        Most by which the true peak exceeds the largest sample measured, in `unit` [any].

    Examples
    --------
    >>> error = ChannelError(time=[0, 0.01, 0.02], measured=[0, 90, 110], predicted=[0, 100, 80], unit="N")
    >>> error.peak_ratio, round(error.delay, 3), round(error.rms, 3)
    (1.1, 0.01, 0.166)
    """

    time: Annotated[Numbers, Limits("s", shape=(-1,))]
    measured: Annotated[Numbers, Limits("any", shape=(-1,))]
    predicted: Annotated[Numbers, Limits("any", shape=(-1,))]
    unit: str
    peak_error: Annotated[float, Limits("any", at_least=0.0)] = 0.0

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
        """Time of the largest value, measured and predicted [s]."""
        return float(self.time[np.argmax(self.measured)]), float(self.time[np.argmax(self.predicted)])

    @property
    def delay(self) -> float:
        """Time by which the peak came later than predicted [s]."""
        return self.time_of_peak[0] - self.time_of_peak[1]

    @property
    def rms(self) -> float:
        """Root of the mean square difference over time, over the predicted peak [-]."""
        square = np.trapezoid((self.measured - self.predicted) ** 2, self.time)
        return float(np.sqrt(square / np.ptp(self.time))) / self.peak[1]


class DropComparison(Frozen):
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
        If force and acceleration cannot belong to that mass, or the record is too short, or too coarse and without
        the bandwidth that gives its peaks an error bar.

    Notes
    -----
    Error bar of the descent: with half the range A of dv/dt, w = 2 pi f, the time step h and the time T to the lowest
    point, the trapezoids err by at most w^2 A h^2 T^2 / 24 by the speed and w A h^2 T / 12 by themselves. Touchdown
    lies within h of where the force shows it, which adds V h. The error bars of the peaks are those of `DropRecord`.

    Examples
    --------
    See `compare_drop`.
    """

    plan: DropTestPlan
    record: DropRecord
    mass: Annotated[float, _MASS]

    def __post_init__(self) -> None:
        super().__post_init__()
        rate, least = 1 / float(np.diff(self.record.time).max()), self.plan.sample_rate
        if rate < 0.99 * least and self.record.bandwidth is None:
            got = f"{rate:.4g} samples a second where they are widest"
            cause = (
                "too coarse for the peak, and for the travel that sets the mass; with the bandwidth of its "
            )
            cause += "channels it is accepted, with error bars"
            reject("DropComparison: record", got, f">= {least:.4g}", cause)
        end, peak = float(self.time[-1]), self.plan.prediction.time_to_peak
        if end < peak:
            limit = f"past the predicted peak at {peak:.4g}"
            reject("DropComparison: end of the record after touchdown [s]", f"{end:.4g}", limit)
        push = self.mass * (self.record.acceleration.max() + g)
        ratio, (low, high) = float(self.record.force.max() / push), FORCE_OVER_INERTIA
        what = "DropComparison: peak force over mass times (peak acceleration + g) [-]"
        number(what, ratio, at_least=low, at_most=high, cause="another unit of force, or another mass?")

    @property
    def time(self) -> Array:
        """Time of the record from touchdown, where both forces rise through `CONTACT`, shape (sample,) [s]."""
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
                time=time,
                measured=getattr(self.record, name)[inside],
                predicted=values,
                unit=unit,
                peak_error=self._peak_error(name),
            )
            for (name, unit), values in zip(CHANNELS.items(), predicted, strict=True)
        }

    def _peak_error(self, channel: _Channel) -> float:
        """Error bar of the peak of a channel; 0 where the record is as fine as the plan asks and states none [any]."""
        return 0.0 if self.record.bandwidth is None else self.record.peak_error(channel)

    @property
    def load_factor_error(self) -> float:
        """Most by which the load factor exceeds `load_factor`, from the error bar of the accelerometer's peak [-]."""
        n_j = (float(self.record.acceleration.max()) + self._peak_error("acceleration")) / g + 1
        return self.plan.landing_factor(n_j, self.mass) - self.load_factor

    @property
    def travel_error(self) -> float:
        """Most by which `travel` is off either way; 0 for a record without a bandwidth [m]."""
        record = self.record
        if record.bandwidth is None:
            return 0.0
        h, w = record.widest_step, 2 * np.pi * record.bandwidth
        time, descent = self._descent
        lowest = float(time[np.argmax(descent)])
        most = amplitude(record.acceleration, record.bandwidth, h)
        drift = w * most * h**2 * lowest * (w * lowest / 24 + 1 / 12)
        return drift + self.plan.touchdown_speed * h

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What the error bars rest on; empty for a record without a bandwidth."""
        record = self.record
        if record.bandwidth is None:
            return ()
        rate = 1 / record.widest_step
        return (
            f"sampled at {rate:.4g} 1/s where the plan asks for {self.plan.sample_rate:.4g} 1/s; accepted on request",
            f"no content above {record.bandwidth:g} Hz, as given: n is at most {self.load_factor:.4g} + "
            f"{self.load_factor_error:.2g}, descent {self.travel:.4g} +- {self.travel_error:.2g} m",
        )

    @property
    def load_factor(self) -> float:
        """Load factor n of the landing, 23.725(e), from the largest sample of the accelerometer, noise included [-]."""
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
        return float(self._descent[1].max())

    @cached_property
    def _descent(self) -> tuple[Array, Array]:
        """Time after touchdown and descent of the dropped mass until then, shape (sample,) each [s], [m]."""
        after = self.time >= 0
        time = np.concatenate([[0.0], self.time[after]])
        rise = np.concatenate([[-g], self.record.acceleration[after]])
        speed = self.plan.touchdown_speed - cumulative_trapezoid(rise, time, initial=0)
        return time, cumulative_trapezoid(speed, time, initial=0)

    @property
    def mass_needed(self) -> float:
        """Effective mass by the rule for the measured descent; if it exceeds the dropped mass, drop again [kg]."""
        plan = self.plan
        return mass_by_rule(plan.rule, plan.mass, plan.height, self.travel, plan.lift_ratio)


@checked
def compare_drop(
    plan: DropTestPlan, record: DropRecord, *, mass: Annotated[float | None, _MASS] = None
) -> DropComparison:
    """Compare a measured drop with its prediction.

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
        Load factor of the landing, errors of each channel, measured descent.

    Raises
    ------
    ValueError
        If the record is coarser than the plan asks for, ends before the peak, or does not fit the mass.

    Notes
    -----
    14 CFR 23.725(e): n = n_j W_e / W + L, with n_j = (largest dv/dt) / g + 1 of the test.

    Examples
    --------
    >>> from beam.gear import plan_drop_test
    >>> from tourer import GEAR  # examples/tourer.py
    >>> plan = plan_drop_test(GEAR, mass=500, height=0.4, lift_ratio=2 / 3, rule=lambda *_: 366.0,
    ...                       load_factor_rule=lambda n, dropped, mass, lift: n * dropped / mass + lift)
    >>> time = np.arange(-0.05, 0.3, 2.5e-4)
    >>> after = np.maximum(time, 0)
    >>> forces = plan.prediction.history.forces_at(after)
    >>> record = DropRecord(time=time, acceleration=np.where(time < 0, -g, plan.acceleration_at(after)),
    ...                     stroke=forces.stroke, force=1.02 * forces.ground)
    >>> found = compare_drop(plan, record)
    >>> round(found.load_factor_ratio, 3), round(found.channels["force"].peak_ratio, 3)
    (1.0, 1.02)
    """
    return DropComparison(plan=plan, record=record, mass=plan.effective_mass if mass is None else mass)
