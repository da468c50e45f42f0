"""How a unit may differ from the nominal one: named, sourced variants, their corners, what each makes of the gear."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import product
from typing import Annotated

import numpy as np

from beam.gear.main_gear import MainGear
from beam.gear.parts.shocks import Shocks
from beam.gear.parts.tire import SmileyHorne, Tire
from materials import Source
from materials.checks import Array, Frozen, Limits

CHARGED = 293.15
"""Temperature of the gas when its pressure was set [K]."""

_PRACTICE = Source("common practice", note="no source; take the tolerances of your own unit")
_Factor = Annotated[float, Limits("-", above=0.0, at_most=5.0, cause="1 is nominal; given in percent?")]


class Variant(Frozen, eq=True):
    """One way in which a unit may differ from the nominal one, with its source.

    Parameters
    ----------
    name : str
        What differs, for the table.
    source : Source
        Where the deviation comes from.
    orifice : float
        Orifice coefficients, both ways, over the nominal ones [-].
    charge : float
        Charge pressure by gauge over the nominal one [-].
    gas_temperature : float
        Temperature of the gas; the charge was set at 293.15 K [K].
    exponent : float, optional
        Polytropic exponent of a fast stroke; None is that of the gear [-].
    friction : float
        Friction of the seals over the nominal one [-].
    tire_pressure : float
        Inflation pressure of the tire by gauge over the nominal one [-].

    Notes
    -----
    Gas at another temperature: (p + p_a) T / 293.15 K - p_a. A slow stroke is never taken steeper than a fast one.

    Examples
    --------
    >>> from materials import Source
    >>> Variant(name="orifice -10 %", source=Source("drawing 7"), orifice=0.9).orifice
    0.9
    """

    name: Annotated[str, Limits()]
    source: Source
    orifice: _Factor = 1.0
    charge: _Factor = 1.0
    gas_temperature: Annotated[float, Limits("K", at_least=200.0, at_most=420.0, cause="given in degC?")] = (
        CHARGED
    )
    exponent: Annotated[float, Limits("-", at_least=1.0, at_most=1.7)] | None = None
    friction: Annotated[float, Limits("-", at_least=0.0, at_most=10.0, cause="given in N?")] = 1.0
    tire_pressure: Annotated[float, Limits("-", at_least=0.3, at_most=2.0, cause="given in Pa?")] = 1.0


NOMINAL = Variant(name="nominal", source=Source("the gear as given"))

VARIANTS = (
    Variant(name="orifice -25 %", source=_PRACTICE, orifice=0.75),
    Variant(name="orifice +25 %", source=_PRACTICE, orifice=1.25),
    Variant(name="charge -10 %", source=_PRACTICE, charge=0.9),
    Variant(name="charge +10 %", source=_PRACTICE, charge=1.1),
    Variant(name="gas -40 degC", source=_PRACTICE, gas_temperature=233.15),
    Variant(name="gas +70 degC", source=_PRACTICE, gas_temperature=343.15),
    Variant(name="exponent 1.0, gas cooled by oil", source=_PRACTICE, exponent=1.0),
    Variant(name="exponent 1.3, dry gas", source=_PRACTICE, exponent=1.3),
    Variant(name="no seal friction", source=_PRACTICE, friction=0.0),
    Variant(name="seal friction x 2", source=_PRACTICE, friction=2.0),
    Variant(name="tire pressure -10 %", source=_PRACTICE, tire_pressure=0.9),
    Variant(name="tire pressure +10 %", source=_PRACTICE, tire_pressure=1.1),
)
"""Variants of a unit where its maker gives none; with their corners and the nominal unit 21."""

CORNERED = {"orifice": 1.0, "charge": 1.0, "gas_temperature": CHARGED}
"""Fields of `Variant` whose corners are dropped together, and their nominal values."""


def corners_of(variants: Sequence[Variant]) -> tuple[Variant, ...]:
    """All combinations of the least and largest orifice, charge and gas temperature among variants."""
    ends = []
    for name, usual in CORNERED.items():
        values = [getattr(one, name) for one in variants if getattr(one, name) != usual]
        ends.append(
            [(name, one) for one in dict.fromkeys((min(values), max(values)))] if values else [(name, usual)]
        )
    out = []
    for at in map(dict, product(*ends)):
        if sum(at[name] != usual for name, usual in CORNERED.items()) > 1:
            heat = at["gas_temperature"] - 273.15
            name = f"corner: orifice {at['orifice'] - 1:+.0%}, charge {at['charge'] - 1:+.0%}, gas {heat:+.0f} degC"
            out.append(Variant(name=name, source=Source("corner of the variants"), **at))
    return tuple(out)


def shocks_of(gear: MainGear, variants: Sequence[Variant]) -> Shocks:
    """Shock of each variant."""
    base = Shocks.of(gear.shock)
    each = {
        name: np.array([getattr(one, name) for one in variants])
        for name in ("orifice", "charge", "gas_temperature", "friction")
    }
    exponent = np.array([base.exponent[0] if one.exponent is None else one.exponent for one in variants])
    absolute = (base.pressure * each["charge"] + base.ambient_pressure) * each["gas_temperature"] / CHARGED
    return replace(
        base,
        pressure=np.maximum(absolute - base.ambient_pressure, 0.0),
        exponent=exponent,
        slow_exponent=np.minimum(base.slow_exponent, exponent),
        compression=base.compression * each["orifice"],
        extension=base.extension * each["orifice"],
        friction=base.friction * each["friction"],
    )


def tire_factor(tire: Tire, pressure: Array) -> Array:
    """Load of a tire over the nominal one at the same deflection, for inflation pressures over the nominal one [-]."""
    law = tire.law
    if isinstance(law, SmileyHorne):
        carcass = 0.08 * law.rated_pressure
        return np.asarray((law.pressure * pressure + carcass) / (law.pressure + carcass))
    return pressure  # a measured load is taken in proportion to the pressure


def tread_factor(tire: Tire, pressure: Array) -> Array:
    """The same of the fore-aft stiffness, by the law of `fore_aft_stiffness`: p + 4 p_rated."""
    law = tire.law
    rated = 4 * law.rated_pressure / law.pressure if isinstance(law, SmileyHorne) else 4.0
    return np.asarray((pressure + rated) / (1 + rated))
