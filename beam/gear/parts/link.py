"""The trailing link: where axle and shock are as it turns about its hinge on the strut.

Starboard leg seen from port, airplane axes, a hinge along y:

        z up          B  shock_on_strut
        |            /
        |      P    / shock
        +---x  pivot------L  shock_on_link
       aft       `-_       `- _
                     `- - - - - A  axle

The angle q of the link is zero with the shock extended and grows as the shock shortens; the hinge
vector kept here points so that this is a right-handed turn.
"""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.parts.rotation import circle, distance_terms, position, slope
from materials.checks import Array, array, number, reject

LEAST_ARM = 0.02
"""Least arm of the shock about the hinge over the link's length; below, its line is at the pivot [-]."""


def _athwart() -> Array:
    return np.array([0.0, 1.0, 0.0])


@dataclass(frozen=True, kw_only=True, eq=False)
class TrailingLink:
    """A link that carries the wheel, with a shock between it and the strut.

    Parameters
    ----------
    pivot : array_like, shape (3,)
        Center of the hinge on the strut, airplane axes [m].
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
    """

    pivot: Array
    axle: Array
    shock_on_link: Array
    shock_on_strut: Array
    hinge: Array = field(default_factory=_athwart)
    wheel_axis: Array = field(default_factory=_athwart)

    def __post_init__(self) -> None:
        for name in ("pivot", "axle", "shock_on_link", "shock_on_strut", "hinge", "wheel_axis"):
            vector = array(f"TrailingLink: {name} [m]", getattr(self, name), last=(3,))
            if vector.shape != (3,) or not (np.abs(vector) < 5000).all():
                reject(f"TrailingLink: {name} [m]", vector.tolist(), "one (x, y, z)", "given in mm?")
            object.__setattr__(self, name, vector)
        for name in ("hinge", "wheel_axis"):
            vector = getattr(self, name)
            if not vector.any():
                reject(f"TrailingLink: {name}", vector.tolist(), "a direction, not zero")
            object.__setattr__(self, name, array(name, vector / np.linalg.norm(vector)))
        number("TrailingLink: distance from pivot to axle [m]", self.length, above=0.01, cause="given in km?")
        # before anything is cached: the hinge vector may have to be turned round
        length = float(np.linalg.norm(self.shock_on_link - self.shock_on_strut))
        terms = distance_terms(circle(self.shock_on_link, self.pivot, self.hinge), self.shock_on_strut)
        arm, least = -float(terms[2]) / (2 * length), LEAST_ARM * self.length
        if abs(arm) < least:
            cause = "the line of the shock passes through the pivot: it cannot hold the link"
            what = "TrailingLink: arm of the shock about the hinge [m]"
            reject(what, f"{abs(arm):.3g}", f">= {least:.3g}", cause)
        if arm < 0:
            object.__setattr__(self, "hinge", array("hinge", -self.hinge))
        rise, what = float(self.axle_slope(0.0)[2]), "TrailingLink: rise of the axle per angle [m/rad]"
        cause = "the wheel goes down as the shock shortens: shock or axle on the wrong side of the pivot?"
        number(what, rise, above=0, cause=cause)

    @property
    def length(self) -> float:
        """Distance from pivot to axle [m]."""
        return float(np.linalg.norm(self.axle - self.pivot))

    @cached_property
    def axle_terms(self) -> Array:
        """Terms of the axle's circle, shape (3, 3), see `circle` [m]."""
        return circle(self.axle, self.pivot, self.hinge)

    @cached_property
    def lug_terms(self) -> Array:
        """Terms of the circle of the shock's lower end, shape (3, 3), see `circle` [m]."""
        return circle(self.shock_on_link, self.pivot, self.hinge)

    @cached_property
    def wheel_axis_terms(self) -> Array:
        """Terms of the direction of the wheel's axle, shape (3, 3), see `circle` [-]."""
        return circle(self.wheel_axis, np.zeros(3), self.hinge)

    @cached_property
    def length_terms(self) -> Array:
        """A, B, C of the squared length of the shock, shape (3,), see `distance_terms` [m2]."""
        return distance_terms(self.lug_terms, self.shock_on_strut)

    @property
    def geometric_stroke(self) -> float:
        """Stroke at which the shock's line comes to pass through the hinge: the most there is [m]."""
        A, B, C = self.length_terms
        return float(self.shock_length(0.0) - np.sqrt(max(A - np.hypot(B, C), 0.0)))

    def shock_length(self, angle: ArrayLike) -> Array:
        """Distance between the shock's ends.

        Parameters
        ----------
        angle : array_like, shape (...)
            Link angle from extended [rad].

        Returns
        -------
        ndarray, shape (...)
            Length [m].
        """
        A, B, C = self.length_terms
        q = array("TrailingLink.shock_length: angle [rad]", angle)
        return np.sqrt(A + B * np.cos(q) + C * np.sin(q))

    def shock_arm(self, angle: ArrayLike) -> Array:
        """Arm of the shock about the hinge, d(stroke)/d(angle).

        Parameters
        ----------
        angle : array_like, shape (...)
            Link angle from extended [rad].

        Returns
        -------
        ndarray, shape (...)
            Arm [m].
        """
        _, B, C = self.length_terms
        q = array("TrailingLink.shock_arm: angle [rad]", angle)
        return np.asarray((B * np.sin(q) - C * np.cos(q)) / (2 * self.shock_length(q)))

    def angle(self, stroke: ArrayLike) -> Array:
        """Angle of the link at a stroke of the shock.

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke from fully extended; a little below zero for the give of the extension stop [m].

        Returns
        -------
        ndarray, shape (...)
            Link angle from extended [rad].

        Raises
        ------
        ValueError
            If the stroke is beyond what the geometry has.

        Notes
        -----
        L**2 = A + R cos(q - f) with R = hypot(B, C), f = atan2(C, B); the shock shortens with growing q
        where sin(q - f) > 0, so q = f + acos((L**2 - A) / R).
        """
        stroke = array("TrailingLink: stroke [m]", stroke)
        A, B, C = self.length_terms
        R, f, free = np.hypot(B, C), np.arctan2(C, B), float(self.shock_length(0.0))
        cosine = ((free - stroke) ** 2 - A) / R
        # a rounding error beyond the end of the range is still the end
        if not ((np.abs(cosine) <= 1 + 1e-12) & (stroke < free)).all():
            limit = f"from {free - np.sqrt(A + R):.4g} to {self.geometric_stroke:.4g}"
            reject(
                "TrailingLink: stroke [m]", stroke.tolist(), limit, "beyond what the geometry of the link has"
            )
        q = f + np.arccos(np.clip(cosine, -1, 1))
        turn = f + np.arccos(np.clip((free**2 - A) / R, -1, 1))
        return q - 2 * np.pi * np.round(turn / (2 * np.pi))

    def axle_at(self, angle: ArrayLike) -> Array:
        """Center of the wheel.

        Parameters
        ----------
        angle : array_like, shape (...)
            Link angle from extended [rad].

        Returns
        -------
        ndarray, shape (..., 3)
            Position in airplane axes [m].
        """
        return position(self.axle_terms, array("TrailingLink.axle_at: angle [rad]", angle))

    def axle_slope(self, angle: ArrayLike) -> Array:
        """Derivative of the wheel's center by the angle.

        Parameters
        ----------
        angle : array_like, shape (...)
            Link angle from extended [rad].

        Returns
        -------
        ndarray, shape (..., 3)
            Derivative in airplane axes [m/rad].
        """
        return slope(self.axle_terms, array("TrailingLink.axle_slope: angle [rad]", angle))

    def lug_at(self, angle: ArrayLike) -> Array:
        """Lower end of the shock.

        Parameters
        ----------
        angle : array_like, shape (...)
            Link angle from extended [rad].

        Returns
        -------
        ndarray, shape (..., 3)
            Position in airplane axes [m].
        """
        return position(self.lug_terms, array("TrailingLink.lug_at: angle [rad]", angle))

    def wheel_axis_at(self, angle: ArrayLike) -> Array:
        """Direction of the wheel's axle.

        Parameters
        ----------
        angle : array_like, shape (...)
            Link angle from extended [rad].

        Returns
        -------
        ndarray, shape (..., 3)
            Unit vector in airplane axes [-].
        """
        return position(self.wheel_axis_terms, array("TrailingLink.wheel_axis_at: angle [rad]", angle))

    def motion_ratio(self, stroke: ArrayLike) -> Array:
        """Stroke of the shock per rise of the axle.

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke from fully extended [m].

        Returns
        -------
        ndarray, shape (...)
            d(stroke)/d(axle height) [-].
        """
        angle = self.angle(stroke)
        return self.shock_arm(angle) / self.axle_slope(angle)[..., 2]
