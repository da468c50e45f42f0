"""How walls hang together: which start and end at which joint, and what follows from that alone.

Quantities of two kinds live on the graph of walls. A *flow* (shear flow, hoop force, hoop moment) is
balanced at every joint and known along a wall once its value at the start is known; a *potential* (warping,
turn of the wall) is single-valued at every joint. The same matrix serves both, transposed.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from materials.checks import Array, reject


class Topology(NamedTuple):
    """Matrices of a graph of walls.

    Parameters
    ----------
    joints : int
        Number of joints [-].
    starts, finishes : ndarray, shape (joint, wall)
        1 where a wall starts, or ends, at a joint [-].
    cycles : ndarray, shape (cycle, wall)
        1, -1 or 0: a basis of the closed paths, one per cell [-].
    flow_at_start : ndarray, shape (wall, wall)
        Takes the growth of a flow along each wall to one balanced set of values at the starts [-].
    potential_at_start : ndarray, shape (wall, wall)
        Takes the growth of a potential along each wall to its values at the starts [-].
    """

    joints: int
    starts: Array
    finishes: Array
    cycles: Array
    flow_at_start: Array
    potential_at_start: Array


def topology(ends: NDArray[np.intp]) -> Topology:
    """Work out the graph of walls.

    Parameters
    ----------
    ends : ndarray of int, shape (wall, 2)
        Joint at the start and at the end of each wall [-].

    Returns
    -------
    Topology
        Its matrices.

    Raises
    ------
    ValueError
        If the walls fall apart into pieces that do not touch.
    """
    walls, joints = len(ends), int(ends.max()) + 1
    starts, finishes = np.zeros((joints, walls)), np.zeros((joints, walls))
    starts[ends[:, 0], np.arange(walls)] = 1.0
    finishes[ends[:, 1], np.arange(walls)] = 1.0
    balance = starts - finishes
    inverse = np.linalg.pinv(balance)
    return Topology(
        joints, starts, finishes, _cycles(ends, joints), inverse @ finishes, -starts.T @ inverse.T
    )


def _cycles(ends: NDArray[np.intp], joints: int) -> Array:
    """One closed path for each wall that a spanning tree leaves out."""
    path: dict[int, Array] = {0: np.zeros(len(ends))}
    spare = list(range(len(ends)))
    grown = True
    while grown:
        grown = False
        for wall in list(spare):
            a, b = int(ends[wall, 0]), int(ends[wall, 1])
            if (a in path) == (b in path):
                continue
            step = np.zeros(len(ends))
            step[wall] = 1.0
            if a in path:
                path[b] = path[a] + step
            else:
                path[a] = path[b] - step
            spare.remove(wall)
            grown = True
    if len(path) < joints:
        reject("Contour: walls", f"{joints - len(path)} joints out of reach", "one connected outline")
    out = np.zeros((len(spare), len(ends)))
    for row, wall in zip(out, spare, strict=True):
        row[wall] = 1.0
        row += path[int(ends[wall, 0])] - path[int(ends[wall, 1])]
    return out
