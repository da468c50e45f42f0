"""Angles and dimensions of the standing airplane."""

from typing import TYPE_CHECKING

import numpy as np

from beam.loads.airplane import Airplane
from beam.loads.layout import tip_back_angle, turnover_angle
from beam.loads.plots.view import ANGLE, said, size
from beam.loads.stance import CENTERS, stance
from beam.units import shown, symbol

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def draw_angles(ax: "Axes", airplane: Airplane, units: str) -> None:
    """Draw the arms of the aft c.g., the tip-back angle and the tail-down angle in the side view.

    Parameters
    ----------
    ax : Axes
        Where to draw.
    airplane : Airplane
        The airplane sheet.
    units : str
        "SI" or "US".
    """
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
        size(ax, left, right, low, f"{name} = {said(arm, 'distance', units)} {length}")
    ax.plot([-b, -b], [low, h], ":", color="0.6")
    ax.text(
        -b, h / 2, f"h = {said(at.height, 'distance', units)} {length} ", ha="right", fontsize=9, color="0.3"
    )
    ax.plot(0, 2.2 * low, alpha=0.0)


def draw_turnover(ax: "Axes", airplane: Airplane, units: str) -> None:
    """Draw the track in the front view, and name the turnover angle, which no view shows in true size.

    Parameters
    ----------
    ax : Axes
        Where to draw.
    airplane : Airplane
        The airplane sheet.
    units : str
        "SI" or "US".
    """
    stances = [stance(airplane, cg) for cg in CENTERS]
    worst = max(float(turnover_angle(s.nose_arm, s.wheelbase, s.half_track, s.height)) for s in stances)
    half, low = shown([stances[0].half_track, -0.15 * stances[1].height], "distance", units)
    track = said(2 * stances[0].half_track, "distance", units)
    size(ax, -half, half, low, f"track = {track} {symbol('distance', units)}")
    ax.plot([], [], " ", label=f"turnover angle about the line nose to main wheel: {worst:.1f} deg")
    ax.plot(0, 2.2 * low, alpha=0.0)
