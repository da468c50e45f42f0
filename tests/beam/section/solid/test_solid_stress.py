"""Recovered stresses: free surfaces, continuity through the plies, places, plies."""

import numpy as np
import pytest
from section_cases import carbon
from solid_cases import coupled_box, ply3d, tube

from beam.section import Section
from beam.section.solid import mesh_walls, ply_stress, solve
from laminate import Laminate

F = np.array([1e4, 500.0, 800.0, 100.0, 50.0, -80.0])


def test_faces_of_the_wall_are_free():
    """Traction (33, 23, 13) on the inner and outer surface is 2e-4 of the stress, and less as rows are added."""
    laminates = [Laminate.from_code("[15/-60/15]", carbon(0.4e-3))] * 8
    section = Section.rounded_box(0.06, 0.04, 0.010, laminates, surface="middle")
    worst = []
    for per_layer in (1, 3):
        solved = solve(mesh_walls(section, ply3d, size=0.0015, per_layer=per_layer))
        height = solved.mesh.height
        stress = solved.stress(F, ((0.5, 0.0), (0.5, 1.0)), axes="wall")
        face = [stress[height[:, 0] == height.min(), 0], stress[height[:, 1] == height.max(), 1]]
        worst.append(np.abs(np.stack(face)[..., 2:5]).max() / np.abs(stress).max())
    assert worst[1] < 0.5 * worst[0]
    assert worst[0] < 2e-4


def test_traction_is_continuous_from_ply_to_ply():
    """Interlaminar stress is one number seen from both plies."""
    laminates = [Laminate.from_code("[15/-60/15]", carbon(0.4e-3))] * 8
    section = Section.rounded_box(0.06, 0.04, 0.010, laminates, surface="middle")
    solved = solve(mesh_walls(section, ply3d, size=0.0015, per_layer=4))
    angles = np.radians(laminates[0].angles_deg)[:, None]
    for wall in (0, 1, 2):
        got = ply_stress(solved, F, wall, 0.4)
        s33, s23, s13 = np.moveaxis(got[..., 2:5], -1, 0)
        txz, tyz = np.cos(angles) * s13 - np.sin(angles) * s23, np.sin(angles) * s13 + np.cos(angles) * s23
        largest = max(np.abs(part).max() for part in (s33, txz, tyz))
        for part in (s33, txz, tyz):
            np.testing.assert_allclose(part[1:, 0], part[:-1, 1], atol=0.05 * largest)


def test_thick_tube_in_torsion_and_tension():
    """t_xy = T r / J and s11 = N / A at every radius, nothing else."""
    section = tube(0.03, 0.02)
    ro, ri = 0.04, 0.02
    J, A = np.pi / 2 * (ro**4 - ri**4), np.pi * (ro**2 - ri**2)
    places = section.places()[:, 0]
    stress = section.stress([1e5, 0, 0, 1e3, 0, 0], axes="wall")[:, 0]
    # Positive torque turns e2 toward e3, against the clockwise tangent.
    np.testing.assert_allclose(stress[:, 5], -1e3 * np.hypot(*places.T) / J, rtol=2e-4)
    np.testing.assert_allclose(stress[:, 0], 1e5 / A, rtol=2e-4)
    assert np.abs(stress[:, 1:5]).max() < 2e-4 * 1e5 / A


def test_ply_stress_is_the_stress_of_its_element():
    """One ply per row: its surfaces are the lines of the row, at the line between columns and inside one."""
    section = coupled_box()
    mesh, wall = section.mesh, 1
    laminate = mesh.section.laminates[wall]
    column = np.flatnonzero(mesh.wall == wall)
    first = column[mesh.along[column, 0] == 0.0]
    whole = section.stress(F, ((0.0, 0.0), (0.0, 1.0)))
    got = ply_stress(section, F, wall, 0.0)
    assert got.shape == (len(laminate.plies), 2, 6)
    lower = [first[np.isclose(mesh.height[first, 0], z, atol=1e-9)][0] for z in laminate.interfaces[:-1]]
    np.testing.assert_allclose(got[:, 0], whole[lower, 0], rtol=1e-7, atol=1e-6 * np.abs(whole).max())
    many = ply_stress(section, np.stack([F, 2 * F]), wall, 0.37)
    np.testing.assert_allclose(many[1], 2 * many[0], rtol=1e-12)
    np.testing.assert_allclose(many[0], ply_stress(section, F, wall, 0.37), rtol=1e-12)


@pytest.mark.parametrize("at", [0.0, 0.5, 1.0])
def test_every_place_of_every_wall_has_plies(at):
    section = coupled_box()
    for wall, laminate in enumerate(section.mesh.section.laminates):
        stress = ply_stress(section, F, wall, at)
        assert np.isfinite(stress).all()
        assert stress.shape == (len(laminate.plies), 2, 6)
