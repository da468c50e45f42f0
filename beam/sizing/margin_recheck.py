"""Recheck by the margin table: lay-ups that pass the search, judged in the modes that the search leaves out."""

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.sizing.search import ROUNDING, Search
from beam.strength.global_modes import WHOLE_STRUT
from beam.strength.margins import margins
from beam.strength.requirement import BUCKLING, decides, level_of
from beam.strength.section_forces import PLACES, in_service, running_loads
from beam.strength.station_ratios import ratios, reserve
from beam.strength.wall_buckling import Known
from beam.strut import BookPly, PlyBook, PointLoads, Strut

# Lay-ups of a bay that are judged by the row where one has failed, until one of so many holds; the lightest first.
OTHERS = 16

if TYPE_CHECKING:
    import pandas as pd


class Failed(NamedTuple):
    """Row of the margin table where a lay-up fails worst in a mode that the search leaves out."""

    margin: float
    case: str
    station: float
    wall: str
    mode: str
    service: str


class MarginRecheck:
    """Judges chains by the margin table, each lay-up once in its bay; it lives for one call of `lightest`.

    A row of a wall depends on the lay-up of its own bay alone, since the forces follow from equilibrium. So a lay-up
    excluded here fails a case of its own bay, and the bound stays a bound. Others of that bay are judged in the same
    case at the same station, with the added loads held; those that fail are excluded too.
    """

    def __init__(self, search: Search, loads: PointLoads, labels: NDArray[np.generic]) -> None:
        self.search, self.loads, self.labels = search, loads, labels
        self.failed: dict[tuple[int, int], Failed] = {}
        self._passed: set[tuple[int, int]] = set()
        self._known: Known = {}

    def judge(self, strut: Strut, chain: NDArray[np.int64]) -> "tuple[int, pd.DataFrame | None]":
        """Number of bays whose lay-up was excluded, and the margins of the whole strut if none was."""
        every = list(range(len(chain)))
        if self.search.redundant:  # the forces of a bay depend on the other bays
            self._passed.clear()
        new = [bay for bay in every if (bay, int(chain[bay])) not in self._passed]
        table = self._table(strut, new, whole_strut=new == every) if new else None
        worst = {} if table is None else self._worst(table, new, thick_corners=strut.thick_corners)
        for bay in new:
            key = bay, int(chain[bay])
            if bay in worst:
                self._close(key, worst[bay])
                if not self.search.redundant:
                    self._close_others(strut, bay, worst[bay])
            else:
                self._passed.add(key)
        if worst:
            return len(worst), None
        return 0, table if new == every else self._table(strut, every, whole_strut=True)

    def _close(self, key: tuple[int, int], row: Failed) -> None:
        """Exclude a lay-up of a bay, (bay, candidate), by a row where it fails."""
        self.failed[key] = row
        self.search.open_[key] = False

    def _close_others(self, strut: Strut, bay: int, row: Failed) -> None:
        """Exclude other lay-ups of a bay that fail in the case and at the station of a row, the lightest first."""
        order = self.search.through[bay]
        open_ = np.flatnonzero(self.search.open_[bay] & np.isfinite(order))
        open_ = open_[np.argsort(order[open_], kind="stable")]
        for first in range(0, len(open_), OTHERS):
            some = [c for c in open_[first : first + OTHERS].tolist() if (bay, c) not in self._passed]
            rows = [self._at_row(strut, bay, candidate, row) for candidate in some]
            for candidate, found in zip(some, rows, strict=True):
                if found is not None:
                    self._close((bay, candidate), found)
            if None in rows or not rows:
                return

    def _at_row(self, strut: Strut, bay: int, candidate: int, row: Failed) -> Failed | None:
        """Worst row of a lay-up of a bay in the case, the service and at the station of a row, if it fails.

        The wall loads are those of a long straight tube and the added ones that are held, of every book; the factors of
        regions are those of the search.
        """
        search, required = self.search, self.search.requirement
        index = int(np.flatnonzero(search.stations[bay] == row.station)[0])
        first = int(np.flatnonzero(self.labels == row.case)[0])
        cases = np.arange(first, search.forces[bay].shape[1], search.cases)
        counts, length = search.counts[candidate], strut.mold_line.length
        half = [
            BookPly(lamina=kind.lamina, angle_deg=angle, walls=kind.walls, start=0.0, end=length)
            for number, group in search.lattice.groups
            if counts[number] > group
            for kind in [search.lattice.kinds[number]]
            for angle in kind.angles_deg
        ]
        alike = replace(strut, ply_book=PlyBook((*half, *half[::-1])))
        titles = [state.title for state in required.states]
        number, service = next(
            (i, one)
            for i, one in enumerate(in_service(alike, required))
            if row.service in [titles[state] for state in one.indices]
        )
        at, forces = np.array([row.station]), search.forces[bay][index, cases][None, :, None]
        total = np.asarray(service.strut.section(row.station).wall_loads(forces, PLACES))
        held = search.feasibility.held.get(number)
        if held:
            total = total + held[row.station][None, cases, None]
        (found,) = ratios(
            service.strut,
            at,
            forces,
            required,
            service.states,
            restraint=np.zeros((len(service.states), 1, 6)),
            added=total - running_loads(service.strut, at, forces),
            known=self._known,
            factors=(factors := {level: one[cases] for level, one in search.factors.items()}),
        )
        worst = None
        for one in found:
            region = search.feasibility.region_factor(row.station, one.mode)
            factor = factors[level_of(required, one.mode)][:, None] * region
            spare = reserve(one.ratio, factor).min() - 1
            if decides(required, one.mode) and spare < -ROUNDING and (worst is None or spare < worst.margin):
                title = titles[service.indices[one.service]]
                wall = strut.mold_line.wall_names[one.wall]
                worst = Failed(float(spare), row.case, row.station, wall, one.mode, title)
        return worst

    def _table(self, strut: Strut, bays: list[int], *, whole_strut: bool) -> "pd.DataFrame":
        """Margins of a strut at the stations of some bays."""
        stations = np.unique(np.concatenate([self.search.stations[bay] for bay in bays]))
        required = self.search.requirement
        return margins(
            strut,
            self.loads,
            required,
            stations=stations,
            cases=self.labels,
            whole_strut=whole_strut,
            supports=self.search.supports,
        )

    def _worst(self, table: "pd.DataFrame", bays: list[int], *, thick_corners: bool) -> dict[int, Failed]:
        """Worst row of each bay that fails in a wall by a mode that the search leaves out.

        With thick corners in any mode: the search has the loads that they add, not the curved stacks.
        """
        searched = (*(check.mode for check in self.search.requirement.ply_checks), BUCKLING)
        failing = table[(table["margin"] < -ROUNDING) & table["decides"]].reset_index()
        failing = failing[failing["wall"] != WHOLE_STRUT]
        if not (thick_corners or self.search.redundant):
            failing = failing[~failing["mode"].isin(searched)]
        out = {}
        for bay in bays:
            rows = failing[failing["station"].isin(self.search.stations[bay])]
            if len(rows):
                row = rows.iloc[int(rows["margin"].to_numpy().argmin())]
                out[bay] = Failed(*(row[name] for name in Failed._fields))
        return out
