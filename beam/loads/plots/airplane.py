"""The airplane on its wheels in two views."""

from typing import TYPE_CHECKING

import numpy as np

from beam.loads.airplane import Airplane
from beam.loads.balance import wheel_position
from beam.loads.case import LEGS, GroundCase, standing
from beam.loads.plots.angles import draw_angles, draw_turnover
from beam.loads.plots.case_loads import draw_loads
from beam.loads.plots.view import FRONT, SIDE, View, unit
from beam.loads.stance import CENTERS, ground_axes
from beam.units import shown, symbol
from materials.checks import Array, one_of, reject
from materials.kinds import instance, instances

if TYPE_CHECKING:
    from matplotlib.axes import Axes

STANDING = "standing"
SIDE_NAMES = {"starboard": "main wheels", "port": "", "nose": "nose wheel"}


def plot_airplane(
    airplane: Airplane,
    case: GroundCase | None = None,
    *,
    axes: "tuple[Axes, Axes] | None" = None,
    units: str = "SI",
) -> "tuple[Axes, Axes]":
    """Draw the airplane on its wheels, from the side and from the front, with the loads of a case.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; the wheel radii are needed.
    case : GroundCase, optional
        Its loads and its attitude are drawn, on the gear at its standing length; None draws the standing
        airplane and its angles.
    axes : tuple of Axes, optional
        Where to draw, side view first; None makes a figure.
    units : str
        "SI" or "US".

    Returns
    -------
    tuple of Axes
        Side view, nose on the left, and front view, starboard on the left. All arrows of a picture have
        one scale, which an arrow of a round size shows.

    Raises
    ------
    ValueError
        If a wheel radius is not known, the case is one of flight, or there are not two axes.
    """
    instance("plot_airplane: airplane", airplane, Airplane)
    one_of("plot_airplane: units", units, ("SI", "US"))
    shown_case = standing(airplane, "none", STANDING, "aft") if case is None else case
    instance("plot_airplane: case", shown_case, GroundCase)
    from matplotlib import axes as drawing

    if axes is None:
        from matplotlib import pyplot as plt

        drawn = plt.subplots(1, 2, figsize=(13, 6.8), width_ratios=(1.3, 1), layout="constrained")[1]
        axes = drawn[0], drawn[1]
    if len(instances("plot_airplane: axes", axes, drawing.Axes)) != 2:
        reject("plot_airplane: axes", f"{len(axes)}", "two, the side view first")
    origin = np.asarray(wheel_position(airplane, shown_case, "starboard", "ground") * (1.0, 0.0, 1.0))
    for view, ax in zip((SIDE, FRONT), axes, strict=True):
        _wheels(ax, airplane, shown_case, view, origin, units)
        if case is not None:
            draw_loads(ax, airplane, case, view, origin, units)
        elif view is SIDE:
            draw_angles(ax, airplane, units)
        else:
            draw_turnover(ax, airplane, units)
        ax.axhline(0.0, color="0.3", lw=1.5, zorder=0)
        ax.set_title(view.title, fontsize=11)
        ax.set_xlabel(f"{view.label} {unit('distance', units)}")
        ax.set_ylabel(f"above ground {unit('distance', units)}")
        ax.set_aspect("equal", adjustable="datalim")
        ax.margins(0.14)
        ax.legend(loc="upper center", bbox_to_anchor=(0.5, -0.12), ncols=2, fontsize=8, frameon=False)
    figure = axes[0].get_figure()
    assert figure is not None
    figure.suptitle(_title(airplane, case, units), fontsize=12)
    return axes


def _title(airplane: Airplane, case: GroundCase | None, units: str) -> str:
    if case is None:
        return f"{airplane.name}: standing, shocks and tires static"
    shock, mass = case.shock, f"{shown(case.mass, 'mass', units):.0f} {symbol('mass', units)}"
    if shock == "landing":
        low, high = 100 * min(case.strokes), 100 * max(case.strokes)
        span = f"{low:.0f} to {high:.0f}" if low < high else f"{low:.0f}"
        shock = f"at {span} % of its stroke, drawn static"
    return (
        f"{airplane.name}: {case.paragraph} {case.condition}\n{case.level} loads, {mass}, "
        f"{case.cg} c.g., shock {shock}, nose up {case.attitude_deg:.1f} deg"
    )


def _wheels(ax: "Axes", airplane: Airplane, case: GroundCase, view: View, origin: Array, units: str) -> None:
    """Wheels, the range of the c.g., and the c.g. of the case."""
    from matplotlib.patches import Circle, Rectangle

    for leg in LEGS:
        kind = "nose" if leg == "nose" else "main"
        radius = float(shown(airplane.required(f"{kind}_wheel_radius", "the picture"), "distance", units))
        axle = wheel_position(airplane, case, leg, "axle") - origin
        x, y = shown(view.page(axle), "distance", units)
        if view is SIDE:
            ax.add_patch(Circle((x, y), radius, fc="0.88", ec="0.4"))
            ax.plot(x, y, "+", color="0.3")
        else:
            ax.add_patch(Rectangle((x - radius / 4, y - radius), radius / 2, 2 * radius, ec="0.4", fc="0.88"))
        name = SIDE_NAMES[leg] if view is SIDE else leg
        # beside the lines of the standing airplane's angles; above the wheel, clear of the arrows of a case
        away = 0.8 * radius if view is SIDE and case.condition == STANDING else 0.0
        side = "left" if away else "center"
        ax.text(
            x + away, y + (0.8 if away else 1.15) * radius, name, ha=side, fontsize=8, color="0.35", zorder=3
        )
    reach = 0.45 * airplane.wheelbase if view is SIDE else 1.3 * float(airplane.point("main_contact")[1])
    low = 0.0 if view is SIDE else -reach
    ax.plot(shown([low, reach], "distance", units), [0.0, 0.0], alpha=0.0)
    center = {cg: _center(airplane, case, cg) - origin for cg in CENTERS}
    ends = shown(view.page([center[cg] for cg in CENTERS]), "distance", units)
    ax.plot(*ends.T, "k-o", mfc="w", lw=3, label="c.g. range")
    if case.condition != STANDING:
        here = shown(view.page(center[case.cg]), "distance", units)
        ax.plot(*here, "ko", ls="none", label=f"c.g. of the case: {case.cg}")


def _center(airplane: Airplane, case: GroundCase, cg: str) -> Array:
    """A c.g. from that of the case, on ground axes."""
    return ground_axes(airplane.point(f"cg_{cg}") - airplane.point(f"cg_{case.cg}"), case.attitude_deg)
