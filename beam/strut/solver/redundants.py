"""The force method: reactions from equilibrium, redundants from compatibility.

The held directions are sorted into six primary ones, which alone would hold the span, and the
redundant ones. With the span cut loose and held at its root instead,

    B^T R + W = 0                        equilibrium of reactions R and loads W about the root
    d + f R + B q = g - R / k            every held direction moves only as its support lets it

where B (direction, 6) are the held motions of a rigid span, d and f the motions of the held directions
under the loads and under unit reactions, q the rigid motion of the root, and g the play taken up.
"""

from itertools import product

import numpy as np
from numpy.typing import NDArray

from materials.checks import Array, reject


def rigid_forms(lever: Array, rows: Array) -> Array:
    """Held motions of a rigid span that moves with its root.

    Parameters
    ----------
    lever : ndarray, shape (direction, 3)
        From the root to the section of each held direction [m].
    rows : ndarray, shape (direction, 6)
        Linear forms of the motion of that section [-, m].

    Returns
    -------
    ndarray, shape (direction, 6)
        Rows B of the motion (u, r) of the root [-, m].
    """
    return np.concatenate([rows[:, :3], rows[:, 3:] + np.cross(lever, rows[:, :3])], axis=1)


def primary(B: Array, length: float) -> NDArray[np.intp]:
    """Choose six held directions that hold the span by themselves.

    Parameters
    ----------
    B : ndarray, shape (direction, 6)
        Held motions of the rigid span [-, m].
    length : float
        Length of the axis, to weigh rotations against translations [m].

    Returns
    -------
    ndarray of int, shape (6,)
        Numbers of the directions [-].

    Raises
    ------
    ValueError
        If the supports leave a mechanism; it is named.
    """
    from scipy.linalg import qr

    weight = np.r_[np.ones(3), np.full(3, length)]
    A = B / weight
    values, motions = np.linalg.svd(A, full_matrices=True)[1:]
    free = motions[int(np.sum(values > 1e-9 * max(values[0], 1e-300))) :] / weight
    free = free * np.sign(free[np.arange(len(free)), np.argmax(np.abs(free), axis=1)])[:, None]
    if len(free):
        loose = "; ".join(_name(q, length) for q in free)
        reject("Span: supports", f"a mechanism, free to {loose}", "enough to hold all six motions")
    unit = A / np.linalg.norm(A, axis=1, keepdims=True)
    return np.sort(qr(unit.T, pivoting=True, mode="r")[1][:6])


def _name(q: Array, length: float) -> str:
    u, r = q[:3], q[3:]
    turn = float(np.linalg.norm(r))
    if turn * length < 1e-6 * np.linalg.norm(u):
        d = np.round(u / np.linalg.norm(u), 12) + 0.0
        return f"move along ({d[0]:.3g}, {d[1]:.3g}, {d[2]:.3g})"
    d, p = r / turn, np.cross(r, u) / turn**2
    d, p = np.round(d, 12) + 0.0, np.round(p / length, 12) * length + 0.0
    return (
        f"turn about ({d[0]:.3g}, {d[1]:.3g}, {d[2]:.3g}) "
        f"through ({p[0]:.3g}, {p[1]:.3g}, {p[2]:.3g}) m from the root"
    )


def reactions(
    B: Array, first: NDArray[np.intp], W: Array, d: Array, f: Array, g: Array
) -> tuple[Array, Array]:
    """Reactions and the rigid motion of the root.

    Parameters
    ----------
    B : ndarray, shape (direction, 6)
        Held motions of the rigid span [-, m].
    first : ndarray of int, shape (6,)
        Numbers of the primary directions [-].
    W : ndarray, shape (..., 6)
        Resultant of the loads about the root [N, N m].
    d : ndarray, shape (..., direction)
        Motion of the held directions under the loads, the root held [m, rad].
    f : ndarray, shape (direction, direction)
        The same under unit reactions, with the flexibility of the supports on its diagonal [m/N].
    g : ndarray, shape (direction,)
        Play taken up [m, rad].

    Returns
    -------
    R : ndarray, shape (..., direction)
        Reactions on the span [N, N m].
    q : ndarray, shape (..., 6)
        Motion of the root [m, rad].
    """
    extra = np.setdiff1d(np.arange(len(B)), first)
    R = np.zeros(d.shape)
    R[..., first] = -W @ np.linalg.inv(B[first])
    if len(extra):
        N = np.zeros((len(B), len(extra)))
        N[first] = -np.linalg.solve(B[first].T, B[extra].T)
        N[extra, np.arange(len(extra))] = 1.0
        soft = N.T @ f @ N
        scale = 1 / np.sqrt(np.diag(soft))
        gap = (d + R @ f - g) @ N
        X = -scale * np.linalg.solve(scale[:, None] * soft * scale, (scale * gap)[..., None])[..., 0]
        R = R + X @ N.T
    q: Array = (g - d - R @ f)[..., first] @ np.linalg.inv(B[first]).T
    return R, q


def reactions_with_play(
    B: Array, length: float, W: Array, d: Array, f: Array, play: Array
) -> tuple[Array, Array]:
    """Reactions and rigid motion where some directions move freely up to a stop on either side.

    Parameters
    ----------
    B : ndarray, shape (direction, 6)
        Held motions of the rigid span [-, m].
    length : float
        Length of the axis [m].
    W : ndarray, shape (..., 6)
        Resultant of the loads about the root [N, N m].
    d : ndarray, shape (..., direction)
        Motion of the held directions under the loads, the root held [m, rad].
    f : ndarray, shape (direction, direction)
        The same under unit reactions, with the flexibility of the supports on its diagonal [m/N].
    play : ndarray, shape (direction,)
        Free motion to either side [m, rad].

    Returns
    -------
    R : ndarray, shape (..., direction)
        Reactions on the span [N, N m].
    q : ndarray, shape (..., 6)
        Motion of the root [m, rad].

    Raises
    ------
    ValueError
        If some case finds no position of rest.

    Notes
    -----
    Each loose direction is free, on its upper stop (motion +g, reaction <= 0) or on its lower one. The
    energy is convex, so the state that agrees with itself is the answer; all states are tried.
    """
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
        where = np.flatnonzero(~done)
        reject(
            "Span: play of the supports", f"no position of rest in case {where[0]}", "taken up by the loads"
        )
    return R.reshape(*shape, -1), q.reshape(*shape, 6)
