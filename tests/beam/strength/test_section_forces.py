"""Struts held in more than six directions: heat and moisture load them, and that part does not grow with load."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq
from small_strut import CASES, LENGTH, LOADS, MOLD_LINE, REQUIREMENT, TAPE, lattice, tsai_wu_index

from beam.strength.check import Check
from beam.strength.global_modes import global_ratios
from beam.strength.margins import margins
from beam.strength.requirement import Service
from beam.strength.section_forces import (
    CORNER_FADES,
    FLAT_FADES,
    PLACES,
    added_to_tube,
    held_contraction,
    introduced_loads,
    section_forces,
    total_loads,
)
from beam.strength.strain import FIBER_COMPRESSION, FIBER_TENSION, span_strain
from beam.strut import Band, BookPly, MoldLine, PlyBook, PointLoads, Rib, Strut, Support
from laminate.failure import MaxStress
from materials import Lamina, Source

ROOM = 293.0
MOUNTED = replace(REQUIREMENT, assembly_temperature=ROOM)
BOTH = (Support.clamp(0.0), Support.clamp(LENGTH))
BOOK = lattice().book([[4, 2, 1], [3, 1, 1]])
CLAMPED = Strut(MOLD_LINE, BOOK, supports=BOTH)
NOTHING = PointLoads(at=[0.25], force=np.zeros((1, 1, 3)))


def prismatic(*supports, plies=6, length=LENGTH, lamina=TAPE):
    """A straight strut of fibers along the span alone: what it is made of is one material."""
    line = MoldLine(
        root=[0, 0, 0], tip=[0, 0, -length], stations=[0, length], width=[0.09] * 2, height=[0.07] * 2,
        corner_radius=[0.02] * 2,
    )  # fmt: skip
    ply = BookPly(lamina=lamina, angle_deg=0.0, walls=line.wall_names, start=0.0, end=length)
    return Strut(line, PlyBook((ply,) * plies), supports=supports or None)


def area(strut):
    return strut.section(0.1).mass_per_length / TAPE.density


@pytest.mark.parametrize(("temperature", "moisture"), [(203.0, 0.0), (233.0, 0.0), (344.0, 0.006)])
def test_clamped_bar_carries_e_a_alpha_dt(temperature, moisture):
    """N = -E A (alpha dT + beta c): a bar between two walls, 90 K colder among the cases."""
    wet = replace(TAPE, beta1=0.02, beta2=0.3)
    strut = prismatic(*BOTH, lamina=wet)
    service = Service(name="x", temperature=temperature, moisture=moisture)
    got = section_forces(strut, NOTHING, replace(MOUNTED, services=(service,)), np.array([0.1, 0.4]))
    N = -TAPE.E1 * area(strut) * (TAPE.alpha1 * (temperature - ROOM) + 0.02 * moisture)
    np.testing.assert_allclose(got.restraint[0, :, 0], N, rtol=1e-9)
    np.testing.assert_allclose(got.restraint[0, :, 1:], 0.0, atol=1e-9 * abs(N))
    np.testing.assert_array_equal(got.grows, 0.0)


def test_prop_that_gives_way_takes_its_share():
    """Clamped at the root, a spring k along the axis at the tip: N = -alpha dT L / (L / E A + 1 / k)."""
    k = 3e7
    strut = prismatic(Support.clamp(0.0), Support.motions(LENGTH, ["u1"], stiffness=k))
    cold = replace(MOUNTED, services=(Service(name="cold", temperature=203.0),))
    N = -TAPE.alpha1 * -90.0 * LENGTH / (LENGTH / (TAPE.E1 * area(strut)) + 1 / k)
    got = section_forces(strut, NOTHING, cold, np.array([0.2]))
    np.testing.assert_allclose(got.restraint[0, 0, 0], N, rtol=1e-9)


def test_ratio_of_a_clamped_bar_by_hand():
    """Compression of the load in half of the bar, of the heat in all of it: R = (Xc - heat) / load."""
    strut = prismatic(*BOTH)
    cold = replace(
        MOUNTED,
        services=(Service(name="cold", temperature=203.0),),
        checks=(Check(criterion=MaxStress(), level="ultimate"),),
    )
    P = 4e4
    loads = PointLoads(at=[LENGTH / 2], force=[[[P, 0.0, 0.0]]])
    got = margins(strut, loads, cold, stations=[0.1, 0.4], whole_strut=False).xs("max_stress", level="mode")
    a, heat = TAPE.allowables, -TAPE.E1 * TAPE.alpha1 * -90.0
    assert heat < 0
    load = P / 2 / area(strut)
    np.testing.assert_allclose(got.xs(0.4, level="station")["ratio"], (a.Xc + heat) / load, rtol=1e-9)
    np.testing.assert_allclose(got.xs(0.1, level="station")["ratio"], (a.Xt - heat) / load, rtol=1e-9)


def test_heat_counts_where_it_is():
    """A stop at 0.25 m: inboard of it the heat presses, outboard of it nothing does but the load."""
    strut = prismatic(Support.clamp(0.0), Support.motions(0.25, ["u1"]))
    cold = replace(
        MOUNTED,
        services=(Service(name="cold", temperature=203.0),),
        checks=(Check(criterion=MaxStress(), level="ultimate"),),
    )
    loads = PointLoads(at=[LENGTH], force=[[[-2e4, 0.0, 0.0]]])
    plain = margins(prismatic(), loads, cold, stations=[0.1, 0.4])["ratio"].xs("max_stress", level="mode")
    got = margins(strut, loads, cold, stations=[0.1, 0.4])["ratio"].xs("max_stress", level="mode")
    np.testing.assert_allclose(got.xs(0.4, level="station"), plain.xs(0.4, level="station"), rtol=1e-9)
    assert not np.allclose(got.xs(0.1, level="station"), plain.xs(0.1, level="station"), rtol=1e-3)


def test_ratio_is_the_root_under_load_and_heat_together():
    """Second way: one solution of the span for R loads and the heat at once, Tsai-Wu written out, root bracketed."""
    station, wall, number = 0.1, "aft-outboard", 1
    table = margins(
        CLAMPED, LOADS.times(3.0), MOUNTED, stations=[station], cases=CASES, every_ply=True, whole_strut=False
    )
    row = table.loc[("drag", station, wall, number, "tsai_wu")]
    service = next(s for s in MOUNTED.services if s.name == row["service"])
    since_mounting = CLAMPED.free_strain(service.temperature - ROOM, service.moisture)
    lamina = BOOK.plies[number - 1].lamina
    section, a = CLAMPED.section(station), service.allowables(lamina)

    def over(R):
        F = CLAMPED.span.forces(LOADS.times(3.0 * R).take([0]), at=[station], free_strain=since_mounting)[
            0, 0
        ]
        w, at = MOLD_LINE.wall_names.index(wall), float(row["place"])
        states = section.ply_states(0.0 * F, service.temperature_change(lamina), service.moisture, at=at)
        running = CLAMPED.wall_loads(F, station, at=at)[w]
        grown = BOOK.laminate(wall, station).response(N=running[:3], M=running[3:]).load_stress
        surface = ["inner", "outer"].index(row["surface"])
        return tsai_wu_index((grown + states[w].residual_stress)[0, surface], lamina, a) - 1

    assert row["ratio"] == pytest.approx(brentq(over, 0.0, 1e3, xtol=1e-13), rel=1e-8)
    without = replace(MOUNTED, services=tuple(replace(s, temperature=ROOM) for s in MOUNTED.services))
    other = margins(CLAMPED, LOADS.times(3.0), without, stations=[station], cases=CASES, whole_strut=False)
    assert not np.allclose(other["ratio"].min(), table["ratio"].min(), rtol=1e-3)


def test_each_service_has_its_own_heat():
    """Both services at once give the lower of each alone, row by row, on the straight and on the deflected strut."""
    hot = Service(name="hot", temperature=355.0)
    services = (Service(name="cold", temperature=213.0), hot)
    for deflected in (False, True):
        both, *alone = (
            margins(
                CLAMPED,
                LOADS.take([0, 2]),
                replace(MOUNTED, services=some),
                stations=[0.3],
                deflected=deflected,
                whole_strut=False,
            )["ratio"]
            .groupby(level=["case", "wall", "mode"], observed=True)
            .min()
            for some in (services, services[:1], services[1:])
        )
        np.testing.assert_allclose(both, np.minimum(*alone), rtol=1e-9)
        assert not np.allclose(*alone, rtol=1e-2)


def test_heat_on_the_deflected_strut():
    """Small loads and little heat: following the strut changes nothing. Heat near buckling: a push bends it more."""
    mild = replace(MOUNTED, services=(Service(name="mild", temperature=ROOM - 5.0),))
    small, at = LOADS.times(1e-4), np.array([0.1, 0.3])
    straight, bent = (section_forces(CLAMPED, small, mild, at, deflected=way) for way in (False, True))
    scale = np.abs(straight.grows).max(axis=(0, 1, 2)).reshape(2, 3).max(axis=1).repeat(3)
    np.testing.assert_allclose(bent.grows / scale, straight.grows / scale, atol=1e-3)
    np.testing.assert_allclose(
        bent.restraint, straight.restraint, atol=1e-3 * np.abs(straight.restraint).max()
    )

    length = 4.0
    swells = replace(TAPE, alpha1=-5e-6)
    slim = prismatic(Support.clamp(0.0), Support.clamp(length), plies=2, length=length, lamina=swells)
    side = PointLoads(at=[length / 2], force=[[[0.0, 0.0, 10.0]]])
    pushed = replace(
        MOUNTED, services=(Service(name="cold", temperature=203.0), Service(name="room", temperature=ROOM))
    )
    got = section_forces(slim, side, pushed, np.array([length / 2]), deflected=True)
    euler = 4 * np.pi**2 / slim.section(0.1).compliance[4, 4] / length**2
    grown = got.grows[0, 0, 0, 4] / got.grows[1, 0, 0, 4]
    # Timoshenko & Gere, Theory of Elastic Stability, 2nd ed., art. 1.11: nearly 1 / (1 - P / P_cr); from memory
    assert grown == pytest.approx(1 / (1 + got.restraint[0, 0, 0] / euler), abs=0.1 * (grown - 1))
    assert grown > 1


def test_column_with_heat_that_does_not_grow():
    """Stops at both ends, P in the middle: one half is pressed by P/2 + heat, the other pulled by P/2 - heat."""
    length = 5.0
    swells = replace(TAPE, alpha1=-2e-6)
    column = prismatic(
        Support.clamp(0.0), Support.motions(length, ["u1", "u2", "u3"]), length=length, lamina=swells
    )
    hinge = 20.19 / length**2 / max(np.diag(column.section(0.1).compliance)[4:])
    cold, room = Service(name="cold", temperature=203.0), Service(name="room", temperature=ROOM)
    push = PointLoads(at=[length / 2], force=[[[-3e4, 0.0, 0.0]]])
    heat = section_forces(column, push, replace(MOUNTED, services=(cold,)), np.array([0.3])).restraint[
        0, 0, 0
    ]
    assert -0.7 * hinge < heat < -0.05 * hinge

    def factor(services):
        return float(global_ratios(column, push, replace(MOUNTED, services=services))["column"][0][0])

    plain, with_heat, both = factor((room,)), factor((cold,)), factor((room, cold))
    assert with_heat < plain
    assert both == pytest.approx(with_heat, rel=1e-12)
    # Second way: the heat as dead forces at the ends of a strut that the axial stop no longer holds.
    free = prismatic(Support.clamp(0.0), Support.motions(length, ["u2", "u3"]), length=length)
    C = free.span.displacement(PointLoads(at=[length], force=[[[1.0, 0, 0]]]))[0, -1, 0]

    def given_back(R):
        stop = (
            R * 3e4 * free.span.displacement(PointLoads(at=[length / 2], force=[[[1.0, 0, 0]]]))[0, -1, 0] / C
        )
        forces = np.array([[[-3e4 * R, 0.0, 0.0], [stop + heat, 0.0, 0.0]]])
        return 1 / free.span.buckling_factor(PointLoads(at=[length / 2, length], force=forces))[0] - 1

    assert with_heat == pytest.approx(
        brentq(given_back, 0.9 * with_heat, 1.1 * with_heat, rtol=1e-8), rel=1e-6
    )


@pytest.mark.parametrize("push", [-1e5, 1e5])
def test_heat_alone_may_buckle_the_strut(push):
    """Below the heat that buckles the clamped strut the factor is finite, above it is nothing."""
    length = 6.0
    slim = prismatic(Support.clamp(0.0), Support.clamp(length), plies=2, length=length)
    C = slim.section(0.1).compliance
    euler, shear = 4 * np.pi**2 / length**2 / max(C[4, 4], C[5, 5]), C[2, 2] if C[4, 4] > C[5, 5] else C[1, 1]
    strain = (np.sqrt(1 + 4 * euler * shear) - 1) / (2 * shear) * C[0, 0]  # Haringx, as for the column
    load = PointLoads(at=[length / 2], force=[[[push, 0.0, 0.0]]])
    below, above = (
        slim.span.buckling_factor(load, free_strain=[s * strain, 0, 0, 0, 0, 0])[0] for s in (0.99, 1.01)
    )
    assert above == 0.0
    assert 0.0 < below < slim.span.buckling_factor(load)[0]


def test_stubby_strut_that_only_heat_brings_near_buckling():
    """Load in the middle: alone it would tear the strut before it buckles it, so its own factor is infinite. Heat that
    is near buckling the strut leaves it a finite one, at which load and heat together buckle it.
    """
    length = 2.0
    stubby = prismatic(Support.clamp(0.0), Support.clamp(length), plies=2, length=length)
    C = stubby.section(0.1).compliance
    euler, shear = 4 * np.pi**2 / length**2 / max(C[4, 4], C[5, 5]), C[2, 2] if C[4, 4] > C[5, 5] else C[1, 1]
    push = (np.sqrt(1 + 4 * euler * shear) - 1) / (2 * shear)
    load = PointLoads(at=[length / 2], force=[[[-1e5, 0.0, 0.0]]])
    assert np.isinf(stubby.span.buckling_factor(load)[0])
    R = stubby.span.buckling_factor(load, free_strain=[0.97 * push * C[0, 0], 0, 0, 0, 0, 0])[0]
    assert 0.0 < R < np.inf
    sliding = prismatic(
        Support.clamp(0.0), Support.motions(length, ["u2", "u3", "r1", "r2", "r3"]), plies=2, length=length
    )
    both = PointLoads(at=[length / 2, length], force=[[[-1e5 * R, 0, 0], [0.5e5 * R - 0.97 * push, 0, 0]]])
    assert sliding.span.buckling_factor(both)[0] == pytest.approx(1.0, rel=1e-7)


def test_strains_along_the_span_hold_the_heat():
    """Strain of the clamped bar without load: E1 e1 = N/A and the stress-producing part of the cure in one material."""
    strut = prismatic(*BOTH)
    cold = Service(name="cold", temperature=203.0)
    got = span_strain(strut, NOTHING, MOUNTED, cold, stations=[0.1, 0.4])
    for part in (FIBER_TENSION, FIBER_COMPRESSION):
        np.testing.assert_allclose(got.strain[0, :, :, part], -TAPE.alpha1 * -90.0, rtol=1e-8)


def test_what_must_be_said_and_what_cannot_be_judged():
    with pytest.raises(ValueError, match=r"assembly_temperature \[K\].*None.*12 supported directions"):
        margins(CLAMPED, LOADS, REQUIREMENT, cases=CASES)
    with pytest.raises(ValueError, match="assembly_temperature"):
        span_strain(CLAMPED, LOADS, REQUIREMENT, REQUIREMENT.services[0], stations=[0.1])
    loose = Strut(MOLD_LINE, BOOK, supports=(Support.clamp(0.0), Support.motions(LENGTH, ["u2"], play=1e-3)))
    with pytest.raises(ValueError, match="play in redundant supports"):
        margins(loose, LOADS, MOUNTED, cases=CASES, whole_strut=False)
    with pytest.raises(ValueError, match=r"assembly_temperature \[K\].*degC or degF"):
        replace(REQUIREMENT, assembly_temperature=20.0)


def test_determinate_supports_know_no_heat():
    plain = Strut(MOLD_LINE, BOOK)
    for requirement in (REQUIREMENT, MOUNTED):
        got = section_forces(plain, LOADS, requirement, np.array([0.1]))
        np.testing.assert_array_equal(got.restraint, 0.0)
        np.testing.assert_allclose(got.grows[0], plain.span.forces(LOADS, at=[0.1]), rtol=1e-14)


def test_total_loads_are_taper_and_what_bands_add():
    """By `Strut.wall_loads` and `Strut.added_wall_loads` themselves; beside a straight tube the rest remains."""
    strut = replace(Strut(MOLD_LINE, BOOK), bands=[Band(name="load", start=0.2, end=0.3, fitting="rigid")])
    at = np.array([0.1, 0.24])
    forces = strut.span.forces(LOADS, at=at)
    taper, added = strut.wall_loads(forces, at, PLACES), strut.added_wall_loads(LOADS, at, PLACES)
    assert strut.thick_corners
    sections = [strut.section(s) for s in at]
    thick = np.stack(
        [
            np.einsum("wpij,cj->cwpi", one.with_thick_corners.recovery(PLACES), forces[:, i])
            - one.wall_loads(forces[:, i], PLACES)
            for i, one in enumerate(sections)
        ],
        axis=1,
    )
    assert abs(thick[..., 4]).max() > 1e-3 * abs(added[..., 4]).max()
    taper = taper + thick
    added = added + held_contraction(strut, at, taper + added)
    np.testing.assert_allclose(total_loads(strut, LOADS, at, forces), taper + added, rtol=1e-9, atol=1e-6)
    assert abs(added).max() > 1e-3 * abs(taper).max()
    tube = np.stack([strut.section(s).wall_loads(forces[:, i], PLACES) for i, s in enumerate(at)], axis=1)
    rest = np.moveaxis(added_to_tube(strut, LOADS, at), 0, 1)
    np.testing.assert_allclose(rest + tube, taper + added, rtol=1e-9, atol=1e-6)


ALUMINIUM = Lamina(
    name="aluminium", kind="tape", thickness=0.5e-3, density=2700.0, E1=70e9, E2=70e9, G12=70e9 / 2.6,
    nu12=0.3, G13=70e9 / 2.6, G23=70e9 / 2.6, E3=70e9, nu13=0.3, nu23=0.3, alpha3=0.0, beta3=0.0,
    source=Source("closed form"),
)  # fmt: skip


def held(**given):
    """An aluminium tube of walls 2 mm thick, free in shape at both ends, that a force on a band far away pulls."""
    far = Band(name="far", start=0.9, end=0.95)
    straight = prismatic(plies=4, length=1.0, lamina=ALUMINIUM)
    return replace(straight, **({"bands": [far], "root_end": "open", "tip_end": "open"} | given))


PULL = PointLoads(at=[0.92], force=[[[8e4, 0.0, 0.0]]])
RIB = {"ribs": [Rib(station=0.4)]}


def hoop(strut, stations):
    """Ny (station, wall, place) over Nx of the pull."""
    tube = strut.section(0.4).wall_loads([8e4, 0, 0, 0, 0, 0], PLACES)[..., 0]
    at = np.array(stations)
    total = total_loads(strut, PULL, at, strut.span.forces(PULL, at=at))[0]
    return total[..., 1] / tube


def test_a_rigid_rib_holds_the_contraction_of_the_walls():
    """Of one material Ny = nu Nx where ey = 0; a corner may differ by its thickness over its radius."""
    found = hoop(held(**RIB), [0.4])[0]
    np.testing.assert_allclose(found[0::2], 0.3, rtol=1e-3)
    np.testing.assert_allclose(found[1::2], 0.3, rtol=0.02)


def test_held_contraction_fades_from_its_rib_and_is_alike_on_both_sides():
    strut, away = held(**RIB), 0.006
    flat, corner = hoop(strut, [0.4 + away])[0][[0, 1]]
    width = strut.section(0.4).contour.length[0]
    assert flat[4] == pytest.approx(0.3 * np.exp(-away / (FLAT_FADES * width)), rel=0.01)
    assert corner[4] == pytest.approx(0.3 * np.exp(-away / (CORNER_FADES * 2e-3)), rel=0.05)
    np.testing.assert_allclose(hoop(strut, [0.4 + away]), hoop(strut, [0.4 - away]), rtol=1e-3)


@pytest.mark.parametrize(
    ("given", "station", "holds"),
    [
        ({}, 0.4, False),
        ({"ribs": [Rib(station=0.4, bending_stiffness=50.0)]}, 0.4, False),
        ({"root_end": "closed"}, 0.0, True),
        ({"root_end": "warping held"}, 0.0, True),
        ({"bands": [Band(name="far", start=0.9, end=0.95), Band(name="grip", start=0.3, end=0.5, fitting="rigid")]},
         0.42, True),
    ],
)  # fmt: skip
def test_what_holds_the_contraction(given, station, holds):
    """A rigid rib, a rigid fitting from edge to edge and a closed end do; a ring rib and a free end do not."""
    strut, at = held(**given), np.array([station])
    total = total_loads(strut, PULL, at, strut.span.forces(PULL, at=at))
    kept = held_contraction(strut, at, total)
    assert (abs(kept[..., 1]).max() > 0) == holds
    assert not np.delete(kept, 1, axis=-1).any() or strut.thick_corners


def test_held_contraction_has_no_resultant_along_the_span():
    strut, at = held(**RIB), np.array([0.4, 0.41])
    bare = strut.added_wall_loads(PULL, at, PLACES)
    more = introduced_loads(strut, PULL, at) - bare
    assert abs(more[..., 1]).max() > 1e4
    np.testing.assert_allclose(more[:, :, 0::2][..., [0, 2, 3, 4, 5]], 0.0, atol=1e-6)


def test_flat_walls_of_a_laminate_do_not_strain_around_at_a_rib():
    strut = replace(
        Strut(MOLD_LINE, BOOK), bands=[Band(name="load", start=0.4, end=0.45)], ribs=[Rib(station=0.1)]
    )
    at = np.array([0.1])
    total = total_loads(strut, LOADS, at, strut.span.forces(LOADS, at=at))[:, 0]
    soft = np.stack([wall.compliance for wall in strut.section(0.1).laminates])
    around, along = ((soft[:, None, row] * total).sum(-1)[:, 0::2] for row in (1, 0))
    assert abs(around).max() < 1e-9 * abs(along).max()
