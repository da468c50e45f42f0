"""What the Rayleigh-Ritz solutions share: trial functions, their integrals, and the lowest root.

Trial functions on 0 <= s <= 1 are Legendre polynomials times the factor s^p (1 - s)^q that meets the
geometric conditions of the two ends: power 0 at a free end, 1 at a simply supported end, 2 at a clamped
end. Natural conditions (moment, edge force, rotational spring) follow from the energy. The functions are
nested: those of a smaller number of terms are the first ones of a larger number.
"""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from materials.checks import Array

SUPPORTS = {"free": 0, "simply supported": 1, "clamped": 2}


MOST_TERMS = 40
"""Most trial functions along one direction [-]."""


class NotConverged(RuntimeError):
    """The trial functions are too few for the answer asked."""


def _evaluate(ends: tuple[str, str], terms: int, s: Array) -> Array:
    """Trial functions and two derivatives with respect to s, (3, terms, point)."""
    at = 2.0 * s - 1.0
    factor = np.polynomial.Polynomial([0.5, 0.5]) ** SUPPORTS[ends[0]]
    factor *= np.polynomial.Polynomial([0.5, -0.5]) ** SUPPORTS[ends[1]]
    f0, f1, f2 = factor(at), factor.deriv()(at), factor.deriv(2)(at)
    out = np.empty((3, terms, at.size))
    for n in range(terms):
        p = np.polynomial.Legendre.basis(n)
        p0, p1, p2 = p(at), p.deriv()(at), p.deriv(2)(at)
        # By Leibniz: the product expanded in powers would lose its digits.
        out[:, n] = f0 * p0, f1 * p0 + f0 * p1, f2 * p0 + 2.0 * f1 * p1 + f0 * p2
    return out * np.array([1.0, 2.0, 4.0])[:, None, None]


@lru_cache(maxsize=64)
def trial_functions(ends: tuple[str, str], terms: int) -> tuple[Array, Array, Array]:
    """Trial functions and their derivatives at the points of Gauss.

    Parameters
    ----------
    ends : tuple of two str
        Supports at s = 0 and s = 1, keys of `SUPPORTS`.
    terms : int
        Number of functions [-].

    Returns
    -------
    values : ndarray, shape (3, terms, point)
        Function, first and second derivative with respect to s [-].
    points, weights : ndarray, shape (point,)
        Points and weights of Gauss on 0 to 1, exact for the product of two functions and a line [-].
    """
    at, weights = np.polynomial.legendre.leggauss(terms + 4)
    points = (at + 1.0) / 2.0
    return _frozen(_evaluate(ends, terms, points)), _frozen(points), _frozen(weights / 2.0)


@lru_cache(maxsize=64)
def integrals(ends: tuple[str, str], terms: int) -> tuple[Array, Array, Array]:
    """Integrals of the products of trial functions and of their derivatives.

    Parameters
    ----------
    ends : tuple of two str
        Supports at s = 0 and s = 1, keys of `SUPPORTS`.
    terms : int
        Number of functions [-].

    Returns
    -------
    plain : ndarray, shape (3, 3, terms, terms)
        Integral of derivative i of function m times derivative j of function n [-].
    linear : ndarray, shape (terms, terms)
        Integral of functions m and n times 2 s - 1 [-].
    slopes : ndarray, shape (2, terms, terms)
        Product of the slopes of functions m and n at either end [-].
    """
    values, points, weights = trial_functions(ends, terms)
    plain = np.einsum("imq,jnq,q->ijmn", values, values, weights)
    linear = np.einsum("mq,nq,q->mn", values[0], values[0], weights * (2.0 * points - 1.0))
    slope = _evaluate(ends, terms, np.array([0.0, 1.0]))[1].T
    return _frozen(plain), _frozen(linear), _frozen(slope[:, :, None] * slope[:, None, :])


def is_pressed(loads: Array) -> NDArray[np.bool_]:
    """Tell whether a wall is compressed in some direction at one of its long edges.

    If it is, it buckles at some factor; a ratio of inf then means that the trial functions cannot follow.

    Parameters
    ----------
    loads : ndarray, shape (4, ...)
        Nx, Nxy, Ny and Nx_bending [N/m].

    Returns
    -------
    ndarray of bool, shape (...)
        Whether the lowest principal load at an edge is negative [-].
    """
    nx, nxy, ny, bending = loads
    edge = nx - abs(bending)
    return np.asarray((edge < 0.0) | (ny < 0.0) | (nxy**2 > edge * ny))


def more(terms: int) -> int:
    """Return the next number of trial functions to try.

    Parameters
    ----------
    terms : int
        The number that was too small [-].

    Returns
    -------
    int
        Half as many again, at most `MOST_TERMS` [-].
    """
    return min(terms + terms // 2, MOST_TERMS)


def _frozen(values: Array) -> Array:
    values.setflags(write=False)
    return values


def lowest_ratio(stiffness: np.ndarray, load: np.ndarray) -> Array:
    """Smallest positive R at which stiffness + R load is singular.

    Parameters
    ----------
    stiffness : ndarray, shape (..., n, n)
        Hermitian and positive definite, in the unit of energy [any].
    load : ndarray, shape (..., n, n)
        Hermitian, geometric stiffness of the given load [any].

    Returns
    -------
    ndarray, shape (...)
        R, inf where the load does not destabilize [-].
    """
    scale = 1.0 / np.sqrt(np.diagonal(stiffness, axis1=-2, axis2=-1).real)
    scale = scale[..., :, None] * scale[..., None, :]
    lower = np.linalg.inv(np.linalg.cholesky(stiffness * scale))
    root = np.linalg.eigvalsh(lower @ (load * scale) @ np.conj(np.swapaxes(lower, -1, -2)))
    # Roundoff of the largest root must not pass for a buckling load.
    drives = root[..., 0] < -1e-12 * abs(root[..., -1])
    with np.errstate(over="ignore"):
        return np.where(drives, -1.0 / np.where(drives, root[..., 0], -1.0), np.inf)
