"""A lamina tested at several temperatures and moistures, its properties in between, and the limit of service."""

import warnings
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from typing import Annotated, Any

import numpy as np

from materials.allowables import ALLOWABLES
from materials.checks import Array, Frozen, Items, Limits, checked, reject
from materials.lamina import PROPERTIES, Lamina
from materials.source import Source

TEMPERATURE = Limits("K", at_least=200.0, at_most=1500.0, cause="given in degC or degF?")
WET_TRANSITION = Limits("K", at_least=300.0, at_most=1500.0, cause="given in degC or degF?")
MOISTURE = Limits("-", at_least=0.0, at_most=0.1, cause="given in percent?")

OPERATING_GAP = 28.0  # [K], which is 50 degF
SAME_MOISTURE = 1e-9  # below any weighing
SAME_TEMPERATURE = 1e-6  # [K], below any thermometer
NEGLIGIBLE = 1e-12  # a weight that is rounding only


class GlassTransitionWarning(UserWarning):
    """The service temperature is too near the wet glass transition."""


@checked
def check_glass_transition(
    temperature: Annotated[float, TEMPERATURE], wet_glass_transition: Annotated[float, WET_TRANSITION]
) -> float:
    """Warn if a service temperature is within 28 K of the wet glass transition.

    Parameters
    ----------
    temperature : float
        Service temperature [K].
    wet_glass_transition : float
        Glass transition temperature of the wet laminate [K].

    Returns
    -------
    float
        The material operational limit, the wet glass transition less 28 K [K].

    Warns
    -----
    GlassTransitionWarning
        If the service temperature is above that limit.

    References
    ----------
    MIL-HDBK-17-1F (2002), section 2.2.8, material operational limit (from memory); common practice.

    Examples
    --------
    >>> check_glass_transition(temperature=355.0, wet_glass_transition=410.0)
    382.0
    """
    limit = wet_glass_transition - OPERATING_GAP
    if temperature > limit:
        text = (
            f"service temperature {temperature:g} K is above {limit:g} K, the wet glass transition "
            f"{wet_glass_transition:g} K less {OPERATING_GAP:g} K: the matrix loses stiffness and strength there"
        )
        warnings.warn(text, GlassTransitionWarning, stacklevel=3)
    return limit


class Condition(Frozen, eq=True):
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
        If the allowables are already knocked down.

    Examples
    --------
    >>> from materials.catalog import lamina
    >>> Condition(name="room dry", temperature=297.0, moisture=0.0, lamina=lamina("AS4/3501-6"))
    Condition(name='room dry', temperature=297.0, moisture=0.0, lamina=Lamina('AS4/3501-6'))
    """

    name: str
    temperature: Annotated[float, TEMPERATURE]
    moisture: Annotated[float, MOISTURE]
    lamina: Lamina

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.lamina.allowables is not None and self.lamina.allowables.factors:
            cause = "knock down what `at` returns, or the environment counts twice"
            reject(f"Condition '{self.name}': allowables", "knocked-down values", "the tested ones", cause)


class ConditionedLamina(Frozen, eq=True):
    """A lamina tested at several conditions.

    Parameters
    ----------
    name : str
        Name in tables and reports.
    conditions : iterable of Condition
        The tests, as cold dry, room dry, hot dry, hot wet; each temperature and moisture once.
    wet_glass_transition : float, optional
        Glass transition temperature of the wet laminate [K].

    Raises
    ------
    ValueError
        If there are no conditions, two are the same, one gives a property that another lacks, or their
        allowables differ in basis.

    Examples
    --------
    >>> from materials.catalog import lamina
    >>> ply = lamina("AS4/3501-6")
    >>> dry, hot = [Condition(name=f"{T} K", temperature=T, moisture=0.0, lamina=replace(ply, E2=E2))
    ...             for T, E2 in ((297, 11e9), (355, 10e9))]
    >>> ConditionedLamina(name="AS4", conditions=(dry, hot)).at(temperature=326.0, moisture=0.0).E2 / 1e9
    10.5
    """

    name: str
    conditions: Items[Condition]
    wet_glass_transition: Annotated[float | None, WET_TRANSITION] = None

    def __post_init__(self) -> None:
        super().__post_init__()
        for one, other in combinations(self.conditions, 2):
            what = f"ConditionedLamina '{self.name}': conditions '{one.name}' and '{other.name}'"
            if lacking := _given(one.lamina) ^ _given(other.lamina):
                reject(what, f"{', '.join(sorted(lacking))} in one only", "given in both or in none")
            bases = [ply.allowables and ply.allowables.basis for ply in (one.lamina, other.lamina)]
            if bases[0] != bases[1]:
                reject(what, f"basis {bases[0]}, {bases[1]}", "of one basis")
            if (
                abs(one.moisture - other.moisture) <= SAME_MOISTURE
                and abs(one.temperature - other.temperature) <= SAME_TEMPERATURE
            ):
                reject(what, f"both at {one.temperature:g} K, moisture {one.moisture:.3g}", "different")

    @checked
    def at(
        self, *, temperature: Annotated[float, TEMPERATURE], moisture: Annotated[float, MOISTURE]
    ) -> Lamina:
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

        Notes
        -----
        At one tested moisture a property is linear between neighboring temperatures. Between two tested
        moistures c0 < c1, with w = (c - c0) / (c1 - c0), it is (1 - w) f0(T0) + w f1(T1), where T0 = T1 = T if
        both were tested around T. If one was not, it is taken at the end of its tested range, and the other
        where (1 - w) T0 + w T1 = T. This is continuous, bilinear on a full grid, linear on the triangle of one
        hot wet test over dry ones, and exact for what is linear in temperature and moisture.
        """
        tested = np.array([(one.temperature, one.moisture) for one in self.conditions])
        weights = condition_weights(tested, temperature, moisture)
        if weights is None:
            points = "; ".join(
                f"{one.name}: {one.temperature:g}, {one.moisture:.3g}" for one in self.conditions
            )
            what = f"ConditionedLamina '{self.name}': temperature [K], moisture [-]"
            limit = f"between the tested conditions ({points})"
            reject(what, f"{temperature:g}, {moisture:.3g}", limit, "nothing is extrapolated")
        if self.wet_glass_transition is not None:
            check_glass_transition(temperature, self.wet_glass_transition)
        shares = {one: float(w) for one, w in zip(self.conditions, weights, strict=True) if w > NEGLIGIBLE}
        if len(shares) == 1:
            return next(iter(shares)).lamina
        return _blend(self.name, shares, f"{temperature:g} K, moisture {moisture:.3g}")


def _given(lamina: Lamina) -> set[str]:
    """Names of the properties and allowables that a lamina states."""
    stated = {name for name in PROPERTIES if getattr(lamina, name) is not None}
    return stated | {name for name in ALLOWABLES if getattr(lamina.allowables, name, None) is not None}


def _blend(name: str, shares: dict[Condition, float], condition: str) -> Lamina:
    """Weighted mean of every property and allowable that is given."""
    first = next(iter(shares)).lamina
    given = _given(first)

    def means(names: tuple[str, ...], of: Callable[[Lamina], Any]) -> dict[str, float]:
        return {
            one: sum(w * getattr(of(tested.lamina), one) for tested, w in shares.items())
            for one in names
            if one in given
        }

    documents = "; ".join(dict.fromkeys(one.lamina.source.document for one in shares))
    parts = " + ".join(f"{weight:.3g} {one.name}" for one, weight in shares.items())
    source = Source(documents, note=f"interpolated: {parts}")
    allowables = first.allowables
    if allowables is not None:
        limits: dict[str, Any] = means(ALLOWABLES, lambda ply: ply.allowables)
        allowables = replace(allowables, **limits, condition=f"{condition}, interpolated", source=source)
    values: dict[str, Any] = means(PROPERTIES, lambda ply: ply)
    return replace(first, **values, name=f"{name}, {condition}", allowables=allowables, source=source)


def condition_weights(tested: Array, T: float, c: float) -> Array | None:
    """Weights (test), none negative, sum 1, of tests (test, [temperature, moisture]); None if they do not surround."""
    moisture = tested[:, 1]
    if (at_level := np.abs(moisture - c) <= SAME_MOISTURE).any():
        return _along(tested, at_level, T)
    if c < moisture.min() or c > moisture.max():
        return None
    c0, c1 = moisture[moisture < c].max(), moisture[moisture > c].min()
    dry, wet = (np.abs(moisture - level) <= SAME_MOISTURE for level in (c0, c1))
    w = (c - c0) / (c1 - c0)
    T0, T1 = (np.clip(T, tested[level, 0].min(), tested[level, 0].max()) for level in (dry, wet))
    if T1 != T:
        T0 = (T - w * T1) / (1.0 - w)
    elif T0 != T:
        T1 = (T - (1.0 - w) * T0) / w
    along_dry, along_wet = _along(tested, dry, T0), _along(tested, wet, T1)
    if along_dry is None or along_wet is None:
        return None
    return np.asarray((1.0 - w) * along_dry + w * along_wet)


def _along(tested: Array, level: np.ndarray, T: float) -> Array | None:
    """Linear weights between the two neighbors in temperature at one moisture."""
    rows = np.flatnonzero(level)
    rows = rows[np.argsort(tested[rows, 0])]
    ordered = tested[rows, 0]
    if not ordered[0] - SAME_TEMPERATURE <= T <= ordered[-1] + SAME_TEMPERATURE:
        return None
    weights = np.zeros(len(tested))
    weights[rows] = [np.interp(T, ordered, one) for one in np.eye(len(rows))]
    return weights
