"""Criteria of one thing each, as the two load levels need them: fiber strain, fabric, shear, transverse crush."""

from dataclasses import replace
from typing import Annotated, ClassVar, Literal, Self

from laminate.failure.criterion import Criterion
from laminate.failure.modes import Mode
from laminate.failure.surface import HalfSpace, Surface
from materials.allowables import Allowables
from materials.checks import Limits, checked, reject
from materials.lamina import Kind

CAP = Limits(
    "-", above=0.0, at_most=0.03, cause="a magnitude, 0.004 being 4000 microstrain; given in percent?"
)


class FiberStrain(Criterion, eq=True):
    """Strain along the fibers within caps that a notched or impacted laminate bears; takes strain.

    Parameters
    ----------
    tension, compression : float
        Caps on the strain along the fibers, both positive [-].
    kind : {"tape", "fabric"}
        What the ply is: a tape has fibers along axis 1, a fabric along 1 and 2. `for_kind` sets it.

    Notes
    -----
    -compression <= e1 <= tension, of a fabric also e2. The test of the laminate holds the cure residual already: give
    the strain of the load alone, without `residual`. A cap is the strength of the tested laminate over its linear
    modulus, from the lamina data of the analysis. The allowables of the ply are not used.

    Examples
    --------
    >>> from materials import lamina
    >>> a = lamina("T300/5208").allowables
    >>> float(FiberStrain(tension=0.004, compression=0.003).ratio([-0.0015, 0.01, 0.0], a).round(9))
    2.0
    """

    name: ClassVar[str] = "fiber_strain"
    title: ClassVar[str] = "fiber strain"
    takes: ClassVar[Literal["stress", "strain"]] = "strain"
    convex: ClassVar[bool] = True

    tension: Annotated[float, CAP]
    compression: Annotated[float, CAP]
    kind: Kind = "tape"

    @checked
    def for_kind(self, kind: Kind) -> Self:
        """The criterion for tape (axis 1) or fabric (axes 1 and 2)."""
        return self if kind == self.kind else replace(self, kind=kind)

    def _surfaces(self, allowables: Allowables) -> tuple[Surface, ...]:
        caps = ((Mode.FIBER_TENSION, 1 / self.tension), (Mode.FIBER_COMPRESSION, -1 / self.compression))
        axes = (0, 1) if self.kind == "fabric" else (0,)
        return tuple(Surface(mode=mode, linear=((i, k),), of="strain") for i in axes for mode, k in caps)


class Fabric(Criterion, eq=True):
    """Fiber failure of a fabric in each yarn direction, with shear, and shear alone.

    Parameters
    ----------
    shear_share : float
        Factor on the shear term in the fiber modes: 1 full interaction, 0 none [-].

    Notes
    -----
    (s1/X)^2 + share (t12/S)^2 = 1 with X = Xt or Xc by the sign of s1; the same in 2 with Yt, Yc; abs(t12) = S.
    Hashin's fiber mode of 1980 in both directions; common practice, no source. Both directions fail in a fiber mode.

    Examples
    --------
    >>> from materials import lamina
    >>> a = lamina("AGP370-5H/3501-6S").allowables
    >>> float(Fabric().ratio([0.3 * a.Xt, 0.0, 0.4 * a.S], a).round(9))
    2.0
    """

    name: ClassVar[str] = "fabric"
    title: ClassVar[str] = "fabric"
    convex: ClassVar[bool] = True
    suits: ClassVar[tuple[Kind, ...]] = ("fabric",)

    shear_share: Annotated[float, Limits(at_least=0.0, at_most=1.0)] = 1.0

    def _surfaces(self, allowables: Allowables) -> tuple[Surface, ...]:
        a = allowables
        pairs = (
            (Mode.FIBER_TENSION, 0, 1.0, a.Xt),
            (Mode.FIBER_COMPRESSION, 0, -1.0, a.Xc),
            (Mode.FIBER_TENSION, 1, 1.0, a.Yt),
            (Mode.FIBER_COMPRESSION, 1, -1.0, a.Yc),
        )
        return *(self._direction(*pair, a.S) for pair in pairs), *_shear(a.S)

    def _direction(self, mode: Mode, i: int, sign: float, X: float, S: float) -> Surface:
        """Surface of one yarn direction and one sense."""
        if self.shear_share == 0:
            return Surface(mode=mode, linear=((i, sign / X),))
        half: HalfSpace = ((sign, 0.0, 0.0) if i == 0 else (0.0, sign, 0.0), 0.0)
        quadratic = ((i, i, 1 / X**2), (2, 2, self.shear_share / S**2))
        return Surface(mode=mode, quadratic=quadratic, within=(half,))


class ShearStrength(Criterion, eq=True):
    """In-plane shear stress within the shear strength.

    Notes
    -----
    abs(t12) <= S; S at 5 % shear strain or the maximum, the lower (ASTM D3518), with linear G12.

    Examples
    --------
    >>> from materials import lamina
    >>> a = lamina("T300/5208").allowables
    >>> float(ShearStrength().ratio([1e9, 0.0, 0.5 * a.S], a).round(9))
    2.0
    """

    name: ClassVar[str] = "shear_strength"
    title: ClassVar[str] = "shear strength"
    convex: ClassVar[bool] = True

    def _surfaces(self, allowables: Allowables) -> tuple[Surface, ...]:
        return _shear(allowables.S)


class ShearOffset(Criterion, eq=True):
    """In-plane shear stress within the strength at 0.2 % offset, so that the ply does not yield for good.

    Notes
    -----
    abs(t12) <= S02 (ASTM D3518), residual stress included. No fixed ratio to S stands in for S02, which is
    0.59 of S in IM7/8552 at room temperature.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from materials import lamina
    >>> a = replace(lamina("T300/5208").allowables, S02=40e6)
    >>> float(ShearOffset().ratio([1e9, 0.0, 20e6], a).round(9))
    2.0
    """

    name: ClassVar[str] = "shear_offset"
    title: ClassVar[str] = "shear at 0.2 % offset"
    convex: ClassVar[bool] = True

    def _surfaces(self, allowables: Allowables) -> tuple[Surface, ...]:
        if allowables.S02 is None:
            cause = "test it by ASTM D3518; until then an assumed share of S may stand in, typed as S02 with its source"
            reject(f"shear_offset: S02 of the allowables from {allowables.source} [Pa]", None, "given", cause)
        return _shear(allowables.S02)


class Crush(Criterion, eq=True):
    """Transverse compression of a tape within its strength: a wedge crack would separate the layers.

    Notes
    -----
    s2 >= -Yc. After the mode C of Puck, which inclines through the thickness; common practice, no source.

    Examples
    --------
    >>> from materials import lamina
    >>> a = lamina("T300/5208").allowables
    >>> float(Crush().ratio([1e9, -0.5 * a.Yc, 0.0], a).round(9))
    2.0
    """

    name: ClassVar[str] = "crush"
    title: ClassVar[str] = "transverse crush"
    convex: ClassVar[bool] = True
    suits: ClassVar[tuple[Kind, ...]] = ("tape",)

    def _surfaces(self, allowables: Allowables) -> tuple[Surface, ...]:
        return (Surface(mode=Mode.MATRIX_COMPRESSION, linear=((1, -1 / allowables.Yc),)),)


def _shear(limit: float) -> tuple[Surface, ...]:
    """The two planes that bound the shear stress [Pa]."""
    return tuple(Surface(mode=Mode.SHEAR, linear=((2, sign / limit),)) for sign in (1.0, -1.0))
