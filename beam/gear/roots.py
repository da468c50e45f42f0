"""The root of a rising function, for arrays."""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array


def rising_root(function: Callable[[Array], Array], low: ArrayLike, high: ArrayLike) -> Array:
    """Root of a rising function between arrays of shape (...), by bisection; an end where the sign does not change."""
    low, high = np.broadcast_arrays(np.asarray(low, dtype=float), np.asarray(high, dtype=float))
    for _ in range(64):
        middle = 0.5 * (low + high)
        below = function(middle) < 0
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return 0.5 * (low + high)
