import dataclasses

import numpy as np
import pytest
from numpy.testing import assert_allclose
from struts import LENGTH, MOLD, TAPE, book, strut

from beam.section import Section
from beam.strut import (
    BookPly,
    MoldLine,
    PlyBook,
    PointLoads,
    PointMass,
    Span,
    Strut,
    Support,
    at_steps,
    end_of_ply,
    flexibility,
    force_influence,
    point_stiffness,
)

STRUT = strut()
LOADS = PointLoads(at=[0.5, LENGTH], force=np.random.default_rng(1).normal(size=(3, 2, 3)) * 5e3)


def test_section_is_that_of_mold_line_and_ply_book():
    width, height, radius = MOLD.at(0.2)
    walls = [book().laminate(name, 0.2) for name in MOLD.wall_names]
    own = Section.rounded_box(
        float(width), float(height), float(radius), walls, surface="outside", faces=MOLD.names
    )
    assert_allclose(STRUT.section(0.2).stiffness, own.stiffness, rtol=1e-12)
    assert STRUT.section(0.2).contour.names == MOLD.wall_names
    assert STRUT.section(0.2) is STRUT.section(0.2)


def test_span_has_the_stiffness_of_its_sections():
    for s in (0.01, 0.123, 0.299, 0.35, 0.6):
        K = STRUT.section(s).stiffness
        scale = np.sqrt(np.diag(K))
        assert_allclose(
            STRUT.span.stiffness.at([s])[0] / np.outer(scale, scale), K / np.outer(scale, scale), atol=1e-10
        )


def test_bays_end_where_plies_end():
    assert_allclose(STRUT.bays, [0, 0.3, 0.4, LENGTH])
    assert set(STRUT.bays) <= set(STRUT.span.stations)
    assert len(STRUT.span.stations) >= 21
    assert np.diff(STRUT.span.stations).min() > 1e-5


def test_mass_is_the_integral_of_the_sections():
    from scipy.integrate import quad

    exact = quad(lambda s: STRUT.section(s).mass_per_length, 0, LENGTH, points=[0.3, 0.4], epsrel=1e-12)[0]
    assert STRUT.mass == pytest.approx(exact, rel=1e-10)


def test_inertia_holds_the_mass():
    m = STRUT.span.inertia.at([0.2])[0]
    assert m[0, 0] == pytest.approx(STRUT.section(0.2).mass_per_length)
    assert_allclose(m[:3, :3], np.eye(3) * m[0, 0])
    assert m[3, 3] == pytest.approx(m[4, 4] + m[5, 5], rel=1e-12)


def test_displacement_against_an_integral_over_sections():
    """Tip travel by virtual work, section by section."""
    from scipy.integrate import quad

    P = 3e3

    def density(s):
        C = STRUT.section(s).compliance
        F = np.array([0, 0, P, 0, -P * (LENGTH - s), 0])
        return F @ C @ F / P

    exact = quad(density, 0, LENGTH, points=[0.3, 0.4], epsrel=1e-11)[0]
    tip = STRUT.span.displacement(PointLoads(at=[LENGTH], force=[[[0, 0, P]]]), [LENGTH])[0, 0, 2]
    assert tip == pytest.approx(exact, rel=1e-8)


def test_forces_at_the_root_equal_the_loads():
    root = STRUT.span.forces(LOADS, [0.0])[:, 0, :3]
    assert_allclose(root, LOADS.force.sum(axis=1), rtol=1e-10)


def test_free_strain_is_that_of_the_sections():
    field = STRUT.free_strain(-120.0, 0.002)
    extra = BookPly(lamina=TAPE, angle_deg=0, walls=("inboard", "aft"), start=0, end=0.2)
    uneven = Strut(MOLD, PlyBook((*book().plies, extra)))
    bent = uneven.free_strain(-120.0, 0.002)
    for s in (0.1, 0.5):
        assert_allclose(field.at([s])[0], STRUT.section(s).free_strain(-120.0, 0.002), atol=1e-15)
        assert_allclose(bent.at([s])[0], uneven.section(s).free_strain(-120.0, 0.002), atol=1e-12)
    assert np.abs(bent.at([0.1])[0, 4:]).max() > 1e-4, "an uneven section bends as it cools"
    none = PointLoads(at=[LENGTH], force=[[[0, 0, 0]]])
    tip = STRUT.span.displacement(none, [LENGTH], free_strain=field)[0, 0]
    assert tip[0] == pytest.approx(
        np.trapezoid([field.at([s])[0, 0] for s in np.linspace(0, LENGTH, 801)], dx=LENGTH / 800), rel=1e-3
    )
    held = Strut(MOLD, book(), supports=[Support.clamp(), Support.clamp(LENGTH, name="tip")])
    N = held.span.forces(none, free_strain=field)[0, :, 0]
    assert_allclose(N, N[0], rtol=1e-9)
    assert abs(N[0]) > 100


def test_a_strut_of_one_isotropic_ply_is_the_isotropic_box():
    """Aluminum as a lamina: stiffness of a thin rounded box, E A and Bredt's G J, to the order of t/b."""
    E, nu, t = 70e9, 0.33, 1e-3
    alloy = dataclasses.replace(
        TAPE, name="alloy", E1=E, E2=E, G12=E / 2 / (1 + nu), nu12=nu, thickness=t, alpha1=0, alpha2=0
    )
    straight = MoldLine(
        root=[0, 0, 0],
        tip=[0, 0, -1],
        stations=[0, 1],
        width=[0.1] * 2,
        height=[0.08] * 2,
        corner_radius=[0.02] * 2,
    )
    s = Strut(
        straight, PlyBook((BookPly(lamina=alloy, angle_deg=0, walls=straight.wall_names, start=0, end=1),))
    )
    around = 2 * (0.06 + 0.04) + 2 * np.pi * 0.0195
    inside = 0.1 * 0.08 - (4 - np.pi) * 0.02**2 - t / 2 * around - np.pi * t**2 / 4
    K = s.section(0.5).stiffness
    assert K[0, 0] == pytest.approx(E * t * around, rel=1e-3)
    assert K[3, 3] == pytest.approx(E / 2 / (1 + nu) * 4 * inside**2 * t / around, rel=2e-3)
    assert s.mass == pytest.approx(1580.0 * t * around, rel=1e-12)
    tip = s.span.displacement(PointLoads(at=[1.0], force=[[[1.0, 0, 0]]]), [1.0])[0, 0, 0]
    assert tip == pytest.approx(1 / K[0, 0], rel=1e-9)


def test_inputs_of_the_shop_and_of_the_stress_office_are_the_same_plies():
    counts = [len(STRUT.ply_book.at("inboard", s)) for s in (0.0, 0.3, 0.4)]
    t = [STRUT.section(s).laminates[0].thickness for s in (0.0, 0.3, 0.4)]
    assert_allclose(t, np.array(counts) * TAPE.thickness)


def test_influence_lines_sum_to_the_response():
    at = [0.0, 0.25]
    F = force_influence(STRUT.span, at, LOADS.at)
    u = flexibility(STRUT.span, at, LOADS.at)
    assert F.shape == u.shape == (2, 6, 2, 6)
    assert_allclose(
        np.einsum("clj,ljsi->csi", LOADS.wrench, F), STRUT.span.forces(LOADS, at), rtol=1e-11, atol=1e-9
    )
    assert_allclose(
        np.einsum("clj,ljsi->csi", LOADS.wrench, u), STRUT.span.displacement(LOADS, at), rtol=1e-9, atol=1e-15
    )


def test_influence_line_of_a_propped_cantilever():
    """Root moment of a unit load at a: a (L-a)(2L-a)/(2 L^2), Roark (from memory)."""
    span = Span(
        axis=1.0,
        stiffness=np.diag([1e12] * 3 + [1.0, 1, 1]),
        supports=[Support.clamp(), Support.motions(1.0, ("u3",))],
    )
    a = np.linspace(0.1, 0.9, 9)
    M2 = force_influence(span, [0.0], a)[:, 2, 0, 4]
    assert_allclose(-M2, a * (1 - a) * (2 - a) / 2, rtol=1e-9)


def test_stiffness_at_the_axle():
    K = np.diag([1e12, 1e12, 1e12, 5e3, 2e4, 3e4])
    span = Span(axis=0.6, stiffness=K)
    fore, lateral = point_stiffness(span, 0.6, [[0, 2, 0], [0, 0, 1]])
    assert fore == pytest.approx(3 * 3e4 / 0.6**3, rel=1e-6)
    assert lateral == pytest.approx(3 * 2e4 / 0.6**3, rel=1e-6)
    # An arm aft of the axis: lateral load twists as well.
    soft = point_stiffness(span, 0.6, [[0, 0, 1]], arm=[0, 0.3, 0])[0]
    assert 1 / soft == pytest.approx(1 / lateral + 0.3**2 * 0.6 / 5e3, rel=1e-6)
    # An arm beyond the tip.
    beyond = point_stiffness(span, 0.6, [[0, 0, 1]], arm=[0.2, 0, 0])[0]
    assert 1 / beyond == pytest.approx((0.6**3 / 3 + 0.2 * 0.6**2 + 0.2**2 * 0.6) / 2e4, rel=1e-6)
    with pytest.raises(ValueError, match="zero length"):
        point_stiffness(span, 0.6, [[0, 0, 0]])


def test_end_of_ply_frees_the_energy_of_a_cut_ply_whatever_the_layer():
    N, Ad, Ac = 5e5, 3e7, 9e7
    for g in (1e13, 1e15):
        for faces in (1, 2):
            found = end_of_ply(N * Ad / (Ad + Ac), Ad, Ac, layer_stiffness=g, faces=faces)
            assert found.energy_release * faces == pytest.approx(N**2 / 2 * (1 / Ac - 1 / (Ac + Ad)))


def test_end_of_ply_against_the_long_lap_of_volkersen():
    """Volkersen's single lap, derived: 16.942 MPa for 100 N/mm, E t 105 kN/mm both, G/t 6 GPa/mm, 20 mm.

    At its end a strap loses half of the load over the decay length; the finite lap multiplies by coth(b l/2).
    """
    found = end_of_ply(50e3, 105e6, 105e6, layer_stiffness=1.2e9 / 0.2e-3, faces=1)
    finite = found.shear / np.tanh(0.020 / found.decay / 2)
    assert finite / 1e6 == pytest.approx(16.942, abs=5e-4)


def test_steps_of_a_strut_in_all_cases():
    found = at_steps(STRUT, LOADS, resin_shear_modulus=1.3e9, resin_thickness=20e-6)
    assert len(found) == 16
    for step, estimate in found:
        assert estimate.shear.shape == (3,)
        assert (estimate.shear > 0).all(), step
    twice = at_steps(
        STRUT,
        PointLoads(at=LOADS.at, force=2 * LOADS.force),
        resin_shear_modulus=1.3e9,
        resin_thickness=20e-6,
    )
    for (_, a), (_, b) in zip(found, twice, strict=True):
        assert_allclose(b.shear, 2 * a.shear)
        assert_allclose(b.energy_release, 4 * a.energy_release)
    with pytest.raises(ValueError, match="> 0"):
        at_steps(STRUT, LOADS, resin_shear_modulus=0.0, resin_thickness=20e-6)


def test_shear_at_a_step_is_that_of_its_own_ply():
    """One ply of three ends: on the surface it leaves its load through one face, in the middle through two."""
    walls = MOLD.wall_names
    for place, faces in ((0, 1), (1, 2), (2, 1)):
        plies = [BookPly(lamina=TAPE, angle_deg=0, walls=walls, start=0, end=LENGTH)] * 3
        plies[place] = dataclasses.replace(plies[place], end=0.3)
        built = Strut(MOLD, PlyBook(tuple(plies)))
        found = at_steps(built, LOADS, resin_shear_modulus=1e9, resin_thickness=1e-5)
        here = 0.3 - 2e-9 * LENGTH
        running = built.section(here).wall_loads_along(built.span.forces(LOADS, [here])[:, 0], [0, 0.5, 1])
        for step, estimate in found:
            N = np.abs(running[:, walls.index(step.wall), :, 0]).max(axis=-1)
            Et = TAPE.E1 * TAPE.thickness
            exact = end_of_ply(N / 3, Et, 2 * Et, layer_stiffness=1e14, faces=faces)
            assert_allclose(estimate.shear, exact.shear, rtol=1e-9)


def test_a_wheel_lowers_the_frequencies_of_a_strut():
    bare = STRUT.span.frequencies(2)
    with_wheel = STRUT.span.frequencies(2, masses=[PointMass(at=LENGTH, mass=12.0)])
    assert (with_wheel < bare / 3).all()


def test_hinged_strut_with_a_drag_brace_in_airplane_axes():
    """Trunnion bearings fore and aft, a brace aft and up: moments about the hinge line give the brace's load."""
    ahead, behind = MOLD.root - [0.1, 0, 0], MOLD.root + [0.1, 0, 0]
    fitting, anchor = MOLD.position(0.3), np.array([2.0, 0.2, 0.7])
    supports = [
        MOLD.support(0.0, ahead, np.eye(3), name="front bearing"),
        MOLD.support(0.0, behind, np.eye(3)[1:], name="rear bearing"),
        MOLD.support(0.3, fitting, [anchor - fitting], stiffness=5e7, name="side stay"),
    ]
    held = strut(supports=supports)
    push = np.array([0.0, -2000.0, 9000.0])
    loads = MOLD.point_loads([LENGTH], [[MOLD.tip]], [[push]])
    d = (anchor - fitting) / np.linalg.norm(anchor - fitting)
    about_x = np.cross(fitting - MOLD.root, d)[0]
    exact = -np.cross(MOLD.tip - MOLD.root, push)[0] / about_x
    assert held.span.reactions(loads)[0, -1] == pytest.approx(exact, rel=1e-9)
    stay = held.span.displacement(loads, [0.3])[0, 0]
    assert stay[:3] @ (MOLD.frame @ d) == pytest.approx(-exact / 5e7, rel=1e-9)
