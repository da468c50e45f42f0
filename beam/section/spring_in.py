r"""Spring-in: curved walls that want another angle because they strain differently along the arc and across it.

An arc whose material strains by e_y along it and by e_z through its thickness, held by nothing, changes the angle
theta it sweeps by

    dtheta = theta (e_y - e_z) / (1 + e_z)

for its inner and outer lengths grow by e_y while their distance grows by e_z. As a free curvature of the wall that
is ky = -(turn / length) (e_y - e_z) / (1 + e_z), turn < 0 on the convex walls of a skin. An open corner takes
it; in a closed section the other walls hold the corner back, and it bears a hoop moment.

Cure and moisture do this without load. Load does it too: under Nx a wall contracts by unlike amounts along the arc and
through its thickness, unless it is isotropic. That part is linear in load.

References
----------
J. A. Nelson, D. S. Cairns, 34th Int. SAMPE Symposium 1989, 2397-2410; D. W. Radford, T. S. Rennick, "Separating
sources of manufacturing distortion in laminated composites", J. Reinf. Plast. Compos. 19 (2000) 621-641 (from memory).
"""

import numpy as np
from numpy.typing import ArrayLike

from beam.section.contour import Contour
from beam.section.expansion import residual_wall_loads
from beam.section.flattening import HOOP
from beam.section.places import fractions
from beam.section.states import States
from beam.section.unknowns import FIELD, gather, project, spread
from materials.checks import Array, array, reject
from materials.kinds import instance

STRAINED = 0.2
"""No material strains more through its thickness before it parts [-]."""

HOOP_LOADS = (1, 4)
"""Places of Ny and My among the six wall loads."""


def spring_in_curvature(contour: Contour, hoop_strain: ArrayLike, thickness_strain: ArrayLike) -> Array:
    """Curvature that walls take when nothing holds them.

    Parameters
    ----------
    contour : Contour
        Mid-lines of the walls.
    hoop_strain : array_like, shape (..., wall)
        Strain along the arc [-].
    thickness_strain : array_like, shape (..., wall)
        Strain through the thickness, as `laminate.interlaminar.thickness_expansion` gives it [-].

    Returns
    -------
    ndarray, shape (..., wall)
        ky; zero for straight walls [1/m].

    Raises
    ------
    ValueError
        If a strain is not finite, or one that only percent explains.
    """
    e_y = array("spring_in_curvature: hoop_strain [-]", hoop_strain)
    e_z = array("spring_in_curvature: thickness_strain [-]", thickness_strain)
    if (np.abs(e_z) > STRAINED).any():
        reject(
            "spring_in_curvature: thickness_strain [-]",
            f"{np.abs(e_z).max():g}",
            f"within {STRAINED}",
            "percent?",
        )
    return np.asarray(-contour.turn / contour.length * (e_y - e_z) / (1 + e_z))


def spring_in_loads(
    states: States, free_strain: ArrayLike, thickness_strain: ArrayLike, at: ArrayLike = 0.5
) -> Array:
    """Hoop loads that stay in the unloaded section: of walls that expand differently and of corners that spring in.

    Parameters
    ----------
    states : States
        The solved section, or batch.
    free_strain : array_like, shape (..., wall, 6)
        Mid-plane strain and curvature that each wall would take if it were alone and flat [-], [1/m].
    thickness_strain : array_like, shape (..., wall)
        Strain through the thickness [-].
    at : array_like, shape (place,)
        Fractions of the length of each wall [-].

    Returns
    -------
    ndarray, shape (..., wall, place, 2)
        Ny [N/m] and My [N].

    Raises
    ------
    ValueError
        If a strain is not finite or out of reason, does not fit the walls, or a place is off the wall.
    """
    walls = len(instance("spring_in_loads: states", states, States).contour.names)
    free = np.array(array("spring_in_loads: free_strain [-], [1/m]", free_strain, last=(walls, 6)))
    free = np.broadcast_to(
        free, (*np.broadcast_shapes(free.shape[:-2], np.shape(thickness_strain)[:-1]), walls, 6)
    ).copy()
    free[..., 4] += spring_in_curvature(states.contour, free[..., 1], thickness_strain)
    return residual_wall_loads(states, free, at)[..., HOOP_LOADS]


def spring_in_recovery(
    states: States, abd: ArrayLike, thickness_compliance: ArrayLike, at: ArrayLike = 0.5
) -> Array:
    """Hoop loads per unit section force, of the linear theory and of corners that spring in under load.

    Parameters
    ----------
    states : States
        The solved section, or batch.
    abd : array_like, shape (..., wall, 6, 6)
        Stiffness of each wall [N/m], [N], [N m].
    thickness_compliance : array_like, shape (..., wall, 6)
        Strain through the thickness per running load [m/N], [1/N].
    at : array_like, shape (place,)
        Fractions of the length of each wall [-].

    Returns
    -------
    ndarray, shape (..., wall, place, 2, 6)
        (Ny, My) [N/m], [N] per (N, V2, V3, T, M2, M3) [N], [N m].

    Raises
    ------
    ValueError
        If an input is not finite or of another shape, or a place is off the wall.
    """
    contour, places = states.contour, np.atleast_1d(fractions("spring_in_recovery: at [-]", at))
    bend = float(np.abs(contour.turn).max())
    x, gauss = np.polynomial.legendre.leggauss(4 + int(np.ceil(2 * bend)))
    inner, weight = 0.5 * (1 + x), 0.5 * gauss * contour.length[..., None]
    e_y = np.linalg.inv(array("spring_in_recovery: abd [N/m], [N], [N m]", abd, last=(-1, 6, 6)))[..., 1, :]
    e_z = array("spring_in_recovery: thickness_compliance [m/N], [1/N]", thickness_compliance, last=(-1, 6))
    unequal = (e_y - e_z)[..., None, None, :] @ states.recovery(inner)
    image = np.zeros((*unequal.shape[:-3], 6, *unequal.shape[-3:-2], 6))
    image[..., HOOP[1], :, :] = (contour.turn / contour.length)[..., None, None] * unequal[..., 0, :]
    functions = weight[..., None] * contour.functions(inner)[..., :5]
    rows = gather(project(image, np.swapaxes(functions, -1, -2)), contour.topology.cycles).sum(axis=-3)
    unknown = -states.scale[..., None] * np.linalg.solve(states.scaled, states.scale[..., None] * rows)
    field = np.tensordot(contour.functions(places)[..., :5], FIELD[HOOP, :, :], axes=(-1, 1))
    closing = field @ spread(unknown, contour.topology.cycles)[..., None, :, :]
    return np.asarray(states.recovery(places)[..., HOOP_LOADS, :] + closing)
