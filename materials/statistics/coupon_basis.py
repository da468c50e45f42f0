"""What the handbook's procedure found: basis values, by which model, and why."""

from dataclasses import dataclass

from materials.checks import Array
from materials.statistics.pooling import KSampleTest
from materials.statistics.variance import Anova


@dataclass(frozen=True, kw_only=True)
class ModelBasis:
    """Basis values of one model, chosen or not.

    Parameters
    ----------
    model : str
        weibull, normal, lognormal, nonparametric or anova.
    significance : float or None
        Observed significance level of the fit; None where none is defined [-].
    B, A : float
        Basis values, in the unit of the coupons [any].
    """

    model: str
    significance: float | None
    B: float
    A: float


@dataclass(frozen=True, kw_only=True, eq=False)
class CouponBasis:
    """Basis values of one condition, and how they came about.

    Parameters
    ----------
    condition : str
        The condition.
    values : ndarray, shape (coupon,)
        The coupons [any].
    batches : tuple of (str, int)
        Name and number of coupons of each batch [-].
    outliers : tuple of (str or None, float)
        Batch and value of each outlier; the batch is None if it stands out of all batches together. None was
        removed [any].
    pooling : KSampleTest or None
        Test whether the batches may be pooled; None with one batch, or one coupon in each.
    anova : Anova or None
        Analysis of variance between batches; None if `pooling` is.
    models : tuple of ModelBasis
        Basis values by every model that has factors for so many coupons.
    chosen : ModelBasis
        The one the procedure ended with.
    steps : tuple of str
        What was done, and why.
    """

    condition: str
    values: Array
    batches: tuple[tuple[str, int], ...]
    outliers: tuple[tuple[str | None, float], ...]
    pooling: KSampleTest | None
    anova: Anova | None
    models: tuple[ModelBasis, ...]
    chosen: ModelBasis
    steps: tuple[str, ...]

    @property
    def B(self) -> float:
        """B-basis value by the chosen model, in the unit of the coupons [any]."""
        return self.chosen.B

    @property
    def A(self) -> float:
        """A-basis value by the chosen model, in the unit of the coupons [any]."""
        return self.chosen.A

    @property
    def mean(self) -> float:
        """Mean of all coupons, in their unit [any]."""
        return float(self.values.mean())

    @property
    def variation(self) -> float:
        """Coefficient of variation of all coupons, s / mean [-]."""
        return float(self.values.std(ddof=1) / self.values.mean())

    def __str__(self) -> str:
        sizes = ", ".join(f"{name}: {size}" for name, size in self.batches)
        head = (
            f"{self.condition}: {self.values.size} coupons ({sizes}), mean {self.mean:.6g}, "
            f"coefficient of variation {100.0 * self.variation:.3g} %",
            f"B-basis {self.B:.6g}, A-basis {self.A:.6g} by {self.chosen.model}",
        )
        return "\n  ".join(head + self.steps)
