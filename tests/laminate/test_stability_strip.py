"""Long wall by Rayleigh-Ritz: against the characteristic equation, its symmetries and limits."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.optimize import brentq
from walls import T300_5208, isotropic_D, orthotropic_D, stack_abd

from laminate.stability import (
    NotConverged,
    buckling_ratio,
    critical_loads,
    neighbor_restraint,
    plate_buckling_ratio,
    strip_buckling,
)
from laminate.stability.strip import BLOCK

S, C, F = "simply supported", "clamped", "free"
SKEW = stack_abd(T300_5208, [45, 45, 30, 0, 30, 45, 45], 0.2e-3)[3:, 3:]


def edge_rows(support, D, k, m, at, side, spring):
    """Conditions of one edge on W = sum c exp(m y), as rows over the four exponents."""
    wave = np.exp(m * at)
    moment = D[1, 1] * m**2 - D[0, 1] * k**2
    force = D[1, 1] * m**3 - (D[0, 1] + 4 * D[2, 2]) * k**2 * m
    if support == C:
        return [wave, m * wave]
    if support == F:
        return [moment * wave, force * wave]
    return [wave, (moment - side * spring * m) * wave]


def characteristic(D, b, edges, k, N, springs=(0.0, 0.0)):
    """Determinant of the exact solution for a wave number k and a compression N; zero when it buckles."""
    H = D[0, 1] + 2 * D[2, 2]
    root = np.sqrt(complex(H**2 * k**4 - D[1, 1] * (D[0, 0] * k**4 - N * k**2)))
    m = np.array([sign * np.sqrt((H * k**2 + part) / D[1, 1]) for part in (root, -root) for sign in (1, -1)])
    # Spring: M = k theta, with D22 w'' opposed to the turning at y = 0 and along it at y = b.
    rows = edge_rows(edges[0], D, k, m, 0.0, 1.0, springs[0]) + edge_rows(
        edges[1], D, k, m, b, -1.0, springs[1]
    )
    det = np.linalg.det(np.array(rows) / abs(np.array(rows)).max(axis=1, keepdims=True))
    return det / (m[0] * m[2])


ORTHOTROPIC = orthotropic_D(4.0, 0.7, 0.3, 0.5)


@pytest.mark.parametrize("edges", [(S, S), (S, C), (C, S), (C, C), (S, F), (C, F), (F, C)])
@pytest.mark.parametrize("springs", [(0.0, 0.0), (3.0, 20.0)])
@pytest.mark.parametrize("D", [isotropic_D(0.3), ORTHOTROPIC], ids=["isotropic", "orthotropic"])
def test_compression_is_a_root_of_the_characteristic_equation(edges, springs, D):
    found = strip_buckling(D, 0.6, -1.0, edges=edges, edge_stiffness=springs, longest_half_wave=4.0, terms=16)
    # A spring acts on simply supported edges here; a clamped one does not turn, a free one is left without.
    acting = tuple(s if e == S else 0.0 for s, e in zip(springs, edges, strict=True))
    if F in edges and springs != (0.0, 0.0):
        spring = tuple(s if e != F else 0.0 for s, e in zip(springs, edges, strict=True))
        found = strip_buckling(
            D, 0.6, -1.0, edges=edges, edge_stiffness=spring, longest_half_wave=4.0, terms=16
        )

    def root_near(k):
        values = [characteristic(D, 0.6, edges, k, found.ratio * f, acting) for f in (1 - 1e-4, 1 + 1e-4)]
        part = np.real if abs(np.real(values)).max() > abs(np.imag(values)).max() else np.imag
        return brentq(
            lambda f: float(part(characteristic(D, 0.6, edges, k, found.ratio * f, acting))),
            1 - 1e-4,
            1 + 1e-4,
        )

    assert root_near(np.pi / found.half_wave) == pytest.approx(1.0, abs=1e-6)


@pytest.mark.parametrize(
    "load", [{"Nx": -1.0}, {"Nxy": 1.0}, {"Nx_bending": 1.0}, {"Nx": -1.0, "Nxy": 0.5, "Ny": -0.1}]
)
def test_spring_goes_from_simply_supported_to_clamped(load):
    springs = [0.0, 1.0, 10.0, 1e2, 1e9]
    ratio = [strip_buckling(SKEW, 0.1, edge_stiffness=k, **load).ratio for k in springs]
    assert (np.diff(ratio) > 0).all()
    assert ratio[0] == strip_buckling(SKEW, 0.1, **load).ratio
    assert ratio[-1] == pytest.approx(
        strip_buckling(SKEW, 0.1, edges=(C, C), terms=14, **load).ratio, rel=1e-4
    )
    clamped = strip_buckling(SKEW, 0.1, edges=(C, C), edge_stiffness=5.0, **load)
    assert clamped.ratio == strip_buckling(SKEW, 0.1, edges=(C, C), **load).ratio


@pytest.mark.parametrize("load", [{"Nxy": 1.0}, {"Nx": -1.0, "Nxy": 0.3}, {"Nx_bending": 1.0, "Nxy": -1.0}])
def test_mirror_images(load):
    """y -> -y turns the sign of D16, D26, Nxy and of bending; x -> -x of all but bending."""
    turned = SKEW * [[1, 1, -1], [1, 1, -1], [-1, -1, 1]]
    ratio = strip_buckling(SKEW, 0.1, edges=(S, C), **load).ratio
    along = {**load, "Nxy": -load["Nxy"]}
    assert strip_buckling(turned, 0.1, edges=(S, C), **along).ratio == pytest.approx(ratio, rel=1e-9)
    across = {**along, "Nx_bending": -load.get("Nx_bending", 0.0)}
    assert strip_buckling(turned, 0.1, edges=(C, S), **across).ratio == pytest.approx(ratio, rel=1e-9)


def test_sign_of_shear_matters_with_d16():
    """Shear that compresses along the stiff +45 fibers is borne better than shear that does so across them.

    Nxy > 0 compresses along -45 degrees, the direction in which this stack of +45 and +30 plies is weak.
    """
    positive, negative = strip_buckling(SKEW, 0.1, 0.0, [1.0, -1.0]).ratio
    assert negative > 1.5 * positive


def test_a_long_finite_plate_tends_to_it():
    """With clamped ends a finite mode, at rest beyond them, is admissible in the endless wall."""
    for load in ({"Nx": -1.0}, {"Nxy": 1.0}, {"Nx": -1.0, "Nxy": -1.0}):
        endless = strip_buckling(SKEW, 0.1, **load).ratio
        above = [
            plate_buckling_ratio(SKEW, a, 0.1, edges=(C, C, S, S), terms=(n, 10), **load) / endless - 1
            for a, n in ((0.25, 16), (0.5, 24))
        ]
        assert 0.0 < above[1] < 0.4 * above[0]
        assert above[1] < 0.05


def test_compression_of_an_anisotropic_plate_is_below_the_orthotropic_one():
    """The orthotropic mode has no energy in D16 and D26, so it bounds the anisotropic load from above."""
    without = SKEW * [[1, 1, 0], [1, 1, 0], [0, 0, 1]]
    assert strip_buckling(SKEW, 0.1, -1.0).ratio < strip_buckling(without, 0.1, -1.0).ratio


LOAD = st.floats(-1.0, 1.0)


PULL_OR_PUSH = st.tuples(st.floats(-1.0, 0.1), LOAD, LOAD)


@given(first=PULL_OR_PUSH, second=PULL_OR_PUSH, share=st.floats(0.0, 1.0))
@settings(max_examples=20, deadline=None)
def test_the_set_of_safe_loads_is_convex(first, second, share):
    loads = np.array([first, second]) * 1e4 * [1.0, 1.0, 4.0]

    def ratio(load):
        return strip_buckling(SKEW, 0.1, load[0], load[1], Nx_bending=load[2], terms=20).ratio

    # Capped: an end inside the set serves as well, and so do loads that pull a little.
    ends = [min(ratio(load), 20.0) for load in loads]
    critical = loads * np.array(ends)[:, None]
    assert ratio(share * critical[0] + (1 - share) * critical[1]) > 1 - 1e-4


def test_tension_stabilizes_and_alone_never_buckles():
    free = strip_buckling(SKEW, 0.1, 0.0, 1.0).ratio
    assert strip_buckling(SKEW, 0.1, 0.5, 1.0).ratio > free
    assert strip_buckling(SKEW, 0.1, 0.0, 1.0, Ny=0.2).ratio > free
    none = strip_buckling(SKEW, 0.1, [1.0, 0.0])
    assert none.ratio.tolist() == [np.inf, np.inf]
    assert none.half_wave.tolist() == [np.inf, np.inf]


def test_half_wave():
    D = orthotropic_D(4.0, 0.25, 0.3, 0.4)
    assert strip_buckling(D, 0.2, -1.0).half_wave == pytest.approx(0.2 * 2.0, rel=1e-3)
    short = strip_buckling(D, 0.2, -1.0, longest_half_wave=0.1)
    assert short.half_wave == pytest.approx(0.1, rel=1e-12)
    k, l = np.pi / 0.1, np.pi / 0.2
    assert short.ratio == pytest.approx(
        D[0, 0] * k**2 + 2 * (0.3 + 0.8) * l**2 + D[1, 1] * l**4 / k**2, rel=1e-9
    )


def test_free_edges_make_a_column():
    """Both edges free, width far below length: pi^2 EI/L^2 with EI/b = 1/d11, the bending compliance."""
    D = SKEW
    ratio = strip_buckling(D, 0.02, -1.0, edges=(F, F), longest_half_wave=2.0).ratio
    assert ratio == pytest.approx(np.pi**2 / 4.0 / np.linalg.inv(D)[0, 0], rel=1e-3)
    with pytest.raises(ValueError, match=r"longest_half_wave.*finite"):
        strip_buckling(D, 0.02, -1.0, edges=(F, F))


def test_ritz_takes_terms_until_they_are_enough_and_says_when_they_cannot_be():
    load = {"Nx_bending": 1.0}
    ratio = [strip_buckling(SKEW, 0.1, terms=n, **load).ratio for n in (4, 8, 12, 16, 40)]
    assert_allclose(ratio, ratio[-1], rtol=1e-3)
    assert ratio[2] >= ratio[3] >= ratio[4]
    # One case that needs more does not hold back the others.
    mixed = strip_buckling(SKEW, 0.1, [-1.0, 60.0], [0.0, 1.0], terms=8)
    assert mixed.ratio[0] == pytest.approx(strip_buckling(SKEW, 0.1, -1.0, terms=8).ratio, rel=1e-12)
    assert mixed.ratio[1] == pytest.approx(strip_buckling(SKEW, 0.1, 60.0, 1.0, terms=40).ratio, rel=2e-3)
    with pytest.raises(NotConverged, match=r"strip_buckling: 40 terms give .* tension in the wall"):
        strip_buckling(SKEW, 0.1, 1e4, 1.0)
    with pytest.raises(NotConverged, match=r"half wave below .* tension in the wall"):
        strip_buckling(SKEW, 0.1, 1.0, Nx_bending=1.05)


def test_neighbor_restraint_is_safe_in_a_rectangular_box():
    """Two walls b and two walls c, turning together at the corners: exact from the characteristic equations.

    Corners stay in place and the angle between the walls stays right, so walls turn alike; both wall
    types buckle symmetrically about their middle.
    """
    D, b = isotropic_D(0.3), 1.0

    def corner_moment(k, N, width):
        """Moment over rotation of the edge of a wall that bends symmetrically; infinite at its own root."""
        H = D[0, 1] + 2 * D[2, 2]
        root = np.sqrt(complex(H**2 * k**4 - D[1, 1] * (D[0, 0] * k**4 - N * k**2)))
        m = np.sqrt((H * k**2 + np.array([root, -root])) / D[1, 1])
        half = width / 2
        c, s = np.cosh(m * half), np.sinh(m * half)
        # W = cosh(m1 y)/c1 - cosh(m2 y)/c2 vanishes at the edge.
        slope = (m * s / c) @ [1, -1]
        return (D[1, 1] * (m**2 @ [1, -1]) / slope).real

    for c in (0.4, 0.8):

        def exact_at(k, c=c):
            def total(N):
                return corner_moment(k, N, b) + corner_moment(k, N, c)

            low, high = 3.9 * np.pi**2, 7.1 * np.pi**2
            grid = np.linspace(low, high, 120)
            values = np.array([total(N) for N in grid])
            at = np.flatnonzero((values[:-1] > 0) & (values[1:] < 0) & (abs(np.diff(values)) < 15.0))
            return brentq(total, grid[at[0]], grid[at[0] + 1]) if at.size else np.inf

        exact = min(exact_at(k) for k in np.pi / np.linspace(0.6, 1.1, 26))
        own = critical_loads(D, c).Nx
        restraint = neighbor_restraint(D, c, load_ratio=exact / own)
        ours = strip_buckling(D, b, -1.0, edge_stiffness=restraint).ratio
        assert 0.85 * exact < ours <= exact
        assert ours > critical_loads(D, b).Nx


def test_neighbor_restraint():
    D = ORTHOTROPIC
    assert_allclose(
        neighbor_restraint(D, 0.1, load_ratio=[-1.0, 0.0, 0.5, 1.0, 3.0]), [14.0, 14.0, 7.0, 0.0, 0.0]
    )
    assert neighbor_restraint(D, 0.1, far_edge=S) == pytest.approx(3 * 0.7 / 0.1)
    assert neighbor_restraint(D, 0.1, far_edge=C) == pytest.approx(4 * 0.7 / 0.1)


def test_closed_form_and_strip_agree_on_a_balanced_stack():
    D = stack_abd(T300_5208, [0, 90, 0], 0.2e-3)[3:, 3:]
    loads = [-1.0, -1.0, 0.0], [0.0, 1.0, 1.0]
    assert_allclose(buckling_ratio(D, 0.1, *loads), strip_buckling(D, 0.1, *loads).ratio, rtol=0.012)


def test_cases_in_several_blocks():
    many = strip_buckling(SKEW, 0.1, -np.ones(BLOCK + 6))
    assert many.ratio.shape == (BLOCK + 6,)
    assert np.ptp(many.ratio) == 0.0
    assert strip_buckling(SKEW, 0.1, np.ones(0)).ratio.shape == (0,)
