"""What the Rayleigh-Ritz solutions share: trial functions, their integrals, and the lowest root.

Trial functions on 0 <= s <= 1 are Legendre polynomials times the factor s^p (1 - s)^q that meets the
geometric conditions of the two ends: power 0 at a free end, 1 at a simply supported end, 2 at a clamped
end. Natural conditions (moment, edge force, rotational spring) follow from the energy. The functions are
nested: those of a smaller number of terms are the first ones of a larger number.
"""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from laminate.stability.arguments import MOST_TERMS, Pair
from materials.checks import Array

SUPPORTS = {"free": 0, "simply supported": 1, "clamped": 2}


class NotConverged(RuntimeError):
    """The trial functions are too few for a converged answer."""


def _evaluate(ends: Pair, terms: int, s: Array) -> Array:
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
def trial_functions(ends: Pair, terms: int) -> tuple[Array, Array, Array]:
    """Values and two derivatives (3, terms, point) by s at Gauss points, the points (point,) and their weights.

    The rule is exact for the product of two functions and a line.
    """
    at, weights = np.polynomial.legendre.leggauss(terms + 4)
    points = (at + 1.0) / 2.0
    return _frozen(_evaluate(ends, terms, points)), _frozen(points), _frozen(weights / 2.0)


@lru_cache(maxsize=64)
def integrals(ends: Pair, terms: int) -> tuple[Array, Array, Array]:
    """Integrals over s of products of the functions of `ends`.

    Plain (3, 3, m, n): derivative i of m times derivative j of n. Linear (m, n): m times n times 2 s - 1. Slopes
    (2, m, n): product of the slopes at either end.
    """
    values, points, weights = trial_functions(ends, terms)
    plain = np.einsum("imq,jnq,q->ijmn", values, values, weights)
    linear = np.einsum("mq,nq,q->mn", values[0], values[0], weights * (2.0 * points - 1.0))
    slope = _evaluate(ends, terms, np.array([0.0, 1.0]))[1].T
    return _frozen(plain), _frozen(linear), _frozen(slope[:, :, None] * slope[:, None, :])


def is_compressed(loads: Array) -> NDArray[np.bool_]:
    """Whether the lowest principal load of (Nx, Nxy, Ny, Nx_bending), (4, ...), at a long edge is negative.

    If so, the wall buckles at some factor: a ratio of inf means that the trial functions cannot follow.
    """
    nx, nxy, ny, bending = loads
    edge = nx - abs(bending)
    return np.asarray((edge < 0.0) | (ny < 0.0) | (nxy**2 > edge * ny))


def more(terms: int) -> int:
    """Next number of trial functions to try: half as many again, at most `MOST_TERMS`."""
    return min(terms + terms // 2, MOST_TERMS)


def _frozen(values: Array) -> Array:
    values.setflags(write=False)
    return values


def lowest_ratio(stiffness: np.ndarray, load: np.ndarray) -> Array:
    """Smallest positive R (...) at which stiffness + R load, Hermitian (..., n, n), is singular; inf if none is."""
    scale = 1.0 / np.sqrt(np.diagonal(stiffness, axis1=-2, axis2=-1).real)
    scale = scale[..., :, None] * scale[..., None, :]
    lower = np.linalg.inv(np.linalg.cholesky(stiffness * scale))
    root = np.linalg.eigvalsh(lower @ (load * scale) @ np.conj(np.swapaxes(lower, -1, -2)))
    # Roundoff of the largest root must not pass for a buckling load.
    drives = root[..., 0] < -1e-12 * abs(root[..., -1])
    with np.errstate(over="ignore"):
        return np.where(drives, -1.0 / np.where(drives, root[..., 0], -1.0), np.inf)
