"""A gear that swings about its pivot axis: its inertia, its actuator's line, and the moments on it.

One degree of freedom, the turn q from extended. A wheel that spins adds no moment about the axis, since its
gyroscopic couple is square to it; a wheel that is braked does, unless its axle is square to the axis.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.gear.checks import direction, turn, vector
from beam.gear.parts.curve import Curve
from beam.gear.parts.rotation import slope
from beam.gear.retraction.actuator import DoorRod, over_turn, rod_arm, rod_length
from beam.gear.retraction.pivot_axis import PivotAxis
from materials.checks import Array, array, number, reject
from materials.kinds import instance
from materials.limits import between

LEAST_ARM = 1e-3
"""Least arm of the actuator over its length: below, it is on its dead center [-]."""


@dataclass(frozen=True, kw_only=True, eq=False)
class RetractingGear:
    """What swings.

    Parameters
    ----------
    axis : PivotAxis
        Pivot axis and turn.
    mass : array_like, shape (part,)
        Masses of the parts [kg].
    center : array_like, shape (part, 3)
        Their centers with the gear extended, airplane axes [m].
    own_inertia : float
        Inertia of the parts about axes through their own centers, parallel to the pivot axis, in sum [kg m2].
    actuator_on_gear : array_like, shape (3,)
        Lug on the gear with the gear extended [m].
    actuator_on_airplane : array_like, shape (3,)
        Lug on the airplane [m].
    drag_area : float
        Drag coefficient times area of the gear in the wind [m2].
    side_area : float, optional
        Side force over dynamic pressure and sine of the sideslip; as the drag area if not given, which lays the
        drag along the wind [m2].
    drag_center : array_like, shape (3,), optional
        Where the air loads act with the gear extended; needed with an area [m].
    exposure : Curve, optional
        Part of the areas in the wind over the part of the turn done, 0 extended to 1 stowed; all of
        them if not given.
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
    """

    axis: PivotAxis
    mass: Array
    center: Array
    actuator_on_gear: Array
    actuator_on_airplane: Array
    own_inertia: float = 0.0
    drag_area: float = 0.0
    side_area: float | None = None
    drag_center: Array | None = None
    exposure: Curve | None = None
    pivot_friction: float = 0.0
    wheel_axle: Array | None = None
    wheel_inertia: float = 0.0
    door: DoorRod | None = None

    def __post_init__(self) -> None:
        instance("RetractingGear: axis", self.axis, PivotAxis)
        for name, kind in (("exposure", Curve), ("door", DoorRod)):
            if getattr(self, name) is not None:
                instance(f"RetractingGear: {name}", getattr(self, name), kind)
        if self.exposure is not None:
            over_turn("RetractingGear: exposure", self.exposure)
            between("RetractingGear: exposure [-]", self.exposure.y, 0.0, 1.0, "given in percent?")
        mass = array("RetractingGear: mass [kg]", self.mass, last=(-1,))
        if mass.ndim != 1 or not len(mass) or not (mass > 0).all():
            reject("RetractingGear: mass [kg]", mass.tolist(), "one row of numbers > 0")
        object.__setattr__(self, "mass", mass)
        center = array("RetractingGear: center [m]", self.center, last=(len(mass), 3))
        if center.ndim != 2:
            reject("RetractingGear: center [m]", f"shape {center.shape}", f"of shape ({len(mass)}, 3)")
        object.__setattr__(self, "center", center)
        far = float(np.linalg.norm(center - self.axis.point, axis=-1).max())
        number("RetractingGear: center, from the axis [m]", far, at_most=10, cause="given in mm or inches?")
        for name in ("actuator_on_gear", "actuator_on_airplane"):
            point = vector(f"RetractingGear: {name} [m]", getattr(self, name))
            object.__setattr__(self, name, point)
        number("RetractingGear: own_inertia [kg m2]", self.own_inertia, at_least=0, at_most=1e4)
        number("RetractingGear: drag_area [m2]", self.drag_area, at_least=0, at_most=5)
        number("RetractingGear: side_area [m2]", self.broadside, at_least=0, at_most=5)
        number("RetractingGear: pivot_friction [N m]", self.pivot_friction, at_least=0, at_most=1e6)
        number("RetractingGear: wheel_inertia [kg m2]", self.wheel_inertia, at_least=0, at_most=100)
        if max(self.drag_area, self.broadside) > 0 and self.drag_center is None:
            reject("RetractingGear: drag_center", None, "a point, where there is a drag or side area")
        at = self.center[0] if self.drag_center is None else self.drag_center
        object.__setattr__(self, "drag_center", vector("RetractingGear: drag_center [m]", at))
        if self.wheel_axle is not None:
            self._point_to_starboard(direction("RetractingGear: wheel_axle [-]", self.wheel_axle))
        self._check_arm()

    def _point_to_starboard(self, axle: Array) -> None:
        """Turn the axle's direction to starboard: a wheel that rolls forward then spins about its opposite."""
        if not np.abs(axle[1]) > 0.5:
            cause = "a wheel that rolls on the ground has its axle athwart"
            reject("RetractingGear: wheel_axle [-]", axle.tolist(), "more athwart than not", cause)
        object.__setattr__(self, "wheel_axle", array("wheel_axle", np.copysign(1.0, axle[1]) * axle))

    def _check_arm(self) -> None:
        turn = np.linspace(0.0, self.axis.angle, 181)
        arm, least = self.actuator_arm(turn), LEAST_ARM * self.actuator_length(turn)
        if (np.abs(arm) < least).any() or arm.min() * arm.max() < 0:
            at_deg = float(np.degrees(turn[np.argmin(np.abs(arm))]))
            cause = "the line of the actuator passes through the axis: a dead center; move a lug"
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

    def actuator_length(self, angle: ArrayLike) -> Array:
        """Distance between the actuator's lugs.

        Parameters
        ----------
        angle : array_like, shape (...)
            Turn from extended [rad].

        Returns
        -------
        ndarray, shape (...)
            Length [m].
        """
        q = turn("RetractingGear.actuator_length: angle [rad]", angle)
        return rod_length(self.axis, self.actuator_on_gear, self.actuator_on_airplane, q)

    def actuator_arm(self, angle: ArrayLike) -> Array:
        """Arm of the actuator about the axis, dL/dq: negative where it pulls the gear up by shortening.

        Parameters
        ----------
        angle : array_like, shape (...)
            Turn from extended [rad].

        Returns
        -------
        ndarray, shape (...)
            Arm [m].
        """
        q = turn("RetractingGear.actuator_arm: angle [rad]", angle)
        return rod_arm(self.axis, self.actuator_on_gear, self.actuator_on_airplane, q)

    def weight_moment(self, angle: ArrayLike, load_factor: ArrayLike = (0.0, 0.0, 1.0)) -> Array:
        """Moment of weight and airplane acceleration about the axis, positive toward stowed.

        Parameters
        ----------
        angle : array_like, shape (...)
            Turn from extended [rad].
        load_factor : array_like, shape (3,)
            Load factors of the airplane aft, starboard and up; (0, 0, 1) is level flight [-].

        Returns
        -------
        ndarray, shape (...)
            Moment [N m].
        """
        q = turn("RetractingGear.weight_moment: angle [rad]", angle)
        n = vector("RetractingGear.weight_moment: load_factor [-]", load_factor)
        moment = np.tensordot(self.mass, self.axis.terms(self.center), axes=1)
        return np.asarray(-g * slope(moment, q) @ n)

    def air_moment(self, angle: ArrayLike, dynamic_pressure: float, sideslip_deg: float = 0.0) -> Array:
        """Moment of the air about the axis, positive toward stowed.

        Parameters
        ----------
        angle : array_like, shape (...)
            Turn from extended [rad].
        dynamic_pressure : float
            rho V**2 / 2 of the air speed [Pa].
        sideslip_deg : float
            Sideslip, positive with the wind from port, which pushes to starboard [deg].

        Returns
        -------
        ndarray, shape (...)
            Moment of drag, which acts aft, and side force [N m].

        Notes
        -----
        Aft p A cos(b), to starboard p S sin(b), with the drag area A and the side area S.
        """
        q = turn("RetractingGear.air_moment: angle [rad]", angle)
        what, cause = "RetractingGear.air_moment: dynamic_pressure [Pa]", "given as a speed?"
        number(what, dynamic_pressure, at_least=0, at_most=5e4, cause=cause)
        what = "RetractingGear.air_moment: sideslip_deg [deg]"
        slip = np.radians(number(what, sideslip_deg, at_least=-45, at_most=45))
        part = q / self.axis.angle
        share = np.ones_like(part) if self.exposure is None else self.exposure(part)
        aft, starboard, _ = np.moveaxis(slope(self.axis.terms(np.asarray(self.drag_center)), q), -1, 0)
        area = self.drag_area * np.cos(slip) * aft + self.broadside * np.sin(slip) * starboard
        return np.asarray(dynamic_pressure * share * area)

    def brake_moment(self, brake_torque: float) -> float:
        """Moment about the axis of braking a wheel that still rolls forward, positive toward stowed.

        Parameters
        ----------
        brake_torque : float
            Torque of the brake [N m].

        Returns
        -------
        float
            Moment, the same at every turn, for axle and axis keep their angle [N m].

        Raises
        ------
        ValueError
            If the torque is negative, or the wheel's axle or inertia is not known.

        Notes
        -----
        A wheel that rolls forward spins about its axle to port, -e; the brake turns it about e and the leg about
        -e, so the moment about the axis n is -T (n . e).
        """
        number("RetractingGear.brake_moment: brake_torque [N m]", brake_torque, at_least=0, at_most=1e5)
        if not brake_torque:
            return 0.0
        if self.wheel_axle is None or not self.wheel_inertia:
            got = f"wheel_axle {self.wheel_axle}, wheel_inertia {self.wheel_inertia:g}"
            reject("RetractingGear: wheel", got, "an axle and an inertia above zero, where there is a brake")
        return float(-brake_torque * self.axis.direction @ self.wheel_axle)

    def held_moment(
        self,
        angle: ArrayLike,
        *,
        load_factor: ArrayLike = (0.0, 0.0, 1.0),
        dynamic_pressure: float = 0.0,
        sideslip_deg: float = 0.0,
        brake_torque: float = 0.0,
    ) -> Array:
        """Moment that lock and actuator have to hold at rest, positive toward stowed; friction is left out.

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

        Returns
        -------
        ndarray, shape (...)
            Weight, air, brake and door in sum, for `lock_load` [N m].
        """
        moment = self.weight_moment(angle, load_factor)
        moment = moment + self.air_moment(angle, dynamic_pressure, sideslip_deg)
        door = 0.0 if self.door is None else self.door.moment(self.axis, angle)
        return np.asarray(moment + door + self.brake_moment(brake_torque))
