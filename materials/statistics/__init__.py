"""A- and B-basis values from coupons, after MIL-HDBK-17-1F chapter 8."""

from materials.statistics.basis import basis_value, tolerance_factor
from materials.statistics.batches import (
    Anova,
    KSampleTest,
    analyze_variance,
    k_sample_anderson_darling,
    levene,
)
from materials.statistics.coupons import CouponBasis, ModelBasis, basis_from_coupons
from materials.statistics.fit import observed_significance, weibull_fit
from materials.statistics.outliers import outliers

__all__ = [
    "Anova",
    "CouponBasis",
    "KSampleTest",
    "ModelBasis",
    "analyze_variance",
    "basis_from_coupons",
    "basis_value",
    "k_sample_anderson_darling",
    "levene",
    "observed_significance",
    "outliers",
    "tolerance_factor",
    "weibull_fit",
]
