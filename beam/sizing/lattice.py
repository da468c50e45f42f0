"""The lattice of ply books: whole numbers of plies of each kind in each bay.

A *kind* is a set of plies that a shop counts together: the spanwise tape of the caps, the
+-45 wraps, the hoop plies. A *bay* is a length of strut with one lay-up. A design is the
number of groups of every kind in every bay, and it is symmetric by construction: one group
is laid once on the mandrel side of the mid-plane and once, in reverse, on the outer side.

Every group keeps its place in the book wherever it runs: group j of a kind lies at depth
``depth + pitch * j``, smallest nearest the two surfaces. What is dropped first is therefore
the group nearest the mid-plane, the surface plies run through, and the lay-up of a bay is
the lay-up of the bay inboard of it with plies left out, never with plies moved.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product

import numpy as np
from numpy.typing import NDArray

from beam.strut import BookPly, MoldLine, PlyBook
from laminate import Laminate, Ply
from materials import Lamina
from materials.checks import Array, array, number, reject
from materials.kinds import instance, instances, whole_numbers

Counts = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True)
class PlyKind:
    """Plies that are counted together.

    Parameters
    ----------
    name : str
        As in "spanwise".
    lamina : Lamina
        What they are made of.
    angles_deg : tuple of float
        Fiber angles of one group, from the surface toward the mid-plane [deg].
    walls : tuple of str
        Names of the walls they run on.
    least, most : int
        Fewest and most groups per side of the mid-plane in any bay [-].
    depth, pitch : float
        Group j lies at ``depth + pitch * j``; the smaller lies nearer the surfaces [-].
    least_share : float
        Least share of the thickness of every wall that the kind runs on [-].

    Raises
    ------
    ValueError
        If it has no angles or walls, or the limits cross.
    """

    name: str
    lamina: Lamina
    angles_deg: tuple[float, ...]
    walls: tuple[str, ...]
    least: int
    most: int
    depth: float
    pitch: float
    least_share: float = 0.0

    def __post_init__(self) -> None:
        what = f"PlyKind {instance('PlyKind: name', self.name, str)!r}"
        instance(f"{what}: lamina", self.lamina, Lamina)
        object.__setattr__(self, "walls", instances(f"{what}: walls", self.walls, str, least=0))
        angles = array(f"{what}: angles_deg", self.angles_deg, last=(-1,))
        object.__setattr__(self, "angles_deg", tuple(angles.tolist()))
        if not self.angles_deg or not self.walls:
            reject(f"{what}: angles_deg, walls", (self.angles_deg, self.walls), "both non-empty")
        given: tuple[object, ...] = (self.least, self.most)
        if not all(isinstance(count, int) for count in given):
            reject(f"{what}: least, most", given, "whole numbers")
        if not 0 <= self.least <= self.most:
            reject(f"{what}: least, most", (self.least, self.most), "0 <= least <= most")
        number(f"{what}: depth [-]", self.depth)
        number(f"{what}: pitch [-]", self.pitch, above=0.0)
        number(
            f"{what}: least_share [-]", self.least_share, at_least=0.0, below=1.0, cause="given in percent?"
        )

    @property
    def group_thickness(self) -> float:
        """Thickness of one group on both sides of the mid-plane [m]."""
        return 2 * len(self.angles_deg) * self.lamina.thickness


@dataclass(frozen=True, kw_only=True, eq=False)
class Lattice:
    """All ply books that the shop could lay on one mold line.

    Parameters
    ----------
    mold_line : MoldLine
        The outer surface.
    stations : array_like, shape (bay + 1,)
        Ends of the bays from root to tip [m].
    kinds : sequence of PlyKind
        What is counted.
    drop_length : float
        Length needed to end plies, in units of the thickness they take away [-];
        20 is common practice, no source.
    most_ending : int
        Most groups of one kind that may end at one station [-].

    Raises
    ------
    ValueError
        If the stations do not run from root to tip, the kinds are not distinct, do not
        balance, or leave a wall bare.
    """

    mold_line: MoldLine
    stations: Array
    kinds: tuple[PlyKind, ...]
    drop_length: float = 20.0
    most_ending: int = 1

    def __post_init__(self) -> None:
        object.__setattr__(self, "stations", array("Lattice: stations [m]", self.stations, last=(-1,)))
        object.__setattr__(self, "kinds", instances("Lattice: kinds", self.kinds, PlyKind))
        instance("Lattice: mold_line", self.mold_line, MoldLine)
        length = self.mold_line.length
        s = self.stations
        if s.size < 2 or (np.diff(s) <= 0).any() or s[0] != 0 or not np.isclose(s[-1], length, rtol=1e-9):
            reject(
                "Lattice: stations [m]",
                s,
                f"rising from 0 to the length {length:.6g}",
                "in mm, or not the whole strut?",
            )
        names = [kind.name for kind in self.kinds]
        if len(set(names)) != len(names):
            reject("Lattice: kinds", names, "distinct by name")
        for kind in self.kinds:
            if unknown := set(kind.walls) - set(self.mold_line.wall_names):
                reject(f"PlyKind {kind.name!r}: walls", sorted(unknown), f"among {self.mold_line.wall_names}")
            one = Laminate(tuple(Ply(kind.lamina, angle) for angle in kind.angles_deg))
            if not one.is_balanced:
                reject(f"PlyKind {kind.name!r}: angles_deg", kind.angles_deg, "balanced in every group")
        covered = {wall for kind in self.kinds if kind.least > 0 for wall in kind.walls}
        if bare := set(self.mold_line.wall_names) - covered:
            reject("Lattice: walls that may be left bare", sorted(bare), "covered by a kind with least >= 1")
        number("Lattice: drop_length [-]", self.drop_length, at_least=0.0)
        if not isinstance(self.most_ending, int) or self.most_ending < 1:
            reject("Lattice: most_ending [-]", self.most_ending, "a whole number, 1 or more")

    @property
    def bays(self) -> int:
        """Number of bays [-]."""
        return int(self.stations.size - 1)

    @cached_property
    def candidates(self) -> Counts:
        """Counts that one bay can have, shape (candidate, kind) [-]; the shares hold in every wall."""
        ranges = [range(kind.least, kind.most + 1) for kind in self.kinds]
        counts = np.array(list(product(*ranges)), dtype=np.int64)
        thickness = self.wall_thickness(counts)
        allowed = np.ones(len(counts), dtype=bool)
        for column, kind in enumerate(self.kinds):
            own = counts[:, column] * kind.group_thickness
            walls = [self.mold_line.wall_names.index(wall) for wall in kind.walls]
            # A share met exactly must not fall to rounding.
            allowed &= (own[:, None] >= kind.least_share * thickness[:, walls] * (1 - 1e-12)).all(axis=1)
        if not allowed.any():
            reject(
                "Lattice: kinds",
                [(k.name, k.least, k.most, k.least_share) for k in self.kinds],
                "with least shares that some counts meet",
            )
        return counts[allowed]

    def wall_thickness(self, counts: Counts) -> Array:
        """Thickness of every wall.

        Parameters
        ----------
        counts : ndarray of int, shape (..., kind)
            Groups per side of the mid-plane [-].

        Returns
        -------
        ndarray, shape (..., wall)
            Thickness [m].
        """
        return self._counts("wall_thickness", counts) @ self.group_thickness

    def wall_areal_density(self, counts: Counts) -> Array:
        """Mass per area of every wall.

        Parameters
        ----------
        counts : ndarray of int, shape (..., kind)
            Groups per side of the mid-plane [-].

        Returns
        -------
        ndarray, shape (..., wall)
            Mass per area [kg/m2].
        """
        return self._counts("wall_areal_density", counts) @ (
            self.group_thickness * np.array([[kind.lamina.density] for kind in self.kinds])
        )

    @cached_property
    def group_thickness(self) -> Array:
        """Thickness that one group of a kind adds to a wall, on both sides together, shape (kind, wall) [m]."""
        names = self.mold_line.wall_names
        return np.array([[(wall in k.walls) * k.group_thickness for wall in names] for k in self.kinds])

    @cached_property
    def groups(self) -> tuple[tuple[int, int], ...]:
        """(kind, group) in the order of the book from the surface to the mid-plane."""
        every = [(kind, j) for kind, k in enumerate(self.kinds) for j in range(k.most)]
        return tuple(sorted(every, key=lambda g: (self.kinds[g[0]].depth + self.kinds[g[0]].pitch * g[1], g)))

    def most_dropped(self) -> Array:
        """Thickness that may end at each bay boundary.

        Returns
        -------
        ndarray, shape (bay - 1,)
            The shorter of the two bays it has to run out in, over `drop_length` [m].
        """
        length = np.diff(self.stations)
        room = np.minimum(length[:-1], length[1:])
        with np.errstate(divide="ignore"):
            return np.asarray(room / self.drop_length)

    def book(self, counts: Counts | Sequence[Sequence[int]]) -> PlyBook:
        """Ply book of a design.

        Parameters
        ----------
        counts : array_like of int, shape (bay, kind)
            Groups per side of the mid-plane, never growing toward the tip [-].

        Returns
        -------
        PlyBook
            From the mandrel outwards.

        Raises
        ------
        ValueError
            If a count grows toward the tip.
        """
        n = self._counts("book", counts)
        least, most = np.array([(kind.least, kind.most) for kind in self.kinds]).T
        fits = n.shape == (self.bays, len(self.kinds))
        if not fits or (np.diff(n, axis=0) > 0).any() or (n < least).any() or (n > most).any():
            reject(
                "Lattice.book: counts",
                n.tolist(),
                f"of shape {(self.bays, len(self.kinds))}, never growing toward the tip, "
                f"from {least.tolist()} to {most.tolist()}",
            )
        half = []
        for kind, j in self.groups:
            runs = np.flatnonzero(n[:, kind] > j)
            if runs.size:
                k = self.kinds[kind]
                end = float(self.stations[runs[-1] + 1])
                half += [
                    BookPly(lamina=k.lamina, angle_deg=angle, walls=k.walls, start=0.0, end=end)
                    for angle in k.angles_deg
                ]
        return PlyBook(tuple(half + half[::-1]))

    def _counts(self, who: str, counts: Counts | Sequence[Sequence[int]]) -> Counts:
        n: Counts = whole_numbers(f"Lattice.{who}: counts", counts).astype(np.int64)
        if n.ndim < 1 or n.shape[-1] != len(self.kinds) or (n < 0).any():
            reject(f"Lattice.{who}: counts", n.tolist(), f"{len(self.kinds)} in the last axis, 0 or more")
        return n
