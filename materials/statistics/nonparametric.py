"""Basis values that assume no distribution: a rank, or Hanson-Koopmans for small samples."""

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, number, reject, whole
from materials.statistics.sample import BasisLetter, checked_sample, proportion, table


def basis_rank(n: int, *, basis: BasisLetter = "B", confidence: float = 0.95) -> int:
    """Rank of the value that is a basis value in a sample of n, counted from the lowest.

    Parameters
    ----------
    n : int
        Number of values in the sample [-].
    basis : {"B", "A"}
        Kind of basis value.
    confidence : float
        Confidence of the basis value [-].

    Returns
    -------
    int
        The rank; 0 if even the lowest value is too high [-].

    Raises
    ------
    ValueError
        If n is not positive or the confidence not in (0, 1).

    Notes
    -----
    The largest r for which r values or more of n lie below the quantile with the wanted confidence:
    P(binomial(n, 1 - p) >= r) >= confidence.

    References
    ----------
    MIL-HDBK-17-1F (2002), section 8.3.4.5.1, tables 8.5.12 and 8.5.13.
    """
    from scipy.stats import binom

    size = whole("n [-]", n, at_least=1)
    gamma = number("confidence [-]", confidence, above=0.0, below=1.0, cause="given in percent?")
    share = 1.0 - proportion(basis)
    below = int(binom.ppf(1.0 - gamma, size, share))
    ranks = np.arange(max(below - 1, 0), below + 3)
    return int(ranks[binom.sf(ranks - 1, size, share) >= gamma].max(initial=0))


def rank_basis(sample: ArrayLike, *, basis: BasisLetter = "B") -> Array:
    """Nonparametric basis value: the sample value of the right rank.

    Parameters
    ----------
    sample : array_like, shape (..., n)
        Coupon values [any].
    basis : {"B", "A"}
        Kind of basis value.

    Returns
    -------
    ndarray, shape (...)
        Basis value, in the unit of the sample [any].

    Raises
    ------
    ValueError
        If n is below 29 for B or 299 for A.
    """
    x = checked_sample(sample)
    n = x.shape[-1]
    rank = basis_rank(n, basis=basis)
    if rank == 0:
        least = {"B": 29, "A": 299}[basis]
        reject("sample: number of values [-]", n, f">= {least} for the nonparametric {basis}-basis value")
    return np.asarray(np.sort(x, axis=-1)[..., rank - 1])


def hanson_koopmans_basis(sample: ArrayLike, *, basis: BasisLetter = "B") -> Array:
    """Basis value of a small sample after Hanson and Koopmans.

    Parameters
    ----------
    sample : array_like, shape (..., n)
        Coupon values, positive [any].
    basis : {"B", "A"}
        Kind of basis value.

    Returns
    -------
    ndarray, shape (...)
        Basis value, in the unit of the sample [any].

    Raises
    ------
    ValueError
        If n is above 28 for B or 298 for A, where a rank does the same, or a value is not positive.

    Notes
    -----
    x_r (x_1 / x_r)^k with x sorted upward, r and k from the tables; for A r = n, and a size between two of
    the table takes the larger k. The logarithm of the distribution function of ln x must be concave, as it
    is for lognormal and Weibull strengths.

    References
    ----------
    MIL-HDBK-17-1F (2002), section 8.3.4.5.2, tables 8.5.14 and 8.5.15.
    """
    x = np.sort(checked_sample(sample, above_zero=True), axis=-1)
    n = x.shape[-1]
    proportion(basis)
    factors = table(f"hanson_koopmans_{basis.lower()}")
    most = {"B": 28, "A": 298}[basis]
    if n > most:
        reject(
            "sample: number of values [-]", n, f"<= {most} for Hanson-Koopmans", "take the nonparametric rank"
        )
    row = int(np.searchsorted(factors["n"], n, side="right")) - 1
    rank = int(factors["r"][row]) if basis == "B" else n
    low, high = x[..., 0], x[..., rank - 1]
    return np.asarray(high * (low / high) ** factors["k"][row])
