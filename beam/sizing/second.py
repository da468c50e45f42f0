"""The second judgement: lay-ups that pass the search, judged from their ply book in the modes that it leaves out."""

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
    """Where a lay-up fails worst in a mode that the search leaves out.

    Parameters
    ----------
    margin : float
        Margin of safety [-].
    case : str
        Label of the load case.
    station : float
        Distance along the axis from the root [m].
    wall, mode, service : str
        Names.
    """

    margin: float
    case: str
    station: float
    wall: str
    mode: str
    service: str


class SecondJudge:
    """Judges chains by the margin table, each lay-up once in its bay; it lives for one call of `lightest`.

    Parameters
    ----------
    search : Search
        Closes what fails here.
    loads : PointLoads
        Limit loads on the strut.
    labels : ndarray, shape (case,)
        Names of the cases [-].

    Notes
    -----
    A row of a wall tells of the lay-up of its own bay alone, as in the search: the forces follow from equilibrium.
    So a lay-up closed here fails a case of its own bay, and the bound stays a bound. Lay-ups are closed one
    by one, which is slow where such a mode governs, and costs nothing where it does not.
    """

    def __init__(self, search: Search, loads: PointLoads, labels: NDArray[np.generic]) -> None:
        self.search, self.loads, self.labels = search, loads, labels
        self.failed: dict[tuple[int, int], Failed] = {}
        self._held: set[tuple[int, int]] = set()

    def table(self, strut: Strut, bays: list[int], *, whole_strut: bool = False) -> "pd.DataFrame":
        """Margins of a strut in some bays.

        Parameters
        ----------
        strut : Strut
            The strut.
        bays : list of int
            Indices of the bays [-].
        whole_strut : bool
            Add the modes of the strut as a whole.

        Returns
        -------
        DataFrame
            As `beam.margins` says.
        """
        stations = np.unique(np.concatenate([self.search.stations[bay] for bay in bays]))
        requirement = self.search.requirement
        return margins(
            strut, self.loads, requirement, stations=stations, cases=self.labels, whole_strut=whole_strut
        )

    def judge(self, strut: Strut, chain: NDArray[np.int64]) -> "tuple[int, pd.DataFrame | None]":
        """Judge the lay-ups of a chain that were not judged before, and close those that fail.

        Parameters
        ----------
        strut : Strut
            The chain laid up.
        chain : ndarray of int, shape (bay,)
            Candidate of each bay [-].

        Returns
        -------
        closed : int
            Number of bays whose lay-up failed in a mode that the search leaves out [-].
        table : DataFrame or None
            Margins of the whole strut if nothing was closed.
        """
        every = list(range(len(chain)))
        new = [bay for bay in every if (bay, int(chain[bay])) not in self._held]
        table = self.table(strut, new, whole_strut=new == every) if new else None
        worst = {} if table is None else self._worst(table, new)
        for bay in new:
            key = bay, int(chain[bay])
            if bay in worst:
                self.failed[key] = worst[bay]
                self.search.open_[key] = False
            else:
                self._held.add(key)
        if worst:
            return len(worst), None
        return 0, table if new == every else self.table(strut, every, whole_strut=True)

    def _worst(self, table: "pd.DataFrame", bays: list[int]) -> dict[int, Failed]:
        """Worst row of each bay that fails in a wall by a mode that the search leaves out."""
        searched = (*(criterion.name for criterion in self.search.requirement.criteria), BUCKLING)
        failing = table[table["margin"] < -ROUNDING].reset_index()
        failing = failing[~failing["mode"].isin(searched) & (failing["wall"] != WHOLE_STRUT)]
        out = {}
        for bay in bays:
            rows = failing[failing["station"].isin(self.search.stations[bay])]
            if len(rows):
                row = rows.iloc[int(rows["margin"].to_numpy().argmin())]
                out[bay] = Failed(*(row[name] for name in Failed._fields))
        return out
