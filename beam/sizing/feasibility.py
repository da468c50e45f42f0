"""Whether lay-ups hold load cases: many lay-ups, stations and cases in one call, on plain arrays.

The theory is that of `beam.margins`. Lay-ups are slots of the full book, sections are solved in one batch, and of each
material and angle only the two outermost surfaces are judged.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.section.expansion import residual_wall_loads
from beam.section.outline import rounded_box
from beam.section.states import solve
from beam.sizing.candidate_laminates import Stacks, slots_of
from beam.sizing.lattice import Lattice, wall_thickness
from beam.strength.requirement import Requirement
from beam.strength.section_forces import PLACES
from beam.strength.wall_buckling import linear_across
from laminate import stability
from laminate.lamina_stiffness import strain_rotation
from materials.checks import Array


class Piece(NamedTuple):
    """One wall in one state: the index of a service, or the number of services for buckling."""

    state: int
    wall: int


@dataclass(frozen=True, kw_only=True, eq=False)
class Feasibility:
    """Judge of the candidates of a lattice."""

    lattice: Lattice
    requirement: Requirement

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
                services=self.requirement.services,
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
        only: Collection[Piece] | None = None,
        places: Sequence[float] = PLACES,
    ) -> Array:
        """Lowest reserve factor over plies, surfaces and criteria, shape (layup, case, state, wall, place).

        Lay-up i is candidate ``candidates[i]`` at ``station[i]`` under the limit loads ``forces[i]``, shape (case, 6).
        States are the services and, last, buckling of flat walls in the worst of them; `MarginRecheck` judges the
        curved walls. With `only` the other pieces stay inf.
        """
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
        buckled = len(self.requirement.services)
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
                    ratio = self._plies(stack, candidates, index, loads, fixed[:, own])
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
            out[:, :, buckled, flat] = np.moveaxis(R.min(axis=0), 3, 1)
        return out / self.requirement.ultimate_factor

    def _plies(
        self, stack: Stacks, candidates: NDArray[np.int64], index: int, loads: Array, fixed: Array
    ) -> Array:
        """Lowest ratio of the ply criteria in one service, shape (layup, wall, place, case)."""
        service, laminate = self.requirement.services[index], stack.slots.laminate
        compliance = stack.compliance[candidates, None, None]
        grows = loads @ np.swapaxes(compliance, -1, -2)
        held = (fixed[..., None, :] @ np.swapaxes(compliance, -1, -2))[..., 0, :]
        held = held + stack.free_deformation[index, candidates, None, None]
        lowest = np.full(loads.shape[:-1], np.inf)
        for slot in stack.slots.extremes:
            ply = laminate.plies[slot]
            turn = strain_rotation(ply.angle_deg)
            change = service.temperature_change(ply.lamina)
            free = laminate.ply_free_strain([[change]], [[service.moisture]])[slot, 0]
            allowables = service.allowables(ply.lamina)
            absent = ~stack.present(slot)[candidates]
            for side in (1.0, -1.0):
                z = side * stack.height[candidates, slot][:, None, None, None]
                load = (grows[..., :3] + z[..., None] * grows[..., 3:]) @ turn.T
                rest = ((held[..., :3] + z * held[..., 3:]) @ turn.T - free)[..., None, :]
                for criterion in self.requirement.criteria:
                    states = (load, rest)
                    if criterion.takes == "stress":
                        states = load @ laminate.Q[slot], rest @ laminate.Q[slot]
                    R = criterion._ratio(states[0], allowables, states[1])
                    R[absent] = np.inf
                    np.minimum(lowest, R, out=lowest)
        return lowest


def _wall_loads(recovery: Array, forces: Array) -> Array:
    """Wall loads of all cases, shape (layup, wall, place, case, 6)."""
    return forces[:, None, None] @ np.swapaxes(recovery, -1, -2)
