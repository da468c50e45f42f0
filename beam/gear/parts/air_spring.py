"""Gas springs: one chamber, or two in a row with a floating piston between."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import atm

from beam.gear.checks import numbers
from beam.gear.parts.polytropic import polytropic_energy, polytropic_force
from materials.checks import Array, flag, number, reject

TIGHTEST = 0.98
"""Part of the gas volume that a full stroke may displace; no shock is built tighter [-]."""


def _check_standing(owner: str, stroke: float, most: float) -> None:
    number(f"{owner}.settled: stroke [m]", stroke, at_least=0, at_most=most, cause="given in mm?")


def _check_gas(owner: str, gas: "AirSpring | TwoChamberSpring") -> None:
    number(f"{owner}: area [m2]", gas.area, above=0, below=0.1, cause="given in cm2 or mm2?")
    number(f"{owner}: volume [m3]", gas.volume, above=0, below=0.1, cause="given in liters or cm3?")
    number(f"{owner}: pressure [Pa]", gas.pressure, at_least=0, at_most=1e8)
    if 0 < gas.pressure < 1e3:
        cause = "given in bar, psi or MPa?"
        reject(f"{owner}: pressure [Pa]", f"{gas.pressure:g}", "0 or at least 1000", cause)
    number(f"{owner}: ambient_pressure [Pa]", gas.ambient_pressure, at_least=0, at_most=2e5)
    number(f"{owner}: exponent [-]", gas.exponent, at_least=1, at_most=1.7)
    cause = "a slow stroke is nearer to isothermal than a fast one"
    number(f"{owner}: slow_exponent [-]", gas.slow_exponent, at_least=1, at_most=gas.exponent, cause=cause)


@dataclass(frozen=True, kw_only=True)
class AirSpring:
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
        Polytropic exponent of a fast stroke, as in a landing [-].
    slow_exponent : float
        Polytropic exponent of a slow stroke, as when standing [-].
    ambient_pressure : float
        Absolute pressure outside [Pa].

    Raises
    ------
    ValueError
        If a value is outside its limits.
    """

    pressure: float
    volume: float
    area: float
    exponent: float
    slow_exponent: float = 1.0
    ambient_pressure: float = atm

    def __post_init__(self) -> None:
        _check_gas("AirSpring", self)

    @property
    def stroke_limit(self) -> float:
        """Largest stroke for this volume and area [m]."""
        return TIGHTEST * self.volume / self.area

    def force(self, stroke: ArrayLike, *, slow: bool = False) -> Array:
        """Force [N] at a stroke [m], see `Spring`."""
        exponent = self.slow_exponent if flag("AirSpring.force: slow", slow) else self.exponent
        stroke = numbers("AirSpring.force: stroke [m]", stroke)
        return polytropic_force(
            stroke, self.pressure, self.volume, self.area, exponent, self.ambient_pressure
        )

    def energy(self, stroke: ArrayLike) -> Array:
        """Energy [J] stored at a stroke [m], see `Spring`."""
        stroke = numbers("AirSpring.energy: stroke [m]", stroke)
        return polytropic_energy(
            stroke, self.pressure, self.volume, self.area, self.exponent, self.ambient_pressure
        )

    def settled(self, stroke: float) -> "AirSpring":
        """Spring after standing at a stroke [m], see `Spring`.

        The gas has come to the outside temperature: (p + p_a) r**n_slow at a volume ratio r; the fast
        curve through it starts from (p + p_a) r**(n_slow - n).
        """
        _check_standing("AirSpring", stroke, self.stroke_limit)
        ratio = 1 / (1 - self.area * stroke / self.volume)
        absolute = (self.pressure + self.ambient_pressure) * ratio ** (self.slow_exponent - self.exponent)
        return replace(self, pressure=float(absolute - self.ambient_pressure))


@dataclass(frozen=True, kw_only=True)
class TwoChamberSpring:
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
    The floating piston stays on its seat until the first chamber has reached the second's pressure;
    from there both hold one pressure P and V1 + V2 = V10 + V20 - A s, so that
    P = [(V10 P10**(1/n) + V20 P20**(1/n)) / (V10 + V20 - A s)]**n with absolute pressures: one chamber of
    the joint volume.
    """

    pressure: float
    volume: float
    second_pressure: float
    second_volume: float
    area: float
    exponent: float
    slow_exponent: float = 1.0
    ambient_pressure: float = atm

    def __post_init__(self) -> None:
        _check_gas("TwoChamberSpring", self)
        what, cause = "TwoChamberSpring: second_pressure [Pa]", "the chambers are swapped?"
        number(what, self.second_pressure, at_least=self.pressure, at_most=1e8, cause=cause)
        number("TwoChamberSpring: second_volume [m3]", self.second_volume, above=0, below=0.1)

    @property
    def stroke_limit(self) -> float:
        """Largest stroke for these volumes and area [m]."""
        return TIGHTEST * (self.volume + self.second_volume) / self.area

    def break_stroke(self, *, slow: bool = False) -> float:
        """Stroke at which the floating piston lifts.

        Parameters
        ----------
        slow : bool
            In a slow stroke instead of a fast one.

        Returns
        -------
        float
            Stroke [m].
        """
        first, second = self.pressure + self.ambient_pressure, self.second_pressure + self.ambient_pressure
        exponent = self.slow_exponent if flag("TwoChamberSpring.break_stroke: slow", slow) else self.exponent
        return float(self.volume / self.area * (1 - (first / second) ** (1 / exponent)))

    def _joint(self, exponent: float) -> tuple[float, float]:
        """Gauge pressure and volume, at zero stroke, of the one chamber that acts beyond the break."""
        volume, root = self.volume + self.second_volume, 1 / exponent
        amount = self.volume * (self.pressure + self.ambient_pressure) ** root
        amount += self.second_volume * (self.second_pressure + self.ambient_pressure) ** root
        return (amount / volume) ** exponent - self.ambient_pressure, volume

    def force(self, stroke: ArrayLike, *, slow: bool = False) -> Array:
        """Force [N] at a stroke [m], see `Spring`."""
        slow = flag("TwoChamberSpring.force: slow", slow)
        gas = (self.area, self.slow_exponent if slow else self.exponent, self.ambient_pressure)
        stroke = numbers("TwoChamberSpring.force: stroke [m]", stroke)
        first = np.minimum(stroke, self.break_stroke(slow=slow))
        alone = polytropic_force(first, self.pressure, self.volume, *gas)
        return np.where(stroke > first, polytropic_force(stroke, *self._joint(gas[1]), *gas), alone)

    def energy(self, stroke: ArrayLike) -> Array:
        """Energy [J] stored at a stroke [m], see `Spring`."""
        gas = (self.area, self.exponent, self.ambient_pressure)
        stroke = numbers("TwoChamberSpring.energy: stroke [m]", stroke)
        first = np.minimum(stroke, self.break_stroke())
        joint = self._joint(self.exponent)
        beyond = polytropic_energy(stroke, *joint, *gas) - polytropic_energy(first, *joint, *gas)
        return polytropic_energy(first, self.pressure, self.volume, *gas) + beyond

    def settled(self, stroke: float) -> "TwoChamberSpring":
        """Spring after standing at a stroke [m], see `Spring`: each chamber's gas as for one chamber."""
        _check_standing("TwoChamberSpring", stroke, self.stroke_limit)
        standing = float(self.force(stroke, slow=True)) / self.area + self.ambient_pressure
        power = self.exponent / self.slow_exponent

        def restart(pressure: float) -> float:
            """Gauge pressure from which a fast stroke reaches the standing pressure."""
            absolute = standing * ((pressure + self.ambient_pressure) / standing) ** power
            return absolute - self.ambient_pressure

        lifted = standing > self.second_pressure + self.ambient_pressure
        second = restart(self.second_pressure) if lifted else self.second_pressure
        return replace(self, pressure=restart(self.pressure), second_pressure=second)
