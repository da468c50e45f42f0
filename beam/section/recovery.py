"""From section forces and temperature to what every wall and every ply of a section bears."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from beam.section import expansion
from beam.section.places import fractions
from materials.checks import Array, array, number

if TYPE_CHECKING:
    from beam.section.section import Section
    from laminate.response import Response


def wall_loads_along(section: Section, F: ArrayLike, at: ArrayLike) -> Array:
    """Running loads at several places of each wall.

    Parameters
    ----------
    section : Section
        The section.
    F : array_like, shape (..., 6)
        Section forces (N, V2, V3, T, M2, M3) [N], [N m].
    at : array_like, shape (place,)
        Fractions of the length of each wall [-].

    Returns
    -------
    ndarray, shape (..., wall, place, 6)
        (Nx, Ny, Nxy) [N/m] and (Mx, My, Mxy) [N].

    Raises
    ------
    ValueError
        If a force is not finite or a place is off the wall.

    Notes
    -----
    Summed around the section, these loads return F but for what no wall load holds: of V the shear across the
    walls, (dMx/dx) n, which follows from dM2/dx = V3 and dM3/dx = -V2 and is of order (t/b)^2 (4e-5 of V in a
    plain thin box); and of V and T the shear flow over the jogs between mid-lines of unequal walls (2 percent
    of T, say). With both the sum is F to rounding.
    """
    forces = array("Section: F (N, V2, V3, T, M2, M3)", F, last=(6,))
    recovery = section.states.recovery(fractions("Section: at [-]", at))
    loads = forces @ recovery.reshape(-1, 6).T
    return loads.reshape(*forces.shape[:-1], *recovery.shape[:-1])


def wall_loads(section: Section, F: ArrayLike, at: float = 0.5) -> Array:
    """Running loads of the walls under section forces.

    Parameters
    ----------
    section : Section
        The section.
    F : array_like, shape (..., 6)
        Section forces (N, V2, V3, T, M2, M3) [N], [N m].
    at : float
        Fraction of the length of each wall [-].

    Returns
    -------
    ndarray, shape (..., wall, 6)
        (Nx, Ny, Nxy) [N/m] and (Mx, My, Mxy) [N].

    Raises
    ------
    ValueError
        If a force is not finite or the place is off the wall.

    Notes
    -----
    What these loads leave out of the sum that returns F, a small part of V and T: see `wall_loads_along`.
    """
    return wall_loads_along(section, F, [_place(at)])[..., 0, :]


def free_strain(section: Section, temperature_change: ArrayLike = 0.0, moisture: ArrayLike = 0.0) -> Array:
    """Section strain under uniform warming and moisture when nothing holds the section.

    Parameters
    ----------
    section : Section
        The section.
    temperature_change : array_like, shape (...)
        Temperature above the stress-free temperature [K].
    moisture : array_like, shape (...)
        Absorbed moisture as mass fraction [-].

    Returns
    -------
    ndarray, shape (..., 6)
        (eps, gamma2, gamma3) [-] and (kappa1, kappa2, kappa3) [1/m].
    """
    return expansion.expand(section.states, _free(section, temperature_change, moisture)).strain


def residual_wall_loads(
    section: Section, temperature_change: ArrayLike, moisture: ArrayLike = 0.0, at: float = 0.5
) -> Array:
    """Running loads that stay in the unloaded section; they do not grow with load.

    Parameters
    ----------
    section : Section
        The section.
    temperature_change : array_like, shape (...)
        Temperature above the stress-free temperature [K].
    moisture : array_like, shape (...)
        Absorbed moisture as mass fraction [-].
    at : float
        Fraction of the length of each wall [-].

    Returns
    -------
    ndarray, shape (..., wall, 6)
        (Nx, Ny, Nxy) [N/m] and (Mx, My, Mxy) [N].

    Raises
    ------
    ValueError
        If the place is off the wall.
    """
    free = _free(section, temperature_change, moisture)
    return expansion.residual_wall_loads(section.states, free, [_place(at)])[..., 0, :]


def ply_states(
    section: Section,
    F: ArrayLike,
    temperature_change: ArrayLike = 0.0,
    moisture: ArrayLike = 0.0,
    at: float = 0.5,
) -> tuple[Response, ...]:
    """Strains and stresses in every ply of every wall.

    Parameters
    ----------
    section : Section
        The section.
    F : array_like, shape (..., 6)
        Section forces (N, V2, V3, T, M2, M3) [N], [N m].
    temperature_change : array_like, shape (...)
        Temperature above the stress-free temperature [K].
    moisture : array_like, shape (...)
        Absorbed moisture as mass fraction [-].
    at : float
        Fraction of the length of each wall [-].

    Returns
    -------
    tuple of laminate.Response
        One for each wall; what neighbors put on it because they expand differently is in its residual part.

    Raises
    ------
    ValueError
        If a force is not finite or the place is off the wall.
    """
    loads = wall_loads(section, F, at)
    rest = residual_wall_loads(section, temperature_change, moisture, at)
    return tuple(
        laminate.response(
            N=loads[..., i, :3],
            M=loads[..., i, 3:],
            temperature_change=temperature_change,
            moisture=moisture,
            residual_N=rest[..., i, :3],
            residual_M=rest[..., i, 3:],
        )
        for i, laminate in enumerate(section.laminates)
    )


def _free(section: Section, temperature_change: ArrayLike, moisture: ArrayLike) -> Array:
    return np.stack([w.free_strain(temperature_change, moisture) for w in section.laminates], axis=-2)


def _place(at: float) -> float:
    return number(
        "Section: at [-]", at, at_least=0.0, at_most=1.0, cause="a fraction of the wall, not a length"
    )
