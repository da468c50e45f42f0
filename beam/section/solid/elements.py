"""Shape functions and element matrices; scikit-fem provides mesh, mapping, element and quadrature."""

from types import ModuleType
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.section.solid.mesh import SolidMesh
from beam.section.solid.orthotropic import strain_transform, wall_axes
from materials.checks import Array

BLOCK = 1000
"""Elements handled at a time."""

STRAINS = 4
"""Section strains that move the section as a whole: eps, kappa1, kappa2, kappa3."""

WIDTH = 27 + 27 + STRAINS
"""Unknowns of an element: warping u of nine nodes, its rate u' along the span, section strains."""

WARPING, RATE, WHOLE = slice(0, 27), slice(27, 54), slice(54, WIDTH)
"""Their places among the unknowns."""


def library(who: str = "beam.section.solid") -> ModuleType:
    """The finite-element library skfem; the refusal says who needs it and how to install it."""
    try:
        import skfem
    except ImportError as missing:
        raise ImportError(
            f"{who} needs scikit-fem, got none installed; "
            'install the optional extra: pip install "plystrut[fe]"'
        ) from missing
    return skfem


class Sample(NamedTuple):
    """Places in elements and what is known of them before anything is solved."""

    position: Array
    """Points (y2, y3), shape (element, place, 2) [m]."""

    weight: Array
    """Area per unit of local area, shape (element, place) [m^2]."""

    strain: Array
    """Strain (11, 22, 33, 23, 13, 12) per unknown of the element, shape (element, place, 6, 58) [1/m], [-], [m]."""

    stiffness: Array
    """Stress per strain in section axes, shape (element, place, 6, 6) [Pa]."""

    tangent: Array
    """Angle of the tangent t from e2 toward e3, shape (element, place) [rad]."""


def sample(mesh: SolidMesh, elements: ArrayLike, at: ArrayLike) -> Sample:
    """Shape functions and stiffness at local places (along, across), (place, 2) or (element, place, 2), in elements.

    The displacement is that of a section moved by eps, kappa1, kappa2, kappa3 plus a warping u(y2, y3; x):

        e11 = eps + y3 kappa2 - y2 kappa3 + u1'    g23 = du2/dy3 + du3/dy2
        e22 = du2/dy2                              g13 = du1/dy3 + y2 kappa1 + u3'
        e33 = du3/dy3                              g12 = du1/dy2 - y3 kappa1 + u2'
    """
    skfem = library()
    chosen = np.asarray(elements, dtype=np.intp)
    X = np.asarray(at, dtype=float)
    X = np.ascontiguousarray(np.moveaxis(np.broadcast_to(X, (len(chosen), *X.shape[-2:])), -1, 0))
    # The mapping of the library is per mesh: one mesh of the chosen elements, each of them once.
    once, every = np.unique(chosen, return_inverse=True)
    nodes, local = np.unique(mesh.elements[once], return_inverse=True)
    part = skfem.MeshQuad2(
        np.ascontiguousarray(mesh.points[nodes].T), np.ascontiguousarray(local.reshape(-1, 9).T)
    )
    mapping, element = part.mapping(), skfem.ElementQuad2()
    fields = [element.gbasis(mapping, X, i, every)[0] for i in range(9)]
    shape = np.stack([np.asarray(f) for f in fields], axis=-1)
    d2, d3 = np.moveaxis(np.stack([f.grad for f in fields], axis=-1), 0, 0)
    position = np.moveaxis(mapping.F(X, every), 0, -1)
    tangent = (shape @ mesh.tangent[chosen][..., None])[..., 0]
    T = strain_transform(wall_axes(tangent))
    stiffness = T.swapaxes(-1, -2) @ mesh.stiffness[chosen][:, None] @ T
    return Sample(position, mapping.detDF(X, every), _strain(shape, d2, d3, position), stiffness, tangent)


def _strain(shape: Array, d2: Array, d3: Array, position: Array) -> Array:
    """Strain per unknown, (element, place, 6, 58), from shape functions and their derivatives."""
    e11, e22, e33, g23, g13, g12 = range(6)
    out = np.zeros((*position.shape[:-1], 6, WIDTH))
    u, rate, whole = out[..., WARPING], out[..., RATE], out[..., WHOLE]
    u[..., e22, 1::3] = u[..., g12, 0::3] = u[..., g23, 2::3] = d2
    u[..., e33, 2::3] = u[..., g13, 0::3] = u[..., g23, 1::3] = d3
    rate[..., e11, 0::3] = rate[..., g12, 1::3] = rate[..., g13, 2::3] = shape
    y2, y3 = position[..., 0], position[..., 1]
    whole[..., e11, 0] = 1.0
    whole[..., e11, 2], whole[..., e11, 3] = y3, -y2
    whole[..., g12, 1], whole[..., g13, 1] = -y3, y2
    return out


def gauss() -> tuple[Array, Array]:
    """Local places (9, 2) and shares of the area (9,) of the Gauss points of an element, three each way."""
    skfem = library()
    X, W = skfem.quadrature.get_quadrature(skfem.ElementQuad2.refdom, 5)
    return X.T, W


def element_matrices(mesh: SolidMesh) -> Array:
    """Quadratic forms, (element, 58, 58), of twice the strain energy per length [Pa], [Pa m], [Pa m^2] ..."""
    at, share = gauss()
    count = len(mesh.elements)
    out = np.empty((count, WIDTH, WIDTH))
    for first in range(0, count, BLOCK):
        block = np.arange(first, min(first + BLOCK, count))
        s = sample(mesh, block, at)
        stress = s.stiffness * (s.weight * share)[..., None, None] @ s.strain
        flat = (len(block), -1, WIDTH)
        out[block] = s.strain.reshape(flat).swapaxes(-1, -2) @ stress.reshape(flat)
    return out
