"""The mesh itself: areas, directions, layers, jogs."""

import numpy as np
import pytest
from section_cases import carbon, metal
from solid_cases import ellipse, metal3d, ply3d, rectangle, strip

from beam.section import Section
from beam.section.solid import Orthotropic, mesh_walls
from beam.section.solid.elements import gauss, sample
from beam.section.solid.mesh import cells
from beam.section.solid.wall_mesh import layers, rows
from laminate import Laminate

METAL = Orthotropic.isotropic(70e9, 0.3)


def area(mesh, chosen=None):
    at, share = gauss()
    chosen = np.arange(len(mesh.elements)) if chosen is None else chosen
    return (sample(mesh, chosen, at).weight * share).sum()


def test_cells_run_counter_clockwise():
    assert cells(np.arange(15).reshape(3, 5)).tolist() == [
        [0, 2, 12, 10, 1, 7, 11, 5, 6],
        [2, 4, 14, 12, 3, 9, 13, 7, 8],
    ]


def test_areas_of_solid_shapes():
    assert area(rectangle(0.3, 0.2, METAL, count=(3, 2))) == pytest.approx(0.06, rel=1e-12)
    errors = [1 - area(ellipse(0.3, 0.2, METAL, count=n)) / (np.pi * 0.015) for n in (2, 4)]
    assert errors[1] < 1e-4
    assert np.log2(errors[0] / errors[1]) == pytest.approx(4.0, abs=0.1)


def test_area_of_walls():
    """One laminate all around a rounded box: length of the mid-line times thickness, fillets by their parabolas."""
    section = Section.rounded_box(0.08, 0.05, 0.012, Laminate.from_code("[0/45/90]", carbon(1e-3)))
    mesh = mesh_walls(section, ply3d, size=0.002)
    assert area(mesh) == pytest.approx(section.contour.length.sum() * 3e-3, rel=1e-5)
    for row in range(3):
        z = -1.5e-3 + np.array([row, row + 1]) * 1e-3
        assert np.allclose(mesh.height[row * len(mesh.wall) // 3], z)


def test_tangents_follow_the_walls():
    """Each node's tangent against the contour's own at the same place, corners included."""
    section = Section.rounded_box(0.08, 0.05, 0.012, Laminate.from_code("[0/45]", carbon(1e-3)))
    mesh = mesh_walls(section, ply3d, size=0.002)
    for wall in range(8):
        chosen = np.flatnonzero(mesh.wall == wall)
        middle = mesh.along[chosen].mean(axis=1)
        want = section.contour.tangent(middle)[wall]
        got = np.stack([np.cos(mesh.tangent[chosen, 8]), np.sin(mesh.tangent[chosen, 8])], axis=-1)
        np.testing.assert_allclose(got, want, atol=1e-9)
    assert np.abs(mesh.tangent - mesh.tangent[:, 8:]).max() < np.pi / 12


def test_like_plies_are_one_layer_and_thick_layers_are_cut_first():
    wall = Laminate.from_code("[0_3/90/0_2]", carbon(1e-3))
    assert np.allclose(layers(wall).height, [-3e-3, 0.0, 1e-3, 3e-3])
    assert [p.angle_deg for p in layers(wall).ply] == [0.0, 90.0, 0.0]
    cut = rows(wall, 6)
    assert np.allclose(cut.height, [-3e-3, -2e-3, -1e-3, 0.0, 1e-3, 2e-3, 3e-3])
    assert [p.angle_deg for p in cut.ply] == [0.0, 0.0, 0.0, 90.0, 0.0, 0.0]


def test_a_jog_is_a_ramp_as_long_as_the_thicker_wall():
    """Lids 2 mm, webs 1 mm, laid on a tool: the outside stays flush, the inside runs out over 2 mm each way."""
    thick, thin = metal(0.002), metal(0.001)
    walls = [thick if i == 0 else thin for i in range(8)]
    section = Section.rounded_box(0.06, 0.04, 0.010, walls, surface="outside")
    mesh = mesh_walls(section, metal3d, size=0.005)
    lid = mesh.wall == 0
    reach = mesh.along[lid] * section.contour.length[0]
    assert reach[0, 1] == pytest.approx(0.002)
    assert reach[-1, 0] == pytest.approx(section.contour.length[0] - 0.002)
    corners = mesh.points[mesh.elements[lid]]
    assert np.allclose(corners[:, [2, 3], 1], 0.020)
    inside = corners[:, [0, 1], 1]
    assert inside[0] == pytest.approx([0.0185, 0.018])
    assert np.allclose(inside[1:-1], 0.018)
    assert inside[-1] == pytest.approx([0.018, 0.0185])
    ramps = 2 * 0.002 * 0.0005 / 2
    assert area(mesh, np.flatnonzero(lid)) == pytest.approx(
        section.contour.length[0] * 0.002 - ramps, rel=1e-9
    )


def test_no_ramp_where_walls_match():
    section = Section.rounded_box(0.06, 0.04, 0.010, metal(0.002))
    mesh = mesh_walls(section, metal3d, size=1.0)
    assert np.bincount(mesh.wall).tolist() == [1, 6] * 4


def test_elements_are_no_longer_than_asked():
    mesh = mesh_walls(strip(metal(0.002), 0.05), metal3d, size=0.012)
    assert len(mesh.elements) == 5
    assert np.allclose(np.diff(mesh.along, axis=1), 0.2)


def test_sharp_corners_are_mitered():
    mesh = mesh_walls(Section.box(0.06, 0.04, metal(0.004)), metal3d, size=0.01)
    low, high = mesh.points.min(axis=0), mesh.points.max(axis=0)
    np.testing.assert_allclose([low, high], [[-0.032, -0.022], [0.032, 0.022]], atol=1e-12)
    assert area(mesh) == pytest.approx(0.064 * 0.044 - 0.056 * 0.036, rel=1e-12)
