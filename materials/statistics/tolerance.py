"""One-sided tolerance factor of the normal distribution."""

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, array, number, reject
from materials.statistics.sample import BasisLetter, proportion


def tolerance_factor(n: ArrayLike, *, basis: BasisLetter = "B", confidence: float = 0.95) -> Array:
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

    Raises
    ------
    ValueError
        If n is no whole number of at least 2, or the confidence is not in (0, 1).

    Notes
    -----
    k sqrt(n) is the quantile, at the confidence, of the noncentral t distribution with n - 1 degrees of
    freedom and noncentrality z_p sqrt(n). The handbook tabulates the same number.

    References
    ----------
    MIL-HDBK-17-1F (2002), tables 8.5.10 and 8.5.11.
    """
    from scipy.special import ndtri
    from scipy.stats import nct

    size = array("n [-]", n)
    if np.any(size < 2.0) or np.any(size != np.floor(size)):
        reject("n [-]", f"{size.min():g}" if np.any(size < 2.0) else "a fraction", "whole and >= 2")
    gamma = number("confidence [-]", confidence, above=0.0, below=1.0, cause="given in percent?")
    root = np.sqrt(size)
    return np.asarray(nct.ppf(gamma, size - 1.0, ndtri(proportion(basis)) * root) / root)
