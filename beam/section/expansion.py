"""Wall loads that stay in the unloaded section because neighbouring walls expand differently."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.section.places import fractions
from beam.section.states import DIRECT, TRANSVERSE, States
from beam.section.unknowns import FIELD, gather, project, spread
from beam.section.wall_law import LOADS, STRAINS, wall_loads
from materials.checks import Array, array, common_shape
from materials.kinds import instance


class Expansion(NamedTuple):
    """The unloaded section under free strains of its walls.

    Parameters
    ----------
    strain : ndarray, shape (..., 6)
        Free strain of the section: (eps, gamma2, gamma3) [-] and (kappa1, kappa2, kappa3) [1/m].
    field : ndarray, shape (..., wall, 6, 5)
        Elastic (ex, kx, kxs) and the loads (Ny, Nxy, My) on the place functions (1, y2, y3, t2, t3) [-] ...
    """

    strain: Array
    field: Array


def expand(states: States, free_strain: ArrayLike) -> Expansion:
    """Let a section expand freely: no section force, the walls hold each other.

    Parameters
    ----------
    states : States
        The solved section, or batch.
    free_strain : array_like, shape (..., wall, 6)
        Mid-plane strain and curvature that each wall would take if it were alone; leading axes broadcast
        against the batch [-], [1/m].

    Returns
    -------
    Expansion
        Section strain and wall fields; they do not grow with load.

    Notes
    -----
    The equations of `states` with n = P (e - e_free) + Q s and g = R s - Q'(e - e_free) + g_free. The shear
    strains follow from virtual work with the unit states of V2 and V3.
    """
    instance("expand: states", states, States)
    free = array("expand: free_strain [-, 1/m]", free_strain, last=(len(states.contour.names), 6), copy=False)
    common_shape("expand: free_strain", free.shape[:-2], states.compliance.shape[:-2])
    kept = free[..., STRAINS], free[..., LOADS]
    law, moments, cycles = states.law, states.place.moments, states.contour.topology.cycles
    image = -(law[..., :, :3] @ kept[0][..., None])[..., 0]
    image[..., 3:] -= kept[1]
    work = project(image[..., None, None], moments[..., :5, :1])
    load = gather(work, cycles).sum(axis=-3)
    unknown = -np.linalg.solve(states.scaled, states.scale[..., None] * load) * states.scale[..., None]
    per_wall = spread(unknown, cycles)
    field = (FIELD.reshape(30, 8) @ per_wall)[..., 0].reshape(*per_wall.shape[:-2], 6, 5)
    total_strain = field[..., :3, :].copy()
    field[..., :3, 0] -= kept[0]
    conjugate = -(law[..., 3:, :] @ field)
    conjugate[..., 0] += kept[1]
    forces = (law[..., :3, :] @ states.transverse.reshape(*states.transverse.shape[:-2], 20)).reshape(
        *states.transverse.shape[:-3], 3, 10, 2
    )
    work_of = np.concatenate([total_strain, conjugate], axis=-2)
    against = np.concatenate([forces, states.transverse[..., 3:, :, :]], axis=-3)
    shear = np.einsum("...wia,...wab,...wibv->...v", work_of, moments[..., :5, :], against)
    strain = np.empty((*unknown.shape[:-2], 6))
    strain[..., DIRECT] = unknown[..., :4, 0]
    strain[..., TRANSVERSE] = shear
    return Expansion(strain, field)


def residual_wall_loads(states: States, free_strain: ArrayLike, at: ArrayLike = 0.5) -> Array:
    """Wall loads that stay in the unloaded section.

    Parameters
    ----------
    states : States
        The solved section, or batch.
    free_strain : array_like, shape (..., wall, 6)
        Mid-plane strain and curvature that each wall would take if it were alone [-], [1/m].
    at : array_like, shape (place,)
        Fractions of the length of each wall [-].

    Returns
    -------
    ndarray, shape (..., wall, place, 6)
        (Nx, Ny, Nxy) [N/m] and (Mx, My, Mxy) [N].
    """
    field = expand(states, free_strain).field
    functions = states.contour.functions(np.atleast_1d(fractions("at [-]", at)))[..., :5]
    known = np.einsum("...wpb,...wib->...wip", functions, field)
    return np.swapaxes(wall_loads(states.law, known), -1, -2)
