"""Buckling of a long flat orthotropic plate in closed form, each load alone and combined.

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

from typing import Annotated, Literal, NamedTuple

import numpy as np

from laminate.stability.arguments import BendingStiffness, Length, Load
from laminate.stability.stiffness import anisotropy_bound
from materials.checks import Array, Limits, checked_together

__all__ = ["CriticalLoads", "buckling_ratio", "critical_loads"]

Edges = Annotated[
    Literal["simply supported", "one clamped", "clamped"],
    Limits(cause="for free or elastic edges use strip_buckling"),
]
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

RANGE = Limits(
    at_least=0.0, at_most=0.95, cause="no stack of plies is outside: are the components of D in order?"
)
"""Limits of t."""


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


@checked_together
def critical_loads(D: BendingStiffness, width: Length, *, edges: Edges = "simply supported") -> CriticalLoads:
    """Loads at which a long flat plate buckles, each acting alone.

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
    ValueError: if D cannot be a bending stiffness, a width is not positive, or `edges` is unknown.

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

    Examples
    --------
    >>> D = 70e9 * 1e-3**3 / (12 * (1 - 0.3**2)) * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> one = critical_loads(D, 0.1)
    >>> (np.array(one) * 0.1**2 / (np.pi**2 * D[0, 0])).round(2)  # k of an isotropic plate
    array([ 4.  ,  1.  ,  5.34, 23.88])
    """
    D, b = np.asarray(D), np.asarray(width)
    s = np.sqrt(D[..., 0, 0] * D[..., 1, 1])
    total = s + D[..., 0, 1] + 2.0 * D[..., 2, 2]
    t = 1.0 - s / total
    RANGE.hold("critical_loads: (D12 + 2 D66) / (sqrt(D11 D22) + D12 + 2 D66) [-]", t)
    euler = np.pi**2 / b**2
    return CriticalLoads(
        Nx=euler * total * _cubic(COMPRESSION[edges], t),
        Ny=euler * D[..., 1, 1] * WIDE_COLUMN[edges],
        Nxy=4.0 / b**2 * np.sqrt(D[..., 1, 1] * total) * _cubic(SHEAR[edges], t),
        Nx_bending=euler * total * _cubic(BENDING[edges], t),
    )


@checked_together
def buckling_ratio(
    D: BendingStiffness,
    width: Length,
    Nx: Load,
    Nxy: Load = 0.0,
    *,
    Ny: Load = 0.0,
    Nx_bending: Load = 0.0,
    residual_Nx: Load = 0.0,
    residual_Nxy: Load = 0.0,
    edges: Edges = "simply supported",
    bound_anisotropy: bool = False,
) -> Array:
    """Factor on the load at which a long flat wall buckles under combined loads, in closed form.

    Parameters
    ----------
    D : array_like, shape (..., 3, 3)
        Bending stiffness [N m].
    width : array_like, shape (...)
        Width between the long edges [m].
    Nx, Nxy, Ny : array_like, shape (...)
        Load along the span, in shear and across the width, compression negative [N/m].
    Nx_bending : array_like, shape (...)
        Amplitude of a part of Nx that runs linearly from -Nx_bending at one long edge to +Nx_bending at the other
        [N/m].
    residual_Nx, residual_Nxy : array_like, shape (...)
        Part of Nx and of Nxy that is there without load and does not grow with it [N/m].
    edges : str
        "simply supported" (conservative for walls that their neighbors support), "one clamped" or "clamped".
    bound_anisotropy : bool
        Take critical loads times 1 - `anisotropy_bound`, so that the neglect of D16 and D26 is on the safe side.

    Returns
    -------
    ndarray, shape (...)
        R, the factor on all loads together, the residual left as it is; inf where nothing can buckle the
        wall, 0 where the residual alone does [-].

    Raises
    ------
    ValueError: if D cannot be a bending stiffness, a width is not positive, a load is not finite, or `edges` is
        unknown.

    Notes
    -----
    R solves R (rc + ry) + R^2 (rs^2 + rb^2) = 1 with rc, ry, rs, rb the ratios of compression, transverse
    compression, shear and in-plane bending to their critical values alone. Tension in Nx or Ny would
    stabilize; its relief is ignored, which is conservative. The set of loads a plate can bear is convex, so
    linear terms are safe. A square needs both signs of the load to count alike: with one edge
    clamped they do not under bending, and rb enters linearly. Against `strip_buckling` with D16 = D26 = 0
    the result is at most 1.5 % high, and 10 % low without Ny; Ny beside Nx or bending is overrated, so
    that the ratio falls up to 40 % low.

    With a residual, R is the first positive root of max(rc R + c0, 0) + ry R + (rs R + s0)^2 + (rb R)^2 = 1,
    where rc and rs now carry the sign of the load. The left side is convex in R and the larger of two
    quadratics, with the compression term and without it: if it is below 1 at R = 0, R is the smaller of
    their two positive roots. A residual tension relieves compression under load, and no more than that.

    The shear term counts both signs alike. With D16 and D26 one sign of shear buckles earlier than the
    other; see `anisotropy_bound`, and `strip_buckling` for the value.

    References
    ----------
    S. P. Timoshenko, J. M. Gere, Theory of Elastic Stability, 2nd ed. 1961, ch. 9 (isotropic interaction).

    Examples
    --------
    >>> D = 70e9 * 1e-3**3 / (12 * (1 - 0.3**2)) * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> alone = critical_loads(D, 0.1)
    >>> float(buckling_ratio(D, 0.1, -0.5 * alone.Nx).round(6))
    2.0
    >>> float(buckling_ratio(D, 0.1, -0.5 * alone.Nx, 0.5 * alone.Nxy).round(4))
    1.2361
    """
    critical = critical_loads(D, width, edges=edges)
    nx, nxy, ny, nb, nx0, nxy0 = map(np.asarray, (Nx, Nxy, Ny, Nx_bending, residual_Nx, residual_Nxy))
    credited = 1.0 - anisotropy_bound(D) if bound_anisotropy else 1.0
    compression, compression0 = (-n / (credited * critical.Nx) for n in (nx, nx0))
    shear, shear0 = (n / (credited * critical.Nxy) for n in (nxy, nxy0))
    always = np.maximum(-ny, 0.0) / (credited * critical.Ny)
    bending = abs(nb) / (credited * critical.Nx_bending)
    if edges == "one clamped":
        always, squared = always + bending, abs(shear)
    else:
        squared = np.hypot(shear, bending)
    left = 1.0 - shear0**2
    always = always + 2.0 * shear * shear0
    either = np.minimum(
        _first_root(always + compression, squared, left - compression0), _first_root(always, squared, left)
    )
    return np.asarray(np.where(np.minimum(left, left - compression0) > 0.0, either, 0.0))


def _first_root(linear: Array, squared: Array, left: Array) -> Array:
    """Positive root R of linear R + (squared R)^2 = left, linear of either sign; of no meaning unless left > 0."""
    left = np.maximum(left, 0.0)
    with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
        reach = np.hypot(linear, 2.0 * squared * np.sqrt(left))
        # Two forms of one root: each is free of cancellation where it is taken.
        return np.where(
            linear >= 0.0, 2.0 * left / (linear + reach), (reach - linear) / (2.0 * squared) / squared
        )
