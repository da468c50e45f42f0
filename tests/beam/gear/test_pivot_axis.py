"""Retraction: the axis comes back from any rotation, slides are refused, and the actuator's work is accounted for."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.spatial.transform import Rotation

from beam.gear.retraction.pivot_axis import PivotAxis, pivot_axis, wheel_pivot_axis

X, Y, Z = np.eye(3)
unit_vectors = (
    st.tuples(*[st.floats(-1, 1)] * 3)
    .map(np.array)
    .filter(lambda v: np.linalg.norm(v) > 0.1)
    .map(lambda v: v / np.linalg.norm(v))
)
points = st.tuples(*[st.floats(-3, 3)] * 3).map(np.array)


@given(n=unit_vectors, through=points, center=points, angle=st.floats(0.02, np.pi), first=unit_vectors)
@settings(max_examples=60, deadline=None)
def test_any_rotation_is_found_again(n, through, center, angle, first):
    # the general library turns the body; the axis found must be the one it was turned about
    turn, start = Rotation.from_rotvec(angle * n), Rotation.from_rotvec(2 * first).as_matrix()
    arm = center - through
    assume(np.linalg.norm(arm - (arm @ n) * n) > 0.05)
    stowed = through + turn.apply(arm)
    found = pivot_axis(center, start, stowed, turn.as_matrix() @ start)
    assert found.angle == pytest.approx(angle, abs=1e-7)
    if angle < np.pi - 1e-6:
        assert_allclose(found.direction, n, atol=1e-6)
    off = found.point - through
    assert_allclose(off - (off @ n) * n, 0, atol=1e-5)
    assert (found.point - center) @ n == pytest.approx(0, abs=1e-6)
    assert_allclose(found.at(center, found.angle), stowed, atol=1e-6)
    assert_allclose(found.turned(start[:, 1], found.angle), turn.apply(start[:, 1]), atol=1e-6)
    # any other point of the body goes along
    assert_allclose(found.at(center + first, found.angle), stowed + turn.apply(first), atol=1e-6)


@given(n=unit_vectors, through=points, center=points, axle=unit_vectors, angle=st.floats(0.05, 3.1))
@settings(max_examples=60, deadline=None)
def test_a_round_wheel_needs_only_its_axle(n, through, center, axle, angle):
    turn, arm = Rotation.from_rotvec(angle * n), center - through
    # an axis that the axle is parallel to, or that holds the center, leaves no trace in one of them
    assume(np.linalg.norm(np.cross(axle, n)) > 0.1)
    assume(np.linalg.norm(np.cross(arm, n)) > 0.1)
    stowed, after = through + turn.apply(arm), turn.apply(axle)
    d, swung = stowed - center, after - axle
    assume(np.linalg.norm(np.cross(d, swung)) > 1e-2 * np.linalg.norm(d) * np.linalg.norm(swung))
    found = wheel_pivot_axis(center, axle, stowed, after)
    assert_allclose(found.direction, n, atol=1e-5)
    assert found.angle == pytest.approx(angle, abs=1e-5)
    assert_allclose(found.at(center, found.angle), stowed, atol=1e-6)
    assert_allclose(found.turned(axle, found.angle), after, atol=1e-6)


def test_a_wheel_into_the_wing_turns_as_the_shop_expects():
    # starboard leg 1 m long, hinge fore and aft at the origin: the wheel below swings inboard to lie flat in the wing.
    # Inboard is -y: from straight down (-z) to -y is a quarter turn about -x or +x by the right hand: (-z) x (-y) = -x
    found = wheel_pivot_axis([0, 0, -1], [0, 1, 0], [0, -1, 0], [0, 0, -1])
    assert_allclose(found.direction, -X, atol=1e-12)
    assert found.angle == pytest.approx(np.pi / 2)
    assert_allclose(found.point, 0, atol=1e-12)


def test_a_slide_is_refused_with_its_amount():
    turn = Rotation.from_rotvec([0.0, 0.0, 1.2])
    center = np.array([0.5, 0.0, 0.0])
    with pytest.raises(ValueError, match="slide along the axis") as error:
        pivot_axis(center, np.eye(3), turn.apply(center) + [0, 0, 0.0312345678], turn.as_matrix())
    assert "got 0.0312346" in str(error.value)
    assert "[-0.0, -0.0, -0.031235]" in str(error.value)  # to the micrometer


@pytest.mark.parametrize(
    ("stowed", "message"),
    [
        ((X, np.eye(3)), "needs a slide, not a hinge"),
        ((X, np.diag([1.0, 1.0, -1.0])), "right-handed rotation"),
        ((X, 2 * np.eye(3)), "right-handed rotation"),
        ((X, np.eye(2)), "shape"),
    ],
)
def test_bad_poses_are_refused(stowed, message):
    with pytest.raises(ValueError, match=message):
        pivot_axis(np.zeros(3), np.eye(3), *stowed)


@pytest.mark.parametrize(
    "motion",
    [(Z, Z, Z, X), (Z, Z, X, Z), (Z, Z, 3 * X - 2 * Z, X)],
    ids=["place kept", "axle kept", "one line"],
)
def test_wheels_without_one_axis_are_refused(motion):
    with pytest.raises(ValueError, match="not parallel"):
        wheel_pivot_axis(*motion)


def test_the_swept_wheel_keeps_its_shape():
    axis = PivotAxis(point=[0.1, 0.2, 0.3], direction=[1.0, 0.2, 0.1], angle=1.5)
    center, axle = np.array([0.2, 1.0, -0.7]), np.array([0.1, 1.0, 0.0])
    turn = np.linspace(0, 1.5, 4)
    rims = axis.swept_wheel(center, axle, turn, radius=0.22, width=0.16, points=12)
    assert rims.shape == (4, 2, 12, 3)
    middle = axis.at(center, turn)[:, np.newaxis, np.newaxis]
    assert_allclose(np.linalg.norm(rims - middle, axis=-1), np.hypot(0.22, 0.08), rtol=1e-12)
    along = np.sum(
        (rims - middle) * axis.turned(axle / np.linalg.norm(axle), turn)[:, np.newaxis, np.newaxis], axis=-1
    )
    assert_allclose(along[:, 0], -0.08, rtol=1e-9)
    assert_allclose(along[:, 1], 0.08, rtol=1e-9)


def test_limits_of_a_swept_wheel():
    axis = PivotAxis(point=np.zeros(3), direction=X, angle=np.pi)
    size = {"radius": 2.0, "width": 0.0, "points": 3}
    assert axis.swept_wheel(Y, Z, 0.0, **size).shape == (2, 3, 3)
    for change in ({"radius": 2.01}, {"width": 2.01}, {"width": -0.01}, {"points": 2}):
        with pytest.raises(ValueError, match=next(iter(change))):
            axis.swept_wheel(Y, Z, 0.0, **size | change)


def test_bad_axes_are_refused():
    good = PivotAxis(point=np.zeros(3), direction=X, angle=1.0)
    for change, message in (({"angle": 90.0}, "degrees"), ({"direction": np.zeros(3)}, "not zero")):
        with pytest.raises(ValueError, match=message):
            replace(good, **change)
