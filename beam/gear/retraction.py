"""Retraction: what the actuator and the lock carry while the gear swings about its pivot axis.

J q'' = M_weight + M_air + M_friction + F dL/dq, with the turn q from extended, the actuator's length L(q) and its
force F, positive when it pushes.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.circle import position, slope
from beam.gear.pivot_axis import PivotAxis
from beam.gear.retracting_gear import LEAST_ARM, RetractingGear
from materials.checks import Array, array, number, reject


@dataclass(frozen=True, kw_only=True, eq=False)
class Swing:
    """A retraction or an extension over time.

    Parameters
    ----------
    time : ndarray, shape (time,)
        Time [s].
    angle : ndarray, shape (time,)
        Turn from extended [rad].
    angle_rate : ndarray, shape (time,)
        Its rate [rad/s].
    angle_acceleration : ndarray, shape (time,)
        Its acceleration [rad/s2].
    length : ndarray, shape (time,)
        Length of the actuator [m].
    force : ndarray, shape (time,)
        Force of the actuator, positive when it pushes its lugs apart [N].
    weight, inertia, air, friction : ndarray, shape (time,)
        Moments that the actuator works against, each positive toward stowed; they and the actuator's own sum
        to zero [N m].
    """

    time: Array
    angle: Array
    angle_rate: Array
    angle_acceleration: Array
    length: Array
    force: Array
    weight: Array
    inertia: Array
    air: Array
    friction: Array

    @property
    def work(self) -> float:
        """Work that the actuator puts into the gear [J]."""
        return float(np.trapezoid(self.force, self.length))


def swing(
    gear: RetractingGear,
    *,
    duration: float,
    load_factor: ArrayLike = (0.0, 0.0, 1.0),
    dynamic_pressure: float = 0.0,
    extending: bool = False,
    steps: int = 400,
) -> Swing:
    """Actuator force over the travel of a retraction or extension in a given time.

    Parameters
    ----------
    gear : RetractingGear
        What swings.
    duration : float
        Time from lock to lock [s].
    load_factor : array_like, shape (3,)
        Load factors of the airplane aft, starboard and up [-].
    dynamic_pressure : float
        rho V**2 / 2 of the air speed; 14 CFR 23.729(a) asks for 1.6 V_S1, flaps up [Pa].
    extending : bool
        From stowed to extended.
    steps : int
        Steps of time [-].

    Returns
    -------
    Swing
        Histories.

    Raises
    ------
    ValueError
        If an input is outside its limits.

    Notes
    -----
    The turn goes as q = a (x - sin(2 pi x) / (2 pi)), x = t / T: from rest to rest without a jolt; the largest
    acceleration is 2 pi a / T**2.

    References
    ----------
    14 CFR 23.729(a)(1) (through Amendment 23-62): friction, inertia, air load and load factor. Brake torque on
    a spinning wheel, which it names too, is not in here.
    """
    number("swing: duration [s]", duration, above=0, at_most=120)
    number(
        "swing: dynamic_pressure [Pa]", dynamic_pressure, at_least=0, at_most=5e4, cause="given as a speed?"
    )
    n = array("swing: load_factor [-]", load_factor, last=(3,))
    x = np.linspace(0.0, 1.0, int(number("swing: steps [-]", steps, at_least=10)) + 1)
    a, turn = gear.axis.angle, 2 * np.pi
    angle = a * (x - np.sin(turn * x) / turn)
    rate, acceleration = a / duration * (1 - np.cos(turn * x)), a / duration**2 * turn * np.sin(turn * x)
    if extending:
        angle, rate, acceleration = a - angle, -rate, -acceleration
    weight, air = gear.weight_moment(angle, n), gear.air_moment(angle, dynamic_pressure)
    # friction is taken whole at rest too: a swing starts against it
    friction = np.full_like(angle, gear.pivot_friction if extending else -gear.pivot_friction)
    inertia = -gear.inertia * acceleration
    return Swing(
        time=x * duration,
        angle=angle,
        angle_rate=rate,
        angle_acceleration=acceleration,
        length=gear.actuator_length(angle),
        force=-(weight + air + friction + inertia) / gear.actuator_arm(angle),
        weight=weight,
        inertia=inertia,
        air=air,
        friction=friction,
    )


def lock_load(
    axis: PivotAxis,
    angle: float,
    moment: ArrayLike,
    *,
    lock_at: ArrayLike,
    lock_line: ArrayLike,
) -> Array:
    """Force in a lock that alone holds a moment about the axis, friction and actuator left out.

    Parameters
    ----------
    axis : PivotAxis
        Pivot axis.
    angle : float
        Turn at which it is locked: 0 extended, `axis.angle` stowed [rad].
    moment : array_like, shape (...)
        Moment to hold, such as `weight_moment` at a load factor plus `air_moment` [N m].
    lock_at : array_like, shape (3,)
        Point of the gear that the lock holds, with the gear EXTENDED [m].
    lock_line : array_like, shape (3,)
        Direction in which the lock pulls on the gear, where it is locked [-].

    Returns
    -------
    ndarray, shape (...)
        Force of the lock on the gear along its line; negative pushes [N].

    Raises
    ------
    ValueError
        If the line of the lock passes through the axis or runs along it.
    """
    line = array("lock_load: lock_line [-]", lock_line, last=(3,))
    if not line.any():
        reject("lock_load: lock_line [-]", line.tolist(), "not zero")
    terms = axis.terms(array("lock_load: lock_at [m]", lock_at, last=(3,)))
    reach = slope(terms, angle)
    arm = float(reach @ line / np.linalg.norm(line))
    if abs(arm) < LEAST_ARM * float(np.linalg.norm(position(terms, angle) - axis.point)) or arm == 0:
        cause = "the line of the lock passes through the axis or runs along it"
        reject("lock_load: arm of the lock about the axis [m]", f"{arm:.3g}", "not zero", cause)
    return -np.asarray(moment, dtype=float) / arm
