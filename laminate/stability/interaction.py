"""The factor on the load at which a wall buckles under combined loads, in closed form."""

import numpy as np
from numpy.typing import ArrayLike

from laminate.stability.long_plate import critical_loads
from laminate.stability.reduction import anisotropy_bound
from materials.checks import Array, array, common_shape, flag, reject


def interact(linear: ArrayLike, squared: ArrayLike) -> Array:
    """Solve linear R + (squared R)^2 = 1 for the load factor R.

    Parameters
    ----------
    linear : array_like, shape (...)
        Sum of the load ratios that enter linearly, not negative [-].
    squared : array_like, shape (...)
        Root of the sum of the squares of the other load ratios, not negative [-].

    Returns
    -------
    ndarray, shape (...)
        The positive root; inf where both are zero [-].

    Raises
    ------
    ValueError
        If a sum is negative or NaN, or the shapes do not fit together. inf is answered: R is 0.

    Notes
    -----
    R = 2 / (linear + sqrt(linear^2 + 4 squared^2)): no cancellation, no division by a vanishing square
    term, and no square of a small number.
    """
    a, b = _sum("linear", linear), _sum("squared", squared)
    common_shape("interact: linear and squared", a.shape, b.shape)
    return _first_root(a, b, np.ones(()))


def _sum(name: str, value: ArrayLike) -> Array:
    out = array(f"interact: {name} [-]", value, finite=False, copy=False)
    if not (out >= 0.0).all():
        reject(f"interact: {name} [-]", f"{out.min():g}", ">= 0", "the sizes of the ratios are wanted")
    return out


def buckling_ratio(
    D: ArrayLike,
    width: ArrayLike,
    Nx: ArrayLike,
    Nxy: ArrayLike = 0.0,
    *,
    Ny: ArrayLike = 0.0,
    Nx_bending: ArrayLike = 0.0,
    residual_Nx: ArrayLike = 0.0,
    residual_Nxy: ArrayLike = 0.0,
    edges: str = "simply supported",
    bound_anisotropy: bool = False,
) -> Array:
    """Return the factor on the load at which a long flat wall buckles.

    Parameters
    ----------
    D : array_like, shape (..., 3, 3)
        Bending stiffness [N m].
    width : array_like, shape (...)
        Width between the long edges [m].
    Nx : array_like, shape (...)
        Load along the span, compression negative [N/m].
    Nxy : array_like, shape (...)
        Shear load [N/m].
    Ny : array_like, shape (...)
        Load across the width, compression negative [N/m].
    Nx_bending : array_like, shape (...)
        Amplitude of the part of Nx that runs linearly from -Nx_bending at one long edge to
        +Nx_bending at the other; either sign [N/m].
    residual_Nx, residual_Nxy : array_like, shape (...)
        Part of Nx and of Nxy that is there without load and does not grow with it [N/m].
    edges : str
        "simply supported" (conservative for walls held by their neighbors), "one clamped" or "clamped".
    bound_anisotropy : bool
        Take critical loads times 1 - `anisotropy_bound`, which makes the neglect of D16 and D26 safe beyond doubt.

    Returns
    -------
    ndarray, shape (...)
        R, the factor on all loads together, the residual left as it is; inf where nothing can buckle the
        wall, 0 where the residual alone does [-].

    Raises
    ------
    ValueError
        If D cannot be a bending stiffness, a width is not positive, a load is not finite, or `edges`
        is unknown.

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
    """
    bounded = flag("bound_anisotropy", bound_anisotropy)
    critical = critical_loads(D, width, edges=edges)
    named = {"Nx": Nx, "Nxy": Nxy, "Ny": Ny, "Nx_bending": Nx_bending}
    named |= {"residual_Nx": residual_Nx, "residual_Nxy": residual_Nxy}
    loads = [array(f"{name} [N/m]", load, copy=False) for name, load in named.items()]
    shapes = (load.shape for load in loads)
    common_shape(f"buckling_ratio: D with width, {', '.join(named)}", critical.Nx.shape, *shapes)
    nx, nxy, ny, nb, nx0, nxy0 = loads
    credited = 1.0 - anisotropy_bound(D) if bounded else 1.0
    compression, pressed = (-n / (credited * critical.Nx) for n in (nx, nx0))
    shear, sheared = (n / (credited * critical.Nxy) for n in (nxy, nxy0))
    always = np.maximum(-ny, 0.0) / (credited * critical.Ny)
    bending = abs(nb) / (credited * critical.Nx_bending)
    if edges == "one clamped":
        always, squared = always + bending, abs(shear)
    else:
        squared = np.hypot(shear, bending)
    left = 1.0 - sheared**2
    always = always + 2.0 * shear * sheared
    either = np.minimum(
        _first_root(always + compression, squared, left - pressed), _first_root(always, squared, left)
    )
    return np.asarray(np.where(np.minimum(left, left - pressed) > 0.0, either, 0.0))


def _first_root(linear: Array, squared: Array, left: Array) -> Array:
    """Positive root R of linear R + (squared R)^2 = left, linear of either sign; of no meaning unless left > 0."""
    left = np.maximum(left, 0.0)
    with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
        reach = np.hypot(linear, 2.0 * squared * np.sqrt(left))
        # Two forms of one root: each is free of cancellation where it is taken.
        return np.where(
            linear >= 0.0, 2.0 * left / (linear + reach), (reach - linear) / (2.0 * squared) / squared
        )
