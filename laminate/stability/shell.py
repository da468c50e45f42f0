"""Strain energy and work of the loads in a thin circular shell, for any trial displacements.

Displacements u along the span, v around, w outward. `curvature` is 1/R, zero for a flat wall. Strains and
rotations are those of Sanders, which leave rigid motions free of strain and hold for the long waves of a
buckling column as well as for the short ones of local buckling:

    eps_x = u,x        eps_y = v,y + w/R       gamma_xy = u,y + v,x
    kappa_x = -w,xx    kappa_y = -w,yy + v,y/R    kappa_xy = -2 w,xy + (3 v,x - u,y)/(2R)
    work = (1/2) [Nx (w,x^2 + omega^2) + Ny (phi^2 + omega^2) + 2 Nxy w,x phi]
    phi = w,y - v/R    omega = (v,x - u,y)/2

References
----------
J. L. Sanders, "Nonlinear theories for thin shells", Quart. Appl. Math. 21 (1963) 21-36.
"""

import numpy as np
from numpy.typing import NDArray

from materials.checks import Array

Complex = NDArray[np.complex128]


def shell_matrices(
    u: Complex, v: Complex, w: Complex, curvature: float, abd: Array, loads: Array, weights: Array
) -> tuple[Complex, Complex]:
    """Elastic and geometric stiffness (..., 3 dof, 3 dof), Hermitian, energy per squared displacement [N/m].

    u, v, w (..., 6, dof, point): trial functions f as f, f,x, f,y, f,xx, f,yy, f,xy. `curvature` is 1/R [1/m], `loads`
    (point, 3) are Nx, Ny, Nxy before buckling [N/m], `weights` (point,) those of the integration [m].
    """
    zero = np.zeros_like(w[..., 0, :, :])
    ux, uy = u[..., 1, :, :], u[..., 2, :, :]
    v0, vx, vy = v[..., 0, :, :], v[..., 1, :, :], v[..., 2, :, :]
    w0, wx, wy, wxx, wyy, wxy = (w[..., i, :, :] for i in range(6))
    strain = np.concatenate(
        [
            np.stack([ux, zero, uy, zero, zero, -0.5 * curvature * uy], axis=-3),
            np.stack([zero, vy, vx, zero, curvature * vy, 1.5 * curvature * vx], axis=-3),
            np.stack([zero, curvature * w0, zero, -wxx, -wyy, -2.0 * wxy], axis=-3),
        ],
        axis=-2,
    )
    rotation = np.concatenate(
        [
            np.stack([zero, zero, -0.5 * uy], axis=-3),
            np.stack([zero, -curvature * v0, 0.5 * vx], axis=-3),
            np.stack([wx, wy, zero], axis=-3),
        ],
        axis=-2,
    )
    nx, ny, nxy = loads.T
    nothing = np.zeros_like(nx)
    membrane = np.array([[nx, nxy, nothing], [nxy, ny, nothing], [nothing, nothing, nx + ny]])
    return _quadratic(strain, abd[:, :, None] * weights), _quadratic(rotation, membrane * weights)


def _quadratic(operator: Complex, weight: Array) -> Complex:
    """Sum of conj(operator) weight operator over components and points; weight (c, e, point)."""
    dof, shape = operator.shape[-2], operator.shape[:-3]
    at_point = np.moveaxis(operator, -1, -3)  # (..., point, component, dof)
    weighted = np.moveaxis(weight, -1, 0) @ at_point
    return np.conj(np.swapaxes(at_point.reshape(*shape, -1, dof), -1, -2)) @ weighted.reshape(*shape, -1, dof)
