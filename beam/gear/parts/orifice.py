"""Dampers: an orifice with velocity-squared force, or a bought unit's force-velocity curve."""

from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.checks import numbers, together
from beam.gear.parts.curve import Curve
from materials.checks import Array, array, number, reject
from materials.kinds import instance


class Damper(Protocol):
    """A damper in a shock."""

    def force(self, stroke: ArrayLike, rate: ArrayLike) -> Array:
        """Force against the motion.

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke from fully extended [m].
        rate : array_like, shape (...)
            Rate of the stroke, positive in compression [m/s].

        Returns
        -------
        ndarray, shape (...)
            Force with the sign of the rate [N].
        """


def orifice_coefficient(
    *, density: float, hydraulic_area: float, orifice_area: float, discharge_coefficient: float
) -> float:
    """Coefficient of the velocity-squared force of an orifice from its geometry.

    Parameters
    ----------
    density : float
        Density of the oil [kg/m3].
    hydraulic_area : float
        Area of the piston that drives oil through the orifice [m2].
    orifice_area : float
        Area of the orifice [m2].
    discharge_coefficient : float
        Discharge coefficient, at most 1 [-].

    Returns
    -------
    float
        c in F = c v |v| [N s2/m2].

    Raises
    ------
    ValueError
        If a value is outside its limits.

    Notes
    -----
    c = rho A_h**3 / (2 (C_d A_o)**2): pressure drop rho (A_h v / (C_d A_o))**2 / 2 on A_h.
    """
    number("orifice_coefficient: density [kg/m3]", density, at_least=600, at_most=1500)
    what = "orifice_coefficient: hydraulic_area [m2]"
    number(what, hydraulic_area, above=0, below=0.1, cause="given in cm2 or mm2?")
    what, cause = "orifice_coefficient: orifice_area [m2]", "orifice and piston swapped, or given in mm2?"
    number(what, orifice_area, above=0, below=hydraulic_area, cause=cause)
    number("orifice_coefficient: discharge_coefficient [-]", discharge_coefficient, above=0, at_most=1)
    return density * hydraulic_area**3 / (2 * (discharge_coefficient * orifice_area) ** 2)


@dataclass(frozen=True, kw_only=True)
class Orifice:
    """An orifice with one coefficient for compression and one for extension.

    Parameters
    ----------
    compression : float
        Coefficient c of F = c v |v| while the shock shortens [N s2/m2].
    extension : float
        Coefficient while it lengthens [N s2/m2].
    metering : Curve, optional
        Multiplier of both coefficients over the stroke in m, as a metering pin gives; 1 if not given.

    Raises
    ------
    ValueError
        If a coefficient or a multiplier is negative.
    """

    compression: float
    extension: float
    metering: Curve | None = None

    def __post_init__(self) -> None:
        number("Orifice: compression [N s2/m2]", self.compression, at_least=0, at_most=1e8)
        number("Orifice: extension [N s2/m2]", self.extension, at_least=0, at_most=1e9)
        if self.metering is not None:
            instance("Orifice: metering", self.metering, Curve)
        if self.metering is not None and (self.metering.extend or not (self.metering.y >= 0).all()):
            got = f"{self.metering.y.tolist()}, extend {self.metering.extend}"
            reject(
                "Orifice: metering multipliers [-]", got, "at least 0, on a curve that holds its end values"
            )

    def force(self, stroke: ArrayLike, rate: ArrayLike) -> Array:
        """Force [N] at a stroke [m] and rate [m/s], see `Damper`."""
        stroke, rate = (
            numbers("Orifice.force: stroke [m]", stroke),
            numbers("Orifice.force: rate [m/s]", rate),
        )
        together("Orifice.force: stroke, rate", stroke, rate)
        coefficient = self.extension + (self.compression - self.extension) * (rate > 0)
        force = coefficient * rate * np.abs(rate)
        return force if self.metering is None else force * self.metering(stroke)


@dataclass(frozen=True, kw_only=True, eq=False)
class DamperCurve:
    """A damper known by a bought unit's published force-velocity points.

    Parameters
    ----------
    rate : array_like, shape (point,)
        Rates, rising from extension (negative) through zero to compression [m/s].
    force_at_rate : array_like, shape (point,)
        Forces with the sign of the rate [N].

    Raises
    ------
    ValueError
        If the force does not rise with the rate through (0, 0).
    """

    rate: ArrayLike
    force_at_rate: ArrayLike
    curve: Curve = field(init=False, repr=False)

    def __post_init__(self) -> None:
        name = "DamperCurve (rate, force_at_rate)"
        curve = Curve(x=array(name, self.rate), y=array(name, self.force_at_rate), extend=True, name=name)
        rises = (curve.x * curve.y >= 0).all() and (np.diff(curve.y) >= 0).all()
        if not rises or not (curve.x == 0).any() or curve(0.0) != 0:
            cause = "the sign of the extension side?"
            reject("DamperCurve: force_at_rate [N]", curve.y.tolist(), "rising through a point (0, 0)", cause)
        object.__setattr__(self, "curve", curve)

    def force(self, stroke: ArrayLike, rate: ArrayLike) -> Array:
        """Force [N] at a rate [m/s], the same at every stroke, see `Damper`."""
        stroke, rate = numbers("DamperCurve: stroke [m]", stroke), numbers("DamperCurve: rate [m/s]", rate)
        together("DamperCurve: stroke, rate", stroke, rate)
        return self.curve(rate) + np.zeros(stroke.shape)
