"""Other units must change every answer of materials as its declared unit says."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

import materials as m
from materials import statistics as st

KG, M, S, K = 2.0, 1.25, 1.5, 0.9
UNIT = {
    "-": 1.0, "m": M, "s": S, "K": K, "1/K": 1 / K, "Pa": KG / M / S**2, "m2/s": M**2 / S, "kg/m2": KG / M**2,
    "kg/m3": KG / M**3,
}  # fmt: skip
WET = {
    "thickness": (2e-3, "m"),
    "diffusivity": (4e-13, "m2/s"),
    "equilibrium": (0.01, "-"),
    "initial": (0.002, "-"),
}
MODULI = {"fiber": (230e9, "Pa"), "matrix": (3e9, "Pa"), "fiber_volume": (0.6, "-")}


@pytest.mark.parametrize(
    ("function", "arguments", "unit"),
    [
        (m.fiber_volume, {"areal_weight": (0.2, "kg/m2"), "fiber_density": (1800.0, "kg/m3"),
                          "cured_thickness": (2e-4, "m")}, "-"),
        (m.cured_thickness, {"areal_weight": (0.2, "kg/m2"), "fiber_density": (1800.0, "kg/m3"),
                             "fiber_volume": (0.55, "-")}, "m"),
        (m.void_volume, {"measured_density": (1570.0, "kg/m3"), "theoretical_density": (1590.0, "kg/m3")}, "-"),
        (m.diffusivity, {"temperature": (300.0, "K"), "prefactor": (6.5e-6, "m2/s"),
                         "activation_temperature": (5700.0, "K")}, "m2/s"),
        (m.moisture_uptake, {"time": (1e6, "s")} | WET, "-"),
        (m.moisture_uptake, {"time": (1e4, "s")} | WET, "-"),
        (m.moisture_profile, {"position": (3e-4, "m"), "time": (1e6, "s")} | WET, "-"),
        (m.moisture_profile, {"position": (3e-5, "m"), "time": (1e4, "s")} | WET, "-"),
        (m.mixture, MODULI, "Pa"),
        (m.halpin_tsai, MODULI | {"reinforcement": (2.0, "-")}, "Pa"),
    ],
)  # fmt: skip
def test_scaling_of_base_units(function, arguments, unit):
    here = function(**{name: value for name, (value, _) in arguments.items()})
    there = function(**{name: value * UNIT[own] for name, (value, own) in arguments.items()})
    assert_allclose(there, here * UNIT[unit], rtol=1e-12)


RNG = np.random.default_rng(12)
SAMPLE = 500e6 * RNG.weibull(20.0, 36)
FEW = SAMPLE[:12]
FACTOR = 1 / 6.894757e6  # Pa to ksi


@pytest.mark.parametrize("basis", ["B", "A"])
@pytest.mark.parametrize("sample", [SAMPLE, FEW], ids=["many", "few"])
@pytest.mark.parametrize("model", ["normal", "lognormal", "weibull", "nonparametric"])
def test_basis_values_have_the_unit_of_the_sample(model, sample, basis):
    here = st.basis_value(sample, model=model, basis=basis)
    assert_allclose(st.basis_value(FACTOR * sample, model=model, basis=basis), FACTOR * here, rtol=1e-9)


def test_what_has_no_unit_stays():
    batches = [SAMPLE[:12], SAMPLE[12:24], SAMPLE[24:]]
    scaled = [FACTOR * one for one in batches]
    for distribution in ("normal", "lognormal", "weibull"):
        here = st.observed_significance(SAMPLE, distribution)
        assert_allclose(st.observed_significance(FACTOR * SAMPLE, distribution), here, rtol=1e-9)
    assert st.outliers(FACTOR * SAMPLE) == st.outliers(SAMPLE)
    assert st.levene(scaled) == pytest.approx(st.levene(batches), rel=1e-9)
    here, there = (st.k_sample_anderson_darling(one) for one in (batches, scaled))
    assert there.statistic == pytest.approx(here.statistic, rel=1e-12)


def test_analysis_of_variance_has_the_unit_of_the_values():
    batches = [SAMPLE[:12], SAMPLE[12:24] + 3e7, SAMPLE[24:]]
    here, there = (st.analyze_variance([k * one for one in batches]) for k in (1.0, FACTOR))
    assert there.mean == pytest.approx(FACTOR * here.mean, rel=1e-12)
    assert there.between == pytest.approx(FACTOR**2 * here.between, rel=1e-9)
    assert there.within == pytest.approx(FACTOR**2 * here.within, rel=1e-9)
    assert there.basis_value(basis="A") == pytest.approx(FACTOR * here.basis_value(basis="A"), rel=1e-9)
    assert there.p_value == pytest.approx(here.p_value, rel=1e-6)


def test_the_whole_procedure_has_the_unit_of_the_coupons():
    batch = [str(i // 12) for i in range(36)]
    (here,), (there,) = (m.basis_from_coupons(k * SAMPLE, batch=batch) for k in (1.0, FACTOR))
    assert there.chosen.model == here.chosen.model
    assert_allclose(
        [there.B, there.A, there.mean], [FACTOR * x for x in (here.B, here.A, here.mean)], rtol=1e-9
    )
    assert there.variation == pytest.approx(here.variation, rel=1e-12)
