"""The trailing link: where axle and shock are as it turns about its hinge, and how the wheel stands.

Starboard leg seen from port, airplane axes, a hinge along y:

        z up          B  shock_on_strut
        |            /
        |      P    / shock
        +---x  pivot------L  shock_on_link
       aft       `-_       `- _
                     `- - - - - A  axle

The angle q of the link is zero with the shock extended and grows as the shock shortens. The hinge vector is kept in
the direction that makes this a right-handed turn.
"""

from functools import cached_property
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from beam.axes import into, out_of, rotation
from beam.gear.parts.rotation import circle, distance_terms, position, slope, unit_vector
from materials.checks import (
    Array,
    Frozen,
    Limits,
    Numbers,
    checked,
    common_shape,
    default,
    number,
    reject,
    unchecked,
)

LEAST_ARM = 0.02
"""Least arm of the shock about the hinge over the link's length; below, its line is at the pivot [-]."""

Point = Annotated[Numbers, Limits("m", shape=(3,), above=-5000.0, below=5000.0, cause="given in mm?")]
Direction = Annotated[Numbers, Limits("-", shape=(3,))]
Angle = Annotated[ArrayLike, Limits("rad")]
Motion = Annotated[ArrayLike, Limits("m, rad", last=(6,))]
LinkStroke = Annotated[ArrayLike, Limits("m")]


class TrailingLink(Frozen):
    """A link that carries the wheel, with a shock between it and the strut; airplane axes.

    Parameters
    ----------
    pivot : array_like, shape (3,)
        Center of the hinge on the strut [m].
    axle : array_like, shape (3,)
        Center of the wheel with the shock extended [m].
    shock_on_link : array_like, shape (3,)
        Lower end of the shock with the shock extended [m].
    shock_on_strut : array_like, shape (3,)
        Upper end of the shock, fixed to the strut [m].
    hinge : array_like, shape (3,)
        Direction of the hinge axis, either way; athwart if not given [-].
    wheel_axis : array_like, shape (3,)
        Direction of the wheel's axle with the shock extended, either way; athwart if not given [-].

    Raises
    ------
    ValueError
        If the shock's line passes through the hinge, or the wheel goes down as the shock shortens.

    Notes
    -----
    Each point of the link moves on a circle about the hinge, a + b cos q + c sin q. The length of the shock is
    L**2 = A + B cos q + C sin q and its arm about the hinge d(stroke)/dq = (B sin q - C cos q) / (2 L).

    Examples
    --------
    >>> from beam.gear import TrailingLink
    >>> link = TrailingLink(pivot=(0, 0, 0), axle=(0.3, 0, 0), shock_on_link=(0.2, 0, 0), shock_on_strut=(0, 0, 0.2))
    >>> float(link.angle(0.05).round(4)), float(link.motion_ratio(0.05).round(4)), round(link.geometric_stroke, 4)
    (0.3282, 0.5726, 0.2828)
    """

    pivot: Point
    axle: Point
    shock_on_link: Point
    shock_on_strut: Point
    hinge: Direction = default((0.0, 1.0, 0.0))
    wheel_axis: Direction = default((0.0, 1.0, 0.0))

    def __post_init__(self) -> None:
        super().__post_init__()
        for name in ("hinge", "wheel_axis"):
            if not getattr(self, name).any():
                reject(f"TrailingLink: {name} [-]", "zero", "a direction")
            object.__setattr__(self, name, unit_vector(getattr(self, name)))
        what = "TrailingLink: distance from pivot to axle [m]"
        number(what, self.length, above=0.01, cause="given in km?")
        free = float(np.linalg.norm(self.shock_on_link - self.shock_on_strut))
        lug = circle(self.shock_on_link, self.pivot, self.hinge)
        arm, least = -float(distance_terms(lug, self.shock_on_strut)[2]) / (2 * free), LEAST_ARM * self.length
        if abs(arm) < least:
            cause = "the line of the shock passes through the pivot: its force has no moment about it"
            what = "TrailingLink: arm of the shock about the hinge [m]"
            reject(what, f"{abs(arm):.3g}", f">= {least:.3g}", cause)
        if arm < 0:
            object.__setattr__(self, "hinge", unit_vector(-self.hinge))
        rise = float(slope(circle(self.axle, self.pivot, self.hinge), 0.0)[2])
        cause = "the wheel goes down as the shock shortens: shock or axle on the wrong side of the pivot?"
        number("TrailingLink: rise of the axle per angle [m/rad]", rise, above=0, cause=cause)

    @property
    def length(self) -> float:
        """Distance from pivot to axle [m]."""
        return float(np.linalg.norm(self.axle - self.pivot))

    @cached_property
    def axle_terms(self) -> Array:
        """Terms of the axle's circle, shape (3, 3), see `rotation.circle` [m]."""
        return circle(self.axle, self.pivot, self.hinge)

    @cached_property
    def lug_terms(self) -> Array:
        """Terms of the circle of the shock's lower end, shape (3, 3), see `rotation.circle` [m]."""
        return circle(self.shock_on_link, self.pivot, self.hinge)

    @cached_property
    def wheel_axis_terms(self) -> Array:
        """Terms of the direction of the wheel's axle, shape (3, 3), see `rotation.circle` [-]."""
        return circle(self.wheel_axis, np.zeros(3), self.hinge)

    @cached_property
    def length_terms(self) -> Array:
        """A, B, C of the squared length of the shock, shape (3,), see `rotation.distance_terms` [m2]."""
        return distance_terms(self.lug_terms, self.shock_on_strut)

    @cached_property
    def free_length(self) -> float:
        """Length of the shock fully extended [m]."""
        A, B, _ = self.length_terms
        return float(np.sqrt(A + B))

    @property
    def geometric_stroke(self) -> float:
        """Stroke at which the shock's line comes to pass through the hinge: the most there is [m]."""
        A, B, C = self.length_terms
        return float(self.free_length - np.sqrt(max(A - np.hypot(B, C), 0.0)))

    @checked
    def shock_length(self, angle: Angle) -> Array:
        """Distance between the shock's ends, shape (...) [m].

        Parameters
        ----------
        angle : array_like, shape (...)
            Link angle from extended [rad].
        """
        A, B, C = self.length_terms
        return np.asarray(np.sqrt(A + B * np.cos(angle) + C * np.sin(angle)))

    @checked
    def shock_arm(self, angle: Angle) -> Array:
        """Arm of the shock about the hinge, d(stroke)/d(angle), shape (...) [m].

        Parameters
        ----------
        angle : array_like, shape (...)
            Link angle from extended [rad].
        """
        _, B, C = self.length_terms
        length = unchecked(self.shock_length)(angle)
        return np.asarray((B * np.sin(angle) - C * np.cos(angle)) / (2 * length))

    @checked
    def angle(self, stroke: LinkStroke) -> Array:
        """Angle of the link from extended at a stroke of the shock, shape (...) [rad].

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke from fully extended; a little below zero for the give of the extension stop [m].

        Raises
        ------
        ValueError
            If the stroke is beyond what the geometry has.

        Notes
        -----
        L**2 = A + R cos(q - f) with R = hypot(B, C), f = atan2(C, B); the shock shortens with growing q
        where sin(q - f) > 0, so q = f + acos((L**2 - A) / R).
        """
        return self._angle(np.asarray(stroke), self.length_terms)

    def _angle(self, stroke: Array, terms: Array) -> Array:
        """Angle (...) at strokes (...), by the terms (..., 3) of the shock's squared length."""
        free, (A, B, C) = self.free_length, np.moveaxis(terms, -1, 0)
        R, f = np.hypot(B, C), np.arctan2(C, B)
        cosine = ((free - stroke) ** 2 - A) / R
        # a rounding error beyond the end of the range is still the end
        outside = ~((np.abs(cosine) <= 1 + 1e-12) & (stroke < free))
        if outside.any():
            least, most = (float(np.ravel(one)[0]) for one in (free - np.sqrt(A + R), self.geometric_stroke))
            limit = f"from {least:.4g} to {most:.4g}"
            cause = "beyond what the geometry of the link has"
            got = f"{np.broadcast_to(stroke, outside.shape)[outside].flat[0]:g}"
            reject("TrailingLink: stroke [m]", got, limit, cause)
        q = f + np.arccos(np.clip(cosine, -1, 1))
        turn = f + np.arccos(np.clip((free**2 - A) / R, -1, 1))
        return q - 2 * np.pi * np.round(turn / (2 * np.pi))

    @checked
    def motion_ratio(self, stroke: LinkStroke) -> Array:
        """Stroke of the shock per rise of the axle, shape (...) [-].

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke from fully extended [m].
        """
        angle = unchecked(self.angle)(stroke)
        return unchecked(self.shock_arm)(angle) / slope(self.axle_terms, angle)[..., 2]


class Alignment(Frozen):
    """Attitude of the starboard wheel, airplane level, from `alignment`.

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

    Examples
    --------
    >>> from beam.gear import Alignment
    >>> Alignment(camber_deg=1.0, toe_deg=0.5, caster_deg=43.0, trail=0.2).trail
    array(0.2)
    """

    camber_deg: Annotated[Numbers, Limits("deg")]
    toe_deg: Annotated[Numbers, Limits("deg")]
    caster_deg: Annotated[Numbers, Limits("deg")]
    trail: Annotated[Numbers, Limits("m")]


@checked
def alignment(
    link: TrailingLink,
    stroke: LinkStroke,
    *,
    pivot_motion: Motion = (0.0,) * 6,
    bracket_motion: Annotated[ArrayLike, Limits("m", last=(3,))] = (0.0, 0.0, 0.0),
) -> Alignment:
    """Wheel alignment over the stroke, with the motion of the strut's ends if it is given.

    Parameters
    ----------
    link : TrailingLink
        The link.
    stroke : array_like, shape (...)
        Stroke of the shock from fully extended [m].
    pivot_motion : array_like, shape (..., 6)
        Displacement [m] and rotation [rad] of the strut at the pivot, airplane axes; the hinge turns with it [m, rad].
    bracket_motion : array_like, shape (..., 3)
        Displacement of the upper end of the shock, airplane axes [m].

    Returns
    -------
    Alignment
        Camber, toe, caster and trail at each stroke.

    Raises
    ------
    ValueError
        If a stroke is beyond the geometry of the link, or arrays do not broadcast.

    Notes
    -----
    With the unit vector e of the wheel's axle, outboard: camber = asin(-e_z), since an axle that points down outboard
    carries the wheel's top outboard; toe = atan2(-e_x, e_y), since an axle whose outboard end points forward turns
    the front inboard. A rotation (r_x, r_y, r_z) of the strut adds -r_x to the camber and r_z to the toe of an axle
    athwart, to first order. The link turns so that the shock keeps its stroke between the moved ends.

    Examples
    --------
    >>> from beam.gear import alignment
    >>> from tourer import GEAR  # examples/tourer.py
    >>> found = alignment(GEAR.link, [0.0, 0.1])
    >>> found.caster_deg.round(1), found.trail.round(3)
    (array([43. , 87.5]), array([0.205, 0.3  ]))
    >>> float(alignment(GEAR.link, 0.1, pivot_motion=[0, 0, 0, 0, 0, 0.01]).toe_deg.round(3))
    0.573
    """
    s, moved, end = np.asarray(stroke), np.asarray(pivot_motion), np.asarray(bracket_motion)
    what = "alignment: stroke, pivot_motion, bracket_motion"
    common_shape(what, s.shape, moved.shape[:-1], end.shape[:-1])
    turn = rotation(moved[..., 3:])
    # the upper end of the shock, seen from the axes that move with the pivot
    bracket = link.pivot + out_of(turn, link.shock_on_strut + end - link.pivot - moved[..., :3])
    still = not (moved.any() or end.any())
    terms = link.length_terms if still else distance_terms(link.lug_terms, bracket)
    angle = link._angle(s, terms)
    e = into(turn, position(link.wheel_axis_terms, angle))
    e = e * np.where(link.wheel_axis[1] < 0, -1.0, 1.0)
    arm = into(turn, position(link.axle_terms, angle) - link.pivot)
    # adding zero turns a minus zero into zero
    return Alignment(
        camber_deg=np.degrees(-np.arcsin(e[..., 2])) + 0.0,
        toe_deg=np.degrees(-np.arctan2(e[..., 0], e[..., 1])) + 0.0,
        caster_deg=np.degrees(np.arctan2(arm[..., 0], -arm[..., 2])),
        trail=arm[..., 0],
    )
