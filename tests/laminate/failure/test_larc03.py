"""LaRC03: parameters, constants, modes, and the first crossing in compression, however short the violation.

The second way is a dense search: the index as printed at very many points of each load path.
"""

from dataclasses import replace
from functools import partial

import numpy as np
import pytest
from failure_book import compare
from failure_book import larc03 as larc03_book
from failure_cases import EXERCISE, G12, GLASS, M1, PLIES, limits_of

from laminate.failure import Hashin, LaRC03, Mode, larc03
from laminate.failure.kinking import CrackPlane, TurnedFibers, kinking_angle
from laminate.failure.larc03 import _steep_planes, _worst_plane
from laminate.failure.searched_piece import SearchedPiece

ply = pytest.mark.parametrize("allowables", PLIES.values(), ids=PLIES.keys())
BARE = replace(M1, e1t=None, e1c=None, e2t=None, e2c=None, g12=None)


def test_parameters_are_those_of_the_printed_formula():
    book = partial(larc03_book, limits=limits_of(LaRC03(), M1), G=7.17e9, g=0.8, angle=55.0)
    criterion = LaRC03(shear_modulus=7.17e9, toughness_ratio=0.8, fracture_angle_deg=55.0)
    compare(criterion, book, M1, 15, rtol=1e-5)


def test_larc03_without_shear_modulus_or_strain_is_refused():
    with pytest.raises(ValueError, match="G12"):
        LaRC03().ratio([1e6, 0, 0], BARE)
    assert LaRC03(shear_modulus=7e9).ratio([0, 1e6, 0], BARE) == pytest.approx(40, rel=1e-14)


def test_larc03_strengths_that_no_kinking_explains_are_refused():
    with pytest.raises(ValueError, match="kink"):
        LaRC03().ratio([1e6, 0, 0], replace(M1, Xc=150e6))


def test_larc03_toughness_bounds_the_matrix_tension_curve():
    # g = 1 is the circle of Hashin, g = 0 the parabola 1 - s2/Yt = (t12/S)^2
    s = np.array([0, 20e6, 34e6])
    assert LaRC03(toughness_ratio=1.0).ratio(s, M1) == pytest.approx(float(Hashin().ratio(s, M1)), rel=1e-13)
    a, b = (34 / 68) ** 2, 20 / 40
    assert LaRC03(toughness_ratio=0.0).ratio(s, M1) == pytest.approx(
        (-b + np.sqrt(b * b + 4 * a)) / (2 * a), rel=1e-13
    )


@pytest.mark.parametrize("s1", [0.0, -900e6])
def test_larc03_crack_planes_are_close_enough(monkeypatch, s1):
    rng = np.random.default_rng(8)
    load = np.stack([0 * rng.random(300) + s1, -246e6 * rng.random(300), 68e6 * rng.random(300)], axis=-1)
    as_is = LaRC03().ratio(load, M1)
    for name, value in (("PLANES", 601), ("DIRECTIONS", 2561)):
        monkeypatch.setattr(larc03, name, value)
    np.testing.assert_allclose(as_is, LaRC03().ratio(load, M1), rtol=2e-5)


def test_pressure_on_the_fracture_plane_holds_shear_back():
    pressed = LaRC03().ratio([0, -50e6, 68e6], M1)
    assert pressed > LaRC03().ratio([0, 0, 68e6], M1) * 1.02


def test_crack_plane_meets_the_transverse_strength():
    for degrees in (45.0001, 50.0, 53.0, 56.0):
        plane = CrackPlane.of(M1, degrees)
        a = np.radians(np.linspace(0, 89, 8901))
        shear = M1.Yc * np.cos(a) * (np.sin(a) - plane.eta_T * np.cos(a))
        assert np.degrees(a[shear.argmax()]) == pytest.approx(degrees, abs=0.011)
        assert shear.max() == pytest.approx(plane.ST, rel=1e-6)


def test_kinking_angle_meets_the_strength_along_the_fiber():
    plane = CrackPlane.of(M1, 53.0)
    angle = kinking_angle(M1, plane.eta_L)
    turned = TurnedFibers(angle=angle, Xc=M1.Xc, shear_modulus=7.17e9)
    s2m, t12m = turned.place(np.array(-M1.Xc), np.array(0.0), np.array(0.0))
    assert t12m + plane.eta_L * s2m == pytest.approx(M1.S, rel=1e-12)


def test_stress_in_turned_fibers_is_a_rotation():
    s1, s2, t12 = np.array(-800e6), np.array(-30e6), np.array(20e6)
    angle, Xc, G = 0.05, 1500e6, 7.17e9
    s2m, t12m = TurnedFibers(angle=angle, Xc=Xc, shear_modulus=G).place(s1, s2, t12)
    a = (t12 + (G - Xc) * angle) / (G + s1 - s2)
    n, t = np.array([-np.sin(a), np.cos(a)]), np.array([np.cos(a), np.sin(a)])
    tensor = np.array([[s1, t12], [t12, s2]])
    assert s2m == pytest.approx(n @ tensor @ n, rel=1e-12)
    assert t12m == pytest.approx(abs(n @ tensor @ t), rel=1e-12)


# The same: ST and eta_L by the printed formulas; ST is also Yc/(2 tan a), by the double angle (derived)
@pytest.mark.parametrize("name", EXERCISE)
@pytest.mark.parametrize("degrees", [50.0, 53.0, 55.0])
def test_larc03_plane_constants(name, degrees):
    a, plane = EXERCISE[name], CrackPlane.of(EXERCISE[name], degrees)
    assert 2 * plane.ST * np.tan(np.radians(degrees)) == pytest.approx(a.Yc, rel=1e-13)
    assert plane.eta_L / a.S == pytest.approx(plane.eta_T / plane.ST, rel=1e-13)


# The same: fibers off by phi fail under Xc alone where Xc (sin cos - eta_L sin^2) = S, over cos^2 and with k = S/Xc
# (k + eta_L) tan^2 - tan + k = 0, the smaller root (derived: roots of the polynomial)
@pytest.mark.parametrize("name", EXERCISE)
def test_larc03_kinking_angle_is_the_smaller_root(name):
    a = EXERCISE[name]
    eta_L, k = CrackPlane.of(a, 53.0).eta_L, a.S / a.Xc
    root = min(np.roots([k + eta_L, -1.0, k]))
    assert np.tan(kinking_angle(a, eta_L)) == pytest.approx(root, rel=1e-12)


# Mode of LaRC03 along the axes and for compression with pressure (derived: by the table of the six criteria)
@pytest.mark.parametrize("name", EXERCISE)
@pytest.mark.parametrize(
    ("stress", "mode"),
    [
        ((1, 0, 0), Mode.FIBER_TENSION),
        ((-1, 0, 0), Mode.FIBER_COMPRESSION),
        ((-1, 0.01, 0.01), Mode.FIBER_COMPRESSION),
        ((0, 1, 0.5), Mode.MATRIX_TENSION),
        ((0, -1, 0.5), Mode.MATRIX_COMPRESSION),
        ((-0.8, -2, 0), Mode.MATRIX_COMPRESSION),
    ],
)
def test_larc03_modes(name, stress, mode):
    a = EXERCISE[name]
    load = np.multiply(stress, [a.Xc, a.Yc if stress[1] < 0 else a.Yt, a.S])
    assert LaRC03(shear_modulus=G12[name]).mode(load, a) == mode


def test_nearly_pure_compression_along_the_fiber_kinks_it():
    across = np.concatenate([-np.linspace(1e3, 2e6, 400), [0.0, 1e3, 1e6]])
    load = np.stack([np.full_like(across, -1000e6), across, 0 * across], axis=-1)
    assert (LaRC03().mode(load, M1) == Mode.FIBER_COMPRESSION).all()


def index(state, allowables, G, g=0.35, angle=53.0, planes=28):
    """The printed index of many states (..., 3); few planes make it a little too low, never too high."""
    t1, c1, t2, c2, s = limits_of(LaRC03(), allowables)
    a0 = np.radians(angle)
    eta_T, eta_L = -1 / np.tan(2 * a0), -s * np.cos(2 * a0) / (c2 * np.cos(a0) ** 2)
    ST, k = c2 * np.cos(a0) * (np.sin(a0) + np.cos(a0) / np.tan(2 * a0)), s / c1
    phi_c = np.arctan((1 - np.sqrt(1 - 4 * (k + eta_L) * k)) / (2 * (k + eta_L)))
    s1, s2, t = state[..., 0], state[..., 1], abs(state[..., 2])

    def cracked(s2, t):
        worst = np.zeros(s2.shape)
        for a in np.linspace(0, a0, planes):
            tT = np.maximum(-s2 * np.cos(a) * (np.sin(a) - eta_T * np.cos(a)), 0)
            tL = np.maximum(np.cos(a) * (t + eta_L * s2 * np.cos(a)), 0)
            worst = np.maximum(worst, (tT / ST) ** 2 + (tL / s) ** 2)
        return worst

    def opened(s2, t):
        return (1 - g) * s2 / t2 + g * (s2 / t2) ** 2 + (t / s) ** 2

    phi = (t + (G - c1) * phi_c) / (G + s1 - s2)
    c, n = np.cos(phi), np.sin(phi)
    s2m, tm = n * n * s1 + c * c * s2 - 2 * n * c * t, abs(n * c * (s2 - s1) + (c * c - n * n) * t)
    kinked = np.where(s2m < 0, (tm + eta_L * s2m) / s, opened(s2m, tm))
    kinked = np.where((G + s1 - s2 <= 0) | (phi > np.pi / 4), np.inf, kinked)
    out = np.maximum(s1 / t1, np.where(s1 < 0, kinked, -np.inf))
    out = np.maximum(out, np.where(s2 >= 0, opened(s2, t), -np.inf))
    out = np.maximum(out, np.where((s2 < 0) & (s1 >= -c2), cracked(s2, t), -np.inf))
    crushed = (s2 < 0) & (s1 < -c2) & (s2m < 0)
    return np.maximum(out, np.where(crushed, cracked(s2m, tm), -np.inf))


def states(allowables, n, seed):
    """Safe residuals of all sizes, and loads away from them, most of them in compression."""
    rng = np.random.default_rng(seed)
    xt, xc, yt, yc, s = limits_of(LaRC03(), allowables)
    low, high = np.array([-1.2 * xc, -1.5 * yc, -1.2 * s]), np.array([0.5 * xt, yt, 1.2 * s])
    residual = rng.uniform(low, high, size=(n, 3)) * rng.choice([0.1, 1.0], size=(n, 1))
    return residual, rng.uniform(low, high, size=(n, 3)) - residual


@ply
@pytest.mark.parametrize("stiff", [True, False])
def test_nothing_is_violated_before_the_ratio(allowables, stiff):
    G = 7e9 if stiff else 1.001 * allowables.Xc  # the fibers turn hardly, or nearly without limit
    residual, load = states(allowables, 2500, 1)
    R = LaRC03(shear_modulus=G).ratio(load, allowables, residual=residual)
    inside = R > 0
    assert 1500 < inside.sum() < 2500
    assert index(residual[~inside], allowables, G, planes=213).min() >= 1 - 1e-4
    residual, load, R = residual[inside], load[inside], R[inside]
    assert np.isfinite(R).all()
    for part in np.linspace(0, 1 - 1e-5, 250):
        assert index((part * R)[:, None] * load + residual, allowables, G, planes=7).max() < 1
    beyond = index((R * (1 + 1e-5))[:, None] * load + residual, allowables, G, planes=213)
    assert beyond.min() >= 1 - 5e-5  # the table of planes is good to 2e-5


# What a search in steps of 12 % of the way passes over: the load path touches the failed region for a short
# while, and meets it for good many times further out.
@pytest.mark.parametrize(
    ("allowables", "G", "residual", "load", "around"),
    [
        (M1, 7.17e9, (-185.575370, -218.959026, -75.9381814), (-580.032884, 15.3292024, 21.9488062), 0.1042),
        (
            GLASS,
            5.83e9,
            (-55.0764307, -97.7040984, -80.7527294),
            (-366.924017, 17.4534221, 131.154378),
            0.1606,
        ),
        (
            M1,
            1.501e9,
            (-242.485067, -213.623850, -76.6305689),
            (-789.771650, -85.6342399, 153.144351),
            0.00445,
        ),
    ],
)
def test_short_violation_is_not_passed_over(allowables, G, residual, load, around):
    residual, load = np.multiply(residual, 1e6), np.multiply(load, 1e6)
    R = float(LaRC03(shear_modulus=G).ratio(load, allowables, residual=residual))
    assert pytest.approx(around, rel=1e-3) == R
    path = np.linspace(0, 20 * R, 20001)
    violated = index(path[:, None] * load + residual, allowables, G, planes=213) >= 1
    first = path[violated.argmax()]
    assert pytest.approx(first, abs=2 * path[1]) == R
    assert not violated[path > 1.2 * R].all()


def test_loop_over_the_printed_formula_agrees_with_the_dense_one():
    residual, _ = states(GLASS, 40, 4)
    many = index(residual, GLASS, 5.83e9, planes=213)
    one = [larc03_book(x, limits_of(LaRC03(), GLASS), G=5.83e9) for x in residual]
    np.testing.assert_allclose(np.maximum(many, 0), np.maximum(one, 0), rtol=1e-9)


@pytest.mark.parametrize("name", ["closed", "opened"])
@ply
def test_functions_of_the_pieces_are_convex_and_not_steeper_than_said(allowables, name):
    rng = np.random.default_rng(3)
    x = rng.uniform(-1.2, 0.8, size=(2, 4000)) * [[allowables.Yc]]
    t = rng.uniform(0, 1.5, size=(2, 4000)) * allowables.S
    share = rng.uniform(size=4000)
    for piece in LaRC03(shear_modulus=7e9).surfaces(allowables):
        if isinstance(piece, SearchedPiece):
            value = getattr(piece.index, name)
            ends = value(x[0], t[0]), value(x[1], t[1])
            between = value(*(share * v[0] + (1 - share) * v[1] for v in (x, t)))
            assert (between <= share * ends[0] + (1 - share) * ends[1] + 1e-12).all()
            run = np.hypot(x[1] - x[0], t[1] - t[0])
            assert (abs(ends[1] - ends[0]) <= piece.index.steepness * run * (1 + 1e-9)).all()


@pytest.mark.parametrize("sign", [1, -1])
def test_bound_on_the_bend_of_the_path_holds(sign):
    rng = np.random.default_rng(6)
    frame = TurnedFibers(angle=0.05, Xc=1.5e9, shear_modulus=7e9)
    low, high = rng.uniform([[-4e9], [-3e8], [0]], [[0], [1e8], [4e8]], size=(2, 3, 4000))
    low[2], high[2] = sign * low[2], sign * high[2]
    bound = frame.bend(low, high, high - low)
    R, h = np.linspace(0.01, 0.99, 40)[:, None], 1e-3
    place = [np.array(frame.place(*(low[:, None] + (R + d) * (high - low)[:, None]))) for d in (-h, 0, h)]
    second = np.hypot(*(place[0] - 2 * place[1] + place[2])) / h**2
    assert (second <= bound * (1 + 1e-3)).all()
    assert (second.max(axis=0) > 0.6 * bound).any()  # and is no idle one


@pytest.mark.parametrize(("degrees", "high"), [(45.0, 2e-5), (53.0, 2e-5), (55.0, 2e-5), (75.0, 6e-4)])
@ply
def test_share_of_strength_is_that_of_the_worst_plane(allowables, degrees, high):
    a, most = allowables, np.radians(degrees)
    plane = CrackPlane.of(a, degrees)
    rng = np.random.default_rng(2)
    s2, t12 = -a.Yc * rng.uniform(0, 1, 500), 1.5 * a.S * rng.uniform(0, 1, 500)
    for least in (0.0, np.radians(0.25)):
        angle = np.linspace(least, most, 5001)[:, None]
        c, s = np.cos(angle), np.sin(angle)
        tT = np.maximum(-s2 * c * (s - plane.eta_T * c), 0) / plane.ST
        tL = np.maximum(c * (t12 + plane.eta_L * s2 * c), 0) / a.S
        got = _worst_plane(a, plane, _steep_planes(a, plane, most), least)(s2, t12)
        error = got / np.hypot(tT, tL).max(axis=0) - 1
        assert error.min() > -2e-5
        assert error.max() < high


def test_fibers_that_have_turned_by_more_than_45_degrees_have_failed():
    turned = TurnedFibers(angle=0.05, Xc=1.5e9, shear_modulus=7e9)
    for t12 in (-30e6, 30e6):
        s1 = np.array([0.999, 1.001]) * ((30e6 + 5.5e9 * 0.05) / (np.pi / 4) - 7e9)
        state = np.stack([s1, 0 * s1, t12 + 0 * s1])
        inside = np.all([n @ state > bound for n, bound in turned.limits], axis=0)
        np.testing.assert_array_equal(inside, s1 > s1.mean())
    assert LaRC03(shear_modulus=7.17e9).ratio([-1e6, 0, 0], M1, residual=[-6.5e9, 0.0, 400e6]) == 0
