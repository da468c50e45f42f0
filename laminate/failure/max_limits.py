"""Maximum stress and maximum strain: each component against its own limit, no interaction."""

from dataclasses import replace
from typing import ClassVar, Literal

from laminate.failure.criterion import Criterion
from laminate.failure.modes import Mode
from laminate.failure.surface import Surface
from materials.allowables import Allowables


class MaxStress(Criterion, eq=True):
    """Maximum stress criterion.

    Notes
    -----
    -Xc < s1 < Xt, -Yc < s2 < Yt, abs(t12) < S.

    References
    ----------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999, sec. 2.9.1.

    Examples
    --------
    >>> from materials import lamina
    >>> float(MaxStress().ratio([750e6, 10e6, 0.0], lamina("T300/5208").allowables))
    2.0
    """

    name: ClassVar[str] = "max_stress"
    title: ClassVar[str] = "maximum stress"
    convex: ClassVar[bool] = True

    def _surfaces(self, allowables: Allowables) -> tuple[Surface, ...]:
        a = allowables
        return planes(a.Xt, a.Xc, a.Yt, a.Yc, a.S)


class MaxStrain(Criterion, eq=True):
    """Maximum strain criterion; takes strain.

    Notes
    -----
    -e1c < e1 < e1t, -e2c < e2 < e2t, abs(g12) < its limit.

    References
    ----------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999, sec. 2.9.2.

    Examples
    --------
    >>> from materials import lamina
    >>> allowables = lamina("T300/5208").allowables
    >>> float(MaxStrain().ratio([0.5 * allowables.e1t, 0.0, 0.0], allowables))
    2.0
    """

    name: ClassVar[str] = "max_strain"
    title: ClassVar[str] = "maximum strain"
    takes: ClassVar[Literal["stress", "strain"]] = "strain"
    convex: ClassVar[bool] = True

    def _surfaces(self, allowables: Allowables) -> tuple[Surface, ...]:
        return tuple(replace(plane, of="strain") for plane in planes(*allowables.strains))


def planes(
    tension1: float, compression1: float, tension2: float, compression2: float, shear: float
) -> tuple[Surface, ...]:
    """Six planes that bound each component by itself, from positive limits [Pa] or [-]."""
    return (
        Surface(mode=Mode.FIBER_TENSION, linear=((0, 1 / tension1),)),
        Surface(mode=Mode.FIBER_COMPRESSION, linear=((0, -1 / compression1),)),
        Surface(mode=Mode.MATRIX_TENSION, linear=((1, 1 / tension2),)),
        Surface(mode=Mode.MATRIX_COMPRESSION, linear=((1, -1 / compression2),)),
        Surface(mode=Mode.SHEAR, linear=((2, 1 / shear),)),
        Surface(mode=Mode.SHEAR, linear=((2, -1 / shear),)),
    )
