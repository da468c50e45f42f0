"""Wall loads of the unloaded section: neighboring walls expand differently and restrain each other."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.section.contour import place_functions
from beam.section.states import States, closing_state
from beam.section.wall_equations import DIRECT, LOADS, STRAINS, TRANSVERSE, fields_of, wall_loads
from materials.checks import Array


class Expansion(NamedTuple):
    """The unloaded section under free strains of its walls."""

    strain: Array
    """Strains (eps, gamma2, gamma3) [-], (kappa1, kappa2, kappa3) [1/m] of the free section, shape (..., 6)."""

    field: Array
    """Elastic (ex, kx, kxs) and (Ny, Nxy, My) on the place functions, shape (..., wall, 6, 5) [-] ..."""


def expand(states: States, free_strain: ArrayLike) -> Expansion:
    """The section under free strains (..., wall, 6) of its walls, without a section force.

    The equations of `states` with n = P (e - e_free) + Q s and g = R s - Q'(e - e_free) + g_free. The shear strains
    follow from virtual work with the unit states of V2 and V3.
    """
    unknown, kept, field = _closed(states, np.asarray(free_strain))
    law, moments = states.law, states.measure.moments
    total_strain = field[..., :3, :].copy()
    total_strain[..., 0] += kept[0]
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


def _closed(states: States, free: Array) -> tuple[Array, tuple[Array, Array], Array]:
    """Unknowns of the section, the free strains by what the wall law gives and takes, and the elastic field."""
    kept = free[..., STRAINS], free[..., LOADS]
    law, moments = states.law, states.measure.moments
    image = -(law[..., :, :3] @ kept[0][..., None])[..., 0]
    image[..., 3:] -= kept[1]
    unknown, per_wall = closing_state(states, image[..., None, None], moments[..., :5, :1])
    field = fields_of(per_wall)[..., 0]
    field[..., :3, 0] -= kept[0]
    return unknown, kept, field


def residual_wall_loads(states: States, free_strain: ArrayLike, at: ArrayLike) -> Array:
    """Wall loads (..., wall, place, 6) of the unloaded section under free strains (..., wall, 6) of its walls."""
    functions = place_functions(states.contour, np.atleast_1d(np.asarray(at, dtype=float)))[..., :5]
    known = np.einsum("...wpb,...wib->...wip", functions, _closed(states, np.asarray(free_strain))[2])
    return np.swapaxes(wall_loads(states.law, known), -1, -2)
