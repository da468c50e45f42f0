"""Orientation code of a laminate: from the code to the angles and back.

Grammar, after ASTM D6507 and the habits of the trade::

    laminate  = "[" stack "]" [count] ["s" | "T"]     s: followed by its mirror image; T or nothing: total
    stack     = item { "/" item }
    item      = sign angle [overbar] [label] [subscript]
              | "(" stack ")" [count] ["s"]           a set, repeated, then mirrored
              | "(" stack ")" fabric [subscript]      one ply of fabric: (±45)F, (0/90)F or (0,90)F
    sign      = "" | "+" | "-" | "±" | "∓"            ±45 is 45/-45, ∓45 is -45/45; also +-, -+, +/-, -/+
    subscript = "_" digits | "_{" digits "}" | Unicode subscript digits
    count     = subscript | digits
    overbar   = U+0305 or U+0304 after the digits, or the word "bar": the mid-ply of a symmetric code
    label     = letters, the material in a hybrid; one that begins with F is a fabric, angle of the warp

Angles are written in degrees, -90 to 90. What could be read in two ways is refused: ``02`` for
two plies at 0, ``±45_2``, ``]s2``.

References
----------
ASTM D6507, Standard Practice for Fiber Reinforcement Orientation Codes for Composite Materials;
MIL-HDBK-17-1F, 2002, section 1.6 (from memory). The word "bar", the labels set in line and the fabric
letter in line are this library's way to write what the practice sets as a bar or a subscript.
"""

from collections.abc import Sequence
from typing import Annotated

import numpy as np

from laminate.orientation_parser import Mark, parse
from materials.checks import Limits, checked, reject

__all__ = ["angles", "code", "labels"]

_BAR = "\u0305"


@checked
def angles(code: str) -> tuple[float, ...]:
    """Angles that an orientation code stands for.

    Parameters
    ----------
    code : str
        Orientation code, as in ``"[0/±45/90]s"``; labels are read and left out.

    Returns
    -------
    tuple of float
        Fiber angle of each ply, first ply of the code first [deg].

    Raises
    ------
    ValueError: if the code is at fault; a caret stands under the place.

    Examples
    --------
    >>> angles("[0_2/±45]s")
    (0.0, 0.0, 45.0, -45.0, -45.0, 45.0, 0.0, 0.0)
    """
    return tuple(angle for angle, _ in parse(code))


@checked
def labels(code: str) -> tuple[str, ...]:
    """Material label of each ply of an orientation code, empty where none is written.

    Parameters
    ----------
    code : str
        Orientation code, as in ``"[0C/45G]s"``.

    Returns
    -------
    tuple of str
        One label per ply, first ply of the code first.

    Raises
    ------
    ValueError: if the code is at fault; a caret stands under the place.

    Examples
    --------
    >>> labels("[0C/(±45)F/90]T")
    ('C', 'F', '')
    """
    return tuple(label for _, label in parse(code))


@checked
def code(
    angles: Annotated[
        Sequence[float], Limits("deg", at_least=-90.0, at_most=90.0, cause="turn it by 180 deg")
    ],
    labels: Sequence[Annotated[str, Limits(items=0)]] | None = None,
) -> str:
    """Shortest orientation code of a stack.

    Parameters
    ----------
    angles : sequence of float
        Fiber angle of each ply, -90 to 90, at z = -h/2 first [deg].
    labels : sequence of str, optional
        Material label of each ply: letters, or empty.

    Returns
    -------
    str
        A code that `angles` and `labels` read back to exactly the same plies.

    Raises
    ------
    ValueError: if there is no ply, an angle is out of range, or a label is not made of letters.

    Notes
    -----
    Shortest in characters among the codes built of subscripts, ±, ∓, repeated sets and the closing
    s or T (which is always written); overbars and the marks of subscripts do not count.

    Examples
    --------
    >>> code([0, 45, -45, 90, -45, 45, 0])
    '[0/±45/9̅0̅]s'
    """
    marks = ("",) * len(angles) if labels is None else labels
    if len(marks) != len(angles):
        reject("code: labels", f"{len(marks)} labels", f"one for each of {len(angles)} angles")
    for i, label in enumerate(marks):
        if label != "" and not _is_label(label):
            reject(f"code: labels[{i}]", repr(label), "letters, other than s, T and what ends in 'bar'")
    return _shortest([Mark(angle + 0.0, label) for angle, label in zip(angles, marks, strict=True)])


def _is_label(label: object) -> bool:
    if not isinstance(label, str) or not (label.isascii() and label.isalpha()):
        return False
    return label not in ("s", "S", "T") and not label.lower().endswith("bar")


def _shortest(plies: Sequence[Mark]) -> str:
    """Shortest code of at least one ply, closed with s where that is shorter, else with T."""
    n = len(plies)
    total = _bracket(plies, "T")
    if n == 1 or list(plies) != list(plies)[::-1]:
        return total
    half, odd = plies[: n // 2], n % 2
    if not odd:
        return min(_bracket(half, "s"), total, key=_size)
    mid = plies[n // 2]
    barred = "".join(c + _BAR if c.isdigit() else c for c in _digits(mid.angle_deg)) + mid.label
    return min(f"[{_compress(half)}/{barred}]s", total, key=_size)


def _size(code: str) -> int:
    """Characters as set in print: overbars and the marks of subscripts do not count."""
    return len(code) - code.count(_BAR) - code.count("_")


def _bracket(plies: Sequence[Mark], close: str) -> str:
    """Write a whole stack, the repeat of all of it outside of the bracket."""
    n = len(plies)
    codes = [f"[{_compress(plies)}]{close}"]
    for count in _repeats(plies, n):
        codes.append(f"[{_compress(plies[: n // count])}]{count}{close}")
    return min(codes, key=_size)


def _repeats(plies: Sequence[Mark], n: int) -> list[int]:
    """Counts above 1 that divide a run of n plies into equal sets."""
    return [n // d for d in range(1, n) if n % d == 0 and all(plies[i] == plies[i - d] for i in range(d, n))]


def _compress(plies: Sequence[Mark]) -> str:
    """Shortest text of a run of plies, by intervals: each is a word, a repeated set, or two intervals."""
    n = len(plies)
    best: dict[tuple[int, int], str] = {}
    for length in range(1, n + 1):
        for i in range(n - length + 1):
            j = i + length
            run = plies[i:j]
            choices = [_word(run[0])] if length == 1 else []
            if length == 2 and (pair := _pair(run[0], run[1])):
                choices.append(pair)
            for count in _repeats(run, length):
                unit = best[i, i + length // count]
                choices.append(f"{unit}_{count}" if count == length else f"({unit}){count}")
            choices += [f"{best[i, k]}/{best[k, j]}" for k in range(i + 1, j)]
            best[i, j] = min(choices, key=_size)
    return best[0, n]


def _word(ply: Mark) -> str:
    return f"{_digits(ply.angle_deg)}{ply.label}"


def _pair(first: Mark, second: Mark) -> str:
    """Write two plies of opposite angle as one word, or return empty if they are not."""
    (a, label), (b, other) = first, second
    if a != -b or abs(a) in (0.0, 90.0) or label != other:
        return ""
    return f"{'±' if a > 0 else '∓'}{_digits(abs(a))}{label}"


def _digits(angle: float) -> str:
    return np.format_float_positional(angle, trim="-")
