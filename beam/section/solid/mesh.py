"""A section as quadrilaterals of nine nodes, each of one material whose fibers lie along the walls.

::

    3----6----2        nodes of an element; local places (along, across) run from 0 to 1, along = 0 -> 1
    |         |        from node 0 to 1. On a wall that is t, across is the outward normal n: the order is
    7    8    5        counter-clockwise seen with e1 toward the viewer, e2 right, e3 up.
    |         |
    0----4----1
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.section.solid.orthotropic import Orthotropic, ply_axes, strain_rotation
from materials.checks import Array, array, common_shape, reject
from materials.kinds import instances, whole_numbers

SQUARE = np.array([[0, 4, 1], [7, 8, 5], [3, 6, 2]])
"""Nodes of an element as rows across, columns along."""

SLOPE = np.array([[-3.0, 4.0, -1.0], [-1.0, 0.0, 1.0], [1.0, -4.0, 3.0]])
"""Derivative of a parabola at 0, 1/2, 1 from its values there."""


def cells(ids: ArrayLike) -> NDArray[np.intp]:
    """Elements of a grid of nodes.

    Parameters
    ----------
    ids : array_like of int, shape (2 r + 1, 2 c + 1)
        Numbers of the nodes, rows across, columns along [-].

    Returns
    -------
    ndarray of int, shape (r c, 9)
        Nodes of each element, row by row [-].
    """
    grid = np.asarray(ids)
    rows, columns = ((n - 1) // 2 for n in grid.shape)
    parts = [grid[i : i + 2 * rows - 1 : 2, j : j + 2 * columns - 1 : 2] for i in range(3) for j in range(3)]
    out = np.empty((rows * columns, 9), dtype=np.intp)
    out[:, SQUARE.ravel()] = np.stack(parts, axis=-1).reshape(-1, 9)
    return out


def tangents(points: ArrayLike, elements: ArrayLike) -> Array:
    """Angle of the lines along each element, at its nodes.

    Parameters
    ----------
    points : array_like, shape (node, 2)
        Nodes (y2, y3) [m].
    elements : array_like of int, shape (element, 9)
        Nodes of each element [-].

    Returns
    -------
    ndarray, shape (element, 9)
        From e2 toward e3, without jumps inside an element [rad].
    """
    z = np.asarray(points) @ np.array([1.0, 1j])
    slope = z[np.asarray(elements)[:, SQUARE]] @ SLOPE.T
    middle = slope[:, 1:2, 1:2]
    angle = np.angle(middle) + np.angle(slope * np.conj(middle))
    out = np.empty((len(slope), 9))
    out[:, SQUARE.ravel()] = angle.reshape(-1, 9)
    return out


@dataclass(frozen=True, kw_only=True, eq=False)
class SolidMesh:
    """Mesh of a section, solid or hollow, with the material of every element.

    Parameters
    ----------
    points : array_like, shape (node, 2)
        Nodes (y2, y3) [m].
    elements : array_like of int, shape (element, 9)
        Nodes of each element: corners counter-clockwise, middles of the sides, center [-].
    constants : sequence of Orthotropic
        The materials.
    material : array_like of int, shape (1,) or (element,)
        Which of them each element is made of [-].
    angle_deg : array_like, shape (1,) or (element,)
        Fiber angle from e1 toward the tangent t [deg].
    tangent : array_like, shape (9,) or (element, 9)
        Angle of t from e2 toward e3 at the nodes [rad].

    Raises
    ------
    ValueError
        If shapes do not fit, an element is turned over or folded, nodes hang free, or the elements fall apart.
    """

    points: Array
    elements: NDArray[np.intp]
    constants: tuple[Orthotropic, ...]
    material: NDArray[np.intp]
    angle_deg: Array
    tangent: Array

    def __post_init__(self) -> None:
        points = array("SolidMesh: points [m]", self.points, last=(-1, 2))
        elements = whole_numbers("SolidMesh: elements", self.elements)
        if elements.ndim != 2 or elements.shape[1] != 9 or not len(elements):
            reject("SolidMesh: elements", f"shape {elements.shape}", "of shape (element, 9)")
        count = len(elements)
        if not np.array_equal(np.unique(elements), np.arange(len(points))):
            reject("SolidMesh: elements", "nodes unused or out of range", f"all of 0 to {len(points) - 1}")
        constants = instances("SolidMesh: constants", self.constants, Orthotropic)
        material = _each("material", whole_numbers("SolidMesh: material", self.material), (count,)).copy()
        if material.min() < 0 or material.max() >= len(constants):
            reject("SolidMesh: material", f"number {material.max()}", f"from 0 to {len(constants) - 1}")
        angle = _each("angle_deg", array("SolidMesh: angle_deg [deg]", self.angle_deg), (count,))
        tangent = _each("tangent", array("SolidMesh: tangent [rad]", self.tangent), (count, 9))
        for name, value in (("elements", elements), ("material", material)):
            value.setflags(write=False)
            object.__setattr__(self, name, value)
        object.__setattr__(self, "points", points)
        object.__setattr__(self, "constants", constants)
        object.__setattr__(self, "angle_deg", angle)
        object.__setattr__(self, "tangent", tangent)
        self._check_elements()

    def _check_elements(self) -> None:
        from scipy.sparse import coo_array
        from scipy.sparse.csgraph import connected_components

        p = self.points[self.elements[:, SQUARE]]
        along, across = SLOPE @ p, np.einsum("ik,ekjc->eijc", SLOPE, p)
        folded = along[..., 0] * across[..., 1] - along[..., 1] * across[..., 0] <= 0
        if folded.any():
            worst = int(np.argmax(folded.any(axis=(1, 2))))
            y2, y3 = self.points[self.elements[worst, 8]]
            reject(
                "SolidMesh: elements",
                f"element {worst} at ({y2:.4g}, {y3:.4g}) m turned over or folded",
                "nodes counter-clockwise, every element with an area",
                "walls that overlap, zero thickness, or a corner sharper than the wall is thick?",
            )
        count, nodes = len(self.elements), len(self.points)
        rows = np.repeat(np.arange(count), 9)
        links = coo_array((np.ones(9 * count), (rows, self.elements.ravel())), shape=(count, nodes)).tocsr()
        pieces = connected_components(links @ links.T, directed=False, return_labels=False)
        if pieces != 1:
            reject("SolidMesh: elements", f"{pieces} pieces", "one piece", "walls that do not close?")

    @cached_property
    def stiffness(self) -> Array:
        """Stiffness of each element in wall axes (x, y, z), shape (element, 6, 6) [Pa]."""
        T = strain_rotation(ply_axes(np.radians(self.angle_deg)))
        C = np.stack([c.stiffness for c in self.constants])[self.material]
        return T.swapaxes(-1, -2) @ C @ T


def _each(name: str, value: NDArray[Any], shape: tuple[int, ...]) -> NDArray[Any]:
    if value.ndim > len(shape) or common_shape(f"SolidMesh: {name}", value.shape, shape) != shape:
        reject(f"SolidMesh: {name}", f"shape {value.shape}", f"one, or {shape}")
    return np.broadcast_to(value, shape)
