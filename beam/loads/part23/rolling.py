"""23.485 Side load, 23.493 Braked roll and 23.499 Nose wheel conditions: shocks and tires at static position.

Left out: the pilot's forces on a direct mechanical linkage of the nose wheel, 23.499(e), which size the mechanism.
"""

from scipy.constants import g

from beam.loads.airplane import CENTERS, Airplane
from beam.loads.case import MAINS, GroundCase, WheelLoad, pair, resting, standing
from beam.loads.part23.landing import Landing
from beam.loads.stance import Stance, split, stance
from materials.checks import checked

VERTICAL = 1.33
"""23.485(b), 23.493(a): limit vertical factor [-]."""

INBOARD, OUTBOARD = 0.50, 0.33
"""23.485(c): side loads over the weight of the whole airplane [-]."""

FRICTION = 0.8
"""23.493(b): drag over vertical load of a braked wheel [-]."""

NOSE_VERTICAL = 2.25
NOSE_AFT, NOSE_FORWARD, NOSE_SIDE = 0.8, 0.4, 0.7
STEERED = 1.33
"""23.499: vertical over static load; drag, forward and side load over that vertical; powered steering [-]."""


@checked
def side_load(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.485: level on the main wheels, drifting to either side.

    Parameters
    ----------
    airplane, landing : Airplane, Landing
        The airplane sheet, and the landing, which is not used: the factors are printed.

    Returns
    -------
    list of GroundCase
        Limit loads at maximum mass, at the ground.

    Notes
    -----
    Each main wheel 0.665 W up; one 0.5 W inboard, the other 0.33 W outboard, both ways.
    Source: 14 CFR 23.485.

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> case = side_load(TOURER, Landing(load_factor=3.0))[0]
    >>> [round(wheel.Fy) for wheel in case.wheels]  # starboard, pushed inboard, and port
    [-6080, -4013]
    """
    weight = airplane.max_mass * g
    cases = []
    for drift, outboard in MAINS.items():
        for cg in CENTERS:
            wheels = [
                WheelLoad(
                    leg=leg,
                    Fy=-outboard * (INBOARD if leg == drift else OUTBOARD) * weight,
                    Fz=VERTICAL / 2 * weight,
                    applied_at="ground",
                )
                for leg in MAINS
            ]
            cases.append(standing(airplane, "23.485", f"side load, {drift} wheel inboard", cg, *wheels))
    return cases


@checked
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
        Limit loads at maximum mass, at the ground, so that the drag also reaches the leg as brake torque.

    Raises
    ------
    ValueError
        If a brake torque is given without the radius of the main wheels.

    Notes
    -----
    Nose clear: V_m = 0.665 W, D_m = 0.8 V_m. On three wheels the drag, h below the c.g., loads the nose:
    V_n = 1.33 W (b + 0.8 h) / (d + 0.8 h), from moments about the c.g.
    Source: 14 CFR 23.493.

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> case = braked_roll(TOURER, Landing(load_factor=3.0))[1]
    >>> case.condition, [round(wheel.Fz) for wheel in case.wheels]
    ('braked roll, three wheels', [4568, 4568, 7037])
    """
    total = VERTICAL * airplane.max_mass * g
    cases = []
    for cg in CENTERS:
        on_mains = pair(_drag(airplane, total / 2), total / 2, applied_at="ground")
        nose, main, drag = _three_wheels(airplane, stance(airplane, cg), total)
        nose_load = WheelLoad(leg="nose", Fz=nose, applied_at="ground")
        on_three = (*pair(drag, main, applied_at="ground"), nose_load)
        cases.append(standing(airplane, "23.493", "braked roll, nose clear", cg, *on_mains))
        cases.append(standing(airplane, "23.493", "braked roll, three wheels", cg, *on_three))
    return cases


@checked
def nose_wheel(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.499(a) to (d): aft, forward and side load on the nose wheel, and powered steering.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; with a steering torque, (d) is added.
    landing : Landing
        Not used: the factors are printed.

    Returns
    -------
    list of GroundCase
        Limit loads at maximum mass; aft and forward loads at the axle, side loads at the ground.

    Notes
    -----
    V = 2.25 times the static load, with 0.8 V aft, 0.4 V forward or 0.7 V to a side; 2.25 is not a factor of
    safety. Powered steering: 1.33 times the static load with 1.33 times the full steering torque.
    Source: 14 CFR 23.499.

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> load = nose_wheel(TOURER, Landing(load_factor=3.0))[0].wheels[0]
    >>> round(load.Fx), round(load.Fz), load.applied_at
    (4356, 5445, 'axle')
    """
    cases = []
    for cg in CENTERS:
        static = resting(airplane, cg)["nose"].Fz
        up = NOSE_VERTICAL * static
        aft = WheelLoad(leg="nose", Fx=NOSE_AFT * up, Fz=up, applied_at="axle")
        forward = WheelLoad(leg="nose", Fx=-NOSE_FORWARD * up, Fz=up, applied_at="axle")
        cases.append(standing(airplane, "23.499(a)", "nose wheel, aft load", cg, aft))
        cases.append(standing(airplane, "23.499(b)", "nose wheel, forward load", cg, forward))
        for way, sense in MAINS.items():
            side = WheelLoad(leg="nose", Fy=sense * NOSE_SIDE * up, Fz=up, applied_at="ground")
            cases.append(standing(airplane, "23.499(c)", f"nose wheel, side load to {way}", cg, side))
            if airplane.steering_torque is not None:
                torque = sense * STEERED * airplane.steering_torque
                steered = WheelLoad(leg="nose", Fz=STEERED * static, Mz=torque, applied_at="ground")
                cases.append(standing(airplane, "23.499(d)", f"nose wheel, steering to {way}", cg, steered))
    return cases


def _drag(airplane: Airplane, vertical: float) -> float:
    """Drag of one braked wheel under a vertical load [N]."""
    if airplane.brake_torque is None:
        return FRICTION * vertical
    radius = airplane.required("main_wheel_radius", "23.493(c)")
    return min(FRICTION * vertical, airplane.brake_torque / radius)


def _three_wheels(airplane: Airplane, at: Stance, total: float) -> tuple[float, float, float]:
    """Nose vertical, and vertical and drag of one main wheel, without pitching [N]."""
    nose = total * (at.main_arm + FRICTION * at.height) / (at.wheelbase + FRICTION * at.height)
    main = (total - nose) / 2
    drag = _drag(airplane, main)
    if drag < FRICTION * main:
        carried, mains = split(total, at.nose_arm, at.main_arm, 2 * drag * at.height)
        nose, main = float(carried), float(mains) / 2
    return nose, main, drag
