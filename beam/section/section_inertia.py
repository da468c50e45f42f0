"""Mass and inertia per length of span."""

import numpy as np
from numpy.typing import ArrayLike

from beam.section.contour import Contour
from beam.section.wall_equations import measure
from materials.checks import Array


def inertia(contour: Contour, areal_density: ArrayLike, thickness: ArrayLike) -> Array:
    """Mass matrix per length, (..., 6, 6), of walls, (..., wall) [kg/m^2], [m], for (u1, u2, u3, r1, r2, r3).

    With m0, m_i, m_ij the integrals of rho, rho y_i, rho y_i y_j over the section, the velocity of a point is
    (u1 + y3 r2 - y2 r3, u2 - y3 r1, u3 + y2 r1). The material is spread evenly through each wall. The thickness and
    the curvature c of the wall count: per area of mid-line

        integral (r + z n)(1 + c z) dz / t = r + c t^2/12 n
        integral (r + z n)(r + z n)' (1 + c z) dz / t = r r' + t^2/12 (n n' + c (r n' + n r'))
    """
    rho, t = np.asarray(areal_density), np.asarray(thickness)
    moments = measure(contour).moments
    depth = (t**2 / 12)[..., None, None]
    curvature = (-contour.turn / contour.length)[..., None, None]
    normal = np.array([[0.0, -1.0], [1.0, 0.0]])
    rr, tt, rt = moments[..., 1:3, 1:3], moments[..., 3:5, 3:5], moments[..., 1:3, 3:5]
    rn = rt @ normal.T
    first = moments[..., 0, 1:3] + (depth * curvature)[..., 0] * (moments[..., 0, 3:5] @ normal.T)
    second = rr + depth * (normal @ tt @ normal.T + curvature * (rn + np.swapaxes(rn, -1, -2)))
    m0 = (rho * contour.length).sum(axis=-1)
    m1 = (rho[..., None] * first).sum(axis=-2)
    m2 = (rho[..., None, None] * second).sum(axis=-3)
    out = np.zeros((*np.broadcast_shapes(m0.shape, m2.shape[:-2]), 6, 6))
    for i in range(3):
        out[..., i, i] = m0
    for row, column, value in (
        (0, 4, m1[..., 1]),
        (0, 5, -m1[..., 0]),
        (1, 3, -m1[..., 1]),
        (2, 3, m1[..., 0]),
        (4, 5, -m2[..., 0, 1]),
    ):
        out[..., row, column] = out[..., column, row] = value
    out[..., 3, 3] = m2[..., 0, 0] + m2[..., 1, 1]
    out[..., 4, 4], out[..., 5, 5] = m2[..., 1, 1], m2[..., 0, 0]
    return out
