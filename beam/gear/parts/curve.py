"""A smooth curve through published points: tire charts, damper charts, metering pins, friction over slip."""

from functools import cached_property
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike
from scipy.interpolate import PchipInterpolator, PPoly

from materials.checks import Array, Frozen, Limits, Numbers, checked, reject

_ROW = Limits("any", shape=(-1,))


class Curve(Frozen):
    """Monotone piecewise cubic through points.

    Parameters
    ----------
    x : array_like, shape (point,)
        Abscissas, rising, two at least [any].
    y : array_like, shape (point,)
        Ordinates [any].
    extend : bool
        Beyond the points, go on along the end slopes (True) or keep the end values (False).
    name : str, optional
        What the curve is, for messages.

    Raises
    ------
    ValueError
        If the abscissas do not rise or the two lengths differ.

    Notes
    -----
    Slope at an inner point: weighted harmonic mean of the two chord slopes, zero where their signs differ. The curve
    does not overshoot its points and its slope is continuous, so that an integrator keeps its order on it.

    References
    ----------
    F. N. Fritsch, J. Butland, A method for constructing local monotone piecewise cubic interpolants,
    SIAM J. Sci. Stat. Comput. 5 (1984) 300-304 (from memory), as `scipy.interpolate.PchipInterpolator` has it.

    Examples
    --------
    >>> from beam.gear import Curve
    >>> curve = Curve(x=[0.0, 1.0, 2.0], y=[0.0, 1.0, 3.0])
    >>> float(curve(2.0)), float(curve(9.0)), round(float(curve(0.5)), 4)
    (3.0, 3.0, 0.3958)
    """

    x: Annotated[Numbers, _ROW]
    y: Annotated[Numbers, _ROW]
    extend: bool = False
    name: str | None = None

    def __post_init__(self) -> None:
        super().__post_init__()
        owner, x = self._owner(), self.x
        if x.shape != self.y.shape or len(x) < 2:
            got = f"{len(x)} abscissas and {len(self.y)} ordinates"
            reject(f"{owner}: x, y", got, "two equal rows of two or more")
        if not (np.diff(x) > 0).all():
            reject(f"{owner}: x [any]", x.tolist(), "rising", "points out of order or twice the same?")

    @cached_property
    def pieces(self) -> PPoly:
        """The cubic pieces, with a straight piece before the first point and one after the last."""
        inside = PchipInterpolator(self.x, self.y)
        slope = inside(self.x[[0, -1]], 1) if self.extend else np.zeros(2)
        coefficients = np.zeros((4, len(self.x) + 1))
        coefficients[:, 1:-1] = inside.c
        coefficients[2:, 0] = slope[0], self.y[0] - slope[0]
        coefficients[2:, -1] = slope[1], self.y[-1]
        return PPoly(coefficients, np.concatenate([[self.x[0] - 1], self.x, [self.x[-1] + 1]]))

    @cached_property
    def area(self) -> PPoly:
        """Area under the curve, from a fixed abscissa."""
        return self.pieces.antiderivative()

    @checked
    def __call__(self, x: Annotated[ArrayLike, Limits("any", finite=False)]) -> Array:
        """Ordinate at abscissas of shape (...), same shape."""
        return np.asarray(self.pieces(np.asarray(x)))

    @checked
    def integral(self, x: Annotated[ArrayLike, Limits("any", finite=False)]) -> Array:
        """Area under the curve from zero to each abscissa, exact for the cubic pieces, shape (...) [any].

        Parameters
        ----------
        x : array_like, shape (...)
            Abscissa [any].
        """
        return np.asarray(self.area(np.asarray(x)) - self.area(0.0))
