"""Equilibrium of link and wheel, and what it puts on the strut.

Six equations of force and moment have six unknowns: the shock's force along its line (one), the hinge's force (three)
and its moment (two, none about its own axis). The moment about the hinge axis gives the shock's force alone.
"""

from typing import Annotated, NamedTuple

import numpy as np

from materials.checks import Array, Frozen, Limits, Numbers, reject


class FreeBody(NamedTuple):
    """What acts on the link besides the loads: shock force (...), the others (..., 3), residual (..., 2)."""

    shock_force: Array
    shock_on_link: Array
    pivot_force: Array
    pivot_moment: Array
    residual: Array


def free_body(
    *, pivot: Array, hinge: Array, lug: Array, bracket: Array, at: Array, force: Array, moment: Array
) -> FreeBody:
    """Shock force, hinge force and hinge moment under loads (..., load, 3) at points (..., load, 3), a couple (..., 3).

    The hinge is a unit vector; every other argument broadcasts to (..., 3).
    """
    line = (lug - bracket) / np.linalg.norm(lug - bracket, axis=-1, keepdims=True)
    arm = np.sum(np.cross(lug - pivot, line) * hinge, axis=-1)
    least = 1e-6 * np.linalg.norm(lug - pivot, axis=-1)
    if not (np.abs(arm) > least).all():
        cause = "the line of the shock passes through the pivot"
        got = f"{np.abs(arm).min():.3g}"
        reject("free_body: arm of the shock about the hinge [m]", got, f"> {least.max():.3g}", cause)
    applied = moment + np.cross(at - pivot, force).sum(axis=-2)
    shock_force = -np.sum(applied * hinge, axis=-1) / arm
    shock = shock_force[..., np.newaxis] * line
    resisted = -applied - np.cross(lug - pivot, shock)
    # no moment about the hinge's own axis: take out what rounding leaves there
    pivot_moment = resisted - np.sum(resisted * hinge, axis=-1, keepdims=True) * hinge
    pivot_force = -force.sum(axis=-2) - shock
    forces = [*np.moveaxis(force, -2, 0), shock, pivot_force]
    places = [*np.moveaxis(at, -2, 0), lug, pivot]
    residual = _residual(forces, places, [moment, pivot_moment], origin=bracket)
    return FreeBody(shock_force, shock, pivot_force, pivot_moment, residual)


def _residual(forces: list[Array], places: list[Array], couples: list[Array], origin: Array) -> Array:
    """Sums of forces and of moments about the origin, each over what its terms could add up to, shape (..., 2) [-].

    The origin is not the pivot that the solution uses. A force counts with its whole lever, whichever way it points.
    """
    turning = [np.cross(at - origin, force) for at, force in zip(places, forces, strict=True)]
    most = [_size(at - origin) * _size(force) for at, force in zip(places, forces, strict=True)]
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


class StrutLoads(Frozen):
    """What link and shock put on the strut, airplane axes, from `MainGear.strut_loads`.

    Parameters
    ----------
    points : ndarray, shape (case, 2, 3)
        Pivot and upper end of the shock [m].
    force : ndarray, shape (case, 2, 3)
        Force on the strut at each [N].
    moment : ndarray, shape (case, 2, 3)
        Moment on the strut at each: none about the hinge axis, none at the shock [N m].
    shock_force : ndarray, shape (case,)
        Axial force of the shock, positive when it pushes its ends apart [N].
    contact : ndarray, shape (case, 3)
        Where the wheel's force was applied [m].
    residual : ndarray, shape (case, 2)
        Check of equilibrium of link and wheel: sum of forces, sum of moments about the upper end of the shock, each
        over what its terms could add up to [-].

    Examples
    --------
    >>> from tourer import GEAR  # examples/tourer.py
    >>> loads = GEAR.strut_loads([[0, 0, 1e4]], ["axle"], [0.06], tire_load=5168)
    >>> loads.shock_force.round(-2), loads.force.sum(axis=1).round(6)
    (array([20600.]), array([[    0.,     0., 10000.]]))
    """

    points: Annotated[Numbers, Limits("m", last=(2, 3))]
    force: Annotated[Numbers, Limits("N", last=(2, 3))]
    moment: Annotated[Numbers, Limits("N m", last=(2, 3))]
    shock_force: Annotated[Numbers, Limits("N")]
    contact: Annotated[Numbers, Limits("m", last=(3,))]
    residual: Annotated[Numbers, Limits("-", last=(2,))]
