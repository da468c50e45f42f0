"""Buckling of a perfect round tube under axial load and torsion."""

from typing import Annotated

import numpy as np

from laminate.stability.arguments import Length, Load, WallStiffness, cases
from laminate.stability.ritz import NotConverged, lowest_ratio
from laminate.stability.shell import shell_matrices
from materials.checks import Array, Limits, checked_together, reject

__all__ = ["tube_buckling_ratio"]

MOST_TERMS = 250
"""Most half waves along the tube [-]."""


@checked_together
def tube_buckling_ratio(
    abd: WallStiffness,
    radius: Length,
    tube_length: Length,
    Nx: Load = 0.0,
    Nxy: Load = 0.0,
    *,
    column: bool = True,
    terms: Annotated[int | None, Limits("-", at_least=2, at_most=MOST_TERMS)] = None,
) -> Array:
    """Factor on the load at which a perfect tube buckles, by Rayleigh-Ritz.

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        Stiffness of the wall, z outward [N/m, N, N m].
    radius, tube_length : array_like, shape (...)
        Radius of the mid surface, and length between the ends, which stay round and are free to warp and to turn [m].
    Nx : array_like, shape (...)
        Axial load per circumference, compression negative [N/m].
    Nxy : array_like, shape (...)
        Shear load from torsion [N/m].
    column : bool
        Whether the mode with one wave around, the tube bowing as a column, counts.
    terms : int, optional
        Number of half waves along the tube in the trial functions, 2 to 250; by default enough for half waves
        of 0.8 times that of the axisymmetric buckle, pi (D11 a22 R^2)^(1/4) [-].

    Returns
    -------
    ndarray, shape (...)
        Factor on both loads together, the lowest over all waves around, for local buckling, ovalizing and
        the column as a whole; inf where nothing can buckle the tube [-].

    Raises
    ------
    ValueError: if an argument is outside its limits, or the tube is so long and thin that it would need more than 250
        terms: local buckling is the same in a shorter one.
    NotConverged: if a tenth of the terms still changes the ratio by more than 1 %.

    Notes
    -----
    u = sum U_m cos(m pi x/L) exp(i n theta), v and w with sin(m pi x/L), complex: so A16, A26, B and
    D16, D26 and torsion are in it. Equations: `laminate.stability.shell` (Sanders). Cases are taken one by one.

    Examples
    --------
    >>> plane = 70e9 / (1 - 0.3**2) * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> abd = np.kron(np.diag([1e-3, 1e-9 / 12]), plane)
    >>> ratio = tube_buckling_ratio(abd, 0.05, 0.05, -1.0)
    >>> classical = 70e9 * 1e-3**2 / (0.05 * np.sqrt(3 * (1 - 0.3**2)))
    >>> round(float(ratio / classical), 2)
    0.98
    """
    shape, stiffness, table = cases(abd, radius, tube_length, Nx, Nxy)
    found = [_lowest(c, row, column, terms) for c, row in zip(stiffness, table, strict=True)]
    return np.array(found).reshape(shape)


def _lowest(abd: Array, row: Array, column: bool, terms: int | None) -> float:
    """Ratio of one case, the lowest over the waves around."""
    radius, span, nx, nxy = row
    hoop_compliance = np.linalg.inv(abd[:3, :3])[1, 1]
    short = (abd[3, 3] * hoop_compliance * radius**2) ** 0.25  # 1/k of the axisymmetric buckle [m]
    count = terms if terms is not None else int(np.ceil(span / (0.8 * np.pi * short))) + 6
    if count > MOST_TERMS:
        reject(
            "tube_buckling_ratio: terms [-]",
            count,
            f"<= {MOST_TERMS}",
            f"tube of length {span:g} m with axial half waves of {np.pi * short:.3g} m",
        )
    # Around, the waves of local buckling are not shorter than the shortest one along the tube.
    around = int(np.ceil(radius / short)) + 3
    load = np.array([nx, 0.0, nxy])
    fine, best = min(
        (_ratio(abd, radius, span, load, n, count), n) for n in range(around + 1) if column or n != 1
    )
    coarse = _ratio(abd, radius, span, load, best, max(count - max(count // 10, 1), 1))
    if np.isfinite(fine) and coarse > 1.01 * fine:
        raise NotConverged(
            f"tube_buckling_ratio: {count} terms give {fine:.5g}, a tenth fewer {coarse:.5g}; take more terms"
        )
    return fine


def _ratio(abd: Array, radius: float, span: float, load: Array, waves: int, terms: int) -> float:
    """Ratio of one case with `waves` around the tube."""
    points, weights = np.polynomial.legendre.leggauss(2 * terms + 12)
    x, weights = span * (points + 1.0) / 2.0, span * weights / 2.0
    m = np.pi / span * np.arange(1, terms + 1)[:, None]
    sin, cos = np.sin(m * x), np.cos(m * x)
    turn = 1j * waves / radius

    u = np.stack([cos, -m * sin, turn * cos, -(m**2) * cos, turn**2 * cos, -turn * m * sin])
    v = w = np.stack([sin, m * cos, turn * sin, -(m**2) * sin, turn**2 * sin, turn * m * cos])
    loads = np.broadcast_to(load, (x.size, 3))
    return float(lowest_ratio(*shell_matrices(u, v, w, 1.0 / radius, abd, loads, weights)))
