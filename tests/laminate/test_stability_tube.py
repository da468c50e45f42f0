"""Tubes: limits, closed forms, and the knockdown of imperfections."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from walls import T300_5208, harmonic, isotropic_abd, stack_abd

from laminate.stability import (
    NotConverged,
    bending_knockdown,
    brazier_moment,
    compression_knockdown,
    tube_buckling_ratio,
    tube_ratio,
)
from laminate.stability.ritz import lowest_ratio
from laminate.stability.shell import shell_matrices

E, NU, H = 70e9, 0.3, 1e-3

SHEET = isotropic_abd(E, NU, H)


def donnell_axial(abd, R, L, n_most=25):
    """Lowest axial load of a simply supported orthotropic cylinder by single waves of Donnell's theory."""
    a, D = np.linalg.inv(abd[:3, :3]), abd[3:, 3:]
    m, n = np.arange(1, 120)[:, None], np.arange(n_most)
    k, l = m * np.pi / L, n / R
    bending = D[0, 0] * k**4 + 2 * (D[0, 1] + 2 * D[2, 2]) * k**2 * l**2 + D[1, 1] * l**4
    membrane = a[1, 1] * k**4 + (2 * a[0, 1] + a[2, 2]) * k**2 * l**2 + a[0, 0] * l**4
    return ((bending + k**4 / R**2 / membrane) / k**2)[:, n != 1].min()


@pytest.mark.parametrize("angles", [[0, 90, 0], [90, 0, 90], [0, 0, 0], [90, 90, 90]])
def test_orthotropic_tube_in_compression(angles):
    """Against single waves of Donnell's theory; the two theories part where few waves go around."""
    abd = stack_abd(T300_5208, angles, 0.125e-3)
    R, L = 0.1, 0.12
    ratio = tube_buckling_ratio(abd, R, L, -1.0, column=False)
    assert ratio == pytest.approx(donnell_axial(abd, R, L), rel=0.03)


@pytest.mark.parametrize("angles", [[0, 90], [90, 0]])
def test_tube_of_two_plies_buckles_in_single_waves(angles):
    """sin(m pi x/L) exp(i n theta) solves the cross-ply tube; which ply lies inside makes a difference."""
    abd, R, L = stack_abd(T300_5208, angles, 0.25e-3), 0.05, 0.06
    load = np.array([[-1.0, 0.0, 0.0]])

    def single(stiffness, m, n):
        f = harmonic(m * np.pi / L, n / R)
        return lowest_ratio(*shell_matrices(f, f, f, 1 / R, stiffness, load, np.ones(1)))

    turned = abd[[1, 0, 2, 4, 3, 5]][:, [1, 0, 2, 4, 3, 5]]
    exact, other = (min(single(s, m, n) for m in range(1, 12) for n in range(16)) for s in (abd, turned))
    assert tube_buckling_ratio(abd, R, L, -1.0) == pytest.approx(exact, rel=1e-9)
    assert abs(other / exact - 1) > 0.003


def test_long_tube_bows_as_a_column():
    R, L = 0.02, 3.0
    thick = isotropic_abd(E, NU, 2e-3)
    euler = np.pi**2 * E * R**2 / (2 * L**2) * 2e-3
    assert tube_buckling_ratio(thick, R, L, -1.0, terms=8) == pytest.approx(euler, rel=0.005)


def test_tube_rings():
    """A very long tube without its column mode ovals: two waves around, hoop and shear strain nil.

    Then v = i w/n, u = -i k R w/n^2 in size, and at the best wave number k, N k^2 (1 + 1/n^2) =
    E h k^4 R^2/n^4 + D22 n^4 (1 - 1/n^2)^2/R^4.
    """
    R, h = 0.02, 0.5e-3
    abd = isotropic_abd(E, NU, h)
    n = 2
    D22 = E * h**3 / 12 / (1 - NU**2)
    k2 = np.sqrt(D22 * n**8 * (1 - 1 / n**2) ** 2 / (E * h)) / R**3
    N = (E * h * k2**2 * R**2 / n**4 + D22 * n**4 * (1 - 1 / n**2) ** 2 / R**4) / (k2 * (1 + 1 / n**2))
    L = np.pi / np.sqrt(k2)
    assert tube_buckling_ratio(abd, R, L, -1.0, column=False, terms=6) == pytest.approx(N, rel=0.03)


def test_tube_torsion_depends_on_its_sense_for_a_helical_stack():
    helical = stack_abd(T300_5208, [45, 45, 30], 0.2e-3)
    both = tube_buckling_ratio(helical, 0.05, 0.1, 0.0, [1.0, -1.0])
    assert abs(both[0] / both[1] - 1) > 0.1
    mirrored = stack_abd(T300_5208, [-45, -45, -30], 0.2e-3)
    assert_allclose(tube_buckling_ratio(mirrored, 0.05, 0.1, 0.0, [-1.0, 1.0]), both, rtol=1e-9)


def test_tube_terms_and_its_refusals():
    ratio = tube_buckling_ratio(SHEET, 0.1, 0.1, -1.0)
    assert tube_buckling_ratio(SHEET, 0.1, 0.1, -1.0, terms=20) == pytest.approx(ratio, rel=1e-6)
    with pytest.raises(NotConverged, match="take more terms"):
        tube_buckling_ratio(SHEET, 0.1, 0.1, 0.0, 1.0, terms=2)
    with pytest.raises(ValueError, match=r"terms .* <= 250; tube of length"):
        tube_buckling_ratio(isotropic_abd(E, NU, 1e-4), 0.1, 5.0, -1.0)


def test_tube_ratio_is_a_straight_line_between_loads_alone():
    alone = {name: tube_ratio(SHEET, 0.1, 0.1, **{name: load}) for name, load in
             (("Nx", -1.0), ("Nxy", -1.0), ("Nx_bending", 1.0))}  # fmt: skip
    both = tube_ratio(SHEET, 0.1, 0.1, -1.0, -2.0, Nx_bending=-3.0)
    assert 1 / both == pytest.approx(1 / alone["Nx"] + 2 / alone["Nxy"] + 3 / alone["Nx_bending"], rel=1e-12)
    perfect = tube_buckling_ratio(SHEET, 0.1, 0.1, -1.0)
    assert alone["Nx"] == pytest.approx(compression_knockdown(SHEET, 0.1) * perfect, rel=1e-6)
    assert alone["Nxy"] == pytest.approx(0.67 * tube_buckling_ratio(SHEET, 0.1, 0.1, 0.0, 1.0), rel=1e-9)
    peak = brazier_moment(SHEET, 0.1) / (np.pi * 0.1**2)
    assert alone["Nx_bending"] == pytest.approx(bending_knockdown(SHEET, 0.1) * min(peak, perfect), rel=1e-6)


def test_column_needs_no_knockdown():
    thick = isotropic_abd(E, NU, 2e-3)
    perfect = tube_buckling_ratio(thick, 0.01, 0.3, -1.0)
    assert perfect == pytest.approx(np.pi**2 * E * 1e-4 / (2 * 0.09) * 2e-3, rel=0.02)
    assert tube_ratio(thick, 0.01, 0.3, -1.0) == pytest.approx(perfect, rel=1e-12)


def test_brazier_by_brute_force():
    """Largest moment over the flattening zeta that least energy gives to each curvature."""
    R, Eh, D22 = 0.1, E * H, E * H**3 / 12 / (1 - NU**2)
    kappa = np.linspace(0.0, 0.4, 4001)[1:]
    zeta = np.linspace(0.0, 0.6, 1201)[:, None]
    energy = np.pi / 2 * Eh * R**3 * kappa**2 * (1 - 1.5 * zeta) + 4.5 * np.pi * D22 * zeta**2 / R
    moment = np.gradient(energy.min(axis=0), kappa)
    # The expansion holds for small zeta only; past the first maximum it is without meaning.
    first = np.argmax(moment[:-1] > moment[1:] * (1 + 1e-6))
    assert moment[: first + 40].max() == pytest.approx(brazier_moment(SHEET, R), rel=0.01)
    stiff_along = np.array(SHEET)
    stiff_along[3, 3] *= 4  # a wall flattens around the tube, not along it
    assert brazier_moment(stiff_along, R) == pytest.approx(brazier_moment(SHEET, R), rel=1e-12)


def test_knockdowns():
    thin = isotropic_abd(E, NU, 0.1 / 900)
    assert compression_knockdown(thin, 0.1) == pytest.approx(1 - 0.901 * (1 - np.exp(-30 / 16)), rel=1e-9)
    assert bending_knockdown(thin, 0.1) == pytest.approx(1 - 0.731 * (1 - np.exp(-30 / 16)), rel=1e-9)
    radius = np.array([0.01, 0.1, 0.5])
    gamma = compression_knockdown(SHEET, radius)
    assert (np.diff(gamma) < 0).all()
    assert (bending_knockdown(SHEET, radius) > gamma).all()
    with pytest.raises(ValueError, match=r"radius / equivalent thickness .* <= 1500"):
        compression_knockdown(SHEET, 2.0)
