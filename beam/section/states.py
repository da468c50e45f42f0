r"""The six unit states of a thin-walled section: the theory, and its equations on plain arrays.

After Berdichevsky, Armanios & Badir (1992), in mixed form, with the bending of the walls kept.

**Kinematics.** The section moves with the strains chi = (eps, kappa1, kappa2, kappa3) and warps by w(s) along
the span. A wall at r = (y2, y3) with tangent t and outward normal n = e1 x t takes

    ex  = eps + y3 kappa2 - y2 kappa3
    kx  = n3 kappa2 - n2 kappa3 = t2 kappa2 + t3 kappa3
    kxs = -2 kappa1
    gxy = dw/ds + kappa1 (r x t)

r x t is the component on e1; it is negative on a clockwise skin. (A term gxy/R in kxs is left to the
definition of the shear flow, q = Nxy - Mxy/R: the walls' radius is large against their thickness.)

**Statics around the section.** Equilibrium leaves four flows per closed path free: the shear flow q, the
force F = (F2, F3) and the moment M0 (about the origin) that the wall hands on around the section. With them

    Nxy = q,   Ny = F . t,   My = -M0 + y2 F3 - y3 F2

An open branch ends free, so there they are zero. Most texts set Ny = My = 0 all around, since nothing
outside holds the walls in their own plane; that is exact where every wall can take the hoop strain and
curvature it likes, and F and M0 come out zero then (isotropic walls, for one). Where walls couple
stretching and bending (B not zero) the free hoop curvatures do not close: a round tube cannot curl.
The closed ring then carries My at leading order, and F, M0 follow from the same condition as q does.

**Closure.** w, the turn of the walls omega (d omega/ds = -ky) and their displacement u in the plane of
the section (du/ds = ey t + omega n) are single-valued. By virtual work, for each flow of each closed path

    \oint (its Ny ey + its Nxy (gxy - kappa1 r x t) + its My ky) ds = 0

**Equations.** The wall law is split by what is known (`wall_law`): e = (ex, kx, kxs) and s = (Ny, Nxy, My)
give n = P e + Q s and g = R s - Q'e. With e = E chi, s = S f the four section forces and the closure read

    [ K   C ] [chi]   [N, T, M2, M3]       K = \oint E'P E ds,   H = \oint S'R S ds
    [ C' -H ] [ f ] = [      0     ]       C = \oint E'Q S ds  (+ area swept, for kappa1 and q)

    T = \oint (q r x t - 2 Mxy) ds,  M2 = \oint (Nx y3 + Mx t2) ds,  M3 = \oint (-Nx y2 + Mx t3) ds

-2 Mxy is the plate's twisting moment with its Kirchhoff edge forces: Saint-Venant's torsion of an open
flange.

**Transverse force.** See `flexure`. Stresses of all six unit states are then known everywhere, each in exact
equilibrium, and the 6 x 6 compliance is their complementary energy: symmetric and positive definite.

**Exactness.** Walls are straight or circular and their laws constant, so all fields lie in the span of
ten functions of the place (`Contour.functions`); there is no mesh. Left out are transverse shear of the
walls, restrained warping, and what is of the order of the wall's thickness over its radius or width: squared
where walls are symmetric, alike and rounded into each other, to the first power where they are not. So a box
with sharp right corners is stiffer in torsion by about (8 ln 2 / pi) t / L = 1.76 t / L, for shear
flow takes a corner on the inside (conformal map of the right-angle bend), L being the length of its mid-line.

References
----------
V. Berdichevsky, E. Armanios, A. Badir, "Theory of anisotropic thin-walled closed-cross-section beams",
Composites Engineering 2 (5-7), 1992, 411-432.
V. Giavotto et al., "Anisotropic beam theory and applications", Computers & Structures 16 (1983) 403-413.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from beam.section.contour import Contour
from beam.section.flexure import flexure
from beam.section.measure import Measure, measure
from beam.section.places import fractions
from beam.section.section_checks import check_gaps
from beam.section.unknowns import FIELD, project, spread, total
from beam.section.wall_law import mixed_law, wall_loads
from laminate.plate import inverse
from materials.checks import Array, array, common_shape, reject
from materials.kinds import instance

BLOCK = 256
"""Sections solved at a time."""

TRACES = np.array([[1.0, 1.0, 2.0, 0.0, 0.0, 0.0], [0.0, 0.0, 0.0, 1.0, 1.0, 2.0]]).T
"""Take the diagonal of a wall's stiffness to tr A and tr D."""

DIRECT = (0, 3, 4, 5)
"""Places of (N, T, M2, M3) among the six section forces."""

TRANSVERSE = (1, 2)
"""Places of (V2, V3) among the six section forces."""


def _equations(law: Array, place: Measure, cycles: Array) -> Array:
    """Matrix of the section's equations, shape (..., 4 + 4 cycle, 4 + 4 cycle)."""
    size = law.shape[:-2]
    images = (law @ FIELD.reshape(6, -1)).reshape(*size, 6, 5, 8)
    per_wall = project(images, place.moments[..., :5, :5])
    area = place.swept.sum(axis=-1)
    per_wall[..., 1, 4] += area
    per_wall[..., 4, 1] += area
    return total(per_wall, cycles)


@dataclass(frozen=True, kw_only=True, eq=False)
class States:
    """The section solved for its six unit forces.

    Parameters
    ----------
    contour : Contour
        Mid-lines of the walls.
    law : ndarray, shape (..., wall, 6, 6)
        Mixed law of the walls [N/m] ...
    scale : ndarray, shape (..., unknown)
        Size of each unknown: strains (eps, kappa1, kappa2, kappa3), then the flows of each closed path [any].
    scaled : ndarray, shape (..., unknown, unknown)
        The section's equations with the unknowns measured in `scale` [-].
    direct : ndarray, shape (..., wall, 8, 4)
        Strains and flows in each wall for unit (N, T, M2, M3) [1/N] ...
    transverse : ndarray, shape (..., wall, 6, 10, 2)
        Known strains and loads of each wall on the place functions for unit (V2, V3) [1/N] ...
    compliance : ndarray, shape (..., 6, 6)
        Section strains per section force (N, V2, V3, T, M2, M3) [1/N], [1/(N m)], [1/(N m^2)].
    """

    contour: Contour
    law: Array
    scale: Array
    scaled: Array
    direct: Array
    transverse: Array
    compliance: Array

    def __post_init__(self) -> None:
        for held in (self.law, self.scale, self.scaled, self.direct, self.transverse, self.compliance):
            held.setflags(write=False)

    @cached_property
    def place(self) -> Measure:
        """Integrals over the mid-lines."""
        return measure(self.contour)

    @cached_property
    def stiffness(self) -> Array:
        """Section forces per section strain, shape (..., 6, 6) [N], [N m], [N m^2]."""
        out = inverse(self.compliance)
        out.setflags(write=False)
        return out

    def recovery(self, at: ArrayLike = 0.5) -> Array:
        """Wall loads per unit section force.

        Parameters
        ----------
        at : array_like, shape (place,)
            Fractions of the length of each wall [-].

        Returns
        -------
        ndarray, shape (..., wall, place, 6, 6)
            (Nx, Ny, Nxy, Mx, My, Mxy) [N/m], [N] per (N, V2, V3, T, M2, M3) [N], [N m].

        Notes
        -----
        A transverse force is the sum of Nxy t and of the shear across the wall, (dMx/dx) n, which is not
        among the six; it follows from dM2/dx = V3, dM3/dx = -V2, and its share is of order (t/b)^2.
        """
        functions = self.contour.functions(np.atleast_1d(fractions("States: at [-]", at)))
        direct = np.tensordot(functions[..., :5], FIELD, axes=(-1, 1)) @ self.direct[..., None, :, :]
        transverse = np.einsum("...wpb,...wibv->...wpiv", functions, self.transverse)
        shape = np.broadcast_shapes(direct.shape[:-1], transverse.shape[:-1])
        known = np.empty((*shape, 6))
        known[..., DIRECT] = direct
        known[..., TRANSVERSE] = transverse
        return wall_loads(self.law[..., None, :, :], known)


def solve(contour: Contour, abd: ArrayLike) -> States:
    """Solve sections for their six unit forces.

    Parameters
    ----------
    contour : Contour
        Mid-lines; leading axes are a batch.
    abd : array_like, shape (..., wall, 6, 6)
        Stiffness of each wall; leading axes broadcast against the contour's [N/m], [N], [N m].

    Returns
    -------
    States
        Compliance and recovery.

    Raises
    ------
    ValueError
        If the stiffness of a wall is not symmetric and positive definite, or the walls do not close.

    Notes
    -----
    Thickness is not known here: how far a wall may end from its joint is measured by
    t = sqrt(12 tr D / tr A), tr = 11 + 22 + 2 x 66, which is the thickness of any stack of plies of one
    material, and at most 1.7 times it of others.

    Large batches go through in blocks that stay in the processor's cache.
    """
    names = instance("solve: contour", contour, Contour).names
    walls = array("solve: abd", abd, last=(len(names), 6, 6))
    if (
        np.abs(walls - np.swapaxes(walls, -1, -2)) > 1e-9 * np.abs(walls).max(axis=(-1, -2), keepdims=True)
    ).any():
        reject(
            "solve: abd", "a wall that is not symmetric", "symmetric", "B not transposed below the diagonal?"
        )
    try:
        np.linalg.cholesky(walls)
    except np.linalg.LinAlgError:
        reject(
            "solve: abd", "a wall that is not positive definite", "positive definite", "wrong ply constants?"
        )
    lead = common_shape("solve: contour, abd", contour.length.shape[:-1], walls.shape[:-3])
    trace = walls[..., range(6), range(6)] @ TRACES
    check_gaps("solve: contour", contour, np.sqrt(12 * trace[..., 1] / trace[..., 0]))
    if np.prod(lead, dtype=int) <= BLOCK:
        return _solve(contour, walls)
    flat = np.broadcast_to(walls, (*lead, *walls.shape[-3:])).reshape(-1, *walls.shape[-3:])
    shared = contour.length.ndim == 1
    one = contour if shared else contour.flat(lead)
    cuts = [slice(i, i + BLOCK) for i in range(0, len(flat), BLOCK)]
    parts = [_solve(one if shared else one.part(cut), flat[cut]) for cut in cuts]

    def joined(pieces: list[Array]) -> Array:
        whole = np.concatenate(pieces)
        return whole.reshape(*lead, *whole.shape[1:])

    names = ("law", "scale", "scaled", "direct", "transverse", "compliance")
    return States(
        contour=contour,
        **{name: joined([getattr(part, name) for part in parts]) for name in names},
    )


def _solve(contour: Contour, abd: Array) -> States:
    """Solve one block."""
    place, cycles = measure(contour), contour.topology.cycles
    law = mixed_law(abd)
    matrix = _equations(law, place, cycles)
    scale = 1 / np.sqrt(np.abs(np.diagonal(matrix, axis1=-2, axis2=-1)))
    scaled = matrix * scale[..., :, None] * scale[..., None, :]
    unit = np.eye(matrix.shape[-1])[:, :4]
    unknown = scale[..., :, None] * np.linalg.solve(scaled, scale[..., :, None] * unit)
    direct = spread(unknown, cycles)
    transverse, load = flexure(direct, law, contour.topology, place)
    found = -scale[..., :, None] * np.linalg.solve(scaled, scale[..., :, None] * load)
    closing = FIELD.reshape(30, 8) @ spread(found, cycles)
    transverse[..., :5, :] += closing.reshape(*closing.shape[:-2], 6, 5, 2)
    return States(
        contour=contour,
        law=law,
        scale=scale,
        scaled=scaled,
        direct=direct,
        transverse=transverse,
        compliance=_compliance(unknown, direct, transverse, law, place),
    )


def _compliance(unknown: Array, direct: Array, transverse: Array, law: Array, place: Measure) -> Array:
    """Complementary energy of the unit states: the sum over the walls of n.e + s.g."""
    energy = law.copy()
    energy[..., :3, 3:] = 0.0
    energy[..., 3:, :3] = 0.0
    energy[..., 3:, 3:] *= -1.0
    lead, walls = transverse.shape[:-4], transverse.shape[-4]
    integrated = place.moments[..., None, :, :] @ transverse
    image = (energy @ integrated.reshape(*lead, walls, 6, 20)).reshape(integrated.shape)
    both = np.swapaxes(transverse.reshape(*lead, -1, 2), -1, -2) @ image.reshape(*lead, -1, 2)
    work = FIELD.reshape(30, 8).T @ image[..., :5, :].reshape(*lead, walls, 30, 2)
    mutual = np.swapaxes(direct.reshape(*lead, -1, 4), -1, -2) @ work.reshape(*lead, -1, 2)
    out = np.empty((*both.shape[:-2], 6, 6))
    d, v = np.array(DIRECT), np.array(TRANSVERSE)
    first = unknown[..., :4, :]
    out[..., d[:, None], d] = 0.5 * (first + np.swapaxes(first, -1, -2))
    out[..., d[:, None], v] = mutual
    out[..., v[:, None], d] = np.swapaxes(mutual, -1, -2)
    out[..., v[:, None], v] = 0.5 * (both + np.swapaxes(both, -1, -2))
    return out
