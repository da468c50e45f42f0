"""How a ply fails: the common names of the modes, and the mode of criteria that do not tell."""

from enum import IntEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from materials.allowables import Allowables
from materials.checks import Array, reject

ModeArray = NDArray[np.int8]


class Mode(IntEnum):
    """Name of a failure mode; arrays of modes hold its integers."""

    NONE = 0
    """The load never reaches the criterion."""
    FIBER_TENSION = 1
    FIBER_COMPRESSION = 2
    MATRIX_TENSION = 3
    MATRIX_COMPRESSION = 4
    SHEAR = 5
    INTER_FIBER_A = 6
    """Puck: crack along the fibers, normal to the ply, opened by transverse tension."""
    INTER_FIBER_B = 7
    """Puck: the same crack driven by shear, held closed by transverse compression."""
    INTER_FIBER_C = 8
    """Puck: inclined crack under high transverse compression, which can wedge the laminate apart."""

    @property
    def label(self) -> str:
        """The name in words, as in ``"fiber tension"``."""
        return self.name.lower().replace("_", " ")

    @property
    def in_fiber(self) -> bool:
        """Whether the fibers break, so that the ply carries no more load along them."""
        return self in (Mode.FIBER_TENSION, Mode.FIBER_COMPRESSION)


def judged_by(what: str, allowables: Allowables) -> Allowables:
    """Return the allowables of a criterion; stop if the lamina had none.

    Parameters
    ----------
    what : str
        The criterion, for the message.
    allowables : Allowables
        What was given.

    Returns
    -------
    Allowables
        The same.

    Raises
    ------
    ValueError
        If it is something else.
    """
    given: object = allowables
    if not isinstance(given, Allowables):
        reject(f"{what}: allowables", repr(given), "Allowables", "a lamina without any?")
    return given


def labels(mode: ArrayLike) -> NDArray[np.str_]:
    """Words for an array of modes.

    Parameters
    ----------
    mode : array_like of int, shape (...)
        Values of `Mode` [-].

    Returns
    -------
    ndarray of str, shape (...)
        As in ``"matrix tension"``, without unit [-].

    Raises
    ------
    ValueError
        If a value is none of `Mode`.
    """
    try:
        known = np.asarray(mode)
    except ValueError:
        reject("labels: mode", repr(mode), "an array of whole numbers")
    if np.ma.is_masked(mode) or known.dtype.kind not in "iu" or not np.isin(known, list(Mode)).all():
        reject("labels: mode", repr(mode), f"values of Mode, 0 to {max(Mode)}")
    return np.array([m.label for m in Mode])[known]


def dominant_mode(
    ratio: Array, stress: ArrayLike, allowables: Allowables, residual: ArrayLike | None
) -> ModeArray:
    """Mode of an interactive criterion: the stress nearest its own strength when the surface is met.

    A single quadratic surface does not tell how the ply fails; naming the largest of stress over
    strength at the failing stress state is common practice, no source.

    Parameters
    ----------
    ratio : ndarray, shape (...)
        Strength ratio of the criterion for these stresses [-].
    stress : array_like, shape (..., 3)
        Stress that grows with the load (s1, s2, t12) [Pa].
    allowables : Allowables
        Strengths of the ply.
    residual : array_like, shape (..., 3), or None
        Stress that stays fixed [Pa].

    Returns
    -------
    ndarray of int8, shape (...)
        Values of `Mode`; NONE where the ratio is infinite [-].
    """
    reached = np.isfinite(ratio)
    state = np.where(reached, ratio, 0.0)[..., None] * np.asarray(stress, dtype=float)
    if residual is not None:
        state = state + np.asarray(residual, dtype=float)
    s1, s2, t12 = np.moveaxis(state, -1, 0)
    a = allowables
    used = np.stack([s1 / a.Xt, -s1 / a.Xc, s2 / a.Yt, -s2 / a.Yc, abs(t12) / a.S])
    return np.where(reached, np.argmax(used, axis=0) + int(Mode.FIBER_TENSION), Mode.NONE).astype(np.int8)
