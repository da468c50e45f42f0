"""What locks the gear: a lock, and a folding brace whose knee rests over center.

The brace has two links: the upper one hinged on the airplane, the lower one pinned to the gear, joined at the knee::

    airplane  A ----- upper link ----- K (knee)
                                       |  lower link          offset: knee to the line A-G, on the side of the stop
    gear      G -----------------------'                      folding: the knee crosses that line
"""

from typing import Annotated, NamedTuple

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g
from scipy.optimize import brentq

from beam.gear.parts.rotation import circle, distance_terms, position, unit_vector
from beam.gear.retraction.pivot_axis import PivotAxis, Turn
from materials.checks import Array, Frozen, Limits, Numbers, checked, default, number, reject

ROUNDING = 1e-9
"""Turn beyond an end of the travel that is still the end [rad]."""

Pin = Annotated[Numbers, Limits("m", shape=(3,))]
Along = Annotated[Numbers, Limits("-", shape=(3,))]
BraceForce = Annotated[ArrayLike, Limits("N")]


def check_travel(what: str, axis: PivotAxis, angle: Array) -> None:
    """Refuse turns (...) outside the travel of the gear."""
    outside = (angle < -ROUNDING) | (angle > axis.angle + ROUNDING)
    if outside.any():
        limit, cause = f"from 0 to {axis.angle:g}, the travel of the gear", "given in degrees?"
        reject(f"{what}: angle [rad]", f"{angle[outside].flat[0]:g}", limit, cause)


class Lock(Frozen):
    """A hook, pin or latch that alone keeps the gear from turning, as an up-lock or a down-lock.

    Parameters
    ----------
    on_gear : array_like, shape (3,)
        Point of the gear that the lock takes, with the gear EXTENDED [m].
    line : array_like, shape (3,)
        Direction in which the lock pulls on the gear, at the locked turn, airplane axes [-].

    Raises
    ------
    ValueError
        If the direction is zero.

    Examples
    --------
    >>> hook = Lock(on_gear=(0, 0, -0.5), line=(0, 0, 2))
    >>> hook.line.tolist()
    [0.0, 0.0, 1.0]
    """

    on_gear: Pin
    line: Along

    def __post_init__(self) -> None:
        super().__post_init__()
        if not self.line.any():
            reject("Lock: line [-]", "zero", "a direction")
        object.__setattr__(self, "line", unit_vector(self.line))


class Fold(NamedTuple):
    """Brace over the turn, from `OverCenterBrace.fold`.

    Parameters
    ----------
    knee : ndarray, shape (..., 3)
        Knee in airplane axes [m].
    opening : ndarray, shape (...)
        Angle between the links, pi where they are straight [rad].
    """

    knee: Array
    opening: Array


class OverCenterBrace(Frozen):
    """A folding drag or side brace that locks the gear down with its knee over center.

    Parameters
    ----------
    on_airplane : array_like, shape (3,)
        Hinge of the upper link on the airplane [m].
    hinge : array_like, shape (3,)
        Direction of that hinge, either way [-].
    knee : array_like, shape (3,)
        Knee with the gear down and the knee on its stop [m].
    on_gear : array_like, shape (3,)
        Pin of the lower link on the gear, with the gear extended [m].
    folds_toward : array_like, shape (3,)
        Direction in which the knee moves when the brace folds; its part across hinge and brace counts [-].
    play : float
        Motion of the knee off its stop, toward center, that the play of pins and stop allows [m].
    spring_moment : float
        Moment of the lock springs about the knee that keeps it on its stop [N m].
    pin_radius : array_like, shape (3,)
        Radii of the pins: airplane, knee, gear [m].
    pin_friction : float
        Coefficient of friction of the pins [-].
    knee_mass : float
        Mass of the links that moves with the knee [kg].

    Raises
    ------
    ValueError
        If the knee is not over center, or the play is not less than its offset: the brace is unlocked.

    Notes
    -----
    On its stop the brace is a two-force member along the line of its outer pins. A compression P at the offset e turns
    the knee onto the stop with P e. A lateral force F at the knee turns it with F l1 l2 / (l1 + l2), links l1 and l2.
    Friction mu resists any motion of the knee with the moment P rho,
    rho = mu (r_knee + (r_airplane l2 + r_gear l1) / (l1 + l2)): the pins turn by x / l1, x (1 / l1 + 1 / l2), x / l2
    while the knee moves by x (virtual work). Friction resists but never drives, so the margin leaves it out.
    Elastic shortening of the links is left out: add what it takes from the offset to the play.
    Source: statics, derived here.

    Examples
    --------
    >>> brace = OverCenterBrace(on_airplane=(0, -0.5, 0), hinge=(1, 0, 0), knee=(0, -0.2475, -0.197),
    ...                         on_gear=(0, 0, -0.4), folds_toward=(0, -1, -1), play=0.001, spring_moment=4.0)
    >>> round(brace.offset, 5), brace.locking_moment([1000.0, -500.0]).round(2).tolist()
    (0.0039, [6.9, 1.55])
    """

    on_airplane: Pin
    hinge: Along
    knee: Pin
    on_gear: Pin
    folds_toward: Along
    play: Annotated[float, Limits("m", at_least=0.0, at_most=0.1, cause="given in mm?")] = 0.0
    spring_moment: Annotated[float, Limits("N m", at_least=0.0, at_most=1e4)] = 0.0
    pin_radius: Annotated[
        Numbers, Limits("m", shape=(3,), at_least=0.0, at_most=0.1, cause="given in mm?")
    ] = default((0.0, 0.0, 0.0))
    pin_friction: Annotated[float, Limits("-", at_least=0.0, at_most=1.0)] = 0.0
    knee_mass: Annotated[float, Limits("kg", at_least=0.0, at_most=100.0)] = 0.0

    def __post_init__(self) -> None:
        super().__post_init__()
        if not self.hinge.any():
            reject("OverCenterBrace: hinge [-]", "zero", "a direction")
        object.__setattr__(self, "hinge", unit_vector(self.hinge))
        for name, length in zip(("upper link", "lower link"), self.lengths, strict=True):
            number(f"OverCenterBrace: length of the {name} [m]", length, above=0.01, at_most=5.0)
        line = self.on_gear - self.on_airplane
        across = np.cross(self.hinge, line)
        if not np.linalg.norm(across) > 0.1 * np.linalg.norm(line):
            cause = "the links fold about the hinge, so their line is near square to it"
            reject(
                "OverCenterBrace: hinge [-]", self.hinge.tolist(), "across the line of the outer pins", cause
            )
        if not abs(across @ self.folds_toward) > 1e-6 * np.linalg.norm(across) * np.linalg.norm(
            self.folds_toward
        ):
            limit = "across the brace, in the plane in which it folds"
            reject("OverCenterBrace: folds_toward [-]", self.folds_toward.tolist(), limit)
        cause = "the knee is on the folding side of its dead center, so the brace is unlocked"
        number("OverCenterBrace: over-center offset [m]", self.offset, above=0.0, cause=cause)
        cause = "unlocked: the play lets the knee pass its dead center"
        number("OverCenterBrace: play [m]", self.play, below=self.offset, cause=cause)

    @property
    def lengths(self) -> tuple[float, float]:
        """Lengths of the upper and the lower link [m]."""
        upper, lower = self.knee - self.on_airplane, self.on_gear - self.knee
        return float(np.linalg.norm(upper)), float(np.linalg.norm(lower))

    @property
    def side(self) -> Array:
        """Unit vector across hinge and brace toward which the knee folds, gear down, shape (3,) [-]."""
        across = np.cross(self.hinge, self.on_gear - self.on_airplane)
        return unit_vector(np.copysign(1.0, across @ self.folds_toward) * across)

    @property
    def offset(self) -> float:
        """Over-center offset: knee to the line of the outer pins, on the side of the stop [m]."""
        return float(-(self.knee - self.on_airplane) @ self.side)

    @property
    def offset_left(self) -> float:
        """Over-center offset less the play [m]."""
        return self.offset - self.play

    @property
    def friction_radius(self) -> float:
        """Offset at which friction alone would keep the knee where it is, rho of the class's notes [m]."""
        upper, lower = self.lengths
        airplane, knee, gear = self.pin_radius.tolist()
        outer = (airplane * lower + gear * upper) / (upper + lower)
        return float(self.pin_friction * (knee + outer))

    @checked
    def fold(self, axis: PivotAxis, angle: Turn) -> Fold:
        """Knee and opening over the travel, on the folding side of the dead center.

        Parameters
        ----------
        axis : PivotAxis
            Pivot axis of the gear.
        angle : array_like, shape (...)
            Turn from extended [rad].

        Raises
        ------
        ValueError
            If a turn is beyond the travel, or the links do not reach from pin to pin.

        Notes
        -----
        The knee turns about the upper hinge by t: |K(t) - G(q)|^2 = A + R cos(t - f) = l2^2. It is closest to G at the
        dead center f + pi. The two solutions lie at equal angles on its sides: the locked one and the folding one.
        """
        q = np.asarray(angle)
        check_travel("OverCenterBrace.fold", axis, q)
        ratio, center = self._closure(axis, q)
        unreached = ~(np.abs(ratio) <= 1 + ROUNDING)
        if unreached.any():
            turn = q[unreached].flat[0]
            apart = float(np.linalg.norm(axis.at(self.on_gear, turn) - self.on_airplane))
            upper, lower = self.lengths
            what = f"OverCenterBrace: distance of its pins at {np.degrees(turn):.4g} deg [m]"
            limit = f"within the reach of its links, {upper:.4g} and {lower:.4g}"
            reject(what, f"{apart:.4g}", limit, "a pin on the side away from which the gear folds?")
        away = np.arccos(np.clip(ratio, -1.0, 1.0))
        # the reference knee, t = 0, is locked; the folding branch is on the other side of the dead center
        locked = np.sign((-self._closure(axis, np.zeros(()))[1] + np.pi) % (2 * np.pi) - np.pi)
        knee = position(circle(self.knee, self.on_airplane, self.hinge), center - locked * away)
        inward, outward = self.on_airplane - knee, axis.at(self.on_gear, q) - knee
        cosine = np.sum(inward * outward, axis=-1) / np.prod(self.lengths)
        return Fold(knee, np.arccos(np.clip(cosine, -1.0, 1.0)))

    @checked
    def over_travel(self, axis: PivotAxis) -> float:
        """Turn beyond extended that the gear makes while the knee passes its dead center [rad].

        Parameters
        ----------
        axis : PivotAxis
            Pivot axis of the gear.

        Raises
        ------
        ValueError
            If the knee cannot reach its dead center within 0.2 rad.
        """

        def beyond(turn: float) -> float:
            return float(self._closure(axis, np.asarray(-turn))[0]) - 1.0

        if not beyond(0.2) > 0:
            cause = "the gear cannot give way: a pin on the side away from which the gear folds?"
            reject("OverCenterBrace: turn to the dead center [rad]", "more than 0.2", "<= 0.2", cause)
        return float(brentq(beyond, 0.0, 0.2, xtol=1e-15))

    @checked
    def locking_moment(
        self,
        force: BraceForce,
        load_factor: Annotated[ArrayLike, Limits("-", last=(3,))] = (0.0, 0.0, 0.0),
    ) -> Array:
        """Moment about the knee that keeps it on its stop, friction left out, shape (...) [N m].

        Parameters
        ----------
        force : array_like, shape (...)
            Force of the brace, positive in compression [N].
        load_factor : array_like, shape (..., 3)
            Load factors of the airplane aft, starboard and up, which act on the mass of the knee [-].

        Notes
        -----
        M = P (e -+ play) + M_spring - m g (-n . f) l1 l2 / (l1 + l2), f toward folding; the play takes from the offset
        in compression and adds to it in tension. At zero or below the knee leaves its stop. In tension it then rests
        straight, but the next compression may fold it.
        """
        P, (upper, lower) = np.asarray(force), self.lengths
        arm = np.where(P > 0, self.offset - self.play, self.offset + self.play)
        fold = -self.knee_mass * g * np.asarray(load_factor) @ self.side
        return np.asarray(P * arm + self.spring_moment - fold * upper * lower / (upper + lower))

    @checked
    def moment_to_unlock(self, force: BraceForce) -> Array:
        """Moment about the knee that the unlocking device must overcome at most, shape (...) [N m].

        Parameters
        ----------
        force : array_like, shape (...)
            Force of the brace, positive in compression [N].

        Notes
        -----
        M = P (e +- play) + M_spring + |P| rho, the play against the device, the friction at its full value.
        """
        P = np.asarray(force)
        arm = np.where(P > 0, self.offset + self.play, self.offset - self.play)
        return np.asarray(P * arm + self.spring_moment + np.abs(P) * self.friction_radius)

    def _closure(self, axis: PivotAxis, angle: Array) -> tuple[Array, Array]:
        """Cosine of the knee's turn from its dead center, and the turn of the dead center, shape (...)."""
        gear = position(axis.terms(self.on_gear), angle)
        knee = circle(self.knee, self.on_airplane, self.hinge)
        A, B, C = np.moveaxis(distance_terms(knee, gear), -1, 0)
        ratio = (A - self.lengths[1] ** 2) / np.hypot(B, C)
        return ratio, np.arctan2(C, B) + np.pi
