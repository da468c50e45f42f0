"""Buckling of a round tube under axial load and torsion, and the knockdown that its imperfections ask for."""

import numpy as np
from numpy.typing import ArrayLike

from laminate.stability.cases import flatten
from laminate.stability.inputs import length, wall_stiffness
from laminate.stability.ritz import NotConverged, lowest_ratio
from laminate.stability.shell import shell_matrices
from materials.checks import Array, array, flag, reject, whole

MOST_TERMS = 250


def tube_buckling_ratio(
    abd: ArrayLike,
    radius: ArrayLike,
    tube_length: ArrayLike,
    Nx: ArrayLike = 0.0,
    Nxy: ArrayLike = 0.0,
    *,
    column: bool = True,
    terms: int | None = None,
) -> Array:
    """Find the factor on the load at which a perfect tube buckles, by Rayleigh-Ritz.

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        Stiffness of the wall, z outward [N/m, N, N m].
    radius : array_like, shape (...)
        Radius of the mid surface [m].
    tube_length : array_like, shape (...)
        Length between the ends, which stay round and are free to warp and to turn [m].
    Nx : array_like, shape (...)
        Axial load per circumference, compression negative [N/m].
    Nxy : array_like, shape (...)
        Shear load from torsion [N/m].
    column : bool
        Whether the mode with one wave around, the tube bowing as a column, counts.
    terms : int, optional
        Number of half waves along the tube in the trial functions; by default enough for half waves of 0.8
        times that of the axisymmetric buckle, pi (D11 a22 R^2)^(1/4) [-].

    Returns
    -------
    ndarray, shape (...)
        Factor on both loads together, the lowest over all waves around, for local buckling, ovalizing and
        the column as a whole; inf where nothing can buckle the tube [-].

    Raises
    ------
    ValueError
        If abd cannot be a stiffness, a length is not positive, a load is not finite, `terms` is not a whole
        number from 2 to 250, or the tube is so long and thin that it would need more: local buckling is
        the same in a shorter one.
    NotConverged
        If a tenth of the terms still changes the ratio by more than 1 %.

    Notes
    -----
    u = sum U_m cos(m pi x/L) exp(i n theta), v and w with sin(m pi x/L), complex: so A16, A26, B and
    D16, D26 and torsion are in it. Equations: `laminate.stability.shell`. Cases are taken one by one.
    """
    with_column = flag("column", column)
    fixed = None if terms is None else whole("terms [-]", terms, at_least=2, at_most=MOST_TERMS)
    rows = (
        length("radius [m]", radius),
        length("tube_length [m]", tube_length),
        array("Nx [N/m]", Nx),
        array("Nxy [N/m]", Nxy),
    )
    shape, stiffness, table = flatten("tube_buckling_ratio: abd, sizes and loads", wall_stiffness(abd), rows)
    return np.array(
        [_lowest(c, row, with_column, fixed) for c, row in zip(stiffness, table, strict=True)]
    ).reshape(shape)


def _lowest(abd: Array, row: Array, column: bool, terms: int | None) -> float:
    radius, span, nx, nxy = row
    hoop_compliance = np.linalg.inv(abd[:3, :3])[1, 1]
    short = (abd[3, 3] * hoop_compliance * radius**2) ** 0.25  # 1/k of the axisymmetric buckle [m]
    count = terms if terms is not None else int(np.ceil(span / (0.8 * np.pi * short))) + 6
    if count > MOST_TERMS:
        reject(
            "terms of tube_buckling_ratio [-]",
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
    points, weights = np.polynomial.legendre.leggauss(2 * terms + 12)
    x, weights = span * (points + 1.0) / 2.0, span * weights / 2.0
    m = np.pi / span * np.arange(1, terms + 1)[:, None]
    sin, cos = np.sin(m * x), np.cos(m * x)
    turn = 1j * waves / radius

    u = np.stack([cos, -m * sin, turn * cos, -(m**2) * cos, turn**2 * cos, -turn * m * sin])
    v = w = np.stack([sin, m * cos, turn * sin, -(m**2) * sin, turn**2 * sin, turn * m * cos])
    loads = np.broadcast_to(load, (x.size, 3))
    return float(lowest_ratio(*shell_matrices(u, v, w, 1.0 / radius, abd, loads, weights)))
