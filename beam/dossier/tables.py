"""Tables for people: margins, their governing rows, the ply schedule, the ply book."""

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Annotated, Any, Literal

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray

from beam.sizing import Sizing
from beam.sizing.lattice import wall_thickness
from beam.strength.global_modes import WHOLE_STRUT
from beam.strength.requirement import Requirement
from beam.strut import Strut
from beam.units import shown, symbol
from materials.checks import Array, Limits, Table, checked, reject

if TYPE_CHECKING:
    from beam.strength.wall_ratios import WallRatios

INDEX = ("case", "station", "wall", "ply", "mode")


def margin_table(
    found: "Iterable[tuple[float, Iterable[WallRatios]]]",
    strut: Strut,
    requirement: Requirement,
    cases: NDArray[np.generic],
    whole_strut: Mapping[str, tuple[Array, float]],
    *,
    every_ply: bool,
) -> pd.DataFrame:
    """Gather strength ratios into the margin table.

    Parameters
    ----------
    found : iterable of (float, iterable of WallRatios)
        Station [m] and its ratios.
    strut : Strut
        Names the walls and the angles of the plies.
    requirement : Requirement
        Factors on load and names of the services.
    cases : ndarray, shape (case,)
        Labels [-].
    whole_strut : mapping of str to (ndarray, float)
        From `beam.strength.global_modes.whole_strut_ratios` [-].
    every_ply : bool
        Keep every ply; otherwise the lowest of each (case, station, wall, mode).

    Returns
    -------
    DataFrame
        As `beam.margins` says.
    """
    parts: dict[str, list[NDArray[Any]]] = {
        name: [] for name in (*INDEX, "ratio", "service", "place", "surface")
    }
    for station, ratios in found:
        lowest: dict[tuple[int, str], list[NDArray[Any]]] = {}
        for r in ratios:
            new = [
                r.ratio,
                np.full(r.ratio.shape, r.service),
                r.place,
                r.surface,
                np.broadcast_to(r.ply, r.ratio.shape),
            ]
            old = lowest.setdefault((r.wall, r.mode), new)
            if old is not new:
                keep = old[0] <= r.ratio
                lowest[r.wall, r.mode] = [np.where(keep, a, b) for a, b in zip(old, new, strict=True)]
        for (wall, mode), columns in lowest.items():
            if not every_ply:
                worst = columns[0].argmin(axis=1)[:, None]
                columns = [np.take_along_axis(column, worst, axis=1) for column in columns]
            shape = columns[0].shape
            parts["case"].append(np.repeat(np.arange(len(cases)), shape[1]))
            parts["station"].append(np.full(columns[0].size, station))
            parts["wall"].append(np.full(columns[0].size, wall))
            parts["mode"].append(np.full(columns[0].size, requirement.modes.index(mode)))
            for name, column in zip(("ratio", "service", "place", "surface", "ply"), columns, strict=True):
                parts[name].append(column.ravel())
    factor = [np.full(sum(map(len, parts["case"])), requirement.ultimate_factor)]
    for mode, (ratio, held) in whole_strut.items():
        values: dict[str, ArrayLike] = {
            "case": np.arange(len(cases)),
            "station": strut.mold_line.length,
            "wall": len(strut.mold_line.wall_names),
            "mode": requirement.modes.index(mode),
            **{"ratio": ratio, "service": 0, "place": np.nan, "surface": -1, "ply": 0},
        }
        for name, value in values.items():
            parts[name].append(np.broadcast_to(value, ratio.shape))
        factor.append(np.full(ratio.shape, held))
    every = {name: np.concatenate(column) for name, column in parts.items()}
    angles = np.array([np.nan, *(ply.angle_deg for ply in strut.ply_book.plies)])
    services = [service.name for service in requirement.services]
    named: dict[str, Any] = {
        "case": pd.Categorical.from_codes(every["case"], categories=pd.Index(cases)),
        "station": every["station"],
        "wall": pd.Categorical.from_codes(
            every["wall"], categories=pd.Index((*strut.mold_line.wall_names, WHOLE_STRUT))
        ),
        "ply": every["ply"],
        "mode": pd.Categorical.from_codes(every["mode"], categories=pd.Index(requirement.modes)),
    }
    reserve = every["ratio"] / np.concatenate(factor)
    return pd.DataFrame(
        {
            "ratio": every["ratio"],
            "reserve": reserve,
            "margin": reserve - 1,
            "service": pd.Categorical.from_codes(every["service"], categories=pd.Index(services)),
            "angle_deg": angles[every["ply"]],
            "place": every["place"],
            "surface": pd.Categorical.from_codes(every["surface"], categories=pd.Index(["inner", "outer"])),
        },
        index=pd.MultiIndex.from_arrays(list(named.values()), names=INDEX),
    )


@checked
def lowest(
    table: Table,
    count: Annotated[int, Limits("-", at_least=1)] | None = 10,
    *,
    by: str | Sequence[str] | None = None,
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
    rows = table.sort_values("margin", kind="stable").reset_index()
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
        Indexed by ply number; lamina, angle_deg, walls, start and end [mm or in].

    Examples
    --------
    >>> import beam
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> sizing = beam.lightest(LATTICE, PULL, REQUIREMENT)
    >>> book_table(sizing.strut).loc[1, ["angle_deg", "start [mm]", "end [mm]"]].tolist()
    [0.0, 0.0, 400.0]
    """
    plies, length = strut.ply_book.plies, symbol("length", units)
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
