"""How walls hang together: which start and end at which joint, and what follows from that alone.

Quantities of two kinds live on the graph of walls. A *flow* (shear flow, hoop force, hoop moment) is
balanced at every joint and known along a wall once its value at the start is known; a *potential*
(warping, turn of the wall) is single-valued at every joint. A tree of walls from joint 0 to all others
serves both: what a flow gains goes home along it, a potential is summed outward along it. Each wall the tree
leaves out closes one path, along which a flow can run freely.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from materials.checks import Array, reject


class Topology(NamedTuple):
    """Matrices of a graph of walls.

    Parameters
    ----------
    starts, finishes : ndarray, shape (joint, wall)
        1 where a wall starts, or ends, at a joint [-].
    cycles : ndarray, shape (cycle, wall)
        1, -1 or 0: a basis of the closed paths, one per cell [-].
    flow_at_start : ndarray, shape (wall, wall)
        Takes the growth of a flow along each wall to one balanced set of values at the starts [-].
    potential_at_start : ndarray, shape (wall, wall)
        Takes the growth of a potential along each wall to its values at the starts [-].
    """

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
    starts, finishes = np.zeros((2, joints, walls))
    starts[ends[:, 0], np.arange(walls)] = 1.0
    finishes[ends[:, 1], np.arange(walls)] = 1.0
    paths, left_out = _tree(ends, joints)
    cycles = np.eye(walls)[left_out] + (paths[ends[:, 0]] - paths[ends[:, 1]])[left_out]
    out = Topology(starts, finishes, cycles, -paths.T @ finishes, starts.T @ paths)
    for matrix in out:
        matrix.setflags(write=False)
    return out


def _tree(ends: NDArray[np.intp], joints: int) -> tuple[Array, list[int]]:
    """Signed walls on the way from joint 0 to each joint, (joint, wall), and the walls that no way needs."""
    paths = np.zeros((joints, len(ends)))
    at = [[int(w) for w in np.flatnonzero((ends == joint).any(axis=1))] for joint in range(joints)]
    reached, unused, queue = {0}, set(range(len(ends))), [0]
    while queue:
        here = queue.pop(0)
        for wall in at[here]:
            a, b = int(ends[wall, 0]), int(ends[wall, 1])
            there, sign = (b, 1.0) if a == here else (a, -1.0)
            if there in reached:
                continue
            paths[there] = paths[here]
            paths[there, wall] = sign
            reached.add(there)
            unused.remove(wall)
            queue.append(there)
    if len(reached) < joints:
        reject("Contour: walls", f"{joints - len(reached)} joints out of reach", "one connected outline")
    return paths, sorted(unused)
