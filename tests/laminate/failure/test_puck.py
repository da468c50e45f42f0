"""Puck: parameters, borders of the modes, and the action plane."""

from dataclasses import replace
from functools import partial

import numpy as np
import pytest
import sympy as sp
from failure_book import compare
from failure_book import puck as puck_book
from failure_cases import EXERCISE, GLASS, INCLINATION, M1, limits_of
from printed import printed

from laminate.failure import Mode, Puck
from laminate.failure.puck import action_plane


@pytest.mark.parametrize(("pt", "pc"), [(0.0, 0.05), (0.3, 0.25), (0.9, 0.6)])
def test_inclinations_are_those_of_the_printed_formula(pt, pc):
    book = partial(puck_book, limits=limits_of(Puck(), M1), pt=pt, pc=pc)
    compare(Puck(inclination_tension=pt, inclination_compression=pc), book, M1, 40)


def test_puck_is_not_for_woven_plies():
    with pytest.raises(ValueError, match="woven"):
        Puck().ratio([1e6, 0, 0], replace(M1, Yt=600e6, Yc=500e6))


def test_puck_inclinations_are_the_slopes_at_zero_transverse_stress():
    # t12(s2) on the curve: slope from points a hair to the left and right of s2 = 0
    for side, p in ((1, 0.35), (-1, 0.30)):
        load = np.array([0, side * 1e-4 * M1.S, M1.S])
        on_curve = load * Puck().ratio(load, M1)
        slope = (on_curve[2] - M1.S) / on_curve[1]
        assert slope == pytest.approx(-p, abs=1e-3)


@pytest.mark.parametrize("allowables", [M1, GLASS])
def test_puck_curve_has_no_step_where_modes_meet(allowables):
    RA, pp = action_plane(allowables, 0.25)
    corner = np.array([0, -RA, allowables.S * np.sqrt(1 + 2 * pp)])
    for point in (corner, np.array([0, 0, allowables.S])):
        nearby = point + np.array([[0, -1, 0], [0, 0, 0], [0, 1, 0]])  # +- 1 Pa
        assert Puck(inclination_compression=0.25).ratio(nearby, allowables) == pytest.approx(1, abs=1e-7)


def test_puck_with_a_steep_inclination_has_no_second_branch():
    # p Yt > S / 2: cleared of the root, mode A is a hyperbola whose other branch is no failure surface
    residual = np.array([[0, s2, 0] for s2 in (41e6, 100e6, 400e6, 1000e6)])
    np.testing.assert_array_equal(
        Puck(inclination_tension=0.95).ratio([1e6, 0, 0], M1, residual=residual), 0.0
    )


def test_puck_fiber_coupling_takes_transverse_stress_off_the_fiber():
    assert Puck(fiber_coupling=0.2).ratio([1000e6, 20e6, 0], M1) == pytest.approx(
        1500 / (1000 - 0.2 * 20), rel=1e-14
    )
    assert Puck(fiber_coupling=0.2).ratio([-1000e6, -20e6, 0], M1) == pytest.approx(1500 / 996, rel=1e-14)


def test_puck_fracture_angle_by_mode():
    load = np.array([[0, 1e6, 0], [0, -1e3, 1e6], [0, -1e6, 0], [1e6, 0, 0]])
    _, pp = action_plane(M1, 0.3)
    got = Puck().fracture_angle(load, M1)
    np.testing.assert_allclose(got[:3], [0, 0, np.arccos(np.sqrt(1 / (2 * (1 + pp))))], atol=1e-12)
    assert np.isnan(got[3])
    shifted = Puck().fracture_angle([0, -1e6, 0], M1, residual=[0, -100e6, 0])
    assert shifted == pytest.approx(got[2], rel=1e-12)


# --- A. Puck, H. Schürmann, Compos. Sci. Technol. 58 (1998) 1045-1067: RA = Yc / (2 (1 + p_across)) and
# p_across / RA = p / S, two printed equations, solved for RA and p_across (derived)
@pytest.mark.parametrize("name", EXERCISE)
def test_puck_resistance_solves_the_printed_equations(name):
    a, p = EXERCISE[name], sp.Rational(str(INCLINATION[name]))
    RA, across = sp.symbols("RA across", positive=True)
    Yc, S = (sp.Integer(round(v / 1e6)) for v in (a.Yc, a.S))
    ((RA, across),) = sp.solve([2 * RA * (1 + across) - Yc, across * S - p * RA], [RA, across])
    got = action_plane(a, float(p))
    assert got == pytest.approx((float(RA) * 1e6, float(across)), rel=1e-14)


# The same paper: exposure on the plane inclined by theta under compression, with c = p/S = p_across/RA,
# sqrt((tnt/RA)^2 + (tn1/S)^2 + (c sn)^2) + c sn. The worst plane, searched, gives the ratio and the angle (derived)
@pytest.mark.parametrize("name", EXERCISE)
def test_puck_modes_b_and_c_are_those_of_the_worst_action_plane(name):
    a, p = EXERCISE[name], INCLINATION[name]
    RA, _ = action_plane(a, p)
    rng = np.random.default_rng(1)
    stress = np.stack([np.zeros(40), -a.Yc * rng.uniform(0.02, 1, 40), a.S * rng.normal(size=40)], axis=-1)
    theta = np.linspace(0, np.pi / 2, 20001)[:, None]
    s2, t21, c, s = stress[:, 1], stress[:, 2], np.cos(theta), np.sin(theta)
    sn, tnt, tn1 = s2 * c * c, -s2 * s * c, t21 * c
    exposure = np.sqrt((tnt / RA) ** 2 + (tn1 / a.S) ** 2 + (p / a.S * sn) ** 2) + p / a.S * sn
    got = Puck(inclination_compression=p).ratio(stress, a)
    np.testing.assert_allclose(1 / got, exposure.max(axis=0), rtol=1e-7)
    angle = Puck(inclination_compression=p).fracture_angle(stress, a)
    np.testing.assert_allclose(angle, theta[exposure.argmax(axis=0), 0], atol=2e-3)
    modes = Puck(inclination_compression=p).mode(stress, a)
    np.testing.assert_array_equal(modes == Mode.INTER_FIBER_C, angle > 0)
    assert {Mode.INTER_FIBER_B, Mode.INTER_FIBER_C} == set(modes.tolist())


@pytest.mark.parametrize("allowables", [M1, GLASS])
def test_puck_modes_along_the_fracture_curve(allowables):
    RA, pp = action_plane(allowables, 0.3)
    corner = np.array([0, -RA, allowables.S * np.sqrt(1 + 2 * pp)])
    assert Puck().mode([0, 0.1e6, 10e6], allowables) == Mode.INTER_FIBER_A
    assert Puck().mode(corner * [1, 0.98, 1], allowables) == Mode.INTER_FIBER_B
    assert Puck().mode(corner * [1, 1.02, 1], allowables) == Mode.INTER_FIBER_C
    assert Puck().mode([10e6, 0.01e6, 0], allowables) == Mode.FIBER_TENSION


def test_violating_residual_has_a_mode():
    RA, _ = action_plane(M1, 0.3)
    for residual, mode in (
        ([0, 41e6, 0], Mode.INTER_FIBER_A),
        ([0, -0.9 * RA, 150e6], Mode.INTER_FIBER_B),
        ([0, -1.1 * RA, 150e6], Mode.INTER_FIBER_C),
    ):
        assert Puck().mode([1e6, 0, 0], M1, residual=residual) == mode


# cos^2 of the angle of fracture under transverse compression is 1 / (2 (1 + p)), p the inclination across the fibers:
# A. Puck, H. Schürmann, Compos. Sci. Technol. 58 (1998) 1045-1067; the degrees are evaluated from it.
@pytest.mark.parametrize(("p_across", "text"), [(0.20, "49.80"), (0.25, "50.77"), (0.30, "51.67")])
def test_puck_fracture_angle(p_across, text):
    # p_across = (sqrt(1 + 2 p Yc/S) - 1) / 2 solved for p
    p = ((2 * p_across + 1) ** 2 - 1) / (2 * M1.Yc / M1.S)
    got = Puck(inclination_compression=p).fracture_angle([0, -10e6, 0], M1)
    assert np.degrees(float(got)) == printed(text)
    assert Puck(inclination_compression=p).ratio([0, -246e6, 0], M1) == pytest.approx(1, rel=1e-14)
