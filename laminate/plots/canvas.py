"""What the plots share: axes, colors that every eye can tell apart, and the units numbers are shown in."""

from itertools import cycle, islice
from typing import Any, Literal

import matplotlib.pyplot as plt
import numpy as np
from matplotlib.axes import Axes
from numpy.typing import ArrayLike
from scipy.constants import inch, psi

from materials.checks import Array, reject

Units = Literal["SI", "US"]
INK, QUIET = "#1a1a1a", "#8c8c8c"

# Neighbors in order of use differ in lightness as well as in hue; line styles differ too, for gray print.
COLORS = ("#0b4f8a", "#e8762c", "#12715a", "#7a1f5c", "#4aa3df", "#7a5c00", "#000000", "#e3a400")
STYLES = ("-", "--", "-.", ":", (0, (6, 2, 1, 2, 1, 2)), (0, (3, 1)), (0, (8, 3)), (0, (1, 1)))

_SHOWN = {
    "SI": {"stress": (1e6, "MPa"), "modulus": (1e9, "GPa"), "length": (1e-3, "mm")},
    "US": {"stress": (1e3 * psi, "ksi"), "modulus": (1e6 * psi, "Msi"), "length": (inch, "in")},
}
_ALWAYS = {"strain": (1e-6, "microstrain"), "ratio": (1.0, "-")}


def axes_or_new(ax: Axes | None, *, polar: bool = False) -> Axes:
    """The axes given, or new ones in a figure of their own; refuses axes of the other kind."""
    kind = "polar" if polar else "rectilinear"
    if ax is None:
        _, ax = plt.subplots(layout="constrained", subplot_kw={"projection": kind})
    if not isinstance(ax, Axes) or ax.name != kind:
        cause = 'subplot_kw={"projection": "polar"}' if polar else ""
        reject("ax", getattr(ax, "name", repr(ax)), f"{kind} axes of matplotlib", cause)
    return ax


def unit(quantity: str, units: str) -> tuple[float, str]:
    """Size [base SI] and symbol of the unit of "stress", "modulus", "length", "strain" or "ratio"."""
    if units not in _SHOWN:
        reject("units", repr(units), f"one of {tuple(_SHOWN)}")
    return (_SHOWN[units] | _ALWAYS)[quantity]


def shown(value: ArrayLike, quantity: str, units: str) -> Array:
    """Values (...) in base SI, in the unit that `unit` names."""
    return np.asarray(value, dtype=float) / unit(quantity, units)[0]


def looks(count: int) -> list[dict[str, Any]]:
    """Color and line style of each of several lines, as arguments of ``Axes.plot``."""
    pairs = zip(cycle(COLORS), cycle(STYLES), strict=False)
    return [{"color": color, "linestyle": style} for color, style in islice(pairs, count)]


def tidy(ax: Axes) -> None:
    """Quiet frame and grid behind the data."""
    ax.spines[["top", "right"]].set_visible(False)
    ax.grid(color="#dddddd", linewidth=0.6)
    ax.set_axisbelow(True)
