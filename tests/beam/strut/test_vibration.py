import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import brentq
from spans import coupled, element, slender

from beam.strut import PointLoads, PointMass, Span, Support

L, EI, RHO_A = 2.0, 2e4, 3.0
BENDS = slender(EI)
THIN = np.diag([RHO_A, RHO_A, RHO_A, 1e-9, 1e-9, 1e-9])
SCALE = np.sqrt(EI / RHO_A) / L**2 / (2 * np.pi)


# Frequency equations of a uniform beam (Rayleigh, The Theory of Sound), solved here.
@pytest.mark.parametrize(
    ("equation", "start", "supports"),
    [
        (lambda b: np.cosh(b) * np.cos(b) + 1, (1.5, 2.2), [Support.clamp()]),
        (lambda b: np.cosh(b) * np.cos(b) + 1, (4.3, 5.0), [Support.clamp()]),
        (lambda b: np.cosh(b) * np.cos(b) - 1, (4.3, 5.0), [Support.clamp(), Support.clamp(L, name="end")]),
        (lambda b: np.tan(b) - np.tanh(b), (3.5, 4.2), [Support.clamp(), Support.motions(L, ("u2", "u3"))]),
        (
            np.sin,
            (3.0, 3.3),
            [Support.motions(0, ("u1", "u2", "u3", "r1")), Support.motions(L, ("u2", "u3"))],
        ),
    ],
)
def test_uniform_beams(equation, start, supports):
    b = brentq(equation, *start, xtol=1e-14)
    f = Span(axis=L, stiffness=BENDS, inertia=THIN, supports=supports).frequencies(6)
    assert np.abs(f / (b**2 * SCALE) - 1).min() < 1e-6
    # Equal stiffness both ways: every bending frequency comes twice.
    nearest = np.sort(np.abs(f / (b**2 * SCALE) - 1))[:2]
    assert (nearest < 1e-6).all()


@pytest.mark.parametrize("ratio", [0.1, 1.0, 10.0])
def test_cantilever_with_a_tip_mass(ratio):
    """1 + cosh b cos b + ratio b (cos b sinh b - sin b cosh b) = 0, ratio = tip mass over beam mass."""

    def equation(b):
        return 1 + np.cosh(b) * np.cos(b) + ratio * b * (np.cos(b) * np.sinh(b) - np.sin(b) * np.cosh(b))

    b = brentq(equation, 0.1, 1.88, xtol=1e-14)
    f = Span(axis=L, stiffness=BENDS, inertia=THIN).frequencies(
        2, masses=[PointMass(at=L, mass=ratio * RHO_A * L)]
    )
    assert_allclose(f, b**2 * SCALE, rtol=1e-6)


def test_massless_span_with_a_heavy_tip_in_closed_form():
    m, J, a = 20.0, 0.3, 0.25
    span = Span(axis=L, stiffness=slender(EI, GJ=5e3))
    f = span.frequencies(2, masses=[PointMass(at=L, mass=m)])
    assert_allclose(f, np.sqrt(3 * EI / L**3 / m) / (2 * np.pi), rtol=1e-7)
    inertia = np.diag([J, 0, 0])
    torsion = span.frequencies(3, masses=[PointMass(at=L, mass=m, inertia=inertia)])
    exact = np.sqrt(5e3 / L / J) / (2 * np.pi)
    assert np.abs(torsion / exact - 1).min() < 1e-9
    # On an arm across the axis: 2 x 2 problem of bending and twist, mass moving out of the plane.
    F = np.array([[L**3 / 3 / EI + a * a * L / 5e3]])
    out_of_plane = 1 / np.sqrt(F[0, 0] * m) / (2 * np.pi)
    arm = span.frequencies(3, masses=[PointMass(at=L, mass=m, arm=np.array([0, a, 0]))])
    assert np.abs(arm / out_of_plane - 1).min() < 1e-6


def test_mass_on_a_rigid_arm_beyond_the_tip():
    m, a = 20.0, 0.25
    f = Span(axis=L, stiffness=BENDS).frequencies(
        1, masses=[PointMass(at=L, mass=m, arm=np.array([a, 0, 0]))]
    )[0]
    flexible = (L**3 / 3 + a * L**2 + a**2 * L) / EI
    assert f == pytest.approx(1 / np.sqrt(flexible * m) / (2 * np.pi), rel=1e-6)


def test_supports_that_give_way_in_vibration_and_buckling():
    """A clamp of springs: flexibilities add up; the column buckles where q tan(q L) = c/EI, q^2 = P/EI."""
    m, travel, turn = 20.0, 3e5, 2e4
    k = np.array([1e12, 1e12, travel, 1e12, turn, 1e12])
    span = Span(axis=L, stiffness=BENDS, supports=[Support.clamp(stiffness=k)])
    flexible = L**3 / 3 / EI + 1 / travel + L**2 / turn
    f = span.frequencies(1, masses=[PointMass(at=L, mass=m)])[0]
    assert f == pytest.approx(1 / np.sqrt(flexible * m) / (2 * np.pi), rel=1e-6)
    b = brentq(lambda q: q * np.tan(q * L) - turn / EI, 1e-6, np.pi / 2 / L - 1e-9)
    P = span.buckling_factor(PointLoads(at=[L], force=[[[-1.0, 0, 0]]]))[0]
    assert pytest.approx(b**2 * EI, rel=1e-6) == P


def test_coupled_tapered_braced_span_against_many_elements():
    """The same with 60 prismatic elements and lumped masses: comes near it, and nearer with more."""

    def K(s):
        return coupled() * (1 - 0.4 * s / L) ** 3

    def M(s):
        return np.diag([2.0, 2.0, 2.0, 0.01, 0.006, 0.004]) * (1 - 0.4 * s / L)

    supports = [Support.clamp(), Support.point(0.8, [[0, 0.6, 0.8]], arm=[0, 0.1, 0], stiffness=1e6)]
    span = Span(axis=L, stiffness=K, inertia=M, supports=supports)
    ours = span.frequencies(4, masses=[PointMass(at=L, mass=5.0, arm=np.array([0, 0.1, 0.02]))])
    row = supports[1].rows[0]
    errors = []
    for n in (20, 60):
        S, mass = np.zeros((6 * n + 6, 6 * n + 6)), np.zeros((6 * n + 6, 6 * n + 6))
        h = L / n
        for i in range(n):
            at = slice(6 * i, 6 * i + 12)
            S[at, at] += element(h, K((i + 0.5) * h))
            lump = h / 2 * M((i + 0.5) * h)
            mass[at, at] += np.kron(np.eye(2), lump)
        k = round(0.8 / h)
        S[6 * k : 6 * k + 6, 6 * k : 6 * k + 6] += 1e6 * np.outer(row, row)
        mass[-6:, -6:] += PointMass(at=L, mass=5.0, arm=np.array([0, 0.1, 0.02])).matrix
        from scipy.linalg import eigh

        w2 = eigh(S[6:, 6:], mass[6:, 6:], eigvals_only=True)[:4]
        errors.append(np.abs(np.sqrt(w2) / (2 * np.pi) / ours - 1).max())
    assert errors[1] < 2e-3
    assert errors[1] < errors[0] / 5


def test_modes_are_scaled_to_unit_modal_mass_and_orthogonal():
    span = Span(axis=L, stiffness=BENDS, inertia=THIN)
    tip = PointMass(at=L, mass=4.0, inertia=np.eye(3) * 0.1)
    modes = span.modes(4, masses=[tip])
    assert modes.shape.shape == (4, 21, 6)
    s = span.stations
    from scipy.integrate import simpson

    along = np.einsum("isk,jsk->ijs", modes.shape[..., :3], modes.shape[..., :3]) * RHO_A
    mass = simpson(along, x=s) + np.einsum("ik,kl,jl->ij", modes.shape[:, -1], tip.matrix, modes.shape[:, -1])
    assert_allclose(mass, np.eye(4), atol=2e-4)


def test_added_mass_never_raises_a_frequency():
    span = Span(axis=L, stiffness=coupled(), inertia=np.diag([2.0, 2.0, 2.0, 0.01, 0.006, 0.004]))
    bare = span.frequencies(5)
    assert (span.frequencies(5, masses=[PointMass(at=1.1, mass=3.0)]) <= bare * (1 + 1e-9)).all()


def test_stiff_directions_do_not_spoil_the_others():
    f = [Span(axis=L, stiffness=slender(EI, stiff=k), inertia=THIN).frequencies(1)[0] for k in (1e12, 1e16)]
    assert f[0] == pytest.approx(f[1], rel=1e-7)


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: Span(axis=L, stiffness=BENDS).frequencies(2), "nothing to vibrate"),
        (lambda: Span(axis=L, stiffness=BENDS, inertia=THIN).frequencies(0), ">= 1"),
        (
            lambda: Span(axis=L, stiffness=BENDS).frequencies(9, masses=[PointMass(at=L, mass=1)]),
            "fewer masses",
        ),
        (lambda: Span(axis=L, stiffness=BENDS, inertia=-THIN).frequencies(1), "positive"),
        (lambda: PointMass(at=L, mass=-1), ">= 0"),
        (lambda: PointMass(at=L, mass=1, inertia=-np.eye(3)), "semi-definite"),
        (
            lambda: Span(
                axis=L,
                stiffness=BENDS,
                inertia=THIN,
                supports=[Support.clamp(), Support.motions(L, ("u2",), play=1e-3, name="loose")],
            ).frequencies(1),
            "play.*loose u2",
        ),
    ],
)
def test_bad_input(make, message):
    with pytest.raises(ValueError, match=message):
        make()
