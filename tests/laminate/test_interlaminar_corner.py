"""Stress in a corner: equilibrium, compatibility, limits and bad input."""

import numpy as np
import pytest
import sympy as sp
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from printed import printed

from laminate.interlaminar import corner_stress, radial_peak

STACK = {"E_hoop": 60e9, "E_radial": 9e9, "G": 4e9, "nu": 0.3}
ISOTROPIC = {"E_hoop": 70e9, "E_radial": 70e9, "G": 70e9 / 2.6, "nu": 0.3}
A, T = 5e-3, 3e-3


def test_theory_satisfies_compatibility():
    """The exponents: strains of the two stress states are compatible for every E_hoop, E_radial, G, nu."""
    r, th, E, Er, G, nu = sp.symbols("r theta E E_r G nu", positive=True)
    p = sp.symbols("p")

    def residual(s, h, t):
        """Check equilibrium; return compatibility, as a polynomial in the exponent p of s ~ r^p."""
        plain = [sp.expand(part / r**p, power_base=True) for part in (
            s.diff(r) + t.diff(th) / r + (s - h) / r, t.diff(r) + h.diff(th) / r + 2 * t / r)]  # fmt: skip
        assert [sp.powsimp(sp.expand(part)) for part in plain] == [0, 0]
        er, eh, g = s / Er - nu * h / E, h / E - nu * s / E, t / G
        gap = (r * eh).diff(r, 2) * r + er.diff(th, 2) - r * er.diff(r) - (r * g.diff(th)).diff(r)
        return sp.expand(sp.powsimp(sp.expand(gap / r**p)))

    f = r**p
    moment = residual(f, f + r * f.diff(r), sp.Integer(0))
    force = residual(f * sp.sin(th), (2 * f + r * f.diff(r)) * sp.sin(th), -f * sp.cos(th))
    k, q = sp.sqrt(E / Er), sp.sqrt(1 + E / Er - 2 * nu + E / G)
    assert [sp.expand(moment.subs(p, power)) for power in (0, k - 1, -k - 1)] == [0, 0, 0]
    assert [sp.expand(force.subs(p, power)) for power in (-1, q - 1, -q - 1)] == [0, 0, 0]
    assert sp.expand(moment.subs(p, q - 1)) != 0


def test_stress_of_an_orthotropic_corner_is_compatible():
    """What the code returns, put into the compatibility of the test above by differences."""
    r, d = corner_stress(A, T, points=4001, **STACK).radius, T / 4000
    E, Er, G, nu = STACK.values()

    def strains(found):
        return found.radial / Er - nu * found.hoop / E, found.hoop / E - nu * found.radial / E

    def slope(f):
        return np.gradient(f, d, edge_order=2)

    inside = slice(20, -20)
    er, eh = strains(corner_stress(A, T, 1.0, points=4001, **STACK))
    terms = [r * slope(slope(r * eh)), -r * slope(er)]
    assert abs(sum(terms)[inside]).max() < 1e-4 * abs(terms[0]).max()
    # N through the center of the arc at theta = 90 degrees; the shear that V = 1 makes at theta = 0 is phi.
    er, eh = strains(corner_stress(A, T, A + T / 2, 1.0, points=4001, **STACK))
    phi = corner_stress(A, T, 0.0, 0.0, 1.0, points=4001, **STACK).shear
    terms = [r * slope(slope(r * eh)), -er - r * slope(er), -slope(r * phi) / G]
    assert abs(sum(terms)[inside]).max() < 1e-4 * max(abs(term).max() for term in terms)


MODULUS = st.floats(0.2e9, 30e9)
SIZE = st.floats(1e-3, 5.0)
LOAD = st.floats(-1.0, 1.0)


@given(E=MODULUS, G=st.floats(0.1e9, 3e9), t=SIZE, M=LOAD, N=LOAD, V=LOAD)
@settings(max_examples=60, deadline=None)
def test_stress_carries_the_load_and_leaves_the_faces_free(E, G, t, M, N, V):
    found = corner_stress(1.0, t, M, N, V, E_hoop=E, E_radial=1e9, G=G, nu=0.2, points=2001)
    simpson = np.full(2001, 2.0)
    simpson[1::2], simpson[[0, -1]] = 4.0, 1.0
    w = simpson * t / 2000 / 3
    middle = 1.0 + t / 2
    scale = abs(M) + abs(N) * (1 + t) + abs(V) + 1e-300
    assert abs((found.hoop * w).sum() - N) < 1e-6 * scale
    assert abs((found.hoop * (found.radius - middle) * w).sum() + M) < 1e-6 * scale
    assert abs((found.shear * w).sum() - V) < 1e-6 * scale
    largest = abs(found.radial).max()
    assert_allclose(found.radial[[0, -1]], 0.0, atol=1e-8 * largest + 1e-300)
    assert_allclose(found.shear[[0, -1]], 0.0, atol=1e-8 * abs(found.shear).max() + 1e-300)
    # Equilibrium inside: sigma_hoop = d(r sigma_r)/dr for the moment alone.
    alone = corner_stress(1.0, t, 1.0, E_hoop=E, E_radial=1e9, G=G, nu=0.2, points=2001)
    slope = np.gradient(alone.radius * alone.radial, alone.radius, edge_order=2)
    assert_allclose(slope, alone.hoop, atol=2e-4 * abs(alone.hoop).max())


def test_signs():
    """Opening puts tension inside and through the thickness."""
    opened = corner_stress(A, T, 1.0, **STACK)
    assert opened.hoop[0] > 0 > opened.hoop[-1]
    assert (opened.radial[1:-1] > 0).all()
    # Tension spread evenly over the thickness acts inward by N/r: compression through the thickness inside.
    assert corner_stress(A, T, 0.0, 1.0, **STACK).radial.min() < 0
    assert (corner_stress(A, T, 0.0, 0.0, 1.0, **STACK).shear[1:-1] > 0).all()


def test_flat_limit_is_a_beam():
    """Radius far above thickness: bending 6 M/t^2, shear 3 V/2t, radial 3 M/(2 t R)."""
    t, R = 1e-3, 1.0
    found = corner_stress(R, t, 2.0, 30.0, 5.0, points=3, **STACK)
    beam = 30.0 / t + 6 * 2.0 / t**2 * np.array([1.0, 0.0, -1.0])
    assert_allclose(found.hoop, beam, atol=4 * t / R * beam.max())
    assert found.shear[1] == pytest.approx(1.5 * 5.0 / t, rel=2e-3)
    peak, _ = radial_peak(R, t, 2.0, **STACK)
    assert peak == pytest.approx(1.5 * 2.0 / (t * R), rel=2e-3)


def test_smooth_across_the_isotropic_case():
    """r^(k-1) turns into ln r at k = 1; nothing may jump there."""
    around = [1 - 1e-5, 1 - 1e-9, 1.0, 1 + 1e-9, 1 + 1e-5]
    hoop = corner_stress(A, T, 1.0, 0.2, E_hoop=np.array(around) * 9e9, E_radial=9e9, G=4e9, nu=0.3).hoop
    assert_allclose(hoop, np.broadcast_to(hoop[2], hoop.shape), rtol=1e-4, atol=1e-5 * abs(hoop).max())
    assert_allclose(hoop[1] + hoop[3], 2 * hoop[2], rtol=1e-9)


def test_peak_is_the_largest_of_many_points():
    for M, N in ((1.0, 0.0), (1.0, 300.0), (0.5, -200.0)):
        stress, radius = radial_peak(A, T, M, N, **STACK)
        many = corner_stress(A, T, M, N, points=20001, **STACK)
        assert stress == pytest.approx(many.radial.max(), rel=1e-7)
        assert radius == pytest.approx(many.radius[many.radial.argmax()], abs=T / 20000)
    closing, at = radial_peak(A, T, -1.0, **STACK)
    assert (closing, at) == (0.0, A)


@pytest.mark.parametrize(
    ("name", "value", "match"),
    [
        ("thickness", 0.2, "0.95 of the outer radius; in mm"),
        ("nu", 3.0, "the other ratio"),
        ("E_hoop", 9.0, "given in GPa or MPa"),
        ("E_radial", 9.0, "given in GPa or MPa"),
        ("G", 4.0, "given in GPa or MPa"),
    ],
)
def test_what_no_corner_can_be_is_refused(name, value, match):
    given = {"inner_radius": A, "thickness": T, "moment": 1.0, **STACK, name: value}
    for function in (corner_stress, radial_peak):
        with pytest.raises(ValueError, match=match):
            function(**given)


def test_the_limit_of_poisson_is_excluded():
    """nu^2 = E_hoop / E_radial makes the compliance of the corner singular."""
    moduli = {**STACK, "E_hoop": 2e9, "E_radial": 8e9, "nu": 0.5}
    for function in (corner_stress, radial_peak):
        with pytest.raises(ValueError, match="nu"):
            function(inner_radius=A, thickness=T, moment=1.0, **moduli)


@pytest.mark.parametrize(("ratio", "below"), [(1.3, "0.001"), (2.0, "0.009"), (3.0, "0.019")])
def test_quick_estimate(ratio, below):
    """3 M/(2 t sqrt(a b)), common in corner sizing, lies this far below the peak. Derived."""
    estimate = 3 / (2 * (ratio - 1) * np.sqrt(ratio))
    peak, _ = radial_peak(1.0, ratio - 1, 1.0, **ISOTROPIC)
    assert peak / estimate - 1 == printed(below)


@pytest.mark.parametrize("ratio", [1.2, 2.0, 3.0])
def test_force_at_the_end(ratio):
    """Radial force P on the section theta = 0: Timoshenko and Goodier, art. 33, from memory.

    sigma_r = (P/N) (r + a^2 b^2/r^3 - (a^2+b^2)/r) sin(theta), N = a^2 - b^2 + (a^2+b^2) ln(b/a),
    sigma_theta = (P/N) (3 r - a^2 b^2/r^3 - (a^2+b^2)/r) sin(theta).
    """
    a, b = 1.0, ratio
    # At theta = 90 degrees the resultant N passes through the center of the arc, so that the moment about
    # mid-thickness is N (a + b)/2, opening.
    found = corner_stress(a, b - a, (a + b) / 2, 1.0, 0.7, **ISOTROPIC)
    r = found.radius
    scale = a**2 - b**2 + (a**2 + b**2) * np.log(b / a)
    radial = (r + a**2 * b**2 / r**3 - (a**2 + b**2) / r) / scale
    hoop = (3 * r - a**2 * b**2 / r**3 - (a**2 + b**2) / r) / scale
    # Their P turns both signs: here N is tension.
    assert_allclose(found.radial, -radial, atol=1e-10 * abs(radial).max())
    assert_allclose(found.hoop, -hoop, atol=1e-10 * abs(hoop).max())
    assert_allclose(found.shear, -0.7 * radial, atol=1e-10 * abs(radial).max())


@pytest.mark.parametrize(
    ("ratio", "peak", "place"),
    [(1.3, "4.3911", "1.1337"), (2.0, "1.0699", "1.3596"), (3.0, "0.44139", "1.5722")],
)
def test_peak_of_an_isotropic_corner(ratio, peak, place):
    """Derived from Timoshenko and Goodier, art. 29: stress times a^2/M, and radius over a."""
    stress, radius = radial_peak(1.0, ratio - 1, 1.0, **ISOTROPIC)
    assert stress == printed(peak)
    assert radius == printed(place)
