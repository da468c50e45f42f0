"""Stress around holes: closed forms, complex potentials as a second way, contact with a fastener."""

import numpy as np
import pytest
from printed import printed

from laminate import Laminate, notch
from laminate.notch import hole_stress as hs
from materials import Lamina, Source, lamina

ISO = hs.SheetModuli(71e9, 71e9, 71e9 / 2.66, 0.33)
IN_PLANE = np.linspace(0.0, np.pi / 2, 25)


def sheet(E1, E2, G12, nu12, code="[0]T"):
    """A single ply of 1 mm with these moduli."""
    ply = Lamina(name="sheet", kind="fabric", E1=E1, E2=E2, G12=G12, nu12=nu12, thickness=1e-3, density=1600.0,
                 source=Source("joints.md"))  # fmt: skip
    return Laminate.from_code(code, ply)


BORON = sheet(240.1e9, 40.2e9, 29.0e9, 0.28)
CARBON = sheet(140e9, 10e9, 5e9, 0.3)
ACROSS = sheet(10e9, 140e9, 5e9, 0.3 * 10 / 140)
ALUMINUM = sheet(71e9, 71e9, 71e9 / 2.66, 0.33)
QUASI = Laminate.from_code("[45/0/-45/90]s", lamina("IM7/8552"))


# --- check values of the reference for joints, own second routes there ----------------------------------


def test_concentration_of_three_sheets():
    for one, value in ((BORON, "4.55065"), (CARBON, "6.90621"), (ACROSS, "2.5785")):
        assert notch.stress_concentration(one) == printed(value)


@pytest.mark.parametrize(
    ("one", "values"),
    [
        (BORON, "4.55065 2.6872 1.87689 1.43479 1.18127"),
        (CARBON, "6.90621 2.64178 1.7973 1.39757 1.17122"),
    ],
)
def test_ligament(one, values):
    found = notch.ligament_stress(one, [1.0, 1.1, 1.25, 1.5, 2.0])
    for value, text in zip(found, values.split(), strict=True):
        assert value == printed(text)


def test_edge_under_an_oblique_pull_and_under_shear():
    c, s = np.cos(np.pi / 6), np.sin(np.pi / 6)
    N = 1e-3 * np.array([c * c, s * s, c * s])
    found = notch.edge_stress(BORON, N, angle=np.radians([0, 45, 90, 120, 135]))
    for value, text in zip(found, ["0.306329", "-0.833429", "2.80201", "3.0277", "2.09442"], strict=True):
        assert value == printed(text)
    found = notch.edge_stress(BORON, [0, 0, 1e-3], angle=np.radians([30, 45, 60, 120, 135]))
    for value, text in zip(found, ["-2.20844", "-3.38079", "-4.51247", "4.51247", "3.38079"], strict=True):
        assert value == printed(text)


def test_finite_width():
    ratio = [0.05, 0.2, 1 / 3]
    for found, texts in (
        (notch.finite_width_factor(ratio), "1.00259 1.04667 1.14815"),
        (notch.finite_width_factor(ratio, concentration=4.55065), "1.00259 1.04623 1.14045"),
    ):
        for value, text in zip(found, texts.split(), strict=True):
            assert value == printed(text)
    np.testing.assert_allclose(
        notch.finite_width_factor(ratio, concentration=3.0), notch.finite_width_factor(ratio)
    )
    np.testing.assert_allclose(notch.finite_width_factor(0.0, concentration=[2.0, 6.0]), 1.0, rtol=1e-14)


def test_open_hole_strength_of_both_criteria_and_fields():
    diameter, KT = np.array([0.6, 1.1, 1.5, 2.2, 5.1]) / 1e3, notch.stress_concentration(BORON)
    width = 1 / notch.finite_width_factor(diameter / 30e-3, concentration=KT)
    for value, text in zip(1 / width, ["1.0004", "1.0014", "1.0026", "1.0057", "1.0327"], strict=True):
        assert value == printed(text)
    for of, criterion, distance, texts in (
        (KT, "point", 0.2e-3, "422.51 349.36 305.85 254.8 178.49"),
        (BORON, "point", 0.2e-3, "414.86 336.34 296.97 253.77 186.3"),
        (KT, "average", 0.53e-3, "373.64 314.6 284.5 249.12 186.48"),
        (BORON, "average", 0.53e-3, "372.63 312.82 283.07 249.25 191.28"),
    ):
        found = 542.8 * notch.open_hole_ratio(of, diameter=diameter, distance=distance, criterion=criterion)
        for value, text in zip(found, texts.split(), strict=True):
            assert value == printed(text)


def test_open_hole_strength_of_a_quasi_isotropic_laminate():
    diameter = np.array([3.175, 6.35, 12.7, 25.4]) / 1e3
    for criterion, distance, texts in (
        ("point", 1.016e-3, "0.717743 0.56147 0.454542 0.395067"),
        ("average", 3.81e-3, "0.74069 0.623127 0.514832 0.436172"),
    ):
        for of, within in ((3.0, 0.0), (QUASI, 2e-7)):
            found = notch.open_hole_ratio(of, diameter=diameter, distance=distance, criterion=criterion)
            for value, text in zip(found, texts.split(), strict=True):
                assert value == pytest.approx(float(text), abs=6e-7 + within)


# --- limits and second ways ------------------------------------------------------------------------------


def test_isotropic_sheet_is_that_of_kirsch():
    g, t = np.linspace(1.0, 5.0, 9), np.linspace(0.0, np.pi, 13)
    np.testing.assert_allclose(notch.ligament_stress(ALUMINUM, g), 1 + 0.5 / g**2 + 1.5 / g**4, rtol=1e-7)
    np.testing.assert_allclose(
        notch.edge_stress(ALUMINUM, [1e-3, 0, 0], angle=t), 1 - 2 * np.cos(2 * t), atol=1e-12
    )
    np.testing.assert_allclose(
        notch.edge_stress(ALUMINUM, [0, 0, 1e-3], angle=t), -4 * np.sin(2 * t), atol=1e-12
    )


def test_ligament_meets_the_edge_and_its_mean_is_its_integral():
    for one in (BORON, CARBON, ACROSS, QUASI):
        moduli = hs.sheet_moduli(one)
        assert hs.ligament(moduli, np.array(1.0)) == pytest.approx(notch.stress_concentration(one), rel=1e-7)
        x, weight = np.polynomial.legendre.leggauss(300)
        for g in (1.05, 1.7, 4.0):
            at = 1 + (x + 1) / 2 * (g - 1)
            mean = weight @ notch.ligament_stress(one, at) / 2
            assert hs.ligament(moduli, np.array(g), mean=True) == pytest.approx(mean, rel=2e-7)


def test_ligament_carries_the_load_that_the_hole_does_not():
    """Equilibrium of half a wide sheet: the excess beside the hole is the load on the diameter."""
    for one in (BORON, CARBON, ACROSS):
        far = 1e6
        excess = (hs.ligament(hs.sheet_moduli(one), np.array(far), mean=True) - 1) * (far - 1)
        assert excess == pytest.approx(1.0, rel=1e-5)


def test_edge_by_lekhnitskii_agrees_with_complex_potentials():
    angle = np.linspace(0.05, np.pi / 2, 9)
    for one in (BORON, CARBON, ACROSS):
        edge = hs.LoadedEdge(hs.sheet_moduli(one), angle)
        found = edge.pulled(1.0, -0.3)[1]
        np.testing.assert_allclose(found, notch.edge_stress(one, [1e-3, -0.3e-3, 0], angle=angle), rtol=1e-10)


@pytest.mark.parametrize("one", [BORON, CARBON, ACROSS, QUASI], ids=["boron", "carbon", "across", "quasi"])
def test_loads_around_a_hole(one):
    """The edge is free of traction and as Lekhnitskii has it, the ligament is its compact form, far away is N."""
    N, t = np.array([3e5, -1e5, 2e5]), np.linspace(-3.0, 3.1, 40)
    c, s = np.cos(t), np.sin(t)
    Nx, Ny, Nxy = notch.loads_around_hole(one, N, place=np.stack([c, s], axis=-1)).T
    scale = abs(N).max()
    np.testing.assert_allclose(Nx * c + Nxy * s, 0.0, atol=2e-7 * scale)
    np.testing.assert_allclose(Nxy * c + Ny * s, 0.0, atol=2e-7 * scale)
    edge = notch.edge_stress(one, N, angle=t) * one.thickness
    np.testing.assert_allclose(Nx * s**2 + Ny * c**2 - 2 * Nxy * s * c, edge, atol=1e-6 * scale)
    g = np.array([1.0, 1.1, 1.7, 4.0])
    found = notch.loads_around_hole(one, [1.0, 0, 0], place=np.stack([0 * g, g], axis=-1))[:, 0]
    np.testing.assert_allclose(found, notch.ligament_stress(one, g), rtol=1e-6)
    np.testing.assert_allclose(notch.loads_around_hole(one, N, place=[2e3, -3e3]), N, atol=1e-5 * scale)


def test_loads_around_a_hole_carry_the_load_across_any_cut():
    """Equilibrium of the half plane above y = a: the load it lacks at the hole is found beside it."""
    x = np.sinh(np.linspace(-18, 18, 100001))
    for a in (1.001, 1.5):
        place = np.stack([x, np.full(x.shape, a)], axis=-1)
        found = notch.loads_around_hole(CARBON, [1.0, -0.4, 0.6], place=place)
        for column, far in ((1, -0.4), (2, 0.6)):
            assert np.trapezoid(found[:, column] - far, x) == pytest.approx(0.0, abs=1e-6)


def test_places_in_the_hole_are_refused():
    with pytest.raises(ValueError, match=r"0.9 radii from the center"):
        notch.loads_around_hole(QUASI, [1.0, 0, 0], place=[0.9, 0.0])


def test_open_hole_moves_as_lekhnitskii_has_it():
    """Load along 1: u = (1 + n) p R cos t / E1, v = -p R sin t / sqrt(E1 E2)."""
    angle = np.linspace(0.0, np.pi / 2, 9)
    for one in (BORON, CARBON, ACROSS, ALUMINUM):
        moduli, n = hs.sheet_moduli(one), notch.stress_concentration(one) - 1
        c, s = np.cos(angle), np.sin(angle)
        exact = (1 + n) / moduli.E1 * c**2 - s**2 / np.sqrt(moduli.E1 * moduli.E2)
        np.testing.assert_allclose(
            hs.LoadedEdge(moduli, angle).pulled(1.0, 0.0)[0], exact, rtol=1e-6, atol=1e-17
        )


def test_pressed_hole_is_an_open_hole_under_two_pulls_less_an_even_one():
    angle = np.linspace(0.05, 1.5, 9)
    for one in (BORON, CARBON):
        moduli = hs.sheet_moduli(one)
        outward, along = hs.LoadedEdge(moduli, angle).pressed(1)
        c, s = np.cos(angle), np.sin(angle)
        np.testing.assert_allclose(
            along[:, 0], notch.edge_stress(one, [1e-3, 1e-3, 0], angle=angle) - 1, rtol=1e-9
        )
        n, root = notch.stress_concentration(one) - 1, 1 / np.sqrt(moduli.E1 * moduli.E2)
        n2 = n * np.sqrt(moduli.E2 / moduli.E1)  # of a pull along 2
        moved = ((1 + n) / moduli.E1 - root) * c**2 + ((1 + n2) / moduli.E2 - root) * s**2
        even = (1 - moduli.nu12) / moduli.E1 * c**2 + (1 / moduli.E2 - moduli.nu12 / moduli.E1) * s**2
        np.testing.assert_allclose(outward[:, 0], moved - even, rtol=1e-9)


def test_flexibility_of_a_pressed_edge_is_symmetric():
    edge = hs.quarter(hs.sheet_moduli(CARBON))
    weight = np.ones(hs.PLACES)
    weight[[0, -1]] = 0.5
    work = (edge.waves.T * weight) @ edge.outward
    np.testing.assert_allclose(work[:20, :20], work[:20, :20].T, atol=1e-9 * abs(work).max())


def test_pressure_on_a_hole_of_an_isotropic_sheet_by_airy():
    """Uniform pressure: u = (1 + nu) p / E, hoop = p. Cosine 2t and 4t: sums of powers that fade away."""
    angle = np.linspace(0.03, 1.5, 7)
    outward, along = hs.LoadedEdge(ISO, angle).pressed(3)
    np.testing.assert_allclose(outward[:, 0], 1.33 / 71e9, rtol=1e-7)
    np.testing.assert_allclose(along[:, 0], 1.0, rtol=1e-7)
    for column, n in ((1, 2), (2, 4)):
        powers = np.array([-n, 2 - n])
        radial, shear = powers - n**2, n * (powers - 1)
        f = np.linalg.solve([radial, shear], [-1.0, 0.0])
        u = f @ ((radial - 0.33 * powers * (powers - 1)) / (powers - 1)) / 71e9
        np.testing.assert_allclose(outward[:, column], u * np.cos(n * angle), rtol=1e-6)
        np.testing.assert_allclose(along[:, column], -np.cos(n * angle), rtol=1e-6)


def test_core_by_lame_and_by_thin_ring():
    r, E, nu, n = 0.98, 200e9, 0.3, np.array([0, 2, 4])
    found = hs.core_answer(hs.RingCore(E, nu, r), n)[0]
    assert found[0] == pytest.approx(((1 + r**2) / (1 - r**2) - nu) / E, rel=1e-12)
    thin = 12 * ((1 + r) / 2) ** 4 / (E * (1 - r) ** 3 * (n[1:] ** 2 - 1.0) ** 2)
    np.testing.assert_allclose(found[1:], thin, rtol=0.06)
    bent = 6 * ((1 + r) / 2) ** 2 / ((1 - r) ** 2 * (n[1:] ** 2 - 1.0))  # of the moment p R^2 / (n^2 - 1)
    np.testing.assert_allclose(hs.core_answer(hs.RingCore(E, nu, r), n)[1][1:], bent, rtol=0.06)
    solid = hs.core_answer(hs.RingCore(E, nu), n)[0]
    nearly = hs.core_answer(hs.RingCore(E, nu, 1e-4), n)[0]
    np.testing.assert_allclose(nearly, solid, rtol=1e-6)
    np.testing.assert_allclose(solid[:2], [(1 - nu) / E, (1 + nu / 3) / E], rtol=1e-12)


def test_a_neat_core_of_the_same_metal_fills_the_hole_under_equal_compression():
    found = notch.filled_edge_stress(ALUMINUM, [-2e5, -2e5, 0], angle=IN_PLANE, modulus=71e9, poisson=0.33)
    np.testing.assert_allclose(found, -2e8, rtol=1e-7)


@pytest.mark.parametrize("N", [[2e5, 0, 0], [-2e5, 5e4, 0], [-1e5, -3e5, 0]])
def test_contact_neither_pulls_nor_overlaps(N):
    moduli, core, gap = hs.sheet_moduli(CARBON), hs.RingCore(110e9, 0.3), 2e-4
    stress = N[0] / 1e-3, N[1] / 1e-3
    terms = hs.fit_pressure(moduli, core, gap, stress)
    angle = np.linspace(0.0, np.pi / 2, hs.PLACES)
    order = np.arange(0, 2 * hs.PLACES, 2)
    waves = np.cos(angle[:, None] * order)
    pressure, edge = waves @ terms, hs.LoadedEdge(moduli, angle)
    left = edge.pulled(*stress)[0] + gap + edge.pressed(hs.PLACES)[0] @ terms
    left = left + waves @ (hs.core_answer(core, order)[0] * terms)
    assert pressure.min() > -1e-6 * pressure.max()
    assert left.min() > -1e-9
    assert abs(pressure * left).max() < 1e-9 * pressure.max()  # gaps are some 1e-3


def test_a_wide_gap_leaves_the_open_hole_and_a_fastener_relieves_compression():
    angle, load = np.array([np.pi / 2]), [-2e5, 0, 0]
    found = [
        notch.filled_edge_stress(CARBON, load, angle=angle, modulus=110e9, clearance=gap)[0]
        for gap in (0.05, 3e-3, 1e-3, 0.0)
    ]
    assert found[0] == pytest.approx(notch.edge_stress(CARBON, load, angle=angle)[0], rel=1e-9)
    assert found == sorted(found)
    with pytest.raises(ValueError, match="Nxy = 3"):
        notch.filled_edge_stress(CARBON, [0, 0, 3.0], angle=angle, modulus=110e9)


def test_polynomial_is_too_strong_where_most_plies_lie_along_the_load():
    hole = {"diameter": 8e-3, "distance": 1.0e-3}
    poly = notch.open_hole_ratio(notch.stress_concentration(CARBON), **hole)
    assert poly > 1.04 * notch.open_hole_ratio(CARBON, **hole)


@pytest.mark.parametrize("criterion", ["point", "average"])
@pytest.mark.parametrize("of", [QUASI, 3.7])
def test_distance_gives_the_strength_back(of, criterion):
    hole = {"diameter": 6.35e-3, "width": 38.1e-3}
    a = notch.characteristic_distance(0.5, concentration=of, **hole, criterion=criterion)
    back = notch.open_hole_ratio(of, diameter=6.35e-3, distance=a, criterion=criterion)
    assert back / notch.finite_width_factor(1 / 6) == pytest.approx(0.5, rel=2e-8)


def test_moduli_of_a_sheet_are_those_of_the_laminate():
    for one in (QUASI, CARBON):
        E1, E2, G12, nu12 = one.moduli()[:4]
        np.testing.assert_allclose(hs.sheet_moduli(one), [E1, E2, G12, nu12], rtol=1e-12)


# --- the loaded hole -------------------------------------------------------------------------------------

GIVEN = {
    "diameter": 6e-3, "width": 36e-3, "edge": 36e-3, "thickness": 4e-3, "tension": 600e6, "compression": 300e6,
    "bearing": 550e6, "shear": 200e6, "relief": 0.25, "source": Source("invented", "for the tests"),
}  # fmt: skip


def hole(**change):
    return notch.LoadedHole(**GIVEN | change)


def test_net_section_of_a_loaded_hole():
    wide = hole()
    assert wide.loaded_concentration == printed("5.92857")
    assert wide.open_concentration == printed("2.5787")
    assert wide.ratios(1.0).net_tension == pytest.approx(32256, rel=1e-12)
    assert wide.ratios(1.0).bearing == pytest.approx(13200, rel=1e-12)
    assert wide.ratios(0.0, bypass=1.0).net_tension == printed("51624.9")
    narrow = hole(width=18e-3, edge=12e-3)
    assert narrow.loaded_concentration == printed("3.4375")
    assert narrow.ratios(1.0).net_tension == printed("17895.1")
    assert narrow.ratios(0.0, bypass=1.0).net_tension == pytest.approx(21751, abs=0.5)


def test_bearing_and_bypass_together():
    found = hole(width=30e-3, edge=30e-3).ratios(6e3, bypass=14e3)
    assert 1 / found.net_tension == printed("0.543264")
    assert 550 / found.bearing == printed("250.000")


def test_modes_that_carry_nothing_never_govern():
    found = hole().ratios([5e3, -5e3, 0.0], bypass=[0.0, -20e3, 20e3])
    assert np.isinf(found.net_tension).tolist() == [False, True, False]
    assert np.isinf(found.compression).tolist() == [True, False, True]
    assert np.isinf(found.shear_out).tolist() == [False, True, True]
    assert 1 / found.compression[1] == pytest.approx(5e3 / 13200 + 20e3 / (36e-3 * 4e-3 * 300e6), rel=1e-12)
    assert found.shear_out[0] == pytest.approx(2 * 36e-3 * 4e-3 * 200e6 / 5e3, rel=1e-12)
    assert np.isinf(found.pull_through).all()


def test_pull_through_and_countersink():
    sunk = hole(pull_through=50e6, head_diameter=12e-3, countersink=2e-3)
    assert sunk.ratios(1.0, pull=1e3).pull_through == pytest.approx(
        np.pi * 12e-3 * 4e-3 * 50e6 / 1e3, rel=1e-12
    )
    assert sunk.ratios(1.0).bearing == pytest.approx(0.75 * 13200, rel=1e-12)
    cone = 2e-3**2 * np.tan(np.radians(50))
    assert sunk.ratios(1.0).net_tension == pytest.approx(32256 * (1 - cone / 120e-6), rel=1e-4)
    with pytest.raises(ValueError, match=r"pull.*D7332"):
        hole().ratios(1.0, pull=1.0)


def test_a_wider_strip_counts_as_six_diameters():
    wide, six = hole(width=60e-3), hole(width=36e-3)
    assert wide.ratios(1e3).net_tension == pytest.approx(six.ratios(1e3).net_tension, rel=1e-12)
    assert wide.ratios(0, bypass=10e3).net_tension == pytest.approx(
        six.ratios(0, bypass=6e3).net_tension, rel=1e-12
    )


def test_relief_has_its_limits():
    brittle, ductile = hole(relief=1.0), hole(relief=0.0)
    assert ductile.ratios(1.0).net_tension == pytest.approx(600e6 * 4e-3 * 30e-3, rel=1e-12)
    assert brittle.ratios(1.0).net_tension == pytest.approx(
        ductile.ratios(1.0).net_tension / brittle.loaded_concentration, rel=1e-12
    )


def test_ratios_grow_as_one_over_the_load():
    one, two = hole().ratios(3e3, bypass=-4e3), hole().ratios(6e3, bypass=-8e3)
    np.testing.assert_allclose(np.array(one), 2 * np.array(two), rtol=1e-14)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"width": 11e-3}, "width.*2 diameters.*pitch"),
        ({"edge": 17e-3}, "edge.*half of the width"),
        ({"width": 13e-3, "edge": 8e-3}, "edge.*1.5 diameters"),
        ({"countersink": 2.8e-3}, "countersink.*2/3"),
        ({"pull_through": 50e6}, "given together"),
        ({"pull_through": 50e6, "head_diameter": 5e-3}, "head_diameter.*> the hole"),
    ],
)
def test_holes_beyond_the_rules_are_refused(change, says):
    with pytest.raises(ValueError, match=says):
        hole(**change)


def test_the_least_proportions_are_taken():
    assert hole(width=12e-3, edge=9e-3).ratios(1.0).net_tension > 0
    assert hole(width=36e-3, edge=18e-3, countersink=4e-3 * 2 / 3).ratios(1.0).net_tension > 0


def test_rules_of_practice():
    assert [r.met for r in hole().rules] == [True] * 4
    assert [r.met for r in hole(width=18e-3, edge=12e-3, thickness=1e-3).rules] == [False, False, False, True]
