"""Carpet plots: a property of the family 0, +-45, 90 over the shares of the directions."""

import numpy as np
from matplotlib.axes import Axes

from laminate.lamina_stiffness import moduli_of, q_reduced, q_rotated
from laminate.plate import inverse
from laminate.plots.canvas import COLORS, axes_or_new, shown, tidy, unit
from materials.checks import Array, reject
from materials.kinds import instance
from materials.lamina import Lamina

PROPERTIES = {
    "Ex": ("Young's modulus along 0°, $E_x$", "modulus"),
    "Ey": ("Young's modulus along 90°, $E_y$", "modulus"),
    "Gxy": ("shear modulus $G_{xy}$", "modulus"),
    "nu_xy": (r"Poisson's ratio $\nu_{xy}$", "ratio"),
}


def family_property(lamina: Lamina, name: str, share_0: Array, share_45: Array) -> Array:
    """Property of balanced symmetric stacks of 0, +-45 and 90 degree plies.

    Parameters
    ----------
    lamina : Lamina
        Material of all plies.
    name : str
        "Ex", "Ey", "Gxy" or "nu_xy".
    share_0, share_45 : ndarray, shape (...)
        Share of the thickness at 0 and at +-45 degrees together; 90 degrees has the rest [-].

    Returns
    -------
    ndarray, shape (...)
        The property [Pa] or [-].

    Raises
    ------
    ValueError
        If the property is unknown.
    """
    if name not in PROPERTIES:
        reject("carpet: name", repr(name), f"one of {tuple(PROPERTIES)}")
    Q = q_rotated(q_reduced(lamina.E1, lamina.E2, lamina.G12, lamina.nu12), [0.0, 45.0, -45.0, 90.0])
    shares = np.stack([share_0, share_45 / 2, share_45 / 2, 1.0 - share_0 - share_45], axis=-1)
    return np.asarray(getattr(moduli_of(inverse(np.einsum("...p,pij->...ij", shares, Q))), name))


def plot_carpet(
    lamina: Lamina, name: str = "Ex", *, ax: Axes | None = None, units: str = "SI", step: float = 0.1
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
        Full lines hold the share of 0 degree plies, dotted lines that of 90 degree plies.

    Raises
    ------
    ValueError
        If the property is unknown, or the lines do not fit.
    """
    instance("plot_carpet: lamina", lamina, Lamina)
    count = round(1.0 / step) if 0.0 < step <= 0.5 else 0
    if not count or abs(count * step - 1.0) > 1e-9:
        reject("plot_carpet: step [-]", step, "1 over a whole number, at most 0.5", "given in percent?")
    label, quantity = PROPERTIES.get(name, ("", "ratio"))
    shares = np.arange(count + 1) / count
    ax = axes_or_new(ax)
    # The shear modulus depends on the share of +-45 alone: all lines are one.
    for held in shares if name != "Gxy" else shares[:1]:
        share_45 = np.linspace(0.0, 1.0 - held, 101)
        fixed_0 = shown(family_property(lamina, name, np.full(101, held), share_45), quantity, units)
        fixed_90 = shown(family_property(lamina, name, 1.0 - held - share_45, share_45), quantity, units)
        ax.plot(100 * share_45, fixed_0, color=COLORS[0], linewidth=1.3)
        ax.plot(100 * share_45, fixed_90, color=COLORS[1], linewidth=0.9, linestyle=":")
        if name != "Gxy":
            _name_line(ax, held, share_45[-1], fixed_0[-1], (4, 6), COLORS[0])
            _name_line(ax, held, share_45[-1], fixed_90[-1], (4, -6), COLORS[1])
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
    """Write the share that a line holds at its end, where the third direction has run out."""
    ax.annotate(
        f"{100 * share:.0f}", (100 * at, value), shift, textcoords="offset points", ha="left", va="center",
        fontsize=8, color=color,
    )  # fmt: skip
