"""Laminates of many lay-ups of a lattice at once, as plain arrays.

Every lay-up is the full book with plies left out. So all of them are one stack of slots in which an absent ply has no
thickness, and stiffness and heights come from one call.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from beam.sizing.lattice import Counts, Lattice
from beam.strength.requirement import Service
from laminate import Laminate, Ply, plate
from laminate.lamina_stiffness import strain_rotation
from materials import Lamina
from materials.checks import Array


@dataclass(frozen=True, kw_only=True, eq=False)
class Slots:
    """The full book on one wall, mandrel side first: kind and group of each slot, shape (slot,), and the laminate."""

    kind: Counts
    group: Counts
    laminate: Laminate

    @cached_property
    def extremes(self) -> tuple[int, ...]:
        """First slot of each (kind, angle) from the mandrel: with its mirror, the outermost surfaces.

        Strain is linear through the thickness and the set of safe strains of a ply is convex, so no other ply of the
        same material and angle can govern. Group 0 is present if the kind is.
        """
        seen: dict[tuple[int, float], int] = {}
        for slot, (kind, ply) in enumerate(zip(self.kind.tolist(), self.laminate.plies, strict=True)):
            seen.setdefault((kind, ply.angle_deg), slot)
        return tuple(seen.values())

    def thickness(self, counts: Counts) -> Array:
        """Thickness of every slot, shape (..., slot) [m], of counts, shape (..., kind); zero of an absent ply."""
        return np.where(counts[..., self.kind] > self.group, self.laminate.ply_thickness, 0.0)


@dataclass(frozen=True, kw_only=True, eq=False)
class Stacks:
    """Laminates of one wall for many lay-ups: thickness of every slot, shape (layup, slot) [m], and the services."""

    slots: Slots
    walls: tuple[int, ...]
    thickness: Array
    services: tuple[Service, ...]

    @cached_property
    def abd(self) -> Array:
        """Stiffness, shape (layup, 6, 6) [N/m], [N], [N m]."""
        return plate.abd(self.slots.laminate.q_bar, self.thickness)

    @cached_property
    def compliance(self) -> Array:
        """Inverse of `abd`, shape (layup, 6, 6) [m/N], [1/N], [1/(N m)]."""
        return plate.inverse(self.abd)

    @cached_property
    def height(self) -> Array:
        """z of the inner surface of every slot, shape (layup, slot) [m]."""
        return plate.interfaces(self.thickness)[..., :-1]

    def present(self, slot: int) -> NDArray[np.bool_]:
        """Whether the ply of a slot is there, shape (layup,)."""
        return self.thickness[..., slot] > 0

    @cached_property
    def free_deformation(self) -> Array:
        """Mid-plane strain and curvature of the unloaded laminates, shape (service, layup, 6) [-], [1/m]."""
        laminate, out = self.slots.laminate, []
        for service in self.services:
            change = service.temperature_change(*(ply.lamina for ply in laminate.plies))
            own = laminate.ply_free_strain([[change]], [[service.free_moisture]])
            free = np.einsum("pij,psj->psi", strain_rotation(-laminate.angles_deg), own)
            loads = plate.thermal_resultants(laminate.q_bar, self.thickness, free)
            out.append(np.einsum("...ij,...j->...i", self.compliance, loads))
        return np.array(out)


def slots_of(lattice: Lattice, wall: str) -> Slots:
    """Full book of one wall, mandrel side first."""
    half: list[tuple[int, int, Lamina, float]] = []
    for kind, group in lattice.groups:
        own = lattice.kinds[kind]
        if wall in own.walls:
            half += [(kind, group, own.lamina, angle) for angle in own.angles_deg]
    full = half + half[::-1]
    return Slots(
        kind=np.array([k for k, *_ in full]),
        group=np.array([g for _, g, *_ in full]),
        laminate=Laminate(tuple(Ply(lamina, angle) for *_, lamina, angle in full)),
    )
