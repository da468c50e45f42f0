"""Anisotropic sections against the closed forms of Berdichevsky et al. (1992) and of laminated tubes."""

import numpy as np
import pytest
from section_cases import CODES, carbon, membrane, metal, mixed_walls, stiffness_of

from beam.section import Section, network, rounded_box, solve
from beam.section.outline import box, filleted, round_tube
from laminate import Laminate


def wall(code):
    return Laminate.from_code(code, carbon())


def closed_form(contour, abd):
    """Stiffness for (N, T, M2, M3) of a single membrane cell: the C of Berdichevsky, Armanios & Badir (1992).

    A, B, C of the wall with the hoop load zero, integrals along the contour, and the enclosed area; from
    memory, checked against Bredt. Their contour runs counter-clockwise; here the area swept is negative,
    and M3 = -integral sigma y2.
    """
    A11, A12, A16, A22, A26, A66 = (
        abd[..., i, j] for i, j in ((0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2))
    )
    A = A11 - A12**2 / A22
    B = 2 * (A16 - A12 * A26 / A22)
    C = 4 * (A66 - A26**2 / A22)
    x, w = np.polynomial.legendre.leggauss(20)
    at = 0.5 * (1 + x)
    ds = 0.5 * w * contour.length[:, None]
    y2, y3 = np.moveaxis(contour.position(at), -1, 0)
    t2, t3 = np.moveaxis(contour.tangent(at), -1, 0)

    def around(f):
        return float((f * ds).sum())

    swept = 0.5 * around(y2 * t3 - y3 * t2)
    one = np.ones_like(ds)
    shape = [one, y3, -y2]
    soft = around(one / C[:, None])
    a = (A - B**2 / C)[:, None]
    b = (B / C)[:, None]
    out = np.zeros((4, 4))
    rows = (0, 2, 3)
    for i, f in zip(rows, shape, strict=True):
        for j, g in zip(rows, shape, strict=True):
            out[i, j] = around(a * f * g) + around(b * f) * around(b * g) / soft
        out[i, 1] = out[1, i] = around(b * f) / soft * swept
    out[1, 1] = swept**2 / soft
    return out


BOXES = {
    "antisymmetric: one angle all around, extension-twist": ["[20]8"] * 4,
    "symmetric: opposite angles on opposite faces, bending-twist": [
        "[20]8",
        "[0/90]2s",
        "[-20]8",
        "[0/90]2s",
    ],
    "four different": ["[20]8", "[15/-60]2s", "[0/30/-45]s", "[0]6"],
}


@pytest.mark.parametrize("name", BOXES)
def test_closed_form_of_boxes(name):
    contour, abd = box(0.08, 0.05), membrane(stiffness_of([wall(c) for c in BOXES[name]]))
    compliance = solve(contour, abd).compliance[np.ix_([0, 3, 4, 5], [0, 3, 4, 5])]
    expected = np.linalg.inv(closed_form(contour, abd))
    d = 1 / np.sqrt(np.diag(expected))
    np.testing.assert_allclose(compliance * np.outer(d, d), expected * np.outer(d, d), rtol=0, atol=1e-6)


@pytest.mark.parametrize("outline", ["rounded", "quadrilateral"])
def test_closed_form_of_other_cells(outline):
    points = [[-0.04, 0.025], [0.05, 0.03], [0.04, -0.02], [-0.03, -0.025]]
    contour = (
        rounded_box(0.08, 0.05, 0.012, np.full(8, 1e-3))
        if outline == "rounded"
        else filleted(points, [0.008], 1e-3)
    )
    abd = membrane(stiffness_of(mixed_walls(8)))
    compliance = solve(contour, abd).compliance[np.ix_([0, 3, 4, 5], [0, 3, 4, 5])]
    expected = np.linalg.inv(closed_form(contour, abd))
    d = 1 / np.sqrt(np.diag(expected))
    np.testing.assert_allclose(compliance * np.outer(d, d), expected * np.outer(d, d), rtol=0, atol=1e-6)


def test_uniform_walls_reduce_to_three_numbers():
    """Equal walls: C11 = A L, C12 = B Ae, C22 = C Ae^2 / L; N and T couple, neither with bending."""
    contour, abd = box(0.08, 0.05), membrane(stiffness_of([wall("[20]8")] * 4))
    m = abd[0]
    A, B, C = (
        k * (m[i, j] - m[i2, 1] * m[1, j2] / m[1, 1])
        for k, i, j, i2, j2 in ((1, 0, 0, 0, 0), (2, 0, 2, 0, 2), (4, 2, 2, 2, 2))
    )
    L, Ae = 0.26, 0.004
    S = solve(contour, abd).compliance
    K = np.linalg.inv(S[np.ix_([0, 3], [0, 3])])
    np.testing.assert_allclose(K, [[A * L, -B * Ae], [-B * Ae, C * Ae**2 / L]], rtol=1e-6)
    np.testing.assert_allclose(S[np.ix_([0, 3], [4, 5])], 0, atol=1e-9 * S[4, 4])


def test_which_way_a_wound_tube_twists():
    """Fibers at +20 deg turn from the span toward y, clockwise seen from the tip.

    Pulled, the tube unwinds so that its fibers straighten: positive twist. Wound the other way it turns back.
    """
    plus, minus = (Section.tube(0.05, wall(code)) for code in ("[20]8", "[-20]8"))
    assert plus.compliance[3, 0] > 0
    np.testing.assert_allclose(minus.compliance[3, 0], -plus.compliance[3, 0], rtol=1e-10)


def test_opposite_faces_bend_and_twist():
    """+20 on top and -20 below run parallel in space: bending twists the box, tension does not."""
    section = Section.box(0.08, 0.05, [wall(c) for c in ("[20]8", "[0/90]2s", "[-20]8", "[0/90]2s")])
    S = section.compliance
    assert abs(S[3, 4]) > 0.1 * np.sqrt(S[3, 3] * S[4, 4])
    assert abs(S[3, 0]) < 1e-9 * np.sqrt(S[3, 3] * S[0, 0])


@pytest.mark.parametrize("code", ["[0/90]2", "[0/90/90/45/-45]", "[20/-50]", "[30/60]2"])
def test_unsymmetric_tube_cannot_curl(code):
    """Axisymmetric laminated tube by hand: Ny = 0 and no hoop curvature.

    Unknowns ex, gxy, twist under N and T; gxy = -R kappa1, kxs = -2 kappa1, kx = ky = 0, and My as it comes.
    """
    R, laminate = 0.05, wall(code)
    m = np.array(laminate.abd)
    known = [0, 2, 5]
    reduced = m[np.ix_(known, known)] - np.outer(m[known, 1], m[1, known]) / m[1, 1]
    take = np.array([[1.0, 0.0], [0.0, -R], [0.0, -2.0]])
    expected = np.linalg.inv(2 * np.pi * R * take.T @ reduced @ take)
    section = Section.tube(R, laminate)
    np.testing.assert_allclose(section.compliance[np.ix_([0, 3], [0, 3])], expected, rtol=1e-9)
    strain = expected @ [1000.0, 0.0]
    e = np.array([strain[0], 0.0, -R * strain[1], 0.0, 0.0, -2 * strain[1]])
    e[1] = -(m[1] @ e) / m[1, 1]
    np.testing.assert_allclose(section.wall_loads([1000.0, 0, 0, 0, 0, 0])[0], m @ e, rtol=1e-8, atol=1e-6)


def test_hoop_loads_vanish_in_isotropic_walls():
    """Hoop strain and curvature of one Poisson's ratio close around the section: Ny = My = 0, as in textbooks."""
    section = Section.rounded_box(0.08, 0.05, 0.012, metal(2e-3))
    loads = section.wall_loads(np.eye(6), 0.3)
    largest = np.abs(loads).max(axis=(1, 2))[:, None]
    np.testing.assert_allclose(loads[..., 1] / largest, 0, atol=1e-10)
    np.testing.assert_allclose(loads[..., 4] / largest / 0.05, 0, atol=1e-10)


def test_open_branch_is_free_to_curl():
    """A flat unsymmetric strip pulled: the free coupon's stiffness, from the inverse of ABD."""
    b, laminate = 0.05, wall("[0/90]2")
    S = solve(network([[-b / 2, 0], [b / 2, 0]], [[0, 1]]), stiffness_of([laminate])).compliance
    soft = np.linalg.inv(laminate.abd)
    np.testing.assert_allclose(
        np.linalg.inv(S[np.ix_([0, 4], [0, 4])]), b * np.linalg.inv(soft[np.ix_([0, 3], [0, 3])]), rtol=1e-8
    )


@pytest.mark.parametrize("code", CODES)
def test_mirrored_tube_mirrors_its_couplings(code):
    """The mirror image in the plane of e1 and e3: angles change sign, so do V2, T and M3."""
    laminate = wall(code)
    image = Laminate(tuple(ply.mirrored for ply in laminate.plies))
    sign = np.array([1, -1, 1, -1, 1, -1])
    one, other = (solve(round_tube(0.05), stiffness_of([w] * 4)).compliance for w in (laminate, image))
    np.testing.assert_allclose(other, one * np.outer(sign, sign), rtol=0, atol=1e-10 * np.abs(one).max())
