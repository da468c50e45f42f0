"""Tables say what the objects hold, row by row."""

import numpy as np
import pytest
from small_strut import CASES, LOADS, MOLD_LINE, REQUIREMENT, WALLS, lattice

from beam.dossier.tables import book_table, lowest, schedule_table
from beam.sizing import lightest
from beam.strength.margins import margins
from beam.strut import Strut, cut_list


@pytest.fixture(scope="module")
def sizing():
    return lightest(lattice(3), LOADS.times(0.6), REQUIREMENT, cases=CASES)


def test_schedule_counts_plies_and_measures_walls(sizing):
    table = schedule_table(sizing)
    assert [tuple(row) for row in table.index] == [
        (pytest.approx(500 * i / 3), pytest.approx(500 * (i + 1) / 3)) for i in range(3)
    ]
    for bay, row in enumerate(table.itertuples(index=False)):
        middle = float(sizing.lattice.stations[bay : bay + 2].mean())
        cap, web = (sizing.strut.ply_book.at(wall, middle) for wall in ("inboard", "aft"))
        named = dict(zip(table.columns, row, strict=True))
        assert named["spanwise plies"] == sum(p.angle_deg == 0 for p in cap)
        assert named["wrap plies"] == sum(abs(p.angle_deg) == 45 for p in web)
        assert named["hoop plies"] == sum(p.angle_deg == 90 for p in web)
        assert named["inboard t [mm]"] == pytest.approx(1e3 * sum(p.lamina.thickness for p in cap))
        assert named["aft t [mm]"] == pytest.approx(1e3 * sum(p.lamina.thickness for p in web))
    assert table["mass [kg]"].sum() == pytest.approx(sizing.mass, rel=1e-12)


def test_tables_in_inches_and_pounds(sizing):
    """1 in = 25.4 mm and 1 lb = 0.45359237 kg, both by definition."""
    scale = {"mm": ("in", 25.4), "kg": ("lb", 0.45359237), "m2": ("ft2", 0.3048**2)}
    for table in (schedule_table, book_table):
        one = sizing if table is schedule_table else sizing.strut
        si, us = (table(one, units=units).reset_index() for units in ("SI", "US"))
        assert len(si.columns) == len(us.columns)
        for a, b in zip(si.columns, us.columns, strict=True):
            metric = a.partition("[")[2].rstrip("]")
            if metric:
                assert b == a.replace(f"[{metric}]", f"[{scale[metric][0]}]")
                if a.startswith("width"):  # texts of four digits
                    si[a], us[b] = (one[name].str.split(" + ", regex=False).str[0].astype(float)
                                    for one, name in ((si, a), (us, b)))  # fmt: skip
                    assert (us[b] * 25.4).tolist() == pytest.approx(si[a].tolist(), rel=1e-3)
                    continue
                np.testing.assert_allclose(si[a], us[b] * scale[metric][1], rtol=1e-12)
            else:
                assert (si[a] == us[b]).all()


def test_lowest_rows_come_first_and_once_for_each(sizing):
    ten = lowest(sizing.margins, 10)
    np.testing.assert_allclose(ten["margin"], np.sort(sizing.margins["margin"])[:10])
    for level in ("case", "station", "wall", "mode"):
        rows = lowest(sizing.margins, 100, by=level)
        expected = sizing.margins.groupby(level=level, observed=True)["margin"].min()
        assert len(rows) == len(expected)
        for row in rows.itertuples():
            assert row.margin == expected[getattr(row, level)]


def test_lowest_by_an_unknown_level(sizing):
    with pytest.raises(ValueError, match="lowest: by"):
        lowest(sizing.margins, by="color")


def test_book_lists_every_ply_in_order():
    strut = Strut(MOLD_LINE, lattice().book([[2, 2, 1], [1, 1, 1]]))
    table = book_table(strut)
    assert list(table.index) == list(range(1, len(strut.ply_book.plies) + 1))
    for number, ply in enumerate(strut.ply_book.plies, start=1):
        row = table.loc[number]
        assert (row["lamina"], row["angle_deg"]) == (ply.lamina.name, ply.angle_deg)
        assert row["walls"].split() == (["all"] if set(ply.walls) == set(WALLS) else list(ply.walls))
        assert (row["start [mm]"], row["end [mm]"]) == (ply.start * 1e3, ply.end * 1e3)
        pieces = [piece for piece in cut_list(strut) if piece.ply == number]
        assert row["area [m2]"] == pytest.approx(sum(piece.area for piece in pieces))
        widths = [float(one) for one in row["width at start [mm]"].split(" + ")]
        np.testing.assert_allclose(widths, [1e3 * piece.width_start for piece in pieces], rtol=1e-3)
        assert row["flat length [mm]"] == pytest.approx((ply.end - ply.start) * 1e3)
        assert row["drop"] == ("ends" if ply.end < MOLD_LINE.length else "full length")
    assert table["mass [kg]"].sum() == pytest.approx(strut.mass, rel=1e-9)
    assert len(set(table["walls"])) > 1
    assert {"ends", "full length"} == set(table["drop"])


def test_the_lower_service_is_kept(sizing):
    """Each service alone; the table of both holds the lower of the two."""
    from dataclasses import replace

    at = [0.0, 0.3]
    both = margins(sizing.strut, LOADS, REQUIREMENT, stations=at, cases=CASES)["ratio"]
    keys = ["case", "station", "wall", "mode"]
    alone = [
        margins(sizing.strut, LOADS, replace(REQUIREMENT, services=(s,)), stations=at, cases=CASES)["ratio"]
        .groupby(level=keys, observed=True)
        .min()
        for s in REQUIREMENT.services
    ]
    together = both.groupby(level=keys, observed=True).min()
    np.testing.assert_allclose(
        together.to_numpy(), np.minimum(*[one.loc[together.index].to_numpy() for one in alone])
    )
    assert (alone[0] != alone[1]).any()
