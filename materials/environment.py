"""A lamina tested at several conditions, and its properties in between."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Any

from materials.allowables import Allowables
from materials.checks import number, reject, sequence
from materials.condition_weights import SAME_MOISTURE, SAME_TEMPERATURE, condition_weights
from materials.glass_transition import check_glass_transition
from materials.knockdown import ALLOWABLES
from materials.lamina import LIMITS as LAMINA_LIMITS
from materials.lamina import Lamina
from materials.limits import Limit, hold_within, named
from materials.source import Source

PROPERTIES = tuple(name for name, *_ in LAMINA_LIMITS)

NEGLIGIBLE = 1e-12  # a weight that is rounding only

LIMITS: tuple[Limit, ...] = (
    ("temperature", "K", 150.0, 1500.0, "given in degC?"),
    ("moisture", "-", 0.0, 0.1, "given in percent?"),
)


@dataclass(frozen=True, kw_only=True)
class Condition:
    """What was measured at one temperature and moisture.

    Parameters
    ----------
    name : str
        As in ``"hot wet"``.
    temperature : float
        Test temperature [K].
    moisture : float
        Moisture in the laminate, mass fraction [-].
    lamina : Lamina
        Properties measured there, with or without allowables.

    Raises
    ------
    ValueError
        If a value is out of bound, or allowables are already knocked down.
    """

    name: str
    temperature: float
    moisture: float
    lamina: Lamina

    def __post_init__(self) -> None:
        owner = named("Condition", self.name)
        hold_within(self, owner, LIMITS)
        if not isinstance(self.lamina, Lamina):
            reject(f"{owner}: lamina", repr(self.lamina), "a Lamina")
        if self.lamina.allowables is not None and self.lamina.allowables.factors:
            cause = "knock down what `at` returns, or the environment counts twice"
            reject(f"{owner}: allowables", "knocked-down values", "the tested ones", cause)


@dataclass(frozen=True, kw_only=True)
class ConditionedLamina:
    """A lamina tested at several conditions.

    Parameters
    ----------
    name : str
        Name in tables and reports.
    conditions : tuple of Condition
        The tests, as cold dry, room dry, hot dry, hot wet; each temperature and moisture once.
    wet_glass_transition : float, optional
        Glass transition temperature of the wet laminate [K].

    Raises
    ------
    ValueError
        If there are no conditions, two are the same, one gives a property that another lacks, or their
        allowables differ in basis.
    """

    name: str
    conditions: tuple[Condition, ...]
    wet_glass_transition: float | None = None

    def __post_init__(self) -> None:
        owner = named("ConditionedLamina", self.name)
        object.__setattr__(self, "conditions", sequence(f"{owner}: conditions", self.conditions, empty=True))
        if not self.conditions or not all(isinstance(one, Condition) for one in self.conditions):
            reject(f"{owner}: conditions", repr(self.conditions), "one Condition or more")
        if self.wet_glass_transition is not None:
            limits = (("wet_glass_transition", "K", 250.0, 1500.0, "given in degC?"),)
            hold_within(self, owner, limits)
        for one, other in combinations(self.conditions, 2):
            what = f"{owner}: conditions '{one.name}' and '{other.name}'"
            if lacking := _given(one.lamina) ^ _given(other.lamina):
                reject(what, f"{', '.join(sorted(lacking))} in one only", "given in both or in none")
            if _basis(one.lamina) != _basis(other.lamina):
                reject(what, f"basis {_basis(one.lamina)}, {_basis(other.lamina)}", "of one basis")
            if (
                abs(one.moisture - other.moisture) <= SAME_MOISTURE
                and abs(one.temperature - other.temperature) <= SAME_TEMPERATURE
            ):
                reject(what, f"both at {one.temperature:g} K, moisture {one.moisture:.3g}", "different")

    def at(self, *, temperature: float, moisture: float) -> Lamina:
        """Interpolate the tested properties and allowables.

        Parameters
        ----------
        temperature : float
            Service temperature [K].
        moisture : float
            Moisture in the laminate, mass fraction [-].

        Returns
        -------
        Lamina
            The ply at that condition. Its name, allowables and source say that it is interpolated, and of
            what; at a tested condition it is the tested lamina itself.

        Raises
        ------
        ValueError
            If the tests do not surround the condition.

        Warns
        -----
        GlassTransitionWarning
            If the temperature is above the wet glass transition less 28 K.
        """
        owner = f"ConditionedLamina '{self.name}'"
        T = number(f"{owner}: temperature [K]", temperature, at_least=150.0, cause="given in degC?")
        c = number(f"{owner}: moisture [-]", moisture, at_least=0.0, at_most=0.1, cause="given in percent?")
        tested = [(one.temperature, one.moisture) for one in self.conditions]
        weights = condition_weights(tested, T, c)
        if weights is None:
            points = "; ".join(
                f"{one.name}: {one.temperature:g}, {one.moisture:.3g}" for one in self.conditions
            )
            limit = f"between the tested conditions ({points})"
            reject(
                f"{owner}: temperature [K], moisture [-]", f"{T:g}, {c:.3g}", limit, "nothing is extrapolated"
            )
        if self.wet_glass_transition is not None:
            check_glass_transition(T, self.wet_glass_transition)
        shares = {one: float(w) for one, w in zip(self.conditions, weights, strict=True) if w > NEGLIGIBLE}
        if len(shares) == 1:
            return next(iter(shares)).lamina
        return _blend(self.name, shares, f"{T:g} K, moisture {c:.3g}")


def _given(lamina: Lamina) -> set[str]:
    names = {name for name in PROPERTIES if getattr(lamina, name) is not None}
    if lamina.allowables is None:
        return names
    return names | {name for name in ALLOWABLES if getattr(lamina.allowables, name) is not None}


def _basis(lamina: Lamina) -> str | None:
    return None if lamina.allowables is None else lamina.allowables.basis


def _blend(name: str, shares: dict[Condition, float], condition: str) -> Lamina:
    """Weighted mean of every property and allowable that is given."""
    first = next(iter(shares)).lamina

    def means(names: tuple[str, ...], value: Callable[[Lamina, str], float]) -> dict[str, Any]:
        return {one: sum(w * value(tested.lamina, one) for tested, w in shares.items()) for one in names}

    documents = "; ".join(dict.fromkeys(one.lamina.source.document for one in shares))
    parts = " + ".join(f"{weight:.3g} {one.name}" for one, weight in shares.items())
    source = Source(documents, note=f"interpolated: {parts}")
    given = _given(first)
    allowables: Allowables | None = None
    if first.allowables is not None:
        limits = means(
            tuple(one for one in ALLOWABLES if one in given),
            lambda ply, one: getattr(ply.allowables, one),
        )
        allowables = replace(
            first.allowables, **limits, condition=f"{condition}, interpolated", source=source
        )
    values = means(tuple(one for one in PROPERTIES if one in given), getattr)
    return replace(first, **values, name=f"{name}, {condition}", allowables=allowables, source=source)
