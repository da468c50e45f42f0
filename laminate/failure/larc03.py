"""LaRC03: matrix cracks on the plane where they come first, and misaligned fibers that kink."""

import numpy as np
from numpy.typing import ArrayLike

from laminate.failure.kinking import CrackPlane, kinking_angle, misaligned_stress
from laminate.failure.load_path import first_mode, strength_ratio
from laminate.failure.modes import Mode, ModeArray, judged_by
from laminate.failure.search import BoolArray, SearchedPiece
from laminate.failure.surface import Piece, Surface
from materials.allowables import Allowables
from materials.checks import Array, number, reject

PLANES = 213
"""Crack planes judged, from the normal of the ply to the fracture plane: a quarter of a degree apart."""


def _shear_allowed(a: Allowables, plane: CrackPlane, angles: Array) -> tuple[Array, Array]:
    """Pressure across the fibers, 0 to Yc, and the shear stress along them at failure on each plane."""
    pressure = a.Yc * np.sin(np.linspace(0, np.pi / 2, 1025))  # dense where the shear drops steeply
    p, c, s = pressure[:, None], np.cos(angles), np.sin(angles)
    across = p * c * np.maximum(s - plane.eta_T * c, 0.0) / plane.ST
    allowed = plane.eta_L * p * c + a.S / c * np.sqrt(np.maximum(1 - across**2, 0.0))
    return pressure, allowed


def larc03_pieces(
    allowables: Allowables,
    *,
    shear_modulus: float | None = None,
    toughness_ratio: float = 0.35,
    fracture_angle_deg: float = 53.0,
) -> tuple[Piece, ...]:
    """Pieces of the LaRC03 criterion.

    Parameters
    ----------
    allowables : Allowables
        Strengths of the ply, in situ where it is confined.
    shear_modulus : float, optional
        G12; None takes S / g12 of the allowables [Pa].
    toughness_ratio : float
        Energy release rate at fracture in mode I over that in mode II, 0 to 1 [-].
    fracture_angle_deg : float
        Angle of the fracture plane under pure transverse compression, 45 to 75 [deg].

    Returns
    -------
    tuple of Piece
        Solved pieces for tension, searched ones for compression.

    Raises
    ------
    ValueError
        If a parameter is out of its range or missing, or the strengths do not fit together.
    """
    a = judged_by("larc03", allowables)
    g = number("larc03: toughness_ratio [-]", toughness_ratio, at_least=0.0, at_most=1.0)
    degrees = number("larc03: fracture_angle_deg [deg]", fracture_angle_deg, at_least=45.0, at_most=75.0)
    if shear_modulus is None:
        if a.g12 is None:
            reject("larc03: shear_modulus", None, "given, or g12 in the allowables", "G12 of the lamina")
        shear_modulus = a.S / a.g12
    G = number(
        "larc03: shear_modulus [Pa]", shear_modulus, above=a.Xc, cause="G12 in GPa, or of a soft secant?"
    )
    plane = CrackPlane.of(a, degrees)
    angles = np.radians(np.linspace(0.0, degrees, PLANES))
    angle = kinking_angle(a, plane.eta_L)
    pressure, on_plane = _shear_allowed(a, plane, angles)
    allowed = on_plane.min(axis=1)
    inclined = on_plane[:, 1:].min(axis=1)  # on the plane of angle 0 it is the fibers that kink

    def cracked(s1: Array, s2: Array, t12: Array) -> BoolArray:
        return (abs(t12) >= np.interp(-s2, pressure, allowed)) | (s2 <= -a.Yc)

    def kinked(s1: Array, s2: Array, t12: Array) -> BoolArray:
        s2m, t12m = misaligned_stress(s1, s2, t12, angle=angle, Xc=a.Xc, shear_modulus=G)
        opened = (1 - g) * s2m / a.Yt + g * (s2m / a.Yt) ** 2 + (t12m / a.S) ** 2 >= 1
        return (s1 < 0) & np.where(s2m < 0, t12m + plane.eta_L * s2m >= a.S, opened)

    def crushed(s1: Array, s2: Array, t12: Array) -> BoolArray:
        s2m, t12m = misaligned_stress(s1, s2, t12, angle=angle, Xc=a.Xc, shear_modulus=G)
        beyond = (t12m >= np.interp(-s2m, pressure, inclined)) | (s2m <= -a.Yc)
        return (s1 < -a.Yc) & (s2 < 0) & (s2m < 0) & beyond

    reach = 4 * (a.Xt + a.Xc + a.Yt + a.Yc + a.S)
    along, across = ((-1.0, 0.0, 0.0), 0.0), ((0.0, -1.0, 0.0), 0.0)  # compression
    little, much = ((1.0, 0.0, 0.0), -a.Yc), ((-1.0, 0.0, 0.0), a.Yc)  # compression along the fiber
    crush = Mode.MATRIX_COMPRESSION
    return (
        Surface(mode=Mode.FIBER_TENSION, linear=((0, 1 / a.Xt),)),
        SearchedPiece(mode=Mode.FIBER_COMPRESSION, beyond=kinked, within=(along,), reach=reach),
        Surface(
            mode=Mode.MATRIX_TENSION,
            linear=((1, (1 - g) / a.Yt),),
            quadratic=((1, 1, g / a.Yt**2), (2, 2, 1 / a.S**2)),
            within=(((0.0, 1.0, 0.0), 0.0),),
        ),
        SearchedPiece(mode=crush, beyond=cracked, within=(across, little), reach=reach),
        SearchedPiece(mode=crush, beyond=crushed, within=(across, much), reach=reach),
    )


def larc03(
    stress: ArrayLike,
    allowables: Allowables,
    *,
    residual: ArrayLike | None = None,
    shear_modulus: float | None = None,
    toughness_ratio: float = 0.35,
    fracture_angle_deg: float = 53.0,
) -> Array:
    """Strength ratio by LaRC03.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Part of (s1, s2, t12) that grows with the load [Pa].
    allowables : Allowables
        Strengths of the ply, in situ where it is confined.
    residual : array_like, shape (..., 3), optional
        Part of the stress that stays fixed (cure, moisture) [Pa].
    shear_modulus : float, optional
        G12, which says how far misaligned fibers turn. None takes the secant modulus S / g12 of the
        allowables [Pa].
    toughness_ratio : float
        Energy release rate at fracture in mode I over that in mode II, 0 to 1; smaller is on the safe
        side. The default is that of IM7/8552, 0.277/0.788 kJ/m^2 [-].
    fracture_angle_deg : float
        Angle of the fracture plane under pure transverse compression, 53 +- 2 for most carbon and
        glass plies [deg].

    Returns
    -------
    ndarray, shape (...)
        R: R stress + residual meets the criterion. inf if it never does (zero load), 0 if the residual
        alone violates it [-].

    Raises
    ------
    ValueError
        If a stress has not three components or is not finite, a parameter is out of its range or
        missing, or the strengths do not fit together.

    Notes
    -----
    With eta_T, eta_L, ST from the fracture angle, m for the frame of the turned fibers, <x> = max(x, 0)
    and g the toughness ratio:

    matrix tension, s2 >= 0:  (1 - g) s2/Yt + g (s2/Yt)^2 + (t12/S)^2 = 1;
    matrix compression, s1 >= -Yc, on the worst plane a:  (tT/ST)^2 + (tL/S)^2 = 1 with
    tT = <-s2 cos a (sin a - eta_T cos a)>, tL = <cos a (abs(t12) + eta_L s2 cos a)>;
    the same in the frame m where s1 < -Yc;
    fiber tension:  s1/Xt = 1;
    fiber compression:  <abs(t12m) + eta_L s2m>/S = 1 where s2m < 0, else as matrix tension in frame m.

    Tension is solved; compression is searched along the load path, with a table of the worst of planes
    a quarter of a degree apart, which is good to 2e-5 of R.

    References
    ----------
    C. G. Dávila, P. P. Camanho, C. A. Rose, Failure criteria for FRP laminates, J. Compos. Mater. 39
    (2005) 323-345; C. G. Dávila, P. P. Camanho, NASA/TM-2003-212663. Toughness: P. P. Camanho, P. Maimí,
    C. G. Dávila, Compos. Sci. Technol. 67 (2007) 2715-2727 (from memory).
    """
    pieces = larc03_pieces(
        allowables,
        shear_modulus=shear_modulus,
        toughness_ratio=toughness_ratio,
        fracture_angle_deg=fracture_angle_deg,
    )
    return strength_ratio(pieces, stress, residual, what="larc03")


def larc03_mode(
    stress: ArrayLike,
    allowables: Allowables,
    *,
    residual: ArrayLike | None = None,
    shear_modulus: float | None = None,
    toughness_ratio: float = 0.35,
    fracture_angle_deg: float = 53.0,
) -> ModeArray:
    """Mode by LaRC03; arguments as for `larc03`.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Part of (s1, s2, t12) that grows with the load [Pa].
    allowables : Allowables
        Strengths of the ply, in situ where it is confined.
    residual : array_like, shape (..., 3), optional
        Part of the stress that stays fixed (cure, moisture) [Pa].
    shear_modulus : float, optional
        G12; None takes S / g12 of the allowables [Pa].
    toughness_ratio : float
        Energy release rate at fracture in mode I over that in mode II, 0 to 1 [-].
    fracture_angle_deg : float
        Angle of the fracture plane under pure transverse compression, 45 to 75 [deg].

    Returns
    -------
    ndarray of int8, shape (...)
        Values of `Mode`; kinked fibers count as fiber compression [-].
    """
    pieces = larc03_pieces(
        allowables,
        shear_modulus=shear_modulus,
        toughness_ratio=toughness_ratio,
        fracture_angle_deg=fracture_angle_deg,
    )
    return first_mode(pieces, stress, residual, what="larc03")
