"""Layered bricks: 27-node hexahedra, one through the wall, with the stiffness of every ply integrated over its height.

Axes of an element: along the span, around the section, outward through the wall, each from 0 to 1. Strain and stress
are in wall axes (x along the generator, y around, z normal), in the order (xx, yy, zz, yz, xz, xy), shear engineering.
At a point of the mid-surface the strain per unknown is a cubic of the height through four points; with it the
stiffness of a stack is a sum over its plies of integrals of polynomials, exact however many plies there are. Stress
across the wall (zz, yz, xz) is common to the plies of a stack, as its equilibrium wants.
"""

from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.section.solid.elements import library
from beam.section.solid.orthotropic import Orthotropic, ply_axes, strain_transform
from materials import Lamina
from materials.checks import Array
from materials.through_thickness import UNIDIRECTIONAL, through_thickness

Index = NDArray[np.intp]

HEIGHTS = (np.polynomial.legendre.leggauss(4)[0] + 1) / 2
"""Heights in an element where its strain is found, (4,), from the inner face at 0 to the outer one at 1 [-]."""

BARLOW = 0.5 + np.array([-0.5, 0.5]) / np.sqrt(3.0)
"""Places along and around in an element where the strain is most accurate, (2,) [-]."""

BLOCK = 400
"""Elements handled at a time."""


class Layers(NamedTuple):
    """What fills the elements: the plies of each class of element, and the materials of the plies."""

    present: Array
    """Share of each ply at the four corners of an element (00, 10, 01, 11; along, around), (class, 4, ply) [-]."""

    thickness: Array
    """Thickness of each ply, (ply,) [m]."""

    kind: Index
    """Material of each ply, (ply,); where it ends along the span, the last material fills its wedge."""

    stiffness: Array
    """Stress per strain of each material in wall axes, (material, 6, 6) [Pa]."""

    expansion: Array
    """Free strain per kelvin and per mass fraction of moisture in wall axes, (material, 2, 6) [1/K], [-]."""


class Grid(NamedTuple):
    """Bricks in rows along the span and around the section; `closed` where the last column joins the first."""

    points: Array
    """Nodes (x, y2, y3), (plane, column, 3 heights, 3) [m]: two planes and two columns to an element, and the last."""

    kinds: Index
    """Class of each element in the layers, (row, element around)."""

    layers: Layers
    closed: bool

    @property
    def columns(self) -> Index:
        """Numbers of the nine columns of nodes of every element, (row, element around, 9)."""
        rows, around = self.kinds.shape
        i, j = np.meshgrid(2 * np.arange(rows), 2 * np.arange(around), indexing="ij")
        a, b = np.repeat(np.arange(3), 3), np.tile(np.arange(3), 3)
        wide = self.points.shape[1]
        return np.asarray((i[..., None] + a) * wide + (j[..., None] + b) % wide, dtype=np.intp)

    def nodes(self, elements: Index) -> Array:
        """Nodes (element, 27, 3) of elements numbered row by row [m]."""
        columns = self.columns.reshape(-1, 9)[elements]
        return self.points.reshape(-1, 3, 3)[columns].reshape(len(elements), 27, 3)


def material(lamina: Lamina) -> tuple[Orthotropic, Array]:
    """Elastic constants of a ply in three dimensions, and its expansion (2, 6) by heat [1/K] and moisture [-]."""
    ply = through_thickness(lamina)
    G13, G23 = lamina.G13, lamina.G23
    if lamina.E1 >= UNIDIRECTIONAL * lamina.E2:
        G13 = lamina.G12 if G13 is None else G13
        G23 = lamina.E2 / (2 * (1 + ply.nu23)) if G23 is None else G23
    if G13 is None or G23 is None:
        G13, G23 = lamina.transverse_shear
    constants = Orthotropic(
        E1=lamina.E1, E2=lamina.E2, E3=ply.E3, G23=G23, G13=G13, G12=lamina.G12, nu23=ply.nu23, nu13=ply.nu13,
        nu12=lamina.nu12,
    )  # fmt: skip
    free = np.zeros((2, 6))
    free[:, :3] = (lamina.alpha1, lamina.alpha2, ply.alpha3), (lamina.beta1, lamina.beta2, ply.beta3)
    return constants, free


def turned(constants: Orthotropic, free: Array, angle_deg: float) -> tuple[Array, Array]:
    """Stiffness (6, 6) and expansion (2, 6) in wall axes of a ply at an angle."""
    T = strain_transform(ply_axes(np.radians(angle_deg)))
    return T.T @ constants.stiffness @ T, np.asarray(np.linalg.solve(T, free.T).T)


@cache
def _order() -> Index:
    """Places of the 27 functions of the library in the order along, around, through."""
    place = np.round(2 * library("beam.strut.bricks").ElementHex2().doflocs).astype(int)
    return np.asarray(np.argsort(place @ [9, 3, 1]), dtype=np.intp)


def shapes(at: Array) -> tuple[Array, Array]:
    """Shape functions (place, 27) and their derivatives (place, 27, 3) at local places (place, 3)."""
    element = library("beam.strut.bricks").ElementHex2()
    both = [element.lbasis(at.T, int(i)) for i in _order()]
    return np.stack([v for v, _ in both], axis=-1), np.stack([g.T for _, g in both], axis=1)


@cache
def gauss_places() -> tuple[Array, Array]:
    """Places (9, 2) along and around of the points of integration, and their weights (9,) [-]."""
    skfem = library("beam.strut.bricks")
    X, W = skfem.quadrature.get_quadrature(skfem.refdom.RefQuad, 5)
    return np.asarray(X.T), np.asarray(W)


def spread(places: Array, heights: Array = HEIGHTS) -> Array:
    """Local places (place x height, 3) of all heights at places (place, 2) along and around."""
    both = np.repeat(places, len(heights), axis=0)
    return np.column_stack([both, np.tile(heights, len(places))])


def strain_operator(nodes: Array, at: Array) -> tuple[Array, Array, Array]:
    """Strain per unknown (element, place, 6, 81), frames (..., 3, 3) of the wall and det J (element, place)."""
    _, slope = shapes(at)
    J = np.einsum("nai,pad->npid", nodes, slope, optimize=True)
    along, around = J[..., 0], J[..., 1]
    normal = np.cross(along, around)
    normal /= np.linalg.norm(normal, axis=-1, keepdims=True)
    x = along / np.linalg.norm(along, axis=-1, keepdims=True)
    frame = np.stack([x, np.cross(normal, x), normal], axis=-2)
    # derivatives of the shape functions along the three axes of the wall
    g = slope @ (np.linalg.inv(J) @ frame.swapaxes(-1, -2))
    first, second = np.array([0, 1, 2, 1, 0, 0]), np.array([0, 1, 2, 2, 2, 1])
    B = np.einsum("npsi,npks->npski", frame[..., first, :], g[..., second])
    B[..., 3:, :, :] += np.einsum("npsi,npks->npski", frame[..., second[3:], :], g[..., first[3:]])
    return B.reshape(*B.shape[:3], 81), frame, np.linalg.det(J)


def cubic(heights: Array) -> Array:
    """Weights (..., 4) of the values at `HEIGHTS` in the cubic through them at heights (...)."""
    return np.asarray(
        heights[..., None] ** np.arange(4) @ np.linalg.inv(np.vander(HEIGHTS, 4, increasing=True))
    )


def _moments(interfaces: Array) -> Array:
    """Integrals of L_r l_m l_n over each layer, (..., layer, 3, 4, 4): interfaces (..., layer + 1) from 0 to 1."""
    small = np.linalg.inv(np.vander(HEIGHTS, 4, increasing=True)).T  # coefficients of l_m by rows
    thirds = np.linalg.inv(np.vander(HEIGHTS[:3], 3, increasing=True)).T
    poly = np.polynomial.polynomial
    rise = np.array(
        [poly.polyint(poly.polymul(poly.polymul(r, m), n)) for r in thirds for m in small for n in small]
    )
    value = interfaces[..., None] ** np.arange(rise.shape[1]) @ rise.T
    return np.asarray(np.diff(value, axis=-2)).reshape(*interfaces.shape[:-1], -1, 3, 4, 4)


PLANE, ACROSS = np.array([0, 1, 5]), np.array([2, 3, 4])
"""Components in the plane of the wall, and those across it: alike in all plies, as stresses through a stack are."""


def smeared(stiffness: Array, expansion: Array, share: Array) -> tuple[Array, Array]:
    """Stiffness (ply, 6, 6) and expansion (ply, 2, 6) of plies whose stress across the wall is that of the stack.

    In its plane each ply stays as it is; across the wall strain is the mean over the stack by `share` (ply,).
    """
    # One element through the wall has one strain across it. Plies that differ would push each other apart:
    # s_o = <C_oo^-1>^-1 (e_o + <C_oo^-1 C_op> e_p) is common to all, and with s_o = 0 lamination theory is left.
    p, o = PLANE, ACROSS
    soft = np.linalg.inv(stiffness[:, o[:, None], o])
    pull = soft @ stiffness[:, o[:, None], p]
    own = stiffness[:, p[:, None], p] - stiffness[:, p[:, None], o] @ pull
    hard = np.linalg.inv(np.einsum("k,kij->ij", share, soft))
    mean = np.einsum("k,kij->ij", share, pull)
    C, free = np.empty_like(stiffness), expansion.copy()
    C[:, p[:, None], p] = own + mean.T @ hard @ mean
    C[:, o[:, None], p] = hard @ mean
    C[:, p[:, None], o] = (hard @ mean).T
    C[:, o[:, None], o] = hard
    across = np.einsum("k,kho->ho", share, expansion[..., o] + expansion[..., p] @ pull.swapaxes(1, 2))
    free[..., o] = across - expansion[..., p] @ mean.T
    return C, free


def of_plies(stiffness: Array, plain: Array, free: Array, strain: Array) -> Array:
    """Strain (..., ply, surface, 6) of plies less their free strain, from stiffness as smeared and as it is.

    `strain` is that of the wall less the smeared free strain, `free` (ply, 6) the smeared less the own free strain.
    """
    out = strain + free[:, None]
    stress = np.einsum("pij,...psj->...psi", stiffness, strain)[..., ACROSS]
    from_plane = np.einsum("pij,...psj->...psi", plain[:, ACROSS[:, None], PLANE], out[..., PLANE])
    soft = np.linalg.inv(plain[:, ACROSS[:, None], ACROSS])
    out[..., ACROSS] = np.einsum("pij,...psj->...psi", soft, stress - from_plane)
    return out


class Through(NamedTuple):
    """Stiffness and free stress of each class, integrated over the height at the points of integration."""

    stiffness: Array
    """Between the strains at `HEIGHTS`, per det J at the first three of these, (class, 9, 3, 24, 24) [Pa]."""

    free: Array
    """Of each ply that cannot expand, by heat and by moisture, (class, 9, 3, 24, 2) [Pa/K], [Pa]."""


def ply_heights(layers: Layers, places: Array) -> Array:
    """Heights (class, place, ply + 1) from 0 to 1 of the faces of the plies at places (place, 2)."""
    a, b = places.T
    corner = np.stack([(1 - a) * (1 - b), a * (1 - b), (1 - a) * b, a * b], axis=-1)
    thick = np.einsum("gc,kcp->kgp", corner, layers.present) * layers.thickness
    z = np.concatenate([np.zeros((*thick.shape[:-1], 1)), np.cumsum(thick, axis=-1)], axis=-1)
    return z / z[..., -1:]


def through(layers: Layers) -> Through:
    """Integrate the plies of every class over the height."""
    places, _ = gauss_places()
    count = len(layers.stiffness)
    parts = []
    for one, heights in zip(layers.present, ply_heights(layers, places), strict=True):
        kind = np.where((one[0] == one[1]) & (one[2] == one[3]), layers.kind, count - 1)
        by_kind = np.einsum("gprmn,pk->gkrmn", _moments(heights), np.eye(count)[kind], optimize=True)
        share = np.diff(heights, axis=-1).mean(axis=0) @ np.eye(count)[kind]
        stiffness, expansion = smeared(layers.stiffness, layers.expansion, share)
        D = np.einsum("gkrmn,kij->grminj", by_kind, stiffness, optimize=True)
        stress = np.einsum("kij,khj->khi", stiffness, expansion)
        free = np.einsum("gkrm,khi->grmih", by_kind.sum(axis=-1), stress, optimize=True)
        parts.append((D.reshape(len(places), 3, 24, 24), free.reshape(len(places), 3, 24, 2)))
    return Through(*(np.stack(part) for part in zip(*parts, strict=True)))


def element_matrices(grid: Grid) -> tuple[Array, Array]:
    """Stiffness (element, 81, 81) [N/m] and forces of heat and moisture (element, 81, 2) [N/K], [N]."""
    places, weight = gauss_places()
    integrated, kinds = through(grid.layers), grid.kinds.ravel()
    at = spread(places)
    K, f = np.empty((len(kinds), 81, 81)), np.empty((len(kinds), 81, 2))
    for first in range(0, len(kinds), BLOCK):
        block = np.arange(first, min(first + BLOCK, len(kinds)))
        B, _, det = strain_operator(grid.nodes(block), at)
        B = B.reshape(len(block), len(places), 24, 81)
        volume = det.reshape(len(block), len(places), 4)[..., :3] * weight[:, None]
        of = kinds[block]
        D = np.einsum("egr,egrij->egij", volume, integrated.stiffness[of], optimize=True)
        free = np.einsum("egr,egrih->egih", volume, integrated.free[of], optimize=True)
        flat = B.reshape(len(block), -1, 81)
        K[block] = flat.swapaxes(1, 2) @ (D @ B).reshape(flat.shape)
        f[block] = flat.swapaxes(1, 2) @ free.reshape(len(block), -1, 2)
    return K, f
