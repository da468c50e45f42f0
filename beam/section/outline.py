"""Outlines with four faces that the caller can name: box, rounded box, round tube, ellipse.

Seen with e1 toward the viewer, walls run clockwise and start with the face at +e3::

              +e3
         .---- 0 -->----.
      7 /                \\ 1        faces 0, 2, 4, 6 at +e3, +e2, -e3, -e2
       |                  |         corners 1, 3, 5, 7 between them
     6 |                  | 2  +e2
       |                  |
      5 \\                / 3         (a box with sharp corners has the faces alone)
         '------ 4 ------'
"""

import numpy as np
from numpy.typing import ArrayLike

from beam.section.contour import Contour
from beam.section.polygons import filleted, offsets, polygon, ring
from materials.checks import Array, array, common_shape, reject, whole
from materials.kinds import instances

FACES = ("+e3", "+e2", "-e3", "-e2")
"""Names of the faces in wall order, if the caller gives no others."""

QUARTER = -0.5 * np.pi
"""Turn of the tangent from one face to the next [rad]."""


def wall_names(faces: tuple[str, ...] = FACES) -> tuple[str, ...]:
    """Names of the eight walls of a rounded box: each face, then the corner after it.

    Parameters
    ----------
    faces : tuple of str
        Names of the faces +e3, +e2, -e3, -e2.

    Returns
    -------
    tuple of str
        Face, corner, face, corner ...; a corner joins the names of its faces with "-".

    Raises
    ------
    ValueError
        If there are not four.
    """
    names = _faces(faces)
    return tuple(n for i in range(4) for n in (names[i], f"{names[i]}-{names[(i + 1) % 4]}"))


def rounded_box(
    width: ArrayLike,
    height: ArrayLike,
    radius: ArrayLike,
    thickness: ArrayLike,
    *,
    surface: str = "outside",
    faces: tuple[str, ...] = FACES,
) -> Contour:
    """Box with rounded corners; each mid-line lies half its wall's thickness off the reference surface.

    Parameters
    ----------
    width : array_like, shape (...)
        Of the reference surface, along e2 [m].
    height : array_like, shape (...)
        Of the reference surface, along e3 [m].
    radius : array_like, shape (...)
        Of the reference surface at the corners [m].
    thickness : array_like, shape (..., 8)
        Of the walls: face +e3, corner, face +e2, corner ... clockwise [m].
    surface : str
        What the sizes are measured on: "outside" (tool), "inside" (mandrel) or "middle".
    faces : tuple of str
        Names of the faces +e3, +e2, -e3, -e2.

    Returns
    -------
    Contour
        Eight walls; leading axes are the broadcast of those given.

    Raises
    ------
    ValueError
        If a thickness is not positive, a face has no flat part, or a corner is too thick for its radius.
    """
    r = array("rounded_box: radius [m]", radius)
    points = _corners(width, height, "rounded_box")
    return filleted(points, r[..., None], thickness, surface=surface, names=wall_names(faces))


def box(
    width: ArrayLike,
    height: ArrayLike,
    thickness: ArrayLike = 0.0,
    *,
    surface: str = "middle",
    faces: tuple[str, ...] = FACES,
) -> Contour:
    """Box with sharp corners, where the mid-lines meet.

    Parameters
    ----------
    width : array_like, shape (...)
        Of the reference surface, along e2 [m].
    height : array_like, shape (...)
        Of the reference surface, along e3 [m].
    thickness : array_like, shape () or (..., 4)
        Of the walls, from the face at +e3 clockwise; of no account on the middle surface [m].
    surface : str
        What the sizes are measured on: "outside" (tool), "inside" (mandrel) or "middle".
    faces : tuple of str
        Names of the faces +e3, +e2, -e3, -e2.

    Returns
    -------
    Contour
        Four walls; leading axes are the broadcast of those given.

    Raises
    ------
    ValueError
        If no width or height is left for the mid-lines.
    """
    return polygon(_corners(width, height, "box"), thickness, surface=surface, names=_faces(faces))


def round_tube(
    radius: ArrayLike,
    thickness: ArrayLike = 0.0,
    *,
    surface: str = "middle",
    faces: tuple[str, ...] = FACES,
) -> Contour:
    """Round tube of four quarter walls, the middle of each at +e3, +e2, -e3, -e2.

    Parameters
    ----------
    radius : array_like, shape (...)
        Of the reference surface [m].
    thickness : array_like, shape () or (..., 4)
        Of the walls; of no account on the middle surface [m].
    surface : str
        What the radius is measured on: "outside" (tool), "inside" (mandrel) or "middle".
    faces : tuple of str
        Names of the quarters about +e3, +e2, -e3, -e2.

    Returns
    -------
    Contour
        Four walls.

    Raises
    ------
    ValueError
        If the wall is thicker than the radius allows.
    """
    t, off = offsets(thickness, 4, surface, "round_tube")
    r = array("round_tube: radius [m]", radius)[..., None] + off
    if (r <= 0).any() or (r < 0.5 * t).any():
        reject(
            "round_tube: radius [m]", f"mid-line radius {r.min():g}", "> 0 and at least half the thickness"
        )
    direction = QUARTER * (np.arange(4) - 0.5)
    out = np.stack([-np.sin(direction), np.cos(direction)], axis=-1)
    return Contour(
        start=r[..., None] * out,
        direction=np.asarray(direction, dtype=float),
        length=-QUARTER * r,
        turn=np.full(4, QUARTER),
        ends=ring(4),
        names=_faces(faces),
    )


def ellipse(
    width: ArrayLike,
    height: ArrayLike,
    thickness: ArrayLike = 0.0,
    *,
    surface: str = "middle",
    faces: tuple[str, ...] = FACES,
    pairs: int = 8,
) -> Contour:
    """Elliptical tube as arcs that follow the ellipse with a common tangent wherever two of them meet.

    Parameters
    ----------
    width : array_like, shape (...)
        Of the reference surface, along e2 [m].
    height : array_like, shape (...)
        Of the reference surface, along e3 [m].
    thickness : array_like, shape () or (..., 4)
        Of the quarters about +e3, +e2, -e3, -e2; of no account on the middle surface [m].
    surface : str
        What the sizes are measured on: "outside" (tool), "inside" (mandrel) or "middle".
    faces : tuple of str
        Names of the quarters.
    pairs : int
        Pairs of arcs in each quarter [-].

    Returns
    -------
    Contour
        8 x pairs walls, named after their quarter and their number in it; leading axes are the broadcast
        of those given.

    Raises
    ------
    ValueError
        If a size is not positive or the wall is thicker than the sharpest arc allows.

    Notes
    -----
    Two circular arcs between points of the ellipse take its tangents at both; the error in the
    section's stiffness falls with the fourth power of the number of pairs.

    References
    ----------
    K. M. Bolton, "Biarc curves", Computer-Aided Design 7 (1975) 89-92.
    """
    a, b = (0.5 * size for size in _sizes(width, height, "ellipse"))
    pairs, faces = whole("ellipse: pairs [-]", pairs, at_least=1), _faces(faces)
    phase = 0.75 * np.pi + QUARTER * np.arange(4 * pairs) / pairs
    p = np.stack([a[..., None] * np.cos(phase), b[..., None] * np.sin(phase)], axis=-1)
    t = np.stack([a[..., None] * np.sin(phase), -b[..., None] * np.cos(phase)], axis=-1)
    t = t / np.linalg.norm(t, axis=-1, keepdims=True)
    v, T = np.roll(p, -1, axis=-2) - p, np.roll(t, -1, axis=-2)
    slack = 2 * (1 - (t * T).sum(axis=-1))
    along, square = (v * (t + T)).sum(axis=-1), (v * v).sum(axis=-1)
    d = (np.sqrt(along**2 + slack * square) - along) / slack
    middle = p + 0.5 * (v + d[..., None] * (t - T))
    start = np.stack([p, middle], axis=-2).reshape(*p.shape[:-2], 8 * pairs, 2)
    chord = np.roll(start, -1, axis=-2) - start
    course = np.arctan2(chord[..., 1], chord[..., 0])
    leaving = np.arctan2(t[..., 1], t[..., 0])
    first = _wrapped(course[..., 0::2] - leaving)
    second = _wrapped(np.roll(leaving, -1, axis=-1) - course[..., 1::2])
    half = np.stack([first, second], axis=-1).reshape(course.shape)
    quarters, off = offsets(thickness, 4, surface, "ellipse")
    off = np.repeat(off, 2 * pairs, axis=-1)
    reference = Contour(
        start=start,
        direction=course - half,
        length=np.hypot(chord[..., 0], chord[..., 1]) * half / np.sin(half),
        turn=2 * half,
        ends=ring(8 * pairs),
        names=tuple(f"{face} {i + 1}" for face in faces for i in range(2 * pairs)),
    )
    inner = -reference.length / reference.turn + off - 0.5 * np.repeat(quarters, 2 * pairs, axis=-1)
    if (inner < 0).any():
        reject("ellipse: thickness [m]", f"inside radius {inner.min():g}", ">= 0 at the sharpest arc")
    return reference.offset(off)


def _faces(faces: tuple[str, ...]) -> tuple[str, ...]:
    names = instances("outline: faces", faces, str, least=0)
    if len(names) != 4 or len(set(names)) != 4:
        reject("outline: faces", names, "four names, all different, for the faces +e3, +e2, -e3, -e2")
    return names


def _wrapped(angle: Array) -> Array:
    """The angle within half a turn either way."""
    return (angle + np.pi) % (2 * np.pi) - np.pi


def _sizes(width: ArrayLike, height: ArrayLike, who: str) -> tuple[Array, Array]:
    sizes = array(f"{who}: width [m]", width), array(f"{who}: height [m]", height)
    for name, size in zip(("width", "height"), sizes, strict=True):
        if (size <= 0).any():
            reject(f"{who}: {name} [m]", f"{size.min():g}", "> 0")
    shape = common_shape(f"{who}: width, height", *(size.shape for size in sizes))
    return np.broadcast_to(sizes[0], shape), np.broadcast_to(sizes[1], shape)


def _corners(width: ArrayLike, height: ArrayLike, who: str) -> Array:
    """Corners of a box, clockwise from the start of the face at +e3, shape (..., 4, 2) [m]."""
    half = 0.5 * np.stack(_sizes(width, height, who), axis=-1)
    return half[..., None, :] * np.array([[-1.0, 1.0], [1.0, 1.0], [1.0, -1.0], [-1.0, -1.0]])
