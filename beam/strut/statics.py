"""Section forces from equilibrium: what acts outboard of a station, without a word about stiffness."""

import numpy as np

from beam.axes import skew
from beam.strut.axis import SNAP, Axis
from materials.checks import Array


def past(at: Array, length: float) -> Array:
    """Stations just outboard of loads, where `outboard` no longer counts them.

    Parameters
    ----------
    at : ndarray, shape (load,)
        Stations of the loads [m].
    length : float
        Length of the axis [m].

    Returns
    -------
    ndarray, shape (load,)
        Those stations, beyond what counts as the same station; past the tip for a load at the tip [m].
    """
    return at + 2 * SNAP * length


def outboard(axis: Axis, s: Array, at: Array, wrench: Array) -> Array:
    """Resultant, at each station, of all that is applied at that station or outboard of it.

    Parameters
    ----------
    axis : Axis
        The axis.
    s : ndarray, shape (station,)
        Stations [m].
    at : ndarray, shape (load,)
        Stations where forces and moments are applied [m].
    wrench : ndarray, shape (..., load, 6)
        Forces and moments in strut axes [N, N m].

    Returns
    -------
    ndarray, shape (..., station, 6)
        N, V2, V3, T, M2, M3 in the section axes of each station [N, N m].

    Notes
    -----
    F = sum f,  M = sum m + (r_load - r_station) x f over the loads at or outboard of the station.
    """
    counted = at >= s[:, None] - SNAP * axis.length
    arm = skew(axis.position(at) - axis.position(s)[:, None]) * counted[..., None, None]
    f, m = wrench[..., :3], wrench[..., 3:]
    force = np.einsum("sl,...li->...si", counted.astype(float), f)
    turn = np.moveaxis(arm, (0, 2), (2, 3)).reshape(3 * len(at), 3 * len(s))
    transfer = (f.reshape(*f.shape[:-2], -1) @ turn).reshape(*f.shape[:-2], len(s), 3)
    moment = np.einsum("sl,...li->...si", counted.astype(float), m) + transfer
    rows = axis.frames(s)
    return np.concatenate([np.einsum("sij,...sj->...si", rows, v) for v in (force, moment)], axis=-1)
