"""Checks of the room beyond those of all rooms: parts of an object, vectors, what a law is asked for."""

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, array, common_shape, reject
from materials.limits import between


def able(what: str, value: object, *parts: str) -> None:
    """Stop if an object lacks one of the parts that its place asks for.

    Parameters
    ----------
    what : str
        Name for the message.
    value : object
        What was given: any kind of object will do.
    parts : str
        Methods and attributes that it must have.

    Raises
    ------
    ValueError
        If it lacks one.
    """
    missing = [part for part in parts if not hasattr(value, part)]
    if missing:
        reject(
            what, f"{value!r:.80}", f"an object with {', '.join(parts)}", f"it has no {', '.join(missing)}"
        )


def vector(what: str, value: ArrayLike) -> Array:
    """Copy three components to a read-only array.

    Parameters
    ----------
    what : str
        Name for the message, with the unit.
    value : array_like, shape (3,)
        The components, in the unit of the caller [any].

    Returns
    -------
    ndarray, shape (3,)
        A frozen copy, in the unit of `value` [any].

    Raises
    ------
    ValueError
        If they are not three finite numbers.
    """
    out = array(what, value)
    if out.shape != (3,):
        reject(what, f"shape {out.shape}", "three components")
    return out


def turn(what: str, value: ArrayLike) -> Array:
    """Copy turns about an axis to a read-only array.

    Parameters
    ----------
    what : str
        Name for the message, with the unit.
    value : array_like, shape (...)
        The turns [rad].

    Returns
    -------
    ndarray, shape (...)
        A frozen copy [rad].

    Raises
    ------
    ValueError
        If one is not finite or more than a whole turn.
    """
    return between(what, array(what, value), -2 * np.pi, 2 * np.pi, "given in degrees?")


def direction(what: str, value: ArrayLike) -> Array:
    """Copy a direction to a read-only unit vector.

    Parameters
    ----------
    what : str
        Name for the message, with the unit.
    value : array_like, shape (3,)
        The direction, of any length [any].

    Returns
    -------
    ndarray, shape (3,)
        Unit vector [-].

    Raises
    ------
    ValueError
        If it is not three finite numbers, or has no length.
    """
    out = vector(what, value)
    length = float(np.linalg.norm(out))
    if not length > 0:
        reject(what, out.tolist(), "a direction, not zero")
    return array(what, out / length)


def numbers(what: str, value: ArrayLike) -> Array:
    """Return what a law is asked for as floats; NaN goes through, and comes out as NaN.

    An integrator asks laws thousands of times, and its trial steps may be wild: floats pass unread.

    Parameters
    ----------
    what : str
        Name for the message, with the unit.
    value : array_like, shape (...)
        The values, in the unit of the caller [any].

    Returns
    -------
    ndarray, shape (...)
        The same as floats, in the unit of the caller [any].

    Raises
    ------
    ValueError
        If it is not numeric.
    """
    if isinstance(value, np.ndarray | np.float64) and value.dtype == np.float64:
        return value  # type: ignore[return-value]
    if value is None:
        reject(what, None, "an array of numbers")
    return array(what, value, finite=False)


def together(what: str, one: Array, other: Array) -> None:
    """Stop if two arrays do not broadcast with each other.

    Parameters
    ----------
    what : str
        Names of the two, for the message.
    one, other : ndarray, shape (...)
        The arrays [any].

    Raises
    ------
    ValueError
        If their shapes do not fit.
    """
    if one.shape != other.shape and one.shape and other.shape:
        common_shape(what, one.shape, other.shape)
