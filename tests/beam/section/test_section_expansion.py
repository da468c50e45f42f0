"""Sections that expand freely: what walls put on each other, how the section grows, bends and twists."""

import numpy as np
import pytest
from section_cases import SOURCE, carbon, membrane, mixed_walls, outlines, resultants, stiffness_of

from beam.section import Section, rounded_box, solve
from beam.section.expansion import expand, residual_wall_loads
from beam.section.outline import box
from laminate import Laminate
from materials import Lamina

OUTLINES = outlines()


def free_strains(count, dT=-100.0):
    return np.stack([w.free_strain(dT) for w in mixed_walls(count)])


def states_of(name):
    contour = OUTLINES[name]
    return solve(contour, stiffness_of(mixed_walls(len(contour.names))))


@pytest.mark.parametrize("name", OUTLINES)
def test_residual_wall_loads_sum_to_nothing(name):
    states = states_of(name)
    free = free_strains(len(states.contour.names))

    def loads(at):
        return residual_wall_loads(states, free, at)[..., None]

    size = np.abs(loads([0.5])[..., 0, :]).max(axis=(0, 1))[0]
    np.testing.assert_allclose(resultants(states, loads) / size, 0.0, atol=1e-10)


@pytest.mark.parametrize("name", OUTLINES)
def test_free_strain_is_the_work_of_unit_forces_on_it(name):
    """Virtual work: strain i of the section is the work of the wall loads of unit force i on free strain."""
    states = states_of(name)
    free = free_strains(len(states.contour.names))
    x, weight = np.polynomial.legendre.leggauss(24)
    ds = 0.5 * weight * states.contour.length[:, None]
    work = np.einsum("wp,wpik,wi->k", ds, states.recovery(0.5 * (1 + x)), free)
    strain = expand(states, free).strain
    size = np.abs(work).max()
    np.testing.assert_allclose(strain[[0, 3, 4, 5]], work[[0, 3, 4, 5]], rtol=1e-9, atol=1e-10 * size)


@pytest.mark.parametrize("name", OUTLINES)
def test_shear_of_expansion_is_reciprocal(name):
    """Betti for transverse force: its strains are the work on the walls' real strains, all told."""
    states = states_of(name)
    free = free_strains(len(states.contour.names))
    x, weight = np.polynomial.legendre.leggauss(24)
    at, ds = 0.5 * (1 + x), 0.5 * weight * states.contour.length[:, None]
    soft = np.linalg.inv(stiffness_of(mixed_walls(len(free))))
    real = np.einsum("wij,wpj->wpi", soft, residual_wall_loads(states, free, at)) + free[:, None]
    work = np.einsum("wp,wpik,wpi->k", ds, states.recovery(at), real)
    strain = expand(states, free).strain
    np.testing.assert_allclose(strain, work, rtol=1e-8, atol=1e-10 * np.abs(work).max())


def test_walls_alike_expand_without_a_load():
    """One isotropic expansion everywhere: the section grows, nothing else."""
    lamina = Lamina(
        name="m",
        kind="fabric",
        E1=70e9,
        E2=70e9,
        G12=70e9 / 2.6,
        nu12=0.3,
        thickness=1e-3,
        density=2700.0,
        alpha1=23e-6,
        alpha2=23e-6,
        source=SOURCE,
    )
    section = Section.rounded_box(0.08, 0.05, 0.012, Laminate.from_code("[0]", lamina))
    np.testing.assert_allclose(section.free_strain(50.0), [23e-6 * 50, 0, 0, 0, 0, 0], atol=1e-15)
    stuck = 70e9 * 1e-3 * 23e-6 * 50
    np.testing.assert_allclose(section.residual_wall_loads(50.0), 0, atol=1e-10 * stuck)


def test_hot_face_bends_the_box():
    """Two faces of opposite expansion, like Timoshenko's strip (1925): by hand from EI."""
    b, h, t, E, a = 0.08, 0.05, 1e-3, 70e9, 23e-6
    abd = np.zeros((4, 6, 6))
    abd[:, 0, 0] = abd[:, 1, 1] = E * t
    abd[:, 2, 2] = E * t / 2
    abd[:, 3:, 3:] = np.diag([1.0, 1.0, 1.0]) * E * t**3 * 1e-8
    free = np.zeros((4, 6))
    free[0, 0], free[2, 0] = a, -a
    found = expand(solve(box(b, h), abd), free)
    EI = E * t * (2 * b * (h / 2) ** 2 + h**3 / 6)
    curvature = 2 * E * t * b * a * (h / 2) / EI
    np.testing.assert_allclose(found.strain, [0, 0, 0, 0, curvature, 0], atol=1e-6 * curvature)
    loads = residual_wall_loads(solve(box(b, h), abd), free, [0.5])[:, 0, 0]
    np.testing.assert_allclose(
        loads, [E * t * (curvature * h / 2 - a), 0, -E * t * (curvature * h / 2 - a), 0], rtol=1e-6, atol=1e-3
    )


@pytest.mark.parametrize("code", ["[0/90]2", "[20/-50]"])
def test_warm_unsymmetric_tube_cannot_curl(code):
    """By hand, as under load: no hoop curvature, so My stays; Nx = Ny = Nxy = 0 but for what twist leaves."""
    R, dT = 0.05, -120.0
    laminate = Laminate.from_code(code, carbon())
    section = Section.tube(R, laminate)
    m, push = np.array(laminate.abd), laminate.abd @ laminate.free_strain(dT)
    # Unknowns ex, ey, kappa1 with N = T = 0 and Ny = 0.
    take = np.zeros((6, 3))
    take[0, 0] = take[1, 1] = 1.0
    take[2, 2], take[5, 2] = -R, -2.0
    strain = np.linalg.solve(take.T @ m @ take, take.T @ push)
    np.testing.assert_allclose(
        section.residual_wall_loads(dT), np.tile(m @ take @ strain - push, (4, 1)), rtol=1e-8, atol=1e-8
    )
    np.testing.assert_allclose(
        section.free_strain(dT), [strain[0], 0, 0, strain[2], 0, 0], rtol=1e-8, atol=1e-12
    )


def test_residual_is_linear_in_temperature_and_moisture():
    section = Section.rounded_box(0.08, 0.05, 0.012, mixed_walls())
    both = section.residual_wall_loads([-100.0, 20.0], [0.0, 0.01])
    assert both.shape == (2, 8, 6)
    wet = section.residual_wall_loads(0.0, 0.01)
    hot = section.residual_wall_loads(20.0)
    np.testing.assert_allclose(both[1], wet + hot, rtol=1e-9, atol=1e-9 * np.abs(both).max())
    np.testing.assert_allclose(both[0], -5 * hot, rtol=1e-9, atol=1e-9 * np.abs(both).max())


def test_batch_equals_loop():
    rng = np.random.default_rng(3)
    t = np.array([w.thickness for w in mixed_walls()])
    abd = stiffness_of(mixed_walls()) * rng.uniform(0.5, 2.0, (3, 1, 1, 1))
    thickness = t * rng.uniform(0.8, 1.2, (3, 1))
    free = free_strains(8) * rng.uniform(0.5, 2.0, (4, 3, 1, 1))
    states = solve(rounded_box(0.08, 0.05, 0.012, thickness), abd)
    loads, strain = residual_wall_loads(states, free, [0.2, 0.9]), expand(states, free).strain
    assert loads.shape == (4, 3, 8, 2, 6)
    for i in range(4):
        for j in range(3):
            one = solve(rounded_box(0.08, 0.05, 0.012, thickness[j]), abd[j])
            np.testing.assert_allclose(
                loads[i, j],
                residual_wall_loads(one, free[i, j], [0.2, 0.9]),
                rtol=1e-8,
                atol=1e-9 * np.abs(loads).max(),
            )
            np.testing.assert_allclose(strain[i, j], expand(one, free[i, j]).strain, rtol=1e-8, atol=1e-12)


def test_membrane_walls_do_not_feel_curvature():
    """A free curvature of walls that cannot resist bending loads nothing."""
    free = np.zeros((8, 6))
    free[:, 3:] = 0.5
    states = solve(
        rounded_box(0.08, 0.05, 0.012, np.full(8, 1e-3)), membrane(stiffness_of(mixed_walls()), 1e-10)
    )
    real = residual_wall_loads(states, free_strains(8), [0.5])
    assert np.abs(residual_wall_loads(states, free, [0.5])).max() < 1e-6 * np.abs(real).max()
