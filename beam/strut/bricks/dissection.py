"""Nested dissection: the Cholesky factor of bricks in rows and columns, by cutting the grid in halves again and again.

The unknowns of a front are those of its elements that other fronts share. Two neighbors join, the unknowns that only
they had are eliminated (dense, by LAPACK), and what is left is the front of both. For a tube of r x c elements the work
grows with (r c)^1.5 and the memory with r c log(r c).
"""

from typing import NamedTuple

import numpy as np
from scipy.linalg import LinAlgError, cholesky, solve_triangular

from beam.strut.bricks.brick_elements import Array, Index
from materials.checks import reject

WIDTH = 9  # Unknowns of a column: three motions of three nodes.
LEAF = 2  # Elements along and around in the smallest front.


class _Step(NamedTuple):
    """Unknowns eliminated in a front and those it shares, with the factor of the first and the coupling behind it."""

    own: Index
    shared: Index
    factor: Array
    coupling: Array


class Factor:
    """Cholesky factor of the assembled stiffness of elements (row, around, 81, 81) on columns (row, around, 9)."""

    def __init__(self, K: Array, columns: Index) -> None:
        """Condense the middle column of every element and join the elements by halves."""
        rows, around = columns.shape[:2]
        flat = columns.reshape(-1, WIDTH)
        self._touch = np.bincount(flat.ravel())
        self._steps: list[_Step] = []
        edge = np.delete(np.arange(9), 4)
        out = (WIDTH * edge[:, None] + np.arange(WIDTH)).ravel()
        mid = slice(4 * WIDTH, 5 * WIDTH)
        grid = K.reshape(-1, 81, 81)
        try:
            self._middle = np.linalg.cholesky(grid[:, mid, mid])
        except LinAlgError:
            _refuse()
        self._coupling = np.linalg.solve(self._middle, grid[:, mid][:, :, out])
        self._size, self._flat, self._edge = WIDTH * len(self._touch), flat, flat[:, edge]
        condensed = grid[:, out][:, :, out] - self._coupling.swapaxes(1, 2) @ self._coupling
        self._front(
            condensed.reshape(rows, around, *condensed.shape[1:]), flat[:, edge].reshape(rows, around, 8)
        )

    def _front(self, K: Array, columns: Index) -> tuple[Index, Index, Array]:
        """Columns of a front, the number of elements of it at each, and its stiffness, from its elements."""
        rows, around = columns.shape[:2]
        if rows <= LEAF and around <= LEAF:
            parts = [
                (columns[i, j], np.ones(8, dtype=np.intp), K[i, j])
                for i in range(rows)
                for j in range(around)
            ]
        else:
            axis = 0 if rows >= around else 1
            cut = -(-columns.shape[axis] // (2 * LEAF)) * LEAF
            cut = cut if cut < columns.shape[axis] else columns.shape[axis] // 2
            halves = [slice(None, cut), slice(cut, None)]
            picks = [(half, slice(None)) if axis == 0 else (slice(None), half) for half in halves]
            parts = [self._front(K[pick], columns[pick]) for pick in picks]
        return self._join(parts)

    def _join(self, parts: list[tuple[Index, Index, Array]]) -> tuple[Index, Index, Array]:
        """The front of neighbors without the columns that nothing else touches."""
        ids, place = np.unique(np.concatenate([p[0] for p in parts]), return_inverse=True)
        seen = np.bincount(place, weights=np.concatenate([p[1] for p in parts])).astype(np.intp)
        done = seen == self._touch[ids]
        order = np.argsort(~done, kind="stable")
        rank = np.empty_like(order)
        rank[order] = np.arange(len(order))
        K = np.zeros((WIDTH * len(ids), WIDTH * len(ids)))
        start = 0
        for one, _, stiff in parts:
            at = rank[place[start : start + len(one)]]
            start += len(one)
            at = (WIDTH * at[:, None] + np.arange(WIDTH)).ravel()
            K[at[:, None], at] += stiff
        own, shared = ids[order[: done.sum()]], ids[order[done.sum() :]]
        m = WIDTH * len(own)
        if not m:
            return shared, seen[order], K
        try:
            L = cholesky(K[:m, :m], lower=True, check_finite=False)
        except LinAlgError:
            _refuse()
        X = solve_triangular(L, K[:m, m:], lower=True, check_finite=False)
        self._steps.append(_Step(_unknowns(own), _unknowns(shared), L, X))
        return shared, seen[order[done.sum() :]], K[m:, m:] - X.T @ X

    def solve(self, load: Array) -> Array:
        """Displacements under loads, both (unknown, column of the load)."""
        f = load.copy()
        mid, edge = _of_elements(self._flat[:, 4:5]), _of_elements(self._edge)
        held = np.linalg.solve(self._middle, f[mid])
        carried = self._coupling.swapaxes(1, 2) @ held
        np.subtract.at(f, edge, carried)
        done = []
        for own, shared, L, X in self._steps:
            y = solve_triangular(L, f[own], lower=True, check_finite=False)
            f[shared] -= X.T @ y
            done.append(y)
        for (own, shared, L, X), y in zip(reversed(self._steps), reversed(done), strict=True):
            f[own] = solve_triangular(L, y - X @ f[shared], lower=True, trans="T", check_finite=False)
        f[mid] = np.linalg.solve(self._middle.swapaxes(1, 2), held - self._coupling @ f[edge])
        return f


def _unknowns(columns: Index) -> Index:
    """Numbers of the unknowns of columns, one after the other."""
    return np.asarray((WIDTH * columns[:, None] + np.arange(WIDTH)).ravel(), dtype=np.intp)


def _of_elements(columns: Index) -> Index:
    """Numbers of the unknowns of the columns (element, column) of every element, (element, unknown)."""
    return np.asarray(
        (WIDTH * columns[..., None] + np.arange(WIDTH)).reshape(len(columns), -1), dtype=np.intp
    )


def _refuse() -> None:
    """Refuse a model that is loose or has an element turned inside out."""
    reject("bricks: stiffness", "not positive definite", "positive definite", "an element turned inside out?")
