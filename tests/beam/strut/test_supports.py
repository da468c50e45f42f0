import numpy as np
import pytest
from numpy.testing import assert_allclose
from spans import PLAIN, coupled, frame_solve, slender, tapered

from beam.strut import PointLoads, Span, Support

L, EI, P = 2.0, 2e4, 3.0
BENDS = slender(EI, stiff=1e20)
MIDDLE = PointLoads(at=[L / 2], force=[[[0, 0, P]]])
PROPPED = [Support.clamp(), Support.motions(1.0, ("u2",))]
RNG = np.random.default_rng(11)


def test_propped_cantilever_in_closed_form():
    span = Span(axis=L, stiffness=BENDS, supports=[Support.clamp(), Support.motions(L, ("u3",), name="prop")])
    assert span.held.names[-1] == "prop u3"
    assert span.reactions(MIDDLE)[0, -1] == pytest.approx(-5 * P / 16)
    assert span.displacement(MIDDLE, [L / 2])[0, 0, 2] == pytest.approx(7 * P * L**3 / 768 / EI)
    forces = span.forces(MIDDLE, [0.0, L / 2, L])[0]
    assert_allclose(forces[:, 4], [-3 * P * L / 16, 5 * P * L / 32, 0], atol=1e-14)
    assert_allclose(forces[:, 2], [11 * P / 16, 11 * P / 16, -5 * P / 16])


def test_clamped_both_ends():
    span = Span(axis=L, stiffness=BENDS, supports=[Support.clamp(), Support.clamp(L, name="far end")])
    assert_allclose(span.forces(MIDDLE, [0.0, L / 2])[0, :, 4], [-P * L / 8, P * L / 8])
    assert span.displacement(MIDDLE, [L / 2])[0, 0, 2] == pytest.approx(P * L**3 / 192 / EI)
    assert_allclose(span.reactions(MIDDLE)[0, [2, 8]], -P / 2)


@pytest.mark.parametrize("k", [1e2, 1e5, 1e12])
def test_elastic_prop(k):
    supports = [Support.clamp(), Support.motions(L, ("u3",), stiffness=k)]
    span = Span(axis=L, stiffness=BENDS, supports=supports)
    exact = 5 * P * L**3 / 48 / EI / (L**3 / 3 / EI + 1 / k)
    assert span.reactions(MIDDLE)[0, -1] == pytest.approx(-exact)
    assert span.displacement(MIDDLE, [L])[0, 0, 2] == pytest.approx(exact / k, rel=1e-9)


def test_elastic_clamp_adds_its_own_turn():
    k = np.array([1e9, 1e9, 1e5, 1e9, 4e3, 1e9])
    span = Span(axis=L, stiffness=BENDS, supports=[Support.clamp(stiffness=k)])
    tip = span.displacement(PointLoads(at=[L], force=[[[0, 0, P]]]), [L])[0, 0, 2]
    assert tip == pytest.approx(P * L**3 / 3 / EI + P / 1e5 + P * L * L / 4e3)


def test_two_trunnion_bearings_off_the_axis_hold_like_a_hinge_and_a_brace_stops_it():
    bearings = [
        Support.point(0.0, np.eye(3), arm=[0, 0.1, 0], name="rear bearing"),
        Support.point(0.0, np.eye(3)[[0, 2]], arm=[0, -0.1, 0], name="front bearing"),
    ]
    with pytest.raises(ValueError, match=r"turn about \(0, 1, 0\) through \(0, 0, 0\)"):
        Span(axis=L, stiffness=PLAIN, supports=bearings)
    d = np.array([-0.6, 0.0, 0.8])
    brace = Support.point(0.8, [d], arm=[0, 0, 0.05], name="brace")
    span = Span(axis=L, stiffness=PLAIN, supports=[*bearings, brace])
    loads = PointLoads(at=[L], force=[[[0, 0, P]]])
    # Moments about the hinge line: P L e2-wise against the brace's arm.
    arm = np.cross([0.8, 0, 0.05], d)[1]
    assert span.reactions(loads)[0, -1] == pytest.approx(-np.cross([L, 0, 0], [0, 0, P])[1] / arm)
    held = span.displacement(loads, [0.8])[0, 0]
    assert d @ (held[:3] + np.cross(held[3:], [0, 0, 0.05])) == pytest.approx(0, abs=1e-15)


def test_braced_kinked_span_against_a_frame_of_elements():
    points = np.array([[0, 0, 0], [0.25, 0, 0], [0.4, 0.1, 0.02], [0.62, 0.15, 0.0]])
    K, axial = coupled(), 3e6
    anchor = np.array([0.1, 0.3, 0.4])
    d = anchor - points[2]
    stations = np.r_[0, np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))]
    supports = [
        Support.motions(0.0, ("u1", "u2", "u3", "r1", "r3"), name="trunnion"),
        Support.motions(stations[1], ("u2", "r2"), stiffness=[2e6, 5e3], name="bush"),
        Support.point(stations[2], [d], stiffness=axial / np.linalg.norm(d), name="brace"),
        Support.motions(stations[3], ("u3",), name="up-lock"),
    ]
    span = Span(axis=points, stiffness=K, supports=supports)
    f = RNG.normal(size=(2, 6))
    loads = PointLoads(at=stations[[1, 3]], force=[f[:, :3]], moment=[f[:, 3:]])
    exact, back = frame_solve(
        points,
        K,
        {0: [0, 1, 2, 3, 5], 3: [2]},
        {(1, 1): 2e6, (1, 4): 5e3},
        {1: f[0], 3: f[1]},
        [(2, anchor, axial)],
    )
    assert_allclose(span.displacement(loads)[0], exact, rtol=1e-9, atol=1e-17)
    R = span.reactions(loads)[0]
    assert_allclose(R[:5], back[0, [0, 1, 2, 3, 5]], rtol=1e-9)
    assert R[-1] == pytest.approx(back[3, 2], rel=1e-9)
    # Equilibrium of loads and reactions.
    assert_allclose(span.forces(loads, [0.0])[0, 0, :3], -R[:3], rtol=1e-9)


def test_tapered_two_span_beam_against_many_elements():
    K = tapered(L, 0.5, 3, stiff=1e12)
    points = np.stack([np.linspace(0, L, 401), np.zeros(401), np.zeros(401)], axis=-1)
    supports = [
        Support.clamp(),
        Support.motions(0.9, ("u2", "u3")),
        Support.motions(1.6, ("u3",), stiffness=3e4),
    ]
    span = Span(axis=L, stiffness=K, supports=supports)
    loads = PointLoads(at=[0.5, L], force=[[[0, 2, 1], [0, -1, 3]]])
    stations = points[:, 0]
    middle = (stations[1:] + stations[:-1]) / 2
    from spans import element

    n, S = 401, np.zeros((6 * 401, 6 * 401))
    for i in range(n - 1):
        S[6 * i : 6 * i + 12, 6 * i : 6 * i + 12] += element(L / 400, K(middle[i]))
    S[6 * 320 + 2, 6 * 320 + 2] += 3e4
    f = np.zeros(6 * n)
    f[6 * 100 : 6 * 100 + 3], f[6 * 400 : 6 * 400 + 3] = [0, 2, 1], [0, -1, 3]
    free = np.setdiff1d(np.arange(6 * n), [*range(6), 6 * 180 + 1, 6 * 180 + 2])
    u = np.zeros(6 * n)
    u[free] = np.linalg.solve(S[np.ix_(free, free)], f[free])
    found = span.displacement(loads, [0.5, L])[0]
    assert_allclose(found[:, 1:3], u.reshape(n, 6)[[100, 400], 1:3], rtol=3e-5)


def test_sympy_beam_on_three_supports():
    """Clamped, two props, two point loads and a moment: sympy's beam module solves it exactly."""
    from sympy import Rational, symbols
    from sympy.physics.continuum_mechanics.beam import Beam

    R0, M0, R1, R2, x = symbols("R0 M0 R1 R2 x")
    beam = Beam(2, 20000, 1)
    loads = [(3, Rational(1, 2)), (-2, Rational(3, 2))]
    for value, place in loads:
        beam.apply_load(value, place, -1)
    beam.apply_load(R0, 0, -1)
    beam.apply_load(M0, 0, -2)
    beam.apply_load(R1, 1, -1)
    beam.apply_load(R2, 2, -1)
    beam.bc_deflection = [(0, 0), (1, 0), (2, 0)]
    beam.bc_slope = [(0, 0)]
    beam.solve_for_reaction_loads(R0, M0, R1, R2)
    supports = [Support.clamp(), Support.motions(1.0, ("u3",)), Support.motions(L, ("u3",))]
    span = Span(axis=L, stiffness=BENDS, supports=supports)
    ours = PointLoads(at=[0.5, 1.5], force=[[[0, 0, 3], [0, 0, -2]]])
    R = span.reactions(ours)[0]
    exact = [float(beam.reaction_loads[r]) for r in (R0, R1, R2)]
    assert_allclose(R[[2, 6, 7]], exact, rtol=1e-9)
    for s in (0.3, 0.8, 1.7):
        # Its loads push the way its deflection counts, as ours do along e3.
        assert abs(span.displacement(ours, [s])[0, 0, 2]) == pytest.approx(
            abs(float(beam.deflection().subs(x, s))), rel=1e-9
        )


@pytest.mark.parametrize(("play", "stop"), [(1e-6, True), (1e-4, True), (1e-2, False)])
def test_play_is_taken_up_before_a_prop_holds(play, stop):
    span = Span(axis=L, stiffness=BENDS, supports=[Support.clamp(), Support.motions(L, ("u3",), play=play)])
    free = 5 * P * L**3 / 48 / EI
    exact = (free - play) / (L**3 / 3 / EI) if stop else 0.0
    both_ways = PointLoads(at=[L / 2], force=[[[0, 0, P]], [[0, 0, -P]]])
    assert_allclose(span.reactions(both_ways)[:, -1], [-exact, exact], atol=1e-12)
    assert_allclose(
        span.displacement(both_ways, [L])[:, 0, 2], np.array([1, -1]) * min(free, play), rtol=1e-9
    )


def test_play_with_an_elastic_stop():
    k, g = 1e4, 1e-4
    supports = [Support.clamp(), Support.motions(L, ("u3",), play=g, stiffness=k)]
    R = Span(axis=L, stiffness=BENDS, supports=supports).reactions(MIDDLE)[0, -1]
    assert pytest.approx(-(5 * P * L**3 / 48 / EI - g) / (L**3 / 3 / EI + 1 / k)) == R


def test_a_loose_bearing_rattles_to_the_side_of_its_load():
    supports = [Support.motions(0, ("u1", "u2", "r1", "r2", "r3")), Support.motions(0, ("u3",), play=1e-3)]
    span = Span(axis=L, stiffness=BENDS, supports=supports)
    assert span.displacement(MIDDLE, [0.0])[0, 0, 2] == pytest.approx(1e-3)


def test_thermal_growth_between_two_clamps_and_free_growth():
    free = np.array([1e-3, 0, 0, 0, 2e-2, 0])
    none = PointLoads(at=[L], force=[[[0, 0, 0]]])
    both = Span(axis=L, stiffness=PLAIN, supports=[Support.clamp(), Support.clamp(L, name="far end")])
    F = both.forces(none, [0.0, 1.1, L], free_strain=free)[0]
    assert_allclose(F[:, 0], -1e-3 * PLAIN[0, 0])
    assert_allclose(F[:, 4], -2e-2 * PLAIN[4, 4])
    assert_allclose(both.displacement(none, free_strain=free), 0, atol=1e-15)
    cantilever = Span(axis=L, stiffness=PLAIN)
    assert_allclose(cantilever.forces(none, free_strain=free), 0, atol=1e-12)
    u = cantilever.displacement(none, [L], free_strain=free)[0, 0]
    assert_allclose(u, [1e-3 * L, 0, -2e-2 * L**2 / 2, 0, 2e-2 * L, 0], atol=1e-14)


def test_free_strain_as_callable_and_at_stations():
    none = PointLoads(at=[L], force=[[[0, 0, 0]]])
    span = Span(axis=L, stiffness=PLAIN)
    s = span.stations
    linear = np.zeros((21, 6))
    linear[:, 0] = 1e-3 * s
    a = span.displacement(none, free_strain=linear)
    b = span.displacement(none, free_strain=lambda x: [1e-3 * x, 0, 0, 0, 0, 0])
    assert_allclose(a, b, atol=1e-18)
    assert a[0, -1, 0] == pytest.approx(1e-3 * L**2 / 2)


def test_superposition_of_supported_spans():
    supports = [Support.clamp(), Support.motions(1.2, ("u2", "u3", "r1"), stiffness=[1e5, 2e5, 3e3])]
    span = Span(axis=L, stiffness=coupled(), supports=supports)
    at = [0.7, L]
    a, b = RNG.normal(size=(2, 1, 2, 3))
    one, two, sum_ = (span.forces(PointLoads(at=at, force=f)) for f in (a, b, a + b))
    assert_allclose(one + two, sum_, rtol=1e-11, atol=1e-12)


@pytest.mark.parametrize(
    ("supports", "message"),
    [
        (
            [Support.motions(0, ("u1", "u2", "u3")), Support.motions(L, ("u2", "u3"))],
            r"turn about \(1, 0, 0\)",
        ),
        ([Support.motions(0, ("u1", "u2", "u3", "r1"))], r"about \(0, 1, 0\).*about \(0, 0, 1\)"),
        ([Support.motions(0, ("u2", "u3", "r1", "r2", "r3"))], r"move along \(1, 0, 0\)"),
        (
            [
                Support.motions(0, ("u1", "u2", "u3")),
                Support.motions(0.5, ("u1",)),
                Support.motions(0, ("r2", "r3")),
            ],
            "turn",
        ),
        (  # square to (2, 3, 6): what is free runs along it
            [Support(translations=[[3, -2, 0], [12, 18, -13]], rotations=np.eye(3))],
            r"free to move along \(0\.286, 0\.429, 0\.857\)",
        ),
        (  # a ball joint off the axis: the line through it, from its point nearest to the root
            [Support(translations=np.eye(3), rotations=[[3, -2, 0], [12, 18, -13]], arm=[0.1, 0.2, 0.3])],
            r"turn about \(0\.286, 0\.429, 0\.857\) through \(-0\.00612, 0\.0408, -0\.0184\) m",
        ),
        ([Support.clamp(), Support.motions(0, ("u3",), name="again")], "held rigidly twice"),
        ([Support.clamp(), Support.point(0, [[0, 0.6, 0.8]], name="slanted")], "held rigidly twice"),
        ([Support.clamp(3.0)], "tip"),
        ([], "at least 1"),
    ],
)
def test_supports_that_do_not_hold_or_contradict(supports, message):
    with pytest.raises(ValueError, match=message):
        Span(axis=L, stiffness=PLAIN, supports=supports)


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: Support.motions(0, ()), "at least 1"),
        (lambda: Support.motions(0, ("u4",)), "u1"),
        (lambda: Support.motions(0, ("u1", "u1")), "each once"),
        (lambda: Support.motions(0, "u1"), "in brackets"),
        (lambda: Support.motions(0, ("u1",), stiffness=0.0), "> 0"),
        (lambda: Support.motions(0, ("u1",), stiffness=[1.0, 2.0]), "directions"),
        (lambda: Support.motions(0, ("u1",), play=-1.0), ">= 0"),
        (lambda: Support.point(0, [[0, 0, 0]]), "zero length"),
        (lambda: Support.motions(-1, ("u1",)), ">= 0"),
    ],
)
def test_bad_support(make, message):
    with pytest.raises(ValueError, match=message):
        make()


def test_rotations_are_forms_of_the_motion():
    s = Support(
        at=0.3,
        rotations=np.array([[0, 0, 2.0]]),
        translations=np.array([[1.0, 1.0, 0]]),
        arm=np.array([0, 0, 1.0]),
    )
    assert_allclose(s.rows, [[0.5**0.5, 0.5**0.5, 0, -(0.5**0.5), 0.5**0.5, 0], [0, 0, 0, 0, 0, 1]])


# W. C. Young, R. G. Budynas, Roark's Formulas for Stress and Strain, straight beams: fixed and simply
# supported, concentrated load (from memory).
@pytest.mark.parametrize("share", [0.25, 0.5, 0.8])
def test_propped_cantilever_with_a_load_anywhere(share):
    W, a = 2.0, share
    span = Span(axis=1.0, stiffness=slender(1.0, stiff=1e11), supports=PROPPED)
    loads = PointLoads(at=[a], force=[[[0, W, 0]]])
    R = -W * a**2 * (3 - a) / 2
    assert span.reactions(loads)[0, -1] == pytest.approx(R, rel=1e-9)
    assert span.forces(loads, [0.0])[0, 0, 5] == pytest.approx(W * a + R, rel=1e-8)


def test_names_say_the_support_and_the_direction():
    slanted = Support(at=L, translations=[[0, 0.6, -0.8]], rotations=[[3, 2, 6], [0, 0, 1]], name="stay")
    names = Span(axis=L, stiffness=PLAIN, supports=[Support.clamp(), slanted]).held.names
    assert names[5:] == (
        "clamp r3",
        "stay along (0, 0.6, -0.8)",
        "stay about (0.429, 0.286, 0.857)",
        "stay r3",
    )
