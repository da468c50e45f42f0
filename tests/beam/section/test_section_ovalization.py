"""Ovalization of bent and twisted sections: a plane frame, energy, equilibrium, invariance, limits, Brazier."""

import numpy as np
import pytest
from ring_frame import frame, ring_load
from section_cases import carbon, cross, metal, mixed_walls, outlines, stiffness_of

from beam.section import Contour, network, rounded_box, solve
from beam.section.outline import box, ellipse, round_tube
from beam.section.ovalization import ovalization_form, ovalization_loads
from laminate import Laminate, stability

OUTLINES = outlines()
ALL_FORCES = np.array([3e4, 2e3, -4e3, 900.0, 1500.0, -700.0])


def states_of(name):
    contour = OUTLINES[name]
    return solve(contour, stiffness_of(mixed_walls(len(contour.names))))


@pytest.mark.parametrize("name", OUTLINES)
def test_agrees_with_a_plane_frame(name):
    """Straight beams by the direct stiffness method; without Poisson's ratio it is complete.

    On straight walls the frame is exact, on arcs its error falls with the square of the number of elements.
    """
    contour, E = OUTLINES[name], 70e9
    t = 1e-3 * (1 + 0.3 * np.arange(len(contour.names)))
    states = solve(contour, stiffness_of([metal(one, nu=0.0) for one in t]))
    error = []
    for elements in (8, 16):
        found, reaction = frame(states, ALL_FORCES, E * t, E * t**3 / 12, elements)
        ours = ovalization_loads(states, ALL_FORCES, np.linspace(0, 1, elements + 1))
        error.append(np.abs(found - ours)[..., 1].max() / np.abs(ours[..., 1]).max())
        assert reaction < 1e-2 * np.abs(ours[..., 0]).max()
    assert error[1] < (1e-8 if name == "off its axis" else 4e-3)
    if name != "off its axis":
        assert np.log2(error[0] / error[1]) == pytest.approx(2.0, abs=0.15)


@pytest.mark.parametrize("name", OUTLINES)
def test_every_piece_of_the_ring_is_in_equilibrium(name):
    """Walls of all lay-ups: the forces at the ends of a wall balance the load on it."""
    states = states_of(name)
    c, (x, weight) = states.contour, np.polynomial.legendre.leggauss(30)
    force, couple, _ = ring_load(states, ALL_FORCES, 0.5 * (1 + x))
    ds = 0.5 * weight * c.length[:, None]
    push = (force * ds[..., None]).sum(axis=1)
    turning = ((cross(c.position(0.5 * (1 + x)), force) + couple) * ds).sum(axis=1)
    h = 1e-4
    Ny, My = np.moveaxis(ovalization_loads(states, ALL_FORCES, [0.0, h, 1 - h, 1.0]), -1, 0)
    cut, middle = np.array([0.0, 1.0]), np.array([h / 2, 1 - h / 2])
    _, twist, _ = ring_load(states, ALL_FORCES, middle)
    Q = (My[:, [1, 3]] - My[:, [0, 2]]) / (h * c.length[:, None]) - twist
    transmitted = 0.5 * (Ny[:, [0, 2]] + Ny[:, [1, 3]])[..., None] * c.tangent(middle) + Q[
        ..., None
    ] * c.normal(middle)
    moment = cross(c.position(cut), transmitted) - My[:, [0, 3]]
    size = np.abs(transmitted).max()
    np.testing.assert_allclose(transmitted[:, 1] - transmitted[:, 0] + push, 0, atol=1e-3 * size)
    np.testing.assert_allclose(
        moment[:, 1] - moment[:, 0] + turning, 0, atol=1e-3 * size * np.abs(c.position(0.5)).max()
    )


@pytest.mark.parametrize(
    "F", [[0, 0, 0, 0, 1e3, 0], [0, 0, 0, 0, 0, 1e3], [0, 0, 0, 8e2, 0, 0], [4e4, 0, 0, 8e2, 9e2, -7e2]]
)
@pytest.mark.parametrize("tilt", [0.0, 0.6])
def test_work_on_ovalization_is_the_loss_of_stiffness(F, tilt):
    """Energy: the work of the pressure on a change of shape is the strain energy that the section releases.

    A round tube becomes an ellipse of the same perimeter, v = zeta R cos 2 phi: by virtual work
    the integral of My times the change of curvature is -1/2 chi' dK chi, with K from the section solver itself.
    """
    R, zeta = 0.05, 1e-4
    wall = Laminate.from_code("[0/90/45/-45]s", carbon())
    at = np.linspace(0, 1, 401)

    def turned(contour):
        start = contour.start @ np.array([[np.cos(tilt), np.sin(tilt)], [-np.sin(tilt), np.cos(tilt)]])
        return Contour(
            start=start,
            direction=contour.direction + tilt,
            length=contour.length,
            turn=contour.turn,
            ends=contour.ends,
        )

    many = np.stack([wall.abd] * 96)
    round_ = solve(round_tube(R), many[:4])
    chi = round_.compliance @ F
    K = [
        solve(turned(ellipse(2 * R * (1 + sign * zeta), 2 * R * (1 - sign * zeta), pairs=12)), many).stiffness
        for sign in (1, -1)
    ]
    released = -0.5 * chi @ (K[0] - K[1]) @ chi / 2
    phi = np.arctan2(*np.moveaxis(round_.contour.position(at), -1, 0)[::-1]) - tilt
    change = 3 * zeta / R * np.cos(2 * phi)
    My = ovalization_loads(round_, F, at)[..., 1]
    work = np.trapezoid(My * change, at, axis=1) @ round_.contour.length
    assert work == pytest.approx(released, rel=2e-3, abs=2e-3 * abs(chi @ np.asarray(F) * zeta))


def test_work_on_bulging_faces_is_the_loss_of_stiffness():
    """As above for a box under torque and bending: each face turns by a little, the corners stay."""
    b, h, F, turn = 0.08, 0.05, np.array([0.0, 0.0, 0.0, 900.0, 700.0, 0.0]), 1e-4
    corners = 0.5 * np.array([[-b, h], [b, h], [b, -h], [-b, -h]])
    joins = [[0, 1], [1, 2], [2, 3], [3, 0]]
    abd = stiffness_of([metal(1e-3)] * 4)
    straight = solve(box(b, h), abd)
    chi = straight.compliance @ F
    K = [solve(network(corners, joins, turn=[sign * turn] * 4), abd).stiffness for sign in (-1, 1)]
    released = -0.5 * chi @ (K[0] - K[1]) @ chi / 2
    at = np.linspace(0, 1, 401)
    My = ovalization_loads(straight, F, at)[..., 1]
    # The faces curve outward by `turn`; every corner opens by as much.
    work = turn * (np.trapezoid(My, at, axis=1).sum() - My[:, 0].sum())
    assert work == pytest.approx(released, rel=1e-4)


def slope_deflection(p, b, h, EI_cap, EI_web):
    """Corner moment of a box whose caps bear p toward each other: rotations of the corners are equal.

    Cap, bending inward: fixed-end moment p b^2/12, its ends turn by theta and -theta, 2 EI theta / b.
    Web: no load, ends turn likewise, 2 EI theta / h. Balance: p b^2/12 = 2 theta (EI_cap/b + EI_web/h).
    """
    share = (EI_web / h) / (EI_cap / b + EI_web / h)
    return p * b * b / 12 * share


@pytest.mark.parametrize(("cap", "web"), [(1e-3, 1e-3), (2e-3, 0.7e-3)])
def test_box_in_bending_by_slope_deflection(cap, web):
    """Caps bear p = Nx kappa2 inward, webs the same in their plane: My by hand, Ny by statics."""
    b, h, E, M = 0.08, 0.05, 70e9, 1e3
    t = np.array([cap, web, cap, web])
    abd = np.zeros((4, 6, 6))
    for i in range(6):
        abd[:, i, i] = (E * t, E * t, E * t / 2, E * t**3 / 12, E * t**3 / 12, E * t**3 / 24)[i]
    states = solve(box(b, h), abd)
    kappa = states.compliance[4, 4] * M
    p = E * cap * (h / 2) * kappa**2
    corner = slope_deflection(p, b, h, E * cap**3 / 12, E * web**3 / 12)
    Ny, My = np.moveaxis(ovalization_loads(states, [0, 0, 0, 0, M, 0], [0.0, 0.5, 1.0]), -1, 0)
    # The corner closes: outside of the cap in tension there; mid-cap bends inward.
    np.testing.assert_allclose(My[0], [corner, corner - p * b * b / 8, corner], rtol=1e-9)
    np.testing.assert_allclose(My[1], corner, rtol=1e-9)
    np.testing.assert_allclose(My[2], My[0], rtol=1e-9)
    middle = -p * b / 2 - E * web * kappa**2 * (h / 2) ** 2 / 2
    np.testing.assert_allclose(Ny[1], [-p * b / 2, middle, -p * b / 2], rtol=1e-9)
    np.testing.assert_allclose(Ny[0], 0, atol=1e-9 * p * b)


def test_square_box_in_torsion_by_hand():
    """q = T/2A and kappa1 = T/GJ press with 2 q kappa1 inward on four clamped faces: p b^2/12 and p b/2."""
    b, t, T = 0.06, 1e-3, 500.0
    abd = metal(t, nu=0.0).abd * np.ones((4, 1, 1))
    G = 35e9
    q, kappa1 = T / (2 * b * b), T / (G * 4 * b**4 * t / (4 * b))
    p = 2 * q * kappa1
    Ny, My = np.moveaxis(ovalization_loads(solve(box(b, b), abd), [0, 0, 0, T, 0, 0], [0.0, 0.5, 1.0]), -1, 0)
    np.testing.assert_allclose(My, p * b * b * np.tile([1 / 12, -1 / 24, 1 / 12], (4, 1)), rtol=2e-3)
    np.testing.assert_allclose(Ny, -p * b / 2, rtol=2e-3)


@pytest.mark.parametrize("name", OUTLINES)
def test_reference_point_and_axes_are_without_effect(name):
    contour, abd = OUTLINES[name], stiffness_of(mixed_walls(len(OUTLINES[name].names)))
    shift, angle = np.array([0.03, -0.07]), 0.7
    cos, sin = np.cos(angle), np.sin(angle)
    turn = np.array([[cos, sin], [-sin, cos]])
    start = (contour.start - shift) @ turn.T
    carried = Contour(
        start=start,
        direction=contour.direction - angle,
        length=contour.length,
        turn=contour.turn,
        ends=contour.ends,
    )
    N, V, T, M = ALL_FORCES[0], ALL_FORCES[1:3], ALL_FORCES[3], ALL_FORCES[4:]
    moment = np.array([T - cross(shift, V), M[0] - shift[1] * N, M[1] + shift[0] * N])
    there = np.concatenate([[N], turn @ V, moment[:1], turn @ moment[1:]])
    at = [0.0, 0.3, 1.0]
    here = ovalization_loads(solve(contour, abd), ALL_FORCES, at)
    found = ovalization_loads(solve(carried, abd), there, at)
    np.testing.assert_allclose(found, here, rtol=0, atol=1e-8 * np.abs(here).max(axis=(0, 1)).min())


def test_free_edges_carry_nothing():
    loads = ovalization_loads(states_of("open channel"), ALL_FORCES, [0.0, 1.0])
    largest = np.abs(loads).max(axis=(0, 1))
    np.testing.assert_allclose(loads[[0, 2], [0, 1]] / largest, 0, atol=1e-9)


@pytest.mark.parametrize("name", ["tube", "rounded box, tool side", "two cells and a flange"])
def test_nodes_converge(name):
    states = states_of(name)
    best = ovalization_form(states, [0.0, 0.3, 1.0], nodes=40)
    error = [np.abs(ovalization_form(states, [0.0, 0.3, 1.0], nodes=n) - best).max() for n in (4, 6, 8, None)]
    assert error[0] > error[1] > error[2] >= error[3] * 0.1
    assert error[3] < 1e-11 * np.abs(best).max()


def test_grows_with_the_square_and_batch_equals_loop():
    rng = np.random.default_rng(5)
    t = np.array([w.thickness for w in mixed_walls()])
    thickness = t * rng.uniform(0.8, 1.2, (3, 1))
    abd = stiffness_of(mixed_walls()) * rng.uniform(0.5, 2.0, (3, 1, 1, 1))
    states, at = solve(rounded_box(0.08, 0.05, 0.012, thickness), abd), [0.2, 0.9]
    F = rng.normal(size=(4, 1, 6)) * ALL_FORCES
    whole = ovalization_loads(states, F, at)
    assert whole.shape == (4, 3, 8, 2, 2)
    np.testing.assert_allclose(ovalization_loads(states, -3 * F, at), 9 * whole, rtol=1e-12)
    for j in range(3):
        one = solve(rounded_box(0.08, 0.05, 0.012, thickness[j]), abd[j])
        for i in range(4):
            np.testing.assert_allclose(
                whole[i, j],
                ovalization_loads(one, F[i, 0], at),
                rtol=0,
                atol=1e-9 * np.abs(whole[i, j]).max(),
            )


R, T, E, NU = 0.05, 1e-3, 70e9, 0.3
AT = np.linspace(0, 1, 9)


def tube(laminate):
    return solve(round_tube(R), np.stack([laminate.abd] * 4))


@pytest.mark.parametrize("axis", [4, 5])
def test_hoop_moment_of_a_round_tube(axis):
    """Brazier (1927, from memory): w = -zeta R cos 2 phi from the plane of bending;

    zeta = (1 - nu^2) R^4 kappa^2 / t^2, My = D (w'' + w)/R^2.
    """
    states, M = tube(metal(T, E, NU)), 900.0
    F = np.zeros(6)
    F[axis] = M
    kappa = states.compliance[axis, axis] * M
    D = E * T**3 / (12 * (1 - NU**2))
    zeta = (1 - NU**2) * R**4 * kappa**2 / T**2
    y = states.contour.position(AT)
    phi = np.arctan2(y[..., 0], y[..., 1]) if axis == 4 else np.arctan2(y[..., 1], y[..., 0])
    Ny, My = np.moveaxis(ovalization_loads(states, F, AT), -1, 0)
    # phi is measured from the side of largest stress, where the tube flattens. Wall bending adds (t/R)^2.
    np.testing.assert_allclose(My, -3 * D * zeta / R * np.cos(2 * phi), atol=1e-3 * 3 * D * zeta / R)
    # Half the tube is pushed toward the neutral axis by the sum of Nx kappa.
    largest = E * T * R**2 * kappa**2
    np.testing.assert_allclose(Ny[np.abs(np.cos(phi)) < 1e-9], -largest, rtol=1e-3)


@pytest.mark.parametrize("laminate", [metal(T, E, NU), Laminate.from_code("[0/90]4s", carbon())])
def test_collapse_moment_of_the_same_theory(laminate):
    """Brazier's collapse: the ring softens the tube; M(kappa) is largest at (2 sqrt 2 pi / 9) E R t^2 / sqrt(1 - nu^2).

    With the shape free, M = EI kappa - 4 U / kappa, U ~ kappa^4 the bending energy of the ring.
    """
    states, M = tube(laminate), 1.0
    kappa = states.compliance[4, 4] * M
    D = laminate.D[1, 1]
    x, weight = np.polynomial.legendre.leggauss(20)
    My = ovalization_loads(states, [0, 0, 0, 0, M, 0], 0.5 * (1 + x))[..., 1]
    U = (My**2 * 0.5 * weight * states.contour.length[:, None]).sum() / (2 * D)
    EI, soft = 1 / states.compliance[4, 4], 4 * U / kappa**4
    collapse = 2 / 3 * EI * np.sqrt(EI / (3 * soft))
    assert collapse == pytest.approx(float(stability.brazier_moment(laminate.abd, R)), rel=2e-3)
    if laminate.is_symmetric and len(laminate.plies) == 1:
        assert collapse == pytest.approx(
            2 * np.sqrt(2) * np.pi / 9 * E * R * T**2 / np.sqrt(1 - NU**2), rel=1e-3
        )
