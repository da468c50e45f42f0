from itertools import pairwise

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.linalg import eigh
from scipy.optimize import brentq
from spans import coupled, slender

from beam.strut import PointLoads, Span, Support

L, EI, RHO_A = 2.0, 2e4, 3.0
BENDS = slender(EI)
THIN = np.diag([RHO_A, RHO_A, RHO_A, 1e-9, 1e-9, 1e-9])
SCALE = np.sqrt(EI / RHO_A) / L**2 / (2 * np.pi)


# Euler: P L^2 / EI is pi^2/4, pi^2, the square of the root of tan b = b, 4 pi^2.
@pytest.mark.parametrize(
    ("supports", "exact"),
    [
        ([Support.clamp()], np.pi**2 / 4),
        ([Support.motions(0, ("u1", "u2", "u3", "r1")), Support.motions(L, ("u2", "u3"))], np.pi**2),
        ([Support.clamp(), Support.motions(L, ("u2", "u3"))], brentq(lambda b: np.tan(b) - b, 4.4, 4.6) ** 2),
        ([Support.clamp(), Support.motions(L, ("u2", "u3", "r1", "r2", "r3"))], 4 * np.pi**2),
    ],
)
@pytest.mark.parametrize("stations", [2, 21])
def test_euler_columns(supports, exact, stations):
    span = Span(axis=L, stiffness=BENDS, supports=supports, stations=stations)
    loads = PointLoads(at=[L], force=[[[-1.0, 0, 0]], [[-5.0, 0, 0]], [[2.0, 0, 0]], [[0, 0, 0]]])
    P = span.buckling_factor(loads) * L**2 / EI
    assert_allclose(P[:2], [exact, exact / 5], rtol=1e-6 if stations == 21 else 2e-3)
    assert np.isinf(P[2:]).all(), "neither tension nor nothing buckles it"


def test_shear_soft_column():
    """Engesser as Haringx has it for dead loads: P (1 + P/GA) = P_E, extension left out."""
    GA = 4e4
    span = Span(axis=L, stiffness=np.diag([1e12, GA, GA, 1e6, EI, EI]))
    P = span.buckling_factor(PointLoads(at=[L], force=[[[-1.0, 0, 0]]]))[0]
    PE = np.pi**2 * EI / 4 / L**2
    assert pytest.approx(PE, rel=1e-6) == P * (1 + P / GA)


def test_load_on_an_arm_buckles_as_its_lever_turns():
    """A dead force pushing down on the end of a rigid arm that prolongs the column.

    Column of length L, rigid bar a on its end: k a tan(k L) = 1.
    """
    a = 0.7
    b = brentq(lambda k: k * a * np.tan(k * L) - 1, 1e-6, np.pi / 2 / L - 1e-9)
    span = Span(axis=L, stiffness=BENDS)
    loads = PointLoads(at=[L], force=[[[-1.0, 0, 0]]], arm=[[[a, 0, 0]]])
    assert span.buckling_factor(loads)[0] == pytest.approx(b**2 * EI, rel=1e-6)


def pushed_and_pulled(pull):
    """Inner half pushed by P, outer half pulled by T, derived: p cos(p a) + t tanh(t b) sin(p a) = 0, p^2 = P/EI."""
    a, ratio = L / 2, np.sqrt(pull)

    def condition(p):
        return p * np.cos(p * a) + p * ratio * np.tanh(p * ratio * a) * np.sin(p * a)

    loads = PointLoads(at=[a, L], force=[[[-1.0 - pull, 0, 0], [pull, 0, 0]]])
    return loads, brentq(condition, np.pi / 2 / a, np.pi / a, xtol=1e-14) ** 2 * EI


@pytest.mark.parametrize("pull", [0.1, 1.0])
def test_tension_beyond_steadies_a_column(pull):
    loads, exact = pushed_and_pulled(pull)
    assert Span(axis=L, stiffness=BENDS).buckling_factor(loads)[0] == pytest.approx(exact, rel=1e-6)


@pytest.mark.parametrize("pull", [0.1, 1.0])
@pytest.mark.parametrize(("strain", "buckles"), [(0.24, True), (0.26, False)])
def test_tension_that_strains_by_a_quarter_is_no_buckling(pull, strain, buckles):
    """The same column, its outer half strained so much at the exact factor; EA alone decides where the limit lies."""
    loads, exact = pushed_and_pulled(pull)
    soft = np.diag([pull * exact / strain, *np.diagonal(BENDS)[1:]])
    found = Span(axis=L, stiffness=soft).buckling_factor(loads)[0]
    assert found == (pytest.approx(exact, rel=1e-6) if buckles else np.inf)


def test_lateral_buckling_under_equal_end_moments():
    """pi sqrt(EI GJ)/L, in-plane stiffness far larger (Timoshenko & Gere, Theory of Elastic Stability)."""
    GJ = 1e4
    supports = [Support.motions(0, ("u1", "u2", "u3", "r1")), Support.motions(L, ("u2", "u3", "r1"))]
    span = Span(axis=L, stiffness=np.diag([1e12, 1e12, 1e12, GJ, 1e10, EI]), supports=supports)
    ends = PointLoads(at=[0, L], force=np.zeros((1, 2, 3)), moment=[[[0, -1, 0], [0, 1, 0]]])
    assert span.buckling_factor(ends)[0] == pytest.approx(np.pi * np.sqrt(EI * GJ) / L, rel=1e-6)


def test_buckling_of_many_cases_is_that_of_each():
    rng = np.random.default_rng(2)
    loads = PointLoads(at=[1.1, L], force=rng.normal(size=(20, 2, 3)), moment=rng.normal(size=(20, 2, 3)))
    span = Span(axis=L, stiffness=coupled())
    whole = span.buckling_factor(loads)
    assert whole.shape == (20,)
    for case in (0, 17):
        one = PointLoads(at=loads.at, force=loads.force[case], moment=loads.moment[case])
        assert span.buckling_factor(one) == pytest.approx(whole[case], rel=1e-9)


@pytest.mark.parametrize("ratio", [0.3, 0.5, 0.8])
def test_column_whose_stiffness_falls_with_the_square(ratio):
    """EI = EI_2 (x/a)^2 from a tip at x = a to a clamp at x = b: the equation of Euler's type, derived.

    x^2 y'' + q^2 y = 0 with q^2 = P a^2/EI_2, y = sqrt(x) sin(w ln(x/a)), w^2 = q^2 - 1/4, y'(b) = 0,
    so tan(w ln(b/a)) = -2 w. (Timoshenko & Gere, Theory of Elastic Stability, treat this column.)
    """
    length, EI_root = 1.0, 1.0
    a = length * ratio / (1 - ratio)
    b = a + length
    lap = np.log(b / a)
    w = brentq(lambda v: np.sin(v * lap) + 2 * v * np.cos(v * lap), np.pi / 2 / lap + 1e-9, np.pi / lap)
    exact = (w**2 + 0.25) * EI_root * ratio**2 / a**2

    def stiffness(s):
        h = 1 - (1 - ratio) * s / length
        return np.diag([1e10, 1e10, 1e10, 1e3, EI_root * h**2, EI_root * h**2])

    P = Span(axis=length, stiffness=stiffness).buckling_factor(
        PointLoads(at=[length], force=[[[-1.0, 0, 0]]])
    )[0]
    assert pytest.approx(exact, rel=1e-7) == P


@pytest.mark.parametrize("ratio", [0.3, 0.5, 0.8])
def test_column_that_tapers_both_ways(ratio):
    """EI falls with the fourth power: y = x (A cos(k/x) + B sin(k/x)), y(a) = 0, y'(b) = 0, derived."""
    a = ratio / (1 - ratio)
    b = a + 1.0

    def slope_at_root(k):
        turn = k / b - k / a
        return np.sin(turn) - k / b * np.cos(turn)

    grid = np.linspace(1e-6, 3 * np.pi * a * b, 4000)
    sign = np.sign(slope_at_root(grid))
    first = np.flatnonzero(sign[1:] != sign[:-1])[0]
    k = brentq(slope_at_root, grid[first], grid[first + 1], xtol=1e-14)
    exact = k**2 / b**4

    def stiffness(s):
        h = 1 - (1 - ratio) * s
        return np.diag([1e10, 1e10, 1e10, 1e3, h**4, h**4])

    P = Span(axis=1.0, stiffness=stiffness).buckling_factor(PointLoads(at=[1.0], force=[[[-1.0, 0, 0]]]))[0]
    assert pytest.approx(exact, rel=1e-7) == P


def frame_buckling(points, EI, load, count=20):
    """Lowest factor on a tip load (2,) of a clamped plane frame of Euler-Bernoulli elements, no extension to speak of.

    Geometric stiffness N/(30 h) [[36, 3h, -36, 3h], [3h, 4h^2, -3h, -h^2], ...] with the axial force N of the linear
    solution (Przemieniecki, Theory of Matrix Structural Analysis, 1968; from memory).
    """
    ends = np.concatenate([np.linspace(a, b, count + 1)[1:] for a, b in pairwise(points)], axis=0)
    nodes = np.vstack([points[:1], ends])
    size = 3 * len(nodes)
    K, G = np.zeros((size, size)), np.zeros((size, size))
    u = np.zeros(size)

    def elements():
        for i, (a, b) in enumerate(pairwise(nodes)):
            h = np.linalg.norm(b - a)
            c, s = (b - a) / h
            turn = np.kron(np.eye(2), [[c, s, 0], [-s, c, 0], [0, 0, 1]])
            yield slice(3 * i, 3 * i + 6), h, turn

    EA, across = 1e7 * EI, [1, 2, 4, 5]
    for at, h, turn in elements():
        k = np.zeros((6, 6))
        k[np.ix_([0, 3], [0, 3])] = EA / h * np.array([[1, -1], [-1, 1]])
        k[np.ix_(across, across)] = EI / h**3 * np.array(
            [[12, 6 * h, -12, 6 * h], [6 * h, 4 * h**2, -6 * h, 2 * h**2], [-12, -6 * h, 12, -6 * h],
             [6 * h, 2 * h**2, -6 * h, 4 * h**2]])  # fmt: skip
        K[at, at] += turn.T @ k @ turn
    u[3:] = np.linalg.solve(K[3:, 3:], np.r_[np.zeros(size - 6), load, 0.0])
    for at, h, turn in elements():
        N = EA / h * (turn @ u[at])[[0, 3]] @ [-1, 1]
        g = np.zeros((6, 6))
        g[np.ix_(across, across)] = N / 30 / h * np.array(
            [[36, 3 * h, -36, 3 * h], [3 * h, 4 * h**2, -3 * h, -(h**2)], [-36, -3 * h, 36, -3 * h],
             [3 * h, -(h**2), -3 * h, 4 * h**2]])  # fmt: skip
        G[at, at] += turn.T @ g @ turn
    return 1 / eigh(-G[3:, 3:], K[3:, 3:], eigvals_only=True)[-1]


@pytest.mark.parametrize("load", [[-1.0, -0.3], [-0.2, -1.0], [0.4, -1.0]])
def test_kinked_span_buckles_as_a_frame_of_elements(load):
    """In its plane; across it the span is a million times stiffer."""
    points = np.array([[0.0, 0.0], [0.5, 0.1], [0.8, 0.5], [1.1, 0.55]])
    axis = np.c_[points, np.zeros(4)]
    span = Span(axis=axis, stiffness=np.diag([1e12, 1e12, 1e12, 1e8, 1e8, 100.0]))
    tip = PointLoads(at=[span.axis.length], force=[[[*load, 0.0]]])
    assert span.buckling_factor(tip)[0] == pytest.approx(frame_buckling(points, 100.0, load), rel=2e-5)


@pytest.mark.parametrize(("heat", "pushes"), [(0.4, True), (0.0, True), (0.4, False), (1.01, True)])
def test_heat_against_a_spring_does_not_grow_with_the_load(heat, pushes):
    """Hinged column, a spring k along it at the tip: N = -e L / (L/EA + 1/k) by heat, -P / (1 + k L/EA) by the load."""
    EA = 1e8
    k, euler = 0.7 * EA / L, np.pi**2 * EI / L**2
    supports = [
        Support.motions(0, ("u1", "u2", "u3", "r1")),
        Support.motions(L, ("u2", "u3")),
        Support.motions(L, ("u1",), stiffness=k),
    ]
    span = Span(axis=L, stiffness=np.diag([EA, 1e12, 1e12, 1e6, EI, 1.5 * EI]), supports=supports)
    strain = heat * euler * (L / EA + 1 / k) / L
    push = PointLoads(at=[L], force=[[[-1e3 if pushes else 1e3, 0, 0]], [[-4e3, 0, 0]]])
    found = span.buckling_factor(push, free_strain=[strain, 0, 0, 0, 0, 0])
    left = max(1 - heat, 0.0) * euler * (1 + k * L / EA)
    first = left / 1e3 if pushes else np.inf
    assert_allclose(found, [first, left / 4e3], rtol=1e-6)
