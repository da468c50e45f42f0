"""Surrogate of a scattering strut: the reserve of each row as a quadratic of the variables, and what it governs."""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.sizing.sampled_struts import Judged
from materials.checks import Array

CHUNK = 1 << 14
"""Samples that are judged at a time."""
LEAN = 0.02
"""How near the logarithm of the reserve of a piece comes to the lowest in one of these."""
RIDGE = 1e-5
"""Pull of the quadratic terms to zero, of each sample [-]."""
SAFE = (1e-3, 1e3)
"""Reserves outside are taken at the end: their logarithm would spoil the fit."""


class Surrogate(NamedTuple):
    """Reserves of pieces as full quadratics of the variables, coefficients (term, piece).

    reserve = exp(q) (1 - sqrt(t)): t, the square of what the anisotropy of a flat wall costs it, has a kink as a root.
    """

    log: Array
    twist: Array

    @classmethod
    def fit(cls, u: Array, found: Judged) -> "Surrogate":
        """The quadratics that fit exact reserves best; a weak pull to zero keeps them determinate."""
        terms = quadratic_terms(u)
        pull = np.full(terms.shape[1], RIDGE * len(u))
        pull[: 1 + u.shape[1]] = 1e-12 * len(u)
        system = terms.T @ terms + np.diag(pull)
        smooth = np.clip(found.reserve / (1.0 - np.sqrt(found.twist)), *SAFE)
        log, twist = (np.linalg.solve(system, terms.T @ one) for one in (np.log(smooth), found.twist))
        return cls(np.asarray(log), np.asarray(twist))

    def log_reserve(self, u: NDArray[Any]) -> Array:
        """Logarithm of reserves (sample, piece)."""
        terms = quadratic_terms(u)
        out = np.asarray(terms @ self.log.astype(u.dtype))
        turned = np.flatnonzero(self.twist.any(axis=0))
        if turned.size:
            twist = terms @ self.twist[:, turned].astype(u.dtype)
            out[:, turned] += np.log1p(-np.sqrt(np.clip(twist, 0.0, 0.99)))
        return out

    def slope(self, u: Array) -> Array:
        """Derivatives (variable, piece) of the logarithm at one point u (variable,)."""
        step = 1e-4 * np.eye(len(u))
        return (self.log_reserve(u + step) - self.log_reserve(u - step)) / 2e-4

    def take(self, piece: int) -> "Surrogate":
        """One piece."""
        return Surrogate(self.log[:, [piece]], self.twist[:, [piece]])


def quadratic_terms(u: NDArray[Any]) -> NDArray[Any]:
    """1, u_i and u_i u_j (sample, term)."""
    i, j = np.triu_indices(u.shape[1])
    return np.concatenate([np.ones((len(u), 1), dtype=u.dtype), u, u[:, i] * u[:, j]], axis=1)


def least_margins(model: Surrogate, u: NDArray[Any]) -> Array:
    """Least margin of the surrogate (sample,)."""
    out = np.empty(len(u))
    for first in range(0, len(u), CHUNK):
        out[first : first + CHUNK] = np.expm1(model.log_reserve(u[first : first + CHUNK]).min(axis=1))
    return out


def without_idle(
    model: Surrogate, row: NDArray[np.int64], u: NDArray[np.float32]
) -> tuple[NDArray[np.int64], Surrogate]:
    """The surrogate without pieces that come near the lowest in none of some samples, and the rows of the others."""
    near = np.zeros(len(row), dtype=bool)
    for i in range(0, len(u), CHUNK):
        log = model.log_reserve(u[i : i + CHUNK])
        near |= (log <= log.min(axis=1, keepdims=True) + LEAN).any(axis=0)
    return row[near], Surrogate(model.log[:, near], model.twist[:, near])


def governing_share(model: Surrogate, u: NDArray[np.float32], row: NDArray[np.int64], rows: int) -> Array:
    """Share of samples that each row governs (row,), by the row of each piece."""
    firsts = range(0, len(u), CHUNK)
    lowest = np.concatenate([model.log_reserve(u[i : i + CHUNK]).argmin(axis=1) for i in firsts])
    return np.asarray(np.bincount(row[lowest], minlength=rows) / len(u))


def design_points(
    model: Surrogate, row: NDArray[np.int64], rows: int, size: int
) -> tuple[Array, Array, Array]:
    """First-order index of every row (row,), and design point and share of each variable of the worst row."""
    betas, points = np.full(rows, np.inf), np.zeros((rows, size))
    for piece in range(len(row)):
        own, u = model.take(piece), np.zeros(size)
        value, slope = float(own.log_reserve(u[None])[0, 0]), own.slope(u)[:, 0]
        side, at_mean = np.copysign(1.0, value), -value * slope / max(float(slope @ slope), 1e-30)
        for _ in range(50):
            value, slope = float(own.log_reserve(u[None])[0, 0]), own.slope(u)[:, 0]
            new = slope * (slope @ u - value) / max(float(slope @ slope), 1e-30)
            if np.linalg.norm(new - u) < 1e-6:
                break
            u = new
        else:  # no convergence: to first order at the mean
            u = at_mean
        beta = side * float(np.linalg.norm(u))
        if beta < betas[row[piece]]:
            betas[row[piece]], points[row[piece]] = beta, u
    worst = int(np.argmin(betas))
    length = max(float(points[worst] @ points[worst]), 1e-30)
    return betas, points[worst], points[worst] ** 2 / length
