"""Forms: all loads at once against the criteria one by one."""

import numpy as np
import pytest
from failure_cases import GLASS, M1
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from laminate.failure import Hashin, Hoffman, LaRC03, MaxStrain, MaxStress, Mode, TsaiWu
from laminate.failure.forms import Forms
from laminate.failure.surface import Surface

RNG = np.random.default_rng(7)
MAPS = RNG.normal(size=(3, 3, 4)) * [[[1e9], [1e8], [5e7]]]
RESIDUAL = np.array([[0, 0, 0], [100e6, 15e6, 5e6], [-50e6, 12e6, -20e6]])
NONE = np.zeros(3)
CONVEX = [
    (MaxStress(), 1.0),
    (MaxStrain(), 1e-11),
    (Hoffman(), 1.0),
    (TsaiWu(), 1.0),
    (TsaiWu(interaction=0.3), 1.0),
]
convex = pytest.mark.parametrize(("criterion", "scale"), CONVEX, ids=lambda c: getattr(c, "name", ""))


def forms_of(criterion, allowables, scale, residual):
    surfaces = criterion.surfaces(allowables)
    return Forms.of((surfaces, scale * T, scale * r) for T, r in zip(MAPS, residual, strict=True))


def one_by_one(criterion, load, allowables, scale, residual):
    each = [
        criterion.ratio(scale * load @ T.T, allowables, residual=scale * r)
        for T, r in zip(MAPS, residual, strict=True)
    ]
    return np.min(each, axis=0)


@convex
@pytest.mark.parametrize("residual", [0 * RESIDUAL, RESIDUAL])
@pytest.mark.parametrize("allowables", [M1, GLASS])
def test_forms_equal_the_criterion_at_every_place(criterion, scale, residual, allowables):
    load = RNG.normal(size=(5, 7, 4)) * 0.3
    got = forms_of(criterion, allowables, scale, residual).ratio(load)
    assert got.shape == (5, 7)
    np.testing.assert_allclose(got, one_by_one(criterion, load, allowables, scale, residual), rtol=1e-11)


@convex
def test_utilization_of_each_form_is_the_inverse_ratio(criterion, scale):
    forms = forms_of(criterion, M1, scale, RESIDUAL)
    load = RNG.normal(size=(40, 4))
    used = forms.utilization(load)
    assert used.shape == (40, len(forms.linear))
    np.testing.assert_allclose(1 / used.max(axis=-1), forms.ratio(load), rtol=1e-11)
    np.testing.assert_array_equal(forms.governing(load), used.argmax(axis=-1))


@given(arrays(float, 4, elements=st.floats(-1e3, 1e3)), st.integers(-300, 300))
@settings(max_examples=100, deadline=None)
def test_loads_of_any_size(load, exponent):
    load = load / max(abs(load).max(), 1e-3)
    forms = forms_of(TsaiWu(), M1, 1.0, 0 * RESIDUAL)
    got, want = forms.ratio(load * 10.0**exponent), one_by_one(TsaiWu(), load, M1, 1.0, 0 * RESIDUAL)
    with np.errstate(over="ignore", under="ignore"):
        expected = want / 10.0**exponent
    if 1e-290 < expected < 1e290 and abs(load[load != 0]).min(initial=1.0) > 1e-5:
        assert got == pytest.approx(float(expected), rel=1e-11)
    assert got >= 0


def test_sizes_mixed_in_one_block():
    load = RNG.normal(size=(9, 4))
    size = 10.0 ** np.array([-290, -160, -110, -30, 0, 30, 110, 160, 290])
    forms = forms_of(TsaiWu(), M1, 1.0, RESIDUAL)
    got = forms.ratio(load * size[:, None])
    np.testing.assert_allclose(got * size, forms.ratio(load), rtol=1e-11)


def test_zero_load_and_empty_input():
    forms = forms_of(TsaiWu(), M1, 1.0, RESIDUAL)
    np.testing.assert_array_equal(forms.ratio(np.zeros((2, 4))), [np.inf, np.inf])
    assert forms.ratio(np.zeros((0, 4))).shape == (0,)
    assert forms.governing(np.zeros((0, 4))).shape == (0,)
    assert forms.ratio(np.ones(4)).shape == ()


def test_load_on_which_the_squares_cancel():
    # u = T x is small against x: the expanded squares lose digits, and may come out negative
    T = np.array([[1e9, -1e9, 0.0], [0.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
    forms = Forms.of([(TsaiWu().surfaces(M1), T, NONE)])
    load = np.array([[1.0, 1.0 + e, 0.0] for e in (0.0, 1e-3, -1e-3, 1e-5)])
    want = TsaiWu().ratio(load @ T.T, M1)
    np.testing.assert_allclose(forms.ratio(load)[1:], want[1:], rtol=1e-5)
    assert forms.ratio(load)[0] > 1e6
    np.testing.assert_allclose(1 / forms.utilization(load)[1:, 0], want[1:], rtol=1e-10)


def test_residual_beyond_the_surface_leaves_nothing():
    beyond = RESIDUAL + [[0, 0, 0], [0, 60e6, 0], [0, 0, 0]]
    forms = forms_of(TsaiWu(), M1, 1.0, beyond)
    assert forms.violated
    np.testing.assert_array_equal(forms.ratio(RNG.normal(size=(3, 2, 4))), np.zeros((3, 2)))


@pytest.mark.parametrize("residual", [RESIDUAL, RESIDUAL + [[0, 60e6, 0], [0, 0, 0], [0, 0, 0]]])
@pytest.mark.parametrize("criterion", [TsaiWu(), MaxStress()], ids=lambda c: c.name)
def test_nan_and_infinity_are_refused(criterion, residual):
    forms = forms_of(criterion, M1, 1.0, residual)
    for bad in (np.nan, np.inf, -np.inf):
        load = RNG.normal(size=(100, 4))
        load[37, 2] = bad
        with pytest.raises(ValueError, match="must be finite"):
            forms.ratio(load)


def test_criteria_in_ranges_are_refused():
    for criterion in (Hashin(), LaRC03()):
        with pytest.raises(ValueError, match="evaluate such a criterion at every ply surface"):
            Forms.of([(criterion.surfaces(M1), np.eye(3), NONE)])


def test_open_surface_is_refused():
    saddle = Surface(mode=Mode.NONE, quadratic=((0, 0, 1.0), (1, 1, -1.0), (2, 2, 1.0)))
    with pytest.raises(ValueError, match="closed, convex"):
        Forms.of([((saddle,), np.eye(3), NONE)])
