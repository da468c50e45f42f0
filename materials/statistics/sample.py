"""A sample of coupon values at the door."""

from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from materials.checks import Array, array, one_of, reject, sequence

BasisLetter = Literal["A", "B"]
ROUNDING = 1e-12
"""Scatter, relative to the values, that rounding alone explains [-]."""

PROPORTION = {"A": 0.99, "B": 0.90}


def checked_sample(
    sample: ArrayLike, *, least: int = 2, above_zero: bool = False, what: str = "sample"
) -> Array:
    """Return a sample as a float array of enough values that scatter.

    Parameters
    ----------
    sample : array_like, shape (..., n)
        Coupon values, all in one unit [any].
    least : int
        Fewest values that the method can use [-].
    above_zero : bool
        Refuse values that are not positive.
    what : str
        Name for the message.

    Returns
    -------
    ndarray, shape (..., n)
        A frozen copy, in the unit of the sample [any].

    Raises
    ------
    ValueError
        If there are too few values, one is not finite, or not positive where it must be, or all are equal
        but for rounding.
    """
    x = array(f"{what} [any]", sample, last=(-1,))
    if x.size == 0 or x.shape[-1] < least:
        reject(
            f"{what}: number of values [-]", x.shape[-1] if x.size else 0, f">= {least}", "coupons missing?"
        )
    if above_zero and np.any(x <= 0.0):
        reject(f"{what} [any]", f"{x.min():g}", "> 0", "strengths are magnitudes, compression too")
    if not scatters(x).all():
        reject(what, "equal values only", "values that scatter", "rounded off, or one coupon copied?")
    return x


def scatters(x: Array) -> NDArray[np.bool_]:
    """Tell whether values differ by more than rounding.

    Parameters
    ----------
    x : ndarray, shape (..., n)
        Coupon values [any].

    Returns
    -------
    ndarray of bool, shape (...)
        Whether they do [-].
    """
    return np.asarray(np.ptp(x, axis=-1) > ROUNDING * abs(x).max(axis=-1))


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
    given = sequence("batches", batches, empty=True)
    checked = tuple(array(f"batches: batch {i + 1} [any]", one, last=(-1,)) for i, one in enumerate(given))
    if len(checked) < 2:
        reject("batches: number [-]", len(checked), ">= 2", "one batch cannot differ from itself")
    for i, one in enumerate(checked):
        if one.ndim != 1 or one.size == 0:
            reject(f"batches: batch {i + 1}", f"shape {one.shape}", "a flat list of values, not empty")
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
    return PROPORTION[one_of("basis", basis, PROPORTION)]


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
