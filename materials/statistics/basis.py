"""Basis value of one sample by a distribution that the caller names."""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, reject, whole
from materials.statistics.fit import weibull_fit
from materials.statistics.nonparametric import basis_rank, hanson_koopmans_basis, rank_basis
from materials.statistics.sample import BasisLetter, checked_sample, proportion, table
from materials.statistics.tolerance import tolerance_factor

Model = Literal["normal", "lognormal", "weibull", "nonparametric"]
WEIBULL_LEAST = 10  # where the table of the handbook begins
MODELS: tuple[Model, ...] = ("normal", "lognormal", "weibull", "nonparametric")


def basis_value(sample: ArrayLike, *, basis: BasisLetter = "B", model: Model = "normal") -> Array:
    """A- or B-basis value: at 95 % confidence, 99 % or 90 % of the population lie above it.

    Parameters
    ----------
    sample : array_like, shape (..., n)
        Coupon values of one population, that is one batch or batches that may be pooled [any].
    basis : {"B", "A"}
        Kind of basis value.
    model : {"normal", "lognormal", "weibull", "nonparametric"}
        Distribution; `observed_significance` says whether it fits. Nonparametric is a rank where there
        are enough values (29 for B, 299 for A), and Hanson-Koopmans below.

    Returns
    -------
    ndarray, shape (...)
        Basis value, in the unit of the sample [any].

    Raises
    ------
    ValueError
        If there are too few values (2; 10 for Weibull), or one is not positive where it must be.

    References
    ----------
    MIL-HDBK-17-1F (2002), section 8.3.4.
    """
    if model == "normal":
        x = checked_sample(sample)
        k = tolerance_factor(x.shape[-1], basis=basis)
        return np.asarray(x.mean(-1) - k * x.std(-1, ddof=1))
    if model == "lognormal":
        return np.exp(basis_value(np.log(checked_sample(sample, above_zero=True)), basis=basis))
    if model == "weibull":
        return weibull_basis(sample, basis=basis)
    if model == "nonparametric":
        x = checked_sample(sample)
        by_rank = basis_rank(x.shape[-1], basis=basis) > 0
        return rank_basis(x, basis=basis) if by_rank else hanson_koopmans_basis(x, basis=basis)
    reject("model", repr(model), f"one of {', '.join(MODELS)}")


def weibull_factor(n: int, *, basis: BasisLetter = "B") -> float:
    """Factor V of the Weibull basis value.

    Parameters
    ----------
    n : int
        Number of values in the sample [-].
    basis : {"B", "A"}
        Kind of basis value.

    Returns
    -------
    float
        V [-].

    Raises
    ------
    ValueError
        If n is not whole, or below 10, where the table of the handbook begins.

    Notes
    -----
    Tabulated for n = 10 to 15; from 16 on V_B = 3.803 + exp(1.79 - 0.516 ln n + 5.1/n) and
    V_A = 6.649 + exp(2.55 - 0.526 ln n + 4.76/n).

    References
    ----------
    MIL-HDBK-17-1F (2002), tables 8.5.8 and 8.5.9.
    """
    proportion(basis)
    cause = f"the table for Weibull begins at {WEIBULL_LEAST}"
    n = whole("sample: number of values n [-]", n, at_least=WEIBULL_LEAST, cause=cause)
    factors = table("weibull_factors")
    if n <= factors["n"][-1]:
        return float(factors[basis][factors["n"] == n][0])
    return weibull_formula(n, basis)


def weibull_formula(n: int, basis: BasisLetter) -> float:
    """Factor V beyond the table.

    Parameters
    ----------
    n : int
        Number of values in the sample [-].
    basis : {"B", "A"}
        Kind of basis value.

    Returns
    -------
    float
        V [-].
    """
    if basis == "B":
        return float(3.803 + np.exp(1.79 - 0.516 * np.log(n) + 5.1 / n))
    return float(6.649 + np.exp(2.55 - 0.526 * np.log(n) + 4.76 / n))


def weibull_basis(sample: ArrayLike, *, basis: BasisLetter = "B") -> Array:
    """Basis value of a Weibull sample.

    Parameters
    ----------
    sample : array_like, shape (..., n)
        Coupon values, positive, ten or more [any].
    basis : {"B", "A"}
        Kind of basis value.

    Returns
    -------
    ndarray, shape (...)
        Basis value, in the unit of the sample [any].

    Raises
    ------
    ValueError
        If there are fewer than 10 values, or one is not positive.

    Notes
    -----
    scale (-ln p)^(1/shape) exp(-V / (shape sqrt(n))), p = 0.90 for B and 0.99 for A.
    """
    x = checked_sample(sample, above_zero=True)
    n = x.shape[-1]
    V = weibull_factor(n, basis=basis)
    scale, shape = weibull_fit(x)
    quantile = scale * (-np.log(proportion(basis))) ** (1.0 / shape)
    return np.asarray(quantile * np.exp(-V / (shape * np.sqrt(n))))
