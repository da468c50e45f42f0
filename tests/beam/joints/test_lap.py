"""Bondline along an overlap: values of closed forms, limits, equilibrium, and collocation as a second way.

The values named V1 to V12 were computed by the closed forms of Volkersen, Adams & Peppiatt, Hart-Smith, and Goland &
Reissner (from memory, derived anew), and by a boundary value solver of another program.
"""

import numpy as np
import pytest
from printed import printed
from scipy.integrate import solve_bvp

from beam.joints import lap
from beam.joints.lap import Adherend, Bondline

BOND = Bondline(G=0.8e9, E=2.2e9, thickness=0.2e-3)
BOTH = BOND._replace(faces=2)


def elements(length, count=40, kinks=()):
    x = lap.mesh(length, kinks, count)
    return x, np.diff(x)


def unit(K1, K2, length=0.05, bond=BOND):
    """Shear at both ends of a unit load and of a unit mismatch."""
    _, h = elements(length)
    return lap.shear_lag(h, np.full(len(h), K1), np.full(len(h), K2), bond)[[0, -1]]


def adherend(E, t, h, hoop=0.0, R=np.inf, K=None):
    each = np.ones(len(h))
    return Adherend((K or E * t) * each, E * t**3 / 12 * each, t * each, 0.0 * each, hoop * t / R**2 * each)


def strength(K, length, bond, mismatch=0.0, directions=((1.0, 0.0),), count=400, across=None, ultimate=0.5):
    _, h = elements(length, count)
    K1, K2 = (
        np.stack([np.full(count, k), np.full(count, s)], axis=-1) for k, s in zip(K, across or K, strict=True)
    )
    found = lap.shear_strength(
        h, 1 / K1 + 1 / K2, 1 / K2, bond, strength=40e6, ultimate=ultimate, mismatch=mismatch,
        directions=np.array(directions)
    )  # fmt: skip
    return found.min(axis=0)


def test_shear_of_flat_overlaps():
    single = unit(300e6, 213e6)
    assert (single[:, 0] * 0.3).tolist() == [printed("22.3295"), printed("31.4443")]  # V1
    double = unit(280e6, 330e6, bond=BOTH) @ [0.1, -1.5e-9]
    assert double.tolist() == [printed("32.324"), printed("-20.8332")]  # V2
    heat = single[:, 1] * -100 * 21.2e-6 / 1e6
    assert heat.tolist() == [printed("47.3092"), printed("-47.3092")]  # V2b
    x, h = elements(0.05, 400)
    whole = lap.shear_lag(h, np.full(400, 300e6), np.full(400, 213e6), BOND)[:, 0] * 0.3
    i = whole.argmin()
    a, b, c = np.polyfit((x[i - 1 : i + 2] - x[i]) / h[i], whole[i - 1 : i + 2], 2)
    assert c - b**2 / (4 * a) == printed("0.600539")


def test_shear_of_tubes():
    a = 0.03
    for K1, K2, width, load, ends in (
        (51.8363e6, 42.157e6, 2 * np.pi * a, 50e3 / (2 * np.pi * a), ("21.426", "26.3449")),  # V7, axial
        (
            7840.24,
            15730.6,
            2 * np.pi * a**3,
            1500 / (2 * np.pi * a**2),
            ("63.7516", "31.7743"),
        ),  # V8, torsion
        (19600.6, 20915.2, np.pi * a**3, 2500 / (np.pi * a**2), ("83.5857", "78.3325")),  # V9, bending
    ):
        found = unit(K1 / width, K2 / width, 0.06)[:, 0] * load / 1e6
        assert found == pytest.approx([float(end) for end in ends], rel=3e-6)  # the stiffness has six digits


def test_elastic_plastic_strength():
    K1, K2, mismatch = 280e6, 275e6, -(3e-6 - 12e-6) * 100
    assert lap.long_strength((K1, K2), BOTH, 19e6, mismatch)[0] / 1e6 == printed("2.63093")  # V3
    for sign, text in ((1, "2.63093"), (-1, "3.18276")):
        ends = lap.shear_strength(
            *_uniform(K1, K2, 0.15), BOTH, strength=40e6, ultimate=0.5, mismatch=mismatch,
            directions=np.array([[1.0, 0.0]])
        )  # fmt: skip
        assert ends[1 if sign > 0 else 0, 0] / 1e6 == pytest.approx(float(text), rel=1e-5)
    # V3b: aluminum sleeve on carbon; the end of the tube and the mouth
    for dT, late, early in ((0.0, "1.66378", "2.34335"), (-100.0, "2.11534", "1.70735")):
        heat = 21.2e-6 * dT
        pull, push = lap.long_strength((300e6, 213e6), BOND, 19e6, heat)
        assert pull / 1e6 == printed(min(late, early))
        assert push == pytest.approx(
            min(float(late) * 1e6 + 2 * 213e6 * heat, float(early) * 1e6 - 2 * 300e6 * heat), rel=1e-5
        )
    for length, text in ((0.05, "2.91589"), (0.04, "2.89827")):  # V4
        assert strength((280e6, 280e6), length, BOTH)[0] / 1e6 == printed(text)
    assert lap.long_strength((280e6, 280e6), BOTH, 19e6, 0.0)[0] / 1e6 == printed("2.91753")


def _uniform(K1, K2, length, count=600):
    _, h = elements(length, count)
    return h, np.full((count, 2), 1 / K1 + 1 / K2), np.full((count, 2), 1 / K2)


def test_tube_with_peel():
    """V12: R 35 mm, walls of 5 and 3 mm; shear lag alone says 22.33 and 31.44 MPa."""
    _, h = elements(0.05)
    found = lap.sandwich(
        h, adherend(60e9, 5e-3, h, 25e9, 0.035), adherend(71e9, 3e-3, h, 71e9, 0.035), BOND, tube=True
    )
    assert (found["shear"][[0, -1], 0] * 0.3).tolist() == [printed("19.164"), printed("27.541")]
    assert (found["peel"][[0, -1], 0] * 0.3).tolist() == [printed("13.848"), printed("20.042")]
    assert found["end"][0, 0] * 300e3 == printed("-96.539")


def goland_reissner(x, E, t, nu, bond, c, p, k, k1):
    """Shear and peel (node,) of equal adherends, Goland & Reissner (1944, second-hand); x from the middle."""
    beta = np.sqrt(8 * bond.G * t / (E * bond.thickness))
    shear = (
        p
        * t
        / (8 * c)
        * (beta * c / t * (1 + 3 * k) * np.cosh(beta * x / t) / np.sinh(beta * c / t) + 3 * (1 - k))
    )
    m = (6 * bond.E * t / (E * bond.thickness)) ** 0.25 * c / t
    ch, sh, co, si = np.cosh(m), np.sinh(m), np.cos(m), np.sin(m)
    D, R1, R2 = (np.sinh(2 * m) + np.sin(2 * m)) / 2, ch * si + sh * co, sh * co - ch * si
    even = np.cosh(m * x / c) * np.cos(m * x / c)
    odd = np.sinh(m * x / c) * np.sin(m * x / c)
    first, second = R2 * m**2 * k / 2 + m * k1 * ch * co, R1 * m**2 * k / 2 + m * k1 * sh * si
    return shear, p * t**2 / (c**2 * D) * (first * even + second * odd)


def test_flat_lap_of_equal_adherends():
    E, nu, t, c, bond = 72e9, 0.33, 1.6e-3, 12.7e-3, Bondline(0.7e9, 1.9e9, 0.15e-3)
    load = 7500 / 0.0254
    D = E * t**3 / 12 / (1 - nu**2)
    stiff = E * t / (1 - nu**2)
    lever = lap.edge_moments(np.array(load), (stiff, stiff), (D, D), (t, t), 2 * c)
    k = lever / (t / 2)
    assert k.tolist() == [printed("0.449025")] * 2  # V6
    ours = k[0] * c / t * np.sqrt(3 * (1 - nu**2) * load / t / E)
    assert ours == printed("0.29503")
    x, h = elements(2 * c, 60)
    found = lap.sandwich(h, *[adherend(E, t, h)] * 2, bond, tube=False)
    moment = k[0] * t / 2 * load
    shear = found["shear"] @ [load, moment, moment, 0.0]
    peel = found["peel"] @ [load, moment, moment, 0.0]
    assert (shear[[0, 30]] / 1e6).tolist() == [printed("54.1197"), printed("4.8753")]
    # their peel takes k' of the edge; in equilibrium of the undeformed lap it is (1 - k) / 2
    assert goland_reissner(x - c, E, t, nu, bond, c, load / t, k[0], ours)[1][0] / 1e6 == printed("61.6651")
    theirs = goland_reissner(x - c, E, t, nu, bond, c, load / t, k[0], (1 - k[0]) / 2)
    np.testing.assert_allclose(shear, theirs[0], rtol=1e-8)
    np.testing.assert_allclose(peel, theirs[1], rtol=1e-6, atol=1e-7 * peel.max())


def clenshaw_curtis(values, length):
    """Integral over the nodes of `lap.mesh`, exact for smooth functions."""
    n = len(values) - 1
    from numpy.polynomial import chebyshev

    x = -np.cos(np.linspace(0, np.pi, n + 1))
    series = chebyshev.chebint(chebyshev.chebfit(x, values, n))
    return (chebyshev.chebval(1, series) - chebyshev.chebval(-1, series)) * length / 2


def test_equilibrium():
    _, h = elements(0.05)
    lag = lap.shear_lag(h, np.full(40, 300e6), np.full(40, 213e6), BOTH)
    assert 2 * clenshaw_curtis(lag[:, 0], 0.05) == pytest.approx(1.0, rel=1e-10)
    assert clenshaw_curtis(lag[:, 1], 0.05) == pytest.approx(0.0, abs=1e-10 * 0.05 * abs(lag[:, 1]).max())
    one, two = adherend(60e9, 5e-3, h), adherend(71e9, 3e-3, h)
    flat = lap.sandwich(h, one, two, BOND, tube=False)
    shear = [clenshaw_curtis(column, 0.05) for column in flat["shear"].T]
    size = 1e-10 * 0.05 * abs(flat["shear"]).max(axis=0)
    assert (abs(np.array(shear) - [1.0, 0, 0, 0]) < size).all()
    for column, turn in zip(range(4), (4e-3, -1.0, -1.0, 0.0), strict=True):  # V l = N (t1 + t2)/2 - M1 - M2
        across = clenshaw_curtis(flat["peel"][:, column], 0.05)
        assert across * 0.05 == pytest.approx(
            turn, rel=1e-8, abs=1e-8 * max(1.0, abs(flat["peel"][:, column]).max() * 1e-4)
        )
    assert flat["end"][0].tolist() == pytest.approx([0, -1, 0, 0], abs=1e-10)
    assert flat["end"][1].tolist() == pytest.approx([0, 0, 1, 0], abs=1e-10)


def test_limits():
    stiff = unit(1e15, 1e15)[:, 0]
    assert stiff == pytest.approx([20.0, 20.0], rel=1e-4)  # rigid adherends: the mean, 1 / l
    equal = unit(300e6, 300e6)
    assert equal[0, 0] == pytest.approx(equal[1, 0], rel=1e-12)
    peaks = [unit(300e6, 213e6, length)[1, 0] for length in (0.05, 0.1, 0.2)]
    lam = np.sqrt(BOND.G / BOND.thickness * (1 / 300e6 + 1 / 213e6))
    assert peaks[2] == pytest.approx(lam / 2 * (1 + 87 / 513), rel=1e-10)  # a long overlap
    assert peaks[0] == pytest.approx(peaks[2], rel=1e-3)
    _, h = elements(0.05)
    thin = [
        adherend(60e9, 5e-3, h, 25e9, 0.035)._replace(t=np.zeros(40), K=np.full(40, K))
        for K in (300e6, 213e6)
    ]
    found = lap.sandwich(h, *thin, BOND, tube=True)
    assert abs(found["peel"][:, 0]).max() < 1e-9 * found["shear"][0, 0]  # no eccentricity, no peel
    assert found["shear"][[0, -1], 0] == pytest.approx(unit(300e6, 213e6)[:, 0], rel=1e-9)
    assert strength((280e6, 280e6), 0.004, BOND)[0] == pytest.approx(
        40e6 * 0.004, rel=1e-4
    )  # all of it yields
    elastic = strength((300e6, 213e6), 0.05, BOND, ultimate=0.05 * (1 + 1e-9), count=600)[0]
    assert elastic == pytest.approx(40e6 / unit(300e6, 213e6)[1, 0], rel=1e-4)


def test_edge_moments_of_unlike_adherends():
    K, D, t = (300e6, 213e6), (600.0, 160.0), (5e-3, 3e-3)
    none, some, much = lap.edge_moments(np.array([-1e5, 1e5, 1e9]), K, D, t, 0.05)
    soft = np.sqrt(D) / np.sqrt(D).sum()
    assert none == pytest.approx(
        4e-3 * soft, rel=1e-3
    )  # compression: that of a load too small to bend the lap
    assert (some < none).all()
    assert (some > much).all()
    swapped = lap.edge_moments(np.array(1e5), K[::-1], D[::-1], t[::-1], 0.05)
    assert swapped == pytest.approx(some[::-1], rel=1e-12)


@pytest.mark.parametrize("mismatch", [0.0, -1.2e-3])
def test_plastic_strength_by_collocation(mismatch):
    """Load along and across at once: collocation under the load found reaches the ultimate strain, and no more."""
    K, across = (300e6, 213e6), (90e6, 130e6)
    c = np.array([1 / K[0] + 1 / K[1], 1 / across[0] + 1 / across[1]])
    direction, length = np.array([0.8, 0.6]), 0.05
    found = strength(K, length, BOND, mismatch, [direction], across=across)[0]
    N = found * direction

    def rates(_, y):
        size = np.hypot(y[0], y[1])
        secant = np.minimum(BOND.G, 40e6 / np.maximum(size, 1e-12))
        return np.vstack([y[2], y[3], c[:, None] * secant * y[:2] / BOND.thickness])

    x = np.linspace(0, length, 200)
    y = np.zeros((4, x.size))
    for share in (0.3, 0.6, 0.8, 0.9, 0.95, 1.0):
        start = np.array([mismatch - share * N[0] / K[0], -share * N[1] / across[0]]) / BOND.thickness
        end = np.array([mismatch + share * N[0] / K[1], share * N[1] / across[1]]) / BOND.thickness
        out = solve_bvp(rates, lambda a, b, s=start, e=end: np.r_[a[2:] - s, b[2:] - e], x, y, tol=1e-4)
        assert out.success, out.message
        x, y = out.x, out.y
    assert np.hypot(*out.y[:2]).max() == pytest.approx(0.5, rel=2e-3)


def test_tapered_tube_by_collocation():
    """Both adherends tapered, moment about the moving middle of each wall included."""
    l, R, bond = 0.05, 0.035, BOND
    x, h = elements(l, 160)
    middle = (x[1:] + x[:-1]) / 2

    def walls(x):
        return 2e-3 + 3e-3 * (l - x) / l, 1e-3 + 2e-3 * x / l, -3e-3 / l + 0 * x, 2e-3 / l + 0 * x

    t1, t2, d1, d2 = walls(middle)
    one = Adherend(60e9 * t1, 60e9 * t1**3 / 12, t1, d1, 25e9 * t1 / R**2)
    two = Adherend(71e9 * t2, 71e9 * t2**3 / 12, t2, d2, 71e9 * t2 / R**2)
    found = lap.sandwich(h, one, two, bond, tube=True)
    eta, G, E = bond.thickness, bond.G, bond.E
    size = np.array([1.0, 1e-8, 1e-11, 1e-9, 1e-3, 1.0, 1e-11, 1e-9, 1e-3, 1.0])[:, None]

    def rates(x, z):
        N1, g, w1, a1, M1, Q1, w2, a2, M2, Q2 = z * size
        t1, t2, d1, d2 = walls(x)
        D1, D2 = 60e9 * t1**3 / 12, 71e9 * t2**3 / 12
        tau, s = G * g, E / eta * (w2 - w1)
        strain = (1 - N1) / (71e9 * t2) - N1 / (60e9 * t1) + t1 * M1 / (2 * D1) + t2 * M2 / (2 * D2)
        return np.vstack(
            [-tau, strain / eta, a1, M1 / D1, Q1 + t1 * tau / 2 - N1 * d1 / 2, s - 25e9 * t1 / R**2 * w1,
             a2, M2 / D2, Q2 + t2 * tau / 2 + (1 - N1) * d2 / 2, -s - 71e9 * t2 / R**2 * w2]
        ) / size  # fmt: skip

    def ends(a, b):
        a, b = a * size[:, 0], b * size[:, 0]
        D1, D2 = 60e9 * 5e-3**3 / 12, 71e9 * 3e-3**3 / 12
        b1, b2 = ((e * t / R**2 / (4 * D)) ** 0.25 for e, t, D in ((25e9, 5e-3, D1), (71e9, 3e-3, D2)))
        return np.array([
            a[0] - 1, a[8] / 1e-3, a[9], (a[4] / D1 - 2 * b1 * a[3] + 2 * b1**2 * a[2]) / 1e-6,
            (a[5] / D1 - 2 * b1**2 * a[3] + 4 * b1**3 * a[2]) / 1e-3,
            b[0], b[4] / 1e-3, b[5], (b[8] / D2 + 2 * b2 * b[7] + 2 * b2**2 * b[6]) / 1e-6,
            (b[9] / D2 - 2 * b2**2 * b[7] - 4 * b2**3 * b[6]) / 1e-3,
        ])  # fmt: skip

    start = np.linspace(0, l, 201)
    out = solve_bvp(rates, ends, start, np.zeros((10, start.size)), tol=1e-6, max_nodes=20_000)
    assert out.success, out.message
    y = out.sol(x) * size
    np.testing.assert_allclose(found["shear"][:, 0], G * y[1], rtol=0, atol=2e-3 * abs(G * y[1]).max())
    peel = E / eta * (y[6] - y[2])
    np.testing.assert_allclose(found["peel"][:, 0], peel, rtol=0, atol=4e-3 * abs(peel).max())


def test_mismatch_alone_breaks_the_bond():
    assert strength((300e6, 213e6), 0.06, BOND, -21.2e-6 * 500)[0] == 0.0
    assert lap.long_strength((300e6, 213e6), BOND, 19e6, -21.2e-6 * 500)[0] < 0.0


def test_more_overlap_never_weakens_and_stops_helping():
    found = [
        strength((300e6, 213e6), length, BOND, count=80)[0]
        for length in (0.005, 0.01, 0.02, 0.04, 0.08, 0.16)
    ]
    assert (np.diff(found) > -1e-3 * found[-1]).all()
    assert found[-1] == pytest.approx(lap.long_strength((300e6, 213e6), BOND, 19e6, 0.0)[0], rel=2e-3)


def test_across_the_overlap_turned_over_is_the_same():
    both = strength(
        (300e6, 213e6), 0.03, BOND, -5e-4, [(0.6, 0.8), (0.6, -0.8)], across=(90e6, 130e6), count=60
    )
    assert both[0] == pytest.approx(both[1], rel=1e-9)
