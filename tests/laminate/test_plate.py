"""ABD, resultants and the mixed solution, on plain arrays."""

from itertools import pairwise

import numpy as np
import pytest
from numpy.testing import assert_allclose
from stacks import CARBON, GLASS

from laminate import plate
from laminate.lamina_stiffness import q_reduced, q_rotated

RNG = np.random.default_rng(7)
ANGLES = np.array([30.0, -45.0, 90.0, 10.0])
T = np.array([1e-4, 3e-4, 2e-4, 2.5e-4])
Q_BAR = q_rotated(q_reduced(CARBON.E1, CARBON.E2, CARBON.G12, CARBON.nu12), ANGLES)
SAMPLES = 20001


def through_thickness() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Heights, weights and ply numbers of a fine midpoint rule over the stack."""
    z = plate.interfaces(T)
    edges = np.concatenate([np.linspace(a, b, SAMPLES)[:-1] for a, b in pairwise(z)] + [z[-1:]])
    return (edges[1:] + edges[:-1]) / 2, np.diff(edges), np.repeat(np.arange(4), SAMPLES - 1)


def test_interfaces_run_from_minus_half_to_plus_half_the_thickness() -> None:
    assert_allclose(plate.interfaces(np.array([1.0, 2.0, 5.0])), [-4, -3, -1, 4])


def test_abd_is_the_integral_over_the_thickness() -> None:
    z, dz, ply = through_thickness()
    K = plate.abd(Q_BAR, T)
    for power, block in ((0, K[:3, :3]), (1, K[:3, 3:]), (2, K[3:, 3:])):
        expected = np.einsum("s,sij->ij", z**power * dz, Q_BAR[ply])
        assert_allclose(block, expected, atol=1e-8 * abs(block).max())
    assert_allclose(K, K.T, rtol=1e-13)


def test_a_ply_of_no_thickness_is_left_out() -> None:
    t = T * np.array([1, 0, 1, 1])
    kept = [0, 2, 3]
    assert_allclose(plate.abd(Q_BAR, t), plate.abd(Q_BAR[kept], t[kept]), rtol=1e-12)
    free = RNG.normal(size=(4, 2, 3))
    thermal = plate.thermal_resultants(Q_BAR, t, free)
    assert_allclose(thermal, plate.thermal_resultants(Q_BAR[kept], t[kept], free[kept]), rtol=1e-12)


def test_one_homogeneous_plate() -> None:
    E, nu, h = 70e9, 0.3, 2e-3
    Q = q_reduced(E, E, E / (2 * (1 + nu)), nu)
    K = plate.abd(np.stack([Q] * 3), np.array([h / 4, h / 4, h / 2]))
    assert_allclose(K[3, 3], E * h**3 / (12 * (1 - nu**2)), rtol=1e-13)
    assert_allclose(K[:3, 3:], 0, atol=1e-12 * K[0, 0] * h)


def test_turning_the_stack_over_changes_the_sign_of_the_coupling() -> None:
    K, turned = plate.abd(Q_BAR, T), plate.abd(Q_BAR[::-1], T[::-1])
    sign = np.ones((6, 6))
    sign[:3, 3:] = sign[3:, :3] = -1
    assert_allclose(turned, K * sign, rtol=1e-11)


def test_thermal_resultants_are_the_integral_of_a_linear_free_strain() -> None:
    z, dz, ply = through_thickness()
    free = RNG.normal(size=(4, 2, 3)) * 1e-3
    faces = plate.interfaces(T)
    s = ((z - faces[ply]) / T[ply])[:, None]
    stress = np.einsum("sij,sj->si", Q_BAR[ply], free[ply, 0] * (1 - s) + free[ply, 1] * s)
    expected = np.concatenate([(stress * dz[:, None]).sum(0), (stress * (z * dz)[:, None]).sum(0)])
    assert_allclose(plate.thermal_resultants(Q_BAR, T, free), expected, rtol=1e-7)


def test_uniform_free_strain_needs_one_surface_only() -> None:
    free = RNG.normal(size=(5, 4, 1, 3)) * 1e-3
    both = np.repeat(free, 2, axis=-2)
    assert_allclose(
        plate.thermal_resultants(Q_BAR, T, free), plate.thermal_resultants(Q_BAR, T, both), rtol=1e-14
    )


def test_a_common_free_strain_only_stretches() -> None:
    K = plate.abd(Q_BAR, T)
    thermal = plate.thermal_resultants(Q_BAR, T, np.broadcast_to([1e-3, -2e-3, 5e-4], (4, 1, 3)))
    assert_allclose(plate.inverse(K) @ thermal, [1e-3, -2e-3, 5e-4, 0, 0, 0], atol=1e-12)


def test_inverse_of_a_badly_scaled_stiffness() -> None:
    K = plate.abd(Q_BAR, T * 1e-3)  # a sheet of a thousandth the thickness: 1e-12 between A and D
    eye = plate.inverse(K) @ K
    scale = np.sqrt(np.diag(K))
    assert_allclose(scale[:, None] * eye / scale, np.eye(6), atol=1e-12)


@pytest.mark.parametrize("given", [(), (1,), (0, 3), (2, 4, 5), (0, 1, 2, 3, 4, 5)])
def test_mixed_solution_satisfies_both_what_is_given_and_the_law(given: tuple[int, ...]) -> None:
    K = plate.abd(Q_BAR, T)
    load, prescribed = (
        RNG.normal(size=(2, 7, 6)) * np.array([[1e4] * 3 + [1.0] * 3, [1e-3] * 3 + [1.0] * 3])[:, None]
    )
    mask = np.isin(np.arange(6), given)
    u = plate.solve_mixed(K, load, prescribed, mask)
    assert_allclose(u[:, mask], prescribed[:, mask], rtol=0)
    back = u @ K
    assert_allclose(back[:, ~mask], load[:, ~mask], rtol=1e-6, atol=1e-9)


def test_leading_axes_equal_their_loop() -> None:
    angles = RNG.uniform(-90, 90, (2, 3, 4))
    t = RNG.uniform(1e-4, 2e-4, (3, 4))
    material = [q_reduced(m.E1, m.E2, m.G12, m.nu12) for m in (CARBON, GLASS)]
    Q = q_rotated(np.stack(material)[:, None, None], angles)
    K = plate.abd(Q, t)
    free = RNG.normal(size=(3, 4, 2, 3))
    thermal = plate.thermal_resultants(Q, t, free)
    flexible = plate.inverse(K)
    assert (K.shape, thermal.shape) == ((2, 3, 6, 6), (2, 3, 6))
    for i, j in np.ndindex(2, 3):
        assert_allclose(K[i, j], plate.abd(Q[i, j], t[j]), rtol=1e-12)
        assert_allclose(thermal[i, j], plate.thermal_resultants(Q[i, j], t[j], free[j]), rtol=1e-12)
        assert_allclose(flexible[i, j], plate.inverse(K[i, j]), rtol=1e-12)
