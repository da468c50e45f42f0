"""What every criterion must do, looped over CRITERIA."""

import numpy as np
import pytest
from failure_cases import AXES, M1, PLIES, limits_of, paths

from laminate.failure import CRITERIA

every = pytest.mark.parametrize("criterion", CRITERIA, ids=lambda c: c.__name__)
ply = pytest.mark.parametrize("allowables", PLIES.values(), ids=PLIES.keys())


@every
@ply
@pytest.mark.parametrize("name", AXES)
def test_uniaxial_strengths_are_met_exactly(criterion, allowables, name):
    Xt, Xc, Yt, Yc, S = limits_of(criterion, allowables)
    limit = {"Xt": Xt, "Xc": Xc, "Yt": Yt, "Yc": Yc, "S": S, "-S": S}[name]
    assert criterion(np.multiply(AXES[name], limit), allowables) == pytest.approx(1.0, rel=4e-15)


@every
@ply
def test_array_equals_loop(criterion, allowables):
    load, fixed = paths(criterion, allowables, 24)
    whole = criterion(load.reshape(2, 3, 4, 3), allowables, residual=fixed.reshape(2, 3, 4, 3))
    rows = [criterion(s, allowables, residual=r) for s, r in zip(load, fixed, strict=True)]
    assert whole.shape == (2, 3, 4)
    np.testing.assert_array_equal(whole.ravel(), rows)


@every
def test_many_blocks_equal_one(criterion):
    load, fixed = paths(criterion, M1, 20_001)
    whole = criterion(load, M1, residual=fixed)
    np.testing.assert_array_equal(whole[-7:], criterion(load[-7:], M1, residual=fixed[-7:]))


@every
def test_residual_broadcasts(criterion):
    load, fixed = paths(criterion, M1, 12)
    got = criterion(load.reshape(4, 1, 3, 3), M1, residual=fixed[:5, None, :])
    assert got.shape == (4, 5, 3)
    full = np.broadcast_to(fixed[:5, None, :], (4, 5, 3, 3))
    np.testing.assert_array_equal(
        got, criterion(np.broadcast_to(load.reshape(4, 1, 3, 3), (4, 5, 3, 3)), M1, residual=full)
    )


@every
def test_zero_load_is_never_critical(criterion):
    load, fixed = paths(criterion, M1, 8)
    assert np.isposinf(criterion(np.zeros((2, 3)), M1)).all()
    assert np.isposinf(criterion(0 * load, M1, residual=0.01 * fixed)).all()
    assert criterion(np.zeros((0, 3)), M1).shape == (0,)


@every
@pytest.mark.parametrize("name", AXES)
def test_violating_residual_leaves_nothing(criterion, name):
    Xt, Xc, Yt, Yc, S = limits_of(criterion, M1)
    limit = {"Xt": Xt, "Xc": Xc, "Yt": Yt, "Yc": Yc, "S": S, "-S": S}[name]
    beyond = 1.001 * np.multiply(AXES[name], limit)
    for load in (beyond, -0.1 * beyond, 0 * beyond):
        assert criterion(load, M1, residual=beyond) == 0


@every
@pytest.mark.parametrize("scale", [1e-290, 1e-160, 1e-3, 7.0, 1e30, 1e200])
def test_ratio_scales_inversely_at_any_size(criterion, scale):
    load, _ = paths(criterion, M1, 50)
    load /= limits_of(criterion, M1)[0]
    assert criterion(scale * load, M1) * scale == pytest.approx(criterion(load, M1), rel=1e-12)


@every
def test_caller_arrays_stay_untouched(criterion):
    load, fixed = paths(criterion, M1, 10)
    before = load.copy(), fixed.copy()
    criterion(load, M1, residual=fixed)
    assert load.flags.writeable
    np.testing.assert_array_equal(load, before[0])
    np.testing.assert_array_equal(fixed, before[1])


@every
@pytest.mark.parametrize("bad", [np.nan, np.inf, -np.inf])
def test_nan_and_infinity_are_refused(criterion, bad):
    load, fixed = paths(criterion, M1, 4)
    for array in (load, fixed):
        array[2, 1], kept = bad, array[2, 1]
        with pytest.raises(ValueError, match=rf"{criterion.__name__}: .*finite"):
            criterion(load, M1, residual=fixed)
        array[2, 1] = kept


@every
def test_wrong_shapes_are_refused(criterion):
    with pytest.raises(ValueError, match=r"shape \(2,\)"):
        criterion([1.0, 2.0], M1)
    with pytest.raises(ValueError, match=f"{criterion.__name__}: allowables: got None"):
        criterion([1.0, 2.0, 3.0], None)
    with pytest.raises(ValueError, match="array of numbers"):
        criterion(["a", "b", "c"], M1)
    with pytest.raises(ValueError, match=r"broadcastable with \(2, 3\)"):
        criterion(np.ones((2, 3)), M1, residual=np.ones((4, 3)))
