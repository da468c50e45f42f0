"""Transverse shear of a stack: how it is spread over the plies, and the stiffness that follows.

A plate has two transverse shear angles, so the stiffness is 2 x 2, in (gxz, gyz) and (Vx, Vy). It is not
the sum of ply moduli: that would take the shear as equal in all plies and overrates the stiffness, by
1.2 for one material and by far more for a sandwich. Equilibrium gives the spread, energy the stiffness.
"""

import numpy as np
from numpy.typing import ArrayLike

from laminate.lamina_stiffness import cos_sin
from laminate.plate import abd, interfaces, inverse
from materials.checks import Array

_GAUSS = np.array([0.5 - 0.15**0.5, 0.5, 0.5 + 0.15**0.5])
_WEIGHT = np.array([5.0, 8.0, 5.0]) / 18


def shear_modulus_rotated(G13: ArrayLike, G23: ArrayLike, angle_deg: ArrayLike) -> Array:
    """Transverse shear moduli (..., 2, 2) in laminate axes, of G13, G23 and the fiber angle (...) [Pa]."""
    G13, G23 = np.asarray(G13), np.asarray(G23)
    c, s = cos_sin(np.asarray(angle_deg))
    both = c * s * (G13 - G23)
    rows = [[c * c * G13 + s * s * G23, both], [both, s * s * G13 + c * c * G23]]
    return np.stack([np.stack(row, axis=-1) for row in rows], axis=-2)


def shear_spread(q_bar: Array, thickness: Array, fraction: Array) -> Array:
    """Shear stress per shear force (..., ply, point, 2, 2) at fractions (point,) of the height of each ply [1/m].

    Of plies q_bar (..., ply, 3, 3) [Pa], thickness (..., ply) [m]; in (txz, tyz) = f (Vx, Vy), zero at both faces, with
    the identity as integral over the thickness. txz(z) = - integral from -h/2 of (dsx/dx + dtxy/dy) dz, tyz likewise,
    with the stresses of classical theory under dMx/dx = Vx and dMy/dy = Vy and no other gradient (cylindrical bending
    about each axis): K. Rohwer, Improved transverse shear stiffnesses for layered finite elements, DFVLR-FB 88-32,
    1988; R. Rolfes, K. Rohwer, Int. J. Numer. Meth. Eng. 40 (1997) 51-60 (both from memory).
    """
    Q, t = q_bar, thickness
    compliance, z = inverse(abd(Q, t)), interfaces(t)
    b, d = compliance[..., None, None, :3, 3:], compliance[..., None, None, 3:, 3:]
    low = z[..., :-1, None]
    high = low + fraction * t[..., None]
    rise, rise2 = (high - low)[..., None, None], (high**2 - low**2)[..., None, None]
    within = Q[..., None, :, :] @ (b * rise + d * rise2 / 2)
    rise, rise2 = t[..., None, None], np.diff(z * z)[..., None, None]
    whole = Q @ (b[..., 0, :, :] * rise + d[..., 0, :, :] * rise2 / 2)
    below = np.cumsum(whole, axis=-3) - whole
    total = within + below[..., None, :, :]
    rows = [[total[..., 0, 0], total[..., 2, 1]], [total[..., 2, 0], total[..., 1, 1]]]
    return -np.stack([np.stack(row, axis=-1) for row in rows], axis=-2)


def shear_stiffness(q_bar: Array, thickness: Array, g_bar: Array) -> Array:
    """Transverse shear stiffness H (..., 2, 2) of plies q_bar (..., ply, 3, 3), t (..., ply), g_bar (..., ply, 2, 2).

    H = [integral of f^T G^-1 f dz]^-1 with f of `shear_spread`; the integrand is of fourth degree in z, so three
    points per ply are exact. One homogeneous ply gives 5/6 G h.
    """
    f = shear_spread(q_bar, thickness, _GAUSS)
    energy = f.swapaxes(-1, -2) @ inverse(g_bar)[..., None, :, :] @ f
    return inverse(np.einsum("...p,g,...pgij->...ij", thickness, _WEIGHT, energy))
