"""What a shock asks of its spring, and a spring known by a bought unit's published curve."""

from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.checks import numbers
from beam.gear.parts.curve import Curve
from materials.checks import Array, array, flag, number, reject


class Spring(Protocol):
    """A spring in a shock: one curve for fast strokes, one for slow ones."""

    @property
    def stroke_limit(self) -> float:
        """Stroke that the spring itself cannot pass [m]."""

    def force(self, stroke: ArrayLike, *, slow: bool = False) -> Array:
        """Force that pushes the ends apart.

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke from fully extended [m].
        slow : bool
            Take the curve of a slow stroke, as when standing, instead of a landing's.

        Returns
        -------
        ndarray, shape (...)
            Force [N].
        """

    def energy(self, stroke: ArrayLike) -> Array:
        """Energy stored in a fast stroke.

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke from fully extended [m].

        Returns
        -------
        ndarray, shape (...)
            Integral of the force from zero stroke [J].
        """

    def settled(self, stroke: float) -> "Spring":
        """Return the spring after it has stood at a stroke: its fast curve passes through the slow one there.

        Parameters
        ----------
        stroke : float
            Stroke at which it stands [m].

        Returns
        -------
        Spring
            The spring that answers a bump.
        """


@dataclass(frozen=True, kw_only=True, eq=False)
class CurveSpring:
    """A spring known by the published curve of a bought unit.

    Parameters
    ----------
    stroke : array_like, shape (point,)
        Strokes, rising from zero to the unit's full stroke [m].
    fast_force : array_like, shape (point,)
        Forces of a fast stroke, rising [N].
    slow_force : array_like, shape (point,), optional
        Forces of a slow stroke, rising; those of a fast one if not given [N].

    Raises
    ------
    ValueError
        If a curve does not rise, or does not start at zero stroke.
    """

    stroke: ArrayLike
    fast_force: ArrayLike
    slow_force: ArrayLike | None = None
    fast: Curve = field(init=False, repr=False)
    slow: Curve = field(init=False, repr=False)

    def __post_init__(self) -> None:
        stroke, fast_force = (
            array("CurveSpring: stroke [m]", self.stroke, last=(-1,)),
            array("CurveSpring: fast_force [N]", self.fast_force, last=(-1,)),
        )
        slow_force = fast_force
        if self.slow_force is not None:
            slow_force = array("CurveSpring: slow_force [N]", self.slow_force, last=(-1,))
        fast = Curve(x=stroke, y=fast_force, extend=True, name="CurveSpring (stroke, fast_force)")
        slow = Curve(x=stroke, y=slow_force, extend=True, name="CurveSpring (stroke, slow_force)")
        number("CurveSpring: first stroke [m]", fast.x[0], at_least=0, at_most=0)
        number("CurveSpring: last stroke [m]", fast.x[-1], below=2, cause="given in mm?")
        for curve in (fast, slow):
            if not (np.diff(curve.y) > 0).all() or curve.y[0] < 0:
                reject(f"{curve.name} [N]", curve.y.tolist(), "rising, not below zero")
        object.__setattr__(self, "fast", fast)
        object.__setattr__(self, "slow", slow)

    @property
    def stroke_limit(self) -> float:
        """Last stroke of the curve [m]."""
        return float(self.fast.x[-1])

    def force(self, stroke: ArrayLike, *, slow: bool = False) -> Array:
        """Force [N] at a stroke [m], see `Spring`."""
        stroke = numbers("CurveSpring.force: stroke [m]", stroke)
        return self.slow(stroke) if flag("CurveSpring.force: slow", slow) else self.fast(stroke)

    def energy(self, stroke: ArrayLike) -> Array:
        """Energy [J] stored at a stroke [m], see `Spring`."""
        return self.fast.integral(numbers("CurveSpring.energy: stroke [m]", stroke))

    def settled(self, stroke: float) -> "CurveSpring":
        """Spring after standing at a stroke [m], see `Spring`: the fast curve scaled to meet the slow one."""
        what = "CurveSpring.settled: stroke [m]"
        number(what, stroke, at_least=0, at_most=self.stroke_limit, cause="given in mm?")
        scale = float(self.slow(stroke) / self.fast(stroke))
        return CurveSpring(stroke=self.fast.x, fast_force=scale * self.fast.y, slow_force=self.slow.y)
