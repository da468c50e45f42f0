"""Springs of a shock: one gas chamber, two in a row, or the published curve of a bought unit."""

from dataclasses import replace
from functools import cached_property
from typing import Annotated, Protocol, Self, runtime_checkable

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import atm

from beam.gear.parts.curve import Curve
from materials.checks import (
    Array,
    Frozen,
    Limits,
    Numbers,
    OptionalNumbers,
    checked,
    default,
    number,
    reject,
    unchecked,
)

GAS_LEFT = 1e-3
"""Least part of the charged volume in the formulas: keeps the trial steps of an integrator finite [-]."""

TIGHTEST = 0.98
"""Part of the gas volume that a full stroke may displace; no shock is built tighter [-]."""

AREA = Limits("m2", above=0.0, below=0.1, cause="given in cm2 or mm2?")
VOLUME = Limits("m3", above=0.0, below=0.1, cause="given in liters or cm3?")
PRESSURE = Limits("Pa", at_least=0.0, at_most=1e8, cause="given in another unit?")
AMBIENT = Limits("Pa", at_least=0.0, at_most=2e5)
EXPONENT = Limits("-", at_least=1.0, at_most=1.7)
SLOW_EXPONENT = Limits("-", at_least=1.0, cause="a slow stroke is nearer to isothermal than a fast one")

Values = Array | float
"""Plain numbers of the shared laws: one value, or one for each design."""

Stroke = Annotated[ArrayLike, Limits("m", finite=False)]
"""Argument of a law of the shock: NaN gives NaN, and any stroke has an answer."""

Standing = Annotated[float, Limits("m", at_least=0.0, cause="given in mm?")]


def polytropic_force(
    stroke: Array, pressure: Values, volume: Values, area: Values, exponent: Values, ambient: Values
) -> Array:
    """Force [N] of a gas column: A [(p + p_a) (V / (V - A s))**n - p_a], shape (...)."""
    left = np.maximum(1 - area * stroke / volume, GAS_LEFT)
    return np.asarray(area * ((pressure + ambient) * left**-exponent - ambient))


def polytropic_energy(
    stroke: Array, pressure: Values, volume: Values, area: Values, exponent: Values, ambient: Values
) -> Array:
    """Work [J] put into a gas column since zero stroke, shape (...).

    (p + p_a) V (r**(n - 1) - 1) / (n - 1) - p_a A s with r = V / (V - A s); (p + p_a) V ln r at n = 1.
    """
    over = np.asarray(exponent - 1.0)
    log_ratio = -np.log(np.maximum(1 - area * stroke / volume, GAS_LEFT))
    divisor = np.where(over == 0, 1.0, over)
    growth = np.where(over == 0, log_ratio, np.expm1(over * log_ratio) / divisor)
    return np.asarray((pressure + ambient) * volume * growth - ambient * area * stroke)


@runtime_checkable
class Spring(Protocol):
    """What a shock needs of its spring: a curve for fast strokes, one for slow strokes."""

    @property
    def stroke_limit(self) -> float:
        """Largest stroke of the spring [m]."""

    def force(self, stroke: ArrayLike, *, slow: bool = False) -> Array:
        """Force [N] that pushes the ends apart at strokes of shape (...) from fully extended [m]."""

    def energy(self, stroke: ArrayLike) -> Array:
        """Energy [J] stored in a fast stroke: integral of the force from zero stroke."""

    def settled(self, stroke: float) -> "Spring":
        """Return the spring after it has stood at a stroke: its fast curve passes through the slow one there."""


class SpringBase(Frozen):
    """A spring of the library: its public methods, on the laws `_force`, `_energy` and `_settled` of each kind."""

    @property
    def stroke_limit(self) -> float:
        """Largest stroke of the spring [m]."""
        raise NotImplementedError

    @checked
    def force(self, stroke: Stroke, *, slow: bool = False) -> Array:
        """Force [N] that pushes the ends apart, at strokes of shape (...) [m], of a fast stroke or of a slow one."""
        return self._force(np.asarray(stroke), slow)

    @checked
    def energy(self, stroke: Stroke) -> Array:
        """Energy [J] stored in a fast stroke: integral of the force from zero to strokes of shape (...) [m]."""
        return self._energy(np.asarray(stroke))

    @checked
    def settled(self, stroke: Standing) -> Self:
        """Return the spring after it has stood at a stroke [m]: its fast curve passes through the slow one there."""
        what = f"{type(self).__name__}.settled: stroke [m]"
        number(what, stroke, at_most=self.stroke_limit, cause="given in mm?")
        return self._settled(stroke)

    def _force(self, stroke: Array, slow: bool) -> Array:
        raise NotImplementedError

    def _energy(self, stroke: Array) -> Array:
        raise NotImplementedError

    def _settled(self, stroke: float) -> Self:
        raise NotImplementedError


class GasSpring(SpringBase):
    """Fields and rules that one gas chamber and two have in common."""

    pressure: Annotated[float, PRESSURE]
    volume: Annotated[float, VOLUME]
    area: Annotated[float, AREA]
    exponent: Annotated[float, EXPONENT]
    slow_exponent: Annotated[float, SLOW_EXPONENT] = 1.0
    ambient_pressure: Annotated[float, AMBIENT] = atm

    def __post_init__(self) -> None:
        super().__post_init__()
        if 0 < self.pressure < 1e3:
            cause = "given in bar, psi or MPa?"
            reject(f"{self._owner()}: pressure [Pa]", f"{self.pressure:g}", "0 or at least 1000", cause)
        what = f"{self._owner()}: slow_exponent [-]"
        number(what, self.slow_exponent, at_most=self.exponent, cause=SLOW_EXPONENT.cause)


class AirSpring(GasSpring, eq=True):
    """One gas chamber.

    Parameters
    ----------
    pressure : float
        Charge pressure by gauge, shock extended [Pa].
    volume : float
        Gas volume, shock extended [m3].
    area : float
        Area on which the gas acts [m2].
    exponent : float
        Polytropic exponent of a fast stroke, as in a landing: 1.4 for dry nitrogen without heat flow [-].
    slow_exponent : float
        Polytropic exponent of a slow stroke, as when standing: 1 is isothermal [-].
    ambient_pressure : float
        Absolute pressure outside [Pa].

    Raises
    ------
    ValueError
        If a value is outside its limits.

    Notes
    -----
    F = A [(p + p_a) (V / (V - A s))**n - p_a], with gauge charge pressure p and outside pressure p_a. After it has
    stood at a volume ratio r, at (p + p_a) r**n_slow, the fast curve starts from (p + p_a) r**(n_slow - n).

    Examples
    --------
    >>> from beam.gear import AirSpring
    >>> spring = AirSpring(pressure=2.6e6, volume=221e-6, area=1.6e-3, exponent=1.1)
    >>> spring.force([0.0, 0.1]).round(), float(spring.energy(0.1).round(1))
    (array([ 4160., 17648.]), 803.9)
    """

    @property
    def stroke_limit(self) -> float:
        """Largest stroke for this volume and area [m]."""
        return TIGHTEST * self.volume / self.area

    def _force(self, stroke: Array, slow: bool) -> Array:
        exponent = self.slow_exponent if slow else self.exponent
        gas = (self.pressure, self.volume, self.area, exponent, self.ambient_pressure)
        return polytropic_force(stroke, *gas)

    def _energy(self, stroke: Array) -> Array:
        gas = (self.pressure, self.volume, self.area, self.exponent, self.ambient_pressure)
        return polytropic_energy(stroke, *gas)

    def _settled(self, stroke: float) -> Self:
        ratio = 1 / (1 - self.area * stroke / self.volume)
        absolute = (self.pressure + self.ambient_pressure) * ratio ** (self.slow_exponent - self.exponent)
        return replace(self, pressure=float(absolute - self.ambient_pressure))


class TwoChamberSpring(GasSpring, eq=True):
    """A gas chamber and, behind a floating piston, a second one at higher pressure.

    Parameters
    ----------
    pressure : float
        Charge pressure of the first chamber by gauge [Pa].
    volume : float
        Gas volume of the first chamber, shock extended [m3].
    second_pressure : float
        Charge pressure of the second chamber by gauge, not below the first [Pa].
    second_volume : float
        Gas volume of the second chamber as charged [m3].
    area : float
        Area on which the gas acts [m2].
    exponent : float
        Polytropic exponent of a fast stroke [-].
    slow_exponent : float
        Polytropic exponent of a slow stroke [-].
    ambient_pressure : float
        Absolute pressure outside [Pa].

    Raises
    ------
    ValueError
        If a value is outside its limits.

    Notes
    -----
    The floating piston stays on its seat until the first chamber has reached the second's pressure. From there both
    have one pressure P and V1 + V2 = V10 + V20 - A s, so that with absolute pressures
    P = [(V10 P10**(1/n) + V20 P20**(1/n)) / (V10 + V20 - A s)]**n: one chamber of the joint volume.

    Examples
    --------
    >>> from beam.gear import TwoChamberSpring
    >>> spring = TwoChamberSpring(pressure=2.6e6, volume=221e-6, second_pressure=6e6, second_volume=60e-6,
    ...     area=1.6e-3, exponent=1.1)
    >>> round(spring.break_stroke(), 4), float(spring.force(0.1).round())
    (0.0723, 13603.0)
    """

    second_pressure: Annotated[float, PRESSURE]
    second_volume: Annotated[float, VOLUME]

    def __post_init__(self) -> None:
        super().__post_init__()
        what, cause = "TwoChamberSpring: second_pressure [Pa]", "the chambers are swapped?"
        number(what, self.second_pressure, at_least=self.pressure, cause=cause)

    @property
    def stroke_limit(self) -> float:
        """Largest stroke for these volumes and area [m]."""
        return TIGHTEST * (self.volume + self.second_volume) / self.area

    @checked
    def break_stroke(self, *, slow: bool = False) -> float:
        """Stroke from fully extended at which the floating piston lifts [m].

        Parameters
        ----------
        slow : bool
            In a slow stroke instead of a fast one.
        """
        return self._break(self.slow_exponent if slow else self.exponent)

    def _break(self, exponent: float) -> float:
        first, second = self.pressure + self.ambient_pressure, self.second_pressure + self.ambient_pressure
        return float(self.volume / self.area * (1 - (first / second) ** (1 / exponent)))

    def _joint(self, exponent: float) -> tuple[float, float]:
        """Gauge pressure and volume, at zero stroke, of the one chamber that acts beyond the break."""
        volume, root = self.volume + self.second_volume, 1 / exponent
        amount = self.volume * (self.pressure + self.ambient_pressure) ** root
        amount += self.second_volume * (self.second_pressure + self.ambient_pressure) ** root
        return (amount / volume) ** exponent - self.ambient_pressure, volume

    def _force(self, stroke: Array, slow: bool) -> Array:
        exponent = self.slow_exponent if slow else self.exponent
        gas = (self.area, exponent, self.ambient_pressure)
        first = np.minimum(stroke, self._break(exponent))
        alone = polytropic_force(first, self.pressure, self.volume, *gas)
        return np.where(stroke > first, polytropic_force(stroke, *self._joint(exponent), *gas), alone)

    def _energy(self, stroke: Array) -> Array:
        gas = (self.area, self.exponent, self.ambient_pressure)
        first, joint = np.minimum(stroke, self._break(self.exponent)), self._joint(self.exponent)
        beyond = polytropic_energy(stroke, *joint, *gas) - polytropic_energy(first, *joint, *gas)
        return polytropic_energy(first, self.pressure, self.volume, *gas) + beyond

    def _settled(self, stroke: float) -> Self:
        standing = float(self._force(np.asarray(stroke), True)) / self.area + self.ambient_pressure
        power = self.exponent / self.slow_exponent

        def restart(pressure: float) -> float:
            """Gauge pressure from which a fast stroke reaches the standing pressure."""
            absolute = standing * ((pressure + self.ambient_pressure) / standing) ** power
            return absolute - self.ambient_pressure

        lifted = standing > self.second_pressure + self.ambient_pressure
        second = restart(self.second_pressure) if lifted else self.second_pressure
        return replace(self, pressure=restart(self.pressure), second_pressure=second)


class CurveSpring(SpringBase):
    """A spring known by the published curve of a bought unit.

    Parameters
    ----------
    stroke : array_like, shape (point,)
        Strokes, rising from zero to the unit's full stroke [m].
    fast_force : array_like, shape (point,)
        Forces of a fast stroke, rising [N].
    slow_force : array_like, shape (point,), optional
        Forces of a slow stroke, rising; those of a fast one if not given [N].

    Raises
    ------
    ValueError
        If a curve does not rise, or does not start at zero stroke.

    Notes
    -----
    The curve between the points is that of `Curve`, which goes on along its end slopes.

    Examples
    --------
    >>> from beam.gear import CurveSpring
    >>> spring = CurveSpring(stroke=[0.0, 0.05, 0.1], fast_force=[4e3, 7e3, 15e3])
    >>> float(spring.force(0.05)), spring.stroke_limit
    (7000.0, 0.1)
    """

    stroke: Annotated[Numbers, Limits("m", shape=(-1,), at_least=0.0, below=2.0, cause="given in mm?")]
    fast_force: Annotated[Numbers, Limits("N", shape=(-1,), at_least=0.0)]
    slow_force: Annotated[OptionalNumbers, Limits("N", shape=(-1,), at_least=0.0)] = default(None)

    def __post_init__(self) -> None:
        super().__post_init__()
        for curve in (self._curve("fast_force"), self._curve("slow_force")):
            number("CurveSpring: first stroke [m]", curve.x[0], at_most=0.0)
            if not (np.diff(curve.y) > 0).all():
                reject(f"{curve.name} [N]", curve.y.tolist(), "rising")

    def _curve(self, name: str) -> Curve:
        force = self.fast_force if getattr(self, name) is None else getattr(self, name)
        return Curve(x=self.stroke, y=force, extend=True, name=f"CurveSpring (stroke, {name})")

    @cached_property
    def fast(self) -> Curve:
        """Force over a fast stroke."""
        return self._curve("fast_force")

    @cached_property
    def slow(self) -> Curve:
        """Force over a slow stroke."""
        return self._curve("slow_force")

    @property
    def stroke_limit(self) -> float:
        """Last stroke of the curve [m]."""
        return float(self.stroke[-1])

    def _force(self, stroke: Array, slow: bool) -> Array:
        return np.asarray((self.slow if slow else self.fast).pieces(stroke))

    def _energy(self, stroke: Array) -> Array:
        return unchecked(self.fast.integral)(stroke)

    def _settled(self, stroke: float) -> Self:
        scale = float(self.slow(stroke) / self.fast(stroke))
        return replace(self, fast_force=scale * self.fast_force, slow_force=self.slow.y)
