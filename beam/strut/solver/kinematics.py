"""Displacements from strains, integrated along the axis from the root."""

import numpy as np
from numpy.polynomial.legendre import leggauss

from beam.strut.axis import SNAP, Axis
from materials.checks import Array

POINTS = 6  # Gauss points in each piece of a bay


def pieces(axis: Axis, *stations: Array) -> Array:
    """Ends of the pieces to integrate over: the kinks of the axis and all the stations, each once.

    Parameters
    ----------
    axis : Axis
        The axis.
    *stations : ndarray, shape (...)
        Stations where anything may jump or a value is wanted [m].

    Returns
    -------
    ndarray, shape (end,)
        Growing stations from the root to the tip [m].
    """
    every = np.unique(np.concatenate([axis.kinks, *(np.ravel(s) for s in stations)]))
    apart = np.diff(every, prepend=-np.inf) > SNAP * axis.length
    return every[apart]


def gauss(ends: Array) -> tuple[Array, Array]:
    """Gauss-Legendre points and weights in every piece.

    Parameters
    ----------
    ends : ndarray, shape (end,)
        Ends of the pieces [m].

    Returns
    -------
    points : ndarray, shape (end - 1, point)
        Stations [m].
    weights : ndarray, shape (end - 1, point)
        Weights [m].
    """
    x, w = leggauss(POINTS)
    half, middle = np.diff(ends)[:, None] / 2, (ends[1:] + ends[:-1])[:, None] / 2
    return middle + half * x, half * w


def displacement(axis: Axis, ends: Array, strain: Array) -> Array:
    """Displacement and rotation at the ends of the pieces, the root held.

    Parameters
    ----------
    axis : Axis
        The axis.
    ends : ndarray, shape (end,)
        Ends of the pieces from root to tip [m].
    strain : ndarray, shape (..., end - 1, point, 6)
        Strains at the Gauss points of each piece, in section axes: extension, two shears [-], then
        twist and two curvatures [1/m].

    Returns
    -------
    ndarray, shape (..., end, 6)
        u1, u2, u3 [m], r1, r2, r3 [rad] in strut axes.

    Notes
    -----
    r(s) = integral of kappa,  u(s) = integral of gamma + kappa x (p(s) - p) from the root, p the point
    of the axis; the lever is opened so that one running sum serves all stations.
    """
    s, w = gauss(ends)
    rows = axis.frames(s)
    root = axis.points[0]
    gamma = np.einsum("pqji,...pqj->...pqi", rows, strain[..., :3])
    kappa = np.einsum("pqji,...pqj->...pqi", rows, strain[..., 3:])
    moved = gamma - np.cross(kappa, axis.position(s) - root)
    total = np.einsum("pq,...pqi->...pi", w, np.concatenate([moved, kappa], axis=-1))
    sums = np.zeros((*total.shape[:-2], len(ends), 6))
    np.cumsum(total, axis=-2, out=sums[..., 1:, :])
    sums[..., :3] += np.cross(sums[..., 3:], axis.position(ends) - root)
    return sums
