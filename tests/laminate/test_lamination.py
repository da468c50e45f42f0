"""Lamination parameters: the second way to ABD for one material."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from stacks import ANGLES, CARBON

from laminate import Laminate, Ply
from laminate.lamina_stiffness import invariants, q_reduced
from laminate.lamination import abd_of_parameters, lamination_parameters

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


def test_what_is_no_stack_is_refused() -> None:
    with pytest.raises(ValueError, match="2 and 1 plies"):
        lamination_parameters([0, 90], [1e-4])
    with pytest.raises(ValueError, match="> 0 for one"):
        lamination_parameters([0], [0.0])
    with pytest.raises(ValueError, match="positive definite"):
        abd_of_parameters([[0.9, -0.9, 0, 0], [0] * 4, [0] * 4], U, 1e-3)
