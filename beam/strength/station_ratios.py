"""Strength ratios of every wall of a strut at one station: plies by every criterion, walls by buckling and corners."""

from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.strength.check import Check, Level, applies, meets
from beam.strength.corner_unfolding import unfolding_ratios
from beam.strength.ply_places import Place, judged_allowables, ply_places
from beam.strength.requirement import BUCKLING, CORNER_OPENING, CURVED_BUCKLING, Requirement, Service
from beam.strength.section_forces import PLACES, fixed_loads, running_loads, wall_response
from beam.strength.wall_buckling import (
    Known,
    bent_wall_ratio,
    curved_loads,
    curved_wall_ratio,
    flat_wall_ratio,
)
from beam.strut import PlyBook, Strut
from laminate import Laminate, Response
from laminate.interlaminar.curved_wall import LEAST, CurvedWall, curved_wall, strain_per_flat_load
from materials.checks import Array

LEVELS: tuple[Level, ...] = ("limit", "ultimate")
CORNER_END, CORNER_REACH, FLAT_END, FLAT_REACH = 0.25, 0.5, 0.25, 1.0
"""Share of the state of a thick corner where it meets a straight wall, and in how many thicknesses that changes.

A corner has a quarter of its own state at its ends and all of it inside; a quarter fades out in the straight wall.
Bricks of the demonstration strut have 0.4 to 0.6 at the ends, 0.65 at an eighth of the corner, 0.8 to 0.85 in its
middle; in the straight wall 0.16 to 0.37, and 0.07 to 0.2 at an eighth. The end is on the safe side of them.
"""
LEAST_SHARE = 0.02

PAIRS = 16
"""Walls of one laminate that are judged at a time: their ply states stay in the cache of the processor."""


class WallRatios(NamedTuple):
    """Strength ratios of one wall at one station in one mode and state.

    `wall` and `service` are indices, the latter in `Requirement.states`; `ply` (ply,) are numbers in the ply book,
    from 1 at the mandrel, 0 for the wall as one; (case, 1) where only the lowest ply of each case is kept. `ratio`
    (case, ply) is the lowest over places and surfaces, `place` (case, ply) the fraction along the wall where it is,
    `surface` (case, ply) 0 for inner, 1 for outer, -1 for the wall as one.
    """

    wall: int
    mode: str
    service: int
    ply: NDArray[np.int64]
    ratio: Array
    place: Array
    surface: NDArray[np.int64]


def station_ratios(
    strut: Strut,
    station: float,
    forces: Array,
    requirement: Requirement,
    states: tuple[Service, ...] | None = None,
    *,
    restraint: Array | None = None,
    added: Array | None = None,
    known: Known | None = None,
    every_ply: bool = False,
    factors: Mapping[Level, Array] | None = None,
) -> Iterator[WallRatios]:
    """Ratios of each wall, state and mode at a station [m] under forces (1 or state, case, 6) [N, N m].

    `factors` are those on the load of each case, (case,), at each level; without them those of limit loads.
    """
    services = requirement.states if states is None else states
    at = np.array([station])
    rest = np.zeros((len(services), 1, 6)) if restraint is None else restraint[:, None]
    (found,) = ratios(
        strut,
        at,
        forces[:, :, None],
        requirement,
        services,
        restraint=rest,
        added=None if added is None else added[:, None],
        known=known,
        every_ply=every_ply,
        factors=factors,
    )
    yield from found


def ratios(
    strut: Strut,
    stations: Array,
    forces: Array,
    requirement: Requirement,
    states: tuple[Service, ...],
    *,
    restraint: Array,
    added: Array | None = None,
    known: Known | None = None,
    every_ply: bool = False,
    factors: Mapping[Level, Array] | None = None,
    solid: "Callable[[WallGroup], PlyStates] | None" = None,
) -> list[list[WallRatios]]:
    """Ratios at stations [m] of each wall, state and mode, one list for a station.

    Forces (1 or state, case, station, 6), restraint (state, station, 6) [N, N m]; `added` are the wall loads of bands,
    ribs and ends, (case, station, wall, place, 6). Equal laminates are judged together. Where the wall loads come from
    a solid model, `solid` gives its ply states.
    """
    if factors is None:
        usual = {"limit": requirement.limit_factor, "ultimate": requirement.ultimate_factor}
        factors = {level: np.full(forces.shape[1], usual[level]) for level in LEVELS}
    found: dict[tuple[int, int], list[WallRatios]] = {}
    solved: Known = {} if known is None else known
    total = running_loads(strut, stations, forces)
    if added is not None:
        total = total + added
    for group in wall_groups(strut, stations, total, restraint, states):
        of_plies, lowest = _ply_ratios((solid or PlyStates)(group), requirement, every_ply, factors)
        for pair, own in enumerate(of_plies):
            found[group.pairs[pair]] = [*own, *_wall_ratios(group, pair, lowest[pair], solved, factors)]
    corners: list[list[WallRatios]] = [[] for _ in stations]
    for i, s in enumerate(stations.tolist() if requirement.corner_opening else ()):
        opened = unfolding_ratios(
            strut,
            s,
            forces[:, :, i],
            states,
            places=PLACES,
            restraint=restraint[:, i],
            total=total[:, :, i],
            spring_in=solid is None and not strut.thick_corners,
        )
        for index, (ratio, place) in enumerate(zip(opened.ratio, opened.place, strict=True)):
            for column, wall in enumerate(opened.walls):
                corners[i].append(_as_one(wall, CORNER_OPENING, index, ratio[:, column], place[:, column]))
    walls = range(len(strut.mold_line.wall_names))
    return [[one for w in walls for one in found[i, w]] + corners[i] for i in range(len(stations))]


class WallGroup(NamedTuple):
    """Walls of one laminate: indices of station and wall of each pair, station (pair,) [m], and its loads."""

    strut: Strut
    laminate: Laminate
    pairs: list[tuple[int, int]]
    station: Array
    running: Array
    """Wall loads at limit, (6, 1 or state, pair, place, case)."""

    fixed: Array
    """Wall loads without load, (6, state, pair, place)."""

    states: tuple[Service, ...]

    @property
    def first(self) -> tuple[PlyBook, str, float, float]:
        """Ply book, wall, station [m] and length of the strut [m] of the first pair; all are alike at a ply drop."""
        strut, wall = self.strut, self.strut.mold_line.wall_names[self.pairs[0][1]]
        return strut.ply_book, wall, float(self.station[0]), strut.mold_line.length

    def curved(self) -> "CurvedStates | None":
        """What thick corners make of the states of plies; None where they are judged as thin."""
        if not self.strut.thick_corners:
            return None
        thick = self.laminate.thickness
        radius = self.strut.mold_line.at(self.station).corner_radius - 0.5 * thick
        wall = np.array([wall for _, wall in self.pairs])
        contours = [self.strut.section(s).contour for s in self.station.tolist()]
        length = np.array([one.length[i] for one, i in zip(contours, wall, strict=True)])
        corner = np.array([one.turn[i] != 0 for one, i in zip(contours, wall, strict=True)])
        reach = np.where(corner, CORNER_REACH, FLAT_REACH) * thick / length
        ends = [np.exp(-np.abs(end - np.array(PLACES)) / reach[:, None]) for end in (0.0, 1.0)]
        share = np.where(corner[:, None], 1 - (1 - CORNER_END) * sum(ends), FLAT_END * sum(ends))
        share = np.where(share < LEAST_SHARE, 0.0, np.maximum(share, 0.0))
        found = curved_wall(self.laminate, np.maximum(radius, LEAST * thick))
        return CurvedStates(found, strain_per_flat_load(found, self.laminate), share)

    def numbers(self, pair: int) -> NDArray[np.int64]:
        """Numbers in the ply book of the plies of one pair, (ply,)."""
        name = self.strut.mold_line.wall_names[self.pairs[pair][1]]
        return self.strut.ply_book.numbers(name, float(self.station[pair]))


def wall_groups(
    strut: Strut, stations: Array, total: Array, restraint: Array, states: tuple[Service, ...]
) -> Iterator[WallGroup]:
    """Walls at stations [m], those of one laminate and like ply drops together.

    `total` are the wall loads that grow, (1 or state, case, station, wall, place, 6); the rest as `ratios`.
    """
    # (station, wall, component, state, place, case): the cases, which are many, last.
    running = np.moveaxis(total, (2, 3, 5, 0, 4, 1), range(6))
    fixed = np.moveaxis(fixed_loads(strut, stations, states, restraint), (1, 2, 4, 0, 3), range(5))
    groups: dict[tuple[object, ...], tuple[Laminate, list[tuple[int, int]]]] = {}
    length, names = strut.mold_line.length, strut.mold_line.wall_names
    for i, s in enumerate(stations.tolist()):
        for wall, laminate in enumerate(strut.section(s).laminates):
            places = ply_places(strut.ply_book, names[wall], s, length)
            groups.setdefault((id(laminate), *places.items()), (laminate, []))[1].append((i, wall))
    for laminate, every in groups.values():
        for first in range(0, len(every), PAIRS):
            pairs = every[first : first + PAIRS]
            i, walls = np.array(pairs).T
            grows, stays = (np.moveaxis(one[i, walls], 0, 2) for one in (running, fixed))
            yield WallGroup(strut, laminate, pairs, stations[i], grows, stays, states)


class CurvedStates(NamedTuple):
    """States of plies in thick corners, and at the ends of straight walls, which share the state of the corner there.

    Walls (pair,) of one laminate bent to the radii of their corners; `share` (pair, place) of that state in the whole.
    """

    wall: CurvedWall
    strain_per_load: Array
    share: Array

    def mix(
        self,
        values: Array,
        loads: Array,
        faces: "Faces",
        *,
        stress: bool,
        change: tuple[float, float] = (0.0, 0.0),
    ) -> None:
        """Put the share of the curved state in flat ply values (ply, surface, 3, state, pair, place, case).

        `loads` (6, state, pair, place, case) are those of the wall; `change` warms it [K] and wets it [-].
        """
        places = np.flatnonzero(self.share.any(axis=0))
        per = self.wall.stress if stress else self.wall.strain
        alone = self.wall.own_stress if stress else self.wall.own_strain
        per, alone = (one[:, faces.ply[:, None], faces.surface] for one in (per, alone))
        per_load = per.reshape(len(per), -1, 6) @ self.strain_per_load
        at = np.moveaxis(loads[:, :, :, places], 2, 0)
        found = (per_load @ at.reshape(len(per), 6, -1)).reshape(*per.shape[:-1], *at.shape[2:])
        found = np.moveaxis(found + (alone @ np.array(change))[..., None, None, None], 0, 4)
        share = self.share[:, places, None]
        values[:, :, :, :, :, places] = (1 - share) * values[:, :, :, :, :, places] + share * found


class Faces(NamedTuple):
    """Plies of a laminate by index, (ply,), and the surfaces of each to look at, (ply, 1 or 2): 0 inner, 1 outer."""

    ply: NDArray[np.int64]
    surface: NDArray[np.int64]


def faces_of(
    laminate: Laminate, places: Mapping[int, Place], check: Check | None = None, *, every: bool = False
) -> Faces:
    """Surfaces that a check looks at: of a convex criterion the outermost of each material, angle and kind of block."""
    # The safe strains of a convex criterion are a convex set and strain is linear through the thickness, so a surface
    # between two others of its kind is never worse than both. Laminae are told apart by identity, which is quick.
    plies = laminate.plies
    laminae = {id(ply.lamina): ply.lamina for ply in plies}
    judged = {key: check is None or applies(check, lamina) for key, lamina in laminae.items()}
    kinds = {
        i: (id(ply.lamina), ply.angle_deg, places.get(i, ()))
        for i, ply in enumerate(plies)
        if judged[id(ply.lamina)]
    }
    first = list({kinds[i]: i for i in reversed(kinds)}.values())
    last = list({kind: i for i, kind in kinds.items()}.values())
    whole = every or (check is not None and not check.convex)
    if whole or set(first) & set(last):
        ply = np.unique(np.array([*kinds] if whole else [*first, *last], dtype=np.int64))
        return Faces(ply, np.broadcast_to([0, 1], (len(ply), 2)))
    order = np.argsort([*first, *last])
    ply, surface = np.array([*first, *last], dtype=np.int64), np.repeat([0, 1], len(first))
    return Faces(ply[order], surface[order, None])


def _ply_ratios(
    states: "PlyStates", requirement: Requirement, every_ply: bool, factors: Mapping[Level, Array]
) -> tuple[list[list[WallRatios]], Array]:
    """Ratios of the plies of each pair, and the lowest reserve of the checks that decide, (pair, case)."""
    group = states.group
    laminate = group.laminate
    out: list[list[WallRatios]] = [[] for _ in group.pairs]
    blocked = ply_places(*group.first)
    numbers = [group.numbers(pair) for pair in range(len(group.pairs))]
    lowest = np.full((len(group.pairs), group.running.shape[-1]), np.inf)
    seen: dict[str, Faces] = {}
    found: dict[tuple[str, int], Array] = {}
    for index, service in enumerate(group.states):
        for check in requirement.ply_checks:
            if not meets(check, service.name):
                continue
            places = blocked if check.in_situ else {}
            if check.mode not in seen:
                seen[check.mode] = faces_of(laminate, places, check, every=every_ply)
            faces = seen[check.mode]
            if not faces.ply.size:
                continue
            if check.caps is not None:
                check.caps.outside_range(laminate)
            # Caps are compared with the load alone, which is the same in every state of one stiffness.
            of_load = check.caps is not None and group.running.shape[1] == 1
            key = check.mode, 0 if of_load else index
            if key not in found:
                found[key] = face_ratios(states, check, service, index, faces, places)
            R = found[key]
            place = R.argmin(axis=-2)
            R = np.take_along_axis(R, place[..., None, :], axis=-2)[..., 0, :]
            side = R.argmin(axis=1)[:, None]
            R, place = (np.take_along_axis(one, side, axis=1)[:, 0] for one in (R, place))
            surface = np.take_along_axis(faces.surface[:, :, None, None], side, axis=1)[:, 0]
            if check.decides:
                np.minimum(lowest, reserve(R.min(axis=0), factors[check.level]), out=lowest)
            first = R.argmin(axis=0)[None]
            if not every_ply:
                R, place, surface = (np.take_along_axis(one, first, axis=0) for one in (R, place, surface))
            at = np.asarray(PLACES)[place]
            for pair, (_, wall) in enumerate(group.pairs):
                ratio, where, side = R[:, pair].T, at[:, pair].T, surface[:, pair].T
                plies = numbers[pair][faces.ply if every_ply else faces.ply[first[:, pair].T]]
                out[pair].append(WallRatios(wall, check.mode, index, plies, ratio, where, side))
    return out, lowest


class PlyStates:
    """Strains and stresses of the plies of a group, found once for the checks that ask for the same."""

    def __init__(self, group: WallGroup, *, thick: bool = True) -> None:
        self.group = group
        self._grows: dict[tuple[bytes, bool], Array] = {}
        self._fixed: dict[int, Response] = {}
        self._curved = group.curved() if thick else None
        self.flat = PlyStates(group, thick=False) if self._curved is not None else None
        """The states of flat plies beside those of thick corners."""

    def grows(self, faces: Faces, *, stress: bool, state: int) -> Array:
        """What grows with load, (ply, surface, 3, pair, place, case), at limit load."""
        key = faces.ply.tobytes() + faces.surface.tobytes(), stress
        if key not in self._grows:
            laminate, running = self.group.laminate, self.group.running
            recovery = laminate.stress_recovery if stress else laminate.strain_recovery
            per_load = recovery[faces.ply[:, None], faces.surface] @ laminate.compliance
            values = (per_load.reshape(-1, 6) @ running.reshape(6, -1)).reshape(
                *per_load.shape[:3], *running.shape[1:]
            )
            if self._curved is not None:
                self._curved.mix(values, running, faces, stress=stress)
            self._grows[key] = values
        values = self._grows[key]
        return values[:, :, :, state if values.shape[3] > 1 else 0]

    def fixed(self, faces: Faces, *, stress: bool, state: int) -> Array:
        """What does not grow with load, (ply, surface, 3, pair, place)."""
        if state not in self._fixed:
            loads = np.moveaxis(self.group.fixed[:, state], 0, -1)
            none = np.zeros(loads.shape)
            self._fixed[state] = wall_response(self.group.laminate, self.group.states[state], none, loads)
        response = self._fixed[state]
        values = response.residual_stress if stress else response.residual_strain
        values = np.moveaxis(values[:, :, faces.ply[:, None], faces.surface], (2, 3, 4), range(3))
        if self._curved is not None:
            service, plies = self.group.states[state], self.group.laminate.plies
            change = service.temperature_change(*(ply.lamina for ply in plies)), service.free_moisture
            values = np.array(values)[:, :, :, None, ..., None]
            fixed = self.group.fixed[:, state, None, ..., None]
            self._curved.mix(values, fixed, faces, stress=stress, change=change)
            values = values[:, :, :, 0, ..., 0]
        return values


def face_ratios(
    states: PlyStates,
    check: Check,
    service: Service,
    state: int,
    faces: Faces,
    places: Mapping[int, Place],
) -> Array:
    """Ratios of one check in one state, (ply, surface, pair, place, case).

    In and beside a thick corner the lower of that of its curved plies and of flat ones, which the search of the sizing
    knows: what either theory lets fail counts as failed.
    """
    if states.flat is not None:
        curved = _own_ratios(states, check, service, state, faces, places)
        return np.minimum(curved, _own_ratios(states.flat, check, service, state, faces, places))
    return _own_ratios(states, check, service, state, faces, places)


def _own_ratios(
    states: PlyStates,
    check: Check,
    service: Service,
    state: int,
    faces: Faces,
    places: Mapping[int, Place],
) -> Array:
    """`face_ratios` of the states as they are."""
    criterion, stress = check.criterion, check.criterion.takes == "stress"
    grows = np.moveaxis(states.grows(faces, stress=stress, state=state), 2, -1)
    fixed = None if check.caps else states.fixed(faces, stress=stress, state=state)
    out = np.empty(grows.shape[:-1])
    plies = states.group.laminate.plies
    kinds = [(id(plies[i].lamina), places.get(i, ())) for i in faces.ply.tolist()]
    for kind in dict.fromkeys(kinds):
        own = np.flatnonzero([other == kind for other in kinds])
        lamina = plies[faces.ply[own[0]]].lamina
        allowables = judged_allowables(check, service, lamina, kind[1])[0]
        rest = None if fixed is None else np.moveaxis(fixed[own], 2, -1)[..., None, :]
        out[own] = criterion.for_kind(lamina.kind)._ratio(grows[own], allowables, rest)
    return out


def _wall_ratios(
    group: WallGroup, pair: int, lowest: Array, solved: Known, factors: Mapping[Level, Array]
) -> Iterator[WallRatios]:
    """Buckling of one pair in each state; `lowest` is the lowest reserve of its plies, (case,)."""
    strut, station, wall = group.strut, float(group.station[pair]), group.pairs[pair][1]
    line, contour = strut.mold_line, strut.section(station).contour
    running = np.moveaxis(group.running[:, :, pair], 0, -1)
    fixed = np.moveaxis(group.fixed[:, :, pair, :, None], 0, -1)
    name, laminate = line.wall_names[wall], group.laminate
    if name in line.flat_walls:
        mode, width = BUCKLING, float(line.flat_widths(station)[line.flat_walls.index(name)])
        R = bent_wall_ratio(laminate, width, running, fixed, PLACES)
    else:
        mode, width = CURVED_BUCKLING, float(contour.length[wall])
        R = flat_wall_ratio(laminate, width, running, fixed)
        # The flat-wall value of a curved wall is a lower bound. Where it is the lowest reserve of the wall in a case,
        # the curved-wall solution replaces it where that is larger.
        if (reserve(R.min(axis=(0, 1)), factors["ultimate"]) < lowest).any():
            design = curved_loads(laminate, width, width / abs(float(contour.turn[wall])), solved)
            if design is not None:
                R = np.maximum(R, curved_wall_ratio(design, running, fixed))
    for index, ratio in enumerate(R):
        yield _as_one(wall, mode, index, ratio.min(axis=0), np.asarray(PLACES)[ratio.argmin(axis=0)])


def reserve(ratio: Array, factor: Array) -> Array:
    """Reserve factors R / factor (...) [-]; inf where the factor is 0, as for a check that a case does not meet."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(factor > 0.0, ratio / factor, np.inf)


def _as_one(wall: int, mode: str, service: int, ratio: Array, place: Array) -> WallRatios:
    """Ratios (case,) of a wall as one."""
    surface = np.full((len(ratio), 1), -1)
    return WallRatios(wall, mode, service, np.array([0]), ratio[:, None], place[:, None], surface)
