"""Ply stiffness: limits, rotation there and back, and the tensor rotation as the second way."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invariants import invariants
from numpy.testing import assert_allclose
from stacks import CARBON, laminae

from laminate.lamina_stiffness import (
    moduli_of,
    q_reduced,
    q_rotated,
    strain_rotation,
)
from materials.lamina import Lamina

Q = q_reduced(CARBON.E1, CARBON.E2, CARBON.G12, CARBON.nu12)
ANGLE = st.floats(-180, 180)


def of(m: Lamina) -> np.ndarray:
    return q_reduced(m.E1, m.E2, m.G12, m.nu12)


def test_isotropic_ply_is_the_same_at_every_angle() -> None:
    E, nu = 70e9, 0.33
    iso = q_reduced(E, E, E / (2 * (1 + nu)), nu)
    assert_allclose(iso[0, 0], E / (1 - nu**2), rtol=1e-14)
    assert_allclose(
        q_rotated(iso, np.linspace(-90, 90, 13)), np.broadcast_to(iso, (13, 3, 3)), atol=1e-15 * E
    )


def test_right_angles_are_exact() -> None:
    swapped = Q[np.ix_([1, 0, 2], [1, 0, 2])]
    assert (q_rotated(Q, 90.0) == swapped).all()
    assert (q_rotated(Q, -90.0) == swapped).all()
    assert (q_rotated(Q, 180.0) == Q).all()


def test_a_strain_along_the_fiber_is_found_by_the_rotation() -> None:
    c, s = np.cos(np.pi / 6), np.sin(np.pi / 6)
    along = np.array([c * c, s * s, 2 * c * s])  # unit extension along an axis at +30 deg from x
    assert_allclose(strain_rotation(30.0) @ along, [1, 0, 0], atol=1e-15)


@given(laminae(), ANGLE)
@settings(max_examples=60, deadline=None)
def test_against_rotation_of_the_fourth_order_tensor(lamina: Lamina, theta: float) -> None:
    Q = of(lamina)
    c, s = np.cos(np.radians(theta)), np.sin(np.radians(theta))
    R = np.array([[c, s], [-s, c]])
    at = {(0, 0): 0, (1, 1): 1, (0, 1): 2, (1, 0): 2}
    C = np.array(
        [[[[Q[at[i, j], at[k, l]] for l in (0, 1)] for k in (0, 1)] for j in (0, 1)] for i in (0, 1)]
    )
    turned = np.einsum("ai,bj,ck,dl,abcd->ijkl", R, R, R, R, C)
    expected = [
        [turned[i, j, k, l] for k, l in ((0, 0), (1, 1), (0, 1))] for i, j in ((0, 0), (1, 1), (0, 1))
    ]
    assert_allclose(q_rotated(Q, theta), expected, atol=1e-13 * Q.max())


@given(laminae(), ANGLE)
@settings(max_examples=60, deadline=None)
def test_rotation_there_and_back(lamina: Lamina, theta: float) -> None:
    Q = of(lamina)
    assert_allclose(q_rotated(q_rotated(Q, theta), -theta), Q, atol=1e-13 * Q.max())
    assert_allclose(strain_rotation(theta) @ strain_rotation(-theta), np.eye(3), atol=1e-14)


@given(laminae(), ANGLE)
@settings(max_examples=60, deadline=None)
def test_stiffness_is_positive_definite_and_its_invariants_do_not_turn(lamina: Lamina, theta: float) -> None:
    q_bar = q_rotated(of(lamina), theta)
    assert np.linalg.eigvalsh(q_bar).min() > 0
    U = invariants(of(lamina))
    assert_allclose(q_bar[0, 0] + q_bar[1, 1] + 2 * q_bar[0, 1], 2 * (U[0] + U[3]), rtol=1e-11)
    assert_allclose(q_bar[2, 2] - q_bar[0, 1], U[4] - U[3], atol=1e-13 * q_bar.max())
    assert_allclose(U[4], (U[0] - U[3]) / 2, atol=1e-14 * U[0])


def test_rotated_stiffness_in_terms_of_the_invariants() -> None:
    theta = np.linspace(-90, 90, 19)
    U1, U2, U3, U4, U5 = invariants(Q)
    t = np.radians(theta)
    expected = np.empty((19, 3, 3))
    expected[:, 0, 0] = U1 + U2 * np.cos(2 * t) + U3 * np.cos(4 * t)
    expected[:, 1, 1] = U1 - U2 * np.cos(2 * t) + U3 * np.cos(4 * t)
    expected[:, 0, 1] = expected[:, 1, 0] = U4 - U3 * np.cos(4 * t)
    expected[:, 2, 2] = U5 - U3 * np.cos(4 * t)
    expected[:, 0, 2] = expected[:, 2, 0] = U2 * np.sin(2 * t) / 2 + U3 * np.sin(4 * t)
    expected[:, 1, 2] = expected[:, 2, 1] = U2 * np.sin(2 * t) / 2 - U3 * np.sin(4 * t)
    assert_allclose(q_rotated(Q, theta), expected, atol=1e-14 * U1)


@given(laminae(), ANGLE)
@settings(max_examples=60, deadline=None)
def test_off_axis_moduli_against_the_closed_form(lamina: Lamina, theta: float) -> None:
    # R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999, eqs. 2.97 and 2.98 (from memory)
    m = lamina
    c, s = np.cos(np.radians(theta)), np.sin(np.radians(theta))
    moduli = moduli_of(np.linalg.inv(q_rotated(of(m), theta)))
    Sx = c**4 / m.E1 + (1 / m.G12 - 2 * m.nu12 / m.E1) * s**2 * c**2 + s**4 / m.E2
    nu_S = m.nu12 / m.E1 * (s**4 + c**4) - (1 / m.E1 + 1 / m.E2 - 1 / m.G12) * s**2 * c**2
    Sg = 4 * (1 / m.E1 + 1 / m.E2 + 2 * m.nu12 / m.E1) * s**2 * c**2 + (c * c - s * s) ** 2 / m.G12
    eta_S = (2 / m.E1 + 2 * m.nu12 / m.E1 - 1 / m.G12) * s * c**3
    eta_S -= (2 / m.E2 + 2 * m.nu12 / m.E1 - 1 / m.G12) * s**3 * c
    largest = 1 / min(m.E1, m.E2, m.G12)
    assert_allclose(1 / moduli.Ex, Sx, rtol=1e-10)
    assert_allclose(1 / moduli.Gxy, Sg, rtol=1e-10)
    assert_allclose(moduli.nu_xy / moduli.Ex, nu_S, atol=1e-11 * largest)
    assert_allclose(moduli.nu_yx / moduli.Ey, nu_S, atol=1e-11 * largest)
    assert_allclose(moduli.eta_xy_x / moduli.Ex, eta_S, atol=1e-11 * largest)


def test_moduli_across_are_those_along_the_other_axis() -> None:
    at, turned = (moduli_of(np.linalg.inv(q_rotated(Q, a))) for a in (25.0, 25.0 - 90.0))
    assert_allclose((at.Ey, at.nu_yx, at.eta_xy_y), (turned.Ex, turned.nu_xy, -turned.eta_xy_x), rtol=1e-12)


def test_impossible_plies_are_refused() -> None:
    with pytest.raises(ValueError, match="swapped"):
        q_reduced(10e9, 100e9, 5e9, 0.32)
    with pytest.raises(ValueError, match="< 1"):
        q_reduced(1e9, 1e9, 1e9, 1.0)
