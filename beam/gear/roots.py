"""The root of a rising function, for arrays."""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array


def rising_root(function: Callable[[Array], Array], low: ArrayLike, high: ArrayLike) -> Array:
    """Find where a rising function passes through zero, by bisection.

    Parameters
    ----------
    function : callable
        Rising function of an array; negative at `low`, positive at `high`.
    low, high : array_like, shape (...)
        Ends of the bracket [any].

    Returns
    -------
    ndarray, shape (...)
        The root, to the last bit of the bracket's size; an end of the bracket where the function
        has one sign over the whole of it [any].
    """
    low, high = np.broadcast_arrays(np.asarray(low, dtype=float), np.asarray(high, dtype=float))
    for _ in range(64):
        middle = 0.5 * (low + high)
        below = function(middle) < 0
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return 0.5 * (low + high)
