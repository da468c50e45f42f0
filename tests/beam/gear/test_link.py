"""The link: circles, lengths and angles against direct geometry; alignment against a turned wheel."""

import numpy as np
import pytest
from gears import SKEW, trailing_gear
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.spatial.transform import Rotation

from beam.gear import TrailingLink, alignment
from beam.gear.parts.rotation import circle, distance_terms, position, slope

STROKE = np.linspace(0.0, 0.115, 8)
LINKS = {"plane": trailing_gear().link, "skewed": trailing_gear(**SKEW).link}


@pytest.fixture(params=LINKS)
def link(request):
    return LINKS[request.param]


def turned(link, point, angle):
    """The point after a turn about the hinge, by a general library."""
    turn = Rotation.from_rotvec(np.multiply.outer(angle, link.hinge))
    return link.pivot + turn.apply(point - link.pivot)


def test_points_turn_about_the_hinge(link):
    angle = np.linspace(-0.2, 1.0, 7)
    assert_allclose(position(link.axle_terms, angle), turned(link, link.axle, angle), atol=1e-15)
    assert_allclose(position(link.lug_terms, angle), turned(link, link.shock_on_link, angle), atol=1e-15)
    turn = Rotation.from_rotvec(np.multiply.outer(angle, link.hinge))
    assert_allclose(position(link.wheel_axis_terms, angle), turn.apply(link.wheel_axis.copy()), atol=1e-15)


def test_shock_length_is_the_distance_between_its_ends(link):
    angle = np.linspace(-0.2, 1.0, 7)
    ends = turned(link, link.shock_on_link, angle) - link.shock_on_strut
    assert_allclose(link.shock_length(angle), np.linalg.norm(ends, axis=-1), rtol=1e-14)


def test_angle_and_stroke_invert_each_other(link):
    angle = link.angle(STROKE)
    assert_allclose(link.shock_length(0.0) - link.shock_length(angle), STROKE, atol=1e-15)
    assert angle[0] == pytest.approx(0.0, abs=1e-14)
    assert (np.diff(angle) > 0).all()


def test_motion_ratio_and_arm_are_the_derivatives(link):
    stroke, step = STROKE[1:-1], 1e-5
    before, after = link.angle(stroke - step), link.angle(stroke + step)
    assert_allclose(link.shock_arm(link.angle(stroke)), 2 * step / (after - before), rtol=1e-7)
    rise = (position(link.axle_terms, after) - position(link.axle_terms, before))[:, 2]
    assert_allclose(link.motion_ratio(stroke), 2 * step / rise, rtol=1e-7)


def test_arm_is_the_distance_of_the_line_from_a_plane_hinge():
    link = LINKS["plane"]
    angle = link.angle(0.05)
    lug, bracket = position(link.lug_terms, angle)[[0, 2]], link.shock_on_strut[[0, 2]]
    along = lug - bracket
    offset = bracket - link.pivot[[0, 2]]
    shadow = abs(offset[0] * along[1] - offset[1] * along[0]) / np.linalg.norm(lug - bracket)
    # the arm of the force's part in the plane of the motion
    share = np.linalg.norm(lug - bracket) / link.shock_length(angle)
    assert float(link.shock_arm(angle)) == pytest.approx(shadow * share, rel=1e-12)


def test_closed_form_of_a_right_angle_link():
    # lug and bracket both at 0.2 m from the pivot, 90 degrees apart: L = 2 r sin(half the angle between)
    link = TrailingLink(
        pivot=(0, 0, 0), axle=(0.3, 0, 0), shock_on_link=(0.2, 0, 0), shock_on_strut=(0, 0, 0.2)
    )
    closed = np.radians([10.0, 40.0, 80.0])
    stroke = 0.4 * (np.sin(np.pi / 4) - np.sin((np.pi / 2 - closed) / 2))
    assert_allclose(link.angle(stroke), closed, rtol=1e-12)
    assert_allclose(position(link.axle_terms, closed)[:, 2], 0.3 * np.sin(closed), rtol=1e-12)
    assert link.geometric_stroke == pytest.approx(0.4 * np.sin(np.pi / 4), rel=1e-12)


def test_the_hinge_can_be_given_either_way():
    link = LINKS["skewed"]
    other = TrailingLink(
        pivot=link.pivot,
        axle=link.axle,
        shock_on_link=link.shock_on_link,
        shock_on_strut=link.shock_on_strut,
        hinge=-link.hinge,
        wheel_axis=link.wheel_axis,
    )
    assert_allclose(other.hinge, link.hinge)


def test_a_plane_hinge_keeps_the_wheel_upright():
    found = alignment(LINKS["plane"], STROKE)
    assert_allclose([found.camber_deg, found.toe_deg], 0.0, atol=1e-12)
    assert_allclose(found.trail, position(LINKS["plane"].axle_terms, LINKS["plane"].angle(STROKE))[:, 0])
    assert (np.diff(found.caster_deg) > 0).all()


@pytest.mark.parametrize("flip", [1.0, -1.0])
def test_camber_and_toe_of_a_turned_wheel(flip):
    # the starboard wheel's top leaned outboard (+y) by 3 deg, its front turned inboard by 2 deg
    lean, turn = Rotation.from_euler("x", -3, degrees=True), Rotation.from_euler("z", 2, degrees=True)
    top = lean.apply([0.0, 0.0, 1.0])
    assert top[1] > 0
    front = turn.apply([-1.0, 0.0, 0.0])
    assert front[1] < 0
    plain = LINKS["plane"]
    link = TrailingLink(
        pivot=plain.pivot,
        axle=plain.axle,
        shock_on_link=plain.shock_on_link,
        shock_on_strut=plain.shock_on_strut,
        wheel_axis=flip * (turn * lean).apply([0.0, 1.0, 0.0]),
    )
    found = alignment(link, 0.0)
    assert float(found.camber_deg) == pytest.approx(3.0)
    assert float(found.toe_deg) == pytest.approx(2.0)


@given(
    st.lists(st.floats(-1, 1), min_size=3, max_size=3),
    st.lists(st.floats(-1, 1), min_size=3, max_size=3),
    st.floats(-3, 3),
)
@settings(max_examples=40, deadline=None)
def test_circles_keep_radius_and_height(point, fixed, angle):
    axis = np.array([0.36, 0.48, 0.8])
    center = np.array([0.1, -0.2, 0.3])
    terms = circle(point, center, axis)
    moved = position(terms, angle)
    assert np.linalg.norm(moved - center) == pytest.approx(
        np.linalg.norm(np.subtract(point, center)), abs=1e-14
    )
    assert (moved - center) @ axis == pytest.approx((np.subtract(point, center)) @ axis, abs=1e-14)
    A, B, C = distance_terms(terms, fixed)
    squared = np.sum((moved - fixed) ** 2)
    assert A + B * np.cos(angle) + C * np.sin(angle) == pytest.approx(squared, abs=1e-13)
    assert_allclose(slope(terms, angle), np.cross(axis, moved - center), atol=1e-14)


def test_arrays_equal_loops(link):
    whole = STROKE.reshape(2, 4)
    angle = link.angle(whole)
    assert angle.shape == (2, 4)
    assert position(link.axle_terms, angle).shape == (2, 4, 3)
    for i in np.ndindex(whole.shape):
        assert link.angle(whole[i]) == pytest.approx(angle[i], abs=1e-15)
        assert_allclose(position(link.axle_terms, angle)[i], position(link.axle_terms, angle[i]))
        assert link.motion_ratio(whole)[i] == pytest.approx(float(link.motion_ratio(whole[i])))


def test_the_link_keeps_its_own_copies():
    pivot = np.array([0.0, 0.94, -0.55])
    link = TrailingLink(
        pivot=pivot,
        axle=(0.2, 1.0, -0.77),
        shock_on_link=(0.12, 0.9, -0.68),
        shock_on_strut=(0.05, 0.8, -0.25),
    )
    pivot[:] = 9.0
    assert link.pivot[0] == 0.0
    with pytest.raises(ValueError, match="read-only"):
        link.pivot[0] = 1.0


GOOD = {
    "pivot": (0, 0, 0),
    "axle": (0.2, 0, -0.2),
    "shock_on_link": (0.1, 0, -0.1),
    "shock_on_strut": (0.05, 0, 0.3),
}


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"shock_on_strut": (-0.3, 0, 0.3)}, r"arm of the shock.*passes through the pivot"),
        ({"shock_on_strut": (0.3, 0, -0.5)}, r"rise of the axle.*shock or axle on the wrong side"),
        ({"axle": (-0.2, 0, -0.2)}, r"rise of the axle"),
        ({"axle": (0.0, 0, 0.0)}, r"distance from pivot to axle"),
        ({"hinge": (0, 0, 0)}, r"hinge.*a direction"),
    ],
)
def test_bad_links_are_refused(changes, message):
    with pytest.raises(ValueError, match=message):
        TrailingLink(**{**GOOD, **changes})


@pytest.mark.parametrize("stroke", [0.3, -0.9, 2.0])
def test_a_stroke_beyond_the_geometry_is_refused(stroke):
    link = TrailingLink(**GOOD)
    with pytest.raises(ValueError, match="beyond what the geometry of the link has"):
        link.angle(stroke)


def test_the_stroke_can_go_to_the_end_of_the_geometry():
    link = TrailingLink(**GOOD)
    # at the very end the angle goes like the root of what is left, so half the digits are gone
    assert float(link.shock_arm(link.angle(link.geometric_stroke))) == pytest.approx(0.0, abs=1e-7)


def test_rounding_at_either_end_of_the_geometry_is_no_refusal():
    random = np.random.default_rng(5)
    for _ in range(60):
        link = TrailingLink(
            **{**GOOD, "shock_on_strut": (0.05 * random.uniform(), 0, 0.3 + random.uniform())}
        )
        A, B, C = link.length_terms
        most_open = link.free_length - np.sqrt(A + np.hypot(B, C))
        assert np.isfinite(link.angle([most_open, link.geometric_stroke])).all()
