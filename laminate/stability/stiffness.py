"""Stiffnesses that a buckling formula takes: without D16 and D26, without B, and of a neighboring wall."""

from typing import Annotated, Literal

import numpy as np
from numpy.typing import ArrayLike

from laminate.stability.arguments import BendingStiffness, Length, WallStiffness
from materials.checks import Array, Limits, checked, checked_together

__all__ = ["anisotropy_bound", "neighbor_restraint", "reduced_bending_stiffness"]

FAR_EDGE = {"mirrored": 2.0, "simply supported": 3.0, "clamped": 4.0}
"""Moment over D22/b times rotation of one edge of a beam, by what its other end does."""


@checked
def anisotropy_bound(D: BendingStiffness) -> Array:
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
    ValueError: if D cannot be a bending stiffness.

    Notes
    -----
    With D0 = D less its D16 and D26, the generalized eigenvalues of (D, D0) are 1 and 1 +- rho,
    rho^2 = [D16 D26] [[D11, D12], [D12, D22]]^-1 [D16 D26]^T / D66. So (1 - rho) D0 <= D <= (1 + rho) D0
    in the sense of strain energy for every curvature, and Rayleigh's quotient carries that over to
    the buckling load. It is rigorous, and wide: the change itself is usually several times smaller.

    Examples
    --------
    >>> import materials
    >>> from laminate import Laminate
    >>> T300 = materials.lamina("T300/5208")
    >>> [round(float(anisotropy_bound(Laminate.from_code(c, T300).D)), 3) for c in ("[0/90]s", "[45]T")]
    [0.0, 0.893]
    """
    D = np.asarray(D)
    d11, d22, d12 = D[..., 0, 0], D[..., 1, 1], D[..., 0, 1]
    d16, d26, d66 = D[..., 0, 2], D[..., 1, 2], D[..., 2, 2]
    energy = (d22 * d16**2 - 2.0 * d12 * d16 * d26 + d11 * d26**2) / (d11 * d22 - d12**2)
    return np.sqrt(energy / d66)


@checked
def reduced_bending_stiffness(abd: WallStiffness) -> Array:
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
    ValueError: if abd cannot be the stiffness of a wall.

    Notes
    -----
    D* = D - B A^-1 B is the least stiffness the wall can have, so never unsafe; exact for antisymmetric
    cross-plies with edges free to slide in their plane. `panel_buckling` with an infinite radius keeps B as it is.

    References
    ----------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999, ch. 5 (reduced bending stiffness).

    Examples
    --------
    >>> import materials
    >>> from laminate import Laminate
    >>> stack = Laminate.from_code("[0/90]", materials.lamina("T300/5208"))
    >>> (reduced_bending_stiffness(stack.abd)[0, 0] / stack.D[0, 0]).round(3)
    np.float64(0.402)
    """
    K = np.asarray(abd)
    A, B, D = K[..., :3, :3], K[..., :3, 3:], K[..., 3:, 3:]
    out = D - np.swapaxes(B, -1, -2) @ np.linalg.solve(A, B)
    return (out + np.swapaxes(out, -1, -2)) / 2.0


@checked_together
def neighbor_restraint(
    D: BendingStiffness,
    width: Length,
    *,
    load_ratio: Annotated[ArrayLike, Limits("-")] = 0.0,
    far_edge: Literal["mirrored", "simply supported", "clamped"] = "mirrored",
) -> Array:
    """Rotational stiffness that a neighboring wall gives to the edge of a buckling wall.

    Parameters
    ----------
    D : array_like, shape (..., 3, 3)
        Bending stiffness of the neighbor [N m].
    width : array_like, shape (...)
        Width of the neighbor [m].
    load_ratio : array_like, shape (...)
        Load in the neighbor over its own buckling load with simply supported edges, when the wall in
        question buckles. At 1 and above the neighbor gives no support; below 0 (tension) counts as 0 [-].
    far_edge : str
        What the other edge of the neighbor does: "mirrored" (it turns as much the other way, as in a
        box whose opposite walls buckle together), "simply supported" or "clamped".

    Returns
    -------
    ndarray, shape (...)
        Moment per length and rotation, for `edge_stiffness` of `strip_buckling` [N].

    Raises
    ------
    ValueError: if D cannot be a bending stiffness, the width is not positive, or `far_edge` is unknown.

    Notes
    -----
    c (D22/b) (1 - load_ratio), c = 2, 3 or 4: the neighbor as a row of beams, softened by its own load. Their
    stiffness along the span is left out, which is conservative.

    References
    ----------
    L. P. Kollar, "Local buckling of fiber reinforced plastic composite structural members with open and
    closed cross sections", J. Struct. Eng. 129 (2003) 1503-1513.

    Examples
    --------
    >>> D = np.diag([6.0, 6.0, 2.0])
    >>> float(neighbor_restraint(D, 0.1, load_ratio=0.5))
    60.0
    """
    D22, b = np.asarray(D)[..., 1, 1], np.asarray(width)
    return FAR_EDGE[far_edge] * D22 / b * np.clip(1.0 - np.asarray(load_ratio), 0.0, 1.0)
