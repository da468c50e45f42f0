"""Many gas shocks at once: one number for each design where `Shock` has one number."""

from dataclasses import fields
from typing import Annotated, Any, Self

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.constants import atm

from beam.gear.parts.curve import Curve
from beam.gear.parts.orifice import (
    COMPRESSION,
    EXTENSION,
    Orifice,
    Rate,
    check_metering,
    fit_together,
    orifice_force,
)
from beam.gear.parts.shock import (
    FRICTION,
    FRICTION_SPEED,
    STOP_STIFFNESS,
    Shock,
    seal_friction,
    stop_energy,
    stop_force,
)
from beam.gear.parts.spring import (
    AMBIENT,
    AREA,
    EXPONENT,
    PRESSURE,
    SLOW_EXPONENT,
    TIGHTEST,
    VOLUME,
    AirSpring,
    Stroke,
    polytropic_energy,
    polytropic_force,
)
from materials.checks import Array, Frozen, Limits, Numbers, checked, common_shape, default, reject, whole

MAX_STROKE = Limits("m", above=0.0, cause="given in mm?")


class Shocks(Frozen):
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
        If the arrays do not fit on one axis, a number is outside its limits, or a stroke is more than its gas has.

    Notes
    -----
    The forces are those of `AirSpring`, `Orifice` and `Shock`.

    Examples
    --------
    >>> from beam.gear import Shocks, example_gear
    >>> shocks = Shocks.of(example_gear().shock, pressure=[2.2e6, 2.6e6])
    >>> shocks.shape, shocks.shock(1).spring.pressure
    ((2,), 2600000.0)
    """

    pressure: Annotated[Numbers, PRESSURE]
    volume: Annotated[Numbers, VOLUME]
    area: Annotated[Numbers, AREA]
    exponent: Annotated[Numbers, EXPONENT]
    slow_exponent: Annotated[Numbers, SLOW_EXPONENT]
    compression: Annotated[Numbers, COMPRESSION]
    extension: Annotated[Numbers, EXTENSION]
    max_stroke: Annotated[Numbers, MAX_STROKE]
    friction: Annotated[Numbers, FRICTION]
    friction_speed: Annotated[Numbers, FRICTION_SPEED]
    stop_stiffness: Annotated[Numbers, STOP_STIFFNESS]
    ambient_pressure: Annotated[Numbers, AMBIENT] = default(atm)
    metering: Curve | None = None

    def __post_init__(self) -> None:
        super().__post_init__()
        check_metering("Shocks", self.metering)
        if len(self.shape) != 1:
            reject("Shocks: shape", self.shape, "one design axis", "flatten a grid of designs")
        if not (self.exponent >= self.slow_exponent).all():
            reject("Shocks: slow_exponent [-]", "a value above exponent", "<= exponent", SLOW_EXPONENT.cause)
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
    @checked
    def of(
        cls,
        shock: Shock,
        *,
        pressure: Annotated[ArrayLike | None, PRESSURE] = None,
        volume: Annotated[ArrayLike | None, VOLUME] = None,
        area: Annotated[ArrayLike | None, AREA] = None,
        compression: Annotated[ArrayLike | None, COMPRESSION] = None,
        extension: Annotated[ArrayLike | None, EXTENSION] = None,
        max_stroke: Annotated[ArrayLike | None, MAX_STROKE] = None,
    ) -> Self:
        """Vary one shock: one design for each number.

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

        Raises
        ------
        ValueError
            If the shock has another kind of spring or damper.
        """
        spring, damper = shock.spring, shock.damper
        if not isinstance(spring, AirSpring) or not isinstance(damper, Orifice):
            got = f"{type(spring).__name__} and {type(damper).__name__}"
            reject("Shocks.of: spring and damper of shock", got, "AirSpring and Orifice")
        varied: dict[str, Any] = {"pressure": pressure, "volume": volume, "area": area, "compression": compression,
                  "extension": extension, "max_stroke": max_stroke}  # fmt: skip
        own: dict[str, Any] = {**vars(shock), **vars(spring), **vars(damper)}
        numbers = {n: np.atleast_1d(own[n] if varied.get(n) is None else varied[n]) for n in cls.numbers()}
        return cls(**numbers, metering=damper.metering)

    @property
    def shape(self) -> tuple[int, ...]:
        """Shape of the designs [-]."""
        return common_shape("Shocks: arrays", *(getattr(self, name).shape for name in self.numbers()))

    @checked
    def take(self, index: Annotated[NDArray[np.intp], Limits("-", shape=(-1,), at_least=0.0)]) -> "Shocks":
        """Return the designs with these indices, shape (chosen,), counted from 0."""
        if index.size and index.max() >= self.shape[0]:
            reject("Shocks.take: index [-]", index.max(), f"<= {self.shape[0] - 1}", "counted from 0")
        numbers = {n: np.broadcast_to(getattr(self, n), self.shape)[index] for n in self.numbers()}
        return Shocks(**numbers, metering=self.metering)

    @checked
    def shock(self, index: Annotated[int, Limits("-", at_least=0.0)]) -> Shock:
        """Return one design, counted from 0, as a shock."""
        whole("Shocks.shock: index [-]", index, at_most=self.shape[0] - 1, cause="counted from 0")
        one = {n: float(np.broadcast_to(getattr(self, n), self.shape)[index]) for n in self.numbers()}
        gas = ("pressure", "volume", "area", "exponent", "slow_exponent", "ambient_pressure")
        orifice = {n: one.pop(n) for n in ("compression", "extension")}
        spring = AirSpring(**{n: one.pop(n) for n in gas})
        return Shock(spring=spring, damper=Orifice(**orifice, metering=self.metering), **one)

    def _gas(self) -> tuple[Array, ...]:
        return self.pressure, self.volume, self.area, self.exponent, self.ambient_pressure

    @checked
    def elastic_force(self, stroke: Stroke) -> Array:
        """Force [N] of spring and stops at strokes of shape (..., design) [m]."""
        stroke = np.asarray(stroke)
        stops = stop_force(stroke, self.max_stroke, self.stop_stiffness)
        return polytropic_force(stroke, *self._gas()) + stops

    @checked
    def damper_force(self, stroke: Stroke, rate: Rate) -> Array:
        """Force [N] of the orifice at strokes [m] and rates [m/s] of shape (..., design)."""
        fit_together("Shocks.damper_force: stroke, rate", stroke, rate)
        return orifice_force(stroke, rate, self.compression, self.extension, self.metering)

    @checked
    def friction_force(self, rate: Rate) -> Array:
        """Friction [N] of the seals at rates of shape (..., design) [m/s]."""
        return seal_friction(rate, self.friction, self.friction_speed)

    @checked
    def energy(self, stroke: Stroke) -> Array:
        """Energy [J] in spring and stops at strokes of shape (..., design) [m]."""
        stroke = np.asarray(stroke)
        stops = stop_energy(stroke, self.max_stroke, self.stop_stiffness)
        return polytropic_energy(stroke, *self._gas()) + stops
