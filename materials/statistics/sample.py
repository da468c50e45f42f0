"""A sample of coupon values: how it is declared, and what every method asks of it."""

from collections.abc import Sequence
from typing import Annotated, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from materials.checks import Array, Limits, reject

BasisLetter = Literal["A", "B"]
Sample = Annotated[ArrayLike, Limits("any", last=(-1,))]
FlatSample = Annotated[ArrayLike, Limits("any", shape=(-1,))]
STRENGTHS = Limits("any", last=(-1,), above=0.0, cause="strengths are magnitudes, compression too")
PositiveSample = Annotated[ArrayLike, STRENGTHS]
Batches = Annotated[Sequence[ArrayLike], Limits("any", shape=(-1,), items=2)]

ROUNDING = 1e-12
"""Scatter, relative to the values, that rounding alone explains [-]."""

PROPORTION = {"A": 0.99, "B": 0.90}
"""Share of the population that a basis value must leave above it [-]."""


def scattering(sample: ArrayLike, *, least: int = 2, what: str = "sample") -> Array:
    """Return a checked sample (..., n) as an array; refuse too few values, and values that are all equal."""
    x = np.asarray(sample)
    n = x.shape[-1] if x.size else 0
    if n < least:
        reject(f"{what}: number of values [-]", n, f">= {least}", "coupons missing?")
    if not scatters(x).all():
        reject(what, "equal values only", "values that scatter", "rounded off, or one coupon copied?")
    return x


def scatters(x: Array) -> NDArray[np.bool_]:
    """Tell for each sample of (..., n) whether its values differ by more than rounding."""
    return np.asarray(np.ptp(x, axis=-1) > ROUNDING * abs(x).max(axis=-1))


def nonempty(batches: Sequence[ArrayLike]) -> list[Array]:
    """Return checked batches as flat arrays; refuse an empty one, and values that are all equal."""
    groups = [np.asarray(one) for one in batches]
    for i, one in enumerate(groups):
        if not one.size:
            reject(f"batches[{i}]", "no values", "at least one")
    scattering(np.concatenate(groups), what="batches")
    return groups
