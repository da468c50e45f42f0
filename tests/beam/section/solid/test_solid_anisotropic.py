"""Homogeneous and laminated anisotropic sections against closed forms and classical lamination theory."""

import numpy as np
import pytest
from section_cases import carbon
from solid_cases import off_axis, ply3d, rectangle, strip

from beam.section.solid import Orthotropic, mesh_walls, ply_stress, solve
from beam.section.solid.orthotropic import ply_axes, strain_transform
from laminate import Laminate
from laminate.lamina_stiffness import q_rotated
from laminate.transverse_shear import shear_spread

WIDTH, HEIGHT = 0.03, 0.02


@pytest.mark.parametrize("angle", [0.0, 20.0, -50.0, 90.0])
def test_off_axis_bar(angle):
    """Bar of one off-axis ply material, in closed form (Lekhnitskii's polynomial solutions).

    N: s11 = N/A alone, so eps = S11 N/A, shear S16 N/A. M2: s11 = M2 y3/I alone; g12 = S16 s11 = -2 kappa1 y3 with
    warping -kappa1 y2 y3, so kappa1 = -S16 M2 / 2 I. M3 bends about the normal of the plies: no twist.
    """
    S = off_axis(angle)
    A, I2, I3 = WIDTH * HEIGHT, WIDTH * HEIGHT**3 / 12, HEIGHT * WIDTH**3 / 12
    section = solve(rectangle(WIDTH, HEIGHT, ply3d(carbon()), count=(2, 1), angle_deg=angle))
    C = section.compliance
    size = np.sqrt(np.outer(np.diagonal(C), np.diagonal(C)))
    want = {
        (0, 0): S[0, 0] / A,
        (4, 4): S[0, 0] / I2,
        (5, 5): S[0, 0] / I3,
        (0, 1): S[0, 5] / A,
        (3, 4): -S[0, 5] / (2 * I2),
        (3, 5): 0.0,
        (0, 2): 0.0,
        (0, 3): 0.0,
    }
    for (i, j), value in want.items():
        assert (C[i, j] - value) / size[i, j] == pytest.approx(0.0, abs=1e-10), (i, j)
    stress = section.stress([1e4, 0, 0, 0, 0, 0], axes="wall")
    np.testing.assert_allclose(stress[:, 0], [[1e4 / A, 0, 0, 0, 0, 0]] * 2, atol=1e-7 * 1e4 / A)


@pytest.mark.parametrize("code", ["[0/90]s", "[30/-30]s", "[20]4"])
def test_wide_strip_tends_to_lamination_theory(code):
    """Free coupon: EA = b/a11, EI = b/d11, kappa1 per M2 = -d16/2b; edges part them by a term in h/b alone."""
    laminate = Laminate.from_code(code, carbon(0.5e-3))
    a, d = np.linalg.inv(laminate.A), np.linalg.inv(laminate.D)
    apart, ratios = [], np.array([8.0, 16.0, 32.0])
    for ratio in ratios:
        b = ratio * laminate.thickness
        C = b * solve(mesh_walls(strip(laminate, b), ply3d, size=laminate.thickness / 2)).compliance
        apart.append([C[0, 0] / a[0, 0] - 1, C[4, 4] / d[0, 0] - 1, (C[3, 4] + d[0, 2] / 2) / d[0, 0]])
    for entry in (np.array(apart) * ratios[:, None]).T:
        assert np.abs(entry).max() < 0.3
        np.testing.assert_allclose(entry, entry[-1], rtol=0.08, atol=1e-9)


def test_plies_amid_a_wide_strip():
    """Far from the edges the ply stresses are those of lamination theory: cross-ply in tension and bending."""
    laminate = Laminate.from_code("[0/90/0/90]", carbon(0.5e-3))
    b = 40 * laminate.thickness
    section = solve(mesh_walls(strip(laminate, b), ply3d, size=b / 20))
    F = np.array([[1e4, 0, 0, 0, 0, 0], [0, 0, 0, 0, 10.0, 0]])
    got = ply_stress(section, F, 0, 0.5)
    N, M = np.zeros((2, 2, 3))
    N[0, 0], M[1, 0] = F[0, 0] / b, F[1, 4] / b
    plane = laminate.response(N=N, M=M).stress
    np.testing.assert_allclose(got[..., [0, 1, 5]], plane, atol=0.01 * np.abs(plane).max())
    assert np.abs(got[..., 2:5]).max() < 0.002 * np.abs(plane).max()


def test_interlaminar_shear_balances_the_ply_at_a_free_edge():
    """[45/-45]s in tension (the case of Pipes & Pagano, 1970).

    The upper ply carries t_xy in the middle and none at its edge: t_xz on its lower face makes up for it,
    so over half the width int t_xz dy = h_ply x mean t_xy, an exact statement of equilibrium.
    Beyond about one laminate thickness from the edge lamination theory holds again.
    """
    laminate = Laminate.from_code("[45/-45]s", carbon(0.5e-3))
    h, b, count = laminate.thickness, 8 * laminate.thickness, 64
    section = solve(mesh_walls(strip(laminate, b), ply3d, size=b / count, per_layer=3))
    F = np.array([1e4, 0, 0, 0, 0, 0])
    eps = section.compliance[0, 0] * F[0]
    strain = laminate.compliance[:3, 0] / laminate.compliance[0, 0] * eps
    plane = laminate.q_bar @ strain
    largest = np.abs(plane).max()
    places = section.places()[:, 0]
    stress = section.stress(F, axes="wall")[:, 0]
    height = section.mesh.height
    upper = height[:, 0] > laminate.interfaces[3] - 1e-9
    inside = b / 2 - np.abs(places[:, 0]) > 1.1 * h
    np.testing.assert_allclose(
        stress[upper & inside][:, [0, 1, 5]],
        plane[[-1]].repeat((upper & inside).sum(), 0),
        atol=0.02 * largest,
    )
    assert np.abs(stress[inside, 4]).max() < 0.05 * np.abs(stress[:, 4]).max()
    lower_line = upper & (height[:, 0] < laminate.interfaces[3] + 1e-9) & (places[:, 0] > 0)
    at = ((0.5 - 12**-0.5, 0.0), (0.5 + 12**-0.5, 0.0))
    carried = section.stress(F, at, axes="wall")[lower_line, :, 4].mean(axis=1).sum() * b / count
    assert carried == pytest.approx(-plane[-1, 2] * laminate.plies[-1].lamina.thickness, rel=0.02)


def test_interlaminar_shear_of_a_strip_in_bending():
    """Under V3 the plate's shear stress over the thickness is that of equilibrium with lamination theory."""
    lamina = carbon(1e-3)
    laminate = Laminate.from_code("[0/90/90/0]", lamina)
    b = 30 * laminate.thickness
    section = solve(mesh_walls(strip(laminate, b), ply3d, size=b / 20, per_layer=4))
    got = ply_stress(section, [0, 0, b, 0, 0, 0], 0, 0.5)[..., [4, 3]]
    spread = shear_spread(laminate.q_bar, laminate.ply_thickness, [0.0, 1.0])[..., 0, 0]
    along = np.where(laminate.angles_deg[:, None] == 0.0, got[..., 0], -got[..., 1])
    np.testing.assert_allclose(along, spread, atol=0.01 * spread.max())


@pytest.mark.parametrize("angle", [0.0, 33.0, -70.0])
def test_plane_stress_of_the_solid_ply_is_the_ply(angle):
    """Without s33, s23, s13 the turned stiffness is the Q-bar of the laminate."""
    T = strain_transform(ply_axes(np.radians(angle)))
    C = T.T @ ply3d(carbon()).stiffness @ T
    S = np.linalg.inv(C)
    lamina = carbon()
    plane = Laminate.from_code("[0]", lamina).Q[0]
    np.testing.assert_allclose(
        np.linalg.inv(S[np.ix_([0, 1, 5], [0, 1, 5])]), q_rotated(plane, angle), rtol=1e-9, atol=1
    )
    np.testing.assert_allclose(S, off_axis(angle), atol=1e-12 * np.abs(S).max())


def test_transversely_isotropic_ply_has_no_favorite_direction_across():
    C = ply3d(carbon()).stiffness
    for turn in (0.3, 1.1):
        R = np.array([[1, 0, 0], [0, np.cos(turn), np.sin(turn)], [0, -np.sin(turn), np.cos(turn)]])
        T = strain_transform(R)
        np.testing.assert_allclose(T.T @ C @ T, C, atol=1e-12 * C.max())
    assert Orthotropic.isotropic(70e9, 0.3).stiffness[0, 1] == pytest.approx(70e9 * 0.3 / (1.3 * 0.4))
