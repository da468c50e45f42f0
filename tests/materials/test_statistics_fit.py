"""How well a distribution fits, against the general ways of scipy and by drawing samples."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from materials.statistics import observed_significance, weibull_fit
from materials.statistics.fit import anderson_darling, significance_of


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
    rng = np.random.default_rng(5)
    samples = {
        "normal": rng.normal(100, 6, (8000, n)),
        "lognormal": np.exp(rng.normal(0, 0.1, (8000, n))),
        "weibull": rng.weibull(18, (8000, n)),
    }[distribution]
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


def test_refuses():
    x = np.linspace(90.0, 110.0, 20)
    with pytest.raises(ValueError, match="got 3, must be >= 4"):
        observed_significance(x[:3], "normal")
    for distribution in ("weibull", "lognormal"):
        with pytest.raises(ValueError, match=r"sample.*> 0.*magnitudes"):
            observed_significance(x - 100.0, distribution)
    assert 0.0 < observed_significance(x - 100.0, "normal") < 1.0
    assert np.isfinite(observed_significance(x[:4], "normal"))
    with pytest.raises(ValueError, match="equal values only"):
        weibull_fit([100.0, 100.0])
