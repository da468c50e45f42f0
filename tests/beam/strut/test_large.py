import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq, fsolve
from scipy.special import ellipe, ellipeinc, ellipk, ellipkinc
from spans import PLAIN, coupled, slender

from beam.axes import rotation
from beam.strut import NoEquilibrium, PointLoads, Span, Support
from beam.strut.solver import large

L, EI = 2.0, 2e4
BENDS = slender(EI, stiff=1e13)
UNIT = slender(1.0, stiff=1e11, GJ=1.0)
HINGES = [Support.motions(0, ("u1", "u2", "u3", "r1")), Support.motions(1.0, ("u2", "u3", "r1"))]


def test_pure_moment_bends_to_a_circle():
    span = Span(axis=L, stiffness=BENDS)
    turn = 1.5 * np.pi / 2
    u = span.displacement(
        PointLoads(at=[L], force=[[[0, 0, 0]]], moment=[[[0, turn * EI / L, 0]]]), [L], large=True
    )
    R = L / turn
    assert_allclose(u[0, 0], [R * np.sin(turn) - L, 0, -R * (1 - np.cos(turn)), 0, turn, 0], atol=1e-9)


@pytest.mark.parametrize("stations", [3, 21])
def test_pure_moment_on_a_tapered_span(stations):
    """turn(s) = integral of M/EI, in closed form for EI that falls with the third power; tip by quadrature."""
    k, M = 0.5 / L, 5e3

    def turn(s):
        return M / EI / (2 * k) * ((1 - k * s) ** -2 - 1)

    span = Span(axis=L, stiffness=lambda s: slender(EI, stiff=1e13) * (1 - k * s) ** 3, stations=stations)
    u = span.displacement(PointLoads(at=[L], force=[[[0, 0, 0]]], moment=[[[0, 0, M]]]), [L], large=True)[
        0, 0
    ]
    across, along = (quad(lambda s, f=f: f(turn(s)), 0, L, epsrel=1e-12)[0] for f in (np.sin, np.cos))
    assert turn(L) == pytest.approx(1.5)
    assert_allclose(u, [along - L, across, 0, 0, 0, turn(L)], atol=1e-8 if stations == 21 else 1e-6)


@pytest.mark.parametrize("axis", [L, [[0, 0, 0], [0.8, 0, 0], [1.3, 0.5, 0.2], [2.0, 0.4, 0.6]]])
def test_small_loads_give_the_linear_answer(axis):
    span = Span(axis=axis, stiffness=coupled(), stations=6)
    tip = span.axis.length
    rng = np.random.default_rng(4)
    loads = PointLoads(
        at=[0.9, tip], force=rng.normal(size=(3, 2, 3)) * 1e-3, moment=rng.normal(size=(3, 2, 3)) * 1e-3
    )
    for what in (span.displacement, span.forces):
        assert_allclose(
            what(loads, large=True), what(loads), rtol=2e-5, atol=1e-7 * np.abs(what(loads)).max()
        )
    assert_allclose(span.reactions(loads, large=True), span.reactions(loads), rtol=1e-5, atol=1e-9)


def test_coupled_span_in_space_against_an_initial_value_solver():
    """Other hands: from a guessed tip inward to the root, by scipy's integrator and root finder."""
    K = coupled() * 1e-3
    C = np.linalg.inv(K)
    f, m = np.array([4.0, -25.0, 12.0]), np.array([3.0, -2.0, 4.0])
    loads = PointLoads(at=[L], force=[[f]], moment=[[m]])
    ours = Span(axis=L, stiffness=K).displacement(loads, [L], large=True)[0, 0]

    def slope(_, y, tip):
        p, phi = y[:3], y[3:]
        Q = rotation(phi)
        e = C @ np.r_[Q.T @ f, Q.T @ (m + np.cross(tip - p, f))]
        a = np.linalg.norm(phi)
        S = np.array([[0, -phi[2], phi[1]], [phi[2], 0, -phi[0]], [-phi[1], phi[0], 0]])
        c = 1 / 12 if a < 1e-6 else (1 - a / 2 / np.tan(a / 2)) / a**2
        return np.r_[Q @ (np.array([1.0, 0, 0]) + e[:3]), (np.eye(3) - S / 2 + c * S @ S) @ (Q @ e[3:])]

    def root_pose(pose):
        return solve_ivp(slope, (L, 0), pose, args=(pose[:3],), rtol=1e-11, atol=1e-12, method="DOP853").y[
            :, -1
        ]

    pose = fsolve(root_pose, np.r_[L, 0, 0, 0, 0, 0] + ours * 0.8, xtol=1e-12)
    assert_allclose(root_pose(pose), 0, atol=1e-9)
    assert np.linalg.norm(ours[3:]) > 0.3, "the rotation is large"
    assert_allclose(ours, pose - [L, 0, 0, 0, 0, 0], atol=1e-8)


def test_loads_follow_the_deflected_shape():
    """Root moment is that of the loads about the root where they have come to."""
    span = Span(axis=L, stiffness=PLAIN * 0.05)
    loads = PointLoads(
        at=[1.2, L], force=[[[-400.0, 300, 200], [-900, 500, -700]]], arm=[[[0, 0.2, 0.1], [0, 0, 0]]]
    )
    u = span.displacement(loads, [1.2, L], large=True)[0]
    root = span.forces(loads, [0.0], large=True)[0, 0]
    place = np.array([[1.2, 0, 0], [L, 0, 0]]) + u[:, :3]
    place[0] += rotation(u[0, 3:]) @ [0, 0.2, 0.1]
    # `moment` holds what the arm makes in the unloaded state: none was given, so the couple is minus that.
    couple = -np.cross([0, 0.2, 0.1], loads.force[0, 0])
    moment = np.cross(place, loads.force[0]).sum(axis=0) + couple
    assert_allclose(root, np.r_[loads.force[0].sum(axis=0), moment], rtol=1e-9)


def test_arm_makes_no_difference_while_it_does_not_turn():
    span = Span(axis=L, stiffness=PLAIN)
    force, arm = np.array([[[0.0, 0.0, 2.0]]]), np.array([[[0.0, 0.3, 0.0]]])
    with_arm = PointLoads(at=[L], force=force, moment=np.cross(arm, force), arm=arm)
    without = PointLoads(at=[L], force=force, moment=np.cross(arm, force))
    assert_allclose(span.displacement(with_arm), span.displacement(without))
    assert_allclose(
        span.displacement(with_arm, large=True), span.displacement(without, large=True), atol=1e-9
    )


@pytest.mark.parametrize("share", [0.3, 0.9])
def test_beam_column_on_an_elastic_support(share):
    """Second order with a redundant support: linear equations with the axial force, solved by hand."""
    k, P = 2e4, share * np.pi**2 * EI / 4 / L**2
    span = Span(axis=L, stiffness=BENDS, supports=[Support.clamp(), Support.motions(L, ("u3",), stiffness=k)])
    H = 1e-3
    u = span.displacement(PointLoads(at=[L], force=[[[-P, 0, H]]]), [L], large=True)[0, 0, 2]
    b = np.sqrt(P / EI)
    per_force = (np.tan(b * L) / b - L) / P  # tip motion of a beam-column per lateral force
    assert u == pytest.approx(H * per_force / (1 + k * per_force), rel=1e-6)


def test_rigid_prop_slides_along_and_holds_across():
    span = Span(axis=L, stiffness=slender(EI), supports=[Support.clamp(), Support.motions(L, ("u3",))])
    loads = PointLoads(at=[L / 2], force=[[[0, 0, 3e4]]])
    u = span.displacement(loads, [L / 2, L], large=True)[0]
    assert u[1, 2] == pytest.approx(0, abs=1e-12)
    assert u[1, 0] < -1e-2, "the end is drawn in"
    F = span.forces(loads, [0.0], large=True)[0, 0]
    R = span.reactions(loads, large=True)[0]
    assert_allclose(F[:3], -R[:3], rtol=1e-9, atol=1e-9)
    assert R[2] + R[6] == pytest.approx(-3e4)
    # Moments about the root where things have come to.
    assert F[4] == pytest.approx(-(3e4 * (L / 2 + u[0, 0]) + R[6] * (L + u[1, 0])), rel=1e-9)


def test_hinged_root_turns_until_its_brace_holds():
    supports = [
        Support.motions(0, ("u1", "u2", "u3", "r1", "r3"), name="trunnion"),
        Support.point(0.5, [[0, 0, 1]], arm=[0, 0, 0.1], stiffness=2e4, name="brace"),
    ]
    span = Span(axis=L, stiffness=slender(EI * 100), supports=supports)
    loads = PointLoads(at=[L], force=[[[0, 0, 800.0]]])
    u = span.displacement(loads, [0.0, 0.5, L], large=True)[0]
    assert_allclose(u[0, [0, 1, 2, 3, 5]], 0, atol=1e-12)
    assert u[0, 4] < -0.2
    R = span.reactions(loads, large=True)[0]
    point = u[1, 2] + (rotation(u[1, 3:]) @ [0, 0, 0.1])[2] - 0.1
    assert R[-1] == pytest.approx(-2e4 * point, rel=1e-9)


def test_heat_curls_a_free_strip_to_a_circle():
    span = Span(axis=L, stiffness=PLAIN)
    none = PointLoads(at=[L], force=[[[0, 0, 0]]])
    kappa = 0.7
    u = span.displacement(none, [L], large=True, free_strain=[0, 0, 0, 0, 0, kappa])[0, 0]
    R = 1 / kappa
    assert_allclose(u[:2], [R * np.sin(kappa * L) - L, R * (1 - np.cos(kappa * L))], atol=1e-9)


def test_a_straight_column_beyond_its_buckling_load_is_refused():
    P = 1.01 * np.pi**2 * EI / 4 / L**2
    with pytest.raises(NoEquilibrium, match=r"case 1 has only an unstable state"):
        Span(axis=L, stiffness=BENDS, stations=9).displacement(
            PointLoads(at=[L], force=[[[-1.0, 0, 0]], [[-P, 0, 0]]]), large=True
        )


def test_a_column_pushed_aside_bends_past_its_buckling_load():
    PE = np.pi**2 * EI / 4 / L**2
    loads = PointLoads(at=[L], force=[[[-1.05 * PE, 0, 0.01 * PE]]])
    u = Span(axis=L, stiffness=BENDS, stations=9).displacement(loads, [L], large=True)[0, 0]
    # The perfect elastica turns by 2 sqrt(2 x 0.05) = 0.63 rad to first order at this load; pushed, further.
    assert 0.6 < -u[4] < 1.1
    assert u[2] > 0.3 * L


def test_clamped_at_both_ends_and_pushed_beyond_is_refused():
    P = 1.02 * 4 * np.pi**2 * EI / L**2
    supports = [Support.clamp(), Support.motions(L, ("u2", "u3", "r1", "r2", "r3"))]
    with pytest.raises(NoEquilibrium, match="unstable"):
        Span(axis=L, stiffness=BENDS, supports=supports, stations=9).forces(
            PointLoads(at=[L], force=[[[-P, 0, 0]]]), large=True
        )


@pytest.mark.parametrize(("share", "stands"), [(0.95, True), (1.05, False)])
def test_a_load_on_an_arm_that_prolongs_the_column(share, stands):
    """It buckles where q a tan(q L) = 1, q^2 = P/EI, and not before."""
    a = 0.7
    q = brentq(lambda k: k * a * np.tan(k * L) - 1, 1e-6, np.pi / 2 / L - 1e-9)
    loads = PointLoads(at=[L], force=[[[-share * q**2 * EI, 0, 0]]], arm=[[[a, 0, 0]]])
    span = Span(axis=L, stiffness=BENDS)
    if stands:
        assert_allclose(span.displacement(loads, [L], large=True)[0, 0, 1:], 0, atol=1e-9)
    else:
        with pytest.raises(NoEquilibrium):
            span.displacement(loads, large=True)


def test_a_guide_on_an_arm_beyond_the_tip():
    """Rigid bar a prolongs the column, its end guided and pushed by P, derived with q^2 = P/EI:

    sin(q L)/q - L cos(q L) + a (L + a) q sin(q L) = 0; a = 0 is the clamped and hinged column.
    """
    a = 0.4
    arm = np.array([a, 0.0, 0.0])

    def condition(q):
        return np.sin(q * L) / q - L * np.cos(q * L) + a * (L + a) * q * np.sin(q * L)

    P = brentq(condition, np.pi / 2 / L, 4.4 / L, xtol=1e-14) ** 2 * EI
    guide = Support.point(L, [[0, 1, 0], [0, 0, 1]], arm=arm, name="guide")
    span = Span(axis=L, stiffness=slender(EI), supports=[Support.clamp(), guide])

    def push(share):
        return PointLoads(at=[L], force=[[[-share * P, 0, 0]]], arm=[[arm]])

    assert span.buckling_factor(push(1.0))[0] == pytest.approx(1.0, rel=1e-6)
    assert_allclose(span.displacement(push(0.97), [L], large=True)[0, 0, 1:], 0, atol=1e-9)
    with pytest.raises(NoEquilibrium):
        span.displacement(push(1.03), large=True)


def test_newton_converges_as_fast_as_its_derivatives_are_right(monkeypatch):
    """Loads and supports on arms, large turns: a wrong derivative would take many more than six iterations."""
    monkeypatch.setattr(large, "ITERATIONS", 6)
    monkeypatch.setattr(large, "SMALLEST_STEP", 0.4)
    supports = [
        Support.clamp(stiffness=[1e5, 1e5, 1e5, 1e4, 1e4, 1e4]),
        Support.point(0.8, [[0.3, 0.5, 0.7]], arm=[0.1, 0.4, 0.2], stiffness=1e4),
        Support(at=1.5, rotations=np.array([[0, 1.0, 1.0]]), stiffness=np.array(1e3)),
    ]
    span = Span(axis=L, stiffness=PLAIN * 0.03, supports=supports, stations=9)
    force, arm = (
        np.array([[[-200.0, 400.0, 300.0], [100.0, -200.0, 500.0]]]),
        [[[0, 0.3, 0.2], [0.2, 0.1, -0.4]]],
    )
    loads = PointLoads(at=[1.1, L], force=force, moment=np.cross(arm, force), arm=arm)
    turn = span.displacement(loads, [L], large=True)[0, 0, 3:]
    assert np.linalg.norm(turn) > 0.3


def test_hopeless_loads_end_in_an_error():
    with pytest.raises(NoEquilibrium, match="case 0"):
        Span(axis=L, stiffness=PLAIN * 1e-4).forces(
            PointLoads(at=[L], force=[[[-1e7, 1e5, 3e5]]]), large=True
        )


def test_all_cases_at_once_equal_one_at_a_time():
    rng = np.random.default_rng(8)
    span = Span(axis=L, stiffness=PLAIN, stations=5)
    loads = PointLoads(at=[0.7, L], force=rng.normal(size=(2, 2, 2, 3)) * 3e3)
    whole = span.displacement(loads, large=True)
    assert whole.shape == (2, 2, 5, 6)
    one = PointLoads(at=loads.at, force=loads.force[1, 0])
    assert_allclose(span.displacement(one, large=True), whole[1, 0], rtol=1e-7, atol=1e-12)


def test_elastica_in_closed_form():
    """Elliptic integrals: K. E. Bisshopp, D. C. Drucker, Quart. Appl. Math. 3 (1945) 272 (from memory)."""
    span = Span(axis=1.0, stiffness=UNIT)

    def length(p, k):
        return ellipk(p * p) - ellipkinc(np.arcsin(1 / (p * np.sqrt(2))), p * p) - np.sqrt(k)

    for k in (0.5, 2.0, 6.0):
        u = span.displacement(PointLoads(at=[1.0], force=[[[0.0, k, 0.0]]]), [1.0], large=True)[0, 0]
        p = brentq(length, np.sqrt(0.5) + 1e-13, 1 - 1e-13, args=(k,), xtol=1e-15)
        phi = np.arcsin(1 / (p * np.sqrt(2)))
        across = 1 - 2 / np.sqrt(k) * (ellipe(p * p) - ellipeinc(phi, p * p))
        turn = np.arcsin(2 * p * p - 1)
        along = 1 - np.sqrt(2 * np.sin(turn) / k)
        assert_allclose(u[[1, 0, 5]], [across, -along, turn], rtol=0, atol=1e-8)


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
    P = length**2
    if turn > 0.8 and against_deg > 170:
        assert np.pi**2 / 4 < P, "past Euler's load"
    tip = PointLoads(at=[1.0], force=[[[P * np.cos(b), P * np.sin(b), 0]]])
    u = Span(axis=1.0, stiffness=UNIT, stations=9).displacement(tip, [1.0], large=True)[0, 0]
    assert u[5] == pytest.approx(turn, abs=1e-7)
    assert 1 + u[0] == pytest.approx(integral(np.cos) / length, abs=1e-7)
    assert u[1] == pytest.approx(integral(np.sin) / length, abs=1e-7)


# Beam-columns in closed form (Timoshenko & Gere, chapter 1), u = sqrt(P/EI)/2 for length and EI of 1, hinged ends.
@pytest.mark.parametrize("share", [0.2, 0.6, 0.9])
def test_beam_column_with_a_load_at_the_middle(share):
    P, Q = share * np.pi**2, 1e-4
    u = np.sqrt(P) / 2
    exact = Q / 48 * 3 * (np.tan(u) - u) / u**3
    span = Span(axis=1.0, stiffness=UNIT, supports=HINGES)
    loads = PointLoads(at=[0.5, 1.0], force=[[[0, 0, Q], [-P, 0, 0]]])
    assert span.displacement(loads, [0.5], large=True)[0, 0, 2] == pytest.approx(exact, rel=1e-5)
    moment = Q / 4 * np.tan(u) / u
    assert abs(span.forces(loads, [0.5], large=True)[0, 0, 4]) == pytest.approx(moment, rel=1e-5)


@pytest.mark.parametrize("share", [0.3, 0.8])
def test_beam_column_with_end_couples(share):
    P, M = share * np.pi**2, 1e-4
    u = np.sqrt(P) / 2
    exact = M / 8 * 2 * (1 / np.cos(u) - 1) / u**2
    span = Span(axis=1.0, stiffness=UNIT, supports=HINGES)
    loads = PointLoads(at=[0.0, 1.0], force=[[[0, 0, 0], [-P, 0, 0]]], moment=[[[0, -M, 0], [0, M, 0]]])
    assert span.displacement(loads, [0.5], large=True)[0, 0, 2] == pytest.approx(exact, rel=1e-5)


@pytest.mark.parametrize("share", [0.4, 0.9])
def test_column_with_an_eccentric_load(share):
    """The secant formula: tip of a cantilever under P at an arm e moves by e (sec(k L) - 1)."""
    P, e = share * np.pi**2 / 4, 1e-4
    loads = PointLoads(at=[1.0], force=[[[-P, 0, 0]]], moment=[[[0, -P * e, 0]]], arm=[[[0, 0, e]]])
    u = Span(axis=1.0, stiffness=UNIT).displacement(loads, [1.0], large=True)[0, 0, 2]
    exact = e * (1 / np.cos(np.sqrt(P)) - 1)
    # The arm presses down at +e3: the column leans to +e3.
    assert u == pytest.approx(exact, rel=1e-4)


@pytest.mark.parametrize(("share", "stands"), [(0.97, True), (1.03, False)])
def test_end_moments_that_buckle_a_deep_beam_sideways(share, stands):
    """Equal end moments pi sqrt(EI GJ)/L, the plane of bending far stiffer (Timoshenko & Gere; from memory)."""
    M = share * np.pi * np.sqrt(EI * 1e4) / L
    supports = [Support.motions(0, ("u1", "u2", "u3", "r1")), Support.motions(L, ("u2", "u3", "r1"))]
    span = Span(axis=L, stiffness=np.diag([1e12, 1e12, 1e12, 1e4, 1e11, EI]), supports=supports, stations=5)
    ends = PointLoads(at=[0, L], force=np.zeros((1, 2, 3)), moment=[[[0, -M, 0], [0, M, 0]]])
    if stands:
        assert_allclose(span.displacement(ends, [L / 2], large=True)[0, 0, 1], 0, atol=1e-9)
    else:
        with pytest.raises(NoEquilibrium, match="only an unstable state"):
            span.displacement(ends, large=True)
