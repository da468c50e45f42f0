"""Tsai-Hill: Hill's yield surface fitted to a ply, strengths chosen by the sign of the stress."""

from itertools import product

from numpy.typing import ArrayLike

from laminate.failure.load_path import strength_ratio
from laminate.failure.modes import Mode, ModeArray, dominant_mode, judged_by
from laminate.failure.surface import Surface
from materials.allowables import Allowables
from materials.checks import Array, number


def tsai_hill_surfaces(allowables: Allowables) -> tuple[Surface, ...]:
    """Four pieces of the Tsai-Hill criterion, one for each pair of signs of s1 and s2.

    Parameters
    ----------
    allowables : Allowables
        Strengths of the ply.

    Returns
    -------
    tuple of Surface
        The pieces; their mode is not told.

    Raises
    ------
    ValueError
        If the strengths leave the surface open.
    """
    a = judged_by("tsai_hill", allowables)
    for X, Y, sense in ((a.Xt, a.Yt, "tension"), (a.Xc, a.Yc, "compression")):
        number(f"tsai_hill: Y in {sense} [Pa]", Y, below=2 * X, cause="are axes 1 and 2 swapped?")
    return tuple(
        Surface(
            mode=Mode.NONE,
            quadratic=((0, 0, 1 / X**2), (0, 1, -1 / X**2), (1, 1, 1 / Y**2), (2, 2, 1 / a.S**2)),
            within=(((sign1, 0.0, 0.0), 0.0), ((0.0, sign2, 0.0), 0.0)),
        )
        for (sign1, X), (sign2, Y) in product(((1.0, a.Xt), (-1.0, a.Xc)), ((1.0, a.Yt), (-1.0, a.Yc)))
    )


def tsai_hill(stress: ArrayLike, allowables: Allowables, *, residual: ArrayLike | None = None) -> Array:
    """Strength ratio by Tsai-Hill.

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
    s1^2 / X^2 - s1 s2 / X^2 + s2^2 / Y^2 + t12^2 / S^2 = 1, X and Y the strengths in tension or
    compression by the sign of s1 and s2. Closed if Y < 2 X. Convex if Xt = Xc; else the surface has a
    slight notch at s1 = 0, where the factor of the product jumps.

    References
    ----------
    V. D. Azzi, S. W. Tsai, Anisotropic strength of composites, Exp. Mech. 5 (1965) 283-288;
    R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999, sec. 2.9.3.
    """
    return strength_ratio(tsai_hill_surfaces(allowables), stress, residual, what="tsai_hill")


def tsai_hill_mode(
    stress: ArrayLike, allowables: Allowables, *, residual: ArrayLike | None = None
) -> ModeArray:
    """Mode by Tsai-Hill: the stress nearest its own strength when the surface is met.

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
    ratio = tsai_hill(stress, allowables, residual=residual)
    return dominant_mode(ratio, stress, allowables, residual)
