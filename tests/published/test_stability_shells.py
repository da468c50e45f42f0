"""Tubes, curved walls and flattening against printed coefficients."""

import numpy as np
import pytest
from printed import printed
from walls import isotropic_abd

from laminate.stability import (
    brazier_moment,
    panel_buckling,
    tube_buckling_ratio,
)

E, NU = 70e9, 0.3


def test_classical_axial_coefficient():
    """0.605 E h / R for nu 0.3: Timoshenko and Gere, Theory of Elastic Stability, 2nd ed. 1961, from memory.

    A tube of whole waves lies above it by what its wave numbers miss, below by h/R terms of the theory.
    """
    R, h = 0.1, 1e-4
    ratio = tube_buckling_ratio(isotropic_abd(E, NU, h), R, 0.04, -1.0, terms=14)
    assert ratio / (E * h**2 / R) == pytest.approx(0.605, rel=0.005)


@pytest.mark.parametrize("slenderness", [1.0, 3.0])
def test_torsion_of_a_moderately_long_tube(slenderness):
    """0.747 E (h/R)^(5/4) (R/L)^(1/2): NASA SP-8007 (1968) before its knockdown, from memory.

    That is a fit to the theory of Batdorf over a wide range of lengths, good to a few percent.
    """
    R, h = 0.1, 1e-3
    L = slenderness * R
    tau = tube_buckling_ratio(isotropic_abd(E, NU, h), R, L, 0.0, 1.0) / h
    assert tau == pytest.approx(0.747 * E * (h / R) ** 1.25 * (R / L) ** 0.5, rel=0.03)


def test_orthotropic_torsion():
    """21.75 D22^(5/8) (E1 h)^(3/8) R^(5/4) / L^(1/2) as torque: NASA SP-8007 (1968), from memory.

    For an isotropic wall that is 21.75/10.92^(5/8) = 4.88, 4 % above the 2 pi 0.747 = 4.69 of that report.
    """
    R, L, h = 0.1, 0.25, 1e-3
    abd = isotropic_abd(E, NU, h)
    # Twice as stiff in hoop bending, half as stiff along: what the exponents weigh.
    scale = np.diag([0.5, 1.0, 1.0, 1.0, 2.0, 1.0]) ** 0.5
    ortho = scale @ abd @ scale
    axial = 1.0 / np.linalg.inv(ortho[:3, :3])[0, 0]
    torque = 2 * np.pi * R**2 * tube_buckling_ratio(ortho, R, L, 0.0, 1.0)
    assert torque == pytest.approx(21.75 * ortho[4, 4] ** 0.625 * axial**0.375 * R**1.25 / L**0.5, rel=0.08)


def test_brazier():
    """M = 0.987 E R h^2 / sqrt(1 - nu^2): Brazier 1927, 2 sqrt(2) pi/9, from memory."""
    R, h = 0.05, 1e-3
    moment = brazier_moment(isotropic_abd(E, NU, h), R)
    assert moment * np.sqrt(1 - NU**2) / (E * R * h**2) == printed("0.987")


def test_long_curved_strip():
    """k = 0.702 Z for large Z: S. B. Batdorf, NACA Rep. 874 (1947), from memory; 4 sqrt(3)/pi^2."""
    h, b = 1e-3, 0.1
    Z = 30.0
    R = b**2 * np.sqrt(1 - NU**2) / (Z * h)
    abd = isotropic_abd(E, NU, h)
    k = panel_buckling(abd, b, R, -1.0).ratio * b**2 / (np.pi**2 * abd[3, 3])
    # R is 3.1 widths here: Sanders' equations part from the shallow ones by (b/R)^2 / 5.
    assert k / Z == pytest.approx(0.702, rel=0.2 * (b / R) ** 2)
