"""What a drop gives: load factor, efficiencies, spin-up and spring-back."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from beam.gear.motion.ground_run import GroundRun
from beam.gear.motion.unit import STATES
from materials.checks import Array


@dataclass(frozen=True, kw_only=True)
class Instant:
    """The loads on a leg at one instant of a landing.

    Parameters
    ----------
    time : float
        Time since touchdown [s].
    drag : float
        Fore-aft force in the strut, positive aft [N].
    vertical : float
        Vertical load of the ground [N].
    stroke : float
        Stroke of the shock [m].
    """

    time: float
    drag: float
    vertical: float
    stroke: float


@dataclass(frozen=True, kw_only=True, eq=False)
class Drop(GroundRun):
    """Histories and results of a drop.

    Parameters
    ----------
    gear : MainGear
        What was dropped.
    mass : float
        Mass on the unit [kg].
    lift_ratio : float
        Lift over weight [-].
    ground_speed : float
        Speed of the ground past the airplane [m/s].
    history : History
        The motion.
    bottoming_energy : float
        Kinetic energy of the descent left when the shock met its stop; zero if it did not [J].
    speed : float
        Sink speed at touchdown [m/s].
    """

    speed: float

    @cached_property
    def strut_drag(self) -> Array:
        """Fore-aft force in the strut, positive aft, shape (time,) [N]."""
        return self.history.strut_drag_at(self.time)

    @property
    def acceleration(self) -> Array:
        """Upward acceleration of the sprung mass, shape (time,) [m/s2]."""
        return -self.history.rates_at(self.time)[STATES.index("sink_rate")]

    @property
    def time_to_peak(self) -> float:
        """Time from touchdown to the largest vertical load, t_s of Appendix D to 14 CFR 23 [s]."""
        return self._peak[0]

    @property
    def efficiency(self) -> float:
        """Work on the shock up to its largest stroke over that stroke times the largest force [-].

        NaN where the load does not move the shock off its extension stop.
        """
        return _efficiency(self.stroke, self.shock_force)

    @property
    def tire_efficiency(self) -> float:
        """Work on the tire up to its largest deflection over that deflection times the largest load [-]."""
        return _efficiency(self.tire_deflection, self.ground_force)

    @property
    def lift_off_time(self) -> float:
        """When the tire first left the ground in rebound; NaN if it did not [s]."""
        clear = np.flatnonzero((self.tire_deflection < 0) & (self.time > self.time_to_peak))
        return float(self.time[clear[0]]) if len(clear) else float("nan")

    @property
    def spin_up(self) -> Instant:
        """The instant of the largest aft force in the strut."""
        return self._instant(self.history.peak(self.history.strut_drag_at)[0])

    @property
    def spring_back(self) -> Instant:
        """The instant of the largest forward force in the strut after spin-up; its drag is negative.

        Without fore-aft flexibility there is none but the inertia of link and wheel.
        """
        after = self.spin_up.time
        return self._instant(self.history.peak(lambda t: -self.history.strut_drag_at(t), since=after)[0])

    def _instant(self, time: float) -> Instant:
        forces = self.history.forces_at(time)
        return Instant(
            time=time,
            drag=float(self.history.strut_drag_at(time)),
            vertical=float(forces.ground),
            stroke=float(forces.stroke),
        )


def _efficiency(travel: Array, force: Array) -> float:
    top = int(np.argmax(travel)) + 1
    if travel[top - 1] <= 0:
        return float("nan")
    work = np.trapezoid(force[:top], travel[:top])
    return float(work / (force[:top].max() * (travel[top - 1] - travel[0])))
