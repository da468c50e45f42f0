"""What a unit load does, wherever it stands: influence lines, flexibility, stiffness at a point."""

import numpy as np
from numpy.typing import ArrayLike

from beam.axes import skew
from beam.strut.loads import PointLoads
from beam.strut.span import Span
from materials.checks import Array, array, number, reject
from materials.kinds import instance


def force_influence(span: Span, at: ArrayLike, moving: ArrayLike) -> Array:
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
    """
    return _unit_loads(span, moving, at, "forces")


def flexibility(span: Span, at: ArrayLike, moving: ArrayLike) -> Array:
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
    Maxwell's reciprocity: the value at (a, i, b, j) is that at (b, j, a, i).
    """
    return _unit_loads(span, moving, at, "displacement")


def point_stiffness(
    span: Span, at: float, directions: ArrayLike, *, arm: ArrayLike = (0.0, 0.0, 0.0)
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
    """
    d = array("point_stiffness: directions [-]", directions, last=(-1, 3))
    length = np.linalg.norm(d, axis=-1, keepdims=True)
    if d.ndim != 2 or not length.all():
        reject("point_stiffness: directions [-]", d.tolist(), "(direction, 3), none of zero length")
    to_point = np.concatenate([np.eye(3), -skew(array("point_stiffness: arm [m]", arm, last=(3,)))], axis=1)
    s = number("point_stiffness: at [m]", at)
    F = flexibility(span, [s], [s])[0, :, 0]
    return 1 / np.einsum("di,ij,dj->d", d / length, to_point @ F @ to_point.T, d / length)


def _unit_loads(span: Span, moving: ArrayLike, at: ArrayLike, what: str) -> Array:
    where = instance("influence: span", span, Span).axis.check("influence: moving [m]", moving)
    s = span.axis.check("influence: at [m]", at)
    if where.ndim != 1:
        reject("influence: moving [m]", f"shape {where.shape}", "(load,)")
    count = len(where)
    unit = np.zeros((count, 6, count, 6))
    unit[np.arange(count), :, np.arange(count)] = np.eye(6)
    loads = PointLoads(at=where, force=unit[..., :3], moment=unit[..., 3:])
    out: Array = span.forces(loads, s) if what == "forces" else span.displacement(loads, s)
    return out
