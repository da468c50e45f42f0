"""Checks at the door: what, got, limit, likely cause.

Every constructor of the three packages uses these, so that a wrong value stops where it
is written and the message reads the same everywhere.
"""

from typing import NoReturn

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
    try:
        out = float(value)
    except (TypeError, ValueError):
        reject(what, repr(value), "a number", cause)
    if not np.isfinite(out):
        reject(what, out, "finite", cause)
    limits = [
        (out > above, f"> {above:g}"),
        (out >= at_least, f">= {at_least:g}"),
        (out < below, f"< {below:g}"),
        (out <= at_most, f"<= {at_most:g}"),
    ]
    for holds, limit in limits:
        if not holds:
            reject(what, f"{out:g}", limit, cause)
    return out


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
