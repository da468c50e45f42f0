"""Searched pieces of a failure surface, at their borders."""

import numpy as np
import pytest

from laminate.failure.modes import Mode
from laminate.failure.searched_piece import CrackIndex, PlyAxes, SearchedPiece
from laminate.failure.surface import Surface, first_crossing


def ratio(pieces, load, residual=None):
    return first_crossing(pieces, np.asarray(load), None if residual is None else np.asarray(residual))[0]


FIXED = PlyAxes()
BALL = CrackIndex(
    closed=lambda x, t: np.hypot(x, t), opened=lambda x, t: np.hypot(x, t), steepness=1.0
)  # a circle of radius 1 in the plane of the stress across the fibers and the shear


def searched(within=(((0.0, -1.0, 0.0), 0.0),), frame=FIXED, reach=50.0, index=BALL):
    return SearchedPiece(mode=Mode.SHEAR, index=index, frame=frame, within=within, reach=reach)


def test_searched_piece_finds_what_the_solved_one_solves():
    circle = ((1, 1, 1.0), (2, 2, 1.0))
    for within in ((((0.0, -1.0, 0.0), 0.0),), (((0.0, 1.0, 1.0), -0.3), ((-1.0, 0.0, 0.0), -2.0))):
        solved = Surface(mode=Mode.SHEAR, quadratic=circle, within=within)
        rng = np.random.default_rng(1)
        load, residual = rng.normal(size=(400, 3)), 0.6 * rng.normal(size=(400, 3))
        got = ratio([searched(within)], load, residual)
        want = ratio([solved], load, residual)
        np.testing.assert_allclose(got, want, rtol=1e-13)
        assert 0 < np.isfinite(want).sum() < 400
        assert (want == 0).any()


def test_searched_piece_does_not_look_beyond_its_reach():
    for reach, R in ((50.0, 20.0), (30.0, np.inf)):
        far = CrackIndex(
            closed=lambda x, t: np.hypot(x, t) / 40, opened=lambda x, t: np.hypot(x, t) / 40, steepness=1.0
        )
        piece = searched(reach=reach, index=far)
        assert ratio([piece], [0.0, -2.0, 0.0]) == pytest.approx(R, rel=1e-14)


def test_path_that_lies_on_the_border_of_the_range_does_not_count_for_a_searched_piece():
    assert ratio([searched()], [0.0, 0.0, 2.0]) == np.inf
    assert ratio([searched()], [0.0, -1e-9, 2.0]) == pytest.approx(0.5)


def test_searched_piece_ends_where_the_frame_fails():
    frame = PlyAxes(limits=(((0.0, 1.0, 0.0), -0.25),))
    piece = searched(frame=frame)
    assert ratio([piece], [0.0, -0.5, 0.0]) == pytest.approx(0.5, rel=1e-14)
    assert ratio([piece], [0.0, -0.5, 8.0]) == pytest.approx(0.12475, rel=1e-3)
    assert ratio([piece], [0.0, -0.5, 0.0], [0.0, -0.3, 0.0]) == 0


class Arch(PlyAxes):
    """Frame in which the shear rises and falls with the stress along the fibers."""

    def place(self, s1, s2, t12):
        return s2, t12 - s1**2

    def bend(self, low, high, growth):
        return 2 * growth[0] ** 2


@pytest.mark.parametrize("depth", [1e-4, 1e-8, 1e-13, -1e-13, -1e-8, -1e-4])
def test_path_that_grazes_the_edge(depth):
    shear = CrackIndex(closed=lambda x, t: t, opened=lambda x, t: t, steepness=1.0)
    piece = searched(frame=Arch(), index=shear, reach=2.0)
    got = ratio([piece], [1.0, 0, 0], [-0.5, -0.1, 1 + depth])
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
    closed, opened = (safe, failed) if side > 0 else (failed, safe)
    piece = searched(within=(), frame=Dip(), index=CrackIndex(closed=closed, opened=opened, steepness=1.0))
    got = ratio([piece], [1.0, 0, 0], [-0.5, side, 0.0])
    assert got == pytest.approx(0.4, rel=1e-12)


def test_corner_where_the_shear_changes_sign_is_seen():
    weak = CrackIndex(closed=lambda x, t: 1.05 - t, opened=lambda x, t: 1.05 - t, steepness=1.0)
    got = ratio([searched(index=weak)], [0, -1e-9, -1.0], [0, -0.1, 1.0])
    assert got == pytest.approx(0.95, rel=1e-12)


def test_search_without_end_is_an_error(monkeypatch):
    monkeypatch.setattr("laminate.failure.searched_piece.STEPS", 2)
    with pytest.raises(RuntimeError, match="shear: no end of the load path in 2 steps"):
        ratio([searched()], [0.0, -1.0, 2.0], [0.0, -0.3, -0.2])


class Bowl(PlyAxes):
    """Frame in which the shear falls and rises with the stress along the fibers."""

    def place(self, s1, s2, t12):
        return s2, t12 + s1**2

    def bend(self, low, high, growth):
        return 2 * growth[0] ** 2


def test_search_in_many_steps_ends_where_the_range_does():
    """The piece is met at R = 0.5 + sqrt(0.5) = 1.2071: beyond the first range, within the second."""
    shear = CrackIndex(closed=lambda x, t: t, opened=lambda x, t: t, steepness=1.0)
    for border, R in ((0.69, np.inf), (0.72, 0.5 + np.sqrt(0.5))):
        piece = searched(within=(((-1.0, 0.0, 0.0), -border),), frame=Bowl(), index=shear)
        assert ratio([piece], [1.0, 0, 0], [-0.5, -0.1, 0.5]) == pytest.approx(R, rel=1e-12)
