"""Rows of the margin table at the ends of plies: the plies beside an end, and the delamination that may run from it."""

from collections.abc import Iterable
from typing import Annotated, Any

import numpy as np

from beam.strength.margins import INDEX, margins
from beam.strength.requirement import Requirement, case_factors
from beam.strength.section_forces import in_service, refuse_without_cases, section_forces
from beam.strength.station_ratios import reserve
from beam.strut import PointLoads, Strut
from beam.strut.ply_ends import beside_ends, end_stations, ply_end_ratios
from beam.strut.point_loads import before
from materials.checks import Limits, Table, checked, reject

BESIDE = "beside ply end"
DELAMINATION = "delamination from ply end"
NOT_DECIDING = "does not decide: an estimate, to be tested on an element with the steepest drop"


@checked
def ply_end_margins(
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    *,
    cases: Annotated[Iterable[Any] | None, Limits(items=0)] = None,
    table: Table | None = None,
) -> Table:
    """Margins at the ends of plies, as rows of the margin table that do not decide.

    Parameters
    ----------
    strut : Strut
        The strut.
    loads : PointLoads
        Loads, each case with its level.
    requirement : Requirement
        Services, factors and checks.
    cases : sequence of str, length case, optional
        Labels of the load cases; their numbers if not given.
    table : DataFrame, optional
        Margins of the strut at both sides of every end at least, as a sizing has them; found anew if not given.

    Returns
    -------
    DataFrame
        As `beam.margins`, in two modes: "beside ply end", the lowest deciding ply check at either side of each step
        over the factor of `beam.strut.beside_ends`; "delamination from ply end", by the energy release rate, where GIc
        and GIIc are given. Of no steps, an empty table.

    Notes
    -----
    RF = R / (factor of the level x end factor). The end factor, up to 1.31, was measured on bricks of one strut; the
    lowest ply of a wall is taken as if it lay beside the end, which is on the safe side.

    Examples
    --------
    >>> from beam import BookPly, MoldLine, PlyBook, Service
    >>> from beam.strength import screening
    >>> from dataclasses import replace
    >>> from materials import lamina
    >>> tape = replace(lamina("T700S/2510"), GIc=250.0, GIIc=700.0)
    >>> line = MoldLine(root=[0, 0, 0.4], tip=[0, 0, 0], stations=[0, 0.4], width=[0.1, 0.08], height=[0.08, 0.06],
    ...                 corner_radius=[0.02, 0.015])
    >>> ply = {"lamina": tape, "angle_deg": 0.0, "walls": line.wall_names, "start": 0.0}
    >>> strut = Strut(line, PlyBook([BookPly(**ply, end=0.4)] * 6 + [BookPly(**ply, end=0.2)] * 2))
    >>> required = Requirement(services=[Service(name="room", temperature=293)], special_factor=1.2,
    ...                        special_factor_basis="invented", route="factor", mixed="an example", checks=screening(),
    ...                        corner_opening=False)
    >>> pull = PointLoads(at=[0.4], force=[[[2e5, 0, 0]]])
    >>> table = ply_end_margins(strut, pull, required, cases=["pull"])
    >>> sorted(set(table.index.get_level_values("mode"))), bool(table["decides"].any())
    (['beside ply end', 'delamination from ply end'], False)
    """
    import pandas as pd

    refuse_without_cases("ply_end_margins", loads)
    labels = np.arange(len(loads.force)) if cases is None else np.asarray(tuple(cases))
    length = strut.mold_line.length
    steps = np.unique(strut.ply_book.drops[(strut.ply_book.drops > 0) & (strut.ply_book.drops < length)])
    if not steps.size:
        return margins(strut, loads, requirement, stations=[0.0], cases=labels, whole_strut=False).iloc[:0]
    at = np.unique(np.concatenate([before(steps, length), steps]))
    if table is None:
        table = margins(strut, loads, requirement, stations=at, cases=labels, whole_strut=False)
    given = table.index.get_level_values("station").to_numpy(dtype=float)
    near = np.abs(given[:, None] - at).min(axis=1) <= 1e-12 * length
    if missing := at[~np.isin(at, given[near])].tolist():
        reject("ply_end_margins: table", f"no station {missing[0]:.6g} m", "both sides of every end of a ply")
    table = table[near]
    checks = {check.mode for check in requirement.ply_checks if check.decides}
    rows = table[table.index.get_level_values("mode").isin(list(checks))].reset_index()
    worst = beside_ends(strut, at).max(axis=-1)  # (station, wall)
    walls = {name: i for i, name in enumerate(strut.mold_line.wall_names)}
    where = np.searchsorted(at, rows["station"].to_numpy(dtype=float) - 1e-12 * length)
    end = worst[where, rows["wall"].astype(str).map(walls).to_numpy()]
    rows = rows.assign(
        ratio=rows["ratio"] / end, reserve=rows["reserve"] / end, margin=rows["reserve"] / end - 1
    )
    rows = rows[end > 1.0].sort_values("margin", kind="stable").drop_duplicates(["case", "station", "wall"])
    rows = rows.assign(
        assumption=[f"{NOT_DECIDING}; end factor {one:.2f} on '{mode}'; {said}" for one, mode, said in
                    zip(end[rows.index], rows["mode"], rows["assumption"], strict=True)],
        mode=BESIDE,
    )  # fmt: skip
    every = pd.concat([rows, _delaminations(strut, loads, requirement, labels)], ignore_index=True)
    every["decides"] = False
    kinds = dict.fromkeys(("wall", "mode", "level", "service", "surface", "assumption"), "category")
    return every.astype(kinds).set_index(list(INDEX))[table.columns]


def _delaminations(strut: Strut, loads: PointLoads, requirement: Requirement, labels: Any) -> Any:
    """Rows of the delamination from each group of plies that end, lowest of the services."""
    import pandas as pd

    factor = case_factors(requirement, loads)["ultimate"]
    at = end_stations(strut)
    lowest: dict[tuple[str, tuple[int, ...]], pd.DataFrame] = {}
    for _, states, one in in_service(strut, requirement):
        laminae = [ply.lamina for ply in one.ply_book.plies]
        grows, restraint = section_forces(one, loads, requirement, at, states=states)
        for i, state in enumerate(states):
            found = ply_end_ratios(
                one,
                grows[i if len(grows) > 1 else 0],
                restraint=restraint[i],
                temperature_change=state.temperature_change(*laminae),
                moisture=state.free_moisture,
            )
            for end in found:
                if np.isnan(end.ratio).all():
                    continue
                spare = reserve(end.ratio, factor)
                new = pd.DataFrame(
                    {
                        "case": labels,
                        "station": end.step.station,
                        "wall": end.step.wall,
                        "ply": end.plies[0],
                        "mode": DELAMINATION,
                        "ratio": end.ratio,
                        "reserve": spare,
                        "margin": spare - 1,
                        "factor": factor,
                        "level": "ultimate",
                        "service": state.title,
                        "angle_deg": strut.ply_book.plies[end.plies[0] - 1].angle_deg,
                        "place": end.place,
                        "surface": "outer",
                        "assumption": f"{NOT_DECIDING}; {end.assumption}",
                    }
                )
                key = end.step.wall, (end.plies[0], round(end.step.station * 1e9))
                old = lowest.get(key)
                lowest[key] = new if old is None else old.where(old["ratio"] <= new["ratio"], new)
    return pd.concat(list(lowest.values()), ignore_index=True) if lowest else pd.DataFrame()
