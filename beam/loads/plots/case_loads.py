"""Wheel loads of a case and what balances them at the c.g., all to one scale."""

from typing import TYPE_CHECKING

import numpy as np
from scipy.constants import g

from beam.loads.airplane import Airplane
from beam.loads.balance import balance, wheel_positions
from beam.loads.case import GroundCase
from beam.loads.plots.view import AT_CG, GRAY, WHEEL_LOAD, View, arrow, said, turn, unit
from beam.units import shown, symbol
from materials.checks import Array

if TYPE_CHECKING:
    from matplotlib.axes import Axes

LONGEST_ARROW = 0.75
"""Longest arrow over the height of the c.g. [-]."""


def draw_loads(
    ax: "Axes", airplane: Airplane, case: GroundCase, view: View, origin: Array, units: str
) -> None:
    """Draw the loads of a case in one view, each arrow ending where it acts.

    Parameters
    ----------
    ax : Axes
        Where to draw.
    airplane : Airplane
        The airplane sheet.
    case : GroundCase
        The case.
    view : View
        The view.
    origin : ndarray, shape (3,)
        Point on the ground between the main wheels, from the c.g., on ground axes [m].
    units : str
        "SI" or "US".
    """
    found, weight = balance(airplane, [case])[0], case.mass * g
    force = np.array([(w.Fx, w.Fy, w.Fz) for w in case.wheels])
    at_cg = np.array([0.0, 0.0, case.lift_ratio * weight]) - weight * found.load_factor
    longest = max(float(abs(force).max()), float(abs(at_cg).max()))
    scale = LONGEST_ARROW * -float(origin[2]) / longest
    least = 1e-9 * weight

    groups: dict[tuple[float, float, int], list[float]] = {}
    places = shown(view.page(wheel_positions(airplane, [case]) - origin), "distance", units)
    for place, load in zip(places, view.page(force), strict=True):
        for axis in (0, 1):
            if abs(load[axis]) > least:
                at = round(float(place[0]), 9), round(float(place[1]), 9), axis
                groups.setdefault(at, []).append(float(load[axis]))
    for (right, up, axis), loads in groups.items():
        text = " / ".join(said(abs(load), "force", units) for load in dict.fromkeys(loads))
        if len(loads) > 1 and len(set(loads)) == 1:
            text = f"{len(loads)} x {text}"
        along = shown(np.eye(2)[axis] * loads[0] * scale, "distance", units)
        arrow(ax, (right, up), along, text, WHEEL_LOAD)

    center, inertia = shown(view.page(-origin), "distance", units), view.page(at_cg)
    for axis, factor in enumerate(view.page(found.load_factor)):
        if abs(inertia[axis]) > least:
            text = f"{said(abs(inertia[axis]), 'force', units)} = {abs(factor):.2f} W"
            if axis == 1 and case.lift_ratio > 0:
                text += f" - lift {case.lift_ratio:.2f} W"
            along = shown(np.eye(2)[axis] * inertia[axis] * scale, "distance", units)
            arrow(ax, center, along, text, AT_CG)
    _key(ax, longest, scale, units)

    symbols = unit("force", units)
    places_said = " and ".join(sorted({wheel.applied_at for wheel in case.wheels}))
    ax.plot([], [], color=WHEEL_LOAD, label=f"wheel load, at the {places_said} {symbols}")
    W = f"W = {said(weight, 'force', units)}"
    ax.plot([], [], color=AT_CG, label=f"inertia at the c.g. less lift {symbols}, {W}")
    moment = view.turning(found.inertia_moment)
    size = said(abs(moment), "moment", units)
    way = ""
    if abs(moment) > 1e-6 * weight * airplane.wheelbase:
        way = f" ({view.ways[moment < 0]})"
        turn(ax, center, 0.13 * float(center[1]), moment > 0, AT_CG)
    ax.plot([], [], " ", label=f"{view.turn} inertia moment {size} {symbol('moment', units)}{way}")
    for wheel in case.wheels:
        couples = {name: getattr(wheel, name) for name in ("Mx", "My", "Mz") if getattr(wheel, name)}
        if couples:
            listed = ", ".join(f"{name} {said(value, 'moment', units)}" for name, value in couples.items())
            ax.plot([], [], " ", label=f"couple on {wheel.leg} wheel {unit('moment', units)}: {listed}")


def _key(ax: "Axes", longest: float, scale: float, units: str) -> None:
    """Draw an arrow of a round size, to read the others by."""
    most = 0.5 * float(shown(longest, "force", units))
    step = 10.0 ** np.floor(np.log10(most))
    size = max(step * k for k in (1, 2, 5) if step * k <= most)
    length = size / float(shown(1.0, "force", units)) * scale
    low = -1.25 * longest * scale
    text = f"scale: {size:g} {symbol('force', units)}"
    head = shown([length / 2, low], "distance", units)
    arrow(ax, head, shown([length, 0.0], "distance", units), text, GRAY)
