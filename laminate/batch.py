"""Many stacks at once: ABD of stacks written as choices from a few kinds of ply.

Each entry of ABD is a sum over the plies of a term that depends on the position and the kind only. The
terms of a few neighboring plies are added up beforehand for every combination of kinds, so that a
stack takes one look-up per group of plies. Blocks of stacks stay in cache.
"""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray

from laminate import plate
from materials.checks import Array, Limits, checked, reject

__all__ = ["abd_of_choices"]

BLOCK = 4096
"""Stacks worked on at once."""

COMBINATIONS = 256
"""Largest look-up table: 256 rows of 36 numbers stay in the second-level cache."""


@checked
def abd_of_choices(
    choice: Annotated[ArrayLike, Limits("-", last=(-1,), at_least=0.0, whole=True, copy=False)],
    q_bar: Annotated[ArrayLike, Limits("Pa", shape=(-1, 3, 3))],
    thickness: Annotated[ArrayLike, Limits("m", above=0.0)],
) -> Array:
    """Stiffness of many stacks, each a list of choices from the same kinds of ply.

    Parameters
    ----------
    choice : array_like of int, shape (..., ply)
        Kind of each ply, ply 0 at z = -h/2, as index into the axis `kind` [-].
    q_bar : array_like, shape (kind, 3, 3)
        Laminate-axis stiffness of each kind (a material at an angle) [Pa].
    thickness : array_like, shape (kind,) or ()
        Ply thickness of each kind [m].

    Returns
    -------
    ndarray, shape (..., 6, 6)
        ABD of each stack [N/m], [N], [N m].

    Raises
    ------
    ValueError: if a choice is not a whole number in range, or an array does not fit.

    Notes
    -----
    A, B, D = sum over the plies of Q-bar (t, t z, t z^2 + t^3/12). Look-up needs one thickness for all kinds;
    with several, the plain sum is taken block by block, some ten times slower.

    Examples
    --------
    >>> from laminate import q_reduced, q_rotated
    >>> q_bar = q_rotated(q_reduced(181e9, 10.3e9, 7.17e9, 0.28), [0.0, 90.0])
    >>> A11 = abd_of_choices([[0, 0, 0, 0], [0, 1, 1, 0]], q_bar, 125e-6)[:, 0, 0]
    >>> (A11 / 1e6).round(2)  # [MN/m]
    array([90.91, 48.04])
    """
    index, Q, t = np.asarray(choice), np.asarray(q_bar), np.asarray(thickness)
    if not index.shape[-1]:
        reject("abd_of_choices: choice [-]", f"shape {index.shape}", "at least one ply")
    if t.shape not in ((), (len(Q),)):
        reject("abd_of_choices: thickness [m]", f"shape {t.shape}", f"of shape () or ({len(Q)},)")
    if index.size and index.max() >= len(Q):
        reject("abd_of_choices: choice [-]", f"{index.max()}", f"0 to {len(Q) - 1}")
    stacks = index.reshape(-1, index.shape[-1])
    out = np.empty((len(stacks), 36))
    equal = bool((t == t.flat[0]).all())
    tables = _tables(Q, float(t.flat[0]), stacks.shape[1]) if equal else []
    each = np.broadcast_to(t, len(Q))
    for first in range(0, len(stacks), BLOCK):
        block, target = stacks[first : first + BLOCK], out[first : first + BLOCK]
        if equal:
            _look_up(block, tables, len(Q), target)
        else:
            target[:] = plate.abd(Q[block], each[block]).reshape(-1, 36)
    return out.reshape(*index.shape[:-1], 6, 6)


def _tables(Q: Array, t: float, plies: int) -> list[tuple[slice, Array]]:
    """Sums of the terms of each group of neighboring plies, one row per combination of kinds."""
    kinds = len(Q)
    width = 1
    while width < plies and kinds ** (width + 1) <= COMBINATIONS:
        width += 1
    z = (np.arange(plies) - (plies - 1) / 2) * t
    terms = np.empty((plies, kinds, 6, 6))
    for at, weight in zip(
        ((0, 0), (0, 3), (3, 0), (3, 3)),
        (np.full(plies, t), t * z, t * z, t * z * z + t**3 / 12),
        strict=True,
    ):
        i, j = at
        terms[:, :, i : i + 3, j : j + 3] = weight[:, None, None, None] * Q
    flat = terms.reshape(plies, kinds, 36)
    tables = []
    for first in range(0, plies, width):
        group = slice(first, min(first + width, plies))
        rows = flat[first]
        for more in flat[first + 1 : group.stop]:
            rows = (rows[:, None] + more).reshape(-1, 36)
        tables.append((group, rows))
    return tables


def _look_up(stacks: NDArray[np.intp], tables: list[tuple[slice, Array]], kinds: int, out: Array) -> None:
    """Write the stiffness (stack, 36) of stacks (stack, ply) to `out`."""
    part = np.empty_like(out)
    for n, (group, rows) in enumerate(tables):
        row = np.zeros(len(stacks), dtype=np.intp)
        for column in stacks[:, group].T:
            row *= kinds
            row += column
        # "clip" spares a buffered copy; the choices are known to be in range
        np.take(rows, row, axis=0, out=out if n == 0 else part, mode="clip")
        if n:
            out += part
