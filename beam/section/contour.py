"""The mid-lines of the walls: straight or circular pieces, each with its exact length.

A wall starts at a point, runs in a direction and turns evenly along its length; turn = 0 is straight.
Points of the section are (y2, y3), seen with e1 toward the viewer, e2 to the right and e3 up. Walls of the
outer skin run clockwise, so the outward normal n = e1 x t lies on their left.

Where the mid-lines of neighbours do not meet, because their thicknesses differ, a rigid massless
connector through the joint carries the shear flow across: it counts in the torque and the enclosed
area, not in the strain energy.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.section.arc import Complex, chord, first_moment, segment
from beam.section.places import fractions
from beam.section.topology import Topology, topology
from materials.checks import Array, array, common_shape, reject, sequence, whole
from materials.kinds import instance, instances, whole_numbers

FUNCTIONS = 10
"""How many functions of the place along a wall span every field of the section: see `Contour.functions`."""


def cross(a: Array, b: Array) -> Array:
    """Component on e1 of a x b for vectors in the section, shape (...)."""
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]


@dataclass(frozen=True, kw_only=True, eq=False)
class Contour:
    """Mid-lines of the walls of a section, or of a batch of sections with the same joints.

    Parameters
    ----------
    start : array_like, shape (..., wall, 2)
        Where each mid-line starts (y2, y3) [m].
    direction : array_like, shape (..., wall)
        Direction of the tangent there, from e2 toward e3 [rad].
    length : array_like, shape (..., wall)
        Length along the mid-line [m].
    turn : array_like, shape (..., wall)
        How far the tangent turns from start to end, from e2 toward e3: negative for a convex wall of a
        clockwise skin [rad].
    ends : array_like of int, shape (wall, 2)
        Joint at the start and at the end of each wall [-].
    names : tuple of str
        Names of the walls.

    Raises
    ------
    ValueError
        If a wall has no length, turns more than once round, or the walls are not connected.
    """

    start: Array
    direction: Array
    length: Array
    turn: Array
    ends: NDArray[np.intp]
    names: tuple[str, ...] = field(default=())

    def __post_init__(self) -> None:
        ends = whole_numbers("Contour: ends", self.ends)
        if ends.ndim != 2 or ends.shape[1] != 2 or not len(ends):
            reject("Contour: ends", f"shape {ends.shape}", "of shape (wall, 2)")
        if ends.min() < 0 or len(np.unique(ends)) != ends.max() + 1:
            reject("Contour: ends", ends.tolist(), "joints numbered from 0 without a gap")
        ends.setflags(write=False)
        walls = len(ends)
        object.__setattr__(self, "ends", ends)
        object.__setattr__(self, "start", array("Contour: start [m]", self.start, last=(walls, 2)))
        for name, unit in (("direction", "rad"), ("length", "m"), ("turn", "rad")):
            value = array(f"Contour: {name} [{unit}]", getattr(self, name), last=(walls,))
            object.__setattr__(self, name, value)
        names = instances("Contour: names", self.names, str, least=0)
        names = names or tuple(f"wall {i}" for i in range(walls))
        object.__setattr__(self, "names", names)
        if len(names) != walls or len(set(names)) != walls:
            reject("Contour: names", names, f"{walls} names, all different")
        if (self.length <= 0).any():
            reject("Contour: length [m]", f"{self.length.min():g}", "> 0", "thicker than its radius allows?")
        if (np.abs(self.turn) > 2 * np.pi * (1 + 1e-12)).any():
            reject("Contour: turn [rad]", f"{np.abs(self.turn).max():g}", "within one full turn")
        _ = self.topology

    @cached_property
    def topology(self) -> Topology:
        """How the walls hang together."""
        return topology(self.ends)

    @cached_property
    def finish(self) -> Array:
        """Where each mid-line ends, shape (..., wall, 2) [m]."""
        return self.position(1.0)

    @cached_property
    def joints(self) -> Array:
        """Joints, each amid the ends of the mid-lines it connects, shape (..., joint, 2) [m]."""
        graph = self.topology
        total = graph.starts @ self.start + graph.finishes @ self.finish
        return total / (graph.starts + graph.finishes).sum(axis=1)[:, None]

    def offset(self, distance: ArrayLike) -> Contour:
        """Parallel mid-lines; arcs keep their centers, so this is exact.

        Parameters
        ----------
        distance : array_like, shape (..., wall)
            How far each wall moves along its normal n [m].

        Returns
        -------
        Contour
            The moved walls, with the same joints.

        Raises
        ------
        ValueError
            If a wall moves beyond the center of its arc.
        """
        d = array("Contour.offset: distance [m]", distance, last=(len(self.names),))
        start = self.start + d[..., None] * self.normal(0.0)
        return self._with(start, self.direction, self.length - self.turn * d, self.turn)

    def flat(self, lead: tuple[int, ...]) -> Contour:
        """Spread a batch over leading axes and run them into one.

        Parameters
        ----------
        lead : tuple of int
            Lengths of the leading axes [-].

        Returns
        -------
        Contour
            A batch of one axis.
        """
        walls, shape = len(self.names), sequence("Contour.flat: lead [-]", lead, empty=True)
        lead = tuple(whole("Contour.flat: lead [-]", n, at_least=1) for n in shape)
        common = common_shape("Contour.flat: lead [-]", lead, self.length.shape[:-1])
        if common != lead:
            reject("Contour.flat: lead [-]", lead, f"axes that {self.length.shape[:-1]} broadcasts to")
        start = np.broadcast_to(self.start, (*lead, walls, 2)).reshape(-1, walls, 2)
        rest = (np.broadcast_to(a, (*lead, walls)) for a in (self.direction, self.length, self.turn))
        return self._with(start, *(a.reshape(-1, walls) for a in rest))

    def part(self, cut: slice) -> Contour:
        """Take some sections of a batch made by `flat`.

        Parameters
        ----------
        cut : slice
            Which sections.

        Returns
        -------
        Contour
            The smaller batch.
        """
        instance("Contour.part: cut", cut, slice)
        return self._with(self.start[cut], self.direction[cut], self.length[cut], self.turn[cut])

    def _with(self, start: Array, direction: Array, length: Array, turn: Array) -> Contour:
        return Contour(
            start=start, direction=direction, length=length, turn=turn, ends=self.ends, names=self.names
        )

    def position(self, at: ArrayLike) -> Array:
        """Points of the mid-lines.

        Parameters
        ----------
        at : array_like, shape () or (place,)
            Fraction of the length of each wall, 0 at its start [-].

        Returns
        -------
        ndarray, shape (..., wall, 2) or (..., wall, place, 2)
            Points (y2, y3) [m].
        """
        place, start, direction, length, turn = self._spread(at)
        z = start + length * place * np.exp(1j * direction) * chord(turn * place)
        return np.stack([z.real, z.imag], axis=-1)

    def tangent(self, at: ArrayLike) -> Array:
        """Unit tangents of the mid-lines.

        Parameters
        ----------
        at : array_like, shape () or (place,)
            Fraction of the length of each wall, 0 at its start [-].

        Returns
        -------
        ndarray, shape (..., wall, 2) or (..., wall, place, 2)
            Components (t2, t3) [-].
        """
        place, _, direction, _, turn = self._spread(at)
        angle = direction + turn * place
        return np.stack([np.cos(angle), np.sin(angle)], axis=-1)

    def normal(self, at: ArrayLike) -> Array:
        """Unit normals n = e1 x t, outward on a clockwise skin; arguments as `tangent`.

        Parameters
        ----------
        at : array_like, shape () or (place,)
            Fraction of the length of each wall, 0 at its start [-].

        Returns
        -------
        ndarray, shape (..., wall, 2) or (..., wall, place, 2)
            Components (n2, n3) [-].
        """
        t = self.tangent(at)
        return np.stack([-t[..., 1], t[..., 0]], axis=-1)

    def functions(self, at: ArrayLike) -> Array:
        """Functions of the place along each wall that span all fields of the section exactly.

        Parameters
        ----------
        at : array_like, shape (place,)
            Fraction of the length of each wall, 0 at its start [-].

        Returns
        -------
        ndarray, shape (..., wall, place, 10)
            1 [-], y2, y3 [m], t2, t3 [-], arc length s [m], integrals from the start of y2, y3 [m^2] and
            of r x t (twice the area swept) [m^2], and r . t [m].
        """
        place, start, direction, length, turn = self._spread(at)
        way = length * place
        ahead = np.exp(1j * direction)
        run = way * ahead * chord(turn * place)
        r, t = start + run, ahead * np.exp(1j * turn * place)
        area = (np.conj(start) * run).imag + way**2 * segment(turn * place)
        first = start * way + way**2 * ahead * first_moment(turn * place)
        columns = (1.0, r.real, r.imag, t.real, t.imag, way, first.real, first.imag, area)
        shape = np.broadcast_shapes(r.shape, t.shape)
        return np.stack([np.broadcast_to(c, shape) for c in (*columns, (np.conj(r) * t).real)], axis=-1)

    def _spread(self, at: ArrayLike) -> tuple[Array, Complex, Array, Array, Array]:
        """Places, starts as complex numbers, direction, length and turn, ready to broadcast."""
        place = fractions("Contour: at [-]", at)
        start = self.start[..., 0] + 1j * self.start[..., 1]
        lead = (...,) + (None,) * place.ndim
        return place, start[lead], self.direction[lead], self.length[lead], self.turn[lead]
