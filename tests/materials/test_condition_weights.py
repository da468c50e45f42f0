import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from materials.condition_weights import condition_weights

# cold dry, room dry, hot dry, hot wet
FOUR = np.array([[219.0, 0.0], [297.0, 0.0], [355.0, 0.0], [355.0, 0.012]])
GRID = np.array([[297.0, 0.0], [355.0, 0.0], [297.0, 0.01], [355.0, 0.01]])
SKEW = np.array([[219.0, 0.0], [297.0, 0.0], [320.0, 0.0], [297.0, 0.01], [355.0, 0.01], [330.0, 0.02]])


def inside_four(s, w):
    """Return a point of the triangle of the four tests."""
    c = 0.012 * w
    return (1 - w) * (219.0 + s * 136.0) + w * 355.0, c


@settings(deadline=None, max_examples=60)
@given(s=st.floats(0, 1), w=st.floats(0, 1))
def test_exact_for_linear_properties_and_no_negative_weight(s, w):
    T, c = inside_four(s, w)
    weights = condition_weights(FOUR, min(T, 355.0), c)
    assert (weights >= 0.0).all()
    assert weights.sum() == pytest.approx(1.0, abs=1e-12)
    assert weights @ FOUR[:, 0] == pytest.approx(T, abs=1e-6)
    assert weights @ FOUR[:, 1] == pytest.approx(c, abs=2e-9)


@settings(deadline=None, max_examples=60)
@given(T=st.floats(290, 360), c=st.floats(0, 0.02))
def test_exact_for_linear_properties_on_skew_tests(T, c):
    weights = condition_weights(SKEW, T, c)
    if weights is not None:
        assert (weights >= 0.0).all()
        assert weights @ SKEW[:, 0] == pytest.approx(T, abs=1e-5)
        assert weights @ SKEW[:, 1] == pytest.approx(c, abs=2e-9)


@pytest.mark.parametrize("row", range(4))
def test_tested_condition_is_itself(row):
    assert condition_weights(FOUR, *FOUR[row]).tolist() == np.eye(4)[row].tolist()


def test_bilinear_on_a_grid():
    weights = condition_weights(GRID, 297.0 + 0.25 * 58.0, 0.004)
    assert weights == pytest.approx([0.75 * 0.6, 0.25 * 0.6, 0.75 * 0.4, 0.25 * 0.4], abs=1e-12)


def test_linear_on_the_triangle_under_a_hot_wet_test():
    # Half way from room dry to hot wet.
    assert condition_weights(FOUR, 326.0, 0.006) == pytest.approx([0, 0.5, 0, 0.5], abs=1e-9)


def test_continuous_across_the_end_of_a_tested_range():
    below, above = (condition_weights(SKEW, 320.0 + d, 0.005) for d in (-1e-6, 1e-6))
    assert np.abs(below - above).max() < 1e-6


def test_one_temperature_one_moisture():
    assert condition_weights(FOUR[:1], 219.0, 0.0).tolist() == [1.0]
    assert condition_weights(FOUR[:1], 220.0, 0.0) is None


def test_order_of_tests_does_not_matter():
    order = [3, 1, 0, 2]
    assert condition_weights(FOUR[order], 330.0, 0.003) == pytest.approx(
        condition_weights(FOUR, 330.0, 0.003)[order], abs=1e-15
    )


@pytest.mark.parametrize(
    ("T", "c"),
    [
        (200.0, 0.0),
        (356.0, 0.0),
        (356.0, 0.012),
        (300.0, 0.012),
        (355.0, 0.013),
        (230.0, 0.006),
        (218.9, 1e-4),
    ],
)
def test_outside_is_none(T, c):
    assert condition_weights(FOUR, T, c) is None
