"""The axis about which a gear retracts, found from two poses of the wheel."""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.parts.rotation import circle, position
from materials.checks import Array, Frozen, Limits, Numbers, array, checked, reject

SLIDE = 1e-6
"""Largest slide along the axis that counts as none, over the distance between the poses [-]."""

LEAST_TURN = 1e-4
"""Least turn that has an axis [rad]."""

Point = Annotated[ArrayLike, Limits("m", shape=(3,))]
Direction = Annotated[ArrayLike, Limits("-", shape=(3,))]
Rotation = Annotated[ArrayLike, Limits("-", shape=(3, 3))]
Turn = Annotated[ArrayLike, Limits("rad", at_least=-2 * np.pi, at_most=2 * np.pi, cause="given in degrees?")]
WheelSize = Limits("m", above=0.0, at_most=2.0, cause="given in mm?")


def unit_vector(what: str, value: ArrayLike) -> Array:
    """Scale a vector, shape (3,), to length 1; refuse a zero vector."""
    vector = np.asarray(value)
    length = float(np.linalg.norm(vector))
    if not length > 0:
        reject(what, vector.tolist(), "a direction, not zero")
    return array(what, vector / length)


class PivotAxis(Frozen):
    """A hinge axis and the turn of the gear about it.

    Parameters
    ----------
    point : array_like, shape (3,)
        A point of the axis, airplane axes; `pivot_axis` gives the one nearest to the extended wheel [m].
    direction : array_like, shape (3,)
        Direction of the axis, of any length; the turn from extended to stowed is right-handed about it [-].
    angle : float
        Turn from extended to stowed, at most pi [rad].

    Raises
    ------
    ValueError
        If the direction is zero or a number is outside its limits.

    Notes
    -----
    A point p of the gear moves on a circle (Rodrigues): with d from `point` to p and the unit vector n along the
    axis, p(q) = point + (n . d) n + (d - (n . d) n) cos q + (n x d) sin q.

    Examples
    --------
    A leg that hangs from a hinge along the fuselage folds inboard:

    >>> axis = PivotAxis(point=(0, 0, 0), direction=(-1, 0, 0), angle=np.pi / 2)
    >>> (axis.at((0, 0, -0.8), [0, np.pi / 2]).round(6) + 0.0).tolist()
    [[0.0, 0.0, -0.8], [0.0, -0.8, 0.0]]
    """

    point: Annotated[Numbers, Limits("m", shape=(3,))]
    direction: Annotated[Numbers, Limits("-", shape=(3,))]
    angle: Annotated[
        float, Limits("rad", at_least=LEAST_TURN, at_most=np.pi + 1e-9, cause="given in degrees?")
    ]

    def __post_init__(self) -> None:
        super().__post_init__()
        object.__setattr__(self, "direction", unit_vector("PivotAxis: direction [-]", self.direction))

    @checked
    def terms(self, point: Annotated[ArrayLike, Limits("m", last=(3,))]) -> Array:
        """Terms a, b, c of the path a + b cos q + c sin q of points of the gear, shape (..., 3, 3) [m].

        Parameters
        ----------
        point : array_like, shape (..., 3)
            Points, with the gear extended [m].
        """
        return circle(point, self.point, self.direction)

    @checked
    def at(self, point: Point, angle: Turn) -> Array:
        """Path of one point of the gear, shape (..., 3) [m].

        Parameters
        ----------
        point : array_like, shape (3,)
            The point, with the gear extended [m].
        angle : array_like, shape (...)
            Turn from extended [rad].
        """
        return position(self.terms(point), angle)

    @checked
    def turned(self, along: Direction, angle: Turn) -> Array:
        """Direction fixed to the gear, such as the wheel's axle, after a turn, shape (..., 3) [-].

        Parameters
        ----------
        along : array_like, shape (3,)
            Direction with the gear extended [-].
        angle : array_like, shape (...)
            Turn from extended [rad].
        """
        return position(circle(along, np.zeros(3), self.direction), angle)

    @checked
    def swept_wheel(
        self,
        center: Point,
        axle: Direction,
        angle: Turn,
        *,
        radius: Annotated[float, WheelSize],
        width: Annotated[float, Limits("m", at_least=0.0, at_most=2.0, cause="given in mm?")],
        points: Annotated[int, Limits("-", at_least=3, at_most=10**6)] = 36,
    ) -> Array:
        """Both edges of the wheel, a cylinder, along its path, shape (..., 2, points, 3) [m].

        Parameters
        ----------
        center : array_like, shape (3,)
            Center of the wheel, extended [m].
        axle : array_like, shape (3,)
            Direction of its axle, extended [-].
        angle : array_like, shape (...)
            Turn from extended [rad].
        radius : float
            Outside radius of the tire; the largest expected in service [m].
        width : float
            Width of the tire [m].
        points : int
            Points on each edge [-].
        """
        along = unit_vector("PivotAxis.swept_wheel: axle [-]", axle)
        q = np.asarray(angle)[..., np.newaxis, np.newaxis, np.newaxis]
        first = np.cross(along, np.eye(3)[np.argmin(np.abs(along))])
        first /= np.linalg.norm(first)
        around = np.linspace(0.0, 2 * np.pi, points, endpoint=False)[:, np.newaxis]
        rim = radius * (np.cos(around) * first + np.sin(around) * np.cross(along, first))
        side = np.array([-0.5, 0.5])[:, np.newaxis, np.newaxis] * width * along
        terms = self.terms(np.asarray(center) + side + rim)
        return np.asarray(terms[..., 0, :] + terms[..., 1, :] * np.cos(q) + terms[..., 2, :] * np.sin(q))


@checked
def pivot_axis(
    extended_center: Point,
    extended_orientation: Rotation,
    stowed_center: Point,
    stowed_orientation: Rotation,
) -> PivotAxis:
    """Axis that carries the wheel from one full pose to another by a turn alone.

    Parameters
    ----------
    extended_center, stowed_center : array_like, shape (3,)
        Center of the wheel [m].
    extended_orientation, stowed_orientation : array_like, shape (3, 3)
        Rotation matrix; its columns are three axes fixed to wheel and leg, in airplane axes [-].

    Returns
    -------
    PivotAxis
        Axis and turn.

    Raises
    ------
    ValueError
        If the poses also need a slide along the axis, or no turn at all.

    Notes
    -----
    A rigid body goes from one pose to another by a turn R = R1 R0' about one axis n and a slide along it (Chasles).
    The antisymmetric part of R is the vector sin(angle) n. Near half a turn it fades; there n comes from the
    symmetric part, (R + R') / 2 - cos(angle) 1 = (1 - cos(angle)) n n'. The slide is n . d with d = p1 - p0; a hinge
    allows none. The point of the axis nearest to p0 is p0 + (d - (n . d) n + cot(angle / 2) n x d) / 2.

    Examples
    --------
    >>> quarter = [[1, 0, 0], [0, 0, 1], [0, -1, 0]]
    >>> axis = pivot_axis((0, 0, -1), np.eye(3), (0, -1, 0), quarter)
    >>> (axis.direction + 0.0).round(6).tolist(), round(axis.angle, 4)
    ([-1.0, 0.0, 0.0], 1.5708)
    """
    p0, p1 = np.asarray(extended_center), np.asarray(stowed_center)
    R0 = _rotation("extended_orientation", np.asarray(extended_orientation))
    R = _rotation("stowed_orientation", np.asarray(stowed_orientation)) @ R0.T
    vector = 0.5 * np.array([R[2, 1] - R[1, 2], R[0, 2] - R[2, 0], R[1, 0] - R[0, 1]])
    angle = float(np.arctan2(np.linalg.norm(vector), 0.5 * (np.trace(R) - 1)))
    if angle < LEAST_TURN:
        cause = "a wheel that only shifts needs a slide, not a hinge"
        reject("pivot_axis: turn between the poses [rad]", f"{angle:.3g}", f">= {LEAST_TURN:g}", cause)
    even = 0.5 * (R + R.T) - np.cos(angle) * np.eye(3)
    column = even[:, np.argmax(np.diag(even))]
    n = column / np.linalg.norm(column)
    return _hinge(p0, p1 - p0, n if n @ vector >= 0 else -n, angle)


@checked
def wheel_pivot_axis(
    extended_center: Point, extended_axle: Direction, stowed_center: Point, stowed_axle: Direction
) -> PivotAxis:
    """Axis that carries a wheel from one place to another, its turn about its own axle left free.

    Parameters
    ----------
    extended_center, stowed_center : array_like, shape (3,)
        Center of the wheel [m].
    extended_axle, stowed_axle : array_like, shape (3,)
        Direction of the axle toward the same face of the wheel, such as outboard of the extended wheel [-].

    Returns
    -------
    PivotAxis
        Axis and turn.

    Raises
    ------
    ValueError
        If the center or the axle does not move, or both move along one line: then no single axis follows.

    Notes
    -----
    A turn about n keeps the parts along n of center p and axle a, so n is square to both changes:
    n = (p1 - p0) x (a1 - a0). This leaves no slide. The turn is that of the axle about n.

    Examples
    --------
    A leg of 1 m folds inboard until the wheel lies flat in the wing:

    >>> axis = wheel_pivot_axis((0, 0, -1), (0, 1, 0), (0, -1, 0), (0, 0, -1))
    >>> (axis.direction + 0.0).tolist(), round(axis.angle, 4)
    ([-1.0, 0.0, 0.0], 1.5708)
    """
    p0, p1 = np.asarray(extended_center), np.asarray(stowed_center)
    a0 = unit_vector("wheel_pivot_axis: extended_axle [-]", extended_axle)
    a1 = unit_vector("wheel_pivot_axis: stowed_axle [-]", stowed_axle)
    d, change = p1 - p0, a1 - a0
    n = np.cross(d, change)
    size = float(np.linalg.norm(d) * np.linalg.norm(change))
    if np.linalg.norm(n) <= 1e-6 * max(size, 1e-6):
        cause = "the wheel keeps its place, its axle its direction, or many axes would do"
        got = f"moved by {d.tolist()}, axle by {change.tolist()}"
        reject("wheel_pivot_axis: motion", got, "two motions that are not parallel", cause)
    n = n / np.linalg.norm(n)
    angle = float(np.arctan2(n @ np.cross(a0, a1), a0 @ a1 - (n @ a0) * (n @ a1)))
    return _hinge(p0, d, np.copysign(1.0, angle) * n, abs(angle))


def _rotation(name: str, R: Array) -> Array:
    """Refuse a matrix, shape (3, 3), that is no right-handed rotation."""
    error = float(np.abs(R @ R.T - np.eye(3)).max())
    if error > 1e-6 or np.linalg.det(R) < 0:
        got = f"R R' off from 1 by {error:.2g}, determinant {np.linalg.det(R):.3g}"
        reject(f"pivot_axis: {name}", got, "a right-handed rotation", "columns are the body's axes")
    return R


def _hinge(p0: Array, d: Array, n: Array, angle: float) -> PivotAxis:
    """Axis of a turn about n that moves the center p0 by d; refuse a slide along n."""
    slide, most = float(n @ d), SLIDE * max(float(np.linalg.norm(d)), 1e-3)
    if abs(slide) > most:
        shift = (-slide * n).round(6).tolist()
        cause = f"no hinge does this: shift the stowed wheel by {shift} or tilt it"
        reject("pivot_axis: slide along the axis [m]", f"{slide:.6g}", f"0 within {most:.2g}", cause)
    flat = d - slide * n
    return PivotAxis(
        point=p0 + 0.5 * (flat + np.cross(n, flat) / np.tan(0.5 * angle)), direction=n, angle=angle
    )
