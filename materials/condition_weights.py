"""Weights of tested conditions that surround a temperature and moisture."""

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, array, number

SAME_MOISTURE = 1e-9  # below any weighing
SAME_TEMPERATURE = 1e-6  # [K], below any thermometer


def condition_weights(tested: ArrayLike, temperature: float, moisture: float) -> Array | None:
    """Weights that turn properties at tested conditions into those at a condition in between.

    Parameters
    ----------
    tested : array_like, shape (condition, 2)
        Temperature [K] and moisture mass fraction [-] of each test.
    temperature : float
        Temperature wanted [K].
    moisture : float
        Moisture mass fraction wanted [-].

    Returns
    -------
    ndarray, shape (condition,) or None
        Weights, none negative, sum 1 [-]; None if the tests do not surround the condition.

    Raises
    ------
    ValueError
        If a value is not finite, or the tests are not pairs.

    Notes
    -----
    At one tested moisture the properties are linear between neighboring temperatures. Between two tested
    moistures c0 < c1, with w = (c - c0) / (c1 - c0), a property is (1 - w) f0(T0) + w f1(T1), where
    T0 = T1 = T if both were tested around T. If one was not, it is taken at the end of its tested range, and
    the other where (1 - w) T0 + w T1 = T. This is continuous, bilinear on a full grid, linear on the triangle
    of one hot wet test over dry ones, and exact for what is linear in temperature and moisture.
    """
    points = array("condition_weights: tested [K, -]", tested, last=(-1, 2))
    T = number("condition_weights: temperature [K]", temperature)
    c = number("condition_weights: moisture [-]", moisture)
    at_level = np.abs(points[:, 1] - c) <= SAME_MOISTURE
    if at_level.any():
        return _along(points, at_level, T)
    below, above = points[points[:, 1] < c, 1], points[points[:, 1] > c, 1]
    if not below.size or not above.size:
        return None
    c0, c1 = below.max(), above.min()
    dry, wet = (np.abs(points[:, 1] - level) <= SAME_MOISTURE for level in (c0, c1))
    w = (c - c0) / (c1 - c0)
    T0, T1 = (np.clip(T, points[level, 0].min(), points[level, 0].max()) for level in (dry, wet))
    if T1 != T:
        T0 = (T - w * T1) / (1.0 - w)
    elif T0 != T:
        T1 = (T - (1.0 - w) * T0) / w
    along_dry, along_wet = _along(points, dry, T0), _along(points, wet, T1)
    if along_dry is None or along_wet is None:
        return None
    return np.asarray((1.0 - w) * along_dry + w * along_wet)


def _along(points: Array, level: np.ndarray, T: float) -> Array | None:
    """Linear weights between the two neighbors in temperature at one moisture."""
    rows = np.flatnonzero(level)
    rows = rows[np.argsort(points[rows, 0])]
    tested = points[rows, 0]
    if not tested[0] - SAME_TEMPERATURE <= T <= tested[-1] + SAME_TEMPERATURE:
        return None
    weights = np.zeros(len(points))
    for row, unit in zip(rows, np.eye(len(rows)), strict=True):
        weights[row] = np.interp(T, tested, unit)
    return weights
