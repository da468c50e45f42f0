"""Rules between the walls of a section: they close, do not cross or overlap, and run clockwise around a skin."""

import numpy as np

from beam.section.contour import Contour, cross, place_functions
from materials.checks import Array, reject

CHORD_TURN = 0.2
"""Largest turn of a piece of curved wall that is taken as straight in the search for crossings [rad]."""


def check_geometry(contour: Contour, thickness: Array) -> None:
    """Refuse one section whose walls, (wall,) thick [m], cannot be laid up as drawn."""
    excess = 0.5 * thickness * np.abs(contour.turn) * (1 - 1e-9) - contour.length
    if (excess > 0).any():
        wall = int(np.argmax(excess))
        radius = contour.length[wall] / abs(contour.turn[wall])
        reject(
            f"Section: wall {contour.names[wall]!r}: mid-line radius [m]",
            f"{radius:g} with a wall {thickness[wall]:g} m thick",
            f"at least half the thickness, {0.5 * thickness[wall]:g}",
        )
    check_gaps("Section: contour", contour, thickness)
    points = contour.position(np.linspace(0.0, 1.0, 2 + int(np.abs(contour.turn).max() / CHORD_TURN)))
    _check_crossings(contour, points)
    _check_folds(contour)
    _check_clearance(contour, thickness, points)
    _check_direction(contour)


def check_gaps(what: str, contour: Contour, thickness: Array) -> None:
    """Refuse walls that end farther from their joint than the thickest wall there, (..., wall) [m], explains."""
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


def _check_crossings(contour: Contour, points: Array) -> None:
    """Refuse two walls without a common joint that cross or touch; `points` are (wall, point, 2)."""
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


def _check_folds(contour: Contour) -> None:
    """Refuse two walls that leave one joint in one direction and do not bend apart."""
    way = contour.tangent([0.0, 1.0])
    out = np.stack([way[:, 0], -way[:, 1]], axis=1).reshape(-1, 2)
    bend = np.stack([contour.turn, -contour.turn], axis=1).ravel() / np.repeat(contour.length, 2)
    joint = contour.ends.ravel()
    size = contour.length.max()
    same = (
        (out @ out.T > 1 - 1e-12) & (joint[:, None] == joint) & (np.abs(bend[:, None] - bend) * size < 1e-9)
    )
    hits = np.argwhere(np.triu(same, 1))
    if len(hits):
        one, other = (contour.names[i // 2] for i in hits[0])
        reject("Section: contour", f"walls {one!r} and {other!r} fold back on each other", "apart")


def _check_clearance(contour: Contour, thickness: Array, points: Array) -> None:
    """Refuse a wall that lies, straight across from the middle of another, within half the thickness of both."""
    a, b = points[:, :-1].reshape(-1, 2), points[:, 1:].reshape(-1, 2)
    wall = np.repeat(np.arange(len(contour.names)), points.shape[1] - 1)
    middle, normal = contour.position(0.5), contour.normal(0.5)
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
            f"at least half the thickness of both, {least[i, j]:g} m",
            "walls thicker than the space between them?",
        )


def _check_direction(contour: Contour) -> None:
    """Refuse a single closed skin that does not run clockwise; with webs or flanges the choice is the caller's."""
    graph = contour.topology
    if len(graph.cycles) != 1 or not graph.cycles.all():
        return
    if (graph.cycles[0] * graph.cycles[0, 0] < 0).any():
        reject("Section: contour", "a skin whose walls run both ways", "all clockwise")
    if place_functions(contour, np.ones(1))[:, 0, 8].sum() > 0:
        reject(
            "Section: contour",
            "a skin that runs counter-clockwise",
            "clockwise, seen with e1 toward the viewer, e2 right and e3 up",
            "reverse it, or the outward normals point inward",
        )
