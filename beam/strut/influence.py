"""Influence lines of forces and displacements, and the stiffness of a point."""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from beam.axes import skew
from beam.strut.point_loads import PointLoads
from beam.strut.span import Span
from materials.checks import Array, Limits, checked, reject

Stations = Annotated[ArrayLike, Limits("m", shape=(-1,))]


@checked
def force_influence(span: Span, at: Stations, moving: Stations) -> Array:
    """Influence lines of the section forces.

    Parameters
    ----------
    span : Span
        The span.
    at : array_like, shape (station,)
        Stations whose section forces are wanted [m].
    moving : array_like, shape (load,)
        Stations where the unit load stands in turn [m].

    Returns
    -------
    ndarray, shape (load, 6, station, 6)
        N, V2, V3, T, M2, M3 at each station for a unit force or moment along each strut axis [-, m, 1/m].

    Notes
    -----
    Section forces of any loads w (load, 6) are the sum over load l and axis i of w[l, i] times the value [l, i].

    Examples
    --------
    >>> span = Span(axis=2.0, stiffness=np.diag([1e9, 1e9, 1e9, 1e4, 2e4, 3e4]))
    >>> force_influence(span, at=[0.0], moving=[0.5, 2.0])[:, 2, 0, 4]  # M2 at the root for a unit force along e3
    array([-0.5, -2. ])
    """
    return span.forces(_unit_loads(span, moving), at)


@checked
def flexibility(span: Span, at: Stations, moving: Stations) -> Array:
    """Influence lines of the displacements.

    Parameters
    ----------
    span : Span
        The span.
    at : array_like, shape (station,)
        Stations whose motion is wanted [m].
    moving : array_like, shape (load,)
        Stations where the unit load stands in turn [m].

    Returns
    -------
    ndarray, shape (load, 6, station, 6)
        u1, u2, u3, r1, r2, r3 for a unit force or moment along each strut axis [m/N, rad/N, rad/(N m)].

    Notes
    -----
    Maxwell's reciprocity: the value at [a, i, b, j] is that at [b, j, a, i].

    Examples
    --------
    >>> span = Span(axis=2.0, stiffness=np.diag([1e9, 1e9, 1e9, 1e4, 2e4, 3e4]))
    >>> F = flexibility(span, at=[1.0, 2.0], moving=[1.0, 2.0])
    >>> F[1, 2, 0, 2].round(8), F[0, 2, 1, 2].round(8)  # 5 L^3 / (48 E I), both ways
    (np.float64(4.167e-05), np.float64(4.167e-05))
    """
    return span.displacement(_unit_loads(span, moving), at)


@checked
def point_stiffness(
    span: Span,
    at: Annotated[float, Limits("m", at_least=0.0)],
    directions: Annotated[ArrayLike, Limits("-", shape=(-1, 3))],
    *,
    arm: Annotated[ArrayLike, Limits("m", shape=(3,))] = (0.0, 0.0, 0.0),
) -> Array:
    """Stiffness that a point shows to a force along each of several directions, one at a time.

    Parameters
    ----------
    span : Span
        The span.
    at : float
        Station of the section that carries the point [m].
    directions : array_like, shape (direction, 3)
        Directions in strut axes, of any length: fore and aft, lateral [-].
    arm : array_like, shape (3,)
        From the axis to the point, in strut axes: to the axle, say, with the link taken as rigid [m].

    Returns
    -------
    ndarray, shape (direction,)
        Force over the motion of the point along it, the point free to move in the others as well [N/m].

    Notes
    -----
    1 / k = d . P F P^T d, with d the unit direction, P = (I, -skew(arm)) and F the `flexibility` of the station.

    Examples
    --------
    >>> span = Span(axis=2.0, stiffness=np.diag([1e9, 1e9, 1e9, 1e4, 2e4, 3e4]))
    >>> point_stiffness(span, 2.0, [[0, 0, 1]]).round(1)  # 3 E I / L^3
    array([7499.9])
    """
    d = np.asarray(directions, dtype=float)
    length = np.linalg.norm(d, axis=-1, keepdims=True)
    if not length.all():
        reject("point_stiffness: directions [-]", d.tolist(), "none of zero length")
    to_point = np.concatenate([np.eye(3), -skew(arm)], axis=1)
    F = flexibility(span, [at], [at])[0, :, 0]
    return 1 / np.einsum("di,ij,dj->d", d / length, to_point @ F @ to_point.T, d / length)


def _unit_loads(span: Span, moving: ArrayLike) -> PointLoads:
    """Unit loads (load, 6 cases) along each strut axis, at every station in turn."""
    where = span.axis.check("influence: moving [m]", moving)
    count = len(where)
    unit = np.zeros((count, 6, count, 6))
    unit[np.arange(count), :, np.arange(count)] = np.eye(6)
    return PointLoads(at=where, force=unit[..., :3], moment=unit[..., 3:])
