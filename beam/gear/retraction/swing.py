"""Retraction: what the actuator and the lock carry while the gear swings about its pivot axis.

J q'' = M_weight + M_air + M_brake + M_door + M_friction + F dL/dq, with the turn q from extended, the actuator's
length L(q) and its force F, positive when it pushes.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.checks import direction, vector
from beam.gear.parts.rotation import position, slope
from beam.gear.retraction.pivot_axis import PivotAxis
from beam.gear.retraction.retracting_gear import LEAST_ARM, RetractingGear
from materials.checks import Array, array, flag, number, reject, whole
from materials.kinds import instance


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
    weight, inertia, air, friction, brake, door : ndarray, shape (time,)
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
    brake: Array
    door: Array

    @property
    def push(self) -> float:
        """Largest force with which the actuator pushes, zero if it never does [N]."""
        return max(float(self.force.max()), 0.0)

    @property
    def pull(self) -> float:
        """Largest force with which the actuator pulls, zero if it never does [N]."""
        return max(float(-self.force.min()), 0.0)

    @property
    def work(self) -> float:
        """Work that the actuator puts into the gear [J]."""
        return float(np.trapezoid(self.force, self.length))

    @property
    def energy_error(self) -> float:
        """Gap between the work on the actuator's length and that of the moments over the turn [-].

        Over the largest of the works; it says whether the steps are fine enough. The gear starts and ends at
        rest, so the inertia has no work left.
        """
        against = [
            float(np.trapezoid(getattr(self, name), self.angle))
            for name in ("weight", "inertia", "air", "friction", "brake", "door")
        ]
        most = max(abs(self.work), *(abs(one) for one in against))
        return abs(self.work + sum(against)) / most if most else 0.0


def swing(
    gear: RetractingGear,
    *,
    duration: float,
    load_factor: ArrayLike = (0.0, 0.0, 1.0),
    dynamic_pressure: float = 0.0,
    sideslip_deg: float = 0.0,
    wheel_speed: float = 0.0,
    brake_torque: float = 0.0,
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
        Load factors of the airplane aft, starboard and up; 14 CFR 23.729(a)(1) asks for those up to 23.345 [-].
    dynamic_pressure : float
        rho V**2 / 2 of the air speed; 14 CFR 23.729(a)(1) asks for speeds up to 1.6 V_S1, flaps up [Pa].
    sideslip_deg : float
        Sideslip, positive with the wind from port, which pushes the gear to starboard [deg].
    wheel_speed : float
        Speed at which the wheel still rolls forward when the swing begins [rad/s].
    brake_torque : float
        Torque of the brake, on from the beginning until the wheel stands [N m].
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
    acceleration is 2 pi a / T**2. The brake stops the wheel after I w / T_b; the turn rate of the leg, a small part
    of the wheel's, is left out there.

    References
    ----------
    14 CFR 23.729(a)(1) (through Amendment 23-62): friction, inertia, brake torque, air load and load factor.
    """
    instance("swing: gear", gear, RetractingGear)
    number("swing: duration [s]", duration, at_least=0.05, at_most=120, cause="given in minutes or ms?")
    number("swing: wheel_speed [rad/s]", wheel_speed, at_least=0, at_most=1e3, cause="given in rpm or m/s?")
    number("swing: brake_torque [N m]", brake_torque, at_least=0, at_most=1e5)
    flag("swing: extending", extending)
    x = np.linspace(0.0, 1.0, whole("swing: steps [-]", steps, at_least=10, at_most=10**6) + 1)
    stop = 0.0
    if brake_torque and wheel_speed:
        braking = gear.brake_moment(brake_torque)
        stop = gear.wheel_inertia * wheel_speed / brake_torque / duration
        if stop < 1:
            # the moment ends at once: the instant belongs to the histories, with the brake on and just off
            x = np.unique([*x, stop, np.nextafter(stop, 2.0)])
    a, turn = gear.axis.angle, 2 * np.pi
    angle = a * (x - np.sin(turn * x) / turn)
    rate, acceleration = a / duration * (1 - np.cos(turn * x)), a / duration**2 * turn * np.sin(turn * x)
    if extending:
        angle, rate, acceleration = a - angle, -rate, -acceleration
    weight, air = (
        gear.weight_moment(angle, load_factor),
        gear.air_moment(angle, dynamic_pressure, sideslip_deg),
    )
    door = np.zeros_like(angle) if gear.door is None else gear.door.moment(gear.axis, angle)
    brake = np.where(x <= stop, braking, 0.0) if stop else np.zeros_like(angle)
    # friction is taken whole at rest too: a swing starts against it
    friction = np.full_like(angle, gear.pivot_friction if extending else -gear.pivot_friction)
    inertia = -gear.inertia * acceleration
    return Swing(
        time=x * duration,
        angle=angle,
        angle_rate=rate,
        angle_acceleration=acceleration,
        length=gear.actuator_length(angle),
        force=-(weight + air + friction + inertia + brake + door) / gear.actuator_arm(angle),
        weight=weight,
        inertia=inertia,
        air=air,
        friction=friction,
        brake=brake,
        door=door,
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
        Moment to hold, such as `RetractingGear.held_moment` [N m].
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
    instance("lock_load: axis", axis, PivotAxis)
    what = "lock_load: angle [rad]"
    number(what, angle, at_least=-1e-9, at_most=axis.angle + 1e-9, cause="given in degrees?")
    held = array("lock_load: moment [N m]", moment)
    line = direction("lock_load: lock_line [-]", lock_line)
    terms = axis.terms(vector("lock_load: lock_at [m]", lock_at))
    arm = float(slope(terms, angle) @ line)
    if abs(arm) < LEAST_ARM * float(np.linalg.norm(position(terms, angle) - axis.point)) or arm == 0:
        cause = "the line of the lock passes through the axis or runs along it"
        reject("lock_load: arm of the lock about the axis [m]", f"{arm:.3g}", "not zero", cause)
    return -held / arm
