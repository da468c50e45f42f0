"""A piece of a failure surface that is no polynomial: its ratio is searched, not solved."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from laminate.failure.modes import Mode
from laminate.failure.surface import Components, HalfSpace, span
from materials.checks import Array

BoolArray = NDArray[np.bool_]
STEPS = np.concatenate([[0.0], np.geomspace(1e-3, 1 - 1e-9, 64)])
"""Places at which a failure is looked for, as parts of the load path within the range of the piece."""


@dataclass(frozen=True, kw_only=True)
class SearchedPiece:
    """Piece known only by a function that says whether a stress state is beyond it.

    Parameters
    ----------
    mode : Mode
        Name of the failure that the piece stands for.
    beyond : callable
        From three arrays of components [Pa] to an array of bool.
    within : tuple of (tuple of float, float)
        Normal and bound of the half-spaces in which the piece lies [-] and [Pa].
    reach : float
        Size of the largest component up to which the load is followed [Pa].

    Notes
    -----
    The load is followed through the range, or up to `reach`, in steps of at most 12 %, and the first
    step that ends beyond the piece is halved to the last digit. What begins and ends within one step is
    missed.
    """

    mode: Mode
    beyond: Callable[[Array, Array, Array], BoolArray]
    within: tuple[HalfSpace, ...]
    reach: float

    def crossing(self, s: Components, r: Components | None) -> Array:
        """Smallest R >= 0 at which R s + r is on or beyond the piece.

        Parameters
        ----------
        s, r : tuple of three ndarray, shape (...)
            Components of the part that grows, the largest of size 1 or all 0, and of the part that
            stays [Pa].

        Returns
        -------
        ndarray, shape (...)
            R, inf where the path does not meet the piece within the reach [-].
        """
        enter, leave = span(self.within, s, r)
        leave = np.minimum(leave, self.reach)
        rows = np.flatnonzero(leave > enter)
        load = np.stack(s)[:, rows]
        rest = np.zeros_like(load) if r is None else np.stack(r)[:, rows]
        start, length = (np.broadcast_to(v, leave.shape)[rows] for v in (enter, leave - enter))
        safe, beyond = start, np.full(len(rows), np.inf)
        for step in STEPS:
            R = start + step * length
            met, ahead = self.beyond(*(R * load + rest)), np.isinf(beyond)
            beyond = np.where(ahead & met, R, beyond)
            safe = np.where(ahead & ~met, R, safe)
        found = np.isfinite(beyond) & (beyond > start)
        load, rest, low, high = load[:, found], rest[:, found], safe[found], beyond[found]
        while ((low < (middle := (low + high) / 2)) & (middle < high)).any():
            met = self.beyond(*(middle * load + rest))
            low, high = np.where(met, low, middle), np.where(met, middle, high)
        beyond[found] = high
        out = np.full(len(s[0]), np.inf)
        out[rows] = beyond
        return out
