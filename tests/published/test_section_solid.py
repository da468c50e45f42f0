"""Solid sections in torsion and in shear against the tables of Timoshenko & Goodier, and Cowper's coefficients."""

import numpy as np
import pytest
from printed import printed
from solid_cases import ellipse, rectangle

from beam.section.solid import Orthotropic, solve

TORSION = (
    "Timoshenko & Goodier, Theory of Elasticity, 3rd ed., torsion of rectangular bars, table; from memory"
)
FLEXURE = (
    "Timoshenko & Goodier, Theory of Elasticity, 3rd ed., bending of bars, rectangle, table; from memory"
)
COWPER = "Cowper, J. Appl. Mech. 33 (1966) 335-340; formulas page read"


def steel(nu):
    """Isotropic, G = 1."""
    return Orthotropic.isotropic(2 * (1 + nu), nu)


def shear_at(section, F, component, point):
    """A stress at a point, by least squares of fourth degree from the 2 x 2 places where elements are best."""
    g = 12**-0.5
    at = [(0.5 + i * g, 0.5 + j * g) for i in (-1, 1) for j in (-1, 1)]
    r = section.places(at).reshape(-1, 2) - point
    value = section.stress(F, at, axes="section")[..., component].ravel()
    near = np.argsort((r**2).sum(axis=1), kind="stable")[:48]
    r = r[near] / np.abs(r[near]).max(axis=0)
    terms = np.stack([r[:, 0] ** i * r[:, 1] ** j for i in range(5) for j in range(5 - i)], axis=-1)
    return np.linalg.lstsq(terms, value[near], rcond=None)[0][0]


@pytest.mark.parametrize(
    ("ratio", "k1", "k2"),
    [
        (1.0, "0.1406", "0.208"),
        (1.5, "0.196", "0.231"),
        (2.0, "0.229", "0.246"),
        (3.0, "0.263", "0.267"),
        (10.0, "0.312", "0.312"),
    ],
)
def test_torsion_of_a_rectangle(ratio, k1, k2):
    """T = k1 G theta a^3 b = k2 tau_max a^2 b; the largest stress is in the middle of the long side.

    The row b/a = 5 is left out: the series gives k2 = 0.29152 where the table, as recalled, has 0.291.
    """
    section = solve(rectangle(ratio, 1.0, steel(0.3), count=(int(8 * ratio), 10)))
    assert 1 / section.compliance[3, 3] / ratio == printed(k1), TORSION
    largest = shear_at(section, [0, 0, 0, 1, 0, 0], 5, [0.0, 0.5])
    assert 1 / (abs(largest) * ratio) == printed(k2), TORSION


@pytest.mark.parametrize(
    ("depth", "count", "center", "side"),
    [
        (2.0, (12, 24), "0.983", "1.033"),
        (1.0, (16, 16), "0.940", "1.126"),
        (0.5, (48, 16), "0.856", "1.396"),
        (0.25, (96, 12), "0.805", "1.988"),
    ],
)
def test_shear_over_the_width_of_a_rectangle(depth, count, center, side):
    """Shear stress on the neutral axis over 3 V / 2 A, nu = 1/4, for depth / width 2, 1, 1/2, 1/4."""
    section = solve(rectangle(1.0, depth, steel(0.25), count=count))
    tau = [shear_at(section, [0, 0, 1, 0, 0, 0], 4, [y2, 0.0]) * depth / 1.5 for y2 in (0.0, 0.5)]
    assert tau[0] == printed(center), FLEXURE
    assert tau[1] == printed(side), FLEXURE


@pytest.mark.parametrize("nu", [0.0, 0.3])
@pytest.mark.parametrize(
    ("mesh", "area", "cowper", "at_0_3"),
    [
        (lambda m: rectangle(1.0, 1.0, m, count=(8, 8)), 1.0, lambda nu: 10 * (1 + nu) / (12 + 11 * nu), "0.8497"),
        (lambda m: ellipse(1.0, 1.0, m, count=5), np.pi / 4, lambda nu: 6 * (1 + nu) / (7 + 6 * nu), "0.8864"),
    ],
    ids=["square", "circle"],
)  # fmt: skip
def test_cowper(mesh, area, cowper, at_0_3, nu):
    """Cowper relates V to a mean displacement, the stiffness here to energy: one at nu = 0, at nu = 0.3 apart.

    Energy is below Cowper by 2.5 percent (square) and 4.0 percent (circle); the latter is
    6 (1 + nu)^2 / (7 + 14 nu + 8 nu^2) in closed form, the former Renton's series, Int. J. Solids Struct. 27 (1991)
    1955-1967 (from memory), both checked in tests/beam/section/solid.
    """
    assert cowper(0.3) == printed(at_0_3), COWPER
    energy = 1 / solve(mesh(steel(nu))).compliance[1, 1] / area
    assert energy <= cowper(nu) * (1 + 2e-4)
    gap = cowper(nu) / energy - 1
    assert gap == pytest.approx(0.0, abs=2e-4) if nu == 0 else 0.02 < gap < 0.045
