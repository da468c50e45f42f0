"""How a number is shown: SI or US customary. Inside the library everything is base SI."""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike
from scipy import constants

from materials.checks import Array, Limits, checked, reject

__all__ = ["shown", "symbol"]

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
        "length", "distance", "force", "moment", "mass", "speed", "acceleration", "pressure", "running load"
        or "energy".
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
