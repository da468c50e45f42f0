"""Sections on meshes, and statics by quadrature, shared by the tests of the warping problem."""

from functools import cache, partial

import numpy as np
from section_cases import carbon, metal, mixed_walls

from beam.section import Section, network
from beam.section.solid import Orthotropic, SolidMesh, mesh_walls, solve
from beam.section.solid.elements import gauss, sample
from beam.section.solid.mesh import cells
from laminate import Laminate

ply3d = partial(Orthotropic.transversely_isotropic, nu23=0.4)
"""Carbon plies in three dimensions."""

metal3d = partial(Orthotropic.transversely_isotropic, nu23=0.3)
"""The metal of `section_cases`."""


def off_axis(angle_deg, lamina=None):
    """Compliance of a carbon ply in wall axes, (6, 6), written apart from the library."""
    S = ply3d(lamina or carbon()).compliance
    c, s = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))
    T = np.zeros((6, 6))  # stress from wall to ply axes
    T[0, [0, 1, 5]] = c * c, s * s, 2 * c * s
    T[1, [0, 1, 5]] = s * s, c * c, -2 * c * s
    T[2, 2] = 1.0
    T[3, [3, 4]], T[4, [3, 4]] = (c, -s), (s, c)
    T[5, [0, 1, 5]] = -c * s, c * s, c * c - s * s
    return T.T @ S @ T


def strip(laminate, width):
    """Flat open strip along e2, its outer side at +e3."""
    return Section(network([[-width / 2, 0.0], [width / 2, 0.0]], [[0, 1]]), (laminate,))


def tube(radius, t, nu=0.3):
    """Isotropic tube of mean radius and thickness, solved; its wall is cut into two plies or more."""
    plies = 2 * int(np.ceil(t / 0.02))
    wall = Laminate.from_code(f"[0]{plies}", metal(t / plies, nu=nu).plies[0].lamina)
    constants = partial(Orthotropic.transversely_isotropic, nu23=nu)
    return solve(mesh_walls(Section.tube(radius, wall), constants, size=radius, per_layer=4))


@cache
def coupled_box(ply=0.125e-3, size=0.004):
    """Rounded box of eight different laminates, solved once; no symmetry, every coupling, jogs everywhere."""
    walls = [Laminate.from_code(w.code, carbon(ply)) for w in mixed_walls()]
    section = Section.rounded_box(0.08, 0.05, 0.012, walls)
    return solve(mesh_walls(section, ply3d, size=size))


def resultants(section, F):
    """Section forces of the recovered stresses, by quadrature over the elements."""
    at, share = gauss()
    place = sample(section.mesh, np.arange(len(section.mesh.elements)), at)
    dA = place.weight * share
    y2, y3 = np.moveaxis(place.position, -1, 0)
    s11, _, _, _, s13, s12 = np.moveaxis(section.stress(F, at, axes="section"), -1, 0)
    parts = (s11, s12, s13, y2 * s13 - y3 * s12, s11 * y3, -s11 * y2)
    return np.stack([(part * dA).sum(axis=(-1, -2)) for part in parts], axis=-1)


def one_material(points, grids, constants, angle_deg):
    """Mesh of one material on grids of nodes, ply axis 3 along e3."""
    elements = np.concatenate([cells(grid) for grid in grids])
    return SolidMesh(
        points=points,
        elements=elements,
        constants=(constants,),
        material=[0],
        angle_deg=[angle_deg],
        tangent=[0.0] * 9,
    )


def rectangle(width, height, constants, *, count, angle_deg=0.0):
    """Solid rectangle about the origin, (n2, n3) elements along e2 and e3."""
    x, y = (np.linspace(-0.5, 0.5, 2 * n + 1) for n in count)
    points = np.stack(np.broadcast_arrays(width * x, (height * y)[:, None]), axis=-1).reshape(-1, 2)
    return one_material(points, (np.arange(len(points)).reshape(len(y), len(x)),), constants, angle_deg)


def ellipse(width, height, constants, *, count, angle_deg=0.0):
    """Solid ellipse about the origin: a square patch with curved sides between four patches, 5 count^2 elements."""
    n = 2 * count
    x = np.linspace(-1.0, 1.0, n + 1)
    grid = np.stack(np.broadcast_arrays(x, x[:, None]), axis=-1)
    square = (0.6 * grid * np.sqrt(1 - 0.25 * grid[..., ::-1] ** 2)).reshape(-1, 2)
    ids = np.arange((n + 1) ** 2).reshape(n + 1, n + 1)
    around = np.concatenate([ids[0, :-1], ids[:-1, -1], ids[-1, :0:-1], ids[:0:-1, 0]])
    rim_angle = 0.25 * np.pi * (np.arange(4 * n) * 2 / n - 3)
    rim = np.stack([np.cos(rim_angle), np.sin(rim_angle)], axis=-1)
    fraction = np.linspace(0.0, 1.0, n + 1)[1:, None, None]
    outer = (1 - fraction) * square[around] + fraction * rim
    points = np.concatenate([square, outer.reshape(-1, 2)]) * (0.5 * width, 0.5 * height)
    rings = np.concatenate([around[None], len(square) + np.arange(4 * n * n).reshape(n, 4 * n)])
    # Rows go outward, columns counter-clockwise: taken clockwise, the element order is counter-clockwise.
    rings = np.concatenate([rings, rings[:, :1]], axis=1)[:, ::-1]
    return one_material(points, (ids, rings), constants, angle_deg)
