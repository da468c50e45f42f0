"""How a tire's load grows with its deflection: three laws with one form.

Each law gives `.load(deflection)` and its integral `.energy(deflection)`, both zero at and below
zero deflection.
"""

from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.parts.curve import Curve
from materials.checks import Array, array, number, reject

CZ = {"I": 0.02, "III": 0.03, "VII": 0.03}
"""Vertical-load constant of Smiley and Horne for each tire type [-]."""


class TireLaw(Protocol):
    """What a tire asks of its load-deflection law."""

    def load(self, deflection: ArrayLike) -> Array:
        """Load on the tire."""

    def energy(self, deflection: ArrayLike) -> Array:
        """Energy stored in the tire."""


def smiley_horne_ratio(x: ArrayLike, Cz: float) -> Array:
    """Load of a tire over its pressure and size.

    Parameters
    ----------
    x : array_like, shape (...)
        Deflection over width [-].
    Cz : float
        Constant of the tire type [-].

    Returns
    -------
    ndarray, shape (...)
        Load over (p + 0.08 p_rated) w sqrt(w d) [-].

    Notes
    -----
    0.96 x + 0.216 x**2 / Cz up to x = 10 Cz / 3, then 2.4 (x - Cz): value and slope go on unbroken.

    References
    ----------
    R. F. Smiley, W. B. Horne, Mechanical Properties of Pneumatic Tires with Special Reference to
    Modern Aircraft Tires, NASA TR R-64 (1960), earlier NACA TN 4110 (from memory).
    """
    x = np.maximum(x, 0.0)
    foot = np.minimum(x, 10 * Cz / 3)
    return 0.96 * foot + 0.216 * foot**2 / Cz + 2.4 * (x - foot)


def smiley_horne_area(x: ArrayLike, Cz: float) -> Array:
    """Integral of `smiley_horne_ratio` over x.

    Parameters
    ----------
    x : array_like, shape (...)
        Deflection over width [-].
    Cz : float
        Constant of the tire type [-].

    Returns
    -------
    ndarray, shape (...)
        Integral from 0 to x [-].
    """
    x = np.maximum(x, 0.0)
    foot = np.minimum(x, 10 * Cz / 3)
    beyond = x - foot
    return 0.48 * foot**2 + 0.072 * foot**3 / Cz + beyond * (5.6 * Cz + 1.2 * beyond)


@dataclass(frozen=True, kw_only=True)
class SmileyHorne:
    """Load from size and pressure.

    Parameters
    ----------
    width : float
        Section width of the inflated tire [m].
    diameter : float
        Outside diameter of the inflated tire [m].
    pressure : float
        Inflation pressure by gauge [Pa].
    rated_pressure : float
        Rated inflation pressure by gauge [Pa].
    tire_type : str
        "I", "III" or "VII".
    """

    width: float
    diameter: float
    pressure: float
    rated_pressure: float
    tire_type: str = "III"

    def __post_init__(self) -> None:
        number("SmileyHorne: width [m]", self.width, above=0, below=1, cause="given in mm or inches?")
        number("SmileyHorne: diameter [m]", self.diameter, above=self.width, below=3, cause="given in mm?")
        for name in ("pressure", "rated_pressure"):
            cause = "given in bar, psi or kPa?"
            number(f"SmileyHorne: {name} [Pa]", getattr(self, name), at_least=2e4, at_most=5e6, cause=cause)
        most, cause = 3 * self.rated_pressure, "far above the rated one; two units?"
        number("SmileyHorne: pressure [Pa]", self.pressure, at_most=most, cause=cause)
        if self.tire_type not in CZ:
            reject("SmileyHorne: tire_type", repr(self.tire_type), f"one of {', '.join(CZ)}")

    @property
    def scale(self) -> float:
        """Load at unit ratio [N]."""
        return (self.pressure + 0.08 * self.rated_pressure) * self.width * np.sqrt(self.width * self.diameter)

    def load(self, deflection: ArrayLike) -> Array:
        """Load on the tire [N]."""
        return self.scale * smiley_horne_ratio(np.asarray(deflection) / self.width, CZ[self.tire_type])

    def energy(self, deflection: ArrayLike) -> Array:
        """Energy stored in the tire [J]."""
        area = smiley_horne_area(np.asarray(deflection) / self.width, CZ[self.tire_type])
        return self.scale * self.width * area


@dataclass(frozen=True, kw_only=True)
class PowerLaw:
    """Load as a power of deflection through one known point.

    Parameters
    ----------
    known_load : float
        Load at the known point [N].
    known_deflection : float
        Deflection at the known point [m].
    exponent : float
        Power of the deflection, 1 for a linear tire [-].
    """

    known_load: float
    known_deflection: float
    exponent: float = 1.0

    def __post_init__(self) -> None:
        number("PowerLaw: known_load [N]", self.known_load, above=0)
        number(
            "PowerLaw: known_deflection [m]", self.known_deflection, above=0, below=1, cause="given in mm?"
        )
        number("PowerLaw: exponent [-]", self.exponent, at_least=1, at_most=3)

    def load(self, deflection: ArrayLike) -> Array:
        """Load on the tire [N]."""
        return self.known_load * (np.maximum(deflection, 0.0) / self.known_deflection) ** self.exponent

    def energy(self, deflection: ArrayLike) -> Array:
        """Energy stored in the tire [J]."""
        return self.load(deflection) * np.maximum(deflection, 0.0) / (self.exponent + 1)


@dataclass(frozen=True, kw_only=True, eq=False)
class Points:
    """Load through measured points, going on along the last slope.

    Parameters
    ----------
    deflection : array_like, shape (point,)
        Deflections, rising from zero [m].
    load_points : array_like, shape (point,)
        Loads, rising from zero [N].
    """

    deflection: ArrayLike
    load_points: ArrayLike
    curve: Curve = field(init=False, repr=False)

    def __post_init__(self) -> None:
        name = "Tire points (deflection, load)"
        x, y = array(name, self.deflection), array(name, self.load_points)
        curve = Curve(x=x, y=y, extend=True, name=name)
        if curve.x[0] != 0 or curve.y[0] != 0:
            first = (float(curve.x[0]), float(curve.y[0]))
            reject("Tire points: first deflection and load", first, "(0, 0)", "leave the preload out")
        if not (np.diff(curve.y) > 0).all():
            reject("Tire points: load [N]", curve.y.tolist(), "rising")
        number("Tire points: last deflection [m]", curve.x[-1], below=1, cause="given in mm?")
        object.__setattr__(self, "curve", curve)

    def load(self, deflection: ArrayLike) -> Array:
        """Load on the tire [N]."""
        return self.curve(np.maximum(deflection, 0.0))

    def energy(self, deflection: ArrayLike) -> Array:
        """Energy stored in the tire [J]."""
        return self.curve.integral(np.maximum(deflection, 0.0))
