"""The axis about which a gear retracts: from two poses of the wheel, by one rotation.

A rigid body goes from one pose to another by a turn about one axis and a slide along it (a screw). A
hinge allows no slide, so only poses without one can be reached by a hinge.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.checks import direction, vector
from beam.gear.parts.rotation import circle, position
from materials.checks import Array, array, number, reject, whole

SLIDE = 1e-6
"""Largest slide along the axis over the distance between the poses that counts as none [-]."""

LEAST_TURN = 1e-4
"""Least turn that has an axis [rad]."""


@dataclass(frozen=True, kw_only=True, eq=False)
class PivotAxis:
    """A hinge and how far it turns.

    Parameters
    ----------
    point : array_like, shape (3,)
        Point of the axis; from `pivot_axis` the one nearest to the extended wheel [m].
    direction : array_like, shape (3,)
        Direction, about which the turn from extended to stowed is right-handed [-].
    angle : float
        Turn from extended to stowed [rad].

    Raises
    ------
    ValueError
        If the direction is zero or the turn is outside 0 to pi.
    """

    point: Array
    direction: Array
    angle: float

    def __post_init__(self) -> None:
        object.__setattr__(self, "point", vector("PivotAxis: point [m]", self.point))
        object.__setattr__(self, "direction", direction("PivotAxis: direction [-]", self.direction))
        what, cause = "PivotAxis: angle [rad]", "given in degrees?"
        number(what, self.angle, at_least=LEAST_TURN, at_most=np.pi + 1e-9, cause=cause)

    def terms(self, point: ArrayLike) -> Array:
        """Terms of the circle of a point of the gear, see `circle`.

        Parameters
        ----------
        point : array_like, shape (..., 3)
            Where it is with the gear extended [m].

        Returns
        -------
        ndarray, shape (..., 3, 3)
            Rows a, b, c [m].
        """
        return circle(array("PivotAxis.terms: point [m]", point, last=(3,)), self.point, self.direction)

    def at(self, point: ArrayLike, angle: ArrayLike) -> Array:
        """Place of one point of the gear on its swept path.

        Parameters
        ----------
        point : array_like, shape (3,)
            Where it is with the gear extended [m].
        angle : array_like, shape (...)
            Turn from extended [rad].

        Returns
        -------
        ndarray, shape (..., 3)
            Place [m].
        """
        q = array("PivotAxis.at: angle [rad]", angle)
        return position(self.terms(vector("PivotAxis.at: point [m]", point)), q)

    def turned(self, along: ArrayLike, angle: ArrayLike) -> Array:
        """Direction fixed to the gear, such as the wheel's axle, after a turn.

        Parameters
        ----------
        along : array_like, shape (3,)
            Direction with the gear extended [-].
        angle : array_like, shape (...)
            Turn from extended [rad].

        Returns
        -------
        ndarray, shape (..., 3)
            Direction [-].
        """
        q = array("PivotAxis.turned: angle [rad]", angle)
        fixed = vector("PivotAxis.turned: along [-]", along)
        return position(circle(fixed, np.zeros(3), self.direction), q)

    def swept_wheel(
        self,
        center: ArrayLike,
        axle: ArrayLike,
        angle: ArrayLike,
        *,
        radius: float,
        width: float,
        points: int = 36,
    ) -> Array:
        """Edges of the wheel, a cylinder, on the swept path: for clearance to well, doors and spar.

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
            Points around [-].

        Returns
        -------
        ndarray, shape (..., 2, points, 3)
            Both edges at each angle [m].
        """
        middle, along = (
            vector("PivotAxis.swept_wheel: center [m]", center),
            direction("PivotAxis.swept_wheel: axle [-]", axle),
        )
        q = array("PivotAxis.swept_wheel: angle [rad]", angle)[..., np.newaxis, np.newaxis, np.newaxis]
        number("PivotAxis.swept_wheel: radius [m]", radius, above=0, at_most=2, cause="given in mm?")
        number("PivotAxis.swept_wheel: width [m]", width, at_least=0, at_most=2, cause="given in mm?")
        points = whole("PivotAxis.swept_wheel: points [-]", points, at_least=3, at_most=10**6)
        first = np.cross(along, np.eye(3)[np.argmin(np.abs(along))])
        first /= np.linalg.norm(first)
        around = np.linspace(0.0, 2 * np.pi, points, endpoint=False)[:, np.newaxis]
        rim = radius * (np.cos(around) * first + np.sin(around) * np.cross(along, first))
        side = np.array([-0.5, 0.5])[:, np.newaxis, np.newaxis] * width * along
        terms = self.terms(middle + side + rim)
        return np.asarray(terms[..., 0, :] + terms[..., 1, :] * np.cos(q) + terms[..., 2, :] * np.sin(q))


def _checked(name: str, center: ArrayLike, orientation: ArrayLike) -> tuple[Array, Array]:
    p = vector(f"pivot_axis: {name}_center [m]", center)
    R = array(f"pivot_axis: {name}_orientation [-]", orientation, last=(3, 3))
    if R.ndim != 2:
        reject(f"pivot_axis: {name}_orientation [-]", f"shape {R.shape}", "of shape (3, 3)")
    error = float(np.abs(R @ R.T - np.eye(3)).max())
    if error > 1e-6 or np.linalg.det(R) < 0:
        got = f"R R' off from 1 by {error:.2g}, determinant {np.linalg.det(R):.3g}"
        reject(
            f"pivot_axis: {name}_orientation", got, "a right-handed rotation", "columns are the body's axes"
        )
    return p, R


def pivot_axis(
    extended_center: ArrayLike,
    extended_orientation: ArrayLike,
    stowed_center: ArrayLike,
    stowed_orientation: ArrayLike,
) -> PivotAxis:
    """Axis that carries the wheel from one full pose to another by a turn alone.

    Parameters
    ----------
    extended_center, stowed_center : array_like, shape (3,)
        Center of the wheel [m].
    extended_orientation, stowed_orientation : array_like, shape (3, 3)
        Columns: three axes fixed to wheel and leg, in airplane axes [-].

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
    R = R1 R0'; the vector of its antisymmetric part is sin(angle) times the direction n, at half a turn n comes
    from R + 1 = 2 n n'. The slide is n . (p1 - p0); the point nearest to p0 lies at
    (d - (n . d) n + cot(angle / 2) n x d) / 2 from it, with d = p1 - p0.
    """
    p0, R0 = _checked("extended", extended_center, extended_orientation)
    p1, R1 = _checked("stowed", stowed_center, stowed_orientation)
    R, d = R1 @ R0.T, p1 - p0
    vector = 0.5 * np.array([R[2, 1] - R[1, 2], R[0, 2] - R[2, 0], R[1, 0] - R[0, 1]])
    angle = float(np.arctan2(np.linalg.norm(vector), 0.5 * (np.trace(R) - 1)))
    if angle < LEAST_TURN:
        cause = "a wheel that only shifts needs a slide, not a hinge"
        reject("pivot_axis: turn between the poses [rad]", f"{angle:.3g}", f">= {LEAST_TURN:g}", cause)
    # near half a turn the antisymmetric part fades; the symmetric part holds the direction there
    even = 0.5 * (R + R.T) - np.cos(angle) * np.eye(3)
    column = even[:, np.argmax(np.diag(even))]
    n = column / np.linalg.norm(column)
    n = n if n @ vector >= 0 else -n
    return _hinged(p0, d, n, angle)


def wheel_pivot_axis(
    extended_center: ArrayLike, extended_axle: ArrayLike, stowed_center: ArrayLike, stowed_axle: ArrayLike
) -> PivotAxis:
    """Axis that carries a wheel from one place to another when its turn about its own axle does not matter.

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
        If the wheel keeps its place or its axle its direction, or both move along one line, so that no one
        axis follows.

    Notes
    -----
    A turn about n keeps the parts along n of the center and of the axle, so n is square to p1 - p0 and to
    a1 - a0: n = (p1 - p0) x (a1 - a0). No slide is left; the turn is that of the axle about n.
    """
    what = "wheel_pivot_axis"
    p0, p1 = (
        vector(f"{what}: extended_center [m]", extended_center),
        vector(f"{what}: stowed_center [m]", stowed_center),
    )
    a0, a1 = (
        direction(f"{what}: extended_axle [-]", extended_axle),
        direction(f"{what}: stowed_axle [-]", stowed_axle),
    )
    d, swing = p1 - p0, a1 - a0
    n = np.cross(d, swing)
    size = float(np.linalg.norm(d) * np.linalg.norm(swing))
    if np.linalg.norm(n) <= 1e-6 * max(size, 1e-6):
        cause = "the wheel keeps its place, its axle its direction, or many axes would do"
        got = f"moved by {d.tolist()}, axle by {swing.tolist()}"
        reject("wheel_pivot_axis: motion", got, "two motions that are not parallel", cause)
    n = n / np.linalg.norm(n)
    angle = float(np.arctan2(n @ np.cross(a0, a1), a0 @ a1 - (n @ a0) * (n @ a1)))
    return _hinged(p0, d, n, angle) if angle > 0 else _hinged(p0, d, -n, -angle)


def _hinged(p0: Array, d: Array, n: Array, angle: float) -> PivotAxis:
    """Axis of a turn that also moves the center, without a slide."""
    slide, distance = float(n @ d), float(np.linalg.norm(d))
    if abs(slide) > SLIDE * max(distance, 1e-3):
        cause = (
            f"the poses need a screw: shift the stowed wheel by {(-slide * n).round(6).tolist()} or tilt it"
        )
        reject(
            "pivot_axis: slide along the axis [m]", f"{slide:.6g}", f"0 within {SLIDE * distance:.2g}", cause
        )
    flat = d - slide * n
    return PivotAxis(
        point=p0 + 0.5 * (flat + np.cross(n, flat) / np.tan(0.5 * angle)), direction=n, angle=angle
    )
