"""Outliers by the maximum normed residual."""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, Limits, checked
from materials.statistics.sample import FlatSample, Sample, scattering, scatters

Significance = Annotated[float, Limits("-", above=0.0, below=1.0, cause="given in percent?")]


@checked
def maximum_normed_residual(sample: Sample) -> Array:
    """Largest distance from the mean, in standard deviations.

    Parameters
    ----------
    sample : array_like, shape (..., n)
        Coupon values [any].

    Returns
    -------
    ndarray, shape (...)
        max |x - mean| / s [-].

    Raises
    ------
    ValueError
        If there are fewer than 3 values, or all are equal.

    Examples
    --------
    >>> round(float(maximum_normed_residual([98.0, 99.0, 100.0, 101.0, 90.0])), 3)
    1.738
    """
    return _residual(scattering(sample, least=3))


def _residual(x: Array) -> Array:
    return np.asarray(np.abs(x - x.mean(-1, keepdims=True)).max(-1) / x.std(-1, ddof=1))


@checked
def critical_residual(
    n: Annotated[
        ArrayLike,
        Limits("-", at_least=3.0, whole=True, cause="two values are equally far from their mean"),
    ],
    *,
    significance: Significance = 0.05,
) -> Array:
    """Maximum normed residual that a normal sample exceeds with the given probability.

    Parameters
    ----------
    n : array_like of int
        Number of values in the sample [-].
    significance : float
        Probability to call an outlier where there is none [-].

    Returns
    -------
    ndarray
        Critical value [-].

    Raises
    ------
    ValueError
        If n is below 3 or the significance not in (0, 1).

    Notes
    -----
    C = (n-1)/sqrt(n) sqrt(t^2 / (n-2+t^2)), t the 1 - significance/(2n) quantile of Student's t with n - 2
    degrees of freedom.

    References
    ----------
    MIL-HDBK-17-1F (2002), section 8.3.3.1 and table 8.5.7; Grubbs, Technometrics 11 (1969) 1-21.

    Examples
    --------
    >>> critical_residual([5, 10]).round(3)
    array([1.715, 2.29 ])
    """
    from scipy.special import stdtrit

    size = np.asarray(n)
    t2 = stdtrit(size - 2.0, 1.0 - significance / (2.0 * size)) ** 2
    return np.asarray((size - 1.0) / np.sqrt(size) * np.sqrt(t2 / (size - 2.0 + t2)))


@checked
def outliers(sample: FlatSample, *, significance: Significance = 0.05) -> tuple[int, ...]:
    """Find outliers one by one, setting each aside before the next look.

    Parameters
    ----------
    sample : array_like, shape (n,)
        Coupon values [any].
    significance : float
        Probability to call an outlier where there is none [-].

    Returns
    -------
    tuple of int
        Their places in the sample, the farthest first [-]. None is a reason to discard a coupon: look for a
        cause in the specimen, the test and the record.

    Raises
    ------
    ValueError
        If the sample is not flat or has fewer than 3 values.

    Notes
    -----
    A value is an outlier if `maximum_normed_residual` exceeds `critical_residual`.

    Examples
    --------
    >>> outliers([98.0, 99.0, 100.0, 101.0, 60.0])
    (4,)
    """
    x = scattering(sample, least=3)
    kept = np.arange(x.size)
    found: tuple[int, ...] = ()
    while kept.size >= 3 and scatters(x[kept]):
        if _residual(x[kept]) <= critical_residual(kept.size, significance=significance):
            break
        farthest = np.abs(x[kept] - x[kept].mean()).argmax()
        found += (int(kept[farthest]),)
        kept = np.delete(kept, farthest)
    return found
