"""Equilibrium of the link: against a six-by-six solution and by hand, every sign once."""

import numpy as np
import pytest
from gears import SKEW, trailing_gear
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.linalg import null_space

from beam.axes import attitude
from beam.gear.parts.rotation import position
from beam.gear.strut_loads import free_body

UNIT = st.floats(-1, 1)
VECTOR = st.lists(UNIT, min_size=3, max_size=3).map(np.array)


def six_by_six(pivot, hinge, lug, bracket, at, force, moment):
    """Shock force, hinge force and the two hinge moments, from the six equations as they stand."""
    line = (lug - bracket) / np.linalg.norm(lug - bracket)
    across = null_space(hinge[None, :])
    matrix = np.zeros((6, 6))
    matrix[:3, 0], matrix[3:, 0] = line, np.cross(lug, line)
    matrix[:3, 1:4] = np.eye(3)
    matrix[3:, 1:4] = np.cross(pivot, np.eye(3)).T
    matrix[3:, 4:] = across
    right = -np.concatenate([force.sum(axis=0), np.cross(at, force).sum(axis=0) + moment])
    x = np.linalg.solve(matrix, right)
    return x[0], x[1:4], across @ x[4:]


@given(VECTOR, VECTOR, VECTOR, VECTOR, VECTOR, VECTOR)
@settings(max_examples=60, deadline=None)
def test_equals_the_six_equations(pivot, lug, bracket, at, force, moment):
    hinge = np.array([0.28, 0.96, 0.0])
    line = lug - bracket
    if np.linalg.norm(line) < 0.1 or abs(np.cross(lug - pivot, line) @ hinge) < 0.01:
        return
    loads = np.stack([force, 0.3 * moment])
    places = np.stack([at, lug])
    found = free_body(
        pivot=pivot, hinge=hinge, lug=lug, bracket=bracket, at=places, force=loads, moment=moment
    )
    S, P, M = six_by_six(pivot, hinge, lug, bracket, places, loads, moment)
    size = 1e-10 * (1 + abs(S))
    assert float(found.shock_force) == pytest.approx(S, abs=size)
    assert_allclose(found.pivot_force, P, atol=size)
    assert_allclose(found.pivot_moment, M, atol=size)
    assert abs(found.pivot_moment @ hinge) <= size
    assert (found.residual < 1e-12).all()


# A link 0.3 m long, level, with the shock upright 0.1 m aft of the pivot: the wheel's leverage is three.
LEVEL = {
    "pivot": np.zeros(3),
    "hinge": np.array([0.0, 1.0, 0.0]),
    "lug": np.array([0.1, 0.0, 0.0]),
    "bracket": np.array([0.1, 0.0, 0.3]),
}


@pytest.mark.parametrize(
    ("at", "force", "shock", "pivot_force", "pivot_moment"),
    [
        # up at the axle: the shock in compression by the leverage, the strut pushed up by three less one
        ((0.3, 0.0, 0.0), (0, 0, 1000), 3000, (0, 0, 2000), (0, 0, 0)),
        # drag through the axle level with the pivot: all to the pivot
        ((0.3, 0.0, 0.0), (500, 0, 0), 0, (-500, 0, 0), (0, 0, 0)),
        # the same drag at the ground, 0.2 m below, as under braking: y moment z Fx = - 100 tips the wheel up
        ((0.3, 0.0, -0.2), (500, 0, 0), 1000, (-500, 0, 1000), (0, 0, 0)),
        # outboard load at the ground: moment r x F = (0.2 * 400, 0, 0.3 * 400) on the hinge
        ((0.3, 0.0, -0.2), (0, 400, 0), 0, (0, -400, 0), (-80, 0, -120)),
        # wheel 0.1 m outboard: lifting it rolls the link about x
        ((0.3, 0.1, 0.0), (0, 0, 1000), 3000, (0, 0, 2000), (-100, 0, 0)),
        # wheel 0.1 m outboard, drag: turns the link about z
        ((0.3, 0.1, 0.0), (500, 0, 0), 0, (-500, 0, 0), (0, 0, 50)),
    ],
)
def test_by_hand(at, force, shock, pivot_force, pivot_moment):
    found = free_body(**LEVEL, at=np.array([at]), force=np.array([force]), moment=np.zeros(3))
    assert float(found.shock_force) == pytest.approx(shock, abs=1e-9)
    assert_allclose(found.pivot_force, pivot_force, atol=1e-9)
    assert_allclose(found.pivot_moment, pivot_moment, atol=1e-9)


def test_a_couple_about_the_hinge_goes_to_the_shock_only():
    found = free_body(
        **LEVEL, at=np.zeros((1, 3)), force=np.zeros((1, 3)), moment=np.array([0.0, -50.0, 0.0])
    )
    assert float(found.shock_force) == pytest.approx(500.0)
    assert_allclose(found.pivot_moment, 0.0, atol=1e-12)


def test_a_shock_through_the_pivot_is_refused():
    bad = {**LEVEL, "bracket": np.array([-0.3, 0.0, 0.0])}
    with pytest.raises(ValueError, match="passes through the pivot"):
        free_body(**bad, at=np.zeros((1, 3)), force=np.ones((1, 3)), moment=np.zeros(3))


@pytest.fixture(params=["plane", "skewed"])
def gear(request):
    return trailing_gear(**(SKEW if request.param == "skewed" else {}))


FORCE = np.array([[3e3, 0, 12e3], [0, -6e3, 8e3], [6e3, 0, 8e3], [-5e3, 1e3, 7e3]])
AT = np.array(["axle", "ground", "ground", "axle"])
STROKE = np.array([0.03, 0.08, 0.08, 0.115])


def test_strut_gets_all_of_the_wheel_load(gear):
    loads = gear.strut_loads(FORCE, AT, STROKE, [0.0, 0.0, 5.0, 12.0], tire_load=5168.0, moment=[0, 0, 40.0])
    pushed = np.einsum("cij,cj->ci", attitude([0.0, 0.0, 5.0, 12.0]), FORCE)
    couple = np.einsum("cij,j->ci", attitude([0.0, 0.0, 5.0, 12.0]), [0, 0, 40.0])
    assert_allclose(loads.force.sum(axis=1), pushed, atol=1e-8)
    about = np.array([0.3, -0.2, 0.1])
    moment = loads.moment.sum(axis=1) + np.cross(loads.points - about, loads.force).sum(axis=1)
    assert_allclose(moment, np.cross(loads.contact - about, pushed) + couple, atol=1e-7)
    assert (loads.residual < 1e-13).all()
    assert_allclose(loads.moment[:, 1], 0.0)
    assert_allclose(loads.moment[:, 0] @ gear.link.hinge, 0.0, atol=1e-9)
    assert_allclose(loads.points[:, 1], np.tile(gear.link.shock_on_strut, (4, 1)))


def test_compression_pushes_the_bracket_away_from_the_link():
    gear = trailing_gear()
    loads = gear.strut_loads([[0, 0, 10e3]], ["axle"], [0.06], tire_load=5168.0)
    assert loads.shock_force[0] > 10e3
    assert loads.force[0, 1, 2] > 0  # up at the bracket
    assert loads.force[0, 0, 2] < 0  # down at the pivot: the link is a lever


def test_brake_torque_comes_through_the_link():
    # at the ground instead of the axle the drag adds drag x loaded radius about the hinge, all to the shock
    gear, drag = trailing_gear(), 6e3
    stroke = 0.08
    axle, ground = (
        gear.strut_loads([[drag, 0, 8e3]], [at], [stroke], tire_load=5168.0) for at in ("axle", "ground")
    )
    torque = drag * float(gear.tire.loaded_radius(5168.0))
    arm = float(gear.link.shock_arm(gear.link.angle(stroke)))
    assert ground.shock_force[0] - axle.shock_force[0] == pytest.approx(torque / arm, rel=1e-12)


def test_shock_force_follows_the_motion_ratio():
    # virtual work: the vertical load's work on the rise is the shock's on the stroke
    gear = trailing_gear()
    loads = gear.strut_loads(np.tile([0, 0, 9e3], (4, 1)), ["axle"] * 4, STROKE, tire_load=5168.0)
    assert_allclose(loads.shock_force * gear.link.motion_ratio(STROKE), 9e3, rtol=1e-12)


def test_own_weight_and_inertia_relieve_the_strut(gear):
    from scipy.constants import g

    bare = gear.strut_loads(FORCE, AT, STROKE, tire_load=5168.0)
    eased = gear.strut_loads(FORCE, AT, STROKE, tire_load=5168.0, unsprung_factor=[3.0, 1.33, 1.33, 0.0])
    difference = eased.force.sum(axis=1) - bare.force.sum(axis=1)
    weight = gear.unsprung_mass * g * np.array([3.0, 1.33, 1.33, 0.0])
    assert_allclose(difference, np.outer(-weight, [0, 0, 1]), atol=1e-8)
    assert_allclose(eased.force[3], bare.force[3])
    assert (eased.residual < 1e-13).all()
    assert eased.shock_force[0] < bare.shock_force[0]


def test_nose_up_the_ground_load_leans_forward():
    # tail down, the airplane's aft axis points into the ground: up on the ground is forward and up on the airplane
    up, aft = attitude(12.0)[:, 2], attitude(12.0)[:, 0]
    assert up[0] == pytest.approx(-np.sin(np.radians(12)))
    assert up[2] == pytest.approx(np.cos(np.radians(12)))
    assert aft[2] == pytest.approx(np.sin(np.radians(12)))
    assert_allclose(attitude([0.0, 12.0]).shape, (2, 3, 3))
    assert_allclose(attitude(12.0) @ attitude(12.0).T, np.eye(3), atol=1e-15)
    gear = trailing_gear()
    loads = gear.strut_loads([[0, 0, 10e3]], ["axle"], [0.06], [12.0], tire_load=5168.0)
    assert loads.force[0].sum(axis=0)[0] == pytest.approx(-10e3 * np.sin(np.radians(12)))
    # the contact point moves under the axle along ground vertical: aft in airplane axes
    moved = gear.contact(0.06, 5168.0, 12.0) - gear.axle(0.06)
    assert moved[0] > 0
    assert moved[2] < 0


def test_contact_is_in_the_plane_of_the_wheel(gear):
    angle = gear.link.angle(STROKE)
    down = gear.contact(STROKE, 5168.0) - gear.axle(STROKE)
    assert_allclose(np.linalg.norm(down, axis=-1), gear.tire.loaded_radius(5168.0), rtol=1e-12)
    assert_allclose(np.sum(down * position(gear.link.wheel_axis_terms, angle), axis=-1), 0.0, atol=1e-15)
    # of all directions in that plane it is the lowest
    assert (down[:, 2] < 0).all()
    level = np.cross(position(gear.link.wheel_axis_terms, angle), down)
    assert_allclose(level[:, 2], 0.0, atol=1e-14)


def test_arrays_equal_loops(gear):
    whole = gear.strut_loads(FORCE, AT, STROKE, [0, 1, 2, 3], tire_load=[5e3, 4e3, 3e3, 2e3])
    for i in range(4):
        one = gear.strut_loads(FORCE[i], AT[i], STROKE[i], i, tire_load=5e3 - 1e3 * i)
        assert one.force.shape == (2, 3)
        assert_allclose(one.force, whole.force[i])
        assert_allclose(one.moment, whole.moment[i])
        assert one.shock_force == pytest.approx(whole.shock_force[i])


@pytest.mark.parametrize(
    ("force", "at", "stroke", "message"),
    [
        ([[0, 0, 1e3]], ["tyre"], [0.05], r"applied_at.*tyre.*ground.*axle"),
        ([[0, 0, 1e3]], ["axle"], [0.5], "stroke.*given as a fraction"),
        ([[0, 0, 1e3]], ["axle"], [-0.01], "stroke"),
    ],
)
def test_bad_cases_are_refused(force, at, stroke, message):
    with pytest.raises(ValueError, match=message):
        trailing_gear().strut_loads(force, at, stroke, tire_load=5168.0)


def test_cases_that_do_not_fit_are_refused():
    force = np.tile([0.0, 0.0, 1e4], (3, 1))
    with pytest.raises(ValueError, match=r"cases: got shapes .*broadcastable"):
        trailing_gear().strut_loads(force, ["ground"] * 3, [0.04, 0.05], tire_load=5e3)
