"""Equilibrium of a balanced case, worked out a second way.

`balance` turns the arms of the wheels into ground axes and takes moments about the c.g. Here every force is turned
into airplane axes and moments are taken about the nose contact, with the wheels placed anew from the contacts of
the sheet and the inertia from the accelerations that were found: a wrong arm in either shows.
"""

import numpy as np
from scipy.constants import g

MIRROR = np.array([1.0, -1.0, 1.0])


def residuals(airplane, balanced):
    """Sums over weight of forces, and over weight times wheelbase of moments about the nose contact (case, 6)."""
    nose, main = airplane.nose_contact, airplane.main_contact
    line = (main - nose) * (1.0, 0.0, 1.0)
    normal = np.array([-line[2], 0.0, line[0]]) / np.hypot(line[0], line[2])  # up, when it stands
    mains, noses = airplane.main_wheel_radius or 0.0, airplane.nose_wheel_radius or 0.0
    radii = {"nose": noses, "starboard": mains, "port": mains}
    contacts = {"nose": nose, "starboard": main, "port": main * MIRROR}

    cases = [found.case for found in balanced]
    pitch = np.radians([case.attitude_deg for case in cases])
    zero, one = np.zeros_like(pitch), np.ones_like(pitch)
    up = np.stack([-np.sin(pitch), zero, np.cos(pitch)], -1)
    aft = np.stack([np.cos(pitch), zero, np.sin(pitch)], -1)
    axes = np.stack([aft, np.stack([zero, one, zero], -1), up], axis=1)  # ground axes on airplane axes
    weight = np.array([case.mass * g for case in cases])
    lift = np.array([case.lift_ratio for case in cases]) * weight

    loads = [(i, wheel) for i, case in enumerate(cases) for wheel in case.wheels]
    of = np.array([i for i, _ in loads])
    push = np.array([(w.Fx, w.Fy, w.Fz) for _, w in loads])
    couple = np.array([(w.Mx, w.My, w.Mz) for _, w in loads])
    below = np.array([0.0 if w.applied_at == "axle" else radii[w.leg] for _, w in loads])
    place = (
        np.array([contacts[w.leg] + radii[w.leg] * normal for _, w in loads]) - below[:, np.newaxis] * up[of]
    )
    push, couple = (np.einsum("wi,wij->wj", on_ground, axes[of]) for on_ground in (push, couple))

    inertia = np.array([found.inertia_force for found in balanced])
    turning = -airplane.moments_of_inertia * np.array([found.angular_acceleration for found in balanced])
    at_cg = np.einsum("ci,cij->cj", inertia, axes) + (lift - weight)[:, np.newaxis] * up
    cg = np.array([getattr(airplane, f"cg_{case.cg}") for case in cases])
    force, moment = at_cg, turning + np.cross(cg - nose, at_cg)
    np.add.at(force, of, push)
    np.add.at(moment, of, np.cross(place - nose, push) + couple)
    return np.hstack([force, moment / airplane.wheelbase]) / weight[:, np.newaxis]
