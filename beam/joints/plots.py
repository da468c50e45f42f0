"""Plots of joints. Every function draws on axes and never saves."""

from typing import Annotated, Any, Literal

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle

from beam.joints.assembly import load_factors
from beam.joints.bond import BondedSleeve
from beam.joints.fitting import NOISE, Fitting, free_body
from beam.joints.joint_rows import JointLoads
from beam.plots import BLUE, GREEN, RED, one_or_new
from beam.strength import Requirement, Service
from beam.strength.check import Level
from beam.strut import PointLoads, Strut
from beam.units import shown, symbol
from materials.checks import Array, Limits, checked, reject

__all__ = ["plot_bond_stress", "plot_free_body"]

ALONG, AROUND, PEEL = BLUE, GREEN, RED


@checked
def plot_bond_stress(
    joint: BondedSleeve,
    loads: JointLoads,
    service: Service,
    *,
    case: Annotated[int, Limits("-", at_least=0)] = 0,
    ax: Axes | None = None,
    units: Literal["SI", "US"] = "SI",
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
    ax : Axes, optional
        Where to draw; None makes a figure.
    units : {"SI", "US"}
        Units to show.

    Returns
    -------
    Axes
        The axes.

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
    ax = one_or_new(ax)
    x, shear = joint.shear_stress(loads, service)
    peel = joint.peel(loads, service)[1][case]
    place = np.hypot(*np.moveaxis(shear[case], -1, 0)).max(axis=-1).argmax()
    none = JointLoads(force=[[0.0, 0.0, 0.0]])
    alone = joint.shear_stress(none, service)[1][0, place, :, 0]
    curve = joint.adhesive.at(temperature=service.temperature, moisture=service.moisture)
    drawn_at = shown(x, "length", units)
    length, pressure = symbol("length", units), symbol("pressure", units)
    ax.axhline(0.0, color="0.7", lw=0.8)
    ax.plot(
        drawn_at,
        shown(shear[case, place, :, 0], "pressure", units),
        color=ALONG,
        label="shear along the tube",
    )
    ax.plot(drawn_at, shown(alone, "pressure", units), color=ALONG, ls=":", label="of it, mismatch alone")
    around = shown(shear[case, place, :, 1], "pressure", units)
    ax.plot(drawn_at, around, color=AROUND, ls="--", label="shear around the tube")
    ax.plot(drawn_at, shown(peel[place], "pressure", units), color=PEEL, ls="-.", label="peel, tension +")
    lines = ((curve.shear_strength, ALONG, "shear strength"), (curve.peel_strength, PEEL, "peel strength"))
    for above, (strength, color, said) in enumerate(sorted(lines)):
        height = float(shown(strength, "pressure", units))
        ax.axhline(height, color=color, lw=0.8)
        ax.annotate(
            said, (0.5, height), xycoords=("axes fraction", "data"), xytext=(0, 3 if above else -3),
            textcoords="offset points", color=color, fontsize=8, ha="center", va="bottom" if above else "top",
        )  # fmt: skip
    ax.axhline(-float(shown(curve.shear_strength, "pressure", units)), color=ALONG, lw=0.8)
    y2, y3 = shown(joint.places[place], "length", units).round(2) + 0.0
    level = loads.level[case] if loads.level else "limit"
    ax.set_title(
        f"{joint.name}, case {loads.cases[case]} at {level} load, {service.name}\n"
        f"linear adhesive at y2 = {y2:g}, y3 = {y3:g} {length}", fontsize=10,
    )  # fmt: skip
    ax.set(
        xlabel=f"distance from the mouth of the fitting [{length}]",
        ylabel=f"stress of the adhesive [{pressure}]",
    )
    ax.margins(x=0.0, y=0.1)
    ax.legend(fontsize=8, loc="best")
    return ax


@checked
def plot_free_body(
    fitting: Fitting,
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    *,
    case: Annotated[int, Limits("-", at_least=0)] = 0,
    label: str | None = None,
    level: Level = "ultimate",
    across: Literal["e2", "e3"] = "e2",
    units: Literal["SI", "US"] = "SI",
    ax: Axes | None = None,
) -> Axes:
    """Draw the free body of a fitting: every force on it in one plane of the strut axes, all components below.

    Parameters
    ----------
    fitting : Fitting
        The fitting.
    strut : Strut
        The strut.
    loads : PointLoads
        Its loads.
    requirement : Requirement
        Factor of safety and deflection allowance.
    case : int
        Number of the load case [-].
    label : str, optional
        Its label, for the title.
    level : {"limit", "ultimate"}
        Which load is drawn.
    across : {"e2", "e3"}
        Axis that points up in the picture; e1, along the strut, points to the right.
    units : str
        "SI" or "US".
    ax : Axes, optional
        Where to draw; new axes if not given.

    Returns
    -------
    Axes
        The axes.

    Raises
    ------
    ValueError
        If there is no such case, or a case at ultimate load is asked for at limit load.

    Examples
    --------
    >>> import matplotlib.pyplot as plt
    >>> from beam.joints.plots import plot_free_body  # plot_free_body(fitting, strut, loads, requirement, ax=plt.gca())
    """
    if case >= len(loads.force):
        reject("plot_free_body: case [-]", case, f"< {len(loads.force)}, the number of cases")
    factor = float(load_factors(requirement, loads)[level][case])
    if np.isnan(factor):
        reject("plot_free_body: level", level, '"ultimate"', f"case {case} is given at ultimate load")
    body, up = free_body(strut, loads, fitting), 1 if across == "e2" else 2
    wrenches = factor * body.wrench[case]
    wrenches[:, 3:] -= np.cross(body.arm[case], wrenches[:, :3])  # from the axis to where the load acts
    wrenches[abs(wrenches) < NOISE * abs(wrenches).max(initial=0.0)] = 0.0
    points = body.arm[case] + np.outer(body.stations, [1.0, 0.0, 0.0])
    force, moment = shown(wrenches[:, :3], "force", units), shown(wrenches[:, 3:], "moment", units)
    place, edges = shown(points[:, [0, up]], "length", units), np.array([fitting.start, fitting.end])
    depth = float(shown(strut.mold_line.at(edges)[up - 1].max(), "length", units))
    start, end = shown(edges, "length", units).tolist()
    longest = 0.9 * max(end - start, depth) / max(float(np.hypot(force[:, 0], force[:, up]).max()), 1e-12)
    ax = one_or_new(ax)
    turn, out_of_plane = (1.0, 5) if up == 1 else (-1.0, 4)
    ax.add_patch(Rectangle((start, -depth / 2), end - start, depth, fc="#EEEEEE", ec="0.5"))
    ax.axhline(0.0, color="0.7", lw=0.8, ls="-.")
    handles: list[Any] = []
    for i, (name, side) in enumerate(zip(body.names, body.sides, strict=True)):
        color = {"inboard": ALONG, "outboard": AROUND}.get(side, PEEL)
        letter, at, pull = "ABCDEFGHIJ"[i % 10], place[i], longest * force[i, [0, up]]
        away = pull[0] * {"inboard": -1.0, "outboard": 1.0}.get(side, 0.0) > 0.0
        tail, head = (at, at + pull) if away else (at - pull, at)  # never across the fitting
        ax.annotate(
            "", head, tail, arrowprops={"arrowstyle": "-|>", "color": color, "lw": 2.0, "mutation_scale": 16}
        )
        outer, inner = (head, tail) if away else (tail, head)
        letter_at = outer + 0.06 * depth * (outer - inner) / max(float(np.linalg.norm(pull)), 1e-12)
        ax.text(
            float(letter_at[0]),
            float(letter_at[1]),
            letter,
            color=color,
            fontsize=12,
            weight="bold",
            ha="center",
            va="center",
        )
        ax.update_datalim([tail, head])
        about = turn * moment[i, out_of_plane - 3]
        if abs(about) > 0.02 * abs(moment).max():
            _curved(ax, at, 0.14 * depth, about, color)
        F, M = (", ".join(map(_text, row)) for row in (force[i], moment[i]))
        text = f"{letter}  {name}:  F ({F}) {symbol('force', units)},  M ({M}) {symbol('moment', units)}"
        handles.append(Line2D([], [], color=color, lw=2, label=text))
    given = "given at ultimate load" if loads.at_ultimate[case] else "given at limit load"
    title = (
        f"{fitting.name}, {label or f'case {case}'}\n{level.upper()} load = {factor:.4g} x the case, {given}"
    )
    ax.set_title(title, fontsize=10)
    unit = symbol("length", units)
    ax.set(xlabel=f"e1, from the root [{unit}]", ylabel=f"{across} [{unit}]", aspect="equal")
    ax.margins(0.15)
    ax.autoscale_view()
    ax.legend(handles=handles, loc="upper center", bbox_to_anchor=(0.5, 0.0), borderaxespad=5.5, fontsize=8,
              frameon=False, title_fontsize=8,
              title="On the fitting, strut axes 1, 2, 3; moments about the point drawn")  # fmt: skip
    return ax


def _text(value: float) -> str:
    """A component with its sign, to three figures or to the unit."""
    if value == 0.0:
        return "0"
    return f"{value:+.0f}" if abs(value) >= 100.0 else f"{value:+#.3g}"


def _curved(ax: Axes, at: Array, radius: float, about: float, color: str) -> None:
    """A moment as three quarters of a circle, counter-clockwise where positive."""
    angle = np.radians(np.linspace(-60.0, 200.0, 40)[:: 1 if about > 0.0 else -1])
    x, y = at[0] + radius * np.cos(angle), at[1] + radius * np.sin(angle)
    ax.plot(x, y, color=color, lw=1.5)
    ax.annotate("", (x[-1], y[-1]), (x[-4], y[-4]),
                arrowprops={"arrowstyle": "-|>", "color": color, "lw": 1.5, "mutation_scale": 13})  # fmt: skip
