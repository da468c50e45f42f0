import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.integrate import quad
from spans import PLAIN, coupled, slender, tapered

from beam.strut import Axis, PointLoads, Span
from beam.strut.point_loads import outboard

L = 0.62
RNG = np.random.default_rng(3)
LOADS = PointLoads(at=[0.2, 0.45, L], force=RNG.normal(size=(4, 3, 3)), moment=RNG.normal(size=(4, 3, 3)))


# One load for every arrow of the drawing in beam/axes.py: at the tip, and the section forces at the root.
@pytest.mark.parametrize(
    ("force", "moment", "root"),
    [
        ([1, 0, 0], [0, 0, 0], [1, 0, 0, 0, 0, 0]),
        ([0, 1, 0], [0, 0, 0], [0, 1, 0, 0, 0, L]),
        ([0, 0, 1], [0, 0, 0], [0, 0, 1, 0, -L, 0]),
        ([0, 0, 0], [1, 0, 0], [0, 0, 0, 1, 0, 0]),
        ([0, 0, 0], [0, 1, 0], [0, 0, 0, 0, 1, 0]),
        ([0, 0, 0], [0, 0, 1], [0, 0, 0, 0, 0, 1]),
    ],
)
def test_one_load_per_arrow(force, moment, root):
    span = Span(axis=L, stiffness=PLAIN)
    loads = PointLoads(at=[L], force=[[force]], moment=[[moment]])
    assert_allclose(span.forces(loads, [0.0])[0, 0], root, atol=1e-15)


# Every displacement has the sign that its section force gives the strains of beam/axes.py.
@pytest.mark.parametrize(
    ("force", "moment", "component", "value"),
    [
        ([1, 0, 0], [0, 0, 0], 0, L / PLAIN[0, 0]),
        ([0, 1, 0], [0, 0, 0], 1, L**3 / 3 / PLAIN[5, 5] + L / PLAIN[1, 1]),
        ([0, 0, 1], [0, 0, 0], 2, L**3 / 3 / PLAIN[4, 4] + L / PLAIN[2, 2]),
        ([0, 0, 1], [0, 0, 0], 4, -(L**2) / 2 / PLAIN[4, 4]),
        ([0, 1, 0], [0, 0, 0], 5, L**2 / 2 / PLAIN[5, 5]),
        ([0, 0, 0], [1, 0, 0], 3, L / PLAIN[3, 3]),
        ([0, 0, 0], [0, 1, 0], 2, -(L**2) / 2 / PLAIN[4, 4]),
        ([0, 0, 0], [0, 0, 1], 1, L**2 / 2 / PLAIN[5, 5]),
    ],
)
def test_prismatic_tip_displacement_in_closed_form(force, moment, component, value):
    loads = PointLoads(at=[L], force=[[force]], moment=[[moment]])
    tip = Span(axis=L, stiffness=lambda s: PLAIN).displacement(loads, [L])[0, 0]
    assert_allclose(tip[component], value, rtol=1e-12)


def test_internal_forces_at_the_root_equal_the_applied_loads():
    span = Span(axis=L, stiffness=coupled())
    force = LOADS.force.sum(axis=1)
    arm = np.stack([LOADS.at, 0 * LOADS.at, 0 * LOADS.at], axis=-1)
    moment = (LOADS.moment + np.cross(arm, LOADS.force)).sum(axis=1)
    assert_allclose(span.forces(LOADS, [0.0])[:, 0], np.hstack([force, moment]), rtol=1e-12, atol=1e-14)
    assert_allclose(span.reactions(LOADS), -np.hstack([force, moment]), rtol=1e-12, atol=1e-14)


def test_a_load_at_a_station_is_included_and_gone_beyond_it():
    span = Span(axis=L, stiffness=PLAIN)
    inside = span.forces(LOADS, [0.2, np.nextafter(0.2, 0)])
    assert_allclose(inside[:, 0], inside[:, 1], rtol=1e-12)
    beyond = span.forces(LOADS, [0.2 + 1e-7])[:, 0]
    assert_allclose(inside[:, 0, :3] - beyond[:, :3], LOADS.force[:, 0], rtol=1e-9)
    assert_allclose(span.forces(LOADS, [L])[:, 0], LOADS.wrench[:, 2])


def test_shape_law_is_that_of_the_loads():
    span = Span(axis=L, stiffness=PLAIN, stations=11)
    for lead in [(), (4,), (2, 3)]:
        loads = PointLoads(at=[0.3, L], force=np.ones((*lead, 2, 3)))
        assert span.forces(loads).shape == (*lead, 11, 6)
        assert span.displacement(loads, [0.1]).shape == (*lead, 1, 6)
        assert span.reactions(loads).shape == (*lead, 6)


def test_all_cases_at_once_equal_one_at_a_time():
    span = Span(axis=L, stiffness=coupled())
    forces, moved = span.forces(LOADS), span.displacement(LOADS)
    for case in range(4):
        one = PointLoads(at=LOADS.at, force=LOADS.force[case], moment=LOADS.moment[case])
        assert_allclose(span.forces(one), forces[case], rtol=1e-13)
        assert_allclose(span.displacement(one), moved[case], rtol=1e-12, atol=1e-18)


@pytest.mark.parametrize("ratio", [0.25, 0.5, 0.75])
@pytest.mark.parametrize("stations", [2, 21])
def test_square_taper_is_one_over_the_ratio(ratio, stations):
    span = Span(axis=L, stiffness=tapered(L, ratio, 4), stations=stations)
    tip = span.displacement(PointLoads(at=[L], force=[[[0, 3.0, 0]]]), [L])[0, 0, 1]
    # Tip load on a beam tapering both ways: exactly 1/ratio times the prismatic one.
    assert tip / (3.0 * L**3 / 3 / 2e4) * ratio == pytest.approx(1.0, abs=1e-8 if stations == 21 else 2e-3)


def test_stations_given_and_not_given_agree():
    span = Span(axis=L, stiffness=tapered(L, 0.4, 3), stations=[0.0, 0.1, 0.35, L])
    fine = Span(axis=L, stiffness=tapered(L, 0.4, 3), stations=60)
    at = [0.0, 0.123, 0.35, 0.5, L]
    assert_allclose(span.displacement(LOADS, at), fine.displacement(LOADS, at), rtol=1e-6, atol=1e-12)


def test_stiffness_at_stations_is_linear_between_them():
    s = np.linspace(0, L, 41)
    exact = Span(axis=L, stiffness=lambda x: PLAIN * (2 - x / L))
    sampled = Span(axis=L, stiffness=np.array([PLAIN * (2 - x / L) for x in s]))
    assert sampled.stations.shape == (41,)
    assert_allclose(sampled.displacement(LOADS, [L]), exact.displacement(LOADS, [L]), rtol=1e-12)


def test_sampled_taper_comes_nearer_with_the_square_of_the_step():
    load = PointLoads(at=[L], force=[[[0, 0, 1.0]]])
    exact = Span(axis=L, stiffness=tapered(L, 0.5, 3)).displacement(load, [L])[0, 0, 2]
    counts = np.array([6, 11, 21, 41])
    errors = []
    for n in counts:
        K = np.array([tapered(L, 0.5, 3)(s) for s in np.linspace(0, L, n)])
        errors.append(abs(Span(axis=L, stiffness=K).displacement(load, [L])[0, 0, 2] / exact - 1))
    assert np.polyfit(np.log(counts - 1), np.log(errors), 1)[0] == pytest.approx(-2, abs=0.1)


def test_a_jump_of_stiffness_at_a_station_is_exact():
    def stepped(s):
        return slender(2e4 if s < 0.3 else 1e4, stiff=1e20)

    span = Span(axis=L, stiffness=stepped, stations=[0.0, 0.3, L])
    tip = span.displacement(PointLoads(at=[L], force=[[[0, 1.0, 0]]]), [L])[0, 0, 1]
    # Integral of (L - s)^2 / EI over both parts.
    exact = (L**3 - (L - 0.3) ** 3) / 3 / 2e4 + (L - 0.3) ** 3 / 3 / 1e4
    assert tip == pytest.approx(exact, rel=1e-12)


def test_energy_equals_work():
    def stiffness(s):
        return coupled() * (1.5 - s / L) ** 3

    span = Span(axis=L, stiffness=stiffness)
    one = PointLoads(at=LOADS.at, force=LOADS.force[0], moment=LOADS.moment[0])
    work = 0.5 * np.sum(one.wrench * span.displacement(one, one.at))

    def density(s):
        F = span.forces(one, [s])[0]
        return 0.5 * F @ np.linalg.solve(stiffness(s), F)

    energy = quad(density, 0, L, points=[0.2, 0.45], epsabs=0, epsrel=1e-12)[0]
    assert energy == pytest.approx(work, rel=1e-10)


def test_units_scale():
    """Lengths in mm, forces in N: all numbers follow."""
    span = Span(axis=L, stiffness=PLAIN)
    mm = np.r_[np.ones(3), np.full(3, 1e3)]
    scaled = Span(axis=1e3 * L, stiffness=PLAIN * mm[:, None] * mm)
    loads = PointLoads(at=1e3 * LOADS.at, force=LOADS.force, moment=1e3 * LOADS.moment)
    weights = np.r_[np.full(3, 1e3), np.ones(3)]
    assert_allclose(
        scaled.displacement(loads, [1e3 * L]), span.displacement(LOADS, [L]) * weights, rtol=1e-11
    )


def test_outboard_counts_what_is_applied_outboard():
    axis = Axis.straight(1.0)
    found = outboard(axis, np.array([0.0, 0.6]), np.array([0.5, 1.0]), np.ones((2, 6)))
    assert_allclose(found[0], [2, 2, 2, 2, 2 - 1.5, 2 + 1.5])
    assert_allclose(found[1], [1, 1, 1, 1, 1 - 0.4, 1 + 0.4])


def test_inputs_are_left_alone_and_held_read_only():
    force = np.ones((1, 1, 3))
    loads = PointLoads(at=[L], force=force)
    force[:] = 7
    assert loads.force.max() == 1
    with pytest.raises(ValueError, match="read-only"):
        loads.force[0, 0, 0] = 2


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: PointLoads(at=[-0.1], force=[[[1, 0, 0]]]), ">= 0; measured from the root"),
        (lambda: PointLoads(at=[0.1, 0.2], force=[[[1, 0, 0]]]), "shape"),
        (lambda: PointLoads(at=[0.1], force=[[[1, 0, 0]]], moment=np.ones((1, 2, 3))), "loads of shape"),
        (lambda: Span(axis=L, stiffness=PLAIN).forces(PointLoads(at=[2 * L], force=[[[1, 0, 0]]])), "tip"),
        (lambda: Span(axis=L, stiffness=PLAIN).forces(LOADS, [0.7]), "tip"),
        (lambda: Span(axis=L, stiffness=PLAIN).forces(LOADS, 0.5), "of shape"),
        (lambda: Span(axis=-L, stiffness=PLAIN), "> 0"),
        (lambda: Span(axis=L, stiffness=PLAIN, stations=[0, 0.4, 0.3, L]), "growing"),
        (lambda: Span(axis=L, stiffness=PLAIN, stations=[0.1, L]), "growing from 0"),
        (lambda: Span(axis=L, stiffness=PLAIN, stations=1), ">= 2"),
        (lambda: Span(axis=L, stiffness=-PLAIN), "positive definite"),
        (lambda: Span(axis=L, stiffness=np.diag([1, 1, 1, 1, 1, 0.0])), "positive definite"),
        (
            lambda: Span(axis=L, stiffness=np.array([PLAIN] * 4 + [-PLAIN])),
            r"at 0\.[56]\d* m: .* positive definite",
        ),
        (lambda: Span(axis=L, stiffness=PLAIN + np.triu(np.full((6, 6), 1e3), 1)), "symmetric"),
        (lambda: Span(axis=L, stiffness=np.eye(5)), "shape"),
        (lambda: Span(axis=L, stiffness=np.stack([PLAIN] * 3), stations=5), "stations"),
        (lambda: Span(axis=L, stiffness=lambda s: np.eye(3)), "shape"),
        (lambda: Span(axis=L, stiffness=lambda s: PLAIN * np.nan), "finite"),
        (lambda: Span(axis=[[0, 0, 0]], stiffness=PLAIN), "two points"),
        (lambda: Span(axis=[[0, 0, 0], [0, 0, 0], [1, 0, 0]], stiffness=PLAIN), "apart"),
        (lambda: Span(axis=[[0, 0, 0], [1, 0, 0], [0.2, 0, 0]], stiffness=PLAIN), "folds back"),
    ],
)
def test_bad_input(make, message):
    with pytest.raises(ValueError, match=message):
        make()


# Multiplier on P L^3/(3 E I_root) for a tip load, EI falling with the power n of the depth: with k = 1 - ratio and
# h = 1 - k x, the integral of (1 - x)^2 / h^n over 0 to 1, (1 - x) = (h - ratio)/k.
def closed_form(ratio, n):
    k = 1 - ratio

    def power(m):
        return -np.log(ratio) if m == -1 else (1 - ratio ** (m + 1)) / (m + 1)

    return 3 * (power(2 - n) - 2 * ratio * power(1 - n) + ratio**2 * power(-n)) / k**3


@pytest.mark.parametrize("n", [1, 3, 4])
@pytest.mark.parametrize("ratio", [0.25, 0.5, 0.75])
def test_tip_load_to_1e_8_with_21_stations(n, ratio):
    span = Span(axis=L, stiffness=tapered(L, ratio, n, 2e4), stations=21)
    tip = span.displacement(PointLoads(at=[L], force=[[[0, 5.0, 0]]]), [L])[0, 0, 1]
    assert tip / (5.0 * L**3 / 3 / 2e4) == pytest.approx(closed_form(ratio, n), rel=1e-8)


def test_tapered_tube_against_quadrature():
    """Tip deflection of a round tube that tapers, with shear: scipy integrates over the stiffness."""
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
