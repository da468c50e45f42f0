"""One good call of every public callable of materials and materials.statistics."""

from dataclasses import replace

import numpy as np

import materials as m
from materials import statistics as st

SOURCE = m.Source("made up for tests")
PLY = replace(m.lamina("T300/5208"), G23=3.5e9)
ROOM = m.Condition(name="room", temperature=296.0, moisture=0.0, lamina=PLY)
HOT = m.Condition(name="hot", temperature=344.0, moisture=0.0, lamina=PLY)
TESTED = m.ConditionedLamina(name="tested", conditions=(ROOM, HOT))
STEEL = m.metal("4130 N tube")
FIBER = {
    "name": "carbon", "E1": 230e9, "E2": 15e9, "G12": 24e9, "nu12": 0.2, "density": 1760.0, "alpha1": -0.5e-6,
    "alpha2": 10e-6, "source": SOURCE,
}  # fmt: skip
MATRIX = {
    "name": "epoxy",
    "E": 3.5e9,
    "nu": 0.35,
    "density": 1200.0,
    "alpha": 55e-6,
    "beta": 0.33,
    "source": SOURCE,
}
STRENGTHS = {"Xt": 1e9, "Xc": 1e9, "Yt": 4e7, "Yc": 1e8, "S": 7e7}
STRAINS = {"e1t": 0.01, "e1c": 0.01, "e2t": 0.005, "e2c": 0.01, "g12": 0.02}
SAID = {"basis": "B", "condition": "dry", "source": SOURCE}
PLATE = {"time": np.array([1e6, 3e6]), "thickness": 2e-3, "diffusivity": 4e-13, "equilibrium": 0.01, "initial": 0.002,
         "faces": 2}  # fmt: skip
SAMPLE = 500e6 + 1e6 * np.array([3.0, -7, 11, 0, 5, -2, 8, -13, 1, 6, -4, 9])
BATCHES = (SAMPLE[:4], SAMPLE[4:8] + 5e5, SAMPLE[8:] - 5e5)
COUPONS = {"values": SAMPLE, "batch": tuple("AAAABBBBCCCC"), "condition": ("dry",) * 12}
RESULT = m.basis_from_coupons(**COUPONS)[0]


def fields(one):
    """The arguments that make an object."""
    return {name: getattr(one, name) for name in one.__dataclass_fields__}


PACKAGES = (m, st)
CALLS = {
    m.Source: {"document": "report", "place": "table 1", "note": "in ksi", "standing": "read"},
    m.Factor: {"name": "hot-wet", "value": 0.8, "on": ("Xt", "Yt"), "source": SOURCE, "gives": "B"},
    m.Allowables: STRENGTHS
    | STRAINS
    | {"Zt": 30e6, "S02": 5e7, "sources": (("Xt", SOURCE),), "coupons": 30, "batches": 5, "highest": PLY.allowables}
    | SAID,
    m.Allowables.need: {"self": PLY.allowables, "name": "Xt"},
    m.Allowables.source_of: {"self": PLY.allowables, "name": "Xt"},
    m.Allowables.to_basis: {"self": PLY.allowables, "basis": "B", "kind": "tape", "coupons": 30, "batches": 5,
                            "fiber": 0.05, "matrix": 0.08, "shear": 0.05,
                            "samples": {"Yt": RESULT}},
    m.Allowables.explain: {"self": PLY.allowables, "name": "Xt"},
    m.Allowables.with_linear_strains: {
        "self": m.Allowables(**STRENGTHS, **SAID),
        "E1": 140e9,
        "E2": 10e9,
        "G12": 5e9,
    },
    m.Lamina: {
        "name": "ply", "kind": "tape", "E1": 140e9, "E2": 10e9, "G12": 5e9, "nu12": 0.3, "thickness": 125e-6,
        "density": 1600.0, "G13": 5e9, "G23": 3e9, "E3": 10e9, "nu13": 0.3, "nu23": 0.4, "alpha3": 20e-6,
        "beta3": 0.6, "alpha1": 1e-6, "alpha2": 20e-6, "beta1": 0.01, "beta2": 0.6, "stress_free_temperature": 450.0,
        "E1c": 130e9, "E2c": 11e9, "GIc": 277.0, "GIIc": 788.0, "shear_nonlinearity": 3e-26,
        "wet_glass_transition": 430.0, "allowables": PLY.allowables, "source": SOURCE, "sources": (("E1", SOURCE),),
    },
    m.Lamina.need: {"self": PLY, "name": "E1"},
    m.Lamina.source_of: {"self": PLY, "name": "E1"},
    m.Condition: {"name": "hot", "temperature": 350.0, "moisture": 0.01, "lamina": PLY, "only": ("E1", "Xt")},
    m.ConditionedLamina: {"name": "tested", "conditions": (ROOM, HOT), "wet_glass_transition": 400.0,
                          "between": "hottest wet"},
    m.conditioned: {"name": "IM7/8552 tape 190 g/m2", "between": "hottest wet"},
    m.ConditionedLamina.at: {"self": TESTED, "temperature": 320.0, "moisture": 0.0},
    m.check_glass_transition: {"temperature": 320.0, "wet_glass_transition": 400.0},
    m.Metal: {
        "name": "steel", "E": 200e9, "nu": 0.3, "density": 7850.0, "alpha": 11e-6, "Ftu": 650e6, "Fty": 480e6,
        "Fcy": 500e6, "Fsu": 400e6, "Fbru": 900e6, "Fbry": 700e6, "basis": "specification", "source": SOURCE,
        "Fbru_1_5": 800e6, "Fbry_1_5": 600e6, "Ftu_across": 600e6, "Fty_across": 450e6, "elongation": 0.1,
        "sources": (("Fsu", SOURCE),),
    },
    m.Metal.need: {"self": STEEL, "name": "Fsu"},
    m.Metal.source_of: {"self": STEEL, "name": "Fsu"},
    m.Metal.bearing_strength: {"self": m.metal("2024-T3 sheet"), "edge_ratio": 1.7},
    m.Metal.lamina: {"self": STEEL, "thickness": 1e-3},
    m.lamina: {"name": "T300/5208"},
    m.metal: {"name": STEEL.name},
    m.through_thickness: {"lamina": PLY},
    m.Fiber: FIBER,
    m.Matrix: MATRIX,
    m.unidirectional: {
        "fiber": m.Fiber(**FIBER), "matrix": m.Matrix(**MATRIX), "name": "ply", "fiber_volume": 0.6,
        "areal_weight": 0.2, "reinforcement_E2": 2.0, "reinforcement_G12": 1.0, "stress_free_temperature": 450.0,
    },
    m.mixture: {"fiber": 230e9, "matrix": 3e9, "fiber_volume": 0.6},
    m.halpin_tsai: {"fiber": 15e9, "matrix": 3e9, "fiber_volume": 0.6, "reinforcement": 2.0},
    m.cured_thickness: {"areal_weight": 0.2, "fiber_density": 1760.0, "fiber_volume": 0.6},
    m.fiber_volume: {"areal_weight": 0.2, "fiber_density": 1760.0, "cured_thickness": 0.4e-3, "plies": 2},
    m.void_volume: {"measured_density": 1590.0, "theoretical_density": 1600.0},
    m.diffusivity: {"temperature": 300.0, "prefactor": 6.5e-6, "activation_temperature": 5700.0},
    m.equilibrium_moisture: {"relative_humidity": 0.5, "saturation": 0.015, "exponent": 1.0},
    m.moisture_uptake: PLATE,
    m.moisture_profile: {"position": 1e-3} | PLATE,
    st.basis_value: {"sample": SAMPLE, "basis": "B", "model": "normal"},
    st.tolerance_factor: {"n": 12, "basis": "B", "confidence": 0.95},
    st.weibull_fit: {"sample": SAMPLE},
    st.observed_significance: {"sample": SAMPLE, "distribution": "weibull"},
    st.sampling: {"coupons": 30, "batches": 5, "basis": "B"},
    st.modified_variation: {"variation": [0.03, 0.05]},
    st.pooled_basis: {"environments": (SAMPLE, 0.8 * SAMPLE), "basis": "B"},
    st.CouponBasis.sampling: {"self": RESULT, "basis": "B"},
    st.outliers: {"sample": SAMPLE, "significance": 0.05},
    st.analyze_variance: {"batches": BATCHES},
    st.levene: {"batches": BATCHES},
    st.k_sample_anderson_darling: {"batches": BATCHES, "significance": 0.025},
    st.Anova: fields(RESULT.anova),
    st.Anova.basis_value: {"self": RESULT.anova, "basis": "B"},
    st.KSampleTest: fields(RESULT.pooling),
    st.ModelBasis: fields(RESULT.models[0]),
    st.CouponBasis: fields(RESULT) | {"outliers": (("A", 500e6), (None, 5e8))},
    st.basis_from_coupons: COUPONS,
}  # fmt: skip
EXCLUDED = {
    "Allowables.times": "takes factors one after another, by place only: test_allowables.py",
    "Sampling": "a result, made by sampling",
    "ThroughThickness": "a result, made by through_thickness",
}
SKIP = {
    "Source place: blank": "a source may have no place",
    "Source note: blank": "a source may need no note",
}
