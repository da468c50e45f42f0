"""Hashin: fiber and matrix modes, each a quadratic of the stresses that drive it."""

from numpy.typing import ArrayLike

from laminate.failure.load_path import first_mode, strength_ratio
from laminate.failure.modes import Mode, ModeArray, judged_by
from laminate.failure.surface import Surface
from materials.allowables import Allowables
from materials.checks import Array, number


def hashin_surfaces(
    allowables: Allowables, *, transverse_shear: float | None = None, shear_share: float = 1.0
) -> tuple[Surface, ...]:
    """Pieces of the Hashin criterion.

    Parameters
    ----------
    allowables : Allowables
        Strengths of the ply.
    transverse_shear : float, optional
        Shear strength across the fibers, in the 2-3 plane; None takes Yc / 2 [Pa].
    shear_share : float
        Factor on the shear term in fiber tension, 0 to 1 [-].

    Returns
    -------
    tuple of Surface
        One piece per mode.

    Raises
    ------
    ValueError
        If the shear strength is not positive or the share outside its range.
    """
    a = judged_by("hashin", allowables)
    share = number("hashin: shear_share [-]", shear_share, at_least=0.0, at_most=1.0)
    ST = a.Yc / 2 if transverse_shear is None else transverse_shear
    ST = number("hashin: transverse_shear [Pa]", ST, above=0.0)
    ST = number("hashin: transverse_shear [Pa]", ST, at_least=1e4, cause="given in MPa?")
    shear = (2, 2, 1 / a.S**2)
    return (
        Surface(
            mode=Mode.FIBER_TENSION,
            quadratic=((0, 0, 1 / a.Xt**2), (2, 2, share / a.S**2)),
            within=(((1.0, 0.0, 0.0), 0.0),),
        ),
        Surface(mode=Mode.FIBER_COMPRESSION, linear=((0, -1 / a.Xc),)),
        Surface(
            mode=Mode.MATRIX_TENSION,
            quadratic=((1, 1, 1 / a.Yt**2), shear),
            within=(((0.0, 1.0, 0.0), 0.0),),
        ),
        Surface(
            mode=Mode.MATRIX_COMPRESSION,
            linear=((1, ((a.Yc / (2 * ST)) ** 2 - 1) / a.Yc),),
            quadratic=((1, 1, 1 / (2 * ST) ** 2), shear),
            within=(((0.0, -1.0, 0.0), 0.0),),
        ),
    )


def hashin(
    stress: ArrayLike,
    allowables: Allowables,
    *,
    residual: ArrayLike | None = None,
    transverse_shear: float | None = None,
    shear_share: float = 1.0,
) -> Array:
    """Strength ratio by Hashin.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Part of (s1, s2, t12) that grows with the load [Pa].
    allowables : Allowables
        Strengths of the ply.
    residual : array_like, shape (..., 3), optional
        Part of the stress that stays fixed (cure, moisture) [Pa].
    transverse_shear : float, optional
        Shear strength ST across the fibers, in the 2-3 plane. None takes Yc / 2, which is right for a
        crack at 45 deg and makes the matrix modes those of Hashin and Rotem 1973 [Pa].
    shear_share : float
        Factor on the shear term in fiber tension: 1 as published in 1980, 0 as in 1973 [-].

    Returns
    -------
    ndarray, shape (...)
        R: R stress + residual meets the criterion. inf if it never does (zero load), 0 if the residual
        alone violates it [-].

    Raises
    ------
    ValueError
        If a stress has not three components or is not finite, or a parameter is out of its range.

    Notes
    -----
    Fiber tension, s1 >= 0:       (s1/Xt)^2 + share (t12/S)^2 = 1.
    Fiber compression:            -s1/Xc = 1.
    Matrix tension, s2 >= 0:      (s2/Yt)^2 + (t12/S)^2 = 1.
    Matrix compression, s2 <= 0:  (s2/(2 ST))^2 + ((Yc/(2 ST))^2 - 1) s2/Yc + (t12/S)^2 = 1.

    References
    ----------
    Z. Hashin, Failure criteria for unidirectional fiber composites, J. Appl. Mech. 47 (1980) 329-334;
    Z. Hashin, A. Rotem, A fatigue failure criterion for fiber reinforced materials, J. Compos. Mater. 7
    (1973) 448-464.
    """
    surfaces = hashin_surfaces(allowables, transverse_shear=transverse_shear, shear_share=shear_share)
    return strength_ratio(surfaces, stress, residual, what="hashin")


def hashin_mode(
    stress: ArrayLike,
    allowables: Allowables,
    *,
    residual: ArrayLike | None = None,
    transverse_shear: float | None = None,
    shear_share: float = 1.0,
) -> ModeArray:
    """Mode by Hashin; arguments as for `hashin`.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Part of (s1, s2, t12) that grows with the load [Pa].
    allowables : Allowables
        Strengths of the ply.
    residual : array_like, shape (..., 3), optional
        Part of the stress that stays fixed (cure, moisture) [Pa].
    transverse_shear : float, optional
        Shear strength across the fibers, in the 2-3 plane; None takes Yc / 2 [Pa].
    shear_share : float
        Factor on the shear term in fiber tension, 0 to 1 [-].

    Returns
    -------
    ndarray of int8, shape (...)
        Values of `Mode` [-].
    """
    surfaces = hashin_surfaces(allowables, transverse_shear=transverse_shear, shear_share=shear_share)
    return first_mode(surfaces, stress, residual, what="hashin")
