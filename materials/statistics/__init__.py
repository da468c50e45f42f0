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
from materials.statistics.sampling import Sampling, modified_variation, pooled_basis, sampling

__all__ = [
    "Anova",
    "CouponBasis",
    "KSampleTest",
    "ModelBasis",
    "Sampling",
    "analyze_variance",
    "basis_from_coupons",
    "basis_value",
    "k_sample_anderson_darling",
    "levene",
    "modified_variation",
    "observed_significance",
    "outliers",
    "pooled_basis",
    "sampling",
    "tolerance_factor",
    "weibull_fit",
]
