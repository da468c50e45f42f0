"""Carpet plots: a property of the family 0, +-45, 90 over the shares of the directions."""

from typing import Annotated, Literal

import numpy as np
from matplotlib.axes import Axes

from laminate.lamina_stiffness import moduli_of, q_reduced, q_rotated
from laminate.plate import inverse
from laminate.plots.canvas import COLORS, Units, axes_or_new, shown, tidy, unit
from materials.checks import Array, Limits, checked, reject
from materials.lamina import Lamina

__all__ = ["plot_carpet"]

Property = Literal["Ex", "Ey", "Gxy", "nu_xy"]
PROPERTIES: dict[Property, tuple[str, str]] = {
    "Ex": ("Young's modulus along 0°, $E_x$", "modulus"),
    "Ey": ("Young's modulus along 90°, $E_y$", "modulus"),
    "Gxy": ("shear modulus $G_{xy}$", "modulus"),
    "nu_xy": (r"Poisson's ratio $\nu_{xy}$", "ratio"),
}


def family_property(lamina: Lamina, name: Property, share_0: Array, share_45: Array) -> Array:
    """Property of balanced symmetric stacks of shares (...) of 0 and of both 45 degree plies, the rest at 90."""
    Q = q_rotated(q_reduced(lamina.E1, lamina.E2, lamina.G12, lamina.nu12), [0.0, 45.0, -45.0, 90.0])
    shares = np.stack([share_0, share_45 / 2, share_45 / 2, 1.0 - share_0 - share_45], axis=-1)
    return np.asarray(getattr(moduli_of(inverse(np.einsum("...p,pij->...ij", shares, Q))), name))


@checked
def plot_carpet(
    lamina: Lamina,
    name: Property = "Ex",
    *,
    ax: Axes | None = None,
    units: Units = "SI",
    step: Annotated[float, Limits("-", above=0.0, at_most=0.5, cause="given in percent?")] = 0.1,
) -> Axes:
    """Draw a property of the family 0, +-45, 90 over the share of +-45 plies, one line for each share of 0.

    Parameters
    ----------
    lamina : Lamina
        Material of all plies.
    name : str
        "Ex", "Ey", "Gxy" or "nu_xy".
    ax : Axes, optional
        Where to draw; new axes if none.
    units : str
        "SI" or "US".
    step : float
        Share between two lines; 1/step must be whole [-].

    Returns
    -------
    Axes
        A full line has one share of 0 degree plies, a dotted line one share of 90 degree plies.

    Raises
    ------
    ValueError: if the property is unknown, or 1/step is not whole.

    Notes
    -----
    A = h (f0 Q0 + f45 (Q45 + Q-45)/2 + f90 Q90) with the shares f of the thickness.
    """
    count = round(1.0 / step)
    if abs(count * step - 1.0) > 1e-9:
        reject("plot_carpet: step [-]", step, "1 over a whole number")
    label, quantity = PROPERTIES[name]
    shares = np.arange(count + 1) / count
    ax = axes_or_new(ax)
    # The shear modulus depends on the share of +-45 alone: all lines are one.
    for fixed in shares if name != "Gxy" else shares[:1]:
        share_45 = np.linspace(0.0, 1.0 - fixed, 101)
        fixed_0 = shown(family_property(lamina, name, np.full(101, fixed), share_45), quantity, units)
        fixed_90 = shown(family_property(lamina, name, 1.0 - fixed - share_45, share_45), quantity, units)
        ax.plot(100 * share_45, fixed_0, color=COLORS[0], linewidth=1.3)
        ax.plot(100 * share_45, fixed_90, color=COLORS[1], linewidth=0.9, linestyle=":")
        if name != "Gxy":
            _name_line(ax, fixed, share_45[-1], fixed_0[-1], (4, 6), COLORS[0])
            _name_line(ax, fixed, share_45[-1], fixed_90[-1], (4, -6), COLORS[1])
    tidy(ax)
    symbol = "" if quantity == "ratio" else f" [{unit(quantity, units)[1]}]"
    ax.set(xlabel="share of ±45° plies [%]", ylabel=label + symbol, xlim=(0.0, 106.0))
    ax.set_xticks(np.arange(0, 101, 20))
    if ax.dataLim.y0 > 0.0:
        ax.set_ylim(bottom=0.0)
    ax.set_title(lamina.name, fontsize=10)
    if name != "Gxy":
        ax.plot([], [], color=COLORS[0], label="share of 0° plies [%]")
        ax.plot([], [], color=COLORS[1], linestyle=":", label="share of 90° plies [%]")
        ax.legend(frameon=False)
    return ax


def _name_line(
    ax: Axes, share: float, at: float, value: float, shift: tuple[float, float], color: str
) -> None:
    """Write the share of a line at its end, where the third direction has none left."""
    ax.annotate(
        f"{100 * share:.0f}", (100 * at, value), shift, textcoords="offset points", ha="left", va="center",
        fontsize=8, color=color,
    )  # fmt: skip
