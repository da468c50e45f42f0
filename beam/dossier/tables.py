"""Tables for people: margins, their governing rows, the ply schedule, the ply book."""

from collections.abc import Sequence
from typing import Annotated, Literal

import pandas as pd

from beam.sizing import Sizing
from beam.sizing.lattice import wall_thickness
from beam.strength.margins import INDEX
from beam.strut import Strut
from beam.strut.cut_list import CutPiece, cut_list
from beam.units import shown, symbol
from materials.checks import Limits, Table, checked, reject


@checked
def lowest(
    table: Table,
    count: Annotated[int, Limits("-", at_least=1)] | None = 10,
    *,
    by: str | Sequence[str] | None = None,
    decides: bool | None = True,
) -> Table:
    """Return the lowest margins of a margin table with where they are.

    Parameters
    ----------
    table : DataFrame
        From `beam.margins`.
    count : int, optional
        How many rows; None for all [-].
    by : str or sequence of str, optional
        Index level ("case", "station", "wall", "mode"), or several, to take one row each of. By "station" it is the
        envelope over cases along the span, by ("station", "mode") that of each mode.
    decides : bool, optional
        Rows that decide, or those that do not; None for both.

    Returns
    -------
    DataFrame
        Lowest first, the place in columns.

    Raises
    ------
    ValueError
        If `by` is not a level of the table.

    Examples
    --------
    >>> import beam
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> sizing = beam.lightest(LATTICE, PULL, REQUIREMENT)
    >>> lowest(sizing.margins, 1, by="mode")["mode"].tolist()
    ['tsai_wu']
    """
    rows = table if decides is None else table[table["decides"] == decides]
    rows = rows.sort_values("margin", kind="stable").reset_index()
    if by is not None:
        levels = [by] if isinstance(by, str) else list(by)
        if not levels or not set(levels) <= set(INDEX):
            reject("lowest: by", repr(by), f"among {INDEX}")
        rows = rows.drop_duplicates(levels)
    return rows.head(len(rows) if count is None else count).reset_index(drop=True)


@checked
def schedule_table(sizing: Sizing, *, units: Literal["SI", "US"] = "SI") -> Table:
    """Return the ply schedule: plies of every kind, wall thicknesses and mass in each bay.

    Parameters
    ----------
    sizing : Sizing
        From `beam.lightest`.
    units : {"SI", "US"}
        Units to print in.

    Returns
    -------
    DataFrame
        One row for each bay, root to tip, indexed by its ends.

    Examples
    --------
    >>> import beam
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> sizing = beam.lightest(LATTICE, PULL, REQUIREMENT)
    >>> schedule_table(sizing)["tape plies"].tolist()
    [6, 6]
    """
    lattice = sizing.lattice
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


@checked
def book_table(strut: Strut, *, units: Literal["SI", "US"] = "SI") -> Table:
    """Return the ply book as the shop reads it: one row for each ply, mandrel side first.

    Parameters
    ----------
    strut : Strut
        The strut.
    units : {"SI", "US"}
        Units to print in.

    Returns
    -------
    DataFrame
        Indexed by ply number: lamina, angle_deg, walls ("all" where it goes right round), start, end, where it stops
        ("full length" or "ends" and "starts" inside the span), flat length, flat widths at both ends ("+" between
        the pieces of a ply on walls that do not touch), area and mass. Without trim, seam and scrap.

    Examples
    --------
    >>> import beam
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> sizing = beam.lightest(LATTICE, PULL, REQUIREMENT)
    >>> book_table(sizing.strut).loc[1, ["angle_deg", "start [mm]", "end [mm]"]].tolist()
    [0.0, 0.0, 400.0]
    """
    plies, length, far = strut.ply_book.plies, symbol("length", units), symbol("distance", units)
    ends = shown([(ply.start, ply.end) for ply in plies], "length", units)
    pieces: list[list[CutPiece]] = [[] for _ in plies]
    for piece in cut_list(strut):
        pieces[piece.ply - 1].append(piece)
    width = [
        [
            " + ".join(f"{float(shown(getattr(one, name), 'length', units)):.4g}" for one in some)
            for some in pieces
        ]
        for name in ("width_start", "width_end")
    ]
    least = 1e-9 * strut.mold_line.length
    stops = [
        " ".join(word for word, inside in (("starts", ply.start > least),
                                           ("ends", ply.end < strut.mold_line.length - least)) if inside)
        for ply in plies
    ]  # fmt: skip
    return pd.DataFrame(
        {
            "lamina": [ply.lamina.name for ply in plies],
            "angle_deg": [ply.angle_deg for ply in plies],
            "walls": [
                "all" if len(ply.walls) == len(strut.mold_line.wall_names) else " ".join(ply.walls)
                for ply in plies
            ],
            f"start [{length}]": ends[:, 0],
            f"end [{length}]": ends[:, 1],
            "drop": [words or "full length" for words in stops],
            f"flat length [{length}]": ends[:, 1] - ends[:, 0],
            f"width at start [{length}]": width[0],
            f"width at end [{length}]": width[1],
            f"area [{far}2]": [
                float(shown(1.0, "distance", units)) ** 2 * sum(p.area for p in some) for some in pieces
            ],
            f"mass [{symbol('mass', units)}]": [
                float(shown(sum(p.mass for p in some), "mass", units)) for some in pieces
            ],
        },
        index=pd.RangeIndex(1, len(plies) + 1, name="ply"),
    )
