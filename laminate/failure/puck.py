"""Puck in plane stress: fiber failure, and inter-fiber failure in the modes A, B and C.

::

      abs(t12)
         |    C    .-------.  B
         |     .-'          '-.         A: s2 >= 0, open crack normal to the ply
         |   .'     crack       '.      B: the same crack, pressed together
         |  /     t12c--+   S--+  '.    C: crack inclined through the thickness
         +--+-----------+------+---+---
           -Yc         -RA     0   Yt   s2
"""

from math import sqrt

import numpy as np
from numpy.typing import ArrayLike

from laminate.failure.load_path import first_mode, strength_ratio
from laminate.failure.modes import Mode, ModeArray, judged_by
from laminate.failure.surface import Surface
from materials.allowables import Allowables
from materials.checks import Array, number, reject


def action_plane_resistance(
    allowables: Allowables, *, inclination_compression: float = 0.30
) -> tuple[float, float]:
    """Where the modes B and C meet.

    Parameters
    ----------
    allowables : Allowables
        Strengths of the ply.
    inclination_compression : float
        Slope p of the fracture curve at s2 = 0, compression side [-].

    Returns
    -------
    RA : float
        Resistance of the action plane against transverse shear: -s2 at the border of B and C [Pa].
    p_across : float
        Inclination that goes with it across the fibers, p RA / S [-].

    Notes
    -----
    RA = S / (2 p) (sqrt(1 + 2 p Yc / S) - 1); the shear at the border is S sqrt(1 + 2 p_across).

    References
    ----------
    A. Puck, H. Schürmann, Failure analysis of FRP laminates by means of physically based
    phenomenological models, Compos. Sci. Technol. 58 (1998) 1045-1067.
    """
    a = allowables
    p = number("puck: inclination_compression [-]", inclination_compression, above=0.0, below=1.0)
    RA = a.S / (2 * p) * (sqrt(1 + 2 * p * a.Yc / a.S) - 1)
    return RA, p * RA / a.S


def puck_surfaces(
    allowables: Allowables,
    *,
    inclination_tension: float = 0.35,
    inclination_compression: float = 0.30,
    fiber_coupling: float = 0.0,
) -> tuple[Surface, ...]:
    """Pieces of the Puck criterion.

    Parameters
    ----------
    allowables : Allowables
        Strengths of the ply.
    inclination_tension, inclination_compression : float
        Slopes of the fracture curve at s2 = 0 on its two sides [-].
    fiber_coupling : float
        Share of s2 taken off s1 in the fiber modes [-].

    Returns
    -------
    tuple of Surface
        One piece per mode, and the end of mode A at s2 = Yt.

    Raises
    ------
    ValueError
        If an inclination is out of its range or too steep for the strengths.

    Notes
    -----
    The modes B and C are parted at s2 = -RA, not on the ray through their common point: the safe region
    is the same, and the mode is that of the arc on which the load path leaves it.
    """
    a = judged_by("puck", allowables)
    RA, p_across = action_plane_resistance(a, inclination_compression=inclination_compression)
    pt = number("puck: inclination_tension [-]", inclination_tension, at_least=0.0, below=1.0)
    pc = inclination_compression
    k = number("puck: fiber_coupling [-]", fiber_coupling, at_least=-1.0, at_most=1.0)
    if pt * a.Yt > a.S:
        limit = f"<= S / Yt = {a.S / a.Yt:.3g}"
        reject(
            "puck: inclination_tension [-]",
            pt,
            limit,
            "a woven ply? the criterion is for unidirectional ones",
        )
    shear = (2, 2, 1 / a.S**2)
    return (
        Surface(mode=Mode.FIBER_TENSION, linear=((0, 1 / a.Xt), (1, -k / a.Xt))),
        Surface(mode=Mode.FIBER_COMPRESSION, linear=((0, -1 / a.Xc), (1, k / a.Xc))),
        Surface(
            mode=Mode.INTER_FIBER_A,
            linear=((1, 2 * pt / a.S),),
            quadratic=((1, 1, (1 / a.Yt - 2 * pt / a.S) / a.Yt), shear),
            within=(((0.0, 1.0, 0.0), 0.0),),
        ),
        Surface(mode=Mode.INTER_FIBER_A, linear=((1, 1 / a.Yt),)),
        Surface(
            mode=Mode.INTER_FIBER_B,
            linear=((1, 2 * pc / a.S),),
            quadratic=(shear,),
            within=(((0.0, -1.0, 0.0), 0.0), ((0.0, 1.0, 0.0), -RA)),
        ),
        Surface(
            mode=Mode.INTER_FIBER_C,
            linear=((1, 1 / a.Yc),),
            quadratic=((1, 1, 1 / a.Yc**2), (2, 2, 1 / (2 * (1 + p_across) * a.S) ** 2)),
            level=0.0,
            within=(((0.0, -1.0, 0.0), RA),),
        ),
    )


def puck(
    stress: ArrayLike,
    allowables: Allowables,
    *,
    residual: ArrayLike | None = None,
    inclination_tension: float = 0.35,
    inclination_compression: float = 0.30,
    fiber_coupling: float = 0.0,
) -> Array:
    """Strength ratio by Puck in plane stress.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Part of (s1, s2, t12) that grows with the load [Pa].
    allowables : Allowables
        Strengths of the ply.
    residual : array_like, shape (..., 3), optional
        Part of the stress that stays fixed (cure, moisture) [Pa].
    inclination_tension, inclination_compression : float
        Slopes of the fracture curve t12(s2) at s2 = 0 on its two sides. Recommended are 0.35 and 0.30 for
        carbon, 0.30 and 0.25 for glass [-].
    fiber_coupling : float
        Share of s2 taken off s1 in the fiber modes, nu12 - nu12f m E1/E1f with fiber values f and
        magnification m = 1.1 (carbon) or 1.3 (glass); 0 leaves s1 alone [-].

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
    With p the inclination on the tension side (A) or compression side (B, C), pp = p RA/S:

    A, s2 >= 0:         sqrt((t12/S)^2 + (1 - p Yt/S)^2 (s2/Yt)^2) + p s2/S = 1;
    B, -RA <= s2 <= 0:  sqrt((t12/S)^2 + (p s2/S)^2) + p s2/S = 1;
    C, s2 <= -RA:       ((t12/(2 (1 + pp) S))^2 + (s2/Yc)^2) Yc/(-s2) = 1.

    Cleared of the root and the fraction each is a quadratic, which gives R in closed form. The weakening
    of the matrix by high fiber stress is left out.

    References
    ----------
    A. Puck, H. Schürmann, Compos. Sci. Technol. 58 (1998) 1045-1067; inclinations: A. Puck, J. Kopp,
    M. Knops, Guidelines for the determination of the parameters in Puck's action plane strength
    criterion, Compos. Sci. Technol. 62 (2002) 371-378 (from memory).
    """
    surfaces = puck_surfaces(
        allowables,
        inclination_tension=inclination_tension,
        inclination_compression=inclination_compression,
        fiber_coupling=fiber_coupling,
    )
    return strength_ratio(surfaces, stress, residual, what="puck")


def puck_mode(
    stress: ArrayLike,
    allowables: Allowables,
    *,
    residual: ArrayLike | None = None,
    inclination_tension: float = 0.35,
    inclination_compression: float = 0.30,
    fiber_coupling: float = 0.0,
) -> ModeArray:
    """Mode by Puck: fiber tension or compression, or inter-fiber A, B, C.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Part of (s1, s2, t12) that grows with the load [Pa].
    allowables : Allowables
        Strengths of the ply.
    residual : array_like, shape (..., 3), optional
        Part of the stress that stays fixed (cure, moisture) [Pa].
    inclination_tension, inclination_compression : float
        Slopes of the fracture curve at s2 = 0 on its two sides [-].
    fiber_coupling : float
        Share of s2 taken off s1 in the fiber modes [-].

    Returns
    -------
    ndarray of int8, shape (...)
        Values of `Mode` [-].
    """
    surfaces = puck_surfaces(
        allowables,
        inclination_tension=inclination_tension,
        inclination_compression=inclination_compression,
        fiber_coupling=fiber_coupling,
    )
    return first_mode(surfaces, stress, residual, what="puck")


def fracture_angle(
    stress: ArrayLike,
    allowables: Allowables,
    *,
    residual: ArrayLike | None = None,
    inclination_tension: float = 0.35,
    inclination_compression: float = 0.30,
) -> Array:
    """Inclination of the inter-fiber crack at failure.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Part of (s1, s2, t12) that grows with the load [Pa].
    allowables : Allowables
        Strengths of the ply.
    residual : array_like, shape (..., 3), optional
        Part of the stress that stays fixed (cure, moisture) [Pa].
    inclination_tension, inclination_compression : float
        Slopes of the fracture curve at s2 = 0 on its two sides [-].

    Returns
    -------
    ndarray, shape (...)
        Angle between the crack and the normal of the ply: 0 in modes A and B, acos(sqrt(RA/(-s2))) in
        mode C, NaN where the matrix does not fail first [rad].
    """
    slopes = {"inclination_tension": inclination_tension, "inclination_compression": inclination_compression}
    surfaces = puck_surfaces(allowables, **slopes)
    ratio = strength_ratio(surfaces, stress, residual, what="puck")
    mode = first_mode(surfaces, stress, residual, what="puck")
    RA, _ = action_plane_resistance(allowables, inclination_compression=inclination_compression)
    in_c = mode == Mode.INTER_FIBER_C
    s2 = np.where(in_c, ratio, 0.0) * np.asarray(stress, dtype=float)[..., 1]
    if residual is not None:
        s2 = s2 + np.asarray(residual, dtype=float)[..., 1]
    angle = np.arccos(np.sqrt(RA / np.maximum(-s2, RA)))
    in_matrix = in_c | (mode == Mode.INTER_FIBER_A) | (mode == Mode.INTER_FIBER_B)
    return np.where(in_c, angle, np.where(in_matrix, 0.0, np.nan))
