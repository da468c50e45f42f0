"""Tables of the gear for people: the link over its stroke, spin-up against Appendix D."""

from typing import TYPE_CHECKING, Protocol

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.alignment import alignment
from beam.gear.checks import able
from beam.gear.main_gear import MainGear
from beam.gear.motion.drop_result import Drop
from materials.checks import Array, array, number, reject
from materials.kinds import instance

if TYPE_CHECKING:
    from pandas import DataFrame


class SpinUpRule(Protocol):
    """A code's formula for spin-up: drag and the vertical load at that instant."""

    def __call__(
        self,
        peak_vertical: float,
        ground_speed: float,
        *,
        wheel_inertia: float,
        rolling_radius: float,
        time_to_peak: float,
        friction: float,
    ) -> tuple[Array, Array]:
        """Apply the formula to a wheel."""


def link_table(gear: MainGear, stroke: ArrayLike | None = None) -> "DataFrame":
    """Where wheel and shock are over the stroke.

    Parameters
    ----------
    gear : MainGear
        The gear.
    stroke : array_like, shape (position,), optional
        Strokes from fully extended; eleven over the full stroke if not given [m].

    Returns
    -------
    DataFrame
        One row per stroke: stroke, rise and reach of the wheel from extended (up, aft), arm of the
        shock, trail [m]; motion_ratio [-]; angle_deg, camber_deg, toe_deg, caster_deg [deg].
    """
    from pandas import DataFrame

    instance("link_table: gear", gear, MainGear)
    at = np.linspace(0.0, gear.shock.max_stroke, 11)
    if stroke is not None:
        at = array("link_table: stroke [m]", stroke, last=(-1,))
        if at.ndim != 1:
            reject("link_table: stroke [m]", f"shape {at.shape}", "one row of strokes")
    angle, stand = gear.link.angle(at), alignment(gear.link, at)
    moved = gear.axle(at) - gear.axle(0.0)
    return DataFrame(
        {
            "stroke": at,
            "angle_deg": np.degrees(angle),
            "rise": moved[:, 2],
            "reach": moved[:, 0],
            "motion_ratio": gear.link.motion_ratio(at),
            "arm": gear.link.shock_arm(angle),
            "camber_deg": stand.camber_deg,
            "toe_deg": stand.toe_deg,
            "caster_deg": stand.caster_deg,
            "trail": stand.trail,
        }
    )


def spin_up_table(drop: Drop, rule: SpinUpRule, *, friction: float = 0.8) -> "DataFrame":
    """Spin-up and spring-back of a drop beside a code's formula for the same wheel.

    Parameters
    ----------
    drop : Drop
        A drop with ground speed; with fore-aft flexibility for spring-back.
    rule : SpinUpRule
        The formula, such as `beam.loads.spin_up_drag` for Appendix D.
    friction : float
        Friction coefficient put into the formula [-].

    Returns
    -------
    DataFrame
        Rows "ground drag", "strut, aft" and "strut, forward"; columns time [s], drag, vertical of the
        drop [N], rule_drag, rule_vertical [N] and ratio of the drags [-]. The rule has the forward
        load (spring-back) as large as the aft one.
    """
    from pandas import DataFrame

    instance("spin_up_table: drop", drop, Drop)
    able("spin_up_table: rule", rule, "__call__")
    number("spin_up_table: friction [-]", friction, above=0, at_most=1.5, cause="given in percent?")
    gear = drop.gear
    drag, vertical = rule(
        drop.peak_ground_force,
        drop.ground_speed,
        wheel_inertia=gear.wheel_inertia,
        rolling_radius=gear.rolling_radius,
        time_to_peak=drop.time_to_peak,
        friction=friction,
    )
    contact = drop.history.peak(lambda t: drop.history.forces_at(t).drag)
    found = {
        "ground drag": (*contact, float(drop.history.forces_at(contact[0]).ground)),
        "strut, aft": (drop.spin_up.time, drop.spin_up.drag, drop.spin_up.vertical),
        "strut, forward": (drop.spring_back.time, drop.spring_back.drag, drop.spring_back.vertical),
    }
    frame = DataFrame.from_dict(found, orient="index", columns=["time", "drag", "vertical"])
    frame["rule_drag"] = np.array([1.0, 1.0, -1.0]) * float(drag)
    frame["rule_vertical"] = float(vertical)
    frame["ratio"] = frame["drag"] / frame["rule_drag"]
    return frame
