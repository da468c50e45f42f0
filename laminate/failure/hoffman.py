"""Hoffman: a quadratic surface through the five strengths, its interaction taken from Hill."""

from numpy.typing import ArrayLike

from laminate.failure.load_path import strength_ratio
from laminate.failure.modes import ModeArray, dominant_mode, judged_by
from laminate.failure.surface import Surface
from laminate.failure.tsai_wu import polynomial
from materials.allowables import Allowables
from materials.checks import Array, reject


def hoffman_surfaces(allowables: Allowables) -> tuple[Surface, ...]:
    """The one piece of the Hoffman criterion.

    Parameters
    ----------
    allowables : Allowables
        Strengths of the ply.

    Returns
    -------
    tuple of Surface
        The ellipsoid.

    Raises
    ------
    ValueError
        If the strengths leave the surface open.
    """
    a = judged_by("hoffman", allowables)
    if a.Yt * a.Yc >= 4 * a.Xt * a.Xc:
        got = f"Yt Yc = {a.Yt * a.Yc:.3g} Pa^2"
        limit = f"< 4 Xt Xc = {4 * a.Xt * a.Xc:.3g} Pa^2 for a closed surface"
        reject("hoffman: strengths", got, limit, "are axes 1 and 2 swapped?")
    return (polynomial(a, -1 / (a.Xt * a.Xc)),)


def hoffman(stress: ArrayLike, allowables: Allowables, *, residual: ArrayLike | None = None) -> Array:
    """Strength ratio by Hoffman.

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
        If a stress has not three components or is not finite, or the strengths leave the surface open.

    Notes
    -----
    (s1^2 - s1 s2) / (Xt Xc) + s2^2 / (Yt Yc) + t12^2 / S^2 + (1/Xt - 1/Xc) s1 + (1/Yt - 1/Yc) s2 = 1.
    Convex in stress and in strain.

    References
    ----------
    O. Hoffman, The brittle strength of orthotropic materials, J. Compos. Mater. 1 (1967) 200-206.
    """
    return strength_ratio(hoffman_surfaces(allowables), stress, residual, what="hoffman")


def hoffman_mode(
    stress: ArrayLike, allowables: Allowables, *, residual: ArrayLike | None = None
) -> ModeArray:
    """Mode by Hoffman: the stress nearest its own strength when the surface is met.

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
    return dominant_mode(hoffman(stress, allowables, residual=residual), stress, allowables, residual)
