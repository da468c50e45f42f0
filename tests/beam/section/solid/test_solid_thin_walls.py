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
        "bending-twist": [
            "[15]6",
            "[0/45]s",
            "[0/45]s",
            "[0/45]s",
            "[-15]6",
            "[0/45]s",
            "[0/45]s",
            "[0/45]s",
        ],
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
    # 80 mm wide, jogs of up to 0.6 mm between the mid-lines; the theories part by no more.
    np.testing.assert_allclose(thick.centroid, thin.centroid, atol=1e-4)
    np.testing.assert_allclose(thick.shear_center, thin.shear_center, atol=4e-4)


def test_plies_of_the_box():
    """In-plane stresses of every ply in the middle of each wall; the others are small there.

    Curved walls need elements of about two thicknesses: thin curved elements of more bend too stiffly.
    """
    thick = coupled_box(size=0.0015)
    thin = thick.mesh.section.ply_states(F)
    largest = max(np.abs(r.stress).max() for r in thin)
    for wall, response in enumerate(thin):
        got = ply_stress(thick, F, wall)
        np.testing.assert_allclose(got[..., [0, 1, 5]], response.stress, atol=0.01 * largest)
        assert np.abs(got[..., 2:5]).max() < 2e-3 * largest


def test_sharp_corners_of_a_metal_box():
    """EA is the area. Around a square corner shear flows as current in a sheet does.

    The corner resists as 0.559 squares (conformal map, from memory), not as the one square of the mid-line,
    so Bredt's perimeter is too long by 0.441 t per corner.
    """
    a, b, t = 0.03, 0.02, 0.0005
    thin = Section.box(a, b, metal(t))
    thick = solve(mesh_walls(thin, metal3d, size=t, per_layer=4))
    assert thick.stiffness[0, 0] == pytest.approx(70e9 * ((a + t) * (b + t) - (a - t) * (b - t)), rel=1e-9)
    gain = thick.stiffness[3, 3] / thin.stiffness[3, 3] - 1
    assert gain == pytest.approx(4 * 0.441 * t / (2 * (a + b)), rel=0.04)
