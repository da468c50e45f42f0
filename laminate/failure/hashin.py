"""Hashin: fiber and matrix modes, each a quadratic of the stresses that drive it."""

from typing import Annotated, ClassVar

from laminate.failure.criterion import Criterion
from laminate.failure.modes import Mode
from laminate.failure.surface import Surface
from materials.allowables import Allowables
from materials.checks import Limits
from materials.lamina import Kind


class Hashin(Criterion, eq=True):
    """Hashin criterion.

    Parameters
    ----------
    transverse_shear : float, optional
        Shear strength ST across the fibers, in the 2-3 plane. None takes Yc / 2, which is right for a
        crack at 45 deg and makes the matrix modes those of Hashin and Rotem 1973 [Pa].
    shear_share : float
        Factor on the shear term in fiber tension: 1 as published in 1980, 0 as in 1973 [-].

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

    Examples
    --------
    >>> from materials import lamina
    >>> a = lamina("T300/5208").allowables
    >>> float(Hashin().ratio([0.0, 0.3 * a.Yt, 0.4 * a.S], a).round(9))
    2.0
    """

    name: ClassVar[str] = "hashin"
    title: ClassVar[str] = "Hashin"
    suits: ClassVar[tuple[Kind, ...]] = ("tape",)

    transverse_shear: Annotated[float | None, Limits("Pa", at_least=1e4, cause="given in MPa?")] = None
    shear_share: Annotated[float, Limits(at_least=0.0, at_most=1.0)] = 1.0

    def _surfaces(self, allowables: Allowables) -> tuple[Surface, ...]:
        a = allowables
        ST = a.Yc / 2 if self.transverse_shear is None else self.transverse_shear
        shear = (2, 2, 1 / a.S**2)
        return (
            Surface(
                mode=Mode.FIBER_TENSION,
                quadratic=((0, 0, 1 / a.Xt**2), (2, 2, self.shear_share / a.S**2)),
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
