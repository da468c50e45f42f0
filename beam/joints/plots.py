"""Plots of joints. Every function draws on axes and never saves."""

from typing import Annotated

import numpy as np
from matplotlib.axes import Axes

from beam.joints.bond import BondedSleeve
from beam.joints.joint_rows import JointLoads
from beam.strength import Service
from materials.checks import Limits, checked, reject

__all__ = ["plot_bond_stress"]

ALONG, AROUND, PEEL = "#0072B2", "#009E73", "#D55E00"


@checked
def plot_bond_stress(
    joint: BondedSleeve,
    loads: JointLoads,
    service: Service,
    *,
    case: Annotated[int, Limits("-", at_least=0)] = 0,
    ax: Axes,
) -> Axes:
    """Draw the linear stress of the adhesive along the overlap, where around the section its shear is largest.

    Parameters
    ----------
    joint : BondedSleeve
        The joint.
    loads : JointLoads
        Section forces at its mouth.
    service : Service
        Temperature and moisture; the stress of mismatch is drawn in, and once alone.
    case : int
        Number of the load case [-].
    ax : Axes
        Where to draw.

    Returns
    -------
    Axes
        The same axes.

    Raises
    ------
    ValueError
        If there is no such case.

    Examples
    --------
    >>> import matplotlib.pyplot as plt
    >>> from beam.joints.plots import plot_bond_stress  # plot_bond_stress(sleeve, loads, service, ax=plt.gca())
    """
    if case >= len(loads.cases):
        reject("plot_bond_stress: case [-]", case, f"< {len(loads.cases)}, the number of cases")
    x, shear = joint.shear_stress(loads, service)
    peel = joint.peel(loads, service)[1][case]
    place = np.hypot(*np.moveaxis(shear[case], -1, 0)).max(axis=-1).argmax()
    none = JointLoads(force=[[0.0, 0.0, 0.0]])
    alone = joint.shear_stress(none, service)[1][0, place, :, 0]
    curve = joint.adhesive.at(temperature=service.temperature, moisture=service.moisture)
    mm, along, around = x * 1e3, shear[case, place, :, 0] / 1e6, shear[case, place, :, 1] / 1e6
    ax.axhline(0.0, color="0.7", lw=0.8)
    ax.plot(mm, along, color=ALONG, label="shear along the tube")
    ax.plot(mm, alone / 1e6, color=ALONG, ls=":", label="of it, mismatch alone")
    ax.plot(mm, around, color=AROUND, ls="--", label="shear around the tube")
    ax.plot(mm, peel[place] / 1e6, color=PEEL, ls="-.", label="peel, tension +")
    lines = ((curve.shear_strength, ALONG, "shear strength"), (curve.peel_strength, PEEL, "peel strength"))
    for above, (strength, color, said) in enumerate(sorted(lines)):
        ax.axhline(strength / 1e6, color=color, lw=0.8)
        ax.annotate(
            said, (0.5, strength / 1e6), xycoords=("axes fraction", "data"), xytext=(0, 3 if above else -3),
            textcoords="offset points", color=color, fontsize=8, ha="center", va="bottom" if above else "top",
        )  # fmt: skip
    ax.axhline(-curve.shear_strength / 1e6, color=ALONG, lw=0.8)
    y2, y3 = joint.places[place] * 1e3
    level = loads.level[case] if loads.level else "limit"
    ax.set_title(
        f"{joint.name}, case {loads.cases[case]} at {level} load, {service.name}\n"
        f"linear adhesive at y2 = {y2:.0f}, y3 = {y3:.0f} mm", fontsize=10,
    )  # fmt: skip
    ax.set(xlabel="distance from the mouth of the fitting [mm]", ylabel="stress of the adhesive [MPa]")
    ax.margins(x=0.0, y=0.1)
    ax.legend(fontsize=8, loc="best")
    return ax
