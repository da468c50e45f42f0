"""What every criterion must do, looped over CRITERIA."""

from dataclasses import replace
from functools import partial

import numpy as np
import pytest
from failure_book import INDEX, compare
from failure_book import larc03 as larc03_book
from failure_cases import AXES, M1, PLIES, limits_of, paths, uniaxial
from hypothesis import given, settings
from hypothesis import strategies as st

from laminate.failure import CRITERIA, MaxStrain, Mode, TsaiHill

every = pytest.mark.parametrize("criterion", CRITERIA, ids=lambda c: c.name)
ply = pytest.mark.parametrize("allowables", PLIES.values(), ids=PLIES.keys())
unit = st.floats(-1, 1).map(lambda v: 0.0 if abs(v) < 1e-3 else v)
direction = st.tuples(unit, unit, unit).map(np.array).filter(lambda v: np.abs(v).max() > 0.01)
TABLED = ("larc03",)  # reads a table of crack planes that is good to 2e-5


def scale_of(criterion, allowables):
    Xt, Xc, Yt, Yc, S = limits_of(criterion, allowables)
    return np.array([max(Xt, Xc), max(Yt, Yc), S])


def printed_index(criterion, allowables):
    """The formula as its book prints it, of one state."""
    limits = limits_of(criterion, allowables)
    if criterion.name in TABLED:
        return partial(larc03_book, limits=limits, strain=allowables.g12)
    return partial(INDEX[criterion.name], limits=limits)


def test_there_is_one_criterion_of_each_name():
    assert [c.name for c in CRITERIA] == list(INDEX)
    assert {c.takes for c in CRITERIA if c.name != "max_strain"} == {"stress"}
    assert MaxStrain().takes == "strain"
    assert all(type(c)() == c and hash(type(c)()) == hash(c) for c in CRITERIA)


@every
@ply
def test_uniaxial_strengths_are_met_exactly(criterion, allowables):
    for name in AXES:
        assert criterion.ratio(uniaxial(criterion, allowables, name), allowables) == pytest.approx(
            1, rel=4e-15
        )


@every
@ply
@pytest.mark.parametrize("fixed", [0.0, 0.4, 1.2])
def test_ratio_is_the_root_of_the_printed_formula(criterion, allowables, fixed):
    n, rtol = (15, 1e-5) if criterion.name in TABLED else (40, 1e-9)
    got = compare(criterion, printed_index(criterion, allowables), allowables, n, fixed=fixed, rtol=rtol)
    assert np.isfinite(got).sum() > n / 2
    assert (got == 0).any() == (fixed > 1)


@every
def test_array_equals_loop_and_many_blocks_equal_one(criterion):
    for allowables in PLIES.values():
        load, fixed = paths(criterion, allowables, 24)
        whole = criterion.ratio(load.reshape(2, 3, 4, 3), allowables, residual=fixed.reshape(2, 3, 4, 3))
        rows = [criterion.ratio(s, allowables, residual=r) for s, r in zip(load, fixed, strict=True)]
        assert whole.shape == (2, 3, 4)
        np.testing.assert_array_equal(whole.ravel(), rows)
    load, fixed = paths(criterion, M1, 20_001 if criterion.name not in TABLED else 8_300)
    whole = criterion.ratio(load, M1, residual=fixed)
    np.testing.assert_array_equal(whole[-7:], criterion.ratio(load[-7:], M1, residual=fixed[-7:]))


@every
def test_residual_broadcasts(criterion):
    load, fixed = paths(criterion, M1, 12)
    load, fixed = load.reshape(4, 1, 3, 3), fixed[:5, None, :]
    full = (np.broadcast_to(one, (4, 5, 3, 3)) for one in (load, fixed))
    got = criterion.ratio(load, M1, residual=fixed)
    np.testing.assert_array_equal(got, criterion.ratio(next(full), M1, residual=next(full)))
    with pytest.raises(ValueError, match=r"values, residual: .* broadcastable"):
        criterion.ratio(np.ones((2, 3)), M1, residual=np.ones((4, 3)))


@every
def test_zero_load_is_never_critical(criterion):
    load, fixed = paths(criterion, M1, 8)
    assert np.isposinf(criterion.ratio(np.zeros((2, 3)), M1)).all()
    assert np.isposinf(criterion.ratio(0 * load, M1, residual=0.01 * fixed)).all()
    assert criterion.ratio(np.zeros((0, 3)), M1).shape == (0,)


@every
def test_violating_residual_leaves_nothing(criterion):
    for name in AXES:
        beyond = 1.001 * uniaxial(criterion, M1, name)
        load = np.array([beyond, -0.1 * beyond, 0 * beyond])
        np.testing.assert_array_equal(criterion.ratio(load, M1, residual=beyond), 0)


@every
def test_ratio_scales_inversely_at_any_size(criterion):
    load, _ = paths(criterion, M1, 50)
    load /= limits_of(criterion, M1)[0]
    here = criterion.ratio(load, M1)
    for scale in (1e-290, 1e-160, 1e-3, 7.0, 1e30, 1e200):
        assert criterion.ratio(scale * load, M1) * scale == pytest.approx(here, rel=1e-12)


@every
def test_caller_arrays_stay_untouched(criterion):
    load, fixed = paths(criterion, M1, 10)
    before = load.copy(), fixed.copy()
    criterion.ratio(load, M1, residual=fixed)
    assert load.flags.writeable
    np.testing.assert_array_equal(load, before[0])
    np.testing.assert_array_equal(fixed, before[1])


@every
@ply
@given(towards=direction, fixed=direction)
@settings(max_examples=20, deadline=None)
def test_ratio_times_load_lies_on_the_surface(criterion, allowables, towards, fixed):
    scale = scale_of(criterion, allowables)
    load, residual = towards * scale, 0.1 * fixed * scale * [1, 0.3, 1]
    R, book = criterion.ratio(load, allowables, residual=residual), printed_index(criterion, allowables)
    if 0 < R < np.inf:
        near = 1e-4 if criterion.name in TABLED else 1e-6
        below, beyond = (book(f * R * load + residual) for f in (1 - near, 1 + near))
        assert below < 1 <= beyond
    elif R == 0:
        assert book(residual) >= 1


@every
@ply
@given(towards=direction, fixed=direction)
@settings(max_examples=20, deadline=None)
def test_sign_of_the_shear_stress_is_a_matter_of_axes(criterion, allowables, towards, fixed):
    scale = scale_of(criterion, allowables)
    load, residual, mirror = towards * scale, 0.2 * fixed * scale * [1, 0.2, 1], np.array([1, 1, -1])
    here = criterion.ratio(load, allowables, residual=residual)
    there = criterion.ratio(mirror * load, allowables, residual=mirror * residual)
    assert here == pytest.approx(float(there), rel=1e-12)


@pytest.mark.parametrize("criterion", [c for c in CRITERIA if c.convex], ids=lambda c: c.name)
@ply
def test_safe_region_is_convex(criterion, allowables):
    chords_stay_inside(criterion, allowables)


def test_tsai_hill_is_convex_for_equal_strengths_along_the_fiber():
    assert M1.Xt == M1.Xc
    chords_stay_inside(TsaiHill(), M1)


def chords_stay_inside(criterion, allowables):
    ends = np.random.default_rng(6).normal(size=(2, 20_000, 3)) * scale_of(criterion, allowables)
    share = np.linspace(0.02, 0.98, 20_000)[:, None]
    a, b = ends * criterion.ratio(ends, allowables)[..., None]
    assert criterion.ratio(share * a + (1 - share) * b, allowables).min() >= 1 - 1e-9


@every
def test_stress_and_strength_in_another_unit_give_the_same_ratio(criterion):
    strain = criterion.takes == "strain"
    k, names = (
        (0.5, ("e1t", "e1c", "e2t", "e2c", "g12")) if strain else (0.0145, ("Xt", "Xc", "Yt", "Yc", "S"))
    )
    other = replace(M1, **{name: k * getattr(M1, name) for name in names})
    load = np.array([[0.5, 0.2, 0.4], [-0.7, -0.5, 0.1], [0.1, 0.3, -0.6]]) * scale_of(criterion, M1)
    rel = 1e-6 if criterion.name in TABLED else 1e-12
    assert criterion.ratio(k * load, other) == pytest.approx(criterion.ratio(load, M1), rel=rel)


def test_criteria_agree_where_one_stress_acts_alone():
    load = np.array([[1, 0, 0], [-1, 0, 0], [0, 1, 0], [0, -1, 0], [0, 0, 1], [0, 0, -1]]) * 1e6
    ratios = [criterion.ratio(load, M1) for criterion in CRITERIA if criterion.takes == "stress"]
    np.testing.assert_allclose(ratios, np.broadcast_to(ratios[0], (len(ratios), 6)), rtol=1e-13)


# --- modes: which part of the criterion is met first, and its name

ALONE = {
    "Xt": Mode.FIBER_TENSION,
    "Xc": Mode.FIBER_COMPRESSION,
    "Yt": Mode.MATRIX_TENSION,
    "Yc": Mode.MATRIX_COMPRESSION,
    "S": Mode.SHEAR,
    "-S": Mode.SHEAR,
}
OTHERWISE = {
    "puck": {
        "Yt": {Mode.INTER_FIBER_A},
        "Yc": {Mode.INTER_FIBER_C},
        "S": {Mode.INTER_FIBER_A, Mode.INTER_FIBER_B},
    },
    "hashin": {"S": {Mode.FIBER_TENSION, Mode.MATRIX_TENSION, Mode.MATRIX_COMPRESSION}},
    "larc03": {"S": {Mode.MATRIX_TENSION, Mode.MATRIX_COMPRESSION}},
}


@every
def test_mode_of_one_stress_alone(criterion):
    for name in AXES:
        mode = Mode(int(criterion.mode(0.3 * uniaxial(criterion, M1, name), M1)))
        assert mode in OTHERWISE.get(criterion.name, {}).get(name.strip("-"), {ALONE[name]})


@every
def test_mode_is_none_only_where_the_ratio_is_infinite(criterion):
    load = np.random.default_rng(5).normal(size=(300, 3)) * scale_of(criterion, M1)
    load[::10] = 0
    ratio, mode = criterion.ratio(load, M1), criterion.mode(load, M1)
    assert mode.shape == ratio.shape
    assert mode.dtype == np.int8
    np.testing.assert_array_equal(mode == 0, np.isinf(ratio))
