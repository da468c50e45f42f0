"""Equations of the walls of a section: wall law, unknowns, integrals over the mid-lines.

**Wall law.** Along the span a wall follows the section: its strains (ex, kx, kxs) are known. Around the section its
running loads (Ny, Nxy, My) are known by equilibrium. The mixed law gives the others.

**Unknowns.** Each wall has eight: the section strains (eps, kappa1, kappa2, kappa3) and the flows (q, F2, F3, M0),
which are sums over the closed paths that the wall belongs to.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.section.contour import Contour, cross, place_functions
from materials.checks import Array

DIRECT = (0, 3, 4, 5)
"""Indices of (N, T, M2, M3) among the six section forces."""

TRANSVERSE = (1, 2)
"""Indices of (V2, V3) among the six section forces."""

STRAINS = (0, 3, 5)
"""Indices of (ex, kx, kxs) among the six wall strains, and of (Nx, Mx, Mxy) among the six wall loads."""

LOADS = (1, 2, 4)
"""Indices of (Ny, Nxy, My) among the six wall loads, and of (ey, gxy, ky) among the six wall strains."""


def mixed_law(abd: ArrayLike) -> Array:
    """Symmetric matrix, (..., 6, 6), from (ex, kx, kxs, Ny, Nxy, My) to (Nx, Mx, Mxy, -ey, -gxy, -ky).

    With the stiffness split as n = a e + b g, s = b' e + d g it is [[a - Q b', Q], [Q', -R]], R = d^-1, Q = b R.
    """
    law = np.asarray(abd, dtype=float)
    e, s = np.array(STRAINS), np.array(LOADS)
    a = law[..., e[:, None], e]
    b = law[..., e[:, None], s]
    R = np.linalg.inv(law[..., s[:, None], s])
    Q = b @ R
    out = np.empty(law.shape)
    out[..., :3, :3] = a - Q @ np.swapaxes(b, -1, -2)
    out[..., :3, 3:] = Q
    out[..., 3:, :3] = np.swapaxes(Q, -1, -2)
    out[..., 3:, 3:] = -R
    return out


def wall_loads(law: Array, known: Array) -> Array:
    """(Nx, Ny, Nxy, Mx, My, Mxy) from the known (ex, kx, kxs, Ny, Nxy, My), both (..., 6, column)."""
    n = law[..., :3, :] @ known
    s = np.broadcast_to(known[..., 3:, :], n.shape)
    return np.stack(
        [n[..., 0, :], s[..., 0, :], s[..., 1, :], n[..., 1, :], s[..., 2, :], n[..., 2, :]], axis=-2
    )


def _field() -> Array:
    """(ex, kx, kxs, Ny, Nxy, My) on (1, y2, y3, t2, t3) per unknown, shape (6, 5, 8); see `states`."""
    out = np.zeros((6, 5, 8))
    one, y2, y3, t2, t3 = range(5)
    eps, kappa1, kappa2, kappa3, q, F2, F3, M0 = range(8)
    for row, function, unknown, value in (
        (0, one, eps, 1.0),
        (0, y3, kappa2, 1.0),
        (0, y2, kappa3, -1.0),
        (1, t2, kappa2, 1.0),
        (1, t3, kappa3, 1.0),
        (2, one, kappa1, -2.0),
        (3, t2, F2, 1.0),
        (3, t3, F3, 1.0),
        (4, one, q, 1.0),
        (5, one, M0, -1.0),
        (5, y2, F3, 1.0),
        (5, y3, F2, -1.0),
    ):
        out[row, function, unknown] = value
    out.setflags(write=False)
    return out


FIELD = _field()
"""(ex, kx, kxs, Ny, Nxy, My) on (1, y2, y3, t2, t3) for each of the eight unknowns of a wall."""


def fields_of(unknown: Array) -> Array:
    """(ex, kx, kxs, Ny, Nxy, My) on the first five place functions, (..., wall, 6, 5, column), of eight unknowns."""
    return (FIELD.reshape(30, 8) @ unknown).reshape(*unknown.shape[:-2], 6, 5, unknown.shape[-1])


def project(image: Array, moments: Array) -> Array:
    """Virtual work, (..., wall, 8, column), of fields (..., wall, 6, function, column) on the eight unknowns."""
    integrated = moments[..., None, :, :] @ image
    return FIELD.reshape(30, 8).T @ integrated.reshape(*integrated.shape[:-3], 30, image.shape[-1])


def total(per_wall: Array, cycles: Array) -> Array:
    """Sum matrices (..., wall, 8, 8) to the unknowns of the section, (..., 4 + 4 cycle, 4 + 4 cycle)."""
    rows = gather(per_wall, cycles)
    lead, cells = per_wall.shape[:-3], len(cycles)
    n = 4 + 4 * cells
    out = np.empty((*lead, n, n))
    out[..., :4] = rows[..., :4].sum(axis=-3)
    flows = np.einsum("cw,...wij->...icj", cycles, rows[..., 4:])
    out[..., 4:] = flows.reshape(*lead, n, 4 * cells)
    return out


def gather(per_wall: Array, cycles: Array) -> Array:
    """Rows (..., wall, 8, column) as rows of the section's unknowns per wall, (..., wall, 4 + 4 cycle, column)."""
    parts = cycles.T[:, :, None, None] * per_wall[..., None, 4:, :]
    flows = parts.reshape(*per_wall.shape[:-2], 4 * len(cycles), per_wall.shape[-1])
    return np.concatenate([per_wall[..., :4, :], flows], axis=-2)


def spread(unknown: Array, cycles: Array) -> Array:
    """The eight unknowns of each wall, (..., wall, 8, column), from those of the section."""
    columns = unknown.shape[-1]
    lead, walls = unknown.shape[:-2], cycles.shape[1]
    flows = unknown[..., 4:, :].reshape(*lead, len(cycles), 4 * columns)
    out = np.empty((*lead, walls, 8, columns))
    out[..., :4, :] = unknown[..., None, :4, :]
    out[..., 4:, :] = (cycles.T @ flows).reshape(*lead, walls, 4, columns)
    return out


class Measure(NamedTuple):
    """Integrals over the mid-lines and the connectors at their ends."""

    moments: Array
    """Products of the place functions integrated along each wall, shape (..., wall, 10, 10) [m] ... [m^5]."""

    last: Array
    """Place functions at the end of each wall, shape (..., wall, 10) [-] ... [m^2]."""

    start: Array
    """Start of each mid-line, shape (..., wall, 2) [m]."""

    joint: Array
    """Joint at the start of each wall, shape (..., wall, 2) [m]."""

    chord: Array
    """From the joint at the start to the joint at the end, shape (..., wall, 2) [m]."""

    swept: Array
    """r x t integrated over the connector at the start, the wall, the connector at the end, (..., wall, 3) [m^2]."""


def measure(contour: Contour) -> Measure:
    """Integrals over the mid-lines by Gauss's rule: exact on straight walls, to 1e-14 on arcs."""
    bend = float(np.abs(contour.turn).max())
    nodes = 3 if bend == 0.0 else 4 + int(np.ceil(2 * bend))
    x, weight = np.polynomial.legendre.leggauss(nodes)
    values = place_functions(contour, (1 + x) / 2)
    weighted = values * (0.5 * weight[:, None] * contour.length[..., None, None])
    graph, joints = contour.topology, contour.joints
    a, b = graph.starts.T @ joints, graph.finishes.T @ joints
    last = place_functions(contour, np.ones(1))[..., 0, :]
    swept = np.stack([cross(a, contour.start), last[..., 8], cross(contour.finish, b)], axis=-1)
    moments = np.swapaxes(weighted, -1, -2) @ values
    return Measure(moments, last, np.broadcast_to(contour.start, a.shape), a, b - a, swept)
