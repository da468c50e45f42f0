"""Buckling of a rectangular flat plate with any D, edge by edge support and any mix of loads.

y = width   +--------- edge 3 ---------+
            |                          |
         edge 0                     edge 1
            |                          |
y = 0       +--------- edge 2 ---------+
          x = 0                     x = length
"""

from functools import lru_cache
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray

from laminate.stability.arguments import (
    MOST_TERMS,
    SIMPLE,
    BendingStiffness,
    Length,
    Load,
    Pair,
    Support,
    cases,
)
from laminate.stability.ritz import NotConverged, integrals, is_compressed, lowest_ratio, more
from materials.checks import Array, Limits, checked_together, reject

__all__ = ["plate_buckling_ratio"]

MOST_PRODUCTS = 600
"""Most products of trial functions along x and y [-]."""
BLOCK = 32
"""Cases taken at once, so that their matrices stay small in memory."""


@checked_together
def plate_buckling_ratio(
    D: BendingStiffness,
    plate_length: Length,
    width: Length,
    Nx: Load = 0.0,
    Nxy: Load = 0.0,
    *,
    Ny: Load = 0.0,
    Nx_bending: Load = 0.0,
    edges: tuple[Support, Support, Support, Support] = SIMPLE + SIMPLE,
    edge_stiffness: Annotated[ArrayLike, Limits("N", at_least=0.0, last=(4,), single="any")] = (0.0,) * 4,
    terms: Annotated[tuple[int, int], Limits("-", at_least=4, at_most=MOST_TERMS)] = (12, 10),
) -> Array:
    """Factor on the load at which a rectangular flat plate buckles, by Rayleigh-Ritz.

    Parameters
    ----------
    D : array_like, shape (..., 3, 3)
        Bending stiffness, D16 and D26 included [N m].
    plate_length : array_like, shape (...)
        Length along x [m].
    width : array_like, shape (...)
        Width along y [m].
    Nx, Nxy, Ny : array_like, shape (...)
        Load along x, in shear and along y, compression negative [N/m].
    Nx_bending : array_like, shape (...)
        Amplitude of a part of Nx that runs linearly from -Nx_bending at y = 0 to +Nx_bending at y = width [N/m].
    edges : tuple of four str
        Supports at x = 0, x = length, y = 0, y = width: "simply supported", "clamped" or "free".
    edge_stiffness : array_like, shape (..., 4) or a number
        Moment per length and rotation put against the rotation of each edge [N].
    terms : tuple of two int
        Number of trial functions along x and y to begin with, 4 to 40, of a product <= 600 [-].

    Returns
    -------
    ndarray, shape (...)
        Factor on all loads together; inf where nothing buckles the plate, ripples too short for the trial
        functions apart [-].

    Raises
    ------
    ValueError: if an argument is outside its limits, or the edges leave the plate free to move as a rigid body.
    NotConverged: if with nearly 600 products of trial functions the ratio still falls by more than 1 %.

    Notes
    -----
    The lowest R at which K + R Kg is singular, K of strain energy and springs, Kg of the work of the loads.
    Tension is counted as it is: it stabilizes. The ratio comes from above, as all Ritz values do, and more
    trial functions are taken until two fewer in each direction change it by no more than 1 %. Loads are
    those of the flat plate before buckling, and uniform along x.

    Examples
    --------
    >>> D = 70e9 * 1e-3**3 / (12 * (1 - 0.3**2)) * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> ratio = plate_buckling_ratio(D, 0.1, 0.1, -1.0, terms=(8, 8))
    >>> float((ratio * 0.1**2 / (np.pi**2 * D[0, 0])).round(6))  # a square plate: k = 4
    4.0
    """
    along, across = edges[:2], edges[2:]
    if terms[0] * terms[1] > MOST_PRODUCTS:
        reject("plate_buckling_ratio: terms [-]", terms, f"of a product <= {MOST_PRODUCTS}")
    supported = [edge for edge in edges if edge != "free"]
    if supported in ([], ["simply supported"]):
        cause = "the plate can move or turn as a rigid body"
        reject("plate_buckling_ratio: edges", repr(edges), "supported on more edges", cause)
    springs = np.asarray(edge_stiffness)
    rows = (plate_length, width, Nx, Nxy, Ny, Nx_bending, *(springs[..., side] for side in range(4)))
    shape, stiffness, table = cases(D, *rows)
    blocks = range(0, len(table), BLOCK)
    found = [_ratio(stiffness[i : i + BLOCK], table[i : i + BLOCK], along, across, terms) for i in blocks]
    return np.concatenate(found).reshape(shape) if found else np.empty(shape)


@lru_cache(maxsize=8)
def _products(along: Pair, across: Pair, terms: tuple[int, int]) -> tuple[dict[str, Array], NDArray[np.intp]]:
    """Integrals over the unit square by name, (dof, dof), and which dof a smaller set would keep."""
    x, _, x_slope = integrals(along, terms[0])
    y, y_linear, y_slope = integrals(across, terms[1])

    def both(i: int, j: int, m: int, n: int) -> Array:
        """Integral of the (i along x, m along y) derivative times the (j, n) one, made symmetric."""
        out = np.kron(x[i, j], y[m, n])
        return (out + out.T) / 2.0

    named = {
        "11": both(2, 2, 0, 0), "22": both(0, 0, 2, 2), "12": 2.0 * both(2, 0, 0, 2),
        "66": 4.0 * both(1, 1, 1, 1), "16": 4.0 * both(2, 1, 0, 1), "26": 4.0 * both(0, 1, 2, 1),
        "Nx": both(1, 1, 0, 0), "Ny": both(0, 0, 1, 1), "Nxy": 2.0 * both(1, 0, 0, 1),
        "Nx_bending": np.kron(x[1, 1], y_linear),
        "edge 0": np.kron(x_slope[0], y[0, 0]), "edge 1": np.kron(x_slope[1], y[0, 0]),
        "edge 2": np.kron(x[0, 0], y_slope[0]), "edge 3": np.kron(x[0, 0], y_slope[1]),
    }  # fmt: skip
    kept = np.kron(np.arange(terms[0]) < terms[0] - 2, np.arange(terms[1]) < terms[1] - 2).astype(bool)
    return named, np.flatnonzero(kept)


def _ratio(D: Array, row: Array, along: Pair, across: Pair, terms: tuple[int, int]) -> Array:
    """Ratio (case,) of stiffness (case, 3, 3) and rows (case, sizes, loads and springs)."""
    named, kept = _products(along, across, terms)
    a, b, nx, nxy, ny, bending, *springs = row.T[:, :, None, None]
    d11, d12, d16, d22, d26, d66 = (
        D[:, i, j, None, None] for i, j in ((0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2))
    )
    elastic = d11 / a**4 * named["11"] + d22 / b**4 * named["22"] + d12 / (a * b) ** 2 * named["12"]
    elastic = elastic + d66 / (a * b) ** 2 * named["66"]
    elastic = elastic + d16 / (a**3 * b) * named["16"] + d26 / (a * b**3) * named["26"]
    elastic = elastic + (springs[0] * named["edge 0"] + springs[1] * named["edge 1"]) / a**3
    elastic = elastic + (springs[2] * named["edge 2"] + springs[3] * named["edge 3"]) / b**3
    geometric = nx / a**2 * named["Nx"] + bending / a**2 * named["Nx_bending"]
    geometric = geometric + ny / b**2 * named["Ny"] + nxy / (a * b) * named["Nxy"]
    ratio = lowest_ratio(elastic, geometric)
    coarse = lowest_ratio(elastic[:, kept[:, None], kept], geometric[:, kept[:, None], kept])
    changed = np.isfinite(ratio) & (coarse > 1.01 * ratio)
    larger = more(terms[0]), more(terms[1])
    last = larger[0] * larger[1] > MOST_PRODUCTS or larger == terms
    if not last:
        changed = changed | (np.isinf(ratio) & is_compressed(row.T[2:6]))
    if changed.any():
        if last:
            raise NotConverged(
                f"plate_buckling_ratio: {terms} terms give {ratio[changed][0]:.5g}, two fewer each way give "
                f"{coarse[changed][0]:.5g}; is the plate many buckles long? Then use strip_buckling"
            )
        ratio[changed] = _ratio(D[changed], row[changed], along, across, larger)
    return ratio
