"""Reserves of one ply book with drawn materials, thicknesses, angles, strengths and loads: many samples in one batch.

The theory is that of `beam.margins`. On determinate supports section forces do not depend on the samples, so a sample
is one more row of sections that are solved together. What taper, bands, ribs and ends add to the wall loads is held as
on the nominal book, times the load of the sample, and so are the factors of regions, which change only where a ply end
crosses the share of the wall from which it counts: the only approximations. What the batch does not judge,
`beam.margins` does strut by strut.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.section.expansion import residual_wall_loads
from beam.section.outline import rounded_box
from beam.section.states import solve
from beam.sizing.lattice import is_straight
from beam.sizing.problem import STRENGTHS, Problem, with_strengths
from beam.strength.check import Check, applies, meets
from beam.strength.global_modes import WHOLE_STRUT
from beam.strength.margins import margins
from beam.strength.ply_places import Place, judged_allowables, ply_places
from beam.strength.region_factors import factors_at
from beam.strength.requirement import BUCKLING, Service, case_factors, kind_of, level_of
from beam.strength.section_forces import PLACES, added_to_tube, fixed_by_corners, in_service, section_forces
from beam.strength.station_ratios import reserve
from beam.strength.wall_buckling import linear_across
from beam.strut import PlyBook, Strut
from beam.strut.axis import snap
from laminate import Laminate, plate, stability
from laminate.failure.surface import first_crossing, plain
from laminate.lamina_stiffness import q_reduced, strain_rotation
from materials import Allowables, Lamina
from materials.checks import Array

ELASTIC = ("E1", "E2", "G12")
TRIED = 8
"""Rows of each mode in which the batch is tried against the margin table."""
AGREE = 1e-6
"""Relative difference of reserves up to which the batch counts as equal to the margin table, of a long straight tube,
where nothing is held [-]."""
HELD = 2e-3
"""The same where what taper and bands add is held: below half of the 0.005 of margin that the surrogate may err [-]."""


class Row(NamedTuple):
    """Row of the margin table, over all its plies: index of the case, station [m], wall and mode."""

    case: int
    station: float
    wall: str
    mode: str


class Drawn(NamedTuple):
    """Values (sample,) by quantity and lamina, "" for loads and caps: factors, and angles that are added [deg]."""

    size: int
    values: Mapping[tuple[str, str], Array]

    def of(self, quantity: str, lamina: str = "") -> Array:
        """Values (sample,) of a quantity: those that leave it as it is where it was not drawn."""
        usual = np.full(self.size, 0.0 if quantity == "angle" else 1.0)
        return self.values.get((quantity, lamina), usual)

    def lamina(self, one: Lamina, sample: int) -> Lamina:
        """A lamina as drawn."""
        k = {name: float(self.of(name, one.name)[sample]) for name in (*ELASTIC, "thickness", *STRENGTHS)}
        elastic: dict[str, Any] = {name: getattr(one, name) * k[name] for name in (*ELASTIC, "thickness")}
        return replace(with_strengths(one, {name: k[name] for name in STRENGTHS}), **elastic)

    def take(self, samples: NDArray[np.int64]) -> "Drawn":
        """Some of the samples."""
        return Drawn(len(samples), {key: one[samples] for key, one in self.values.items()})


class Judged(NamedTuple):
    """Exact reserves of samples: the least of each row (sample, row), and of the pieces asked for (sample, piece).

    A piece is smooth in the variables: one surface of a criterion on one face of one ply, or a flat wall at one place.
    `twist` (sample, piece) is the square of the share that the anisotropy of a flat wall costs it.
    """

    least: Array
    reserve: Array
    twist: Array
    row: NDArray[np.int64]


class _Points(NamedTuple):
    """Ply values of one check, state, lamina and place: (sample, point, 3), and the row and the face of each point."""

    grows: Array
    rest: Array
    row: NDArray[np.int64]
    face: NDArray[np.int64]


Key = tuple[Check, Service, Lamina, Place]


class SampledStruts:
    """Judge of one ply book in some rows of its margin table; it lives for one call of `scatter`."""

    def __init__(self, problem: Problem, strut: Strut) -> None:
        self.problem, self.strut = problem, strut
        self._held: dict[tuple[tuple[int, ...], float], Array] = {}
        self.factors = case_factors(problem.requirement, problem.loads)
        self.checks = {one.mode: one for one in problem.requirement.ply_checks if one.decides}
        self._in_service = in_service(strut, problem.requirement)

    def judge(
        self, rows: Sequence[Row], drawn: Drawn, *, batch: NDArray[np.bool_], pieces: NDArray[np.int64] | None
    ) -> Judged:
        """Judge the rows that `batch` (row,) names in one batch, others strut by strut; all pieces if None."""
        slow, quick = np.flatnonzero(~batch), np.flatnonzero(batch)
        least = np.full((drawn.size, len(rows)), np.inf)
        parts = []
        for first in range(0, drawn.size, BLOCK):
            part = np.arange(first, min(first + BLOCK, drawn.size))
            one = self._batch([rows[i] for i in quick.tolist()], drawn.take(part))
            of = np.concatenate([quick[one.row], slow])
            least[np.ix_(part, quick)] = one.least
            if slow.size:
                some = [rows[i] for i in slow.tolist()]
                least[np.ix_(part, slow)] = [self.table(some, drawn, i) for i in part.tolist()]
            reserves = np.concatenate([one.reserve, least[np.ix_(part, slow)]], axis=1)
            twist = np.concatenate([one.twist, np.zeros((len(part), len(slow)))], axis=1)
            chosen = slice(None) if pieces is None else pieces
            parts.append((reserves[:, chosen], twist[:, chosen]))
        reserves, twist = (np.concatenate([part[n] for part in parts]) for n in (0, 1))
        return Judged(least, reserves, twist, of[chosen])

    def in_batch(self, rows: Sequence[Row], drawn: Drawn) -> tuple[NDArray[np.bool_], float]:
        """Rows (row,) that the batch judges, and by how much it is off [-].

        They are those of modes in which it agrees with the margin table in some samples.
        """
        if len(self.strut.span.held.rows) > 6:
            return np.zeros(len(rows), dtype=bool), 0.0
        modes = {row.mode for row in rows} & {*self.checks, BUCKLING}
        some = [row for mode in modes for row in [one for one in rows if one.mode == mode][:TRIED]]
        off = dict.fromkeys(modes, 0.0)
        if some:
            quick = self._batch(some, drawn).least
            exact = np.array([self.table(some, drawn, i) for i in range(drawn.size)])
            equal = quick == exact  # both may be infinite
            relative = np.abs(np.divide(quick, exact, out=np.ones_like(quick), where=~equal) - 1.0)
            for row, one in zip(some, relative.max(axis=0).tolist(), strict=True):
                off[row.mode] = max(off[row.mode], one)
        straight = is_straight(self.strut.mold_line) and not self.strut.bands
        limit = AGREE if straight else HELD
        agreed = {mode for mode, one in off.items() if one <= limit}
        return np.array([row.mode in agreed for row in rows]), max((off[one] for one in agreed), default=0.0)

    def drawn_problem(self, drawn: Drawn, sample: int) -> tuple[Problem, Strut]:
        """The problem and the strut of one sample."""
        problem, k = self.problem, float(drawn.of("cap")[sample])
        required = problem.requirement
        services = [
            replace(
                service,
                conditioned=[
                    replace(
                        tests,
                        conditions=[
                            replace(at, lamina=_named(drawn, at.lamina, tests.name, sample))
                            for at in tests.conditions
                        ],
                    )
                    for tests in service.conditioned
                ],
            )
            for service in required.services
        ]
        checks = []
        for check in required.checks:
            if check.caps is not None:
                caps = replace(
                    check.caps, tension=check.caps.tension * k, compression=check.caps.compression * k
                )
                check = replace(check, caps=caps, criterion=caps.criterion)
            checks.append(check)
        plies = [
            replace(
                ply,
                lamina=drawn.lamina(ply.lamina, sample),
                angle_deg=ply.angle_deg + float(drawn.of("angle", ply.lamina.name)[sample]),
            )
            for ply in self.strut.ply_book.plies
        ]
        new = replace(
            problem,
            loads=problem.loads.times(float(drawn.of("load")[sample])),
            requirement=replace(required, services=services, checks=checks),
        )
        return new, replace(self.strut, ply_book=PlyBook(plies))

    def table(self, rows: Sequence[Row], drawn: Drawn, sample: int) -> Array:
        """Reserves (row,) of one sample, by the margin table."""
        problem, strut = self.drawn_problem(drawn, sample)
        cases = sorted({row.case for row in rows})
        at = sorted({row.station for row in rows if row.wall != WHOLE_STRUT}) or [0.0]
        found = margins(
            strut,
            problem.loads.take(cases),
            problem.requirement,
            stations=at,
            cases=cases,
            whole_strut=any(row.wall == WHOLE_STRUT for row in rows),
        )
        return lowest_of(found, rows)

    def _batch(self, rows: Sequence[Row], drawn: Drawn) -> Judged:
        """Reserves of plies and of flat walls, and of all their pieces."""
        points: dict[Key, list[_Points]] = {}
        found: list[tuple[Array, Array, NDArray[np.int64]]] = []
        by_station: dict[float, list[int]] = {}
        for i, row in enumerate(rows):
            by_station.setdefault(row.station, []).append(i)
        at, loads = np.array(list(by_station)), self.problem.loads
        forces = section_forces(self.strut, loads, self.problem.requirement, at).grows[0] if rows else at
        for number, (station, own) in enumerate(by_station.items()):
            for indices, states, strut in self._in_service:
                here, added = {i: rows[i] for i in own}, self._added(indices, strut, station)
                found += self._at_station(
                    strut, states, station, forces[:, number], added, here, drawn, points
                )
        none, laminae = np.zeros((drawn.size, 0)), _Laminae(drawn)
        for key, parts in points.items():
            grows, rest = (
                np.concatenate([getattr(one, n) for one in parts], axis=1) for n in ("grows", "rest")
            )
            at_row = np.concatenate([one.row for one in parts])
            faces = np.concatenate([one.face + (n << 32) for n, one in enumerate(parts)])
            _, first, group = np.unique(faces, return_index=True, return_inverse=True)
            order = np.argsort(group, kind="stable")
            starts = np.searchsorted(group[order], np.arange(len(first)))
            for R in self._ratios(key, grows, rest, laminae):
                lowest = np.minimum.reduceat(R[:, order], starts, axis=1)
                found.append((lowest, np.zeros_like(lowest), at_row[first]))
        ratio, twist = (np.concatenate([none, *(one[n] for one in found)], axis=1) for n in (0, 1))
        of = np.concatenate([np.zeros(0, dtype=np.int64), *(one[2] for one in found)])
        required = self.problem.requirement
        regions = dict(zip(by_station, factors_at(self.strut, required.region_factors, at), strict=True))
        kinds = [kind_of(required, row.mode) for row in rows]
        factor = np.array(
            [
                self.factors[level_of(required, row.mode)][row.case]
                * (1.0 if kind is None else regions[row.station][kind])
                for row, kind in zip(rows, kinds, strict=True)
            ]
        )
        reserves = reserve(ratio, np.broadcast_to(factor[of], ratio.shape)) if rows else ratio
        least = np.full((drawn.size, len(rows)), np.inf)
        for i in range(len(rows)):
            least[:, i] = reserves[:, of == i].min(axis=1, initial=np.inf)
        return Judged(least, reserves, twist, of)

    def _added(self, indices: tuple[int, ...], strut: Strut, station: float) -> Array:
        """What taper, bands, ribs and ends add to the wall loads of the nominal book, (case, wall, place, 6)."""
        if (indices, station) not in self._held:
            self._held[indices, station] = added_to_tube(strut, self.problem.loads, np.array([station]))[0]
        return self._held[indices, station]

    def _at_station(
        self,
        strut: Strut,
        states: Sequence[Service],
        station: float,
        forces: Array,
        added: Array,
        rows: Mapping[int, Row],
        drawn: Drawn,
        points: dict[Key, list[_Points]],
    ) -> list[tuple[Array, Array, NDArray[np.int64]]]:
        """Ratio, twist and row of pieces of flat walls at one station under forces (case, 6); `points` of plies."""
        found = []
        line, names = strut.mold_line, strut.mold_line.wall_names
        laminates = strut.section(station).laminates
        stacks = {laminate: _Stack(laminate, drawn, states) for laminate in laminates}
        walls = [stacks[laminate] for laminate in laminates]
        here = float(snap(station, strut.bays, line.length))
        thickness = np.stack([wall.thickness.sum(axis=-1) for wall in walls], axis=-1)
        solved = solve(
            rounded_box(*line.at(here), thickness, surface="outside", faces=line.names),
            np.stack([wall.abd for wall in walls], axis=1),
        )
        recovery = solved.recovery(at=PLACES)
        corners = fixed_by_corners(strut, np.array([station]), tuple(states))[:, 0]
        fixed = [
            residual_wall_loads(solved, np.stack([wall.free[i] for wall in walls], axis=1), PLACES) + more
            for i, more in enumerate(corners)
        ]
        groups: dict[tuple[str, str], list[int]] = {}
        for i, row in rows.items():
            groups.setdefault((row.wall, row.mode), []).append(i)
        for (name, mode), own in groups.items():
            wall = names.index(name)
            cases = [rows[i].case for i in own]
            running = forces[cases] @ np.swapaxes(recovery[:, wall], -1, -2)
            running = running + np.swapaxes(added[cases, wall], 0, 1)
            running = drawn.of("load")[:, None, None, None] * running
            if mode == BUCKLING:
                width = float(line.flat_widths(station)[line.flat_walls.index(name)])
                twist = stability.anisotropy_bound(walls[wall].bending) ** 2
                at_row = np.broadcast_to(own, (len(PLACES), len(own))).ravel()
                for one in fixed:
                    R = _buckling(walls[wall], width, running, one[:, wall, :, None])
                    R = R.reshape(drawn.size, -1)
                    found.append((R, np.broadcast_to(twist[:, None], R.shape), at_row))
                continue
            check, stack = self.checks[mode], walls[wall]
            places = ply_places(strut.ply_book, name, station, line.length) if check.in_situ else {}
            for i, state in enumerate(states):
                if meets(check, state.name):
                    held = fixed[i][:, wall, :, None], stack.free[i]
                    for key, values in stack.points(check, places, running, held, i):
                        faces = values[0].shape[1] // (len(PLACES) * len(own))
                        grid = np.indices((faces, len(PLACES), len(own)))
                        at_row = np.asarray(own)[grid[2].ravel()]
                        face = (grid[0] * len(own) + grid[2]).ravel()
                        points.setdefault((check, state, *key), []).append(_Points(*values, at_row, face))
        return found

    def _ratios(self, key: Key, grows: Array, rest: Array, laminae: "_Laminae") -> Array:
        """Ratios (surface, sample, point) of one check of one lamina at one kind of place in one state."""
        check, state, lamina, place = key
        criterion, drawn = check.criterion.for_kind(lamina.kind), laminae.drawn
        out: list[list[Array]] = []
        for i in range(drawn.size):
            if check.caps is None:
                here = _thicker(place, lamina, drawn, i)
                allowables, held = _allowables(check, state, laminae[lamina][i], here), rest[i]
            else:
                allowables, held = judged_allowables(check, state, lamina)[0], None
            surfaces = criterion._surfaces(allowables)
            # A surface that counts in a range of its own is not smooth where the range ends.
            alone = not any(getattr(one, "within", True) for one in plain(surfaces))
            sets = [(one,) for one in surfaces] if alone else [surfaces]
            out.append([first_crossing(one, grows[i], held)[0] for one in sets])
        found = np.array(out).swapaxes(0, 1)
        return found if check.caps is None else drawn.of("cap")[:, None] * found


class _Laminae(dict[Lamina, list[Lamina]]):
    """Laminae of all samples by the lamina that they are drawn for, each drawn once."""

    def __init__(self, drawn: Drawn) -> None:
        super().__init__()
        self.drawn = drawn

    def __missing__(self, lamina: Lamina) -> list[Lamina]:
        self[lamina] = [self.drawn.lamina(lamina, i) for i in range(self.drawn.size)]
        return self[lamina]


BLOCK = 64
"""Samples that are judged at a time."""


def lowest_of(table: Any, rows: Sequence[Row]) -> Array:
    """Lowest reserve of some rows over their plies (row,), of a margin table whose cases are numbers."""
    found = table["reserve"].groupby(level=["case", "station", "wall", "mode"], observed=True).min()
    known = {Row(*key): value for key, value in found.items()}
    return np.array([known[row] for row in rows])


def _named(drawn: Drawn, lamina: Lamina, name: str, sample: int) -> Lamina:
    """A tested lamina as drawn for the lamina of the ply book that has another name."""
    return replace(drawn.lamina(replace(lamina, name=name), sample), name=lamina.name)


def _thicker(place: Place, lamina: Lamina, drawn: Drawn, sample: int) -> Place:
    """The block of a ply with its thickness as drawn."""
    k = float(drawn.of("thickness", lamina.name)[sample])
    return tuple(None if side is None else (round(side[0] * k, 9), side[1]) for side in place)


def _allowables(check: Check, state: Service, lamina: Lamina, place: Place) -> Allowables:
    """Allowables of a drawn lamina; they are not asked for twice."""
    return judged_allowables.__wrapped__(check, state, lamina, place)[0]


class _Stack:
    """A wall of all samples: arrays (sample, ply) of its plies, its stiffness and its free deformation."""

    def __init__(self, laminate: Laminate, drawn: Drawn, states: Sequence[Service]) -> None:
        self.laminate = laminate
        plies = laminate.plies
        constants = [
            np.stack([getattr(ply.lamina, name) * drawn.of(name, ply.lamina.name) for ply in plies], axis=-1)
            for name in ELASTIC
        ]
        E1, E2, G12 = constants
        self.Q = q_reduced(E1, E2, G12, np.array([ply.lamina.nu12 for ply in plies]))
        angle = np.stack([ply.angle_deg + drawn.of("angle", ply.lamina.name) for ply in plies], axis=-1)
        self.turn = strain_rotation(angle)
        q_bar = self.turn.swapaxes(-1, -2) @ self.Q @ self.turn
        self.thickness = np.stack(
            [ply.lamina.thickness * drawn.of("thickness", ply.lamina.name) for ply in plies], axis=-1
        )
        self.z = plate.interfaces(self.thickness)
        self.abd = plate.abd(q_bar, self.thickness)
        self.compliance = plate.inverse(self.abd)
        self.bending = stability.reduced_bending_stiffness(self.abd)
        self.own_strain, self.free = [], []
        for state in states:
            change = state.temperature_change(*(ply.lamina for ply in plies))
            own = laminate.ply_free_strain([[change]], [[state.free_moisture]])
            turned = np.einsum("...pij,psj->...psi", strain_rotation(-angle), own)
            loads = plate.thermal_resultants(q_bar, self.thickness, turned)
            self.own_strain.append(own[:, 0])
            self.free.append(np.einsum("...ij,...j->...i", self.compliance, loads))

    def points(
        self,
        check: Check,
        places: Mapping[int, Place],
        running: Array,
        held: tuple[Array, Array],
        state: int,
    ) -> Iterator[tuple[tuple[Lamina, Place], tuple[Array, Array]]]:
        """Ply values (sample, point, 3) by lamina and place, the points in the order (ply, surface, place, case)."""
        compliance = self.compliance[:, None, None]
        grows = (compliance @ running[..., None])[..., 0]
        rest = (compliance @ held[0][..., None])[..., 0] + held[1][:, None, None]
        kinds: dict[tuple[Lamina, Place], list[int]] = {}
        for i in _judged(self.laminate, check, places):
            kinds.setdefault((self.laminate.plies[i].lamina, places.get(i, ())), []).append(i)
        for key, plies in kinds.items():
            values = []
            for deformation, free in ((grows, None), (rest, self.own_strain[state])):
                parts = []
                for i in plies:
                    for side in (i, i + 1):
                        z = self.z[:, side, None, None, None]
                        strain = deformation[..., :3] + z * deformation[..., 3:]
                        strain = np.einsum("nij,n...j->n...i", self.turn[:, i], strain)
                        strain = strain if free is None else strain - free[i]
                        if check.criterion.takes == "stress":
                            strain = np.einsum("nij,n...j->n...i", self.Q[:, i], strain)
                        parts.append(np.broadcast_to(strain, (*running.shape[:-1], 3)))
                values.append(np.stack(parts, axis=1).reshape(len(running), -1, 3))
            yield key, (values[0], values[1])


def _judged(laminate: Laminate, check: Check, places: Mapping[int, Place]) -> list[int]:
    """Plies that a check looks at: of a convex one the first and the last of each material, angle and place."""
    own = [i for i, ply in enumerate(laminate.plies) if applies(check, ply.lamina)]
    if not check.convex:
        return own
    kinds = [(laminate.plies[i].lamina, laminate.plies[i].angle_deg, places.get(i, ())) for i in own]
    first = dict(zip(reversed(kinds), reversed(own), strict=True))
    last = dict(zip(kinds, own, strict=True))
    return sorted({*first.values(), *last.values()})


def _buckling(stack: _Stack, width: float, running: Array, held: Array) -> Array:
    """Ratios (sample, place, case) of a flat wall under running and held loads (sample, place, case or 1, 6)."""
    mean, bending = linear_across(running[..., 0], PLACES)
    return stability.buckling_ratio(
        stack.bending[:, None, None],
        width,
        mean,
        running[..., 2],
        Nx_bending=bending,
        residual_Nx=held[..., 0].min(axis=-2, keepdims=True),
        residual_Nxy=held[..., 2],
        bound_anisotropy=True,
    )
