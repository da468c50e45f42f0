"""What holds for every outline and lay-up: statics, energy, symmetry, reference, the way walls are cut."""

import numpy as np
import pytest
from section_cases import GROWTH, membrane, mixed_walls, outlines, resultants, stiffness_of

from beam.section import Contour, network, rounded_box, solve
from beam.section.centers import moved, turned
from beam.section.outline import round_tube

OUTLINES = outlines()


def states_of(name):
    contour = OUTLINES[name]
    return solve(contour, stiffness_of(mixed_walls(len(contour.names))))


def per_unit(matrix):
    """Scale a symmetric matrix to a unit diagonal."""
    d = 1 / np.sqrt(np.diagonal(matrix, axis1=-2, axis2=-1))
    return matrix * d[..., :, None] * d[..., None, :]


def same(a, b, tolerance=1e-10):
    d = 1 / np.sqrt(np.diagonal(b, axis1=-2, axis2=-1))
    scale = d[..., :, None] * d[..., None, :]
    np.testing.assert_allclose(a * scale, b * scale, rtol=0, atol=tolerance)


@pytest.mark.parametrize("name", OUTLINES)
def test_wall_loads_sum_to_the_section_forces(name):
    np.testing.assert_allclose(resultants(states_of(name)), np.eye(6), rtol=0, atol=1e-10)


@pytest.mark.parametrize("name", OUTLINES)
def test_compliance_is_the_complementary_energy_of_the_wall_loads(name):
    states = states_of(name)
    x, weight = np.polynomial.legendre.leggauss(24)
    loads = states.recovery(0.5 * (1 + x))
    soft = np.linalg.inv(stiffness_of(mixed_walls(len(loads))))
    ds = 0.5 * weight * states.contour.length[:, None]
    same(np.einsum("wp,wpik,wij,wpjl->kl", ds, loads, soft, loads), states.compliance)


@pytest.mark.parametrize("name", OUTLINES)
def test_stiffness_is_symmetric_positive_definite(name):
    states = states_of(name)
    np.testing.assert_array_equal(states.compliance, states.compliance.T)
    assert np.linalg.eigvalsh(per_unit(states.compliance)).min() > 1e-6
    np.testing.assert_allclose(states.stiffness @ states.compliance, np.eye(6), rtol=0, atol=1e-8)


@pytest.mark.parametrize("name", OUTLINES)
def test_every_strip_of_wall_is_in_equilibrium(name):
    """Along the span dNxy/ds = -dNx/dx; around it hoop force and moment balance the growth of Nxy and Mxy."""
    states = states_of(name)
    h = 1e-3
    at = 0.4 + h * np.array([-1.0, 0.0, 1.0])
    loads = states.recovery(at)
    grows = loads[:, 1] @ GROWTH
    L = states.contour.length[:, None, None]
    slope = (loads[:, 2] - loads[:, 0]) / (2 * h * L)
    bend = (loads[:, 2] - 2 * loads[:, 1] + loads[:, 0]) / (h * L) ** 2
    curvature = (-states.contour.turn / states.contour.length)[:, None]
    twist = (states.recovery(at[2:])[:, 0, 5] - states.recovery(at[:1])[:, 0, 5]) @ GROWTH / (2 * h * L[:, 0])
    size = np.abs(loads).max(axis=(0, 1))
    axial = slope[:, 2] + grows[:, 0]
    np.testing.assert_allclose(axial, 0 * axial, rtol=0, atol=1e-5 * size[2].max() / L.min())
    # Shear of the wall across its thickness around the section is Q = dMy/ds + 2 dMxy/dx.
    Q = slope[:, 4] + 2 * grows[:, 5]
    hoop = slope[:, 1] + grows[:, 2] + curvature * Q
    np.testing.assert_allclose(hoop, 0 * hoop, rtol=0, atol=1e-5 * size[2].max() / L.min())
    out = bend[:, 4] + 2 * twist - curvature * loads[:, 1, 1]
    np.testing.assert_allclose(out, 0 * out, rtol=0, atol=1e-4 * np.abs(loads[:, 1, 2]).max() / L.min())


def test_free_edges_carry_nothing():
    states = states_of("open channel")
    loads = states.recovery([0.0, 1.0])
    for row in (1, 2, 4):
        largest = np.abs(loads[:, :, row]).max()
        for wall, place in ((0, 0), (2, 1)):
            np.testing.assert_allclose(loads[wall, place, row], 0.0, rtol=0, atol=1e-10 * largest)


@pytest.mark.parametrize("name", OUTLINES)
def test_reference_point_and_axes_are_without_effect(name):
    contour, abd = OUTLINES[name], stiffness_of(mixed_walls(len(OUTLINES[name].names)))
    shift, angle = np.array([0.03, -0.07]), 0.7
    c, s = np.cos(angle), np.sin(angle)
    start = (contour.start - shift) @ np.array([[c, -s], [s, c]])
    carried = Contour(
        start=start,
        direction=contour.direction - angle,
        length=contour.length,
        turn=contour.turn,
        ends=contour.ends,
    )
    expected = turned(moved(solve(contour, abd).compliance, shift), angle)
    same(solve(carried, abd).compliance, expected)


@pytest.mark.parametrize("name", OUTLINES)
def test_a_wall_cut_in_two_is_the_same_wall(name):
    contour, abd = OUTLINES[name], stiffness_of(mixed_walls(len(OUTLINES[name].names)))
    walls, joints = len(contour.names), int(contour.ends.max()) + 1
    middle = joints + np.arange(walls)
    ends = np.stack([contour.ends[:, 0], middle, middle, contour.ends[:, 1]], axis=1).reshape(-1, 2)
    cut = Contour(
        start=np.stack([contour.start, contour.position(0.3)], axis=1).reshape(-1, 2),
        direction=np.stack([contour.direction, contour.direction + 0.3 * contour.turn], axis=1).ravel(),
        length=np.outer(contour.length, [0.3, 0.7]).ravel(),
        turn=np.outer(contour.turn, [0.3, 0.7]).ravel(),
        ends=ends,
    )
    same(solve(cut, np.repeat(abd, 2, axis=0)).compliance, solve(contour, abd).compliance)


def test_a_tube_may_be_one_wall():
    abd = stiffness_of(mixed_walls(1))
    one = Contour(start=[[0, 0.05]], direction=[0.0], length=[0.1 * np.pi], turn=[-2 * np.pi], ends=[[0, 0]])
    same(solve(one, abd).compliance, solve(round_tube(0.05), np.repeat(abd, 4, axis=0)).compliance)


def test_order_and_direction_of_webs_are_without_effect():
    joints = [[0.0, 0.05], [0.05, 0.05], [0.1, 0.05], [0.1, 0.0], [0.05, 0.0], [0.0, 0.0]]
    walls = np.array([[0, 1], [1, 2], [2, 3], [3, 4], [4, 5], [5, 0], [1, 4]])
    abd = stiffness_of(mixed_walls(7))
    abd[6] = membrane(abd[6], 1.0)  # a web without coupling looks the same from both sides
    abd[6, :2, 2] = abd[6, 2, :2] = abd[6, 3:5, 5] = abd[6, 5, 3:5] = 0.0
    one = solve(network(joints, walls), abd).compliance
    flipped = walls.copy()
    flipped[6] = walls[6, ::-1]
    order = [3, 6, 0, 5, 1, 4, 2]
    same(solve(network(joints, flipped[order]), abd[order]).compliance, one)


@pytest.mark.parametrize("length", [0.1, 25.4])
@pytest.mark.parametrize("force", [1.0, 3.0])
def test_units_scale_as_declared(length, force):
    """New units of length and force: walls, sizes and compliance follow their declared units."""
    w = mixed_walls()
    t = np.array([x.thickness for x in w])
    grow = np.array([1.0] * 3 + [length] * 3)
    scale = np.outer(grow, grow) * force / length
    ours = solve(rounded_box(0.08, 0.05, 0.012, t), stiffness_of(w)).compliance
    theirs = solve(
        rounded_box(0.08 * length, 0.05 * length, 0.012 * length, t * length), stiffness_of(w) * scale
    ).compliance
    back = np.outer(grow, grow) * force
    np.testing.assert_allclose(per_unit(theirs), per_unit(ours), rtol=0, atol=1e-11)
    np.testing.assert_allclose(theirs, ours / back, rtol=1e-9, atol=1e-12 * np.abs(ours / back).min())


def test_batch_equals_loop():
    rng = np.random.default_rng(1)
    t = np.array([w.thickness for w in mixed_walls()])
    thickness = t * rng.uniform(0.8, 1.2, (3, 1, 1))
    width = rng.uniform(0.07, 0.09, (2,))
    abd = stiffness_of(mixed_walls()) * rng.uniform(0.5, 2.0, (3, 2, 1, 1, 1))
    states = solve(rounded_box(width, 0.05, 0.012, thickness), abd)
    at = (0.0, 0.3, 1.0)
    loads = states.recovery(at)
    assert states.compliance.shape == (3, 2, 6, 6)
    assert loads.shape == (3, 2, 8, 3, 6, 6)
    for i in range(3):
        for j in range(2):
            one = solve(rounded_box(width[j], 0.05, 0.012, thickness[i, 0]), abd[i, j])
            same(states.compliance[i, j], one.compliance, 1e-12)
            np.testing.assert_allclose(
                loads[i, j], one.recovery(at), rtol=0, atol=1e-11 * np.abs(loads).max()
            )


@pytest.mark.parametrize("shared", [True, False])
def test_blocks_of_a_large_batch_equal_the_loop(shared):
    rng = np.random.default_rng(2)
    count = 600
    t = np.array([w.thickness for w in mixed_walls()])
    abd = stiffness_of(mixed_walls()) * rng.uniform(0.5, 2.0, (count, 1, 1, 1))
    thickness = t if shared else t * rng.uniform(0.8, 1.2, (count, 1))
    states = solve(rounded_box(0.08, 0.05, 0.012, thickness), abd)
    for i in (0, 255, 256, 599):
        one = solve(rounded_box(0.08, 0.05, 0.012, t if shared else thickness[i]), abd[i])
        same(states.compliance[i], one.compliance, 1e-12)
        np.testing.assert_allclose(states.law[i], one.law, rtol=1e-12)
        big = np.abs(one.recovery()).max()
        np.testing.assert_allclose(states.recovery()[i], one.recovery(), rtol=0, atol=1e-11 * big)


def test_inputs_are_left_alone():
    abd = stiffness_of(mixed_walls(4))
    before = abd.copy()
    solve(round_tube(0.05), abd)
    np.testing.assert_array_equal(abd, before)
