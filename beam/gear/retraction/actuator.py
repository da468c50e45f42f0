"""Two-force members between the swinging gear and the airplane: the actuator and the rod of a door."""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.parts.curve import Curve
from beam.gear.parts.rotation import distance_terms
from beam.gear.retraction.pivot_axis import PivotAxis, Turn
from materials.checks import Array, Frozen, Limits, Numbers, checked

FRACTION = Limits("-", at_least=0.0, at_most=1.0, cause="given over degrees or percent?")


def pin_distance(axis: PivotAxis, on_gear: Array, on_airplane: Array, angle: ArrayLike) -> Array:
    """Distance [m] between the pins of a rod, shape (3,) each, at turns of the gear, shape (...)."""
    A, B, C = distance_terms(axis.terms(on_gear), on_airplane)
    return np.sqrt(A + B * np.cos(angle) + C * np.sin(angle))


def moment_arm(axis: PivotAxis, on_gear: Array, on_airplane: Array, angle: ArrayLike) -> Array:
    """Moment about the axis of a unit push in the rod, d(pin distance)/d(angle) [m], shape (...)."""
    _, B, C = distance_terms(axis.terms(on_gear), on_airplane)
    rate = 0.5 * (C * np.cos(angle) - B * np.sin(angle))
    return np.asarray(rate / pin_distance(axis, on_gear, on_airplane, angle))


def check_fraction_of_turn(what: str, curve: Curve) -> None:
    """Refuse a curve whose abscissas are not fractions of the turn: beyond its points it keeps its end values."""
    FRACTION.hold(f"{what}, fraction of the turn [-]", curve.x)


class DoorRod(Frozen):
    """The rod through which the gear pulls its door along.

    Parameters
    ----------
    on_gear : array_like, shape (3,)
        Pin on the gear, with the gear extended [m].
    on_airplane : array_like, shape (3,)
        Pin on the horn or bell crank of the door, taken as a fixed point [m].
    force : Curve
        Force in the rod in N, positive in compression, over the fraction of the turn done: 0 extended, 1 stowed.

    Raises
    ------
    ValueError
        If the curve is not over 0 to 1.

    Examples
    --------
    >>> from beam.gear import Curve
    >>> axis = PivotAxis(point=(0, 0, 0), direction=(-1, 0, 0), angle=1.5)
    >>> rod = DoorRod(on_gear=(0, 0.1, -0.3), on_airplane=(0, 0.5, -0.1), force=Curve(x=[0, 1], y=[0, 400]))
    >>> rod.moment(axis, [0.0, 0.75, 1.5]).round(2).tolist()
    [0.0, 47.67, 45.28]
    """

    on_gear: Annotated[Numbers, Limits("m", shape=(3,))]
    on_airplane: Annotated[Numbers, Limits("m", shape=(3,))]
    force: Curve

    def __post_init__(self) -> None:
        super().__post_init__()
        check_fraction_of_turn("DoorRod: force", self.force)

    @checked
    def moment(self, axis: PivotAxis, angle: Turn) -> Array:
        """Moment of the rod on the gear about the axis, positive toward stowed, shape (...) [N m].

        Parameters
        ----------
        axis : PivotAxis
            Pivot axis of the gear.
        angle : array_like, shape (...)
            Turn from extended [rad].
        """
        q = np.asarray(angle)
        return self.force(q / axis.angle) * moment_arm(axis, self.on_gear, self.on_airplane, q)
