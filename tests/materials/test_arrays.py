"""Functions of arrays: all cases together equal the loop over them, and shapes that do not fit are refused."""

import calls_materials
import numpy as np
import pytest
from numpy.testing import assert_allclose

import materials as m
from materials import statistics as st

ELEMENTWISE = (m.mixture, m.halpin_tsai, m.cured_thickness, m.fiber_volume, m.void_volume, m.diffusivity,
               m.equilibrium_moisture, m.moisture_uptake, m.moisture_profile)  # fmt: skip
CHANGE = np.array([0.97, 1.0, 0.99])


@pytest.mark.parametrize("function", ELEMENTWISE, ids=lambda f: f.__name__)
def test_cases_together_equal_their_loop(function):
    call = {name: value if name in ("faces", "plies") else np.ravel(value)[0]
            for name, value in calls_materials.CALLS[function].items()}  # fmt: skip
    varied = [name for name in call if name not in ("faces", "plies")]
    for name, other in zip(varied, varied[1:] + varied[:1], strict=True):
        many = call | {name: call[name] * CHANGE[:, None]} | {other: call[other] * CHANGE[:2]}
        together = function(**many)
        assert together.shape == (3, 2)
        for i, j in np.ndindex(3, 2):
            one = function(**call | {name: many[name][i, 0], other: many[other][j]})
            assert_allclose(together[i, j], one, rtol=1e-13)
        with pytest.raises(ValueError, match=rf"\b{name}\b.*broadcastable"):
            function(**call | {name: call[name] * CHANGE, other: call[other] * CHANGE[:2]})


@pytest.mark.parametrize("model", ["normal", "lognormal", "weibull", "nonparametric"])
def test_many_samples_are_the_loop(model):
    many = np.random.default_rng(6).normal(100, 5, (2, 3, 12))
    distribution = "normal" if model == "nonparametric" else model
    for answer in (
        lambda x: st.basis_value(x, model=model),
        lambda x: st.observed_significance(x, distribution),
        lambda x: st.weibull_fit(x)[0],
        lambda x: st.weibull_fit(x)[1],
    ):
        together = answer(many)
        assert together.shape == (2, 3)
        assert_allclose(together.ravel(), [float(answer(row)) for row in many.reshape(-1, 12)], rtol=1e-11)
