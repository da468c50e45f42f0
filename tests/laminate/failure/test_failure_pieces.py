"""Pieces of a failure surface: roots, ranges and the search, at their borders."""

import numpy as np
import pytest

from laminate.failure.load_path import first_mode, strength_ratio
from laminate.failure.modes import Mode
from laminate.failure.search import Judged, PlyAxes, SearchedPiece
from laminate.failure.surface import Surface, first_root

CIRCLE = Surface(mode=Mode.SHEAR, quadratic=((0, 0, 1.0), (1, 1, 1.0), (2, 2, 1.0)))


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


def half(normal, bound):
    return Surface(mode=Mode.SHEAR, quadratic=CIRCLE.quadratic, within=((normal, bound),))


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
    got = strength_ratio([half((1.0, 0.0, 0.0), 0.0)], load, residual, what="test")
    assert got == pytest.approx(R, rel=1e-14)


def test_half_space_away_from_the_origin_and_oblique():
    piece = half((-1.0, -1.0, 0.0), 0.5)  # x + y <= -1/2
    assert strength_ratio([piece], [-1.0, -1.0, 0.0], None, what="test") == pytest.approx(
        np.sqrt(0.5), rel=1e-14
    )
    assert strength_ratio([piece], [1.0, 1.0, 0.0], None, what="test") == np.inf
    # enters the half-space at x = -1.3, which is beyond the circle already
    assert strength_ratio([piece], [-1.0, 0.0, 0.0], [0.0, 0.8, 0.0], what="test") == pytest.approx(
        1.3, rel=1e-14
    )


def test_first_of_several_pieces_gives_ratio_and_mode():
    pieces = (
        Surface(mode=Mode.FIBER_TENSION, linear=((0, 1 / 3),)),
        Surface(mode=Mode.MATRIX_TENSION, linear=((1, 1 / 2),)),
    )
    load = np.array([[1.0, 0.0, 0.0], [1.0, 1.0, 0.0], [1.0, 0.5, 0.0], [-1.0, -1.0, 0.0]])
    np.testing.assert_allclose(strength_ratio(pieces, load, None, what="test"), [3, 2, 3, np.inf])
    modes = [Mode.FIBER_TENSION, Mode.MATRIX_TENSION, Mode.FIBER_TENSION, Mode.NONE]
    np.testing.assert_array_equal(first_mode(pieces, load, None, what="test"), modes)


FIXED = PlyAxes()
BALL = Judged(
    pressed=lambda x, t: np.hypot(x, t), opened=lambda x, t: np.hypot(x, t), steepness=1.0
)  # a circle of radius 1 in the plane of the stress across the fibers and the shear


def searched(within=(((0.0, -1.0, 0.0), 0.0),), frame=FIXED, reach=50.0, judged=BALL):
    return SearchedPiece(mode=Mode.SHEAR, judged=judged, frame=frame, within=within, reach=reach)


def test_searched_piece_finds_what_the_solved_one_solves():
    circle = ((1, 1, 1.0), (2, 2, 1.0))
    for within in ((((0.0, -1.0, 0.0), 0.0),), (((0.0, 1.0, 1.0), -0.3), ((-1.0, 0.0, 0.0), -2.0))):
        solved = Surface(mode=Mode.SHEAR, quadratic=circle, within=within)
        rng = np.random.default_rng(1)
        load, residual = rng.normal(size=(400, 3)), 0.6 * rng.normal(size=(400, 3))
        got = strength_ratio([searched(within)], load, residual, what="test")
        want = strength_ratio([solved], load, residual, what="test")
        np.testing.assert_allclose(got, want, rtol=1e-13)
        assert 0 < np.isfinite(want).sum() < 400
        assert (want == 0).any()


def test_searched_piece_does_not_look_beyond_its_reach():
    for reach, R in ((50.0, 20.0), (30.0, np.inf)):
        far = Judged(
            pressed=lambda x, t: np.hypot(x, t) / 40, opened=lambda x, t: np.hypot(x, t) / 40, steepness=1.0
        )
        piece = searched(reach=reach, judged=far)
        assert strength_ratio([piece], [0.0, -2.0, 0.0], None, what="test") == pytest.approx(R, rel=1e-14)


def test_path_that_lies_on_the_border_of_the_range_does_not_count_for_a_searched_piece():
    assert strength_ratio([searched()], [0.0, 0.0, 2.0], None, what="test") == np.inf
    assert strength_ratio([searched()], [0.0, -1e-9, 2.0], None, what="test") == pytest.approx(0.5)


def test_searched_piece_ends_where_the_frame_fails():
    frame = PlyAxes(limits=(((0.0, 1.0, 0.0), -0.25),))
    piece = searched(frame=frame)
    assert strength_ratio([piece], [0.0, -0.5, 0.0], None, what="test") == pytest.approx(0.5, rel=1e-14)
    assert strength_ratio([piece], [0.0, -0.5, 8.0], None, what="test") == pytest.approx(0.12475, rel=1e-3)
    assert strength_ratio([piece], [0.0, -0.5, 0.0], [0.0, -0.3, 0.0], what="test") == 0


class Arch(PlyAxes):
    """Frame in which the shear rises and falls with the stress along the fibers."""

    def place(self, s1, s2, t12):
        return s2, t12 - s1**2

    def bend(self, low, high, growth):
        return 2 * growth[0] ** 2


@pytest.mark.parametrize("depth", [1e-4, 1e-8, 1e-13, -1e-13, -1e-8, -1e-4])
def test_path_that_grazes_the_edge(depth):
    shear = Judged(pressed=lambda x, t: t, opened=lambda x, t: t, steepness=1.0)
    piece = searched(frame=Arch(), judged=shear, reach=2.0)
    got = strength_ratio([piece], [1.0, 0, 0], [-0.5, -0.1, 1 + depth], what="test")
    assert got == (pytest.approx(0.5 - np.sqrt(depth), rel=1e-7) if depth > 0 else np.inf)


class Dip(PlyAxes):
    """Frame in which the stress across the fibers changes sign twice along s1."""

    def place(self, s1, s2, t12):
        return s2 * (0.01 - s1**2), 0.1 + 0 * t12

    def bend(self, low, high, growth):
        return 2 * growth[0] ** 2


@pytest.mark.parametrize("side", [1, -1])
def test_visit_to_the_other_side_of_zero_is_seen(side):
    safe, failed = (lambda x, t: 0 * x), (lambda x, t: 2 + 0 * x)
    pressed, opened = (safe, failed) if side > 0 else (failed, safe)
    piece = searched(within=(), frame=Dip(), judged=Judged(pressed=pressed, opened=opened, steepness=1.0))
    got = strength_ratio([piece], [1.0, 0, 0], [-0.5, side, 0.0], what="test")
    assert got == pytest.approx(0.4, rel=1e-12)


def test_corner_where_the_shear_changes_sign_is_seen():
    weak = Judged(pressed=lambda x, t: 1.05 - t, opened=lambda x, t: 1.05 - t, steepness=1.0)
    got = strength_ratio([searched(judged=weak)], [0, -1e-9, -1.0], [0, -0.1, 1.0], what="test")
    assert got == pytest.approx(0.95, rel=1e-12)


def test_search_without_end_is_an_error(monkeypatch):
    monkeypatch.setattr("laminate.failure.search.STEPS", 2)
    with pytest.raises(RuntimeError, match="shear: no end of the load path in 2 steps"):
        strength_ratio([searched()], [0.0, -1.0, 2.0], [0.0, -0.3, -0.2], what="test")
