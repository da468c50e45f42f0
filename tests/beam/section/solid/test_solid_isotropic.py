"""Solid and hollow sections of one isotropic material against closed forms of elasticity."""

import numpy as np
import pytest
from section_cases import metal
from solid_cases import ellipse, rectangle, strip, tube

from beam.section import Section, network
from beam.section.solid import Orthotropic, mesh_walls, solve

E = 70e9
UNIT = Orthotropic.isotropic


def stiffness_terms(section):
    """1/S_ii: (EA, kGA2, kGA3, GJ, EI2, EI3) of a section without couplings."""
    return 1 / np.diagonal(section.compliance)


@pytest.mark.parametrize("nu", [0.0, 0.3])
@pytest.mark.parametrize("width", [0.1, 0.2])
def test_ellipse_is_exact_in_the_limit(width, nu):
    """J = pi a^3 b^3 / (a^2 + b^2): Saint-Venant; what is left is the rim's area, of fourth order."""
    a, b = width / 2, 0.05
    G, area = E / (2 * (1 + nu)), np.pi * a * b
    section = solve(ellipse(width, 0.1, UNIT(E, nu), count=6))
    exact = [E * area, G * np.pi * a**3 * b**3 / (a**2 + b**2), E * area * b**2 / 4, E * area * a**2 / 4]
    np.testing.assert_allclose(stiffness_terms(section)[[0, 3, 4, 5]], exact, rtol=3e-5)
    off = section.compliance - np.diag(np.diagonal(section.compliance))
    assert np.abs(off).max() < 1e-12 * section.compliance[4, 4]


@pytest.mark.parametrize("nu", [-0.2, 0.0, 0.3, 0.45])
def test_shear_energy_of_a_circle(nu):
    """Saint-Venant's flexure (Timoshenko & Goodier, Theory of Elasticity, art. on the circular section).

    t12 = (3 + 2 nu)/(8 (1 + nu)) V/I (R^2 - y2^2 - (1 - 2 nu)/(3 + 2 nu) y3^2),
    t13 = -(1 + 2 nu)/(4 (1 + nu)) V y2 y3/I;
    its energy, integrated here, gives k = 6 (1 + nu)^2 / (7 + 14 nu + 8 nu^2).
    """
    R, G = 1.0, 1 / (2 * (1 + nu))
    inertia = np.pi / 4
    r, w = np.polynomial.legendre.leggauss(12)
    r, w = 0.5 * (1 + r), 0.5 * w
    turn = np.arange(24) * np.pi / 12
    y2, y3 = r[:, None] * np.cos(turn), r[:, None] * np.sin(turn)
    t12 = (3 + 2 * nu) / (8 * (1 + nu)) / inertia * (R**2 - y2**2 - (1 - 2 * nu) / (3 + 2 * nu) * y3**2)
    t13 = -(1 + 2 * nu) / (4 * (1 + nu)) / inertia * y2 * y3
    area = (w * r)[:, None] * np.pi / 12
    assert (t12 * area).sum() == pytest.approx(1.0, rel=1e-12)
    energy = ((t12**2 + t13**2) / G * area).sum()
    k = 1 / (energy * G * np.pi)
    assert k == pytest.approx(6 * (1 + nu) ** 2 / (7 + 14 * nu + 8 * nu**2), rel=1e-12)
    section = solve(ellipse(2 * R, 2 * R, UNIT(1.0, nu), count=6))
    np.testing.assert_allclose(np.diagonal(section.compliance)[1:3], energy, rtol=5e-5)
    places = section.places(((0.5, 0.5),))[:, 0]
    inner = np.hypot(*places.T) < 0.8
    stress = section.stress([0, 1, 0, 0, 0, 0], axes="section")[:, 0]
    want = (3 + 2 * nu) / (8 * (1 + nu)) / inertia
    want = want * (R**2 - places[:, 0] ** 2 - (1 - 2 * nu) / (3 + 2 * nu) * places[:, 1] ** 2)
    np.testing.assert_allclose(stress[inner, 5], want[inner], atol=0.01 * want.max())


@pytest.mark.parametrize("nu", [0.0, 0.3])
@pytest.mark.parametrize("m", [0.3, 0.7])
def test_round_tube_of_any_thickness(m, nu):
    """Area, torsion and bending in closed form; shear at nu = 0 is Cowper's hollow circle (from memory)."""
    ro = 0.02
    ri = m * ro
    section = tube((ro + ri) / 2, ro - ri, nu)
    G, A, J = E / (2 * (1 + nu)), np.pi * (ro**2 - ri**2), np.pi / 2 * (ro**4 - ri**4)
    EA, kGA, _, GJ, EI, _ = stiffness_terms(section)
    np.testing.assert_allclose([EA, GJ, EI], [E * A, G * J, E * J / 2], rtol=5e-5)
    if nu == 0.0:
        cowper = 6 * (1 + m**2) ** 2 / (7 * (1 + m**2) ** 2 + 20 * m**2)
        assert kGA / (G * A) == pytest.approx(cowper, rel=5e-4)


def torsion_constant(width, height):
    """Saint-Venant's series for a rectangle."""
    n = np.arange(1, 60, 2)
    total = (np.tanh(np.minimum(n * np.pi * width / (2 * height), 300.0)) / n**5).sum()
    return width * height**3 * (1 / 3 - 64 * height / (np.pi**5 * width) * total)


@pytest.mark.parametrize("ratio", [0.3, 1.0, 4.0])
@pytest.mark.parametrize("shear_ratio", [1.0, 5.0])
def test_torsion_of_a_rectangle(ratio, shear_ratio):
    """Series of Saint-Venant; two shear moduli by stretching e2, as Lekhnitskii does."""
    G12, G13 = 5e9, 5e9 / shear_ratio
    material = Orthotropic(
        E1=E, E2=9e9, E3=9e9, G23=3e9, G13=G13, G12=G12, nu23=0.4, nu13=0.3, nu12=0.3
    )  # fmt: skip
    width, height = ratio * 0.02, 0.02
    stretch = np.sqrt(G12 / G13)
    exact = stretch * G12 * torsion_constant(width / stretch, height)
    section = solve(rectangle(width, height, material, count=(8, 16)))
    assert stiffness_terms(section)[3] == pytest.approx(exact, rel=1e-3)


def test_order_of_convergence():
    """Energies of quadratic elements converge with the fourth power of their size.

    Limits: Saint-Venant's series for torsion; for shear J. D. Renton, Int. J. Solids Struct. 27 (1991) 1955-1967
    (from memory; at nu = 0 it is 6/5).
    """
    exact = 1 / torsion_constant(1.0, 1.0)
    sizes = np.array([3, 6, 12])
    S = [solve(rectangle(1.0, 1.0, UNIT(2.6, 0.3), count=(n, n))).compliance for n in sizes]
    shear = 6 / 5 + (0.3 / 1.3) ** 2 * (
        1 / 5 - 18 / np.pi**5 * sum(np.tanh(m * np.pi) / m**5 for m in range(1, 40))
    )
    for entry, limit in ((3, exact), (1, shear)):
        error = [limit - s[entry, entry] for s in S] if entry == 1 else [s[entry, entry] - limit for s in S]
        assert (np.abs(error) > 1e-9).all()
        slope = np.polyfit(np.log(1 / sizes), np.log(np.abs(error)), 1)[0]
        assert slope == pytest.approx(4.0, abs=0.4)


def test_bending_and_extension_of_a_rectangle_are_exact():
    """Their fields are polynomials that the elements hold: one element is enough."""
    section = solve(rectangle(0.04, 0.02, UNIT(E, 0.3), count=(1, 1)))
    b, h = 0.04, 0.02
    want = [E * b * h, E * b * h**3 / 12, E * h * b**3 / 12]
    np.testing.assert_allclose(stiffness_terms(section)[[0, 4, 5]], want, rtol=1e-10)


def test_shear_of_a_deep_rectangle_without_contraction():
    """nu = 0: parabolic shear, k = 5/6, and the peak is 3 V / 2 A."""
    section = solve(rectangle(0.01, 0.04, UNIT(E, 0.0), count=(2, 4)))
    assert stiffness_terms(section)[2] == pytest.approx(5 / 6 * E / 2 * 4e-4, rel=1e-3)
    at = ((0.5, 0.5 - 12**-0.5), (0.5, 0.5 + 12**-0.5))
    height = section.places(at)[..., 1]
    stress = section.stress([0, 0, 1e3, 0, 0, 0], at, axes="section")
    np.testing.assert_allclose(stress[..., 4], 1.5e3 / 4e-4 * (1 - (height / 0.02) ** 2), rtol=1e-6)


def test_slit_tube():
    """Open round tube: J = 2 pi R t^3 / 3, shear center 2 R from the center, away from the slit."""
    R, t = 0.05, 0.001
    gap = 1e-4
    ends = np.array([[R * np.sin(gap), -R * np.cos(gap)], [-R * np.sin(gap), -R * np.cos(gap)]])
    contour = network(ends[::-1], [[0, 1]], turn=-2 * (np.pi - gap))
    section = Section(contour, (metal(t),))
    thick = solve(mesh_walls(section, lambda m: UNIT(m.E1, m.nu12), size=0.004))
    G = E / 2.6
    assert stiffness_terms(thick)[3] == pytest.approx(G * 2 * np.pi * R * t**3 / 3, rel=2e-3)
    np.testing.assert_allclose(thick.shear_center, [0.0, 2 * R], atol=2e-3 * R)
    np.testing.assert_allclose(thick.centroid, [0.0, 0.0], atol=1e-3 * R)


def test_shear_center_of_a_thick_strip_is_its_middle():
    section = solve(mesh_walls(strip(metal(0.004), 0.03), lambda m: UNIT(m.E1, m.nu12), size=0.01))
    np.testing.assert_allclose(section.shear_center, 0.0, atol=1e-12)


def channel(t, nu):
    """Channel of flanges 20 mm, web 40 mm (mid-lines), web on e3, flanges toward +e2."""
    contour = network([[0.02, -0.02], [0.0, -0.02], [0.0, 0.02], [0.02, 0.02]], [[0, 1], [1, 2], [2, 3]])
    section = Section(contour, (metal(t),) * 3)
    return solve(mesh_walls(section, lambda m: UNIT(m.E1, nu), size=0.003, per_layer=2))


def test_shear_center_of_a_channel():
    """Thin: 3 b^2 / (h + 6 b) behind the web (standard). Thick: one place for every nu (Trefftz's shear center)."""
    thin = channel(0.0005, 0.3).shear_center
    np.testing.assert_allclose(thin, [-3 * 0.02**2 / (0.04 + 6 * 0.02), 0.0], atol=1e-4)
    np.testing.assert_allclose(channel(0.006, 0.0).shear_center, channel(0.006, 0.45).shear_center, atol=2e-6)
