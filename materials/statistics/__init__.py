"""A- and B-basis values from coupons, after MIL-HDBK-17-1F chapter 8."""

from materials.statistics.basis import basis_rank, basis_value, tolerance_factor, weibull_factor
from materials.statistics.batches import (
    Anova,
    KSampleTest,
    analyze_variance,
    k_sample_anderson_darling,
    levene,
)
from materials.statistics.coupons import CouponBasis, ModelBasis, basis_from_coupons
from materials.statistics.fit import anderson_darling, observed_significance, significance_of, weibull_fit
from materials.statistics.outliers import critical_residual, maximum_normed_residual, outliers

__all__ = [
    "Anova",
    "CouponBasis",
    "KSampleTest",
    "ModelBasis",
    "analyze_variance",
    "anderson_darling",
    "basis_from_coupons",
    "basis_rank",
    "basis_value",
    "critical_residual",
    "k_sample_anderson_darling",
    "levene",
    "maximum_normed_residual",
    "observed_significance",
    "outliers",
    "significance_of",
    "tolerance_factor",
    "weibull_factor",
    "weibull_fit",
]
