"""Stress and strain through the thickness of a stack."""

from typing import Annotated, Any, Literal

import numpy as np
from matplotlib.axes import Axes

from laminate.plots.canvas import COLORS, INK, QUIET, Units, axes_or_new, shown, tidy, unit
from laminate.plots.lay_up import LABELLED, angle_label
from laminate.response import Response
from materials.checks import Limits, checked, reject

__all__ = ["plot_through_thickness"]

COMPONENTS = {
    "ply": {
        "stress": (r"$\sigma_1$", r"$\sigma_2$", r"$\tau_{12}$"),
        "strain": (r"$\epsilon_1$", r"$\epsilon_2$", r"$\gamma_{12}$"),
    },
    "laminate": {
        "stress": (r"$\sigma_x$", r"$\sigma_y$", r"$\tau_{xy}$"),
        "strain": (r"$\epsilon_x$", r"$\epsilon_y$", r"$\gamma_{xy}$"),
    },
}
RESULTS = {
    ("ply", "stress"): "stress",
    ("ply", "strain"): "strain",
    ("laminate", "stress"): "laminate_stress",
    ("laminate", "strain"): "laminate_strain",
}


@checked
def plot_through_thickness(
    response: Response,
    component: Annotated[int, Limits("-", at_least=0, at_most=2)] = 0,
    *,
    quantity: Literal["stress", "strain"] = "stress",
    along: Literal["laminate", "ply"] = "laminate",
    ax: Axes | None = None,
    units: Units = "SI",
    **line: Any,
) -> Axes:
    """Draw one component of stress or strain from the inner to the outer side.

    Parameters
    ----------
    response : Response
        Of one load case.
    component : int
        0, 1 or 2: along the first axis, along the second, shear [-].
    quantity : str
        "stress" or "strain". In ply axes strain is the one that makes stress, free expansion taken off; in
        laminate axes it is the one a gauge would show.
    along : str
        "laminate" for x and y, or "ply" for the axes of each ply.
    ax : Axes, optional
        Where to draw; new axes if none.
    units : str
        "SI" or "US".
    **line
        Passed to ``Axes.plot``.

    Returns
    -------
    Axes
        Linear in each ply, with jumps between plies, and the angle of each ply at the right.

    Raises
    ------
    ValueError: if there are several load cases, or the component, quantity or axes are unknown.
    """
    if response.shape != ():
        reject("plot_through_thickness: response", f"shape {response.shape}", "of one load case")
    laminate = response.laminate
    value = shown(getattr(response, RESULTS[along, quantity])[..., component], quantity, units)
    z = shown(laminate.surfaces, "length", units)
    ax = axes_or_new(ax)
    style: dict[str, Any] = {"color": COLORS[0], "linewidth": 1.5}
    ax.plot(value.ravel(), z.ravel(), **(style | line))
    if not line:
        for (low, high), (v_low, v_high) in zip(z, value, strict=True):
            ax.fill_betweenx([low, high], [v_low, v_high], color=COLORS[0], alpha=0.15, linewidth=0)
    for height in shown(laminate.interfaces, "length", units):
        ax.axhline(height, color=QUIET, linewidth=0.4, zorder=0)
    ax.axvline(0.0, color=INK, linewidth=0.8)
    tidy(ax)
    ax.grid(False, axis="y")
    if len(laminate.plies) <= LABELLED:
        for ply, middle in zip(laminate.plies, z.mean(axis=-1), strict=True):
            ax.annotate(
                angle_label(ply.angle_deg), (1.0, middle), (4, 0), xycoords=("axes fraction", "data"),
                textcoords="offset points", va="center", fontsize=min(9.0, 220.0 / len(laminate.plies)),
                annotation_clip=False,
            )  # fmt: skip
    symbol = unit(quantity, units)[1]
    ax.set_xlabel(f"{COMPONENTS[along][quantity][component]} [{symbol}]")
    ax.set_ylabel(f"z, inner to outer side [{unit('length', units)[1]}]")
    ax.set_ylim(np.min(z), np.max(z))
    return ax
