"""Checks kept here until every caller declares its fields."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from materials.checks import array, reject
from materials.checks import instance as instance
from materials.checks import instances as instances
from materials.checks import text as text


def whole_numbers(what: str, value: ArrayLike) -> NDArray[np.intp]:
    """Copy to an array of whole numbers."""
    out = array(what, value)
    kind = np.asarray(value).dtype
    if not np.issubdtype(kind, np.integer):
        reject(what, f"numbers of type {kind}", "whole numbers")
    return out.astype(np.intp)
