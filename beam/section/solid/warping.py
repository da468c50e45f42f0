r"""The warping problem of a prismatic beam of any section and any elastic material, solved on a mesh.

After Giavotto et al. (1983). The displacement is that of a section that moves as a whole, plus a warping
u(y2, y3; x) of all three components. Twice the strain energy per length is a quadratic form of u, of its rate
u' = du/dx and of the section strains chi = (eps, kappa1, kappa2, kappa3):

    [u u' chi] [ E   C   R ] [u  ]
               [ C'  M   L ] [u' ]        (C', R', L' in the matrix are transposes)
               [ R'  L'  A ] [chi]

Far from the ends (the central solution) all fields grow no faster than linearly in x. Equilibrium of the
sections, order by order, with F = (N, T, M2, M3):

    rate:    E u' + R chi' = 0,                         R' u' + A chi' = F'
    value:   E u  + R chi  = (C' - C) u' + L chi',      R' u  + A chi  = F - L' u'

F' is not zero under a transverse force: dM2/dx = V3, dM3/dx = -V2. So V2 and V3 need no unknown of their own:
transverse shear is part of the warping, and int t12 = V2, int t13 = V3 hold in the discrete equations
exactly. E is singular only for three translations and the turn of u about e1; four values pin them.

**Compliance.** Stresses of the six unit forces are unique, and the 6 x 6 compliance is their energy: it is
symmetric and positive definite. The moments are those at the section itself, so under V alone M is zero there.

**What the shear terms mean.** The compliance under V is the energy of the shear stress, as in thin-walled theory
from shear flow. For an isotropic solid that is 5/6 for a rectangle at nu = 0 and Saint-Venant's flexure energy
otherwise: the circle has k = 6 (1 + nu)^2 / (7 + 14 nu + 8 nu^2). Cowper's coefficient, 6 (1 + nu) / (7 + 6 nu),
relates the force to a displacement averaged over the area instead; the two are one at nu = 0. The shear
center is, likewise, where the energies of V and T do not couple (Trefftz); for isotropic sections it does not
depend on nu.

References
----------
V. Giavotto, M. Borri, P. Mantegazza, G. Ghiringhelli, V. Carmaschi, G. C. Maffioli, F. Mussi, "Anisotropic
beam theory and applications", Computers & Structures 16 (1983) 403-413.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.sparse import coo_array, csr_array
from scipy.sparse.linalg import splu

from beam.section import centers
from beam.section.solid import recovery
from beam.section.solid.elements import RATE, WARPING, WHOLE, WIDTH, element_matrices
from beam.section.solid.mesh import SolidMesh
from laminate.plate import inverse
from materials.checks import Array, number
from materials.kinds import instance

DIRECT = (0, 3, 4, 5)
"""Places of (N, T, M2, M3) among the six section forces."""


@dataclass(frozen=True, kw_only=True, eq=False)
class WarpedSection:
    """A section solved for its six unit forces.

    Parameters
    ----------
    mesh : SolidMesh
        The mesh.
    unknowns : ndarray, shape (element, 58, 6)
        Warping of the nine nodes, its rate along the span, and (eps, kappa1, kappa2, kappa3) under unit
        (N, V2, V3, T, M2, M3) [m/N] ...
    compliance : ndarray, shape (6, 6)
        Section strains per section force (N, V2, V3, T, M2, M3) [1/N], [1/(N m)], [1/(N m^2)].
    """

    mesh: SolidMesh
    unknowns: Array
    compliance: Array

    @cached_property
    def stiffness(self) -> Array:
        """Forces (N, V2, V3, T, M2, M3) per strain about the origin, shape (6, 6) [N], [N m], [N m^2]."""
        return inverse(self.compliance)

    def stiffness_about(self, point: ArrayLike, angle: float = 0.0) -> Array:
        """Stiffness about another reference point, in turned axes.

        Parameters
        ----------
        point : array_like, shape (2,)
            Reference (y2, y3) [m].
        angle : float
            From e2 to the new e2, toward e3 [rad].

        Returns
        -------
        ndarray, shape (6, 6)
            In the order (N, V2, V3, T, M2, M3) [N], [N m], [N m^2].
        """
        turn = number("WarpedSection: angle [rad]", angle)
        return inverse(centers.turned(centers.moved(self.compliance, point), turn))

    @property
    def centroid(self) -> Array:
        """Where an axial force bends the section in neither plane, shape (2,) [m]."""
        return centers.centroid(self.compliance)

    @property
    def shear_center(self) -> Array:
        """Where a transverse force does no work on twist, shape (2,) [m]."""
        return centers.shear_center(self.compliance)

    @property
    def principal_axes(self) -> centers.PrincipalAxes:
        """Angle [rad] and bending stiffness [N m^2] of the principal axes."""
        return centers.principal_axes(self.compliance)

    strain = recovery.strain
    stress = recovery.stress
    places = recovery.places


def solve(mesh: SolidMesh) -> WarpedSection:
    """Solve the warping problem for the six unit section forces.

    Parameters
    ----------
    mesh : SolidMesh
        Section and materials.

    Returns
    -------
    WarpedSection
        Compliance, and the fields from which stresses are recovered.

    Raises
    ------
    ImportError
        If scikit-fem is not installed.
    """
    K = element_matrices(instance("solve: mesh", mesh, SolidMesh))
    dofs = (3 * mesh.elements[:, :, None] + np.arange(3)).reshape(-1, 27)
    size = 3 * len(mesh.points)
    free = np.setdiff1d(np.arange(size), _pins(mesh.points))
    # Symmetric and positive definite once pinned: no pivoting, ordering on its own pattern.
    factor = splu(
        _sparse(K[:, WARPING, WARPING], dofs, size)[free][:, free].tocsc(),
        permc_spec="MMD_AT_PLUS_A",
        diag_pivot_thresh=0.0,
        options={"SymmetricMode": True},
    )

    def warping(load: Array) -> Array:
        out = np.zeros_like(load)
        out[free] = factor.solve(load[free])
        return out

    R = _gather(K[:, WARPING, WHOLE], dofs, size)
    free_warping = -warping(R)
    A = K[:, WHOLE, WHOLE].sum(axis=0) + R.T @ free_warping
    chi = np.linalg.inv(0.5 * (A + A.T))
    u = free_warping @ chi
    # Unit V2 makes M3 fall, unit V3 makes M2 grow along the span.
    rate, chi_rate = u[:, [3, 2]] * (-1, 1), chi[:, [3, 2]] * (-1, 1)
    rate_e = rate[dofs]
    load = (K[:, RATE, WARPING] - K[:, WARPING, RATE]) @ rate_e + K[:, RATE, WHOLE] @ chi_rate
    w = warping(_gather(load, dofs, size))
    lacking = -(K[:, WHOLE, RATE] @ rate_e).sum(axis=0) - R.T @ w
    chi_shear = chi @ lacking
    unknowns = np.zeros((len(K), WIDTH, 6))
    unknowns[:, WARPING, DIRECT], unknowns[:, WARPING, 1:3] = u[dofs], (w + free_warping @ chi_shear)[dofs]
    unknowns[:, RATE, 1:3] = rate_e
    unknowns[:, WHOLE, DIRECT], unknowns[:, WHOLE, 1:3] = chi, chi_shear
    compliance = (unknowns.swapaxes(-1, -2) @ (K @ unknowns)).sum(axis=0)
    return WarpedSection(mesh=mesh, unknowns=unknowns, compliance=0.5 * (compliance + compliance.T))


def _pins(points: Array) -> list[int]:
    """Four values that hold the warping's translations and its turn about e1."""
    near = int(np.argmin(points.sum(axis=1)))
    reach = np.abs(points - points[near])
    far, axis = np.unravel_index(int(np.argmax(reach)), reach.shape)
    return [3 * near, 3 * near + 1, 3 * near + 2, 3 * int(far) + (2 if axis == 0 else 1)]


def _sparse(blocks: Array, dofs: NDArray[np.intp], size: int) -> csr_array:
    rows = np.broadcast_to(dofs[:, :, None], blocks.shape)
    columns = np.broadcast_to(dofs[:, None, :], blocks.shape)
    return coo_array((blocks.ravel(), (rows.ravel(), columns.ravel())), shape=(size, size)).tocsr()


def _gather(columns: Array, dofs: NDArray[np.intp], size: int) -> Array:
    """Add the rows of the elements to those of the section, shape (size, column)."""
    into = np.arange(dofs.size)
    spread = coo_array((np.ones(dofs.size), (dofs.ravel(), into)), shape=(size, dofs.size)).tocsr()
    return np.asarray(spread @ columns.reshape(dofs.size, -1))
