"""Tolerance factors, fits, nonparametric and named basis values."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy import stats
from scipy.linalg import expm

from materials import basis_value, tolerance_factor
from materials.statistics import (
    anderson_darling,
    basis_rank,
    hanson_koopmans_basis,
    observed_significance,
    rank_basis,
    significance_of,
    weibull_basis,
    weibull_factor,
    weibull_fit,
)
from materials.statistics.sample import checked_batches, checked_sample, table

DRAWS = 8000
STANDARD_ERROR = np.sqrt(0.95 * 0.05 / DRAWS)


def draws(n, kind, seed=5):
    """Return samples of a population, and its 10 % and 1 % quantiles."""
    rng = np.random.default_rng(seed)
    if kind == "normal":
        return rng.normal(100, 6, (DRAWS, n)), stats.norm(100, 6).ppf([0.1, 0.01])
    if kind == "lognormal":
        return np.exp(rng.normal(0, 0.1, (DRAWS, n))), np.exp(0.1 * stats.norm.ppf([0.1, 0.01]))
    if kind == "weibull":
        return rng.weibull(18, (DRAWS, n)), stats.weibull_min(18).ppf([0.1, 0.01])
    return rng.exponential(1, (DRAWS, n)), stats.expon.ppf([0.1, 0.01])


@pytest.mark.parametrize("model", ["normal", "lognormal", "weibull"])
@pytest.mark.parametrize("n", [10, 15, 16, 30])
@pytest.mark.parametrize("basis", ["B", "A"])
def test_confidence_is_95_percent_if_the_model_is_right(model, n, basis):
    # Independent second way to factors and tables: the share of samples whose basis value is safe.
    samples, quantiles = draws(n, model)
    safe = (basis_value(samples, basis=basis, model=model) <= quantiles["BA".index(basis)]).mean()
    assert safe == pytest.approx(0.95, abs=4 * STANDARD_ERROR)


@pytest.mark.parametrize("kind", ["normal", "lognormal", "weibull", "exponential"])
@pytest.mark.parametrize("n", [2, 5, 12, 28])
def test_hanson_koopmans_is_safe_whatever_the_distribution(kind, n):
    samples, (tenth, _) = draws(n, kind)
    assert (hanson_koopmans_basis(np.abs(samples)) <= tenth).mean() >= 0.95 - 4 * STANDARD_ERROR


def hanson_koopmans_confidence(k, n, r, p):
    """Return the confidence of the bound where ln F is linear in ln x, the worst case of its class.

    There -ln F of the ordered values are ordered exponentials E, and the bound holds if
    E_(n-r+1) + k (E_(n) - E_(n-r+1)) >= -ln p: a sum of independent exponentials of known rates.
    """
    rates = np.array([i if i >= r else i / k for i in range(n, 0, -1)], dtype=float)
    generator = np.diag(-rates) + np.diag(rates[:-1], 1)
    return expm(generator * -np.log(p))[0].sum()


@pytest.mark.parametrize("row", range(27))
def test_hanson_koopmans_b_factors_are_exact_to_their_last_digit(row):
    factors = table("hanson_koopmans_b")
    n, r, k = int(factors["n"][row]), int(factors["r"][row]), factors["k"][row]
    assert (
        hanson_koopmans_confidence(k - 0.00051, n, r, 0.1)
        < 0.95
        < hanson_koopmans_confidence(k + 0.00051, n, r, 0.1)
    )


@pytest.mark.parametrize("row", range(16))
def test_hanson_koopmans_a_factors_are_exact_to_their_last_digit(row):
    factors = table("hanson_koopmans_a")
    n, k = int(factors["n"][row]), factors["k"][row]
    low, high = (hanson_koopmans_confidence(k * (1 + d), n, n, 0.01) for d in (-6e-6, 6e-6))
    assert low < 0.95 < high


@settings(deadline=None, max_examples=40)
@given(n=st.integers(2, 400))
def test_rank_is_the_largest_safe_one(n):
    for basis, share in (("B", 0.1), ("A", 0.01)):
        rank = basis_rank(n, basis=basis)
        assert stats.binom.sf(rank - 1, n, share) >= 0.95
        assert stats.binom.sf(rank, n, share) < 0.95


def test_rank_basis_is_that_value():
    sample = np.random.default_rng(3).permutation(np.arange(46.0) + 100.0)
    assert rank_basis(sample) == 101.0
    assert basis_value(sample, model="nonparametric") == 101.0
    assert basis_value(sample[:29], model="nonparametric") == sample[:29].min()


def test_small_nonparametric_sample_is_hanson_koopmans():
    sample = np.array([92.0, 95.0, 101.0, 104.0, 99.0])
    # n = 5: r = 4, k = 4.101 (handbook table 8.5.14)
    assert basis_value(sample, model="nonparametric") == pytest.approx(
        101.0 * (92.0 / 101.0) ** 4.101, rel=1e-14
    )
    # A: r = n, k = 6.89049
    assert hanson_koopmans_basis(sample, basis="A") == pytest.approx(
        104.0 * (92.0 / 104.0) ** 6.89049, rel=1e-14
    )


def test_untabulated_size_takes_the_larger_factor():
    sample = np.linspace(90.0, 110.0, 12)
    assert hanson_koopmans_basis(sample, basis="A") == pytest.approx(
        110.0 * (90.0 / 110.0) ** 3.57267, rel=1e-14
    )


@settings(deadline=None, max_examples=25)
@given(
    seed=st.integers(0, 10**6), shape=st.floats(1.0, 80.0), scale=st.floats(1e-3, 1e9), n=st.integers(4, 60)
)
def test_weibull_fit_is_the_general_one(seed, shape, scale, n):
    x = scale * np.random.default_rng(seed).weibull(shape, n)
    a, b = weibull_fit(x)
    log = np.log(x / x.max())
    # stationary likelihood in both parameters
    w = np.exp(b * log)
    assert (w * log).sum() / w.sum() - 1 / b == pytest.approx(log.mean(), abs=1e-9 * (1 + abs(log.mean())))
    assert ((x / a) ** b).mean() == pytest.approx(1.0, rel=1e-9)
    best = stats.weibull_min.logpdf(x, b, 0, a).sum()
    for db, da in ((1.01, 1.0), (0.99, 1.0), (1.0, 1.003), (1.0, 0.997)):
        assert stats.weibull_min.logpdf(x, b * db, 0, a * da).sum() < best


@pytest.mark.parametrize("distribution", ["normal", "lognormal"])
def test_anderson_darling_is_the_general_one(distribution):
    x = np.random.default_rng(2).normal(100, 5, 25)
    y = x if distribution == "normal" else np.log(x)
    z = (y - y.mean()) / y.std(ddof=1)
    general = stats.goodness_of_fit(
        stats.norm, z, known_params={"loc": 0.0, "scale": 1.0}, statistic="ad", n_mc_samples=1
    ).statistic
    assert anderson_darling(x, distribution) == pytest.approx(general, rel=1e-10)


def test_anderson_darling_of_weibull_is_the_general_one():
    x = np.random.default_rng(2).weibull(20, 25)
    scale, shape = weibull_fit(x)
    known = {"c": float(shape), "loc": 0.0, "scale": float(scale)}
    general = stats.goodness_of_fit(
        stats.weibull_min, x, known_params=known, statistic="ad", n_mc_samples=1
    ).statistic
    assert anderson_darling(x, "weibull") == pytest.approx(general, rel=1e-10)


@pytest.mark.parametrize("distribution", ["weibull", "normal", "lognormal"])
@pytest.mark.parametrize("n", [10, 18, 40])
def test_a_right_distribution_is_rejected_one_time_in_twenty(distribution, n):
    # The handbook's fit of the level is good to about 0.015 there.
    samples, _ = draws(n, distribution)
    assert (observed_significance(samples, distribution) <= 0.05).mean() == pytest.approx(0.05, abs=0.02)


@pytest.mark.parametrize("n", [5, 10, 40])
def test_level_corrects_for_the_size_of_the_sample(n):
    # MIL-HDBK-17-1F sections 8.3.4.2 and 8.3.4.3, written out, from memory
    x = np.random.default_rng(n).normal(100, 5, n)
    weibull, normal = (
        anderson_darling(x, "weibull") * (1 + 0.2 / n**0.5),
        anderson_darling(x, "normal") * (1 + 4 / n - 25 / n**2),
    )
    assert observed_significance(x, "weibull") == pytest.approx(
        1 / (1 + weibull**1.24 * np.exp(4.48 * weibull - 0.10))
    )
    assert observed_significance(x, "normal") == pytest.approx(
        1 / (1 + normal**0.78 * np.exp(4.58 * normal - 0.48))
    )


def test_a_wrong_distribution_is_seen():
    x = np.r_[np.random.default_rng(1).normal(100, 2, 20), np.random.default_rng(2).normal(140, 2, 20)]
    for distribution in ("weibull", "normal", "lognormal"):
        assert observed_significance(x, distribution) < 0.01
    assert significance_of(300.0, "normal") >= 0.0


def test_extreme_low_value_does_not_break_the_fit():
    x = np.r_[1e-6, np.linspace(99.0, 101.0, 12)]
    assert np.isfinite(observed_significance(x, "weibull"))
    assert np.isfinite(anderson_darling(np.r_[1e-200, np.ones(9), 1.1], "weibull"))


SAMPLE = np.random.default_rng(4).normal(100.0, 5.0, 20)


@pytest.mark.parametrize("model", ["normal", "lognormal", "weibull", "nonparametric"])
@pytest.mark.parametrize("basis", ["B", "A"])
def test_unit_and_order_of_the_sample(model, basis):
    value = basis_value(SAMPLE, basis=basis, model=model)
    assert basis_value(6.894757e6 * SAMPLE[::-1], basis=basis, model=model) == pytest.approx(
        6.894757e6 * value, rel=1e-9
    )
    assert value < SAMPLE.mean()


@pytest.mark.parametrize("model", ["normal", "lognormal", "weibull", "nonparametric"])
def test_a_is_below_b(model):
    assert basis_value(SAMPLE, basis="A", model=model) < basis_value(SAMPLE, basis="B", model=model)


@pytest.mark.parametrize("model", ["normal", "lognormal", "weibull", "nonparametric"])
def test_many_samples_are_the_loop(model):
    many = np.random.default_rng(6).normal(100, 5, (2, 3, 12))
    whole = basis_value(many, model=model)
    assert whole.shape == (2, 3)
    loop = [float(basis_value(row, model=model)) for row in many.reshape(-1, 12)]
    assert_allclose(whole.ravel(), loop, rtol=1e-12)


def test_tolerance_factor_broadcasts_and_tends_to_the_quantile():
    k = tolerance_factor([[2, 10], [100, 10**6]])
    assert k.shape == (2, 2)
    assert k[0, 1] == tolerance_factor(10)
    assert k[1, 1] == pytest.approx(stats.norm.ppf(0.9), abs=3e-3)
    assert tolerance_factor(10, confidence=0.5) < tolerance_factor(10)


@pytest.mark.parametrize(("basis", "quantile"), [("B", 0.9), ("A", 0.99)])
def test_weibull_factor_falls_from_table_to_formula(basis, quantile):
    V = [weibull_factor(n, basis=basis) for n in range(10, 60)]
    assert (np.diff(V) < 0.0).all()


def test_sample_is_not_changed():
    x = SAMPLE.copy()
    weibull_basis(x)
    anderson_darling(x, "normal")
    assert (x == SAMPLE).all()


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: basis_value([]), "number of values.*got 0"),
        (lambda: basis_value([100.0]), "got 1, must be >= 2"),
        (lambda: basis_value(100.0), "shape"),
        (lambda: basis_value([100.0, np.nan, 90.0]), "finite"),
        (lambda: basis_value(["a", "b"]), "numbers"),
        (lambda: basis_value([100.0, 100.0, 100.0]), "equal values"),
        (lambda: basis_value([100.0, 0.0], model="lognormal"), "> 0"),
        (lambda: basis_value([100.0, -90.0, 80.0], model="nonparametric"), "> 0"),
        (lambda: basis_value(SAMPLE[:9], model="weibull"), ">= 10; the table for Weibull"),
        (lambda: basis_value(SAMPLE, model="gamma"), "one of normal"),
        (lambda: basis_value(SAMPLE, basis="C"), "'A' or 'B'"),
        (lambda: basis_value(SAMPLE, basis="C", model="weibull"), "'A' or 'B'"),
        (lambda: basis_value(SAMPLE, basis="C", model="nonparametric"), "'A' or 'B'"),
        (lambda: rank_basis(SAMPLE), ">= 29"),
        (lambda: rank_basis(SAMPLE, basis="A"), ">= 299"),
        (lambda: hanson_koopmans_basis(np.arange(1.0, 30.0)), "<= 28"),
        (lambda: hanson_koopmans_basis(np.arange(1.0, 300.0), basis="A"), "<= 298"),
        (lambda: basis_rank(28.5), "whole"),
        (lambda: basis_rank(0), ">= 1"),
        (lambda: tolerance_factor(1), ">= 2"),
        (lambda: tolerance_factor(2.5), "whole"),
        (lambda: tolerance_factor(5, confidence=95.0), "percent"),
        (lambda: observed_significance(SAMPLE[:3], "normal"), ">= 4"),
        (lambda: anderson_darling(SAMPLE, "gamma"), "one of weibull"),
        (lambda: significance_of(0.0, "normal"), "> 0"),
        (lambda: significance_of(1.0, "gamma"), "one of weibull"),
        (lambda: weibull_factor(10.5), "whole"),
        (lambda: weibull_factor(float("nan")), "finite"),
        (lambda: checked_batches([[1.0, 2.0]]), ">= 2"),
        (lambda: checked_batches([[1.0, 2.0], []]), "batch 2"),
        (lambda: checked_batches([[[1.0, 2.0]], [1.0]]), "batch 1"),
        (lambda: checked_sample(np.ones((0, 5))), "got 0"),
    ],
)
def test_refuses(call, message):
    with pytest.raises(ValueError, match=message):
        call()
