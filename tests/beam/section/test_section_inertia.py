"""Mass and inertia per length against solid geometry."""

import numpy as np
import pytest
from section_cases import metal, mixed_walls

from beam.section import Section, network, rounded_box
from beam.section.centers import inertia

RHO = 2700.0


def test_thick_tube_is_exact():
    """Hollow circle: m = rho pi (a^2 - b^2), polar rho pi/2 (a^4 - b^4); the wall's thickness is counted."""
    R, t = 0.05, 0.012
    a, b = R + t / 2, R - t / 2
    section = Section.tube(R, metal(t))
    assert section.mass_per_length == pytest.approx(RHO * np.pi * (a**2 - b**2), rel=1e-12)
    expected = np.diag(
        [section.mass_per_length] * 3
        + [RHO * np.pi / 2 * (a**4 - b**4)]
        + [RHO * np.pi / 4 * (a**4 - b**4)] * 2
    )
    np.testing.assert_allclose(section.inertia, expected, rtol=1e-10, atol=1e-14)


def test_slanted_strip_off_the_axis_is_exact():
    """A rectangle L x t at an angle, its center at (0.02, 0.03): m y, m y y + m/12 (L^2 t t' + h^2 n n')."""
    L, h, angle = 0.06, 0.008, 0.6
    d, n = np.array([np.cos(angle), np.sin(angle)]), np.array([-np.sin(angle), np.cos(angle)])
    c = np.array([0.02, 0.03])
    section = Section(network([c - L / 2 * d, c + L / 2 * d], [[0, 1]]), [metal(h)])
    m = RHO * L * h
    second = m * (np.outer(c, c) + L**2 / 12 * np.outer(d, d) + h**2 / 12 * np.outer(n, n))
    M = section.inertia
    np.testing.assert_allclose(M[:3, :3], m * np.eye(3), rtol=1e-12)
    np.testing.assert_allclose(
        M[:3, 3:], m * np.array([[0, c[1], -c[0]], [-c[1], 0, 0], [c[0], 0, 0]]), rtol=1e-12
    )
    I22, I33, I23 = second[1, 1], second[0, 0], second[0, 1]
    np.testing.assert_allclose(
        M[3:, 3:], [[I22 + I33, 0, 0], [0, I22, -I23], [0, -I23, I33]], rtol=1e-12, atol=1e-16
    )


def test_kinetic_energy_of_a_motion():
    """Half v.v summed over points through the walls, for any motion of the section."""
    walls = mixed_walls()
    t, areal = (np.array([getattr(w, k) for w in walls]) for k in ("thickness", "areal_density"))
    contour = rounded_box(0.08, 0.05, 0.012, 8 * t)
    M = inertia(contour, areal, 8 * t)
    u, r = np.array([0.3, -1.0, 0.7]), np.array([0.4, 2.0, -1.5])
    x, w = np.polynomial.legendre.leggauss(12)
    at, energy = 0.5 * (1 + x), 0.0
    for z, wz in zip(0.5 * x, 0.5 * w, strict=True):
        depth = 8 * t * z
        y = contour.position(at) + depth[:, None, None] * contour.normal(at)
        stretch = 1 - depth * contour.turn / contour.length
        point = np.concatenate([np.zeros((*y.shape[:-1], 1)), y], axis=-1)
        v = u + np.cross(r, point)
        energy += wz * np.einsum("w,w,w,p,wpi,wpi->", areal, stretch, contour.length, 0.5 * w, v, v)
    motion = np.concatenate([u, r])
    assert motion @ M @ motion == pytest.approx(energy, rel=1e-12)


def test_batch_equals_loop():
    t = np.linspace(1e-3, 2e-3, 3)[:, None] * np.ones(8)
    areal = 1600 * t * np.array([1.0, 1.1])[:, None, None]
    contour = rounded_box(0.08, 0.05, 0.012, t)
    M = inertia(contour, areal, t)
    assert M.shape == (2, 3, 6, 6)
    for i in range(2):
        for j in range(3):
            np.testing.assert_allclose(
                M[i, j], inertia(rounded_box(0.08, 0.05, 0.012, t[j]), areal[i, j], t[j]), rtol=1e-12
            )
