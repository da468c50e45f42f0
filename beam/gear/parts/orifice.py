"""Dampers of a shock: an orifice with velocity-squared force, or the force-velocity curve of a bought unit."""

from functools import cached_property
from typing import Annotated, Protocol, runtime_checkable

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.parts.curve import Curve
from beam.gear.parts.spring import Stroke, Values
from materials.checks import Array, Frozen, Limits, Numbers, checked, common_shape, number, reject

COMPRESSION = Limits("N s2/m2", at_least=0.0, at_most=1e8)
EXTENSION = Limits("N s2/m2", at_least=0.0, at_most=1e9)

Rate = Annotated[ArrayLike, Limits("m/s", finite=False)]
"""Rate of the stroke as the argument of a law, positive in compression: NaN gives NaN."""


@runtime_checkable
class Damper(Protocol):
    """What a shock needs of its damper."""

    def force(self, stroke: ArrayLike, rate: ArrayLike) -> Array:
        """Force [N] with the sign of the rate, at strokes [m] and rates [m/s] of shape (...)."""


@checked
def orifice_coefficient(
    *,
    density: Annotated[float, Limits("kg/m3", at_least=600.0, at_most=1500.0)],
    hydraulic_area: Annotated[float, Limits("m2", above=0.0, below=0.1, cause="given in cm2 or mm2?")],
    orifice_area: Annotated[float, Limits("m2", above=0.0, below=0.1, cause="given in mm2?")],
    discharge_coefficient: Annotated[float, Limits("-", above=0.0, at_most=1.0)],
) -> float:
    """Coefficient of the velocity-squared force of an orifice from its geometry.

    Parameters
    ----------
    density : float
        Density of the oil [kg/m3].
    hydraulic_area : float
        Area of the piston that drives oil through the orifice [m2].
    orifice_area : float
        Area of the orifice, less than that of the piston [m2].
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
    Bernoulli: the pressure drop rho (A_h v / (C_d A_o))**2 / 2 acts on A_h, so c = rho A_h**3 / (2 (C_d A_o)**2).

    Examples
    --------
    >>> from beam.gear import orifice_coefficient
    >>> c = orifice_coefficient(density=860, hydraulic_area=4e-3, orifice_area=6e-5, discharge_coefficient=0.9)
    >>> round(c, 1)
    9437.6
    """
    what, cause = "orifice_coefficient: orifice_area [m2]", "orifice and piston swapped, or given in mm2?"
    number(what, orifice_area, below=hydraulic_area, cause=cause)
    return density * hydraulic_area**3 / (2 * (discharge_coefficient * orifice_area) ** 2)


def orifice_force(
    stroke: Array, rate: Array, compression: Values, extension: Values, metering: Curve | None
) -> Array:
    """Force [N] of an orifice, shape (...): c v |v|, times the metering curve's multiplier at the stroke."""
    force = (extension + (compression - extension) * (rate > 0)) * rate * np.abs(rate)
    return np.asarray(force if metering is None else force * metering.pieces(stroke))


def check_metering(what: str, metering: Curve | None) -> None:
    """Refuse a metering curve that can become negative."""
    if metering is not None and (metering.extend or not (metering.y >= 0).all()):
        got = f"{metering.y.tolist()}, extend {metering.extend}"
        reject(f"{what}: metering [-]", got, "at least 0, on a curve that keeps its end values")


def fit_together(what: str, one: ArrayLike, other: ArrayLike) -> None:
    """Refuse two arrays that do not broadcast with each other; equal shapes pass at once."""
    shapes = np.shape(one), np.shape(other)
    if shapes[0] != shapes[1] and shapes[0] and shapes[1]:
        common_shape(what, *shapes)


class DamperBase(Frozen):
    """A damper of the library: its public method, on the law `_force` of each kind."""

    @checked
    def force(self, stroke: Stroke, rate: Rate) -> Array:
        """Force [N] with the sign of the rate, at strokes [m] and rates [m/s] of shape (...)."""
        fit_together(f"{type(self).__name__}.force: stroke, rate", stroke, rate)
        return self._force(np.asarray(stroke), np.asarray(rate))

    def _force(self, stroke: Array, rate: Array) -> Array:
        raise NotImplementedError


class Orifice(DamperBase, eq=True):
    """An orifice with one coefficient for compression and one for extension.

    Parameters
    ----------
    compression : float
        Coefficient while the shock shortens [N s2/m2].
    extension : float
        Coefficient while it lengthens [N s2/m2].
    metering : Curve, optional
        Multiplier of both coefficients over the stroke in m, as a metering pin gives; 1 if not given.

    Raises
    ------
    ValueError
        If a coefficient or a multiplier is negative.

    Notes
    -----
    F = c v |v| with the coefficient c of the direction of motion, see `orifice_coefficient`.

    Examples
    --------
    >>> from beam.gear import Orifice
    >>> Orifice(compression=2e4, extension=3e5).force(0.0, [2.0, -0.5])
    array([ 80000., -75000.])
    """

    compression: Annotated[float, COMPRESSION]
    extension: Annotated[float, EXTENSION]
    metering: Curve | None = None

    def __post_init__(self) -> None:
        super().__post_init__()
        check_metering("Orifice", self.metering)

    def _force(self, stroke: Array, rate: Array) -> Array:
        return orifice_force(stroke, rate, self.compression, self.extension, self.metering)


class DamperCurve(DamperBase):
    """A damper known by the published force-velocity points of a bought unit.

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

    Notes
    -----
    The curve between the points is that of `Curve`, which goes on along its end slopes.

    Examples
    --------
    >>> from beam.gear import DamperCurve
    >>> damper = DamperCurve(rate=[-1.0, 0.0, 0.5, 2.0], force_at_rate=[-9e3, 0.0, 2e3, 5e3])
    >>> float(damper.force(0.0, 0.5))
    2000.0
    """

    rate: Annotated[Numbers, Limits("m/s", shape=(-1,))]
    force_at_rate: Annotated[Numbers, Limits("N", shape=(-1,))]

    def __post_init__(self) -> None:
        super().__post_init__()
        curve = self._curve()
        rises = (curve.x * curve.y >= 0).all() and (np.diff(curve.y) >= 0).all()
        if not rises or not (curve.x == 0).any() or curve(0.0) != 0:
            cause = "the sign of the extension side?"
            reject("DamperCurve: force_at_rate [N]", curve.y.tolist(), "rising through a point (0, 0)", cause)

    def _curve(self) -> Curve:
        name = "DamperCurve (rate, force_at_rate)"
        return Curve(x=self.rate, y=self.force_at_rate, extend=True, name=name)

    @cached_property
    def curve(self) -> Curve:
        """Force over the rate."""
        return self._curve()

    def _force(self, stroke: Array, rate: Array) -> Array:
        return np.asarray(self.curve.pieces(rate)) + np.zeros(np.shape(stroke))
