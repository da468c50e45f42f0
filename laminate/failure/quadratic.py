"""Tsai-Wu, Hoffman and Tsai-Hill: quadratic surfaces through the five strengths, which tell no mode.

A plain quadratic surface mixes strengths: F1 = 1/Xt - 1/Xc falls where Xc is reduced, so a knockdown on one strength
could raise the ratio of a state that the other limits. Each surface here takes the reduced strength of the sense of the
stress and the stated ones beside it, so no knockdown raises a ratio. Without a knockdown it is the plain surface.
"""

from dataclasses import replace
from itertools import product
from math import sqrt
from typing import Annotated, ClassVar, Self

from laminate.failure.criterion import Criterion
from laminate.failure.max_limits import planes
from laminate.failure.modes import Mode
from laminate.failure.surface import Piece, Sense, SensedEllipsoid, Surface
from materials.allowables import Allowables
from materials.checks import Limits, checked, reject
from materials.lamina import Kind

INTERACTION = Limits(
    above=-1.0, below=1.0, cause="F12**2 < F11 F22 keeps the surface closed; F12 itself given?"
)


class TsaiWu(Criterion, eq=True):
    """Tsai-Wu criterion.

    Parameters
    ----------
    interaction : float
        F12 / sqrt(F11 F22) of a tape, between -1 and 1; -1/2 makes the surface a distorted von Mises ellipsoid [-].
    fabric_interaction : float
        The same of a fabric, whose two directions are fibers [-].
    kind : {"tape", "fabric"}
        What the ply is. A fabric takes its own interaction and must meet maximum stress too. `for_kind` sets it.

    Notes
    -----
    F1 s1 + F2 s2 + F11 s1^2 + F22 s2^2 + F66 t12^2 + 2 F12 s1 s2 = 1 with F1 = 1/Xt - 1/Xc,
    F11 = 1/(Xt Xc), likewise F2 and F22 from Yt and Yc, F66 = 1/S^2. Convex in stress and in strain.

    Knockdowns: with X0 the stated strengths, F1 = 1/Xt - 1/Xc0 and F11 = 1/(Xt Xc0) for tension,
    F1 = 1/Xt0 - 1/Xc and F11 = 1/(Xt0 Xc) for compression, of which the larger F1 s1 + F11 s1^2 counts (that of the
    sign of s1 for -Xc0 < s1 < Xt0); likewise across the fiber; F12 from the stated strengths. Every term grows with
    every reduction, in any order, so no knockdown raises a ratio. The largest of convex functions is convex.

    References
    ----------
    S. W. Tsai, E. M. Wu, A general theory of strength for anisotropic materials, J. Compos. Mater. 5
    (1971) 58-80; S. W. Tsai, H. T. Hahn, Introduction to Composite Materials, 1980, ch. 7.

    Examples
    --------
    >>> from materials import lamina
    >>> allowables = lamina("T300/5208").allowables
    >>> float(TsaiWu().ratio([1.714e6, -2.714e6, -4.165e6], allowables).round(2))
    22.39
    >>> float(TsaiWu(interaction=0.0).ratio([1e9, 0.0, 0.0], allowables).round(3))
    1.5
    """

    name: ClassVar[str] = "tsai_wu"
    title: ClassVar[str] = "Tsai-Wu"
    convex: ClassVar[bool] = True

    interaction: Annotated[float, INTERACTION] = -0.5
    fabric_interaction: Annotated[float, INTERACTION] = 0.0
    kind: Kind = "tape"

    @checked
    def for_kind(self, kind: Kind) -> Self:
        """The criterion for tape, or for fabric: interaction of the fabric, joined with maximum stress."""
        return self if kind == self.kind else replace(self, kind=kind)

    def _surfaces(self, allowables: Allowables) -> tuple[Piece, ...]:
        a, fabric = allowables, self.kind == "fabric"
        share = self.fabric_interaction if fabric else self.interaction
        Xt, Xc, Yt, Yc = _stated(a)
        return _ellipsoid(a, 2 * share / sqrt(Xt * Xc * Yt * Yc)) + (
            planes(a.Xt, a.Xc, a.Yt, a.Yc, a.S) if fabric else ()
        )


class Hoffman(Criterion, eq=True):
    """Hoffman criterion: Tsai-Wu with the interaction of Hill.

    Notes
    -----
    (s1^2 - s1 s2) / (Xt Xc) + s2^2 / (Yt Yc) + t12^2 / S^2 + (1/Xt - 1/Xc) s1 + (1/Yt - 1/Yc) s2 = 1.
    Closed, and then convex in stress and in strain, if Yt Yc < 4 Xt Xc; other strengths are refused. Knockdowns as for
    `TsaiWu`, with the stated strengths in the factor of s1 s2.

    References
    ----------
    O. Hoffman, The brittle strength of orthotropic materials, J. Compos. Mater. 1 (1967) 200-206.

    Examples
    --------
    >>> from materials import lamina
    >>> float(Hoffman().ratio([1.714e6, -2.714e6, -4.165e6], lamina("T300/5208").allowables).round(2))
    22.49
    """

    name: ClassVar[str] = "hoffman"
    title: ClassVar[str] = "Hoffman"
    convex: ClassVar[bool] = True

    def _surfaces(self, allowables: Allowables) -> tuple[Piece, ...]:
        Xt, Xc, Yt, Yc = _stated(allowables)
        if Yt * Yc >= 4 * Xt * Xc:
            limit = f"< 4 Xt Xc = {4 * Xt * Xc:.3g} Pa^2 for a closed surface"
            reject("hoffman: strengths", f"Yt Yc = {Yt * Yc:.3g} Pa^2", limit, "are axes 1 and 2 swapped?")
        return _ellipsoid(allowables, -1 / (Xt * Xc))


class TsaiHill(Criterion, eq=True):
    """Tsai-Hill criterion: Hill's yield surface, strengths chosen by the sign of the stress.

    Notes
    -----
    s1^2 / X^2 - s1 s2 / X^2 + s2^2 / Y^2 + t12^2 / S^2 = 1, X and Y the strengths in tension or
    compression by the sign of s1 and s2. Closed if Y < 2 X; other strengths are refused. Convex if Xt = Xc; else
    the surface has a slight notch at s1 = 0, where the factor of the product jumps. The factor of s1 s2 keeps the
    stated X under knockdowns, which would else raise the ratio where s2 > s1.

    References
    ----------
    V. D. Azzi, S. W. Tsai, Anisotropic strength of composites, Exp. Mech. 5 (1965) 283-288;
    R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999, sec. 2.9.3.

    Examples
    --------
    >>> from materials import lamina
    >>> float(TsaiHill().ratio([1.714e6, -2.714e6, -4.165e6], lamina("T300/5208").allowables).round(2))
    16.06
    """

    name: ClassVar[str] = "tsai_hill"
    title: ClassVar[str] = "Tsai-Hill"

    def _surfaces(self, allowables: Allowables) -> tuple[Surface, ...]:
        a = allowables
        Xt, Xc, Yt, Yc = _stated(a)
        for X, Y, sense in ((Xt, Yt, "tension"), (Xc, Yc, "compression")):
            if Y >= 2 * X:
                reject(f"tsai_hill: Y in {sense} [Pa]", f"{Y:g}", f"< {2 * X:g}", "are axes 1 and 2 swapped?")
        return tuple(
            Surface(
                mode=Mode.NONE,
                quadratic=((0, 0, 1 / X**2), (0, 1, -1 / X0**2), (1, 1, 1 / Y**2), (2, 2, 1 / a.S**2)),
                within=(((sign1, 0.0, 0.0), 0.0), ((0.0, sign2, 0.0), 0.0)),
            )
            for (sign1, X, X0), (sign2, Y) in product(
                ((1.0, a.Xt, Xt), (-1.0, a.Xc, Xc)), ((1.0, a.Yt), (-1.0, a.Yc))
            )
        )


def _stated(a: Allowables) -> tuple[float, float, float, float]:
    """Xt, Xc, Yt, Yc before any knockdown [Pa]."""
    return a.stated.Xt, a.stated.Xc, a.stated.Yt, a.stated.Yc


def _ellipsoid(a: Allowables, cross: float) -> tuple[Piece, ...]:
    """Quadratic surface through the five strengths with the coefficient `cross` on s1 s2 [1/Pa^2]."""
    Xt, Xc, Yt, Yc = _stated(a)
    piece = SensedEllipsoid(
        mode=Mode.NONE,
        along=_sense(a.Xt, a.Xc, Xt, Xc),
        across=_sense(a.Yt, a.Yc, Yt, Yc),
        shear=1 / a.S**2,
        cross=cross,
    )
    return piece.surfaces if len(piece.surfaces) == 1 else (piece,)


def _sense(tension: float, compression: float, stated_tension: float, stated_compression: float) -> Sense:
    """Coefficients along one axis: each reduced strength beside the stated one of the other sense."""
    return Sense(
        tension=(1 / tension - 1 / stated_compression, 1 / (tension * stated_compression)),
        compression=(1 / stated_tension - 1 / compression, 1 / (stated_tension * compression)),
    )
