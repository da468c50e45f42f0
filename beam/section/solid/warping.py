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
transverse shear is part of the warping, and int t12 = V2, int t13 = V3 are exact in the discrete equations. E is
singular only for three translations and the turn of u about e1; four pinned values remove them.

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

from typing import Annotated, Literal, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.sparse import coo_array, csr_array
from scipy.sparse.linalg import splu

from beam.section import centers
from beam.section.solid.elements import RATE, WARPING, WHOLE, WIDTH, Sample, element_matrices, sample
from beam.section.solid.mesh import SolidMesh
from beam.section.solid.orthotropic import ply_axes, strain_transform, wall_axes
from beam.section.solid.wall_mesh import WallMesh
from beam.section.wall_equations import DIRECT
from laminate.plate import inverse
from materials.checks import Array, Frozen, Limits, checked, reject

Forces: TypeAlias = Annotated[ArrayLike, Limits("N, N m", last=(6,))]
Local: TypeAlias = Annotated[
    ArrayLike, Limits("-", shape=(-1, 2), at_least=0.0, at_most=1.0, cause="local places, not points in m")
]
Axes: TypeAlias = Literal["section", "wall", "ply"]

CENTER = ((0.5, 0.5),)
"""The middle of an element."""


class WarpedSection(Frozen):
    """A section on a mesh solved for its six unit forces; the result of `solve`.

    Parameters
    ----------
    mesh : SolidMesh
        The mesh.
    unknowns : ndarray, shape (element, 58, 6)
        Warping of the nine nodes, its rate along the span, and (eps, kappa1, kappa2, kappa3) under unit
        (N, V2, V3, T, M2, M3) [m/N], [1/N], [1/(N m)].
    compliance : ndarray, shape (6, 6)
        Section strains per section force (N, V2, V3, T, M2, M3) [1/N], [1/(N m)], [1/(N m^2)].

    Examples
    --------
    >>> from beam.section.solid import Orthotropic
    >>> points = 0.01 * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1], [0, -1], [1, 0], [0, 1], [-1, 0], [0, 0]])
    >>> metal = Orthotropic.isotropic(70e9, 0.3)
    >>> square = SolidMesh(points=points, elements=[range(9)], constants=[metal], material=0, angle_deg=0, tangent=0)
    >>> solve(square).stress([1000.0, 0, 0, 0, 0, 0], axes="section")[0, 0, :2].round(3) + 0.0
    array([2500000.,       0.])
    """

    mesh: SolidMesh
    unknowns: Array
    compliance: Array

    def __post_init__(self) -> None:
        # Results of `solve` are not read again: large arrays are not copied.
        for values in (self.unknowns, self.compliance):
            values.setflags(write=False)

    @property
    def stiffness(self) -> Array:
        """Forces (N, V2, V3, T, M2, M3) per strain about the origin, shape (6, 6) [N], [N m], [N m^2]."""
        return inverse(self.compliance)

    @property
    def centroid(self) -> Array:
        """Point where an axial force does not bend the section, shape (2,) [m]."""
        return centers.centroid(self.compliance)

    @property
    def shear_center(self) -> Array:
        """Point where a transverse force does no work on twist, shape (2,) [m]."""
        return centers.shear_center(self.compliance)

    @checked
    def strain(self, F: Forces, at: Local = CENTER, axes: Axes = "ply") -> Array:
        """Strain under section forces.

        Parameters
        ----------
        F : array_like, shape (..., 6)
            Section forces (N, V2, V3, T, M2, M3) about the origin [N], [N m].
        at : array_like, shape (place, 2)
            Places (along, across) in every element, from 0 to 1 [-].
        axes : {"section", "wall", "ply"}
            Axes (e1, e2, e3), (x, y, z) of the wall or (1, 2, 3) of the ply.

        Returns
        -------
        ndarray, shape (..., element, place, 6)
            Components (11, 22, 33, 23, 13, 12), shear engineering [-].
        """
        every = np.arange(len(self.mesh.elements))
        return self._recovered(np.asarray(F), every, sample(self.mesh, every, at), axes)[0]

    @checked
    def stress(self, F: Forces, at: Local = CENTER, axes: Axes = "ply") -> Array:
        """Stress under section forces, interlaminar components included.

        Parameters
        ----------
        F : array_like, shape (..., 6)
            Section forces (N, V2, V3, T, M2, M3) about the origin [N], [N m].
        at : array_like, shape (place, 2)
            Places (along, across) in every element, from 0 to 1 [-].
        axes : {"section", "wall", "ply"}
            Axes (e1, e2, e3), (x, y, z) of the wall or (1, 2, 3) of the ply.

        Returns
        -------
        ndarray, shape (..., element, place, 6)
            Components (11, 22, 33, 23, 13, 12) [Pa].

        Notes
        -----
        Stresses are those of the displacements, element by element: best at the points 1/2 -+ 1/sqrt(12). They jump a
        little from element to element: refine until the jump does not matter.
        """
        every = np.arange(len(self.mesh.elements))
        return self._recovered(np.asarray(F), every, sample(self.mesh, every, at), axes)[1]

    @checked
    def places(self, at: Local = CENTER) -> Array:
        """Points of the section at places in the elements.

        Parameters
        ----------
        at : array_like, shape (place, 2)
            Places (along, across) in every element, from 0 to 1 [-].

        Returns
        -------
        ndarray, shape (element, place, 2)
            Points (y2, y3) [m].
        """
        return sample(self.mesh, np.arange(len(self.mesh.elements)), at).position

    def _recovered(self, F: Array, elements: NDArray[np.intp], s: Sample, axes: Axes) -> tuple[Array, Array]:
        """Strain and stress, both (..., element, place, 6), at evaluated places of some elements."""
        per_force = s.strain @ self.unknowns[elements][:, None]
        T = np.broadcast_to(np.eye(6), s.stiffness.shape)
        if axes != "section":
            T = strain_transform(wall_axes(s.tangent))
        if axes == "ply":
            T = strain_transform(ply_axes(np.radians(self.mesh.angle_deg[elements])))[:, None] @ T
        # Stress turns with the inverse transpose of what turns strain.
        stress_per_force = np.linalg.solve(T.swapaxes(-1, -2), s.stiffness @ per_force)
        e, t = (np.tensordot(F, part, axes=(-1, -1)) for part in (T @ per_force, stress_per_force))
        return e, t


@checked
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

    Notes
    -----
    E, C, R, L, A are the blocks of twice the strain energy per length on (u, u', chi); far from the ends (Giavotto et
    al. 1983)

        E u' + R chi' = 0,                      R' u' + A chi' = F'
        E u + R chi = (C' - C) u' + L chi',     R' u + A chi = F - L' u'

    Examples
    --------
    >>> from beam.section import Section
    >>> from beam.section.solid import Orthotropic, mesh_walls
    >>> from laminate import Laminate
    >>> from materials import lamina
    >>> box = Section.rounded_box(0.06, 0.04, 0.01, Laminate.from_code("[0/90]s", lamina("AS4/3501-6")))
    >>> mesh = mesh_walls(box, lambda ply: Orthotropic.transversely_isotropic(ply, nu23=0.4), size=0.01)
    >>> (solve(mesh).stiffness.diagonal() / box.stiffness.diagonal()).round(3)
    array([1., 1., 1., 1., 1., 1.])
    """
    K = element_matrices(mesh)
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
        """Warping under loads (size, column), pinned."""
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


@checked
def ply_stress(
    section: WarpedSection,
    F: Forces,
    wall: Annotated[int, Limits("-", at_least=0)],
    at: Annotated[
        float, Limits("-", at_least=0.0, at_most=1.0, cause="a fraction of the wall, not a length")
    ] = 0.5,
) -> Array:
    """All six stress components at the surfaces of every ply of a wall.

    Parameters
    ----------
    section : WarpedSection
        A solved section with a mesh from `mesh_walls`.
    F : array_like, shape (..., 6)
        Section forces (N, V2, V3, T, M2, M3) about the origin [N], [N m].
    wall : int
        Index of the wall [-].
    at : float
        Fraction of its length [-].

    Returns
    -------
    ndarray, shape (..., ply, surface, 6)
        Stress (11, 22, 33, 23, 13, 12) in ply axes, each surface seen from inside its ply [Pa].

    Raises
    ------
    ValueError
        If the mesh was not made by `mesh_walls`, or there is no such wall.

    Notes
    -----
    s = C e of the displacements of the elements, in ply axes; interlaminar components are continuous only in the limit
    of fine meshes.

    Examples
    --------
    >>> from beam.section import Section
    >>> from beam.section.solid import Orthotropic, mesh_walls
    >>> from laminate import Laminate
    >>> from materials import lamina
    >>> tube = Section.tube(0.03, Laminate.from_code("[0/90]s", lamina("AS4/3501-6")))
    >>> mesh = mesh_walls(tube, lambda ply: Orthotropic.transversely_isotropic(ply, nu23=0.4), size=0.05)
    >>> ply_stress(solve(mesh), [1000.0, 0, 0, 0, 0, 0], wall=0).shape
    (4, 2, 6)
    """
    mesh, forces = section.mesh, np.asarray(F)
    if not isinstance(mesh, WallMesh):
        reject("ply_stress: section", "a mesh without walls", "solved on a mesh from mesh_walls")
    if wall >= len(mesh.section.laminates):
        reject("ply_stress: wall [-]", wall, f"<= {len(mesh.section.laminates) - 1}")
    column = np.flatnonzero((mesh.wall == wall) & (mesh.along[:, 0] <= at) & (at <= mesh.along[:, 1]))
    # At the line between two columns the place belongs to the first of them.
    column = column[mesh.along[column, 0] == mesh.along[column, 0].min()]
    z = mesh.section.laminates[wall].surfaces
    inside = (z + z[:, ::-1] * 1e-6) / (1 + 1e-6)
    low, high = mesh.height[column].T
    row = column[np.argmax((low <= inside[..., None]) & (inside[..., None] <= high), axis=-1)]
    a, h = mesh.along[row], mesh.height[row]
    across = np.clip((z - h[..., 0]) / (h[..., 1] - h[..., 0]), 0.0, 1.0)
    local = np.stack([(at - a[..., 0]) / (a[..., 1] - a[..., 0]), across], axis=-1)
    s = sample(mesh, row.ravel(), local.reshape(-1, 1, 2))
    stress = section._recovered(forces, row.ravel(), s, "ply")[1]
    return stress.reshape(*forces.shape[:-1], *z.shape, 6)


def _pins(points: Array) -> list[int]:
    """Four values that pin the translations of the warping and its turn about e1."""
    near = int(np.argmin(points.sum(axis=1)))
    reach = np.abs(points - points[near])
    far, axis = np.unravel_index(int(np.argmax(reach)), reach.shape)
    return [3 * near, 3 * near + 1, 3 * near + 2, 3 * int(far) + (2 if axis == 0 else 1)]


def _sparse(blocks: Array, dofs: NDArray[np.intp], size: int) -> csr_array:
    """Sum the blocks of the elements, (element, 27, 27), to a matrix of the section, (size, size)."""
    rows = np.broadcast_to(dofs[:, :, None], blocks.shape)
    columns = np.broadcast_to(dofs[:, None, :], blocks.shape)
    return coo_array((blocks.ravel(), (rows.ravel(), columns.ravel())), shape=(size, size)).tocsr()


def _gather(columns: Array, dofs: NDArray[np.intp], size: int) -> Array:
    """Add the rows of the elements to those of the section, shape (size, column)."""
    into = np.arange(dofs.size)
    spread = coo_array((np.ones(dofs.size), (dofs.ravel(), into)), shape=(size, dofs.size)).tocsr()
    return np.asarray(spread @ columns.reshape(dofs.size, -1))
