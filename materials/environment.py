"""A lamina tested at several temperatures and moistures, its properties in between, and the limit of service."""

from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations
from typing import Annotated, Any, Literal

import numpy as np

from materials.allowables import ALLOWABLES, STRENGTHS, TESTS, AllowableName, Allowables
from materials.checks import Array, Frozen, Items, Limits, checked, default, reject
from materials.lamina import PROPERTIES, PROPERTY_TESTS, WET_TRANSITION, Lamina, PropertyName
from materials.source import Source

TEMPERATURE = Limits("K", at_least=200.0, at_most=1500.0, cause="given in degC or degF?")
MOISTURE = Limits("-", at_least=0.0, at_most=0.1, cause="given in percent?")

OPERATING_GAP = 28.0  # [K], which is 50 degF
COOL = 323.15  # [K], 50 degC: the warmest service for which the wet glass transition need not be known; own choice
ROOM = 296.15  # [K], and a room test lies within
ROOM_RANGE = 8.0  # [K] of it
SAME_MOISTURE = 1e-9  # below any weighing
SAME_TEMPERATURE = 1e-6  # [K], below any thermometer
NEGLIGIBLE = 1e-12  # a weight that is rounding only

TestedName = Literal[PropertyName, AllowableName]
Between = Literal["tests", "hottest wet", "room-dry line"]
SPARSE = ("GIc", "GIIc", "shear_nonlinearity", "E1c", "E2c", "S02")
"""Values that some of the tests may lack."""

FIXED = ("wet_glass_transition",)


@checked
def check_glass_transition(
    temperature: Annotated[float, TEMPERATURE],
    wet_glass_transition: Annotated[float | None, WET_TRANSITION] = None,
) -> float:
    """Refuse a service temperature within 28 K of the wet glass transition.

    Parameters
    ----------
    temperature : float
        Service temperature [K].
    wet_glass_transition : float, optional
        Glass transition temperature of the wet laminate [K].

    Returns
    -------
    float
        The material operational limit, the wet glass transition less 28 K; 323.15 K if that is not known [K].

    Raises
    ------
    ValueError
        If the service is hotter than that limit.

    Notes
    -----
    Above it the matrix loses stiffness and strength within few kelvins. The 323.15 K (50 degC) up to which the wet
    glass transition need not be known is an own choice.

    References
    ----------
    MIL-HDBK-17-1F (2002), section 2.2.8, material operational limit (from memory).

    Examples
    --------
    >>> check_glass_transition(temperature=355.0, wet_glass_transition=410.0)
    382.0
    """
    if wet_glass_transition is None:
        if temperature > COOL:
            test = PROPERTY_TESTS["wet_glass_transition"]
            limit = f"<= {COOL:g} without a wet glass transition"
            reject("service temperature [K]", f"{temperature:g}", limit, f"{test} gives it")
        return COOL
    limit_temperature = wet_glass_transition - OPERATING_GAP
    if temperature > limit_temperature:
        said = f"<= {limit_temperature:g}, the wet glass transition {wet_glass_transition:g} K less {OPERATING_GAP:g} K"
        reject("service temperature [K]", f"{temperature:g}", said, "the matrix softens there")
    return limit_temperature


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
    only : iterable of str, optional
        Names of the values that were tested there, if not all that the lamina gives; the others are not used.

    Raises
    ------
    ValueError
        If the allowables are already knocked down, or `only` names a value that the lamina does not give.

    Examples
    --------
    >>> from materials.catalog import lamina
    >>> tested = Condition(name="hot", temperature=350.0, moisture=0.0, lamina=lamina("AS4/3501-6"), only=("E1", "Xt"))
    >>> sorted(tested.tested)
    ['E1', 'Xt']
    """

    name: str
    temperature: Annotated[float, TEMPERATURE]
    moisture: Annotated[float, MOISTURE]
    lamina: Lamina
    only: Annotated[Items[TestedName], Limits(items=0)] = default(())

    def __post_init__(self) -> None:
        super().__post_init__()
        if lacking := set(self.only) - stated_values(self.lamina):
            reject(
                f"Condition '{self.name}': only", ", ".join(sorted(lacking)), "values that the lamina gives"
            )
        if self.lamina.allowables is not None and self.lamina.allowables.factors:
            cause = "knock down what `at` returns, or the environment counts twice"
            reject(f"Condition '{self.name}': allowables", "knocked-down values", "the tested ones", cause)

    @property
    def tested(self) -> set[str]:
        """Names of the values tested there."""
        return set(self.only) or stated_values(self.lamina)


class ConditionedLamina(Frozen, eq=True):
    """A lamina tested at several conditions.

    Parameters
    ----------
    name : str
        Name in tables and reports.
    conditions : iterable of Condition
        The tests, as cold dry, room dry, hot dry, hot wet; each temperature and moisture once.
    wet_glass_transition : float, optional
        Glass transition temperature of the wet laminate; the lowest that the laminae give if not said [K].
    between : {"tests", "hottest wet", "room-dry line"}
        What stands for a property where the tests of it do not surround the service. "tests": nothing, the service is
        refused. "hottest wet": the hottest wet test. "room-dry line": the straight line in temperature from room dry
        to hottest wet, in its upper half only.

    Raises
    ------
    ValueError
        If there are no conditions, two are the same, one gives a property that another lacks (GIc, GIIc, S02, E1c, E2c
        and shear_nonlinearity may be lacking), their allowables differ in basis, or none was tested in all.

    Examples
    --------
    >>> from materials.catalog import lamina
    >>> ply = lamina("AS4/3501-6")
    >>> dry, hot = [Condition(name=f"{T} K", temperature=T, moisture=0.0, lamina=replace(ply, E2=E2))
    ...             for T, E2 in ((297, 11e9), (355, 10e9))]
    >>> tested = ConditionedLamina(name="AS4", conditions=(dry, hot), wet_glass_transition=430.0)
    >>> tested.at(temperature=326.0, moisture=0.0).E2 / 1e9
    10.5
    """

    name: str
    conditions: Items[Condition]
    wet_glass_transition: Annotated[float | None, WET_TRANSITION] = None
    between: Between = "tests"

    def __post_init__(self) -> None:
        super().__post_init__()
        for one, other in combinations(self.conditions, 2):
            what = f"ConditionedLamina '{self.name}': conditions '{one.name}' and '{other.name}'"
            lacking = (stated_values(one.lamina) ^ stated_values(other.lamina)) - {*SPARSE, *FIXED}
            if lacking and not (one.only or other.only):
                reject(what, f"{', '.join(sorted(lacking))} in one only", "given in both or in none")
            bases = [ply.allowables and ply.allowables.basis for ply in (one.lamina, other.lamina)]
            if bases[0] != bases[1]:
                reject(what, f"basis {bases[0]}, {bases[1]}", "of one basis")
            if one.lamina.kind != other.lamina.kind:
                reject(what, f"kind {one.lamina.kind}, {other.lamina.kind}", "of one kind")
            if (
                abs(one.moisture - other.moisture) <= SAME_MOISTURE
                and abs(one.temperature - other.temperature) <= SAME_TEMPERATURE
            ):
                reject(what, f"both at {one.temperature:g} K, moisture {one.moisture:.3g}", "different")
        if all(one.only for one in self.conditions):
            reject(f"ConditionedLamina '{self.name}'", "`only` in every condition", "one tested in all")

    @property
    def wet_moisture(self) -> float:
        """Moisture of the wettest test, mass fraction [-]."""
        return max(one.moisture for one in self.conditions)

    @property
    def operational_limit(self) -> float:
        """Hottest service: the wet glass transition less 28 K, or 323.15 K where that is not known [K]."""
        return COOL if self._transition is None else self._transition - OPERATING_GAP

    @property
    def _transition(self) -> float | None:
        given = (one.lamina.wet_glass_transition for one in self.conditions)
        return self.wet_glass_transition or min((one for one in given if one is not None), default=None)

    @property
    def highest(self) -> Allowables | None:
        """Allowables with the highest of each strength over all tests, one set for all services."""
        tests = [one for one in self.conditions if one.lamina.allowables is not None]
        if not tests:
            return None
        values: dict[str, Any] = {
            name: max(getattr(one.lamina.allowables, name) for one in tests if name in one.tested)
            for name in STRENGTHS
        }
        first = next(one.lamina.allowables for one in tests if not one.only)
        assert first is not None
        said = ", ".join(one.name for one in tests)
        return Allowables(**values, basis=first.basis, condition=f"highest of {said}", source=first.source)

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
            The ply at that condition. Its name, allowables and source say of what tests it is made and by which rule;
            at a tested condition it has the tested values. `Allowables.stated` of it has the highest strengths over
            all tests.

        Raises
        ------
        ValueError
            If the tests of a property do not surround the condition and no rule of `between` holds there, or the
            service is too near the wet glass transition.

        Notes
        -----
        At one tested moisture a property is linear between neighboring temperatures. Between two tested
        moistures c0 < c1, with w = (c - c0) / (c1 - c0), it is (1 - w) f0(T0) + w f1(T1), where T0 = T1 = T if
        both were tested around T. If one was not, it is taken at the end of its tested range, and the other
        where (1 - w) T0 + w T1 = T. This is continuous, bilinear on a full grid, linear on the triangle of one
        hot wet test over dry ones, and exact for what is linear in temperature and moisture.

        Elsewhere, for services from room temperature to the hottest wet test and not wetter, the rule of `between`
        stands, and takes the service as wet as that test. "hottest wet": f = f(hottest wet), of a strength or failure
        strain not above room dry. "room-dry line": f = (1 - w) f(room dry) + w f(hottest wet),
        w = (T - T_room) / (T_wet - T_room) >= 1/2; below that the line forgets the moisture.
        GIc, GIIc, S02, E1c, E2c and the shear nonlinearity belong to a condition and are None where this gives none.

        References
        ----------
        The line: practice of the AGATE program, from memory. Its upper half: own choice.
        """
        try:
            check_glass_transition(temperature, self._transition)
        except ValueError as error:
            raise ValueError(f"ConditionedLamina '{self.name}': {error}") from None
        whole = next(one for one in self.conditions if not one.only)
        names = sorted(set().union(*(one.tested for one in self.conditions)) - set(FIXED))
        shares: dict[str, Shares] = {}
        known: dict[tuple[bool, ...], Shares | None] = {}
        for name in names:
            tests = tuple(name in one.tested for one in self.conditions)
            if tests not in known:
                known[tests] = self._shares(tests, temperature, moisture)
            found = known[tests]
            if found is None and name not in SPARSE:
                self._refuse(name, temperature, moisture)
            if found is not None:
                shares[name] = found
        return self._blend(whole.lamina, shares, temperature, moisture)

    def _shares(self, tests: tuple[bool, ...], T: float, c: float) -> "Shares | None":
        """Weight of each test and the rule behind it, of a property that these tests give; None if no rule holds."""
        rows = [one for one, given in zip(self.conditions, tests, strict=True) if given]
        tested = np.array([(one.temperature, one.moisture) for one in rows])
        weights = condition_weights(tested, T, c)
        if weights is not None:
            found = {one: float(w) for one, w in zip(rows, weights, strict=True) if w > NEGLIGIBLE}
            return ("interpolated" if len(found) > 1 else "tested", found)
        if self.between == "tests":
            return None
        dry = [
            one for one in rows if one.moisture <= SAME_MOISTURE and abs(one.temperature - ROOM) <= ROOM_RANGE
        ]
        wet = [one for one in rows if one.moisture >= max(c, 2 * SAME_MOISTURE) - SAME_MOISTURE]
        if not dry or not wet:
            return None
        room = min(dry, key=lambda one: abs(one.temperature - ROOM))
        hot = max(wet, key=lambda one: one.temperature)
        if not room.temperature - SAME_TEMPERATURE <= T <= hot.temperature + SAME_TEMPERATURE:
            return None
        if self.between == "hottest wet":
            return "hottest wet", {hot: 1.0, room: 0.0}
        w = (T - room.temperature) / (hot.temperature - room.temperature)
        if w < 0.5 - SAME_TEMPERATURE:
            return None
        return "line from room dry to hottest wet", {room: 1.0 - w, hot: w}

    def _refuse(self, name: str, T: float, c: float) -> None:
        rows = [one for one in self.conditions if name in one.tested]
        points = "; ".join(f"{one.name}: {one.temperature:g}, {one.moisture:.3g}" for one in rows)
        what = f"ConditionedLamina '{self.name}': {name} at temperature [K], moisture [-]"
        test = {**TESTS, **PROPERTY_TESTS}.get(name, "a test")
        rule = (
            "between='hottest wet' or 'room-dry line' may stand in from room temperature to the hottest wet test"
            if self.between == "tests"
            else f"between='{self.between}' does not reach there"
        )
        limit = f"between the tested conditions ({points})"
        reject(what, f"{T:g}, {c:.3g}", limit, f"nothing is extrapolated; {rule}; {test} gives it there")

    def _blend(self, whole: Lamina, shares: "Mapping[str, Shares]", T: float, c: float) -> Lamina:
        """The ply whose every value is the mean of its tests by their shares."""

        def value(name: str) -> float | None:
            if name not in shares:
                return None
            rule, of = shares[name]
            values = [_value(one.lamina, name) for one in of]
            if rule == "hottest wet":
                return min(values) if name in ALLOWABLES else values[0]
            if len(values) == 1:
                return values[0]
            return sum(w * one for w, one in zip(of.values(), values, strict=True))

        said: dict[str, list[str]] = {}
        for name, (rule, of) in shares.items():
            parts = " + ".join(f"{w:.3g} {one.name}" for one, w in of.items() if w > 0)
            said.setdefault(f"{rule}: {parts}", []).append(name)
        first = max(said, key=lambda one: len(said[one]))
        note = "; ".join(
            [first, *(f"{', '.join(names)} {one}" for one, names in said.items() if one != first)]
        )
        used = {one: None for _, of in shares.values() for one, w in of.items() if w > 0}
        documents = "; ".join(dict.fromkeys(one.lamina.source.document for one in used))
        exact = next((one for one in used if len(said) == 1 and first.startswith("tested: ")), None)
        source = exact.lamina.source if exact else Source(documents, note=note)
        allowables = whole.allowables
        where = f"{T:g} K, moisture {c:.3g}"
        if allowables is not None:
            tested = exact and exact.lamina.allowables
            limits: dict[str, Any] = {name: value(name) for name in ALLOWABLES}
            allowables = replace(
                allowables,
                **limits,
                condition=tested.condition if tested else f"{where}, {first.partition(':')[0]}",
                source=tested.source if tested else source,
                sources=tested.sources if tested else _sources(shares, ALLOWABLES),
                highest=self.highest,
            )
        if exact:
            return replace(exact.lamina, allowables=allowables)
        values: dict[str, Any] = {
            name: value(name)
            for name in PROPERTIES
            if name not in FIXED and (name in shares or name in SPARSE)
        }
        return replace(
            whole,
            **values,
            name=f"{self.name}, {where}",
            wet_glass_transition=self._transition,
            allowables=allowables,
            source=source,
            sources=_sources(shares, PROPERTIES),
        )


Shares = tuple[str, dict[Condition, float]]
"""Rule by which a value is found, and the share of each test in it."""

WORST_LAST = ("", "read", "quoted", "memory", "placeholder")


def stated_values(lamina: Lamina) -> set[str]:
    """Names of the properties and allowables that a lamina states."""
    stated = {name for name in PROPERTIES if getattr(lamina, name) is not None}
    return stated | {name for name in ALLOWABLES if getattr(lamina.allowables, name, None) is not None}


def _value(lamina: Lamina, name: str) -> float:
    value: float = getattr(lamina if name in PROPERTIES else lamina.allowables, name)
    return value


def _sources(shares: "Mapping[str, Shares]", names: tuple[str, ...]) -> list[tuple[str, Source]]:
    """Source of single values, that of worst standing among the tests that each is made of."""
    out = []
    for name in names:
        if name not in shares:
            continue
        tests = [one for one, w in shares[name][1].items() if w > 0]
        holders = [one.lamina if name in PROPERTIES else one.lamina.allowables for one in tests]
        own = [source for holder in holders if holder for key, source in holder.sources if key == name]
        if own:
            out.append((name, max(own, key=lambda source: WORST_LAST.index(source.standing))))
    return out


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
