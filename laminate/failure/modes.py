"""How a ply fails: the common names of the modes, and the mode of criteria that do not tell."""

from enum import IntEnum
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray

from materials.allowables import Allowables
from materials.checks import Array, Limits, checked, reject

ModeArray = NDArray[np.int8]


class Mode(IntEnum):
    """Failure mode of a ply; arrays of modes hold its integers.

    Notes
    -----
    NONE: the load never meets the criterion. INTER_FIBER_A, B and C are Puck's cracks along the fibers: A is normal
    to the ply and opened by transverse tension; B is the same crack driven by shear and closed by transverse
    compression; C is inclined, under high transverse compression, and can wedge the laminate apart (A. Puck,
    H. Schürmann, Compos. Sci. Technol. 58 (1998) 1045-1067).

    Examples
    --------
    >>> Mode(3).label
    'matrix tension'
    >>> Mode.FIBER_TENSION.in_fiber
    True
    """

    NONE = 0
    FIBER_TENSION = 1
    FIBER_COMPRESSION = 2
    MATRIX_TENSION = 3
    MATRIX_COMPRESSION = 4
    SHEAR = 5
    INTER_FIBER_A = 6
    INTER_FIBER_B = 7
    INTER_FIBER_C = 8

    @property
    def label(self) -> str:
        """The name in words, as in ``"fiber tension"``."""
        return self.name.lower().replace("_", " ")

    @property
    def in_fiber(self) -> bool:
        """Whether the fibers break, so that the ply carries no more load along them."""
        return self in (Mode.FIBER_TENSION, Mode.FIBER_COMPRESSION)


@checked
def labels(mode: Annotated[ArrayLike, Limits("-")]) -> NDArray[np.str_]:
    """Words for an array of modes.

    Parameters
    ----------
    mode : array_like of int, shape (...)
        Values of `Mode` [-].

    Returns
    -------
    ndarray of str, shape (...)
        As in ``"matrix tension"``.

    Raises
    ------
    ValueError
        If a value is none of `Mode`.

    Examples
    --------
    >>> labels([1, 5]).tolist()
    ['fiber tension', 'shear']
    """
    known = np.asarray(mode)
    if not np.isin(known, list(Mode)).all():
        reject("labels: mode [-]", known[~np.isin(known, list(Mode))][0], f"values of Mode, 0 to {max(Mode)}")
    return np.array([m.label for m in Mode])[known.astype(int)]


def dominant_mode(ratio: Array, stress: Array, allowables: Allowables, residual: Array | None) -> ModeArray:
    """Mode of the stress nearest its own strength at the failing stress state, (...); common practice, no source."""
    reached = np.isfinite(ratio)
    state = np.where(reached, ratio, 0.0)[..., None] * stress
    if residual is not None:
        state = state + residual
    s1, s2, t12 = np.moveaxis(state, -1, 0)
    a = allowables
    used = np.stack([s1 / a.Xt, -s1 / a.Xc, s2 / a.Yt, -s2 / a.Yc, abs(t12) / a.S])
    return np.where(reached, np.argmax(used, axis=0) + int(Mode.FIBER_TENSION), Mode.NONE).astype(np.int8)
