"""Checks kept here until every caller declares its limits."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, array, number, reject, text

Limit = tuple[str, str, float, float, str]  # attribute, unit, least, most, likely cause of what lies outside


def hold_within(
    instance: object, owner: str, limits: Iterable[Limit], optional: tuple[str, ...] = ()
) -> None:
    """Check the attributes of a frozen object against a table of limits and make them floats."""
    for name, unit, least, most, cause in limits:
        value = getattr(instance, name)
        if value is None and name in optional:
            continue
        what = f"{owner}: {name} [{unit}]"
        if least > 0.0:
            number(what, value, above=0.0)
        object.__setattr__(instance, name, number(what, value, at_least=least, at_most=most, cause=cause))


def named(kind: str, name: str) -> str:
    """Return the owner for messages, as in ``"Lamina 'T300'"``; stop if the name is no text."""
    return f"{kind} '{text(f'{kind}: name', name)}'"


def between(what: str, value: ArrayLike, least: float, most: float, cause: str = "") -> Array:
    """Return an array of values that all lie in a closed range."""
    out = array(what, value)
    outside = out[(out < least) | (out > most)]
    if outside.size:
        reject(what, f"{outside[0]:g}", f"from {least:g} to {most:g}", cause)
    return out


def positive(what: str, value: ArrayLike, most: float = np.inf, cause: str = "") -> Array:
    """Return an array of values that are all positive."""
    out = array(what, value)
    if (low := out[out <= 0.0]).size:
        reject(what, f"{low[0]:g}", "> 0")
    if (high := out[out > most]).size:
        reject(what, f"{high[0]:g}", f"<= {most:g}", cause)
    return out
