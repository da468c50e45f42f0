"""Wall loads of a tapered strut: bricks, equilibrium along generators, the prismatic limit, supports, second order."""

import dataclasses

import numpy as np
import pytest
from numpy.testing import assert_allclose
from section_cases import metal
from struts import LENGTH, MOLD, TAPE, book, strut

from beam.strut import BookPly, MoldLine, PlyBook, PointLoads, Strut, Support

PLACES = np.linspace(0.0, 1.0, 33)
STRUT = strut()
SPAN_OF_BOX = 0.62
CLOTH = dataclasses.replace(TAPE, name="cloth", kind="fabric", E1=60e9, E2=50e9)


@pytest.fixture(scope="module")
def isotropic_box():
    """Box 112 x 82 mm to 76 x 60 mm over 620 mm, corners 22 to 16 mm, walls 6 mm, E 70 GPa, nu 0.3."""
    line = MoldLine(
        root=[0, 0, SPAN_OF_BOX], tip=[0, 0, 0], stations=[0, SPAN_OF_BOX], width=[0.112, 0.076],
        height=[0.082, 0.060], corner_radius=[0.022, 0.016],
    )  # fmt: skip
    lamina = metal(6e-3).plies[0].lamina
    ply = BookPly(lamina=lamina, angle_deg=0, walls=line.wall_names, start=0, end=SPAN_OF_BOX)
    return Strut(line, PlyBook([ply]))


# Peak shear flow [kN/m] at stations as fractions of the length, and the tip's motion [m, rad] along the load, for
# V2 = V3 = 10 kN, M2 = M3 = 1 kN m at the tip. From 27-node isotropic bricks, made apart from the library: one through
# the wall, 6 around each corner, 10 along each flat, 40 along the span; root face fixed, tip face rigid.
# Near the fixed root restrained warping, which the strut does not have, moves the peaks by some percent.
BRICKS_AT = np.array([0.19472, 0.34472, 0.49472, 0.64472, 0.74472])
BRICKS = {
    1: ((42.889, 48.040, 53.951, 61.024, 66.543), 4.96323e-3, 1e4),
    2: ((58.033, 64.457, 71.217, 79.102, 85.105), 7.75288e-3, 1e4),
    4: ((4.011, 4.281, 4.731, 5.254, 5.652), 7.87385e-3, 1e3),
    5: ((3.492, 3.863, 4.338, 4.907, 5.350), 5.18389e-3, 1e3),
}


def tip_load(component, size, length):
    wrench = np.zeros((1, 1, 6))
    wrench[..., component] = size
    return PointLoads(at=[length], force=wrench[..., :3], moment=wrench[..., 3:])


@pytest.mark.parametrize("component", BRICKS)
def test_shear_flow_and_deflection_of_a_tapered_box_against_bricks(isotropic_box, component):
    peaks, motion, size = BRICKS[component]
    loads, s = tip_load(component, size, SPAN_OF_BOX), BRICKS_AT * SPAN_OF_BOX
    F = isotropic_box.span.forces(loads, at=s)[0]
    found = np.abs(isotropic_box.wall_loads(F, s, PLACES)[..., 2]).max(axis=(1, 2))
    assert_allclose(found, 1e3 * np.array(peaks), rtol=0.03)
    assert_allclose(found[1:], 1e3 * np.array(peaks[1:]), rtol=0.01)
    moved = isotropic_box.span.displacement(loads, at=[SPAN_OF_BOX])[0, 0, component]
    assert moved == pytest.approx(motion, rel=0.015)


def test_strips_between_generators_are_in_equilibrium():
    """Nx ds on two sections of one bay and the flow along the two generators between them."""
    plies = [dataclasses.replace(ply, lamina=CLOTH, angle_deg=0.0) for ply in book().plies]
    one = Strut(MOLD, PlyBook(plies))
    wrench = np.array([[[2e3, 1e3, -3e3, 200.0, 150.0, -90.0]]])
    loads = PointLoads(at=[LENGTH], force=wrench[..., :3], moment=wrench[..., 3:])
    x, weight = np.polynomial.legendre.leggauss(16)
    for first, last, piece in ((0.05, 0.28, 0.03), (0.42, 0.6, 0.05)):
        cuts = np.linspace(first, last, 1 + int((last - first) / piece))
        s = ((cuts[:-1] + cuts[1:]) / 2)[:, None] + np.diff(cuts)[:, None] / 2 * x
        ds = (np.diff(cuts)[:, None] / 2 * weight).ravel()
        for u0, u1 in ((0.0, 0.4), (0.3, 1.0)):
            along = axial_and_flow(one, loads, np.array([u0, u1]), s.ravel())[1]
            u = (u0 + u1) / 2 + (u1 - u0) / 2 * x
            pulls = axial_and_flow(one, loads, u, np.array([first, last]))[0]
            length = np.stack([one.section(end).contour.length for end in (first, last)])
            pulls = (u1 - u0) / 2 * (pulls @ weight) * length
            gained = pulls[1] - pulls[0]
            shed = np.einsum("s,swp->wp", ds, along)
            assert_allclose(gained + shed[:, 1] - shed[:, 0], 0.0, atol=1e-10 * np.abs(pulls).max())


def axial_and_flow(one, loads, at, stations):
    """Nx along e1 and shear flow, (station, wall, place), of balanced walls, whose Ny is zero."""
    found = one.wall_loads(one.span.forces(loads, at=stations)[0], stations, at)
    h = 1e-3
    slope = np.stack([
        (one.section(s).contour.position(at) - one.section(s - h).contour.position(at)) / h for s in stations.tolist()
    ])  # fmt: skip
    tangent = one.section(0.1).contour.tangent(at)
    size = np.sqrt(1 + (slope**2).sum(axis=-1))
    sine = (slope * tangent).sum(axis=-1) / size
    cosine = np.sqrt(1 - sine**2)
    return (found[..., 0] * cosine - 2 * found[..., 2] * sine) / size, found[..., 2]


def test_a_prismatic_strut_has_the_wall_loads_of_its_sections():
    flat = {name: getattr(MOLD, name)[:1].repeat(2) for name in ("width", "height", "corner_radius")}
    uneven = book().plies[:-3]
    one = Strut(dataclasses.replace(MOLD, **flat), PlyBook(uneven))
    F = np.random.default_rng(5).normal(size=(2, 3, 6)) * [1e4, 1e3, 1e3, 100, 300, 300]
    s = np.array([0.0, 0.3, 0.55])
    found = one.wall_loads(F, s, PLACES)
    for i, station in enumerate(s.tolist()):
        plain = one.section(station).wall_loads(F[:, i], PLACES)
        assert_allclose(found[:, i], plain, rtol=0, atol=1e-12 * np.abs(plain).max())
    assert_allclose(one.span.stiffness.at([0.2])[0], one.section(0.2).stiffness, rtol=1e-10, atol=1e-7)


def test_stations_and_places_have_their_axes():
    F = np.random.default_rng(3).normal(size=(4, 3, 6))
    s = np.array([0.1, 0.3, 0.5])
    whole = STRUT.wall_loads(F, s, [0.0, 0.5])
    assert whole.shape == (4, 3, 8, 2, 6)
    assert_allclose(STRUT.wall_loads(F, s), whole[..., 1, :], rtol=1e-12)
    assert_allclose(STRUT.wall_loads(F[:, 1], 0.3, [0.0, 0.5]), whole[:, 1], rtol=1e-12)
    assert_allclose(STRUT.wall_loads(F[0, 2], 0.5), whole[0, 2, :, 1], rtol=1e-12)
    with pytest.raises(ValueError, match="one for each station"):
        STRUT.wall_loads(F[:, :2], s)
    with pytest.raises(ValueError, match="from 0 to the tip"):
        STRUT.wall_loads(F, s + 1.0)


def test_at_a_drop_the_thinner_section_outboard_counts():
    F = np.array([0.0, 0.0, 0.0, 0.0, 500.0, 0.0])
    inboard, at, outboard = (STRUT.wall_loads(F, 0.3 + d * LENGTH)[:, 0] for d in (-2e-9, 0.0, 2e-9))
    assert_allclose(at, outboard, rtol=1e-6, atol=1.0)
    assert np.abs(at - inboard).max() > 0.01 * np.abs(at).max()
    assert_allclose(STRUT.wall_loads(F, 0.3 + 1e-10 * LENGTH)[:, 0], at, rtol=1e-6, atol=1.0)
    assert_allclose(STRUT.wall_loads(F, 0.3 - 1e-10 * LENGTH)[:, 0], at, rtol=1e-6, atol=1.0)


def test_tip_travel_is_the_virtual_work_of_the_wall_loads():
    loads = tip_load(2, 3e3, LENGTH)
    x, weight = np.polynomial.legendre.leggauss(12)
    edges = np.unique(np.concatenate([np.linspace(0, LENGTH, 9), STRUT.bays]))
    s = (edges[:-1, None] + edges[1:, None]) / 2 + np.diff(edges)[:, None] / 2 * x
    ds = (np.diff(edges)[:, None] / 2 * weight).ravel()
    at = (1 + x) / 2
    F = STRUT.span.forces(loads, at=s.ravel())[0]
    found = STRUT.wall_loads(F, s.ravel(), at)
    energy = 0.0
    for one, station, step in zip(found, s.ravel().tolist(), ds, strict=True):
        section = STRUT.section(station)
        soft = np.stack([np.linalg.inv(wall.abd) for wall in section.laminates])
        slope = 5e4 * (
            STRUT.section(station + 1e-5).contour.position(at)
            - STRUT.section(station - 1e-5).contour.position(at)
        )
        stretch = np.sqrt(1 + (slope * section.contour.normal(at)).sum(axis=-1) ** 2)
        area = weight / 2 * section.contour.length[:, None] * stretch
        energy += step * np.einsum("wp,wpi,wij,wpj->", area, one, soft, one)
    tip = STRUT.span.displacement(loads, at=[LENGTH])[0, 0, 2]
    assert tip == pytest.approx(energy / 3e3, rel=1e-7)


def test_motions_of_a_tapered_strut_are_reciprocal():
    loads = [tip_load(i, 1.0, LENGTH) for i in range(6)]
    moved = np.stack([STRUT.span.displacement(one, at=[LENGTH])[0, 0] for one in loads])
    assert_allclose(moved, moved.T, rtol=0, atol=1e-10 * np.abs(moved).max())
    assert abs(moved[2, 4]) > 0


def test_taper_acts_through_redundant_supports_and_in_second_order():
    stay = Support.motions(0.35, ["u2", "u3"], name="stay")
    one = strut(supports=[Support.clamp(), stay])
    loads = PointLoads(at=[LENGTH], force=[[[-2e4, 1e3, 3e3]]])
    R = one.span.reactions(loads)[0]
    forces = R @ one.span.held.rows[:, :3]
    assert_allclose(forces, -loads.force[0, 0], atol=1e-8 * 2e4)
    small = loads.times(1e-4)
    linear, bent = (one.span.displacement(small, at=[LENGTH], large=large)[0, 0] for large in (False, True))
    assert_allclose(bent, linear, rtol=0, atol=1e-4 * np.abs(linear).max())
    s = np.array([0.2, 0.34, 0.36, 0.6])
    F = one.span.forces(loads, at=s, large=True)
    assert one.wall_loads(F, s, [0.0, 0.5, 1.0]).shape == (1, 4, 8, 3, 6)
    assert one.span.buckling_factor(loads)[0] > 1.0
