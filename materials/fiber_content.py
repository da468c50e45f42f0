"""How much fiber and how many voids a cured laminate holds."""

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, common_shape, reject
from materials.limits import between, positive

LOOSEST = 0.02  # a veil holds more; less is a slip of units
LIGHTEST = 100.0  # [kg/m^3]; fibers are heavier, and less is a slip of units
CLOSEST = np.pi / (2.0 * np.sqrt(3.0))  # volume fraction of touching round fibers in a hexagonal packing


def fiber_volume(
    areal_weight: ArrayLike, *, fiber_density: ArrayLike, cured_thickness: ArrayLike, plies: ArrayLike = 1
) -> Array:
    """Fiber volume fraction from the areal weight of the fiber and the cured thickness.

    Parameters
    ----------
    areal_weight : array_like
        Mass of dry fiber per area of one ply [kg/m^2].
    fiber_density : array_like
        Density of the fiber [kg/m^3].
    cured_thickness : array_like
        Thickness of the cured laminate [m].
    plies : array_like
        Number of plies in that thickness [-].

    Returns
    -------
    ndarray
        Volume of fiber / volume of laminate [-].

    Raises
    ------
    ValueError
        If a value is not positive, the number of plies not whole, or the result is below 0.02 or exceeds
        the closest packing 0.907.

    References
    ----------
    ASTM D3171, method II.
    """
    w, rho, h, n = _positive(
        ("areal_weight [kg/m^2]", areal_weight, 20.0, "given in g/m^2?"),
        ("fiber_density [kg/m^3]", fiber_density, 25e3, ""),
        ("cured_thickness [m]", cured_thickness, 0.5, "given in mm?"),
        ("plies [-]", plies, np.inf, ""),
    )
    if np.any(n != np.floor(n)):
        reject("plies [-]", "a fraction", "whole")
    share = w * n / (rho * h)
    between("fiber_volume [-]", share, LOOSEST, np.inf, "is the thickness in mm, or plies forgotten?")
    cause = "round fibers do not pack closer; is it the weight with resin, or are the densities in g/cm^3?"
    return between("fiber_volume [-]", share, 0.0, CLOSEST, cause)


def cured_thickness(areal_weight: ArrayLike, *, fiber_density: ArrayLike, fiber_volume: ArrayLike) -> Array:
    """Cured thickness of a ply from the areal weight of its fiber.

    Parameters
    ----------
    areal_weight : array_like
        Mass of dry fiber per area [kg/m^2].
    fiber_density : array_like
        Density of the fiber [kg/m^3].
    fiber_volume : array_like
        Fiber volume fraction [-].

    Returns
    -------
    ndarray
        Thickness [m].

    Raises
    ------
    ValueError
        If a value is out of bound.
    """
    w, rho, Vf = _positive(
        ("areal_weight [kg/m^2]", areal_weight, 20.0, "given in g/m^2?"),
        ("fiber_density [kg/m^3]", fiber_density, 25e3, ""),
        ("fiber_volume [-]", fiber_volume, CLOSEST, "given in percent?"),
    )
    between("fiber_density [kg/m^3]", rho, LIGHTEST, 25e3, "given in g/cm^3?")
    return np.asarray(w / (rho * Vf))


def void_volume(*, measured_density: ArrayLike, theoretical_density: ArrayLike) -> Array:
    """Void volume fraction from the density of the laminate.

    Parameters
    ----------
    measured_density : array_like
        Density of the laminate as weighed [kg/m^3].
    theoretical_density : array_like
        Density without voids, by the rule of mixtures [kg/m^3].

    Returns
    -------
    ndarray
        Volume of voids / volume of laminate; negative values within the scatter of the weighing are returned
        as they are [-].

    Raises
    ------
    ValueError
        If a density is not positive, or the result is outside of -0.05 to 0.5.

    References
    ----------
    ASTM D2734.
    """
    rho, ideal = _positive(
        ("measured_density [kg/m^3]", measured_density, 25e3, ""),
        ("theoretical_density [kg/m^3]", theoretical_density, 25e3, ""),
    )
    return between("void_volume [-]", 1.0 - rho / ideal, -0.05, 0.5, "is one density in g/cm^3?")


def _positive(*given: tuple[str, ArrayLike, float, str]) -> tuple[Array, ...]:
    out = tuple(positive(what, value, most, cause) for what, value, most, cause in given)
    common_shape(", ".join(what for what, *_ in given), *(one.shape for one in out))
    return out
