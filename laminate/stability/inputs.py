"""Checks at the door of the buckling functions, in one place so that the messages agree."""

from typing import NoReturn

import numpy as np
from numpy.typing import ArrayLike

from laminate.stability.ritz import SUPPORTS
from materials.checks import Array, array, reject

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
    _refuse_indefinite("bending stiffness D [N m]", out)
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
    _refuse_indefinite("wall stiffness abd [N/m, N, N m]", out)
    return out


def _refuse_indefinite(what: str, matrix: Array) -> None:
    diagonal = np.diagonal(matrix, axis1=-2, axis2=-1)
    if not (diagonal > 0.0).all():
        reject(what, f"diagonal down to {diagonal.min():g}", "> 0 on the diagonal")
    # Correlation form: unit diagonal, so that one threshold serves every scale and anisotropy.
    scale = 1.0 / np.sqrt(diagonal)
    unit = matrix * scale[..., :, None] * scale[..., None, :]
    if (abs(unit - np.swapaxes(unit, -1, -2)) > 1e-8).any():
        reject(what, "an unsymmetric matrix", "symmetric")
    try:
        np.linalg.cholesky(unit)
    except np.linalg.LinAlgError:
        reject(what, "a matrix that is not positive definite", "positive definite")


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


def unknown_edges(edges: object, known: tuple[str, ...], cause: str = "") -> NoReturn:
    """Refuse an edge support that is not known.

    Parameters
    ----------
    edges : object
        What was given.
    known : tuple of str
        What is allowed.
    cause : str
        Likely cause.

    Raises
    ------
    ValueError
        Always.
    """
    reject("edges", repr(edges), "one of " + ", ".join(map(repr, known)), cause)


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
    if isinstance(edges, str) or len(edges) != 2:
        reject("edges", repr(edges), "a pair, one support for each of two opposite edges")
    for edge in edges:
        if edge not in SUPPORTS:
            unknown_edges(edge, tuple(SUPPORTS))
    return edges[0], edges[1]


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
    out = array(what, np.full(count, value) if np.ndim(value) == 0 else value, last=(count,))
    if not (out >= 0.0).all():
        reject(what, f"{out.min():g}", ">= 0")
    return out
