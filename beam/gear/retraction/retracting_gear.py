"""A gear that turns about its pivot axis: inertia, actuator line, and the moments on it.

One degree of freedom, the turn q from extended. The gyroscopic couple of a spinning wheel is square to the axis and
adds no moment about it. A braked wheel adds one, unless its axle is square to the axis.
"""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.gear.parts.curve import Curve
from beam.gear.parts.rotation import slope
from beam.gear.retraction.actuator import DoorRod, check_fraction_of_turn, moment_arm, pin_distance
from beam.gear.retraction.pivot_axis import PivotAxis, Turn, unit_vector
from materials.checks import Array, Frozen, Limits, Numbers, OptionalNumbers, checked, default, number, reject

LEAST_ARM = 1e-3
"""Least moment arm of the actuator over its length: below, it is on its dead center [-]."""

LoadFactor = Annotated[ArrayLike, Limits("-", shape=(3,))]
DynamicPressure = Annotated[float, Limits("Pa", at_least=0.0, at_most=5e4, cause="given as a speed?")]
Sideslip = Annotated[float, Limits("deg", at_least=-45.0, at_most=45.0)]
BrakeTorque = Annotated[float, Limits("N m", at_least=0.0, at_most=1e5)]
AREA = Limits("m2", at_least=0.0, at_most=5.0)


class RetractingGear(Frozen):
    """What turns about the pivot axis, and what acts on it.

    Parameters
    ----------
    axis : PivotAxis
        Pivot axis and turn.
    mass : array_like, shape (part,)
        Masses of the parts [kg].
    center : array_like, shape (part, 3)
        Centers of the parts with the gear extended, airplane axes [m].
    actuator_on_gear : array_like, shape (3,)
        Actuator pin on the gear, with the gear extended [m].
    actuator_on_airplane : array_like, shape (3,)
        Actuator pin on the airplane [m].
    own_inertia : float
        Sum of the inertias of the parts about axes through their own centers, parallel to the pivot axis [kg m2].
    drag_area : float
        Drag coefficient times area of the gear in the wind [m2].
    side_area : float, optional
        Side force over dynamic pressure and sine of the sideslip. The drag area if not given, which lays the
        drag along the wind [m2].
    drag_center : array_like, shape (3,), optional
        Point of the air loads with the gear extended; needed with an area [m].
    exposure : Curve, optional
        Fraction of the areas in the wind over the fraction of the turn done: 0 extended, 1 stowed. All of the
        areas if not given.
    pivot_friction : float
        Friction moment of the pivot [N m].
    wheel_axle : array_like, shape (3,), optional
        Direction of the wheel's axle with the gear extended, either way; needed with a brake [-].
    wheel_inertia : float
        Inertia of the rolling parts about the axle [kg m2].
    door : DoorRod, optional
        Rod to the door.

    Raises
    ------
    ValueError
        If a value is outside its limits or the actuator comes to its dead center within the turn.

    Notes
    -----
    Each moment is a force times the slope of its point's path, dp/dq (virtual work): weight -g sum(m dp/dq . n) with
    the load factors n; air P (A cos(b), S sin(b), 0) . dp/dq with dynamic pressure P, sideslip b, drag area A and side
    area S. A brake of torque T turns the leg with -T (n . e), axle e, axis n. Inertia J = sum(m r^2) + own inertia.

    Examples
    --------
    >>> axis = PivotAxis(point=(0, 0, 0), direction=(-1, 0, 0), angle=1.5)
    >>> gear = RetractingGear(axis=axis, mass=[20], center=[(0, 0, -0.8)], actuator_on_gear=(0, -0.05, -0.25),
    ...                       actuator_on_airplane=(0, -0.5, 0.5))
    >>> round(gear.inertia, 3), gear.weight_moment([0.0, 1.5]).round(1).tolist()
    (12.8, [0.0, -156.5])
    """

    axis: PivotAxis
    mass: Annotated[Numbers, Limits("kg", above=0.0, shape=(-1,))]
    center: Annotated[Numbers, Limits("m", shape=(-1, 3))]
    actuator_on_gear: Annotated[Numbers, Limits("m", shape=(3,))]
    actuator_on_airplane: Annotated[Numbers, Limits("m", shape=(3,))]
    own_inertia: Annotated[float, Limits("kg m2", at_least=0.0, at_most=1e4)] = 0.0
    drag_area: Annotated[float, AREA] = 0.0
    side_area: Annotated[float | None, AREA] = None
    drag_center: Annotated[OptionalNumbers, Limits("m", shape=(3,))] = default(None)
    exposure: Curve | None = None
    pivot_friction: Annotated[float, Limits("N m", at_least=0.0, at_most=1e6)] = 0.0
    wheel_axle: Annotated[OptionalNumbers, Limits("-", shape=(3,))] = default(None)
    wheel_inertia: Annotated[float, Limits("kg m2", at_least=0.0, at_most=100.0)] = 0.0
    door: DoorRod | None = None

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.exposure is not None:
            check_fraction_of_turn("RetractingGear: exposure", self.exposure)
            percent = Limits("-", at_least=0.0, at_most=1.0, cause="given in percent?")
            percent.hold("RetractingGear: exposure [-]", self.exposure.y)
        if not 0 < len(self.mass) == len(self.center):
            got = f"{len(self.mass)} masses and {len(self.center)} centers"
            reject("RetractingGear: mass, center", got, "equally many, at least one")
        far = float(np.linalg.norm(self.center - self.axis.point, axis=-1).max())
        number("RetractingGear: center, from the axis [m]", far, at_most=10, cause="given in mm or inches?")
        if max(self.drag_area, self.broadside) > 0 and self.drag_center is None:
            reject("RetractingGear: drag_center", None, "a point, where there is a drag or side area")
        if self.wheel_axle is not None:
            axle = unit_vector("RetractingGear: wheel_axle [-]", self.wheel_axle)
            if not np.abs(axle[1]) > 0.5:
                cause = "a wheel that rolls on the ground has its axle athwart"
                reject("RetractingGear: wheel_axle [-]", axle.tolist(), "more athwart than not", cause)
            # toward starboard: a wheel that rolls forward then spins about the opposite direction
            axle = np.copysign(1.0, axle[1]) * axle
            axle.setflags(write=False)
            object.__setattr__(self, "wheel_axle", axle)
        self._refuse_dead_center()

    def _refuse_dead_center(self) -> None:
        turn = np.linspace(0.0, self.axis.angle, 181)
        arm, least = self.actuator_arm(turn), LEAST_ARM * self.actuator_length(turn)
        if (np.abs(arm) < least).any() or arm.min() * arm.max() < 0:
            at_deg = float(np.degrees(turn[np.argmin(np.abs(arm))]))
            cause = "the line of the actuator passes through the axis, a dead center: move a pin"
            got = f"{np.abs(arm).min():.3g} near {at_deg:.4g} deg"
            reject("RetractingGear: arm of the actuator [m]", got, "of one sign and not zero", cause)

    @property
    def broadside(self) -> float:
        """Side force over dynamic pressure and sine of the sideslip [m2]."""
        return self.drag_area if self.side_area is None else self.side_area

    @property
    def inertia(self) -> float:
        """Inertia about the axis [kg m2]."""
        out = self.axis.terms(self.center)[:, 1]
        return float(np.sum(self.mass * np.sum(out**2, axis=-1)) + self.own_inertia)

    @checked
    def actuator_length(self, angle: Turn) -> Array:
        """Distance between the pins of the actuator, shape (...) [m].

        Parameters
        ----------
        angle : array_like, shape (...)
            Turn from extended [rad].
        """
        return pin_distance(self.axis, self.actuator_on_gear, self.actuator_on_airplane, angle)

    @checked
    def actuator_arm(self, angle: Turn) -> Array:
        """Moment arm of the actuator about the axis, dL/dq; negative where it retracts by shortening, shape (...) [m].

        Parameters
        ----------
        angle : array_like, shape (...)
            Turn from extended [rad].
        """
        return moment_arm(self.axis, self.actuator_on_gear, self.actuator_on_airplane, angle)

    @checked
    def weight_moment(self, angle: Turn, load_factor: LoadFactor = (0.0, 0.0, 1.0)) -> Array:
        """Moment of weight and airplane acceleration about the axis, positive toward stowed, shape (...) [N m].

        Parameters
        ----------
        angle : array_like, shape (...)
            Turn from extended [rad].
        load_factor : array_like, shape (3,)
            Load factors of the airplane aft, starboard and up; (0, 0, 1) is level flight [-].
        """
        terms = np.tensordot(self.mass, self.axis.terms(self.center), axes=1)
        return np.asarray(-g * slope(terms, angle) @ np.asarray(load_factor))

    @checked
    def air_moment(
        self, angle: Turn, dynamic_pressure: DynamicPressure, sideslip_deg: Sideslip = 0.0
    ) -> Array:
        """Moment of the air about the axis, positive toward stowed, shape (...) [N m].

        Parameters
        ----------
        angle : array_like, shape (...)
            Turn from extended [rad].
        dynamic_pressure : float
            rho V**2 / 2 of the air speed [Pa].
        sideslip_deg : float
            Sideslip, positive with the wind from port, which pushes to starboard [deg].
        """
        q, b = np.asarray(angle), np.radians(sideslip_deg)
        if self.drag_center is None:
            return np.zeros(q.shape)
        fraction = q / self.axis.angle
        exposed = np.ones_like(fraction) if self.exposure is None else self.exposure(fraction)
        aft, starboard, _ = np.moveaxis(slope(self.axis.terms(self.drag_center), q), -1, 0)
        volume = self.drag_area * np.cos(b) * aft + self.broadside * np.sin(b) * starboard
        return np.asarray(dynamic_pressure * exposed * volume)

    @checked
    def brake_moment(self, brake_torque: BrakeTorque) -> float:
        """Moment about the axis of braking a wheel that still rolls forward, positive toward stowed [N m].

        Parameters
        ----------
        brake_torque : float
            Torque of the brake [N m].


        Raises
        ------
        ValueError
            If the wheel's axle or inertia is not known.
        """
        if not brake_torque:
            return 0.0
        if self.wheel_axle is None or not self.wheel_inertia:
            got = f"wheel_axle {self.wheel_axle}, wheel_inertia {self.wheel_inertia:g}"
            reject("RetractingGear: wheel", got, "an axle and an inertia above zero, where there is a brake")
        return float(-brake_torque * self.axis.direction @ self.wheel_axle)

    @checked
    def held_moment(
        self,
        angle: Turn,
        *,
        load_factor: LoadFactor = (0.0, 0.0, 1.0),
        dynamic_pressure: DynamicPressure = 0.0,
        sideslip_deg: Sideslip = 0.0,
        brake_torque: BrakeTorque = 0.0,
    ) -> Array:
        """Moment for lock and actuator at rest without friction, positive toward stowed, shape (...) [N m].

        Parameters
        ----------
        angle : array_like, shape (...)
            Turn from extended [rad].
        load_factor : array_like, shape (3,)
            Load factors of the airplane aft, starboard and up [-].
        dynamic_pressure : float
            rho V**2 / 2 of the air speed [Pa].
        sideslip_deg : float
            Sideslip, positive with the wind from port [deg].
        brake_torque : float
            Torque of the brake on a wheel that still turns [N m].
        """
        moment = self.weight_moment(angle, load_factor)
        moment = moment + self.air_moment(angle, dynamic_pressure, sideslip_deg)
        door = 0.0 if self.door is None else self.door.moment(self.axis, angle)
        return np.asarray(moment + door + self.brake_moment(brake_torque))
