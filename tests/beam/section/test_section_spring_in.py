"""Corners that spring in: closed frames by hand, exact cylinders, and open sections."""

from dataclasses import replace

import numpy as np
import pytest
from section_cases import SOURCE, carbon, metal

from beam.section import Section, network, rounded_box, solve
from beam.section.expansion import residual_wall_loads
from beam.section.outline import round_tube
from beam.section.spring_in import spring_in_curvature, spring_in_loads, spring_in_recovery
from laminate import Laminate
from laminate.interlaminar.curved_wall import curved_wall
from laminate.interlaminar.homogenized import thickness_compliance, thickness_expansion
from materials import Lamina, lamina

PLY = Lamina(
    name="hoop", kind="tape", E1=140e9, E2=9e9, G12=5e9, nu12=0.3, G13=5e9, G23=3.2e9, thickness=0.2e-3, density=1600.0,
    alpha1=-0.3e-6, alpha2=28e-6, source=SOURCE,
)  # fmt: skip


def test_free_corner_turns_as_its_lengths_say():
    """Radford & Rennick (2000), from memory: theta (a_y - a_z) dT / (1 + a_z dT); cooled, a corner closes."""
    contour = rounded_box(0.08, 0.05, 0.012, np.full(8, 1e-3))
    e_y, e_z = 3e-6 * -160, 40e-6 * -160
    turned = -spring_in_curvature(contour, e_y, e_z) * contour.length
    theta = np.pi / 2
    np.testing.assert_allclose(turned[::2], 0, atol=1e-15)
    # Convex walls turn clockwise: more negative is sharper. Outer less inner length over thickness.
    np.testing.assert_allclose(turned[1::2], -theta * ((1 + e_y) / (1 + e_z) - 1), rtol=1e-12)
    assert turned[1] < 0


def test_open_section_springs_in_freely():
    contour = network(
        [[0.04, 0.04], [0.0, 0.04], [0.0, -0.04], [0.05, -0.03]],
        [[0, 1], [1, 2], [2, 3]],
        turn=[0, 0.9, -0.5],
    )
    loads = spring_in_loads(
        solve(contour, np.stack([metal(1e-3).abd] * 3)), np.zeros((3, 6)), [3e-3] * 3, [0.1, 0.8]
    )
    np.testing.assert_allclose(loads, 0, atol=1e-9)


@pytest.mark.parametrize("inward", [False, True])
def test_box_holds_its_four_corners(inward):
    """All corners turn by dtheta: by symmetry My is uniform, M = D dtheta 4 / (perimeter)."""
    b, r, t, E, e_z = 0.07, 0.012, 2e-3, 70e9, -6e-3
    contour = rounded_box(b, b, r, np.full(8, t), surface="middle")
    abd = np.stack([metal(t, E, 0.0).abd] * 8)
    perimeter = 4 * (b - 2 * r) + 2 * np.pi * r
    D, dtheta = E * t**3 / 12, np.pi / 2 * (0 - e_z) / (1 + e_z)
    if inward:
        e_z, dtheta = -e_z, np.pi / 2 * e_z / (1 - e_z)
    loads = spring_in_loads(solve(contour, abd), np.zeros((8, 6)), np.full(8, e_z), [0.0, 0.5, 1.0])
    # Cooled corners want to close, the frame opens them: tension inside, My < 0.
    expected = -4 * D * dtheta / perimeter
    np.testing.assert_allclose(loads[..., 1], expected, rtol=1e-9)
    np.testing.assert_allclose(loads[..., 0], 0, atol=1e-9 * abs(expected) / r)


def test_corners_of_an_oblong_box_by_hand():
    """Two sides of unlike stiffness: ring of uniform M and no force, M = D dtheta 4 / sum of lengths over EI."""
    b, h, r, t, tw, E, e_z = 0.09, 0.05, 0.012, 2e-3, 1e-3, 70e9, -6e-3
    thickness = np.array([t, t, tw, t] * 2)
    contour = rounded_box(b, h, r, thickness, surface="middle")
    abd = np.stack([metal(one, E, 0.0).abd for one in thickness])
    EI = E * thickness**3 / 12
    loads = spring_in_loads(solve(contour, abd), np.zeros((8, 6)), np.full(8, e_z), [0.0, 0.5, 1.0])
    expected = -2 * np.pi * (-e_z / (1 + e_z)) / (contour.length / EI).sum()
    np.testing.assert_allclose(loads[..., 1], expected, rtol=1e-9)


def cylinder(C, free, R, t, axial=None):
    """Exact: hoop moment about mid-thickness and largest radial stress of a long tube of one orthotropic material.

    C is the stiffness on (x, hoop, radial), u = A r^k + B r^-k + c r with the strain along x that leaves no force
    on the ends, or the one given.
    """
    a, b = R - t / 2, R + t / 2
    k = np.sqrt(C[1, 1] / C[2, 2])
    r = np.linspace(a, b, 4001)

    def stress(A, B, ex):
        push = (C[1] - C[2]) @ np.array([ex - free[0], -free[1], -free[2]])
        c = push / (C[2, 2] - C[1, 1])
        u, du = A * r**k + B * r**-k + c * r, k * (A * r ** (k - 1) - B * r ** (-k - 1)) + c
        strain = np.stack([np.full_like(r, ex) - free[0], u / r - free[1], du - free[2]])
        return C @ strain

    def rows(x, e):
        s = stress(x[0] / a**k, x[1] * a**k, e)
        return np.array([s[2, 0], s[2, -1], np.trapezoid(s[0] * r, r)])

    zero = rows(np.zeros(2), 0.0 if axial is None else axial)
    columns = [rows(np.eye(2)[i], 0.0 if axial is None else axial) - zero for i in range(2)]
    if axial is None:
        columns.append(rows(np.zeros(2), 1.0) - zero)
        x = np.linalg.solve(np.stack(columns, axis=1), -zero)
    else:
        x = np.append(np.linalg.solve(np.stack(columns, axis=1)[:2], -zero[:2]), axial)
    s = stress(x[0] / a**k, x[1] * a**k, x[2])
    return np.trapezoid(s[1] * (r - R), r), s[2], np.trapezoid(s[0] * r, r) * 2 * np.pi


def hoop_ply():
    """Stiffness and expansion of the test ply on (x, hoop, radial), its fibers along the hoop."""
    nu23 = PLY.E2 / (2 * PLY.G23) - 1
    S = np.diag([1 / PLY.E2, 1 / PLY.E1, 1 / PLY.E2])
    S[0, 1] = S[1, 0] = S[1, 2] = S[2, 1] = -PLY.nu12 / PLY.E1
    S[0, 2] = S[2, 0] = -nu23 / PLY.E2
    return np.linalg.inv(S), np.array([PLY.alpha2, PLY.alpha1, PLY.alpha2])


def test_cooled_tube_against_the_exact_cylinder():
    """The moment parts from the exact one with (t/R)^2; cooled by so little that 1 + e_z is 1."""
    R, dT, error = 0.05, -0.1, []
    C, alpha = hoop_ply()
    for plies in (10, 5):
        wall = Laminate.from_code(f"[90]{plies}", PLY)
        section = Section.tube(R, wall)
        exact, radial, _ = cylinder(C, alpha * dT, R, wall.thickness)
        free = np.stack([wall.free_strain(dT)] * 4)
        found = spring_in_loads(section.states, free, [thickness_expansion(wall, dT)] * 4, 0.5)[..., 0, 1]
        assert exact < 0 < radial.max()
        np.testing.assert_allclose(found, found[0], rtol=1e-9)
        error.append(found[0] / exact - 1)
    assert abs(error[0]) < 0.01
    assert np.log2(error[0] / error[1]) == pytest.approx(2.0, abs=0.1)


def test_pulled_tube_against_the_exact_cylinder():
    """Hoop fibers: under N the wall contracts through its thickness, hardly around; isotropic walls strain equally."""
    R, N, error = 0.05, 1e4, []
    C, _ = hoop_ply()
    for plies in (10, 5):
        wall = Laminate.from_code(f"[90]{plies}", PLY)
        moment, _, force = cylinder(C, np.zeros(3), R, wall.thickness, axial=1e-4)
        states = solve(round_tube(R), np.stack([wall.abd] * 4))
        per = spring_in_recovery(states, wall.abd[None], thickness_compliance(wall)[None], [0.2, 0.5])
        assert per.shape == (4, 2, 2, 6)
        found = per[..., 1, 0] * N
        np.testing.assert_allclose(found, found[0, 0], rtol=1e-9)
        error.append(found[0, 0] / (moment * N / force) - 1)
    assert abs(error[0]) < 0.015
    assert np.log2(error[0] / error[1]) == pytest.approx(2.0, abs=0.1)
    lamina = metal(1e-3).plies[0].lamina
    plain = Laminate.from_code("[0]", replace(lamina, G13=lamina.G12, G23=lamina.G12))
    states = solve(round_tube(R), np.stack([plain.abd] * 4))
    per = spring_in_recovery(states, plain.abd[None], thickness_compliance(plain)[None], [0.5])
    np.testing.assert_allclose(per[..., 1, 0], 0, atol=1e-12)


def test_walls_that_do_not_spring_in_are_those_of_the_linear_theory():
    walls = [Laminate.from_code(code, carbon()) for code in ("[0/45/90/30]", "[15/-20/60]2") * 4]
    section = Section.rounded_box(0.08, 0.05, 0.012, walls)
    free, at = np.stack([w.free_strain(-100.0) for w in walls]), [0.0, 0.4, 1.0]
    as_hoop = free[:, 1]
    np.testing.assert_allclose(
        spring_in_loads(section.states, free, as_hoop, at),
        residual_wall_loads(section.states, free, at)[..., [1, 4]],
    )
    abd = np.stack([w.abd for w in walls])
    per = spring_in_recovery(section.states, abd, np.linalg.inv(abd)[:, 1], at)
    np.testing.assert_allclose(per, section.states.recovery(at)[..., [1, 4], :], rtol=1e-9, atol=1e-9)
    # The same curvature given as a free strain of the wall and as a strain through its thickness.
    bent = free.copy()
    bent[:, 4] += spring_in_curvature(section.contour, as_hoop, 1e-3)
    np.testing.assert_allclose(
        spring_in_loads(section.states, free, np.full(8, 1e-3), at),
        residual_wall_loads(section.states, bent, at)[..., [1, 4]],
    )


def test_services_go_in_front():
    states = solve(round_tube(0.05), np.stack([metal(1e-3).abd] * 4))
    e_z = np.array([[1e-3] * 4, [-2e-3] * 4, [0.0] * 4])
    whole = spring_in_loads(states, np.zeros((4, 6)), e_z, [0.2, 0.5])
    assert whole.shape == (3, 4, 2, 2)
    for i in range(3):
        np.testing.assert_allclose(
            whole[i], spring_in_loads(states, np.zeros((4, 6)), e_z[i], [0.2, 0.5]), atol=1e-9
        )


T300 = replace(lamina("T300/5208"), G13=7.17e9, G23=3.5e9)


def _thick(radius: float):
    """A rounded box of one thick stack, with thick corners."""
    wall = Laminate.from_code("[(45/-45/0_3)_6]s", T300)
    return Section.rounded_box(0.11, 0.08, radius, wall, surface="outside")


def test_thick_corners_carry_what_the_section_carries():
    """Wall loads of the thick section return the section forces; those of cure return none; to 1e-10."""
    section = _thick(0.02)
    corners = section.with_thick_corners
    x, weight = np.polynomial.legendre.leggauss(12)
    at = 0.5 * (1 + x)
    contour = section.contour
    ds = 0.5 * weight * contour.length[:, None]
    r, t = contour.position(at), contour.tangent(at)
    fixed = np.stack([residual_wall_loads(corners.states, corners.free[..., i], at) for i in (0, 1)], axis=-1)
    for loads, want in ((corners.states.recovery(at), np.eye(6)), (fixed * 200.0, np.zeros((6, 2)))):
        Nx, Nxy, Mx, Mxy = (loads[:, :, i] for i in (0, 2, 3, 5))
        arm = (r[..., 0] * t[..., 1] - r[..., 1] * t[..., 0])[..., None]
        found = {
            0: Nx,
            3: arm * Nxy - 2 * Mxy,
            4: Nx * r[..., 1:] + Mx * t[..., :1],
            5: -Nx * r[..., :1] + Mx * t[..., 1:],
        }
        for row, value in found.items():
            total = np.einsum("wp,wpc->c", ds, value)
            scale = max(np.einsum("wp,wpc->c", ds, np.abs(value)).max(), 1.0)
            columns = [0, 3, 4, 5] if want.shape[1] == 6 else [0, 1]
            assert np.abs(total - want[row])[columns].max() < 1e-10 * scale


def test_thick_corners_of_a_large_radius_spring_in_as_thin_ones():
    section = Section.tube(0.4, Laminate.from_code("[(45/-45/0_3)_3]s", T300))
    wall = section.laminates[0]
    at = np.array([0.1, 0.5])
    thin = spring_in_loads(
        section.states, [wall.free_strain(1.0)] * 4, [thickness_expansion(wall, 1.0)] * 4, at
    )
    thick = section.with_thick_corners.residual_loads(np.array([1.0]), np.array([0.0]), at)[0]
    assert thick[..., 4] == pytest.approx(thin[..., 1], rel=5e-3)
    assert np.ptp(thick[..., 4]) < 1e-9 * abs(thick[0, 0, 4])
    assert section.with_thick_corners.recovery(at) == pytest.approx(
        section.states.recovery(at), rel=0.02, abs=0.03
    )


def test_thick_corners_close_the_ring():
    """Residual moment of a tube: the curvature that spring-in frees is bent back, Nx and Ny being zero."""
    section = Section.tube(0.03, Laminate.from_code("[(45/-45/0_3)_6]s", T300))
    corners = section.with_thick_corners
    wall = curved_wall(section.laminates[0], np.array([0.03]))
    soft = np.linalg.inv(wall.abd[0])
    # ex is free and even around, kx = kxy = 0, and ky of cure and load together is zero
    held = np.ix_([3, 4, 5], [3, 4, 5])
    moments = np.linalg.solve(soft[held], -wall.free[0, 3:, 0])
    found = residual_wall_loads(corners.states, corners.free[..., 0], [0.5])[0, 0]
    assert found[4] == pytest.approx(moments[1], rel=0.02)
    assert abs(found[1]) < 1e-9 * abs(found[4] / 0.03)
