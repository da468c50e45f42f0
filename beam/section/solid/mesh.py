"""A section as quadrilaterals of nine nodes, each of one material whose fibers lie along the walls.

::

    3----6----2        nodes of an element; local places (along, across) run from 0 to 1, along = 0 -> 1
    |         |        from node 0 to 1. On a wall that is t, across is the outward normal n: the order is
    7    8    5        counter-clockwise seen with e1 toward the viewer, e2 right, e3 up.
    |         |
    0----4----1
"""

from functools import cached_property
from typing import Annotated, Any

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from beam.section.solid.orthotropic import Orthotropic, ply_axes, strain_transform
from materials.checks import Array, Frozen, Items, Limits, Numbers, WholeNumbers, reject

SQUARE = np.array([[0, 4, 1], [7, 8, 5], [3, 6, 2]])
"""Nodes of an element as rows across, columns along."""

SLOPE = np.array([[-3.0, 4.0, -1.0], [-1.0, 0.0, 1.0], [1.0, -4.0, 3.0]])
"""Derivative of a parabola at 0, 1/2, 1 from its values there."""


class SolidMesh(Frozen):
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
        Index of the material of each element [-].
    angle_deg : array_like, shape (1,) or (element,)
        Fiber angle from e1 toward the tangent t [deg].
    tangent : array_like, shape (9,) or (element, 9)
        Angle of t from e2 toward e3 at the nodes [rad].

    Raises
    ------
    ValueError
        If shapes do not fit, an element is turned over or folded, a node is unused, or the elements are not connected.

    Notes
    -----
    Positions in an element are biquadratic in (along, across); the determinant of their gradient must be positive at
    the nine nodes.

    Examples
    --------
    >>> bar = SolidMesh(
    ...     points=[[-1, -1], [1, -1], [1, 1], [-1, 1], [0, -1], [1, 0], [0, 1], [-1, 0], [0, 0]],
    ...     elements=[range(9)], constants=[Orthotropic.isotropic(70e9, 0.3)], material=[0], angle_deg=[0.0],
    ...     tangent=[0.0] * 9,
    ... )
    >>> bar.stiffness.shape
    (1, 6, 6)
    """

    points: Annotated[Numbers, Limits("m", shape=(-1, 2))]
    elements: Annotated[WholeNumbers, Limits("-", shape=(-1, 9), at_least=0)]
    constants: Items[Orthotropic]
    material: Annotated[WholeNumbers, Limits("-", axes=1, at_least=0)]
    angle_deg: Annotated[Numbers, Limits("deg", axes=1)]
    tangent: Annotated[Numbers, Limits("rad", axes=2)]

    def __post_init__(self) -> None:
        super().__post_init__()
        count = len(self.elements)
        if not count or not np.array_equal(np.unique(self.elements), np.arange(len(self.points))):
            limit = f"all of 0 to {len(self.points) - 1}"
            reject("SolidMesh: elements", "nodes unused or out of range", limit)
        if self.material.max(initial=0) >= len(self.constants):
            limit = f"from 0 to {len(self.constants) - 1}"
            reject("SolidMesh: material", f"number {self.material.max()}", limit)
        for name, shape in (("material", (count,)), ("angle_deg", (count,)), ("tangent", (count, 9))):
            object.__setattr__(self, name, _one_or_each(name, getattr(self, name), shape))
        self._check_shapes()
        self._check_pieces()

    def _check_shapes(self) -> None:
        """Refuse elements that are turned over or folded."""
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

    def _check_pieces(self) -> None:
        """Refuse elements that are not connected."""
        count, nodes = len(self.elements), len(self.points)
        rows = np.repeat(np.arange(count), 9)
        links = coo_array((np.ones(9 * count), (rows, self.elements.ravel())), shape=(count, nodes)).tocsr()
        pieces = connected_components(links @ links.T, directed=False, return_labels=False)
        if pieces != 1:
            reject("SolidMesh: elements", f"{pieces} pieces", "one piece", "walls that do not close?")

    @cached_property
    def stiffness(self) -> Array:
        """Stiffness of each element in wall axes (x, y, z), shape (element, 6, 6) [Pa]."""
        T = strain_transform(ply_axes(np.radians(self.angle_deg)))
        C = np.stack([c.stiffness for c in self.constants])[self.material]
        return T.swapaxes(-1, -2) @ C @ T


def cells(ids: ArrayLike) -> NDArray[np.intp]:
    """Nodes of each element, (r c, 9), row by row, of a grid of nodes, (2 r + 1, 2 c + 1), rows across."""
    grid = np.asarray(ids)
    rows, columns = ((n - 1) // 2 for n in grid.shape)
    parts = [grid[i : i + 2 * rows - 1 : 2, j : j + 2 * columns - 1 : 2] for i in range(3) for j in range(3)]
    out = np.empty((rows * columns, 9), dtype=np.intp)
    out[:, SQUARE.ravel()] = np.stack(parts, axis=-1).reshape(-1, 9)
    return out


def tangents(points: Array, elements: NDArray[np.intp]) -> Array:
    """Angle of the lines along each element at its nodes, (element, 9), without jumps inside an element [rad]."""
    z = points @ np.array([1.0, 1j])
    slope = z[elements[:, SQUARE]] @ SLOPE.T
    middle = slope[:, 1:2, 1:2]
    angle = np.angle(middle) + np.angle(slope * np.conj(middle))
    out = np.empty((len(slope), 9))
    out[:, SQUARE.ravel()] = angle.reshape(-1, 9)
    return out


def _one_or_each(name: str, value: NDArray[Any], shape: tuple[int, ...]) -> NDArray[Any]:
    """A field given once or for each element, broadcast to the shape for each."""
    try:
        return np.broadcast_to(value, shape)
    except ValueError:
        reject(f"SolidMesh: {name}", f"shape {value.shape}", f"one, or {shape}")
