"""A piece of a failure surface that is no polynomial: its ratio is found by steps that cannot miss it.

::

        shear along the fibers    In the plane of the two stresses that drive the failure the ply is safe
             .--.                 within a region that is convex on each side of zero. A load path runs
           .'    '-._             through it on a curve that bends no more than a known bound, so two
          /    *----*             points of it that keep away from the edge by the sagitta of the arc
      ---+-----------+-+---       between them prove that all of the arc is safe.
                     0   stress across the fibers
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from laminate.failure.modes import Mode
from laminate.failure.surface import Components, HalfSpace, along, span
from materials.checks import Array

Index = Callable[[Array, Array], Array]

NEAR = 4 * np.finfo(float).eps
"""Relative distance to failure that counts as failure: no digits are left to tell."""

GROWTH = 16.0
"""How many times longer or shorter the next step may be made by the bend of this one, which is that of its worst
place."""


STEPS = 20_000
"""Steps after which a search is given up: strange strengths take some hundreds, usual ones tens."""


class Frame(Protocol):
    """Axes in which the stress acts on the crack; they may turn under load."""

    @property
    def limits(self) -> tuple[HalfSpace, ...]:
        """Half-spaces of ply stress outside of which the ply has failed, whatever the curve says."""

    def place(self, s1: Array, s2: Array, t12: Array) -> tuple[Array, Array]:
        """Stress across the fibers, and shear along them, of stress in ply axes."""

    def bend(self, low: Array, high: Array, growth: Array) -> Array:
        """Bound on the second derivative of the place between two stresses (3, ...) with shear of one sign, (...)."""


@dataclass(frozen=True)
class PlyAxes:
    """Axes that stay: a straight load path stays straight."""

    limits: tuple[HalfSpace, ...] = ()

    def place(self, s1: Array, s2: Array, t12: Array) -> tuple[Array, Array]:
        """Stress across the fibers, and size of the shear along them."""
        return s2, abs(t12)

    def bend(self, low: Array, high: Array, growth: Array) -> Array:
        """Zero: the path is straight."""
        return np.zeros(growth.shape[1])


@dataclass(frozen=True, kw_only=True)
class CrackIndex:
    """Convex functions of stress across the fibers and size of the shear that are 1 at failure.

    `closed` counts where the stress across the fibers is negative, `opened` where it is not; each is convex also beyond
    zero. `steepness` bounds the slope of both [1/Pa].
    """

    closed: Index
    opened: Index
    steepness: float


@dataclass(frozen=True, kw_only=True)
class SearchedPiece:
    """Piece given by convex functions of stress in axes that may turn under load, followed up to `reach` [Pa].

    An arc of the path q(R) of length h in R is within abs(q'') h^2 / 8 of its chord, and a convex function
    is nowhere on the chord larger than at its ends. A step is taken if chord and margin are safe by that,
    so that no failure is passed over, however short. Else a shorter one is tried, down to the last
    digits, and a path that comes that near to the edge counts as meeting it. The lengths tried are those of
    the secant method, with an allowance for the bend.
    """

    mode: Mode
    index: CrackIndex
    frame: Frame
    within: tuple[HalfSpace, ...]
    reach: float

    def crossing(self, s: Components, r: Components | None, least: Array) -> Array:
        """Smallest R >= 0 at which R s + r is on or beyond the piece, (row,); the largest of s is of size 1 or 0."""
        out = np.full(len(s[0]), np.inf)
        start, leave = span(self.within, s, r)
        leave = np.minimum(np.minimum(leave, self.reach), least)
        load = np.stack(s)
        rest = np.zeros_like(load) if r is None else np.stack(r)
        start = np.broadcast_to(start, len(out))
        middle = np.maximum(start + leave, 0.0) / 2 * load + rest
        inside = np.logical_and.reduce([along(n, _three(middle)) > bound for n, bound in self.within])
        rows = np.flatnonzero(inside & (leave > start))
        start, leave, load, rest = _rows(rows, start, leave, load, rest)

        first, last = span(self.frame.limits, _three(load), _three(rest))
        failed = (first > start) | (last < start)
        end = np.where(failed, start, np.minimum(leave, last))
        turn = -rest[2] / load[2]  # the shear stress changes sign: the path in the plane has a corner
        turn = np.where((turn > start) & (turn < end), turn, end)
        R = self._exit(load, rest, start, turn)
        again = np.flatnonzero(np.isinf(R) & (turn < end))
        R[again] = self._exit(load[:, again], rest[:, again], turn[again], end[again])
        out[rows] = np.where(failed, start, np.where(np.isinf(R) & (last <= leave), last, R))
        return out

    def _exit(self, load: Array, rest: Array, R: Array, end: Array) -> Array:
        """First R of failure before `end`, or inf; shear of one sign throughout."""
        out = np.full(len(R), np.inf)
        here = R * load + rest
        at, index = self._look(here)
        worst = _counting(at, index)
        out[worst >= 1] = R[worst >= 1]
        step, beyond, failed = end - R, np.full(len(R), np.inf), np.zeros(len(R))
        on = np.arange(len(R))
        going = (worst < 1) & (step > 0)
        for _ in range(STEPS):
            if not going.any():
                return out
            if not going.all():
                on = on[going]
                load, rest, here, R, end, step, beyond, failed, at, index, worst = _rows(
                    going, load, rest, here, R, end, step, beyond, failed, at, index, worst
                )
            to = np.where(step < end - R, R + step, end)
            step = to - R
            there = to * load + rest
            at1, index1 = self._look(there)
            worst1 = _counting(at1, index1)
            bend = self.frame.bend(here, there, load)
            sure = (worst1 < 1) & self._proved(at, at1, np.maximum(index, index1), bend * step**2 / 8)
            rise = (worst1 - worst) / step

            beyond = np.where(worst1 < 1, beyond, to)
            shorter = np.where((failed == 1) | (worst1 < 1), step / 2, step - NEAR * to)
            failed = np.where(sure, 0.0, 1.0)
            here, at, index, worst, R = (
                np.where(sure, new, old)
                for new, old in ((there, here), (at1, at), (index1, index), (worst1, worst), (to, R))
            )
            left, bent = 1 - worst, 4 * self.index.steepness * bend
            longest = np.where(sure, np.minimum(beyond - R, GROWTH * step), shorter)
            ahead = 2 * left / (rise + np.sqrt(rise**2 + bent * left))
            ahead = np.where(sure, ahead, np.maximum(ahead, step / GROWTH))
            step = np.where(
                ahead < longest, ahead, np.where(sure & (beyond <= R + longest), longest / 2, longest)
            )
            near = NEAR * to
            met = (step <= near) | (left <= NEAR)
            out[on[met]] = (R + np.minimum(step, near))[met]
            going = ~met & (end > R)
        raise RuntimeError(f"{self.mode.label}: no end of the load path in {STEPS} steps, from R = {R[0]:g}")

    def _look(self, stress: Array) -> tuple[Array, Array]:
        """Stress across the fibers, and the functions `closed` and `opened`."""
        x, t = self.frame.place(*stress)
        return x, np.stack([self.index.closed(x, t), self.index.opened(x, t)])

    def _proved(self, x: Array, x1: Array, index: Array, sag: Array) -> NDArray[np.bool_]:
        """Whether no function that counts within `sag` of a chord reaches 1, from the larger at its ends."""
        closed, opened = index + self.index.steepness * sag < 1
        return (closed | (np.minimum(x, x1) > sag)) & (opened | (np.maximum(x, x1) < -sag))


def _counting(x: Array, index: Array) -> Array:
    """Of the functions `closed` and `opened` the one that counts."""
    return np.where(x < 0, index[0], index[1])


def _three(components: Array) -> Components:
    return components[0], components[1], components[2]


def _rows(which: NDArray[Any], *arrays: Array) -> list[Array]:
    """Some rows of each array, rows last."""
    return [v[..., which] for v in arrays]
