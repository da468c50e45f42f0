"""What all plots of `beam` share: axes, colors that every eye can tell apart, names of the load level."""

from collections.abc import Iterable, Sequence
from typing import Any

from matplotlib import pyplot as plt
from matplotlib.axes import Axes

from materials.checks import reject

INK, PALE = "#222222", "#A0A0A0"
BLUE, RED, GREEN, PINK, ORANGE, SKY, BROWN = (
    "#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9", "#7F6000",
)  # fmt: skip
"""Told apart by every common kind of color vision; dashes, marks and hatches repeat what they say, for gray print."""
COLORS = (BLUE, RED, GREEN, PINK, ORANGE, SKY)
MARKS = ("o", "s", "^", "v", "D", "P", "X", "*")
DASHES = ("-", "--", "-.", (0, (6, 2, 1, 2, 1, 2)), (0, (3, 1)), (0, (8, 3)))


def given_or_new(
    function: str,
    axes: Sequence[Axes] | None,
    rows: int,
    columns: int = 1,
    *,
    size: tuple[float, float],
    **share: Any,
) -> tuple[Axes, ...]:
    """The axes given, if they are as many as asked, or those of a new figure of a size [in], by rows."""
    if axes is None:
        figure = plt.figure(figsize=size, layout="constrained")
        return tuple(figure.subplots(rows, columns, squeeze=False, **share).ravel())
    if len(axes) != rows * columns:
        reject(f"{function}: axes", len(axes), f"{rows * columns} of them")
    return tuple(axes)


def one_or_new(ax: Axes | None, size: tuple[float, float] = (9.0, 5.5)) -> Axes:
    """The axes given, or those of a new figure of a size [in]."""
    return plt.figure(figsize=size, layout="constrained").subplots() if ax is None else ax


def level_text(levels: Iterable[str]) -> str:
    """Load levels, one or both, as a title says them."""
    names = [name for name in ("limit", "ultimate") if name in set(levels)]
    return f"at {' or '.join(names)} load"
