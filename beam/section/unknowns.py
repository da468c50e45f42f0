"""The unknowns of a section and the fields they make in the walls.

Per wall there are eight: the section's strains (eps, kappa1, kappa2, kappa3) and the flows of the wall
(q, F2, F3, M0), which are sums over the closed paths it belongs to.
"""

import numpy as np

from materials.checks import Array


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


def project(image: Array, moments: Array) -> Array:
    """Virtual work of fields in the walls on each of the eight unknowns.

    Parameters
    ----------
    image : ndarray, shape (..., wall, 6, function, column)
        What works on (ex, kx, kxs, Ny, Nxy, My), as coefficients of the place functions [any].
    moments : ndarray, shape (..., wall, 5, function)
        Integrals of the first five place functions times each function [m] ...

    Returns
    -------
    ndarray, shape (..., wall, 8, column)
        Work per wall [any].
    """
    integrated = moments[..., None, :, :] @ image
    return FIELD.reshape(30, 8).T @ integrated.reshape(*integrated.shape[:-3], 30, image.shape[-1])


def total(per_wall: Array, cycles: Array) -> Array:
    """Sum matrices on the eight unknowns of each wall to the unknowns of the section.

    Parameters
    ----------
    per_wall : ndarray, shape (..., wall, 8, 8)
        Matrix of each wall [any].
    cycles : ndarray, shape (cycle, wall)
        Closed paths [-].

    Returns
    -------
    ndarray, shape (..., 4 + 4 cycle, 4 + 4 cycle)
        Matrix of the section [any].
    """
    rows = gather(per_wall, cycles)
    lead, cells = per_wall.shape[:-3], len(cycles)
    n = 4 + 4 * cells
    out = np.empty((*lead, n, n))
    out[..., :4] = rows[..., :4].sum(axis=-3)
    flows = np.einsum("cw,...wij->...icj", cycles, rows[..., 4:])
    out[..., 4:] = flows.reshape(*lead, n, 4 * cells)
    return out


def gather(per_wall: Array, cycles: Array) -> Array:
    """Bring rows on the eight unknowns of each wall to the unknowns of the section.

    Parameters
    ----------
    per_wall : ndarray, shape (..., wall, 8, column)
        Rows of each wall [any].
    cycles : ndarray, shape (cycle, wall)
        Closed paths [-].

    Returns
    -------
    ndarray, shape (..., wall, 4 + 4 cycle, column)
        The same work, not yet summed over the walls [any].
    """
    parts = cycles.T[:, :, None, None] * per_wall[..., None, 4:, :]
    flows = parts.reshape(*per_wall.shape[:-2], 4 * len(cycles), per_wall.shape[-1])
    return np.concatenate([per_wall[..., :4, :], flows], axis=-2)


def spread(unknown: Array, cycles: Array) -> Array:
    """The eight unknowns of each wall from those of the section.

    Parameters
    ----------
    unknown : ndarray, shape (..., 4 + 4 cycle, column)
        Strains, then the flows of each closed path [any].
    cycles : ndarray, shape (cycle, wall)
        Closed paths [-].

    Returns
    -------
    ndarray, shape (..., wall, 8, column)
        Strains, then the flows of each wall [any].
    """
    columns = unknown.shape[-1]
    lead, walls = unknown.shape[:-2], cycles.shape[1]
    flows = unknown[..., 4:, :].reshape(*lead, len(cycles), 4 * columns)
    out = np.empty((*lead, walls, 8, columns))
    out[..., :4, :] = unknown[..., None, :4, :]
    out[..., 4:, :] = (cycles.T @ flows).reshape(*lead, walls, 4, columns)
    return out
