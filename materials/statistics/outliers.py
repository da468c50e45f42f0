"""Outliers by the maximum normed residual."""

from typing import Annotated

import numpy as np

from materials.checks import Array, Limits, checked
from materials.statistics.sample import FlatSample, scattering, scatters


@checked
def outliers(
    sample: FlatSample,
    *,
    significance: Annotated[float, Limits("-", above=0.0, below=1.0, cause="given in percent?")] = 0.05,
) -> tuple[int, ...]:
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
    The value farthest from the mean is an outlier if |x - mean| / s exceeds
    C = (n-1)/sqrt(n) sqrt(t^2 / (n-2+t^2)), t the 1 - significance/(2n) quantile of Student's t with n - 2 degrees
    of freedom.

    References
    ----------
    MIL-HDBK-17-1F (2002), section 8.3.3.1 and table 8.5.7; Grubbs, Technometrics 11 (1969) 1-21.

    Examples
    --------
    >>> outliers([98.0, 99.0, 100.0, 101.0, 60.0])
    (4,)
    """
    x = scattering(sample, least=3)
    kept = np.arange(x.size)
    found: tuple[int, ...] = ()
    while kept.size >= 3 and scatters(x[kept]):
        if normed_residual(x[kept]) <= critical_residual(kept.size, significance):
            break
        farthest = np.abs(x[kept] - x[kept].mean()).argmax()
        found += (int(kept[farthest]),)
        kept = np.delete(kept, farthest)
    return found


def normed_residual(x: Array) -> Array:
    """Largest distance from the mean of each sample (..., n), in standard deviations."""
    return np.asarray(np.abs(x - x.mean(-1, keepdims=True)).max(-1) / x.std(-1, ddof=1))


def critical_residual(n: int, significance: float) -> float:
    """Maximum normed residual that a normal sample of n exceeds with the given probability."""
    from scipy.special import stdtrit

    t2 = stdtrit(n - 2.0, 1.0 - significance / (2.0 * n)) ** 2
    return float((n - 1.0) / np.sqrt(n) * np.sqrt(t2 / (n - 2.0 + t2)))
