"""What it costs to leave out part of the stiffness of a wall: D16 and D26, or the coupling B."""

import numpy as np
from numpy.typing import ArrayLike

from laminate.stability.inputs import bending_stiffness, wall_stiffness
from materials.checks import Array


def anisotropy_bound(D: ArrayLike) -> Array:
    """Largest relative error of any buckling load that neglect of D16 and D26 can cause.

    Parameters
    ----------
    D : array_like, shape (..., 3, 3)
        Bending stiffness [N m].

    Returns
    -------
    ndarray, shape (...)
        rho, from 0 to 1: the true load lies between (1 - rho) and (1 + rho) times the load found
        with D16 = D26 = 0, for every load, edge support and outline of a plate [-].

    Raises
    ------
    ValueError
        If D cannot be a bending stiffness.

    Notes
    -----
    With D0 = D less its D16 and D26, the generalized eigenvalues of (D, D0) are 1 and 1 +- rho,
    rho^2 = [D16 D26] [[D11, D12], [D12, D22]]^-1 [D16 D26]^T / D66. So (1 - rho) D0 <= D <= (1 + rho) D0
    in the sense of strain energy for every curvature, and Rayleigh's quotient carries that over to
    the buckling load. It is rigorous, and wide: the change itself is usually several times smaller.
    """
    D = bending_stiffness(D)
    d11, d22, d12 = D[..., 0, 0], D[..., 1, 1], D[..., 0, 1]
    d16, d26, d66 = D[..., 0, 2], D[..., 1, 2], D[..., 2, 2]
    energy = (d22 * d16**2 - 2.0 * d12 * d16 * d26 + d11 * d26**2) / (d11 * d22 - d12**2)
    return np.sqrt(energy / d66)


def reduced_bending_stiffness(abd: ArrayLike) -> Array:
    """Bending stiffness of a wall that is free to stretch while it bends.

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        A, B and D together [N/m, N, N m].

    Returns
    -------
    ndarray, shape (..., 3, 3)
        D - B A^-1 B, to take the place of D where the stack is not symmetric [N m].

    Raises
    ------
    ValueError
        If abd cannot be the stiffness of a wall.

    Notes
    -----
    It is the least stiffness the wall can have, so never unsafe; exact for antisymmetric cross-plies
    with edges free to slide in their plane. `panel_buckling` with an infinite radius keeps B as it is.

    References
    ----------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999, ch. 5 (reduced bending stiffness).
    """
    stiffness = wall_stiffness(abd)
    A, B, D = stiffness[..., :3, :3], stiffness[..., :3, 3:], stiffness[..., 3:, 3:]
    out = D - np.swapaxes(B, -1, -2) @ np.linalg.solve(A, B)
    return (out + np.swapaxes(out, -1, -2)) / 2.0
