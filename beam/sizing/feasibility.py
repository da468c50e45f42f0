"""Whether lay-ups hold load cases: many lay-ups, stations and cases in one call, on plain arrays.

The theory is that of `beam.margins`. Lay-ups are slots of the full book, sections are solved in one batch, and of each
material and angle only the two outermost surfaces are judged.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.section.expansion import residual_wall_loads
from beam.section.outline import rounded_box
from beam.section.states import solve
from beam.sizing.candidate_laminates import Stacks, slots_of
from beam.sizing.lattice import Lattice, wall_thickness
from beam.strength.check import Check, Level, applies
from beam.strength.ply_places import judged_allowables
from beam.strength.requirement import Requirement, Service
from beam.strength.section_forces import PLACES
from beam.strength.station_ratios import LEVELS, reserve
from beam.strength.wall_buckling import linear_across
from laminate import stability
from laminate.lamina_stiffness import strain_rotation
from laminate.ply_blocks import SAME_DIRECTION_DEG
from materials import Allowables, Lamina
from materials.checks import Array


class Piece(NamedTuple):
    """One wall in one state: its index in `Requirement.states`, or their number for buckling."""

    state: int
    wall: int


@dataclass(frozen=True, kw_only=True, eq=False)
class Feasibility:
    """Judge of the candidates of a lattice in every state of service."""

    lattice: Lattice
    requirement: Requirement

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
                lattice=replace(self.lattice, kinds=kinds),
                requirement=self.requirement,
                states=tuple(self.requirement.states[i] for i in indices),
            )
            out.append((tuple(indices), judge))
        return out

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
        count, walls = len(self.requirement.states), len(self.lattice.mold_line.wall_names)
        out = np.full((*forces.shape[:2], count + 1, walls, len(places)), np.inf)
        for indices, judge in self._parts:
            own = None
            if only is not None:
                at = {index: i for i, index in enumerate((*indices, count))}
                own = [Piece(at[piece.state], piece.wall) for piece in only if piece.state in at]
                if not own:
                    continue
            found = judge.reserve(candidates, station, forces, own, places, factors)
            out[:, :, list(indices)] = found[:, :, :-1]
            np.minimum(out[:, :, -1], found[:, :, -1], out=out[:, :, -1])
        return out


@dataclass(frozen=True, kw_only=True, eq=False)
class _Judge:
    """Judge of the candidates of a lattice in states of one stiffness."""

    lattice: Lattice
    requirement: Requirement
    states: tuple[Service, ...]

    @cached_property
    def stacks(self) -> tuple[Stacks, ...]:
        """Laminates of all candidates, once for walls that carry the same kinds."""
        shared: dict[tuple[str, ...], list[int]] = {}
        names = self.lattice.mold_line.wall_names
        for index, wall in enumerate(names):
            shared.setdefault(tuple(k.name for k in self.lattice.kinds if wall in k.walls), []).append(index)
        books = [(slots_of(self.lattice, names[walls[0]]), tuple(walls)) for walls in shared.values()]
        return tuple(
            Stacks(
                slots=slots,
                walls=walls,
                thickness=slots.thickness(self.lattice.candidates),
                services=self.states,
            )
            for slots, walls in books
        )

    @cached_property
    def wall_thickness(self) -> Array:
        """Wall thickness of all candidates, shape (candidate, wall) [m]."""
        return wall_thickness(self.lattice, self.lattice.candidates)

    def reserve(
        self,
        candidates: NDArray[np.int64],
        station: Array,
        forces: Array,
        only: Collection[Piece] | None,
        places: Sequence[float],
        factors: Mapping[Level, Array],
    ) -> Array:
        """Lowest reserve factor, shape (layup, case, state, wall, place), the last state buckling of flat walls."""
        mold_line = self.lattice.mold_line
        profile = mold_line.at(station)
        contour = rounded_box(
            profile.width, profile.height, profile.corner_radius, self.wall_thickness[candidates]
        )
        abd = np.empty((len(candidates), len(mold_line.wall_names), 6, 6))
        for stack in self.stacks:
            abd[:, stack.walls] = stack.abd[candidates, None]
        states = solve(contour, abd)
        recovery = states.recovery(at=places)
        buckled = len(self.states)
        buckling = only is None or any(p.state == buckled for p in only)
        rest = []
        out = np.full((*forces.shape[:2], buckled + 1, len(mold_line.wall_names), len(places)), np.inf)
        for index in range(buckled):
            wanted = (
                range(len(mold_line.wall_names))
                if only is None
                else [p.wall for p in only if p.state == index]
            )
            if not len(wanted) and not buckling:
                continue
            free = np.empty(abd.shape[:-1])
            for stack in self.stacks:
                free[:, stack.walls] = stack.free_deformation[index, candidates, None]
            fixed = residual_wall_loads(states, free, at=places)
            rest.append(fixed)
            for stack in self.stacks:
                own = [wall for wall in stack.walls if wall in wanted]
                if own:
                    loads = _wall_loads(recovery[:, own], forces)
                    ratio = self._plies(stack, candidates, index, loads, fixed[:, own], factors)
                    out[:, :, index, own] = np.moveaxis(ratio, 3, 1)
        if buckling:
            flat = [mold_line.wall_names.index(name) for name in mold_line.flat_walls]
            loads = _wall_loads(recovery[:, flat], forces)
            width = mold_line.flat_widths(station)[:, :, None, None]
            D = abd[:, flat, None, None, 3:, 3:]
            held = np.stack(rest)[:, :, flat, :, None]
            mean, bending = linear_across(loads[..., 0], places)
            R = stability.buckling_ratio(
                D,
                width,
                mean,
                loads[..., 2],
                Nx_bending=bending,
                residual_Nx=held[..., 0].min(axis=-2, keepdims=True),
                residual_Nxy=held[..., 2],
                bound_anisotropy=True,
            )
            out[:, :, buckled, flat] = np.moveaxis(reserve(R.min(axis=0), factors["ultimate"]), 3, 1)
        return out

    def _strengths(
        self, check: Check, service: Service, stack: Stacks, slot: int, candidates: NDArray[np.int64]
    ) -> list[tuple[Allowables, NDArray[np.bool_]]]:
        """Allowables of the outermost ply of a kind, and the lay-ups, (layup,), in which they hold.

        In situ a ply that another direction or a fabric covers has at least the thick form of an embedded ply, which is
        taken whatever its block: a bound on the safe side of the margin table. At a surface it has that of the coupon,
        and so beside a ply that may end, since at a ply drop the weaker side counts.
        """
        plies = stack.slots.laminate.plies
        lamina, angle = plies[slot].lamina, plies[slot].angle_deg
        coupon = judged_allowables(check, service, lamina)[0]
        covered = np.zeros(len(candidates), dtype=bool)
        if not check.in_situ or lamina.kind != "tape":
            return [(coupon, ~covered)]
        for other in range(slot):
            stays = stack.slots.group[other] < self.lattice.kinds[stack.slots.kind[other]].least
            if stays and (
                plies[other].lamina.kind != "tape"
                or _apart_deg(plies[other].angle_deg, angle) >= SAME_DIRECTION_DEG
            ):
                covered |= stack.present(other)[candidates]
        embedded = judged_allowables(check, service, lamina, ((lamina.thickness, False),), thin=False)[0]
        return [(one, rows) for one, rows in ((embedded, covered), (coupon, ~covered)) if rows.any()]

    def _plies(
        self,
        stack: Stacks,
        candidates: NDArray[np.int64],
        index: int,
        loads: Array,
        fixed: Array,
        factors: Mapping[Level, Array],
    ) -> Array:
        """Lowest reserve of the ply checks that decide in one state, shape (layup, wall, place, case)."""
        service, laminate = self.states[index], stack.slots.laminate
        checks = [one for one in self.requirement.ply_checks if one.decides]
        checks = [one for one in checks if not one.services or service.name in one.services]
        compliance = stack.compliance[candidates, None, None]
        grows = loads @ np.swapaxes(compliance, -1, -2)
        held = (fixed[..., None, :] @ np.swapaxes(compliance, -1, -2))[..., 0, :]
        held = held + stack.free_deformation[index, candidates, None, None]
        lowest = np.full(loads.shape[:-1], np.inf)
        for slot in stack.slots.extremes:
            ply = laminate.plies[slot]
            turn = strain_rotation(ply.angle_deg)
            change = service.temperature_change(ply.lamina)
            free = laminate.ply_free_strain([[change]], [[service.free_moisture]])[slot, 0]
            own = [
                (check, check.criterion.for_kind(ply.lamina.kind), one, covered)
                for check in checks
                if applies(check, ply.lamina)
                for one, covered in self._strengths(check, service, stack, slot, candidates)
            ]
            absent = ~stack.present(slot)[candidates]
            for side in (1.0, -1.0):
                z = side * stack.height[candidates, slot][:, None, None, None]
                load = (grows[..., :3] + z[..., None] * grows[..., 3:]) @ turn.T
                rest = ((held[..., :3] + z * held[..., 3:]) @ turn.T - free)[..., None, :]
                stresses = load @ laminate.Q[slot], rest @ laminate.Q[slot]
                for check, criterion, allowables, rows in own:
                    grown, held_fixed = stresses if check.criterion.takes == "stress" else (load, rest)
                    R = criterion._ratio(grown, allowables, None if check.caps else held_fixed)
                    R = reserve(R, factors[check.level])
                    R[absent | ~rows] = np.inf
                    np.minimum(lowest, R, out=lowest)
        return lowest


def _apart_deg(one: float, other: float) -> float:
    """Smaller angle between two directions [deg]."""
    turn = abs(one - other) % 180.0
    return min(turn, 180.0 - turn)


def _wall_loads(recovery: Array, forces: Array) -> Array:
    """Wall loads of all cases, shape (layup, wall, place, case, 6)."""
    return forces[:, None, None] @ np.swapaxes(recovery, -1, -2)
