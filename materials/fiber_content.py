"""How much fiber and how many voids a cured laminate has."""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, Limits, broadcastable, checked

# Volume fraction of touching round fibers in a hexagonal packing, and of a veil: less is a slip of units.
CLOSEST = np.pi / (2.0 * np.sqrt(3.0))
LOOSEST = 0.02

ArealWeight = Annotated[ArrayLike, Limits("kg/m2", above=0.0, at_most=20.0, cause="given in g/m2?")]
Density = Annotated[ArrayLike, Limits("kg/m3", at_least=100.0, at_most=25e3, cause="given in g/cm3?")]


@checked
def fiber_volume(
    areal_weight: ArealWeight,
    *,
    fiber_density: Density,
    cured_thickness: Annotated[ArrayLike, Limits("m", above=0.0, at_most=0.5, cause="given in mm?")],
    plies: Annotated[ArrayLike, Limits("-", at_least=1.0, whole=True)] = 1,
) -> Array:
    """Fiber volume fraction from the areal weight of the fiber and the cured thickness.

    Parameters
    ----------
    areal_weight : array_like
        Mass of dry fiber per area of one ply [kg/m2].
    fiber_density : array_like
        Density of the fiber [kg/m3].
    cured_thickness : array_like
        Thickness of the cured laminate [m].
    plies : array_like of int
        Number of plies in that thickness [-].

    Returns
    -------
    ndarray
        Volume of fiber / volume of laminate, areal_weight plies / (fiber_density cured_thickness) [-].

    Raises
    ------
    ValueError
        If the result is below 0.02 or exceeds the closest packing 0.907.

    References
    ----------
    ASTM D3171, method II.

    Examples
    --------
    >>> round(float(fiber_volume(0.2, fiber_density=1800.0, cured_thickness=1.6e-3, plies=8)), 4)
    0.5556
    """
    w, rho, h, n = broadcastable(
        areal_weight=areal_weight, fiber_density=fiber_density, cured_thickness=cured_thickness, plies=plies
    )
    share = np.asarray(w * n / (rho * h))
    cause = "is the thickness in mm, or plies forgotten?"
    Limits("-", at_least=LOOSEST, cause=cause).hold("fiber_volume [-]", share)
    cause = "round fibers do not pack closer; is it the weight with resin, or are the densities in g/cm3?"
    Limits("-", at_most=CLOSEST, cause=cause).hold("fiber_volume [-]", share)
    return share


@checked
def cured_thickness(
    areal_weight: ArealWeight,
    *,
    fiber_density: Density,
    fiber_volume: Annotated[ArrayLike, Limits("-", above=0.0, at_most=CLOSEST, cause="given in percent?")],
) -> Array:
    """Cured thickness of a ply from the areal weight of its fiber.

    Parameters
    ----------
    areal_weight : array_like
        Mass of dry fiber per area [kg/m2].
    fiber_density : array_like
        Density of the fiber [kg/m3].
    fiber_volume : array_like
        Fiber volume fraction [-].

    Returns
    -------
    ndarray
        Thickness, areal_weight / (fiber_density fiber_volume) [m].

    Examples
    --------
    >>> round(float(cured_thickness(0.2, fiber_density=1800.0, fiber_volume=0.55)) * 1e3, 4)
    0.202
    """
    w, rho, Vf = broadcastable(
        areal_weight=areal_weight, fiber_density=fiber_density, fiber_volume=fiber_volume
    )
    return np.asarray(w / (rho * Vf))


@checked
def void_volume(*, measured_density: Density, theoretical_density: Density) -> Array:
    """Void volume fraction from the density of the laminate.

    Parameters
    ----------
    measured_density : array_like
        Density of the laminate as weighed [kg/m3].
    theoretical_density : array_like
        Density without voids, by the rule of mixtures [kg/m3].

    Returns
    -------
    ndarray
        Volume of voids / volume of laminate, 1 - measured_density / theoretical_density; negative values
        within the scatter of the weighing are returned as they are [-].

    Raises
    ------
    ValueError
        If the result is outside of -0.05 to 0.5.

    References
    ----------
    ASTM D2734.

    Examples
    --------
    >>> round(float(void_volume(measured_density=1564.2, theoretical_density=1580.0)), 3)
    0.01
    """
    rho, ideal = broadcastable(measured_density=measured_density, theoretical_density=theoretical_density)
    share = np.asarray(1.0 - rho / ideal)
    Limits("-", at_least=-0.05, at_most=0.5, cause="is one density in g/cm3?").hold("void_volume [-]", share)
    return share
