"""Closed form of the long plate: against Rayleigh-Ritz, in its limits, and in combination."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from walls import T300_5208, buckling_ply, isotropic_abd, isotropic_D, orthotropic_D, stack_abd

from laminate.stability import (
    NotConverged,
    anisotropy_bound,
    buckling_ratio,
    critical_loads,
    reduced_bending_stiffness,
    strip_buckling,
)

S, C = "simply supported", "clamped"
PAIR = {S: (S, S), "one clamped": (S, C), C: (C, C)}
UNIT = {"Nx": {"Nx": -1.0}, "Nxy": {"Nxy": 1.0}, "Nx_bending": {"Nx_bending": 1.0}}


def plate_of(t, stretch=1.0):
    """Plate with H/(s + H) = t, sqrt(D11 D22) = 1 - t."""
    s, H = 1.0 - t, t
    poisson = min(0.3 * H, 0.5 * s)
    return orthotropic_D(s * stretch, s / stretch, poisson, max((H - poisson) / 2.0, 1e-12))


# The ends and the middle of the range, and between the points that a cubic could miss.
@pytest.mark.parametrize("edges", PAIR)
@pytest.mark.parametrize("load", UNIT)
def test_cubics_lie_on_or_just_below_ritz(edges, load):
    t = [0.0, 0.05, 0.12, 0.25, 0.4, 0.5, 0.6, 0.75, 0.85, 0.92, 0.95 - 1e-9]
    D = np.array([plate_of(one, stretch=3.0) for one in t])
    ritz = strip_buckling(D, 0.2, edges=PAIR[edges], terms=18, **UNIT[load]).ratio
    above = getattr(critical_loads(D, 0.2, edges=edges), load) / ritz - 1.0
    assert ((above > -0.0085) & (above < 1e-4)).all()


def test_wide_column():
    D = plate_of(0.4, stretch=0.2)
    for edges, pair in PAIR.items():
        # The longest half wave searched is 60 widths times (D11/D22)^(1/4), where Nx bending adds a trace.
        ritz = strip_buckling(D, 0.2, Ny=-1.0, edges=pair).ratio
        assert critical_loads(D, 0.2, edges=edges).Ny == pytest.approx(ritz, rel=2e-3)


def test_wide_column_of_one_clamped_edge_is_the_root_of_tan_c():
    c = 4.493409457909064
    assert np.tan(c) == pytest.approx(c, rel=1e-12)
    ratio = critical_loads(isotropic_D(0.3), 1.0, edges="one clamped").Ny
    assert ratio == pytest.approx(c**2, rel=2e-5)


@given(
    D11=st.floats(0.05, 50.0), D22=st.floats(0.05, 50.0), nu=st.floats(0.0, 0.8), twist=st.floats(0.05, 1.5),
    m=st.integers(1, 12),
)  # fmt: skip
@settings(max_examples=40, deadline=None)
def test_simply_supported_compression_is_the_lowest_navier_wave(D11, D22, nu, twist, m):
    """sin(m pi x/a) sin(pi y/b) is exact for the orthotropic plate; the best a gives the closed form."""
    s = np.sqrt(D11 * D22)
    D12, D66, b = nu * s, twist * s, 0.3
    N = critical_loads(orthotropic_D(D11, D22, D12, D66), b).Nx
    a = m * b * (D11 / D22) ** 0.25
    k, l = m * np.pi / a, np.pi / b
    navier = (D11 * k**4 + 2 * (D12 + 2 * D66) * k**2 * l**2 + D22 * l**4) / k**2
    assert pytest.approx(navier, rel=1e-10) == N
    longer = (D11 * k**4 / 1.1**4 + 2 * (D12 + 2 * D66) * k**2 * l**2 / 1.21 + D22 * l**4) / k**2 * 1.21
    assert longer >= N


# Shares of Nx, Nxy, Nx_bending and Ny, each of its own critical value.
SHARES = np.array(
    [(1, 1, 0, 0), (1, 0, 1, 0), (0, 1, 1, 0), (1, 1, 1, 0), (1, 2, 0, 0), (2, 1, 0, 0), (2, 0, 1, 0),
     (1, 0, 2, 0), (0, 1, 2, 0), (0, 2, 1, 0), (1, 0, -1, 0), (1, 1, -1, 0), (0, 1, -2, 0), (1, 0, -2, 0),
     (0, 2, -1, 0), (2, 0, -1, 0), (1, 0, 0, 1), (0, 0, 1, 1), (0, 1, 0, 1), (1, 1, 1, 1), (1, 1, 0, 2)]
)  # fmt: skip


@pytest.mark.parametrize("edges", PAIR)
@pytest.mark.parametrize("K", [0.05, 0.3, 1.0, 2.5])
def test_interaction_is_safe(edges, K):
    poisson = min(0.3 * K, 0.5)
    D = orthotropic_D(2.0, 0.5, poisson, (K - poisson) / 2)
    alone = critical_loads(D, 1.0, edges=edges)
    nx, nxy, nb, ny = (SHARES * [-alone.Nx, alone.Nxy, alone.Nx_bending, -alone.Ny]).T
    ours = buckling_ratio(D, 1.0, nx, nxy, Ny=ny, Nx_bending=nb, edges=edges)
    ritz = strip_buckling(D, 1.0, nx, nxy, Ny=ny, Nx_bending=nb, edges=PAIR[edges], terms=16).ratio
    assert (ours / ritz).max() < 1.015
    # With one edge clamped, bending that compresses it is charged as if it compressed the other.
    close = (ny == 0) & ((nb == 0) | (edges != "one clamped"))
    assert (ours / ritz)[close].min() > 0.9
    assert (ours / ritz)[ny != 0].min() > (0.45 if edges == "one clamped" else 0.6)


def test_ratio_alone_and_nothing_to_buckle():
    D, b = plate_of(0.3), 0.1
    alone = critical_loads(D, b)
    assert buckling_ratio(D, b, -alone.Nx) == pytest.approx(1.0, rel=1e-14)
    assert buckling_ratio(D, b, 0.0, -alone.Nxy) == pytest.approx(1.0, rel=1e-14)
    assert buckling_ratio(D, b, 0.0, Ny=-alone.Ny) == pytest.approx(1.0, rel=1e-14)
    assert buckling_ratio(D, b, 0.0, Nx_bending=alone.Nx_bending) == pytest.approx(1.0, rel=1e-14)
    assert buckling_ratio(D, b, [0.0, 5.0], Ny=[0.0, 7.0]).tolist() == [np.inf, np.inf]
    # Tension is not credited: with shear it gives what shear alone gives.
    assert buckling_ratio(D, b, 1e6, alone.Nxy) == pytest.approx(1.0, rel=1e-14)


ANGLES = st.lists(st.sampled_from([0.0, 15.0, 30.0, 45.0, -45.0, 60.0, -60.0, 90.0]), min_size=1, max_size=6)


LOAD = st.floats(-1.0, 1.0)


@given(angles=ANGLES, nx=LOAD, nxy=LOAD, ny=LOAD, nb=LOAD)
@settings(max_examples=40, deadline=None)
def test_anisotropy_bound_holds(angles, nx, nxy, ny, nb):
    """With D16 and D26 the load lies within 1 -+ rho of the one without, whatever the load."""
    D = stack_abd(T300_5208, angles + angles[::-1], 0.2e-3)[3:, 3:]
    without = D * [[1, 1, 0], [1, 1, 0], [0, 0, 1]]
    load = {"Nx": nx * 1e4, "Nxy": nxy * 1e4, "Ny": ny * 3e3, "Nx_bending": nb * 2e4}
    try:
        full, plain = (strip_buckling(d, 0.1, terms=14, **load).ratio for d in (D, without))
    except NotConverged:
        # Tension far above compression, at ratios without interest.
        assume(False)
    rho = anisotropy_bound(D)
    assert 0.0 <= rho < 1.0
    if np.isfinite(plain):
        assert 1.0 - rho - 1e-3 < full / plain < 1.0 + rho + 1e-3
    assert buckling_ratio(D, 0.1, **load, bound_anisotropy=True) <= 1.016 * full


def test_anisotropy_bound_is_the_extreme_eigenvalue():
    D = stack_abd(T300_5208, [30, 30, -45, 10], 0.2e-3)[3:, 3:]
    without = D * [[1, 1, 0], [1, 1, 0], [0, 0, 1]]
    roots = np.sort(np.linalg.eigvals(np.linalg.solve(without, D)).real)
    assert_allclose(roots, [1 - anisotropy_bound(D), 1.0, 1 + anisotropy_bound(D)], rtol=1e-12)
    assert anisotropy_bound(without) == 0.0


def test_reduced_stiffness():
    symmetric = stack_abd(buckling_ply(10), [0, 90, 90, 0], 0.2e-3)
    assert_allclose(reduced_bending_stiffness(symmetric), symmetric[3:, 3:], rtol=1e-12)
    # A sheet described about a plane off its middle by e: the parallel-axis terms drop out again.
    abd, e = isotropic_abd(70e9, 0.3, 2e-3), 0.7e-3
    A, D = abd[:3, :3], abd[3:, 3:]
    moved = np.block([[A, e * A], [e * A, D + e**2 * A]])
    assert_allclose(reduced_bending_stiffness(moved), D, rtol=1e-9, atol=1e-9 * D.max())


def test_what_the_closed_form_does_not_cover_is_refused():
    with pytest.raises(ValueError, match="components of D in order"):
        critical_loads(plate_of(0.3) * [[1, -1, 1], [-1, 1, 1], [1, 1, 0.01]], 0.1)
    with pytest.raises(ValueError, match="use strip_buckling"):
        buckling_ratio(plate_of(0.3), 0.1, -1.0, edges="free")


def test_tiny_and_huge_loads_keep_their_digits():
    D, b = plate_of(0.3), 0.1
    alone = critical_loads(D, b)
    assert buckling_ratio(D, b, -1e-300 * alone.Nx) == pytest.approx(1e300, rel=1e-12)
    assert buckling_ratio(D, b, 0.0, 1e-300 * alone.Nxy) == pytest.approx(1e300, rel=1e-12)
    # Compression far above shear: the root with a minus sign would lose all its digits.
    assert buckling_ratio(D, b, -alone.Nx, 1e-9 * alone.Nxy) == pytest.approx(1.0, rel=1e-15)
