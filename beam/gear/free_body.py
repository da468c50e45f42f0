"""Equilibrium of link and wheel: what the shock carries, what the hinge carries.

Six equations of force and moment, six unknowns: the shock's force along its line (one), the hinge's
force (three) and its moment (two, none about its own axis). Taken about the pivot, the moment
about the hinge axis gives the shock alone; the rest follows.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, reject


@dataclass(frozen=True, kw_only=True, eq=False)
class FreeBody:
    """Link and wheel in equilibrium, airplane axes: all that acts on the LINK.

    Parameters
    ----------
    pivot, lug, bracket : ndarray, shape (..., 3)
        Hinge center, lower and upper end of the shock [m].
    at : ndarray, shape (..., load, 3)
        Where each load acts [m].
    force : ndarray, shape (..., load, 3)
        Loads on wheel and link [N].
    moment : ndarray, shape (..., 3)
        Couple on the wheel [N m].
    shock_force : ndarray, shape (...)
        Axial force of the shock, positive when it pushes its ends apart [N].
    pivot_force : ndarray, shape (..., 3)
        Force of the strut on the link at the hinge [N].
    pivot_moment : ndarray, shape (..., 3)
        Moment of the strut on the link at the hinge, none about the hinge axis [N m].
    """

    pivot: Array
    lug: Array
    bracket: Array
    at: Array
    force: Array
    moment: Array
    shock_force: Array
    pivot_force: Array
    pivot_moment: Array

    @property
    def shock_on_link(self) -> Array:
        """Force of the shock on the link, shape (..., 3) [N]."""
        line = self.lug - self.bracket
        return self.shock_force[..., np.newaxis] * line / np.linalg.norm(line, axis=-1, keepdims=True)

    @property
    def residual(self) -> Array:
        """Sums of forces and of moments, each over what its terms could add up to, shape (..., 2) [-].

        The moments are taken about the upper end of the shock, not the pivot that the solution uses;
        a force counts with its whole lever, whichever way it points.
        """
        shock = self.shock_on_link
        origin = self.bracket
        forces = [*np.moveaxis(self.force, -2, 0), shock, self.pivot_force]
        arms = [
            *np.moveaxis(self.at - origin[..., np.newaxis, :], -2, 0),
            self.lug - origin,
            self.pivot - origin,
        ]
        couples = [self.moment, self.pivot_moment]
        turning = [np.cross(arm, force) for arm, force in zip(arms, forces, strict=True)]
        most = [_size(arm) * _size(force) for arm, force in zip(arms, forces, strict=True)]
        return np.stack(
            [
                _over(forces, [_size(force) for force in forces]),
                _over([*turning, *couples], [*most, *(_size(couple) for couple in couples)]),
            ],
            axis=-1,
        )


def _size(vector: Array) -> Array:
    return np.linalg.norm(vector, axis=-1)


def _over(terms: list[Array], sizes: list[Array]) -> Array:
    """Size of the sum of vectors over the sum of given sizes."""
    whole = np.sum(np.broadcast_arrays(*sizes), axis=0)
    return _size(np.sum(np.broadcast_arrays(*terms), axis=0)) / np.where(whole == 0, 1.0, whole)


def free_body(
    *,
    pivot: ArrayLike,
    hinge: ArrayLike,
    lug: ArrayLike,
    bracket: ArrayLike,
    at: ArrayLike,
    force: ArrayLike,
    moment: ArrayLike = (0.0, 0.0, 0.0),
) -> FreeBody:
    """Hold link and wheel in equilibrium under loads.

    Parameters
    ----------
    pivot : array_like, shape (..., 3)
        Hinge center [m].
    hinge : array_like, shape (..., 3)
        Unit vector along the hinge [-].
    lug : array_like, shape (..., 3)
        Lower end of the shock [m].
    bracket : array_like, shape (..., 3)
        Upper end of the shock [m].
    at : array_like, shape (..., load, 3)
        Where each load acts [m].
    force : array_like, shape (..., load, 3)
        The loads on wheel and link [N].
    moment : array_like, shape (..., 3)
        Couple on the wheel, such as the scrubbing of a turn [N m].

    Returns
    -------
    FreeBody
        Shock force, hinge force and hinge moment.

    Raises
    ------
    ValueError
        If the line of the shock meets the hinge axis.
    """
    at, force = np.broadcast_arrays(np.asarray(at, dtype=float), np.asarray(force, dtype=float))
    case = at.shape[:-2]
    pivot, hinge, lug, bracket, moment = (
        np.broadcast_to(np.asarray(value, dtype=float), (*case, 3))
        for value in (pivot, hinge, lug, bracket, moment)
    )
    line = (lug - bracket) / np.linalg.norm(lug - bracket, axis=-1, keepdims=True)
    arm = np.sum(np.cross(lug - pivot, line) * hinge, axis=-1)
    least = 1e-6 * np.linalg.norm(lug - pivot, axis=-1)
    if not (np.abs(arm) > least).all():
        cause = "the line of the shock passes through the pivot"
        got = f"{np.abs(arm).min():.3g}"
        reject("free_body: arm of the shock about the hinge [m]", got, f"> {least.max():.3g}", cause)
    applied = moment + np.cross(at - pivot[..., np.newaxis, :], force).sum(axis=-2)
    shock_force = -np.sum(applied * hinge, axis=-1) / arm
    shock = shock_force[..., np.newaxis] * line
    held = -applied - np.cross(lug - pivot, shock)
    return FreeBody(
        pivot=pivot,
        lug=lug,
        bracket=bracket,
        at=at,
        force=force,
        moment=moment,
        shock_force=shock_force,
        pivot_force=-force.sum(axis=-2) - shock,
        # the hinge cannot hold about its own axis: take out what rounding leaves there
        pivot_moment=held - np.sum(held * hinge, axis=-1, keepdims=True) * hinge,
    )
