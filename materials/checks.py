"""Checks at the door: what, got, limit, likely cause.

Every constructor of the three packages uses these, so that a wrong value stops where it
is written and the message reads the same everywhere.
"""

from collections.abc import Iterable
from typing import Any, NoReturn

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def reject(what: str, got: object, limit: str, cause: str = "") -> NoReturn:
    """Raise the ValueError of the house: what, got, limit, likely cause.

    Parameters
    ----------
    what : str
        The quantity and its owner, as in ``"Lamina 'T300': E1 [Pa]"``.
    got : object
        The value that was given.
    limit : str
        What is allowed, as in ``"> 0"``.
    cause : str
        The likely cause, as in ``"given in GPa?"``.

    Raises
    ------
    ValueError
        Always.
    """
    raise ValueError(f"{what}: got {got}, must be {limit}" + (f"; {cause}" if cause else ""))


def array(
    what: str, value: ArrayLike, *, last: tuple[int, ...] = (), finite: bool = True, copy: bool = True
) -> Array:
    """Copy to a read-only float array with the trailing shape `last`.

    Parameters
    ----------
    what : str
        Name for the message.
    value : array_like, shape (..., *last)
        The values, in the unit of the caller [any].
    last : tuple of int
        Trailing shape wanted; -1 stands for any length [-].
    finite : bool
        Refuse NaN and infinity.
    copy : bool
        Copy always; False gives a read-only view where the value already is a float array (for
        functions that only read a large input).

    Returns
    -------
    ndarray, shape (..., *last)
        A frozen copy or view, in the unit of `value` [any].

    Raises
    ------
    ValueError
        If it is not numeric, has another trailing shape, or is not finite.
    """
    if isinstance(value, np.ndarray | np.generic):
        if value.dtype.kind == "c":
            reject(what, "complex numbers", "real")
        if isinstance(value, np.ma.MaskedArray) and np.ma.is_masked(value):
            reject(what, "masked values", "present", "choose what to put in place of what is missing")
    try:
        out = np.array(value, dtype=float, copy=True if copy else None)
    except (TypeError, ValueError):
        reject(what, repr(value), "an array of numbers")
    tail = out.shape[out.ndim - len(last) :] if out.ndim >= len(last) else None
    if tail is None or any(want not in (-1, have) for want, have in zip(last, tail, strict=True)):
        reject(what, f"shape {out.shape}", f"of shape (..., {', '.join(map(str, last))})")
    if finite and not np.isfinite(out).all():
        reject(what, "NaN or infinity", "finite")
    if not copy:
        out = out.view()
    out.setflags(write=False)
    return out


def number(
    what: str,
    value: float,
    *,
    above: float = -np.inf,
    at_least: float = -np.inf,
    below: float = np.inf,
    at_most: float = np.inf,
    cause: str = "",
) -> float:
    """Return `value` as a finite float within its limits.

    Parameters
    ----------
    what : str
        Name for the message, with the unit.
    value : float
        The number, in the unit of the caller [any].
    above, below : float
        Open limits, in the unit of `value` [any].
    at_least, at_most : float
        Closed limits, in the unit of `value` [any].
    cause : str
        Likely cause of a value outside the limits.

    Returns
    -------
    float
        The value, in its unit [any].

    Raises
    ------
    ValueError
        If it is not a finite number within the limits.
    """
    given: object = value
    if isinstance(given, np.ndarray) and given.ndim:
        reject(what, f"an array of shape {given.shape}", "a number", cause)
    try:
        out = float(value)
    except (TypeError, ValueError):
        reject(what, repr(value), "a number", cause)
    if not np.isfinite(out):
        reject(what, out, "finite", cause)
    limits = (
        (out > above, ">", above),
        (out >= at_least, ">=", at_least),
        (out < below, "<", below),
        (out <= at_most, "<=", at_most),
    )
    for holds, sign, limit in limits:
        if not holds:
            reject(what, f"{out:g}", f"{sign} {limit:g}", cause)
    return out


def whole(
    what: str, value: float, *, at_least: float = -np.inf, at_most: float = np.inf, cause: str = ""
) -> int:
    """Return `value` as a whole number within its limits.

    Parameters
    ----------
    what : str
        Name for the message, with the unit.
    value : int or whole float
        The number, in the unit of the caller [any].
    at_least, at_most : float
        Closed limits, in the unit of `value` [any].
    cause : str
        Likely cause of a value outside the limits.

    Returns
    -------
    int
        The value, in its unit [any].

    Raises
    ------
    ValueError
        If it is not a finite number within the limits, or a fraction.
    """
    out = number(what, value, cause=cause)
    if not (out.is_integer() and at_least <= out <= at_most):
        above = f", >= {at_least:g}" if at_least > -np.inf else ""
        reject(what, f"{out:g}", f"whole{above}" + (f", <= {at_most:g}" if at_most < np.inf else ""), cause)
    return int(out)


def sequence(what: str, value: Iterable[Any], *, empty: bool = False) -> tuple[Any, ...]:
    """Return the items of a sequence; stop if there is none, or a single thing in its place.

    Parameters
    ----------
    what : str
        Name for the message.
    value : iterable
        The items, in the unit of the caller [any].
    empty : bool
        Whether no item will do.

    Returns
    -------
    tuple
        The items, unchecked.

    Raises
    ------
    ValueError
        If it is text or cannot be iterated, or holds no item where one is wanted.
    """
    given: object = value
    try:
        out = None if isinstance(given, str | bytes) else tuple(value)
    except TypeError:
        out = None
    if out is None:
        reject(what, repr(value), "a sequence", "a single one? put it in brackets")
    if not out and not empty:
        reject(what, "none", "at least one")
    return out


def one_of(what: str, value: str, known: Iterable[str], cause: str = "") -> str:
    """Return `value` if it is one of the known words.

    Parameters
    ----------
    what : str
        Name for the message.
    value : str
        The word.
    known : iterable of str
        What is allowed.
    cause : str
        Likely cause of another word.

    Returns
    -------
    str
        The word.

    Raises
    ------
    ValueError
        If it is another word, or no word.
    """
    words = tuple(known)
    given: object = value
    if not isinstance(given, str) or given not in words:
        shown = [repr(word) for word in words]
        limit = " or ".join(shown) if len(words) == 2 else "one of " + ", ".join(shown)
        reject(what, repr(value), limit, cause)
    return value


def flag(what: str, value: bool) -> bool:
    """Return `value` if it is True or False; a word such as "no" would count as true.

    Parameters
    ----------
    what : str
        Name for the message.
    value : bool
        What was given.

    Returns
    -------
    bool
        The same.

    Raises
    ------
    ValueError
        If it is neither True nor False.
    """
    given: object = value
    if not isinstance(given, bool | np.bool_):
        reject(what, repr(value), "True or False")
    return bool(given)


def common_shape(what: str, *shapes: tuple[int, ...]) -> tuple[int, ...]:
    """Shape that the given shapes broadcast to.

    Parameters
    ----------
    what : str
        Names of what has these shapes, for the message.
    shapes : tuple of int
        The shapes [-].

    Returns
    -------
    tuple of int
        The common shape [-].

    Raises
    ------
    ValueError
        If they do not fit together.
    """
    try:
        return np.broadcast_shapes(*shapes)
    except ValueError:
        reject(what, "shapes " + ", ".join(map(str, shapes)), "broadcastable with each other")
