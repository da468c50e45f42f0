"""Tables for people: margins, their governing rows, the ply schedule, the ply book."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import pandas as pd

from beam.sizing.lattice import wall_thickness
from beam.strength.margins import INDEX
from beam.strut import Strut
from beam.units import shown, symbol
from materials.checks import reject, whole
from materials.kinds import instance, instances

if TYPE_CHECKING:
    from beam.sizing import Sizing


def lowest(
    table: pd.DataFrame, count: int | None = 10, *, by: str | Sequence[str] | None = None
) -> pd.DataFrame:
    """Return the lowest margins of a margin table with where they are.

    Parameters
    ----------
    table : DataFrame
        From `beam.margins`.
    count : int, optional
        How many rows; None for all [-].
    by : str or sequence of str, optional
        Index level ("case", "station", "wall", "mode"), or several, to take one row each of: by "station" it is
        the envelope over cases along the span, by ("station", "mode") that of each mode.

    Returns
    -------
    DataFrame
        Lowest first, the place in columns.

    Raises
    ------
    ValueError
        If `by` is not a level of the table.
    """
    instance("lowest: table", table, pd.DataFrame)
    if count is not None:
        whole("lowest: count [-]", count, at_least=1)
    rows = table.sort_values("margin", kind="stable").reset_index()
    if by is not None:
        levels = [by] if isinstance(by, str) else [*instances("lowest: by", by, str)]
        if not levels or not set(levels) <= set(INDEX):
            reject("lowest: by", repr(by), f"among {INDEX}")
        rows = rows.drop_duplicates(levels)
    return rows.head(len(rows) if count is None else count).reset_index(drop=True)


def schedule_table(sizing: "Sizing", *, units: str = "SI") -> pd.DataFrame:
    """Return the ply schedule: groups and plies of every kind, wall thicknesses and mass in each bay.

    Parameters
    ----------
    sizing : Sizing
        The result of the search.
    units : str
        "SI" or "US".

    Returns
    -------
    DataFrame
        One row for each bay, indexed by (from, to) [mm or in]; plies of each kind [-], thickness of each
        face [mm or in], mass of the bay [kg or lb].

    Raises
    ------
    ValueError
        If the sizing is none, or the units are unknown.
    """
    lattice = instance("schedule_table: sizing", sizing, _sizing()).lattice
    ends = shown(lattice.stations, "length", units)
    length, mass = symbol("length", units), symbol("mass", units)
    plies = {
        f"{kind.name} plies": sizing.counts[:, i] * 2 * len(kind.angles_deg)
        for i, kind in enumerate(lattice.kinds)
    }
    thickness = shown(wall_thickness(lattice, sizing.counts), "length", units)
    faces = [lattice.mold_line.wall_names.index(wall) for wall in lattice.mold_line.flat_walls]
    walls = {f"{lattice.mold_line.wall_names[i]} t [{length}]": thickness[:, i] for i in faces}
    index = pd.MultiIndex.from_arrays([ends[:-1], ends[1:]], names=[f"from [{length}]", f"to [{length}]"])
    return pd.DataFrame(
        {**plies, **walls, f"mass [{mass}]": shown(sizing.bay_mass, "mass", units)}, index=index
    )


def book_table(strut: Strut, *, units: str = "SI") -> pd.DataFrame:
    """Return the ply book as the shop reads it: one row for each ply, mandrel side first.

    Parameters
    ----------
    strut : Strut
        The strut.
    units : str
        "SI" or "US".

    Returns
    -------
    DataFrame
        Indexed by ply number; lamina, angle_deg, walls, start and end [mm or in].

    Raises
    ------
    ValueError
        If the strut is none, or the units are unknown.
    """
    plies, length = instance("book_table: strut", strut, Strut).ply_book.plies, symbol("length", units)
    ends = shown([(ply.start, ply.end) for ply in plies], "length", units)
    return pd.DataFrame(
        {
            "lamina": [ply.lamina.name for ply in plies],
            "angle_deg": [ply.angle_deg for ply in plies],
            "walls": [" ".join(ply.walls) for ply in plies],
            f"start [{length}]": ends[:, 0],
            f"end [{length}]": ends[:, 1],
        },
        index=pd.RangeIndex(1, len(plies) + 1, name="ply"),
    )


def _sizing() -> type:
    """The class of a sizing, which is downstream of the tables."""
    from beam.sizing import Sizing

    return Sizing
