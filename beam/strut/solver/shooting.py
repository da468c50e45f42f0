"""One piece of a line in large displacement: from its inboard end to its outboard end, with the derivatives.

In strut axes, with Q the rotation of the section, E its unloaded axes as rows, n and m force and moment:

    (gamma, kappa) = C (E Q^T n, E Q^T m) + free    strains in section axes
    p' = Q (t + E^T gamma)                           position; t the unloaded tangent
    Q' = skew(k) Q,  k = Q E^T kappa                 rotation
    n' = 0,  m' = -p' x n                            equilibrium

References
----------
E. Reissner, "On one-dimensional large-displacement finite-strain beam theory", Studies in Applied
Mathematics 52 (1973) 87-95; J. C. Simo, Computer Methods in Applied Mechanics and Engineering 49 (1985)
55-70 (both from memory; the equations are derived here).
"""

from typing import NamedTuple

import numpy as np

from beam.axes import rotation, skew
from materials.checks import Array

STEPS = (2, 4, 6, 8)  # Midpoint rule with these steps to a piece, extrapolated: error of the eighth order.
FRACTIONS = np.unique(np.concatenate([np.arange(n + 1) / n for n in STEPS]))


class Pieces(NamedTuple):
    """What does not change with the loads.

    Parameters
    ----------
    length : ndarray, shape (piece,)
        Lengths [-] of the span's.
    axes : ndarray, shape (piece, 3, 3)
        Section axes E as rows [-].
    flexible : ndarray, shape (fraction, piece, 6, 6)
        Compliance C at `FRACTIONS` of each piece, made dimensionless [-].
    free : ndarray, shape (fraction, piece, 6)
        Strain of heat and moisture there, likewise [-].
    """

    length: Array
    axes: Array
    flexible: Array
    free: Array


class State(NamedTuple):
    """Where the inboard ends of the pieces are and what passes through them, made dimensionless.

    Parameters
    ----------
    p : ndarray, shape (case, piece, 3)
        Position [-].
    Q : ndarray, shape (case, piece, 3, 3)
        Rotation from the unloaded state [-].
    n : ndarray, shape (case, piece, 3)
        Force of the outboard part on the inboard part [-].
    m : ndarray, shape (case, piece, 3)
        Moment, likewise [-].
    """

    p: Array
    Q: Array
    n: Array
    m: Array


def across(pieces: Pieces, start: State) -> tuple[State, Array]:
    """Take every piece from its inboard to its outboard end.

    Parameters
    ----------
    pieces : Pieces
        The pieces.
    start : State
        State at the inboard ends.

    Returns
    -------
    end : State
        State at the outboard ends.
    derivative : ndarray, shape (case, piece, 9, 9)
        Change of (p, turn, m) there with the (turn, n, m) of the inboard ends [-].
    """
    shape = start.p.shape[:-1]
    vector = np.concatenate([start.p, np.zeros((*shape, 3)), start.m], axis=-1)
    change = np.zeros((*shape, 9, 9))
    change[..., 3:6, 0:3] = change[..., 6:9, 6:9] = np.eye(3)
    y = np.concatenate([vector[..., None], change], axis=-1)
    rows: list[list[Array]] = []
    for level, steps in enumerate(STEPS):
        h = (pieces.length / steps)[:, None, None]
        before, now = y, y + h * _slope(pieces, start, y, 0.0)
        for step in range(1, steps):
            before, now = now, before + 2 * h * _slope(pieces, start, now, step / steps)
        row = [now]
        for back in range(1, level + 1):
            ratio = (steps / STEPS[level - back]) ** 2
            row.append(row[-1] + (row[-1] - rows[-1][back - 1]) / (ratio - 1))
        rows.append(row)
    found = rows[-1][-1]
    turned = rotation(found[..., 3:6, 0]) @ start.Q
    return State(found[..., 0:3, 0], turned, start.n, found[..., 6:9, 0]), found[..., 1:]


def strains(pieces: Pieces, state: State, fraction: int) -> tuple[Array, Array]:
    """Strains on the strut axes and the compliance turned with the section.

    Parameters
    ----------
    pieces : Pieces
        The pieces.
    state : State
        State at one place in each piece.
    fraction : int
        Which of `FRACTIONS` that place is [-].

    Returns
    -------
    strain : ndarray, shape (case, piece, 6)
        Q E^T gamma and k [-].
    flexible : ndarray, shape (case, piece, 6, 6)
        Compliance on the strut axes [-].
    """
    turn = pieces.axes @ np.swapaxes(state.Q, -1, -2)
    both = np.zeros((*turn.shape[:-2], 6, 6))
    both[..., :3, :3] = both[..., 3:, 3:] = turn
    flexible = np.swapaxes(both, -1, -2) @ pieces.flexible[fraction] @ both
    force = np.concatenate([state.n, state.m], axis=-1)[..., None]
    strain = flexible @ force + np.swapaxes(both, -1, -2) @ pieces.free[fraction][..., None]
    return strain[..., 0], flexible


def _slope(pieces: Pieces, start: State, y: Array, at: float) -> Array:
    """Derivative along the piece of (p, phi, m) and their changes; the section turns by exp(phi) Q."""
    phi, m, change = y[..., 3:6, 0], y[..., 6:9, 0], y[..., 1:]
    Q = rotation(phi) @ start.Q
    fraction = int(np.argmin(np.abs(FRACTIONS - at)))
    strain, flexible = strains(pieces, State(start.p, Q, start.n, m), fraction)
    out = np.empty_like(y)
    along = Q @ pieces.axes[:, 0, :, None]
    slope = along[..., 0] + strain[..., :3]
    out[..., 0:3, 0] = slope
    out[..., 3:6, 0] = turn_rate(phi, strain[..., 3:])
    out[..., 6:9, 0] = -np.cross(slope, start.n)
    # Change of the forces seen by the section: (dn - turn x n, dm - turn x m), turn = rows 3 to 5.
    S_n, S_m, S_p = skew(start.n), skew(m), skew(slope)
    seen = np.empty((*y.shape[:-2], 6, 9))
    seen[..., :3, :] = S_n @ change[..., 3:6, :]
    seen[..., :3, 3:6] += np.eye(3)
    seen[..., 3:, :] = change[..., 6:9, :] + S_m @ change[..., 3:6, :]
    stretched = flexible @ seen
    moved = stretched[..., :3, :] - S_p @ change[..., 3:6, :]
    out[..., 0:3, 1:] = moved
    out[..., 3:6, 1:] = stretched[..., 3:, :]
    out[..., 6:9, 1:] = S_n @ moved
    out[..., 6:9, 4:7] -= S_p
    return out


def turn_rate(phi: Array, k: Array) -> Array:
    """Rate of the rotation vector phi whose rotation turns at the rate k."""
    a = np.linalg.norm(phi, axis=-1, keepdims=True)
    safe = np.where(a > 1e-4, a, 1.0)
    c = np.where(a > 1e-4, (1 - safe / 2 / np.tan(safe / 2)) / safe**2, 1 / 12 + a**2 / 720)
    once = np.cross(phi, k)
    return k - once / 2 + c * np.cross(phi, once)


def turn_row(phi: Array, b: Array) -> Array:
    """Linear form of a further turn that is the change of b . phi, shape (..., 3) [-]."""
    rates = [turn_rate(phi, np.broadcast_to(e, phi.shape)) for e in np.eye(3)]
    return np.stack([np.sum(rate * b, axis=-1) for rate in rates], axis=-1)
