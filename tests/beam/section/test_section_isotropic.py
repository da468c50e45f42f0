"""Isotropic sections in closed form: Bredt, Saint-Venant, textbook shear flow, shear centers, axes."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import ellipe
from section_cases import membrane, metal, stiffness_of

from beam.section import Section, network, principal_axes, rounded_box, shear_center, solve
from beam.section.outline import box, ellipse, round_tube

E, NU = 70e9, 0.3
G = E / (2 * (1 + NU))


def walls(t, count, nu=NU):
    return stiffness_of([metal(x, E, nu) for x in np.broadcast_to(t, count)])


def test_round_tube():
    """Every entry, with the wall's own bending in EI (a free strip, My = 0) and its twist in GJ (-2 Mxy)."""
    R, t = 0.05, 1e-3
    K = solve(round_tube(R), walls(t, 4)).stiffness
    J = 2 * np.pi * R**3 * t * (1 + (t / R) ** 2 / 3)
    I = np.pi * R**3 * t * (1 + (t / R) ** 2 / 12)
    np.testing.assert_allclose(
        np.diag(K)[[0, 3, 4, 5]], [E * 2 * np.pi * R * t, G * J, E * I, E * I], rtol=1e-12
    )
    np.testing.assert_allclose(np.diag(K)[1:3], G * np.pi * R * t, rtol=(t / R) ** 2)
    np.testing.assert_allclose(K - np.diag(np.diag(K)), 0, atol=1e-10 * K.max())


def test_round_tube_against_the_thick_one():
    """Exact GJ of the hollow circle; the theory parts from it by (t/R)^2 / 12."""
    for ratio in (0.1, 0.05):
        R, t = 0.05, 0.05 * ratio
        exact = G * 0.5 * np.pi * ((R + t / 2) ** 4 - (R - t / 2) ** 4)
        parted = solve(round_tube(R), walls(t, 4)).stiffness[3, 3] / exact - 1
        assert parted == pytest.approx(ratio**2 / 12, rel=0.01)


@pytest.mark.parametrize(
    ("b", "h", "t", "T"), [(0.08, 0.05, (1e-3,) * 4, 100.0), (0.04, 0.07, (1e-3, 2e-3, 1.5e-3, 3e-3), -30.0)]
)
def test_rectangular_tube_by_bredt(b, h, t, T):
    """q = T / 2A all around, clockwise flow under negative torque; J = 4 A^2 / sum(L/t)."""
    states = solve(box(b, h), membrane(walls(t, 4)))
    loads = states.recovery([0.0, 0.4, 1.0]) @ np.array([0, 0, 0, T, 0, 0])
    np.testing.assert_allclose(loads[..., 2], -T / (2 * b * h), rtol=1e-6)
    flex = sum(L / x for L, x in zip((b, h, b, h), t, strict=True))
    assert 1 / states.compliance[3, 3] == pytest.approx(G * 4 * (b * h) ** 2 / flex, rel=1e-6)


def test_wall_twist_adds_its_saint_venant_part():
    """Bredt's tube and the same walls slit open stand side by side: GJ = G 4A^2/(sum L/t) + G sum L t^3/3."""
    b, h, t = 0.08, 0.05, 2e-3
    K = 1 / solve(box(b, h), walls(t, 4)).compliance[3, 3]
    assert pytest.approx(G * (4 * (b * h) ** 2 * t / (2 * (b + h)) + 2 * (b + h) * t**3 / 3), rel=1e-12) == K


def test_walls_that_bend_share_the_torque():
    """With the walls' own twist the flow falls by their J over Bredt's, 0.4 percent."""
    t, a, b = np.full(4, 4e-3), 0.0975, 0.0594
    states = solve(box(a, b), walls(t, 4))
    bredt, own = 2 * (a * b) ** 2 * t[0] / (a + b), 2 * (a + b) * t[0] ** 3 / 3
    assert own / bredt == pytest.approx(0.004, abs=5e-4)
    assert -states.recovery([0.5])[0, 0, 2, 3] == pytest.approx(bredt / (bredt + own) / (2 * a * b), rel=1e-9)


def test_rounded_box_area_and_length():
    w, h, r, t = 0.08, 0.05, 0.012, 2e-3
    K = solve(rounded_box(w, h, r, np.full(8, t)), membrane(walls(t, 8))).stiffness
    b, d, R = w - t, h - t, r - t / 2
    length, area = 2 * (b + d) + (2 * np.pi - 8) * R, b * d + (np.pi - 4) * R**2
    assert K[0, 0] == pytest.approx(E * t * length, rel=1e-10)
    assert K[3, 3] == pytest.approx(G * 4 * area**2 * t / length, rel=1e-6)
    # Second moment: flats, and each corner as a quarter arc about its own center.
    flat = (b - 2 * R) * d**2 / 2 + 2 * (d - 2 * R) ** 3 / 12
    c = d / 2 - R
    corner = 4 * (R * np.pi / 2 * c**2 + 2 * c * R**2 + np.pi / 4 * R**3)
    assert K[4, 4] == pytest.approx(E * t * (flat + corner), rel=1e-6)


def test_elliptical_tube_and_its_order():
    a, b, t = 0.02, 0.01, 0.1e-3
    perimeter = 4 * a * ellipe(1 - (b / a) ** 2)
    assert ellipse(2 * a, 2 * b, pairs=24).length.sum() == pytest.approx(perimeter, rel=5e-7)
    exact = G * 4 * (np.pi * a * b) ** 2 * t / perimeter
    error = []
    for pairs in (4, 8, 16):
        contour = ellipse(2 * a, 2 * b, pairs=pairs)
        error.append(abs(solve(contour, membrane(walls(t, 8 * pairs))).stiffness[3, 3] / exact - 1))
    assert error[1] < 3e-5
    assert np.log2(error[0] / error[1]) == pytest.approx(4, abs=0.2)
    assert np.log2(error[1] / error[2]) == pytest.approx(4, abs=0.2)


def test_a_round_ellipse_is_the_tube():
    one = Section.ellipse(0.1, 0.1, metal(1e-3), pairs=2).compliance
    np.testing.assert_allclose(
        one, Section.tube(0.05, metal(1e-3)).compliance, atol=1e-12 * one.max(), rtol=1e-10
    )


def test_two_cells_under_torque():
    """Cells a x h and b x h with a common web, equal walls: 2 A q and equal twist, solved by hand."""
    a, b, h, t, T = 0.06, 0.03, 0.04, 1e-3, 80.0
    joints = [[0, h], [a, h], [a + b, h], [a + b, 0], [a, 0], [0, 0]]
    ends = [[0, 1], [1, 2], [2, 3], [3, 4], [4, 5], [5, 0], [1, 4]]
    states = solve(network(joints, ends), membrane(walls(t, 7)))
    flow = states.recovery([0.5])[:, 0, 2, 3] * T
    # Unknowns q1, q2, G kappa1: (loop integral of q/t) / 2A equal in both, torque shared.
    M = [
        [2 * (a + h) / t, -h / t, -2 * a * h],
        [-h / t, 2 * (b + h) / t, -2 * b * h],
        [2 * a * h, 2 * b * h, 0],
    ]
    q1, q2, twist = np.linalg.solve(M, [0, 0, T])
    np.testing.assert_allclose(flow, [-q1, -q2, -q2, -q2, -q1, -q1, q2 - q1], rtol=1e-6, atol=1e-6 * q1)
    assert states.compliance[3, 3] * T == pytest.approx(twist / G, rel=1e-6)


def test_open_sections_twist_as_strips():
    """Saint-Venant: GJ = G sum L t^3 / 3, about any point."""
    b, h, t = 0.04, 0.08, np.array([2e-3, 1e-3, 3e-3])
    joints = [[b, h / 2], [0, h / 2], [0, -h / 2], [b, -h / 2]]
    states = solve(network(joints, [[0, 1], [1, 2], [2, 3]]), walls(t, 3))
    assert 1 / states.compliance[3, 3] == pytest.approx(G * (np.array([b, h, b]) @ t**3) / 3, rel=1e-10)


def test_slit_tube_is_softer_by_the_square_of_its_thickness():
    R, t = 0.05, 1e-3
    joints = R * np.array([[1, 0], [0, -1], [-1, 0], [0, 1], [1, 0]])
    slit = network(joints, [[0, 1], [1, 2], [2, 3], [3, 4]], turn=-np.pi / 2)
    softer = (
        solve(slit, walls(t, 4)).compliance[3, 3]
        / solve(round_tube(R), membrane(walls(t, 4))).compliance[3, 3]
    )
    assert softer == pytest.approx(3 * (R / t) ** 2, rel=1e-6)


B, H, R = 0.04, 0.08, 0.05
SHEAR_CENTERS = {
    # Closed forms of the strength-of-materials books, thin walls of one thickness.
    "channel: 3 b^2 / (h + 6 b) behind the web": (
        [[B, H / 2], [0, H / 2], [0, -H / 2], [B, -H / 2]],
        [[0, 1], [1, 2], [2, 3]],
        0.0,
        (-3 * B**2 / (H + 6 * B), 0.0),
    ),
    "semicircle: 4 R / pi from its center": (
        [[0, R], [R, 0], [0, -R]],
        [[0, 1], [1, 2]],
        -np.pi / 2,
        (4 * R / np.pi, 0.0),
    ),
    "slit tube: 2 R from its center, opposite the slit": (
        [[R, 0], [0, -R], [-R, 0], [0, R], [R, 0]],
        [[0, 1], [1, 2], [2, 3], [3, 4]],
        -np.pi / 2,
        (-2 * R, 0.0),
    ),
    "angle: the corner": ([[0, H], [0, 0], [B, 0]], [[0, 1], [1, 2]], 0.0, (0.0, 0.0)),
    "zee: its center": (
        [[-B, H / 2], [0, H / 2], [0, -H / 2], [B, -H / 2]],
        [[0, 1], [1, 2], [2, 3]],
        0.0,
        (0.0, 0.0),
    ),
}


@pytest.mark.parametrize("name", SHEAR_CENTERS)
def test_shear_center_of_open_sections(name):
    joints, ends, turn, expected = SHEAR_CENTERS[name]
    center = shear_center(
        solve(network(joints, ends, turn=turn), membrane(walls(1e-4, len(ends)))).compliance
    )
    np.testing.assert_allclose(center, expected, atol=1e-6 * R)


def test_shear_center_of_a_closed_half_round():
    """Textbook: flow from a cut in the flat wall, closed by zero twist; its moment about the center."""
    joints = [[0, R], [R, 0], [0, -R]]
    contour = network(joints, [[0, 1], [1, 2], [2, 0]], turn=[-np.pi / 2, -np.pi / 2, 0])
    center = shear_center(solve(contour, membrane(walls(1e-3, 3, nu=0.0))).compliance)
    I = np.pi * R**3 / 2 + 2 * R**3 / 3
    x, w = np.polynomial.legendre.leggauss(40)
    phi, w = np.pi / 4 * (1 + x), np.pi / 4 * w  # from e3, over half the arc
    arc = (R**2 / 2 + R**2 * np.sin(phi)) / I  # size of the open flow; y^2 / 2I on the flat wall
    whole = 2 * (w @ arc) * R
    closing = (whole + R**3 / 3 / I) / (np.pi * R + 2 * R)
    np.testing.assert_allclose(center, [R * (whole - closing * np.pi * R), 0.0], rtol=1e-6, atol=1e-9)


@pytest.mark.parametrize("nu", [0.0, 0.3])
def test_transverse_shear_of_a_rectangular_tube(nu):
    """Flow by V S / I: its energy gives the stiffness, whatever nu is, for a section of two symmetries."""
    b, h, t = 0.07, 0.04, 1e-3
    K = solve(box(b, h), membrane(walls(t, 4, nu))).compliance
    I = t * (b * h**2 / 2 + h**3 / 6)
    x, w = np.polynomial.legendre.leggauss(5)
    s, web = b / 2 * x, h / 2 * x
    flange = t * h / 2 * s / I
    side = t * (h / 2 * b / 2 + (h**2 / 4 - web**2) / 2) / I
    energy = 2 * (b / 2) * (w @ flange**2) + 2 * (h / 2) * (w @ side**2)
    assert K[2, 2] == pytest.approx(energy / (E / (2 * (1 + nu)) * t), rel=1e-6)


@settings(max_examples=15, deadline=None)
@given(angle=st.floats(-1.5, 1.5), h=st.floats(0.03, 0.09))
def test_principal_axes_turn_with_the_section(angle, h):
    """A zee: tan 2 a = -2 I23 / (I2 - I3) in its own axes (books), then turned."""
    b = 0.05
    joints = np.array([[-b, h / 2], [0, h / 2], [0, -h / 2], [b, -h / 2]])
    c, s = np.cos(angle), np.sin(angle)
    turned = joints @ np.array([[c, s], [-s, c]])
    found = principal_axes(
        solve(network(turned, [[0, 1], [1, 2], [2, 3]]), membrane(walls(1e-3, 3))).compliance
    )
    I22 = 1e-3 * (2 * b * h**2 / 4 + h**3 / 12)  # integral of y3^2
    I33 = 1e-3 * 2 * b**3 / 3
    I23 = 1e-3 * 2 * (-b * b / 2 * h / 2)
    first = 0.5 * np.arctan2(-2 * I23, I22 - I33)
    off = (found.angle - first - angle + np.pi / 2) % np.pi - np.pi / 2
    assert off == pytest.approx(0, abs=1e-6)
    mean, radius = (I22 + I33) / 2, np.hypot((I22 - I33) / 2, I23)
    np.testing.assert_allclose(found.stiffness, [E * (mean + radius), E * (mean - radius)], rtol=1e-6)


def test_principal_axes_of_a_tube_are_any_axes():
    found = Section.tube(0.05, metal(1e-3)).principal_axes
    assert found.angle == 0.0
    assert found.stiffness[0] == pytest.approx(found.stiffness[1])


def test_centroid_and_reference_of_a_channel():
    b, h, t = 0.04, 0.08, 1e-3
    section = Section(
        network([[b, h / 2], [0, h / 2], [0, -h / 2], [b, -h / 2]], [[0, 1], [1, 2], [2, 3]]), [metal(t)] * 3
    )
    np.testing.assert_allclose(section.centroid, [b**2 / (2 * b + h), 0], atol=1e-12)
    K = section.stiffness_about(section.centroid)
    np.testing.assert_allclose(K[0, 3:], 0, atol=1e-6)
    about = section.stiffness_about([0.0, 0.0])
    np.testing.assert_allclose(about, section.stiffness, rtol=1e-9, atol=1e-9 * about.max())
