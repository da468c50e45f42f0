"""What is wrong with a section: a wall that cannot be, walls that cross, gape or run the wrong way round."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from beam.section.contour import Contour, cross
from materials.checks import Array, array, reject

if TYPE_CHECKING:
    from laminate import Laminate

CHORD_TURN = 0.2
"""Turn of a piece of curved wall that is looked at as straight, for crossings [rad]."""

SINGULAR = 1e-12
"""Least eigenvalue of a stiffness scaled to a unit diagonal that still counts as positive."""


def check_section(contour: Contour, laminates: Sequence["Laminate"]) -> None:
    """Refuse sections that cannot be.

    Parameters
    ----------
    contour : Contour
        One section.
    laminates : sequence of laminate.Laminate
        Of the walls.

    Raises
    ------
    ValueError
        If there is not one laminate for each wall; a laminate has no thickness or is not positive definite;
        an arc is sharper than half its thickness; a wall ends farther from its joint than the thickest wall
        there could explain; two walls without a common joint cross or touch; two walls fold back on each other;
        a wall lies within the thickness of another; or a closed skin runs counter-clockwise.
    """
    walls = len(contour.names)
    if contour.length.ndim != 1:
        reject(
            "Section: contour", f"a batch {contour.length.shape[:-1]}", "one section", "solve() takes batches"
        )
    if len(laminates) != walls:
        reject("Section: laminates", len(laminates), f"{walls}, one for each wall")
    for name, laminate in zip(contour.names, laminates, strict=True):
        _check_laminate(name, laminate)
    thickness = np.array([laminate.thickness for laminate in laminates])
    slack = contour.length - 0.5 * thickness * np.abs(contour.turn) * (1 - 1e-9)
    if (slack < 0).any():
        wall = int(np.argmin(slack))
        radius = contour.length[wall] / abs(contour.turn[wall])
        reject(
            f"Section: wall {contour.names[wall]!r}: radius [m]", f"{radius:g}", "at least half the thickness"
        )
    check_gaps("Section: contour", contour, thickness)
    _check_crossings(contour, thickness)
    _check_way(contour)


def _check_laminate(name: str, laminate: "Laminate") -> None:
    if not (hasattr(laminate, "abd") and hasattr(laminate, "thickness")):
        reject(f"Section: laminates: wall {name!r}", repr(laminate), "a Laminate")
    if not laminate.thickness > 0:
        reject(f"Section: wall {name!r}: thickness [m]", laminate.thickness, "> 0")
    abd = array(f"Section: wall {name!r}: abd", laminate.abd, last=(6, 6))
    size = np.sqrt(np.abs(np.diagonal(abd)))
    if not size.all() or np.abs(abd - abd.T).max() > 1e-9 * np.abs(abd).max():
        reject(f"Section: wall {name!r}: abd", abd.tolist(), "symmetric, none of its diagonal zero")
    least = float(np.linalg.eigvalsh(abd / np.outer(size, size))[0])
    if least <= SINGULAR:
        reject(
            f"Section: wall {name!r}: abd",
            f"least eigenvalue {least:.3g} when scaled to a unit diagonal",
            "positive definite",
            "wrong ply constants, or A, B, D of different laminates?",
        )


def check_gaps(what: str, contour: Contour, thickness: Array) -> None:
    """Refuse walls that end farther from their joint than the thickest wall there could explain.

    Parameters
    ----------
    what : str
        Name for the message.
    contour : Contour
        One section or a batch.
    thickness : ndarray, shape (..., wall)
        Of the walls [m].

    Raises
    ------
    ValueError
        If walls do not close.
    """
    graph = contour.topology
    allowed = ((graph.starts + graph.finishes) * thickness[..., None, :]).max(axis=-1)
    for matrix, point, which in (
        (graph.starts, contour.start, "starts"),
        (graph.finishes, contour.finish, "ends"),
    ):
        gap = np.linalg.norm(point - matrix.T @ contour.joints, axis=-1)
        limit = allowed @ matrix
        excess = gap - limit
        if (excess > 0).any():
            *batch, wall = (int(i) for i in np.unravel_index(np.argmax(excess), excess.shape))
            where = f" of section {tuple(batch)}" if batch else ""
            far, near = (np.broadcast_to(v, excess.shape)[*batch, wall] for v in (gap, limit))
            reject(
                what,
                f"wall {contour.names[wall]!r}{where} {which} {far:g} m off its joint",
                f"within the thickest wall there, {near:g} m",
                "the walls do not close",
            )


def _check_crossings(contour: Contour, thickness: Array) -> None:
    pieces = 1 + int(np.abs(contour.turn).max() / CHORD_TURN)
    points = contour.position(np.linspace(0.0, 1.0, pieces + 1))
    a, b = points[:, :-1].reshape(-1, 2), points[:, 1:].reshape(-1, 2)
    wall = np.repeat(np.arange(len(contour.names)), points.shape[1] - 1)
    ends = contour.ends
    near = (ends[:, None, :, None] == ends[None, :, None, :]).any(axis=(-1, -2))
    line, run = a[:, None], (b - a)[:, None]
    first, last = cross(run, a - line), cross(run, b - line)
    # An end that just touches another wall crosses it, too.
    slack = 1e-9 * np.linalg.norm(run, axis=-1) * np.linalg.norm(b - a, axis=-1)
    on = (np.abs(first) <= slack).astype(int) + (np.abs(last) <= slack)
    apart, level = (first * last < 0) | (on > 0), on == 2
    hits = np.argwhere(apart & apart.T & ~level & ~near[wall[:, None], wall])
    if len(hits):
        one, other = (contour.names[wall[i]] for i in hits[0])
        reject(
            "Section: contour", f"walls {one!r} and {other!r} cross", "an outline that does not cross itself"
        )
    _check_folds(contour)
    _check_room(contour, thickness, a, b, wall)


def _check_folds(contour: Contour) -> None:
    """Two walls that leave one joint in one direction lie on each other, unless they bend apart."""
    way = contour.tangent(np.array([0.0, 1.0]))
    out = np.stack([way[:, 0], -way[:, 1]], axis=1).reshape(-1, 2)
    bend = np.stack([contour.turn, -contour.turn], axis=1).ravel() / np.repeat(contour.length, 2)
    joint = contour.ends.ravel()
    size = np.abs(contour.length).max()
    alike = (
        (out @ out.T > 1 - 1e-12) & (joint[:, None] == joint) & (np.abs(bend[:, None] - bend) * size < 1e-9)
    )
    hits = np.argwhere(np.triu(alike, 1))
    if len(hits):
        one, other = (contour.names[i // 2] for i in hits[0])
        reject("Section: contour", f"walls {one!r} and {other!r} fold back on each other", "apart")


def _check_room(contour: Contour, thickness: Array, a: Array, b: Array, wall: NDArray[np.intp]) -> None:
    """From the middle of every wall, straight across, the next wall is as far off as both are thick."""
    middle, normal = contour.position(np.array([0.5]))[:, 0], contour.normal(np.array([0.5]))[:, 0]
    run, gap = (b - a)[None], a[None] - middle[:, None]
    det = cross(normal[:, None], run)
    with np.errstate(divide="ignore", invalid="ignore"):
        along = cross(gap, normal[:, None]) / det
    far = np.abs(cross(gap, run)) / np.linalg.norm(run, axis=-1)
    least = 0.5 * (thickness[:, None] + thickness[wall])
    other = np.arange(len(thickness))[:, None] != wall
    hits = np.argwhere(other & (along >= 0) & (along <= 1) & (far < least * (1 - 1e-9)))
    if len(hits):
        i, j = hits[0]
        reject(
            "Section: contour",
            f"walls {contour.names[i]!r} and {contour.names[wall[j]]!r} {far[i, j]:g} m apart",
            f"half the thickness of both, {least[i, j]:g} m",
            "walls thicker than the room between them?",
        )


def _check_way(contour: Contour) -> None:
    """A single closed skin has to run clockwise; with webs or flanges the choice is the caller's."""
    graph = contour.topology
    if len(graph.cycles) != 1 or not graph.cycles.all():
        return
    swept = contour.functions(np.ones(1))[:, 0, 8]
    if (graph.cycles[0] * graph.cycles[0, 0] < 0).any():
        reject("Section: contour", "a skin whose walls run both ways", "all clockwise")
    if swept.sum() > 0:
        reject(
            "Section: contour",
            "a skin that runs counter-clockwise",
            "clockwise, seen with e1 toward the viewer, e2 right and e3 up",
            "reverse it, or the outward normals point inward",
        )
