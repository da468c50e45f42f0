"""Points that go round an axis, as terms a, b, c of a + b cos q + c sin q.

Everything that the link carries moves on a circle about the hinge, so every position, its
derivatives by the angle, and the square of the shock's length are three terms each.
"""

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array


def circle(point: ArrayLike, center: ArrayLike, axis: ArrayLike) -> Array:
    """Terms of the circle that a point makes around an axis (Rodrigues).

    Parameters
    ----------
    point : array_like, shape (..., 3)
        The point at angle zero [m].
    center : array_like, shape (..., 3)
        A point of the axis [m].
    axis : array_like, shape (..., 3)
        Unit vector along the axis; the angle is right-handed about it [-].

    Returns
    -------
    ndarray, shape (..., 3, 3)
        Rows a, b, c [m].

    Notes
    -----
    With d from center to point: a = center + (h . d) h, b = d - (h . d) h, c = h x d.
    """
    h, center = np.asarray(axis, dtype=float), np.asarray(center, dtype=float)
    d = np.asarray(point, dtype=float) - center
    along = np.sum(h * d, axis=-1, keepdims=True) * h
    return np.stack(np.broadcast_arrays(center + along, d - along, np.cross(h, d)), axis=-2)


def distance_terms(terms: ArrayLike, fixed: ArrayLike) -> Array:
    """Terms of the square of the distance from a circling point to a fixed one.

    Parameters
    ----------
    terms : array_like, shape (..., 3, 3)
        Rows a, b, c of the circling point [m].
    fixed : array_like, shape (..., 3)
        The fixed point [m].

    Returns
    -------
    ndarray, shape (..., 3)
        A, B, C of L**2 = A + B cos q + C sin q [m2].

    Notes
    -----
    |b| = |c|, b and c are square to each other, so the squared terms add up to a constant.
    """
    terms = np.asarray(terms, dtype=float)
    a, b, c = terms[..., 0, :] - np.asarray(fixed, dtype=float), terms[..., 1, :], terms[..., 2, :]

    def dot(u: Array, v: Array) -> Array:
        return np.sum(u * v, axis=-1)

    return np.stack([dot(a, a) + dot(b, b), 2 * dot(a, b), 2 * dot(a, c)], axis=-1)


def position(terms: Array, angle: ArrayLike) -> Array:
    """Position on a circle.

    Parameters
    ----------
    terms : ndarray, shape (3, 3)
        Rows a, b, c [m].
    angle : array_like, shape (...)
        Angle [rad].

    Returns
    -------
    ndarray, shape (..., 3)
        Position [m].
    """
    q = np.asarray(angle, dtype=float)[..., np.newaxis]
    return terms[0] + terms[1] * np.cos(q) + terms[2] * np.sin(q)


def slope(terms: Array, angle: ArrayLike) -> Array:
    """Derivative of the position on a circle by the angle.

    Parameters
    ----------
    terms : ndarray, shape (3, 3)
        Rows a, b, c [m].
    angle : array_like, shape (...)
        Angle [rad].

    Returns
    -------
    ndarray, shape (..., 3)
        Derivative [m/rad].
    """
    q = np.asarray(angle, dtype=float)[..., np.newaxis]
    return terms[2] * np.cos(q) - terms[1] * np.sin(q)
