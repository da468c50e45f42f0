"""Strength ratio of many load vectors at once, for convex criteria.

Where a convex piece l s + s F s = 1 of a criterion is met along s = R T x + r, the utilization is

    1/R = b x + sqrt((b x)^2 + abs(W x)^2),   b = (l + 2 F r) T / (2 c),   W W = T F T / c,
    c = 1 - l r - r F r,

with b and W fixed for each material, direction and residual stress r; x is a strain, a deformation or a
load, and T x the ply stress that it makes. All loads and all pieces are then two matrix products, on x
and on the products of its components. The largest utilization governs, and only it is inverted.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Self

import numpy as np
from numpy.typing import NDArray

from laminate.failure.surface import Piece, Surface, plain
from materials.checks import Array, reject

WORKSPACE = 3_000_000
"""Bytes of the arrays of one block of loads: enough rows to outweigh the calls, few enough for the cache."""

SQUARABLE = 1e100
"""Ratios above this or below its inverse are found on scaled loads, whose squares keep their digits."""

Place = tuple[Sequence[Piece], Array, Array]


@dataclass(frozen=True, kw_only=True, eq=False)
class Forms:
    """Convex pieces of criteria, each as 1/R = b x + sqrt((b x)^2 + abs(W x)^2).

    `linear` holds b, (form, n), and `root` W, (form, 3, n), zero for planes [1/unit of x]. `violated` says whether some
    residual stress alone is on or beyond its surface, so that R = 0 for every load.
    """

    linear: Array
    root: Array
    violated: bool = False

    @classmethod
    def of(cls, pieces: Iterable[Place]) -> Self:
        """Forms of pieces: surfaces, ply stress or strain per load vector (3, n), and its residual part (3,)."""
        rows = [_form(s, to_ply, residual) for surfaces, to_ply, residual in pieces for s in plain(surfaces)]
        linear, root, level = (np.array(column) for column in zip(*rows, strict=True))
        return cls(linear=linear, root=root, violated=bool((level <= 0).any()))

    def ratio(self, load: Array, what: str = "Forms: load") -> Array:
        """Smallest strength ratio of all forms, (...), of loads (..., n); inf for zero load, 0 if violated."""
        rows = load.reshape(-1, load.shape[-1])
        if self.violated:
            _refuse_not_finite(what, rows)
            return np.zeros(load.shape[:-1])
        out = np.empty(len(rows))
        linear, square, plane = self._products
        work = _Workspace(len(rows), self.linear.shape[1], len(linear), len(plane))
        with np.errstate(all="ignore"):
            for start in range(0, len(rows), work.rows):
                x, R = rows[start : start + work.rows], out[start : start + work.rows]
                if not work.ratio(x, linear, square, plane, R):
                    odd = ~((R > 1 / SQUARABLE) & (R < SQUARABLE))
                    _refuse_not_finite(what, x[odd])
                    R[odd] = 1 / self.utilization(x[odd]).max(axis=-1)
        return out.reshape(load.shape[:-1])

    def utilization(self, load: Array) -> Array:
        """1/R of each form, (..., form), without the expanded squares: slower, safe for loads of any size."""
        size = abs(load).max(axis=-1, keepdims=True)
        x = load / np.where(size > 0, size, 1.0)
        b = x @ self.linear.T
        w2 = np.square(np.einsum("fin,...n->...fi", self.root, x)).sum(axis=-1)
        root = np.sqrt(b * b + w2)
        with np.errstate(all="ignore"):
            return np.where(b >= 0, b + root, w2 / (root - b)) * size

    def governing(self, load: Array) -> NDArray[np.intp]:
        """Index of the form with the smallest ratio, the first among equals, (...), of loads (..., n)."""
        rows = load.reshape(-1, load.shape[-1])
        which = np.empty(len(rows), dtype=np.intp)
        step = max(WORKSPACE // (64 * len(self.linear)), 1)
        for start in range(0, len(rows), step):
            self.utilization(rows[start : start + step]).argmax(axis=-1, out=which[start : start + step])
        return which.reshape(load.shape[:-1])

    @cached_property
    def _products(self) -> tuple[Array, Array, Array]:
        """Matrices on x and on its products for the curved forms, and on x for the planes."""
        curved = self.root.any(axis=(1, 2))
        b, W = self.linear[curved], self.root[curved]
        D = b[:, :, None] * b[:, None, :] + np.einsum("fin,fim->fnm", W, W)
        i, j = np.triu_indices(b.shape[1])
        return b, D[:, i, j] * np.where(i == j, 1.0, 2.0), 2 * self.linear[~curved]


class _Workspace:
    """Arrays of one block, allocated once."""

    def __init__(self, loads: int, n: int, curved: int, planes: int) -> None:
        products = n * (n + 1) // 2 if curved else 0
        fitting = WORKSPACE // (8 * (n + products + 2 * curved + planes))
        self.rows = rows = max(min(fitting, loads), 1)
        self.x = np.empty((n, rows))
        self.products = np.empty((products, rows))
        self.b = np.empty((curved, rows))
        self.used = np.empty((curved + planes, rows))

    def ratio(self, x: Array, linear: Array, square: Array, plane: Array, out: Array) -> bool:
        """Write the ratios; return whether all are finite and of a size whose squares keep their digits."""
        m, k = len(x), len(linear)
        t, used = self.x[:, :m], self.used[:, :m]
        t[...] = x.T
        if k:
            b, products = self.b[:, :m], self.products[:, :m]
            at = 0
            for i in range(len(t)):
                np.multiply(t[i:], t[i], out=products[at : at + len(t) - i])
                at += len(t) - i
            np.matmul(linear, t, out=b)
            np.matmul(square, products, out=used[:k])
            np.sqrt(used[:k], out=used[:k])
            used[:k] += b
        if len(plane):
            np.matmul(plane, t, out=used[k:])
        np.max(used, axis=0, out=out)
        small = out @ out < SQUARABLE**2  # cheaper than two searches for the extremes; false with NaN
        np.divide(1.0, out, out=out)
        return bool(small and out @ out < SQUARABLE**2)


def _form(surface: Piece, to_ply: Array, residual: Array) -> tuple[Array, Array, float]:
    """b, W and c of one surface; b and W mean nothing where c <= 0."""
    if not isinstance(surface, Surface) or surface.within:
        reject(f"Forms: {surface.mode.label}", "a surface in several ranges", "one convex surface",
               "evaluate such a criterion at every ply surface")  # fmt: skip
    l, F = np.zeros(3), np.zeros((3, 3))
    for i, value in surface.linear:
        l[i] = value
    for i, j, value in surface.quadratic:
        F[i, j] += value / 2
        F[j, i] += value / 2
    try:
        W = np.linalg.cholesky(F).T if F.any() else F
    except np.linalg.LinAlgError:
        reject("Forms: quadratic part", "not positive definite", "a closed, convex surface")
    c = float(surface.level - l @ residual - residual @ F @ residual)
    if c <= 0:
        return np.zeros(to_ply.shape[1]), np.zeros(to_ply.shape), c
    return (l + 2 * F @ residual) @ to_ply / (2 * c), W @ to_ply / np.sqrt(c), c


def _refuse_not_finite(what: str, load: Array) -> None:
    if not np.isfinite(load).all():
        reject(what, "NaN or infinity", "finite")
