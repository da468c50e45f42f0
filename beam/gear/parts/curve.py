"""A smooth curve through published points, with its slope kept monotone and its integral exact.

Tire charts, damper charts, metering pins and friction against slip all come as a few points.
The cubic pieces of Fritsch and Butland pass through every point, do not overshoot between them
and have a continuous slope, so that an integrator keeps its order on them.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.gear.checks import numbers
from materials.checks import Array, array, flag, reject
from materials.kinds import text


def monotone_slopes(x: ArrayLike, y: ArrayLike) -> Array:
    """Slopes of a piecewise cubic that does not overshoot its points.

    Parameters
    ----------
    x : array_like, shape (point,)
        Abscissas, rising [any].
    y : array_like, shape (point,)
        Ordinates [any].

    Returns
    -------
    ndarray, shape (point,)
        Slope at each point [any].

    Notes
    -----
    Inside, the weighted harmonic mean of the two chord slopes where they have one sign, else zero.
    At the ends, the slope of the parabola through three points, limited to keep the sign of the
    first chord and three times its size.

    References
    ----------
    F. N. Fritsch, J. Butland, A method for constructing local monotone piecewise cubic interpolants,
    SIAM J. Sci. Stat. Comput. 5 (1984) 300-304 (from memory).
    """
    x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    step = np.diff(x)
    chord = np.diff(y) / step
    if len(chord) == 1:
        return np.repeat(chord, 2)
    left, right, before, after = step[:-1], step[1:], chord[:-1], chord[1:]
    same = before * after > 0
    with np.errstate(divide="ignore", invalid="ignore"):
        weight_before, weight_after = 2 * right + left, right + 2 * left
        harmonic = (weight_before + weight_after) / (weight_before / before + weight_after / after)
    inside = np.where(same, harmonic, 0.0)

    def end(near: float, far: float, first: float, second: float) -> float:
        slope = ((2 * near + far) * first - near * second) / (near + far)
        if slope * first <= 0:
            return 0.0
        return slope if abs(slope) <= 3 * abs(first) or first * second > 0 else 3 * first

    first = end(step[0], step[1], chord[0], chord[1])
    last = end(step[-1], step[-2], chord[-1], chord[-2])
    return np.concatenate([[first], inside, [last]])


@dataclass(frozen=True, kw_only=True, eq=False)
class Curve:
    """A monotone piecewise cubic through points.

    Parameters
    ----------
    x : array_like, shape (point,)
        Abscissas, rising, two at least [any].
    y : array_like, shape (point,)
        Ordinates [any].
    extend : bool
        Beyond the points go on along the end slopes (True) or hold the end values (False).
    name : str
        What the curve is, for messages.

    Raises
    ------
    ValueError
        If the abscissas do not rise or the two lengths differ.
    """

    x: Array
    y: Array
    extend: bool = False
    name: str = "Curve"
    slopes: Array = field(init=False, repr=False)
    areas: Array = field(init=False, repr=False)
    cubics: Array = field(init=False, repr=False)

    def __post_init__(self) -> None:
        text("Curve: name", self.name)
        flag(f"{self.name}: extend", self.extend)
        x, y = array(f"{self.name}: x", self.x, last=(-1,)), array(f"{self.name}: y", self.y, last=(-1,))
        if x.ndim != 1 or x.shape != y.shape or len(x) < 2:
            reject(f"{self.name}: points", f"shapes {x.shape} and {y.shape}", "two equal rows of two or more")
        if not (np.diff(x) > 0).all():
            reject(f"{self.name}: x", x.tolist(), "rising", "points out of order or twice the same?")
        slopes, step = monotone_slopes(x, y), np.diff(x)
        piece = step * (y[:-1] + y[1:]) / 2 + step**2 * (slopes[:-1] - slopes[1:]) / 12
        areas = np.concatenate([[0.0], np.cumsum(piece)])
        m0, m1, rise = slopes[:-1], slopes[1:], np.diff(y) / step
        cubics = np.array([y[:-1], m0, (3 * rise - 2 * m0 - m1) / step, (m0 + m1 - 2 * rise) / step**2])
        held = {"x": x, "y": y, "slopes": slopes, "areas": areas, "cubics": cubics}
        for name, value in held.items():
            value.setflags(write=False)
            object.__setattr__(self, name, value)

    def __call__(self, x: ArrayLike) -> Array:
        """Ordinate of the curve.

        Parameters
        ----------
        x : array_like, shape (...)
            Abscissa [any].

        Returns
        -------
        ndarray, shape (...)
            Ordinate [any].
        """
        x = numbers("Curve: x", x)
        i, d, beyond = self._place(x)
        c0, c1, c2, c3 = self.cubics
        inside = c0[i] + d * (c1[i] + d * (c2[i] + d * c3[i]))
        if not self.extend:
            return inside
        return inside + beyond * np.where(beyond < 0, self.slopes[0], self.slopes[-1])

    def integral(self, x: ArrayLike) -> Array:
        """Area under the curve from zero abscissa.

        Parameters
        ----------
        x : array_like, shape (...)
            Abscissa [any].

        Returns
        -------
        ndarray, shape (...)
            Integral of the ordinate from 0 to x [any].
        """
        return self._area(numbers("Curve.integral: x", x)) - self._area(np.zeros(()))

    def _place(self, x: Array) -> tuple[NDArray[np.int64], Array, Array]:
        """Piece, how far x lies in it, and how far x lies beyond the points."""
        held = np.minimum(np.maximum(x, self.x[0]), self.x[-1])
        i = np.searchsorted(self.x[1:-1], held, side="right")
        return i, held - self.x[i], x - held

    def _area(self, x: Array) -> Array:
        i, d, beyond = self._place(x)
        c0, c1, c2, c3 = self.cubics
        area = self.areas[i] + d * (c0[i] + d * (c1[i] / 2 + d * (c2[i] / 3 + d * c3[i] / 4)))
        end = np.where(beyond < 0, self.y[0], self.y[-1])
        slope = np.where(beyond < 0, self.slopes[0], self.slopes[-1]) if self.extend else 0.0
        return area + beyond * (end + slope * beyond / 2)
