"""Maximum stress: each stress against its own strength, no interaction."""

from numpy.typing import ArrayLike

from laminate.failure.load_path import first_mode, strength_ratio
from laminate.failure.modes import Mode, ModeArray, judged_by
from laminate.failure.surface import Surface
from materials.allowables import Allowables
from materials.checks import Array


def limits(
    tension1: float, compression1: float, tension2: float, compression2: float, shear: float
) -> tuple[Surface, ...]:
    """Six planes that bound each component by itself.

    Parameters
    ----------
    tension1, compression1, tension2, compression2, shear : float
        Limits along the fiber, across it and in shear, all positive [Pa] or [-].

    Returns
    -------
    tuple of Surface
        Fiber tension and compression, matrix tension and compression, shear of either sign.
    """
    return (
        Surface(mode=Mode.FIBER_TENSION, linear=((0, 1 / tension1),)),
        Surface(mode=Mode.FIBER_COMPRESSION, linear=((0, -1 / compression1),)),
        Surface(mode=Mode.MATRIX_TENSION, linear=((1, 1 / tension2),)),
        Surface(mode=Mode.MATRIX_COMPRESSION, linear=((1, -1 / compression2),)),
        Surface(mode=Mode.SHEAR, linear=((2, 1 / shear),)),
        Surface(mode=Mode.SHEAR, linear=((2, -1 / shear),)),
    )


def max_stress_surfaces(allowables: Allowables) -> tuple[Surface, ...]:
    """Pieces of the maximum stress criterion.

    Parameters
    ----------
    allowables : Allowables
        Strengths of the ply.

    Returns
    -------
    tuple of Surface
        One piece per mode.

    Raises
    ------
    ValueError
        If the allowables are missing.
    """
    a = judged_by("max_stress", allowables)
    return limits(a.Xt, a.Xc, a.Yt, a.Yc, a.S)


def max_stress(stress: ArrayLike, allowables: Allowables, *, residual: ArrayLike | None = None) -> Array:
    """Strength ratio by maximum stress.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Part of (s1, s2, t12) that grows with the load [Pa].
    allowables : Allowables
        Strengths of the ply.
    residual : array_like, shape (..., 3), optional
        Part of the stress that stays fixed (cure, moisture) [Pa].

    Returns
    -------
    ndarray, shape (...)
        R: R stress + residual meets the criterion. inf if it never does (zero load), 0 if the residual
        alone violates it [-].

    Raises
    ------
    ValueError
        If a stress has not three components or is not finite.

    Notes
    -----
    -Xc < s1 < Xt, -Yc < s2 < Yt, abs(t12) < S.

    References
    ----------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999, sec. 2.9.1.
    """
    return strength_ratio(max_stress_surfaces(allowables), stress, residual, what="max_stress")


def max_stress_mode(
    stress: ArrayLike, allowables: Allowables, *, residual: ArrayLike | None = None
) -> ModeArray:
    """Mode by maximum stress; arguments as for `max_stress`.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Part of (s1, s2, t12) that grows with the load [Pa].
    allowables : Allowables
        Strengths of the ply.
    residual : array_like, shape (..., 3), optional
        Part of the stress that stays fixed (cure, moisture) [Pa].

    Returns
    -------
    ndarray of int8, shape (...)
        Values of `Mode` [-].
    """
    return first_mode(max_stress_surfaces(allowables), stress, residual, what="max_stress")
