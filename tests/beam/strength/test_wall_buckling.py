"""Buckling of the curved corners: what the margin table prints, against the shell solved directly."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq
from small_strut import CASES, CLOTH, LENGTH, LOADS, REQUIREMENT, TAPE, WALLS, lattice
from small_strut import MOLD_LINE as SMALL

from beam.strength import station_ratios, wall_buckling
from beam.strength.margins import margins
from beam.strength.section_forces import PLACES, wall_loads
from beam.strength.wall_buckling import (
    CurvedLoads,
    bent_wall_ratio,
    curved_loads,
    curved_wall_ratio,
    flat_wall_ratio,
    linear_across,
)
from beam.strut import BookPly, MoldLine, PlyBook, PointLoads, Strut
from laminate import stability

RADIUS, CORNER = 0.12, WALLS.index("aft-outboard")
ROUND = MoldLine(
    root=[0, 0, 0], tip=[0, 0, -LENGTH], stations=[0, LENGTH], width=[0.30] * 2, height=[0.28] * 2,
    corner_radius=[RADIUS] * 2,
)  # fmt: skip


def thin(plies=(45.0, -45.0, 90.0, 90.0, -45.0, 45.0), lamina=CLOTH):
    """A thin skin on wide corners: there curved walls govern."""
    book = [BookPly(lamina=lamina, angle_deg=a, walls=WALLS, start=0.0, end=LENGTH) for a in plies]
    return Strut(ROUND, PlyBook(book))


def running(*rows):
    out = np.zeros((len(rows), 6))
    out[:, [0, 2]] = rows
    return out


NOTHING = np.zeros(6)
DESIGN = CurvedLoads(Nx=5e4, Nxy=4e4, Nxy_back=3e4)


@pytest.mark.parametrize("fixed", [(0.0, 0.0), (-2e4, 1e4), (3e4, -1.5e4), (-1e4, -1e4), (2e4, 3.9e4)])
def test_root_of_the_straight_line(fixed):
    loads = running(
        (-1e4, 0), (-1e4, 2e4), (-1e4, -2e4), (1e4, -2e4), (1e4, 3e4), (0, 1e4), (0, -1e4), (1e4, 0)
    )
    got = curved_wall_ratio(DESIGN, loads, running(fixed))
    for (nx, nxy), R in zip(loads[:, [0, 2]], got, strict=True):

        def used(r, nx=nx, nxy=nxy):
            x, s = r * nx + fixed[0], r * nxy + fixed[1]
            return max(-x, 0) / 5e4 + max(s / 4e4, -s / 3e4) - 1

        grid = np.linspace(0, 60, 6001)
        over = np.flatnonzero([used(r) > 0 for r in grid])
        expected = brentq(used, grid[over[0] - 1], grid[over[0]], xtol=1e-14) if over.size else np.inf
        assert pytest.approx(expected, rel=1e-10) == R


def test_residual_beyond_the_design_loads_leaves_nothing():
    assert curved_wall_ratio(DESIGN, running((1e4, 0)), running((-5.1e4, 0))) == 0.0
    assert curved_wall_ratio(DESIGN, running((0, 1e4)), running((0, -3.1e4))) == 0.0


def test_alone_it_is_the_shell_and_together_on_the_safe_side():
    """Second way: `stability.curved_wall_ratio` under the very mix of loads; from below, by at most a quarter."""
    laminate, width = thin().ply_book.laminate("aft", 0.0), 0.5 * np.pi * RADIUS
    found = curved_loads(laminate, width, RADIUS, {})
    for nx, nxy, least in ((-1e4, 0.0, 0.995), (0.0, 1e4, 0.995), (0.0, -1e4, 0.995), (-1e4, 1.5e4, 0.75)):
        exact = stability.curved_wall_ratio(laminate.abd, width, RADIUS, nx, nxy)
        got = curved_wall_ratio(found, running((nx, nxy)), NOTHING)[0]
        assert least * exact <= got <= 1.005 * exact
        assert flat_wall_ratio(laminate, width, running((nx, nxy)), NOTHING)[0] < exact


def test_shear_that_a_skewed_skin_bears_better_one_way():
    """All fibers at 45 degrees: one sign of shear pulls along them, and the two design loads lie far apart."""
    laminate, width = thin((45.0, 45.0, 45.0, 45.0), TAPE).ply_book.laminate("aft", 0.0), 0.5 * np.pi * RADIUS
    found = curved_loads(laminate, width, RADIUS, {})
    for sign, ours in ((1.0, found.Nxy), (-1.0, found.Nxy_back)):
        exact = stability.curved_wall_ratio(laminate.abd, width, RADIUS, 0.0, sign)
        assert ours == pytest.approx(float(exact), rel=5e-3)
    assert max(found.Nxy, found.Nxy_back) > 1.2 * min(found.Nxy, found.Nxy_back)


def test_flat_wall_takes_compression_and_shear_of_load_and_residual():
    laminate = thin().ply_book.laminate("aft", 0.0)
    load, rest = np.array([-1e4, 7e5, 2e4, 3.0, 4.0, 5.0]), np.array([-2e3, 9e5, 5e3, 6.0, 7.0, 8.0])
    expected = stability.buckling_ratio(
        laminate.D, 0.05, -1e4, 2e4, residual_Nx=-2e3, residual_Nxy=5e3, bound_anisotropy=True
    )
    assert flat_wall_ratio(laminate, 0.05, load, rest) == pytest.approx(float(expected), rel=1e-9)


def test_flat_wall_bends_in_its_plane_and_is_sheared_and_compressed():
    """Second way: the strip solved with the loads as they run; at most 1.5 percent high, 10 percent low."""
    laminate, width, at = thin().ply_book.laminate("aft", 0.0), 0.05, np.linspace(0.0, 1.0, 5)
    none = np.zeros((5, 1, 6))
    D = stability.reduced_bending_stiffness(laminate.abd) * (1 - stability.anisotropy_bound(laminate.D))
    D[..., :2, 2] = D[..., 2, :2] = 0.0
    for mean, bend, shear in ((0.0, 2e4, 0.0), (-1e4, 2e4, 0.0), (-1e4, -3e4, 2e4), (0.0, 1e4, 3e4)):
        load = np.zeros((5, 1, 6))
        load[:, 0, 0], load[:, 0, 2] = mean + bend * (2 * at - 1), shear
        got = bent_wall_ratio(laminate, width, load, none, at)
        exact = stability.strip_buckling(D, width, mean, shear, Nx_bending=bend).ratio
        assert (got[:, 0] <= 1.015 * exact).all()
        assert (got[:, 0] >= 0.9 * exact).all()
        assert (got >= flat_wall_ratio(laminate, width, load, none).min()).all(), (
            "credit for a load not uniform"
        )


def test_what_the_residual_presses_acts_all_across():
    laminate, at = thin().ply_book.laminate("aft", 0.0), np.array([0.0, 0.5, 1.0])
    load, rest = np.zeros((3, 1, 6)), np.zeros((3, 1, 6))
    load[:, 0, 0], rest[:, 0, 0] = (-1e4, -2e4, -2e4), (1e3, -3e3, 2e3)
    got = bent_wall_ratio(laminate, 0.05, load, rest, at)
    expected = stability.buckling_ratio(  # the middle hangs 5 kN/m under the line between the ends
        laminate.D, 0.05, -1.5e4 - 5e3, Nx_bending=5e3, residual_Nx=-3e3, bound_anisotropy=True
    )
    assert got[:, 0] == pytest.approx(float(expected), rel=1e-9)


def test_table_holds_the_corner_where_it_governs():
    """Torsion on wide thin corners: the row is the straight line of the shell's own loads, heat residual and all."""
    strut = thin()
    twist = PointLoads(at=[LENGTH], force=np.zeros((2, 1, 3)), moment=[[[3e3, 0, 0]], [[-3e3, 0, 0]]])
    table = margins(strut, twist, REQUIREMENT, stations=[0.1])
    rows = table.xs(("aft-outboard", "curved wall buckling"), level=("wall", "mode"))
    assert table["margin"].idxmin()[4] == "curved wall buckling"
    section, laminate = strut.section(0.1), strut.ply_book.laminate("aft", 0.1)
    radius = RADIUS - laminate.thickness / 2
    alone = stability.panel_buckling(laminate.abd, 0.5 * np.pi * radius, radius, [-1, 0, 0], [0, 1, -1]).ratio
    alone = alone * stability.compression_knockdown(laminate.abd, radius)
    for case, row in enumerate(rows.itertuples()):
        Nxy = section.wall_loads(strut.span.forces(twist, at=[0.1])[case, 0])[CORNER, 2]
        # One laminate all round: no residual along the span, and the torsion flows evenly.
        assert row.ratio == pytest.approx(alone[1 if Nxy > 0 else 2] / abs(Nxy), rel=5e-3)


def test_residual_of_a_corner_enters():
    """Tape in the corners alone, far colder than at cure: Nx of the unloaded section counts in the corner's row."""
    tape = [
        BookPly(lamina=CLOTH, angle_deg=a, walls=WALLS, start=0.0, end=LENGTH) for a in (45.0, -45.0, 0.0)
    ]
    warm = replace(CLOTH, name="warm", alpha1=-5e-6, alpha2=20e-6)
    inner = [BookPly(lamina=warm, angle_deg=0.0, walls=WALLS[1::2], start=0.0, end=LENGTH)]
    strut = Strut(ROUND, PlyBook((*tape, *inner, *tape[::-1])))
    push = PointLoads(at=[LENGTH], force=[[[-2e4, 0.0, 0.0]]])
    cold = replace(REQUIREMENT, services=REQUIREMENT.services[1:])
    row = margins(strut, push, cold, stations=[0.1]).xs(
        ("aft-outboard", "curved wall buckling"), level=("wall", "mode")
    )
    found = wall_loads(strut, 0.1, strut.span.forces(push, at=[0.1])[None, :, 0], cold.services)
    rest = found.fixed[0][CORNER]
    assert np.abs(rest[..., 0]).max() > 500
    laminate = strut.ply_book.laminate("aft-outboard", 0.1)
    radius = RADIUS - laminate.thickness / 2
    design = curved_loads(laminate, 0.5 * np.pi * radius, radius, {})
    expected = curved_wall_ratio(design, found.running[0][CORNER], rest).min()
    assert row["ratio"].iloc[0] == pytest.approx(expected, rel=1e-9)
    without = curved_wall_ratio(design, found.running[0][CORNER], 0 * rest).min()
    assert abs(expected - without) > 1e-3 * expected


def test_bound_where_something_else_governs_and_the_shell_where_not(monkeypatch):
    """No shell is solved for a corner that plies govern anyway, and each is solved once for all that are alike."""
    solved = []

    def counted(abd, width, radius, *loads, **rest):
        solved.append((width, radius))
        return whole(abd, width, radius, *loads, **rest)

    whole = stability.panel_buckling
    monkeypatch.setattr(wall_buckling.stability, "panel_buckling", counted)
    thick = Strut(SMALL, lattice().book([[4, 2, 1], [3, 1, 1]]))
    table = margins(thick, LOADS, REQUIREMENT, stations=[0.1, 0.3], cases=CASES)
    assert not solved
    corners = table[table.index.get_level_values("wall").isin(WALLS[1::2])]
    least = corners["ratio"].groupby(level=["case", "station", "wall"], observed=True).idxmin()
    assert "curved wall buckling" not in {index[4] for index in least}
    twist = PointLoads(at=[LENGTH], force=np.zeros((1, 1, 3)), moment=[[[3e3, 0, 0]]])
    margins(thin(), twist, REQUIREMENT, stations=[0.0, 0.1, 0.3])
    assert len(solved) == 1


def test_one_case_that_a_corner_governs_gives_all_cases_the_shell():
    """A pull beside the torsion, in which no wall buckles, leaves the row of the torsion as it is alone."""
    moment = np.array([[[3e3, 0.0, 0.0]], [[0.0, 0.0, 0.0]]])
    force = np.array([[[0.0, 0.0, 0.0]], [[2e4, 0.0, 0.0]]])
    both = PointLoads(at=[LENGTH], force=force, moment=moment)
    found, alone = (
        margins(thin(), loads, REQUIREMENT, stations=[0.1]).xs("curved wall buckling", level="mode")["ratio"]
        for loads in (both, both.take([0]))
    )
    assert (found.xs(1, level="case") > 1e12).all()
    np.testing.assert_allclose(found.xs(0, level="case"), alone.xs(0, level="case"), rtol=1e-9)


def test_buckles_too_small_to_follow_leave_the_bound(monkeypatch):
    def lost(*_, **__):
        raise stability.NotConverged("too small")

    strut = thin()
    twist = PointLoads(at=[LENGTH], force=np.zeros((1, 1, 3)), moment=[[[3e3, 0, 0]]])
    monkeypatch.setattr(wall_buckling.stability, "panel_buckling", lost)
    table = margins(strut, twist, REQUIREMENT, stations=[0.1]).xs("curved wall buckling", level="mode")
    section, laminate = strut.section(0.1), strut.ply_book.laminate("aft", 0.1)
    N = section.wall_loads(strut.span.forces(twist, at=[0.1])[0, 0])[CORNER]
    width = 0.5 * np.pi * (RADIUS - laminate.thickness / 2)
    bound = stability.buckling_ratio(laminate.D, width, 0.0, N[2], bound_anisotropy=True)
    np.testing.assert_allclose(table["ratio"], bound, rtol=1e-6)


def test_a_corner_bears_no_less_than_the_flat_wall_of_its_width(monkeypatch):
    """Design loads of a shell next to nothing, as heavy knockdowns make them: the bound of the flat wall stands."""
    strut = thin()
    twist = PointLoads(at=[LENGTH], force=np.zeros((1, 1, 3)), moment=[[[3e3, 0, 0]]])
    monkeypatch.setattr(station_ratios, "curved_loads", lambda *_: CurvedLoads(Nx=1.0, Nxy=1.0, Nxy_back=1.0))
    table = margins(strut, twist, REQUIREMENT, stations=[0.1]).xs("curved wall buckling", level="mode")
    laminate = strut.ply_book.laminate("aft", 0.1)
    width = 0.5 * np.pi * (RADIUS - laminate.thickness / 2)
    load = strut.section(0.1).wall_loads(strut.span.forces(twist, at=[0.1])[0, 0])[CORNER]
    flat = flat_wall_ratio(laminate, width, load, NOTHING)
    np.testing.assert_allclose(table["ratio"], flat, rtol=1e-6)


def test_residual_of_a_flat_wall_enters_in_each_service():
    """Each service has its own residual: the row is the lowest, and heat alone changes it."""
    strut = Strut(SMALL, lattice().book([[2, 1, 1], [2, 1, 1]]))
    both, *alone = (
        margins(strut, LOADS, replace(REQUIREMENT, services=some), stations=[0.1], cases=CASES)
        .xs("buckling", level="mode")
        .sort_index()
        for some in (REQUIREMENT.services, REQUIREMENT.services[:1], REQUIREMENT.services[1:])
    )
    np.testing.assert_allclose(both["ratio"], np.minimum(*(one["ratio"] for one in alone)), rtol=1e-12)
    chosen = np.where(alone[0]["ratio"] <= alone[1]["ratio"], "room", "cold")
    differ = ~np.isclose(alone[0]["ratio"], alone[1]["ratio"], rtol=1e-6)
    assert differ.any()
    assert (both["service"].to_numpy()[differ] == chosen[differ]).all()
    case, wall, service = 0, WALLS.index("inboard"), 1
    found = wall_loads(strut, 0.1, strut.span.forces(LOADS, at=[0.1])[None, :, 0], REQUIREMENT.services)
    load, rest = found.running[service][wall, :, case], found.fixed[service][wall, :, 0]
    laminate, width = strut.ply_book.laminate("inboard", 0.1), SMALL.flat_widths(0.1)[0]
    mean, bending = (one[0, 0] for one in linear_across(load[:, :1], PLACES))
    expected = stability.buckling_ratio(
        laminate.D, width, mean, load[:, 2], Nx_bending=bending,
        residual_Nx=rest[:, 0].min(), residual_Nxy=rest[:, 2], bound_anisotropy=True,
    ).min()  # fmt: skip
    assert alone[1].loc[(CASES[case], 0.1, "inboard", 0), "ratio"] == pytest.approx(expected, rel=1e-9)
