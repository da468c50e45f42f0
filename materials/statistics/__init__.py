"""A- and B-basis values from coupons, after MIL-HDBK-17-1F chapter 8."""

from materials.statistics.basis import basis_value, weibull_basis, weibull_factor
from materials.statistics.coupon_basis import CouponBasis, ModelBasis
from materials.statistics.fit import anderson_darling, observed_significance, significance_of, weibull_fit
from materials.statistics.nonparametric import basis_rank, hanson_koopmans_basis, rank_basis
from materials.statistics.outliers import critical_residual, maximum_normed_residual, outliers
from materials.statistics.pooling import KSampleTest, k_sample_anderson_darling
from materials.statistics.selection import basis_from_coupons
from materials.statistics.tolerance import tolerance_factor
from materials.statistics.variance import Anova, analyze_variance, levene

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
    "hanson_koopmans_basis",
    "k_sample_anderson_darling",
    "levene",
    "maximum_normed_residual",
    "observed_significance",
    "outliers",
    "rank_basis",
    "significance_of",
    "tolerance_factor",
    "weibull_basis",
    "weibull_factor",
    "weibull_fit",
]
