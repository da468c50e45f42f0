"""The wall law in mixed form: some strains and some running loads of a wall are known, the others follow.

Along the span the wall follows the section, so its axial strain ex, bending kx and twist kxs are known
strains. Around the section the running loads Ny, Nxy and the moment My are known by equilibrium.
"""

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array

STRAINS = (0, 3, 5)
"""Places of (ex, kx, kxs) among the six wall strains, and of (Nx, Mx, Mxy) among the six wall loads."""

LOADS = (1, 2, 4)
"""Places of (Ny, Nxy, My) among the six wall loads, and of (ey, gxy, ky) among the six wall strains."""


def mixed_law(abd: ArrayLike) -> Array:
    """Symmetric matrix that takes (ex, kx, kxs, Ny, Nxy, My) to (Nx, Mx, Mxy, -ey, -gxy, -ky).

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        Wall stiffness: (N, M) per (mid-plane strain, curvature) [N/m], [N], [N m].

    Returns
    -------
    ndarray, shape (..., 6, 6)
        [[P, Q], [Q', -R]]: P [N/m] ..., Q [-], [m], [1/m], R [m/N] ...

    Notes
    -----
    With the stiffness split as n = a e + b g, s = b' e + d g: R = d^-1, Q = b R, P = a - Q b'.
    """
    law = np.asarray(abd, dtype=float)
    e, s = np.array(STRAINS), np.array(LOADS)
    a = law[..., e[:, None], e]
    b = law[..., e[:, None], s]
    R = np.linalg.inv(law[..., s[:, None], s])
    Q = b @ R
    out = np.empty(law.shape)
    out[..., :3, :3] = a - Q @ np.swapaxes(b, -1, -2)
    out[..., :3, 3:] = Q
    out[..., 3:, :3] = np.swapaxes(Q, -1, -2)
    out[..., 3:, 3:] = -R
    return out


def wall_loads(law: Array, known: Array) -> Array:
    """Running loads of the wall from the known strains and loads.

    Parameters
    ----------
    law : ndarray, shape (..., 6, 6)
        From `mixed_law` [N/m] ...
    known : ndarray, shape (..., 6, column)
        (ex, kx, kxs, Ny, Nxy, My) [-], [1/m], [N/m], [N].

    Returns
    -------
    ndarray, shape (..., 6, column)
        (Nx, Ny, Nxy, Mx, My, Mxy) [N/m], [N].
    """
    n = law[..., :3, :] @ known
    s = np.broadcast_to(known[..., 3:, :], n.shape)
    return np.stack(
        [n[..., 0, :], s[..., 0, :], s[..., 1, :], n[..., 1, :], s[..., 2, :], n[..., 2, :]], axis=-2
    )
