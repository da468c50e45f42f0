"""The mesh through the plies against the thin-walled theory: one answer where walls are thin."""

import numpy as np
import pytest
from section_cases import carbon, metal
from solid_cases import coupled_box, metal3d, ply3d

from beam.section import Section
from beam.section.solid import mesh_walls, ply_stress, solve
from laminate import Laminate

F = np.array([1e4, 500.0, 800.0, 100.0, 50.0, -80.0])


def apart(thick, thin):
    """Difference of two stiffnesses, entries measured by the diagonal."""
    size = np.sqrt(np.diagonal(thin))
    return (thick - thin) / np.outer(size, size)


def coupled(kind, ply):
    """Box 60 x 40 mm on the mid-line; extension-twist: one angle all around; bending-twist: mirrored lids."""
    walls = {
        "extension-twist": ["[15]6"] * 8,
        "bending-twist": ["[15]6", "[0/45]s", "[0/45]s", "[0/45]s", "[-15]6", "[0/45]s", "[0/45]s", "[0/45]s"],
        "layered": ["[20/-70/-70/20]"] * 8,
    }[kind]
    laminates = [Laminate.from_code(code, carbon(ply)) for code in walls]
    return Section.rounded_box(0.06, 0.04, 0.010, laminates, surface="middle")


@pytest.mark.parametrize("kind", ["extension-twist", "bending-twist", "layered"])
def test_coupled_boxes_agree_where_walls_are_thin(kind):
    """All 36 terms. One laminate all around: apart by (t/b)^2. Two: by t/b, as their joint has its own width."""
    plies = np.array([0.025e-3, 0.05e-3, 0.1e-3])
    gaps, thickness = [], []
    for ply in plies:
        thin = coupled(kind, ply)
        thick = solve(mesh_walls(thin, ply3d, size=0.008))
        gaps.append(np.abs(apart(thick.stiffness, thin.stiffness)).max())
        thickness.append(thin.laminates[0].thickness / 0.04)
    assert gaps[0] < {"extension-twist": 1e-4, "bending-twist": 1e-3, "layered": 1e-4}[kind]
    slope = np.polyfit(np.log(thickness), np.log(gaps), 1)[0]
    assert slope == pytest.approx(1.0 if kind == "bending-twist" else 2.0, abs=0.25)


def test_the_couplings_are_there_to_be_compared():
    """Extension-twist and bending-twist are a third and more of the direct terms in the boxes above."""
    for kind, (i, j) in (("extension-twist", (0, 3)), ("bending-twist", (3, 4))):
        K = coupled(kind, 0.1e-3).stiffness
        assert abs(K[i, j]) > 0.3 * np.sqrt(K[i, i] * K[j, j])


def test_box_of_eight_laminates():
    """No symmetry, unsymmetric walls, jogs at each joint: every term within half a percent of the diagonal."""
    thick = coupled_box()
    thin = thick.mesh.section
    assert np.abs(apart(thick.stiffness, thin.stiffness)).max() < 5e-3
    np.testing.assert_allclose(thick.centroid, thin.centroid, atol=5e-5)
    np.testing.assert_allclose(thick.shear_center, thin.shear_center, atol=5e-5)


def test_plies_of_the_box():
    """In-plane stresses of every ply amid each wall; what the thin-walled theory leaves out is small there."""
    thick = coupled_box(size=0.003)
    thin = thick.mesh.section.ply_states(F)
    largest = max(np.abs(r.stress).max() for r in thin)
    for wall, response in enumerate(thin):
        got = ply_stress(thick, F, wall)
        np.testing.assert_allclose(got[..., [0, 1, 5]], response.stress, atol=0.02 * largest)
        assert np.abs(got[..., 2:5]).max() < 0.01 * largest


def test_isotropic_box_parts_as_walls_thicken():
    """Sharp-cornered metal box: EA of the mesh is the area, and torsion gains over Bredt with the walls' own J."""
    gaps = []
    for t in (0.0005, 0.001, 0.002):
        thin = Section.box(0.06, 0.04, metal(t))
        thick = solve(mesh_walls(thin, metal3d, size=0.004, per_layer=2))
        area = (0.06 + t) * (0.04 + t) - (0.06 - t) * (0.04 - t)
        assert thick.stiffness[0, 0] == pytest.approx(70e9 * area, rel=1e-9)
        gaps.append(abs(thick.stiffness[3, 3] / thin.stiffness[3, 3] - 1))
    assert gaps[0] < 2e-3
    assert gaps[0] < gaps[1] < gaps[2] < 0.03
