"""How well a distribution fits a sample: Anderson-Darling and observed significance level."""

from typing import Literal, get_args

import numpy as np

from materials.checks import Array, checked, reject
from materials.statistics.sample import STRENGTHS, PositiveSample, Sample, scattering

Distribution = Literal["weibull", "normal", "lognormal"]
DISTRIBUTIONS: tuple[Distribution, ...] = get_args(Distribution)  # the handbook's order of choice
FIT_LEAST = 4  # below, the small-sample correction of the normal is negative
LEVEL = {"weibull": (-0.10, 1.24, 4.48), "normal": (-0.48, 0.78, 4.58), "lognormal": (-0.48, 0.78, 4.58)}


@checked
def weibull_fit(sample: PositiveSample) -> tuple[Array, Array]:
    """Maximum-likelihood fit of a two-parameter Weibull distribution.

    Parameters
    ----------
    sample : array_like, shape (..., n)
        Coupon values, positive [any].

    Returns
    -------
    scale, shape : ndarray, shape (...)
        The value that 36.8 % exceed, in the unit of the sample [any], and the shape parameter [-].

    Raises
    ------
    ValueError
        If there are fewer than 2 values, one is not positive, or all are equal.

    Notes
    -----
    The shape b solves sum(x^b ln x)/sum(x^b) - 1/b = mean(ln x), whose left side rises with b; the scale is
    mean(x^b)^(1/b).

    References
    ----------
    MIL-HDBK-17-1F (2002), section 8.3.4.2.

    Examples
    --------
    >>> scale, shape = weibull_fit([92.0, 95.0, 101.0, 104.0, 99.0])
    >>> round(float(scale), 1), round(float(shape), 1)
    (100.2, 26.9)
    """
    x = scattering(sample)
    y = np.log(x)
    # In units of the spread the shape is near 1.28, whatever the sample; powers of x over its largest value
    # do not overflow.
    spread = y.std(-1, keepdims=True)
    y = (y - y.max(-1, keepdims=True)) / spread
    mean = y.mean(-1, keepdims=True)
    b = np.full(mean.shape, 1.28)
    for _ in range(100):
        w = np.exp(b * y)
        w /= w.sum(-1, keepdims=True)
        first = (w * y).sum(-1, keepdims=True)
        second = (w * (y - first) ** 2).sum(-1, keepdims=True)
        step = (first - 1.0 / b - mean) / (second + 1.0 / b**2)
        b_next = np.clip(b - step, b / 2.0, 2.0 * b)
        converged = np.all(np.abs(b_next - b) <= 1e-13 * b)
        b = b_next
        if converged:
            break
    else:
        reject("weibull_fit: steps", 100, "fewer until convergence", "is the sample regular?")
    shape = (b / spread)[..., 0]
    largest = np.log(x).max(-1)
    scale = np.exp(largest + np.log(np.exp(b * y).mean(-1)) / shape)
    return np.asarray(scale), np.asarray(shape)


def anderson_darling(x: Array, distribution: Distribution) -> Array:
    """Anderson-Darling statistic of samples (..., n) from the distribution fitted to each."""
    from scipy.special import exprel, log_ndtr

    x = np.sort(x, axis=-1)
    if distribution == "weibull":
        scale, shape = weibull_fit(x)
        log_hazard = shape[..., None] * np.log(x / scale[..., None])
        hazard = np.exp(log_hazard)
        log_below, log_above = log_hazard + np.log(exprel(-hazard)), -hazard
    else:
        y = x if distribution == "normal" else np.log(x)
        z = (y - y.mean(-1, keepdims=True)) / y.std(-1, ddof=1, keepdims=True)
        log_below, log_above = log_ndtr(z), log_ndtr(-z)
    n = x.shape[-1]
    odd = 2.0 * np.arange(1, n + 1) - 1.0
    return np.asarray(-n - (odd / n * (log_below + log_above[..., ::-1])).sum(-1))


@checked
def observed_significance(sample: Sample, distribution: Distribution) -> Array:
    """Probability of a worse Anderson-Darling statistic if the distribution is right.

    Parameters
    ----------
    sample : array_like, shape (..., n)
        Coupon values, four or more [any].
    distribution : {"weibull", "normal", "lognormal"}
        The distribution to fit.

    Returns
    -------
    ndarray, shape (...)
        Observed significance level OSL; at 0.05 or below the handbook rejects the distribution [-].

    Raises
    ------
    ValueError
        If there are fewer than four values, one is not positive where it must be, or all are equal.

    Notes
    -----
    AD = -n - sum_i (2i-1)/n (ln F(x_i) + ln(1 - F(x_(n+1-i)))), x sorted upward.
    Weibull: AD* = (1 + 0.2/sqrt(n)) AD, OSL = 1 / (1 + exp(-0.10 + 1.24 ln AD* + 4.48 AD*)).
    Normal and lognormal: AD* = (1 + 4/n - 25/n^2) AD, OSL = 1 / (1 + exp(-0.48 + 0.78 ln AD* + 4.58 AD*)); the
    correction is negative below n = 4.

    References
    ----------
    MIL-HDBK-17-1F (2002), sections 8.3.4.2 to 8.3.4.4 (from memory).

    Examples
    --------
    >>> round(float(observed_significance([92.0, 95.0, 101.0, 104.0, 99.0], "normal")), 2)
    0.81
    """
    x = scattering(sample, least=FIT_LEAST)
    if distribution != "normal":
        STRENGTHS.hold("observed_significance: sample [any]", x)
    n = x.shape[-1]
    correction = 1.0 + 0.2 / np.sqrt(n) if distribution == "weibull" else 1.0 + 4.0 / n - 25.0 / n**2
    return significance_of(correction * anderson_darling(x, distribution), distribution)


def significance_of(statistic: Array, distribution: Distribution) -> Array:
    """Probability of a larger Anderson-Darling statistic, the statistic corrected for the sample size."""
    a, b, c = LEVEL[distribution]
    return np.asarray(1.0 / (1.0 + np.exp(np.minimum(a + b * np.log(statistic) + c * statistic, 700.0))))
