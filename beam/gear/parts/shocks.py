"""Many gas shocks at once: one number for each design where `Shock` has one number."""

from dataclasses import fields
from functools import cached_property
from typing import Annotated, Any, Self

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.constants import atm

from beam.gear.parts.curve import Curve
from beam.gear.parts.orifice import (
    COMPRESSION,
    EXTENSION,
    Orifice,
    check_metering,
    orifice_force,
)
from beam.gear.parts.shock import (
    FRICTION,
    FRICTION_SPEED,
    STOP_STIFFNESS,
    Shock,
    ShockLaws,
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
    polytropic_energy,
    polytropic_force,
)
from materials.checks import Frozen, Limits, Numbers, checked, common_shape, default, reject, whole

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
    >>> from beam.gear import Shocks
    >>> from tourer import GEAR  # examples/tourer.py
    >>> shocks = Shocks.of(GEAR.shock, pressure=[2.2e6, 2.6e6])
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
        """Return some of the designs, in the order given.

        Parameters
        ----------
        index : array_like of int, shape (chosen,)
            Which, counted from 0 [-].
        """
        if index.size and index.max() >= self.shape[0]:
            reject("Shocks.take: index [-]", index.max(), f"<= {self.shape[0] - 1}", "counted from 0")
        numbers = {n: np.broadcast_to(getattr(self, n), self.shape)[index] for n in self.numbers()}
        return Shocks(**numbers, metering=self.metering)

    @checked
    def shock(self, index: Annotated[int, Limits("-", at_least=0.0)]) -> Shock:
        """Return one design as a shock.

        Parameters
        ----------
        index : int
            Which, counted from 0 [-].
        """
        whole("Shocks.shock: index [-]", index, at_most=self.shape[0] - 1, cause="counted from 0")
        one = {n: float(np.broadcast_to(getattr(self, n), self.shape)[index]) for n in self.numbers()}
        gas = ("pressure", "volume", "area", "exponent", "slow_exponent", "ambient_pressure")
        orifice = {n: one.pop(n) for n in ("compression", "extension")}
        spring = AirSpring(**{n: one.pop(n) for n in gas})
        return Shock(spring=spring, damper=Orifice(**orifice, metering=self.metering), **one)

    @cached_property
    def laws(self) -> ShockLaws:
        """Forces and energy as functions of arrays of shape (..., design) that check nothing, for an integrator."""
        gas = (self.pressure, self.volume, self.area, self.exponent, self.ambient_pressure)
        ends, seals = (self.max_stroke, self.stop_stiffness), (self.friction, self.friction_speed)
        hole = (self.compression, self.extension, self.metering)
        return ShockLaws(
            elastic=lambda stroke: polytropic_force(stroke, *gas) + stop_force(stroke, *ends),
            damper=lambda stroke, rate: orifice_force(stroke, rate, *hole),
            friction=lambda rate: seal_friction(rate, *seals),
            energy=lambda stroke: polytropic_energy(stroke, *gas) + stop_energy(stroke, *ends),
        )
