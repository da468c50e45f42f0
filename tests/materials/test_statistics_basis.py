"""Tolerance factors, and basis values by a named distribution."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy import stats
from scipy.linalg import expm

from materials import basis_value, tolerance_factor
from materials.statistics.basis import basis_rank, table, weibull_factor

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
    assert (basis_value(np.abs(samples), model="nonparametric") <= tenth).mean() >= 0.95 - 4 * STANDARD_ERROR


def hanson_koopmans_confidence(k, n, r, p):
    """Return the confidence of the bound where ln F is linear in ln x, the worst case of its class.

    There -ln F of the ordered values are ordered exponentials E, and the bound holds if
    E_(n-r+1) + k (E_(n) - E_(n-r+1)) >= -ln p: a sum of independent exponentials of known rates.
    """
    rates = np.array([i if i >= r else i / k for i in range(n, 0, -1)], dtype=float)
    generator = np.diag(-rates) + np.diag(rates[:-1], 1)
    return expm(generator * -np.log(p))[0].sum()


def test_hanson_koopmans_factors_are_exact_to_their_last_digit():
    b, a = table("hanson_koopmans_b"), table("hanson_koopmans_a")
    rows = [
        (k - 0.00051, k + 0.00051, int(n), int(r), 0.1)
        for n, r, k in zip(b["n"], b["r"], b["k"], strict=True)
    ]
    rows += [
        (k * (1 - 6e-6), k * (1 + 6e-6), int(n), int(n), 0.01)
        for n, k in zip(a["n"][:16], a["k"][:16], strict=True)
    ]
    assert len(rows) == 27 + 16
    for low, high, n, r, p in rows:
        assert hanson_koopmans_confidence(low, n, r, p) < 0.95 < hanson_koopmans_confidence(high, n, r, p)


@settings(deadline=None, max_examples=40)
@given(n=st.integers(2, 400))
def test_rank_is_the_largest_safe_one(n):
    for basis, share in (("B", 0.1), ("A", 0.01)):
        rank = basis_rank(n, basis)
        assert stats.binom.sf(rank - 1, n, share) >= 0.95
        assert stats.binom.sf(rank, n, share) < 0.95


def test_rank_basis_is_that_value():
    sample = np.random.default_rng(3).permutation(np.arange(46.0) + 100.0)
    assert basis_value(sample, model="nonparametric") == 101.0
    assert basis_value(sample[:29], model="nonparametric") == sample[:29].min()


def test_small_nonparametric_sample_is_hanson_koopmans():
    sample = np.array([92.0, 95.0, 101.0, 104.0, 99.0])
    # n = 5: r = 4, k = 4.101 (handbook table 8.5.14)
    assert basis_value(sample, model="nonparametric") == pytest.approx(
        101.0 * (92.0 / 101.0) ** 4.101, rel=1e-14
    )
    # A: r = n, k = 6.89049
    assert basis_value(sample, basis="A", model="nonparametric") == pytest.approx(
        104.0 * (92.0 / 104.0) ** 6.89049, rel=1e-14
    )


def test_untabulated_size_takes_the_larger_factor():
    sample = np.linspace(90.0, 110.0, 12)
    assert basis_value(sample, basis="A", model="nonparametric") == pytest.approx(
        110.0 * (90.0 / 110.0) ** 3.57267, rel=1e-14
    )


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


@pytest.mark.parametrize("basis", ["B", "A"])
def test_weibull_factor_falls_from_table_to_formula(basis):
    V = [weibull_factor(n, basis) for n in range(10, 60)]
    assert (np.diff(V) < 0.0).all()


def test_sample_is_not_changed():
    x = SAMPLE.copy()
    for model in ("normal", "weibull", "nonparametric"):
        basis_value(x, model=model)
    assert (x == SAMPLE).all()


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: basis_value([]), "number of values.*got 0"),
        (lambda: basis_value([100.0]), "got 1, must be >= 2"),
        (lambda: basis_value(np.ones((0, 5))), "got 0"),
        (lambda: basis_value([100.0, 100.0, 100.0]), "equal values"),
        (lambda: basis_value([100.0, 0.0], model="lognormal"), "> 0"),
        (lambda: basis_value([100.0, -90.0, 80.0], model="nonparametric"), "> 0"),
        (lambda: basis_value([100.0, -90.0] * 6, model="weibull"), "> 0"),
        (lambda: basis_value(SAMPLE[:9], model="weibull"), ">= 10; the table for Weibull"),
    ],
)
def test_refuses(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def test_only_a_rank_and_the_normal_take_values_below_zero():
    below = np.arange(-20.0, 20.0)
    assert basis_value(below, model="nonparametric") == -20.0
    assert basis_value(below) < -20.0
