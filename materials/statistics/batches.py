"""Batches that may differ: the k-sample Anderson-Darling test, and one-way analysis of variance."""

from typing import Annotated

import numpy as np

from materials.checks import Frozen, Limits, checked, reject
from materials.statistics.basis import tolerance_factor
from materials.statistics.sample import BasisLetter, Batches, nonempty

# Scholz & Stephens (1987), table 2: the standardized critical value is b0 + b1/sqrt(k-1) + b2/(k-1)
CRITICAL = {
    0.25: (0.675, -0.245, -0.105),
    0.10: (1.281, 0.250, -0.305),
    0.05: (1.645, 0.678, -0.362),
    0.025: (1.960, 1.149, -0.391),
    0.01: (2.326, 1.822, -0.396),
}

Probability = Annotated[float, Limits("-", at_least=0.0, at_most=1.0, cause="given in percent?")]
Number = Annotated[float, Limits("any")]
NotNegative = Annotated[float, Limits("any", at_least=0.0)]
Several = Annotated[int, Limits("-", at_least=2)]


class KSampleTest(Frozen, eq=True):
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

    Examples
    --------
    >>> KSampleTest(statistic=1.2, critical=2.1, standard_deviation=0.5, significance=0.025).same
    True
    """

    statistic: Annotated[float, Limits("-")]
    critical: Annotated[float, Limits("-")]
    standard_deviation: Annotated[float, Limits("-", at_least=0.0)]
    significance: Probability

    @property
    def same(self) -> bool:
        """Whether the batches may be treated as one population."""
        return self.statistic <= self.critical


@checked
def k_sample_anderson_darling(
    batches: Batches, *, significance: Annotated[float, Limits("-")] = 0.025
) -> KSampleTest:
    """Test whether batches come from one population, of whatever distribution.

    Parameters
    ----------
    batches : sequence of array_like, shape (n,)
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

    Examples
    --------
    >>> first = [98.0, 99.0, 100.0, 102.0]
    >>> k_sample_anderson_darling([first, [97.0, 98.5, 101.0, 99.5]]).same
    True
    >>> k_sample_anderson_darling([first, [67.0, 68.5, 71.0, 69.5]]).same
    False
    """
    groups = nonempty(batches)
    if significance not in CRITICAL:
        limit = f"one of {', '.join(map(str, CRITICAL))}"
        reject("significance [-]", significance, limit, "the published ones")
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


class Anova(Frozen, eq=True):
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

    Examples
    --------
    >>> a = Anova(batches=5, values=30, mean=100.0, between=50.0, within=20.0, effective_size=6.0, p_value=0.07)
    >>> a.ratio, a.standard_deviation
    (2.5, 5.0)
    """

    batches: Several
    values: Several
    mean: Number
    between: NotNegative
    within: NotNegative
    effective_size: Annotated[float, Limits("-", above=0.0)]
    p_value: Probability

    @property
    def ratio(self) -> float:
        """Mean square between batches over that within, F [-]."""
        return self.between / self.within

    @property
    def standard_deviation(self) -> float:
        """Standard deviation between and within batches together, in the unit of the values [any]."""
        n = self.effective_size
        return float(np.sqrt(self.between / n + (n - 1.0) / n * self.within))

    @checked
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
        k0, k1 = (float(k) for k in tolerance_factor([self.values, self.batches], basis=basis))
        u, root = max(self.ratio, 1.0), np.sqrt(self.effective_size)
        w = np.sqrt(u / (u + self.effective_size - 1.0))
        T = (k0 - k1 / root + (k1 - k0) * w) / (1.0 - 1.0 / root)
        return float(self.mean - T * self.standard_deviation)


@checked
def analyze_variance(batches: Batches) -> Anova:
    """Compare the scatter between batches with that within.

    Parameters
    ----------
    batches : sequence of array_like, shape (n,)
        Coupon values of each batch, in one unit [any].

    Returns
    -------
    Anova
        Mean squares, their ratio and its significance.

    Raises
    ------
    ValueError
        If there are fewer than two batches, no batch has two values, or there is no scatter within batches.

    Notes
    -----
    n' = (n - sum n_i^2 / n) / (k - 1); p is the upper tail of the F distribution with k - 1 and n - k degrees
    of freedom.

    References
    ----------
    MIL-HDBK-17-1F (2002), section 8.3.5.2.

    Examples
    --------
    >>> a = analyze_variance([[98.0, 100.0, 102.0], [97.0, 101.0, 99.0]])
    >>> round(a.ratio, 3), a.effective_size
    (0.375, 3.0)
    """
    from scipy.special import fdtrc

    groups = nonempty(batches)
    sizes = np.array([group.size for group in groups], dtype=float)
    n, k = sizes.sum(), len(groups)
    if n == k:
        cause = "scatter within batches is unknown"
        reject("batches", "one value in each", "more values than batches", cause)
    means = np.array([group.mean() for group in groups])
    mean = float((sizes * means).sum() / n)
    between = float((sizes * (means - mean) ** 2).sum() / (k - 1))
    within = float(sum(((group - m) ** 2).sum() for group, m in zip(groups, means, strict=True)) / (n - k))
    if within == 0.0:
        cause = "rounded off, or coupons copied?"
        reject("batches", "equal values within each", "values that scatter", cause)
    return Anova(
        batches=k,
        values=int(n),
        mean=mean,
        between=between,
        within=within,
        effective_size=float((n - (sizes**2).sum() / n) / (k - 1)),
        p_value=float(fdtrc(k - 1, n - k, between / within)),
    )


@checked
def levene(batches: Batches) -> float:
    """Test whether batches scatter alike, by the distances from their medians.

    Parameters
    ----------
    batches : sequence of array_like, shape (n,)
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

    Notes
    -----
    The p-value of `analyze_variance` for |x - median of its batch|.

    References
    ----------
    MIL-HDBK-17-1F (2002), section 8.3.5.1; Levene (1960), Brown & Forsythe (1974).

    Examples
    --------
    >>> round(levene([[98.0, 100.0, 102.0, 101.0], [97.0, 101.0, 99.0, 88.0]]), 2)
    0.3
    """
    groups = nonempty(batches)
    if max(group.size for group in groups) < 3:
        cause = "two lie equally far from their median"
        reject("batches", "two values at most in each", "three or more in one", cause)
    return analyze_variance([np.abs(group - np.median(group)) for group in groups]).p_value
