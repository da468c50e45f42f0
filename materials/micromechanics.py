"""From fiber and matrix to the ply: plain functions of arrays."""

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, array, common_shape
from materials.limits import between, positive


def mixture(fiber: ArrayLike, matrix: ArrayLike, fiber_volume: ArrayLike) -> Array:
    """Rule of mixtures, Vf f + Vm m: E1, nu12 and density of a ply.

    Parameters
    ----------
    fiber, matrix : array_like
        Property of the fiber and of the matrix, in one unit [any].
    fiber_volume : array_like
        Fiber volume fraction [-].

    Returns
    -------
    ndarray
        Property of the ply, in the unit of `fiber` [any].

    Raises
    ------
    ValueError
        If the fiber volume is outside of 0 to 1.
    """
    f, m, Vf = array("fiber [any]", fiber), array("matrix [any]", matrix), _share(fiber_volume)
    common_shape("fiber, matrix, fiber_volume", f.shape, m.shape, Vf.shape)
    return np.asarray(Vf * f + (1.0 - Vf) * m)


def series(fiber: ArrayLike, matrix: ArrayLike, fiber_volume: ArrayLike) -> Array:
    """Inverse rule of mixtures, 1 / (Vf/f + Vm/m): a lower bound of E2 and G12.

    Parameters
    ----------
    fiber, matrix : array_like
        Modulus of the fiber and of the matrix, in one unit [any].
    fiber_volume : array_like
        Fiber volume fraction [-].

    Returns
    -------
    ndarray
        Modulus of the ply, in the unit of `fiber` [any].

    Raises
    ------
    ValueError
        If a modulus is not positive or the fiber volume outside of 0 to 1.
    """
    f, m = _positive(fiber=fiber, matrix=matrix)
    Vf = _share(fiber_volume)
    common_shape("fiber, matrix, fiber_volume", f.shape, m.shape, Vf.shape)
    return np.asarray(1.0 / (Vf / f + (1.0 - Vf) / m))


def halpin_tsai(
    fiber: ArrayLike, matrix: ArrayLike, fiber_volume: ArrayLike, *, reinforcement: ArrayLike
) -> Array:
    """Halpin-Tsai interpolation between the series and the parallel bound.

    Parameters
    ----------
    fiber, matrix : array_like
        Modulus of the fiber and of the matrix, in one unit [any].
    fiber_volume : array_like
        Fiber volume fraction [-].
    reinforcement : array_like
        Reinforcing factor xi: 2 for E2 and 1 for G12 of round fibers in a square array; 0 gives `series`, a
        very large one `mixture` [-].

    Returns
    -------
    ndarray
        Modulus of the ply, m (1 + xi eta Vf) / (1 - eta Vf) with eta = (f/m - 1) / (f/m + xi), in the unit of
        `fiber` [any].

    Raises
    ------
    ValueError
        If a modulus is not positive, the fiber volume outside of 0 to 1, or xi negative.

    References
    ----------
    Halpin & Kardos, The Halpin-Tsai equations: a review, Polym. Eng. Sci. 16 (1976) 344-352.
    """
    f, m = _positive(fiber=fiber, matrix=matrix)
    Vf = _share(fiber_volume)
    xi = between("reinforcement [-]", reinforcement, 0.0, np.inf)
    common_shape("fiber, matrix, fiber_volume, reinforcement", f.shape, m.shape, Vf.shape, xi.shape)
    eta = (f / m - 1.0) / (f / m + xi)
    return np.asarray(m * (1.0 + xi * eta * Vf) / (1.0 - eta * Vf))


def longitudinal_expansion(
    fiber: ArrayLike,
    matrix: ArrayLike,
    fiber_volume: ArrayLike,
    *,
    fiber_modulus: ArrayLike,
    matrix_modulus: ArrayLike,
) -> Array:
    """Free expansion along the fiber: mean of the constituents weighted by stiffness.

    Parameters
    ----------
    fiber, matrix : array_like
        Expansion of the fiber, along it, and of the matrix, per degree or per moisture [any].
    fiber_volume : array_like
        Fiber volume fraction [-].
    fiber_modulus, matrix_modulus : array_like
        Young's moduli along the fiber, in one unit [any].

    Returns
    -------
    ndarray
        Expansion of the ply along the fiber, in the unit of `fiber` [any].

    Raises
    ------
    ValueError
        If a modulus is not positive or the fiber volume outside of 0 to 1.

    References
    ----------
    Schapery, Thermal expansion coefficients of composite materials based on energy principles,
    J. Compos. Mater. 2 (1968) 380-404.
    """
    Ef, Em = _positive(fiber_modulus=fiber_modulus, matrix_modulus=matrix_modulus)
    af, am = array("fiber [any]", fiber), array("matrix [any]", matrix)
    Vf = _share(fiber_volume)
    what = "fiber, matrix, fiber_volume, fiber_modulus, matrix_modulus"
    common_shape(what, af.shape, am.shape, Vf.shape, Ef.shape, Em.shape)
    return np.asarray(mixture(Ef * af, Em * am, Vf) / mixture(Ef, Em, Vf))


def transverse_expansion(
    fiber: ArrayLike,
    matrix: ArrayLike,
    fiber_volume: ArrayLike,
    *,
    fiber_along: ArrayLike,
    fiber_poisson: ArrayLike,
    matrix_poisson: ArrayLike,
    along: ArrayLike,
) -> Array:
    """Free expansion across the fiber: the constituents held along the fiber swell sideways.

    Parameters
    ----------
    fiber, matrix : array_like
        Expansion of the fiber, across it, and of the matrix [any].
    fiber_volume : array_like
        Fiber volume fraction [-].
    fiber_along : array_like
        Expansion of the fiber along it, in the unit of `fiber` [any].
    fiber_poisson, matrix_poisson : array_like
        Poisson's ratios of the fiber (12) and of the matrix [-].
    along : array_like
        Expansion of the ply along the fiber, in the unit of `fiber` [any].

    Returns
    -------
    ndarray
        Expansion of the ply across the fiber, in the unit of `fiber` [any].

    Raises
    ------
    ValueError
        If the fiber volume is outside of 0 to 1, or a Poisson's ratio impossible.

    Notes
    -----
    Vf (a2f + nu12f a1f) + Vm (1 + num) am - a1 (Vf nu12f + Vm num), as Schapery's for isotropic fibers.
    """
    names = ("fiber", "matrix", "fiber_along", "along")
    given = (fiber, matrix, fiber_along, along)
    a2f, am, a1f, a1 = (array(f"{one} [any]", value) for one, value in zip(names, given, strict=True))
    nuf = between("fiber_poisson [-]", fiber_poisson, -1.0, 1.0, "given in percent?")
    num = between("matrix_poisson [-]", matrix_poisson, -1.0, 0.5, "isotropic solids lie between -1 and 1/2")
    Vf = _share(fiber_volume)
    every = (a2f, am, a1f, a1, nuf, num, Vf)
    what = ", ".join((*names, "fiber_poisson", "matrix_poisson", "fiber_volume"))
    common_shape(what, *(one.shape for one in every))
    held = mixture(a2f + nuf * a1f, (1.0 + num) * am, Vf)
    return np.asarray(held - a1 * mixture(nuf, num, Vf))


def _share(fiber_volume: ArrayLike) -> Array:
    return between("fiber_volume [-]", fiber_volume, 0.0, 1.0, "given in percent?")


def _positive(**given: ArrayLike) -> tuple[Array, ...]:
    return tuple(positive(f"{name} [any]", value) for name, value in given.items())
