"""Properties of the criteria over random stress states."""

import numpy as np
import pytest
from failure_book import INDEX
from failure_book import larc03 as larc03_book
from failure_cases import M1, PLIES, limits_of
from hypothesis import given, settings
from hypothesis import strategies as st

from laminate.failure import CRITERIA, MODE_OF, hoffman, larc03, max_strain, max_stress, tsai_hill, tsai_wu

every = pytest.mark.parametrize("criterion", CRITERIA, ids=lambda c: c.__name__)
ply = pytest.mark.parametrize("allowables", PLIES.values(), ids=PLIES.keys())
unit = st.floats(-1, 1).map(lambda v: 0.0 if abs(v) < 1e-3 else v)
direction = st.tuples(unit, unit, unit).map(np.array).filter(lambda v: np.abs(v).max() > 0.01)


def scale_of(criterion, allowables):
    Xt, Xc, Yt, Yc, S = limits_of(criterion, allowables)
    return np.array([max(Xt, Xc), max(Yt, Yc), S])


def index(criterion, allowables, state):
    limits = limits_of(criterion, allowables)
    if criterion is larc03:
        return larc03_book(state, limits, strain=allowables.g12)
    return INDEX[criterion.__name__](state, limits)


@every
@ply
@given(towards=direction, fixed=direction)
@settings(max_examples=25, deadline=None)
def test_ratio_times_load_lies_on_the_surface(criterion, allowables, towards, fixed):
    scale = scale_of(criterion, allowables)
    load, residual = towards * scale, 0.1 * fixed * scale * [1, 0.3, 1]
    R = criterion(load, allowables, residual=residual)
    if 0 < R < np.inf:
        near = 1e-4 if criterion is larc03 else 1e-6  # its table is good to 2e-5
        below, beyond = (index(criterion, allowables, f * R * load + residual) for f in (1 - near, 1 + near))
        assert below < 1 <= beyond
    elif R == 0:
        assert index(criterion, allowables, residual) >= 1


@every
@given(towards=direction, size=st.floats(1e-6, 1e6))
@settings(max_examples=25, deadline=None)
def test_ratio_is_inverse_to_the_load(criterion, towards, size):
    load = towards * scale_of(criterion, M1)
    assert criterion(size * load, M1) * size == pytest.approx(float(criterion(load, M1)), rel=1e-12)


@every
@ply
@given(towards=direction, fixed=direction)
@settings(max_examples=20, deadline=None)
def test_sign_of_the_shear_stress_is_a_matter_of_axes(criterion, allowables, towards, fixed):
    scale = scale_of(criterion, allowables)
    load, residual, mirror = towards * scale, 0.2 * fixed * scale * [1, 0.2, 1], np.array([1, 1, -1])
    here = criterion(load, allowables, residual=residual)
    assert here == pytest.approx(
        float(criterion(mirror * load, allowables, residual=mirror * residual)), rel=1e-12
    )


@pytest.mark.parametrize("criterion", [max_stress, max_strain, hoffman, tsai_wu], ids=lambda c: c.__name__)
@ply
@given(one=direction, other=direction, share=st.floats(0, 1))
@settings(max_examples=60, deadline=None)
def test_safe_region_is_convex(criterion, allowables, one, other, share):
    scale = scale_of(criterion, allowables)
    a, b = one * scale, other * scale
    a, b = a * criterion(a, allowables), b * criterion(b, allowables)
    assert criterion(share * a + (1 - share) * b, allowables) >= 1 - 1e-9


@given(one=direction, other=direction, share=st.floats(0, 1))
@settings(max_examples=100, deadline=None)
def test_tsai_hill_is_convex_for_equal_strengths_along_the_fiber(one, other, share):
    a, b = one * scale_of(tsai_hill, M1), other * scale_of(tsai_hill, M1)
    a, b = a * tsai_hill(a, M1), b * tsai_hill(b, M1)
    assert tsai_hill(share * a + (1 - share) * b, M1) >= 1 - 1e-9


@every
def test_stress_and_strength_in_another_unit_give_the_same_ratio(criterion):
    from dataclasses import replace

    k = 1 / 6894.757  # psi
    names = ("e1t", "e1c", "e2t", "e2c", "g12") if criterion is max_strain else ("Xt", "Xc", "Yt", "Yc", "S")
    k = 0.5 if criterion is max_strain else 100 * k
    other = replace(M1, **{name: k * getattr(M1, name) for name in names})
    load = np.array([[0.5, 0.2, 0.4], [-0.7, -0.5, 0.1], [0.1, 0.3, -0.6]]) * scale_of(criterion, M1)
    assert criterion(k * load, other) == pytest.approx(
        criterion(load, M1), rel=1e-6 if criterion is larc03 else 1e-12
    )


@every
def test_mode_is_none_only_where_the_ratio_is_infinite(criterion):
    rng = np.random.default_rng(5)
    load = rng.normal(size=(300, 3)) * scale_of(criterion, M1)
    load[::10] = 0
    ratio, mode = criterion(load, M1), MODE_OF[criterion](load, M1)
    assert mode.shape == ratio.shape
    assert mode.dtype == np.int8
    np.testing.assert_array_equal(mode == 0, np.isinf(ratio))


def test_criteria_agree_where_one_stress_acts_alone():
    load = np.array([[1, 0, 0], [-1, 0, 0], [0, 1, 0], [0, -1, 0], [0, 0, 1], [0, 0, -1]]) * 1e6
    ratios = [criterion(load, M1) for criterion in CRITERIA if criterion is not max_strain]
    np.testing.assert_allclose(ratios, np.broadcast_to(ratios[0], (len(ratios), 6)), rtol=1e-13)
