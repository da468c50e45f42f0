"""Writer of the shortest orientation code; the grammar stands in `laminate.orientation`."""

from collections.abc import Sequence

import numpy as np

from laminate.orientation_parser import Mark

_BAR = "\u0305"


def shortest(plies: Sequence[Mark]) -> str:
    """Shortest code of a stack.

    Parameters
    ----------
    plies : sequence of Mark
        At least one ply, first ply of the code first.

    Returns
    -------
    str
        The code, closed with s where that is shorter, else with T.
    """
    n = len(plies)
    total = _bracket(plies, "T")
    if n == 1 or list(plies) != list(plies)[::-1]:
        return total
    half, odd = plies[: n // 2], n % 2
    if not odd:
        return min(_bracket(half, "s"), total, key=_size)
    mid = plies[n // 2]
    barred = "".join(c + _BAR if c.isdigit() else c for c in _digits(mid.angle_deg)) + mid.label
    inner = _compress(half)
    return min(f"[{inner}/{barred}]s", total, key=_size)


def _size(code: str) -> int:
    """Characters as set in print: overbars and the marks of subscripts take no room."""
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
