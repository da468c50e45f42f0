"""Meshes of solid sections of one material: rectangle and ellipse."""

import numpy as np
from numpy.typing import NDArray

from beam.section.solid.mesh import SolidMesh, cells
from beam.section.solid.orthotropic import Orthotropic
from materials.checks import Array, number, reject, sequence
from materials.kinds import instance


def rectangle(
    width: float, height: float, constants: Orthotropic, *, count: tuple[int, int], angle_deg: float = 0.0
) -> SolidMesh:
    """Solid rectangle about the origin.

    Parameters
    ----------
    width, height : float
        Along e2 and e3 [m].
    constants : Orthotropic
        The material.
    count : tuple of int
        Elements along e2 and e3 [-].
    angle_deg : float
        Fiber angle from e1 toward e2 [deg].

    Returns
    -------
    SolidMesh
        The mesh; ply axis 3 is e3.

    Raises
    ------
    ValueError
        If a size or count is not positive.
    """
    a, b = _sizes(width, height, "rectangle")
    pair = sequence("rectangle: count [-]", count)
    if len(pair) != 2:
        reject("rectangle: count [-]", pair, "two numbers, along e2 and e3")
    n2, n3 = (_count(n, "rectangle") for n in pair)
    x, y = np.linspace(-0.5, 0.5, 2 * n2 + 1), np.linspace(-0.5, 0.5, 2 * n3 + 1)
    points = np.stack(np.broadcast_arrays(a * x, (b * y)[:, None]), axis=-1).reshape(-1, 2)
    ids = np.arange(len(points)).reshape(2 * n3 + 1, 2 * n2 + 1)
    return _of_one(points, (ids,), constants, angle_deg)


def ellipse(
    width: float, height: float, constants: Orthotropic, *, count: int, angle_deg: float = 0.0
) -> SolidMesh:
    """Solid ellipse about the origin; a circle where width and height are equal.

    Parameters
    ----------
    width, height : float
        Axes along e2 and e3 [m].
    constants : Orthotropic
        The material.
    count : int
        Elements along a quarter of the rim; 5 count^2 in all [-].
    angle_deg : float
        Fiber angle from e1 toward e2 [deg].

    Returns
    -------
    SolidMesh
        A square patch with curved sides amid four patches that reach the rim; ply axis 3 is e3.

    Raises
    ------
    ValueError
        If a size or the count is not positive.
    """
    a, b = _sizes(width, height, "ellipse")
    n = 2 * _count(count, "ellipse")
    core, around = _core(n)
    fraction = np.linspace(0.0, 1.0, n + 1)[1:, None, None]
    rim_angle = 0.25 * np.pi * (np.arange(4 * n) * 2 / n - 3)
    rim = np.stack([np.cos(rim_angle), np.sin(rim_angle)], axis=-1)
    square = core.reshape(-1, 2)
    outer = (1 - fraction) * square[around] + fraction * rim
    points = np.concatenate([square, outer.reshape(-1, 2)]) * (0.5 * a, 0.5 * b)
    rings = len(square) + np.arange(4 * n * n).reshape(n, 4 * n)
    ids = np.concatenate([around[None], rings])
    # Rows go outward, columns counter-clockwise: taken clockwise, the element order is counter-clockwise.
    ids = np.concatenate([ids, ids[:, :1]], axis=1)[:, ::-1]
    return _of_one(points, (np.arange(len(square)).reshape(n + 1, n + 1), ids), constants, angle_deg)


def _core(n: int) -> tuple[Array, NDArray[np.intp]]:
    """Patch amid a unit circle, sides bulging halfway to arcs, and its rim counter-clockwise from (-, -)."""
    x = np.linspace(-1.0, 1.0, n + 1)
    grid = np.stack(np.broadcast_arrays(x, x[:, None]), axis=-1)
    bulge = np.sqrt(1 - 0.25 * grid[..., ::-1] ** 2)
    points = 0.6 * grid * bulge
    ids = np.arange((n + 1) ** 2).reshape(n + 1, n + 1)
    return points, np.concatenate([ids[0, :-1], ids[:-1, -1], ids[-1, :0:-1], ids[:0:-1, 0]])


def _of_one(
    points: Array, grids: tuple[NDArray[np.intp], ...], constants: Orthotropic, angle_deg: float
) -> SolidMesh:
    instance("constants", constants, Orthotropic)
    return SolidMesh(
        points=points,
        elements=np.concatenate([cells(grid) for grid in grids]),
        constants=(constants,),
        material=np.zeros(1, dtype=np.intp),
        angle_deg=np.array([number("angle_deg [deg]", angle_deg)]),
        tangent=np.zeros(9),
    )


def _sizes(width: float, height: float, who: str) -> tuple[float, float]:
    return number(f"{who}: width [m]", width, above=0.0), number(f"{who}: height [m]", height, above=0.0)


def _count(value: int, who: str) -> int:
    if not isinstance(value, (int, np.integer)) or value < 1:
        reject(f"{who}: count", repr(value), "a whole number, 1 or more")
    return int(value)
