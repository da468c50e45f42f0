"""Many stacks at once: ABD of stacks written as choices from a few kinds of ply.

Each entry of ABD is a sum over the plies of a term that depends on the position and the kind only. The
terms of a few neighboring plies are added up beforehand for every combination of kinds, so that a
stack takes one look-up per group of plies. Blocks of stacks stay in cache.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from laminate import plate
from materials.checks import Array, array, reject

BLOCK = 4096
"""Stacks worked on at once."""

COMBINATIONS = 256
"""Largest look-up table: 256 rows of 36 numbers stay in the second-level cache."""


def abd_of_choices(choice: ArrayLike, q_bar: ArrayLike, thickness: ArrayLike) -> Array:
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
    ValueError
        If a choice is not a whole number in range, or an array does not fit.

    Notes
    -----
    Look-up needs one thickness for all kinds; with several, the plain sum of `plate.abd` is taken
    block by block, some ten times slower.
    """
    try:
        index = np.asarray(choice)
    except ValueError:
        reject("choice", repr(choice), "whole numbers of shape (..., ply)", "stacks of different length?")
    if np.ma.is_masked(choice):
        reject("choice", "masked values", "whole numbers of shape (..., ply)")
    if index.dtype.kind not in "iu" or index.ndim < 1 or not index.shape[-1]:
        reject("choice", f"{index.dtype} of shape {index.shape}", "whole numbers of shape (..., ply)")
    Q = array("q_bar [Pa]", q_bar, last=(-1, 3, 3), copy=False)
    if Q.ndim != 3:
        reject("q_bar [Pa]", f"shape {Q.shape}", "of shape (kind, 3, 3)")
    t = array("thickness [m]", thickness, copy=False)
    if t.shape not in ((), (len(Q),)):
        reject("thickness [m]", f"shape {t.shape}", f"of shape () or ({len(Q)},)")
    if not (t > 0).all():
        reject("thickness [m]", f"{t.min():g}", "> 0")
    if index.size and not (index.min() >= 0 and index.max() < len(Q)):
        reject("choice", f"{index.min()} to {index.max()}", f"0 to {len(Q) - 1}")

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


def _look_up(stacks: NDArray[np.integer], tables: list[tuple[slice, Array]], kinds: int, out: Array) -> None:
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
