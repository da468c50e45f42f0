"""The two views, and what is drawn in either: arrows, dimensions, turns.

side view                          front view
nose left, tail right              starboard left, port right
the viewer stands to port          the viewer stands ahead
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from beam.units import shown, symbol
from materials.checks import Array

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WHEEL_LOAD, AT_CG, ANGLE, GRAY = "tab:red", "tab:blue", "tab:green", "0.35"
PAPER = {"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 1.0}
DIGITS = {"SI": {"force": 2, "moment": 2, "distance": 3}, "US": {"force": 0, "moment": 0, "distance": 2}}


@dataclass(frozen=True, kw_only=True)
class View:
    """One view of the airplane.

    Parameters
    ----------
    title : str
        What it is called.
    across : int
        Ground axis that runs across the page: 0 aft, 1 starboard [-].
    sense : float
        1 where that axis runs to the right of the page, -1 to the left [-].
    label : str
        What the horizontal coordinate is.
    turn : str
        What turns in this view.
    ways : tuple of str
        A turn against the clock, and with it.
    """

    title: str
    across: int
    sense: float
    label: str
    turn: str
    ways: tuple[str, str]

    def page(self, point: ArrayLike) -> Array:
        """Coordinates on the page of points on ground axes.

        Parameters
        ----------
        point : array_like, shape (..., 3)
            Aft, starboard, up [m].

        Returns
        -------
        ndarray, shape (..., 2)
            To the right and up [m].
        """
        at = np.asarray(point, dtype=float)
        return np.stack([self.sense * at[..., self.across], at[..., 2]], axis=-1)

    def turning(self, moment: ArrayLike) -> float:
        """Component of a moment toward the viewer, positive against the clock.

        Parameters
        ----------
        moment : array_like, shape (3,)
            About aft, starboard, up [N m].

        Returns
        -------
        float
            The component [N m].
        """
        # right x up points to the viewer: x cross z = -y, and -y cross z = -x
        return -float(np.asarray(moment, dtype=float)[1 - self.across])


SIDE = View(
    title="side view, nose on the left",
    across=0,
    sense=1.0,
    label="aft of main contacts",
    turn="pitching",
    ways=("nose down", "nose up"),
)
FRONT = View(
    title="front view, starboard on the left",
    across=1,
    sense=-1.0,
    label="to port",
    turn="rolling",
    ways=("starboard wheel down", "starboard wheel up"),
)


def said(value: float, quantity: str, units: str) -> str:
    """Return a number without its unit, to the digits that are worth reading.

    Parameters
    ----------
    value : float
        In base SI [any].
    quantity : str
        As in `beam.units.shown`.
    units : str
        "SI" or "US".

    Returns
    -------
    str
        As in "8.09".
    """
    return f"{float(shown(value, quantity, units)):.{DIGITS[units][quantity]}f}"


def arrow(ax: "Axes", at: ArrayLike, along: ArrayLike, text: str, color: str) -> None:
    """Draw an arrow that ends at a point, with its number at the tail.

    Parameters
    ----------
    ax : Axes
        Where to draw.
    at : array_like, shape (2,)
        Head on the page, in the unit of the axes [any].
    along : array_like, shape (2,)
        From tail to head, horizontal or upright, in the unit of the axes [any].
    text : str
        The number.
    color : str
        Of arrow and number.
    """
    head, length = np.asarray(at, dtype=float), np.asarray(along, dtype=float)
    tail = head - length
    upright = abs(length[1]) > abs(length[0])
    out = -np.sign(length)
    ax.annotate(
        "", xy=tuple(head), xytext=tuple(tail),
        arrowprops={"arrowstyle": "-|>", "color": color, "lw": 2, "shrinkA": 0.0, "shrinkB": 0.0},
    )  # fmt: skip
    ax.plot(*tail, alpha=0.0)
    ax.annotate(
        text,
        tuple(tail),
        xytext=(0.0, 4 * out[1]) if upright else (4 * out[0], 8.0),  # beside: clear of the ground line
        textcoords="offset points",
        color=color,
        fontsize=9,
        ha="center" if upright else ("left" if out[0] > 0 else "right"),
        va=("bottom" if out[1] > 0 else "top") if upright else "center",
        bbox=PAPER,
    )


def turn(ax: "Axes", at: ArrayLike, reach: float, against_clock: bool, color: str) -> None:
    """Draw a three-quarter turn about a point; it shows the sense alone.

    Parameters
    ----------
    ax : Axes
        Where to draw.
    at : array_like, shape (2,)
        Center on the page, in the unit of the axes [any].
    reach : float
        Of the turn, in the unit of the axes [any].
    against_clock : bool
        The sense.
    color : str
        Of the line.
    """
    angles = np.radians(np.linspace(-130.0, 130.0, 60) + 180.0)
    if against_clock is False:
        angles = angles[::-1]
    x, y = np.asarray(at, dtype=float)[:, np.newaxis] + reach * np.array([np.cos(angles), np.sin(angles)])
    ax.plot(x, y, color=color, lw=1.2, gid="turn")
    head = {"arrowstyle": "-|>", "color": color, "lw": 1.2, "shrinkA": 0.0, "shrinkB": 0.0}
    ax.annotate("", xy=(x[-1], y[-1]), xytext=(x[-3], y[-3]), arrowprops=head)


def size(ax: "Axes", left: float, right: float, height: float, text: str) -> None:
    """Draw the arrow of a horizontal dimension, with its number below.

    Parameters
    ----------
    ax : Axes
        Where to draw.
    left, right : float
        Ends on the page, in the unit of the axes [any].
    height : float
        Height on the page, below the ground, in the unit of the axes [any].
    text : str
        The number.
    """
    ends = {"arrowstyle": "<->", "color": "0.4", "shrinkA": 0.0, "shrinkB": 0.0}
    ax.annotate("", xy=(left, height), xytext=(right, height), arrowprops=ends)
    middle = (left + right) / 2
    ax.text(middle, 1.35 * height, text, ha="center", va="top", fontsize=9, color="0.3", bbox=PAPER)


def unit(quantity: str, units: str) -> str:
    """Return the symbol of a unit in brackets.

    Parameters
    ----------
    quantity : str
        As in `beam.units.symbol`.
    units : str
        "SI" or "US".

    Returns
    -------
    str
        As in "[kN]".
    """
    return f"[{symbol(quantity, units)}]"
