"""Free thermal and moisture expansion: of each ply, and of the stack they hold together."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from laminate import lamina_stiffness, plate
from materials.checks import Array, array, common_shape, reject

if TYPE_CHECKING:
    from laminate.stack import Laminate


HOT = 1000.0  # [K]; no resin lives through such a change
WET = 0.2  # no resin takes up more than a fifth of its mass; a larger number is in percent


def ply_free_strain(laminate: Laminate, temperature_change: ArrayLike, moisture: ArrayLike) -> Array:
    """Strain that each ply would take if it were alone, in its own axes.

    Parameters
    ----------
    laminate : Laminate
        The stack.
    temperature_change : array_like, shape (..., ply, surface)
        Temperature above the stress-free temperature; ply and surface axes may have length 1 [K].
    moisture : array_like, shape (..., ply, surface)
        Absorbed moisture as mass fraction, likewise [-].

    Returns
    -------
    ndarray, shape (..., ply, surface, 3)
        alpha dT + beta c; the surface axis has the length of the inputs [-].

    Raises
    ------
    ValueError
        If an input is not finite, does not fit the plies, a moisture can only be in percent, or a
        temperature changes by more than 1000 K.
    """
    laminas = [p.lamina for p in laminate.plies]
    alpha = np.array([(m.alpha1, m.alpha2, 0.0) for m in laminas])[:, None, :]
    beta = np.array([(m.beta1, m.beta2, 0.0) for m in laminas])[:, None, :]
    dT = array("ply_free_strain: temperature_change [K]", temperature_change, last=(-1, -1), copy=False)
    c = array("ply_free_strain: moisture [-]", moisture, last=(-1, -1), copy=False)
    if (abs(dT) > HOT).any():
        cause = "the change from the stress-free temperature is wanted"
        reject("Laminate: temperature_change [K]", f"{abs(dT).max():g}", f"<= {HOT:g} in size", cause)
    if (abs(c) > WET).any():
        reject("Laminate: moisture [-]", f"{abs(c).max():g}", f"<= {WET}", "given in percent?")
    common_shape("temperature_change, moisture, plies", dT.shape, c.shape, (len(laminas), 1))
    return alpha * dT[..., None] + beta * c[..., None]


def resultants_of(laminate: Laminate, free_strain: ArrayLike) -> Array:
    """Running loads and moments that would hold back given free strains of the plies.

    Parameters
    ----------
    laminate : Laminate
        The stack.
    free_strain : array_like, shape (..., ply, surface, 3)
        In the axes of each ply, linear between its surfaces; a surface axis of length 1 means
        uniform in the ply [-].

    Returns
    -------
    ndarray, shape (..., 6)
        (Nx, Ny, Nxy) [N/m] and (Mx, My, Mxy) [N].

    Raises
    ------
    ValueError
        If the array does not fit the plies or is not finite.
    """
    free = array("free_strain [-]", free_strain, last=(len(laminate.plies), -1, 3), copy=False)
    back = lamina_stiffness.strain_rotation(-laminate.angles_deg)
    in_laminate_axes = np.einsum("pij,...psj->...psi", back, free)
    return plate.thermal_resultants(laminate.q_bar, laminate.ply_thickness, in_laminate_axes)


def thermal_resultants(
    laminate: Laminate, temperature_change: ArrayLike = 0.0, moisture: ArrayLike = 0.0
) -> Array:
    """Running loads and moments that would hold back uniform warming and moisture.

    Parameters
    ----------
    laminate : Laminate
        The stack.
    temperature_change : array_like, shape (...)
        Temperature above the stress-free temperature [K].
    moisture : array_like, shape (...)
        Absorbed moisture as mass fraction [-].

    Returns
    -------
    ndarray, shape (..., 6)
        (Nx, Ny, Nxy) [N/m] and (Mx, My, Mxy) [N].

    Raises
    ------
    ValueError
        As `ply_free_strain`.
    """
    dT = array("Laminate: temperature_change [K]", temperature_change)
    c = array("Laminate: moisture [-]", moisture)
    common_shape("Laminate: temperature_change and moisture", dT.shape, c.shape)
    return resultants_of(laminate, ply_free_strain(laminate, dT[..., None, None], c[..., None, None]))


def free_strain(laminate: Laminate, temperature_change: ArrayLike = 0.0, moisture: ArrayLike = 0.0) -> Array:
    """Deformation of the unloaded stack under uniform warming and moisture.

    Parameters
    ----------
    laminate : Laminate
        The stack.
    temperature_change : array_like, shape (...)
        Temperature above the stress-free temperature [K].
    moisture : array_like, shape (...)
        Absorbed moisture as mass fraction [-].

    Returns
    -------
    ndarray, shape (..., 6)
        Midplane strain [-] and curvature [1/m]; for 1 K it is the apparent expansion of the stack.

    Raises
    ------
    ValueError
        As `ply_free_strain`.
    """
    return thermal_resultants(laminate, temperature_change, moisture) @ laminate.compliance
