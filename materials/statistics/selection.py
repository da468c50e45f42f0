"""From a table of coupons to basis values, in the handbook's order of choice, saying why."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, array, reject, sequence
from materials.statistics.basis import WEIBULL_LEAST, Model, basis_value
from materials.statistics.coupon_basis import CouponBasis, ModelBasis
from materials.statistics.fit import DISTRIBUTIONS, FIT_LEAST, observed_significance
from materials.statistics.outliers import outliers
from materials.statistics.pooling import KSampleTest, k_sample_anderson_darling
from materials.statistics.sample import checked_sample, scatters
from materials.statistics.variance import Anova, analyze_variance, levene

BLANK = ("", "none", "nan", "<na>", "nat")  # how an empty cell of a table reads as text
FITS = 0.05  # a distribution is kept if its observed significance level exceeds this


def basis_from_coupons(
    values: ArrayLike, *, batch: Sequence[object], condition: Sequence[object] | None = None
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
    """
    x = array("values [any]", values, last=(-1,))
    if x.ndim != 1 or x.size == 0:
        reject("values", f"shape {x.shape}", "flat and not empty")
    batches = _labels("batch", batch)
    conditions = ["all coupons"] * x.size if condition is None else _labels("condition", condition)
    for name, labels in (("batch", batches), ("condition", conditions)):
        if len(labels) != x.size:
            reject(f"{name}: length", len(labels), f"{x.size}, one label for each value")
    return tuple(
        _one_condition(one, *_rows(x, batches, [label == one for label in conditions]))
        for one in dict.fromkeys(conditions)
    )


def _labels(name: str, given: Sequence[object]) -> list[str]:
    """Labels as text; a blank cell of a table, which would make a batch of strangers, is refused."""
    labels = sequence(name, given, empty=True)
    for one in labels:
        if np.ndim(one) or isinstance(one, dict) or str(one).strip().lower() in BLANK:
            reject(f"{name}: label", repr(one), "text or a number", "a blank cell?")
    return [str(one) for one in labels]


def _rows(x: Array, batches: list[str], wanted: list[bool]) -> tuple[Array, list[str]]:
    return x[wanted], [one for one, want in zip(batches, wanted, strict=True) if want]


def _one_condition(condition: str, x: Array, labels: list[str]) -> CouponBasis:
    checked_sample(x, above_zero=True, what=f"values of condition '{condition}'")
    groups = {name: x[[label == name for label in labels]] for name in dict.fromkeys(labels)}
    steps = [_sampling(x.size, len(groups))]
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
    chosen = _choose(models, pooling, steps)
    if min(chosen.B, chosen.A) <= 0.0:
        steps.append("A basis value below zero says only that coupons or batches are too few: not usable.")
    return CouponBasis(
        condition=condition,
        values=checked_sample(x),
        batches=tuple((name, one.size) for name, one in groups.items()),
        outliers=found,
        pooling=pooling,
        anova=anova,
        models=tuple(models.values()),
        chosen=chosen,
        steps=tuple(steps),
    )


def _sampling(coupons: int, batches: int) -> str:
    said = f"{coupons} coupons, {batches} {'batch' if batches == 1 else 'batches'}"
    if coupons >= 30 and batches >= 5:
        return f"{said}: robust sampling for B-basis (30 coupons, 5 batches)."
    if coupons >= 18 and batches >= 3:
        return f"{said}: reduced sampling for B-basis (18 coupons, 3 batches)."
    return (
        f"{said}: fewer than the 18 coupons of 3 batches below which the handbook publishes no B-basis value."
    )


def _outliers(where: str, x: Array, steps: list[str]) -> list[float]:
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
            "One batch: the scatter between batches is unknown, and the values below do not hold it."
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
            "stands on weak ground; look for the cause."
        )
    return pooling, anova


def _choose(models: dict[str, ModelBasis], pooling: KSampleTest | None, steps: list[str]) -> ModelBasis:
    if pooling is not None and not pooling.same:
        steps.append("anova: taken, since it holds the scatter between batches.")
        return models["anova"]
    for model in DISTRIBUTIONS:
        if model not in models:
            continue
        level = models[model].significance
        if level is None:
            steps.append(f"{model}: too few coupons to see whether it fits.")
        elif level > FITS:
            steps.append(f"{model}: observed significance level {level:.3g} > 0.05, taken.")
            return models[model]
        else:
            steps.append(f"{model}: observed significance level {level:.3g} <= 0.05, rejected.")
    judged = any(models[model].significance is not None for model in DISTRIBUTIONS if model in models)
    reason = "no distribution fits" if judged else "no distribution can be judged"
    steps.append(f"nonparametric: taken, since {reason}.")
    return models["nonparametric"]
