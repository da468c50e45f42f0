"""Batches that differ: one-way analysis of variance, and the basis value it gives."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import reject
from materials.statistics.sample import BasisLetter, checked_batches
from materials.statistics.tolerance import tolerance_factor


@dataclass(frozen=True, kw_only=True)
class Anova:
    """One-way analysis of variance between batches, the batches drawn at random.

    Parameters
    ----------
    batches : int
        Number of batches [-].
    values : int
        Number of values in all [-].
    mean : float
        Mean of all values, in their unit [any].
    between, within : float
        Mean squares between and within batches, in their unit squared [any].
    effective_size : float
        Effective batch size n' [-].
    p_value : float
        Probability of a larger ratio of the mean squares if the batches are alike [-].
    """

    batches: int
    values: int
    mean: float
    between: float
    within: float
    effective_size: float
    p_value: float

    @property
    def ratio(self) -> float:
        """Mean square between batches over that within, F [-]."""
        return self.between / self.within

    @property
    def standard_deviation(self) -> float:
        """Standard deviation between and within batches together, in the unit of the values [any]."""
        n = self.effective_size
        return float(np.sqrt(self.between / n + (n - 1.0) / n * self.within))

    def basis_value(self, *, basis: BasisLetter = "B") -> float:
        """Basis value that takes the differences between batches into account.

        Parameters
        ----------
        basis : {"B", "A"}
            Kind of basis value.

        Returns
        -------
        float
            mean - T S, in the unit of the values [any].

        Notes
        -----
        With u = max(F, 1) and w = sqrt(u / (u + n' - 1)),
        T = (k0 - k1/sqrt(n') + (k1 - k0) w) / (1 - 1/sqrt(n')), where k0 and k1 are the normal tolerance
        factors for the number of values and of batches. T runs from k0, batches alike, to k1, values
        alike within their batches. With two batches it is very large.

        References
        ----------
        MIL-HDBK-17-1F (2002), section 8.3.5.2; Vangel, New methods for one-sided tolerance limits for a
        one-way balanced random-effects ANOVA model, Technometrics 34 (1992) 176-185.
        """
        k0 = float(tolerance_factor(self.values, basis=basis))
        k1 = float(tolerance_factor(self.batches, basis=basis))
        u, root = max(self.ratio, 1.0), np.sqrt(self.effective_size)
        w = np.sqrt(u / (u + self.effective_size - 1.0))
        T = (k0 - k1 / root + (k1 - k0) * w) / (1.0 - 1.0 / root)
        return float(self.mean - T * self.standard_deviation)


def analyze_variance(batches: Sequence[ArrayLike]) -> Anova:
    """Compare the scatter between batches with that within.

    Parameters
    ----------
    batches : sequence of array_like
        Coupon values of each batch, in one unit [any].

    Returns
    -------
    Anova
        Mean squares, their ratio and its significance.

    Raises
    ------
    ValueError
        If there are fewer than two batches, no batch has two values, or there is no scatter within batches.

    References
    ----------
    MIL-HDBK-17-1F (2002), section 8.3.5.2.
    """
    from scipy.special import fdtrc

    groups = checked_batches(batches)
    sizes = np.array([group.size for group in groups], dtype=float)
    n, k = sizes.sum(), len(groups)
    if n == k:
        reject(
            "batches", "one value in each", "more values than batches", "scatter within batches is unknown"
        )
    means = np.array([group.mean() for group in groups])
    mean = float((sizes * means).sum() / n)
    between = float((sizes * (means - mean) ** 2).sum() / (k - 1))
    within = float(sum(((group - m) ** 2).sum() for group, m in zip(groups, means, strict=True)) / (n - k))
    if within == 0.0:
        reject(
            "batches", "equal values within each", "values that scatter", "rounded off, or coupons copied?"
        )
    return Anova(
        batches=k,
        values=int(n),
        mean=mean,
        between=between,
        within=within,
        effective_size=float((n - (sizes**2).sum() / n) / (k - 1)),
        p_value=float(fdtrc(k - 1, n - k, between / within)),
    )


def levene(batches: Sequence[ArrayLike]) -> float:
    """Test whether batches scatter alike, by the distances from their medians.

    Parameters
    ----------
    batches : sequence of array_like
        Coupon values of each batch, in one unit [any].

    Returns
    -------
    float
        Probability of so different scatters if they are alike; the handbook calls them different below
        0.05 [-].

    Raises
    ------
    ValueError
        If there are fewer than two batches, or no batch has three values.

    References
    ----------
    MIL-HDBK-17-1F (2002), section 8.3.5.1; Levene (1960), Brown & Forsythe (1974).
    """
    groups = checked_batches(batches)
    if max(group.size for group in groups) < 3:
        reject(
            "batches",
            "two values at most in each",
            "three or more in one",
            "two lie equally far from their median",
        )
    return analyze_variance([np.abs(group - np.median(group)) for group in groups]).p_value
