"""The margin table against closed forms, against numbers found another way, and against its own meaning."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq
from small_strut import (
    CASES,
    LENGTH,
    LOADS,
    MOLD_LINE,
    REQUIREMENT,
    STRAIGHT,
    TAPE,
    WALLS,
    lattice,
    tsai_wu_index,
)

from beam.strength import corner_unfolding, section_forces, station_ratios
from beam.strength.margins import check_stations, margins
from beam.strength.requirement import Service
from beam.strength.section_forces import PLACES, wall_loads, wall_response
from beam.strut import Band, BookPly, PlyBook, PointLoads, Rib, Strut
from beam.strut.point_loads import before

SOME = [0.0, 0.25, 0.375]
BOOK = lattice().book([[4, 2, 1], [3, 1, 1]])
STRUT = Strut(MOLD_LINE, BOOK)


@pytest.fixture(scope="module")
def table():
    return margins(STRUT, LOADS, REQUIREMENT, cases=CASES)


def test_axial_load_on_one_material_is_force_over_area():
    """Equal walls, fibers along the span, no temperature change: every ply carries N over the area."""
    book = PlyBook(
        tuple(BookPly(lamina=TAPE, angle_deg=0.0, walls=WALLS, start=0.0, end=LENGTH) for _ in range(4))
    )
    strut = Strut(STRAIGHT, book)
    warm = replace(REQUIREMENT, services=(Service(name="cure", temperature=353.0),))
    N = np.array([2e5, -1e5])
    loads = PointLoads(at=[LENGTH], force=N[:, None, None] * [1.0, 0.0, 0.0])
    got = margins(strut, loads, warm, stations=[0.1])
    area = strut.section(0.1).mass_per_length / TAPE.density
    a, strain = TAPE.allowables, N / area / TAPE.E1
    np.testing.assert_allclose(
        got.xs((0, "max_strain"), level=("case", "mode"))["ratio"], a.e1t / strain[0], rtol=1e-9
    )
    np.testing.assert_allclose(
        got.xs((1, "max_strain"), level=("case", "mode"))["ratio"], a.e1c / -strain[1], rtol=1e-9
    )
    tension = got.xs((0, "tsai_wu"), level=("case", "mode"))["ratio"]
    np.testing.assert_allclose(tension, a.Xt * area / N[0], rtol=1e-9)
    compression = got.xs((1, "tsai_wu"), level=("case", "mode"))["ratio"]
    np.testing.assert_allclose(compression, a.Xc * area / -N[1], rtol=1e-9)


def test_ratio_is_the_root_of_the_criterion(table):
    """Second way: bracket the load factor with the polynomial written out, residual stress held fixed."""
    rows = table.xs("tsai_wu", level="mode").groupby(level="case", observed=True)["ratio"].idxmin()
    for case, station, wall, number in rows:
        row = table.loc[(case, station, wall, number, "tsai_wu")]
        i, w = CASES.index(case), WALLS.index(wall)
        forces = STRUT.span.forces(LOADS, at=[station])[:, 0]
        service = next(s for s in REQUIREMENT.services if s.name == row["service"])
        found = wall_loads(STRUT, station, forces[None], (service,))
        laminate = BOOK.laminate(wall, station)
        response = wall_response(laminate, service, found.running[0][w], found.fixed[0][w])
        ply = BOOK.numbers(wall, station).tolist().index(number)
        place, surface = PLACES.index(row["place"]), ["inner", "outer"].index(row["surface"])
        load = response.load_stress[place, i, ply, surface]
        residual = np.broadcast_to(response.residual_stress, response.load_stress.shape)[
            place, i, ply, surface
        ]
        lamina = BOOK.plies[number - 1].lamina
        a = service.allowables(lamina)
        root = brentq(lambda R: tsai_wu_index(R * load + residual, lamina, a) - 1, 0.0, 100.0, xtol=1e-14)  # noqa: B023
        assert row["ratio"] == pytest.approx(root, rel=1e-9)


def test_margin_is_reserve_less_one_at_ultimate(table):
    np.testing.assert_allclose(table["reserve"], table["ratio"] / (1.5 * 1.2), rtol=1e-12)
    np.testing.assert_allclose(table["margin"], table["reserve"] - 1, rtol=1e-12, atol=1e-15)


def test_rows_say_what_is_not_judged_and_whether_a_band_is_near(table):
    said = table.groupby(level="mode", observed=True)["assumption"].first()
    assert "NOT JUDGED: shear between the plies, growth of ovalization" in said["corner opening"]
    assert "Ny left out" in said["buckling"]
    assert "band" not in " ".join(table["assumption"].cat.categories.str.replace("no band", ""))
    band = Band(name="saddle", start=0.22, end=0.28)
    ribs = [Rib(station=0.22), Rib(station=0.28)]
    banded = Strut(STRAIGHT, BOOK, bands=[band], ribs=ribs)
    rows = margins(
        banded, LOADS, REQUIREMENT, stations=[0.05, 0.15, 0.25, 0.45], cases=CASES, whole_strut=False
    )
    each = rows.groupby(level="station")["assumption"].agg(lambda one: " ".join(one.astype(str).unique()))
    assert set(check_stations(banded, LOADS)) - set(check_stations(replace(banded, bands=[]), LOADS)) == {
        0.22,
        0.28,
    }
    near = 1.8 * 0.09  # widths, the longest decay measured
    assert 0.22 - near > 0.05
    assert [("inside band 'saddle'" in text) for text in each] == [False, False, True, False]
    assert [("within reach of band 'saddle'" in text) for text in each] == [False, True, False, False]


def test_scaling_the_load_to_its_ratio_leaves_no_reserve(table):
    worst, station = table["ratio"].min(), table["ratio"].idxmin()[1]
    again = margins(STRUT, LOADS.times(worst), REQUIREMENT, cases=CASES, stations=[station])
    assert again["ratio"].min() == pytest.approx(1.0, rel=1e-9)


def test_factors_act_once(table):
    """Ten percent on the special factor takes ten percent off every reserve, and touches no ratio."""
    heavy = replace(REQUIREMENT, special_factor=1.2 * 1.1)
    other = margins(STRUT, LOADS, heavy, cases=CASES, stations=SOME)
    same = table.loc[other.index]
    np.testing.assert_allclose(other["reserve"] * 1.1, same["reserve"], rtol=1e-12)
    np.testing.assert_allclose(other["ratio"], same["ratio"], rtol=1e-12)


def test_one_row_for_every_case_station_wall_and_mode(table):
    stations = check_stations(STRUT, LOADS)
    ply_rows = 3 * len(stations) * 8 * 2
    wall_rows = 3 * len(stations) * (8 + 4)
    assert len(table) == ply_rows + wall_rows + 3
    assert table.index.is_unique
    for mode, names in (("buckling", MOLD_LINE.flat_walls), ("curved wall buckling", WALLS[1::2]),
                        ("corner opening", WALLS[1::2])):  # fmt: skip
        rows = table.xs(mode, level="mode").index
        assert (rows.get_level_values("ply") == 0).all()
        assert set(rows.get_level_values("wall")) == set(names)


def test_every_ply_holds_the_governing_one(table):
    full = margins(STRUT, LOADS, REQUIREMENT, cases=CASES, every_ply=True, stations=SOME)
    keys = ["case", "station", "wall", "mode"]
    lowest = full.groupby(level=keys, observed=True)["ratio"].min().sort_index()
    kept = table.groupby(level=keys, observed=True)["ratio"].min().loc[lowest.index]
    np.testing.assert_allclose(lowest.to_numpy(), kept.to_numpy(), rtol=1e-12)
    numbers = set(full.xs("max_strain", level="mode").index.get_level_values("ply"))
    assert numbers == set(range(1, len(BOOK.plies) + 1))


def test_stations_catch_both_sides_of_every_step():
    stations = check_stations(STRUT, LOADS)
    for step in (0.2, 0.25, LENGTH):
        assert step in stations
        assert before(step, LENGTH) in stations
    assert (np.diff(stations) > 0).all()


def test_between_the_stations_nothing_is_lower(table):
    """Section and forces change linearly between steps, so a fine grid finds no margin below the table's."""
    fine = margins(STRUT, LOADS, REQUIREMENT, stations=np.linspace(0.0, LENGTH, 28), cases=CASES)
    assert fine["ratio"].min() >= table["ratio"].min() * (1 - 1e-9)


def test_no_load_has_no_limit():
    nothing = PointLoads(at=[LENGTH], force=np.zeros((1, 1, 3)))
    got = margins(STRUT, nothing, REQUIREMENT, stations=[0.1])
    assert np.isinf(got["ratio"]).all()


def test_labels_must_be_one_for_each_case():
    with pytest.raises(ValueError, match=r"cases.*\(2,\).*\(3,\)"):
        margins(STRUT, LOADS, REQUIREMENT, cases=CASES[:2])


def test_deflected_strut_with_dead_forces_on_its_axis():
    """Beam-column: a push P along the axis adds P times the deflection to the bending of a side force at the tip.

    Tip moment is zero in both; at the root M grows by P u, u the tip deflection magnified by 1 / (1 - P / Pcr)
    to better than a percent (Timoshenko & Gere, Theory of Elastic Stability, art. 1.11; from memory). The push
    shortens the strut by -u1 and so the lever of the side force.
    """
    side, push = 2e3, -4e4
    loads = PointLoads(at=[LENGTH], force=[[[push, 0.0, side]]])
    factor = REQUIREMENT.ultimate_factor
    straight = STRUT.span.forces(loads, at=[0.0])[0, 0, 4]
    bent = STRUT.span.forces(loads.times(factor), at=[0.0], large=True)[0, 0, 4] / factor
    shift, _, tip = STRUT.span.displacement(loads.times(factor))[0, -1, :3]
    critical = STRUT.span.buckling_factor(loads.times(factor))[0]
    grown = straight + push * -abs(tip) / (1 - 1 / critical) * np.sign(straight) - side * shift
    assert abs(bent) > abs(straight)
    assert bent - straight == pytest.approx(grown - straight, rel=0.01)
    flat = margins(STRUT, loads, REQUIREMENT, stations=[0.0])["margin"].min()
    curved = margins(STRUT, loads, REQUIREMENT, stations=[0.0], deflected=True)["margin"].min()
    assert curved < flat


def test_deflection_allowance_acts_like_a_factor_and_not_on_the_deflected_strut():
    allowed = replace(REQUIREMENT, deflection_allowance=1.05)
    one, other = (margins(STRUT, LOADS, r, stations=[0.1], cases=CASES) for r in (REQUIREMENT, allowed))
    np.testing.assert_allclose(other["reserve"] * 1.05, one["reserve"], rtol=1e-12)
    one, other = (
        margins(STRUT, LOADS.take([0]), r, stations=[0.1], deflected=True) for r in (REQUIREMENT, allowed)
    )
    np.testing.assert_allclose(other["reserve"], one["reserve"], rtol=1e-12)


def test_small_loads_do_not_know_that_the_strut_deflects():
    """In the limit of small loads, following the strut changes nothing: factors enter once in both."""
    small = LOADS.times(1e-4)
    straight, bent = (
        margins(STRUT, small, REQUIREMENT, stations=[0.0, 0.3], cases=CASES, deflected=way)
        for way in (False, True)
    )
    walls = straight.index.get_level_values("mode") != "column"
    np.testing.assert_allclose(bent["ratio"][walls], straight["ratio"][walls], rtol=1e-3)


def test_wall_that_couples_stretching_and_bending_buckles_with_the_reduced_stiffness():
    """D* = D - B inv(A) B (J. E. Ashton, J. Compos. Mater. 3 (1969), reduced bending stiffness; from memory)."""
    angles = (0.0, 0.0, 0.0, 0.0, 90.0, 90.0, 90.0, 90.0)
    plies = [BookPly(lamina=TAPE, angle_deg=a, walls=WALLS, start=0.0, end=LENGTH) for a in angles]
    strut = Strut(MOLD_LINE, PlyBook(plies))
    push = PointLoads(at=[LENGTH], force=[[[-1e4, 0.0, 0.0]]])
    got = margins(strut, push, REQUIREMENT, stations=[0.1]).xs(("aft", "buckling"), level=("wall", "mode"))
    laminate = strut.ply_book.laminate("aft", 0.1)
    reduced = laminate.D - laminate.B @ np.linalg.inv(laminate.A) @ laminate.B
    Nx = strut.wall_loads(strut.span.forces(push, at=[0.1])[0, 0], 0.1)[WALLS.index("aft"), 0]
    width = strut.mold_line.flat_widths(0.1)[1]
    critical = (
        2 * np.pi**2 / width**2 * (np.sqrt(reduced[0, 0] * reduced[1, 1]) + reduced[0, 1] + 2 * reduced[2, 2])
    )
    assert got["ratio"].iloc[0] == pytest.approx(critical / -Nx, rel=1e-3)


def test_places_around_the_walls_are_enough(monkeypatch):
    """Nx on an arc is a harmonic, Nxy of biaxial shear peaks off the middle: against 129 places in every wall."""
    strut = Strut(MOLD_LINE, lattice().book([[4, 2, 1], [3, 1, 1]]))
    shear = PointLoads(at=[LENGTH], force=[[[0.0, 5e3, 4e3]]], moment=[[[800.0, 300.0, -700.0]]])
    for loads in (LOADS, shear):
        found = margins(strut, loads, REQUIREMENT, stations=[0.1], whole_strut=False)["ratio"]
        with monkeypatch.context() as finer:
            for module in (section_forces, station_ratios, corner_unfolding):
                finer.setattr(module, "PLACES", tuple(np.linspace(0.0, 1.0, 129).tolist()))
            fine = margins(strut, loads, REQUIREMENT, stations=[0.1], whole_strut=False)["ratio"]
        finite = np.isfinite(fine)
        assert (found[finite] / fine[finite]).max() < 1.003
