"""Interlaminar shear stress from transverse shear forces, by equilibrium across the plies."""

import numpy as np
from numpy.typing import ArrayLike

from laminate.plate import interfaces
from laminate.transverse_shear import shear_spread
from materials.checks import Array, array, common_shape, whole


def interlaminar_shear(
    q_bar: ArrayLike, thickness: ArrayLike, shear_force: ArrayLike, *, points: int = 3
) -> tuple[Array, Array]:
    """Find the transverse shear stress through every ply.

    Parameters
    ----------
    q_bar : array_like, shape (..., ply, 3, 3)
        Plane-stress stiffness of each ply in laminate axes, inner ply first [Pa].
    thickness : array_like, shape (..., ply)
        Ply thickness [m].
    shear_force : array_like, shape (..., 2)
        Transverse shear forces per width (Vx, Vy) [N/m].
    points : int
        Number of places in each ply, from its inner to its outer surface: 3 hold the parabola whole [-].

    Returns
    -------
    z : ndarray, shape (..., ply, point)
        Heights above mid-thickness [m].
    stress : ndarray, shape (..., ply, point, 2)
        (tau_xz, tau_yz) [Pa].

    Raises
    ------
    ValueError
        If the plies of q_bar and thickness differ in number, a thickness is not positive, a value is not
        finite, or the shapes do not fit together.

    Notes
    -----
    `laminate.transverse_shear.shear_spread` times the forces. One homogeneous ply gives
    tau_xz = (3 Vx / 2h) (1 - 4 z^2/h^2).
    """
    force = array("interlaminar_shear: shear_force [N/m]", shear_force, last=(2,))
    points = whole("interlaminar_shear: points [-]", points, at_least=2, at_most=10_001)
    fraction = np.linspace(0.0, 1.0, points)
    spread = shear_spread(q_bar, thickness, fraction)
    shape = common_shape("interlaminar_shear: plies and shear_force", spread.shape[:-4], force.shape[:-1])
    z = interfaces(thickness)
    height = z[..., :-1, None] + fraction * np.diff(z)[..., None]
    stress = (spread @ force[..., None, None, :, None])[..., 0]
    return np.broadcast_to(height, shape + height.shape[-2:]), stress
