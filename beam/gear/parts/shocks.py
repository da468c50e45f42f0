"""Many gas shocks at once: one number per design where `Shock` has one number."""

from dataclasses import dataclass, fields
from typing import Self

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.constants import atm

from beam.gear.checks import numbers, together
from beam.gear.parts.air_spring import TIGHTEST, AirSpring
from beam.gear.parts.curve import Curve
from beam.gear.parts.orifice import Orifice
from beam.gear.parts.polytropic import polytropic_energy, polytropic_force
from beam.gear.parts.shock import Shock
from materials.checks import Array, array, common_shape, reject, whole
from materials.kinds import instance

POSITIVE = ("volume", "area", "max_stroke", "friction_speed", "stop_stiffness")
"""Numbers that must be above zero; the others must not be below."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Shocks:
    """Gas shocks of many designs; every array broadcasts to one design axis.

    Parameters
    ----------
    pressure : array_like, shape (design,)
        Charge pressure by gauge [Pa].
    volume : array_like, shape (design,)
        Gas volume, shock extended [m3].
    area : array_like, shape (design,)
        Area on which the gas acts [m2].
    exponent, slow_exponent : array_like, shape (design,)
        Polytropic exponent of a fast and of a slow stroke [-].
    compression, extension : array_like, shape (design,)
        Coefficients of the orifice [N s2/m2].
    max_stroke : array_like, shape (design,)
        Stroke between the stops [m].
    friction : array_like, shape (design,)
        Friction of the seals [N].
    friction_speed : array_like, shape (design,)
        Rate at which friction has reached 76 percent of its size [m/s].
    stop_stiffness : array_like, shape (design,)
        Stiffness of the stops [N/m].
    ambient_pressure : array_like, shape (design,)
        Absolute pressure outside [Pa].
    metering : Curve, optional
        Multiplier of the orifice coefficients over the stroke in m, one for all.

    Raises
    ------
    ValueError
        If the arrays do not fit on one axis, a number is below its limit, or a stroke is more than its gas has.
    """

    pressure: Array
    volume: Array
    area: Array
    exponent: Array
    slow_exponent: Array
    compression: Array
    extension: Array
    max_stroke: Array
    friction: Array
    friction_speed: Array
    stop_stiffness: Array
    ambient_pressure: Array | float = atm
    metering: Curve | None = None

    def __post_init__(self) -> None:
        if self.metering is not None:
            instance("Shocks: metering", self.metering, Curve)
        for name in self.numbers():
            values = array(f"Shocks: {name}", getattr(self, name))
            wrong = values <= 0 if name in POSITIVE else values < 0
            if wrong.any():
                limit = "> 0" if name in POSITIVE else ">= 0"
                reject(f"Shocks: least {name}", f"{values.min():g}", limit)
            object.__setattr__(self, name, values)
        if len(self.shape) != 1:
            reject("Shocks: shape", self.shape, "one design axis", "flatten a grid of designs")
        if not ((self.exponent >= self.slow_exponent) & (self.slow_exponent >= 1)).all():
            reject("Shocks: slow_exponent [-]", "a value outside", "from 1 to exponent")
        tight = np.broadcast_to(self.area * self.max_stroke / self.volume, self.shape)
        if (tight > TIGHTEST * (1 + 1e-12)).any():
            got = f"{tight.max():.4g} in design {int(np.argmax(tight))}"
            cause = "more stroke than the gas has, or given in mm?"
            reject("Shocks: area * max_stroke / volume [-]", got, f"<= {TIGHTEST:g}", cause)

    @classmethod
    def numbers(cls) -> tuple[str, ...]:
        """Names of the arrays, which may differ between designs."""
        return tuple(f.name for f in fields(cls) if f.name != "metering")

    @classmethod
    def of(
        cls,
        shock: Shock,
        *,
        pressure: ArrayLike | None = None,
        volume: ArrayLike | None = None,
        area: ArrayLike | None = None,
        compression: ArrayLike | None = None,
        extension: ArrayLike | None = None,
        max_stroke: ArrayLike | None = None,
    ) -> Self:
        """Vary one shock.

        Parameters
        ----------
        shock : Shock
            The shock that gives what is not varied; one gas chamber and an orifice.
        pressure : array_like, shape (design,), optional
            Charge pressures by gauge [Pa].
        volume : array_like, shape (design,), optional
            Gas volumes [m3].
        area : array_like, shape (design,), optional
            Areas of the gas [m2].
        compression, extension : array_like, shape (design,), optional
            Orifice coefficients [N s2/m2].
        max_stroke : array_like, shape (design,), optional
            Strokes between the stops [m].

        Returns
        -------
        Shocks
            One design for each number.

        Raises
        ------
        ValueError
            If the shock has another kind of spring or damper, or a number is outside its limits.
        """
        instance("Shocks.of: shock", shock, Shock)
        spring, damper = shock.spring, shock.damper
        if not isinstance(spring, AirSpring) or not isinstance(damper, Orifice):
            got = f"{type(spring).__name__} and {type(damper).__name__}"
            reject("Shocks: spring and damper", got, "AirSpring and Orifice")

        def varied(name: str, values: ArrayLike | None, own: float) -> Array:
            return np.atleast_1d(array(f"Shocks.of: {name}", own if values is None else values))

        return cls(
            pressure=varied("pressure", pressure, spring.pressure),
            volume=varied("volume", volume, spring.volume),
            area=varied("area", area, spring.area),
            exponent=varied("exponent", None, spring.exponent),
            slow_exponent=varied("slow_exponent", None, spring.slow_exponent),
            ambient_pressure=varied("ambient_pressure", None, spring.ambient_pressure),
            compression=varied("compression", compression, damper.compression),
            extension=varied("extension", extension, damper.extension),
            metering=damper.metering,
            max_stroke=varied("max_stroke", max_stroke, shock.max_stroke),
            friction=varied("friction", None, shock.friction),
            friction_speed=varied("friction_speed", None, shock.friction_speed),
            stop_stiffness=varied("stop_stiffness", None, shock.stop_stiffness),
        )

    @property
    def shape(self) -> tuple[int, ...]:
        """Shape of the designs [-]."""
        arrays = (np.shape(getattr(self, name)) for name in self.numbers())
        return common_shape("Shocks: arrays", *arrays)

    def take(self, index: ArrayLike) -> "Shocks":
        """Some of the designs.

        Parameters
        ----------
        index : array_like of int, shape (chosen,)
            Which [-].

        Returns
        -------
        Shocks
            Those designs.
        """
        at, shape = _index(index, self.shape[0]), self.shape
        numbers = {n: np.broadcast_to(getattr(self, n), shape)[at] for n in self.numbers()}
        return Shocks(**numbers, metering=self.metering)

    def shock(self, index: int) -> Shock:
        """One design as a shock.

        Parameters
        ----------
        index : int
            Which [-].

        Returns
        -------
        Shock
            The shock.
        """
        last = self.shape[0] - 1
        index = whole("Shocks.shock: index [-]", index, at_least=0, at_most=last, cause="counted from 0")
        one = {n: float(np.broadcast_to(getattr(self, n), self.shape)[index]) for n in self.numbers()}
        gas = ("pressure", "volume", "area", "exponent", "slow_exponent", "ambient_pressure")
        orifice = {n: one.pop(n) for n in ("compression", "extension")}
        spring = AirSpring(**{n: one.pop(n) for n in gas})
        return Shock(spring=spring, damper=Orifice(**orifice, metering=self.metering), **one)

    def elastic_force(self, stroke: ArrayLike) -> Array:
        """Force [N] of spring and stops at a stroke [m], shape (..., design), see `Shock`."""
        stroke = numbers("Shocks.elastic_force: stroke [m]", stroke)
        beyond = np.minimum(stroke, 0.0) + np.maximum(stroke - self.max_stroke, 0.0)
        gas = (self.pressure, self.volume, self.area, self.exponent, self.ambient_pressure)
        return polytropic_force(stroke, *gas) + self.stop_stiffness * beyond

    def damper_force(self, stroke: ArrayLike, rate: ArrayLike) -> Array:
        """Force [N] of the orifice at a stroke [m] and rate [m/s], shape (..., design), see `Shock`."""
        stroke, rate = numbers("Shocks: stroke [m]", stroke), numbers("Shocks: rate [m/s]", rate)
        together("Shocks: stroke, rate", stroke, rate)
        force = np.where(rate > 0, self.compression, self.extension) * rate * np.abs(rate)
        return force if self.metering is None else force * self.metering(stroke)

    def friction_force(self, rate: ArrayLike) -> Array:
        """Friction [N] at a rate [m/s], shape (..., design), see `Shock`."""
        return self.friction * np.tanh(numbers("Shocks: rate [m/s]", rate) / self.friction_speed)

    def energy(self, stroke: ArrayLike) -> Array:
        """Energy [J] in spring and stops at a stroke [m], shape (..., design), see `Shock`."""
        stroke = numbers("Shocks.energy: stroke [m]", stroke)
        beyond = np.minimum(stroke, 0.0) ** 2 + np.maximum(stroke - self.max_stroke, 0.0) ** 2
        gas = (self.pressure, self.volume, self.area, self.exponent, self.ambient_pressure)
        return polytropic_energy(stroke, *gas) + 0.5 * self.stop_stiffness * beyond


def _index(index: ArrayLike, count: int) -> NDArray[np.int64]:
    """Return the places of some of the designs."""
    at = array("Shocks.take: index [-]", index)
    if at.ndim != 1 or not ((at >= 0) & (at < count) & (at == np.floor(at))).all():
        reject("Shocks.take: index [-]", at.tolist(), f"one row of whole numbers from 0 to {count - 1}")
    return at.astype(np.int64)
