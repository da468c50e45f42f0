"""A sample of coupon values at the door."""

from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, array, reject

BasisLetter = Literal["A", "B"]
PROPORTION = {"A": 0.99, "B": 0.90}


def checked_sample(sample: ArrayLike, *, least: int = 2, above_zero: bool = False) -> Array:
    """Return a sample as a float array of enough values that scatter.

    Parameters
    ----------
    sample : array_like, shape (..., n)
        Coupon values, all in one unit [any].
    least : int
        Fewest values that the method can use [-].
    above_zero : bool
        Refuse values that are not positive.

    Returns
    -------
    ndarray, shape (..., n)
        A frozen copy, in the unit of the sample [any].

    Raises
    ------
    ValueError
        If there are too few values, one is not finite, or not positive where it must be, or all are equal.
    """
    x = array("sample [any]", sample, last=(-1,))
    if x.size == 0 or x.shape[-1] < least:
        reject(
            "sample: number of values [-]", x.shape[-1] if x.size else 0, f">= {least}", "coupons missing?"
        )
    if above_zero and np.any(x <= 0.0):
        reject("sample [any]", f"{x.min():g}", "> 0", "strengths are magnitudes, compression too")
    if np.any(np.ptp(x, axis=-1) == 0.0):
        reject("sample", "equal values only", "values that scatter", "rounded off, or one coupon copied?")
    return x


def checked_batches(batches: Sequence[ArrayLike]) -> tuple[Array, ...]:
    """Return two batches or more as flat float arrays.

    Parameters
    ----------
    batches : sequence of array_like
        Coupon values of each batch, all in one unit [any].

    Returns
    -------
    tuple of ndarray, shape (n,)
        Frozen copies, in the unit of the batches [any].

    Raises
    ------
    ValueError
        If there are fewer than two batches, one is empty or not flat, or no value differs from another.
    """
    checked = tuple(array(f"batch {i + 1} [any]", one, last=(-1,)) for i, one in enumerate(batches))
    if len(checked) < 2:
        reject("batches: number [-]", len(checked), ">= 2", "one batch cannot differ from itself")
    for i, one in enumerate(checked):
        if one.ndim != 1 or one.size == 0:
            reject(f"batch {i + 1}", f"shape {one.shape}", "a flat list of values, not empty")
    checked_sample(np.concatenate(checked))
    return checked


def proportion(basis: str) -> float:
    """Return the share of the population that a basis value must leave above it.

    Parameters
    ----------
    basis : {"A", "B"}
        Kind of basis value.

    Returns
    -------
    float
        0.99 for A, 0.90 for B [-].

    Raises
    ------
    ValueError
        If it is another letter.
    """
    if basis not in PROPORTION:
        reject("basis", repr(basis), "'A' or 'B'")
    return PROPORTION[basis]


@cache
def table(name: str) -> dict[str, Array]:
    """Return the columns of a table of the handbook.

    Parameters
    ----------
    name : str
        File name without ending.

    Returns
    -------
    dict of str to ndarray
        Columns by their heading [-].
    """
    path = Path(__file__).parents[1] / "data" / f"{name}.csv"
    head, *rows = path.read_text(encoding="utf-8").split()
    columns = np.array([row.split(",") for row in rows], dtype=float).T
    columns.setflags(write=False)
    return dict(zip(head.split(","), columns, strict=True))
