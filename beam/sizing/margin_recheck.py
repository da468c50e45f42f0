"""Recheck by the margin table: lay-ups that pass the search, judged in the modes that the search leaves out."""

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.sizing.search import ROUNDING, Search
from beam.strength.global_modes import WHOLE_STRUT
from beam.strength.margins import margins
from beam.strength.requirement import BUCKLING
from beam.strut import PointLoads, Strut

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
    excluded here fails a case of its own bay, and the bound stays a bound.
    """

    def __init__(self, search: Search, loads: PointLoads, labels: NDArray[np.generic]) -> None:
        self.search, self.loads, self.labels = search, loads, labels
        self.failed: dict[tuple[int, int], Failed] = {}
        self._passed: set[tuple[int, int]] = set()

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
                self.failed[key] = worst[bay]
                self.search.open_[key] = False
            else:
                self._passed.add(key)
        if worst:
            return len(worst), None
        return 0, table if new == every else self._table(strut, every, whole_strut=True)

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
