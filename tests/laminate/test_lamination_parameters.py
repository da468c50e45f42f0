"""Lamination parameters: the second way to ABD for one material."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from stacks import ANGLES, CARBON

from laminate import Laminate, Ply
from laminate.lamina_stiffness import invariants, q_reduced
from laminate.lamination_parameters import abd_of_parameters, lamination_parameters

U = invariants(q_reduced(CARBON.E1, CARBON.E2, CARBON.G12, CARBON.nu12))


@given(st.lists(ANGLES, min_size=1, max_size=10))
@settings(max_examples=60, deadline=None)
def test_parameters_lead_to_the_same_stiffness(angles: list[float]) -> None:
    stack = Laminate(tuple(Ply(CARBON, a) for a in angles))
    xi = lamination_parameters(stack.angles_deg, stack.ply_thickness)
    assert (abs(xi) <= 1 + 1e-12).all()
    size = np.sqrt(np.outer(np.diag(stack.abd), np.diag(stack.abd)))
    assert_allclose(abd_of_parameters(xi, U, stack.thickness) / size, stack.abd / size, atol=1e-12)


def test_known_points() -> None:
    t = np.full(4, 1e-4)
    assert_allclose(lamination_parameters([0, 0, 0, 0], t)[[0, 2]], [[1, 1, 0, 0]] * 2, atol=1e-15)
    assert_allclose(lamination_parameters([90, 90, 90, 90], t)[0], [-1, 1, 0, 0], atol=1e-15)
    assert_allclose(lamination_parameters([45, -45, 90, 0], t)[0], [0, 0, 0, 0], atol=1e-15)
    assert_allclose(lamination_parameters([90, 90, 0, 0], t)[1], [1, 0, 0, 0], atol=1e-15)


@given(st.lists(ANGLES, min_size=1, max_size=10))
@settings(max_examples=30, deadline=None)
def test_parameters_of_a_stack_can_occur(angles: list[float]) -> None:
    # 2 xi1^2 <= 1 + xi2 in each row of A and D: the mean of cos^2 is at least the square of the mean
    xi = lamination_parameters(angles, np.full(len(angles), 1e-4))
    assert (2 * xi[[0, 2], 0] ** 2 <= 1 + xi[[0, 2], 1] + 1e-12).all()


def test_leading_axes_equal_their_loop() -> None:
    rng = np.random.default_rng(1)
    angles, t = rng.uniform(-90, 90, (3, 2, 5)), rng.uniform(1e-4, 2e-4, (2, 5))
    xi = lamination_parameters(angles, t)
    K = abd_of_parameters(xi, U, t.sum(axis=-1))
    assert (xi.shape, K.shape) == ((3, 2, 3, 4), (3, 2, 6, 6))
    for i, j in np.ndindex(3, 2):
        assert_allclose(xi[i, j], lamination_parameters(angles[i, j], t[j]), rtol=1e-12, atol=1e-15)
        assert_allclose(K[i, j], abd_of_parameters(xi[i, j], U, t[j].sum()), rtol=1e-12)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: lamination_parameters([0, 90], [1e-4]), "2 and 1 plies"),
        (lambda: lamination_parameters([], []), "at least one"),
        (lambda: lamination_parameters([0], [-1e-4]), ">= 0"),
        (lambda: lamination_parameters([np.nan], [1e-4]), "finite"),
        (lambda: lamination_parameters(np.zeros((2, 1)), np.ones((3, 1))), "broadcastable"),
        (lambda: abd_of_parameters(np.zeros((3, 3)), U, 1e-3), "shape"),
        (lambda: abd_of_parameters(np.zeros((3, 4)), U[:4], 1e-3), "shape"),
        (lambda: abd_of_parameters(np.zeros((3, 4)), U, "thin"), "numbers"),
    ],
)
def test_bad_input(call, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        call()
