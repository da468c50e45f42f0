"""Mesh of the walls of a thin-walled section, through the plies and around the corners.

One grid of quadrilaterals runs along all walls. Its rows follow the plies, its columns stand across the wall. Like
plies that lie together are one layer. All walls get as many rows as the one with most layers needs; in the others
thick layers are cut again.

**Joints.** The end column of a wall stands square on its mid-line. Neighbors of different thickness or plies, or offset
from a common surface, end in different columns. The mesh takes one column for both, halfway between them (on the miter
if the corner is sharp). Each wall tapers to it linearly over a length equal to the thickness of the thicker wall, or to
half the wall if that is less. So row k of a wall continues as row k of the next, a jog of the mid-lines is a ramp that
carries load, and fibers follow the rows.
"""

from collections.abc import Callable
from itertools import pairwise
from typing import Annotated, NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.section.section import Section
from beam.section.solid.mesh import SolidMesh, cells, tangents
from beam.section.solid.orthotropic import Orthotropic
from laminate import Laminate, Ply
from materials import Lamina
from materials.checks import Array, Limits, Numbers, WholeNumbers, checked, reject

MAX_TURN = np.pi / 12
"""Largest turn of an element of a curved wall: its parabola is within 2e-5 of the radius from the circle."""

SHARPEST = np.radians(120.0)
"""Sharpest corner between walls that is mitered."""


class WallMesh(SolidMesh):
    """Mesh of a section made of walls: wall, fractions of its length and heights [m] that each element covers."""

    section: Section
    wall: Annotated[WholeNumbers, Limits("-", shape=(-1,), at_least=0)]
    along: Annotated[Numbers, Limits("-", shape=(-1, 2))]
    height: Annotated[Numbers, Limits("m", shape=(-1, 2))]


@checked
def mesh_walls(
    section: Section,
    constants: Callable[[Lamina], Orthotropic],
    *,
    size: Annotated[float, Limits("m", above=0.0, cause="given in mm?")],
    per_layer: Annotated[int, Limits("-", at_least=1)] = 1,
) -> WallMesh:
    """Mesh the walls of a section.

    Parameters
    ----------
    section : Section
        One closed skin, or one open strip, of walls that follow each other.
    constants : callable
        Takes each lamina to its nine elastic constants, as `Orthotropic.transversely_isotropic`, or a dict's
        ``__getitem__``.
    size : float
        Longest element along a wall; on curved walls no more than about two thicknesses, as thin curved elements
        bend and, in open strips, twist too stiffly [m].
    per_layer : int
        Rows of elements through each group of like plies at least [-].

    Returns
    -------
    WallMesh
        The mesh.

    Raises
    ------
    ValueError
        If more than two walls meet at a joint, walls are not in order, a corner is sharper than 120 degrees, or
        an element folds because walls are too thick for their length.

    Notes
    -----
    At a corner the miter is (n1 + n2) / (1 + n1 . n2) per height, n1 and n2 the normals of the two walls.

    Examples
    --------
    >>> from laminate import Laminate
    >>> from materials import lamina
    >>> box = Section.rounded_box(0.06, 0.04, 0.01, Laminate.from_code("[0/90]s", lamina("AS4/3501-6")))
    >>> mesh = mesh_walls(box, lambda ply: Orthotropic.transversely_isotropic(ply, nu23=0.4), size=0.01)
    >>> len(mesh.elements) // 3
    36
    """
    closed = _check_chain(section)
    count = per_layer * max(len(layers(w).ply) for w in section.laminates)
    stacks = [rows(w, count) for w in section.laminates]
    heights = np.stack([_middles(stack.height) for stack in stacks])
    shift, ramp = _joints(section, heights, closed)
    columns = [_columns(section, i, ramp[i], size) for i in range(len(stacks))]
    grid, wall, along = _grid(section, heights, shift, ramp, columns)
    if closed:
        grid[:, -1] = grid[:, 0]
    points, ids = _numbered(grid, closed)
    elements = cells(ids)
    laminae = list(dict.fromkeys(p.lamina for w in section.laminates for p in w.plies))
    plies = [stacks[w].ply[r] for r in range(count) for w in wall]
    return WallMesh(
        points=points,
        elements=elements,
        constants=tuple(constants(lamina) for lamina in laminae),
        material=np.array([laminae.index(p.lamina) for p in plies]),
        angle_deg=np.array([p.angle_deg for p in plies]),
        tangent=tangents(points, elements),
        section=section,
        wall=np.tile(wall, count),
        along=np.tile(along, (count, 1)),
        height=np.array([stacks[w].height[r : r + 2] for r in range(count) for w in wall]),
    )


def _check_chain(section: Section) -> bool:
    """Whether the walls close; refused if they do not follow each other."""
    ends = section.contour.ends
    meeting = int(np.bincount(ends.ravel()).max())
    if meeting > 2:
        reject("mesh_walls: section", f"{meeting} walls at one joint", "at most two", "mesh cells by hand")
    if (ends[:-1, 1] != ends[1:, 0]).any():
        reject("mesh_walls: section", ends.tolist(), "walls in order, each from where the last one ends")
    return bool(ends[-1, 1] == ends[0, 0])


def _joints(section: Section, heights: Array, closed: bool) -> tuple[Array, Array]:
    """Shift of the end columns of each wall, (wall, 2, height, 2), and length of each ramp, (wall, 2) [m]."""
    contour, walls = section.contour, len(heights)
    n = contour.normal(np.array([0.0, 1.0]))
    mid = np.stack([contour.start, contour.finish], axis=1)
    own = mid[:, :, None] + heights[:, None, :, None] * n[:, :, None]
    thickness = np.array([w.thickness for w in section.laminates])
    shift, ramp = np.zeros(own.shape), np.zeros((walls, 2))
    for i in range(walls if closed else walls - 1):
        j = (i + 1) % walls
        cosine = float(n[i, 1] @ n[j, 0])
        if cosine < np.cos(SHARPEST):
            turn = np.degrees(np.arccos(max(cosine, -1.0)))
            names = f"{section.contour.names[i]!r} and {section.contour.names[j]!r}"
            reject(
                f"mesh_walls: corner of walls {names} [deg]", f"{turn:.4g}", "at most 120 sharp", "fillet it"
            )
        miter = (n[i, 1] + n[j, 0]) / (1 + cosine)
        shared = 0.5 * (mid[i, 1] + mid[j, 0]) + 0.5 * (heights[i] + heights[j])[:, None] * miter
        for wall, end in ((i, 1), (j, 0)):
            shift[wall, end] = shared - own[wall, end]
            if np.abs(shift[wall, end]).max() > 1e-9 * thickness[wall]:
                ramp[wall, end] = min(max(thickness[i], thickness[j]), 0.5 * contour.length[wall])
            else:
                shift[wall, end] = 0.0
    return shift, ramp


def _columns(section: Section, wall: int, ramp: Array, size: float) -> Array:
    """Ends of the elements along a wall [m]."""
    length, turn = section.contour.length[wall], abs(section.contour.turn[wall])
    marks = np.unique([0.0, ramp[0], length - ramp[1], length])
    marks = marks[np.concatenate([[True], np.diff(marks) > 1e-9 * length])]
    lines = []
    for a, b in pairwise(marks):
        count = max(1, int(np.ceil((b - a) * max(1 / size, turn / length / MAX_TURN) - 1e-9)))
        lines.append(np.linspace(a, b, count, endpoint=False))
    return np.concatenate([*lines, [length]])


def _grid(
    section: Section, heights: Array, shift: Array, ramp: Array, columns: list[Array]
) -> tuple[Array, NDArray[np.intp], Array]:
    """Nodes, (height, column, 2) [m], and the wall and the reach along it of each column of elements."""
    contour = section.contour
    parts, wall, along = [], [], []
    for i, ends in enumerate(columns):
        length = contour.length[i]
        s = _middles(ends)
        mid, n = contour.position(s / length)[i], contour.normal(s / length)[i]
        place = mid + heights[i][:, None, None] * n
        for end, distance in ((0, s), (1, length - s)):
            if ramp[i, end] > 0:
                share = np.maximum(0.0, 1 - distance / ramp[i, end])
                place = place + share[:, None] * shift[i, end][:, None]
        parts.append(place if i == len(columns) - 1 else place[:, :-1])
        wall.append(np.full(len(ends) - 1, i))
        along.append(np.stack([ends[:-1], ends[1:]], axis=-1) / length)
    return np.concatenate(parts, axis=1), np.concatenate(wall), np.concatenate(along)


def _numbered(grid: Array, closed: bool) -> tuple[Array, NDArray[np.intp]]:
    """Nodes in one list, and their numbers on the grid; a closed skin ends where it starts."""
    kept = grid[:, :-1] if closed else grid
    ids = np.arange(kept.shape[0] * kept.shape[1]).reshape(kept.shape[:2])
    return kept.reshape(-1, 2), np.concatenate([ids, ids[:, :1]], axis=1) if closed else ids


def _middles(ends: Array) -> Array:
    """Values with the one halfway between each pair inserted."""
    out = np.empty(2 * len(ends) - 1)
    out[::2], out[1::2] = ends, 0.5 * (ends[:-1] + ends[1:])
    return out


class Rows(NamedTuple):
    """Rows of elements through a laminate."""

    height: Array
    """Lines between rows, from -h/2 to h/2, shape (row + 1,) [m]."""

    ply: tuple[Ply, ...]
    """Ply of each row."""


def layers(laminate: Laminate) -> Rows:
    """One row for each group of neighboring plies of one lamina and one angle."""
    first = [i for i, p in enumerate(laminate.plies) if i == 0 or p != laminate.plies[i - 1]]
    height = laminate.interfaces[[*first, len(laminate.plies)]]
    return Rows(height, tuple(laminate.plies[i] for i in first))


def rows(laminate: Laminate, count: int) -> Rows:
    """The layers of a laminate cut evenly into so many rows, the thickest layers first."""
    whole = layers(laminate)
    thickness = np.diff(whole.height)
    parts: NDArray[np.intp] = np.ones(len(thickness), dtype=np.intp)
    for _ in range(count - len(thickness)):
        parts[np.argmax(thickness / parts)] += 1
    lines = [
        np.linspace(z, z + t, n, endpoint=False)
        for z, t, n in zip(whole.height[:-1], thickness, parts, strict=True)
    ]
    ply = tuple(p for p, n in zip(whole.ply, parts, strict=True) for _ in range(n))
    return Rows(np.concatenate([*lines, whole.height[-1:]]), ply)
