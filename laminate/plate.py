"""Plate theory on plain arrays that are checked before: from the plies to A, B, D, resultants and back.

The six components are ordered (Nx, Ny, Nxy, Mx, My, Mxy) and (ex, ey, gxy, kx, ky, kxy).
Ply 0 lies at z = -h/2, z along the outward normal::

        z ^   surface 1 of the last ply   z = +h/2     Nx = integral of sx dz      [N/m]
          |  ===========================               Mx = integral of sx z dz    [N]
          |  ---------------------------  z = 0        strain(z) = midplane strain + z curvature
          |  ===========================
          |   surface 0 of ply 0          z = -h/2
"""

import numpy as np
from numpy.typing import NDArray

from materials.checks import Array


def interfaces(thickness: Array) -> Array:
    """Heights (..., ply + 1) of the ply boundaries about mid-thickness; a ply (..., ply) of no thickness is absent."""
    z = np.concatenate([np.zeros((*thickness.shape[:-1], 1)), np.cumsum(thickness, axis=-1)], axis=-1)
    return z - z[..., -1:] / 2


def _middles(thickness: Array) -> Array:
    """Heights (..., ply) of the middle of each ply."""
    z = interfaces(thickness)
    return (z[..., 1:] + z[..., :-1]) / 2


def abd(q_bar: Array, thickness: Array) -> Array:
    """Stiffness (..., 6, 6) of plies q_bar (..., ply, 3, 3), thickness (..., ply), about mid-thickness.

    A = sum Q-bar t, B = sum Q-bar t z, D = sum Q-bar (t z^2 + t^3/12), z at the middle of the ply:
    R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999, eqs. 4.22 to 4.24.
    """
    t, z = thickness, _middles(thickness)
    A, B, D = (np.einsum("...p,...pij->...ij", w, q_bar) for w in (t, t * z, t * z * z + t**3 / 12))
    return blocks(A, B, D)


def blocks(A: Array, B: Array, D: Array) -> Array:
    """[[A, B], [B, D]] (..., 6, 6) of blocks (..., 3, 3)."""
    return np.concatenate([np.concatenate([A, B], axis=-1), np.concatenate([B, D], axis=-1)], axis=-2)


def inverse(stiffness: Array) -> Array:
    """Symmetric inverse of symmetric positive definite matrices (..., n, n).

    The matrix is scaled to a unit diagonal first, since A and D differ by many powers of ten.
    """
    d = np.sqrt(np.diagonal(stiffness, axis1=-2, axis2=-1))
    scale = d[..., :, None] * d[..., None, :]
    out = np.linalg.inv(stiffness / scale) / scale
    return (out + out.swapaxes(-1, -2)) / 2


def thermal_resultants(q_bar: Array, thickness: Array, free_strain: Array) -> Array:
    """Resultants (..., 6) that suppress the free strains (..., ply, 1 or 2 surfaces, 3) of the plies.

    N = sum of the integral of Q-bar e(z) dz, M = the same with z, e(z) linear in each ply, in laminate axes.
    """
    t, z = thickness[..., None], _middles(thickness)[..., None]
    low, high = free_strain[..., 0, :], free_strain[..., -1, :]
    mean, rise = (low + high) / 2, high - low
    N = np.einsum("...pij,...pj->...i", q_bar, mean * t)
    M = np.einsum("...pij,...pj->...i", q_bar, mean * t * z + rise * t * t / 12)
    return np.concatenate(np.broadcast_arrays(N, M), axis=-1)


def solve_mixed(abd: Array, load: Array, deformation: Array, given: NDArray[np.bool_]) -> Array:
    """Deformation (..., 6) under loads (..., 6), with the components `given` (6,) prescribed.

    With f the free and p the prescribed components: u_f = K_ff^-1 (P_f - K_fp u_p), K = abd (6, 6).
    """
    P, u = np.broadcast_arrays(load, deformation)
    p, f = given, ~given
    out = np.array(u)
    out[..., f] = (P[..., f] - u[..., p] @ abd[np.ix_(p, f)]) @ inverse(abd[np.ix_(f, f)])
    return out
