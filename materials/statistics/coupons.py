"""From a table of coupons to basis values, in the handbook's order of choice, saying why."""

from collections.abc import Iterable, Sequence
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, Frozen, Items, Limits, Numbers, checked, reject
from materials.statistics.basis import WEIBULL_LEAST, Model, basis_value
from materials.statistics.batches import (
    Anova,
    KSampleTest,
    Number,
    Probability,
    analyze_variance,
    k_sample_anderson_darling,
    levene,
)
from materials.statistics.fit import DISTRIBUTIONS, FIT_LEAST, observed_significance
from materials.statistics.outliers import outliers
from materials.statistics.sample import BasisLetter, scattering, scatters
from materials.statistics.sampling import (
    FITS,
    SAMPLES,
    Sampling,
    modified_batches,
    modified_variation,
    sampling,
)

BLANK = ("", "none", "nan", "<na>", "nat")  # how an empty cell of a table reads as text


class ModelBasis(Frozen, eq=True):
    """Basis values of one model, chosen or not.

    Parameters
    ----------
    model : str
        weibull, normal, lognormal, nonparametric or anova.
    significance : float or None
        Observed significance level of the fit; None where none is defined [-].
    B, A : float
        Basis values, in the unit of the coupons [any].

    Examples
    --------
    >>> ModelBasis(model="normal", significance=0.4, B=85.0, A=75.0)
    ModelBasis(model='normal', significance=0.4, B=85.0, A=75.0)
    """

    model: str
    significance: Probability | None
    B: Number
    A: Number


class CouponBasis(Frozen):
    """Basis values of one condition, and how they came about: the result of `basis_from_coupons`.

    Parameters
    ----------
    condition : str
        The condition.
    values : array_like, shape (coupon,)
        The coupons [any].
    batches : iterable of (str, int)
        Name and number of coupons of each batch [-].
    outliers : iterable of (str or None, float)
        Batch and value of each outlier; the batch is None if it stands out of all batches together. None was
        removed [any].
    pooling : KSampleTest or None
        Test whether the batches may be pooled; None with one batch, or one coupon in each.
    anova : Anova or None
        Analysis of variance between batches; None if `pooling` is.
    models : iterable of ModelBasis
        Basis values by every model that has factors for so many coupons.
    chosen : ModelBasis
        The one the procedure ended with.
    steps : iterable of str
        What was done, and why.
    modified : ModelBasis, optional
        Basis values with the modified coefficient of variation, shown beside; None where the modified sample may not
        be pooled or is not normal.

    Examples
    --------
    >>> result, = basis_from_coupons([98.0, 101.0, 103.0], batch=["a"] * 3)
    >>> result.chosen.model, round(result.B, 2), result.batches
    ('nonparametric', 69.66, (('a', 3),))
    """

    condition: str
    values: Annotated[Numbers, Limits("any", shape=(-1,))]
    batches: Items[tuple[str, int]]
    outliers: Annotated[Items[tuple[str | None, float]], Limits("any", items=0)]
    pooling: KSampleTest | None
    anova: Anova | None
    models: Items[ModelBasis]
    chosen: ModelBasis
    steps: Items[str]
    modified: ModelBasis | None = None

    @property
    def B(self) -> float:
        """B-basis value by the chosen model, in the unit of the coupons [any]."""
        return self.chosen.B

    @property
    def A(self) -> float:
        """A-basis value by the chosen model, in the unit of the coupons [any]."""
        return self.chosen.A

    @property
    def mean(self) -> float:
        """Mean of all coupons, in their unit [any]."""
        return float(self.values.mean())

    @property
    def variation(self) -> float:
        """Coefficient of variation of all coupons, s / mean [-]."""
        return float(self.values.std(ddof=1) / self.values.mean())

    @checked
    def sampling(self, *, basis: BasisLetter) -> Sampling:
        """Tell whether the coupons are enough for an A- or B-basis, or the value is an estimate.

        Parameters
        ----------
        basis : {"A", "B"}
            Basis asked for.

        Returns
        -------
        Sampling
            The basis, or "estimate", and the reason in words.
        """
        return sampling(self.values.size, len(self.batches), basis=basis)

    def __str__(self) -> str:
        sizes = ", ".join(f"{name}: {size}" for name, size in self.batches)
        head = (
            f"{self.condition}: {self.values.size} coupons ({sizes}), mean {self.mean:.6g}, "
            f"coefficient of variation {100.0 * self.variation:.3g} %",
            f"B-basis {self.B:.6g}, A-basis {self.A:.6g} by {self.chosen.model}",
        )
        return "\n  ".join(head + self.steps)


@checked
def basis_from_coupons(
    values: Annotated[
        ArrayLike,
        Limits("any", shape=(-1,), above=0.0, cause="strengths are magnitudes, compression too"),
    ],
    *,
    batch: Sequence[object],
    condition: Sequence[object] | None = None,
) -> tuple[CouponBasis, ...]:
    """Derive A- and B-basis values from coupons, each condition by itself.

    Parameters
    ----------
    values : array_like, shape (coupon,)
        Strength or failure strain of each coupon, positive, in one unit [any].
    batch : sequence, length coupon
        Batch of each coupon.
    condition : sequence, length coupon, optional
        Condition of each coupon; one condition if it is left out.

    Returns
    -------
    tuple of CouponBasis
        One per condition, in order of appearance; its text is a report.

    Raises
    ------
    ValueError
        If the lengths differ, a label is blank, a value is not positive, or a condition has fewer than two
        values that scatter.

    Notes
    -----
    Outliers are looked for by the maximum normed residual in each batch, shown and kept. Batches are pooled
    if the k-sample Anderson-Darling test cannot tell them apart at 0.025. Pooled: the first of Weibull,
    normal and lognormal with an observed significance level above 0.05, else nonparametric. Not pooled:
    analysis of variance.

    References
    ----------
    MIL-HDBK-17-1F (2002), section 8.3 and figure 8.3.1 (from memory).

    Examples
    --------
    >>> values = [98.0, 101.0, 103.0, 97.0, 99.0, 104.0, 96.0, 100.0, 102.0, 98.5, 101.5, 99.5]
    >>> result, = basis_from_coupons(values, batch=list("AAAABBBBCCCC"), condition=["room dry"] * 12)
    >>> print(str(result).splitlines()[1].strip())
    B-basis 92.6265, A-basis 85.1437 by weibull
    >>> print(result.steps[-1])
    weibull: observed significance level 0.742 > 0.05, taken.
    """
    x = np.asarray(values)
    batches = _labels("batch", batch, x.size)
    conditions = ["all coupons"] * x.size if condition is None else _labels("condition", condition, x.size)
    rows = {one: [label == one for label in conditions] for one in conditions}
    return tuple(
        _one_condition(one, x[wanted], [name for name, want in zip(batches, wanted, strict=True) if want])
        for one, wanted in rows.items()
    )


def _labels(name: str, labels: Sequence[object], length: int) -> list[str]:
    """Labels as text; a blank cell of a table would make a batch of unrelated coupons, and is refused."""
    for one in labels:
        single = isinstance(one, str) or not isinstance(one, Iterable)
        if not single or str(one).strip().lower() in BLANK:
            reject(f"{name}: label", repr(one), "text or a number", "a blank cell?")
    if len(labels) != length:
        reject(f"{name}: length", len(labels), f"{length}, one label for each value")
    return [str(one) for one in labels]


def _one_condition(condition: str, x: Array, labels: list[str]) -> CouponBasis:
    scattering(x, what=f"values of condition '{condition}'")
    groups = {name: x[[label == name for label in labels]] for name in dict.fromkeys(labels)}
    steps = [f"{sampling(x.size, len(groups), basis=basis).said}." for basis in SAMPLES]
    found: tuple[tuple[str | None, float], ...] = tuple(
        (name, value) for name, one in groups.items() for value in _outliers(f"batch {name}", one, steps)
    )
    models = _models(x, steps)
    pooling, anova = _compare(list(groups.values()), steps)
    if anova is not None:
        B, A = anova.basis_value(basis="B"), anova.basis_value(basis="A")
        models["anova"] = ModelBasis(model="anova", significance=None, B=B, A=A)
    if pooling is not None and pooling.same:
        found += tuple((None, value) for value in _outliers("all batches together", x, steps))
    modified = _modified(list(groups.values()), steps)
    chosen = _choose(models, pooling, steps)
    if min(chosen.B, chosen.A) <= 0.0:
        steps.append("A basis value below zero says only that coupons or batches are too few: not usable.")
    return CouponBasis(
        condition=condition,
        values=x,
        batches=tuple((name, one.size) for name, one in groups.items()),
        outliers=found,
        pooling=pooling,
        anova=anova,
        models=models.values(),
        chosen=chosen,
        steps=steps,
        modified=modified,
    )


def _outliers(where: str, x: Array, steps: list[str]) -> list[float]:
    """Values of the outliers of some coupons; the step says what was found."""
    if x.size < 3 or not scatters(x):
        steps.append(f"{where}: fewer than three values that scatter, no look for outliers.")
        return []
    values = [float(x[i]) for i in outliers(x)]
    listed = ", ".join(f"{value:.6g}" for value in values)
    verdict = f"outliers {listed}, kept; look for the cause" if values else "no outliers"
    steps.append(f"{where}: {verdict} (maximum normed residual at 0.05).")
    return values


def _models(x: Array, steps: list[str]) -> dict[str, ModelBasis]:
    """Basis values by the models of one population, in the order of choice."""
    wanted: list[Model] = [*DISTRIBUTIONS, "nonparametric"]
    if x.size < WEIBULL_LEAST:
        wanted.remove("weibull")
        steps.append(f"weibull: left out, its factors begin at {WEIBULL_LEAST} coupons.")
    models: dict[str, ModelBasis] = {}
    for model in wanted:
        significance = None
        if model != "nonparametric" and x.size >= FIT_LEAST:
            significance = float(observed_significance(x, model))
        B, A = (float(basis_value(x, basis=letter, model=model)) for letter in ("B", "A"))
        models[model] = ModelBasis(model=model, significance=significance, B=B, A=A)
    return models


def _compare(groups: list[Array], steps: list[str]) -> tuple[KSampleTest | None, Anova | None]:
    """Tell whether batches differ, and by how much."""
    if len(groups) == 1:
        steps.append(
            "One batch: the scatter between batches is unknown, and the values below do not include it."
        )
        return None, None
    coupons = sum(one.size for one in groups)
    if coupons < 4 or coupons == len(groups):
        steps.append("Fewer than four coupons, or one in each batch: batches cannot be compared.")
        return None, None
    pooling = k_sample_anderson_darling(groups)
    verdict = "pooled" if pooling.same else "not pooled"
    steps.append(
        f"k-sample Anderson-Darling {pooling.statistic:.4g}, critical {pooling.critical:.4g} at 0.025: "
        f"batches {verdict}."
    )
    anova = analyze_variance(groups)
    if not pooling.same and max(one.size for one in groups) > 2 and (p := levene(groups)) <= FITS:
        steps.append(
            f"Levene {p:.3g} <= 0.05: the batches scatter differently, so that analysis of variance "
            "is doubtful; look for the cause."
        )
    return pooling, anova


def _modified(groups: list[Array], steps: list[str]) -> ModelBasis | None:
    """Normal basis values with the modified scatter; None where its sample may not be pooled or is not normal."""
    x = np.concatenate(groups)
    cv = float(x.std(ddof=1) / x.mean())
    said = "modified coefficient of variation"
    if not 0.0 < cv < 1.0:
        return None
    spread = modified_batches(groups)
    if spread is None:
        steps.append(f"{said}: left out, no scatter within the batches.")
        return None
    if x.size < FIT_LEAST:
        steps.append(f"{said}: left out, too few coupons to judge it.")
        return None
    if len(groups) > 1 and x.size > len(groups) and not k_sample_anderson_darling(spread).same:
        steps.append(f"{said}: left out, its batches may not be pooled.")
        return None
    y = np.concatenate(spread)
    level = float(observed_significance(y, "normal"))
    if level <= FITS:
        steps.append(f"{said}: left out, its sample is not normal ({level:.3g} <= 0.05).")
        return None
    B, A = (float(basis_value(y, basis=letter)) for letter in ("B", "A"))
    changed = float(modified_variation(cv))
    steps.append(f"{said}: {100 * cv:.3g} % becomes {100 * changed:.3g} %, B-basis {B:.6g}, A-basis {A:.6g}.")
    return ModelBasis(model="normal, modified", significance=level, B=B, A=A)


def _choose(models: dict[str, ModelBasis], pooling: KSampleTest | None, steps: list[str]) -> ModelBasis:
    """The model that the procedure takes; the steps say why."""
    if pooling is not None and not pooling.same:
        steps.append("anova: taken, since it includes the scatter between batches.")
        return models["anova"]
    judged = False
    for model in DISTRIBUTIONS:
        if model not in models:
            continue
        level = models[model].significance
        if level is None:
            steps.append(f"{model}: too few coupons to see whether it fits.")
            continue
        judged = True
        if level > FITS:
            steps.append(f"{model}: observed significance level {level:.3g} > 0.05, taken.")
            return models[model]
        steps.append(f"{model}: observed significance level {level:.3g} <= 0.05, rejected.")
    reason = "no distribution fits" if judged else "no distribution can be judged"
    steps.append(f"nonparametric: taken, since {reason}.")
    return models["nonparametric"]
