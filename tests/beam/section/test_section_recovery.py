"""From section forces to wall loads and ply states."""

import numpy as np
import pytest
from section_cases import mixed_walls, stiffness_of

from beam.section import Section, ovalization_loads, rounded_box, solve


@pytest.fixture(scope="module")
def section():
    return Section.rounded_box(0.08, 0.05, 0.012, mixed_walls())


F = np.array([5e3, 1e3, -2e3, 100.0, 300.0, -200.0])


def test_shapes_follow_the_forces(section):
    cases = F * np.arange(1, 7).reshape(2, 3, 1)
    assert section.wall_loads(F).shape == (8, 6)
    assert section.wall_loads(cases).shape == (2, 3, 8, 6)
    assert section.wall_loads(cases, [0.1, 0.5, 0.6, 1.0]).shape == (2, 3, 8, 4, 6)
    assert section.states.recovery(0.5).shape == (8, 1, 6, 6)


def test_the_default_place_is_the_middle(section):
    np.testing.assert_array_equal(section.wall_loads(F), section.wall_loads(F, 0.5))
    np.testing.assert_array_equal(section.wall_loads(F), section.wall_loads(F, [0.5])[:, 0])
    np.testing.assert_array_equal(section.states.recovery(), section.states.recovery([0.5]))
    rest = section.residual_wall_loads(-100.0, at=[0.5, 0.7])
    assert rest.shape == (8, 2, 6)
    np.testing.assert_allclose(section.residual_wall_loads(-100.0), rest[:, 0], rtol=1e-12)
    np.testing.assert_array_equal(
        ovalization_loads(section.states, F), ovalization_loads(section.states, F, [0.5])
    )
    one, other = section.ply_states(F, -100.0), section.ply_states(F, -100.0, at=0.5)
    np.testing.assert_array_equal(one[0].stress, other[0].stress)


def test_cases_and_places_equal_the_loop(section):
    cases, places = F * np.array([[1.0], [-2.0]]), [0.0, 0.3, 1.0]
    whole = section.wall_loads(cases, places)
    for i, at in enumerate(places):
        for j in range(2):
            np.testing.assert_allclose(
                whole[j, :, i], section.wall_loads(cases[j], at), rtol=1e-12, atol=1e-9
            )


def test_recovery_times_forces_is_the_wall_loads(section):
    np.testing.assert_allclose(
        section.states.recovery([0.7])[:, 0] @ F, section.wall_loads(F, 0.7), rtol=1e-12, atol=1e-9
    )


def test_solve_and_section_are_one(section):
    t = [w.thickness for w in mixed_walls()]
    other = solve(rounded_box(0.08, 0.05, 0.012, t), stiffness_of(mixed_walls()))
    np.testing.assert_array_equal(section.compliance, other.compliance)
    np.testing.assert_array_equal(section.stiffness, other.stiffness)


def test_ply_stresses_add_up_to_the_wall_loads(section):
    """Integrated through the thickness, the ply stresses give back what F and heat put on the wall."""
    dT, at = -100.0, 0.3
    states = section.ply_states(F, dT, at=at)
    loads, rest = section.wall_loads(F, at), section.residual_wall_loads(dT, at=at)
    for wall, state in enumerate(states):
        laminate = section.laminates[wall]
        bottom, top = laminate.surfaces.T
        for stress, expected in ((state.load_stress, loads), (state.residual_stress, rest)):
            s = np.einsum("pji,psj->psi", laminate.rotation, stress)
            h, mean = (top - bottom)[:, None], s.mean(axis=1)
            N = (h * mean).sum(axis=0)
            M = (h * ((top + bottom)[:, None] / 2 * mean + h / 12 * (s[:, 1] - s[:, 0]))).sum(axis=0)
            size = np.abs(loads[..., :3]).max()
            np.testing.assert_allclose(N, expected[wall, :3], rtol=0, atol=1e-10 * size)
            np.testing.assert_allclose(M, expected[wall, 3:], rtol=0, atol=1e-10 * size * laminate.thickness)


def test_residual_does_not_grow_with_load(section):
    one, two = section.ply_states(F, -100.0), section.ply_states(2 * F, -100.0)
    for a, b in zip(one, two, strict=True):
        np.testing.assert_allclose(b.residual_stress, a.residual_stress, rtol=1e-12)
        np.testing.assert_allclose(b.load_stress, 2 * a.load_stress, rtol=1e-9, atol=1.0)


def test_arrays_of_the_caller_are_unchanged(section):
    forces = F.copy()
    section.wall_loads(forces)
    np.testing.assert_array_equal(forces, F)
