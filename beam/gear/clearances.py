"""Clearances of the gear: the stowed wheel in its bay, the wheel on its way there, the deflected strut."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import minimize_scalar

from beam.gear.retraction.pivot_axis import (
    Direction,
    PivotAxis,
    Point,
    Rotation,
    Turn,
    WheelSize,
    unit_vector,
)
from materials.checks import Array, Limits, checked, common_shape, reject

if TYPE_CHECKING:
    from pandas import DataFrame

WAYS = 181
"""Turns at which a wheel on its way is looked at before the least distance is refined."""

_WheelRadius = Annotated[float, WheelSize]
_WheelWidth = Annotated[float, Limits("m", at_least=0.0, at_most=2.0, cause="given in mm?")]
_Points = Annotated[
    ArrayLike, Limits("m", shape=(-1, 3), at_least=-100.0, at_most=100.0, cause="given in mm?")
]
_Required = Annotated[float, Limits("m", at_least=0.0, at_most=1.0, cause="given in mm?")]


@checked
def wheel_extent(
    along: Annotated[ArrayLike, Limits("-", last=(3,))],
    axle: Annotated[ArrayLike, Limits("-", last=(3,))],
    *,
    radius: _WheelRadius,
    width: _WheelWidth,
) -> Array:
    """Return how far a wheel, a cylinder, reaches from its center along a direction.

    Parameters
    ----------
    along : array_like, shape (..., 3)
        Directions, of any length [-].
    axle : array_like, shape (..., 3)
        Direction of the axle, of any length [-].
    radius : float
        Outside radius of the tire; the largest expected in service, 23.733(c) [m].
    width : float
        Width of the tire [m].

    Returns
    -------
    ndarray, shape (...)
        Reach, the same both ways [m].

    Raises
    ------
    ValueError
        If a direction is zero.

    Notes
    -----
    Support of a cylinder: w/2 |n . e| + r sqrt(1 - (n . e)^2), with the unit vectors n along and e of the axle.

    Examples
    --------
    >>> wheel_extent([[0, 0, 1], [0, 1, 0]], [0, 1, 0], radius=0.2, width=0.1)
    array([0.2 , 0.05])
    """
    n, e = np.asarray(along), np.asarray(axle)
    common_shape("wheel_extent: along, axle, leading", n.shape[:-1], e.shape[:-1])
    sizes = np.linalg.norm(n, axis=-1) * np.linalg.norm(e, axis=-1)
    if not (sizes > 0).all():
        reject("wheel_extent: along, axle [-]", "a zero vector", "directions")
    cosine = np.clip(np.abs(np.sum(n * e, axis=-1)) / sizes, 0.0, 1.0)
    return np.asarray(0.5 * width * cosine + radius * np.sqrt(1 - cosine**2))


@checked
def bay_clearances(
    axis: PivotAxis,
    center: Point,
    axle: Direction,
    *,
    radius: _WheelRadius,
    width: _WheelWidth,
    lower: Point,
    upper: Point,
    orientation: Rotation | None = None,
    angle: Turn | None = None,
    required: _Required = 0.0,
) -> "DataFrame":
    """Return the clearances of the wheel in its bay, a box, stowed or at any turn.

    Parameters
    ----------
    axis : PivotAxis
        Pivot axis and turn, such as `RetractingGear.axis`.
    center : array_like, shape (3,)
        Center of the wheel, extended [m].
    axle : array_like, shape (3,)
        Direction of its axle, extended [-].
    radius : float
        Outside radius of the tire; the largest expected in service, 23.733(c) [m].
    width : float
        Width of the tire, the largest expected in service [m].
    lower, upper : array_like, shape (3,)
        Two opposite corners of the bay, on its own axes [m].
    orientation : array_like, shape (3, 3), optional
        Rotation matrix whose columns are the axes of the bay in airplane axes; those of the airplane if not given [-].
    angle : array_like, shape (...), optional
        Turns from extended; stowed if not given [rad].
    required : float
        Clearance asked for [m].

    Returns
    -------
    DataFrame
        One row for each turn and face of the box: turn [rad], face ("lower x" to "upper z"), clearance [m], required
        [m], met. A clearance below 0 says how far the wheel stands through the face. On its way in, the wheel passes
        the open face.

    Raises
    ------
    ValueError
        If a lower limit is not below the upper one, or the orientation is no rotation.

    Notes
    -----
    Clearance to a face with the outward normal n: face - (c . n + `wheel_extent`), exact for a cylinder.
    Tires grow in service by about 4 % of width and up to 10 % of height (common practice, no source).
    Source: 14 CFR 23.733(c).

    Examples
    --------
    >>> axis = PivotAxis(point=(0, 0, 0), direction=(-1, 0, 0), angle=np.pi / 2)
    >>> table = bay_clearances(axis, (0, 0, -0.8), (0, 1, 0), radius=0.2, width=0.12, lower=(-0.22, -1.02, -0.08),
    ...                        upper=(0.22, -0.5, 0.07), required=0.015)
    >>> table["clearance [m]"].round(3).tolist(), table["met"].all()
    ([0.02, 0.02, 0.02, 0.1, 0.02, 0.01], np.False_)
    """
    from pandas import DataFrame

    low, high = np.asarray(lower), np.asarray(upper)
    if not (low < high).all():
        got = f"{low.tolist()} and {high.tolist()}"
        reject("bay_clearances: lower, upper [m]", got, "lower below upper on every axis", "swapped?")
    box = np.eye(3) if orientation is None else np.asarray(orientation)
    if np.abs(box @ box.T - np.eye(3)).max() > 1e-6 or np.linalg.det(box) < 0:
        reject("bay_clearances: orientation [-]", box.tolist(), "a right-handed rotation")
    turns = np.ravel(axis.angle if angle is None else angle)
    middle, along = axis.at(center, turns) @ box, axis.turned(axle, turns) @ box
    reach = wheel_extent(np.eye(3), along[:, None, :], radius=radius, width=width)
    free = np.stack([middle - reach - low, high - middle - reach], axis=-1)  # (turn, axis, face)
    clearance = free.ravel()
    return DataFrame(
        {
            "turn [rad]": np.repeat(turns, 6),
            "face": [f"{end} {name}" for name in "xyz" for end in ("lower", "upper")] * len(turns),
            "clearance [m]": clearance,
            "required [m]": required,
            "met": clearance >= required,
        }
    )


@checked
def sweep_clearances(
    axis: PivotAxis,
    center: Point,
    axle: Direction,
    points: _Points,
    *,
    radius: _WheelRadius,
    width: _WheelWidth,
    names: Sequence[str] | None = None,
    required: _Required = 0.0,
) -> "DataFrame":
    """Return the least distance of points of the airframe from the wheel on its way from extended to stowed.

    Parameters
    ----------
    axis : PivotAxis
        Pivot axis and turn, such as `RetractingGear.axis`.
    center : array_like, shape (3,)
        Center of the wheel, extended [m].
    axle : array_like, shape (3,)
        Direction of its axle, extended [-].
    points : array_like, shape (point, 3)
        Points of the airframe, airplane axes [m].
    radius : float
        Outside radius of the tire; the largest expected in service, 23.733(c) [m].
    width : float
        Width of the tire, the largest expected in service [m].
    names : sequence of str, optional
        Names of the points; their numbers if not given.
    required : float
        Clearance asked for [m].

    Returns
    -------
    DataFrame
        One row for each point: point, clearance [m] (below 0 inside the wheel), turn [rad] where it is least, required
        [m], met.

    Raises
    ------
    ValueError
        If the names are not as many as the points.

    Notes
    -----
    With a the distance along the axle and s the one square to it, p = s - r and q = |a| - w/2, the distance from a
    cylinder is hypot(max(p, 0), max(q, 0)) + min(max(p, q), 0). The least one is looked for over the whole turn.

    Examples
    --------
    >>> axis = PivotAxis(point=(0, 0, 0), direction=(-1, 0, 0), angle=np.pi / 2)
    >>> found = sweep_clearances(axis, (0, 0, -0.8), (0, 1, 0), [(0, -0.8, -0.8)], radius=0.2, width=0.12)
    >>> found["clearance [m]"].round(4).tolist(), found["turn [rad]"].round(2).tolist()
    ([0.1296], [0.73])
    """
    from pandas import DataFrame

    at = np.asarray(points)
    labels = _labels("sweep_clearances", names, len(at))
    along = unit_vector("sweep_clearances: axle [-]", axle)

    def distance(turn: Array, point: Array) -> Array:
        arm = point - axis.at(center, turn)
        a = np.sum(arm * axis.turned(along, turn), axis=-1)
        s = np.sqrt(np.maximum(np.sum(arm**2, axis=-1) - a**2, 0.0))
        p, q = s - radius, np.abs(a) - 0.5 * width
        return np.hypot(np.maximum(p, 0.0), np.maximum(q, 0.0)) + np.minimum(np.maximum(p, q), 0.0)

    turns = np.linspace(0.0, axis.angle, WAYS)
    step, rows = turns[1], []
    for label, point in zip(labels, at, strict=True):
        coarse = distance(turns, point)
        k = int(np.argmin(coarse))
        ends = (max(turns[k] - step, 0.0), min(turns[k] + step, axis.angle))
        fine = minimize_scalar(
            lambda q, p=point: float(distance(np.asarray(q), p)), bounds=ends, method="bounded"
        )
        best = min((float(coarse[k]), float(turns[k])), (float(fine.fun), float(fine.x)))
        rows.append([label, *best, required, best[0] >= required])
    return DataFrame(rows, columns=["point", "clearance [m]", "turn [rad]", "required [m]", "met"])


@checked
def strut_clearances(
    position: Annotated[
        ArrayLike, Limits("m", shape=(-1, 3), at_least=-100.0, at_most=100.0, cause="given in mm?")
    ],
    displacement: Annotated[
        ArrayLike, Limits("m", last=(-1, 3), at_least=-5.0, at_most=5.0, cause="given in mm?")
    ],
    points: _Points,
    *,
    size: Annotated[ArrayLike, Limits("m", at_least=0.0, at_most=2.0, cause="given in mm?")],
    names: Sequence[str] | None = None,
    required: _Required = 0.0,
) -> "DataFrame":
    """Return the distances of points of the airframe from the strut, unloaded and deflected by every case.

    Parameters
    ----------
    position : array_like, shape (station, 3)
        Axis of the unloaded strut, airplane axes [m].
    displacement : array_like, shape (..., station, 3)
        Displacement of the axis, airplane axes, such as that of all cases [m].
    points : array_like, shape (point, 3)
        Points of the airframe [m].
    size : array_like, shape () or (station,)
        Largest distance of the strut's surface from its axis [m].
    names : sequence of str, optional
        Names of the points; their numbers if not given.
    required : float
        Clearance asked for [m].

    Returns
    -------
    DataFrame
        One row for each point: point, unloaded [m], least [m] (below 0 inside the strut), case (number along the
        leading axes, flattened) and station (number before the nearest place) of the least, required [m], met.

    Raises
    ------
    ValueError
        If the shapes do not fit or there are fewer than two stations.

    Notes
    -----
    Distance of the point from each straight piece between stations, less the larger size of its two ends: a safe
    value for a tapered or a twisted section.

    Examples
    --------
    >>> strut = [(0, 0, 0), (0, 0, -0.5), (0, 0, -1.0)]
    >>> bent = [[(0, 0, 0), (0.01, 0, 0), (0.04, 0, 0)]]
    >>> found = strut_clearances(strut, bent, [(0.12, 0, -1.0)], size=0.05)
    >>> found[["unloaded [m]", "least [m]", "case"]].round(4).values.tolist()
    [[0.07, 0.03, 0.0]]
    """
    from pandas import DataFrame

    axis, shift, at = np.asarray(position), np.asarray(displacement), np.asarray(points)
    if len(axis) < 2:
        reject("strut_clearances: position", f"{len(axis)} station", "2 stations or more")
    common_shape("strut_clearances: position, displacement", axis.shape, shift.shape)
    if shift.shape[-2] != len(axis):
        reject("strut_clearances: displacement", f"shape {shift.shape}", f"of shape (..., {len(axis)}, 3)")
    common_shape("strut_clearances: size, stations", np.shape(size), (len(axis),))
    labels = _labels("strut_clearances", names, len(at))
    around = np.broadcast_to(np.asarray(size), (len(axis),))
    thick = np.maximum(around[:-1], around[1:])
    cases = shift.reshape(-1, *axis.shape)
    unloaded = _to_pieces(axis[None], at, thick)[0].min(axis=0)
    free = _to_pieces(axis + cases, at, thick)  # (case, piece, point)
    flat = free.reshape(-1, len(at))
    first = flat.argmin(axis=0)
    case, piece = np.unravel_index(first, free.shape[:2])
    least = flat[first, np.arange(len(at))]
    return DataFrame(
        {
            "point": labels,
            "unloaded [m]": unloaded,
            "least [m]": least,
            "case": case,
            "station": piece,
            "required [m]": required,
            "met": np.minimum(least, unloaded) >= required,
        }
    )


def _to_pieces(axis: Array, points: Array, thick: Array) -> Array:
    """Distance of points (point, 3) from the pieces of lines (case, station, 3), shape (case, piece, point) [m]."""
    start = axis[:, :-1, None, :]
    piece = np.diff(axis, axis=1)[:, :, None, :]
    arm = points - start
    along = np.sum(arm * piece, axis=-1) / np.maximum(np.sum(piece**2, axis=-1), 1e-300)
    foot = np.clip(along, 0.0, 1.0)[..., None] * piece
    return np.asarray(np.linalg.norm(arm - foot, axis=-1) - thick[:, None])


def _labels(function: str, names: Sequence[str] | None, count: int) -> list[str]:
    """Names of points, or their numbers."""
    if names is None:
        return [str(i) for i in range(count)]
    if len(names) != count:
        reject(f"{function}: names", len(names), f"{count}, one for each point")
    return list(names)
