"""Basis values of one sample by a distribution that the caller names, and the factors they need."""

from functools import cache
from pathlib import Path
from typing import Annotated, Literal

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, Limits, checked, reject
from materials.statistics.fit import weibull_fit
from materials.statistics.sample import PROPORTION, STRENGTHS, BasisLetter, Sample, scattering

Model = Literal["normal", "lognormal", "weibull", "nonparametric"]
WEIBULL_LEAST = 10  # where the table of the handbook begins

CONFIDENCE = 0.95


@checked
def basis_value(sample: Sample, *, basis: BasisLetter = "B", model: Model = "normal") -> Array:
    """A- or B-basis value: at 95 % confidence, 99 % or 90 % of the population lie above it.

    Parameters
    ----------
    sample : array_like, shape (..., n)
        Coupon values of one population, that is one batch or batches that may be pooled [any].
    basis : {"B", "A"}
        Kind of basis value.
    model : {"normal", "lognormal", "weibull", "nonparametric"}
        Distribution; `observed_significance` says whether it fits.

    Returns
    -------
    ndarray, shape (...)
        Basis value, in the unit of the sample [any].

    Raises
    ------
    ValueError
        If there are too few values (2; 10 for Weibull), or one is not positive where it must be.

    Notes
    -----
    Normal: mean - k s, k from `tolerance_factor`. Lognormal: the same of ln x.
    Weibull: scale (-ln p)^(1/shape) exp(-V / (shape sqrt(n))), p = 0.90 for B, 0.99 for A; V is tabulated for n = 10
    to 15, then V_B = 3.803 + exp(1.79 - 0.516 ln n + 5.1/n), V_A = 6.649 + exp(2.55 - 0.526 ln n + 4.76/n).
    Nonparametric: x_r, x sorted upward, with the largest r for which P(binomial(n, 1 - p) >= r) >= 0.95, where there
    are enough values (29 for B, 299 for A). Below, after Hanson and Koopmans, x_r (x_1 / x_r)^k with r and k from
    the tables (for A r = n, and a size between two of the table takes the larger k); ln F(ln x) must be concave, as
    it is for lognormal and Weibull strengths.

    References
    ----------
    MIL-HDBK-17-1F (2002), section 8.3.4, tables 8.5.8, 8.5.9 and 8.5.12 to 8.5.15.

    Examples
    --------
    >>> sample = [92.0, 95.0, 101.0, 104.0, 99.0, 97.0]
    >>> round(float(basis_value(sample)), 2)
    85.1
    >>> round(float(basis_value(sample, model="nonparametric")), 2)
    75.88
    """
    x = scattering(sample)
    if model != "normal" and not (model == "nonparametric" and basis_rank(x.shape[-1], basis)):
        STRENGTHS.hold("basis_value: sample [any]", x)
    if model == "normal":
        return _normal(x, basis)
    if model == "lognormal":
        return np.asarray(np.exp(_normal(np.log(x), basis)))
    return _weibull(x, basis) if model == "weibull" else _nonparametric(x, basis)


def _normal(x: Array, basis: BasisLetter) -> Array:
    k = tolerance_factor(x.shape[-1], basis=basis)
    return np.asarray(x.mean(-1) - k * x.std(-1, ddof=1))


def _weibull(x: Array, basis: BasisLetter) -> Array:
    n = x.shape[-1]
    if n < WEIBULL_LEAST:
        cause = f"the table for Weibull begins at {WEIBULL_LEAST}"
        reject("basis_value: sample: number of values [-]", n, f">= {WEIBULL_LEAST}", cause)
    scale, shape = weibull_fit(x)
    quantile = scale * (-np.log(PROPORTION[basis])) ** (1.0 / shape)
    return np.asarray(quantile * np.exp(-weibull_factor(n, basis) / (shape * np.sqrt(n))))


def _nonparametric(x: Array, basis: BasisLetter) -> Array:
    x, n = np.sort(x, axis=-1), x.shape[-1]
    if rank := basis_rank(n, basis):
        return np.asarray(x[..., rank - 1])
    factors = table(f"hanson_koopmans_{basis.lower()}")
    row = int(np.searchsorted(factors["n"], n, side="right")) - 1
    low, high = x[..., 0], x[..., (int(factors["r"][row]) if basis == "B" else n) - 1]
    return np.asarray(high * (low / high) ** factors["k"][row])


@checked
def tolerance_factor(
    n: Annotated[
        ArrayLike, Limits("-", at_least=2.0, whole=True, cause="one coupon does not show the scatter")
    ],
    *,
    basis: BasisLetter = "B",
    confidence: Annotated[float, Limits("-", above=0.0, below=1.0, cause="given in percent?")] = CONFIDENCE,
) -> Array:
    """Factor k for which mean - k s is a basis value of a normal sample.

    Parameters
    ----------
    n : array_like of int
        Number of values in the sample [-].
    basis : {"B", "A"}
        B leaves 90 % of the population above it, A 99 %.
    confidence : float
        Confidence of that statement [-].

    Returns
    -------
    ndarray
        k [-].

    Notes
    -----
    k sqrt(n) is the quantile, at the confidence, of the noncentral t distribution with n - 1 degrees of
    freedom and noncentrality z_p sqrt(n). The handbook tabulates the same number.

    References
    ----------
    MIL-HDBK-17-1F (2002), tables 8.5.10 and 8.5.11.

    Examples
    --------
    >>> tolerance_factor([10, 30]).round(3)
    array([2.355, 1.777])
    """
    size = np.asarray(n, dtype=float)
    return tolerance_of(size, size - 1.0, basis=basis, confidence=confidence)


def tolerance_of(
    n: Array, freedom: Array | float, *, basis: BasisLetter, confidence: float = CONFIDENCE
) -> Array:
    """Tolerance factor of a mean of n values with a scatter of that many degrees of freedom."""
    from scipy.special import ndtri
    from scipy.stats import nct

    root = np.sqrt(n)
    return np.asarray(nct.ppf(confidence, freedom, ndtri(PROPORTION[basis]) * root) / root)


def basis_rank(n: int, basis: BasisLetter) -> int:
    """Rank, from the lowest, of the value that is a basis value in a sample of n; 0 if the lowest is too high."""
    from scipy.stats import binom

    share = 1.0 - PROPORTION[basis]
    below = int(binom.ppf(1.0 - CONFIDENCE, n, share))
    ranks = np.arange(max(below - 1, 0), below + 3)
    return int(ranks[binom.sf(ranks - 1, n, share) >= CONFIDENCE].max(initial=0))


def weibull_factor(n: int, basis: BasisLetter) -> float:
    """Factor V of the Weibull basis value."""
    factors = table("weibull_factors")
    if n <= factors["n"][-1]:
        return float(factors[basis][factors["n"] == n][0])
    return weibull_formula(n, basis)


def weibull_formula(n: int, basis: BasisLetter) -> float:
    """Factor V beyond the table."""
    if basis == "B":
        return float(3.803 + np.exp(1.79 - 0.516 * np.log(n) + 5.1 / n))
    return float(6.649 + np.exp(2.55 - 0.526 * np.log(n) + 4.76 / n))


@cache
def table(name: str) -> dict[str, Array]:
    """Columns of a table of the handbook by their heading."""
    path = Path(__file__).parents[1] / "data" / f"{name}.csv"
    head, *rows = path.read_text(encoding="utf-8").split()
    columns = np.array([row.split(",") for row in rows], dtype=float).T
    columns.setflags(write=False)
    return dict(zip(head.split(","), columns, strict=True))
