"""Moisture in a plate: equilibrium, uptake and profile after Fick."""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, Limits, broadcastable, checked, reject
from materials.environment import MOISTURE, TEMPERATURE

# Below this D t / h^2 the two faces do not feel each other; above it the series is exact to the last digit.
SHORT = 0.01
TERMS = 12
THICKEST = 0.1  # [m]; takes decades to wet, while 0.125 mm given in mm lies above it

Time = Annotated[ArrayLike, Limits("s", at_least=0.0)]
Thickness = Annotated[ArrayLike, Limits("m", above=0.0, at_most=THICKEST, cause="given in mm?")]
Diffusivity = Annotated[ArrayLike, Limits("m2/s", above=0.0, at_most=1e-9, cause="given in mm2/s?")]
Faces = Annotated[int, Limits("-", at_least=1, at_most=2)]


@checked
def equilibrium_moisture(
    relative_humidity: Annotated[
        ArrayLike, Limits("-", at_least=0.0, at_most=1.0, cause="given in percent?")
    ],
    *,
    saturation: Annotated[ArrayLike, MOISTURE],
    exponent: Annotated[ArrayLike, Limits("-", above=0.0, at_most=3.0)] = 1.0,
) -> Array:
    """Moisture that a laminate takes up in the long run.

    Parameters
    ----------
    relative_humidity : array_like
        Relative humidity of the air, 1 in water [-].
    saturation : array_like
        Moisture mass fraction at relative humidity 1 [-].
    exponent : array_like
        Exponent of the humidity, near 1 for epoxies [-].

    Returns
    -------
    ndarray
        Moisture mass fraction, saturation * relative_humidity**exponent [-].

    References
    ----------
    Shen & Springer, Moisture absorption and desorption of composite materials, J. Compos. Mater. 10 (1976)
    2-20.

    Examples
    --------
    >>> float(equilibrium_moisture(0.5, saturation=0.016, exponent=2.0))
    0.004
    """
    phi, a, b = broadcastable(relative_humidity=relative_humidity, saturation=saturation, exponent=exponent)
    return np.asarray(a * phi**b)


@checked
def diffusivity(
    temperature: Annotated[ArrayLike, TEMPERATURE],
    *,
    prefactor: Annotated[ArrayLike, Limits("m2/s", above=0.0)],
    activation_temperature: Annotated[ArrayLike, Limits("K", above=0.0)],
) -> Array:
    """Diffusivity through the thickness after Arrhenius.

    Parameters
    ----------
    temperature : array_like
        Temperature [K].
    prefactor : array_like
        Diffusivity in the limit of high temperature [m2/s].
    activation_temperature : array_like
        Activation energy over the gas constant [K].

    Returns
    -------
    ndarray
        prefactor * exp(-activation_temperature / temperature) [m2/s].

    Examples
    --------
    >>> print(f"{diffusivity(300.0, prefactor=6.5e-6, activation_temperature=5700.0):.3e}")
    3.642e-14
    """
    T, D0, Ta = broadcastable(
        temperature=temperature, prefactor=prefactor, activation_temperature=activation_temperature
    )
    return np.asarray(D0 * np.exp(-Ta / T))


@checked
def moisture_uptake(
    time: Time,
    *,
    thickness: Thickness,
    diffusivity: Diffusivity,
    equilibrium: Annotated[ArrayLike, MOISTURE],
    initial: Annotated[ArrayLike, MOISTURE] = 0.0,
    faces: Faces = 2,
) -> Array:
    """Mean moisture of a plate in air of constant humidity and temperature.

    Parameters
    ----------
    time : array_like
        Time since the humidity changed [s].
    thickness : array_like
        Thickness of the plate [m].
    diffusivity : array_like
        Diffusivity through the thickness [m2/s].
    equilibrium : array_like
        Moisture mass fraction in the long run [-].
    initial : array_like
        Moisture mass fraction at the start, uniform [-].
    faces : int
        Faces open to the air, 1 or 2 [-].

    Returns
    -------
    ndarray
        Moisture mass fraction, initial + (equilibrium - initial) G [-].

    Notes
    -----
    With tau = D t / h^2, h the thickness between two open faces (twice the thickness for one),
    G = 1 - 8/pi^2 sum exp(-(2n+1)^2 pi^2 tau) / (2n+1)^2; for small tau G = 4 sqrt(tau / pi).

    References
    ----------
    Crank, The Mathematics of Diffusion, 2nd ed. (1975), section 4.3.2.

    Examples
    --------
    >>> c = moisture_uptake(10 * 86400.0, thickness=2e-3, diffusivity=4e-13, equilibrium=0.012)
    >>> round(float(c), 5)
    0.00785
    """
    t, h, D, c1, c0 = broadcastable(
        time=time, thickness=thickness, diffusivity=diffusivity, equilibrium=equilibrium, initial=initial
    )
    return np.asarray(c0 + (c1 - c0) * uptake_fraction(D * t / ((3 - faces) * h) ** 2))


@checked
def moisture_profile(
    position: Annotated[
        ArrayLike,
        Limits("m", at_least=0.0, at_most=THICKEST, cause="a depth below an open face; given in mm?"),
    ],
    time: Time,
    *,
    thickness: Thickness,
    diffusivity: Diffusivity,
    equilibrium: Annotated[ArrayLike, MOISTURE],
    initial: Annotated[ArrayLike, MOISTURE] = 0.0,
    faces: Faces = 2,
) -> Array:
    """Moisture at a depth in a plate in air of constant humidity and temperature.

    Parameters
    ----------
    position : array_like
        Depth below the open face, or below either of two [m].
    time : array_like
        Time since the humidity changed [s].
    thickness : array_like
        Thickness of the plate [m].
    diffusivity : array_like
        Diffusivity through the thickness [m2/s].
    equilibrium : array_like
        Moisture mass fraction in the long run [-].
    initial : array_like
        Moisture mass fraction at the start, uniform [-].
    faces : int
        Faces open to the air, 1 or 2 [-].

    Returns
    -------
    ndarray
        Moisture mass fraction at that depth [-].

    Raises
    ------
    ValueError
        If the position is outside of the plate.

    Notes
    -----
    (c - c0) / (c1 - c0) = 1 - 4/pi sum sin((2n+1) pi x / h) exp(-(2n+1)^2 pi^2 tau) / (2n+1); for small tau
    the sum of the two half-space solutions erfc(x / sqrt(4 D t)) + erfc((h - x) / sqrt(4 D t)).

    References
    ----------
    Crank, The Mathematics of Diffusion, 2nd ed. (1975), sections 2.4 and 4.3.

    Examples
    --------
    >>> moisture_profile([0.0, 1e-3], 10 * 86400.0, thickness=2e-3, diffusivity=4e-13, equilibrium=0.01).round(5)
    array([0.01   , 0.00457])
    """
    from scipy.special import erfc

    z, t, h, D, c1, c0 = broadcastable(
        position=position,
        time=time,
        thickness=thickness,
        diffusivity=diffusivity,
        equilibrium=equilibrium,
        initial=initial,
    )
    if np.any(z > h):
        reject("position [m]", "a depth beyond the plate", "from 0 to the thickness", "measured from a face")
    h = (3 - faces) * h
    x, tau = np.broadcast_arrays(z / h, D * t / h**2)
    odd = 2.0 * np.arange(TERMS) + 1.0
    waves = np.sin(x[..., None] * odd * np.pi) * np.exp(-tau[..., None] * (odd * np.pi) ** 2) / odd
    late = 1.0 - 4.0 / np.pi * waves.sum(-1)
    reach = np.sqrt(4.0 * np.maximum(tau, np.finfo(float).tiny))
    early = erfc(x / reach) + erfc((1.0 - x) / reach)
    return np.asarray(c0 + (c1 - c0) * np.where(tau < SHORT, early, late))


def uptake_fraction(tau: Array) -> Array:
    """Share of the way to equilibrium at D t / h^2."""
    odd = 2.0 * np.arange(TERMS) + 1.0
    late = 1.0 - 8.0 / np.pi**2 * (np.exp(-tau[..., None] * (odd * np.pi) ** 2) / odd**2).sum(-1)
    return np.asarray(np.where(tau < SHORT, 4.0 * np.sqrt(tau / np.pi), late))
