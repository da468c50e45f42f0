"""From pieces of a failure surface to strength ratios and modes of many load paths."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from laminate.failure.modes import Mode, ModeArray
from laminate.failure.surface import Piece
from materials.checks import Array, array, reject

BLOCK = 8192
"""Rows worked on at once: the temporaries of a block stay in cache."""


def strength_ratio(
    pieces: Sequence[Piece], load: ArrayLike, residual: ArrayLike | None, *, what: str
) -> Array:
    """Factor on the load at which the first piece of a criterion is met.

    Parameters
    ----------
    pieces : sequence of Piece
        The pieces of one criterion.
    load : array_like, shape (..., 3)
        The stress or strain that grows with the load [Pa] or [-].
    residual : array_like, shape (..., 3), or None
        The stress or strain that stays fixed [Pa] or [-].
    what : str
        Name for messages.

    Returns
    -------
    ndarray, shape (...)
        R > 0; inf if the path never meets one (always so for zero load), 0 if the residual
        alone is on or beyond one [-].

    Raises
    ------
    ValueError
        If an input has not three components, is not finite, or the shapes do not fit.
    """
    return _first(pieces, load, residual, what)[0]


def first_mode(
    pieces: Sequence[Piece], load: ArrayLike, residual: ArrayLike | None, *, what: str
) -> ModeArray:
    """Mode of the piece that is met first.

    Parameters
    ----------
    pieces : sequence of Piece
        The pieces of one criterion.
    load : array_like, shape (..., 3)
        The stress or strain that grows with the load [Pa] or [-].
    residual : array_like, shape (..., 3), or None
        The stress or strain that stays fixed [Pa] or [-].
    what : str
        Name for messages.

    Returns
    -------
    ndarray of int8, shape (...)
        Values of `Mode`, NONE where none is met [-].

    Raises
    ------
    ValueError
        If an input has not three components, is not finite, or the shapes do not fit.
    """
    return _first(pieces, load, residual, what)[1]


def _first(
    pieces: Sequence[Piece], load: ArrayLike, residual: ArrayLike | None, what: str
) -> tuple[Array, ModeArray]:
    """Smallest ratio and the mode of its surface."""
    parts = [array(f"{what}: stress or strain that grows", load, last=(3,), copy=False)]
    if residual is not None:
        parts.append(array(f"{what}: residual", residual, last=(3,), copy=False))
    try:
        shape = np.broadcast_shapes(*(p.shape[:-1] for p in parts))
    except ValueError:
        reject(f"{what}: residual", f"shape {parts[1].shape}", f"broadcastable with {parts[0].shape}")
    ratio, mode = np.empty(shape), np.empty(shape, dtype=np.int8)
    inputs: Any = [p[..., i] for p in parts for i in range(3)]
    flags: Any = [["readonly", "contig"]] * len(inputs) + [["writeonly", "contig"]] * 2
    blocks = np.nditer(
        [*inputs, ratio, mode],
        flags=["external_loop", "buffered", "zerosize_ok"],
        op_flags=flags,
        buffersize=BLOCK,
    )
    with blocks, np.errstate(all="ignore"):
        for *x, least, which in blocks:
            size = np.maximum(np.maximum(abs(x[0]), abs(x[1])), abs(x[2]))
            size[size == 0] = 1.0
            s = x[0] / size, x[1] / size, x[2] / size
            r = None if residual is None else (x[3], x[4], x[5])
            least[...] = np.inf
            for piece in pieces:
                R = piece.crossing(s, r, least)
                np.copyto(which, piece.mode, where=least > R)
                np.minimum(least, R, out=least)
            least /= size
            which[least == np.inf] = Mode.NONE
    return ratio, mode
