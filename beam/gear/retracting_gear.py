"""A gear that swings about its pivot axis: its inertia, its actuator's line, and the moments on it.

One degree of freedom, the turn q from extended. A wheel that spins adds no moment about the axis: its
gyroscopic couple is square to it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.gear.circle import distance_terms, slope
from beam.gear.curve import Curve
from beam.gear.pivot_axis import PivotAxis
from materials.checks import Array, array, number, reject

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
    drag_center : array_like, shape (3,), optional
        Where the drag acts with the gear extended; needed with a drag area [m].
    exposure : Curve, optional
        Part of the drag area in the wind over the part of the turn done, 0 extended to 1 stowed; all of
        it if not given.
    pivot_friction : float
        Friction moment of the pivot [N m].

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
    drag_center: Array | None = None
    exposure: Curve | None = None
    pivot_friction: float = 0.0

    def __post_init__(self) -> None:
        mass = array("RetractingGear: mass [kg]", self.mass, last=(-1,))
        if not (mass > 0).all():
            reject("RetractingGear: mass [kg]", mass.tolist(), "> 0")
        object.__setattr__(self, "mass", mass)
        center = array("RetractingGear: center [m]", self.center, last=(len(mass), 3))
        object.__setattr__(self, "center", center)
        for name in ("actuator_on_gear", "actuator_on_airplane"):
            object.__setattr__(
                self, name, array(f"RetractingGear: {name} [m]", getattr(self, name), last=(3,))
            )
        number("RetractingGear: own_inertia [kg m2]", self.own_inertia, at_least=0)
        number("RetractingGear: drag_area [m2]", self.drag_area, at_least=0, at_most=5)
        number("RetractingGear: pivot_friction [N m]", self.pivot_friction, at_least=0)
        if self.drag_area > 0 and self.drag_center is None:
            reject("RetractingGear: drag_center", None, "a point, where there is a drag area")
        at = self.center[0] if self.drag_center is None else self.drag_center
        object.__setattr__(self, "drag_center", array("RetractingGear: drag_center [m]", at, last=(3,)))
        turn = np.linspace(0.0, self.axis.angle, 181)
        arm, least = self.actuator_arm(turn), LEAST_ARM * self.actuator_length(turn)
        if (np.abs(arm) < least).any() or arm.min() * arm.max() < 0:
            at_deg = float(np.degrees(turn[np.argmin(np.abs(arm))]))
            cause = "the line of the actuator passes through the axis: a dead center; move a lug"
            got = f"{np.abs(arm).min():.3g} near {at_deg:.4g} deg"
            reject("RetractingGear: arm of the actuator [m]", got, "of one sign and not zero", cause)

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
        A, B, C = distance_terms(self.axis.terms(self.actuator_on_gear), self.actuator_on_airplane)
        return np.sqrt(A + B * np.cos(angle) + C * np.sin(angle))

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
        _, B, C = distance_terms(self.axis.terms(self.actuator_on_gear), self.actuator_on_airplane)
        return 0.5 * (C * np.cos(angle) - B * np.sin(angle)) / self.actuator_length(angle)

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
        moment = np.tensordot(self.mass, self.axis.terms(self.center), axes=1)
        return -g * slope(moment, angle) @ np.asarray(load_factor, dtype=float)

    def air_moment(self, angle: ArrayLike, dynamic_pressure: float) -> Array:
        """Moment of the drag about the axis, positive toward stowed.

        Parameters
        ----------
        angle : array_like, shape (...)
            Turn from extended [rad].
        dynamic_pressure : float
            rho V**2 / 2 of the air speed [Pa].

        Returns
        -------
        ndarray, shape (...)
            Moment of the drag, which acts aft [N m].
        """
        part = np.asarray(angle, dtype=float) / self.axis.angle
        share = np.ones_like(part) if self.exposure is None else self.exposure(part)
        aft = slope(self.axis.terms(np.asarray(self.drag_center)), angle)[..., 0]
        return dynamic_pressure * self.drag_area * share * aft
