"""The elastica, buckling and vibration: values from books and papers."""

import numpy as np
import pytest
from printed import printed

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


def test_elastica_tables():
    span = Span(axis=L, stiffness=SLENDER, stations=11)
    for k, across, along, turn in ELASTICA:
        tip = PointLoads(at=[L], force=[[[0, 0, float(k)]]])
        u = span.displacement(tip, [L], large=True)[0, 0]
        assert u[2] == printed(across)
        assert -u[0] == printed(along)
        assert -u[4] == printed(turn)


# Timoshenko & Gere, Theory of Elastic Stability, 2nd ed.: P L^2/EI for columns, P L^2/sqrt(EI GJ) for beams
# that buckle sideways, loads at the axis, in-plane stiffness far larger; from memory.
def evenly(total, axis, count=200):
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
