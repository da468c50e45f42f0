"""Many stacks in one call equal one stack at a time."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from stacks import CARBON

from laminate import Laminate, Ply, plate
from laminate.batch import BLOCK, abd_of_choices
from laminate.lamina_stiffness import q_reduced, q_rotated

KINDS = np.array([0.0, 45.0, -45.0, 90.0, 20.0])
Q_BAR = q_rotated(q_reduced(CARBON.E1, CARBON.E2, CARBON.G12, CARBON.nu12), KINDS)
RNG = np.random.default_rng(2)


def same(many: np.ndarray, expected: np.ndarray) -> None:
    diagonal = np.sqrt(np.diagonal(expected, axis1=-2, axis2=-1))
    size = diagonal[..., :, None] * diagonal[..., None, :]
    assert_allclose(many / size, expected / size, atol=1e-13)


@given(st.integers(1, 5), st.integers(1, 19), st.booleans())
@settings(max_examples=40, deadline=None)
def test_against_the_plain_sum(kinds: int, plies: int, equal: bool) -> None:
    choice = RNG.integers(0, kinds, (6, plies))
    t = np.full(kinds, 1.3e-4) if equal else RNG.uniform(1e-4, 3e-4, kinds)
    same(abd_of_choices(choice, Q_BAR[:kinds], t), plate.abd(Q_BAR[choice], t[choice]))


def test_more_stacks_than_a_block_and_more_kinds_than_a_table() -> None:
    many = q_rotated(q_reduced(CARBON.E1, CARBON.E2, CARBON.G12, CARBON.nu12), np.linspace(-90, 90, 300))
    choice = RNG.integers(0, 300, (BLOCK + 3, 4), dtype=np.uint16)
    got = abd_of_choices(choice, many, 1e-4)
    last = [0, BLOCK - 1, BLOCK, BLOCK + 2]
    same(got[last], plate.abd(many[choice[last]], np.full(4, 1e-4)))


def test_against_laminates() -> None:
    choice = RNG.integers(0, 5, (2, 3, 7), dtype=np.uint8)
    got = abd_of_choices(choice, Q_BAR, CARBON.thickness)
    assert got.shape == (2, 3, 6, 6)
    for i, j in np.ndindex(2, 3):
        same(got[i, j], Laminate(tuple(Ply(CARBON, KINDS[c]) for c in choice[i, j])).abd)


def test_one_stack_and_no_stack() -> None:
    assert abd_of_choices([0, 1, 2], Q_BAR, 1e-4).shape == (6, 6)
    assert abd_of_choices(np.zeros((0, 4), dtype=int), Q_BAR, 1e-4).shape == (0, 6, 6)


@pytest.mark.parametrize(
    ("choice", "thickness", "says"),
    [
        (np.zeros((2, 0), dtype=int), 1e-4, "at least one ply"),
        ([[0, 5]], 1e-4, "0 to 4"),
        ([[0]], [1e-4, 1e-4], "shape"),
    ],
)
def test_choices_that_do_not_fit_are_refused(choice: object, thickness: object, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        abd_of_choices(choice, Q_BAR, thickness)  # type: ignore[arg-type]
