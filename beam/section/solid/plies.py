"""States of every ply of a wall at a place along it, from the mesh through the plies."""

import numpy as np
from numpy.typing import ArrayLike

from beam.section.solid.elements import sample
from beam.section.solid.recovery import at_samples
from beam.section.solid.walls import WallMesh
from beam.section.solid.warping import WarpedSection
from materials.checks import Array, array, number, reject, whole
from materials.kinds import instance


def ply_stress(section: WarpedSection, F: ArrayLike, wall: int, at: float = 0.5) -> Array:
    """All six stress components at the surfaces of every ply of a wall.

    Parameters
    ----------
    section : WarpedSection
        A solved section with a mesh from `mesh_walls`.
    F : array_like, shape (..., 6)
        Section forces (N, V2, V3, T, M2, M3) about the origin [N], [N m].
    wall : int
        Which wall [-].
    at : float
        Fraction of its length [-].

    Returns
    -------
    ndarray, shape (..., ply, surface, 6)
        Stress (11, 22, 33, 23, 13, 12) in ply axes, each surface seen from inside its ply [Pa].

    Raises
    ------
    ValueError
        If the mesh was not made from walls, there is no such wall, or the place is off it.
    """
    mesh = instance("ply_stress: section", section, WarpedSection).mesh
    if not isinstance(mesh, WallMesh):
        reject("ply_stress: section", "a mesh that knows no walls", "solved on a mesh from mesh_walls")
    forces = array("ply_stress: F (N, V2, V3, T, M2, M3)", F, last=(6,))
    place = number("ply_stress: at [-]", at, at_least=0.0, at_most=1.0, cause="a length, not a fraction?")
    whole("ply_stress: wall [-]", wall, at_least=0, at_most=len(mesh.section.laminates) - 1)
    column = np.flatnonzero((mesh.wall == wall) & (mesh.along[:, 0] <= place) & (place <= mesh.along[:, 1]))
    # At the line between two columns the place belongs to the first of them.
    column = column[mesh.along[column, 0] == mesh.along[column, 0].min()]
    z = mesh.section.laminates[wall].surfaces
    inside = (z + z[:, ::-1] * 1e-6) / (1 + 1e-6)
    low, high = mesh.height[column].T
    row = column[np.argmax((low <= inside[..., None]) & (inside[..., None] <= high), axis=-1)]
    a, h = mesh.along[row], mesh.height[row]
    across = np.clip((z - h[..., 0]) / (h[..., 1] - h[..., 0]), 0.0, 1.0)
    local = np.stack([(place - a[..., 0]) / (a[..., 1] - a[..., 0]), across], axis=-1)
    s = sample(mesh, row.ravel(), local.reshape(-1, 1, 2))
    stress = at_samples(section, forces, row.ravel(), s, "ply")[1]
    return stress.reshape(*forces.shape[:-1], *z.shape, 6)
