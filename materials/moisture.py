"""Moisture in a plate: equilibrium, uptake and profile after Fick."""

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, common_shape, reject, whole
from materials.limits import between, positive

# Below this D t / h^2 the two faces do not feel each other; above it the series is exact to the last digit.
SHORT = 0.01
TERMS = 12
THICKEST = 0.1  # [m]; takes decades to wet, while 0.125 mm given in mm lies above it


def equilibrium_moisture(
    relative_humidity: ArrayLike, *, saturation: ArrayLike, exponent: ArrayLike = 1.0
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

    Raises
    ------
    ValueError
        If the humidity is not in [0, 1], the saturation not in [0, 0.1] or the exponent not in (0, 3].

    References
    ----------
    Shen & Springer, Moisture absorption and desorption of composite materials, J. Compos. Mater. 10 (1976)
    2-20.
    """
    phi = between("relative_humidity [-]", relative_humidity, 0.0, 1.0, "given in percent?")
    a = between("saturation [-]", saturation, 0.0, 0.1, "given in percent?")
    b = positive("exponent [-]", exponent, 3.0)
    common_shape("relative_humidity, saturation, exponent", phi.shape, a.shape, b.shape)
    return np.asarray(a * phi**b)


def diffusivity(temperature: ArrayLike, *, prefactor: ArrayLike, activation_temperature: ArrayLike) -> Array:
    """Diffusivity through the thickness after Arrhenius.

    Parameters
    ----------
    temperature : array_like
        Temperature [K].
    prefactor : array_like
        Diffusivity in the limit of high temperature [m^2/s].
    activation_temperature : array_like
        Activation energy over the gas constant [K].

    Returns
    -------
    ndarray
        prefactor * exp(-activation_temperature / temperature) [m^2/s].

    Raises
    ------
    ValueError
        If a value is not positive, or the temperature below 150 K.
    """
    T = between("temperature [K]", temperature, 150.0, 1500.0, "given in degC?")
    D0 = positive("prefactor [m^2/s]", prefactor)
    Ta = positive("activation_temperature [K]", activation_temperature)
    common_shape("temperature, prefactor, activation_temperature", T.shape, D0.shape, Ta.shape)
    return np.asarray(D0 * np.exp(-Ta / T))


def uptake_fraction(
    time: ArrayLike, *, thickness: ArrayLike, diffusivity: ArrayLike, faces: int = 2
) -> Array:
    """Share of the way to equilibrium that the mean moisture of a plate has gone.

    Parameters
    ----------
    time : array_like
        Time since the humidity changed [s].
    thickness : array_like
        Thickness of the plate [m].
    diffusivity : array_like
        Diffusivity through the thickness [m^2/s].
    faces : int
        Faces open to the air, 1 or 2 [-].

    Returns
    -------
    ndarray
        G = (mean moisture - initial) / (equilibrium - initial), from 0 to 1 [-].

    Raises
    ------
    ValueError
        If the time is negative, thickness or diffusivity is not positive or of a size that only a slip of
        units explains, or there are not one or two open faces.

    Notes
    -----
    With tau = D t / h^2, h the thickness between two open faces (twice the thickness for one),
    G = 1 - 8/pi^2 sum exp(-(2n+1)^2 pi^2 tau) / (2n+1)^2; for small tau G = 4 sqrt(tau / pi).

    References
    ----------
    Crank, The Mathematics of Diffusion, 2nd ed. (1975), section 4.3.2.
    """
    tau, _ = _reduced(time, thickness, diffusivity, faces)
    odd = 2.0 * np.arange(TERMS) + 1.0
    late = 1.0 - 8.0 / np.pi**2 * (np.exp(-tau[..., None] * (odd * np.pi) ** 2) / odd**2).sum(-1)
    return np.asarray(np.where(tau < SHORT, 4.0 * np.sqrt(tau / np.pi), late))


def moisture_uptake(
    time: ArrayLike,
    *,
    thickness: ArrayLike,
    diffusivity: ArrayLike,
    equilibrium: ArrayLike,
    initial: ArrayLike = 0.0,
    faces: int = 2,
) -> Array:
    """Mean moisture of a plate in air of constant humidity and temperature.

    Parameters
    ----------
    time : array_like
        Time since the humidity changed [s].
    thickness : array_like
        Thickness of the plate [m].
    diffusivity : array_like
        Diffusivity through the thickness [m^2/s].
    equilibrium : array_like
        Moisture mass fraction in the long run [-].
    initial : array_like
        Moisture mass fraction at the start, uniform [-].
    faces : int
        Faces open to the air, 1 or 2 [-].

    Returns
    -------
    ndarray
        Moisture mass fraction [-].

    Raises
    ------
    ValueError
        If a value is out of bound.
    """
    G = uptake_fraction(time, thickness=thickness, diffusivity=diffusivity, faces=faces)
    return _between_ends(G, equilibrium, initial)


def moisture_profile(
    position: ArrayLike,
    time: ArrayLike,
    *,
    thickness: ArrayLike,
    diffusivity: ArrayLike,
    equilibrium: ArrayLike,
    initial: ArrayLike = 0.0,
    faces: int = 2,
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
        Diffusivity through the thickness [m^2/s].
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
        If a value is out of bound, or the position outside of the plate.

    Notes
    -----
    (c - c0) / (c1 - c0) = 1 - 4/pi sum sin((2n+1) pi x / h) exp(-(2n+1)^2 pi^2 tau) / (2n+1); for small tau
    the sum of the two half-space solutions erfc(x / sqrt(4 D t)) + erfc((h - x) / sqrt(4 D t)).

    References
    ----------
    Crank, The Mathematics of Diffusion, 2nd ed. (1975), sections 2.4 and 4.3.
    """
    from scipy.special import erfc

    tau, h = _reduced(time, thickness, diffusivity, faces)
    z = between("position [m]", position, 0.0, THICKEST, "a depth below a face, given in mm?")
    common_shape("position, time, thickness, diffusivity", z.shape, tau.shape)
    if np.any(z * (3 - faces) > h):
        reject("position [m]", "a depth beyond the plate", "from 0 to the thickness", "measured from a face")
    x, tau = np.broadcast_arrays(z / h, tau)
    odd = 2.0 * np.arange(TERMS) + 1.0
    waves = np.sin(x[..., None] * odd * np.pi) * np.exp(-tau[..., None] * (odd * np.pi) ** 2) / odd
    late = 1.0 - 4.0 / np.pi * waves.sum(-1)
    reach = np.sqrt(4.0 * np.maximum(tau, np.finfo(float).tiny))
    early = erfc(x / reach) + erfc((1.0 - x) / reach)
    return _between_ends(np.where(tau < SHORT, early, late), equilibrium, initial)


def _reduced(
    time: ArrayLike, thickness: ArrayLike, diffusivity: ArrayLike, faces: int
) -> tuple[Array, Array]:
    """Return D t / h^2 and h, the thickness of the plate or of its double where one face is sealed."""
    faces = whole("faces [-]", faces, at_least=1, at_most=2)
    t = between("time [s]", time, 0.0, np.inf)
    h = positive("thickness [m]", thickness, THICKEST, "given in mm?") * (3 - faces)
    D = positive("diffusivity [m^2/s]", diffusivity, 1e-9, "given in mm^2/s?")
    common_shape("time, thickness, diffusivity", t.shape, h.shape, D.shape)
    return np.asarray(D * t / h**2), h


def _between_ends(share: Array, equilibrium: ArrayLike, initial: ArrayLike) -> Array:
    c1 = between("equilibrium [-]", equilibrium, 0.0, 0.1, "given in percent?")
    c0 = between("initial [-]", initial, 0.0, 0.1, "given in percent?")
    common_shape("time, equilibrium, initial", share.shape, c1.shape, c0.shape)
    return np.asarray(c0 + (c1 - c0) * share)
