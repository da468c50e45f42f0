"""How the wheel stands over the stroke: camber, toe, caster angle and trail."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.parts.link import TrailingLink
from materials.checks import Array
from materials.kinds import instance


@dataclass(frozen=True, kw_only=True, eq=False)
class Alignment:
    """Attitude of the starboard wheel, airplane level.

    Parameters
    ----------
    camber_deg : ndarray, shape (...)
        Lean of the wheel's plane from vertical, positive with the top outboard [deg].
    toe_deg : ndarray, shape (...)
        Turn of the wheel's plane from straight ahead, positive with the front inboard (toe-in) [deg].
    caster_deg : ndarray, shape (...)
        Side view: angle of the line from pivot down to axle from vertical, positive with the axle aft [deg].
    trail : ndarray, shape (...)
        How far the axle, and so the ground contact, lies aft of the pivot [m].
    """

    camber_deg: Array
    toe_deg: Array
    caster_deg: Array
    trail: Array


def alignment(link: TrailingLink, stroke: ArrayLike) -> Alignment:
    """Wheel alignment over the stroke.

    Parameters
    ----------
    link : TrailingLink
        The link.
    stroke : array_like, shape (...)
        Stroke of the shock from fully extended [m].

    Returns
    -------
    Alignment
        Camber, toe, caster and trail at each stroke.

    Notes
    -----
    With the wheel's axle along e, pointing outboard: the wheel's plane meets the horizontal along
    e x z; camber = asin(-e_z), for an axle that points down outboard carries the wheel's top outboard;
    toe = atan2(-e_x, e_y), for an axle whose outboard end points forward turns the front inboard.
    """
    instance("alignment: link", link, TrailingLink)
    angle = link.angle(stroke)
    e = link.wheel_axis_at(angle)
    e = e * np.where(link.wheel_axis[1] < 0, -1.0, 1.0)
    arm = link.axle_at(angle) - link.pivot
    # adding zero turns a minus zero into zero
    return Alignment(
        camber_deg=np.degrees(-np.arcsin(e[..., 2])) + 0.0,
        toe_deg=np.degrees(-np.arctan2(e[..., 0], e[..., 1])) + 0.0,
        caster_deg=np.degrees(np.arctan2(arm[..., 0], -arm[..., 2])),
        trail=arm[..., 0],
    )
