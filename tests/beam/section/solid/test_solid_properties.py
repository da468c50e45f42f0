"""What must hold for every section: symmetry, positive energy, statics, indifference to place and axes."""

from functools import cache

import numpy as np
import pytest
from section_cases import carbon
from solid_cases import coupled_box, ellipse, ply3d, rectangle, resultants, tube

from beam.section import centers
from beam.section.solid import SolidMesh, solve
from beam.section.solid.elements import gauss, sample

FORCES = np.vstack([np.eye(6), [[2e4, 300.0, -500.0, 40.0, 90.0, -70.0]]])


@cache
def section(name):
    make = {
        "coupled box": coupled_box,
        "off-axis rectangle": lambda: solve(
            rectangle(0.03, 0.02, ply3d(carbon()), count=(4, 3), angle_deg=25)
        ),
        "off-axis ellipse": lambda: solve(ellipse(0.03, 0.05, ply3d(carbon()), count=3, angle_deg=-40)),
        "tube": lambda: tube(0.03, 0.01),
    }
    return make[name]()


NAMES = ("coupled box", "off-axis rectangle", "off-axis ellipse", "tube")


def like(mesh, points, tangent=None, **other):
    """The same mesh with other points."""
    fields = {
        "elements": mesh.elements,
        "constants": mesh.constants,
        "material": mesh.material,
        "angle_deg": mesh.angle_deg,
        "tangent": mesh.tangent if tangent is None else tangent,
    }
    return SolidMesh(points=points, **(fields | other))


def close(got, want, rtol=1e-8):
    """Equal, entries measured by the diagonal."""
    size = np.sqrt(np.outer(np.diagonal(want), np.diagonal(want)))
    np.testing.assert_allclose(got / size, want / size, atol=rtol)


def about(section, point, angle=0.0):
    """Stiffness about another reference point, in turned axes."""
    return np.linalg.inv(centers.turned(centers.moved(section.compliance, point), angle))


@pytest.mark.parametrize("name", NAMES)
def test_stiffness_is_symmetric_and_positive(name):
    K = section(name).stiffness
    size = np.sqrt(np.diagonal(K))
    np.testing.assert_allclose(K, K.T, atol=1e-9 * np.outer(size, size).max())
    assert np.linalg.eigvalsh(K / np.outer(size, size))[0] > 1e-3


@pytest.mark.parametrize("name", NAMES)
def test_stresses_return_the_section_forces(name):
    """Six resultants of the recovered stresses, transverse force among them, from quadrature."""
    got = resultants(section(name), FORCES)
    scale = np.array([1, 1, 1, 0.02, 0.02, 0.02])
    size = np.abs(FORCES / scale).max(axis=-1)[:, None] * scale
    np.testing.assert_allclose(got / size, FORCES / size, atol=1e-8)


@pytest.mark.parametrize("name", NAMES)
def test_energy_of_the_stresses_is_the_compliance(name):
    """int stress . strain dA by quadrature, in ply axes, against F' S F."""
    s = section(name)
    at, share = gauss()
    place = sample(s.mesh, np.arange(len(s.mesh.elements)), at)
    density = (s.stress(FORCES, at) * s.strain(FORCES, at)).sum(axis=-1)
    energy = (density * place.weight * share).sum(axis=(-1, -2))
    np.testing.assert_allclose(energy, np.einsum("fi,ij,fj->f", FORCES, s.compliance, FORCES), rtol=1e-9)


@pytest.mark.parametrize("name", NAMES[:3])
def test_moving_the_section_is_moving_the_reference(name):
    s = section(name)
    point = np.array([0.07, -0.04])
    moved = solve(like(s.mesh, s.mesh.points + point))
    close(about(moved, point), s.stiffness)
    np.testing.assert_allclose(moved.centroid - point, s.centroid, atol=1e-9)
    np.testing.assert_allclose(moved.shear_center - point, s.shear_center, atol=1e-9)


@pytest.mark.parametrize("name", NAMES[:3])
def test_turning_the_section_is_turning_the_axes(name):
    s, angle = section(name), 0.7
    c, sine = np.cos(angle), np.sin(angle)
    points = s.mesh.points @ np.array([[c, sine], [-sine, c]])
    turned = solve(like(s.mesh, points, s.mesh.tangent + angle))
    close(about(turned, [0.0, 0.0], angle), s.stiffness)


def test_units_do_not_matter():
    """Lengths times 2: EA times 4, bending and torsion times 16, couplings of forces and moments times 8."""
    s = section("coupled box")
    power = np.array([2, 2, 2, 8, 8, 8.0])
    close(solve(like(s.mesh, 2 * s.mesh.points)).stiffness, s.stiffness * np.sqrt(np.outer(power, power)) * 2)


def test_numbering_of_the_nodes_does_not_matter():
    """Nodes and elements shuffled: other pins, other order of elimination, the same section."""
    s = section("coupled box")
    rng = np.random.default_rng(1)
    nodes, order = rng.permutation(len(s.mesh.points)), rng.permutation(len(s.mesh.elements))
    points = np.empty_like(s.mesh.points)
    points[nodes] = s.mesh.points
    shuffled = like(
        s.mesh,
        points,
        s.mesh.tangent[order],
        elements=nodes[s.mesh.elements][order],
        material=s.mesh.material[order],
        angle_deg=s.mesh.angle_deg[order],
    )
    close(solve(shuffled).stiffness, s.stiffness)


def test_stress_axes_hold_the_same_stress():
    """Trace, and work with strain, are the same in section, wall and ply axes; forces broadcast."""
    s = section("coupled box")
    work = [
        (s.stress(FORCES, axes=a) * s.strain(FORCES, axes=a)).sum(axis=-1) for a in ("section", "wall", "ply")
    ]
    trace = [s.stress(FORCES, axes=a)[..., :3].sum(axis=-1) for a in ("section", "wall", "ply")]
    for got in work[1:]:
        np.testing.assert_allclose(got, work[0], rtol=1e-9, atol=1e-12 * work[0].max())
    for got in trace[1:]:
        np.testing.assert_allclose(got, trace[0], atol=1e-9 * np.abs(trace[0]).max())
    one = s.stress(FORCES[6], axes="ply")
    np.testing.assert_allclose(s.stress(FORCES[None, :, None])[0, 6, 0], one, rtol=1e-12, atol=1e-6)


def test_more_elements_never_stiffen():
    """Halving all elements of a shape they hold exactly: each unit force stores more energy, up to the truth."""
    energies = [
        np.diagonal(solve(rectangle(0.03, 0.02, ply3d(carbon()), count=(n, n), angle_deg=25)).compliance)
        for n in (1, 2, 4)
    ]
    assert (np.diff(energies, axis=0)[:, [0, 3, 4, 5]] >= -1e-12 * energies[0][[0, 3, 4, 5]]).all()
