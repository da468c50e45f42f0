"""Outliers, pooling and analysis of variance, against the general ways of scipy and by drawing samples."""

import warnings

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats
from scipy.optimize import brentq

from materials import tolerance_factor
from materials.statistics import analyze_variance, k_sample_anderson_darling, levene, outliers
from materials.statistics.outliers import critical_residual, normed_residual


def batches(k, n, *, shift=0.0, seed=1, mean=100.0, scatter=5.0):
    rng = np.random.default_rng(seed)
    return [rng.normal(mean + shift * i, scatter, n) for i in range(k)]


def test_outlier_is_found_and_then_the_next():
    sample = np.r_[np.linspace(98, 102, 15), 60.0, 150.0]
    assert outliers(sample) == (16, 15)
    assert outliers(np.linspace(98, 102, 15)) == ()
    assert outliers([5.0, 5.0, 5.0, 5.0, 9.0]) == (4,)
    assert outliers([5.0, 5.0, 9.0]) == (2,)  # 2 / sqrt(3) = 1.1547 is above the critical 1.1543


@pytest.mark.parametrize(("share", "found"), [(0.999, ()), (1.001, (9,))])
def test_the_limit_of_an_outlier_is_the_printed_one(share, found):
    """MIL-HDBK-17-1F table 8.5.7, from memory: 2.290 for ten values at 0.05."""
    rest = np.linspace(98.0, 102.0, 9)
    far = brentq(lambda x: normed_residual(np.r_[rest, x]) - share * 2.2900, 103.0, 150.0)
    assert outliers(np.r_[rest, far]) == found


def test_residual_of_many_samples_is_the_loop():
    many = np.random.default_rng(0).normal(size=(3, 2, 8))
    whole = normed_residual(many)
    assert whole.shape == (3, 2)
    assert whole.ravel().tolist() == [float(normed_residual(row)) for row in many.reshape(-1, 8)]
    row = many[0, 0]
    assert whole[0, 0] == pytest.approx(np.abs(stats.zscore(row, ddof=1)).max(), rel=1e-14)


@pytest.mark.parametrize("n", [5, 12, 30])
def test_normal_sample_shows_an_outlier_one_time_in_twenty(n):
    samples = np.random.default_rng(n).normal(size=(20000, n))
    assert (normed_residual(samples) > critical_residual(n, 0.05)).mean() == pytest.approx(0.05, abs=0.006)


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


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: outliers([1.0, 2.0]), ">= 3"),
        (lambda: outliers([1.0, 1.0, 1.0]), "equal values"),
        (lambda: k_sample_anderson_darling([[1.0, 2.0, 3.0, 4.0]]), "at least 2"),
        (lambda: k_sample_anderson_darling([[1.0], [2.0, 3.0]]), ">= 4"),
        (lambda: k_sample_anderson_darling([[1.0, 1.0], [1.0, 1.0]]), "equal values"),
        (lambda: k_sample_anderson_darling(batches(2, 5), significance=0.03), "published"),
        (lambda: analyze_variance([[1.0, 2.0], []]), r"batches\[1\]: got no values"),
        (lambda: analyze_variance([[1.0], [2.0], [3.0]]), "one value in each"),
        (lambda: analyze_variance([[1.0, 1.0], [2.0, 2.0]]), "equal values within"),
        (lambda: levene([[1.0, 2.0], [2.0, 4.0]]), "three or more"),
    ],
)
def test_refuses(call, message):
    with pytest.raises(ValueError, match=message):
        call()
