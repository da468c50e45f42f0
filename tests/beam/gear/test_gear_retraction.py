"""Retraction: the axis comes back from any rotation, slides are refused, and the actuator's work is accounted for."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.constants import g
from scipy.spatial.transform import Rotation

from beam.gear import Curve
from beam.gear.retraction.pivot_axis import PivotAxis, pivot_axis, wheel_pivot_axis
from beam.gear.retraction.retracting_gear import RetractingGear
from beam.gear.retraction.swing import lock_load, swing

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
        pivot_axis(center, np.eye(3), turn.apply(center) + [0, 0, 0.03], turn.as_matrix())
    assert "got 0.03" in str(error.value)
    assert "[-0.0, -0.0, -0.03]" in str(error.value)


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


def pendulum(**changes):
    """One mass of 20 kg on 0.8 m, hanging from a hinge fore and aft; the actuator inboard of it."""
    numbers = {
        "axis": PivotAxis(point=np.zeros(3), direction=-X, angle=np.radians(100.0)),
        "mass": [20.0],
        "center": [[0.0, 0.0, -0.8]],
        "actuator_on_gear": [0.0, -0.05, -0.25],
        "actuator_on_airplane": [0.0, -0.5, 0.5],
    }
    return RetractingGear(**(numbers | changes))


def test_a_slow_pendulum_is_statics():
    # m g l sin q, closed form; the actuator's arm by the cross product of its line
    found = swing(pendulum(), duration=120.0)
    moment = 20.0 * g * 0.8 * np.sin(found.angle)
    assert_allclose(found.weight, -moment, atol=1e-9)
    turn = Rotation.from_rotvec(np.outer(found.angle, -X))
    lug, fixed = turn.apply([0.0, -0.05, -0.25]), np.array([0.0, -0.5, 0.5])
    line = (lug - fixed) / np.linalg.norm(lug - fixed, axis=1)[:, np.newaxis]
    arm = np.cross(lug, line) @ -X
    assert_allclose(found.force * arm, moment, atol=0.05)
    # the lug is drawn toward the airplane: it pulls
    assert found.force[200] < 0
    assert_allclose(found.length, np.linalg.norm(lug - fixed, axis=1), rtol=1e-12)


def test_a_fast_pendulum_adds_its_inertia():
    fast, slow = (swing(pendulum(own_inertia=0.7), duration=t) for t in (1.5, 120.0))
    inertia = 20.0 * 0.8**2 + 0.7
    arm = pendulum().actuator_arm(fast.angle)
    assert_allclose(
        (fast.force - slow.force) * arm,
        inertia * (fast.angle_acceleration - slow.angle_acceleration),
        atol=1e-9,
    )
    assert_allclose(np.gradient(fast.angle, fast.time)[1:-1], fast.angle_rate[1:-1], atol=2e-3)
    assert_allclose(np.gradient(fast.angle_rate, fast.time)[1:-1], fast.angle_acceleration[1:-1], atol=2e-2)
    assert np.abs(fast.angle_acceleration).max() == pytest.approx(
        2 * np.pi * np.radians(100) / 1.5**2, rel=1e-4
    )
    assert_allclose(fast.angle_rate[[0, -1]], 0, atol=1e-12)


def test_the_gear_swings_freely_as_a_pendulum_does():
    # without an actuator J q'' = weight moment: small swings of a bar about its end, omega^2 = 3 g / (2 l), closed form
    length, m = 0.9, 12.0
    bar = pendulum(mass=[m], center=[[0.0, 0.0, -length / 2]], own_inertia=m * length**2 / 12)
    q = 1e-4
    assert -float(bar.weight_moment(q)) / bar.inertia / q == pytest.approx(1.5 * g / length, rel=1e-7)


@pytest.mark.parametrize("extending", [False, True])
def test_work_of_the_actuator_is_weight_air_and_friction(extending):
    gear = pendulum(
        axis=PivotAxis(point=[0.0, 0.0, 0.0], direction=[-0.9, 0.3, 0.1], angle=1.6),
        mass=[12.0, 6.0],
        center=[[0.05, 0.1, -0.8], [0.0, 0.02, -0.4]],
        own_inertia=0.4,
        drag_area=0.08,
        drag_center=[0.02, 0.05, -0.6],
        pivot_friction=9.0,
    )
    found = swing(gear, duration=2.0, dynamic_pressure=1500.0, extending=extending, steps=2000)
    ends = (
        gear.axis.at(gear.center[0], found.angle[[0, -1]]),
        gear.axis.at(gear.center[1], found.angle[[0, -1]]),
    )
    lifted = g * (12.0 * (ends[0][1, 2] - ends[0][0, 2]) + 6.0 * (ends[1][1, 2] - ends[1][0, 2]))
    drag = gear.axis.at(gear.drag_center, found.angle[[0, -1]])
    against = -1500.0 * 0.08 * (drag[1, 0] - drag[0, 0])
    # it starts and ends at rest: no kinetic energy is left
    assert found.work == pytest.approx(lifted + against + 9.0 * 1.6, rel=1e-4)
    arm = gear.actuator_arm(found.angle)
    total = found.force * arm + found.weight + found.air + found.friction + found.inertia
    assert_allclose(total, 0, atol=1e-9)
    assert_allclose(np.gradient(found.length, found.angle)[1:-1], arm[1:-1], atol=1e-4)


def test_air_load_pushes_aft_and_hides_in_the_bay():
    # a hinge athwart, leg straight down, stowing aft: the wind helps, and less so as the leg goes into its bay
    axis = PivotAxis(point=np.zeros(3), direction=-Y, angle=np.pi / 2)
    assert_allclose(axis.at([0, 0, -1.0], np.pi / 2), X, atol=1e-12)
    numbers = {
        "axis": axis,
        "center": [[0.0, 0.0, -0.8]],
        "actuator_on_gear": [0.05, 0.0, -0.25],
        "actuator_on_airplane": [0.6, 0.0, 0.2],
        "drag_area": 0.1,
        "drag_center": [0.0, 0.0, -0.7],
    }
    open_wind = pendulum(**numbers)
    q = np.array([0.0, np.pi / 4, np.pi / 2])
    assert_allclose(open_wind.air_moment(q, 1000.0), 100.0 * 0.7 * np.cos(q), atol=1e-9)
    bay = pendulum(**numbers, exposure=Curve(x=[0.0, 1.0], y=[1.0, 0.0]))
    assert_allclose(bay.air_moment(q, 1000.0), 100.0 * 0.7 * np.cos(q) * [1, 0.5, 0], atol=1e-9)


def test_load_factor_scales_the_weight_and_turns_with_the_airplane():
    gear, q = pendulum(), np.array([0.3, 1.2])
    assert_allclose(gear.weight_moment(q, (0, 0, 2.0)), 2 * gear.weight_moment(q))
    # an acceleration of the airplane to starboard leaves the wheel behind, to port: toward stowed here
    assert_allclose(gear.weight_moment(q, (0, 1.0, 0)), 20 * g * 0.8 * np.cos(q), atol=1e-9)


def test_lock_load_is_a_lever():
    # stowed flat at 90 deg, the mass 0.8 m inboard; a hook 0.5 m inboard lifts straight up: 20 g n 0.8 / 0.5
    gear = pendulum(axis=PivotAxis(point=np.zeros(3), direction=-X, angle=np.pi / 2))
    moment = gear.weight_moment(np.pi / 2, (0, 0, 3.0))
    found = lock_load(gear.axis, np.pi / 2, moment, lock_at=[0, 0, -0.5], lock_line=[0, 0, 2.0])
    assert float(found) == pytest.approx(20 * g * 3.0 * 0.8 / 0.5)
    with pytest.raises(ValueError, match="passes through the axis"):
        lock_load(gear.axis, np.pi / 2, moment, lock_at=[0, 0, -0.5], lock_line=[0, 1.0, 0])
    with pytest.raises(ValueError, match="not zero"):
        lock_load(gear.axis, np.pi / 2, moment, lock_at=[0, 0, -0.5], lock_line=[0, 0, 0])


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"actuator_on_airplane": [0.0, 0.5, 0.5]}, "dead center"),
        ({"mass": [-1.0]}, "mass"),
        ({"mass": [1.0, 2.0]}, "shape"),
        ({"drag_area": 0.1}, "drag_center"),
        ({"pivot_friction": -1.0}, "pivot_friction"),
    ],
)
def test_bad_gears_are_refused(change, message):
    with pytest.raises(ValueError, match=message):
        pendulum(**change)


@pytest.mark.parametrize(
    ("change", "message"), [({"duration": 0.0}, "duration"), ({"dynamic_pressure": -1.0}, "pressure")]
)
def test_bad_swings_are_refused(change, message):
    with pytest.raises(ValueError, match=message):
        swing(pendulum(), **({"duration": 5.0} | change))


def test_bad_axes_are_refused():
    good = PivotAxis(point=np.zeros(3), direction=X, angle=1.0)
    for change, message in (({"angle": 90.0}, "degrees"), ({"direction": np.zeros(3)}, "not zero")):
        with pytest.raises(ValueError, match=message):
            replace(good, **change)
