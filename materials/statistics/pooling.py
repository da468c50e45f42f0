"""May batches be pooled? The k-sample Anderson-Darling test."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import number, reject
from materials.statistics.sample import checked_batches

# Scholz & Stephens (1987), table 2: the standardized critical value is b0 + b1/sqrt(k-1) + b2/(k-1)
CRITICAL = {
    0.25: (0.675, -0.245, -0.105),
    0.10: (1.281, 0.250, -0.305),
    0.05: (1.645, 0.678, -0.362),
    0.025: (1.960, 1.149, -0.391),
    0.01: (2.326, 1.822, -0.396),
}


@dataclass(frozen=True, kw_only=True)
class KSampleTest:
    """Outcome of the k-sample Anderson-Darling test.

    Parameters
    ----------
    statistic : float
        The statistic ADK; its mean is 1 if the batches come from one population [-].
    critical : float
        Value that it exceeds with the probability `significance` if they do [-].
    standard_deviation : float
        Standard deviation of the statistic if they do [-].
    significance : float
        Probability to tell apart batches of one population [-].
    """

    statistic: float
    critical: float
    standard_deviation: float
    significance: float

    @property
    def same(self) -> bool:
        """Whether the batches may be treated as one population."""
        return self.statistic <= self.critical


def k_sample_anderson_darling(batches: Sequence[ArrayLike], *, significance: float = 0.025) -> KSampleTest:
    """Test whether batches come from one population, of whatever distribution.

    Parameters
    ----------
    batches : sequence of array_like
        Coupon values of each batch, in one unit [any].
    significance : {0.25, 0.10, 0.05, 0.025, 0.01}
        Probability to tell apart batches of one population; the handbook takes 0.025 [-].

    Returns
    -------
    KSampleTest
        Statistic, critical value and verdict.

    Raises
    ------
    ValueError
        If there are fewer than two batches or four values, or all values are equal.

    Notes
    -----
    With ties counted half below and half above,
    ADK = (n-1)/(n^2 (k-1)) sum_i 1/n_i sum_j h_j (n F_ij - n_i H_j)^2 / (H_j (n - H_j) - n h_j/4).

    References
    ----------
    MIL-HDBK-17-1F (2002), section 8.3.2.2; Scholz & Stephens, K-sample Anderson-Darling tests,
    J. Am. Stat. Assoc. 82 (1987) 918-924.
    """
    groups = checked_batches(batches)
    significance = number("significance [-]", significance)
    if significance not in CRITICAL:
        reject(
            "significance [-]", significance, f"one of {', '.join(map(str, CRITICAL))}", "the published ones"
        )
    sizes = np.array([group.size for group in groups], dtype=float)
    n, k = sizes.sum(), len(groups)
    if n < 4:
        reject("batches: number of values [-]", f"{n:g}", ">= 4")
    z, h = np.unique(np.concatenate(groups), return_counts=True)
    counts = np.array([[np.count_nonzero(group == value) for value in z] for group in groups])
    F = counts.cumsum(axis=1) - counts / 2.0
    H = h.cumsum() - h / 2.0
    terms = h * (n * F - sizes[:, None] * H) ** 2 / (H * (n - H) - n * h / 4.0)
    statistic = (n - 1.0) / (n**2 * (k - 1)) * (terms.sum(axis=1) / sizes).sum()
    sigma = _standard_deviation(sizes)
    b0, b1, b2 = CRITICAL[significance]
    return KSampleTest(
        statistic=float(statistic),
        critical=1.0 + sigma * (b0 + b1 / np.sqrt(k - 1) + b2 / (k - 1)),
        standard_deviation=sigma,
        significance=significance,
    )


def _standard_deviation(sizes: np.ndarray) -> float:
    """Standard deviation of ADK over samples of one continuous population (Scholz & Stephens, equation 4)."""
    n, k = int(sizes.sum()), len(sizes)
    i = np.arange(1, n)
    S, T = (1.0 / sizes).sum(), (1.0 / i).sum()
    # g sums 1/((n-i) j) over 1 <= i < j <= n-1
    g = ((1.0 / (n - i)).cumsum()[:-1] / i[1:]).sum()
    a = (4 * g - 6) * (k - 1) + (10 - 6 * g) * S
    b = (2 * g - 4) * k**2 + 8 * T * k + (2 * g - 14 * T - 4) * S - 8 * T + 4 * g - 6
    c = (6 * T + 2 * g - 2) * k**2 + (4 * T - 4 * g + 6) * k + (2 * T - 6) * S + 4 * T
    d = (2 * T + 6) * k**2 - 4 * T * k
    variance = (a * n**3 + b * n**2 + c * n + d) / ((n - 1.0) * (n - 2.0) * (n - 3.0) * (k - 1.0) ** 2)
    return float(np.sqrt(variance))
