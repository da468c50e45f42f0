"""How walls meet at joints: which wall starts and ends at which joint, and what follows from that alone.

A *flow* (shear flow, hoop force, hoop moment) is in balance at every joint. It is known along a wall once its value at
the start is known. A *potential* (warping, turn of the wall) has one value at every joint. A tree of walls from
joint 0 to all others serves both: the growth of a flow is returned to joint 0 along the tree, a potential is summed
outward along it. Each wall outside the tree closes one path, along which a constant flow can run.
"""

from functools import cache
from typing import NamedTuple

import numpy as np

from materials.checks import Array, reject

Ends = tuple[tuple[int, int], ...]


class Topology(NamedTuple):
    """Matrices of the graph of walls."""

    starts: Array
    """1 where a wall starts at a joint, shape (joint, wall) [-]."""

    finishes: Array
    """1 where a wall ends at a joint, shape (joint, wall) [-]."""

    cycles: Array
    """1, -1 or 0: a basis of the closed paths, one per cell, shape (cycle, wall) [-]."""

    flow_at_start: Array
    """Growth of a flow along each wall to one balanced set of values at the starts, shape (wall, wall) [-]."""

    potential_at_start: Array
    """Growth of a potential along each wall to its values at the starts, shape (wall, wall) [-]."""


@cache
def topology(ends: Ends) -> Topology:
    """Matrices of the graph whose walls run between the given pairs of joints."""
    joint = np.array(ends)
    walls, joints = len(ends), int(joint.max()) + 1
    starts, finishes = np.zeros((2, joints, walls))
    starts[joint[:, 0], np.arange(walls)] = 1.0
    finishes[joint[:, 1], np.arange(walls)] = 1.0
    paths, outside = _tree(ends, joints)
    cycles = np.eye(walls)[outside] + (paths[joint[:, 0]] - paths[joint[:, 1]])[outside]
    out = Topology(starts, finishes, cycles, -paths.T @ finishes, starts.T @ paths)
    for matrix in out:
        matrix.setflags(write=False)
    return out


def _tree(ends: Ends, joints: int) -> tuple[Array, list[int]]:
    """Signed walls on the path from joint 0 to each joint, (joint, wall), and the walls outside the tree."""
    paths = np.zeros((joints, len(ends)))
    reached, outside, queue = {0}, set(range(len(ends))), [0]
    while queue:
        here = queue.pop(0)
        for wall, (a, b) in enumerate(ends):
            there, sign = (b, 1.0) if a == here else (a, -1.0)
            if here not in (a, b) or there in reached:
                continue
            paths[there] = paths[here]
            paths[there, wall] = sign
            reached.add(there)
            outside.remove(wall)
            queue.append(there)
    if len(reached) < joints:
        reject("Contour: ends", f"{joints - len(reached)} joints out of reach", "one connected outline")
    return paths, sorted(outside)
