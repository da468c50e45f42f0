"""Loads of a joint by case, its factors, and its rows of the margin table.

With R the strength ratio at the given load,

    RF at limit    = R / (deflection allowance x fitting)
    RF at ultimate = R / (factor of safety x special x fitting x deflection allowance)

fitting is the highest of the fitting, casting and bearing factor (14 CFR 23.625, 23.621, 23.623), special the factor
of laminates (23.619), 1 for metal and adhesive.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Annotated, Any, Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.strength.check import Level
from beam.strength.margins import INDEX
from beam.strength.requirement import Requirement, case_factors
from beam.strength.station_ratios import LEVELS, reserve
from beam.strut import PointLoads
from materials import Metal
from materials.checks import (
    Array,
    Frozen,
    Items,
    Limits,
    Numbers,
    OptionalNumbers,
    Table,
    checked,
    common_shape,
    default,
    reject,
)

FITTING_RULE = "14 CFR 23.625 (from memory)"
CASTING_IN_BEARING = 1.25
"""Largest casting factor that bearing stress needs, 14 CFR 23.621."""

_FACTOR = Limits("-", at_least=1.0, at_most=10.0, cause="a factor on the load, not a knockdown")


Kind = Literal["strength", "bearing"]
"""Kind of a check; bearing stress alone takes the bearing factor."""


class JointLoads(Frozen):
    """Loads that a joint carries in every case, at one point and in the axes of the joint.

    Parameters
    ----------
    force : array_like, shape (case, 3)
        Force on the joint; its class says along what the axes lie [N].
    moment : array_like, shape (case, 3), optional
        Moment about the point of the joint [N m].
    cases : sequence, length case, optional
        Labels of the cases, all different; their numbers if not given.
    level : sequence of {"limit", "ultimate"}, length case
        What each case is given as; none: all at limit load. A case at ultimate load meets no check at limit load.
    factor_of_safety : array_like, shape (case,), optional
        Ultimate over given load of each case [-]; None: that of the requirement at limit, 1 at ultimate load.

    Raises
    ------
    ValueError
        If the shapes do not match, two labels are alike, or a case at ultimate load has a factor of safety.

    Examples
    --------
    >>> loads = JointLoads(force=[[20e3, 0, 0], [0, -8e3, 0]], cases=["level", "spring-back"])
    >>> loads.moment.tolist()
    [[0.0, 0.0, 0.0], [0.0, 0.0, 0.0]]
    """

    force: Annotated[Numbers, Limits("N", shape=(-1, 3))]
    moment: Annotated[Numbers, Limits("N m")] = default(0.0)
    cases: Annotated[Items[Any], Limits(items=0)] = default(())
    level: Annotated[Items[Literal["limit", "ultimate"]], Limits(items=0)] = default(())
    factor_of_safety: Annotated[
        OptionalNumbers, Limits("-", at_least=1.0, below=5.0, shape=(-1,), cause="a knockdown?")
    ] = default(None)

    def __post_init__(self) -> None:
        super().__post_init__()
        shape = common_shape("JointLoads: force, moment", self.force.shape, self.moment.shape)
        if shape != self.force.shape or not len(self.force):
            reject("JointLoads: moment [N m]", f"shape {self.moment.shape}", f"{self.force.shape} or 0")
        object.__setattr__(self, "moment", np.broadcast_to(self.moment, shape))
        count = len(self.force)
        object.__setattr__(self, "cases", self.cases or tuple(range(count)))
        if len(self.cases) != count or len(set(self.cases)) != count:
            reject("JointLoads: cases", f"{len(self.cases)} labels", f"{count}, all different")
        self.at_point  # noqa: B018  # refuses a wrong level or factor of safety

    @property
    def at_point(self) -> PointLoads:
        """The same loads as loads on the axis, by which the factors of the cases are found."""
        return PointLoads(
            at=[0.0],
            force=self.force[:, None, :],
            moment=self.moment[:, None, :],
            level=self.level,
            factor_of_safety=self.factor_of_safety,
        )


class JointFactors(Frozen, eq=True):
    """Factors of 14 CFR Part 23 on the loads of a joint.

    Parameters
    ----------
    fitting : float
        Fitting factor, 23.625 [-].
    fitting_basis : str
        Where it comes from. A factor below 1.15 needs tests of the joint to limit and ultimate load: name them.
    casting : float, optional
        Casting factor, 23.621, of a cast part [-].
    casting_basis : str, optional
        Inspections and tests that allow this casting factor.
    bearing : float, optional
        Bearing factor, 23.623, of a joint with clearance that moves or is pounded. It counts on bearing stress only.
        Part 23 prints no number; older codes took 2.0 (from memory) [-].
    bearing_basis : str, optional
        Where the bearing factor comes from.
    combination : {"product", "highest"}
        Of the special factor of a laminate and the factor of the fitting: both multiply, or the highest counts, as
        23.619 reads.
    combination_basis : str, optional
        Who agreed to "highest".

    Raises
    ------
    ValueError
        If a fitting factor below 1.15, a casting factor, a bearing factor or "highest" comes without its basis.

    Examples
    --------
    >>> factors = JointFactors(bearing=2.0, bearing_basis="practice for loose joints")
    >>> factors.fitting_of("bearing"), factors.fitting_of("strength")
    ((2.0, 'bearing 2: practice for loose joints'), (1.15, 'fitting 1.15: 14 CFR 23.625 (from memory)'))
    """

    fitting: Annotated[float, _FACTOR] = 1.15
    fitting_basis: str = FITTING_RULE
    casting: Annotated[float | None, _FACTOR] = None
    casting_basis: str | None = None
    bearing: Annotated[float | None, _FACTOR] = None
    bearing_basis: str | None = None
    combination: Literal["product", "highest"] = "product"
    combination_basis: str | None = None

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.fitting < 1.15 and self.fitting_basis == FITTING_RULE:
            cause = "14 CFR 23.625: less only with tests of the joint; name them in fitting_basis"
            reject("JointFactors: fitting [-]", f"{self.fitting:g}", ">= 1.15", cause)
        for name in ("casting", "bearing"):
            if getattr(self, name) is not None and getattr(self, f"{name}_basis") is None:
                reject(f"JointFactors: {name}_basis", None, f"given with {name}", "where is the factor from?")
        if self.combination == "highest" and self.combination_basis is None:
            reject("JointFactors: combination_basis", None, 'given with combination "highest"')

    @checked
    def fitting_of(self, kind: Kind) -> tuple[float, str]:
        """Highest of the fitting, casting and bearing factor, and its name and basis.

        Parameters
        ----------
        kind : {"strength", "bearing"}
            Whether the check is of bearing stress, which alone takes the bearing factor.

        Returns
        -------
        tuple of float and str
            The factor and what it rests on [-].

        Notes
        -----
        In bearing a casting factor counts up to 1.25 (23.621).
        """
        found = [(self.fitting, "fitting", self.fitting_basis)]
        if self.casting is not None:
            value = min(self.casting, CASTING_IN_BEARING) if kind == "bearing" else self.casting
            found.append((value, "casting", str(self.casting_basis)))
        if self.bearing is not None and kind == "bearing":
            found.append((self.bearing, "bearing", str(self.bearing_basis)))
        value, name, basis = max(found, key=lambda one: one[0])
        return value, f"{name} {value:g}: {basis}"


class Line(NamedTuple):
    """One line of a worked margin: name, value in base SI, unit, and the formula of names before it.

    Without a formula the value is given: a size, a strength, a load, or what `note` says. Formulas take + - * / ^ and
    sqrt, min, max, abs, cos, sin, tan, tanh, atan2, and pi, so that a calculator follows them in any consistent units.
    """

    name: str
    value: float
    unit: str = "-"
    formula: str = ""
    note: str = ""


def given(unit: str, note: str = "", **values: ArrayLike) -> list[Line]:
    """Lines of values that are given, by name."""
    return [Line(name, float(np.asarray(value)), unit, "", note) for name, value in values.items()]


def line(name: str, value: ArrayLike, unit: str, formula: str, note: str = "") -> Line:
    """A line with the formula that gives its value."""
    return Line(name, float(np.asarray(value)), unit, formula, note)


class JointCheck(NamedTuple):
    """One check of one part of a joint in every case."""

    part: str
    mode: str
    level: Level
    ratio: Array
    """Strength ratio at the given load, (case,) [-]."""
    assumption: str
    kind: Kind = "strength"
    """Bearing stress takes the bearing factor."""
    laminate: bool = False
    """A laminate takes the special factor."""
    service: str = ""
    decides: bool = True
    work: Callable[[int], list[Line]] | None = None
    """Lines that lead to the ratio R of one case from F1 to M3, its loads; R is the last that a formula gives."""


class Judged(NamedTuple):
    """Checks of a joint under one set of loads, which make rows of the margin table."""

    name: str
    checks: list[JointCheck]
    loads: JointLoads
    factors: JointFactors
    station: float = 0.0


def judged_rows(groups: Sequence[Judged], requirement: Requirement) -> Table:
    """Rows of the margin table of all checks; a case without a ratio, NaN, is left out."""
    tables = [
        joint_rows(one.name, one.checks, one.loads, requirement, factors=one.factors, station=one.station)
        for one in groups
    ]
    return with_joints(*tables) if len(tables) > 1 else tables[0]


def worked_lines(
    groups: Sequence[Judged], requirement: Requirement, row: Mapping[str, Any]
) -> list[Line] | None:
    """Lines of a row of the margin table; None where no check works it."""
    wanted = tuple(str(row[key]) for key in ("wall", "mode", "level"))
    for name, checks, loads, factors, _ in groups:
        labels = [str(case) for case in loads.cases]
        for check in checks:
            if (f"{name}: {check.part}", check.mode, check.level) != wanted or check.work is None:
                continue
            i = labels.index(str(row["case"]))  # F1 to M3 are the loads of this case
            ratio = float(np.broadcast_to(check.ratio, len(labels))[i])
            if np.isclose(ratio, float(row["ratio"]), rtol=1e-9, atol=0.0):
                return check.work(i) + _closing(check, i, ratio, loads, requirement, factors)
    return None


def _closing(
    check: JointCheck,
    i: int,
    ratio: float,
    loads: JointLoads,
    requirement: Requirement,
    factors: JointFactors,
) -> list[Line]:
    """Lines from the ratio of a case to its margin."""
    fitting, said = _factor(check, requirement, factors)
    allowance = requirement.deflection_allowance
    total = case_factors(requirement, loads.at_point)[check.level][i]
    safety = total / allowance / (requirement.special_factor if check.level == "ultimate" else 1.0)
    factor = safety * allowance * fitting
    return [
        *given("-", f"{check.level} load over the given load of the case", FS=safety),
        *given("-", "deflection allowance, 14 CFR 23.301(c)", da=allowance),
        *given("-", said, ff=fitting),
        line("factor", factor, "-", "FS * da * ff"),
        line("RF", ratio / factor, "-", "R / factor"),
        line("MS", ratio / factor - 1, "-", "RF - 1"),
    ]


def joint_rows(
    joint: str,
    checks: Sequence[JointCheck],
    loads: JointLoads,
    requirement: Requirement,
    *,
    factors: JointFactors,
    station: float = 0.0,
) -> Table:
    """Rows of the margin table of one joint at a station [m]: wall "<joint>: <part>", ply 0."""
    import pandas as pd

    at_level = case_factors(requirement, loads.at_point)
    divisors, texts = [], []
    for check in checks:
        on_all, said = _factor(check, requirement, factors)
        special = requirement.special_factor if check.level == "ultimate" else 1.0
        divisors.append(at_level[check.level] / special * on_all)
        texts.append(f"{check.assumption}; {said}")
    cases, count = len(loads.cases), len(checks)
    factor = np.ravel(divisors)
    ratio = np.ravel([np.broadcast_to(check.ratio, cases) for check in checks])
    met = (factor > 0.0) & ~np.isnan(ratio)  # a case at ultimate load meets no check at limit load
    case, check_of = np.tile(np.arange(cases), count)[met], np.repeat(np.arange(count), cases)[met]
    ratio, factor = ratio[met], factor[met]
    spare = reserve(ratio, factor)

    def named(words: Sequence[Any], of: NDArray[np.intp], known: Sequence[Any] = ()) -> Any:
        kinds = list(known) or list(dict.fromkeys(words))
        codes = np.array([kinds.index(word) if word in kinds else -1 for word in words], dtype=np.intp)
        return pd.Categorical.from_codes(codes[of], categories=pd.Index(kinds))

    walls = [f"{joint}: {check.part}" for check in checks]
    titles = list(dict.fromkeys([state.title for state in requirement.states]))
    services = [*titles, *(s for s in dict.fromkeys(c.service for c in checks) if s and s not in titles)]
    index = [
        pd.Categorical.from_codes(case, categories=pd.Index(np.asarray(loads.cases))),
        np.full(len(case), station),
        named(walls, check_of),
        np.zeros(len(case), dtype=np.intp),
        named([check.mode for check in checks], check_of),
    ]
    return pd.DataFrame(
        {
            "ratio": ratio,
            "reserve": spare,
            "margin": spare - 1,
            "factor": factor,
            "level": named([check.level for check in checks], check_of, LEVELS),
            "decides": np.array([check.decides for check in checks])[check_of],
            "service": named([check.service for check in checks], check_of, services),
            "angle_deg": np.nan,
            "place": np.nan,
            "surface": named(["" for _ in checks], check_of, ["inner", "outer"]),
            "assumption": named(texts, check_of),
        },
        index=pd.MultiIndex.from_arrays(index, names=INDEX),
    )


def _factor(check: JointCheck, requirement: Requirement, factors: JointFactors) -> tuple[float, str]:
    """Factor of a check beside the factor of safety and the allowance, and the words for it."""
    fitting, said = factors.fitting_of(check.kind)
    if not check.laminate or check.level == "limit":
        return fitting, said
    special = requirement.special_factor
    basis = f"special {special:g}: {requirement.special_factor_basis}"
    if factors.combination == "highest":
        return max(fitting, special), f"highest of {said} and {basis}; {factors.combination_basis}"
    return fitting * special, f"{said} x {basis}"


@checked
def with_joints(table: Table, *rows: Table) -> Table:
    """Margin table with the rows of joints below it.

    Parameters
    ----------
    table : DataFrame
        From `beam.margins`, or rows of a joint.
    *rows : DataFrame
        From ``.margins`` of joints.

    Returns
    -------
    DataFrame
        All rows; categories are joined, so that the columns keep their types.

    Examples
    --------
    >>> from beam import Requirement, Service
    >>> required = Requirement(services=[Service(name="room", temperature=293)], special_factor=1.2,
    ...                        special_factor_basis="invented", route="allowables", mixed="an example")
    >>> pin, lug = (joint_rows("link pivot", [JointCheck(part, "shear", "ultimate", np.array([2.5]), "invented")],
    ...                        JointLoads(force=[[1e3, 0, 0]]), required, factors=JointFactors())
    ...             for part in ("pin", "lug"))
    >>> with_joints(pin, lug).reset_index()[["wall", "reserve"]].round(3).values.tolist()
    [['link pivot: pin', 1.449], ['link pivot: lug', 1.449]]
    """
    import pandas as pd
    from pandas.api.types import union_categoricals

    flat = [one.reset_index() for one in (table, *rows)]
    names = flat[0].columns
    joined = {}
    for name in names:
        columns = [one[name] for one in flat]
        categorical = all(isinstance(column.dtype, pd.CategoricalDtype) for column in columns)
        joined[name] = union_categoricals(columns) if categorical else pd.concat(columns, ignore_index=True)
    return pd.DataFrame(joined).set_index(list(INDEX))


def of_metal(metal: Metal, *names: str) -> str:
    """Words for the strengths of a metal: basis and source of those named, each source once."""
    sources = dict.fromkeys(str(metal.source_of(name)) for name in names)
    return f"{metal.name}: {metal.basis}; {'; '.join(sources)}"


def strength_ratio(strength: ArrayLike, load: ArrayLike) -> Array:
    """Strength over the size of a load (...) [-]; inf without load."""
    size = abs(np.asarray(load, dtype=float))
    with np.errstate(divide="ignore"):
        return np.where(size > 0.0, np.asarray(strength) / size, np.inf)


def interaction_ratio(*terms: tuple[ArrayLike, float]) -> Array:
    """R (...) with sum (R u_i)^p_i = 1, for pairs of utilization u >= 0 (...) and power p >= 1; inf without load."""
    uses = np.broadcast_arrays(*(np.asarray(use, dtype=float) for use, _ in terms))
    most = np.max(uses, axis=0)
    loaded = most > 0.0
    shares = [use / np.where(loaded, most, 1.0) for use in uses]  # the largest is 1, so R is at most 1
    ratio = np.ones(most.shape)
    for _ in range(60):  # a convex sum that grows with R: Newton's steps come down to the root from above
        powers = [(ratio * share) ** power for share, (_, power) in zip(shares, terms, strict=True)]
        slope = sum(p * value for value, (_, p) in zip(powers, terms, strict=True)) / ratio
        step = np.where(loaded, (sum(powers) - 1.0) / np.where(slope > 0.0, slope, 1.0), 0.0)
        ratio = ratio - step
        if abs(step).max(initial=0.0) < 1e-15:
            break
    with np.errstate(divide="ignore"):
        return np.where(loaded, ratio / np.where(loaded, most, 1.0), np.inf)
