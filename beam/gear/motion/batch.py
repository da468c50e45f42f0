"""Integrate many designs at once: each keeps its own time and its own step.

The pair of Bogacki and Shampine: a third-order step whose error is estimated against a second-order
one, four stages, the last of which is the first of the next step. The laws of tire and shock have
kinks (the stop that lets go, the valve that turns), where a high order would be wasted; a design
that meets one shortens its own step, and the others go on.
"""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from materials.checks import Array

Indices = NDArray[np.int64]

ORDER = 3
"""Order of the accepted solution [-]."""

WEIGHTS = ((1 / 2,), (0.0, 3 / 4), (2 / 9, 1 / 3, 4 / 9))
"""What each stage takes of the slopes before it; the last is the step itself [-]."""

ERROR = (-5 / 72, 1 / 12, 1 / 9, -1 / 8)
"""What the step has of each slope more than the second-order one [-]."""

STAGES = len(ERROR)
"""Slopes of a step, the one it ends with included [-]."""

LEAST_STEP = 1e-9
"""A step below this is a failure [s]."""

CROWD = 0.8
"""When fewer than this part of the designs still go, the others are left out [-]."""


class Paths(NamedTuple):
    """Accepted points of every design; a design that ended earlier repeats its last point.

    Parameters
    ----------
    time : ndarray, shape (step, design)
        Times [s].
    states, slopes : ndarray, shape (state, step, design)
        States and their rates [any].
    evaluations : int
        Evaluations of the right-hand side, each for all designs [-].
    """

    time: Array
    states: Array
    slopes: Array
    evaluations: int


def follow(
    rates_of: Callable[[Indices], Callable[[Array], Array]],
    start: Array,
    *,
    sizes: Array,
    ended: Callable[[Array], NDArray[np.bool_]],
    duration: float,
    rtol: float,
    max_step: float,
    first_step: float,
) -> Paths:
    """Follow many designs, each until it has ended or its time is over.

    Parameters
    ----------
    rates_of : callable
        For some of the designs, the function that gives the rate of their states.
    start : ndarray, shape (state, design)
        Starting states [any].
    sizes : ndarray, shape (state, design)
        Size that each state can come to [any].
    ended : callable
        Whether each design has ended, of its states.
    duration : float
        Longest time to follow [s].
    rtol : float
        Error of one step over the size of a state; infinity takes every step as it is [-].
    max_step, first_step : float
        Longest and first step [s].

    Returns
    -------
    Paths
        Points and slopes, enough for cubic interpolation.

    Raises
    ------
    RuntimeError
        If a design cannot be integrated.

    References
    ----------
    P. Bogacki, L. F. Shampine, A 3(2) pair of Runge-Kutta formulas, Appl. Math. Lett. 2 (1989) 321-325
    (from memory; the order is tested).
    """
    width, total = start.shape
    counts, evaluations = np.zeros(total, dtype=int), 1
    alive = np.arange(total)
    rates = rates_of(alive)
    y, t, h, going = start, np.zeros(total), np.full(total, first_step), np.ones(total, dtype=bool)
    slopes = np.empty((STAGES, width, total))
    slopes[0] = rates(start)
    allowed = sizes * rtol
    held = np.zeros((64, total, 1 + 2 * width))
    held[0] = _rows(t, y, slopes[0])
    # a trial step may go far out before it is refused
    with np.errstate(over="ignore", invalid="ignore"):
        while going.any():
            np.minimum(h, np.maximum(duration - t, LEAST_STEP), out=h)
            for stage, weights in enumerate(WEIGHTS, start=1):
                new = y + h * _sum(weights, slopes[:stage])
                slopes[stage] = rates(new)
            evaluations += len(WEIGHTS)
            excess = np.max(np.abs(_sum(ERROR, slopes)) / allowed, axis=0) * h
            excess[~np.isfinite(excess)] = np.inf
            taken = going & (excess <= 1)
            if taken.all():
                y, slopes[0] = new, slopes[-1]
                t = t + h
            else:
                y = np.where(taken, new, y)
                np.copyto(slopes[0], slopes[-1], where=taken)
                t = np.where(taken, t + h, t)
            counts[alive] += taken
            if counts.max() == len(held):
                held = np.concatenate([held, np.zeros_like(held)])
            kept = alive[taken]
            held[counts[kept], kept] = _rows(t, y, slopes[0])[taken]
            h = np.minimum(h * np.clip(0.9 * np.maximum(excess, 1e-6) ** (-1 / ORDER), 0.2, 5.0), max_step)
            if (going & (h < LEAST_STEP)).any():
                k = int(np.argmax(going & (h < LEAST_STEP)))
                raise RuntimeError(f"drops: integration failed at {t[k]:.5g} s in design {alive[k]}")
            going &= ~(taken & ended(y)) & (t < duration * (1 - 1e-12))
            # what has ended is stepped on in vain until leaving it out saves more than it costs
            if going.any() and going.mean() < CROWD:
                alive, y, t, h = alive[going], y[:, going], t[going], h[going]
                slopes, allowed = slopes[..., going], allowed[:, going]
                rates, going = rates_of(alive), going[going]
    at = np.minimum(np.arange(counts.max() + 1)[:, np.newaxis], counts)
    held = np.moveaxis(held[at, np.arange(total)], -1, 0)
    return Paths(held[0], held[1 : 1 + width], held[1 + width :], evaluations)


def _sum(weights: tuple[float, ...], slopes: Array) -> Array:
    """Weighted sum over the stages, term by term: a matrix product would round by the company of a design."""
    whole = weights[0] * slopes[0]
    for weight, slope in zip(weights[1:], slopes[1:], strict=True):
        whole += weight * slope
    return np.asarray(whole)


def _rows(t: Array, y: Array, slope: Array) -> Array:
    """Time, state and slope side by side, one row per design."""
    return np.concatenate([t[np.newaxis], y, slope]).T


def around(paths: Paths, index: Indices, points: int) -> tuple[Array, Array]:
    """Interpolate each design's path between the neighbors of one of its points.

    Parameters
    ----------
    paths : Paths
        The paths.
    index : ndarray of int, shape (design,)
        Point of each design [-].
    points : int
        Points on each side [-].

    Returns
    -------
    time : ndarray, shape (point, design)
        Times [s].
    states : ndarray, shape (state, point, design)
        States, cubic between the accepted points [any].
    """
    designs, last = np.arange(len(index)), len(paths.time) - 1
    u = np.linspace(0.0, 1.0, points + 1)[:, np.newaxis]
    times, states = [], []
    for low in (np.maximum(index - 1, 0), index):
        high = np.minimum(low + 1, last)
        h = paths.time[high, designs] - paths.time[low, designs]
        y0, y1 = paths.states[:, low, designs][:, np.newaxis], paths.states[:, high, designs][:, np.newaxis]
        m0, m1 = (h * paths.slopes[:, at, designs][:, np.newaxis] for at in (low, high))
        cubic = y0 + u * (m0 + u * (3 * (y1 - y0) - 2 * m0 - m1 + u * (2 * (y0 - y1) + m0 + m1)))
        times.append(paths.time[low, designs] + u * h)
        states.append(cubic)
    return np.concatenate(times), np.concatenate(states, axis=1)
