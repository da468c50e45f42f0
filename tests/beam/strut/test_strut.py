import copy
import dataclasses
import operator
import pickle
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

import numpy as np
import pytest
from numpy.testing import assert_allclose
from struts import LENGTH, MOLD, TAPE, book, strut

from beam.section import Section
from beam.strength.margins import check_stations
from beam.strut import (
    BookPly,
    MoldLine,
    PlyBook,
    PointLoads,
    PointMass,
    Strut,
    Support,
    cut_list,
)

STRUT = strut()
PRISMATIC = Strut(
    dataclasses.replace(MOLD, width=MOLD.width[:1].repeat(2), height=MOLD.height[:1].repeat(2),
                        corner_radius=MOLD.corner_radius[:1].repeat(2)),
    book(),
)  # fmt: skip
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


def test_span_of_a_prismatic_strut_has_the_stiffness_of_its_sections():
    for s in (0.01, 0.123, 0.299, 0.35, 0.6):
        K = PRISMATIC.section(s).stiffness
        scale = np.sqrt(np.outer(np.diag(K), np.diag(K)))
        assert_allclose(PRISMATIC.span.stiffness.at([s])[0] / scale, K / scale, atol=1e-10)


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
        C = PRISMATIC.section(s).compliance
        F = np.array([0, 0, P, 0, -P * (LENGTH - s), 0])
        return F @ C @ F / P

    exact = quad(density, 0, LENGTH, points=[0.3, 0.4], epsrel=1e-11)[0]
    tip = PRISMATIC.span.displacement(PointLoads(at=[LENGTH], force=[[[0, 0, P]]]), [LENGTH])[0, 0, 2]
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


TYPED = [
    *(([2.0, 0.5, a], [2.0, 0.5, b], round(a - b, 6)) for a, b in
      ((0.8, 0.2), (0.7, 0.2), (0.8, 0.35), (0.9, 0.3), (1.0, 0.4), (0.7, 0.1), (0.75, 0.2), (0.6, 0.05))),
    ([2.3, 0.7, 0.8], [2.3, 0.9, 0.2], 0.4**0.5),
    ([2.3, 0.7, 0.8], [2.3, 0.9, 0.2], 0.632456),
    ([2.0, 0.4, 0.9], [2.0, 0.7, 0.5], 0.5),
    ([0.1, 0.2, 0.9], [0.22, 0.56, 0.42], 0.6118823),
]  # fmt: skip


@pytest.mark.parametrize(("root", "tip", "typed"), TYPED)
def test_a_length_typed_and_a_length_computed_are_one(root, tip, typed):
    """Plies that end at either, loads and stations at either: one strut, one answer, the thin lay-up beyond a drop."""
    sizes = {"width": [0.11, 0.07], "height": [0.08, 0.055], "corner_radius": [0.02, 0.015]}
    line = MoldLine(root=root, tip=tip, stations=[0.0, typed], **sizes)
    assert line.stations[-1] == line.length
    found = []
    for end in (typed, line.length):
        drop = 0.1 + 0.2
        short = BookPly(lamina=TAPE, angle_deg=0, walls=line.wall_names, start=0, end=drop)
        long = dataclasses.replace(short, end=end)
        built = Strut(line, PlyBook([long, short, long, short, long]))
        assert_allclose(built.bays, [0.0, drop, line.length], rtol=0, atol=0)
        for s in (drop, 0.3, 0.3 - 1e-17, 0.3 + 1e-10):
            assert built.section(s).laminates[0].thickness == pytest.approx(3 * TAPE.thickness)
        assert built.section(0.3 - 1e-6).laminates[0].thickness == pytest.approx(5 * TAPE.thickness)
        for at in {end, line.length, min(typed, line.length), np.nextafter(line.length, 1)}:
            if abs(at - line.length) > 1e-9 * line.length:
                continue  # typed to six digits: right for plies and mold line, off the axis for a load
            tip_load = PointLoads(at=[at], force=[[[0.0, 0.0, 1e3]]])
            assert [len(built.ply_book.at("aft", s)) for s in (0.0, at)] == [5, 3]
            assert built.section(at).laminates[0].thickness == pytest.approx(3 * TAPE.thickness)
            found.append(built.span.displacement(tip_load, at=[at])[0, 0, 2])
        assert [piece.end for piece in cut_list(built)] == [line.length, drop] * 2 + [line.length]
    assert_allclose(found, found[0], rtol=1e-11)


def test_margins_see_both_sides_of_a_drop():
    """A station a little inboard of the drop has the thick lay-up, that at the drop the thin one."""
    stations = check_stations(STRUT, LOADS)
    for drop in (0.3, 0.4):
        i = int(np.flatnonzero(stations == drop)[0])
        thick, thin = (len(STRUT.ply_book.at("inboard", s)) for s in stations[i - 1 : i + 1])
        assert thick == thin + 6
        assert stations[i] - stations[i - 1] < 1e-8


@pytest.mark.parametrize("copied", [copy.copy, copy.deepcopy, lambda one: pickle.loads(pickle.dumps(one))])
def test_a_copy_answers_for_itself(copied):
    """Also after one of its parts is replaced: nothing cached goes along."""
    built = strut()
    before = built.mass, built.span.frequencies(1), len(built.ply_book.laminate("aft", 0.1).plies)
    other = copied(built)
    assert (other.mass, other.span.frequencies(1), len(other.ply_book.laminate("aft", 0.1).plies)) == before
    half = dataclasses.replace(other, ply_book=PlyBook(other.ply_book.plies[:6] + other.ply_book.plies[-6:]))
    assert half.mass < 0.63 * built.mass
    assert len(half.ply_book.laminate("aft", 0.1).plies) < before[2]


def test_struts_spans_and_books_go_through_a_pool_of_processes():
    span, walls = STRUT.span, STRUT.ply_book.walls
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        mass = pool.submit(getattr, STRUT, "mass")
        frequency = pool.submit(operator.methodcaller("frequencies", 2), span)
        names = pool.submit(getattr, STRUT.ply_book, "walls")
        assert mass.result() == STRUT.mass
        assert_allclose(frequency.result(), span.frequencies(2), rtol=1e-12)
        assert names.result() == walls


def test_a_repr_is_short():
    for one in (
        STRUT,
        STRUT.span,
        STRUT.mold_line,
        STRUT.ply_book,
        STRUT.span.axis,
        STRUT.span.stiffness,
        LOADS,
    ):
        assert len(repr(one)) < 500
        assert len(one._repr_html_()) < 5000


def test_a_corner_thicker_than_its_radius_at_the_root_of_a_bay():
    sharp = dataclasses.replace(MOLD, corner_radius=[1e-3, 12e-3])
    says = r"thickness \[m\] of corner '.*-.*' at station 0 m: got 0.00.*, must be at most the corner radius there, 0.0"
    with pytest.raises(ValueError, match=says):
        Strut(sharp, book())
