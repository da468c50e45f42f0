r"""Spring-in: a curved wall changes its angle because it strains differently along the arc and through its thickness.

An arc that sweeps the angle theta and strains by e_y along itself and by e_z through its thickness, unrestrained,
changes the angle by

    dtheta = theta (e_y - e_z) / (1 + e_z)

since its inner and outer lengths grow by e_y while their distance grows by e_z. As a free curvature of the wall that is
ky = -(turn / length) (e_y - e_z) / (1 + e_z), turn < 0 on the convex walls of a skin. An open corner springs in
freely. In a closed section the other walls restrain it, and it carries a hoop moment.

Cure and moisture cause it without load. Load causes it too: under Nx a wall contracts by different amounts along the
arc and through its thickness, unless it is isotropic. That part is linear in load.

References
----------
J. A. Nelson, D. S. Cairns, 34th Int. SAMPE Symposium 1989, 2397-2410; D. W. Radford, T. S. Rennick, "Separating
sources of manufacturing distortion in laminated composites", J. Reinf. Plast. Compos. 19 (2000) 621-641 (from memory).
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.section.contour import Contour
from beam.section.expansion import residual_wall_loads
from beam.section.states import HOOP, States, closing_hoop_loads, solve
from laminate import Laminate
from laminate.interlaminar.curved_wall import LEAST, curved_wall, known_of
from laminate.plate import inverse
from materials.checks import Array

HOOP_LOADS = (1, 4)
"""Indices of Ny and My among the six wall loads."""


class ThickCorners(NamedTuple):
    """A section whose curved walls have the stiffness of stacks bent to their radius, `laminate.interlaminar`.

    `free`, (wall, 6, 2), are the strains of each wall alone per kelvin and per mass fraction of moisture. `as_flat`,
    (wall, 6, 6), turns the loads of a wall into those of the flat stack with the same ex, kx, kxy, Ny, Nxy, My.
    `compliance` is (wall, 6, 6).
    """

    states: States
    free: Array
    as_flat: Array
    compliance: Array

    def recovery(self, at: ArrayLike) -> Array:
        """Wall loads as of flat stacks, (wall, place, 6, 6), per unit section force at fractions of each wall."""
        return np.asarray(self.as_flat[:, None] @ self.states.recovery(at))

    def held_hoop(self) -> Array:
        """Loads as of flat stacks that what holds the contraction around adds to such loads, (wall, 6, 6).

        A hoop force Ny brings the strain around to zero; the other loads of the wall stay, so there is no resultant.
        """
        row = self.compliance[:, 1:2] / self.compliance[:, 1:2, 1:2]
        return np.asarray(-self.as_flat[:, :, 1:2] @ row @ np.linalg.inv(self.as_flat))

    def residual_loads(self, temperature_change: Array, moisture: Array, at: ArrayLike) -> Array:
        """Wall loads as of flat stacks, (state, wall, place, 6), of cure and moisture (state,) without load."""
        per = np.moveaxis(self.free, -1, 0)
        loads = np.stack([residual_wall_loads(self.states, one, at) for one in per])
        loads = (self.as_flat[:, None] @ loads[..., None])[..., 0]
        return np.tensordot(np.stack([temperature_change, moisture], axis=-1), loads, axes=1)


def thick_corners(contour: Contour, laminates: Sequence[Laminate]) -> ThickCorners:
    """The section with thick corners: spring-in of load, cure and moisture is in its equations."""
    abd = np.stack([wall.abd for wall in laminates])
    free = np.stack([wall.free_strain([1.0, 0.0], [0.0, 1e-2]).T * [1.0, 1e2] for wall in laminates])
    radius = corner_radii(contour, np.array([wall.thickness for wall in laminates]))
    kinds = {(laminates[i], radius[i]): i for i in np.flatnonzero(contour.turn).tolist()}
    found = {kind: curved_wall(kind[0], np.array(kind[1:])) for kind in kinds}
    for i in np.flatnonzero(contour.turn).tolist():
        curved = found[laminates[i], radius[i]]
        abd[i], free[i] = curved.abd[0], curved.free[0]
    flat, soft = known_of(np.stack([wall.compliance for wall in laminates])), inverse(abd)
    return ThickCorners(
        solve(contour, abd), free, np.asarray(np.linalg.solve(flat, known_of(soft)), dtype=float), soft
    )


def corner_radii(contour: Contour, thickness: Array) -> Array:
    """Signed radii (wall,) at mid-thickness, at least `LEAST` of the thickness; infinite where walls are straight."""
    with np.errstate(divide="ignore"):
        radius = -contour.length / contour.turn
    return np.asarray(np.copysign(np.maximum(np.abs(radius), LEAST * thickness), radius))


def spring_in_loads(
    states: States, free_strain: ArrayLike, thickness_strain: ArrayLike, at: ArrayLike
) -> Array:
    """Ny and My, (..., wall, place, 2), of the unloaded section whose walls expand and corners spring in.

    `free_strain`, (..., wall, 6), is that of each wall if it were alone and flat; `thickness_strain`, (..., wall), the
    strain through its thickness.
    """
    e_z, walls = np.asarray(thickness_strain), len(states.contour.names)
    lead = np.broadcast_shapes(np.shape(free_strain)[:-2], e_z.shape[:-1])
    free = np.broadcast_to(np.asarray(free_strain), (*lead, walls, 6)).copy()
    free[..., 4] += spring_in_curvature(states.contour, free[..., 1], e_z)
    return residual_wall_loads(states, free, at)[..., HOOP_LOADS]


def spring_in_curvature(contour: Contour, hoop_strain: ArrayLike, thickness_strain: ArrayLike) -> Array:
    """Free curvature ky of the walls, (..., wall), zero where they are straight [1/m]."""
    e_y, e_z = np.asarray(hoop_strain, dtype=float), np.asarray(thickness_strain, dtype=float)
    return np.asarray(-contour.turn / contour.length * (e_y - e_z) / (1 + e_z))


def spring_in_recovery(
    states: States, abd: ArrayLike, thickness_compliance: ArrayLike, at: ArrayLike
) -> Array:
    """(Ny, My) per section force, (..., wall, place, 2, 6), of the linear theory with spring-in under load.

    `abd` is (..., wall, 6, 6); `thickness_compliance`, (..., wall, 6), is the strain through the thickness per
    running load [m/N], [1/N].
    """
    contour, places = states.contour, np.atleast_1d(np.asarray(at, dtype=float))
    bend = float(np.abs(contour.turn).max())
    x, gauss = np.polynomial.legendre.leggauss(4 + int(np.ceil(2 * bend)))
    inner, weight = 0.5 * (1 + x), 0.5 * gauss * contour.length[..., None]
    unequal = np.linalg.inv(np.asarray(abd))[..., 1, :] - np.asarray(thickness_compliance)
    unequal = unequal[..., None, None, :] @ states.recovery(inner)
    image = np.zeros((*unequal.shape[:-3], 6, *unequal.shape[-3:-2], 6))
    image[..., HOOP[1], :, :] = (contour.turn / contour.length)[..., None, None] * unequal[..., 0, :]
    closing = closing_hoop_loads(states, image, inner, weight, places)
    return np.asarray(states.recovery(places)[..., HOOP_LOADS, :] + closing)
