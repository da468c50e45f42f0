"""Bring loads and sizes of many cases to one list of rows, and the answers back to their shape."""

import numpy as np

from materials.checks import Array, common_shape


def flatten(what: str, stiffness: Array, rows: tuple[Array, ...]) -> tuple[tuple[int, ...], Array, Array]:
    """Broadcast a stiffness and the numbers that go with it, and list the cases.

    Parameters
    ----------
    what : str
        Names of the arguments, for the message.
    stiffness : ndarray, shape (..., n, n)
        Stiffness of the wall [any].
    rows : tuple of ndarray, shape (...)
        Sizes and loads [any].

    Returns
    -------
    shape : tuple of int
        Broadcast shape [-].
    stiffness : ndarray, shape (case, n, n)
        One matrix per case [any].
    table : ndarray, shape (case, row)
        The rows of each case, in their order [any].

    Raises
    ------
    ValueError
        If the shapes do not fit together.
    """
    shape = common_shape(what, stiffness.shape[:-2], *(row.shape for row in rows))
    last = stiffness.shape[-2:]
    flat = np.broadcast_to(stiffness, shape + last).reshape(-1, *last)
    return shape, flat, np.stack([np.broadcast_to(row, shape).ravel() for row in rows], axis=-1)
