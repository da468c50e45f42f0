"""Damage tolerance: categories of damage and the load that each must carry, and strain cycles without growth."""

import itertools
from typing import Annotated, Literal

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import gamma
from scipy.stats import chi2

from beam.strength.check import Caps, Check, Level, capped
from laminate.failure import ShearStrength
from materials.checks import Array, Frozen, Limits, checked, reject

CARRIES: dict[int, tuple[Level, str]] = {
    1: ("ultimate", "not found by inspection: ultimate load for life"),
    2: ("limit", "found at a scheduled inspection: above limit load until then"),
    3: ("limit", "found within a few flights: limit load"),
    4: ("limit", "known event in flight: the reduced load set of the user, for continued flight and landing"),
}
NO_GROWTH_SHARE = 0.6
"""No-growth strain over static strain after impact, at 1e6 cycles and R = 10; guidance from memory, own test needed."""


class Damage(Frozen, eq=True):
    """One category of damage with the fiber strains of laminates that have it.

    Parameters
    ----------
    category : int
        1 to 4 of AC 20-107B: 1 not found by inspection, 2 found at a scheduled one, 3 found within a few flights,
        4 a known event in flight, under loads that the user gives [-].
    caps : Caps
        From a laminate with that damage; guidance serves category 1 only.
    standing : str
        How well category and caps are known, as in "tested, report 7" or "from memory".

    Raises
    ------
    ValueError
        If guidance is given for a category other than 1.

    Notes
    -----
    Category 1 carries ultimate load for life, 2 and 3 limit load, 4 the load set of continued flight and landing.

    References
    ----------
    AC 20-107B (AMC 20-29), category 1 read, the others from memory.

    Examples
    --------
    >>> from beam.strength import GUIDANCE
    >>> [(check.mode, check.level) for check in Damage(category=1, caps=GUIDANCE, standing="guidance").checks]
    [('category 1, fiber strain', 'ultimate'), ('category 1, shear', 'ultimate')]
    """

    category: Annotated[int, Limits("-", at_least=1, at_most=4, cause="category 5 is reported and inspected")]
    caps: Caps
    standing: str

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.caps.guidance and self.category != 1:
            cause = "caps of a category are from a laminate with that damage"
            reject(f"Damage category {self.category}: caps", "guidance", "tested caps", cause)

    @property
    def checks(self) -> tuple[Check, ...]:
        """Checks of fiber strain and shear at the load that the category must carry."""
        level, said = CARRIES[self.category]
        assumption = f"damage category {self.category}, {said}; {self.standing}"
        name = f"category {self.category}"
        shear = Check(
            criterion=ShearStrength(),
            level=level,
            name=", ".join((f"{name}, shear", *self.caps.services)),
            services=self.caps.services,
            assumption=assumption,
        )
        return capped(self.caps, level, f"{name}, fiber strain", assumption), shear


@checked
def life_factor(
    *,
    basis: Literal["A", "B"],
    articles: Annotated[int, Limits("-", at_least=1)] = 1,
    life_shape: Annotated[float, Limits("-", above=0.0)] = 1.25,
) -> float:
    """Life factor of a fatigue test: lifetimes that articles without growth must have run.

    Parameters
    ----------
    basis : {"A", "B"}
        99 or 90 % of the fleet, with 95 % confidence.
    articles : int
        Test articles [-].
    life_shape : float
        Weibull shape of the scatter in life; 1.25 is the modal value of carbon laminates [-].

    Returns
    -------
    float
        Life factor at the load of service [-].

    Notes
    -----
    NF = Gamma((aL + 1)/aL) / (-ln p / (chi2_0.95(2n) / 2n))^(1/aL), p = 0.99 (A) or 0.9 (B).

    References
    ----------
    R. S. Whitehead and others, NADC-87042-60 and FAA AR-10/6, from memory.

    Examples
    --------
    >>> round(life_factor(basis="B"), 3)
    13.558
    """
    p = {"A": 0.99, "B": 0.9}[basis]
    spread = chi2.ppf(0.95, 2 * articles) / (2 * articles)
    return float(gamma((life_shape + 1.0) / life_shape) / (-np.log(p) / spread) ** (1.0 / life_shape))


@checked
def load_enhancement(
    lifetimes: Annotated[ArrayLike, Limits("-", above=0.0)],
    *,
    basis: Literal["A", "B"],
    articles: Annotated[int, Limits("-", at_least=1)] = 1,
    life_shape: Annotated[float, Limits("-", above=0.0)] = 1.25,
    strength_shape: Annotated[float, Limits("-", above=0.0)] = 20.0,
    static_reserve: Annotated[float | None, Limits("-", above=0.0)] = None,
    metal: bool = False,
) -> Array:
    """Load-enhancement factor on the loads of a fatigue test that runs fewer lifetimes than the life factor.

    Parameters
    ----------
    lifetimes : array_like
        Lifetimes that the test runs [-].
    basis : {"A", "B"}
        99 or 90 % of the fleet, with 95 % confidence.
    articles : int
        Test articles [-].
    life_shape, strength_shape : float
        Weibull shapes of the scatter in life and in residual strength; modal values of carbon laminates [-].
    static_reserve : float, optional
        Static strength of the article over the highest load of the spectrum, in the mode of failure of that load [-].
    metal : bool
        Whether metal parts are tested in the same article.

    Returns
    -------
    ndarray
        Factor on test loads, not on the sizing [-].

    Raises
    ------
    ValueError
        If the raised load passes the static strength, or would act on metal parts.

    Notes
    -----
    LEF = (NF / N)^(aL / aR), NF from `life_factor`; 1 where the test runs longer. Not valid where the raised load
    passes the static strength or changes the mode of failure, nor for metal parts of the same article: without
    `static_reserve` that remains to be shown.

    References
    ----------
    R. S. Whitehead and others, NADC-87042-60 and FAA AR-10/6, from memory.

    Examples
    --------
    >>> load_enhancement([1.0, 1.5, 2.0], basis="B").round(3)
    array([1.177, 1.148, 1.127])
    """
    factor = life_factor(basis=basis, articles=articles, life_shape=life_shape)
    raised = (factor / np.asarray(lifetimes)) ** (life_shape / strength_shape)
    out = np.asarray(np.maximum(raised, 1.0))
    highest, what = float(out.max()), "load_enhancement"
    if static_reserve is not None and highest >= static_reserve:
        limit = f"above the factor {highest:.4g}"
        reject(f"{what}: static_reserve [-]", f"{static_reserve:g}", limit, "test more lifetimes or articles")
    if metal and highest > 1.0:
        cause = "the scatter is that of laminates; test the metal parts apart, at the loads of service"
        reject(
            f"{what}: metal", f"metal parts under a factor of {highest:.4g}", "none, or a factor of 1", cause
        )
    return out


@checked
def rainflow(history: Annotated[ArrayLike, Limits("any", shape=(-1,))]) -> Array:
    """Count the cycles of a load or strain history by rainflow.

    Parameters
    ----------
    history : array_like, shape (point,)
        Values in the order in which they come, two at least [any].

    Returns
    -------
    ndarray, shape (range, 3)
        Range, mean [any] and count, 1 or 1/2 [-], in the order in which they close.

    Raises
    ------
    ValueError
        If there are fewer than two points.

    Notes
    -----
    Of the last three turning points, the earlier range is counted as soon as the later is not smaller: half a cycle if
    it holds the first point, else a whole one that is taken out. What remains counts as half cycles.

    References
    ----------
    ASTM E1049-85, section 5.4.4, from memory.

    Examples
    --------
    >>> rainflow([-2.0, 1.0, -3.0, 5.0, -1.0, 3.0, -4.0, 4.0, -2.0])[:, [0, 2]].tolist()
    [[3.0, 0.5], [4.0, 0.5], [4.0, 1.0], [8.0, 0.5], [9.0, 0.5], [8.0, 0.5], [6.0, 0.5]]
    """
    values = np.asarray(history)
    if values.size < 2:
        reject("rainflow: history", f"{values.size} points", "two at least")
    values = values[np.concatenate([[True], np.diff(values) != 0.0])]
    turns = np.concatenate([[True], np.diff(np.sign(np.diff(values))) != 0.0, [True]])[: values.size]
    stack: list[float] = []
    out: list[tuple[float, float, float]] = []
    for value in values[turns].tolist():
        stack.append(value)
        while len(stack) >= 3:
            later, earlier = abs(stack[-1] - stack[-2]), abs(stack[-2] - stack[-3])
            if later < earlier:
                break
            mean = (stack[-2] + stack[-3]) / 2.0
            if len(stack) == 3:
                out.append((earlier, mean, 0.5))
                del stack[0]
            else:
                out.append((earlier, mean, 1.0))
                del stack[-3:-1]
    out += [(abs(b - a), (a + b) / 2.0, 0.5) for a, b in itertools.pairwise(stack)]
    return np.array(out).reshape(-1, 3)


@checked
def no_growth_reserve(
    ranges: Annotated[ArrayLike, Limits("-", at_least=0.0, at_most=0.05, cause="in microstrain or percent?")],
    *,
    strain: Annotated[float, Limits("-", above=0.0, at_most=0.02, cause="in microstrain or percent?")],
) -> Array:
    """Reserve of repeated strain against growth of damage: no-growth strain over the largest size of each cycle.

    Parameters
    ----------
    ranges : array_like
        Largest size of the strain in each repeated cycle [-].
    strain : float
        No-growth strain of a test with the damage; without one, 0.6 of the static strain after impact is guidance [-].

    Returns
    -------
    ndarray
        Reserve factors; below 1 damage may grow [-].

    Notes
    -----
    No growth: the most severe repeated strain stays within the strain at which damage did not grow. The share of 0.6
    holds for 1e6 cycles at R = 10; it is guidance from memory.

    Examples
    --------
    >>> no_growth_reserve([0.0, 1.2e-3], strain=NO_GROWTH_SHARE * 4e-3).round(3)
    array([inf,  2.])
    """
    with np.errstate(divide="ignore"):
        return np.asarray(strain / np.asarray(ranges))
