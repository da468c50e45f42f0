"""Interlaminar shear: the parabola, a sandwich, equilibrium of forces, and bad input."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from walls import T300_5208, ply_Q, stack_abd, turned

from laminate.interlaminar import delamination_ratio, interlaminar_shear

SHEET = ply_Q(70e9, 70e9, 70e9 / 2.6, 0.3)


def test_one_ply_is_the_parabola():
    """3V/2h at the middle, in both directions and at once."""
    h = 2e-3
    z, stress = interlaminar_shear([SHEET], [h], [1000.0, -500.0], points=9)
    assert z.shape == (1, 9)
    parabola = 1.5 / h * (1 - 4 * z**2 / h**2)
    assert_allclose(stress, parabola[..., None] * [1000.0, -500.0], atol=1e-9 * 1.5e6)
    # Cut in plies of different thickness, it stays the same.
    z, stress = interlaminar_shear([SHEET] * 3, [0.3e-3, 1.2e-3, 0.5e-3], [1000.0, 0.0], points=5)
    assert_allclose(stress[..., 0], 1.5 / h * (1 - 4 * z**2 / h**2) * 1000.0, atol=1e-9 * 1.5e6)


def test_sandwich():
    """Thin stiff faces on a core of no stiffness: V/d in the core, d between the middles of the faces."""
    face, core = 0.1e-3, 10e-3
    _, stress = interlaminar_shear([SHEET, SHEET * 1e-9, SHEET], [face, core, face], [100.0, 0.0])
    assert_allclose(stress[1, :, 0], 100.0 / (core + face), rtol=1e-3)


def test_beam_of_three_plies_by_first_moments():
    """tau = V S/(I b) with transformed sections, for plies without Poisson's effect."""
    E, t, V = np.array([120e9, 8e9, 120e9]), np.array([0.2e-3, 0.6e-3, 0.2e-3]), 900.0
    Q = [ply_Q(e, e, e / 2, 0.0) for e in E]
    edges = np.concatenate([[0.0], np.cumsum(t)]) - t.sum() / 2
    EI = (E * np.diff(edges**3) / 3).sum()
    at_interfaces = -V / EI * np.cumsum(E * np.diff(edges**2) / 2)
    _, stress = interlaminar_shear(Q, t, [V, 0.0], points=2)
    assert_allclose(stress[:, 1, 0], at_interfaces, atol=1e-6 * abs(at_interfaces).max())
    assert_allclose(stress[1:, 0], stress[:-1, 1], rtol=1e-12)


ANGLE = st.sampled_from([0.0, 20.0, -45.0, 45.0, 60.0, 90.0])


@given(angles=st.lists(ANGLE, min_size=1, max_size=6), vx=st.floats(-1e4, 1e4), vy=st.floats(-1e4, 1e4))
@settings(max_examples=50, deadline=None)
def test_any_stack_carries_the_force_and_leaves_the_faces_free(angles, vx, vy):
    Q, t = [turned(T300_5208, angle) for angle in angles], np.full(len(angles), 0.125e-3)
    _, stress = interlaminar_shear(Q, t, [vx, vy], points=3)
    largest = abs(stress).max() + 1e-300
    assert_allclose(stress[0, 0], 0.0, atol=1e-12 * largest)
    assert_allclose(stress[-1, -1], 0.0, atol=1e-9 * largest)
    assert_allclose(stress[1:, 0], stress[:-1, -1], atol=1e-9 * largest)
    # A parabola in each ply: Simpson's rule is exact.
    force = (stress * np.array([1.0, 4.0, 1.0])[:, None] / 6).sum(axis=1).T @ t
    assert_allclose(force, [vx, vy], atol=1e-9 * (abs(vx) + abs(vy) + 1e-9))


def test_slope_is_that_of_the_in_plane_stress():
    """d tau_xz/dz = - d sigma_x/dx with the stress of classical theory under dMx/dx = Vx."""
    angles = [30.0, 0.0, -45.0, 90.0]
    Q, t = np.array([turned(T300_5208, a) for a in angles]), 0.2e-3
    change = np.linalg.solve(stack_abd(T300_5208, angles, t), [0, 0, 0, 700.0, 0, 0])
    z, stress = interlaminar_shear(Q, np.full(4, t), [700.0, 0.0], points=3)
    gradient = np.einsum("pij,pj->pi", Q, change[:3] + z[:, 1, None] * change[3:])
    slope = (stress[:, 2] - stress[:, 0]) / t
    assert_allclose(slope[:, 0], -gradient[:, 0], rtol=1e-9)
    assert_allclose(slope[:, 1], -gradient[:, 2], rtol=1e-9, atol=1e-9 * abs(gradient).max())


@pytest.mark.parametrize(
    ("q_bar", "thickness", "match"),
    [
        ([SHEET], [0.0], "> 0 for one"),
        ([SHEET], [1e-3, 1e-3], "plies"),
        ([SHEET * 0.0], [1e-3], "ABD"),
    ],
)
def test_what_is_no_stack_is_refused(q_bar, thickness, match):
    with pytest.raises(ValueError, match=match):
        interlaminar_shear(q_bar, thickness, [1.0, 2.0])


def test_delamination():
    S = {"tensile_strength": 30e6, "shear_strength": 60e6}
    radial, shear = (
        np.array([30e6, 0.0, 15e6, -90e6, 0.0, -1e6]),
        np.array([0.0, -60e6, 30e6, 30e6, 0.0, 0.0]),
    )
    R = delamination_ratio(radial, shear, **S)
    assert_allclose(R, [1.0, 1.0, np.sqrt(2.0), 2.0, np.inf, np.inf])
    on_surface = np.hypot(R[:4] * np.maximum(radial[:4], 0) / 30e6, R[:4] * shear[:4] / 60e6)
    assert_allclose(on_surface, 1.0)
