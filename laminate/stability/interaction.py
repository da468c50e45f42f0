"""The factor on the load at which a wall buckles under combined loads, in closed form."""

import numpy as np
from numpy.typing import ArrayLike

from laminate.stability.long_plate import critical_loads
from laminate.stability.reduction import anisotropy_bound
from materials.checks import Array, array, common_shape


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

    Notes
    -----
    R = 2 / (linear + sqrt(linear^2 + 4 squared^2)): no cancellation, no division by a vanishing square
    term, and no square of a small number.
    """
    with np.errstate(divide="ignore", over="ignore"):
        return np.asarray(2.0 / (np.asarray(linear) + np.hypot(linear, 2.0 * np.asarray(squared))))


def buckling_ratio(
    D: ArrayLike,
    width: ArrayLike,
    Nx: ArrayLike,
    Nxy: ArrayLike = 0.0,
    *,
    Ny: ArrayLike = 0.0,
    Nx_bending: ArrayLike = 0.0,
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
    edges : str
        "simply supported" (conservative for walls held by their neighbors), "one clamped" or "clamped".
    bound_anisotropy : bool
        Multiply by 1 - `anisotropy_bound`, which makes the neglect of D16 and D26 safe beyond doubt.

    Returns
    -------
    ndarray, shape (...)
        R > 0, the factor on all loads together; inf where nothing can buckle the wall [-].

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

    The shear term counts both signs alike. With D16 and D26 one sign of shear buckles earlier than the
    other; see `anisotropy_bound`, and `strip_buckling` for the value.

    References
    ----------
    S. P. Timoshenko, J. M. Gere, Theory of Elastic Stability, 2nd ed. 1961, ch. 9 (isotropic interaction).
    """
    critical = critical_loads(D, width, edges=edges)
    named = {"Nx": Nx, "Ny": Ny, "Nxy": Nxy, "Nx_bending": Nx_bending}
    nx, ny, nxy, nb = (array(f"{name} [N/m]", load, copy=False) for name, load in named.items())
    shapes = (load.shape for load in (nx, ny, nxy, nb))
    common_shape("buckling_ratio: D with width, Nx, Ny, Nxy, Nx_bending", critical.Nx.shape, *shapes)
    compression, transverse = np.maximum(-nx, 0.0) / critical.Nx, np.maximum(-ny, 0.0) / critical.Ny
    shear, bending = nxy / critical.Nxy, abs(nb) / critical.Nx_bending
    if edges == "one clamped":
        ratio = interact(compression + transverse + bending, abs(shear))
    else:
        ratio = interact(compression + transverse, np.hypot(shear, bending))
    return ratio * (1.0 - anisotropy_bound(D)) if bound_anisotropy else ratio
