"""Checks of what kind of thing stands at the door: objects of a class, whole numbers, text.

They go with `materials.checks`, which looks at the values of numbers, words and arrays.
"""

from collections.abc import Iterable
from typing import TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from materials.checks import array, reject

T = TypeVar("T")


def instance(what: str, value: T, kind: type) -> T:
    """Return `value` if it is an object of that kind.

    Parameters
    ----------
    what : str
        Name for the message.
    value : object
        What was given.
    kind : type
        What it must be.

    Returns
    -------
    object
        The same.

    Raises
    ------
    ValueError
        If it is something else.
    """
    given: object = value
    if not isinstance(given, kind):
        reject(what, f"{given!r:.80}", f"of type {kind.__name__}")
    return value


def instances(what: str, values: Iterable[T], kind: type, *, least: int = 1) -> tuple[T, ...]:
    """Return `values` as a tuple if each is an object of that kind.

    Parameters
    ----------
    what : str
        Name for the message.
    values : iterable of object
        What was given.
    kind : type
        What each must be.
    least : int
        Fewest allowed [-].

    Returns
    -------
    tuple
        The objects.

    Raises
    ------
    ValueError
        If it is text or cannot be iterated, holds too few, or one is something else.
    """
    given: object = values
    if isinstance(given, str | bytes) or not isinstance(given, Iterable):
        reject(what, f"{given!r:.80}", f"a sequence of {kind.__name__}")
    out = tuple(instance(f"{what}[{i}]", value, kind) for i, value in enumerate(values))
    if len(out) < least:
        reject(what, len(out) or "none", f"at least {least}")
    return out


def whole_numbers(what: str, value: ArrayLike) -> NDArray[np.intp]:
    """Copy to an array of whole numbers.

    Parameters
    ----------
    what : str
        Name for the message.
    value : array_like of int
        The numbers [-].

    Returns
    -------
    ndarray of int
        A copy [-].

    Raises
    ------
    ValueError
        If they are not whole numbers.
    """
    out = array(what, value)
    kind = np.asarray(value).dtype
    if not np.issubdtype(kind, np.integer):
        reject(what, f"numbers of type {kind}", "whole numbers")
    return out.astype(np.intp)


def text(what: str, value: str) -> str:
    """Return `value` if it is text.

    Parameters
    ----------
    what : str
        Name of the argument, for the message.
    value : str
        What was given.

    Returns
    -------
    str
        The value.

    Raises
    ------
    ValueError
        If it is no text, or empty.
    """
    if not instance(what, value, str).strip():
        reject(what, repr(value), "text")
    return value
