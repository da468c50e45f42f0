"""Section forces from equilibrium: the resultant of what acts outboard of a station."""

import numpy as np
from numpy.typing import ArrayLike

from beam.axes import skew
from beam.strut.axis import SNAP, Axis
from materials.checks import Array


def past(at: ArrayLike, length: float) -> Array:
    """Stations (...) just outboard of stations (...), beyond what counts as the same station [m]."""
    return np.asarray(at) + 2 * SNAP * length


def before(at: ArrayLike, length: float) -> Array:
    """Stations (...) just inboard of stations (...), beyond what counts as the same station [m]."""
    return np.asarray(at) - 2 * SNAP * length


def outboard(axis: Axis, s: Array, at: Array, wrench: Array) -> Array:
    """Section forces (..., station, 6) at stations s (station,) of loads (..., load, 6) at stations `at` (load,)."""
    # F = sum f,  M = sum m + (r_load - r_station) x f over the loads at the station or outboard of it.
    counted = at >= s[:, None] - SNAP * axis.length
    arm = skew(axis.position(at) - axis.position(s)[:, None]) * counted[..., None, None]
    f, m = wrench[..., :3], wrench[..., 3:]
    force = np.einsum("sl,...li->...si", counted.astype(float), f)
    turn = np.moveaxis(arm, (0, 2), (2, 3)).reshape(3 * len(at), 3 * len(s))
    transfer = (f.reshape(*f.shape[:-2], -1) @ turn).reshape(*f.shape[:-2], len(s), 3)
    moment = np.einsum("sl,...li->...si", counted.astype(float), m) + transfer
    rows = axis.frames(s)
    return np.concatenate([np.einsum("sij,...sj->...si", rows, v) for v in (force, moment)], axis=-1)
