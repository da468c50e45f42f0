"""Pieces of a failure surface: roots, and ranges at their borders."""

import numpy as np
import pytest

from laminate.failure.modes import Mode
from laminate.failure.surface import Surface, first_crossing, first_root

CIRCLE = Surface(mode=Mode.SHEAR, quadratic=((0, 0, 1.0), (1, 1, 1.0), (2, 2, 1.0)))


def ratio(pieces, load, residual=None):
    return first_crossing(pieces, np.asarray(load), None if residual is None else np.asarray(residual))[0]


def half(normal, bound):
    return Surface(mode=Mode.SHEAR, quadratic=CIRCLE.quadratic, within=((normal, bound),))


@pytest.mark.parametrize(
    ("a", "b", "c", "x"),
    [
        (1.0, 0.0, 4.0, 2.0),
        (0.0, 2.0, 4.0, 2.0),
        (0.0, -2.0, 4.0, np.inf),
        (0.0, 0.0, 1.0, np.inf),
        (1.0, -3.0, 4.0, 4.0),
        (1.0, 3.0, 4.0, 1.0),
        (-1.0, 3.0, 2.0, 1.0),  # turns back: the first of two roots
        (-1.0, 1.0, 2.0, np.inf),  # turns back before it is met
        (-1.0, -1.0, 2.0, np.inf),
        (1.0, 1.0, 0.0, 0.0),
        (1.0, -1.0, -1.0, 0.0),
        (1e-30, 1.0, 1.0, 1.0),  # a -> 0 in 2c / (b + root)
        (1e-20, -1.0, 1.0, 1e20),
        (1e-8, -1e8, 1.0, 1e16),  # root - b would cancel
        (1e-8, 1e8, 1.0, 1e-8),
    ],
)
def test_first_root(a, b, c, x):
    with np.errstate(all="ignore"):
        assert first_root(np.array([a]), np.array([b]), np.array([c])) == pytest.approx([x], rel=1e-14)


def test_scalar_coefficients_mean_the_same():
    b = np.array([2.0, -2.0, 0.0, -0.0])
    with np.errstate(all="ignore"):
        np.testing.assert_array_equal(first_root(0.0, b, 4.0), [2.0, np.inf, np.inf, np.inf])
        np.testing.assert_array_equal(first_root(0.0, b, -4.0), np.zeros(4))


@pytest.mark.parametrize(
    ("load", "residual", "R"),
    [
        ((1.0, 0.0, 0.0), None, 1.0),
        ((-1.0, 0.0, 0.0), None, np.inf),
        ((0.0, 1.0, 0.0), None, 1.0),  # along the border of the range: counts
        ((1.0, 0.0, 0.0), (-3.0, 0.0, 0.0), 4.0),  # beyond the circle, but out of the range until R = 3
        ((1.0, 0.0, 0.0), (-3.0, 0.6, 0.0), 3.8),
        ((1.0, 0.0, 0.0), (-3.0, 2.0, 0.0), 3.0),  # enters the range beyond the circle
        ((0.0, 1.0, 0.0), (-0.1, 0.0, 0.0), np.inf),  # beside the range all the way
        ((-1.0, 0.0, 0.0), (0.5, 2.0, 0.0), 0.0),
        ((-1.0, 0.0, 0.0), (0.5, 0.0, 0.0), np.inf),  # leaves the range first
        ((-1.0, 2.0, 0.0), (0.5, 0.0, 0.0), 0.5),  # met at the very border
    ],
)
def test_piece_counts_within_its_half_space(load, residual, R):
    got = ratio([half((1.0, 0.0, 0.0), 0.0)], load, residual)
    assert got == pytest.approx(R, rel=1e-14)


def test_half_space_away_from_the_origin_and_oblique():
    piece = half((-1.0, -1.0, 0.0), 0.5)  # x + y <= -1/2
    assert ratio([piece], [-1.0, -1.0, 0.0]) == pytest.approx(np.sqrt(0.5), rel=1e-14)
    assert ratio([piece], [1.0, 1.0, 0.0]) == np.inf
    # enters the half-space at x = -1.3, which is beyond the circle already
    assert ratio([piece], [-1.0, 0.0, 0.0], [0.0, 0.8, 0.0]) == pytest.approx(1.3, rel=1e-14)


def test_first_of_several_pieces_gives_ratio_and_mode():
    pieces = (
        Surface(mode=Mode.FIBER_TENSION, linear=((0, 1 / 3),)),
        Surface(mode=Mode.MATRIX_TENSION, linear=((1, 1 / 2),)),
    )
    load = np.array([[1.0, 0.0, 0.0], [1.0, 1.0, 0.0], [1.0, 0.5, 0.0], [-1.0, -1.0, 0.0]])
    np.testing.assert_allclose(ratio(pieces, load), [3, 2, 3, np.inf])
    modes = [Mode.FIBER_TENSION, Mode.MATRIX_TENSION, Mode.FIBER_TENSION, Mode.NONE]
    np.testing.assert_array_equal(first_crossing(pieces, load, None)[1], modes)
