"""Points that rotate about an axis: position a + b cos q + c sin q at an angle q.

The three terms (a, b, c) of a point give its position, its derivative by the angle, and the square of its distance
from a fixed point, which has three terms (A, B, C) too.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array


def circle(point: ArrayLike, center: ArrayLike, axis: ArrayLike) -> Array:
    """Terms, shape (..., 3, 3), rows a, b, c, of a point (..., 3) about a unit axis through a center (Rodrigues)."""
    h, center = np.asarray(axis, dtype=float), np.asarray(center, dtype=float)
    d = np.asarray(point, dtype=float) - center
    along = np.sum(h * d, axis=-1, keepdims=True) * h
    return np.stack(np.broadcast_arrays(center + along, d - along, np.cross(h, d)), axis=-2)


def distance_terms(terms: ArrayLike, fixed: ArrayLike) -> Array:
    """Terms A, B, C, shape (..., 3), of L**2 = A + B cos q + C sin q to a fixed point (..., 3)."""
    terms = np.asarray(terms, dtype=float)
    a, b, c = terms[..., 0, :] - np.asarray(fixed, dtype=float), terms[..., 1, :], terms[..., 2, :]

    def dot(u: Array, v: Array) -> Array:
        return np.sum(u * v, axis=-1)

    # |b| = |c| and b is square to c, so the squared terms add up to a constant
    return np.stack([dot(a, a) + dot(b, b), 2 * dot(a, b), 2 * dot(a, c)], axis=-1)


def position(terms: Array, angle: ArrayLike) -> Array:
    """Position, shape (..., 3), at angles of shape (...)."""
    q = np.asarray(angle, dtype=float)[..., np.newaxis]
    return terms[0] + terms[1] * np.cos(q) + terms[2] * np.sin(q)


def slope(terms: Array, angle: ArrayLike) -> Array:
    """Derivative of the position by the angle, shape (..., 3), at angles of shape (...)."""
    q = np.asarray(angle, dtype=float)[..., np.newaxis]
    return terms[2] * np.cos(q) - terms[1] * np.sin(q)


def turned(terms: Array, cos: Array, sin: Array) -> Array:
    """Value A + B cos q + C sin q, shape (...), of scalar terms of shape (3, ...)."""
    A, B, C = terms
    value: Array = A + B * cos + C * sin
    return value


def turned_slope(terms: Array, cos: Array, sin: Array) -> Array:
    """Derivative of `turned` by q."""
    _, B, C = terms
    slope: Array = C * cos - B * sin
    return slope


def lowest_point(
    axle_up: Array, wheel_axis_up: Array, radius: float, cos: Array, sin: Array
) -> tuple[Array, Array]:
    """Height of an unloaded wheel's lowest point and its derivative by the angle.

    A disk whose axle leans by c from level reaches radius cos c below its center.
    """
    height, rise = turned(axle_up, cos, sin), turned_slope(axle_up, cos, sin)
    if not wheel_axis_up.any():
        return height - radius, rise
    lean = turned(wheel_axis_up, cos, sin)
    upright = np.sqrt(1 - lean**2)
    return height - radius * upright, rise + radius * lean * turned_slope(wheel_axis_up, cos, sin) / upright


def unit_vector(vector: Array) -> Array:
    """The vector over its length, read-only; a vector that is a unit one already keeps every bit."""
    size = float(np.linalg.norm(vector))
    out = vector if abs(size - 1) < 1e-15 else vector / size
    out.setflags(write=False)
    return out


def rising_root(function: Callable[[Array], Array], low: ArrayLike, high: ArrayLike) -> Array:
    """Root of a rising function between arrays of shape (...), by bisection; an end where the sign does not change."""
    low, high = np.broadcast_arrays(np.asarray(low, dtype=float), np.asarray(high, dtype=float))
    for _ in range(64):
        middle = 0.5 * (low + high)
        below = function(middle) < 0
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return 0.5 * (low + high)
