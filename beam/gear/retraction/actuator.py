"""A rod between the swinging gear and the airplane: an actuator, or the link that drags a door along."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.checks import turn, vector
from beam.gear.parts.curve import Curve
from beam.gear.parts.rotation import distance_terms
from beam.gear.retraction.pivot_axis import PivotAxis
from materials.checks import Array
from materials.kinds import instance
from materials.limits import between


def rod_length(axis: PivotAxis, on_gear: ArrayLike, on_airplane: ArrayLike, angle: ArrayLike) -> Array:
    """Distance between the ends of a rod.

    Parameters
    ----------
    axis : PivotAxis
        Pivot axis of the gear.
    on_gear : array_like, shape (3,)
        End on the gear with the gear extended [m].
    on_airplane : array_like, shape (3,)
        End on the airplane [m].
    angle : array_like, shape (...)
        Turn from extended [rad].

    Returns
    -------
    ndarray, shape (...)
        Length L [m].
    """
    A, B, C = distance_terms(axis.terms(on_gear), on_airplane)
    return np.sqrt(A + B * np.cos(angle) + C * np.sin(angle))


def rod_arm(axis: PivotAxis, on_gear: ArrayLike, on_airplane: ArrayLike, angle: ArrayLike) -> Array:
    """Arm of a rod about the axis: a rod that pushes its ends apart with F turns the gear with F times it.

    Parameters
    ----------
    axis : PivotAxis
        Pivot axis of the gear.
    on_gear : array_like, shape (3,)
        End on the gear with the gear extended [m].
    on_airplane : array_like, shape (3,)
        End on the airplane [m].
    angle : array_like, shape (...)
        Turn from extended [rad].

    Returns
    -------
    ndarray, shape (...)
        Arm dL/dq, positive where the rod lengthens toward stowed [m].
    """
    _, B, C = distance_terms(axis.terms(on_gear), on_airplane)
    arm = 0.5 * (C * np.cos(angle) - B * np.sin(angle))
    return np.asarray(arm / rod_length(axis, on_gear, on_airplane, angle))


def over_turn(what: str, curve: Curve) -> None:
    """Stop if a curve is not over the part of the turn done.

    Parameters
    ----------
    what : str
        Name for the message.
    curve : Curve
        The curve; beyond its points it holds its end values.

    Raises
    ------
    ValueError
        If its abscissas are outside 0 to 1.
    """
    between(f"{what}, part of the turn done [-]", curve.x, 0.0, 1.0, "given over degrees or percent?")


@dataclass(frozen=True, kw_only=True, eq=False)
class DoorRod:
    """The rod through which the gear drags its door along.

    Parameters
    ----------
    on_gear : array_like, shape (3,)
        End on the gear with the gear extended [m].
    on_airplane : array_like, shape (3,)
        End on the door's horn or bell crank, taken as a fixed point [m].
    force : Curve
        Force in the rod in N, positive when it pushes its ends apart, over the part of the turn done, 0
        extended to 1 stowed.

    Raises
    ------
    ValueError
        If a point is not three numbers, or the force is no curve over 0 to 1.
    """

    on_gear: Array
    on_airplane: Array
    force: Curve

    def __post_init__(self) -> None:
        for name in ("on_gear", "on_airplane"):
            object.__setattr__(self, name, vector(f"DoorRod: {name} [m]", getattr(self, name)))
        over_turn("DoorRod: force", instance("DoorRod: force", self.force, Curve))

    def moment(self, axis: PivotAxis, angle: ArrayLike) -> Array:
        """Moment of the rod on the gear about the axis, positive toward stowed.

        Parameters
        ----------
        axis : PivotAxis
            Pivot axis of the gear.
        angle : array_like, shape (...)
            Turn from extended [rad].

        Returns
        -------
        ndarray, shape (...)
            Moment [N m].
        """
        instance("DoorRod.moment: axis", axis, PivotAxis)
        q = turn("DoorRod.moment: angle [rad]", angle)
        return self.force(q / axis.angle) * rod_arm(axis, self.on_gear, self.on_airplane, q)
