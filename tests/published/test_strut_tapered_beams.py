"""Tapered cantilevers: deflection, buckling and vibration."""

import numpy as np
import pytest
from printed import printed
from scipy.optimize import brentq
from spans import tapered

from beam.strut import PointLoads, Span

L, EI = 0.62, 2e4

# Multiplier on P L^3/(3 E I_root) for a tip load; derived, a closed form evaluated: EI falls with the
# third power of a depth taper, with the first of a width taper, with the fourth of both.
MULTIPLIERS = [
    (3, 0.25, "2.52476"),
    (3, 0.50, "1.63553"),
    (3, 0.75, "1.23496"),
    (1, 0.25, "1.28280"),
    (1, 0.50, "1.15888"),
    (1, 0.75, "1.06966"),
]


@pytest.mark.parametrize(("power", "ratio", "multiplier"), MULTIPLIERS)
def test_tip_load(power, ratio, multiplier):
    span = Span(axis=L, stiffness=tapered(L, ratio, power, EI))
    tip = span.displacement(PointLoads(at=[L], force=[[[0, 0, 5.0]]]), [L])[0, 0, 2]
    assert tip / (5.0 * L**3 / 3 / EI) == printed(multiplier)


# The same in closed form, to far more digits than the table has: with k = 1 - ratio and h = 1 - k x,
# the integral of (1 - x)^2 / h^n over 0 to 1, (1 - x) = (h - ratio)/k.
def closed_form(ratio, n):
    k = 1 - ratio

    def power(m):
        return -np.log(ratio) if m == -1 else (1 - ratio ** (m + 1)) / (m + 1)

    return 3 * (power(2 - n) - 2 * ratio * power(1 - n) + ratio**2 * power(-n)) / k**3


@pytest.mark.parametrize("n", [1, 3, 4])
@pytest.mark.parametrize("ratio", [0.25, 0.5, 0.75])
def test_tip_load_to_1e_8_with_21_stations(n, ratio):
    span = Span(axis=L, stiffness=tapered(L, ratio, n, EI), stations=21)
    tip = span.displacement(PointLoads(at=[L], force=[[[0, 5.0, 0]]]), [L])[0, 0, 1]
    assert tip / (5.0 * L**3 / 3 / EI) == pytest.approx(closed_form(ratio, n), rel=1e-8)


def test_tapered_tube_against_quadrature():
    """Tip deflection of a round tube that tapers, with shear: scipy integrates over the stiffness."""
    from scipy.integrate import quad

    E, G, t = 70e9, 27e9, 0.003

    def stiffness(s):
        R = 0.05 - 0.03 * s / L
        return (
            np.diag([E * 2 * np.pi * R * t, G * np.pi * R * t, G * np.pi * R * t, G, 1, 1])
            * np.r_[1, 1, 1, 2 * np.pi * R**3 * t, E * np.pi * R**3 * t, E * np.pi * R**3 * t]
        )

    P = 4e3
    exact = (
        quad(lambda s: (L - s) ** 2 / stiffness(s)[4, 4] + 1 / stiffness(s)[2, 2], 0, L, epsrel=1e-13)[0] * P
    )
    tip = Span(axis=L, stiffness=stiffness).displacement(PointLoads(at=[L], force=[[[0, 0, P]]]), [L])[
        0, 0, 2
    ]
    assert tip == pytest.approx(exact, rel=1e-8)


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


# omega L^2 sqrt(rho A_root/(E I_root)) of a cantilever that tapers to a point: Kirchhoff (1879), as given in
# S. P. Timoshenko, Vibration Problems in Engineering; from memory. Wedge: depth only. Cone: depth and width.
# Of the cone the first only: where EI vanishes with the fourth power the last piece adds a mode of its own.
@pytest.mark.parametrize(("bending", "mass", "modes"), [(3, 1, ["5.315", "15.207"]), (4, 2, ["8.719"])])
def test_pointed_cantilevers_vibrate(bending, mass, modes):
    def stiffness(s):
        h = 1 - s
        return np.diag([1e9 * h**mass] * 3 + [1e9 * h**bending] + [h**bending] * 2)

    def inertia(s):
        h = 1 - s
        return np.diag([h**mass] * 3 + [1e-9 * h**bending] * 3)

    omega = 2 * np.pi * Span(axis=1.0, stiffness=stiffness, inertia=inertia).frequencies(2 * len(modes))
    for found, value in zip(omega[::2], modes, strict=True):
        assert found == printed(value)
