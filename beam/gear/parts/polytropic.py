"""Force and energy of a gas column, on plain arrays."""

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import atm

from materials.checks import Array

GAS_LEFT = 1e-3
"""Least fraction of the charged volume that the formulas go to: keeps trial steps finite [-]."""


def polytropic_force(
    stroke: ArrayLike,
    pressure: ArrayLike,
    volume: ArrayLike,
    area: ArrayLike,
    exponent: ArrayLike,
    ambient_pressure: ArrayLike = atm,
) -> Array:
    """Force of a gas column.

    Parameters
    ----------
    stroke : array_like, shape (...)
        Stroke from the charged volume [m].
    pressure : array_like, shape (...)
        Charge pressure by gauge [Pa].
    volume : array_like, shape (...)
        Charged gas volume [m3].
    area : array_like, shape (...)
        Area on which the gas acts [m2].
    exponent : array_like, shape (...)
        Polytropic exponent: 1 isothermal, 1.4 adiabatic for dry nitrogen [-].
    ambient_pressure : array_like, shape (...)
        Absolute pressure outside [Pa].

    Returns
    -------
    ndarray, shape (...)
        Force [N].

    Notes
    -----
    F = A [(p + p_a) (V / (V - A s))**n - p_a].
    """
    area, volume = np.asarray(area, dtype=float), np.asarray(volume, dtype=float)
    left = np.maximum(1 - area * np.asarray(stroke) / volume, GAS_LEFT)
    absolute = np.asarray(pressure, dtype=float) + ambient_pressure
    return area * (absolute * left ** -np.asarray(exponent, dtype=float) - ambient_pressure)


def polytropic_energy(
    stroke: ArrayLike,
    pressure: ArrayLike,
    volume: ArrayLike,
    area: ArrayLike,
    exponent: ArrayLike,
    ambient_pressure: ArrayLike = atm,
) -> Array:
    """Work put into a gas column since zero stroke.

    Parameters
    ----------
    stroke : array_like, shape (...)
        Stroke from the charged volume [m].
    pressure : array_like, shape (...)
        Charge pressure by gauge [Pa].
    volume : array_like, shape (...)
        Charged gas volume [m3].
    area : array_like, shape (...)
        Area on which the gas acts [m2].
    exponent : array_like, shape (...)
        Polytropic exponent [-].
    ambient_pressure : array_like, shape (...)
        Absolute pressure outside [Pa].

    Returns
    -------
    ndarray, shape (...)
        Integral of the force from 0 to the stroke [J].

    Notes
    -----
    (p + p_a) V (r**(n - 1) - 1) / (n - 1) - p_a A s with r = V / (V - A s); the first term is
    (p + p_a) V ln r at n = 1. Written with expm1 it loses no digits near n = 1.
    """
    area, volume = np.asarray(area, dtype=float), np.asarray(volume, dtype=float)
    stroke, over = np.asarray(stroke, dtype=float), np.asarray(exponent, dtype=float) - 1
    log_ratio = -np.log(np.maximum(1 - area * stroke / volume, GAS_LEFT))
    divisor = np.where(over == 0, 1.0, over)
    growth = np.where(over == 0, log_ratio, np.expm1(over * log_ratio) / divisor)
    absolute = np.asarray(pressure, dtype=float) + ambient_pressure
    return absolute * volume * growth - ambient_pressure * area * stroke
