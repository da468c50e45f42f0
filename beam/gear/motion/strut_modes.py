"""Modes of a flexible strut with the link and the wheel that it carries, and what they move in the landing."""

from typing import NamedTuple

import numpy as np
from scipy.linalg import eigh

from beam.axes import skew
from beam.flexibility import Flexibility
from beam.gear.main_gear import MainGear
from beam.gear.parts.rotation import circle, slope
from materials.checks import Array, reject

HIGHEST = 300.0
"""Modes above this frequency are rigid [Hz].

On the demonstration strut the seven modes above change n by 0.14 %, stroke by 0.05 %, the largest force of the shock by
0.5 % and the drag at spin-up by 0.3 %. Their static motion under the shock would have to follow its damper, which is
steep: it costs as much as they do.
"""

APART = 0.005
"""Distance between a point of the gear and that of the flexibility that counts as one and the same [m]."""


class StrutModes(NamedTuple):
    """Modes scaled to a modal mass of 1 kg, and the terms in the link angle q of what they move.

    `frequency`, shape (mode,) [Hz]; `shape`, shape (12, mode), motion of pivot and bracket. On 1, cos q, sin q:
    `length`, shape (3, mode), of the squared length of the shock; `axle` and `moment`, shape (3, 3, mode), of the axle
    and of the mass moment of link, wheel and the strut itself, airplane axes last but one. On 1, cos q, sin q, cos 2q,
    sin 2q: `inertia`, shape (5, 2 mode + 1, mode), of M, B and y.
    """

    frequency: Array
    shape: Array
    length: Array
    axle: Array
    moment: Array
    inertia: Array


def strut_modes(gear: MainGear, flexibility: Flexibility, highest: float = HIGHEST) -> StrutModes:
    """Modes up to a frequency [Hz], the link free to swing at half the stroke of the shock."""
    link = gear.link
    for name, point, own in zip(
        ("pivot", "bracket"), flexibility.points, (link.pivot, link.shock_on_strut), strict=True
    ):
        gap = float(np.linalg.norm(point - own))
        if gap > APART:
            cause = "flexibility of another strut, or in other axes?"
            reject(f"Flexibility: {name} to that of the gear [m]", f"{gap:.4g}", f"<= {APART:g}", cause)
    points = _mass_points(gear)
    half = float(link.angle(gear.shock.max_stroke / 2))
    q = np.array([1.0, np.cos(half), np.sin(half), np.cos(2 * half), np.sin(2 * half)])
    hinge = link.hinge
    disk = np.zeros((12, 12))
    disk[3:6, 3:6] = gear.wheel_inertia / 2 * (np.eye(3) - np.outer(hinge, hinge))
    own = flexibility.inertia + disk
    every = _inertia(points, link.pivot, np.eye(6, 12), own)
    at_half = np.einsum("t,tij->ij", q, every)
    swinging = at_half[24]
    carried = at_half[:12] - np.outer(swinging, swinging) / gear.hinge_inertia
    # motions without mass, as the bracket's may be, are soft in nothing but themselves: 1 / omega^2 = 0
    compliant, shape = eigh(_half(flexibility.compliance, carried))
    order = np.argsort(compliant)[::-1]
    low = compliant[order] > 1 / (2 * np.pi * highest) ** 2
    values = compliant[order][low]
    root = np.linalg.cholesky(flexibility.compliance)
    phi = root @ shape[:, order][:, low] / np.sqrt(values)
    pivot, bracket = phi[:6], phi[6:]
    lever = np.cross(
        link.lug_terms - np.array([1.0, 0, 0])[:, None] * link.pivot, link.pivot - link.shock_on_strut
    )
    moment = np.sum([m * _carried(terms, link.pivot, pivot) for m, terms in points], axis=0)
    moment[0] += (flexibility.inertia @ phi)[:3] + (flexibility.inertia @ phi)[6:9]
    between = link.lug_terms - np.array([1.0, 0, 0])[:, None] * link.shock_on_strut
    return StrutModes(
        frequency=1 / (2 * np.pi * np.sqrt(values)),
        shape=phi,
        length=2 * (between @ (pivot[:3] - bracket[:3]) + lever @ pivot[3:]),
        axle=_carried(link.axle_terms, link.pivot, pivot),
        moment=moment,
        inertia=_inertia(points, link.pivot, pivot, phi.T @ own @ phi),
    )


def _half(compliance: Array, inertia: Array) -> Array:
    """Symmetric matrix whose eigenvalues are 1 / omega^2."""
    root = np.linalg.cholesky(compliance)
    return np.asarray(root.T @ inertia @ root)


def _mass_points(gear: MainGear) -> list[tuple[float, Array]]:
    """Masses [kg] and circles (3, 3) of the wheel and of two points that have the link's mass, center and inertia."""
    link, points = gear.link, [(gear.wheel_mass, gear.link.axle_terms)]
    if gear.link_mass:
        center = np.asarray(gear.link_center)
        about = gear.hinge_inertia - sum(
            m * float(slope(t, 0.0) @ slope(t, 0.0))
            for m, t in ((gear.wheel_mass, link.axle_terms), (gear.link_mass, gear.link_center_terms))
        )
        along = link.axle - link.pivot
        along = along - (along @ link.hinge) * link.hinge
        half = along / np.linalg.norm(along) * np.sqrt(max(about, 0.0) / gear.link_mass)
        points += [
            (gear.link_mass / 2, circle(center + side * half, link.pivot, link.hinge)) for side in (-1, 1)
        ]
    return points


def _carried(terms: Array, pivot: Array, motion: Array) -> Array:
    """Terms (3, 3, mode) of the motion of a point of the link, circle (3, 3), for motions (6, mode) of the pivot."""
    arm = terms - np.array([1.0, 0, 0])[:, None] * pivot
    out = np.einsum("tij,jm->tim", -skew(arm), motion[3:])
    out[0] += motion[:3]
    return out


def _inertia(points: list[tuple[float, Array]], pivot: Array, motion: Array, own: Array) -> Array:
    """Terms (5, 2 mode + 1, mode) of M, B and sum(m G^T r') for motions (6, mode) of the pivot; `own` belongs to M."""
    size = len(own)
    out = np.zeros((5, 2 * size + 1, size))
    out[0, :size] = own
    for m, terms in points:
        G = _carried(terms, pivot, motion)
        out[:, :size] += m * _product(G, G)
        out[:, size:-1] += m * _product(G, _slope(G))
        out[:, -1:] += m * _product(_slope(terms)[..., np.newaxis], G)
    return out


def _slope(terms: Array) -> Array:
    """Terms of the derivative by the angle."""
    return np.stack([np.zeros_like(terms[0]), terms[2], -terms[1]])


def _product(left: Array, right: Array) -> Array:
    """Terms (5, ...) on 1, cos q, sin q, cos 2q, sin 2q of the product left^T right of terms (3, 3, ...) each."""
    L, R = left, right

    def of(i: int, j: int) -> Array:
        return np.asarray(L[i].T @ R[j])

    return np.stack(
        [
            of(0, 0) + (of(1, 1) + of(2, 2)) / 2,
            of(0, 1) + of(1, 0),
            of(0, 2) + of(2, 0),
            (of(1, 1) - of(2, 2)) / 2,
            (of(1, 2) + of(2, 1)) / 2,
        ]
    )
