"""23.493 Braked roll conditions."""

from scipy.constants import g

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase, WheelLoad, pair, standing
from beam.loads.part23.condition import condition
from beam.loads.part23.landing import Landing
from beam.loads.stance import Stance, split, stance

VERTICAL = 1.33
FRICTION = 0.8
"""Limit vertical factor and drag over vertical of a braked wheel [-]."""


@condition
def braked_roll(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.493: main wheels braked, nose clear and on three wheels.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; a brake torque, if given, limits the drag.
    landing : Landing
        Not used: the factors are printed.

    Returns
    -------
    list of GroundCase
        Limit loads at maximum mass, at the ground, so that the drag also reaches the leg as brake
        torque. On three wheels the drag, acting h below the c.g., loads the nose.

    Notes
    -----
    V_n = 1.33 W (b + 0.8 h) / (d + 0.8 h) on three wheels, from moments about the c.g.
    """
    total = VERTICAL * airplane.max_mass * g
    cases = []
    for cg in ("forward", "aft"):
        drag = _drag(airplane, total / 2)
        on_mains = pair(drag, total / 2, applied_at="ground")
        nose, main, drag = _three_wheels(airplane, stance(airplane, cg), total)
        on_three = (
            *pair(drag, main, applied_at="ground"),
            WheelLoad(leg="nose", Fz=nose, applied_at="ground"),
        )
        for name, wheels in (("nose clear", on_mains), ("three wheels", on_three)):
            cases.append(standing(airplane, "23.493", f"braked roll, {name}", cg, *wheels))
    return cases


def _drag(airplane: Airplane, vertical: float) -> float:
    """Drag of one braked wheel [N]."""
    if airplane.brake_torque is None:
        return FRICTION * vertical
    return min(
        FRICTION * vertical, airplane.brake_torque / airplane.required("main_wheel_radius", "23.493(c)")
    )


def _three_wheels(airplane: Airplane, at: Stance, total: float) -> tuple[float, float, float]:
    """Nose vertical, and vertical and drag of one main wheel, without pitching [N]."""
    nose = total * (at.main_arm + FRICTION * at.height) / (at.wheelbase + FRICTION * at.height)
    main = (total - nose) / 2
    drag = _drag(airplane, main)
    if drag < FRICTION * main:
        carried, mains = split(total, at.nose_arm, at.main_arm, 2 * drag * at.height)
        nose, main = float(carried), float(mains) / 2
    return nose, main, drag
