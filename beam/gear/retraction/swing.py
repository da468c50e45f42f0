"""A retraction or extension in a given time: actuator force over the travel, and the load of the lock."""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.parts.rotation import position, slope
from beam.gear.retraction.pivot_axis import Direction, PivotAxis, Point, unit_vector
from beam.gear.retraction.retracting_gear import (
    LEAST_ARM,
    BrakeTorque,
    DynamicPressure,
    LoadFactor,
    RetractingGear,
    Sideslip,
)
from materials.checks import Array, Frozen, Limits, Numbers, checked, reject

MOMENTS = ("weight", "inertia", "air", "friction", "brake", "door")
"""The moments that the actuator works against."""

_MOMENT = Limits("N m", shape=(-1,))


class Swing(Frozen):
    """A retraction or an extension over time; `swing` makes it.

    Parameters
    ----------
    time : array_like, shape (time,)
        Time [s].
    angle : array_like, shape (time,)
        Turn from extended [rad].
    angle_rate : array_like, shape (time,)
        Its rate [rad/s].
    angle_acceleration : array_like, shape (time,)
        Its acceleration [rad/s2].
    length : array_like, shape (time,)
        Length of the actuator [m].
    force : array_like, shape (time,)
        Force of the actuator, positive when it pushes its pins apart [N].
    weight, inertia, air, friction, brake, door : array_like, shape (time,)
        Moments about the axis, positive toward stowed. They and the moment of the actuator sum to zero [N m].

    Examples
    --------
    >>> still = dict.fromkeys(("inertia", "air", "friction", "brake", "door"), [0, 0, 0])
    >>> found = Swing(time=[0, 1, 2], angle=[0, 0.5, 1], angle_rate=[0, 0.5, 0], angle_acceleration=[0, 0, 0],
    ...               length=[0.9, 0.8, 0.7], force=[0, -50, -100], weight=[0, -10, -20], **still)
    >>> round(found.work, 3), found.pull, found.push
    (10.0, 100.0, 0.0)
    """

    time: Annotated[Numbers, Limits("s", shape=(-1,))]
    angle: Annotated[Numbers, Limits("rad", shape=(-1,))]
    angle_rate: Annotated[Numbers, Limits("rad/s", shape=(-1,))]
    angle_acceleration: Annotated[Numbers, Limits("rad/s2", shape=(-1,))]
    length: Annotated[Numbers, Limits("m", shape=(-1,))]
    force: Annotated[Numbers, Limits("N", shape=(-1,))]
    weight: Annotated[Numbers, _MOMENT]
    inertia: Annotated[Numbers, _MOMENT]
    air: Annotated[Numbers, _MOMENT]
    friction: Annotated[Numbers, _MOMENT]
    brake: Annotated[Numbers, _MOMENT]
    door: Annotated[Numbers, _MOMENT]

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
        """Work of the actuator plus work of all moments, over the largest of them: zero with fine steps [-]."""
        against = [float(np.trapezoid(getattr(self, name), self.angle)) for name in MOMENTS]
        most = max(abs(self.work), *(abs(one) for one in against))
        return abs(self.work + sum(against)) / most if most else 0.0


@checked
def swing(
    gear: RetractingGear,
    *,
    duration: Annotated[float, Limits("s", at_least=0.05, at_most=120.0, cause="given in minutes or ms?")],
    load_factor: LoadFactor = (0.0, 0.0, 1.0),
    dynamic_pressure: DynamicPressure = 0.0,
    sideslip_deg: Sideslip = 0.0,
    wheel_speed: Annotated[
        float, Limits("rad/s", at_least=0.0, at_most=1e3, cause="given in rpm or m/s?")
    ] = 0.0,
    brake_torque: BrakeTorque = 0.0,
    extending: bool = False,
    steps: Annotated[int, Limits("-", at_least=10, at_most=10**6)] = 400,
) -> Swing:
    """Actuator force over the travel of a retraction or extension in a given time.

    Parameters
    ----------
    gear : RetractingGear
        What turns.
    duration : float
        Time T from lock to lock [s].
    load_factor : array_like, shape (3,)
        Load factors of the airplane aft, starboard and up; 14 CFR 23.729(a)(1) asks for those up to 23.345 [-].
    dynamic_pressure : float
        rho V**2 / 2 of the air speed; 14 CFR 23.729(a)(1) asks for speeds up to 1.6 V_S1, flaps up [Pa].
    sideslip_deg : float
        Sideslip, positive with the wind from port, which pushes the gear to starboard [deg].
    wheel_speed : float
        Speed w at which the wheel still rolls forward at the start [rad/s].
    brake_torque : float
        Torque T_b of the brake, on from the start until the wheel stands [N m].
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
        If there is a brake and the gear has no wheel axle or inertia.

    Notes
    -----
    J q'' = M_weight + M_air + M_brake + M_door + M_friction + F dL/dq, with the actuator's length L(q) and its force F,
    positive when it pushes. The turn goes as q = a (x - sin(2 pi x) / (2 pi)), x = t / T: from rest to rest without a
    jump of acceleration, at most 2 pi a / T**2. The brake stops the wheel of inertia I after I w / T_b; the turn rate
    of the leg is left out there. Friction counts in full at rest too, since the gear starts against it.

    References
    ----------
    14 CFR 23.729(a)(1) (through Amendment 23-62): friction, inertia, brake torque, air load and load factor.

    Examples
    --------
    >>> axis = PivotAxis(point=(0, 0, 0), direction=(-1, 0, 0), angle=1.5)
    >>> gear = RetractingGear(axis=axis, mass=[20], center=[(0, 0, -0.8)], actuator_on_gear=(0, -0.05, -0.25),
    ...                       actuator_on_airplane=(0, -0.5, 0.5))
    >>> found = swing(gear, duration=5.0, load_factor=(0, 0, 2))
    >>> round(found.pull), round(found.work), bool(found.energy_error < 1e-4)
    (1501, 292, True)
    """
    x = np.linspace(0.0, 1.0, steps + 1)
    stop = braking = 0.0
    if brake_torque and wheel_speed:
        braking = gear.brake_moment(brake_torque)
        stop = gear.wheel_inertia * wheel_speed / brake_torque / duration
        if stop < 1:
            # the brake's moment ends at once: two samples, with the brake on and just off
            x = np.unique([*x, stop, np.nextafter(stop, 2.0)])
    a, turn = gear.axis.angle, 2 * np.pi
    angle = a * (x - np.sin(turn * x) / turn)
    rate, acceleration = a / duration * (1 - np.cos(turn * x)), a / duration**2 * turn * np.sin(turn * x)
    if extending:
        angle, rate, acceleration = a - angle, -rate, -acceleration
    moments = {
        "weight": gear.weight_moment(angle, load_factor),
        "inertia": -gear.inertia * acceleration,
        "air": gear.air_moment(angle, dynamic_pressure, sideslip_deg),
        "friction": np.full_like(angle, gear.pivot_friction if extending else -gear.pivot_friction),
        "brake": np.where(x <= stop, braking, 0.0),
        "door": np.zeros_like(angle) if gear.door is None else gear.door.moment(gear.axis, angle),
    }
    return Swing(
        time=x * duration,
        angle=angle,
        angle_rate=rate,
        angle_acceleration=acceleration,
        length=gear.actuator_length(angle),
        force=-sum(moments.values()) / gear.actuator_arm(angle),
        **moments,
    )


@checked
def lock_load(
    axis: PivotAxis,
    angle: Annotated[float, Limits("rad", at_least=-1e-9, cause="given in degrees?")],
    moment: Annotated[ArrayLike, Limits("N m")],
    *,
    lock_at: Point,
    lock_line: Direction,
) -> Array:
    """Force in a lock that alone carries a moment about the axis, without friction and actuator.

    Parameters
    ----------
    axis : PivotAxis
        Pivot axis.
    angle : float
        Turn at which the gear is locked: 0 extended, `axis.angle` stowed [rad].
    moment : array_like, shape (...)
        Moment M to carry, such as `RetractingGear.held_moment` [N m].
    lock_at : array_like, shape (3,)
        Point of the gear that the lock takes, with the gear EXTENDED [m].
    lock_line : array_like, shape (3,)
        Direction l in which the lock pulls on the gear, at the locked turn [-].

    Returns
    -------
    ndarray, shape (...)
        Force -M / (dp/dq . l) on the gear along the line, p the locked point; negative pushes [N].

    Raises
    ------
    ValueError
        If the line of the lock passes through the axis or runs along it.

    Examples
    --------
    A hook at 0.5 m lifts a leg of 20 kg with its center at 0.8 m: 20 x 9.807 x 0.8 / 0.5 N.

    >>> axis = PivotAxis(point=(0, 0, 0), direction=(-1, 0, 0), angle=np.pi / 2)
    >>> found = lock_load(axis, np.pi / 2, -20 * 9.80665 * 0.8, lock_at=(0, 0, -0.5), lock_line=(0, 0, 1))
    >>> round(float(found), 2)
    313.81
    """
    if angle > axis.angle + 1e-9:
        reject("lock_load: angle [rad]", f"{angle:g}", f"<= {axis.angle:g}", "given in degrees?")
    line = unit_vector("lock_load: lock_line [-]", lock_line)
    terms = axis.terms(lock_at)
    arm = float(slope(terms, angle) @ line)
    if abs(arm) < LEAST_ARM * float(np.linalg.norm(position(terms, angle) - axis.point)) or arm == 0:
        cause = "the line of the lock passes through the axis or runs along it"
        reject("lock_load: arm of the lock about the axis [m]", f"{arm:.3g}", "not zero", cause)
    return -np.asarray(moment) / arm
