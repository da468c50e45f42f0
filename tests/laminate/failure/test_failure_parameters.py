"""Parameters of single criteria: their effect, their limits, and what is refused."""

from dataclasses import replace

import numpy as np
import pytest
from failure_cases import GLASS, M1

from laminate.failure import fracture_angle, hashin, hoffman, larc03, max_strain, puck, tsai_hill, tsai_wu
from laminate.failure.kinking import CrackPlane, TurnedFibers, kinking_angle
from laminate.failure.puck import action_plane_resistance

BARE = replace(M1, e1t=None, e1c=None, e2t=None, e2c=None, g12=None)
SWAPPED = replace(M1, Xt=30e6, Xc=60e6, Yt=1500e6, Yc=1200e6)


@pytest.mark.parametrize("interaction", [-1.0, 1.0, 1.3, np.nan, np.inf])
def test_open_tsai_wu_surface_is_refused(interaction):
    with pytest.raises(ValueError, match="tsai_wu: interaction"):
        tsai_wu([1e6, 0, 0], M1, interaction=interaction)


@pytest.mark.parametrize("interaction", [-0.999999, 0.999999])
def test_nearly_open_tsai_wu_surface_is_met_in_every_direction(interaction):
    angle = np.linspace(0, 2 * np.pi, 721)
    load = np.stack([np.cos(angle) * 1500e6, np.sin(angle) * 99e6, 0 * angle], axis=-1)
    assert np.isfinite(tsai_wu(load, M1, interaction=interaction)).all()


def test_hoffman_is_tsai_wu_with_the_interaction_of_hill():
    load = np.random.default_rng(3).normal(size=(50, 3)) * [1e9, 1e8, 5e7]
    for a in (M1, GLASS):
        interaction = -0.5 * np.sqrt(a.Yt * a.Yc / (a.Xt * a.Xc))
        np.testing.assert_allclose(hoffman(load, a), tsai_wu(load, a, interaction=interaction), rtol=1e-12)


@pytest.mark.parametrize("criterion", [hoffman, tsai_hill])
def test_swapped_axes_leave_the_surface_open(criterion):
    with pytest.raises(ValueError, match="swapped"):
        criterion([1e6, 0, 0], SWAPPED)


def test_equal_strengths_make_hill_mises():
    a = replace(M1, Xt=300e6, Xc=300e6, Yt=300e6, Yc=300e6, S=300e6 / np.sqrt(3))
    s = np.random.default_rng(4).normal(size=(40, 3)) * 100e6
    mises = np.sqrt(s[:, 0] ** 2 - s[:, 0] * s[:, 1] + s[:, 1] ** 2 + 3 * s[:, 2] ** 2)
    for criterion in (tsai_hill, hoffman, tsai_wu):
        np.testing.assert_allclose(criterion(s, a), 300e6 / mises, rtol=1e-12)


def test_strain_criterion_without_strains_is_refused():
    with pytest.raises(ValueError, match="no e1t, e1c, e2t, e2c, g12"):
        max_strain([1e-3, 0, 0], BARE)


@pytest.mark.parametrize(
    ("parameters", "match"),
    [
        ({"transverse_shear": 0.0}, "transverse_shear"),
        ({"transverse_shear": np.nan}, "transverse_shear"),
        ({"shear_share": 1.1}, "shear_share"),
        ({"shear_share": -0.1}, "shear_share"),
    ],
)
def test_hashin_refuses(parameters, match):
    with pytest.raises(ValueError, match=match):
        hashin([1e6, 0, 0], M1, **parameters)


@pytest.mark.parametrize(
    ("parameters", "match"),
    [
        ({"inclination_compression": 0.0}, "inclination_compression"),
        ({"inclination_compression": 1.0}, "inclination_compression"),
        ({"inclination_tension": -0.1}, "inclination_tension"),
        ({"inclination_tension": 1.0}, "inclination_tension"),
        ({"fiber_coupling": np.inf}, "fiber_coupling"),
    ],
)
def test_puck_refuses(parameters, match):
    with pytest.raises(ValueError, match=match):
        puck([1e6, 0, 0], M1, **parameters)


def test_puck_is_not_for_woven_plies():
    with pytest.raises(ValueError, match="woven"):
        puck([1e6, 0, 0], replace(M1, Yt=600e6, Yc=500e6))


def test_puck_inclinations_are_the_slopes_at_zero_transverse_stress():
    # t12(s2) on the curve: slope from points a hair to the left and right of s2 = 0
    for side, p in ((1, 0.35), (-1, 0.30)):
        load = np.array([0, side * 1e-4 * M1.S, M1.S])
        on_curve = load * puck(load, M1)
        slope = (on_curve[2] - M1.S) / on_curve[1]
        assert slope == pytest.approx(-p, abs=1e-3)


@pytest.mark.parametrize("allowables", [M1, GLASS])
def test_puck_curve_has_no_step_where_modes_meet(allowables):
    RA, pp = action_plane_resistance(allowables, inclination_compression=0.25)
    corner = np.array([0, -RA, allowables.S * np.sqrt(1 + 2 * pp)])
    for point in (corner, np.array([0, 0, allowables.S])):
        nearby = point + np.array([[0, -1, 0], [0, 0, 0], [0, 1, 0]])  # +- 1 Pa
        assert puck(nearby, allowables, inclination_compression=0.25) == pytest.approx(1, abs=1e-7)


def test_puck_with_a_steep_inclination_has_no_second_branch():
    # p Yt > S / 2: cleared of the root, mode A is a hyperbola whose other branch is no failure surface
    residual = np.array([[0, s2, 0] for s2 in (41e6, 100e6, 400e6, 1000e6)])
    np.testing.assert_array_equal(puck([1e6, 0, 0], M1, residual=residual, inclination_tension=0.95), 0.0)


def test_puck_fiber_coupling_takes_transverse_stress_off_the_fiber():
    assert puck([1000e6, 20e6, 0], M1, fiber_coupling=0.2) == pytest.approx(
        1500 / (1000 - 0.2 * 20), rel=1e-14
    )
    assert puck([-1000e6, -20e6, 0], M1, fiber_coupling=0.2) == pytest.approx(1500 / 996, rel=1e-14)


def test_puck_fracture_angle_by_mode():
    load = np.array([[0, 1e6, 0], [0, -1e3, 1e6], [0, -1e6, 0], [1e6, 0, 0]])
    _, pp = action_plane_resistance(M1)
    got = fracture_angle(load, M1)
    np.testing.assert_allclose(got[:3], [0, 0, np.arccos(np.sqrt(1 / (2 * (1 + pp))))], atol=1e-12)
    assert np.isnan(got[3])
    shifted = fracture_angle([0, -1e6, 0], M1, residual=[0, -100e6, 0])
    assert shifted == pytest.approx(got[2], rel=1e-12)


@pytest.mark.parametrize(
    ("parameters", "match"),
    [
        ({"toughness_ratio": 1.1}, "toughness_ratio"),
        ({"toughness_ratio": -0.1}, "toughness_ratio"),
        ({"fracture_angle_deg": 40.0}, "fracture_angle_deg"),
        ({"fracture_angle_deg": 80.0}, "fracture_angle_deg"),
        ({"shear_modulus": 7.17}, "shear_modulus"),
        ({"shear_modulus": 0.0}, "shear_modulus"),
    ],
)
def test_larc03_refuses(parameters, match):
    with pytest.raises(ValueError, match=match):
        larc03([1e6, 0, 0], M1, **parameters)


def test_larc03_without_shear_modulus_or_strain_is_refused():
    with pytest.raises(ValueError, match="G12"):
        larc03([1e6, 0, 0], BARE)
    assert larc03([0, 1e6, 0], BARE, shear_modulus=7e9) == pytest.approx(40, rel=1e-14)


def test_larc03_strengths_that_no_kinking_explains_are_refused():
    with pytest.raises(ValueError, match="kink"):
        larc03([1e6, 0, 0], replace(M1, Xc=150e6))


def test_larc03_toughness_bounds_the_matrix_tension_curve():
    # g = 1 is the circle of Hashin, g = 0 the parabola 1 - s2/Yt = (t12/S)^2
    s = np.array([0, 20e6, 34e6])
    assert larc03(s, M1, toughness_ratio=1.0) == pytest.approx(float(hashin(s, M1)), rel=1e-13)
    a, b = (34 / 68) ** 2, 20 / 40
    assert larc03(s, M1, toughness_ratio=0.0) == pytest.approx(
        (-b + np.sqrt(b * b + 4 * a)) / (2 * a), rel=1e-13
    )


@pytest.mark.parametrize("s1", [0.0, -900e6])
def test_larc03_crack_planes_are_close_enough(monkeypatch, s1):
    import sys

    rng = np.random.default_rng(8)
    load = np.stack([0 * rng.random(300) + s1, -246e6 * rng.random(300), 68e6 * rng.random(300)], axis=-1)
    as_is = larc03(load, M1)
    for name, value in (("PLANES", 601), ("DIRECTIONS", 2561)):
        monkeypatch.setattr(sys.modules["laminate.failure.larc03"], name, value)
    np.testing.assert_allclose(as_is, larc03(load, M1), rtol=2e-5)


def test_pressure_on_the_fracture_plane_holds_shear_back():
    pressed = larc03([0, -50e6, 68e6], M1)
    assert pressed > larc03([0, 0, 68e6], M1) * 1.02


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
