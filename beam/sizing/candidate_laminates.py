"""Laminates that the walls of a lattice can have, equal ones once, as plain arrays.

Every lay-up is the full book with plies left out, symmetric about the mid-plane. So all laminates of a wall are one
half stack of slots in which an absent ply has no thickness. Two lay-ups that differ on other walls alone share the
laminate of this one.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from beam.sizing.lattice import Counts, Lattice, half_of
from beam.strength.ply_places import Place
from beam.strength.requirement import Service
from laminate import Laminate, Ply, plate
from laminate.lamina_stiffness import strain_rotation
from laminate.ply_blocks import SAME_DIRECTION_DEG
from materials.checks import Array

Codes = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True, eq=False)
class Slots:
    """Half of the full book on one wall, from the mandrel to the mid-plane: kind and group of each slot, (slot,).

    `stays` says whether every lay-up with that kind has the slot, so that it cannot end within the strut.
    """

    kind: Counts
    group: Counts
    stays: NDArray[np.bool_]
    laminate: Laminate

    def thickness(self, counts: Counts) -> Array:
        """Thickness of every slot, shape (..., slot) [m], of counts, shape (..., kind); zero of an absent ply."""
        return np.where(counts[..., self.kind] > self.group, self.laminate.ply_thickness, 0.0)


@dataclass(frozen=True, kw_only=True, eq=False)
class Faces:
    """Surfaces of the plies of one lamina and angle in every laminate that a check looks at.

    Strain is linear through the thickness. So where the safe strains of a ply are a convex set, none but the outermost
    surfaces of one lamina, angle and strength can govern; else every surface counts. `slot` is the first of the plies;
    `height` (laminate, level) that of a surface in the half nearest the mandrel [m]; `place` (laminate, level) an index
    in `places`, -1 where there is no such ply.
    """

    ply: Ply
    slot: int
    height: Array
    place: Codes
    places: tuple[Place, ...]


@dataclass(frozen=True, kw_only=True, eq=False)
class Stacks:
    """Laminates of some walls: `counts` (laminate, kind), equal ones once, and that of each candidate, (candidate,)."""

    slots: Slots
    walls: tuple[int, ...]
    counts: Counts
    of_candidate: Codes
    services: tuple[Service, ...]

    @cached_property
    def thickness(self) -> Array:
        """Thickness of every slot of the half, shape (laminate, slot) [m]."""
        return self.slots.thickness(self.counts)

    @cached_property
    def _height(self) -> Array:
        """z of the surface of every slot nearest the mandrel, shape (laminate, slot) [m]."""
        below = np.cumsum(self.thickness, axis=-1) - self.thickness
        return below - self.thickness.sum(axis=-1, keepdims=True)

    @cached_property
    def abd(self) -> Array:
        """Stiffness, shape (laminate, 6, 6) [N/m], [N], [N m]."""
        t, z = self.thickness, self._height + 0.5 * self.thickness
        q_bar = self.slots.laminate.q_bar.reshape(-1, 9)
        A, D = (2 * (w @ q_bar).reshape(-1, 3, 3) for w in (t, t * z * z + t**3 / 12))
        return plate.blocks(A, np.zeros_like(A), D)

    @cached_property
    def compliance(self) -> Array:
        """Inverse of `abd`, shape (laminate, 6, 6) [m/N], [1/N], [1/(N m)]."""
        return plate.inverse(self.abd)

    def ply_free_strain(self, service: int) -> Array:
        """Free strain of the plies in ply axes in one state, shape (slot, 3) [-]."""
        laminate, one = self.slots.laminate, self.services[service]
        change = one.temperature_change(*(ply.lamina for ply in laminate.plies))
        return np.asarray(laminate.ply_free_strain([[change]], [[one.free_moisture]]))[:, 0]

    @cached_property
    def free_deformation(self) -> Array:
        """Mid-plane strain and curvature of the unloaded laminates, shape (service, laminate, 6) [-], [1/m]."""
        laminate = self.slots.laminate
        turn = strain_rotation(-laminate.angles_deg)
        out = np.zeros((len(self.services), len(self.counts), 6))
        for index in range(len(self.services)):
            free = np.einsum("pij,pj->pi", turn, self.ply_free_strain(index))
            push = 2 * self.thickness @ np.einsum("pij,pj->pi", laminate.q_bar, free)
            out[index, :, :3] = np.einsum("lij,lj->li", self.compliance[:, :3, :3], push)
        return out

    def faces(self, *, convex: bool, in_situ: bool) -> tuple[Faces, ...]:
        """Surfaces of each lamina and angle: the outermost in each place, or every one."""
        key = convex, in_situ
        if key not in self._faces:
            place = (
                _covered(self.slots, self.thickness)
                if in_situ
                else np.zeros(self.thickness.shape, dtype=np.int64)
            )
            self._faces[key] = tuple(self._outermost(place) if convex else self._every(place))
        return self._faces[key]

    @cached_property
    def _faces(self) -> dict[tuple[bool, bool], tuple[Faces, ...]]:
        """Surfaces as they are asked for; checks that look at the same share them."""
        return {}

    def _every(self, place: Codes) -> Iterator[Faces]:
        """Both surfaces of every ply of each lamina and angle."""
        plies = self.slots.laminate.plies
        for ply in dict.fromkeys(plies):
            slots = [slot for slot, other in enumerate(plies) if other == ply]
            thickness, inner = self.thickness[:, slots], self._height[:, slots]
            # Plies that are there come first, so that thin laminates do not pay for the slots of thick ones.
            order = np.argsort(thickness == 0.0, axis=1, kind="stable")
            most = max(int((thickness > 0).sum(axis=1).max(initial=0)), 1)
            here = np.where(thickness > 0, place[:, slots], -1)
            codes, low, t = (np.take_along_axis(one, order, 1)[:, :most] for one in (here, inner, thickness))
            yield Faces(
                ply=ply,
                slot=slots[0],
                height=np.concatenate([low, low + t], axis=1),
                place=np.concatenate([codes, codes], axis=1),
                places=((), ((ply.lamina.thickness, False),)),
            )

    def _outermost(self, place: Codes) -> Iterator[Faces]:
        """The first slot of each lamina and angle in each place, from the mandrel."""
        plies = self.slots.laminate.plies
        for ply in dict.fromkeys(plies):
            slots = [slot for slot, other in enumerate(plies) if other == ply]
            known = np.full((len(self.counts), len(slots)), -1)
            height, found = np.zeros(known.shape), np.zeros(len(self.counts), dtype=np.int64)
            for slot in slots:
                new = (self.thickness[:, slot] > 0) & (known != place[:, slot, None]).all(axis=1)
                known[new, found[new]] = place[new, slot]
                height[new, found[new]] = self._height[new, slot]
                found += new
            levels = max(int(found.max()), 1)
            yield Faces(
                ply=ply,
                slot=slots[0],
                height=height[:, :levels],
                place=known[:, :levels],
                places=((), ((ply.lamina.thickness, False),)),
            )

    def recovery(self, faces: Faces, laminates: Codes, *, stress: bool) -> tuple[Array, Array]:
        """Ply strain or stress per deformation and per wall load, (row, level, side, 3, 6), of laminates (row,)."""
        turn = strain_rotation(faces.ply.angle_deg)
        if stress:
            turn = self.slots.laminate.Q[faces.slot] @ turn
        z = faces.height[laminates][:, :, None, None, None] * np.array([1.0, -1.0])[:, None, None]
        both = np.concatenate(np.broadcast_arrays(turn, z * turn), axis=-1)
        return both, both @ self.compliance[laminates][:, None, None]

    def free(self, faces: Faces, service: int, *, stress: bool) -> Array:
        """Free strain of these plies, or the stress that would suppress it, (3,) [-], [Pa]."""
        free = self.ply_free_strain(service)[faces.slot]
        return self.slots.laminate.Q[faces.slot] @ free if stress else free


def stacks_of(lattice: Lattice, candidates: Counts, services: tuple[Service, ...]) -> tuple[Stacks, ...]:
    """Laminates of candidates (candidate, kind) in states of one stiffness, once for walls of the same kinds."""
    names, shared = lattice.mold_line.wall_names, dict[tuple[int, ...], list[int]]()
    for index, wall in enumerate(names):
        kinds = tuple(i for i, kind in enumerate(lattice.kinds) if wall in kind.walls)
        shared.setdefault(kinds, []).append(index)
    out = []
    for kinds, walls in shared.items():
        own = np.zeros_like(candidates)
        own[:, kinds] = candidates[:, kinds]
        counts, of_candidate = np.unique(own, axis=0, return_inverse=True)
        slots = slots_of(lattice, names[walls[0]])
        out.append(
            Stacks(
                slots=slots, walls=tuple(walls), counts=counts, of_candidate=of_candidate, services=services
            )
        )
    return tuple(out)


def slots_of(lattice: Lattice, wall: str) -> Slots:
    """Half of the full book of one wall, from the mandrel to the mid-plane."""
    kind, group, plies = half_of(lattice, wall)
    least = lattice.limits[0].min(axis=0)
    return Slots(kind=kind, group=group, stays=group < least[kind], laminate=Laminate(plies))


def _covered(slots: Slots, thickness: Array) -> Codes:
    """1 where a ply of another direction or a fabric that never ends lies between a tape and the mandrel, else 0."""
    out = np.zeros(thickness.shape, dtype=np.int64)
    plies = slots.laminate.plies
    for slot, ply in enumerate(plies if thickness.size else ()):
        over = [
            other
            for other in range(slot if ply.lamina.kind == "tape" else 0)
            if slots.stays[other]
            and (
                plies[other].lamina.kind != "tape"
                or _apart_deg(plies[other].angle_deg, ply.angle_deg) >= SAME_DIRECTION_DEG
            )
        ]
        out[:, slot] = (thickness[:, over] > 0).any(axis=1)
    return out


def _apart_deg(one: float, other: float) -> float:
    """Smaller angle between two directions [deg]."""
    turn = abs(one - other) % 180.0
    return min(turn, 180.0 - turn)
