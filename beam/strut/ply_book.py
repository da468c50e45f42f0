"""The ply book: the plies in the order a shop lays them, each on which walls and from where to where."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.strut.axis import SNAP
from laminate import Laminate, Ply
from materials import Lamina
from materials.checks import Array, array, number, reject
from materials.kinds import instance, instances


@dataclass(frozen=True, kw_only=True)
class BookPly:
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
    """

    lamina: Lamina
    angle_deg: float
    walls: Sequence[str]
    start: float
    end: float

    def __post_init__(self) -> None:
        instance("BookPly: lamina", self.lamina, Lamina)
        number("BookPly: angle_deg [deg]", self.angle_deg, at_least=-180.0, at_most=180.0, cause="degrees")
        start = number("BookPly: start [m]", self.start, at_least=0.0)
        number("BookPly: end [m]", self.end, above=start, cause="a ply runs from start outboard to end")
        if isinstance(self.walls, str):
            reject(
                "BookPly: walls", repr(self.walls), "a tuple of names, each once", "one name needs a comma"
            )
        walls = instances("BookPly: walls", self.walls, str)
        if len(set(walls)) != len(walls):
            reject("BookPly: walls", walls, "a tuple of names, each once")
        object.__setattr__(self, "walls", walls)

    @property
    def length(self) -> float:
        """Length along the span [m]."""
        return self.end - self.start


@dataclass(frozen=True)
class PlyBook:
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
    A ply covers the stations from its start up to, and not including, its end; at the tip of the strut the
    end is included. So at the station of a drop the thinner lay-up outboard of it holds.
    """

    plies: tuple[BookPly, ...]

    def __post_init__(self) -> None:
        object.__setattr__(self, "plies", instances("PlyBook: plies", self.plies, BookPly))

    @property
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
        every = np.unique([s for p in self.plies for s in (p.start, p.end)])
        return every[(every > 0) & (every < self.tip * (1 - SNAP))]

    def present(self, wall: str, s: ArrayLike) -> NDArray[np.bool_]:
        """Which plies of the book are there.

        Parameters
        ----------
        wall : str
            Name of the wall.
        s : array_like, shape (...)
            Stations [m].

        Returns
        -------
        ndarray of bool, shape (..., ply)
            True where the ply is on the wall at the station [-].

        Raises
        ------
        ValueError
            If no ply covers a wall of that name.
        """
        if wall not in self.walls:
            reject("PlyBook: wall", repr(wall), f"one of {', '.join(self.walls)}")
        s = array("PlyBook: s [m]", s, copy=False)[..., None]
        start, end = (np.array([getattr(p, edge) for p in self.plies]) for edge in ("start", "end"))
        on = np.array([wall in p.walls for p in self.plies])
        reaches_tip = end >= self.tip * (1 - SNAP)
        return on & (start <= s) & ((s < end) | (reaches_tip & (s <= self.tip)))

    def at(self, wall: str, s: float) -> tuple[BookPly, ...]:
        """Plies on a wall at a station, the inner one first.

        Parameters
        ----------
        wall : str
            Name of the wall.
        s : float
            Station [m].

        Returns
        -------
        tuple of BookPly
            The plies, none outside the book.
        """
        return tuple(self.plies[i - 1] for i in self.numbers(wall, s))

    def numbers(self, wall: str, s: float) -> NDArray[np.int64]:
        """Numbers of the plies on a wall at a station, counted through the book from 1 at the mandrel.

        Parameters
        ----------
        wall : str
            Name of the wall.
        s : float
            Station [m].

        Returns
        -------
        ndarray of int, shape (ply,)
            Numbers, growing outward [-].
        """
        return np.flatnonzero(self.present(wall, number("PlyBook: s [m]", s))).astype(np.int64) + 1

    def laminate(self, wall: str, s: float) -> Laminate:
        """Lay-up of a wall at a station.

        Parameters
        ----------
        wall : str
            Name of the wall.
        s : float
            Station [m].

        Returns
        -------
        laminate.Laminate
            The plies there, the inner one first.

        Raises
        ------
        ValueError
            If the wall has no ply there.
        """
        plies = self.at(wall, s)
        if not plies:
            reject(
                f"PlyBook: plies on wall '{wall}' at {s:g} m", "none", "one or more", "a gap between plies?"
            )
        return self._stack(plies)

    def _stack(self, plies: tuple[BookPly, ...]) -> Laminate:
        key = tuple((id(p.lamina), p.angle_deg) for p in plies)
        if key not in self._stacks:
            self._stacks[key] = Laminate(tuple(Ply(p.lamina, p.angle_deg) for p in plies))
        return self._stacks[key]

    @cached_property
    def _stacks(self) -> dict[tuple[tuple[int, float], ...], Laminate]:
        return {}
