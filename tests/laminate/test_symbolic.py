"""Exact expressions as the second way: the kernels must agree with sympy to the last digits."""

import numpy as np
import pytest
import sympy as sp
from numpy.testing import assert_allclose
from stacks import CARBON

from laminate import plate, symbolic
from laminate.lamina_stiffness import moduli_of, q_reduced, q_rotated

E1, E2, G12, nu12, theta, t, n = sp.symbols("E1 E2 G12 nu12 theta t n", positive=True)
NUMBERS = {E1: 181, E2: sp.Rational(103, 10), G12: sp.Rational(717, 100), nu12: sp.Rational(28, 100)}
Q = symbolic.q_reduced(E1, E2, G12, nu12)
EXACT = Q.subs(NUMBERS)
DEGREE = sp.pi / 180
ANGLES = (30, -45, 75, 90, 0)
THICKNESSES = (sp.Rational(1, 8), sp.Rational(1, 4), sp.Rational(1, 5), sp.Rational(1, 8), sp.Rational(1, 10))


def numbers(matrix: sp.Matrix) -> np.ndarray:
    return np.array(matrix.evalf(30), dtype=float)


def test_reduced_stiffness_in_its_printed_form() -> None:
    # Q11 = E1 / (1 - nu12 nu21), R. M. Jones, 2nd ed. 1999, eq. 2.61 (from memory)
    nu21 = nu12 * E2 / E1
    expected = [E1 / (1 - nu12 * nu21), nu12 * E2 / (1 - nu12 * nu21), E2 / (1 - nu12 * nu21), G12]
    found = [Q[0, 0], Q[0, 1], Q[1, 1], Q[2, 2]]
    assert [sp.simplify(a - b) for a, b in zip(found, expected, strict=True)] == [0] * 4
    assert_allclose(q_reduced(181.0, 10.3, 7.17, 0.28), numbers(EXACT), rtol=1e-15)


@pytest.mark.parametrize("angle", [0, 15, 30, 45, 60, 90, -30, -80])
def test_rotated_stiffness(angle: int) -> None:
    exact = numbers(symbolic.q_rotated(EXACT, angle * DEGREE))
    assert_allclose(q_rotated(numbers(EXACT), angle), exact, rtol=1e-14, atol=1e-13)


def test_a_symbol_for_the_angle() -> None:
    q_bar = symbolic.q_rotated(Q, theta)
    assert sp.simplify(q_bar[0, 0] + q_bar[1, 1] + 2 * q_bar[0, 1] - Q[0, 0] - Q[1, 1] - 2 * Q[0, 1]) == 0
    assert sp.simplify(q_bar[0, 2].subs(theta, sp.pi / 2)) == 0
    slope = sp.diff(q_bar[0, 0].subs(NUMBERS), theta)
    step = 1e-4
    numeric = (q_rotated(numbers(EXACT), 20 + step) - q_rotated(numbers(EXACT), 20 - step))[0, 0] / (
        2 * np.radians(step)
    )
    assert float(slope.subs(theta, 20 * DEGREE)) == pytest.approx(numeric, rel=1e-7)


def test_abd_of_an_unsymmetric_stack() -> None:
    exact = symbolic.abd([symbolic.q_rotated(EXACT, a * DEGREE) for a in ANGLES], THICKNESSES)
    got = plate.abd(q_rotated(numbers(EXACT), ANGLES), np.array([float(v) for v in THICKNESSES]))
    assert_allclose(got, numbers(exact), rtol=1e-12, atol=1e-13)
    assert_allclose(plate.inverse(got), numbers(exact.evalf(40).inv()), rtol=1e-10, atol=1e-13)


def test_a_symbol_for_the_thickness() -> None:
    cross = symbolic.abd([EXACT, symbolic.q_rotated(EXACT, sp.pi / 2)], [t, t])
    assert sp.simplify(cross[0, 3] - (EXACT[1, 1] - EXACT[0, 0]) * t**2 / 2) == 0
    assert sp.simplify(cross[3, 3] - (EXACT[0, 0] + EXACT[1, 1]) * t**3 / 3) == 0


def test_moduli() -> None:
    h = sum(THICKNESSES)
    A = symbolic.abd([symbolic.q_rotated(EXACT, a * DEGREE) for a in ANGLES], THICKNESSES)[:3, :3]
    exact = symbolic.moduli(A.evalf(40), h)
    got = moduli_of(np.linalg.inv(numbers(A)) * float(h))
    for name, value in exact.items():
        assert getattr(got, name) == pytest.approx(float(value), rel=1e-11), name


def test_quasi_isotropic_modulus_in_symbols() -> None:
    U1 = (3 * Q[0, 0] + 3 * Q[1, 1] + 2 * Q[0, 1] + 4 * Q[2, 2]) / 8
    U4 = (Q[0, 0] + Q[1, 1] + 6 * Q[0, 1] - 4 * Q[2, 2]) / 8
    A = symbolic.abd([symbolic.q_rotated(Q, a * DEGREE) for a in (0, 60, -60)], [t] * 3)[:3, :3]
    assert sp.simplify(A[0, 0] - 3 * t * U1) == 0
    assert sp.simplify(A[0, 1] - 3 * t * U4) == 0
    assert sp.simplify(A[0, 2]) == 0


def test_the_carbon_of_the_other_tests_has_these_numbers() -> None:
    assert_allclose([CARBON.E1, CARBON.E2, CARBON.G12, CARBON.nu12], [181e9, 10.3e9, 7.17e9, 0.28])
