"""Equilibrium of a balanced case, worked out a second way.

`balance` turns the arms of the wheels into ground axes and takes moments about the c.g. Here every force is
turned into airplane axes and moments are taken about the nose contact, with the wheels placed anew from the
contacts of the sheet and the inertia from the accelerations that were found: a wrong arm in either shows.
"""

from collections.abc import Sequence

import numpy as np
from scipy.constants import g

from beam.loads.airplane import Airplane
from beam.loads.case import LEGS, GroundCase
from materials.checks import Array

MIRROR = np.array([1.0, -1.0, 1.0])


def residuals(
    airplane: Airplane, cases: Sequence[GroundCase], inertia_force: Array, inertia_moment: Array
) -> Array:
    """Return the sums of all forces and moments on the airplane in each case.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    cases : sequence of GroundCase
        The cases.
    inertia_force : ndarray, shape (case, 3)
        Minus mass times acceleration, at the c.g., ground axes [N].
    inertia_moment : ndarray, shape (case, 3)
        Minus moment of inertia times angular acceleration, AIRPLANE axes [N m].

    Returns
    -------
    ndarray, shape (case, 6)
        Forces over weight; moments about the nose contact over weight times wheelbase [-].
    """
    nose, main = airplane.point("nose_contact"), airplane.point("main_contact")
    line = (main - nose) * (1.0, 0.0, 1.0)
    normal = np.array([-line[2], 0.0, line[0]]) / np.hypot(line[0], line[2])  # up, when it stands
    radii = {leg: _radius(airplane, leg) for leg in LEGS}
    contacts = {"nose": nose, "starboard": main, "port": main * MIRROR}
    axles = {leg: contacts[leg] + radii[leg] * normal for leg in LEGS}

    pitch = np.radians([case.attitude_deg for case in cases])
    zero, one = np.zeros_like(pitch), np.ones_like(pitch)
    aft, up = (
        np.stack([np.cos(pitch), zero, np.sin(pitch)], -1),
        np.stack([-np.sin(pitch), zero, np.cos(pitch)], -1),
    )
    axes = np.stack([aft, np.stack([zero, one, zero], -1), up], axis=1)  # ground axes on airplane axes
    weight = np.array([case.mass * g for case in cases])
    lift = np.array([case.lift_ratio for case in cases]) * weight

    wheels = [(i, wheel) for i, case in enumerate(cases) for wheel in case.wheels]
    of = np.array([i for i, _ in wheels])
    push = np.array([(w.Fx, w.Fy, w.Fz) for _, w in wheels])
    couple = np.array([(w.Mx, w.My, w.Mz) for _, w in wheels])
    below = np.array([0.0 if w.applied_at == "axle" else radii[w.leg] for _, w in wheels])
    place = np.array([axles[w.leg] for _, w in wheels]) - below[:, np.newaxis] * up[of]
    push, couple = (np.einsum("wi,wij->wj", on_ground, axes[of]) for on_ground in (push, couple))

    at_cg = np.einsum("ci,cij->cj", inertia_force, axes) + (lift - weight)[:, np.newaxis] * up
    cg = np.array([airplane.point(f"cg_{case.cg}") for case in cases])
    force, moment = at_cg, inertia_moment + np.cross(cg - nose, at_cg)
    np.add.at(force, of, push)
    np.add.at(moment, of, np.cross(place - nose, push) + couple)
    return np.hstack([force, moment / airplane.wheelbase]) / weight[:, np.newaxis]


def _radius(airplane: Airplane, leg: str) -> float:
    """Radius of a wheel; where it is not known, only loads at the ground of a level airplane get here."""
    radius = airplane.nose_wheel_radius if leg == "nose" else airplane.main_wheel_radius
    return 0.0 if radius is None else radius
