"""Hashin: parameters, and points of the closed forms."""

from functools import partial

import numpy as np
import pytest
import sympy as sp
from failure_book import compare
from failure_book import hashin as hashin_book
from failure_cases import EXERCISE, M1, limits_of

from laminate.failure import Hashin, Mode


@pytest.mark.parametrize(("ST", "share"), [(None, 0.0), (93e6, 0.5), (160e6, 1.0)])
def test_parameters_are_those_of_the_printed_formula(ST, share):
    book = partial(hashin_book, limits=limits_of(Hashin(), M1), ST=ST, share=share)
    compare(Hashin(transverse_shear=ST, shear_share=share), book, M1, 40)


# --- Z. Hashin, J. Appl. Mech. 47 (1980) 329-334: points of the closed forms that come out whole: 3-4-5
# triangles in tension, and with ST = Yc/2 also in compression (derived)
@pytest.mark.parametrize("name", EXERCISE)
@pytest.mark.parametrize(
    ("share", "mode"),
    [
        ((0.8, 0, 0.6), Mode.FIBER_TENSION),
        ((-1, 0, 0), Mode.FIBER_COMPRESSION),
        ((0, 0.6, -0.8), Mode.MATRIX_TENSION),
        ((0, -0.8, 0.6), Mode.MATRIX_COMPRESSION),
        ((0, -5 / 13, 12 / 13), Mode.MATRIX_COMPRESSION),
    ],
)
def test_hashin_points(name, share, mode):
    a = EXERCISE[name]
    load = np.multiply(share, [a.Xt if share[0] > 0 else a.Xc, a.Yt if share[1] > 0 else a.Yc, a.S])
    assert Hashin().ratio(load, a) == pytest.approx(1, rel=1e-14)
    assert Hashin().mode(load * [1, 1.0001, 1], a) == mode


# The same: with any ST, s2 at a given shear in compression is a root of the printed polynomial (derived: sympy)
@pytest.mark.parametrize("ST", [70, 100, 150])
def test_hashin_compression_is_a_root_of_the_printed_polynomial(ST):
    s2, Yc, S, t = sp.Symbol("s2"), sp.Integer(200), sp.Integer(79), sp.Integer(40)
    polynomial = (s2 / (2 * ST)) ** 2 + ((Yc / sp.Integer(2 * ST)) ** 2 - 1) * s2 / Yc + (t / S) ** 2 - 1
    root = min(float(r) for r in sp.solve(polynomial, s2))
    assert root < 0
    got = Hashin(transverse_shear=ST * 1e6).ratio([0, root * 1e6, 40e6], EXERCISE["AS4/3501-6"])
    assert got == pytest.approx(1, rel=1e-13)


# --- Z. Hashin, A. Rotem, J. Compos. Mater. 7 (1973) 448-464: under tension off the axis the fibers break up to a
# critical angle, and the matrix beyond; both modes at once where (Xt/Yt)^2 u^2 + (Xt/S)^2 u = 1, u = tan^2
# (derived from the two printed criteria)
@pytest.mark.parametrize("name", EXERCISE)
def test_hashin_and_rotem_critical_angle(name):
    a = EXERCISE[name]
    u = max(np.roots([(a.Xt / a.Yt) ** 2, (a.Xt / a.S) ** 2, -1.0]))
    for factor, mode in ((0.999, Mode.FIBER_TENSION), (1.001, Mode.MATRIX_TENSION)):
        angle = factor * np.arctan(np.sqrt(u))
        c, s = np.cos(angle), np.sin(angle)
        stress = 1e6 * np.array([c * c, s * s, -s * c])
        assert Hashin(shear_share=0.0).mode(stress, a) == mode
        strength = a.Xt / c**2 if factor < 1 else 1 / np.hypot(s * s / a.Yt, s * c / a.S)
        assert Hashin(shear_share=0.0).ratio(stress, a) * 1e6 == pytest.approx(strength, rel=1e-12)
