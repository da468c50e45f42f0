import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from beam.axes import frame, into, out_of, rotation, rotation_vector, skew

vectors = st.lists(st.floats(-3, 3), min_size=3, max_size=3).map(np.array)


def test_starboard_strut_down_and_outboard():
    e1, e2, e3 = frame([0.0, 0.35, -0.5], [1.0, 0.0, 0.0])
    assert_allclose(e2, [1, 0, 0], atol=1e-15)
    assert e3[1] < 0, "e3 points inboard"
    assert e3[2] < 0, "and down"
    assert_allclose(np.cross(e1, e2), e3, atol=1e-15)


def test_e2_leans_aft_where_the_strut_is_raked():
    rows = frame([0.3, 0.4, -0.8], [1.0, 0.0, 0.0])
    assert_allclose(rows @ rows.T, np.eye(3), atol=1e-15)
    assert rows[1, 0] > 0
    assert_allclose(np.linalg.det(rows), 1.0)


@pytest.mark.parametrize(
    ("along", "toward"), [([0, 0, 0], [1, 0, 0]), ([2, 0, 0], [1, 0, 0]), ([1, 0, 0], [0, 0, 0])]
)
def test_no_frame(along, toward):
    with pytest.raises(ValueError, match="frame"):
        frame(along, toward)


def test_into_and_back():
    rng = np.random.default_rng(0)
    rows = frame(rng.normal(size=(5, 3)), rng.normal(size=(5, 3)))
    v = rng.normal(size=(5, 3))
    assert_allclose(out_of(rows, into(rows, v)), v, atol=1e-15)
    assert_allclose(into(rows, rows[:, 1]), np.tile([0, 1, 0], (5, 1)), atol=1e-15)


@given(vectors, vectors)
@settings(max_examples=50, deadline=None)
def test_skew_is_the_vector_product(a, b):
    assert_allclose(skew(a) @ b, np.cross(a, b), atol=1e-14)


@given(vectors)
@settings(max_examples=100, deadline=None)
def test_rotation_and_back(v):
    v = v * min(1.0, 3.1 / max(np.linalg.norm(v), 1e-300))
    R = rotation(v)
    assert_allclose(R @ R.T, np.eye(3), atol=1e-14)
    assert_allclose(R @ v, v, atol=1e-13)
    assert_allclose(rotation_vector(R), v, atol=1e-12)


def test_rotation_turns_by_the_right_hand():
    assert_allclose(rotation([0, 0, np.pi / 2]) @ [1, 0, 0], [0, 1, 0], atol=1e-15)
    assert_allclose(rotation_vector(np.eye(3)), np.zeros(3))
    half = rotation_vector(rotation([0, np.pi, 0]))
    assert_allclose(np.abs(half), [0, np.pi, 0], atol=1e-12)
