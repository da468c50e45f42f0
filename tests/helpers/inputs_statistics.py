"""One good call of every public callable of materials.statistics."""

import numpy as np
from bad_input import RAGGED, count, fixed, items, number, values, word

from materials import statistics as st

SAMPLE = 500e6 + 1e6 * np.array([3.0, -7, 11, 0, 5, -2, 8, -13, 1, 6, -4, 9])
BATCHES = [SAMPLE[:4], SAMPLE[4:8] + 5e5, SAMPLE[8:] - 5e5]
SAMPLE_OF = {"sample": values(SAMPLE, 1, cut=False)}
POSITIVE = {"sample": values(SAMPLE, 1, "positive", cut=False)}
BATCHES_OF = items(BATCHES, ([np.nan, 1.0], ["weak", "strong"], [], 3.0, RAGGED))
BASIS = word("B")

REGISTRY = {
    st.basis_from_coupons: {
        "values": values(SAMPLE, 1, "positive", leading=False, cut=False),
        "batch": items(list("AAAABBBBCCCC"), (None, np.nan, " ", ["A"], {}, np.array(["A", "B"]))),
        "condition": items(["dry"] * 12, (None, np.nan, "", ["dry"]), optional=True),
    },
    st.basis_value: SAMPLE_OF | {"basis": BASIS, "model": word("normal")},
    st.tolerance_factor: {
        "n": values(12, sign="positive", slips=(1, 2.5), leading=False),
        "basis": BASIS,
        "confidence": number(0.95, "positive", slips=(95.0, 1.0)),
    },
    st.Anova.basis_value: {"self": fixed(st.analyze_variance(BATCHES)), "basis": BASIS},
    st.analyze_variance: {"batches": BATCHES_OF},
    st.levene: {"batches": BATCHES_OF},
    st.k_sample_anderson_darling: {
        "batches": BATCHES_OF,
        "significance": number(0.025, "positive", slips=(2.5, 0.02)),
    },
    st.anderson_darling: POSITIVE | {"distribution": word("weibull")},
    st.observed_significance: POSITIVE | {"distribution": word("weibull")},
    st.significance_of: {
        "statistic": values(0.7, sign="positive", leading=False),
        "distribution": word("weibull"),
    },
    st.basis_rank: {
        "n": count(40, 1),
        "basis": BASIS,
        "confidence": number(0.95, "positive", slips=(95.0, 1.0)),
    },
    st.rank_basis: {"sample": values(np.arange(30.0), 1, cut=False), "basis": BASIS},
    st.hanson_koopmans_basis: POSITIVE | {"basis": BASIS},
    st.weibull_basis: POSITIVE | {"basis": BASIS},
    st.weibull_factor: {"n": count(12, 10), "basis": BASIS},
    st.weibull_fit: POSITIVE,
    st.maximum_normed_residual: SAMPLE_OF,
    st.outliers: {
        "sample": values(SAMPLE, 1, leading=False, cut=False),
        "significance": number(0.05, "positive", slips=(5.0, 1.0)),
    },
    st.critical_residual: {
        "n": values(12, sign="positive", slips=(2, 3.5), leading=False),
        "significance": number(0.05, "positive", slips=(5.0, 1.0)),
    },
}
EXCLUDED = {
    "Anova": "a result, made by analyze_variance",
    "CouponBasis": "a result, made by basis_from_coupons",
    "KSampleTest": "a result, made by k_sample_anderson_darling",
    "ModelBasis": "a part of CouponBasis",
}
MODULES = (st,)
