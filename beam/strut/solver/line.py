"""The flexible line as an operator: from a distribution of loads to the strains they cause, to high order.

A state of strain is one vector z. The sum of its squares is twice the strain energy, elastic supports included. In
this measure an operator "strain -> motion -> load -> strain" is symmetric. So vibration and buckling are symmetric
eigenvalue problems without a stiffness matrix, and a very stiff direction (shear, extension) does not spoil the
accuracy of the others. Integration runs outward (strain to motion) and, as its exact adjoint, inward (load to
section force).
"""

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.polynomial.legendre import leggauss, legint, legval, legvander
from numpy.typing import NDArray

from beam.strut.axis import SNAP, Axis
from beam.strut.solver import linear
from beam.strut.solver.field import POINTS, Field, gauss, pieces
from beam.strut.supports import Held, rigid_forms
from materials.checks import Array

PIECES = 8  # at least so many to the span, however few its stations


def cross(a: Array, b: Array) -> Array:
    """a x b (..., 3); `np.cross` takes several times as long for few vectors."""
    a1, a2, a3 = a[..., 0], a[..., 1], a[..., 2]
    b1, b2, b3 = b[..., 0], b[..., 1], b[..., 2]
    return np.stack([a2 * b3 - a3 * b2, a3 * b1 - a1 * b3, a1 * b2 - a2 * b1], axis=-1)


class Motion(NamedTuple):
    """Motion (..., piece, point, 6) at the points and (..., end, 6) at the ends, strain (..., piece, point, 6)."""

    points: Array
    ends: Array
    strain: Array


@dataclass(frozen=True, kw_only=True, eq=False, repr=False)
class Line:
    """A span cut into pieces, with what integration along it needs; vectors are on the strut axes."""

    ends: Array  # (end,) ends of the pieces [m]; every support is at one of them
    points: Array  # (piece, point) quadrature points [m]
    weights: Array  # (piece, point) quadrature weights [m]
    running: Array  # (piece, point, point) integrals from the start of the piece to each point [m]
    root: (
        Array  # (piece, point, 6, 6) takes section forces to entries of z: C = root^T root is the compliance
    )
    tangent: Array  # (piece, point, 3) direction of the axis [-]
    lever: Array  # (piece, point, 3) points measured from the root [m]
    end_lever: Array  # (end, 3) ends measured from the root [m]
    supports: NDArray[np.intp]  # (direction,) end at each restrained direction [-]
    rows: Array  # (direction, 6) restrained linear forms of the motion there [-, m]
    flexibility: Array  # (direction,) flexibility of the supports [m/N, rad/(N m)]
    primary: NDArray[np.intp]  # (6,) numbers of the primary directions [-]

    def end(self, s: Array) -> NDArray[np.intp]:
        """Number of the end of a piece at each station s (...)."""
        return np.searchsorted(self.ends, s - SNAP * self.ends[-1])

    @cached_property
    def compliance(self) -> Array:
        """Compliance on the strut axes, shape (piece, point, 6, 6)."""
        return np.swapaxes(self.root, -1, -2) @ self.root

    @cached_property
    def rigid(self) -> Array:
        """Restrained motions of the rigid span, shape (direction, 6) [-, m]."""
        return rigid_forms(self.end_lever[self.supports], self.rows)

    @cached_property
    def unit(self) -> Array:
        """Section forces of unit reactions, shape (direction, piece, point, 6) [N, N m]."""
        count = len(self.rows)
        at_ends = np.zeros((count, len(self.ends), 6))
        at_ends[np.arange(count), self.supports] = self.rows
        return self.inward(np.zeros((*self.points.shape, 6)), at_ends)

    @cached_property
    def unit_motion(self) -> Array:
        """Motion of restrained directions under unit reactions, the root held, shape (direction, direction) [m/N]."""
        moved = self.outward(self.strain_of(self.unit)).ends[..., self.supports, :]
        return np.einsum("rdi,di->dr", moved, self.rows) + np.diag(self.flexibility)

    @property
    def size(self) -> int:
        """Entries of a state z [-]."""
        return 6 * self.points.size + len(self.rows)

    def strain_of(self, force: Array) -> Array:
        """Strain (..., piece, point, 6) that section forces of the same shape cause [-, 1/m]."""
        return (self.compliance @ force[..., None])[..., 0]

    def outward(self, strain: Array) -> Motion:
        """Integrate strain (..., piece, point, 6) to motion, the root held."""
        # r(s) = integral of kappa,  u(s) = integral of gamma + kappa x (p(s) - p).
        kappa = strain[..., 3:]
        moved = np.concatenate([strain[..., :3] - cross(kappa, self.lever), kappa], axis=-1)
        ends = np.zeros((*strain.shape[:-3], len(self.ends), 6))
        np.cumsum(np.einsum("pq,...pqi->...pi", self.weights, moved), axis=-2, out=ends[..., 1:, :])
        points = ends[..., :-1, None, :] + self.running @ moved
        for at, lever in ((points, self.lever), (ends, self.end_lever)):
            at[..., :3] += cross(at[..., 3:], lever)
        return Motion(points, ends, strain)

    def inward(self, load: Array, at_ends: Array) -> Array:
        """Section forces of loads per length (..., piece, point, 6) and at ends (..., end, 6); adjoint of `outward`."""
        w = self.weights
        f, fe = load[..., :3], at_ends[..., :3]
        load = np.concatenate([f, load[..., 3:] + cross(self.lever, f)], axis=-1)
        at_ends = np.concatenate([fe, at_ends[..., 3:] + cross(self.end_lever, fe)], axis=-1)
        weighted = w[..., None] * load
        piece = weighted.sum(axis=-2) + at_ends[..., 1:, :]
        beyond = np.flip(np.cumsum(np.flip(piece, axis=-2), axis=-2), axis=-2) - weighted.sum(axis=-2)
        within = np.swapaxes(self.running, -1, -2) @ weighted / w[..., None]
        out: Array = beyond[..., None, :] + within
        out[..., 3:] -= cross(self.lever, out[..., :3])
        return out

    def motion(self, z: Array) -> Motion:
        """Motion of the supported span in states z (..., entry)."""
        count = len(self.rows)
        energy = (
            z[..., :-count].reshape(*z.shape[:-1], *self.points.shape, 6) / np.sqrt(self.weights)[..., None]
        )
        free = self.outward(np.einsum("pqji,...pqj->...pqi", self.root, energy))
        d = np.einsum("...di,di->...d", free.ends[..., self.supports, :], self.rows)
        given = -d - np.sqrt(self.flexibility) * z[..., -count:]
        q = given[..., self.primary] @ np.linalg.inv(self.rigid[self.primary]).T
        u, r = q[..., :3], q[..., 3:]
        for at, lever in ((free.points, self.lever), (free.ends, self.end_lever)):
            shift = at[..., 0, :].ndim - q.ndim
            ri = r.reshape(*r.shape[:-1], *[1] * (shift + 1), 3)
            at[..., :3] += u.reshape(ri.shape) + cross(ri, lever)
            at[..., 3:] += ri
        return free

    def respond(self, load: Array, at_ends: Array, present: Array | None = None) -> Array:
        """State z (..., entry) of the supported span under loads as for `inward` and section forces `present`."""
        force = self.inward(load, at_ends)
        W = self._resultant(load, at_ends)
        if present is not None:
            force = force + present
        d = np.einsum(
            "...di,di->...d", self.outward(self.strain_of(force)).ends[..., self.supports, :], self.rows
        )
        no_play = np.zeros(len(self.rows))
        R = linear.reactions(self.rigid, self.primary, W, d, self.unit_motion, no_play)[0]
        force = force + np.einsum("...d,dpqi->...pqi", R, self.unit)
        energy = np.einsum("pqij,...pqj->...pqi", self.root, force) * np.sqrt(self.weights)[..., None]
        flat = energy.reshape(*energy.shape[:-3], -1)
        return np.concatenate([flat, np.sqrt(self.flexibility) * R], axis=-1)

    def _resultant(self, load: Array, at_ends: Array) -> Array:
        """Force and moment (..., 6) of loads as for `inward` about the root [N, N m]."""
        force = np.einsum("pq,...pqi->...i", self.weights, load[..., :3]) + at_ends[..., :3].sum(axis=-2)
        along = np.einsum("pq,...pqi->...i", self.weights, load[..., 3:] + cross(self.lever, load[..., :3]))
        ends = (at_ends[..., 3:] + cross(self.end_lever, at_ends[..., :3])).sum(axis=-2)
        return np.concatenate([force, along + ends], axis=-1)


class Trial(NamedTuple):
    """A state of the span as a trial motion for another stiffness: the points (piece, point), and there what moves."""

    line: Line
    motion: Motion
    springs: float
    """Twice the energy in elastic supports [J]."""
    work: float
    """What the energy of the span and its supports, twice, must reach or is compared with [J]."""

    @classmethod
    def of(cls, line: Line, state: Array, work: float) -> "Trial":
        """Trial motion of a state z (entry,)."""
        return cls(line, line.motion(state), float(np.sum(state[-len(line.rows) :] ** 2)), work)


def of_span(axis: Axis, stiffness: Field, held: Held, *stations: Array) -> Line:
    """Line of an unloaded span, cut at its stations, kinks and supports and at other stations (station,)."""
    even = np.linspace(0.0, axis.length, PIECES + 1)
    ends = pieces(axis, stiffness.stations, held.at, even, *stations)
    s = gauss(ends)[0]
    frames = axis.frames(s)
    return of_shape(
        stiffness,
        held,
        ends,
        frames=frames,
        tangent=frames[..., 0, :],
        points=axis.position(s),
        at_ends=axis.position(ends),
        rows=held.rows,
    )


def of_shape(
    stiffness: Field,
    held: Held,
    ends: Array,
    *,
    frames: Array,
    tangent: Array,
    points: Array,
    at_ends: Array,
    rows: Array,
) -> Line:
    """Line in a given shape: frames (piece, point, 3, 3), tangent, points (piece, point, 3), ends (end, 3)."""
    s, weights = gauss(ends)
    x = leggauss(POINTS)[0]
    to_series = np.linalg.inv(legvander(x, len(x) - 1))
    running = np.stack([legval(x, legint(column, lbnd=-1)) for column in to_series.T], axis=-1)
    turn = np.zeros((*s.shape, 6, 6))
    turn[..., :3, :3] = turn[..., 3:, 3:] = frames
    lower = np.linalg.cholesky(stiffness.at(s.ravel())).reshape(*s.shape, 6, 6)
    return Line(
        ends=ends,
        points=s,
        weights=weights,
        running=np.diff(ends)[:, None, None] / 2 * running,
        root=np.linalg.inv(lower) @ turn,
        tangent=tangent,
        lever=points - at_ends[0],
        end_lever=at_ends - at_ends[0],
        supports=np.searchsorted(ends, held.at - SNAP * ends[-1]),
        rows=rows,
        flexibility=held.flexibility,
        primary=held.primary,
    )
