"""Maximum strain: each strain against its own limit, no interaction."""

from dataclasses import replace

from numpy.typing import ArrayLike

from laminate.failure.load_path import first_mode, strength_ratio
from laminate.failure.max_stress import limits
from laminate.failure.modes import ModeArray, judged_by
from laminate.failure.surface import Surface
from materials.allowables import Allowables
from materials.checks import Array


def max_strain_surfaces(allowables: Allowables) -> tuple[Surface, ...]:
    """Pieces of the maximum strain criterion, in strain.

    Parameters
    ----------
    allowables : Allowables
        Failure strains of the ply.

    Returns
    -------
    tuple of Surface
        One piece per mode.

    Raises
    ------
    ValueError
        If the allowables give no failure strains.
    """
    return tuple(
        replace(piece, of="strain") for piece in limits(*judged_by("max_strain", allowables).strains)
    )


def max_strain(strain: ArrayLike, allowables: Allowables, *, residual: ArrayLike | None = None) -> Array:
    """Strength ratio by maximum strain.

    Parameters
    ----------
    strain : array_like, shape (..., 3)
        Part of (e1, e2, g12) that grows with the load, engineering shear strain [-].
    allowables : Allowables
        Failure strains of the ply.
    residual : array_like, shape (..., 3), optional
        Part of the strain that stays fixed: the one that goes with the residual stress, total minus
        free strain [-].

    Returns
    -------
    ndarray, shape (...)
        R: R strain + residual meets the criterion. inf if it never does (zero load), 0 if the residual
        alone violates it [-].

    Raises
    ------
    ValueError
        If the allowables give no failure strains, or a strain has not three components or is not finite.

    Notes
    -----
    -e1c < e1 < e1t, -e2c < e2 < e2t, abs(g12) < its limit.

    References
    ----------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999, sec. 2.9.2.
    """
    return strength_ratio(max_strain_surfaces(allowables), strain, residual, what="max_strain")


def max_strain_mode(
    strain: ArrayLike, allowables: Allowables, *, residual: ArrayLike | None = None
) -> ModeArray:
    """Mode by maximum strain; arguments as for `max_strain`.

    Parameters
    ----------
    strain : array_like, shape (..., 3)
        Part of (e1, e2, g12) that grows with the load [-].
    allowables : Allowables
        Failure strains of the ply.
    residual : array_like, shape (..., 3), optional
        Part of the strain that stays fixed [-].

    Returns
    -------
    ndarray of int8, shape (...)
        Values of `Mode` [-].
    """
    return first_mode(max_strain_surfaces(allowables), strain, residual, what="max_strain")
