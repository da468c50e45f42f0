"""Pieces of a failure surface, and where a load path first meets them.

Nearly every criterion for a ply in plane stress is a set of polynomials of at most second degree, each
for one mode and one range of the stress. Along a straight load path R s + r each is a quadratic in R,
so the strength ratio is exact, also with a residual stress r and across the borders of the ranges.
"""

from dataclasses import dataclass
from functools import reduce
from typing import Literal, Protocol

import numpy as np

from laminate.failure.modes import Mode
from materials.checks import Array

Components = tuple[Array, Array, Array]
Value = Array | float
HalfSpace = tuple[tuple[float, float, float], float]


class Piece(Protocol):
    """A piece of a failure surface: its mode, and where a load path first meets it."""

    @property
    def mode(self) -> Mode:
        """Name of the failure that the piece stands for."""

    def crossing(self, s: Components, r: Components | None, least: Array) -> Array:
        """Smallest R >= 0 at which R s + r is on or beyond the piece, inf if it never is; a piece need not
        look beyond `least`, where another one is met."""


@dataclass(frozen=True, kw_only=True)
class Surface:
    """One piece of a failure surface: linear + quadratic = level, within a range.

    The ply fails where linear + quadratic >= level. `quadratic` holds (i, j, coefficient) of the
    monomials x_i x_j, i <= j; `linear` holds (i, coefficient). The piece counts in the half-spaces
    n x >= bound, one for each (n, bound) of `within`. The components x are stresses [Pa] or strains [-]
    in ply axes, and the coefficients have the inverse unit.

    Parameters
    ----------
    mode : Mode
        Name of the failure that the piece stands for.
    linear : tuple of (int, float)
        Coefficients of the components [1/Pa] or [-].
    quadratic : tuple of (int, int, float)
        Coefficients of the products of components [1/Pa^2] or [-].
    level : float
        Value at failure; it can be zero only if `within` keeps the origin out [-].
    within : tuple of (tuple of float, float)
        Normal and bound of the half-spaces in which the piece counts [-] and [Pa] or [-].
    of : {"stress", "strain"}
        What the components are.
    """

    mode: Mode
    linear: tuple[tuple[int, float], ...] = ()
    quadratic: tuple[tuple[int, int, float], ...] = ()
    level: float = 1.0
    within: tuple[HalfSpace, ...] = ()
    of: Literal["stress", "strain"] = "stress"

    def crossing(self, s: Components, r: Components | None, least: Array) -> Array:
        """Smallest R >= 0 at which R s + r is on or beyond the surface within its range.

        Parameters
        ----------
        s, r : tuple of three ndarray, shape (...)
            Components of the part that grows and of the part that stays [Pa] or [-].
        least : ndarray, shape (...)
            R up to which the answer matters; not needed where it is solved for [-].

        Returns
        -------
        ndarray, shape (...)
            R, inf where the path never meets the piece [-].
        """
        a, b, c = _rise(self, s, r)
        if not self.within:
            return first_root(a, b, c)
        enter, leave = span(self.within, s, r)
        x = enter + first_root(a, b + 2 * a * enter, c - (b + a * enter) * enter)
        return np.where(x <= leave, x, np.inf)


def _rise(surface: Surface, s: Components, r: Components | None) -> tuple[Value, Value, Value]:
    """Coefficients a, b, c of a R^2 + b R = c along R s + r."""
    a: Value = 0.0
    b: Value = 0.0
    c: Value = surface.level
    for i, k in surface.linear:
        b = b + k * s[i]
        if r is not None:
            c = c - k * r[i]
    for i, j, k in surface.quadratic:
        a = a + k * s[i] * s[j]
        if r is not None:
            b = b + k * (s[i] * r[j] + s[j] * r[i])
            c = c - k * r[i] * r[j]
    return a, b, c


def along(normal: tuple[float, float, float], x: Components) -> Array:
    """Product of a normal with the components, zeros of the normal left out.

    Parameters
    ----------
    normal : tuple of three float
        The normal, not all zero [-].
    x : tuple of three ndarray, shape (...)
        Components [Pa] or [-].

    Returns
    -------
    ndarray, shape (...)
        n x [Pa] or [-].
    """
    return reduce(np.add, [n * x[i] for i, n in enumerate(normal) if n != 0])


def span(within: tuple[HalfSpace, ...], s: Components, r: Components | None) -> tuple[Value, Value]:
    """Part of a load path within some half-spaces.

    Parameters
    ----------
    within : tuple of (tuple of float, float)
        Normal and bound of each half-space [-] and [Pa] or [-].
    s, r : tuple of three ndarray, shape (...)
        Components of the part that grows and of the part that stays [Pa] or [-].

    Returns
    -------
    enter, leave : ndarray, shape (...), or float
        R at the ends, 0 <= enter; leave < enter where no part is within [-].
    """
    enter: Value = 0.0
    leave: Value = np.inf
    for normal, bound in within:
        slope = along(normal, s)
        ahead = bound if r is None else bound - along(normal, r)
        border = ahead / slope
        enter = np.where(slope > 0, np.maximum(enter, border), enter)
        leave = np.where(slope < 0, np.minimum(leave, border), leave)
        leave = np.where((slope == 0) & (ahead > 0), -1.0, leave)
    return enter, leave


def first_root(a: Value, b: Value, c: Value) -> Array:
    """Smallest x >= 0 with a x^2 + b x >= c, without cancellation.

    Parameters
    ----------
    a, b, c : ndarray, shape (...), or float
        Coefficients, in consistent units [any].

    Returns
    -------
    ndarray, shape (...)
        0 where c <= 0, inf where the value c is never reached [any].

    Notes
    -----
    x = 2 c / (b + sqrt(b^2 + 4 a c)) for b >= 0, which survives a -> 0, and
    x = (-b + sqrt(b^2 + 4 a c)) / (2 a) for b < 0, which does not subtract near-equal numbers.
    """
    x: Array
    if not isinstance(a, np.ndarray) and a == 0:
        x = np.divide(c, np.maximum(b, 0.0) + 0.0)  # never -0, so a load that falls away gives +inf
    else:
        d = b * b + 4 * a * c
        q = abs(b) + np.sqrt(np.maximum(d, 0))
        x = np.where(np.greater_equal(b, 0), 2 * c / q, np.where(np.greater(a, 0), q / (2 * a), np.inf))
        x = np.where(np.greater_equal(d, 0), x, np.inf)
    if not isinstance(c, np.ndarray) and c > 0:
        return x
    return np.where(np.greater(c, 0), x, 0.0)
