"""The flexible line as an operator: from a field of loads to the strains they cause, to high order.

A state of strain is one vector z of numbers whose squares sum to twice the strain energy, that of elastic
supports included. In this measure an operator "strain -> motion -> load -> strain" is symmetric, so that
vibration and buckling are symmetric eigenvalue problems without a stiffness matrix, and a very
stiff direction (shear, extension) does no harm to the figures of the others.

Integration runs outward (strain to motion) and, as its exact adjoint, inward (load to section force).
"""

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.strut.axis import SNAP
from beam.strut.solver import redundants
from materials.checks import Array


class Motion(NamedTuple):
    """Motion of the line and its strain, all on the strut axes.

    Parameters
    ----------
    points : ndarray, shape (..., piece, point, 6)
        u and r at the quadrature points [m, rad].
    ends : ndarray, shape (..., end, 6)
        u and r at the ends of the pieces [m, rad].
    strain : ndarray, shape (..., piece, point, 6)
        gamma and kappa at the quadrature points [-, 1/m].
    """

    points: Array
    ends: Array
    strain: Array


@dataclass(frozen=True, kw_only=True, eq=False)
class Line:
    """A span cut into pieces, with what integration along it needs.

    Parameters
    ----------
    ends : ndarray, shape (end,)
        Ends of the pieces; every support is at one of them [m].
    points, weights : ndarray, shape (piece, point)
        Quadrature points and weights [m].
    running : ndarray, shape (piece, point, point)
        Integrals from the start of the piece to each point, of values at the points [m].
    root : ndarray, shape (piece, point, 6, 6)
        Takes section forces on the strut axes to entries of z [1/sqrt(N), 1/sqrt(N m2)].
    tangent : ndarray, shape (piece, point, 3)
        Direction of the axis at the points [-].
    lever, end_lever : ndarray, shape (piece, point, 3) and (end, 3)
        Points and ends measured from the root [m].
    supports : ndarray of int, shape (direction,)
        Number of the end at each held direction [-].
    rows : ndarray, shape (direction, 6)
        Linear forms of the motion there that are held [-, m].
    soft : ndarray, shape (direction,)
        Flexibility of the supports [m/N, rad/(N m)].
    first : ndarray of int, shape (6,)
        Numbers of the primary directions [-].
    """

    ends: Array
    points: Array
    weights: Array
    running: Array
    root: Array
    tangent: Array
    lever: Array
    end_lever: Array
    supports: NDArray[np.intp]
    rows: Array
    soft: Array
    first: NDArray[np.intp]

    def end(self, s: Array) -> NDArray[np.intp]:
        """Find the end of a piece at each station.

        Parameters
        ----------
        s : ndarray, shape (...)
            Stations [m].

        Returns
        -------
        ndarray of int, shape (...)
            Numbers of the ends [-].
        """
        return np.searchsorted(self.ends, s - SNAP * self.ends[-1])

    @cached_property
    def rigid(self) -> Array:
        """Held motions of the rigid span, shape (direction, 6) [-, m]."""
        return redundants.rigid_forms(self.end_lever[self.supports], self.rows)

    @cached_property
    def unit(self) -> Array:
        """Section forces of unit reactions on the strut axes, shape (direction, piece, point, 6) [N, N m]."""
        count = len(self.rows)
        at_ends = np.zeros((count, len(self.ends), 6))
        at_ends[np.arange(count), self.supports] = self.rows
        return self.inward(np.zeros((*self.points.shape, 6)), at_ends)

    @cached_property
    def flexibility(self) -> Array:
        """Motion of held directions under unit reactions, the root held, shape (direction,) * 2 [m/N]."""
        moved = self.outward(self.strain_of(self.unit)).ends[..., self.supports, :]
        return np.einsum("rdi,di->dr", moved, self.rows) + np.diag(self.soft)

    def strain_of(self, force: Array) -> Array:
        """Strain that section forces cause.

        Parameters
        ----------
        force : ndarray, shape (..., piece, point, 6)
            Section forces on the strut axes [N, N m].

        Returns
        -------
        ndarray, shape (..., piece, point, 6)
            gamma and kappa on the strut axes [-, 1/m].
        """
        return np.einsum("pqji,pqjk,...pqk->...pqi", self.root, self.root, force, optimize=True)

    def outward(self, strain: Array) -> Motion:
        """Integrate strain to motion, the root held.

        Parameters
        ----------
        strain : ndarray, shape (..., piece, point, 6)
            gamma and kappa on the strut axes [-, 1/m].

        Returns
        -------
        Motion
            The motion.

        Notes
        -----
        r(s) = integral of kappa,  u(s) = integral of gamma + kappa x (p(s) - p).
        """
        kappa = strain[..., 3:]
        moved = np.concatenate([strain[..., :3] - np.cross(kappa, self.lever), kappa], axis=-1)
        ends = np.zeros((*strain.shape[:-3], len(self.ends), 6))
        np.cumsum(np.einsum("pq,...pqi->...pi", self.weights, moved), axis=-2, out=ends[..., 1:, :])
        points = ends[..., :-1, None, :] + self.running @ moved
        for at, lever in ((points, self.lever), (ends, self.end_lever)):
            at[..., :3] += np.cross(at[..., 3:], lever)
        return Motion(points, ends, strain)

    def inward(self, load: Array, at_ends: Array) -> Array:
        """Sum loads to section forces: the adjoint of `outward`, to the last bit.

        Parameters
        ----------
        load : ndarray, shape (..., piece, point, 6)
            Forces and moments per length on the strut axes [N/m, N].
        at_ends : ndarray, shape (..., end, 6)
            Forces and moments at the ends of the pieces [N, N m].

        Returns
        -------
        ndarray, shape (..., piece, point, 6)
            Section forces on the strut axes [N, N m].
        """
        w = self.weights
        f, fe = load[..., :3], at_ends[..., :3]
        load = np.concatenate([f, load[..., 3:] + np.cross(self.lever, f)], axis=-1)
        at_ends = np.concatenate([fe, at_ends[..., 3:] + np.cross(self.end_lever, fe)], axis=-1)
        weighted = w[..., None] * load
        piece = weighted.sum(axis=-2) + at_ends[..., 1:, :]
        beyond = np.flip(np.cumsum(np.flip(piece, axis=-2), axis=-2), axis=-2) - weighted.sum(axis=-2)
        within = np.swapaxes(self.running, -1, -2) @ weighted / w[..., None]
        out: Array = beyond[..., None, :] + within
        out[..., 3:] -= np.cross(self.lever, out[..., :3])
        return out

    def motion(self, z: Array) -> Motion:
        """Find the motion of the supported span in a state.

        Parameters
        ----------
        z : ndarray, shape (..., entry)
            State: roots of twice the strain energy, those of the supports last [sqrt(J)].

        Returns
        -------
        Motion
            The motion, the root moving as the primary supports let it.
        """
        first, count = self.first, len(self.rows)
        energy = (
            z[..., :-count].reshape(*z.shape[:-1], *self.points.shape, 6) / np.sqrt(self.weights)[..., None]
        )
        free = self.outward(np.einsum("pqji,...pqj->...pqi", self.root, energy))
        d = np.einsum("...di,di->...d", free.ends[..., self.supports, :], self.rows)
        given = -d - np.sqrt(self.soft) * z[..., -count:]
        q = given[..., first] @ np.linalg.inv(self.rigid[first]).T
        u, r = q[..., :3], q[..., 3:]
        for at, lever in ((free.points, self.lever), (free.ends, self.end_lever)):
            shift = at[..., 0, :].ndim - q.ndim
            ri = r.reshape(*r.shape[:-1], *[1] * (shift + 1), 3)
            at[..., :3] += u.reshape(ri.shape) + np.cross(ri, lever)
            at[..., 3:] += ri
        return free

    def respond(self, load: Array, at_ends: Array, present: Array | None = None) -> Array:
        """Find the state that loads cause on the supported span.

        Parameters
        ----------
        load : ndarray, shape (..., piece, point, 6)
            Forces and moments per length on the strut axes [N/m, N].
        at_ends : ndarray, shape (..., end, 6)
            Forces and moments at the ends of the pieces [N, N m].
        present : ndarray, shape (..., piece, point, 6), optional
            Section forces that act besides and need no load to balance them [N, N m].

        Returns
        -------
        ndarray, shape (..., entry)
            State [sqrt(J)].
        """
        force = self.inward(load, at_ends)
        W = self._resultant(load, at_ends)
        if present is not None:
            force = force + present
        d = np.einsum(
            "...di,di->...d", self.outward(self.strain_of(force)).ends[..., self.supports, :], self.rows
        )
        R = redundants.reactions(self.rigid, self.first, W, d, self.flexibility, np.zeros(len(self.rows)))[0]
        force = force + np.einsum("...d,dpqi->...pqi", R, self.unit)
        energy = np.einsum("pqij,...pqj->...pqi", self.root, force) * np.sqrt(self.weights)[..., None]
        flat = energy.reshape(*energy.shape[:-3], -1)
        return np.concatenate([flat, np.sqrt(self.soft) * R], axis=-1)

    @property
    def size(self) -> int:
        """Entries of a state z [-]."""
        return 6 * self.points.size + len(self.rows)

    def _resultant(self, load: Array, at_ends: Array) -> Array:
        force = np.einsum("pq,...pqi->...i", self.weights, load[..., :3]) + at_ends[..., :3].sum(axis=-2)
        along = np.einsum(
            "pq,...pqi->...i", self.weights, load[..., 3:] + np.cross(self.lever, load[..., :3])
        )
        ends = (at_ends[..., 3:] + np.cross(self.end_lever, at_ends[..., :3])).sum(axis=-2)
        return np.concatenate([force, along + ends], axis=-1)
