"""Outliers, pooling, analysis of variance, and the whole procedure."""

import warnings

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from materials import basis_from_coupons, basis_value, tolerance_factor
from materials.statistics import (
    analyze_variance,
    critical_residual,
    k_sample_anderson_darling,
    levene,
    maximum_normed_residual,
    outliers,
)


def batches(k, n, *, shift=0.0, seed=1, mean=100.0, scatter=5.0):
    rng = np.random.default_rng(seed)
    return [rng.normal(mean + shift * i, scatter, n) for i in range(k)]


def test_outlier_is_found_and_then_the_next():
    sample = np.r_[np.linspace(98, 102, 15), 60.0, 150.0]
    assert outliers(sample) == (16, 15)
    assert outliers(np.linspace(98, 102, 15)) == ()
    assert outliers([5.0, 5.0, 5.0, 5.0, 9.0]) == (4,)


def test_residual_of_many_samples_is_the_loop():
    many = np.random.default_rng(0).normal(size=(3, 2, 8))
    whole = maximum_normed_residual(many)
    assert whole.shape == (3, 2)
    assert whole.ravel().tolist() == [float(maximum_normed_residual(row)) for row in many.reshape(-1, 8)]
    row = many[0, 0]
    assert whole[0, 0] == pytest.approx(np.abs(stats.zscore(row, ddof=1)).max(), rel=1e-14)


@pytest.mark.parametrize("n", [5, 12, 30])
def test_normal_sample_shows_an_outlier_one_time_in_twenty(n):
    samples = np.random.default_rng(n).normal(size=(20000, n))
    assert (maximum_normed_residual(samples) > critical_residual(n)).mean() == pytest.approx(0.05, abs=0.006)


@settings(deadline=None, max_examples=25)
@given(seed=st.integers(0, 10**6), k=st.integers(2, 6), digits=st.integers(0, 6))
def test_k_sample_statistic_is_the_general_one(seed, k, digits):
    groups = [np.round(one, digits) for one in batches(k, 7, shift=1.0, seed=seed)]
    test = k_sample_anderson_darling(groups)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the general one warns about p-values beyond its table
        general = stats.anderson_ksamp(groups)
    assert (test.statistic - 1) / test.standard_deviation == pytest.approx(
        general.statistic, rel=1e-9, abs=1e-9
    )
    critical = (test.critical - 1) / test.standard_deviation
    assert critical == pytest.approx(general.critical_values[3], rel=1e-9)
    assert test.same == (general.statistic <= general.critical_values[3])


def test_k_sample_statistic_has_mean_one():
    values = [k_sample_anderson_darling(batches(4, 6, seed=seed)).statistic for seed in range(600)]
    sigma = k_sample_anderson_darling(batches(4, 6)).standard_deviation
    assert np.mean(values) == pytest.approx(1.0, abs=4 * sigma / np.sqrt(600))
    assert np.std(values) == pytest.approx(sigma, rel=0.15)


@settings(deadline=None, max_examples=25)
@given(seed=st.integers(0, 10**6), sizes=st.lists(st.integers(3, 9), min_size=2, max_size=6))
def test_variance_ratio_and_levene_are_the_general_ones(seed, sizes):
    rng = np.random.default_rng(seed)
    groups = [rng.normal(100, 5, n) for n in sizes]
    result = analyze_variance(groups)
    general = stats.f_oneway(*groups)
    assert result.ratio == pytest.approx(general.statistic, rel=1e-9)
    assert result.p_value == pytest.approx(general.pvalue, rel=1e-8)
    assert levene(groups) == pytest.approx(stats.levene(*groups, center="median").pvalue, rel=1e-8)


def spread_means(groups, ratio):
    """Shift batches of equal size so that the ratio of mean squares becomes the given one."""
    centered = [one - one.mean() for one in groups]
    offset = np.linspace(-1.0, 1.0, len(groups))
    within = analyze_variance([one + i for i, one in enumerate(centered)]).within
    amplitude = np.sqrt(ratio * within * (len(groups) - 1) / (len(groups[0]) * (offset**2).sum()))
    return [100.0 + one + amplitude * x for one, x in zip(centered, offset, strict=True)]


def test_anova_factor_runs_from_all_values_to_batches():
    groups = batches(5, 6)
    for ratio, n in ((0.3, 30), (1.0, 30), (1e9, 5)):
        a = analyze_variance(spread_means(groups, ratio))
        T = (a.mean - a.basis_value()) / a.standard_deviation
        assert pytest.approx(float(tolerance_factor(n)), rel=2e-4) == T


def test_anova_standard_deviation_is_the_plain_one_for_like_batches():
    # Mean squares both equal s^2: S^2 = s^2/n' + (n'-1)/n' s^2.
    a = analyze_variance(spread_means(batches(5, 6), 1.0))
    assert a.standard_deviation**2 == pytest.approx(a.within, rel=1e-9)


def test_effective_size_of_equal_batches_is_their_size():
    assert analyze_variance(batches(5, 6)).effective_size == pytest.approx(6.0, rel=1e-14)
    unequal = analyze_variance([*batches(2, 3), *batches(1, 12, seed=9)])
    assert unequal.effective_size == pytest.approx((18 - (9 + 9 + 144) / 18) / 2, rel=1e-14)


@pytest.mark.parametrize("between", [0.0, 3.0, 8.0])
def test_anova_basis_value_is_safe(between):
    rng = np.random.default_rng(12)
    tenth = 100.0 + stats.norm.ppf(0.1) * np.hypot(between, 5.0)
    safe = [
        analyze_variance([rng.normal(100.0 + between * rng.normal(), 5.0, 6) for _ in range(5)]).basis_value()
        <= tenth
        for _ in range(400)
    ]
    assert np.mean(safe) >= 0.95 - 3.5 * np.sqrt(0.95 * 0.05 / 400)


QUANTILES = stats.norm.ppf((np.arange(200) + 0.5) / 200)  # the most normal sample there is


def as_table(groups):
    return np.concatenate(groups), [f"lot {i + 1}" for i, one in enumerate(groups) for _ in one]


def test_like_batches_are_pooled_and_weibull_comes_first():
    values, lots = as_table([100 * one for one in np.random.default_rng(8).weibull(20, (5, 6))])
    (result,) = basis_from_coupons(values, batch=lots)
    assert result.pooling.same
    assert result.chosen.model == "weibull"
    assert pytest.approx(float(basis_value(values, model="weibull")), rel=1e-14) == result.B
    assert pytest.approx(float(basis_value(values, basis="A", model="weibull")), rel=1e-14) == result.A
    assert [one.model for one in result.models] == [
        "weibull",
        "normal",
        "lognormal",
        "nonparametric",
        "anova",
    ]
    assert result.batches == tuple((f"lot {i}", 6) for i in range(1, 6))
    assert any("robust sampling" in step for step in result.steps)
    assert any("pooled" in step and "not pooled" not in step for step in result.steps)


@pytest.mark.parametrize(
    ("draw", "model"),
    [
        # right-skewed: a Weibull fit of strengths is left-skewed
        (lambda rng: 100 * np.exp(np.abs(rng.normal(0, 0.08, 200))), "nonparametric"),
        (lambda rng: 100 + 5 * QUANTILES, "normal"),
        (lambda rng: 100 * np.exp(0.3 * QUANTILES), "lognormal"),
    ],
)
def test_order_of_choice_goes_on_until_one_fits(draw, model):
    values = np.random.default_rng(3).permutation(draw(np.random.default_rng(3)))
    (result,) = basis_from_coupons(values, batch=np.repeat(np.arange(5), 40))
    assert result.pooling.same
    levels = {one.model: one.significance for one in result.models}
    assert result.chosen.model == model
    for before in ("weibull", "normal", "lognormal", "nonparametric"):
        if before == model:
            break
        assert levels[before] <= 0.05
        assert any(step.startswith(before) and "rejected" in step for step in result.steps)
    assert any(step.startswith(model) and "taken" in step for step in result.steps)


def test_different_batches_go_to_analysis_of_variance():
    values, lots = as_table(batches(5, 6, shift=8.0))
    (result,) = basis_from_coupons(values, batch=lots)
    assert not result.pooling.same
    assert result.chosen.model == "anova"
    assert result.anova.basis_value(basis="B") == result.B
    assert basis_value(values) > result.B
    assert any("not pooled" in step for step in result.steps)


def test_different_scatter_is_told():
    values, lots = as_table(
        [np.linspace(99, 101, 8), np.linspace(70, 130, 8) + 40, np.linspace(99, 101, 8) - 9]
    )
    (result,) = basis_from_coupons(values, batch=lots)
    assert any(step.startswith("Levene") for step in result.steps)


def test_outliers_are_named_and_kept():
    groups = batches(4, 8, scatter=1.0)
    groups[2][3] = 140.0
    values, lots = as_table(groups)
    (result,) = basis_from_coupons(values, batch=lots)
    assert ("lot 3", 140.0) in result.outliers
    assert (None, 140.0) in result.outliers
    assert 140.0 in result.values
    assert any("140" in step and "kept" in step for step in result.steps)


def test_conditions_are_apart_and_in_order():
    cold, hot = batches(3, 6, mean=120.0), batches(3, 6, mean=80.0, seed=2)
    values = np.r_[np.concatenate(hot), np.concatenate(cold)]
    lots = ["a"] * 6 + ["b"] * 6 + ["c"] * 6
    results = basis_from_coupons(values, batch=lots * 2, condition=["hot wet"] * 18 + ["cold dry"] * 18)
    assert [one.condition for one in results] == ["hot wet", "cold dry"]
    alone = basis_from_coupons(np.concatenate(cold), batch=lots)[0]
    assert results[1].B == alone.B
    assert results[1].steps == alone.steps
    assert alone.mean == pytest.approx(np.mean(cold))
    assert alone.variation == pytest.approx(np.std(cold, ddof=1) / np.mean(cold))


def test_few_coupons_of_one_batch():
    (result,) = basis_from_coupons([98.0, 101.0, 103.0], batch=["a"] * 3)
    assert (result.pooling, result.anova) == (None, None)
    assert result.chosen.model == "nonparametric"
    assert pytest.approx(103.0 * (98.0 / 103.0) ** 7.859) == result.B
    assert any("One batch" in step for step in result.steps)
    assert any("no distribution can be judged" in step for step in result.steps)
    assert any("fewer than the 18" in step for step in result.steps)
    assert "weibull" not in [one.model for one in result.models]


@pytest.mark.parametrize("values", [[98.0, 101.0], [98.0, 101.0, 97.0, 103.0, 100.0]])
def test_one_coupon_in_each_batch(values):
    (result,) = basis_from_coupons(values, batch=range(len(values)))
    assert (result.pooling, result.anova) == (None, None)
    assert any("cannot be compared" in step for step in result.steps)


def test_worthless_value_is_called_so():
    values, lots = as_table(batches(2, 6, shift=60.0))
    (result,) = basis_from_coupons(values, batch=lots)
    assert result.A < 0.0
    assert "not usable" in result.steps[-1]


def test_report_holds_all_steps():
    values, lots = as_table(batches(3, 6))
    (result,) = basis_from_coupons(values, batch=lots, condition=["room dry"] * 18)
    said = str(result).splitlines()
    assert said[0].startswith("room dry: 18 coupons (lot 1: 6, lot 2: 6, lot 3: 6), mean ")
    assert f"B-basis {result.B:.6g}, A-basis {result.A:.6g} by {result.chosen.model}" in said[1]
    assert [line.strip() for line in said[2:]] == list(result.steps)


def test_takes_columns_of_a_table():
    import pandas as pd

    values, lots = as_table(batches(3, 6))
    frame = pd.DataFrame({"value": values, "batch": lots})
    assert (
        basis_from_coupons(frame["value"], batch=frame["batch"])[0].B
        == basis_from_coupons(values, batch=lots)[0].B
    )


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: outliers([1.0, 2.0]), ">= 3"),
        (lambda: outliers([[1.0, 2.0, 3.0]]), "flat"),
        (lambda: outliers([1.0, 1.0, 1.0]), "equal values"),
        (lambda: critical_residual(2), ">= 3"),
        (lambda: critical_residual(3.5), "whole"),
        (lambda: critical_residual(5, significance=5.0), "percent"),
        (lambda: k_sample_anderson_darling([[1.0, 2.0, 3.0, 4.0]]), ">= 2"),
        (lambda: k_sample_anderson_darling([[1.0], [2.0, 3.0]]), ">= 4"),
        (lambda: k_sample_anderson_darling([[1.0, 1.0], [1.0, 1.0]]), "equal values"),
        (lambda: k_sample_anderson_darling(batches(2, 5), significance=0.03), "published"),
        (lambda: analyze_variance([[1.0], [2.0], [3.0]]), "one value in each"),
        (lambda: analyze_variance([[1.0, 1.0], [2.0, 2.0]]), "equal values within"),
        (lambda: levene([[1.0, 2.0], [2.0, 4.0]]), "three or more"),
        (lambda: basis_from_coupons([], batch=[]), "not empty"),
        (lambda: basis_from_coupons([[1.0, 2.0]], batch=["a", "a"]), "flat"),
        (lambda: basis_from_coupons([1.0, 2.0], batch=["a"]), "batch: length"),
        (lambda: basis_from_coupons([1.0, 2.0], batch=["a", "a"], condition=["dry"]), "condition: length"),
        (lambda: basis_from_coupons([1.0, np.nan], batch=["a", "a"]), "finite"),
        (lambda: basis_from_coupons([1.0, -2.0], batch=["a", "a"]), "> 0"),
        (
            lambda: basis_from_coupons([1.0, 2.0, 3.0], batch=["a"] * 3, condition=["x", "y", "y"]),
            "got 1, must be >= 2",
        ),
    ],
)
def test_refuses(call, message):
    with pytest.raises(ValueError, match=message):
        call()
