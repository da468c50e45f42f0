"""Flat walls that bear a residual load besides the one that grows: the closed form against roots found otherwise."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.optimize import brentq

from laminate.stability import anisotropy_bound, buckling_ratio, critical_loads, strip_buckling

D = np.array([[40.0, 9.0, 0.0], [9.0, 25.0, 0.0], [0.0, 0.0, 11.0]])
SKEW = D + np.array([[0.0, 0.0, 3.0], [0.0, 0.0, 2.0], [3.0, 2.0, 0.0]])
WIDTH = 0.08
ALONE = critical_loads(D, WIDTH)


def used(R, c, c0, s, s0, other=0.0, bending=0.0):
    """What is used of the wall at R: compression in a straight line, shear and bending squared."""
    return max(c * R + c0, 0.0) + other * R + (s * R + s0) ** 2 + (bending * R) ** 2


SIZE = st.floats(-2.0, 2.0).filter(lambda v: v == 0 or abs(v) > 1e-3)
REST = st.floats(-0.95, 0.95)


@settings(max_examples=60, deadline=None)
@given(SIZE, REST, SIZE, REST, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_first_root_of_the_condition(c, c0, s, s0, other, bending):
    """Bracketed on a grid and closed in: no use of the two branches or of convexity."""
    got = buckling_ratio(
        D, WIDTH, -c * ALONE.Nx, s * ALONE.Nxy, Ny=-other * ALONE.Ny, Nx_bending=bending * ALONE.Nx_bending,
        residual_Nx=-c0 * ALONE.Nx, residual_Nxy=s0 * ALONE.Nxy,
    )  # fmt: skip
    rest = (c, c0, s, s0, other, bending)
    if used(0.0, *rest) >= 1.0:
        assert got == 0.0
        return
    grid = np.concatenate([np.linspace(0.0, 20.0, 2001), np.geomspace(20.0, 1e7, 400)[1:]])
    over = np.flatnonzero([used(R, *rest) > 1.0 for R in grid])
    if not over.size:
        assert got > 9e6
        return
    low, high = grid[over[0] - 1], grid[over[0]]
    root = brentq(lambda R: used(R, *rest) - 1.0, low, high, xtol=1e-14, rtol=1e-14)
    assert got == pytest.approx(root, rel=1e-9)


@pytest.mark.parametrize("nx0", [-2e4, 3e4])
@pytest.mark.parametrize("nxy0", [-4e4, 2.5e4])
@pytest.mark.parametrize(("nx", "nxy"), [(-5e4, 0.0), (-3e4, 6e4), (0.0, -7e4), (2e4, 9e4)])
def test_strip_under_load_and_residual_buckles_there(nx, nxy, nx0, nxy0):
    """The strip solved by Ritz, under R load + residual: net tension helps it, and that alone is not credited."""
    R = float(buckling_ratio(D, WIDTH, nx, nxy, residual_Nx=nx0, residual_Nxy=nxy0))
    net = R * nx + nx0, R * nxy + nxy0
    alone = strip_buckling(D, WIDTH, min(net[0], 0.0), net[1]).ratio
    assert 0.985 < alone < 1.1
    assert strip_buckling(D, WIDTH, *net).ratio > 0.985


def test_residual_acts_in_its_sense():
    load, rest = -0.8 * ALONE.Nx, 0.2 * ALONE.Nx
    plain, compressed, relieved = (buckling_ratio(D, WIDTH, load, residual_Nx=n) for n in (0.0, -rest, rest))
    assert_allclose([plain, compressed, relieved], [1.25, 1.0, 1.5], rtol=1e-13)
    shear = buckling_ratio(D, WIDTH, 0.0, ALONE.Nxy, residual_Nxy=np.array([0.5, -0.5]) * ALONE.Nxy)
    assert_allclose(shear, [0.5, 1.5], rtol=1e-13)


def test_residual_alone_leaves_nothing_or_everything():
    assert buckling_ratio(D, WIDTH, 1e3, residual_Nx=-1.01 * ALONE.Nx) == 0.0
    assert buckling_ratio(D, WIDTH, 0.0, 1.0, residual_Nxy=1.01 * ALONE.Nxy) == 0.0
    # tension does not help a wall that shear has buckled already: net tension is not credited
    relieved = {"residual_Nx": 0.9 * ALONE.Nx, "residual_Nxy": -1.01 * ALONE.Nxy}
    assert buckling_ratio(D, WIDTH, 1e3, 1e3, **relieved) == 0.0
    assert buckling_ratio(D, WIDTH, 0.0, residual_Nx=-0.99 * ALONE.Nx) == np.inf
    assert buckling_ratio(D, WIDTH, 1.0, residual_Nx=-0.99 * ALONE.Nx) == np.inf


def test_clamped_on_one_side_bending_is_a_straight_line():
    one = critical_loads(D, WIDTH, edges="one clamped")
    got = buckling_ratio(
        D, WIDTH, 0.0, 0.6 * one.Nxy, Nx_bending=-0.5 * one.Nx_bending, residual_Nxy=0.1 * one.Nxy,
        residual_Nx=-0.3 * one.Nx, edges="one clamped",
    )  # fmt: skip
    assert got == pytest.approx(brentq(lambda R: 0.3 + 0.5 * R + (0.6 * R + 0.1) ** 2 - 1, 0, 3), rel=1e-12)


def test_anisotropy_takes_its_share_of_the_critical_loads_and_not_of_the_ratio():
    rho, alone = anisotropy_bound(SKEW), critical_loads(SKEW, WIDTH)
    assert rho > 0.1
    got = buckling_ratio(SKEW, WIDTH, -alone.Nx, residual_Nx=-0.3 * alone.Nx, bound_anisotropy=True)
    assert got == pytest.approx(1 - rho - 0.3, rel=1e-12)
