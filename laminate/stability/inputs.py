"""Checks at the door of the buckling functions, in one place so that the messages agree."""

import numpy as np
from numpy.typing import ArrayLike

from laminate.plate import unit_diagonal
from laminate.stability.ritz import SUPPORTS
from materials.checks import Array, array, one_of, reject, sequence

LARGEST_LENGTH = 10.0
"""A plate larger than this [m] is taken for a length given in mm."""


def bending_stiffness(D: ArrayLike) -> Array:
    """Return D as a read-only array after checking that it can be the stiffness of a plate.

    Parameters
    ----------
    D : array_like, shape (..., 3, 3)
        Bending stiffness [N m].

    Returns
    -------
    ndarray, shape (..., 3, 3)
        The same values, read-only [N m].

    Raises
    ------
    ValueError
        If it has another shape, is not finite, not symmetric or not positive definite.
    """
    out = array("bending stiffness D [N m]", D, last=(3, 3), copy=False)
    unit_diagonal("bending stiffness D [N m]", out)
    return out


def wall_stiffness(abd: ArrayLike) -> Array:
    """Return the 6 x 6 stiffness of a wall as a read-only array after checking it.

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        A, B and D together [N/m, N, N m].

    Returns
    -------
    ndarray, shape (..., 6, 6)
        The same values, read-only [N/m, N, N m].

    Raises
    ------
    ValueError
        If it has another shape, is not finite, not symmetric or not positive definite.
    """
    out = array("wall stiffness abd [N/m, N, N m]", abd, last=(6, 6), copy=False)
    unit_diagonal("wall stiffness abd [N/m, N, N m]", out)
    return out


def length(what: str, value: ArrayLike) -> Array:
    """Return positive lengths as a frozen array.

    Parameters
    ----------
    what : str
        Name for the message, with the unit.
    value : array_like, shape (...)
        Length of a plate [m].

    Returns
    -------
    ndarray, shape (...)
        A frozen copy [m].

    Raises
    ------
    ValueError
        If it is not finite and positive, or larger than `LARGEST_LENGTH`.
    """
    out = array(what, value)
    if not (out > 0.0).all():
        reject(what, f"{out.min():g}", "> 0")
    if not (out <= LARGEST_LENGTH).all():
        reject(what, f"{out.max():g}", f"<= {LARGEST_LENGTH:g}", "given in mm?")
    return out


def edge_pair(edges: tuple[str, str]) -> tuple[str, str]:
    """Return the supports of two opposite edges as a checked tuple.

    Parameters
    ----------
    edges : tuple of two str
        Keys of `SUPPORTS`.

    Returns
    -------
    tuple of two str
        The same.

    Raises
    ------
    ValueError
        If there are not two, or one is unknown.
    """
    pair = sequence("edges", edges) if not isinstance(edges, str) else ()
    if len(pair) != 2:
        reject("edges", repr(edges), "a pair, one support for each of two opposite edges")
    first, second = (one_of("edges", edge, SUPPORTS) for edge in pair)
    return first, second


def spring(what: str, value: ArrayLike, count: int = 2) -> Array:
    """Return rotational edge springs as an array with one entry for each edge.

    Parameters
    ----------
    what : str
        Name for the message, with the unit.
    value : array_like, shape (..., count) or a number
        Moment per length and rotation [N m/(m rad)].
    count : int
        Number of edges [-].

    Returns
    -------
    ndarray, shape (..., count)
        A frozen copy [N m/(m rad)].

    Raises
    ------
    ValueError
        If it is negative, not finite or has another trailing shape.
    """
    out = array(what, value)
    out = array(what, out if out.ndim else np.full(count, out), last=(count,))
    if not (out >= 0.0).all():
        reject(what, f"{out.min():g}", ">= 0")
    return out
