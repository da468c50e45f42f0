"""Small grids of bricks of one material, and their solution by a general sparse solver."""

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.linalg import spsolve

from beam.section.solid import Orthotropic
from beam.strut.bricks.brick_elements import Grid, Layers, element_matrices


def grid(points, *, closed=False, E=70e9, nu=0.3):
    """A grid of an isotropic material from nodes (plane, column, 3, 3)."""
    C, none = Orthotropic.isotropic(E, nu).stiffness, np.zeros((2, 6))
    layers = Layers(
        np.ones((1, 4, 1)), np.array([1.0]), np.array([0]), np.stack([C, C]), np.stack([none, none])
    )
    rows, around = (points.shape[0] - 1) // 2, points.shape[1] // 2
    return Grid(points, np.zeros((rows, around), dtype=np.intp), layers, closed)


def flat(length, width, thickness, rows, around):
    """Nodes of a flat plate."""
    x, y = np.linspace(0, length, 2 * rows + 1), np.linspace(0, width, 2 * around + 1)
    return np.stack(np.meshgrid(x, y, np.linspace(-0.5, 0.5, 3) * thickness, indexing="ij"), axis=-1)


def arc(length, inner, outer, rows, around, angle=2 * np.pi):
    """Nodes of a cylinder or a part of it that begins at +e3 and runs clockwise; closed if the angle is a full turn."""
    count = 2 * around + (angle < 2 * np.pi - 1e-9)
    x, a = np.linspace(0, length, 2 * rows + 1), np.arange(count) * angle / (2 * around)
    x, a, r = np.meshgrid(x, a, np.linspace(inner, outer, 3), indexing="ij")
    return np.stack([x, r * np.sin(a), r * np.cos(a)], axis=-1)


def assembled(g):
    """Sparse stiffness of a grid and the numbers of the unknowns of its elements (element, 81)."""
    K, _ = element_matrices(g)
    dofs = (9 * g.columns.reshape(-1, 9)[..., None] + np.arange(9)).reshape(-1, 81)
    index = np.broadcast_arrays(dofs[:, :, None], dofs[:, None, :])
    return coo_array((K.ravel(), [i.ravel() for i in index]), shape=(g.points.size,) * 2).tocsc(), dofs


def solved(g, prescribed, load=None):
    """Displacements (node shape) and nodal forces with unknowns prescribed, NaN where free, under nodal loads."""
    K, _ = assembled(g)
    u = np.array(prescribed, dtype=float).ravel()
    free = np.isnan(u)
    u[free] = 0.0
    f = np.zeros(u.size) if load is None else np.ravel(load)
    u[free] = spsolve(K[free][:, free], (f - K @ u)[free])
    return u.reshape(g.points.shape), (K @ u).reshape(g.points.shape)
