"""The lattice of ply books: whole numbers of plies of each kind in each bay.

A *kind* is a set of plies that a shop counts together: the spanwise tape of the caps, the +-45 wraps, the hoop
plies. A *bay* is a length of strut with one lay-up. A design is the number of groups of every kind in every bay. It is
symmetric: one group is laid once on the mandrel side of the mid-plane and once, in reverse, on the outer side.

Every group keeps its place in the book: group j of a kind lies at depth ``depth + pitch * j``, the smallest nearest
the two surfaces. So the group nearest the mid-plane ends first, and the lay-up of a bay is the lay-up of the
bay inboard of it with plies left out.
"""

from collections.abc import Sequence
from functools import cached_property
from itertools import product
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from beam.section.outline import rounded_box
from beam.strut import BookPly, MoldLine, PlyBook
from laminate import Laminate, Ply
from materials import Lamina
from materials.checks import Array, Frozen, Items, Limits, Numbers, array, checked, reject

Counts = NDArray[np.int64]


class PlyKind(Frozen, eq=True):
    """Plies that are counted together.

    Parameters
    ----------
    name : str
        As in "spanwise".
    lamina : Lamina
        What they are made of.
    angles_deg : sequence of float
        Fiber angles of one group, from the surface toward the mid-plane [deg].
    walls : sequence of str
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

    Examples
    --------
    >>> from materials import lamina
    >>> wrap = PlyKind(name="wrap", lamina=lamina("T700S/2510 plain weave"), angles_deg=(45, -45),
    ...                walls=("aft", "forward"), least=1, most=4, depth=0, pitch=5)
    >>> f"{wrap.group_thickness * 1e3:.2f} mm"
    '0.87 mm'
    """

    name: str
    lamina: Lamina
    angles_deg: Items[Annotated[float, Limits("deg", at_least=-360.0, at_most=360.0)]]
    walls: Items[str]
    least: Annotated[int, Limits("-", at_least=0)]
    most: Annotated[int, Limits("-", at_least=0, at_most=1000)]
    depth: Annotated[float, Limits("-")]
    pitch: Annotated[float, Limits("-", above=0.0)]
    least_share: Annotated[float, Limits("-", at_least=0.0, below=1.0, cause="given in percent?")] = 0.0

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.least > self.most:
            reject(f"PlyKind '{self.name}': least, most [-]", (self.least, self.most), "least <= most")

    @property
    def group_thickness(self) -> float:
        """Thickness of one group on both sides of the mid-plane [m]."""
        return 2 * len(self.angles_deg) * self.lamina.thickness


class Lattice(Frozen):
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
        Length needed to end plies, in units of the thickness they take away [-]; 20 is common practice, no source.
    most_ending : int
        Most groups of one kind that may end at one station [-].

    Raises
    ------
    ValueError
        If the stations do not run from root to tip, or the kinds are not distinct, not balanced, or leave a wall bare.

    Notes
    -----
    The number of books grows as (lay-ups of a bay)^(bays); `beam.lightest` finds the lightest without listing them.

    Examples
    --------
    >>> from beam import MoldLine
    >>> from materials import lamina
    >>> line = MoldLine(root=[0, 0, 0.5], tip=[0, 0, 0], stations=[0, 0.5], width=[0.1, 0.08], height=[0.08, 0.06],
    ...                 corner_radius=[0.02, 0.015])
    >>> tape = PlyKind(name="tape", lamina=lamina("T700S/2510"), angles_deg=(0,), walls=line.wall_names, least=2,
    ...                most=9, depth=0, pitch=1)
    >>> lattice = Lattice(mold_line=line, stations=[0, 0.25, 0.5], kinds=(tape,))
    >>> lattice.bays, len(lattice.candidates)
    (2, 8)
    """

    mold_line: MoldLine
    stations: Annotated[Numbers, Limits("m", shape=(-1,))]
    kinds: Items[PlyKind]
    drop_length: Annotated[float, Limits("-", at_least=0.0)] = 20.0
    most_ending: Annotated[int, Limits("-", at_least=1)] = 1

    def __post_init__(self) -> None:
        super().__post_init__()
        length, s = self.mold_line.length, self.stations
        if s.size < 2 or (np.diff(s) <= 0).any() or s[0] != 0 or not np.isclose(s[-1], length, rtol=1e-9):
            limit, cause = f"rising from 0 to the length {length:.6g}", "in mm, or not the whole strut?"
            reject("Lattice: stations [m]", s, limit, cause)
        names = [kind.name for kind in self.kinds]
        if len(set(names)) != len(names):
            reject("Lattice: kinds", names, "distinct by name")
        for kind in self.kinds:
            if unknown := set(kind.walls) - set(self.mold_line.wall_names):
                limit = f"among {self.mold_line.wall_names}"
                reject(f"Lattice: kinds: PlyKind '{kind.name}': walls", sorted(unknown), limit)
            if not Laminate(tuple(Ply(kind.lamina, angle) for angle in kind.angles_deg)).is_balanced:
                what = f"Lattice: kinds: PlyKind '{kind.name}': angles_deg [deg]"
                reject(what, kind.angles_deg, "balanced in every group")
        covered = {wall for kind in self.kinds if kind.least > 0 for wall in kind.walls}
        if bare := set(self.mold_line.wall_names) - covered:
            reject("Lattice: kinds", f"walls {sorted(bare)} bare", "a kind with least >= 1 on every wall")

    @property
    def bays(self) -> int:
        """Number of bays [-]."""
        return int(self.stations.size - 1)

    @cached_property
    def candidates(self) -> Counts:
        """Counts that one bay can have, shape (candidate, kind) [-]; the least shares hold in every wall."""
        ranges = [range(kind.least, kind.most + 1) for kind in self.kinds]
        counts = np.array(list(product(*ranges)), dtype=np.int64)
        thickness = wall_thickness(self, counts)
        allowed = np.ones(len(counts), dtype=bool)
        for column, kind in enumerate(self.kinds):
            own = counts[:, column] * kind.group_thickness
            walls = [self.mold_line.wall_names.index(wall) for wall in kind.walls]
            # A share met exactly must not fall to rounding.
            allowed &= (own[:, None] >= kind.least_share * thickness[:, walls] * (1 - 1e-12)).all(axis=1)
        if not allowed.any():
            given = [(k.name, k.least, k.most, k.least_share) for k in self.kinds]
            reject("Lattice: kinds", given, "with least shares that some counts meet")
        return counts[allowed]

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

    @cached_property
    def most_dropped(self) -> Array:
        """Thickness that may end at each bay boundary, shape (bay - 1,): the shorter bay over `drop_length` [m]."""
        length = np.diff(self.stations)
        with np.errstate(divide="ignore"):
            return np.asarray(np.minimum(length[:-1], length[1:]) / self.drop_length)

    @checked
    def book(self, counts: Sequence[Sequence[int]] | Counts) -> PlyBook:
        """Ply book of a design, from the mandrel outwards.

        Parameters
        ----------
        counts : array_like of int, shape (bay, kind)
            Groups per side of the mid-plane, never growing toward the tip [-].

        Returns
        -------
        PlyBook
            The plies in laying order.

        Raises
        ------
        ValueError
            If a count grows toward the tip or is outside the limits of its kind.
        """
        n = array("Lattice.book: counts [-]", counts)
        least, most = np.array([(kind.least, kind.most) for kind in self.kinds]).T
        fits = n.shape == (self.bays, len(self.kinds)) and not (n % 1).any()
        if not fits or (np.diff(n, axis=0) > 0).any() or (n < least).any() or (n > most).any():
            shape = (self.bays, len(self.kinds))
            limit = f"whole numbers of shape {shape}, never growing toward the tip, from {least.tolist()} to "
            reject("Lattice.book: counts [-]", n.tolist(), limit + f"{most.tolist()}")
        half = []
        for kind, j in self.groups:
            runs = np.flatnonzero(n[:, kind] > j)
            if runs.size:
                k, end = self.kinds[kind], float(self.stations[runs[-1] + 1])
                half += [
                    BookPly(lamina=k.lamina, angle_deg=angle, walls=k.walls, start=0.0, end=end)
                    for angle in k.angles_deg
                ]
        return PlyBook(tuple(half + half[::-1]))


def is_straight(line: MoldLine) -> bool:
    """Whether a mold line has no taper."""
    return all(float(np.ptp(one)) == 0.0 for one in (line.width, line.height, line.corner_radius))


def wall_thickness(lattice: Lattice, counts: Counts) -> Array:
    """Thickness of every wall, shape (..., wall) [m], of counts of shape (..., kind)."""
    return counts @ lattice.group_thickness


def bay_masses(lattice: Lattice, counts: Counts) -> Array:
    """Mass of every lay-up in every bay, shape (bay, candidate) [kg]; inf where a wall exceeds the corner radius.

    Lay-ups are constant in a bay and the mold line is linear between its stations. So mass per length is linear
    from one to the next, and the trapezoidal rule is exact.
    """
    ends = np.union1d(lattice.stations, lattice.mold_line.stations)
    density = np.array([[kind.lamina.density] for kind in lattice.kinds])
    thickness, areal = wall_thickness(lattice, counts), counts @ (lattice.group_thickness * density)
    profile = lattice.mold_line.at(ends)
    fits = thickness.max(axis=-1) <= profile.corner_radius[:, None]
    per_length = np.full((ends.size, len(counts)), np.inf)
    for i, (width, height, radius) in enumerate(zip(*profile, strict=True)):
        contour = rounded_box(width, height, radius, thickness[fits[i]])
        per_length[i, fits[i]] = (contour.length * areal[fits[i]]).sum(axis=-1)
    piece = np.diff(ends)[:, None] * (per_length[1:] + per_length[:-1]) / 2
    bay = np.searchsorted(lattice.stations, (ends[1:] + ends[:-1]) / 2) - 1
    mass = np.zeros((lattice.bays, len(counts)))
    np.add.at(mass, bay, piece)
    return mass
