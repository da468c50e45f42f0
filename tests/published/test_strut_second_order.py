"""Beam-columns, the elastica, buckling: values from books and papers."""

import numpy as np
import pytest
from printed import printed
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.special import ellipe, ellipeinc, ellipk, ellipkinc

from beam.strut import PointLoads, Span, Support

L, EI, GJ = 1.0, 1.0, 1.0
SLENDER = np.diag([1e11, 1e11, 1e11, GJ, EI, EI])
DEEP = np.diag([1e10, 1e10, 1e10, GJ, 1e10, EI])
HINGES = [Support.motions(0, ("u1", "u2", "u3", "r1")), Support.motions(L, ("u2", "u3", "r1"))]

# Cantilever under a dead tip load k = P L^2/EI: travel across, travel along, turn [rad].
# K. Mattiasson, "Numerical results from large deflection beam and frame problems analysed by means of
# elliptic integrals", Int. J. Numer. Methods Eng. 17 (1981) 145-153; from memory.
ELASTICA = [
    ("1", "0.30172", "0.05643", "0.46135"),
    ("2", "0.49346", "0.16064", "0.78175"),
    ("3", "0.60325", "0.25442", "0.98602"),
    ("5", "0.71379", "0.38763", "1.21537"),
    ("10", "0.81061", "0.55500", "1.43029"),
]


@pytest.mark.parametrize(("k", "across", "along", "turn"), ELASTICA)
def test_elastica_tables(k, across, along, turn):
    tip = PointLoads(at=[L], force=[[[0, 0, float(k)]]])
    u = Span(axis=L, stiffness=SLENDER, stations=11).displacement(tip, [L], large=True)[0, 0]
    assert u[2] == printed(across)
    assert -u[0] == printed(along)
    assert -u[4] == printed(turn)


@pytest.mark.parametrize("k", [0.5, 2.0, 6.0])
def test_elastica_in_closed_form(k):
    """Elliptic integrals: K. E. Bisshopp, D. C. Drucker, Quart. Appl. Math. 3 (1945) 272 (from memory)."""

    def length(p):
        return ellipk(p * p) - ellipkinc(np.arcsin(1 / (p * np.sqrt(2))), p * p) - np.sqrt(k)

    p = brentq(length, np.sqrt(0.5) + 1e-13, 1 - 1e-13, xtol=1e-15)
    phi = np.arcsin(1 / (p * np.sqrt(2)))
    across = 1 - 2 / np.sqrt(k) * (ellipe(p * p) - ellipeinc(phi, p * p))
    turn = np.arcsin(2 * p * p - 1)
    along = 1 - np.sqrt(2 * np.sin(turn) / k)
    u = Span(axis=L, stiffness=SLENDER).displacement(PointLoads(at=[L], force=[[[0, k, 0]]]), [L], large=True)
    assert u[0, 0, 1] == pytest.approx(across, abs=1e-8)
    assert u[0, 0, 0] == pytest.approx(-along, abs=1e-8)
    assert u[0, 0, 5] == pytest.approx(turn, abs=1e-8)


@pytest.mark.parametrize(("against_deg", "turn"), [(150, 1.2), (175, 0.5), (175, 1.3), (179, 0.9)])
def test_column_bent_past_its_buckling_load(against_deg, turn):
    """Dead load P almost along the column: EI theta'^2/2 = P (cos(b - turn) - cos(b - theta)), by quadrature.

    b is the angle of the load from the axis, `turn` that of the tip; theta = turn (1 - x^2) takes the
    singularity at the tip away.
    """
    b = np.radians(against_deg)

    def integral(weight):
        def f(x):
            theta = turn * (1 - x * x)
            return weight(theta) * 2 * turn * x / np.sqrt(2 * (np.cos(b - turn) - np.cos(b - theta)))

        return quad(f, 0, 1, epsabs=0, epsrel=1e-11)[0]

    length = integral(np.ones_like)
    P = length**2 * EI / L**2
    if turn > 0.8 and against_deg > 170:
        assert np.pi**2 * EI / 4 / L**2 < P, "past Euler's load"
    tip = PointLoads(at=[L], force=[[[P * np.cos(b), P * np.sin(b), 0]]])
    u = Span(axis=L, stiffness=SLENDER, stations=9).displacement(tip, [L], large=True)[0, 0]
    assert u[5] == pytest.approx(turn, abs=1e-7)
    assert L + u[0] == pytest.approx(integral(np.cos) / length, abs=1e-7)
    assert u[1] == pytest.approx(integral(np.sin) / length, abs=1e-7)


# Beam-columns in closed form (Timoshenko & Gere, chapter 1), u = (L/2) sqrt(P/EI), hinged ends.
@pytest.mark.parametrize("share", [0.2, 0.6, 0.9])
def test_beam_column_with_a_load_at_the_middle(share):
    P, Q = share * np.pi**2 * EI / L**2, 1e-4
    u = L / 2 * np.sqrt(P / EI)
    exact = Q * L**3 / 48 / EI * 3 * (np.tan(u) - u) / u**3
    span = Span(axis=L, stiffness=SLENDER, supports=HINGES)
    loads = PointLoads(at=[L / 2, L], force=[[[0, 0, Q], [-P, 0, 0]]])
    assert span.displacement(loads, [L / 2], large=True)[0, 0, 2] == pytest.approx(exact, rel=1e-5)
    moment = Q * L / 4 * np.tan(u) / u
    assert abs(span.forces(loads, [L / 2], large=True)[0, 0, 4]) == pytest.approx(moment, rel=1e-5)


@pytest.mark.parametrize("share", [0.3, 0.8])
def test_beam_column_with_end_couples(share):
    P, M = share * np.pi**2 * EI / L**2, 1e-4
    u = L / 2 * np.sqrt(P / EI)
    exact = M * L**2 / 8 / EI * 2 * (1 / np.cos(u) - 1) / u**2
    span = Span(axis=L, stiffness=SLENDER, supports=HINGES)
    loads = PointLoads(at=[0, L], force=[[[0, 0, 0], [-P, 0, 0]]], moment=[[[0, -M, 0], [0, M, 0]]])
    assert span.displacement(loads, [L / 2], large=True)[0, 0, 2] == pytest.approx(exact, rel=1e-5)


@pytest.mark.parametrize("share", [0.4, 0.9])
def test_column_with_an_eccentric_load(share):
    """The secant formula: tip of a cantilever under P at an arm e moves by e (sec(k L) - 1)."""
    P, e = share * np.pi**2 * EI / 4 / L**2, 1e-4
    loads = PointLoads(at=[L], force=[[[-P, 0, 0]]], moment=[[[0, -P * e, 0]]], arm=[[[0, 0, e]]])
    u = Span(axis=L, stiffness=SLENDER).displacement(loads, [L], large=True)[0, 0, 2]
    exact = e * (1 / np.cos(np.sqrt(P / EI) * L) - 1)
    # The arm presses down at +e3: the column leans to +e3.
    assert u == pytest.approx(exact, rel=1e-4)


# Timoshenko & Gere, Theory of Elastic Stability, 2nd ed.: P L^2/EI for columns, P L^2/sqrt(EI GJ) for beams
# that buckle sideways, loads at the axis, in-plane stiffness far larger; from memory.
def evenly(total, axis, count=400):
    s = (np.arange(count) + 0.5) / count * L
    force = np.zeros((1, count, 3))
    force[..., axis] = total / count
    return PointLoads(at=s, force=force)


TIP, MIDDLE = PointLoads(at=[L], force=[[[0, 0, 1.0]]]), PointLoads(at=[L / 2], force=[[[0, 0, 1.0]]])
PUSH = PointLoads(at=[L], force=[[[-1.0, 0, 0]]])
CLAMP = [Support.clamp()]
BUCKLING = [
    ("column, clamped and free", SLENDER, CLAMP, PUSH, "2.467"),
    ("column, hinged", SLENDER, HINGES, PUSH, "9.870"),
    ("column, clamped and hinged", SLENDER, [*CLAMP, Support.motions(L, ("u2", "u3"))], PUSH, "20.19"),
    ("column under its own weight", SLENDER, CLAMP, evenly(-1.0, 0), "7.837"),
    ("cantilever, tip load", DEEP, CLAMP, TIP, "4.013"),
    ("cantilever, even load", DEEP, CLAMP, evenly(1.0, 2), "12.85"),
    ("hinged, load at the middle", DEEP, HINGES, MIDDLE, "16.94"),
    ("hinged, even load", DEEP, HINGES, evenly(1.0, 2), "28.3"),
]


@pytest.mark.parametrize(
    ("stiffness", "supports", "loads", "value"), [b[1:] for b in BUCKLING], ids=[b[0] for b in BUCKLING]
)
def test_buckling_loads(stiffness, supports, loads, value):
    assert Span(axis=L, stiffness=stiffness, supports=supports, stations=9).buckling_factor(loads)[
        0
    ] == printed(value)


# beta_i L of uniform beams (Blevins, Formulas for Natural Frequency and Mode Shape, 1979; from memory).
MODES = [
    (CLAMP, ["1.87510407", "4.69409113"]),
    (HINGES, ["3.14159265", "6.28318531"]),
    ([Support.clamp(), Support.clamp(L, name="end")], ["4.73004074", "7.85320462"]),
    ([Support.clamp(), Support.motions(L, ("u2", "u3"))], ["3.92660231", "7.06858275"]),
]


@pytest.mark.parametrize(("supports", "betas"), MODES)
def test_natural_frequencies(supports, betas):
    stiff = np.diag([1e14, 1e14, 1e14, 1e14, EI, EI])
    span = Span(axis=L, stiffness=stiff, inertia=np.diag([1, 1, 1, 1e-13, 1e-13, 1e-13]), supports=supports)
    found = np.sqrt(2 * np.pi * span.frequencies(4))
    assert found[[0, 2]] == pytest.approx([float(b) for b in betas], rel=1e-8, abs=0)


# W. C. Young, R. G. Budynas, Roark's Formulas for Stress and Strain, straight beams: fixed and simply
# supported, concentrated load (from memory).
@pytest.mark.parametrize("share", [0.25, 0.5, 0.8])
def test_propped_cantilever_with_a_load_anywhere(share):
    W, a = 2.0, share * L
    span = Span(axis=L, stiffness=SLENDER, supports=[Support.clamp(), Support.motions(L, ("u2",))])
    loads = PointLoads(at=[a], force=[[[0, W, 0]]])
    R = -W * a**2 * (3 * L - a) / (2 * L**3)
    assert span.reactions(loads)[0, -1] == pytest.approx(R, rel=1e-9)
    assert span.forces(loads, [0.0])[0, 0, 5] == pytest.approx(W * a + R * L, rel=1e-8)
