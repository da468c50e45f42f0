"""LaRC03: matrix cracks on the plane where they come first, and misaligned fibers that kink."""

from dataclasses import replace
from math import hypot, radians
from typing import Annotated, ClassVar

import numpy as np

from laminate.failure.criterion import Criterion
from laminate.failure.kinking import CrackPlane, TurnedFibers, kinking_angle
from laminate.failure.modes import Mode
from laminate.failure.searched_piece import CrackIndex, Index, PlyAxes, SearchedPiece
from laminate.failure.surface import Piece, Surface
from materials.allowables import STRENGTH, Allowables
from materials.checks import Array, Limits, reject
from materials.lamina import Kind

PLANES = 151
"""Steep crack planes looked at, up to the fracture plane: a quarter of a degree apart."""

KINKED = radians(0.25)
"""Inclination of the crack plane below which the turned fibers count as kinked, not the matrix as crushed."""

DIRECTIONS = 513
"""Directions between transverse compression and shear for which the worst of the steep planes is tabulated."""


class LaRC03(Criterion, eq=True):
    """LaRC03 criterion.

    Parameters
    ----------
    shear_modulus : float, optional
        G12, which says how far misaligned fibers turn. None takes the secant modulus S / g12 of the
        allowables [Pa].
    toughness_ratio : float
        Energy release rate at fracture in mode I over that in mode II, 0 to 1; smaller is on the safe
        side. The default is that of IM7/8552, 0.277/0.788 kJ/m^2 [-].
    fracture_angle_deg : float
        Angle of the fracture plane under pure transverse compression, 53 +- 2 for most carbon and
        glass plies [deg].
    coupon_shear_strength : float, optional
        S of the coupon, which sets friction and kinking angle, where the allowables hold an S in situ. None takes S of
        the allowables before any knockdown [Pa].

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

    Fiber tension takes stress; the paper takes strain, e1 = e1t, which differs by nu12 s2. Fibers that turn by more
    than 45 deg count as failed: the small angles of the theory no longer hold. Give allowables in situ where the ply
    is confined. Kinked fibers count as the mode fiber compression.

    Knockdowns: friction, kinking angle, G12 - Xc and the border s1 = -Yc follow the stated strengths; reduced Yt, S and
    ST stand only as denominators, and a reduced Xc limits s1 >= -Xc: no knockdown raises a ratio.

    Tension is solved. Compression is followed along the load path by steps that are each proved safe, so
    the first crossing is found however short the violation. The worst plane is read from a table, good to
    2e-5 of R for fracture angles up to 55 deg; from there to 75 deg it is up to 6e-4 low.

    References
    ----------
    C. G. Dávila, P. P. Camanho, C. A. Rose, Failure criteria for FRP laminates, J. Compos. Mater. 39
    (2005) 323-345; C. G. Dávila, P. P. Camanho, NASA/TM-2003-212663. Toughness: P. P. Camanho, P. Maimí,
    C. G. Dávila, Compos. Sci. Technol. 67 (2007) 2715-2727 (from memory).

    Examples
    --------
    >>> from materials import lamina
    >>> a = lamina("T300/5208").allowables
    >>> float(LaRC03(shear_modulus=7.17e9).ratio([-0.5 * a.Xc, 0.0, 0.0], a).round(6))
    2.0
    """

    name: ClassVar[str] = "larc03"
    title: ClassVar[str] = "LaRC03"
    suits: ClassVar[tuple[Kind, ...]] = ("tape",)

    shear_modulus: Annotated[float | None, Limits("Pa", at_least=1e7, cause="G12 in GPa?")] = None
    toughness_ratio: Annotated[float, Limits(at_least=0.0, at_most=1.0)] = 0.35
    fracture_angle_deg: Annotated[float, Limits("deg", at_least=45.0, at_most=75.0)] = 53.0
    coupon_shear_strength: Annotated[float | None, STRENGTH] = None

    def _surfaces(self, allowables: Allowables) -> tuple[Piece, ...]:
        a, g, degrees = allowables, self.toughness_ratio, self.fracture_angle_deg
        first = a.stated  # friction, misalignment and the border of the ranges do not follow a knockdown
        modulus = self._shear_modulus(first)
        if self.coupon_shear_strength is not None:
            first = replace(first, S=self.coupon_shear_strength, S02=None)
        plane = replace(CrackPlane.of(first, degrees), ST=CrackPlane.of(a, degrees).ST)
        turned = TurnedFibers(angle=kinking_angle(first, plane.eta_L), Xc=first.Xc, shear_modulus=modulus)
        steep = _steep_planes(a, plane, radians(degrees))
        on_any, inclined = (_worst_plane(a, plane, steep, least) for least in (0.0, KINKED))

        def sheared(s2: Array, t12: Array) -> Array:
            return (t12 + plane.eta_L * s2) / a.S

        steepness = hypot(1 / a.S, max(1 / a.Yt, 1 / a.Yc, plane.eta_L / a.S))
        kinked = CrackIndex(closed=sheared, opened=_open_crack(a, g), steepness=steepness)
        cracked = CrackIndex(closed=on_any, opened=on_any, steepness=steepness)
        crushed = CrackIndex(closed=inclined, opened=lambda s2, t12: t12 / a.S, steepness=steepness)
        reach = 4 * (first.Xt + first.Xc + first.Yt + first.Yc + first.S)
        along, across = ((-1.0, 0.0, 0.0), 0.0), ((0.0, -1.0, 0.0), 0.0)  # compression
        little, much = (
            ((1.0, 0.0, 0.0), -first.Yc),
            ((-1.0, 0.0, 0.0), first.Yc),
        )  # compression along the fiber
        crush, kink = Mode.MATRIX_COMPRESSION, Mode.FIBER_COMPRESSION
        reduced = (Surface(mode=kink, linear=((0, -1 / a.Xc),)),) if a.Xc < first.Xc else ()
        return (
            Surface(mode=Mode.FIBER_TENSION, linear=((0, 1 / a.Xt),)),
            *reduced,
            Surface(
                mode=Mode.MATRIX_TENSION,
                linear=((1, (1 - g) / a.Yt),),
                quadratic=((1, 1, g / a.Yt**2), (2, 2, 1 / a.S**2)),
                within=(((0.0, 1.0, 0.0), 0.0),),
            ),
            SearchedPiece(mode=crush, index=cracked, frame=PlyAxes(), within=(across, little), reach=reach),
            SearchedPiece(mode=kink, index=kinked, frame=turned, within=(along,), reach=reach),
            SearchedPiece(mode=crush, index=crushed, frame=turned, within=(across, much), reach=reach),
        )

    def _shear_modulus(self, a: Allowables) -> float:
        """G12 given, or S / g12 of the allowables, which must be stiffer than the fibers are strong [Pa]."""
        given = self.shear_modulus
        if given is None:
            if a.g12 is None:
                reject("larc03: shear_modulus", None, "given, or g12 in the allowables", "G12 of the lamina")
            given = a.S / a.g12
        if given <= a.Xc:
            cause = "G12 in GPa, or of a soft secant?"
            reject("larc03: shear_modulus [Pa]", f"{given:g}", f"> Xc = {a.Xc:g}", cause)
        return given


def _steep_planes(a: Allowables, plane: CrackPlane, most: float) -> Index:
    """Index on the worst of the planes from tan a = eta_T to `most` [rad], under transverse compression."""
    # On each plane it is the length of the vector (tT/ST, tL/S), which is convex. So is the largest, and so is a
    # table of it with straight level lines between its directions. These are set by the stated strengths, so that
    # every value of the table grows with every knockdown.
    first = a.stated
    angles = np.linspace(np.arctan(plane.eta_T), most, PLANES)
    share = np.linspace(0.0, 1.0, DIRECTIONS)
    p, t, c, s = first.Yc * (1 - share[:, None]), first.S * share[:, None], np.cos(angles), np.sin(angles)
    across = p * c * np.maximum(s - plane.eta_T * c, 0.0) / plane.ST
    along = np.maximum(c * (t - plane.eta_L * p * c), 0.0) / a.S
    worst = np.sqrt((across**2 + along**2).max(axis=1))

    def index(s2: Array, t12: Array) -> Array:
        pressure, shear = np.maximum(-s2, 0.0) / first.Yc, t12 / first.S
        size = pressure + shear
        return size * np.interp(shear / np.where(size > 0, size, 1.0), share, worst) * (s2 < 0)

    return index


def _worst_plane(a: Allowables, plane: CrackPlane, steep: Index, least: float) -> Index:
    """Index on the worst plane inclined by `least` [rad] or more."""
    # Up to tan a = eta_T friction carries tT, and tL is largest at cos a = t12/(-2 eta_L s2) or an end. With tension
    # across the fibers the least inclined plane stands for all.
    low, high = np.cos(np.arctan(plane.eta_T)), np.cos(least)

    def index(s2: Array, t12: Array) -> Array:
        friction = plane.eta_L * s2
        cos = np.where(friction < 0, np.clip(t12 / (-2 * friction), low, high), high)
        return np.maximum(cos * (t12 + friction * cos) / a.S, steep(s2, t12))

    return index


def _open_crack(a: Allowables, g: float) -> Index:
    """Index of an open crack under tension across the fibers and shear along them; g is the toughness ratio."""

    def index(s2: Array, t12: Array) -> Array:
        b = (1 - g) * s2 / a.Yt
        return (b + np.sqrt(b * b + 4 * (g * (s2 / a.Yt) ** 2 + (t12 / a.S) ** 2))) / 2

    return index
