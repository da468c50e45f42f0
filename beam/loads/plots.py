"""The airplane from the side and from behind: wheels, c.g. range, angles, and the loads of a case."""

from typing import TYPE_CHECKING

import numpy as np
from scipy.constants import g

from beam.loads.airplane import Airplane
from beam.loads.balance import balance, wheel_position
from beam.loads.case import LEGS, GroundCase, standing
from beam.loads.layout import tip_back_angle, turnover_angle
from beam.loads.stance import ground_axes, stance
from materials.checks import Array

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WHEEL_LOAD, AT_CG, ANGLE = "tab:red", "tab:blue", "tab:green"
SIDE, BEHIND = 0, 1
"""The horizontal component that a view shows: x from the side, y from behind."""

SIDE_NAMES = {"starboard": "main wheels", "port": "", "nose": "nose wheel"}
PAPER = {"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 1.0}


def plot_airplane(
    airplane: Airplane, case: GroundCase | None = None, *, axes: "tuple[Axes, Axes] | None" = None
) -> "tuple[Axes, Axes]":
    """Draw the airplane on its wheels, from the side and from behind, with the loads of a case.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; the wheel radii are needed.
    case : GroundCase, optional
        Its loads and its attitude are drawn; None draws the standing airplane and its angles.
    axes : tuple of Axes, optional
        Where to draw, side view first; None makes a figure.

    Returns
    -------
    tuple of Axes
        Side view and view from behind.
    """
    if axes is None:
        from matplotlib import pyplot as plt

        side, behind = plt.subplots(1, 2, figsize=(13, 6.8), width_ratios=(1.3, 1), layout="constrained")[1]
        axes = side, behind
    shown = standing(airplane, "", "standing", "aft") if case is None else case
    for view, ax in enumerate(axes):
        _wheels(ax, airplane, shown, view)
        if case is None:
            (_side_angles, _turnover)[view](ax, airplane)
        else:
            _loads(ax, airplane, case, view)
        ax.axhline(0.0, color="0.3", lw=1.5, zorder=0)
        ax.set_title(("side view, nose to the left", "view from behind")[view], fontsize=11)
        ax.set(xlabel=("aft of main contacts [m]", "to starboard [m]")[view], ylabel="above ground [m]")
        ax.set_aspect("equal", adjustable="datalim")
        ax.margins(0.14)
        ax.legend(loc="upper center", bbox_to_anchor=(0.5, -0.12), ncols=2, fontsize=8, frameon=False)
    figure = axes[0].get_figure()
    assert figure is not None
    figure.suptitle(_title(airplane, case), fontsize=12)
    return axes


def _title(airplane: Airplane, case: GroundCase | None) -> str:
    if case is None:
        return f"{airplane.name}: standing, shocks and tires static"
    shock = {"landing": "at 25 to 100 % of its stroke"}.get(case.shock, case.shock)
    return (
        f"{airplane.name}: {case.paragraph} {case.condition}\n{case.level} loads, {case.mass:g} kg, "
        f"{case.cg} c.g., shock {shock}, nose up {case.attitude_deg:.1f} deg"
    )


def _origin(airplane: Airplane, case: GroundCase) -> Array:
    """Point on the ground between the main wheels, from the c.g. of the case, on ground axes."""
    return np.asarray(wheel_position(airplane, case, "starboard", "ground") * (1.0, 0.0, 1.0))


def _wheels(ax: "Axes", airplane: Airplane, case: GroundCase, view: int) -> None:
    """Wheels and the range of the c.g."""
    from matplotlib.patches import Circle, Rectangle

    origin = _origin(airplane, case)
    for leg in LEGS:
        axle = wheel_position(airplane, case, leg, "axle") - origin
        radius = airplane.required(f"{'nose' if leg == 'nose' else 'main'}_wheel_radius", "the picture")
        if view == SIDE:
            ax.add_patch(Circle((axle[0], axle[2]), radius, fc="0.88", ec="0.4"))
            ax.plot(axle[0], axle[2], "+", color="0.3")
        else:
            low = (axle[1] - radius / 4, axle[2] - radius)
            line, fill = (":", "none") if leg == "nose" else ("-", "0.88")
            ax.add_patch(Rectangle(low, radius / 2, 2 * radius, ec="0.4", fc=fill, ls=line))
        name, away = (leg, 0.0) if view == BEHIND else (SIDE_NAMES[leg], 0.8 * radius)
        at = (axle[view] + away, axle[2] + (0.8 if away else 1.15) * radius)
        ax.text(*at, name, ha="left" if away else "center", fontsize=8, color="0.35", zorder=3)
    reach = 0.45 * airplane.wheelbase if view == SIDE else 1.3 * float(airplane.point("main_contact")[1])
    ax.plot([-reach * view, reach], [0.0, 0.0], alpha=0.0)
    ends = [_center(airplane, case, cg) - origin for cg in ("forward", "aft")]
    ax.plot(
        *zip(*[(end[view], end[2]) for end in ends], strict=True), "k-o", mfc="w", lw=3, label="c.g. range"
    )


def _center(airplane: Airplane, case: GroundCase, cg: str) -> Array:
    """A c.g. from that of the case, on ground axes."""
    return ground_axes(airplane.point(f"cg_{cg}") - airplane.point(f"cg_{case.cg}"), case.attitude_deg)


def _loads(ax: "Axes", airplane: Airplane, case: GroundCase, view: int) -> None:
    """Wheel loads and what balances them at the c.g., each arrow ending where it acts; one scale."""
    origin, found = _origin(airplane, case), balance(airplane, [case])[0]
    weight = case.mass * g
    forces: dict[tuple[float, float, int], list[float]] = {}
    for wheel in case.wheels:
        at = wheel_position(airplane, case, wheel.leg, wheel.applied_at) - origin
        for axis, force in ((view, (wheel.Fx, wheel.Fy)[view]), (2, wheel.Fz)):
            if abs(force) > 1e-9 * weight:
                forces.setdefault((round(at[view], 9), round(at[2], 9), axis), []).append(force)
    at_cg = np.array([0.0, 0.0, case.lift_ratio * weight]) - weight * found.load_factor
    longest = max([abs(force) for group in forces.values() for force in group] + list(abs(at_cg[[view, 2]])))
    scale = 0.75 * float(-origin[2]) / longest
    for (across, up, axis), group in forces.items():
        text = " / ".join(f"{abs(force) / 1e3:.2f}" for force in dict.fromkeys(group))
        if len(group) > 1 and len(set(group)) == 1:
            text = f"{len(group)} x {text}"
        _arrow(ax, (across, up), axis, group[0] * scale, text, WHEEL_LOAD)
    for axis in (view, 2):
        if abs(at_cg[axis]) > 1e-9 * weight:
            text = f"{abs(at_cg[axis]) / 1e3:.2f} = {abs(found.load_factor[axis]):.2f} W"
            if axis == 2 and case.lift_ratio > 0:
                text += f" - lift {case.lift_ratio:.2f} W"
            _arrow(ax, (float(-origin[view]), float(-origin[2])), axis, at_cg[axis] * scale, text, AT_CG)
    ax.plot([], [], color=WHEEL_LOAD, label="wheel load [kN]")
    ax.plot([], [], color=AT_CG, label="inertia at the c.g. [kN]")
    name, moment = (("pitching", "rolling")[view], float(found.inertia_moment[1 - view]) / 1e3)
    sense = (("nose down", "nose up"), ("starboard wheel down", "port wheel down"))[view]
    turn = f" ({sense[moment > 0]})" if abs(moment) >= 0.005 else ""
    ax.plot([], [], " ", label=f"{name} inertia moment {abs(moment):.2f} kN m{turn}")


def _arrow(ax: "Axes", at: tuple[float, float], axis: int, length: float, text: str, color: str) -> None:
    """Arrow along one axis that ends at a point, with its number at the tail."""
    point = np.array(at)
    tail = point - np.array([0.0, length] if axis == 2 else [length, 0.0])
    ax.annotate("", xy=at, xytext=tuple(tail), arrowprops={"arrowstyle": "-|>", "color": color, "lw": 2})
    ax.plot(*tail, alpha=0.0)
    outward = np.sign(tail - point)
    side = "center" if axis == 2 else ("left" if outward[0] > 0 else "right")
    edge = "center" if axis != 2 else ("bottom" if outward[1] > 0 else "top")
    ax.annotate(
        text,
        tuple(tail),
        xytext=(4 * outward[0], 4 * outward[1] if axis == 2 else 8.0),  # clear of the ground line
        textcoords="offset points",
        color=color,
        fontsize=9,
        ha=side,
        va=edge,
        bbox=PAPER,
    )


def _side_angles(ax: "Axes", airplane: Airplane) -> None:
    """Arms of the aft c.g., tip-back angle and tail-down angle."""
    at = stance(airplane, "aft")
    tip = float(tip_back_angle(at.main_arm, at.height))
    ax.plot([0, 0], [0, 1.15 * at.height], ":", color=ANGLE)
    ax.plot(
        [0, -at.main_arm], [0, at.height], "-", color=ANGLE, label=f"tip-back angle, aft c.g.: {tip:.1f} deg"
    )
    if airplane.tail_down_angle_deg is not None:
        pitch = airplane.tail_down_angle_deg - airplane.level_attitude_deg
        reach = 0.6 * airplane.wheelbase
        name = f"tail-down angle: {pitch:.1f} deg"
        ax.plot([0, reach], [0, reach * np.tan(np.radians(pitch))], "--", color=ANGLE, label=name)
    low = -0.15 * at.height
    for left, right, name in ((-at.wheelbase, -at.main_arm, "a"), (-at.main_arm, 0.0, "b")):
        _size(ax, left, right, low, f"{name} = {right - left:.3f} m")
    ax.plot([-at.main_arm] * 2, [low, at.height], ":", color="0.6")
    ax.text(-at.main_arm, at.height / 2, f"h = {at.height:.3f} m ", ha="right", fontsize=9, color="0.3")
    ax.plot(0, 2.2 * low, alpha=0.0)


def _turnover(ax: "Axes", airplane: Airplane) -> None:
    """Track, and the turnover angle, which no view shows in true size."""
    worst = max(
        float(turnover_angle(at.nose_arm, at.wheelbase, at.half_track, at.height))
        for at in (stance(airplane, cg) for cg in ("forward", "aft"))
    )
    at = stance(airplane, "aft")
    low = -0.15 * at.height
    _size(ax, -at.half_track, at.half_track, low, f"track = {2 * at.half_track:.3f} m")
    ax.plot([], [], " ", label=f"turnover angle about the line nose to main wheel: {worst:.1f} deg")
    ax.plot(0, 2.2 * low, alpha=0.0)


def _size(ax: "Axes", left: float, right: float, height: float, text: str) -> None:
    """Arrow of a dimension, with its number below."""
    arrow = {"arrowstyle": "<->", "color": "0.4", "shrinkA": 0.0, "shrinkB": 0.0}
    ax.annotate("", xy=(left, height), xytext=(right, height), arrowprops=arrow)
    ax.text(
        (left + right) / 2, 1.35 * height, text, ha="center", va="top", fontsize=9, color="0.3", bbox=PAPER
    )
