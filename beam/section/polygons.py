"""Outlines from corner points: closed polygons with sharp or filleted corners, and networks of walls.

Points of a closed outline are given clockwise, seen with e1 toward the viewer (e2 right, e3 up), so
that the outward normal n = e1 x t is on the left of each wall.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.section.contour import Contour, cross
from materials.checks import Array, array, common_shape, one_of, reject
from materials.kinds import whole_numbers

SURFACES = {"outside": -0.5, "middle": 0.0, "inside": 0.5}
"""Where the mid-line lies from the reference surface, in wall thicknesses along the outward normal."""

FLAT = 1e-9
"""Below this turn [rad] a corner is no corner."""


def ring(walls: int) -> NDArray[np.intp]:
    """Joints of walls that follow each other around one closed path.

    Parameters
    ----------
    walls : int
        Number of walls [-].

    Returns
    -------
    ndarray of int, shape (wall, 2)
        Joint at the start and at the end of each wall [-].
    """
    here = np.arange(walls)
    return np.stack([here, (here + 1) % walls], axis=-1)


def offsets(thickness: ArrayLike, walls: int, surface: str, who: str) -> tuple[Array, Array]:
    """Thickness of each wall, and how far its mid-line lies off the reference surface.

    Parameters
    ----------
    thickness : array_like, shape () or (..., wall)
        Of the walls [m].
    walls : int
        Number of walls [-].
    surface : str
        "outside" (tool), "inside" (mandrel) or "middle".
    who : str
        Name for messages.

    Returns
    -------
    thickness : ndarray, shape (..., wall)
        Of each wall [m].
    offset : ndarray, shape (..., wall)
        Along the outward normal [m].

    Raises
    ------
    ValueError
        If the surface is none of the three, or a thickness is negative, or zero where it is needed.
    """
    one_of(f"{who}: surface", surface, SURFACES)
    given = array(f"{who}: thickness [m]", thickness)
    t = (
        np.broadcast_to(given, (walls,))
        if given.ndim == 0
        else array(f"{who}: thickness [m]", given, last=(walls,))
    )
    if (t < 0).any() or (surface != "middle" and (t == 0).any()):
        reject(f"{who}: thickness [m]", f"{t.min():g}", "> 0")
    return t, SURFACES[surface] * t


def polygon(
    points: ArrayLike, thickness: ArrayLike = 0.0, *, surface: str = "middle", names: tuple[str, ...] = ()
) -> Contour:
    """Closed outline of straight walls; at corners the mid-lines are cut where they meet.

    Parameters
    ----------
    points : array_like, shape (..., wall, 2)
        Corners (y2, y3) of the reference surface, clockwise; a wall runs from each to the next [m].
    thickness : array_like, shape () or (..., wall)
        Of the walls; of no account on the middle surface [m].
    surface : str
        What the points lie on: "outside" (tool), "inside" (mandrel) or "middle".
    names : tuple of str
        Names of the walls.

    Returns
    -------
    Contour
        One wall per point.

    Raises
    ------
    ValueError
        If there are fewer than three points, two of them coincide, or they run counter-clockwise.
    """
    p, angle, turn = _edges(points, "polygon")
    walls = p.shape[-2]
    _, d = offsets(thickness, walls, surface, "polygon")
    n = np.stack([-np.sin(angle), np.cos(angle)], axis=-1)
    before, d_before = np.roll(n, 1, axis=-2), np.roll(d, 1, axis=-1)
    sine = np.roll(np.sin(turn), 1, axis=-1)
    flat = np.abs(sine) < FLAT
    mitre = _quarter(n) * d_before[..., None] - _quarter(before) * d[..., None]
    mitre = mitre / np.where(flat, 1.0, sine)[..., None]
    start = p + np.where(flat[..., None], d[..., None] * n, mitre)
    finish = np.roll(p + np.where(flat[..., None], d_before[..., None] * before, mitre), -1, axis=-2)
    run = finish - start
    t = np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    return Contour(
        start=start,
        direction=angle,
        length=(run * t).sum(axis=-1),
        turn=np.zeros(walls),
        ends=ring(walls),
        names=names,
    )


def filleted(
    points: ArrayLike,
    radius: ArrayLike,
    thickness: ArrayLike,
    *,
    surface: str = "outside",
    names: tuple[str, ...] = (),
) -> Contour:
    """Closed outline of straight walls with a circular wall at every corner.

    Parameters
    ----------
    points : array_like, shape (..., corner, 2)
        Corners (y2, y3) where the faces of the reference surface would meet, clockwise [m].
    radius : array_like, shape (..., corner)
        Of the reference surface at each corner; the axis may have length 1 [m].
    thickness : array_like, shape () or (..., 2 corner)
        Of the walls: the face from point 0 to 1, the corner at point 1, the next face ... [m].
    surface : str
        What points and radius are measured on: "outside" (tool), "inside" (mandrel) or "middle".
    names : tuple of str
        Names of the walls.

    Returns
    -------
    Contour
        Two walls per point, face and corner in turn.

    Raises
    ------
    ValueError
        If a face has no flat part, a corner does not turn or is thicker than its radius allows, or the
        points run counter-clockwise.
    """
    p, angle, turn = _edges(points, "filleted")
    corners = p.shape[-2]
    t, d = offsets(thickness, 2 * corners, surface, "filleted")
    given = array("filleted: radius [m]", radius)
    r = np.roll(
        np.broadcast_to(given, common_shape("filleted: radius", given.shape, (corners,))), -1, axis=-1
    )
    if (t == 0).any():
        reject("filleted: thickness [m]", "0", "> 0")
    if (r < 0).any():
        reject("filleted: radius [m]", f"{r.min():g}", ">= 0")
    if (np.abs(turn) < FLAT).any():
        reject("filleted: points", "a corner that does not turn", "corners", "join the two faces into one")
    mid = r - np.sign(turn) * d[..., 1::2]
    inner = mid - 0.5 * t[..., 1::2]
    if (mid <= 0).any() or (inner < -1e-12 * t[..., 1::2]).any():
        reject(
            "filleted: radius [m]",
            f"{inner.min():g} on the hollow side of a corner",
            ">= 0",
            "wall thicker than the corner radius?",
        )
    cut = r * np.abs(np.tan(0.5 * turn))
    edge = np.roll(p, -1, axis=-2) - p
    flat = np.hypot(edge[..., 0], edge[..., 1]) - cut - np.roll(cut, 1, axis=-1)
    if (flat <= 0).any():
        reject("filleted: radius [m]", f"flat part {flat.min():g}", "> 0 on every face", "corners overlap")
    along = np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    n = _left(along)
    face = p + np.roll(cut, 1, axis=-1)[..., None] * along + d[..., 0::2, None] * n
    bend = np.roll(p, -1, axis=-2) - cut[..., None] * along + d[..., 1::2, None] * n
    return Contour(
        start=_alternate(face, bend),
        direction=np.repeat(angle, 2, axis=-1),
        length=_alternate(flat[..., None], (np.abs(turn) * mid)[..., None])[..., 0],
        turn=_alternate(np.zeros_like(turn)[..., None], turn[..., None])[..., 0],
        ends=ring(2 * corners),
        names=names,
    )


def network(
    joints: ArrayLike, walls: ArrayLike, *, turn: ArrayLike = 0.0, names: tuple[str, ...] = ()
) -> Contour:
    """Any number of cells and open branches: straight or circular walls between joints.

    Parameters
    ----------
    joints : array_like, shape (..., joint, 2)
        Points (y2, y3) [m].
    walls : array_like of int, shape (wall, 2)
        Joint where each mid-line starts and ends; the skin clockwise, webs and flanges either way [-].
    turn : array_like, shape () or (..., wall)
        How far the tangent turns along each wall, counter-clockwise positive, so negative for a wall of the
        skin that bulges outward; less than a full turn [rad].
    names : tuple of str
        Names of the walls.

    Returns
    -------
    Contour
        The mid-lines; `Contour.offset` moves them off a reference surface.

    Raises
    ------
    ValueError
        If a wall has no length, names a joint that is not there, or the walls are not connected.
    """
    points = array("network: joints [m]", joints, last=(-1, 2))
    ends = whole_numbers("network: walls", walls)
    if ends.ndim != 2 or ends.shape[1] != 2 or not len(ends):
        reject("network: walls", f"shape {ends.shape}", "pairs of joint numbers, (wall, 2)")
    if ends.min() < 0 or ends.max() >= points.shape[-2]:
        reject("network: walls", f"joint {ends.max()}", f"from 0 to {points.shape[-2] - 1}")
    bend = array("network: turn [rad]", turn)
    half = 0.5 * np.broadcast_to(bend, common_shape("network: turn", bend.shape, (len(ends),)))
    if (np.abs(half) >= np.pi).any():
        reject("network: turn [rad]", f"{2 * np.abs(half).max():g}", "less than a full turn")
    run = points[..., ends[:, 1], :] - points[..., ends[:, 0], :]
    return Contour(
        start=points[..., ends[:, 0], :],
        direction=np.arctan2(run[..., 1], run[..., 0]) - half,
        length=np.hypot(run[..., 0], run[..., 1]) / np.sinc(half / np.pi),
        turn=2 * half,
        ends=ends,
        names=names,
    )


def _edges(points: ArrayLike, who: str) -> tuple[Array, Array, Array]:
    """Points, direction of the edge from each, and turn at its end; checked to close clockwise."""
    p = array(f"{who}: points [m]", points, last=(-1, 2))
    if p.shape[-2] < 3:
        reject(f"{who}: points", p.shape[-2], "three or more")
    edge = np.roll(p, -1, axis=-2) - p
    if not np.hypot(edge[..., 0], edge[..., 1]).all():
        reject(f"{who}: points", "two neighbors in one place", "apart", "first point repeated at the end?")
    angle = np.arctan2(edge[..., 1], edge[..., 0])
    turn = (np.roll(angle, -1, axis=-1) - angle + np.pi) % (2 * np.pi) - np.pi
    if (cross(p, np.roll(p, -1, axis=-2)).sum(axis=-1) > 0).any():
        reject(f"{who}: points", "counter-clockwise", "clockwise with e2 right and e3 up", "reverse them")
    return p, angle, turn


def _left(v: Array) -> Array:
    """Quarter turn counter-clockwise: e1 x v."""
    return np.stack([-v[..., 1], v[..., 0]], axis=-1)


def _quarter(v: Array) -> Array:
    """Quarter turn clockwise."""
    return np.stack([v[..., 1], -v[..., 0]], axis=-1)


def _alternate(first: Array, second: Array) -> Array:
    """Interleave two arrays along their last axis but one."""
    both = np.stack(np.broadcast_arrays(first, second), axis=-2)
    return both.reshape(*both.shape[:-3], 2 * both.shape[-3], both.shape[-1])
