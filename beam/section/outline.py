"""Outlines of sections: polygon, filleted polygon, network of walls, box, rounded box, round tube, ellipse.

Points of a closed outline are given clockwise, seen with e1 toward the viewer (e2 right, e3 up), so that the outward
normal n = e1 x t is on the left of each wall. Outlines with four faces start with the face at +e3::

              +e3
         .---- 0 -->----.
      7 /                \\ 1        faces 0, 2, 4, 6 at +e3, +e2, -e3, -e2
       |                  |         corners 1, 3, 5, 7 between them
     6 |                  | 2  +e2
       |                  |
      5 \\                / 3         (a box with sharp corners has the faces alone)
         '------ 4 ------'

Sizes are measured on a reference surface: "outside" (tool), "inside" (mandrel) or "middle".
"""

from typing import Annotated, Literal, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.section.contour import Contour, cross, match_walls
from materials.checks import Array, Limits, checked, common_shape, reject

FACES = ("+e3", "+e2", "-e3", "-e2")
"""Names of the faces in wall order, if the caller gives no others."""

SURFACES = {"outside": -0.5, "middle": 0.0, "inside": 0.5}
"""Distance of the mid-line from the reference surface, in wall thicknesses along the outward normal."""

FLAT = 1e-9
"""Least turn of a corner [rad]."""

QUARTER = -0.5 * np.pi
"""Turn of the tangent from one face to the next [rad]."""

Surface: TypeAlias = Literal["outside", "middle", "inside"]
Sizes: TypeAlias = Annotated[ArrayLike, Limits("m", above=0.0)]
Points: TypeAlias = Annotated[ArrayLike, Limits("m", last=(-1, 2))]
Radii: TypeAlias = Annotated[ArrayLike, Limits("m", at_least=0.0)]
Faces: TypeAlias = tuple[str, ...]


@checked
def network(
    joints: Points,
    walls: Annotated[ArrayLike, Limits("-", shape=(-1, 2), at_least=0, whole=True)],
    *,
    turn: Annotated[
        ArrayLike, Limits("rad", above=-2 * np.pi, below=2 * np.pi, cause="a full turn or more")
    ] = 0.0,
    names: Annotated[tuple[str, ...], Limits(items=0)] = (),
) -> Contour:
    """Mid-lines of any number of cells and open branches: straight or circular walls between joints.

    Parameters
    ----------
    joints : array_like, shape (..., joint, 2)
        Points (y2, y3) [m].
    walls : array_like of int, shape (wall, 2)
        Joint where each mid-line starts and ends; the skin clockwise, webs and flanges either way [-].
    turn : array_like, shape () or (..., wall)
        Turn of the tangent along each wall, counter-clockwise positive, so negative for a wall of the skin that
        bulges outward; less than a full turn [rad].
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

    Notes
    -----
    An arc that turns by a between joints c apart has the length c (a/2) / sin(a/2).

    Examples
    --------
    Half-round tube with a flat wall.

    >>> half_round = network([[-0.05, 0.0], [0.05, 0.0]], [[0, 1], [1, 0]], turn=[-3.141593, 0.0])
    >>> half_round.length.round(4)
    array([0.1571, 0.1   ])
    """
    points, ends, bend = np.asarray(joints), np.asarray(walls), np.asarray(turn)
    if ends.max(initial=0) >= points.shape[-2]:
        reject("network: walls", f"joint {ends.max()}", f"from 0 to {points.shape[-2] - 1}")
    half = 0.5 * np.broadcast_to(bend, common_shape("network: turn", bend.shape, (len(ends),)))
    run = points[..., ends[:, 1], :] - points[..., ends[:, 0], :]
    return Contour(
        start=points[..., ends[:, 0], :],
        direction=np.arctan2(run[..., 1], run[..., 0]) - half,
        length=np.hypot(run[..., 0], run[..., 1]) / np.sinc(half / np.pi),
        turn=2 * half,
        ends=ends,
        names=names,
    )


@checked
def rounded_box(
    width: Sizes,
    height: Sizes,
    radius: Radii,
    thickness: Annotated[ArrayLike, Limits("m", above=0.0, last=(8,))],
    *,
    surface: Surface = "outside",
    faces: Faces = FACES,
) -> Contour:
    """Mid-lines of boxes with rounded corners, each half its wall's thickness off the reference surface.

    Parameters
    ----------
    width, height : array_like, shape (...)
        Sizes of the reference surface along e2 and e3 [m].
    radius : array_like, shape (...)
        Radius of the reference surface at the corners [m].
    thickness : array_like, shape (..., 8)
        Thickness of the walls: face +e3, corner, face +e2, corner ... clockwise [m].
    surface : {"outside", "middle", "inside"}
        Surface on which the sizes are measured.
    faces : tuple of str
        Names of the faces +e3, +e2, -e3, -e2.

    Returns
    -------
    Contour
        Eight walls; leading axes are the broadcast of those given.

    Raises
    ------
    ValueError
        If a face has no flat part, or a corner is thicker than its radius allows.

    Notes
    -----
    Faces are width - 2 radius and height - 2 radius long, corners (pi/2) (radius - thickness/2) if the surface is the
    outside.

    Examples
    --------
    >>> import numpy as np
    >>> box = rounded_box(0.08, 0.05, 0.012, np.full(8, 2e-3))
    >>> box.length[:3].round(6)
    array([0.056   , 0.017279, 0.026   ])
    """
    points = _corners(width, height)
    return filleted(
        points, np.asarray(radius)[..., None], thickness, surface=surface, names=wall_names(faces)
    )


def wall_names(faces: Faces = FACES) -> tuple[str, ...]:
    """Names of the eight walls of a rounded box: each face, then the corner after it, as "+e3-+e2"."""
    names = _four(faces)
    return tuple(n for i in range(4) for n in (names[i], f"{names[i]}-{names[(i + 1) % 4]}"))


def box(
    width: ArrayLike,
    height: ArrayLike,
    thickness: ArrayLike = 0.0,
    *,
    surface: Surface = "middle",
    faces: Faces = FACES,
) -> Contour:
    """Box with sharp corners, its four walls () or (..., 4) thick [m]."""
    return polygon(_corners(width, height), thickness, surface=surface, names=_four(faces))


def round_tube(
    radius: ArrayLike, thickness: ArrayLike = 0.0, *, surface: Surface = "middle", faces: Faces = FACES
) -> Contour:
    """Round tube of four quarter walls, () or (..., 4) thick, the middle of each at +e3, +e2, -e3, -e2."""
    t, off = _offsets(thickness, 4, surface)
    r = np.asarray(radius)[..., None] + off
    if (r <= 0).any() or (r < 0.5 * t).any():
        got = f"{r.min():g} on the mid-line with a wall {t.max():g} m thick"
        reject("outline: radius [m]", got, "> 0 and at least half the thickness")
    direction = QUARTER * (np.arange(4) - 0.5)
    out = np.stack([-np.sin(direction), np.cos(direction)], axis=-1)
    return Contour(
        start=r[..., None] * out,
        direction=direction,
        length=-QUARTER * r,
        turn=np.full(4, QUARTER),
        ends=_ring(4),
        names=_four(faces),
    )


def ellipse(
    width: ArrayLike,
    height: ArrayLike,
    thickness: ArrayLike = 0.0,
    *,
    surface: Surface = "middle",
    faces: Faces = FACES,
    pairs: int = 8,
) -> Contour:
    """Elliptical tube of 8 x pairs arcs, its quarters about +e3, +e2, -e3, -e2 () or (..., 4) thick [m]."""
    # Pairs of arcs between points of the ellipse take its tangents at both (K. M. Bolton, "Biarc curves",
    # Computer-Aided Design 7 (1975) 89-92): the error of the section's stiffness falls with pairs^-4.
    a, b = np.moveaxis(0.5 * _sizes(width, height), -1, 0)
    names = tuple(f"{face} {i + 1}" for face in _four(faces) for i in range(2 * pairs))
    phase = 0.75 * np.pi + QUARTER * np.arange(4 * pairs) / pairs
    p = np.stack([a[..., None] * np.cos(phase), b[..., None] * np.sin(phase)], axis=-1)
    t = np.stack([a[..., None] * np.sin(phase), -b[..., None] * np.cos(phase)], axis=-1)
    t = t / np.linalg.norm(t, axis=-1, keepdims=True)
    v, T = np.roll(p, -1, axis=-2) - p, np.roll(t, -1, axis=-2)
    slack = 2 * (1 - (t * T).sum(axis=-1))
    along, square = (v * (t + T)).sum(axis=-1), (v * v).sum(axis=-1)
    d = (np.sqrt(along**2 + slack * square) - along) / slack
    start = _alternate(p, p + 0.5 * (v + d[..., None] * (t - T)))
    chord = np.roll(start, -1, axis=-2) - start
    course = np.arctan2(chord[..., 1], chord[..., 0])
    leaving = np.arctan2(t[..., 1], t[..., 0])
    first = _wrapped(course[..., 0::2] - leaving)
    second = _wrapped(np.roll(leaving, -1, axis=-1) - course[..., 1::2])
    half = np.stack([first, second], axis=-1).reshape(course.shape)
    quarters, off = (np.repeat(one, 2 * pairs, axis=-1) for one in _offsets(thickness, 4, surface))
    reference = Contour(
        start=start,
        direction=course - half,
        length=np.hypot(chord[..., 0], chord[..., 1]) * half / np.sin(half),
        turn=2 * half,
        ends=_ring(8 * pairs),
        names=names,
    )
    inner = -reference.length / reference.turn + off - 0.5 * quarters
    if (inner < 0).any():
        reject(
            "outline: thickness [m]",
            f"inside radius {inner.min():g}",
            ">= 0 at the sharpest arc of the ellipse",
        )
    return reference.offset(off)


def polygon(
    points: ArrayLike,
    thickness: ArrayLike = 0.0,
    *,
    surface: Surface = "middle",
    names: tuple[str, ...] = (),
) -> Contour:
    """Closed outline of straight walls, () or (..., wall) thick, between points (..., wall, 2); corners are sharp."""
    p = np.asarray(points, dtype=float)
    angle, turn = _edges(p)
    walls = p.shape[-2]
    _, d = _offsets(thickness, walls, surface)
    n = np.stack([-np.sin(angle), np.cos(angle)], axis=-1)
    before, d_before = np.roll(n, 1, axis=-2), np.roll(d, 1, axis=-1)
    sine = np.roll(np.sin(turn), 1, axis=-1)
    flat = np.abs(sine) < FLAT
    miter = _left(before) * d[..., None] - _left(n) * d_before[..., None]
    miter = miter / np.where(flat, 1.0, sine)[..., None]
    start = p + np.where(flat[..., None], d[..., None] * n, miter)
    finish = np.roll(p + np.where(flat[..., None], d_before[..., None] * before, miter), -1, axis=-2)
    along = np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    return Contour(
        start=start,
        direction=angle,
        length=((finish - start) * along).sum(axis=-1),
        turn=np.zeros(walls),
        ends=_ring(walls),
        names=names,
    )


def filleted(
    points: ArrayLike,
    radius: ArrayLike,
    thickness: ArrayLike,
    *,
    surface: Surface = "outside",
    names: tuple[str, ...] = (),
) -> Contour:
    """Closed outline of two walls, () or (..., 2 corner) thick, per point (..., corner, 2): a face, then a fillet.

    The first face runs from point 0 to 1, the first fillet is at point 1; `radius`, (..., corner) or (..., 1), is that
    of the reference surface.
    """
    p, r = np.asarray(points, dtype=float), np.asarray(radius, dtype=float)
    angle, turn = _edges(p)
    corners = p.shape[-2]
    t, d = _offsets(thickness, 2 * corners, surface)
    r = np.roll(np.broadcast_to(r, common_shape("outline: radius", r.shape, (corners,))), -1, axis=-1)
    if (np.abs(turn) < FLAT).any():
        reject("outline: points", "a corner that does not turn", "corners", "join the two faces into one")
    mid = r - np.sign(turn) * d[..., 1::2]
    _check_corners(r, mid, t[..., 1::2], surface, names)
    cut = r * np.abs(np.tan(0.5 * turn))
    edge = np.roll(p, -1, axis=-2) - p
    flat = np.hypot(edge[..., 0], edge[..., 1]) - cut - np.roll(cut, 1, axis=-1)
    if (flat <= 0).any():
        reject("outline: radius [m]", f"flat part {flat.min():g}", "> 0 on every face", "corners overlap")
    along = np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    n = _left(along)
    face = p + np.roll(cut, 1, axis=-1)[..., None] * along + d[..., 0::2, None] * n
    bend = np.roll(p, -1, axis=-2) - cut[..., None] * along + d[..., 1::2, None] * n
    return Contour(
        start=_alternate(face, bend),
        direction=np.repeat(angle, 2, axis=-1),
        length=_alternate(flat[..., None], (np.abs(turn) * mid)[..., None])[..., 0],
        turn=_alternate(np.zeros_like(turn)[..., None], turn[..., None])[..., 0],
        ends=_ring(2 * corners),
        names=names,
    )


def _check_corners(
    radius: Array, mid: Array, thickness: Array, surface: Surface, names: tuple[str, ...]
) -> None:
    """Refuse a fillet whose wall leaves no radius on its hollow side, by wall, section, radius and thickness."""
    radius, mid, thickness = np.broadcast_arrays(radius, mid, thickness)
    inner = mid - 0.5 * thickness
    bad = (mid <= 0) | (inner < -1e-12 * thickness)
    if bad.any():
        worst = np.unravel_index(np.argmin(np.where(bad, inner, np.inf)), inner.shape)
        *batch, corner = (int(i) for i in worst)
        section = f" of section {tuple(batch)}" if batch else ""
        wall = repr(names[2 * corner + 1]) if names else f"wall {2 * corner + 1}"
        reject(
            f"outline: radius [m] of corner {wall}{section}",
            f"{radius[worst]:g} on the {surface} surface with a wall {thickness[worst]:g} m thick",
            f"at least {radius[worst] - inner[worst]:g}",
            "wall thicker than the corner radius allows",
        )


def _offsets(thickness: ArrayLike, walls: int, surface: Surface) -> tuple[Array, Array]:
    """Thickness of each wall and offset of its mid-line along the outward normal, both (..., wall) [m]."""
    t = np.asarray(thickness, dtype=float)
    t = t if t.ndim else np.full(walls, t)
    match_walls("outline: thickness", t, walls)
    return t, SURFACES[surface] * t


def _edges(p: Array) -> tuple[Array, Array]:
    """Direction of the edge from each point and turn at its end; refused unless the edges close clockwise."""
    if p.shape[-2] < 3:
        reject("outline: points", p.shape[-2], "three or more")
    edge = np.roll(p, -1, axis=-2) - p
    if not np.hypot(edge[..., 0], edge[..., 1]).all():
        reject("outline: points", "two neighbors in one place", "apart", "first point repeated at the end?")
    if (cross(p, np.roll(p, -1, axis=-2)).sum(axis=-1) > 0).any():
        reject("outline: points", "counter-clockwise", "clockwise with e2 right and e3 up", "reverse them")
    angle = np.arctan2(edge[..., 1], edge[..., 0])
    return angle, _wrapped(np.roll(angle, -1, axis=-1) - angle)


def _four(faces: Faces) -> Faces:
    """The names of the faces; refused unless they are four and different."""
    if len(faces) != 4 or len(set(faces)) != 4:
        reject("outline: faces", faces, "four names, all different, for the faces +e3, +e2, -e3, -e2")
    return faces


def _ring(walls: int) -> NDArray[np.intp]:
    """Joints at the start and end of walls around one closed path, shape (wall, 2)."""
    here = np.arange(walls)
    return np.stack([here, (here + 1) % walls], axis=-1)


def _wrapped(angle: Array) -> Array:
    """The angle within half a turn either way."""
    return (angle + np.pi) % (2 * np.pi) - np.pi


def _left(v: Array) -> Array:
    """Quarter turn counter-clockwise: e1 x v."""
    return np.stack([-v[..., 1], v[..., 0]], axis=-1)


def _alternate(first: Array, second: Array) -> Array:
    """Interleave two arrays along their last axis but one."""
    both = np.stack(np.broadcast_arrays(first, second), axis=-2)
    return both.reshape(*both.shape[:-3], 2 * both.shape[-3], both.shape[-1])


def _sizes(width: ArrayLike, height: ArrayLike) -> Array:
    """Width and height, broadcast, shape (..., 2) [m]."""
    a, b = np.asarray(width, dtype=float), np.asarray(height, dtype=float)
    shape = common_shape("outline: width, height", a.shape, b.shape)
    return np.stack([np.broadcast_to(a, shape), np.broadcast_to(b, shape)], axis=-1)


def _corners(width: ArrayLike, height: ArrayLike) -> Array:
    """Corners of a box, clockwise from the start of the face at +e3, shape (..., 4, 2) [m]."""
    return 0.5 * _sizes(width, height)[..., None, :] * np.array([[-1, 1], [1, 1], [1, -1], [-1, -1]])
