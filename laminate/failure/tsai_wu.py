"""Tsai-Wu: one quadratic surface through the five strengths, interaction given by the user."""

from math import sqrt

from numpy.typing import ArrayLike

from laminate.failure.load_path import strength_ratio
from laminate.failure.modes import Mode, ModeArray, dominant_mode, judged_by
from laminate.failure.surface import Surface
from materials.allowables import Allowables
from materials.checks import Array, number


def polynomial(allowables: Allowables, cross: float) -> Surface:
    """Quadratic surface through the five strengths with the coefficient `cross` on s1 s2.

    Parameters
    ----------
    allowables : Allowables
        Strengths of the ply.
    cross : float
        Coefficient 2 F12 of the product s1 s2 [1/Pa^2].

    Returns
    -------
    Surface
        The whole surface; its mode is not told.
    """
    a = allowables
    return Surface(
        mode=Mode.NONE,
        linear=((0, 1 / a.Xt - 1 / a.Xc), (1, 1 / a.Yt - 1 / a.Yc)),
        quadratic=((0, 0, 1 / (a.Xt * a.Xc)), (1, 1, 1 / (a.Yt * a.Yc)), (2, 2, 1 / a.S**2), (0, 1, cross)),
    )


def tsai_wu_surfaces(allowables: Allowables, *, interaction: float = -0.5) -> tuple[Surface, ...]:
    """The one piece of the Tsai-Wu criterion.

    Parameters
    ----------
    allowables : Allowables
        Strengths of the ply.
    interaction : float
        F12 / sqrt(F11 F22), between -1 and 1 [-].

    Returns
    -------
    tuple of Surface
        The ellipsoid.

    Raises
    ------
    ValueError
        If the interaction leaves the surface open.
    """
    cause = "F12**2 < F11 F22 keeps the surface closed; F12 itself given?"
    interaction = number("tsai_wu: interaction [-]", interaction, above=-1.0, below=1.0, cause=cause)
    a = judged_by("tsai_wu", allowables)
    return (polynomial(a, 2 * interaction / sqrt(a.Xt * a.Xc * a.Yt * a.Yc)),)


def tsai_wu(
    stress: ArrayLike, allowables: Allowables, *, residual: ArrayLike | None = None, interaction: float = -0.5
) -> Array:
    """Strength ratio by Tsai-Wu.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Part of (s1, s2, t12) that grows with the load [Pa].
    allowables : Allowables
        Strengths of the ply.
    residual : array_like, shape (..., 3), optional
        Part of the stress that stays fixed (cure, moisture) [Pa].
    interaction : float
        F12 / sqrt(F11 F22), between -1 and 1; -1/2 makes the surface a distorted von Mises ellipsoid [-].

    Returns
    -------
    ndarray, shape (...)
        R: R stress + residual meets the criterion. inf if it never does (zero load), 0 if the residual
        alone violates it [-].

    Raises
    ------
    ValueError
        If a stress has not three components or is not finite, or the interaction leaves the surface open.

    Notes
    -----
    F1 s1 + F2 s2 + F11 s1^2 + F22 s2^2 + F66 t12^2 + 2 F12 s1 s2 = 1 with F1 = 1/Xt - 1/Xc,
    F11 = 1/(Xt Xc), likewise F2 and F22 from Yt and Yc, F66 = 1/S^2. Convex in stress and in strain.

    References
    ----------
    S. W. Tsai, E. M. Wu, A general theory of strength for anisotropic materials, J. Compos. Mater. 5
    (1971) 58-80; S. W. Tsai, H. T. Hahn, Introduction to Composite Materials, 1980, ch. 7.
    """
    return strength_ratio(
        tsai_wu_surfaces(allowables, interaction=interaction), stress, residual, what="tsai_wu"
    )


def tsai_wu_mode(
    stress: ArrayLike, allowables: Allowables, *, residual: ArrayLike | None = None, interaction: float = -0.5
) -> ModeArray:
    """Mode by Tsai-Wu: the stress nearest its own strength when the surface is met.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Part of (s1, s2, t12) that grows with the load [Pa].
    allowables : Allowables
        Strengths of the ply.
    residual : array_like, shape (..., 3), optional
        Part of the stress that stays fixed (cure, moisture) [Pa].
    interaction : float
        F12 / sqrt(F11 F22), between -1 and 1 [-].

    Returns
    -------
    ndarray of int8, shape (...)
        Values of `Mode` [-].
    """
    ratio = tsai_wu(stress, allowables, residual=residual, interaction=interaction)
    return dominant_mode(ratio, stress, allowables, residual)
