"""Curves through points: slopes against the formula of the source, the integral against quadrature."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.integrate import quad

from beam.gear import Curve
from beam.gear.parts.rotation import rising_root

POINTS = ([0.0, 0.1, 0.25, 0.3, 0.7], [0.0, 2.0, 2.5, 6.0, 6.5])
WAVY = ([-1.0, 0.5, 1.0, 4.0], [1.0, -2.0, -2.0, 3.0])


@pytest.mark.parametrize(("x", "y"), [POINTS, WAVY])
def test_slope_inside_is_the_weighted_harmonic_mean_of_the_chords(x, y):
    """Fritsch and Butland (1984): (w1 + w2) / (w1 / d1 + w2 / d2), w1 = 2 h2 + h1, w2 = h2 + 2 h1; zero at a turn."""
    h, d = np.diff(x), np.diff(y) / np.diff(x)
    step, curve = 1e-7, Curve(x=x, y=y)
    for i in range(1, len(h)):
        before, after, w1, w2 = d[i - 1], d[i], 2 * h[i] + h[i - 1], h[i] + 2 * h[i - 1]
        want = (w1 + w2) / (w1 / before + w2 / after) if before * after > 0 else 0.0
        found = (curve(x[i] + step) - curve(x[i] - step)) / (2 * step)
        assert found == pytest.approx(want, rel=1e-4, abs=1e-4)


def test_two_points_make_a_straight_line():
    assert_allclose(Curve(x=[0.0, 2.0], y=[1.0, 5.0])([0.0, 0.5, 2.0]), [1.0, 2.0, 5.0], rtol=1e-15)


@given(st.lists(st.floats(0.01, 5.0), min_size=2, max_size=7), st.integers(0, 10**6))
@settings(max_examples=40, deadline=None)
def test_passes_through_its_points_and_stays_between_them(steps, seed):
    rise = np.random.default_rng(seed).uniform(0, 3, len(steps))
    x, y = np.cumsum([0.0, *steps]), np.cumsum([0.0, *rise])
    curve = Curve(x=x, y=y)
    assert_allclose(curve(x), y, atol=1e-12)
    fine = curve(np.linspace(0, x[-1], 401))
    assert (np.diff(fine) >= -1e-12).all()


@pytest.mark.parametrize("extend", [True, False])
@pytest.mark.parametrize("end", [-0.4, 0.05, 0.28, 0.7, 1.3])
def test_integral_is_the_area_from_zero(extend, end):
    curve = Curve(x=POINTS[0], y=POINTS[1], extend=extend)
    area, _ = quad(lambda t: float(curve(t)), 0.0, end, points=[0.1, 0.25, 0.3, 0.7], epsabs=1e-13)
    assert float(curve.integral(end)) == pytest.approx(area, abs=1e-11)


def test_beyond_the_points():
    kept, extended = (Curve(x=POINTS[0], y=POINTS[1], extend=flag) for flag in (False, True))
    assert float(kept(9.0)) == 6.5
    assert float(kept(-9.0)) == 0.0
    step = 1e-6
    slope = float(extended(0.7) - extended(0.7 - step)) / step
    assert float(extended(0.9)) == pytest.approx(6.5 + 0.2 * slope, rel=1e-4)
    first = float(extended(step) - extended(0.0)) / step
    assert float(extended(-0.5)) == pytest.approx(-0.5 * first, rel=1e-4)


def test_numbers_that_are_none_go_through():
    curve = Curve(x=POINTS[0], y=POINTS[1])
    assert np.isnan(curve([np.nan, 0.1])).tolist() == [True, False]
    assert np.isnan(curve.integral(np.nan))


def test_arrays_equal_loops_and_keep_their_shape():
    curve, at = Curve(x=POINTS[0], y=POINTS[1], extend=True), np.linspace(-0.2, 1, 12).reshape(3, 4)
    assert curve(at).shape == curve.integral(at).shape == (3, 4)
    assert_allclose(curve(at).ravel(), [float(curve(v)) for v in at.ravel()])
    assert_allclose(curve.integral(at).ravel(), [float(curve.integral(v)) for v in at.ravel()])


@pytest.mark.parametrize(
    ("x", "y", "message"),
    [
        ([0, 1, 1], [0, 1, 2], "rising"),
        ([0, 2, 1], [0, 1, 2], "rising"),
        ([0, 1], [0, 1, 2], "two equal rows"),
        ([0], [0], "two equal rows"),
        ([0, np.nan], [0, 1], "finite"),
    ],
)
def test_bad_points_are_refused(x, y, message):
    with pytest.raises(ValueError, match=message):
        Curve(x=x, y=y)


def test_roots_of_a_rising_function():
    want = np.array([[0.1, 2.0], [5.0, 9.9]])
    assert_allclose(rising_root(lambda x: x**3 - want**3, 0.0, np.full((2, 2), 10.0)), want, rtol=1e-14)
    # one sign over the whole bracket: the nearer end
    assert float(rising_root(lambda x: x + 1.0, 0.0, 1.0)) == pytest.approx(0.0, abs=1e-15)
