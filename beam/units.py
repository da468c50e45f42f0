"""How a number is shown and read: SI or US customary. Inside the library everything is base SI."""

import re
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike
from scipy import constants

from materials.checks import Array, Limits, checked, reject

__all__ = ["from_text", "shown", "symbol"]

_IN, _LB, _LBF = constants.inch, constants.pound, constants.pound_force
_SHOWN: dict[str, dict[str, tuple[float, str]]] = {
    "SI": {
        "length": (1e-3, "mm"),
        "distance": (1.0, "m"),
        "force": (1e3, "kN"),
        "moment": (1e3, "kN m"),
        "mass": (1.0, "kg"),
        "speed": (1.0, "m/s"),
        "acceleration": (1.0, "m/s2"),
        "pressure": (1e6, "MPa"),
        "running load": (1e3, "kN/m"),
        "running moment": (1.0, "N"),
        "energy": (1e3, "kJ"),
    },
    "US": {
        "length": (_IN, "in"),
        "distance": (constants.foot, "ft"),
        "force": (_LBF, "lbf"),
        "moment": (_LBF * _IN, "lbf in"),
        "mass": (_LB, "lb"),
        "speed": (constants.foot, "ft/s"),
        "acceleration": (constants.foot, "ft/s2"),
        "pressure": (_LBF / _IN**2, "psi"),
        "running load": (_LBF / _IN, "lbf/in"),
        "running moment": (_LBF, "lbf"),
        "energy": (_LBF * constants.foot, "ft lbf"),
    },
}


def _entry(quantity: str, units: str) -> tuple[float, str]:
    """Size in base SI and symbol of the unit that a quantity is shown in."""
    if units not in _SHOWN:
        reject("units", repr(units), f"one of {tuple(_SHOWN)}")
    if quantity not in _SHOWN[units]:
        reject("quantity", repr(quantity), f"one of {tuple(_SHOWN[units])}")
    return _SHOWN[units][quantity]


@checked
def shown(value: Annotated[ArrayLike, Limits("any")], quantity: str, units: str = "SI") -> Array:
    """Convert a value in base SI to the unit it is shown in.

    Parameters
    ----------
    value : array_like
        In base SI [any].
    quantity : str
        "length", "distance", "force", "moment", "mass", "speed", "acceleration", "pressure", "running load",
        "running moment" (per length) or "energy".
    units : str
        "SI" or "US".

    Returns
    -------
    ndarray
        In the unit that `symbol` names [any].

    Raises
    ------
    ValueError
        If the quantity or the system is unknown.

    Examples
    --------
    >>> float(shown(1240.0, "mass", "US").round(1)), symbol("mass", "US")
    (2733.7, 'lb')
    """
    return np.asarray(value) / _entry(quantity, units)[0]


@checked
def symbol(quantity: str, units: str = "SI") -> str:
    """Symbol of the unit that `shown` converts to.

    Parameters
    ----------
    quantity : str
        As in `shown`.
    units : str
        "SI" or "US".

    Returns
    -------
    str
        As in "kN".

    Examples
    --------
    >>> symbol("force")
    'kN'
    """
    return _entry(quantity, units)[1]


_UNITS: dict[str, tuple[float, str]] = {
    "m": (1.0, "m"), "kg": (1.0, "kg"), "s": (1.0, "s"), "K": (1.0, "K"), "rad": (1.0, "rad"),
    "km": (1e3, "m"), "cm": (1e-2, "m"), "mm": (1e-3, "m"), "um": (1e-6, "m"),
    "in": (_IN, "m"), "ft": (constants.foot, "m"),
    "g": (1e-3, "kg"), "t": (1e3, "kg"), "lb": (_LB, "kg"), "slug": (_LBF / constants.foot, "kg"),
    "ms": (1e-3, "s"), "min": (60.0, "s"), "h": (3600.0, "s"), "deg": (constants.degree, "rad"),
    "N": (1.0, "kg m/s2"), "kN": (1e3, "kg m/s2"), "lbf": (_LBF, "kg m/s2"),
    "Pa": (1.0, "kg/m s2"), "kPa": (1e3, "kg/m s2"), "MPa": (1e6, "kg/m s2"), "GPa": (1e9, "kg/m s2"),
    "bar": (1e5, "kg/m s2"), "psi": (constants.psi, "kg/m s2"), "ksi": (1e3 * constants.psi, "kg/m s2"),
    "msi": (1e6 * constants.psi, "kg/m s2"), "psf": (_LBF / constants.foot**2, "kg/m s2"),
    "J": (1.0, "kg m2/s2"), "kJ": (1e3, "kg m2/s2"), "W": (1.0, "kg m2/s3"), "kW": (1e3, "kg m2/s3"),
    "kt": (constants.knot, "m/s"), "mph": (constants.mph, "m/s"),
    "L": (1e-3, "m3"), "gal": (constants.gallon, "m3"), "-": (1.0, ""), "%": (0.01, ""),
}  # fmt: skip
"""Size in base SI of the units that a text may name, and what they are made of."""

_BASE = ("m", "kg", "s", "K", "rad")
_OFFSETS = {
    "degC": (1.0, 273.15),
    "degF": (constants.degree_Fahrenheit, 459.67 * constants.degree_Fahrenheit),
}


def _size(unit: str) -> tuple[float, Array]:
    """Size in base SI and powers of `_BASE` of a unit as in "N s2/m2": all after the stroke divides."""
    size, powers = 1.0, np.zeros(len(_BASE))
    for side, sign in zip(unit.split("/", 1), (1, -1), strict=False):
        for name in side.replace("*", " ").split():
            found = re.fullmatch(r"([A-Za-z%-]+?)\^?(-?\d*)", name)
            if found is None or found[1] not in _UNITS:
                reject("unit", repr(name), f"one of {', '.join([*_UNITS, *_OFFSETS])}")
            power = sign * int(found[2] or 1)
            factor, made_of = _UNITS[found[1]]
            size *= factor**power
            if found[1] in _BASE:
                powers[_BASE.index(found[1])] += power
            elif made_of:
                powers += power * _size(made_of)[1]
    return size, powers


@checked
def from_text(text: str, unit: str) -> float:
    """Read a number with its unit, as in "42 psi".

    Parameters
    ----------
    text : str
        Number, space, unit. In a unit, a space multiplies, digits are powers, and all after a stroke divides.
    unit : str
        Unit that it is wanted in, in the same way of writing; "any" takes a plain number only.

    Returns
    -------
    float
        The number in that unit [any].

    Raises
    ------
    ValueError
        If the text is no number with a unit, or its unit measures something else.

    Examples
    --------
    >>> round(from_text("42 psi", "Pa")), from_text("71 degC", "K"), round(from_text("1.5 g/cm3", "kg/m3"), 6)
    (289580, 344.15, 1500.0)
    """
    number, _, own = text.strip().partition(" ")
    try:
        value = float(number)
    except ValueError:
        reject("number with a unit", repr(text), 'as in "42 psi"')
    own = own.strip() or "-"
    if own in _OFFSETS and unit == "K":
        slope, zero = _OFFSETS[own]
        return value * slope + zero
    if "," in unit or unit == "any":
        reject("number", repr(text), "a plain number in base SI", "several units are declared here")
    (given, is_of), (wanted, asked) = _size(own), _size(unit)
    if (is_of != asked).any():
        reject("unit", repr(own), f"a unit of {unit}", "another quantity?")
    return value if own == unit else value * given / wanted
