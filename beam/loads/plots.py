"""The airplane from the side and from the front, with its angles or the loads of a case.

side view                          front view
nose left, tail right              starboard left, port right
the viewer stands to port          the viewer stands ahead
"""

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from matplotlib import pyplot as plt
from matplotlib.axes import Axes
from matplotlib.patches import Circle, Rectangle
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.loads.airplane import CENTERS, Airplane
from beam.loads.balance import balance, wheel_position, wheel_positions
from beam.loads.case import LEGS, GroundCase, standing
from beam.loads.layout import tip_back_angle, turnover_angle
from beam.loads.stance import center, ground_axes, stance
from beam.loads.weight_and_balance import CgRange
from beam.units import shown, symbol
from materials.checks import Array, checked

__all__ = ["plot_airplane", "plot_cg_range"]

WHEEL_LOAD, AT_CG, ANGLE, GRAY = "tab:red", "tab:blue", "tab:green", "0.35"
PAPER = {"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 1.0}
DIGITS = {"SI": {"force": 2, "moment": 2, "distance": 3}, "US": {"force": 0, "moment": 0, "distance": 2}}
LEG_NAMES = {"starboard": "main wheels", "port": "", "nose": "nose wheel"}

LONGEST_ARROW = 0.75
"""Longest arrow over the height of the c.g. [-]."""


@dataclass(frozen=True, kw_only=True)
class _View:
    """One view: ground axis across the page (0 aft, 1 starboard), its sense to the right, names of the two turns."""

    title: str
    across: int
    sense: float
    label: str
    turn: str
    ways: tuple[str, str]

    def page(self, point: ArrayLike) -> Array:
        """Coordinates on the page (..., 2) of points on ground axes (..., 3)."""
        at = np.asarray(point, dtype=float)
        return np.stack([self.sense * at[..., self.across], at[..., 2]], axis=-1)

    def turning(self, moment: Array) -> float:
        """Component of a moment on ground axes (3,) toward the viewer, positive against the clock."""
        # right x up points to the viewer: x cross z = -y, and -y cross z = -x
        return -float(moment[1 - self.across])


SIDE = _View(
    title="side view, nose on the left",
    across=0,
    sense=1.0,
    label="aft of main contacts",
    turn="pitching",
    ways=("nose down", "nose up"),
)
FRONT = _View(
    title="front view, starboard on the left",
    across=1,
    sense=-1.0,
    label="to port",
    turn="rolling",
    ways=("starboard wheel down", "starboard wheel up"),
)


@checked
def plot_airplane(
    airplane: Airplane,
    case: GroundCase | None = None,
    *,
    axes: tuple[Axes, Axes] | None = None,
    units: Literal["SI", "US"] = "SI",
) -> tuple[Axes, Axes]:
    """Draw the airplane on its wheels, from the side and from the front, with the loads of a case.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; the wheel radii are needed.
    case : GroundCase, optional
        Its loads and its attitude are drawn, on the gear at its standing length; None draws the standing airplane
        and its angles.
    axes : pair of Axes, optional
        Where to draw, side view first; None makes a figure.
    units : str
        "SI" or "US".

    Returns
    -------
    pair of Axes
        Side view, nose on the left, and front view, starboard on the left. All arrows of a picture have one scale,
        which an arrow of a round size shows.

    Raises
    ------
    ValueError
        If a wheel radius is not known, or the case is one of flight.

    Examples
    --------
    >>> import matplotlib
    >>> matplotlib.use("Agg")
    >>> from tourer import TOURER  # examples/tourer.py
    >>> side, front = plot_airplane(TOURER)
    >>> front.get_title()
    'front view, starboard on the left'
    """
    if axes is None:
        drawn = plt.subplots(1, 2, figsize=(13, 6.8), width_ratios=(1.3, 1), layout="constrained")[1]
        axes = drawn[0], drawn[1]
    seen = standing(airplane, "none", "standing", "aft") if case is None else case
    origin = wheel_position(airplane, seen, "starboard", "ground") * (1.0, 0.0, 1.0)
    length = f"[{symbol('distance', units)}]"
    for view, ax in zip((SIDE, FRONT), axes, strict=True):
        _draw_wheels(ax, airplane, seen, view, origin, units, free=case is None)
        _draw_centers(ax, airplane, seen, view, origin, units, mark=case is not None)
        if case is not None:
            _draw_loads(ax, airplane, case, view, origin, units)
        elif view is SIDE:
            _draw_angles(ax, airplane, units)
        else:
            _draw_turnover(ax, airplane, units)
        ax.axhline(0.0, color="0.3", lw=1.5, zorder=0)
        ax.set_title(view.title, fontsize=11)
        ax.set_xlabel(f"{view.label} {length}")
        ax.set_ylabel(f"above ground {length}")
        ax.set_aspect("equal", adjustable="datalim")
        ax.margins(0.14)
        ax.legend(loc="upper center", bbox_to_anchor=(0.5, -0.12), ncols=2, fontsize=8, frameon=False)
    figure = axes[0].get_figure()
    assert figure is not None
    figure.suptitle(_title(airplane, case, units), fontsize=12)
    return axes


def _title(airplane: Airplane, case: GroundCase | None, units: str) -> str:
    """Airplane, paragraph, condition, level, mass, c.g., shock and attitude."""
    if case is None:
        return f"{airplane.name}: standing, shocks and tires static"
    shock, mass = str(case.shock), f"{shown(case.mass, 'mass', units):.0f} {symbol('mass', units)}"
    if case.shock == "landing":
        low, high = 100 * min(case.strokes), 100 * max(case.strokes)
        span = f"{low:.0f} to {high:.0f}" if low < high else f"{low:.0f}"
        shock = f"at {span} % of its stroke, drawn static"
    return (
        f"{airplane.name}: {case.paragraph} {case.condition}\n{case.level} loads, {mass}, "
        f"{case.cg} c.g., shock {shock}, nose up {case.attitude_deg:.1f} deg"
    )


def _draw_wheels(
    ax: Axes, airplane: Airplane, case: GroundCase, view: _View, origin: Array, units: str, *, free: bool
) -> None:
    """Draw the wheels with their names: `free` of arrows, beside the lines of the angles; else above the wheels."""
    for leg in LEGS:
        kind = "nose" if leg == "nose" else "main"
        radius = float(shown(airplane.required(f"{kind}_wheel_radius", "the picture"), "distance", units))
        x, y = shown(
            view.page(wheel_position(airplane, case, leg, "axle") - origin), "distance", units
        ).tolist()
        beside = view is SIDE and free
        if view is SIDE:
            ax.add_patch(Circle((x, y), radius, fc="0.88", ec="0.4"))
            ax.plot(x, y, "+", color="0.3")
        else:
            ax.add_patch(Rectangle((x - radius / 4, y - radius), radius / 2, 2 * radius, ec="0.4", fc="0.88"))
        ax.text(
            x + (0.8 * radius if beside else 0.0),
            y + (0.8 if beside else 1.15) * radius,
            LEG_NAMES[leg] if view is SIDE else leg,
            ha="left" if beside else "center",
            fontsize=8,
            color="0.35",
            zorder=3,
        )


def _draw_centers(
    ax: Axes, airplane: Airplane, case: GroundCase, view: _View, origin: Array, units: str, *, mark: bool
) -> None:
    """Draw the range of the c.g., `mark` that of the case, and let the axes reach beyond the wheels."""
    reach = 0.45 * airplane.wheelbase if view is SIDE else 1.3 * float(airplane.main_contact[1])
    low = 0.0 if view is SIDE else -reach
    ax.plot(shown([low, reach], "distance", units), [0.0, 0.0], alpha=0.0)
    here = center(airplane, case.cg)
    turned = ground_axes([center(airplane, cg) - here for cg in CENTERS], case.attitude_deg)
    ends = shown(view.page(turned - origin), "distance", units)
    ax.plot(*ends.T, "k-o", mfc="w", lw=3, label="c.g. range")
    if mark:
        ax.plot(*ends[CENTERS.index(case.cg)], "ko", ls="none", label=f"c.g. of the case: {case.cg}")


def _draw_angles(ax: Axes, airplane: Airplane, units: str) -> None:
    """Draw the arms of the aft c.g., the tip-back angle and the tail-down angle in the side view."""
    at, length = stance(airplane, "aft"), symbol("distance", units)
    base, b, h = (float(shown(arm, "distance", units)) for arm in (at.wheelbase, at.main_arm, at.height))
    tip = float(tip_back_angle(at.main_arm, at.height))
    ax.plot([0, 0], [0, 1.15 * h], ":", color=ANGLE)
    ax.plot([0, -b], [0, h], "-", color=ANGLE, label=f"tip-back angle, aft c.g.: {tip:.1f} deg")
    if airplane.tail_down_angle_deg is not None:
        pitch = airplane.tail_down_angle_deg - airplane.level_attitude_deg
        rise = 0.6 * base * np.tan(np.radians(pitch))
        ax.plot([0, 0.6 * base], [0, rise], "--", color=ANGLE, label=f"tail-down angle: {pitch:.1f} deg")
    low = -0.15 * h
    for left, right, name, arm in ((-base, -b, "a", at.nose_arm), (-b, 0.0, "b", at.main_arm)):
        _draw_dimension(ax, left, right, low, f"{name} = {_text(arm, 'distance', units)} {length}")
    ax.plot([-b, -b], [low, h], ":", color="0.6")
    height = f"h = {_text(at.height, 'distance', units)} {length} "
    ax.text(-b, h / 2, height, ha="right", fontsize=9, color="0.3")
    ax.plot(0, 2.2 * low, alpha=0.0)


def _draw_turnover(ax: Axes, airplane: Airplane, units: str) -> None:
    """Draw the track in the front view, and name the turnover angle, which no view shows in true size."""
    stances = [stance(airplane, cg) for cg in CENTERS]
    worst = max(float(turnover_angle(s.nose_arm, s.wheelbase, s.half_track, s.height)) for s in stances)
    half, low = shown([stances[0].half_track, -0.15 * stances[1].height], "distance", units).tolist()
    track = _text(2 * stances[0].half_track, "distance", units)
    _draw_dimension(ax, -half, half, low, f"track = {track} {symbol('distance', units)}")
    ax.plot([], [], " ", label=f"turnover angle about the line nose to main wheel: {worst:.1f} deg")
    ax.plot(0, 2.2 * low, alpha=0.0)


def _draw_loads(
    ax: Axes, airplane: Airplane, case: GroundCase, view: _View, origin: Array, units: str
) -> None:
    """Draw wheel loads and inertia of a case to one scale, each arrow ending where it acts; say moments in words."""
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
        text = " / ".join(_text(abs(load), "force", units) for load in dict.fromkeys(loads))
        if len(loads) > 1 and len(set(loads)) == 1:
            text = f"{len(loads)} x {text}"
        along = shown(np.eye(2)[axis] * loads[0] * scale, "distance", units)
        _draw_arrow(ax, (right, up), along, text, WHEEL_LOAD)

    middle, inertia = shown(view.page(-origin), "distance", units), view.page(at_cg)
    for axis, factor in enumerate(view.page(found.load_factor)):
        if abs(inertia[axis]) > least:
            text = f"{_text(abs(inertia[axis]), 'force', units)} = {abs(factor):.2f} W"
            if axis == 1 and case.lift_ratio > 0:
                text += f" - lift {case.lift_ratio:.2f} W"
            along = shown(np.eye(2)[axis] * inertia[axis] * scale, "distance", units)
            _draw_arrow(ax, middle, along, text, AT_CG)
    _draw_scale(ax, longest, scale, units)

    newton, newton_meter = symbol("force", units), symbol("moment", units)
    applied = " and ".join(sorted({wheel.applied_at for wheel in case.wheels}))
    ax.plot([], [], color=WHEEL_LOAD, label=f"wheel load, at the {applied} [{newton}]")
    W = f"W = {_text(weight, 'force', units)}"
    ax.plot([], [], color=AT_CG, label=f"inertia at the c.g. less lift [{newton}], {W}")
    moment, way = view.turning(found.inertia_moment), ""
    if abs(moment) > 1e-6 * weight * airplane.wheelbase:
        way = f" ({view.ways[moment < 0]})"
        _draw_turn(ax, middle, 0.13 * float(middle[1]), moment > 0, AT_CG)
    size = _text(abs(moment), "moment", units)
    ax.plot([], [], " ", label=f"{view.turn} inertia moment {size} {newton_meter}{way}")
    for wheel in case.wheels:
        couples = {name: getattr(wheel, name) for name in ("Mx", "My", "Mz") if getattr(wheel, name)}
        if couples:
            listed = ", ".join(f"{name} {_text(value, 'moment', units)}" for name, value in couples.items())
            ax.plot([], [], " ", label=f"couple on {wheel.leg} wheel [{newton_meter}]: {listed}")


def _draw_scale(ax: Axes, longest: float, scale: float, units: str) -> None:
    """Draw an arrow of a round size, to read the others by."""
    most = 0.5 * float(shown(longest, "force", units))
    step = 10.0 ** np.floor(np.log10(most))
    size = max(step * k for k in (1, 2, 5) if step * k <= most)
    length = size / float(shown(1.0, "force", units)) * scale
    head = shown([length / 2, -1.25 * longest * scale], "distance", units)
    along = shown([length, 0.0], "distance", units)
    _draw_arrow(ax, head, along, f"scale: {size:g} {symbol('force', units)}", GRAY)


def _draw_arrow(ax: Axes, head: ArrayLike, along: ArrayLike, text: str, color: str) -> None:
    """Draw a horizontal or upright arrow that ends at a point, with its number at the tail."""
    end, length = np.asarray(head, dtype=float), np.asarray(along, dtype=float)
    tail = end - length
    upright = abs(length[1]) > abs(length[0])
    out = -np.sign(length)
    ax.annotate("", xy=tuple(end), xytext=tuple(tail), arrowprops=_head(color, 2.0))
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


def _draw_turn(ax: Axes, at: Array, reach: float, against_clock: bool, color: str) -> None:
    """Draw a three-quarter turn about a point; it shows the sense alone."""
    angles = np.radians(np.linspace(-130.0, 130.0, 60) + 180.0) * (1.0 if against_clock else -1.0)
    x, y = at[:, np.newaxis] + reach * np.array([np.cos(angles), np.sin(angles)])
    ax.plot(x, y, color=color, lw=1.2, gid="turn")
    ax.annotate("", xy=(x[-1], y[-1]), xytext=(x[-3], y[-3]), arrowprops=_head(color, 1.2))


def _draw_dimension(ax: Axes, left: float, right: float, height: float, text: str) -> None:
    """Draw the arrow of a horizontal dimension, with its number below."""
    ends = _head("0.4", 1.0) | {"arrowstyle": "<->"}
    ax.annotate("", xy=(left, height), xytext=(right, height), arrowprops=ends)
    middle = (left + right) / 2
    ax.text(middle, 1.35 * height, text, ha="center", va="top", fontsize=9, color="0.3", bbox=PAPER)


def _head(color: str, width: float) -> dict[str, Any]:
    """Style of an arrow."""
    return {"arrowstyle": "-|>", "color": color, "lw": width, "shrinkA": 0.0, "shrinkB": 0.0}


def _text(value: float, quantity: str, units: str) -> str:
    """A number in base SI as text, to the digits that are worth reading, as in "8.09"."""
    return f"{float(shown(value, quantity, units)):.{DIGITS[units][quantity]}f}"


@checked
def plot_cg_range(
    cg_range: CgRange,
    airplane: Airplane | None = None,
    *,
    ax: Axes | None = None,
    units: Literal["SI", "US"] = "SI",
) -> Axes:
    """Draw mass over the center of gravity: the most forward and the most aft loading, and the range of the sheet.

    Parameters
    ----------
    cg_range : CgRange
        From `cg_range`, best at many masses.
    airplane : Airplane, optional
        Sheet whose `cg_forward`, `cg_aft` and masses are drawn beside it.
    ax : Axes, optional
        Where to draw; None makes a figure.
    units : str
        "SI" or "US".

    Returns
    -------
    Axes
        The axes drawn in.
    """
    ax = plt.subplots(figsize=(7, 5), layout="constrained")[1] if ax is None else ax
    order = np.argsort(cg_range.mass)
    mass = shown(cg_range.mass[order], "mass", units)
    for centers, color, marker, label in (
        (cg_range.forward, AT_CG, "<", "most forward loading"),
        (cg_range.aft, WHEEL_LOAD, ">", "most aft loading"),
    ):
        ax.plot(
            shown(centers[order, 0], "distance", units), mass, marker + "-", color=color, ms=4, label=label
        )
    if airplane is not None:
        low, high = (shown(m, "mass", units) for m in (airplane.landing_mass, airplane.max_mass))
        x = [float(shown(cg[0], "distance", units)) for cg in (airplane.cg_forward, airplane.cg_aft)]
        for i, end in enumerate(x):
            ax.axvline(end, color="0.3", ls="--", lw=1.2, label=None if i else "range of the airplane sheet")
        for level, name in ((low, "landing"), (high, "maximum")):
            ax.axhline(float(level), color="0.75", lw=0.9, zorder=0)
            ax.annotate(f"{name} mass", (0.01, float(level)), xycoords=("axes fraction", "data"), va="bottom",
                        fontsize=8, color="0.35")  # fmt: skip
    ax.set_xlabel(f"center of gravity, x aft [{symbol('distance', units)}]")
    ax.set_ylabel(f"mass [{symbol('mass', units)}]")
    ax.margins(y=0.08)
    ax.grid(alpha=0.3)
    ax.legend(frameon=False, fontsize=9, loc="lower right")
    return ax
