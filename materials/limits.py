"""Limits table for the constructors: what is impossible, and what only a slip of units explains."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, array, number, reject

Limit = tuple[str, str, float, float, str]  # attribute, unit, least, most, likely cause of what lies outside


def hold_within(
    instance: object, owner: str, limits: Iterable[Limit], optional: tuple[str, ...] = ()
) -> None:
    """Check the attributes of a frozen object against a table of limits and make them floats.

    Parameters
    ----------
    instance : object
        The object under construction.
    owner : str
        Its name for the message, as in ``"Lamina 'T300'"``.
    limits : iterable of tuple
        Rows (attribute, unit, least, most, likely cause); a positive least value means that the attribute
        must be positive in the first place.
    optional : tuple of str
        Attributes that may be None.

    Raises
    ------
    ValueError
        If a value is no finite number within its limits.
    """
    for name, unit, least, most, cause in limits:
        value = getattr(instance, name)
        if value is None and name in optional:
            continue
        what = f"{owner}: {name} [{unit}]"
        if least > 0.0:
            number(what, value, above=0.0)
        object.__setattr__(instance, name, number(what, value, at_least=least, at_most=most, cause=cause))


def named(kind: str, name: object) -> str:
    """Return the owner for messages, as in ``"Lamina 'T300'"``; stop if the name is no text.

    Parameters
    ----------
    kind : str
        The class.
    name : object
        What was given as its name.

    Returns
    -------
    str
        The owner.

    Raises
    ------
    ValueError
        If the name is empty or no text.
    """
    if not isinstance(name, str) or not name.strip():
        reject(f"{kind}: name", repr(name), "text")
    return f"{kind} '{name}'"


def between(what: str, value: ArrayLike, least: float, most: float, cause: str = "") -> Array:
    """Return an array of values that all lie in a closed range.

    Parameters
    ----------
    what : str
        Name for the message, with the unit.
    value : array_like
        The values, in the unit of the caller [any].
    least, most : float
        Closed limits, in the unit of `value` [any].
    cause : str
        Likely cause of a value outside the limits.

    Returns
    -------
    ndarray
        A frozen copy, in the unit of `value` [any].

    Raises
    ------
    ValueError
        If a value is no finite number within the limits.
    """
    out = array(what, value)
    outside = out[(out < least) | (out > most)]
    if outside.size:
        reject(what, f"{outside[0]:g}", f"from {least:g} to {most:g}", cause)
    return out


def positive(what: str, value: ArrayLike, most: float = np.inf, cause: str = "") -> Array:
    """Return an array of values that are all positive.

    Parameters
    ----------
    what : str
        Name for the message, with the unit.
    value : array_like
        The values, in the unit of the caller [any].
    most : float
        Closed upper limit, in the unit of `value` [any].
    cause : str
        Likely cause of a value above the limit.

    Returns
    -------
    ndarray
        A frozen copy, in the unit of `value` [any].

    Raises
    ------
    ValueError
        If a value is no finite positive number up to the limit.
    """
    out = array(what, value)
    if (low := out[out <= 0.0]).size:
        reject(what, f"{low[0]:g}", "> 0")
    if (high := out[out > most]).size:
        reject(what, f"{high[0]:g}", f"<= {most:g}", cause)
    return out
