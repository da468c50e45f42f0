from itertools import pairwise

import numpy as np
import pytest
from numpy.testing import assert_allclose
from spans import PLAIN, coupled, frame_solve, slender

from beam.axes import rotation
from beam.strut import Axis, PointLoads, Span, Support
from beam.strut.axis import distinct, snap

KINKED = np.array([[0, 0, 0], [0.3, 0, 0], [0.5, 0.15, 0.05], [0.6, 0.2, -0.1]], dtype=float)
RNG = np.random.default_rng(5)


def test_frames_are_carried_without_spin():
    axis = Axis(points=KINKED)
    rows = axis.stretch_frames
    for a, b in pairwise(rows):
        turn = b.T @ a  # takes the axes of one stretch to the next
        spin = np.array([turn[2, 1] - turn[1, 2], turn[0, 2] - turn[2, 0], turn[1, 0] - turn[0, 1]])
        assert_allclose(spin @ a[0], 0, atol=1e-15)
        assert_allclose(b @ b.T, np.eye(3), atol=1e-15)
    assert_allclose(rows[0], np.eye(3), atol=1e-15)


def test_axis_along_e2_still_has_a_frame():
    rows = Axis(points=[[0, 0, 0], [0, 1, 0]]).stretch_frames[0]
    assert_allclose(rows @ rows.T, np.eye(3), atol=1e-15)
    assert np.linalg.det(rows) == pytest.approx(1)


def test_a_kink_station_belongs_to_the_inboard_stretch():
    axis = Axis(points=KINKED)
    assert_allclose(axis.frames(axis.kinks[1:2])[0], axis.stretch_frames[0])
    assert_allclose(axis.position(axis.kinks), KINKED, atol=1e-15)


def test_kinked_span_against_a_frame_of_elements():
    K = coupled()
    span = Span(axis=KINKED, stiffness=K)
    f = RNG.normal(size=6)
    loads = PointLoads(at=span.axis.kinks[[2, 3]], force=[[f[:3], f[3:]]], moment=[[f[3:], f[:3]]])
    exact, _ = frame_solve(KINKED, K, {0: range(6)}, {}, {2: np.r_[f[:3], f[3:]], 3: np.r_[f[3:], f[:3]]})
    assert_allclose(span.displacement(loads)[0], exact, rtol=1e-10, atol=1e-18)


def test_nothing_changes_when_the_axes_move():
    """The same span written in other axes gives the same vectors in those axes."""
    R = rotation([0.4, -0.3, 0.9])
    span = Span(axis=KINKED, stiffness=slender(5e4, stiff=1e9))  # equal in all section directions
    turned = Span(axis=KINKED @ R.T + [1, 2, 3], stiffness=slender(5e4, stiff=1e9))
    f, m = RNG.normal(size=(2, 1, 1, 3))
    at = [span.axis.length]
    a = span.displacement(PointLoads(at=at, force=f, moment=m), at)[0, 0]
    b = turned.displacement(PointLoads(at=at, force=f @ R.T, moment=m @ R.T), at)[0, 0]
    assert_allclose(b, np.r_[R @ a[:3], R @ a[3:]], rtol=1e-10)


def test_straight_points_equal_a_length():
    loads = PointLoads(at=[0.3, 0.6], force=RNG.normal(size=(2, 2, 3)))
    a = Span(axis=0.6, stiffness=PLAIN, stations=9)
    b = Span(axis=[[0, 0, 0], [0.2, 0, 0], [0.6, 0, 0]], stiffness=PLAIN, stations=9)
    assert_allclose(a.displacement(loads), b.displacement(loads), rtol=1e-12, atol=1e-20)


def arc(stretches):
    a = np.linspace(0, np.pi / 2, stretches + 1)
    return np.stack([np.sin(a), 1 - np.cos(a), 0 * a], axis=-1)


# Quarter circle of radius 1 clamped at one end, unit load at the other, Castigliano, thin bar:
# along the clamped tangent pi/4, across it in the plane 3 pi/4 - 2, their product term 1/2;
# out of the plane pi/4 / EI + (3 pi/4 - 2) / GJ.
def test_quarter_circle_comes_nearer_with_the_square_of_the_step():
    EI, GJ = 2e4, 1e4
    exact = np.array([np.pi / 4, 3 * np.pi / 4 - 2, -0.5, np.pi / 4 + (3 * np.pi / 4 - 2) * EI / GJ]) / EI
    counts, errors = [20, 40, 80], []
    for n in counts:
        span = Span(axis=arc(n), stiffness=slender(EI, stiff=1e20, GJ=GJ))
        tip = [span.axis.length]
        u = span.displacement(PointLoads(at=tip, force=np.eye(3)[:, None]), tip)[:, 0]
        errors.append(np.abs([u[0, 0], u[1, 1], u[0, 1], u[2, 2]] / exact - 1).max())
    assert errors[-1] < 2e-4
    assert np.polyfit(np.log(counts), np.log(errors), 1)[0] == pytest.approx(-2, abs=0.1)


def test_full_ring_quarter_with_symmetry():
    """Quarter of a ring of radius 1 pulled across a diameter, its ends held from turning."""
    span = Span(
        axis=arc(200),
        stiffness=slender(2e4, stiff=1e12),
        supports=[
            Support.motions(0.0, ("u1", "u3", "r1", "r2", "r3"), name="at the crown"),
            Support.motions(Axis(points=arc(200)).length, ("u2", "r3"), name="at the side"),
        ],
    )
    # Half of the pull P acts on each quarter at the crown; the diameter grows by twice the crown's travel.
    u = span.displacement(PointLoads(at=[0.0], force=[[[0, -0.5, 0]]]), [0.0])[0, 0, 1]
    growth = -2 * u
    # Timoshenko, Strength of Materials: growth 0.149 P R^3/EI for the pulled diameter (pi/4 - 2/pi = 0.1488).
    assert growth * 2e4 == pytest.approx(np.pi / 4 - 2 / np.pi, rel=1e-4)


def test_stations_within_a_billionth_of_the_length_are_one():
    marks = np.array([0.0, 0.3, 0.6])
    for mark in marks:
        for off in (-0.9e-9, -1e-16, 0.0, 1e-16, 0.9e-9):
            assert snap(mark + 0.6 * off, marks, 0.6) == mark
        for off in (-1.1e-9, 1.1e-9):
            assert snap(mark + 0.6 * off, marks, 0.6) == mark + 0.6 * off
    assert_allclose(distinct([0.6, 0.3, 0.3 + 5e-10, 0.3 + 7e-10, 0.0], 0.6), marks, rtol=0, atol=0)


def test_stations_beside_an_end_are_put_on_it():
    axis = Axis(points=KINKED)
    ends = axis.kinks[[0, -1]]
    assert_allclose(axis.check("s [m]", ends + [-1e-16, 1e-16]), ends, rtol=0, atol=0)
    with pytest.raises(ValueError, match=r"s \[m\]: got 620, must be from 0 to the tip at .*; given in mm"):
        axis.check("s [m]", [620.0])
