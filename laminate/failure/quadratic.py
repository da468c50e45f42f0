"""Tsai-Wu, Hoffman and Tsai-Hill: quadratic surfaces through the five strengths, which tell no mode."""

from itertools import product
from math import sqrt
from typing import Annotated, ClassVar

from laminate.failure.criterion import Criterion
from laminate.failure.modes import Mode
from laminate.failure.surface import Surface
from materials.allowables import Allowables
from materials.checks import Limits, reject


class TsaiWu(Criterion, eq=True):
    """Tsai-Wu criterion.

    Parameters
    ----------
    interaction : float
        F12 / sqrt(F11 F22), between -1 and 1; -1/2 makes the surface a distorted von Mises ellipsoid [-].

    Notes
    -----
    F1 s1 + F2 s2 + F11 s1^2 + F22 s2^2 + F66 t12^2 + 2 F12 s1 s2 = 1 with F1 = 1/Xt - 1/Xc,
    F11 = 1/(Xt Xc), likewise F2 and F22 from Yt and Yc, F66 = 1/S^2. Convex in stress and in strain.

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

    interaction: Annotated[
        float,
        Limits(above=-1.0, below=1.0, cause="F12**2 < F11 F22 keeps the surface closed; F12 itself given?"),
    ] = -0.5

    def _surfaces(self, allowables: Allowables) -> tuple[Surface, ...]:
        a = allowables
        return (_ellipsoid(a, 2 * self.interaction / sqrt(a.Xt * a.Xc * a.Yt * a.Yc)),)


class Hoffman(Criterion, eq=True):
    """Hoffman criterion: Tsai-Wu with the interaction of Hill.

    Notes
    -----
    (s1^2 - s1 s2) / (Xt Xc) + s2^2 / (Yt Yc) + t12^2 / S^2 + (1/Xt - 1/Xc) s1 + (1/Yt - 1/Yc) s2 = 1.
    Closed, and then convex in stress and in strain, if Yt Yc < 4 Xt Xc; other strengths are refused.

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

    def _surfaces(self, allowables: Allowables) -> tuple[Surface, ...]:
        a = allowables
        if a.Yt * a.Yc >= 4 * a.Xt * a.Xc:
            got = f"Yt Yc = {a.Yt * a.Yc:.3g} Pa^2"
            limit = f"< 4 Xt Xc = {4 * a.Xt * a.Xc:.3g} Pa^2 for a closed surface"
            reject("hoffman: strengths", got, limit, "are axes 1 and 2 swapped?")
        return (_ellipsoid(a, -1 / (a.Xt * a.Xc)),)


class TsaiHill(Criterion, eq=True):
    """Tsai-Hill criterion: Hill's yield surface, strengths chosen by the sign of the stress.

    Notes
    -----
    s1^2 / X^2 - s1 s2 / X^2 + s2^2 / Y^2 + t12^2 / S^2 = 1, X and Y the strengths in tension or
    compression by the sign of s1 and s2. Closed if Y < 2 X; other strengths are refused. Convex if Xt = Xc; else
    the surface has a slight notch at s1 = 0, where the factor of the product jumps.

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
        for X, Y, sense in ((a.Xt, a.Yt, "tension"), (a.Xc, a.Yc, "compression")):
            if Y >= 2 * X:
                reject(f"tsai_hill: Y in {sense} [Pa]", f"{Y:g}", f"< {2 * X:g}", "are axes 1 and 2 swapped?")
        return tuple(
            Surface(
                mode=Mode.NONE,
                quadratic=((0, 0, 1 / X**2), (0, 1, -1 / X**2), (1, 1, 1 / Y**2), (2, 2, 1 / a.S**2)),
                within=(((sign1, 0.0, 0.0), 0.0), ((0.0, sign2, 0.0), 0.0)),
            )
            for (sign1, X), (sign2, Y) in product(((1.0, a.Xt), (-1.0, a.Xc)), ((1.0, a.Yt), (-1.0, a.Yc)))
        )


def _ellipsoid(a: Allowables, cross: float) -> Surface:
    """Quadratic surface through the five strengths with the coefficient `cross` on s1 s2 [1/Pa^2]."""
    return Surface(
        mode=Mode.NONE,
        linear=((0, 1 / a.Xt - 1 / a.Xc), (1, 1 / a.Yt - 1 / a.Yc)),
        quadratic=((0, 0, 1 / (a.Xt * a.Xc)), (1, 1, 1 / (a.Yt * a.Yc)), (2, 2, 1 / a.S**2), (0, 1, cross)),
    )
