"""Linear solution of a span: reactions by the force method, section forces by equilibrium, motion by integration.

Six restrained directions, the primary ones, would hold the span alone; the others are redundant. With the span cut
loose and held at its root instead,

    B^T R + W = 0                        equilibrium of reactions R and loads W about the root
    d + f R + B q = g - R / k            every restrained direction moves only as its support lets it

where B (direction, 6) are the restrained motions of a rigid span, d and f the motions of the directions under the
loads and under unit reactions, q the rigid motion of the root, k the stiffness of the supports, and g the play.
"""

from itertools import product

import numpy as np
from numpy.typing import NDArray

from beam.strut.axis import SNAP, Axis
from beam.strut.point_loads import PointLoads, outboard
from beam.strut.solver.field import Field, gauss, pieces
from beam.strut.supports import Held, primary
from materials.checks import Array, reject


def support_reactions(
    axis: Axis, stiffness: Field, held: Held, loads: PointLoads, strain: Field | None
) -> Array:
    """Reactions (..., direction) on the span under loads and free strain [N, N m]."""
    if len(held.at) == 6:
        return -_resultant(axis, loads.at, loads.wrench) @ np.linalg.inv(held.rigid)
    return solve(axis, stiffness, held, loads, strain, axis.kinks[:1])[0]


def solve(
    axis: Axis, stiffness: Field, held: Held, loads: PointLoads, strain: Field | None, s: Array
) -> tuple[Array, Array]:
    """Reactions (..., direction) and displacements (..., station, 6) at stations s (station,) [N, N m; m, rad]."""
    unit = np.eye(len(held.at))[..., None] * held.rows
    loads_there, loads_s = _cantilever(axis, stiffness, loads.at, loads.wrench, strain, held.at, s)
    unit_there, unit_s = _cantilever(axis, stiffness, held.at, unit, None, held.at, s)
    W = _resultant(axis, loads.at, loads.wrench)
    d = np.einsum("...di,di->...d", loads_there, held.rows)
    f = np.einsum("rdi,di->dr", unit_there, held.rows) + np.diag(held.flexibility)
    if held.play.any():
        R, q = _with_play(held.rigid, axis.length, W, d, f, held.play)
    else:
        R, q = reactions(held.rigid, held.primary, W, d, f, held.play)
    lever = axis.position(s) - axis.points[0]
    u = np.cross(q[..., None, 3:], lever) + q[..., None, :3]
    root = np.concatenate([u, np.broadcast_to(q[..., None, 3:], u.shape)], axis=-1)
    return R, loads_s + np.einsum("...r,rsi->...si", R, unit_s) + root


def section_forces(axis: Axis, held: Held, loads: PointLoads, R: Array, s: Array) -> Array:
    """Section forces (..., station, 6) of loads and reactions R (..., direction), those at the root left out."""
    out = outboard(axis, s, loads.at, loads.wrench)
    beyond = held.at > SNAP * axis.length
    if beyond.any():
        back = R[..., beyond, None] * held.rows[beyond]
        out = out + outboard(axis, s, held.at[beyond], back)
    return out


def _cantilever(
    axis: Axis, stiffness: Field, at: Array, wrench: Array, strain: Field | None, *wanted: Array
) -> list[Array]:
    """Displacements (..., station, 6) for every set of stations, the root held and no other support."""
    ends = pieces(axis, stiffness.stations, at, *wanted)
    points = gauss(ends)[0]
    force = outboard(axis, points.ravel(), at, wrench)
    flexible = np.linalg.inv(stiffness.at(points.ravel()))
    strained = np.einsum("pij,...pj->...pi", flexible, force)
    if strain is not None:
        strained = strained + strain.at(points.ravel())
    moved = _displacement(axis, ends, strained.reshape(*strained.shape[:-2], *points.shape, 6))
    return [moved[..., np.searchsorted(ends, s - SNAP * axis.length), :] for s in wanted]


def _displacement(axis: Axis, ends: Array, strain: Array) -> Array:
    """Motion (..., end, 6) from strains (..., end - 1, point, 6) at the Gauss points of the pieces, the root held."""
    # r(s) = integral of kappa, u(s) = integral of gamma + kappa x (p(s) - p): the lever is split in two, so that
    # one running sum serves all stations.
    s, w = gauss(ends)
    rows = axis.frames(s)
    root = axis.points[0]
    gamma = np.einsum("pqji,...pqj->...pqi", rows, strain[..., :3])
    kappa = np.einsum("pqji,...pqj->...pqi", rows, strain[..., 3:])
    moved = gamma - np.cross(kappa, axis.position(s) - root)
    total = np.einsum("pq,...pqi->...pi", w, np.concatenate([moved, kappa], axis=-1))
    sums = np.zeros((*total.shape[:-2], len(ends), 6))
    np.cumsum(total, axis=-2, out=sums[..., 1:, :])
    sums[..., :3] += np.cross(sums[..., 3:], axis.position(ends) - root)
    return sums


def _resultant(axis: Axis, at: Array, wrench: Array) -> Array:
    """Force and moment (..., 6) of loads (..., load, 6) about the root, in strut axes [N, N m]."""
    arm = axis.position(at) - axis.points[0]
    moment = wrench[..., 3:] + np.cross(arm, wrench[..., :3])
    return np.concatenate([wrench[..., :3], moment], axis=-1).sum(axis=-2)


def reactions(
    B: Array, first: NDArray[np.intp], W: Array, d: Array, f: Array, g: Array
) -> tuple[Array, Array]:
    """Reactions (..., direction) and root motion (..., 6) by the force method; `first` are the primary directions."""
    extra = np.setdiff1d(np.arange(len(B)), first)
    R = np.zeros(d.shape)
    R[..., first] = -W @ np.linalg.inv(B[first])
    if len(extra):
        N = np.zeros((len(B), len(extra)))
        N[first] = -np.linalg.solve(B[first].T, B[extra].T)
        N[extra, np.arange(len(extra))] = 1.0
        flexible = N.T @ f @ N
        scale = 1 / np.sqrt(np.diag(flexible))
        gap = (d + R @ f - g) @ N
        X = -scale * np.linalg.solve(scale[:, None] * flexible * scale, (scale * gap)[..., None])[..., 0]
        R = R + X @ N.T
    q: Array = (g - d - R @ f)[..., first] @ np.linalg.inv(B[first]).T
    return R, q


def _with_play(B: Array, length: float, W: Array, d: Array, f: Array, play: Array) -> tuple[Array, Array]:
    """`reactions` where some directions move freely up to a stop on either side."""
    # Each loose direction is free, on its upper stop (motion +g, reaction <= 0) or on its lower one. The energy is
    # convex, so the state that agrees with itself is the answer. All states are tried.
    loose = np.flatnonzero(play)
    shape = d.shape[:-1]
    W, d = np.broadcast_to(W, (*shape, 6)).reshape(-1, 6), d.reshape(-1, len(B))
    R, q, done = np.zeros_like(d), np.zeros_like(W), np.zeros(len(d), dtype=bool)
    for state in product((0, 1, -1), repeat=len(loose)):
        sides = np.zeros(len(B))
        sides[loose] = state
        on = np.ones(len(B), dtype=bool)
        on[loose] = sides[loose] != 0
        try:
            first = primary(B[on], length)
        except ValueError:
            continue
        todo = ~done
        some, motion = reactions(B[on], first, W[todo], d[todo][:, on], f[np.ix_(on, on)], (sides * play)[on])
        every = np.zeros((len(some), len(B)))
        every[:, on] = some
        moved = d[todo] + every @ f + motion @ B.T
        slack = 1e-9 * play[loose]
        rests = np.where(
            sides[loose] == 0,
            np.abs(moved[:, loose]) <= play[loose] + slack,
            every[:, loose] * sides[loose] <= 0,
        ).all(axis=1)
        found = np.flatnonzero(todo)[rests]
        R[found], q[found], done[found] = every[rests], motion[rests], True
    if not done.all():
        case = np.flatnonzero(~done)[0]
        reject("Span: play of the supports", f"no position of rest in case {case}", "taken up by the loads")
    return R.reshape(*shape, -1), q.reshape(*shape, 6)
