"""What the equations need of the mid-lines: integrals of products of the place functions, and areas swept."""

from typing import NamedTuple

import numpy as np

from beam.section.contour import Contour, cross
from materials.checks import Array


class Measure(NamedTuple):
    """Integrals over the mid-lines and the connectors at their ends.

    Parameters
    ----------
    moments : ndarray, shape (..., wall, 10, 10)
        Integrals of products of the place functions along each wall [m] ... [m^5].
    last : ndarray, shape (..., wall, 10)
        Place functions at the end of each wall [-] ... [m^2].
    start : ndarray, shape (..., wall, 2)
        Start of each mid-line [m].
    joint : ndarray, shape (..., wall, 2)
        Joint at the start of each wall [m].
    chord : ndarray, shape (..., wall, 2)
        From the joint at the start to the joint at the end [m].
    swept : ndarray, shape (..., wall, 3)
        Integral of r x t over the connector at the start, the wall, the connector at the end [m^2].
    """

    moments: Array
    last: Array
    start: Array
    joint: Array
    chord: Array
    swept: Array


def measure(contour: Contour) -> Measure:
    """Integrate over the mid-lines.

    Parameters
    ----------
    contour : Contour
        The mid-lines.

    Returns
    -------
    Measure
        The integrals.

    Notes
    -----
    Gauss's rule: exact on straight walls (products up to degree 4 with 3 nodes); on arcs the number of nodes
    grows with the turn so that second harmonics are integrated to 1e-14.
    """
    bend = float(np.abs(contour.turn).max())
    nodes = 3 if bend == 0.0 else 4 + int(np.ceil(2 * bend))
    x, weight = np.polynomial.legendre.leggauss(nodes)
    values = contour.functions((1 + x) / 2)
    weighted = values * (0.5 * weight[:, None] * contour.length[..., None, None])
    graph, joints = contour.topology, contour.joints
    a, b = graph.starts.T @ joints, graph.finishes.T @ joints
    last = contour.functions(np.ones(1))[..., 0, :]
    swept = np.stack([cross(a, contour.start), last[..., 8], cross(contour.finish, b)], axis=-1)
    moments = np.swapaxes(weighted, -1, -2) @ values
    return Measure(moments, last, np.broadcast_to(contour.start, a.shape), a, b - a, swept)
