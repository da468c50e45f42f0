"""Whether lay-ups hold load cases: many lay-ups, stations and cases in one call, on plain arrays.

The theory is that of `beam.margins`. Sections are solved in one batch. Strains and stresses of the surfaces that
can govern, of each lamina and angle, are one matrix product with the section forces.

A check is not made in every case where that is not needed. Where its safe states are a convex set: if the eight
corners of the box around the states of all cases are safe, so is every case. A check without a convex set is made on
both surfaces of every ply, in every case.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.section.expansion import residual_wall_loads
from beam.section.outline import rounded_box
from beam.section.states import States, recovery_of, solve
from beam.sizing.candidate_laminates import Codes, Faces, Stacks, stacks_of
from beam.sizing.lattice import Lattice, wall_thickness
from beam.strength.check import Check, Level, applies, meets
from beam.strength.ply_places import judged_allowables
from beam.strength.region_factors import ALL_PLIES, factors_at
from beam.strength.requirement import BUCKLING, Requirement, Service, kind_of
from beam.strength.section_forces import PLACES, added_to_tube, fixed_by_corners, in_state
from beam.strength.station_ratios import LEVELS, reserve
from beam.strength.wall_buckling import linear_across
from beam.strut import PointLoads, Strut
from laminate import stability
from laminate.failure import Criterion
from materials import Allowables, Lamina
from materials.checks import Array

ROWS, MANY_ROWS = 16, 1024
"""Sections judged at a time in all cases and in one case: their states stay in the cache of the processor."""

CORNERS = tuple(np.ndindex(2, 2, 2))


Held = Mapping[float, Array]
"""Wall loads (case, wall, place, 6) that are held, by station [m]."""


Restraint = Mapping[float, tuple[Array, Array]]
"""Section forces (state, 6) and wall loads (state, wall, place, 6) that do not grow with load, by station [m]."""


class Piece(NamedTuple):
    """One wall in one state and mode: indices in `Requirement.states` and in the walls."""

    state: int
    wall: int
    mode: str


class Worst(NamedTuple):
    """Lowest reserve of some rows in one piece, with the case and the place where it is, each (row,)."""

    piece: Piece
    reserve: Array
    case: Codes
    place: Codes


@dataclass(frozen=True, kw_only=True, eq=False)
class Feasibility:
    """Judge of the candidates of a lattice in every state of service."""

    lattice: Lattice
    requirement: Requirement
    held: dict[int, Held] = field(default_factory=dict)
    """Wall loads that are held, by number of the stiffness and station; empty: sections of a straight tube alone."""
    regions: dict[float, Array] = field(default_factory=dict)
    """Further factors on the load by station [m], each (kind,), of the struts held."""

    def hold(self, struts: Sequence[tuple[Strut, PointLoads, NDArray[np.intp]]], stations: Array) -> None:
        """Hold what taper, bands, ribs and ends add in a strut, at stations (station,) [m], behind what is held.

        The strut is given on each set of supports, with the loads of the cases there and their numbers. What thick
        corners add to the loads of cure and moisture is held as in the last strut, and of the factors of regions the
        largest of all struts.
        """
        last = struts[-1][0]
        for s, own in zip(
            stations.tolist(), factors_at(last, self.requirement.region_factors, stations), strict=True
        ):
            self.regions[s] = np.maximum(own, self.regions.get(s, 1.0))
        for number, (indices, judge) in enumerate(self._parts):
            state = self.requirement.states[indices[0]]
            each = [added_to_tube(in_state(strut, state), loads, stations) for strut, loads, _ in struts]
            order = np.argsort(np.concatenate([rows for _, _, rows in struts]))
            added = np.concatenate(each, axis=1)[:, order]
            fixed = np.moveaxis(
                fixed_by_corners(in_state(struts[-1][0], state), stations, judge.states), 1, 0
            )
            judge.residual.update(zip(stations.tolist(), fixed, strict=True))
            before = self.held.get(number, {})
            self.held[number] = {
                s: np.concatenate([before[s], one]) if s in before else one
                for s, one in zip(stations.tolist(), added, strict=True)
            }

    def restrain(self, forces: Sequence[Array], added: Sequence[Array], stations: Array) -> None:
        """Hold what heat and moisture put on a strut on redundant supports, at stations (station,) [m].

        For each stiffness: section forces (state, station, 6) and the wall loads (state, station, wall, place, 6) that
        they make beside those of a long straight tube.
        """
        for (_, judge), F, more in zip(self._parts, forces, added, strict=True):
            judge.restraint.clear()
            judge.restraint.update(
                {s: (F[:, i], more[:, i]) for i, s in enumerate(stations.tolist())} if F.any() else {}
            )

    def region_factor(self, station: float, mode: str) -> float:
        """Factor of the regions on the load of a mode at a station [m], the largest over the held books."""
        kind = kind_of(self.requirement, mode)
        return 1.0 if kind is None or station not in self.regions else float(self.regions[station][kind])

    @cached_property
    def _parts(self) -> list[tuple[tuple[int, ...], "_Judge"]]:
        """Judges of the states of one stiffness each, with the indices of their states."""
        found: dict[tuple[Lamina, ...], list[int]] = {}
        for index, state in enumerate(self.requirement.states):
            own = tuple(state.lamina(kind.lamina) for kind in self.lattice.kinds)
            found.setdefault(own, []).append(index)
        out = []
        for own, indices in found.items():
            kinds = [replace(kind, lamina=one) for kind, one in zip(self.lattice.kinds, own, strict=True)]
            judge = _Judge(
                lattice=replace(self.lattice, kinds=kinds, rules=()),
                requirement=self.requirement,
                states=tuple(self.requirement.states[i] for i in indices),
                candidates=self.lattice.candidates,
                regions=self.regions,
            )
            out.append((tuple(indices), judge))
        return out

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """Every piece that is judged."""
        return tuple(p._replace(state=index[p.state]) for index, judge in self._parts for p in judge.pieces)

    def reserve(
        self,
        candidates: NDArray[np.int64],
        station: Array,
        forces: Array,
        only: Collection[Piece] | None = None,
        places: Sequence[float] = PLACES,
        factors: Mapping[Level, Array] | None = None,
    ) -> Array:
        """Lowest reserve factor over plies, surfaces and checks, shape (layup, case, state, wall, place).

        Lay-up i is candidate ``candidates[i]`` at ``station[i]`` under the loads ``forces[i]``, shape (case, 6).
        States are those of the requirement and, last, buckling of flat walls in the worst of them; `MarginRecheck`
        judges the curved walls. With `only` the other pieces stay inf. `factors` on load are (case,) for each level;
        without them those of limit loads.
        """
        if factors is None:
            usual = {"limit": self.requirement.limit_factor, "ultimate": self.requirement.ultimate_factor}
            factors = {level: np.full(forces.shape[1], usual[level]) for level in LEVELS}
        count = len(self.requirement.states)
        out = np.full(
            (*forces.shape[:2], count + 1, len(self.lattice.mold_line.wall_names), len(places)), np.inf
        )
        for number, (indices, judge) in enumerate(self._parts):
            sections = judge.sections(candidates, station, places, self.held.get(number))
            for own in judge.pieces:
                piece = own._replace(state=indices[own.state])
                if only is None or piece in only:
                    found = judge.reserve(sections, own, forces, factors)
                    at = out[:, :, count if piece.mode == BUCKLING else piece.state, piece.wall]
                    np.minimum(at, np.swapaxes(found, 1, 2), out=at)
        return out

    def in_piece(
        self,
        piece: Piece,
        candidates: NDArray[np.int64],
        station: Array,
        forces: Array,
        places: Sequence[float],
        factors: Mapping[Level, Array],
        cases: Codes,
    ) -> Array:
        """Lowest reserve of lay-ups in one piece, under one of the cases each: forces (layup, 6), factors (layup,)."""
        ((number, indices, judge),) = (
            (i, *part) for i, part in enumerate(self._parts) if piece.state in part[0]
        )
        own = piece._replace(state=indices.index(piece.state))
        found = np.empty(len(candidates))
        each = {level: one[:, None, None] for level, one in factors.items()}
        for first in range(0, len(candidates), MANY_ROWS):
            cut = slice(first, first + MANY_ROWS)
            held = self.held.get(number)
            sections = judge.sections(candidates[cut], station[cut], places, held, cases[cut])
            some = {level: one[cut] for level, one in each.items()}
            found[cut] = judge.reserve(sections, own, forces[cut, None], some).min(axis=(1, 2))
        return found

    def worst(
        self,
        candidates: NDArray[np.int64],
        station: Array,
        forces: Array,
        factors: Mapping[Level, Array],
        *,
        screen: bool = True,
    ) -> list[Worst]:
        """Every piece with the lowest reserve of each lay-up in it; with `screen` inf where it is surely at least 1."""
        out: list[Worst] = []
        for number, (indices, judge) in enumerate(self._parts):
            held = self.held.get(number)
            found = judge.worst(candidates, station, forces, factors, held, screen=screen)
            out += [one._replace(piece=one.piece._replace(state=indices[one.piece.state])) for one in found]
        return out


class _Sections:
    """Solved sections of rows: candidate and station (row,), and what their walls bear at some places."""

    def __init__(
        self,
        candidates: NDArray[np.int64],
        station: Array,
        states: States,
        free: Array,
        places: Sequence[float],
        held: Held | None = None,
        case: Codes | None = None,
        residual: Held | None = None,
        restraint: Restraint | None = None,
    ) -> None:
        self._restraint = restraint
        self.candidates, self.station, self.places = candidates, station, tuple(places)
        self._states, self._free, self._held, self._case = states, free, held, case
        self._residual = residual
        self._fixed: dict[int, Array] = {}

    def running(self, wall: int, forces: Array) -> Array:
        """Wall loads (row, place, 6, case) of one wall under forces (row, case, 6)."""
        recovery = recovery_of(self._states, np.asarray(self.places), slice(wall, wall + 1))[:, 0]
        grows = recovery @ np.swapaxes(forces, -1, -2)[:, None]
        if self._held is None:
            return np.asarray(grows)
        where, row = np.unique(self.station, return_inverse=True)
        at = [PLACES.index(one) for one in self.places]
        held = np.stack([self._held[s][:, wall][:, at] for s in where.tolist()])  # (station, case, place, 6)
        each = held[row] if self._case is None else held[row, self._case][:, None]
        return np.asarray(grows + np.moveaxis(each, 1, -1))

    def fixed(self, state: int) -> Array:
        """Wall loads (row, wall, place, 6) of one state that do not grow with load."""
        if state not in self._fixed:
            own = residual_wall_loads(self._states, self._free[state], self.places)
            where, row = np.unique(self.station, return_inverse=True)
            at = [PLACES.index(one) for one in self.places]
            if self._residual:
                own = own + np.stack([self._residual[s][state][:, at] for s in where.tolist()])[row]
            if self._restraint:
                F, more = (
                    np.stack([self._restraint[s][i][state] for s in where.tolist()])[row] for i in (0, 1)
                )
                recovery = recovery_of(self._states, np.asarray(self.places), slice(None))
                own = own + (recovery @ F[:, None, None, :, None])[..., 0] + more[:, :, at]
            self._fixed[state] = own
        return self._fixed[state]

    def take(self, rows: NDArray[np.int64]) -> "_Sections":
        """Some of the rows."""
        names = [one.name for one in fields(States)[1:]]
        contour = replace(
            self._states.contour,
            **{
                name: getattr(self._states.contour, name)[rows]
                for name in ("start", "direction", "length", "turn")
            },
        )
        states = States(contour=contour, **{name: getattr(self._states, name)[rows] for name in names})
        case = None if self._case is None else self._case[rows]
        out = _Sections(
            self.candidates[rows],
            self.station[rows],
            states,
            self._free[:, rows],
            self.places,
            self._held,
            case,
            self._residual,
            self._restraint,
        )
        out._fixed = {state: one[rows] for state, one in self._fixed.items()}
        return out


@dataclass(frozen=True, kw_only=True, eq=False)
class _Judge:
    """Judge of the candidates of a lattice in states of one stiffness."""

    lattice: Lattice
    requirement: Requirement
    states: tuple[Service, ...]
    candidates: NDArray[np.int64]
    regions: dict[float, Array] = field(default_factory=dict)
    """Further factors on the load by station [m], each (kind,)."""
    residual: dict[float, Array] = field(default_factory=dict)
    """Wall loads (state, wall, place, 6) that thick corners add without load, by station [m]."""
    restraint: dict[float, tuple[Array, Array]] = field(default_factory=dict)
    """What redundant supports add without load, by station [m]: section forces (state, 6) and the wall loads that
    these make beside those of a long straight tube, (state, wall, place, 6)."""

    @cached_property
    def stacks(self) -> tuple[Stacks, ...]:
        """Laminates of all candidates."""
        return stacks_of(self.lattice, self.candidates, self.states)

    @cached_property
    def of_wall(self) -> dict[int, Stacks]:
        """Laminates of each wall."""
        return {wall: stack for stack in self.stacks for wall in stack.walls}

    @cached_property
    def checks(self) -> dict[str, Check]:
        """The checks of plies that decide, by mode."""
        return {one.mode: one for one in self.requirement.ply_checks if one.decides}

    @cached_property
    def _allowed(self) -> dict[tuple[str, int, int, int], Allowables]:
        """Allowables by mode, state, surfaces and place, as they are asked for."""
        return {}

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """Every piece, its state an index in `states`."""
        names, flat = self.lattice.mold_line.wall_names, self.lattice.mold_line.flat_walls
        out = []
        for state, wall in np.ndindex(len(self.states), len(names)):
            out += [
                Piece(state, wall, one.mode)
                for one in self.checks.values()
                if meets(one, self.states[state].name)
            ]
            out += [Piece(state, wall, BUCKLING)] * (names[wall] in flat)
        return tuple(out)

    def sections(
        self,
        candidates: NDArray[np.int64],
        station: Array,
        places: Sequence[float],
        held: Held | None,
        case: Codes | None = None,
    ) -> _Sections:
        """Sections of candidates at their stations, (row,); `case` where each row is under one case alone."""
        mold_line = self.lattice.mold_line
        profile = mold_line.at(station)
        thickness = wall_thickness(self.lattice, self.candidates[candidates])
        contour = rounded_box(profile.width, profile.height, profile.corner_radius, thickness)
        size = len(candidates), len(mold_line.wall_names)
        abd, free = np.empty((*size, 6, 6)), np.empty((len(self.states), *size, 6))
        for stack in self.stacks:
            rows = stack.of_candidate[candidates]
            abd[:, stack.walls] = stack.abd[rows, None]
            free[:, :, stack.walls] = stack.free_deformation[:, rows, None]
        return _Sections(
            candidates, station, solve(contour, abd), free, places, held, case, self.residual, self.restraint
        )

    def reserve(
        self, sections: _Sections, piece: Piece, forces: Array, factors: Mapping[Level, Array]
    ) -> Array:
        """Lowest reserve of every row in one piece, (row, place, case), under forces (row, case, 6)."""
        running = sections.running(piece.wall, forces)
        if piece.mode == BUCKLING:
            return self._buckling(sections, piece, running, factors)
        check = self.checks[piece.mode]
        stack = self.of_wall[piece.wall]
        rows = stack.of_candidate[sections.candidates]
        lowest = np.full((*running.shape[:2], running.shape[-1]), np.inf)
        for faces, criterion in self._faces(stack, check):
            per_load = stack.recovery(faces, rows, stress=check.criterion.takes == "stress")[1]
            grows = per_load.reshape(len(rows), 1, -1, 6) @ running
            grows = grows.reshape(*running.shape[:2], *per_load.shape[1:3], 3, -1)
            rest = self._rest(stack, faces, check, sections, piece.state)
            for level, row, allowables in self._allowables(check, piece.state, faces, rows):
                values = np.moveaxis(grows[row, :, level], -2, -1)
                held = None if rest is None else rest[row, stack.walls.index(piece.wall), :, level, :, None]
                R = criterion._ratio(values, allowables, held).min(axis=2)
                lowest[row] = np.minimum(lowest[row], R)
        more = self._region(sections.station)[:, kind_of(self.requirement, check.mode)]
        return reserve(lowest, factors[check.level]) / more[:, None, None]

    def _region(self, station: Array) -> Array:
        """Further factors on the load of rows at stations (row,), (row, kind)."""
        alone = np.ones(ALL_PLIES + 1)
        return np.array([self.regions.get(s, alone) for s in station.tolist()])

    def _faces(self, stack: Stacks, check: Check) -> Iterator[tuple[Faces, Criterion]]:
        """Surfaces that a check looks at, each with the criterion of its kind of ply."""
        for faces in stack.faces(convex=check.convex, in_situ=check.in_situ):
            if applies(check, faces.ply.lamina):
                yield faces, check.criterion.for_kind(faces.ply.lamina.kind)

    def _rest(
        self, stack: Stacks, faces: Faces, check: Check, sections: _Sections, state: int
    ) -> Array | None:
        """Ply values that do not grow with load on the walls of a stack, (row, wall, place, level, side, 3)."""
        if check.caps is not None:
            return None
        rows, stress = stack.of_candidate[sections.candidates], check.criterion.takes == "stress"
        per_deformation, per_load = stack.recovery(faces, rows, stress=stress)
        fixed = sections.fixed(state)[:, stack.walls]
        held = fixed @ per_load.reshape(len(rows), 1, -1, 6).swapaxes(-1, -2)
        own = (per_deformation @ stack.free_deformation[state, rows][:, None, None, :, None])[..., 0]
        held = held.reshape(*fixed.shape[:3], *own.shape[1:]) + own[:, None, None]
        return np.asarray(held - stack.free(faces, state, stress=stress))

    def _allowables(
        self, check: Check, state: int, faces: Faces, rows: Codes
    ) -> Iterator[tuple[int, Codes, Allowables]]:
        """Level, the rows that have it, and the allowables there.

        In situ a ply that another direction or a fabric covers has at least the thick form of an embedded ply, which is
        taken whatever its block: a bound on the safe side of the margin table. At a surface it has that of the coupon,
        and so beside a ply that may end, since at a ply drop the weaker side counts.
        """
        place = faces.place[rows]
        for level in range(place.shape[1]):
            for code in np.unique(place[:, level]).tolist():
                if code >= 0:
                    key = check.mode, state, id(faces), code
                    if key not in self._allowed:
                        service, at = self.states[state], faces.places[code]
                        self._allowed[key] = judged_allowables(
                            check, service, faces.ply.lamina, at, thin=False
                        )[0]
                    yield level, np.flatnonzero(place[:, level] == code), self._allowed[key]

    def _buckling(
        self, sections: _Sections, piece: Piece, running: Array, factors: Mapping[Level, Array]
    ) -> Array:
        """Reserve of a flat wall against buckling, (row, place, case)."""
        stack = self.of_wall[piece.wall]
        mold_line = self.lattice.mold_line
        flat = mold_line.flat_walls.index(mold_line.wall_names[piece.wall])
        width = mold_line.flat_widths(sections.station)[:, flat, None, None]
        held = sections.fixed(piece.state)[:, piece.wall, :, None]
        mean, bending = linear_across(running[:, :, 0], sections.places)
        R = stability.buckling_ratio(
            stack.abd[stack.of_candidate[sections.candidates], None, None, 3:, 3:],
            width,
            mean,
            running[:, :, 2],
            Nx_bending=bending,
            residual_Nx=held[..., 0].min(axis=-2, keepdims=True),
            residual_Nxy=held[..., 2],
            bound_anisotropy=True,
        )
        return reserve(R, factors["ultimate"])

    def worst(
        self,
        candidates: NDArray[np.int64],
        station: Array,
        forces: Array,
        factors: Mapping[Level, Array],
        held: Held | None,
        *,
        screen: bool = True,
    ) -> list[Worst]:
        """`Feasibility.worst` in the states of this stiffness."""
        shape = len(self.pieces), len(candidates)
        lowest, case, place = np.full(shape, np.inf), *np.zeros((2, *shape), dtype=np.int64)
        for first in range(0, len(candidates), ROWS):
            cut = slice(first, first + ROWS)
            sections = self.sections(candidates[cut], station[cut], PLACES, held)
            unsure = self._unsure(sections, forces[cut], factors) if screen else {}
            for number, piece in enumerate(self.pieces):
                rows = unsure.get(piece, np.arange(len(candidates[cut])))
                if rows.size:
                    R = self.reserve(sections.take(rows), piece, forces[cut][rows], factors)
                    R = R.reshape(len(rows), -1)
                    at, where = R.argmin(axis=1), first + rows
                    lowest[number, where] = R[range(len(rows)), at]
                    place[number, where], case[number, where] = np.divmod(at, forces.shape[1])
        return [Worst(*one) for one in zip(self.pieces, lowest, case, place, strict=True)]

    def _unsure(
        self, sections: _Sections, forces: Array, factors: Mapping[Level, Array]
    ) -> dict[Piece, NDArray[np.int64]]:
        """Rows of each piece of which a corner of the box around the states of all cases is not safe."""
        every = np.arange(len(forces))
        unsure = dict.fromkeys(self.pieces, every[:0])
        for stack in self.stacks:
            rows = stack.of_candidate[sections.candidates]
            most = self._region(sections.station).max(axis=1)[:, None, None, None]
            running = {
                level: np.stack([most * factor * sections.running(w, forces) for w in stack.walls], axis=1)
                for level, factor in factors.items()
            }
            for piece in self.pieces:
                if piece.mode == BUCKLING and piece.wall in stack.walls:
                    severe = _most_severe(running["ultimate"][:, stack.walls.index(piece.wall)], PLACES)
                    R = self._buckling(sections, piece, severe, {"ultimate": np.ones(2)})
                    unsure[piece] = every[~(R > 1.0).all(axis=(1, 2))]
            known: dict[tuple[int, bool, Level], Array] = {}
            for check in self.checks.values():
                if not check.convex:
                    own = [one for one in self.pieces if one.mode == check.mode and one.wall in stack.walls]
                    unsure.update(dict.fromkeys(own, every))
                    continue
                stress = check.criterion.takes == "stress"
                failed = np.zeros((len(self.states), len(stack.walls), len(rows)), dtype=bool)
                for faces, criterion in self._faces(stack, check):
                    key = id(faces), stress, check.level
                    if key not in known:
                        per_load = stack.recovery(faces, rows, stress=stress)[1]
                        total = per_load.reshape(len(rows), 1, 1, -1, 6) @ running[check.level]
                        ends = np.stack([total.min(axis=-1, initial=0.0), total.max(axis=-1, initial=0.0)])
                        known[key] = ends.reshape(*ends.shape[:4], *per_load.shape[1:4])
                    for state in range(len(self.states)):
                        if meets(check, self.states[state].name):
                            rest = self._rest(stack, faces, check, sections, state)
                            ends = known[key] if rest is None else known[key] + rest
                            corners = np.stack([ends[at, ..., range(3)] for at in CORNERS])
                            for level, row, allowables in self._allowables(check, state, faces, rows):
                                some = np.moveaxis(corners[:, :, row][..., level, :], 1, -1)
                                safe = criterion._ratio(some, allowables) > 1.0
                                failed[state][:, row] |= ~safe.all(axis=(0, 3, 4)).T
                for state, wall in np.ndindex(failed.shape[:2]):
                    if (piece := Piece(state, stack.walls[wall], check.mode)) in unsure:
                        unsure[piece] = every[failed[state, wall]]
        return unsure


def _most_severe(running: Array, places: Sequence[float]) -> Array:
    """Two load cases (row, place, 6, 2) that buckle a flat wall before any case of running loads (..., case) does."""
    mean, bending = linear_across(running[:, :, 0], places)
    most = np.abs(bending).max(axis=-1) * (2.0 * np.asarray(places) - 1.0)
    shear = np.abs(running[:, :, 2]).max(axis=-1)
    out = np.zeros((*running.shape[:3], 2))
    out[:, :, 0] = (mean.min(axis=-1) + most)[..., None]
    out[:, :, 2] = np.stack([shear, -shear], axis=-1)
    return out
