"""Rows at the ends of plies: lowest check over the end factor, and delamination by the energy released."""

from dataclasses import replace

import numpy as np
import pytest
from small_strut import LOADS, REQUIREMENT, STRAIGHT, TAPE, WALLS

from beam.dossier import lowest
from beam.strength import margins, ply_end_margins
from beam.strut import BookPly, PlyBook, PointLoads, Strut
from beam.strut.ply_ends import end_factor

TOUGH = replace(TAPE, GIc=250.0, GIIc=700.0)
PLY = {"lamina": TOUGH, "angle_deg": 0.0, "walls": WALLS, "start": 0.0}
STEPPED = Strut(STRAIGHT, PlyBook([*[BookPly(**PLY, end=0.5)] * 6, *[BookPly(**PLY, end=0.2)] * 2]))
PULL = PointLoads(at=[0.5], force=[[[2e5, 0.0, 0.0]]])
FREE = replace(
    REQUIREMENT,
    services=[replace(REQUIREMENT.services[0], temperature=TAPE.stress_free_temperature)],
    corner_opening=False,
)


def test_beside_an_end_the_lowest_check_bears_the_end_factor():
    table = ply_end_margins(STEPPED, PULL, FREE, cases=["pull"])
    rows = table.xs("beside ply end", level="mode")
    stations = np.unique(rows.index.get_level_values("station"))
    plain = margins(STEPPED, PULL, FREE, cases=["pull"], stations=stations, whole_strut=False)
    low = plain[plain.index.get_level_values("ply") > 0].groupby("station")["reserve"].min()
    found = rows.groupby("station")["reserve"].min()
    np.testing.assert_allclose(found, low / float(end_factor(0.0)), rtol=1e-9)
    assert not table["decides"].any()
    assert rows["assumption"].astype(str).str.contains("end factor 1.31").all()


def test_delamination_runs_at_the_toughness():
    """Axial load on one material, no residual: G = N^2 (1/A_d + 1/A_c)/2, one face, opening at a surface in tension."""
    rows = ply_end_margins(STEPPED, PULL, FREE).xs("delamination from ply end", level="mode")
    share, t, E = 2 / 8, TAPE.thickness, TAPE.E1
    N = share * 2e5 / (STEPPED.section(0.1).mass_per_length / (TAPE.density * 8 * t))
    released = N**2 * (1 / (2 * E * t) + 1 / (6 * E * t)) / 2
    mode = 0.378
    tough = 1 / (mode / 250.0 + (1 - mode) / 700.0)
    np.testing.assert_allclose(rows["ratio"], np.sqrt(tough / released), rtol=0.01)  # E2 and the walls' shape
    assert set(rows.index.get_level_values("station")) == {0.2}


def test_margins_at_hand_are_used_again():
    at = [0.2 - 1e-9, 0.2]
    found = ply_end_margins(STEPPED, PULL, FREE)
    plain = margins(STEPPED, PULL, FREE, stations=np.unique(found.index.get_level_values("station")[:40]))
    again = ply_end_margins(STEPPED, PULL, FREE, table=plain)
    np.testing.assert_array_equal(again["margin"], found["margin"])
    with pytest.raises(ValueError, match="table: got no station"):
        ply_end_margins(STEPPED, PULL, FREE, table=margins(STEPPED, PULL, FREE, stations=at[1:]))


def test_rows_join_the_margin_table():
    table = ply_end_margins(STEPPED, LOADS, FREE, cases=["a", "b", "c"])
    assert lowest(table, 1, decides=False)["mode"].iloc[0] in ("beside ply end", "delamination from ply end")
    plain = margins(STEPPED, LOADS, FREE, cases=["a", "b", "c"], stations=[0.1])
    assert list(table.columns) == list(plain.columns)
    assert table.index.names == plain.index.names


def test_a_book_without_steps_has_no_such_rows():
    even = Strut(STRAIGHT, PlyBook([BookPly(**PLY, end=0.5)] * 6))
    assert ply_end_margins(even, PULL, FREE).empty


def test_without_toughness_only_the_factor_is_judged():
    plies = [replace(ply, lamina=TAPE) for ply in STEPPED.ply_book.plies]
    table = ply_end_margins(Strut(STRAIGHT, PlyBook(plies)), PULL, FREE)
    assert set(table.index.get_level_values("mode")) == {"beside ply end"}
    with pytest.raises(ValueError, match="ply_end_margins: loads"):
        ply_end_margins(STEPPED, PointLoads(at=[0.5], force=[[1.0, 0.0, 0.0]]), FREE)
