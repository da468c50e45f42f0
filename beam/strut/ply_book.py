"""The ply book: the plies in the order a shop lays them, each on which walls and from where to where."""

from functools import cached_property
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.strut.axis import SNAP, distinct, snap
from laminate import Laminate, Ply
from materials import Lamina
from materials.checks import Array, Frozen, Items, Limits, checked, reject

Station = Annotated[float, Limits("m")]


class BookPly(Frozen, eq=True):
    """One ply as it is cut and laid.

    Parameters
    ----------
    lamina : materials.Lamina
        The material.
    angle_deg : float
        Fiber angle in wall axes, from the span toward the way around [deg].
    walls : tuple of str
        Walls it covers.
    start : float
        Station where it begins, from the root [m].
    end : float
        Station where it ends [m].

    Raises
    ------
    ValueError
        If it covers no wall, names one twice, or does not end outboard of its start.

    Notes
    -----
    Ply by ply the area is the integral of the width of its walls from start to end; see `cut_list`.

    Examples
    --------
    >>> from materials import lamina
    >>> ply = BookPly(lamina=lamina("T700S/2510"), angle_deg=45.0, walls=["inboard", "aft"], start=0.0, end=0.4)
    >>> ply.length, ply.walls
    (0.4, ('inboard', 'aft'))
    """

    lamina: Lamina
    angle_deg: Annotated[float, Limits("deg", at_least=-180.0, at_most=180.0, cause="degrees")]
    walls: Items[str]
    start: Annotated[float, Limits("m", at_least=0.0, below=10.0, cause="given in mm?")]
    end: Annotated[float, Limits("m", above=0.0, at_most=10.0, cause="given in mm?")]

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.end <= self.start:
            cause = "a ply runs from start outboard to end"
            reject("BookPly: end [m]", f"{self.end:g}", f"> start, {self.start:g}", cause)
        if len(set(self.walls)) != len(self.walls):
            reject("BookPly: walls", self.walls, "names, each once")

    @property
    def length(self) -> float:
        """Length along the span [m]."""
        return self.end - self.start


class PlyBook(Frozen, eq=True, kw_only=False):
    """Plies in order of laying, from the mandrel outwards.

    Parameters
    ----------
    plies : sequence of BookPly
        The plies, the inner one first.

    Raises
    ------
    ValueError
        If there is none.

    Notes
    -----
    A ply covers the stations start <= s < end, and s = end at the tip. So at the station of a drop the thinner lay-up
    outboard of it counts. A station within 1e-9 of the length of a start or an end is that station.

    Examples
    --------
    >>> from materials import lamina
    >>> tape = lamina("T700S/2510")
    >>> book = PlyBook(BookPly(lamina=tape, angle_deg=a, walls=["aft"], start=0, end=end)
    ...                for a, end in ((45, 0.6), (-45, 0.6), (0, 0.3)))
    >>> [ply.angle_deg for ply in book.laminate("aft", 0.2).plies], book.numbers("aft", 0.3)
    ([45.0, -45.0, 0.0], array([1, 2]))
    """

    plies: Items[BookPly]

    @cached_property
    def tip(self) -> float:
        """The outermost end of any ply [m]."""
        return max(p.end for p in self.plies)

    @cached_property
    def walls(self) -> tuple[str, ...]:
        """Names of the walls that any ply covers, in the order they are first met."""
        return tuple(dict.fromkeys(w for p in self.plies for w in p.walls))

    @cached_property
    def drops(self) -> Array:
        """Stations between root and tip where a ply starts or ends, growing, shape (drop,) [m]."""
        inside = self._edges[:-1]
        return inside[inside > 0]

    @cached_property
    def runs(self) -> Array:
        """Start and end of every ply, those within 1e-9 of the length of each other alike, shape (ply, 2) [m]."""
        return snap([(p.start, p.end) for p in self.plies], self._edges, self.tip)

    @checked
    def present(self, wall: str, s: Annotated[ArrayLike, Limits("m")]) -> NDArray[np.bool_]:
        """Which plies of the book (..., ply) are on a wall at stations.

        Parameters
        ----------
        wall : str
            Name of the wall.
        s : array_like, shape (...)
            Stations [m].
        """
        return self._here[self._bay(s)] & self._covers(wall)

    @checked
    def at(self, wall: str, s: Station) -> tuple[BookPly, ...]:
        """Plies on a wall at a station, the inner one first; none outside the book.

        Parameters
        ----------
        wall : str
            Name of the wall.
        s : float
            Station [m].
        """
        return tuple(self.plies[i - 1] for i in self.numbers(wall, s))

    @checked
    def numbers(self, wall: str, s: Station) -> NDArray[np.int64]:
        """Numbers (ply,) of the plies on a wall at a station, counted through the book from 1 at the mandrel.

        Parameters
        ----------
        wall : str
            Name of the wall.
        s : float
            Station [m].
        """
        return np.flatnonzero(self._here[self._bay(s)] & self._covers(wall)).astype(np.int64) + 1

    @checked
    def laminate(self, wall: str, s: Station) -> Laminate:
        """Lay-up of a wall at a station, the inner ply first; a wall without a ply there is refused.

        Parameters
        ----------
        wall : str
            Name of the wall.
        s : float
            Station [m].
        """
        key = wall, int(self._bay(s))
        if key not in self._laminates:
            plies = [self.plies[i] for i in np.flatnonzero(self._here[key[1]] & self._covers(wall))]
            if not plies:
                what = f"PlyBook: plies on wall '{wall}' at {s:g} m"
                reject(what, "none", "one or more", "a gap between plies?")
            stack = tuple((id(p.lamina), p.angle_deg) for p in plies)
            if stack not in self._stacks:
                self._stacks[stack] = Laminate(tuple(Ply(p.lamina, p.angle_deg) for p in plies))
            self._laminates[key] = self._stacks[stack]
        return self._laminates[key]

    @cached_property
    def _edges(self) -> Array:
        """Starts and ends of plies, growing, each once, shape (edge,) [m]."""
        return distinct([(p.start, p.end) for p in self.plies], self.tip)

    @cached_property
    def _here(self) -> NDArray[np.bool_]:
        """Which plies are between edge i and the next, shape (edge, ply); the last row, beyond the tip, has none."""
        start, end = self.runs.T
        inside = (start <= self._edges[:-1, None]) & (end >= self._edges[1:, None])
        return np.vstack([inside, np.zeros((1, len(self.plies)), dtype=bool)])

    def _bay(self, s: ArrayLike) -> NDArray[np.intp]:
        """Row of `_here` for each station (...)."""
        beyond = np.asarray(s) + SNAP * self.tip  # so that a station a little before an edge is at the edge
        row: NDArray[np.intp] = np.searchsorted(self._edges, beyond, side="right") - 1
        at_tip = (row == len(self._edges) - 1) & (beyond <= self.tip * (1 + 2 * SNAP))
        return row - at_tip

    def _covers(self, wall: str) -> NDArray[np.bool_]:
        """Which plies cover a wall, shape (ply,)."""
        if wall not in self._on_wall:
            reject("PlyBook: wall", repr(wall), f"one of {', '.join(self.walls)}")
        return self._on_wall[wall]

    @cached_property
    def _on_wall(self) -> dict[str, NDArray[np.bool_]]:
        return {wall: np.array([wall in p.walls for p in self.plies]) for wall in self.walls}

    @cached_property
    def _laminates(self) -> dict[tuple[str, int], Laminate]:
        return {}

    @cached_property
    def _stacks(self) -> dict[tuple[tuple[int, float], ...], Laminate]:
        return {}
