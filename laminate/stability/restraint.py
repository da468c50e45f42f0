"""The rotational restraint that a neighboring wall gives to the edge of a buckling wall."""

import numpy as np
from numpy.typing import ArrayLike

from laminate.stability.inputs import bending_stiffness, length
from materials.checks import Array, array, common_shape, one_of

FAR_EDGE = {"mirrored": 2.0, "simply supported": 3.0, "clamped": 4.0}
"""Moment over D22/b times rotation of one edge of a beam, by what its other end does."""


def neighbor_restraint(
    D: ArrayLike, width: ArrayLike, *, load_ratio: ArrayLike = 0.0, far_edge: str = "mirrored"
) -> Array:
    """Find the rotational edge stiffness that a neighboring wall offers.

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
        Moment per length and rotation, for `edge_stiffness` of `strip_buckling` [N m/(m rad)].

    Raises
    ------
    ValueError
        If D cannot be a bending stiffness, the width is not positive, or `far_edge` is unknown.

    Notes
    -----
    c (D22/b) (1 - load_ratio), c = 2, 3 or 4: the neighbor as a row of beams, whose stiffness along the span
    is left out, softened by its own load. Leaving it out is conservative.

    References
    ----------
    L. P. Kollar, "Local buckling of fiber reinforced plastic composite structural members with open and
    closed cross sections", J. Struct. Eng. 129 (2003) 1503-1513.
    """
    factor = FAR_EDGE[one_of("far_edge", far_edge, FAR_EDGE)]
    D, b, used = bending_stiffness(D), length("width [m]", width), array("load_ratio [-]", load_ratio)
    common_shape("neighbor_restraint: D, width, load_ratio", D.shape[:-2], b.shape, used.shape)
    remaining = np.clip(1.0 - used, 0.0, 1.0)
    return factor * D[..., 1, 1] / b * remaining
