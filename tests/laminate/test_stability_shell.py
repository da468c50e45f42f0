"""Thin circular shells: rigid motions, energy, curved walls, and what walls and tubes share."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from walls import T300_5208, harmonic, isotropic_abd, isotropic_D, stack_abd

from laminate.stability import (
    NotConverged,
    compression_knockdown,
    curved_wall_ratio,
    panel_buckling,
    strip_buckling,
    tube_buckling_ratio,
    tube_ratio,
)
from laminate.stability.ritz import lowest_ratio
from laminate.stability.shell import shell_matrices

E, NU, H = 70e9, 0.3, 1e-3
SHEET = isotropic_abd(E, NU, H)
SKEW = stack_abd(T300_5208, [45, 30, 0, 90, 45], 0.2e-3)


@pytest.mark.parametrize(
    ("waves", "u", "v", "w"),
    [
        (0, 1.0, 0.0, 0.0),  # along the axis
        (0, 0.0, 1.0, 0.0),  # turning about the axis
        (1, 0.0, 1j, 1.0),  # sideways: w = cos, v = -sin
    ],
)
def test_rigid_motions_cost_no_strain_energy(waves, u, v, w):
    R = 0.3
    f = harmonic(0.0, waves / R)
    K, G = shell_matrices(f, f, f, 1 / R, SKEW, np.array([[-1.0, -2.0, 0.5]]), np.ones(1))
    motion = np.array([u, v, w])
    assert abs(motion.conj() @ K @ motion) < 1e-12 * abs(np.trace(K))
    if waves == 1:
        # Nor does a uniform load do work on a sideways shift.
        assert abs(motion.conj() @ G @ motion) < 1e-9


def test_energy_of_single_strain_states():
    """w = 1 on a closed ring: hoop strain 1/R, curvature none. u = i x-wave: axial strain k."""
    R, k = 0.3, 5.0
    f = harmonic(k, 0.0)
    K, G = shell_matrices(f, f, f, 1 / R, SHEET, np.array([[-3.0, 0.0, 0.0]]), np.ones(1))
    A11, D11 = SHEET[0, 0], SHEET[3, 3]
    assert K[0, 0].real == pytest.approx(A11 * k**2, rel=1e-12)
    assert K[2, 2].real == pytest.approx(A11 / R**2 + D11 * k**4, rel=1e-12)
    assert abs(K[0, 2]) == pytest.approx(SHEET[0, 1] * k / R, rel=1e-12)
    assert G[2, 2].real == pytest.approx(-3.0 * k**2, rel=1e-12)
    assert_allclose(K, K.conj().T)


def test_coupling_knows_inside_from_outside():
    """z and w point outward: w adds hoop strain w/R and curvature k^2 w, and B12 joins them with a plus."""
    R, k = 0.3, 5.0
    f = harmonic(k, 0.0)
    unsymmetric = stack_abd(T300_5208, [45, -45, 0], 0.2e-3)
    K, _ = shell_matrices(f, f, f, 1 / R, unsymmetric, np.zeros((1, 3)), np.ones(1))
    A22, B12, D11 = unsymmetric[1, 1], unsymmetric[0, 4], unsymmetric[3, 3]
    assert abs(B12) > 0.05 * np.sqrt(A22 * D11)
    assert K[2, 2].real == pytest.approx(D11 * k**4 + 2 * B12 * k**2 / R + A22 / R**2, rel=1e-12)


@pytest.mark.parametrize("angles", [[0, 90], [90, 0]])
def test_panel_of_two_plies_buckles_in_single_waves(angles):
    """sin(k x) sin(l y) solves the cross-ply panel exactly; which ply lies inside makes a difference."""
    abd, b, R = stack_abd(T300_5208, angles, 0.5e-3), 0.1, 0.25

    def single(k, n):
        f = harmonic(k, n * np.pi / b)
        load = np.array([[-1.0, 0.0, 0.0]])
        return lowest_ratio(*shell_matrices(f, f, f, 1 / R, abd, load, np.ones(1)))

    k = np.linspace(2 * np.pi, 30 * np.pi, 400)
    exact = min(single(one, n) for n in (1, 2, 3) for one in k)
    assert panel_buckling(abd, b, R, -1.0).ratio == pytest.approx(exact, rel=3e-4)
    other = panel_buckling(abd[[1, 0, 2, 4, 3, 5]][:, [1, 0, 2, 4, 3, 5]], b, R, -1.0).ratio
    assert abs(other / exact - 1) > 0.003


@pytest.mark.parametrize("load", [{"Nx": -1.0}, {"Nxy": 1.0}, {"Nxy": -1.0, "Nx": -0.5}, {"Nx_bending": 1.0}])
def test_flat_panel_is_the_strip(load):
    flat = stack_abd(T300_5208, [45, 30, 0, 30, 45], 0.2e-3)
    strip = strip_buckling(flat[3:, 3:], 0.1, **load)
    panel = panel_buckling(flat, 0.1, np.inf, **load)
    # Work of turning in the plane, of order (h/b)^2, which the strip leaves out.
    assert panel.ratio == pytest.approx(strip.ratio, rel=1e-3)
    assert panel.half_wave == pytest.approx(strip.half_wave, rel=0.02)
    almost = panel_buckling(flat, 0.1, 1e4, **load)
    assert almost.ratio == pytest.approx(panel.ratio, rel=1e-4)


@pytest.mark.parametrize("Z", [2.0, 6.0, 10.0, 20.0, 40.0])
def test_long_curved_strip_in_compression(Z):
    """Donnell, simply supported, edges free to slide around: k = 4 + 3 Z^2/pi^4, then 4 sqrt(3) Z/pi^2.

    From (beta + 1/beta)^2 = X >= 4 in k = X + (12 Z^2/pi^4)/X.
    """
    b = 0.1
    R = b**2 * np.sqrt(1 - NU**2) / (Z * H)
    X = max(4.0, np.sqrt(12.0) * Z / np.pi**2)
    k = X + 12.0 * Z**2 / np.pi**4 / X
    ratio = panel_buckling(SHEET, b, R, -1.0, terms=10).ratio
    # The theories of Sanders and Donnell part by the order of (b/R)^2.
    assert ratio / (np.pi**2 * SHEET[3, 3] / b**2) == pytest.approx(k, rel=0.002 + 0.2 * (b / R) ** 2)


def test_holding_the_edges_stiffens():
    free, fixed = (panel_buckling(SHEET, 0.1, 0.5, -1.0, hold_v=h).ratio for h in (False, True))
    assert fixed > 1.05 * free


def test_panel_takes_terms_until_they_are_enough_and_says_when_they_cannot_be():
    # The last load pulls all but a strip along one edge, where four functions see no way to buckle.
    for load in ({"Nx": -1.0, "Nxy": 0.4}, {"Nx": 30.0, "Nxy": 1.0}, {"Nx": 1.0, "Nx_bending": 1.1}):
        few, many = (panel_buckling(SKEW, 0.1, 0.3, terms=n, **load).ratio for n in (4, 14))
        assert np.isfinite(few)
        assert few == pytest.approx(many, rel=0.01)
    with pytest.raises(NotConverged, match=r"panel_buckling: 40 terms give .* narrower part"):
        panel_buckling(isotropic_abd(E, NU, 0.02e-3), 0.3, 0.1, 0.0, 1.0, longest_half_wave=0.02, terms=40)


def test_curved_panel_shear_sign_and_half_wave():
    up, down = panel_buckling(SKEW, 0.1, 0.4, 0.0, [1.0, -1.0], terms=14).ratio
    assert abs(up / down - 1) > 0.05
    isotropic = panel_buckling(SHEET, 0.1, 0.4, 0.0, [1.0, -1.0])
    assert isotropic.ratio[0] == pytest.approx(isotropic.ratio[1], rel=1e-9)


def test_the_search_ends_at_sixty_half_waves_of_the_plate():
    """A wide column under Ny buckles in the longest half wave searched, 60 b (D11/D22)^(1/4)."""
    abd = stack_abd(T300_5208, [0, 90, 0], 0.2e-3)
    longest = 60 * 0.1 * (abd[3, 3] / abd[4, 4]) ** 0.25
    assert longest > 1.2 * 60 * 0.1
    assert panel_buckling(abd, 0.1, np.inf, Ny=-1.0, terms=6).half_wave == pytest.approx(longest, rel=1e-9)
    assert strip_buckling(abd[3:, 3:], 0.1, Ny=-1.0).half_wave == pytest.approx(longest, rel=1e-9)


def test_no_load_no_buckling():
    assert tube_buckling_ratio(SHEET, 0.1, 0.1, [0.0, 5.0], terms=6).tolist() == [np.inf, np.inf]
    assert tube_ratio(SHEET, 0.1, 0.1, [0.0, 5.0]).tolist() == [np.inf, np.inf]
    none = panel_buckling(SHEET, 0.1, 0.5, 2.0)
    assert (none.ratio, none.half_wave) == (np.inf, np.inf)


def test_curved_wall_gets_the_better_of_flat_and_knocked_down():
    flat = panel_buckling(SHEET, 0.1, np.inf, -1.0).ratio
    assert curved_wall_ratio(SHEET, 0.1, 1.0, -1.0) == pytest.approx(flat, rel=1e-9)
    strong = curved_wall_ratio(SHEET, 0.1, 0.3, -1.0)
    assert strong > 1.5 * flat
    perfect = panel_buckling(SHEET, 0.1, 0.3, -1.0).ratio
    assert strong == pytest.approx(compression_knockdown(SHEET, 0.3) * perfect, rel=1e-9)


def test_isotropic_D_of_the_helper_is_that_of_the_sheet():
    assert_allclose(SHEET[3:, 3:], isotropic_D(NU, E * H**3 / 12 / (1 - NU**2)))


def test_no_case_has_no_answer():
    assert panel_buckling(SHEET[None][:0], 0.1, 0.5, -1.0).ratio.shape == (0,)
    assert tube_buckling_ratio(SHEET[None][:0], 0.1, 0.1, -1.0).shape == (0,)


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: panel_buckling(SHEET, 0.1, 0.5, -1.0, edges=("free", "free")), "finite; it is a column"),
        (lambda: panel_buckling(SHEET, 0.32, 0.05, -1.0), "longer than the circle"),
        (lambda: panel_buckling(SHEET, 0.1, np.nan, -1.0), "radius"),
    ],
)
def test_walls_that_cannot_be_are_refused(call, match):
    with pytest.raises(ValueError, match=match):
        call()
