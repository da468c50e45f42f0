"""Through the thickness: like plies that lie together become one layer, layers are cut into rows of elements."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from laminate import Laminate, Ply
from materials.checks import Array


class Rows(NamedTuple):
    """Rows of elements through a laminate.

    Parameters
    ----------
    height : ndarray, shape (row + 1,)
        Lines between rows, from -h/2 to h/2 [m].
    ply : tuple of Ply
        What each row is made of.
    """

    height: Array
    ply: tuple[Ply, ...]


def layers(laminate: Laminate) -> Rows:
    """Join neighboring plies of one lamina and one angle.

    Parameters
    ----------
    laminate : laminate.Laminate
        The wall.

    Returns
    -------
    Rows
        One row for each group of like plies.
    """
    first = [i for i, p in enumerate(laminate.plies) if i == 0 or p != laminate.plies[i - 1]]
    height = laminate.interfaces[[*first, len(laminate.plies)]]
    return Rows(height, tuple(laminate.plies[i] for i in first))


def rows(laminate: Laminate, count: int) -> Rows:
    """Cut the layers of a laminate into so many rows, the thickest first.

    Parameters
    ----------
    laminate : laminate.Laminate
        The wall.
    count : int
        Rows wanted, as many as there are layers or more [-].

    Returns
    -------
    Rows
        The rows; each layer is cut evenly.
    """
    whole = layers(laminate)
    thickness = np.diff(whole.height)
    parts: NDArray[np.intp] = np.ones(len(thickness), dtype=np.intp)
    for _ in range(count - len(thickness)):
        parts[np.argmax(thickness / parts)] += 1
    lines = [
        np.linspace(z, z + t, n, endpoint=False)
        for z, t, n in zip(whole.height[:-1], thickness, parts, strict=True)
    ]
    ply = tuple(p for p, n in zip(whole.ply, parts, strict=True) for _ in range(n))
    return Rows(np.concatenate([*lines, whole.height[-1:]]), ply)
