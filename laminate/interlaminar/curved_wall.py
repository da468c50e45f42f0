r"""A stack in a corner: its stiffness and the states of its plies, with every radius in its place.

A wall bent around the span to the radius R at mid-thickness, z outward from there, strains along the arc alike. With
(ex, ey, gxy, kx, ky, kxy) its strains at mid-thickness and U(z) the displacement through the thickness,

    ex + z kx,   (ey + z ky + U/R) / (1 + z/R),   (gxy + kxy (z + z^2/2R)) / (1 + z/R),   ez = U'

are the strains along the span, around, in shear and through the thickness. ky is the change of angle per arc of the
middle; kxy = -2 x twist, the wall being free of transverse shear. U follows from the energy per area of the middle,

    1/2 integral of (1 + z/R) e'C e dz,  C of each ply in three dimensions,

by quadratic functions in every ply. Running loads are what works on the strains: Ny, Nxy, My are integrals over dz,
Nx has the factor (1 + z/R) of the outer, longer arcs. Where Ny is not zero, Ny/R is carried by transverse shear, a
parabola through the thickness; U has no mean under that weight. For R to infinity this is lamination theory with the
thickness free of stress. It holds where loads change little along the arc over one thickness.

References
----------
S. G. Lekhnitskii, Anisotropic Plates, Gordon and Breach 1968, ch. 3: one material under a moment, the test of this.
"""

from typing import NamedTuple

import numpy as np

from laminate.plate import inverse
from laminate.stack import Laminate
from materials import Lamina
from materials.checks import Array
from materials.through_thickness import through_thickness

LEAST = 0.525
"""Least radius at mid-thickness over the thickness: at half, the inner radius would be zero [-]."""

POINTS, WEIGHTS = (0.5 * one for one in np.polynomial.legendre.leggauss(3))
HEIGHTS = np.array([*(0.5 + POINTS), 0.0, 1.0])
"""Heights in a ply: the three Gauss points, then both surfaces [-]."""

FOLLOWED = np.array([0, 3, 5])
"""Indices of ex, kx, kxy, in which a wall follows its section."""

INNER, SURFACES = slice(0, 3), slice(3, 5)


class CurvedWall(NamedTuple):
    """A stack at several radii (radius,), the result of `curved_wall`.

    `abd` (radius, 6, 6) gives running loads per strain, `free` (radius, 6, 2) the strains of the free wall per kelvin
    and per mass fraction of moisture. Ply values in ply axes, (radius, ply, surface, 3, column): `strain`, `stress` per
    strain of the wall; `own_strain`, less that of the free ply, and `own_stress` of the free wall as `free`.
    """

    abd: Array
    free: Array
    strain: Array
    stress: Array
    own_strain: Array
    own_stress: Array


def curved_wall(laminate: Laminate, radius: Array) -> CurvedWall:
    """Stiffness and ply states of a stack at signed radii (radius,), positive where z points away from the center."""
    C, free = _in_wall_axes(laminate)
    h, t = laminate.thickness, laminate.ply_thickness[:, None]
    R = np.asarray(radius, dtype=float)[:, None, None]
    z = laminate.interfaces[:-1, None] + t * HEIGHTS
    wall, bulge = _strains(R, z, t)
    area = (1 + z[:, INNER] / R) * t * WEIGHTS
    # (radius, unknown of U, column): the columns are the six strains, a kelvin, a mass fraction of moisture
    plies = len(t)
    at, size = 2 * np.arange(plies)[:, None] + np.arange(3), 2 * plies + 1
    given = np.concatenate([wall, np.broadcast_to(-free[:, None], (*wall.shape[:-1], 2))], axis=-1)
    pull = area[..., None, None] * bulge[:, :, INNER].swapaxes(-1, -2) @ C[:, None]
    stiff = (pull @ bulge[:, :, INNER]).sum(axis=2)
    load = -(pull @ given[:, :, INNER]).sum(axis=2)
    K, f = np.zeros((len(R), size + 1, size + 1)), np.zeros((len(R), size + 1, 8))
    for i in range(3):
        f[:, at[:, i]] += load[:, :, i]
        for j in range(3):
            K[:, at[:, i], at[:, j]] += stiff[:, :, i, j]
    parabola = t * WEIGHTS * (1 - (2 * z[:, INNER] / h) ** 2)
    row = np.zeros(size)
    np.add.at(row, at, parabola @ _quadratics()[0][INNER])
    K[:, -1, :size] = K[:, :size, -1] = np.abs(K).max(axis=(1, 2))[:, None] * row / row.max()
    U = np.linalg.solve(K, f)[:, at]
    strain = given + bulge @ U[:, :, None]
    stress = C[:, None] @ strain
    worked = area[..., None, None] * wall[:, :, INNER].swapaxes(-1, -2) @ stress[:, :, INNER]
    worked = worked.sum(axis=(1, 2))
    abd = 0.5 * (worked[..., :6] + worked[..., :6].swapaxes(-1, -2))
    rest = -np.linalg.solve(abd, worked[..., 6:])
    T = laminate.rotation
    e = T[:, None] @ strain[:, :, SURFACES, :3]
    s = np.linalg.inv(T).swapaxes(-1, -2)[:, None] @ stress[:, :, SURFACES, :3]
    own = [one[..., 6:] + one[..., :6] @ rest[:, None, None] for one in (e, s)]
    return CurvedWall(abd, rest, e[..., :6], s[..., :6], *own)


def known_of(compliance: Array) -> Array:
    """What equilibrium and the section fix of a wall, (ex, Ny, Nxy, kx, My, kxy), per running load, (..., 6, 6)."""
    out = np.broadcast_to(np.eye(6), np.shape(compliance)).copy()
    out[..., FOLLOWED, :] = np.asarray(compliance)[..., FOLLOWED, :]
    return out


def strain_per_flat_load(curved: CurvedWall, laminate: Laminate) -> Array:
    """Strains of the wall, (radius, 6, 6), per running load of the flat stack that knows the same (`known_of`)."""
    soft = inverse(curved.abd)
    return np.asarray(soft @ np.linalg.solve(known_of(soft), known_of(laminate.compliance)))


def _quadratics() -> tuple[Array, Array]:
    """Quadratic functions of a ply and their slopes at `HEIGHTS`, (height, 3)."""
    x = HEIGHTS
    f = np.stack([(1 - x) * (1 - 2 * x), 4 * x * (1 - x), x * (2 * x - 1)], axis=-1)
    return f, np.stack([4 * x - 3, 4 - 8 * x, 4 * x - 1], axis=-1)


def _strains(R: Array, z: Array, t: Array) -> tuple[Array, Array]:
    """Strains along, around, in shear, through the thickness per strain of the wall and per unknown of U.

    Shapes (radius, ply, height, 4, 6 or 3) of radii (radius, 1, 1), heights (ply, height), thicknesses (ply, 1).
    """
    stretch = 1 + z / R
    wall = np.zeros((*stretch.shape, 4, 6))
    wall[..., 0, 0], wall[..., 0, 3] = 1.0, z
    wall[..., 1, 1], wall[..., 1, 4] = 1 / stretch, z / stretch
    wall[..., 2, 2], wall[..., 2, 5] = 1 / stretch, (z + 0.5 * z**2 / R) / stretch
    f, slope = _quadratics()
    bulge = np.zeros((*stretch.shape, 4, 3))
    bulge[..., 1, :] = f / (R + z)[..., None]
    bulge[..., 3, :] = slope / t[..., None]
    return wall, bulge


def _in_wall_axes(laminate: Laminate) -> tuple[Array, Array]:
    """Stiffness (ply, 4, 4) and expansion (ply, 4, 2) along x, y, in xy and through the thickness."""
    laminae = [ply.lamina for ply in laminate.plies]
    kinds = {lamina: _solid(lamina) for lamina in dict.fromkeys(laminae)}
    C, free = (np.stack([kinds[one][i] for one in laminae]) for i in (0, 1))
    turn = np.zeros((len(laminae), 4, 4))
    turn[:, :3, :3], turn[:, 3, 3] = laminate.rotation, 1.0
    return turn.swapaxes(-1, -2) @ C @ turn, np.asarray(np.linalg.solve(turn, free), dtype=float)


def _solid(lamina: Lamina) -> tuple[Array, Array]:
    """Stiffness (4, 4) and expansion (4, 2) of a ply along 1, 2, in 12 and through the thickness."""
    ply = through_thickness(lamina)
    S = np.diag([1 / lamina.E1, 1 / lamina.E2, 1 / lamina.G12, 1 / ply.E3])
    S[0, 1] = S[1, 0] = -lamina.nu12 / lamina.E1
    S[0, 3] = S[3, 0] = -ply.nu13 / lamina.E1
    S[1, 3] = S[3, 1] = -ply.nu23 / lamina.E2
    free = [[lamina.alpha1, lamina.beta1], [lamina.alpha2, lamina.beta2], [0.0, 0.0], [ply.alpha3, ply.beta3]]
    return inverse(S), np.array(free)
