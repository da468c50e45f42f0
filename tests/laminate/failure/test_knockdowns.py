"""No knockdown raises a strength ratio, in any order; without one the criteria are those of the books."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from failure_cases import M1
from printed import printed

from laminate.failure import CRITERIA, Crush, Fabric, Hoffman, LaRC03, Puck, ShearStrength, TsaiHill, TsaiWu
from laminate.failure.forms import Forms
from laminate.failure.surface import SensedEllipsoid
from materials import Allowables, Factor, Source, tolerance_factor

INVENTED = Source("invented", "for the tests")
STRENGTHS = ("Xt", "Xc", "Yt", "Yc", "S")
STRAINS = ("e1t", "e1c", "e2t", "e2c", "g12")
TAPE = (900, 2500), (700, 1600), (30, 100), (110, 280), (60, 160)
FABRIC = (400, 950), (350, 800), (400, 800), (350, 750), (60, 160)
OTHERS = (
    TsaiWu(kind="fabric"),
    TsaiWu(interaction=0.4),
    Fabric(),
    Fabric(shear_share=0.3),
    Puck(fiber=False),
    ShearStrength(),
    Crush(),
)


def factor(value, on, name="factor"):
    return Factor(name=name, value=value, on=on, source=INVENTED)


def random_allowables(rng, limits):
    values = {name: rng.uniform(*span) * 1e6 for name, span in zip(STRENGTHS, limits, strict=True)}
    moduli = (150e9, 150e9, 9e9, 9e9, 5e9)
    strains = {e: values[x] / m for e, x, m in zip(STRAINS, STRENGTHS, moduli, strict=True)}
    return Allowables(**values, **strains, basis="mean", condition="room", source=INVENTED)


def random_factor(rng, name):
    on = [n for n in STRENGTHS if rng.random() < 0.5] or [str(rng.choice(STRENGTHS))]
    return factor(float(rng.uniform(0.5, 1.0)), (*on, *(STRAINS[STRENGTHS.index(n)] for n in on)), name)


def rise(before, after):
    """Largest factor by which a ratio goes up; infinite where zero becomes positive."""
    with np.errstate(divide="ignore", invalid="ignore"):
        up = np.where(before == after, 1.0, after / before)
    return up.max()


@pytest.mark.parametrize("criterion", [*CRITERIA, *OTHERS], ids=lambda c: c.name)
def test_no_knockdown_raises_a_ratio(criterion):
    """1e5 pairs: one, two factors, each order, one of them harsher; random strengths, loads, residuals."""
    rng = np.random.default_rng(11)
    steep = criterion.name == "larc03"  # followed by steps: fewer, larger sets
    sets, states = (10, 1700) if steep else (20, 850)
    criterion = LaRC03(shear_modulus=5e9) if steep else criterion
    worst, pairs = 0.0, 0
    for _ in range(sets):
        fabric = "tape" not in criterion.suits or getattr(criterion, "kind", "tape") == "fabric"
        stated = random_allowables(rng, FABRIC if fabric else TAPE)
        one, two = random_factor(rng, "one"), random_factor(rng, "two")
        harsher = replace(one, value=one.value * float(rng.uniform(0.6, 1.0)))
        a = stated.strains if criterion.takes == "strain" else [getattr(stated, n) for n in STRENGTHS]
        scale = np.array([max(a[:2]), max(a[2:4]), a[4]])
        load = rng.normal(size=(states, 3)) * scale * rng.choice([0.1, 1.0, 1.0], size=(states, 3))
        fixed = rng.uniform(-0.2, 0.2, size=(states, 3)) * scale * [1.0, 0.3, 1.0]
        first, last = (criterion.ratio(load, stated, residual=fixed) for _ in range(2))
        for chain in ((), (one,), (one, two), (harsher, two)), ((), (two,), (two, one), (two, harsher)):
            ratios = [criterion.ratio(load, stated.times(*factors), residual=fixed) for factors in chain]
            worst = max(worst, *(rise(b, a) for b, a in pairwise(ratios)))
            pairs += 3 * states
            first, last = last, ratios[-1]
        np.testing.assert_allclose(first, last, rtol=1e-9)
    assert pairs > 1e5
    assert worst < 1 + 1e-9


X0 = Allowables(
    Xt=2170e6, Xc=1450e6, Yt=1.12 * 2**0.5 * 48.9e6, Yc=199e6, S=155e6,
    basis="typical", condition="room", source=INVENTED,
)  # fmt: skip
CHAIN = (
    factor(1 - 0.05 * float(tolerance_factor(30, basis="A")), STRENGTHS, "basis"),
    factor(0.8, ("Xc", "Yt", "Yc", "S"), "hot wet"),
    factor(0.7, ("Xc", "Yc"), "impact"),
)
STATES = np.array([(1379.0, 87.0, 0.0), (600.0, -90.0, 60.0)]) * 1e6


def test_tsai_wu_under_a_chain_of_knockdowns():
    """Derived values, to their digits; second way: the index by the sign of each stress, solved by bisection.

    Yt = 77.46 MPa and the basis factor 0.8468 are printed rounded; the values follow from 1.12 sqrt(2) 48.9 MPa and
    1 - 0.05 k_A(30), and with the rounded inputs miss their last digit.
    """
    expected = [("1.0525", "0.7839", "0.6311", "0.6311"), ("1.4739", "1.2515", "1.0406", "0.8281")]
    for state, row in zip(STATES, expected, strict=True):
        for n, value in enumerate(row):
            got = float(TsaiWu().ratio(state, X0.times(*CHAIN[:n])))
            assert got == printed(value)
            assert got == pytest.approx(by_sign(state, X0.times(*CHAIN[:n]), -0.5), rel=1e-9)


def by_sign(state, a, interaction, residual=(0.0, 0.0, 0.0)):
    """Smallest ratio by bisection of the index with the strengths of the sign of each stress."""
    o = a.stated

    def index(R):
        s1, s2, t = R * np.asarray(state) + residual
        out = (t / a.S) ** 2 + 2 * interaction / np.sqrt(o.Xt * o.Xc * o.Yt * o.Yc) * s1 * s2
        for s, T, C, T0, C0 in ((s1, a.Xt, a.Xc, o.Xt, o.Xc), (s2, a.Yt, a.Yc, o.Yt, o.Yc)):
            out += s / T - s / C0 + s**2 / (T * C0) if s >= 0 else s / T0 - s / C + s**2 / (T0 * C)
        return out

    low, high = 0.0, 100.0
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if index(middle) < 1 else (low, middle)
    return low


def test_tsai_wu_with_residual_against_bisection():
    rng = np.random.default_rng(2)
    load = rng.normal(size=(300, 3)) * [1e9, 4e7, 6e7]
    fixed = rng.uniform(-1, 1, size=(300, 3)) * [2e8, 1.5e7, 2e7]
    reduced = X0.times(*CHAIN)
    got = TsaiWu(interaction=0.0).ratio(load, reduced, residual=fixed)
    for R, s, r in zip(got, load, fixed, strict=True):
        at = np.abs(R * s + r)
        if (at[:2] < [1450e6, 77e6]).all():  # beyond the stated strengths the larger term counts
            assert pytest.approx(by_sign(s, reduced, 0.0, r), rel=1e-9) == R


@pytest.mark.parametrize("criterion", [TsaiWu(), TsaiWu(interaction=0.6), Hoffman()], ids=lambda c: c.name)
def test_the_pieces_by_sense_are_the_least_of_their_ellipsoids(criterion):
    rng = np.random.default_rng(3)
    load = rng.normal(size=(20_000, 3)) * [2e9, 3e8, 1e8]
    load[::50] = 0
    fixed = rng.uniform(-1, 1, size=(20_000, 3)) * [1.2e9, 6e7, 9e7]
    reduced = X0.times(*CHAIN)
    (piece,) = criterion.surfaces(reduced)
    assert isinstance(piece, SensedEllipsoid)
    assert len(piece.surfaces) == 4
    s = tuple(load.T / abs(load).max(axis=1).clip(1e-300))
    for r in (None, tuple(fixed.T)):
        with np.errstate(all="ignore"):
            each = [one.crossing(s, r, np.full(len(load), np.inf)) for one in piece.surfaces]
            got = piece.crossing(s, r, np.full(len(load), np.inf))
        np.testing.assert_allclose(got, np.min(each, axis=0), rtol=1e-9)


def test_forms_take_the_pieces_by_sense():
    rng = np.random.default_rng(4)
    reduced, residual = X0.times(*CHAIN), np.array([5e7, 1e7, -5e6])
    forms = Forms.of([(TsaiWu().surfaces(reduced), np.eye(3), residual)])
    assert len(forms.linear) == 4
    load = rng.normal(size=(500, 3)) * [1e9, 6e7, 6e7]
    want = TsaiWu().ratio(load, reduced, residual=residual)
    np.testing.assert_allclose(forms.ratio(load), want, rtol=1e-9)


@pytest.mark.parametrize(
    "criterion", [TsaiWu(), TsaiWu(kind="fabric"), Hoffman(), Fabric(), TsaiWu(interaction=0.8)], ids=repr
)
def test_reduced_safe_states_stay_convex(criterion):
    rng = np.random.default_rng(6)
    for _ in range(5):
        limits = FABRIC if "tape" not in criterion.suits else TAPE
        a = random_allowables(rng, limits).times(random_factor(rng, "one"), random_factor(rng, "two"))
        ends = rng.normal(size=(2, 4_000, 3)) * [max(a.Xt, a.Xc), max(a.Yt, a.Yc), a.S]
        one, other = ends * criterion.ratio(ends, a)[..., None]
        share = rng.uniform(0.02, 0.98, size=(4_000, 1))
        assert criterion.ratio(share * one + (1 - share) * other, a).min() >= 1 - 1e-9


@pytest.mark.parametrize("criterion", CRITERIA, ids=lambda c: c.name)
def test_uniaxial_strengths_are_the_reduced_ones(criterion):
    reduced = M1.times(factor(0.6, ("Xt", "e1t")), factor(0.7, ("Xc", "Yc", "e1c", "e2c", "S"), "other"))
    if criterion.takes == "stress":
        loads = np.array([(reduced.Xt, 0, 0), (-reduced.Xc, 0, 0), (0, reduced.Yt, 0), (0, -reduced.Yc, 0)])
        assert criterion.ratio(loads, reduced) == pytest.approx(1.0, rel=1e-9)
        assert criterion.ratio([0.0, 0.0, reduced.S], reduced) == pytest.approx(1.0, rel=1e-9)


def test_without_a_knockdown_the_surface_is_the_plain_one():
    for criterion in (TsaiWu(), Hoffman()):
        (surface,) = criterion.surfaces(X0)
        assert surface.linear[0][1] == pytest.approx(1 / X0.Xt - 1 / X0.Xc, rel=1e-14)
    assert not any(p.mode.in_fiber and p.within == () for p in LaRC03(shear_modulus=5e9).surfaces(M1)[1:])
    assert TsaiHill().surfaces(M1)[0].quadratic[1][2] == -1 / M1.Xt**2


def test_friction_of_larc03_follows_the_coupon_and_not_the_strength_in_situ():
    """Raised S alone would raise the friction, and with it the ratio under transverse compression, twice."""
    coupon = replace(X0, Xc=1200.1e6, Yt=62.3e6, Yc=199.8e6, S=92.3e6)
    raised = replace(coupon, S=130.2e6)
    plain = LaRC03(shear_modulus=5290e6)
    bound = replace(plain, coupon_shear_strength=92.3e6)
    state = [0.0, -120e6, 60e6]
    assert plain.ratio(state, coupon) < bound.ratio(state, raised) < plain.ratio(state, raised)
    assert bound.ratio(state, coupon) == plain.ratio(state, coupon)
