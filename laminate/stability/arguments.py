"""Types of the arguments that the buckling functions share, and their cases as one list of rows."""

from typing import Annotated, Literal

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, Limits

LARGEST_LENGTH = 10.0
"""A wall larger than this [m] is taken for a length given in mm."""
MOST_TERMS = 40
"""Most trial functions along one direction [-]."""

Support = Literal["simply supported", "clamped", "free"]
Pair = tuple[Support, Support]
SIMPLE: Pair = ("simply supported", "simply supported")

BendingStiffness = Annotated[ArrayLike, Limits("N m", last=(3, 3), definite=True)]
WallStiffness = Annotated[ArrayLike, Limits("N/m, N, N m", last=(6, 6), definite=True)]
Length = Annotated[ArrayLike, Limits("m", above=0.0, at_most=LARGEST_LENGTH, cause="given in mm?")]
Endless = Annotated[ArrayLike, Limits("m", above=0.0, finite=False)]
Load = Annotated[ArrayLike, Limits("N/m")]
Terms = Annotated[int, Limits("-", at_least=4, at_most=MOST_TERMS)]


def cases(stiffness: ArrayLike, *rows: ArrayLike) -> tuple[tuple[int, ...], Array, Array]:
    """Broadcast shape, stiffness (case, n, n) and table (case, row) of a stiffness (..., n, n) and rows (...)."""
    matrix, numbers = np.asarray(stiffness), [np.asarray(row) for row in rows]
    shape = np.broadcast_shapes(matrix.shape[:-2], *(row.shape for row in numbers))
    flat = np.broadcast_to(matrix, shape + matrix.shape[-2:]).reshape(-1, *matrix.shape[-2:])
    return shape, flat, np.stack([np.broadcast_to(row, shape).ravel() for row in numbers], axis=-1)
