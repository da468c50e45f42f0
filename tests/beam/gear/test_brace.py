"""Over-center brace: hand calculation, geometry of the folding, friction by virtual work, and what is unlocked."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from retracting import AXIS, BRACE, DOWN_LOCK
from scipy.constants import g
from scipy.spatial.transform import Rotation

from beam.gear import Lock, OverCenterBrace, PivotAxis

# links of 300 and 240 mm along x, the knee 4 mm over center on the +z side; it folds downward
PLANE = {
    "on_airplane": (0.0, 0.0, 0.0),
    "hinge": (0.0, 1.0, 0.0),
    "knee": (np.sqrt(0.3**2 - 0.004**2), 0.0, 0.004),
    "on_gear": (np.sqrt(0.3**2 - 0.004**2) + np.sqrt(0.24**2 - 0.004**2), 0.0, 0.0),
    "folds_toward": (0.3, 0.2, -1.0),
    "pin_radius": (0.008, 0.010, 0.006),
    "pin_friction": 0.15,
}


def test_over_center_against_a_hand_calculation():
    """P = 10 kN, e = 4 mm, play 1.5 mm, spring 6 N m, knee of 0.9 kg at n = -3: the weight pulls upward, off folding.

    offset 10e3 x 0.0025 = 25 N m; knee 0.9 x 9.80665 x 3 x 0.3 x 0.24 / 0.54 = 3.5304 N m; with the spring 34.530.
    In tension, -10e3 x 0.0055 = -55 N m. Friction: 0.15 (10 + (8 x 0.24 + 6 x 0.3) / 0.54) = 2.5333 mm, so unlocking
    takes 10e3 (0.0055 + 0.0025333) + 6 = 86.333 N m.
    """
    brace = OverCenterBrace(**PLANE, play=0.0015, spring_moment=6.0, knee_mass=0.9)
    assert brace.offset == pytest.approx(0.004, abs=1e-15)
    assert brace.offset_left == pytest.approx(0.0025, abs=1e-15)
    assert brace.lengths == pytest.approx((0.3, 0.24))
    assert float(brace.locking_moment(10e3, (0.0, 0.0, -3.0))) == pytest.approx(34.530, abs=5e-4)
    assert brace.locking_moment([10e3, -10e3, 0.0]).tolist() == pytest.approx([31.0, -49.0, 6.0])
    assert brace.friction_radius == pytest.approx(2.5333e-3, abs=5e-8)
    assert float(brace.moment_to_unlock(10e3)) == pytest.approx(86.333, abs=5e-4)
    tension = -10e3 * 0.0025 + 6 + 10e3 * 2.53333e-3
    assert float(brace.moment_to_unlock(-10e3)) == pytest.approx(tension, abs=1e-3)


def test_weight_of_the_knee_is_a_lateral_load_on_two_pinned_links():
    """Equilibrium of each link: the pin forces of a lateral load F at the knee give the moment F l1 l2 / (l1 + l2)."""
    brace = OverCenterBrace(**PLANE, knee_mass=2.0)
    lateral = 2.0 * g * 1.7  # downward, toward folding
    at_airplane = lateral * 0.24 / 0.54  # nearly straight: a beam on two supports
    moment = float(brace.locking_moment(0.0, (0.0, 0.0, 1.7)))
    assert moment == pytest.approx(-at_airplane * 0.3, rel=1e-9)


def test_friction_by_virtual_work():
    """Work of friction over the three pins while the knee moves, over the turn of the knee, links nearly straight."""
    brace = OverCenterBrace(**PLANE)
    upper, lower = brace.lengths
    radii, P = brace.pin_radius, 5e3

    def angles(height):
        a, b = np.arcsin(height / upper), np.arcsin(height / lower)
        return np.array([a, a + b, b])  # airplane, knee, gear

    turns = angles(1e-6) - angles(-1e-6)
    work = float(np.sum(0.15 * P * radii * turns))
    assert P * brace.friction_radius == pytest.approx(work / turns[1], rel=1e-9)


def test_compression_does_work_on_the_knee_only():
    """P times the change of the pin distance is the locking moment times the turn of the knee."""
    brace = OverCenterBrace(**PLANE)
    upper, lower = brace.lengths

    def distance(height):
        return np.sqrt(upper**2 - height**2) + np.sqrt(lower**2 - height**2)

    def knee(height):
        return np.arcsin(height / upper) + np.arcsin(height / lower)

    step = 1e-7
    work = 8e3 * (distance(0.004 - step) - distance(0.004 + step))
    turn = knee(0.004 + step) - knee(0.004 - step)
    assert float(brace.locking_moment(8e3)) == pytest.approx(work / turn, rel=1e-4)


def test_the_brace_folds_with_links_that_keep_their_lengths():
    angle = np.linspace(0.0, AXIS.angle, 40)
    fold = DOWN_LOCK.fold(AXIS, angle)
    gear = AXIS.point + Rotation.from_rotvec(np.outer(angle, AXIS.direction)).apply(
        DOWN_LOCK.on_gear - AXIS.point
    )
    upper, lower = DOWN_LOCK.lengths
    assert_allclose(np.linalg.norm(fold.knee - DOWN_LOCK.on_airplane, axis=1), upper, rtol=1e-12)
    assert_allclose(np.linalg.norm(fold.knee - gear, axis=1), lower, rtol=1e-12)
    assert_allclose((fold.knee - DOWN_LOCK.on_airplane) @ DOWN_LOCK.hinge, 0.0, atol=1e-12)
    apart = np.linalg.norm(gear - DOWN_LOCK.on_airplane, axis=1)
    assert_allclose(np.cos(fold.opening), (upper**2 + lower**2 - apart**2) / (2 * upper * lower), atol=1e-9)
    # it starts just past its dead center, on the folding side, and moves on without a jump
    assert float((fold.knee[0] - DOWN_LOCK.knee) @ DOWN_LOCK.side) > 0
    assert np.abs(np.diff(fold.knee, axis=0)).max() < 0.1
    assert (np.diff(fold.opening) < 0).all()


def test_turns_of_any_shape():
    angle = np.array([[0.0, 0.3, 0.6], [0.9, 1.2, 1.4]])
    many = DOWN_LOCK.fold(AXIS, angle)
    for i in np.ndindex(angle.shape):
        one = DOWN_LOCK.fold(AXIS, angle[i])
        assert_allclose(many.knee[i], one.knee, rtol=1e-12)
        assert_allclose(many.opening[i], one.opening, rtol=1e-12)


def test_over_travel_makes_the_brace_straight():
    beyond = DOWN_LOCK.over_travel(AXIS)
    assert 0 < beyond < 1e-3
    straight = np.linalg.norm(AXIS.at(DOWN_LOCK.on_gear, -beyond) - DOWN_LOCK.on_airplane)
    # the gear's pin leaves the plane of the knee by some micrometers only
    assert float(straight) == pytest.approx(sum(DOWN_LOCK.lengths), abs=1e-8)


def test_a_small_compression_is_a_compression():
    brace = OverCenterBrace(**PLANE, play=0.0015)
    assert float(brace.locking_moment(0.5)) == pytest.approx(0.5 * 0.0025)
    assert float(brace.moment_to_unlock(0.5)) == pytest.approx(0.5 * (0.0055 + brace.friction_radius))


def test_more_play_and_less_spring_lock_less():
    for load in (2e3, -2e3):
        few = [float(replace(DOWN_LOCK, play=p).locking_moment(load)) for p in (0.0, 0.001, 0.003)]
        assert few[0] > few[1] > few[2]
    weaker = replace(DOWN_LOCK, spring_moment=1.0)
    assert (weaker.locking_moment([0.0, 1e3]) < DOWN_LOCK.locking_moment([0.0, 1e3])).all()
    assert (DOWN_LOCK.moment_to_unlock([0.0, 1e3]) >= DOWN_LOCK.locking_moment([0.0, 1e3])).all()


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"play": DOWN_LOCK.offset * 1.001}, "unlocked: the play lets the knee pass"),
        ({"folds_toward": (0.0, 0.0, -1.0)}, "folding side of its dead center, so the brace is unlocked"),
        ({"knee": (BRACE["on_airplane"] + BRACE["on_gear"]) / 2}, "unlocked"),
        ({"knee": BRACE["on_gear"]}, "length of the lower link"),
        ({"hinge": (0.0, 0.0, 0.0)}, "hinge .* a direction"),
        ({"hinge": BRACE["on_gear"] - BRACE["on_airplane"]}, "across the line of the outer pins"),
        ({"folds_toward": BRACE["on_gear"] - BRACE["on_airplane"]}, "across the brace"),
    ],
)
def test_a_brace_that_does_not_lock_is_refused(change, message):
    with pytest.raises(ValueError, match=message):
        OverCenterBrace(**(BRACE | change))


def test_a_brace_that_cannot_reach_is_named_with_its_turn():
    other_way = PivotAxis(point=AXIS.point, direction=-AXIS.direction, angle=1.4)
    with pytest.raises(ValueError, match=r"distance of its pins at .* deg .* within the reach of its links"):
        DOWN_LOCK.fold(other_way, np.linspace(0.0, 1.4, 9))
    with pytest.raises(ValueError, match="cannot give way"):
        DOWN_LOCK.over_travel(other_way)


@pytest.mark.parametrize("angle", [-0.01, 1.41])
def test_a_turn_beyond_the_travel_is_refused(angle):
    with pytest.raises(ValueError, match=r"from 0 to 1\.4, the travel of the gear"):
        DOWN_LOCK.fold(AXIS, [0.5, angle])


def test_a_lock_needs_a_direction():
    with pytest.raises(ValueError, match="Lock: line"):
        Lock(on_gear=(0, 0, 0), line=(0, 0, 0))
