"""Buckling of a long flat orthotropic plate in closed form.

          +y (width b)
          |   ______________________________________  edge y = b
          |  |                                      |
    Nx <--|--|              x, the span             |--> Nx     compression is Nx < 0
          |  |______________________________________|
          +--------------------------------- x         edge y = 0

The plate is long: the half waves along x choose their own length. `edges` names the support of the
two long edges. D16 and D26 are left out; `anisotropy_bound` bounds what that can cost, and
`laminate.stability.strip` computes with them.

By the affine change x -> x (D22/D11)^(1/4) the buckling load of a plate with simply supported or
clamped long edges depends on D only through s = sqrt(D11 D22) and H = D12 + 2 D66:

    Nx_cr  = (pi^2 / b^2) (s + H) p(t),                  t = H / (s + H), from 0 to 1
    Nxy_cr = (4 / b^2) sqrt(D22 (s + H)) p(t)

with one function p per load and support. That of simply supported compression is exactly 2. The
others are cubics fitted to the Rayleigh-Ritz solution of `strip` from t = 0 to 0.95, scaled so that they
lie on or below it, by at most 0.8 % (tests/laminate/test_stability_long_plate.py repeats the comparison).
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from laminate.stability.inputs import bending_stiffness, length
from materials.checks import Array, common_shape, one_of, reject

EDGES = ("simply supported", "one clamped", "clamped")
"""Supports of the two long edges; "one clamped" has the other one simply supported."""

Cubic = tuple[float, float, float, float]

COMPRESSION: dict[str, Cubic] = {
    "simply supported": (2.0, 0.0, 0.0, 0.0),
    "one clamped": (3.124, -0.976, 0.587, -0.646),
    "clamped": (4.533, -2.393, 1.135, -1.128),
}
BENDING: dict[str, Cubic] = {
    "simply supported": (13.385, -2.870, 0.038, -0.156),
    "one clamped": (13.404, -2.873, 0.146, -0.268),
    "clamped": (26.393, -14.665, 6.016, -6.539),
}
SHEAR: dict[str, Cubic] = {
    "simply supported": (8.124, 1.480, 1.437, 0.687),
    "one clamped": (11.358, 1.051, 0.891, 1.792),
    "clamped": (15.046, 0.514, -0.244, 3.277),
}
WIDE_COLUMN = {"simply supported": 1.0, "one clamped": 2.045748, "clamped": 4.0}
"""Euler coefficient of a strip across the plate: 2.045748 = (4.493409/pi)^2, tan(c) = c."""

LARGEST_T = 0.95


def _cubic(coefficients: Cubic, t: Array) -> Array:
    c0, c1, c2, c3 = coefficients
    return c0 + t * (c1 + t * (c2 + t * c3))


class CriticalLoads(NamedTuple):
    """Magnitudes of the loads at which a long plate buckles, each acting alone.

    Attributes
    ----------
    Nx : ndarray, shape (...)
        Uniform compression along the span [N/m].
    Ny : ndarray, shape (...)
        Uniform compression across the width [N/m].
    Nxy : ndarray, shape (...)
        Shear, the same for both signs because D16 and D26 are left out [N/m].
    Nx_bending : ndarray, shape (...)
        In-plane bending, Nx from +Nx_bending at one long edge to -Nx_bending at the other [N/m].
    """

    Nx: Array
    Ny: Array
    Nxy: Array
    Nx_bending: Array


def critical_loads(D: ArrayLike, width: ArrayLike, *, edges: str = "simply supported") -> CriticalLoads:
    """Find the loads at which a long flat plate buckles, each acting alone.

    Parameters
    ----------
    D : array_like, shape (..., 3, 3)
        Bending stiffness [N m].
    width : array_like, shape (...)
        Width between the long edges [m].
    edges : str
        "simply supported", "one clamped" (under bending, that edge is the one in tension) or "clamped".

    Returns
    -------
    CriticalLoads
        Nx, Ny, Nxy and Nx_bending, all positive.

    Raises
    ------
    ValueError
        If D cannot be a bending stiffness, a width is not positive, or `edges` is unknown.

    Notes
    -----
    Simply supported compression, (2 pi^2/b^2) [sqrt(D11 D22) + D12 + 2 D66], and the wide column
    Ny = c pi^2 D22/b^2 are exact for D16 = D26 = 0. The rest: module text.

    The printed two-branch fit for shear and simple supports, with K = H/s,
    (4/b^2) (D11 D22^3)^(1/4) (8.125 + 5.045 K) for K <= 1 and
    (4/b^2) sqrt(D22 H) (11.7 + 0.532/K + 0.938/K^2) for K > 1, lies within -1.4 % and +0.6 % of the cubic.

    References
    ----------
    L. P. Kollar, G. S. Springer, Mechanics of Composite Structures, Cambridge 2003, ch. 4.
    E. Seydel, "Ueber das Ausbeulen von rechteckigen, isotropen oder orthogonal-anisotropen Platten bei
    Schubbeanspruchung", Ingenieur-Archiv 4 (1933) 169-191.
    """
    one_of("edges", edges, EDGES, "for free or elastic edges use strip_buckling")
    D, b = bending_stiffness(D), length("width [m]", width)
    common_shape("critical_loads: D and width", D.shape[:-2], b.shape)
    s = np.sqrt(D[..., 0, 0] * D[..., 1, 1])
    total = s + D[..., 0, 1] + 2.0 * D[..., 2, 2]
    t = 1.0 - s / total
    if not ((t >= 0.0) & (t <= LARGEST_T)).all():
        reject(
            "(D12 + 2 D66) / (sqrt(D11 D22) + D12 + 2 D66) [-]",
            f"{t.min():.3g} to {t.max():.3g}",
            f"between 0 and {LARGEST_T}",
            "no stack of fiber plies leaves this range: are the components of D in order?",
        )
    euler = np.pi**2 / b**2
    return CriticalLoads(
        Nx=euler * total * _cubic(COMPRESSION[edges], t),
        Ny=euler * D[..., 1, 1] * WIDE_COLUMN[edges],
        Nxy=4.0 / b**2 * np.sqrt(D[..., 1, 1] * total) * _cubic(SHEAR[edges], t),
        Nx_bending=euler * total * _cubic(BENDING[edges], t),
    )
