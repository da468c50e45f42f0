"""The lattice of ply books: whole numbers of plies of each kind in each bay.

A *kind* is a set of plies that a shop counts together: the spanwise tape of the caps, the +-45 wraps, the hoop
plies. A *bay* is a length of strut with one lay-up. A design is the number of groups of every kind in every bay. It is
symmetric: one group is laid once on the mandrel side of the mid-plane and once, in reverse, on the outer side.

Every group keeps its place in the book: group j of a kind lies at depth ``depth + pitch * j``, the smallest nearest
the two surfaces. So the group nearest the mid-plane ends first, and the lay-up of a bay is the lay-up of the
bay inboard of it with plies left out, and with those of local kinds put in.

A *local* kind, as a doubler at a bracket, lies only between two ends of bays. Its counts may grow toward the tip as
well as fall::

    root  |=====================================|  tip     wrap, whole strut: counts never grow toward the tip
          |      .---------.                    |
          |   .--'         '----.               |          doubler, from start to end: counts grow and fall, each
          |   |start            |end            |          step by the rules for plies that end
"""

from collections.abc import Sequence
from dataclasses import fields
from functools import cached_property
from itertools import combinations
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from beam.section.outline import rounded_box
from beam.sizing.shop_rules import ShopRule, kept
from beam.strut import BookPly, MoldLine, PlyBook
from laminate import Laminate, Ply
from laminate.interlaminar.corner import THICKEST
from materials import Lamina
from materials.checks import Array, Frozen, Items, Limits, Numbers, array, checked, default, reject

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
        Fewest and most groups per side of the mid-plane in any bay where the kind lies [-].
    depth, pitch : float
        Group j lies at ``depth + pitch * j``; the smaller lies nearer the surfaces [-].
    least_share : float
        Least share of the thickness of every wall that the kind runs on, where it lies [-].
    start, end : float, optional
        Stations between which the kind lies, which makes it local; left out, the root and the tip [m].

    Raises
    ------
    ValueError
        If it has no angles or walls, or the limits cross.

    Notes
    -----
    Counts of a kind of the whole strut never grow toward the tip. Those of a local kind may: it is zero outside its
    stretch, and between `least` and `most` in every bay of it.

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
    start: Annotated[float | None, Limits("m", at_least=0.0, below=10.0, cause="given in mm?")] = None
    end: Annotated[float | None, Limits("m", above=0.0, at_most=10.0, cause="given in mm?")] = None

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.least > self.most:
            reject(f"PlyKind '{self.name}': least, most [-]", (self.least, self.most), "least <= most")
        if self.end is not None and self.end <= (self.start or 0.0):
            what, limit = f"PlyKind '{self.name}': start, end [m]", "start < end"
            reject(what, (self.start, self.end), limit, "a kind runs from start outboard to end")

    @property
    def is_local(self) -> bool:
        """Whether it has a stretch of its own, in which its counts may grow toward the tip."""
        return self.start is not None or self.end is not None

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
        Most groups of one kind that may end at one station, or start there [-].
    rules : sequence of ShopRule
        Rules that the laminate of every wall keeps in every bay; none: any laminate.

    Raises
    ------
    ValueError
        If the stations do not run from root to tip, or the kinds are not distinct, not balanced, or leave a wall bare;
        if a local kind does not start and end at ends of bays, or its least counts cannot start or end there; if no
        counts keep the rules and least shares, of which those that contradict are named.

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
    rules: Annotated[Items[ShopRule], Limits(items=0)] = default(())

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
        bare = set[str]()
        for least in self.limits[0]:
            here = {
                wall for kind, count in zip(self.kinds, least, strict=True) if count for wall in kind.walls
            }
            bare |= set(self.mold_line.wall_names) - here
        if bare:
            cause = "local kinds cover their stretch alone" if any(k.is_local for k in self.kinds) else ""
            reject(
                "Lattice: kinds", f"walls {sorted(bare)} bare", "a kind with least >= 1 on every wall", cause
            )
        self._refuse_blunt_ends()
        if self.rules or any(kind.least_share for kind in self.kinds):
            _ = self.candidates
        # What these checks computed is no part of the object.
        for name in set(vars(self)) - {field.name for field in fields(self)}:
            del self.__dict__[name]

    def _refuse_blunt_ends(self) -> None:
        """Refuse a stretch where the least counts of local kinds pass the rules for plies that start or end."""
        step = np.diff(self.limits[0], axis=0)
        for side, count in (("start", np.maximum(step, 0)), ("end", np.maximum(-step, 0))):
            for station, most, n in zip(self.stations[1:-1], self.most_dropped, count, strict=True):
                what = f"Lattice: kinds that {side} at {station:.4g} m: least [-]"
                least = ", ".join(f"{kind.name} {m}" for kind, m in zip(self.kinds, n, strict=True) if m)
                if (n > self.most_ending).any():
                    reject(what, least, f"<= most_ending, {self.most_ending}")
                if (thick := (n @ self.group_thickness).max()) > most * (1 + 1e-12):
                    got, cause = f"{least}, {thick * 1e3:.3g} mm in a wall", "longer bays beside it?"
                    reject(what, got, f"<= {most * 1e3:.3g} mm, by drop_length", cause)

    @cached_property
    def limits(self) -> tuple[Counts, Counts]:
        """Fewest and most groups of every kind in each bay, shape (bay, kind) each [-]; none outside its stretch."""
        middle = (self.stations[:-1] + self.stations[1:]) / 2
        within = np.empty((self.bays, len(self.kinds)), dtype=np.int64)
        for column, kind in enumerate(self.kinds):
            start = 0.0 if kind.start is None else self._bay_end(kind.name, "start", kind.start)
            end = np.inf if kind.end is None else self._bay_end(kind.name, "end", kind.end)
            within[:, column] = (middle > start) & (middle < end)
        least, most = np.array([(kind.least, kind.most) for kind in self.kinds]).T
        return within * least, within * most

    def _bay_end(self, kind: str, name: str, value: float) -> float:
        """The end of a bay that a local kind starts or ends at [m]."""
        near = float(self.stations[np.abs(self.stations - value).argmin()])
        if abs(near - value) > 1e-9 * self.mold_line.length:
            limit = f"an end of a bay, among {[round(s, 6) for s in self.stations.tolist()]}"
            cause = "outside the strut" if value > self.stations[-1] else f"the nearest is {near:.6g}"
            reject(f"Lattice: kinds: PlyKind '{kind}': {name} [m]", f"{value:.6g}", limit, cause)
        return near

    @property
    def bays(self) -> int:
        """Number of bays [-]."""
        return int(self.stations.size - 1)

    @cached_property
    def candidates(self) -> Counts:
        """Counts that some bay can have, shape (candidate, kind) [-]; `allowed` tells which bay."""
        return self._choice[0]

    @cached_property
    def allowed(self) -> NDArray[np.bool_]:
        """Which candidates each bay can have, shape (bay, candidate); the least shares hold in every wall."""
        return self._choice[1]

    @cached_property
    def _choice(self) -> tuple[Counts, NDArray[np.bool_]]:
        """The candidates, and which of them each bay can have."""
        alike, of_bay = np.unique(np.concatenate(self.limits, axis=1), axis=0, return_inverse=True)
        own = [self._counts_within(*np.split(one, 2)) for one in alike]
        every, which = np.unique(np.concatenate(own), axis=0, return_inverse=True)
        allowed = np.zeros((len(own), len(every)), dtype=bool)
        allowed[np.repeat(np.arange(len(own)), [len(one) for one in own]), which.ravel()] = True
        return every, allowed[of_bay.ravel()]

    def _counts_within(self, least: Counts, most: Counts) -> Counts:
        """Counts from `least` to `most`, (kind,) each, that keep shares and rules, shape (candidate, kind)."""
        counts = np.indices((most - least + 1).tolist()).reshape(len(least), -1).T + least
        thickness = wall_thickness(self, counts)
        keeps: dict[str, NDArray[np.bool_]] = {}
        for column in np.flatnonzero(most).tolist():
            kind = self.kinds[column]
            own = counts[:, column] * kind.group_thickness
            walls = [self.mold_line.wall_names.index(wall) for wall in kind.walls]
            if kind.least_share:
                # A share met exactly must not fall to rounding.
                enough = own[:, None] >= kind.least_share * thickness[:, walls] * (1 - 1e-12)
                keeps[f"least share {kind.least_share:g} of {kind.name}"] = np.asarray(enough.all(axis=1))
        for rule in self.rules:
            both = self._keeps(rule, counts) & keeps.get(str(rule), np.array(True))
            keeps[str(rule)] = np.asarray(both)
        allowed = np.all([np.ones(len(counts), dtype=bool), *keeps.values()], axis=0)
        if not allowed.any():
            self._refuse_contradiction(keeps, least, most)
        return counts[allowed]

    def _keeps(self, rule: ShopRule, counts: Counts) -> NDArray[np.bool_]:
        """Whether the laminates of all walls keep a rule, (candidate,)."""
        out = np.ones(len(counts), dtype=bool)
        names, columns = self.mold_line.wall_names, np.arange(len(self.kinds))
        for wall in {tuple(name in k.walls for k in self.kinds): name for name in names}.values():
            kind, group, plies = half_of(self, wall)
            own, of_counts = np.unique(
                np.where(np.isin(columns, kind), counts, 0), axis=0, return_inverse=True
            )
            out &= kept(rule, plies, own[:, kind] > group)[of_counts.ravel()]
        return out

    def _refuse_contradiction(self, keeps: dict[str, NDArray[np.bool_]], least: Counts, most: Counts) -> None:
        """Name the fewest rules that no counts keep together."""
        sets = (some for size in range(1, len(keeps) + 1) for some in combinations(keeps, size))
        worst = next(some for some in sets if not np.all([keeps[one] for one in some], axis=0).any())
        counts = ", ".join(
            f"{a} to {b} {kind.name}" for a, b, kind in zip(least, most, self.kinds, strict=True)
        )
        cause = "each of them alone can be kept" if len(worst) > 1 else ""
        reject("Lattice: rules", " and ".join(worst), f"such that some counts keep them, of {counts}", cause)

    @cached_property
    def group_thickness(self) -> Array:
        """Thickness that one group of a kind adds to a wall, on both sides together, shape (kind, wall) [m]."""
        names = self.mold_line.wall_names
        return np.array([[(wall in k.walls) * k.group_thickness for wall in names] for k in self.kinds])

    @cached_property
    def groups(self) -> tuple[tuple[int, int], ...]:
        """(kind, group) in the order of the book from the surface to the mid-plane."""
        return _in_order(self.kinds, [kind.most for kind in self.kinds])

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
            Groups per side of the mid-plane; those of kinds that are not local never grow toward the tip [-].

        Returns
        -------
        PlyBook
            The plies in laying order. A local group that lies in several stretches is a ply in each.

        Raises
        ------
        ValueError
            If a count grows toward the tip or is outside the limits of its kind in a bay.
        """
        n = array("Lattice.book: counts [-]", counts)
        least, most = self.limits
        whole = [not kind.is_local for kind in self.kinds]
        fits = n.shape == least.shape and not (n % 1).any()
        if not fits or (np.diff(n, axis=0)[:, whole] > 0).any() or (n < least).any() or (n > most).any():
            but = "" if all(whole) else " but of a local kind"
            limit = f"whole numbers of shape {least.shape}, never growing toward the tip{but}, from "
            said = [one[0] if all(whole) else one for one in self.limits]
            reject("Lattice.book: counts [-]", n.tolist(), f"{limit}{said[0].tolist()} to {said[1].tolist()}")
        return book_of(self, n.astype(np.int64))


def book_of(lattice: Lattice, counts: Counts) -> PlyBook:
    """Ply book of counts (bay, kind), also of those that break the rules of the lattice."""
    half = []
    for kind, j in _in_order(lattice.kinds, np.maximum(counts.max(axis=0), [k.most for k in lattice.kinds])):
        k, lies = lattice.kinds[kind], np.pad(counts[:, kind] > j, 1)
        stretches = lattice.stations[np.flatnonzero(np.diff(lies))].reshape(-1, 2).tolist()
        half += [
            BookPly(lamina=k.lamina, angle_deg=angle, walls=k.walls, start=start, end=end)
            for angle in k.angles_deg
            for start, end in stretches
        ]
    return PlyBook(tuple(half + half[::-1]))


def _in_order(kinds: Sequence[PlyKind], most: Sequence[int] | Counts) -> tuple[tuple[int, int], ...]:
    """(kind, group) of the `most` groups of every kind from the surface to the mid-plane."""
    every = [(kind, j) for kind, count in enumerate(most) for j in range(count)]
    return tuple(sorted(every, key=lambda g: (kinds[g[0]].depth + kinds[g[0]].pitch * g[1], g)))


def in_every_bay(lattice: Lattice, counts: Counts) -> Counts:
    """Counts (kind,) in every bay, as near as the limits of each let them, shape (bay, kind) [-]."""
    return np.clip(counts, *lattice.limits)


def half_of(lattice: Lattice, wall: str) -> tuple[Counts, Counts, tuple[Ply, ...]]:
    """Kind and group, (ply,) each, and ply of the half of the full book on a wall, from the mandrel inward."""
    found = [
        (kind, group, Ply(own.lamina, angle))
        for kind, group in lattice.groups
        if wall in (own := lattice.kinds[kind]).walls
        for angle in own.angles_deg
    ]
    kinds, groups, plies = zip(*found, strict=True)
    return np.array(kinds), np.array(groups), plies


def is_straight(line: MoldLine) -> bool:
    """Whether a mold line has no taper."""
    return all(float(np.ptp(one)) == 0.0 for one in (line.width, line.height, line.corner_radius))


def wall_thickness(lattice: Lattice, counts: Counts) -> Array:
    """Thickness of every wall, shape (..., wall) [m], of counts of shape (..., kind)."""
    return counts @ lattice.group_thickness


def thinnest(lattice: Lattice) -> Counts:
    """The thinnest lay-up that each bay can have, shape (bay, kind) [-]; from bay to bay counts may grow."""
    thick = wall_thickness(lattice, lattice.candidates).max(axis=1)
    return lattice.candidates[np.where(lattice.allowed, thick, np.inf).argmin(axis=1)]


def bay_masses(lattice: Lattice, counts: Counts, *, corner_opening: bool = False) -> Array:
    """Mass of every lay-up in every bay, shape (bay, candidate) [kg]; inf where a wall exceeds the corner radius.

    Where corners are judged for opening, also inf where a corner has too little inner radius for its theory.
    Lay-ups are constant in a bay and the mold line is linear between its stations. So mass per length is linear from
    one to the next, and the trapezoidal rule is exact.
    """
    ends = np.union1d(lattice.stations, lattice.mold_line.stations)
    density = np.array([[kind.lamina.density] for kind in lattice.kinds])
    thickness, areal = wall_thickness(lattice, counts), counts @ (lattice.group_thickness * density)
    profile = lattice.mold_line.at(ends)
    fits = thickness.max(axis=-1) <= profile.corner_radius[:, None]
    if corner_opening:
        curved = [name not in lattice.mold_line.flat_walls for name in lattice.mold_line.wall_names]
        fits &= thickness[:, curved].max(axis=-1) <= THICKEST * profile.corner_radius[:, None]
    per_length = np.full((ends.size, len(counts)), np.inf)
    for i, (width, height, radius) in enumerate(zip(*profile, strict=True)):
        contour = rounded_box(width, height, radius, thickness[fits[i]])
        per_length[i, fits[i]] = (contour.length * areal[fits[i]]).sum(axis=-1)
    piece = np.diff(ends)[:, None] * (per_length[1:] + per_length[:-1]) / 2
    bay = np.searchsorted(lattice.stations, (ends[1:] + ends[:-1]) / 2) - 1
    mass = np.zeros((lattice.bays, len(counts)))
    np.add.at(mass, bay, piece)
    return mass
