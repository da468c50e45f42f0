"""Transverse shear by equilibrium: limits in closed form, equilibrium, and exact integration with sympy."""

import numpy as np
import sympy as sp
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from stacks import CARBON, MADE_UP, stacks

from laminate import Laminate, Ply
from laminate.transverse_shear import shear_modulus_rotated, shear_spread, shear_stiffness
from materials.lamina import Lamina


@given(st.floats(-90, 90), st.integers(1, 4))
@settings(max_examples=30, deadline=None)
def test_one_material_gives_five_sixths(theta: float, plies: int) -> None:
    stack = Laminate((Ply(CARBON, theta),) * plies)
    G = shear_modulus_rotated(CARBON.G13, CARBON.G23, theta)
    assert_allclose(stack.transverse_shear, 5 / 6 * G * stack.thickness, rtol=1e-9, atol=1e-9 * G.max())


def test_spread_of_one_material_is_the_parabola() -> None:
    h, s = 2e-3, np.linspace(0, 1, 9)
    one = Laminate((Ply(CARBON, 0.0),))
    f = shear_spread(one.q_bar, np.array([h]), s)[0]
    assert_allclose(f[:, 0, 0], 6 / h * s * (1 - s), atol=1e-9)
    assert_allclose(f[:, 1, 1], 6 / h * s * (1 - s), atol=1e-9)
    assert_allclose(f[:, 0, 1], 0, atol=1e-9)
    off_axis = Laminate((Ply(CARBON, 25.0),))
    assert_allclose(shear_spread(off_axis.q_bar, np.array([h]), s)[0], f, atol=1e-8)


@given(stacks())
@settings(max_examples=50, deadline=None)
def test_spread_vanishes_on_the_faces_is_continuous_and_adds_up_to_the_force(stack: Laminate) -> None:
    f = shear_spread(stack.q_bar, stack.ply_thickness, np.array([0.0, 0.5, 1.0])) * stack.thickness
    atol = 1e-8 * abs(f).max()
    assert_allclose(f[0, 0], 0, atol=atol)
    assert_allclose(f[-1, -1], 0, atol=atol)
    assert_allclose(f[1:, 0], f[:-1, -1], atol=atol)
    share = (stack.ply_thickness / stack.thickness)[:, None, None]
    total = (share * (f[:, 0] + 4 * f[:, 1] + f[:, 2]) / 6).sum(axis=0)
    assert_allclose(total, np.eye(2), atol=atol)


@given(stacks())
@settings(max_examples=30, deadline=None)
def test_spread_balances_the_stresses_of_bending(stack: Laminate) -> None:
    """Shear at the top of each ply = - sum of what the bending stresses below it grow by per length."""
    M = np.eye(3)[:2]
    stress = stack.response(M=M).laminate_stress
    carried = -np.cumsum(stress.mean(axis=-2) * stack.ply_thickness[:, None], axis=-2)
    f = shear_spread(stack.q_bar, stack.ply_thickness, np.ones(1))[:, 0]
    expected = np.stack([carried[0][:, [0, 2]], carried[1][:, [2, 1]]], axis=-1)
    assert_allclose(f, expected, atol=1e-9 * abs(f).max() + 1e-9 / stack.thickness)


@given(stacks())
@settings(max_examples=50, deadline=None)
def test_stiffness_is_symmetric_positive_and_below_the_sum_of_the_plies(stack: Laminate) -> None:
    H = stack.transverse_shear
    G13, G23 = np.array([p.lamina.transverse_shear for p in stack.plies]).T
    G = shear_modulus_rotated(G13, G23, stack.angles_deg)
    upper = (G * stack.ply_thickness[:, None, None]).sum(axis=0)
    assert_allclose(H, H.T, rtol=1e-12)
    assert np.linalg.eigvalsh(H).min() > 0
    assert np.linalg.eigvalsh(upper - H).min() > -1e-9 * upper.max(), (
        "equal shear in all plies is an upper bound"
    )


def test_sandwich_with_a_soft_core() -> None:
    # shear stiffness of a sandwich with thin faces on a soft core: G d^2 / c (H. G. Allen, Analysis and
    # Design of Structural Sandwich Panels, 1969, ch. 2, from memory)
    face = Lamina(
        name="face", kind="fabric", E1=70e9, E2=70e9, G12=26e9, nu12=0.3, thickness=1e-4, density=2700.0,
        G13=26e9, G23=26e9, source=MADE_UP,
    )  # fmt: skip
    core = Lamina(
        name="core", kind="fabric", E1=2e6, E2=2e6, G12=2e6, nu12=0.0, thickness=1e-2, density=50.0,
        G13=20e6, G23=15e6, source=MADE_UP,
    )  # fmt: skip
    sandwich = Laminate((Ply(face, 0), Ply(core, 0), Ply(face, 0)))
    c, d = core.thickness, core.thickness + face.thickness
    assert_allclose(np.diag(sandwich.transverse_shear), np.array([20e6, 15e6]) * d**2 / c, rtol=2e-3)


def test_against_exact_integration() -> None:
    """Cross-ply of unlike layers with rational data: sympy integrates equilibrium and energy exactly."""
    z = sp.Symbol("z")
    R = sp.Rational
    data = [((40, 2, 5), (4, 3), R(1)), ((9, 1, 60), (2, 5), R(3, 2)), ((25, 3, 8), (6, 1), R(1, 2))]
    h = sum(t for *_, t in data)
    edges = [-h / 2]
    for *_, t in data:
        edges.append(edges[-1] + t)
    Q = [sp.Matrix([[a, b, 0], [b, c, 0], [0, 0, 7]]) for (a, b, c), _, _ in data]
    A, B, D = (
        sum((q * (edges[i + 1] ** p - edges[i] ** p) / p for i, q in enumerate(Q)), sp.zeros(3))
        for p in (1, 2, 3)
    )
    flexible = sp.Matrix(sp.BlockMatrix([[A, B], [B, D]])).inv()
    below, energy = sp.zeros(3), sp.zeros(2)
    for i, (q, (_, (Gx, Gy), _)) in enumerate(zip(Q, data, strict=True)):
        stress = q * (flexible[:3, 3:] + z * flexible[3:, 3:])
        total = below + stress.applyfunc(lambda e: sp.integrate(e, z)).applyfunc(
            lambda e, low=edges[i]: sp.expand(e - e.subs(z, low))
        )
        f = -sp.Matrix([[total[0, 0], total[2, 1]], [total[2, 0], total[1, 1]]])
        integrand = (f.T * sp.diag(R(1, Gx), R(1, Gy)) * f).applyfunc(sp.expand)
        energy += integrand.applyfunc(lambda e, i=i: sp.integrate(e, (z, edges[i], edges[i + 1])))
        below = total.subs(z, edges[i + 1])
    assert below[0, 0] == 0
    assert below[1, 1] == 0
    exact = energy.inv()
    got = shear_stiffness(
        np.array([np.array(q, dtype=float) for q in Q]),
        np.array([float(t) for *_, t in data]),
        np.array([np.diag([float(x), float(y)]) for _, (x, y), _ in data]),
    )
    assert_allclose(got, np.array(exact, dtype=float), rtol=1e-12, atol=1e-12)


def test_rotation_of_the_moduli() -> None:
    assert_allclose(shear_modulus_rotated(4.0, 2.0, 0.0), [[4, 0], [0, 2]])
    assert_allclose(shear_modulus_rotated(4.0, 2.0, 90.0), [[2, 0], [0, 4]])
    assert_allclose(shear_modulus_rotated(4.0, 2.0, 45.0), [[3, 1], [1, 3]])
    assert_allclose(shear_modulus_rotated(4.0, 2.0, -45.0), [[3, -1], [-1, 3]])
