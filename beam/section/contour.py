"""Mid-lines of the walls: straight or circular, each of exact length.

A wall starts at a point, runs in a direction and turns evenly along its length; turn = 0 is straight. Points of the
section are (y2, y3), seen with e1 toward the viewer, e2 to the right and e3 up. Walls of the outer skin run
clockwise, so the outward normal n = e1 x t lies on their left.

The mid-lines of neighbors of different thickness do not meet. A rigid massless connector through the joint carries
the shear flow across: it counts in the torque and the enclosed area, not in the strain energy.
"""

from dataclasses import replace
from functools import cached_property
from typing import Annotated, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.section.topology import Topology, topology
from materials.checks import (
    Array,
    Frozen,
    Items,
    Limits,
    Numbers,
    WholeNumbers,
    checked,
    common_shape,
    default,
    reject,
)

Complex = NDArray[np.complex128]
Places: TypeAlias = Annotated[
    ArrayLike,
    Limits("-", at_least=0.0, at_most=1.0, axes=1, cause="a fraction of the wall, not a length"),
]

FULL_TURN = 2 * np.pi * (1 + 1e-12)
SERIES = 0.3
"""Below this turn [rad] the series of `segment` is exact to rounding and the closed form loses digits."""


class Contour(Frozen):
    """Mid-lines of the walls of a section, or of a batch of sections with the same joints.

    Parameters
    ----------
    start : array_like, shape (..., wall, 2)
        Start (y2, y3) of each mid-line [m].
    direction : array_like, shape (..., wall)
        Direction of the tangent there, from e2 toward e3 [rad].
    length : array_like, shape (..., wall)
        Length along the mid-line [m].
    turn : array_like, shape (..., wall)
        Turn of the tangent from start to end, from e2 toward e3; negative on the convex walls of a skin [rad].
    ends : array_like of int, shape (wall, 2)
        Joint at the start and at the end of each wall [-].
    names : tuple of str
        Names of the walls; "wall 0", "wall 1" ... if left out.

    Raises
    ------
    ValueError
        If a wall has no length or turns more than once round, or the walls are not connected.

    Notes
    -----
    With z = y2 + i y3, direction a, length L and turn x, the mid-line is

        z(u) = z(0) + L integral from 0 to u of exp(i (a + x v)) dv,  0 <= u <= 1

    Examples
    --------
    >>> half_round = Contour(
    ...     start=[[-0.05, 0.0], [0.05, 0.0]], direction=[3.14159 / 2, 3.14159], length=[0.15708, 0.1],
    ...     turn=[-3.14159, 0.0], ends=[[0, 1], [1, 0]],
    ... )
    >>> half_round.position(0.5).round(3) + 0.0
    array([[0.  , 0.05],
           [0.  , 0.  ]])
    """

    start: Annotated[Numbers, Limits("m", last=(-1, 2))]
    direction: Annotated[Numbers, Limits("rad", last=(-1,))]
    length: Annotated[
        Numbers, Limits("m", last=(-1,), above=0.0, cause="wall thicker than the outline allows?")
    ]
    turn: Annotated[
        Numbers,
        Limits("rad", last=(-1,), at_least=-FULL_TURN, at_most=FULL_TURN, cause="more than one full turn"),
    ]
    ends: Annotated[WholeNumbers, Limits("-", shape=(-1, 2), at_least=0)]
    names: Annotated[Items[str], Limits(items=0)] = default(())

    def __post_init__(self) -> None:
        super().__post_init__()
        walls = len(self.ends)
        if len(np.unique(self.ends)) != self.ends.max(initial=-1) + 1 or not walls:
            reject(
                "Contour: ends",
                self.ends.tolist(),
                "one or more pairs of joints numbered from 0 without a gap",
            )
        for name, axis in (("start", -2), ("direction", -1), ("length", -1), ("turn", -1)):
            match_walls(f"Contour: {name}", getattr(self, name), walls, axis)
        common_shape("Contour: start, direction, length, turn", *self._leading())
        if not self.names:
            object.__setattr__(self, "names", tuple(f"wall {i}" for i in range(walls)))
        if len(self.names) != walls or len(set(self.names)) != walls:
            reject("Contour: names", self.names, f"{walls} names, all different")
        self._topology()

    def _leading(self) -> tuple[tuple[int, ...], ...]:
        """Leading axes of start, direction, length and turn."""
        rest = (values.shape[:-1] for values in (self.direction, self.length, self.turn))
        return self.start.shape[:-2], *rest

    @property
    def batch(self) -> tuple[int, ...]:
        """Shape of the batch; () for one section."""
        return np.broadcast_shapes(*self._leading())

    def _topology(self) -> Topology:
        """How the walls meet, not kept."""
        return topology(tuple((a, b) for a, b in self.ends.tolist()))

    @cached_property
    def topology(self) -> Topology:
        """How the walls meet."""
        return self._topology()

    @cached_property
    def finish(self) -> Array:
        """End of each mid-line, shape (..., wall, 2) [m]."""
        return self.position(1.0)

    @cached_property
    def joints(self) -> Array:
        """Joints, each the mean of the ends of the mid-lines it connects, shape (..., joint, 2) [m]."""
        graph = self.topology
        total = graph.starts @ self.start + graph.finishes @ self.finish
        return total / (graph.starts + graph.finishes).sum(axis=1)[:, None]

    @checked
    def offset(self, distance: Annotated[ArrayLike, Limits("m", last=(-1,))]) -> "Contour":
        """Parallel mid-lines; arcs keep their centers.

        Parameters
        ----------
        distance : array_like, shape (..., wall)
            Distance along the normal n of each wall [m].

        Returns
        -------
        Contour
            The moved walls, with the same joints.

        Raises
        ------
        ValueError
            If a wall moves beyond the center of its arc.

        Notes
        -----
        Length L becomes L - turn x distance.
        """
        d = np.asarray(distance)
        match_walls("Contour.offset: distance", d, len(self.names))
        start = self.start + d[..., None] * self.normal(0.0)
        return replace(self, start=start, length=self.length - self.turn * d)

    @checked
    def position(self, at: Places) -> Array:
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
        place, start, direction, length, turn = _spread(self, np.asarray(at))
        z = start + length * place * np.exp(1j * direction) * chord(turn * place)
        return np.stack([z.real, z.imag], axis=-1)

    @checked
    def tangent(self, at: Places) -> Array:
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
        place, _, direction, _, turn = _spread(self, np.asarray(at))
        angle = direction + turn * place
        return np.stack([np.cos(angle), np.sin(angle)], axis=-1)

    @checked
    def normal(self, at: Places) -> Array:
        """Unit normals n = e1 x t, outward on a clockwise skin.

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


def place_functions(contour: Contour, at: Array) -> Array:
    """Ten functions of the place `at`, (place,), that span all fields of a wall, shape (..., wall, place, 10).

    They are 1 [-], y2, y3 [m], t2, t3 [-], arc length s [m], integrals from the start of y2, y3 and r x t (twice the
    area swept) [m^2], and r . t [m].
    """
    place, start, direction, length, turn = _spread(contour, at)
    s = length * place
    ahead = np.exp(1j * direction)
    run = s * ahead * chord(turn * place)
    r, t = start + run, ahead * np.exp(1j * turn * place)
    area = (np.conj(start) * run).imag + s**2 * segment(turn * place)
    first = start * s + s**2 * ahead * first_moment(turn * place)
    columns = (1.0, r.real, r.imag, t.real, t.imag, s, first.real, first.imag, area, (np.conj(r) * t).real)
    return np.stack([np.broadcast_to(column, r.shape) for column in columns], axis=-1)


def _spread(contour: Contour, place: Array) -> tuple[Array, Complex, Array, Array, Array]:
    """Places, and starts as complex numbers, direction, length and turn with an axis for the places."""
    start = contour.start[..., 0] + 1j * contour.start[..., 1]
    axes = (...,) + (None,) * place.ndim
    return place, start[axes], contour.direction[axes], contour.length[axes], contour.turn[axes]


def match_walls(what: str, values: Array, walls: int, axis: int = -1) -> None:
    """Refuse an array whose axis of walls is not that long."""
    if values.shape[axis] != walls:
        reject(what, f"shape {values.shape}", f"for {walls} walls along axis {axis}")


def cross(a: Array, b: Array) -> Array:
    """Component on e1 of a x b for vectors in the section, shape (...)."""
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]


def chord(turn: Array) -> Complex:
    """End of an arc of unit length seen from its start along its first tangent: (exp(ix) - 1)/(ix)."""
    return np.asarray(np.exp(0.5j * turn) * np.sinc(turn / (2 * np.pi)))


def segment(turn: Array) -> Array:
    """Twice the area between an arc of unit length and its chord: (x - sin x)/x^2."""
    square = turn * turn
    series = turn / 6 * (1 - square / 20 * (1 - square / 42 * (1 - square / 72 * (1 - square / 110))))
    safe = np.where(np.abs(turn) < SERIES, 1.0, turn)
    return np.where(np.abs(turn) < SERIES, series, (safe - np.sin(safe)) / safe**2)


def first_moment(turn: Array) -> Complex:
    """First moment of an arc of unit length about its start: (exp(ix) - 1 - ix)/(ix)^2."""
    return 0.5 * np.sinc(turn / (2 * np.pi)) ** 2 + 1j * segment(turn)
