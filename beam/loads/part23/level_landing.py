"""23.479 Level landing conditions, with the drag of Appendices C and D.

Left out: the dynamic response of tip tanks and other large masses on the wing, 23.479(d).
"""

from math import sqrt

from scipy.constants import g

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase, WheelLoad, pair
from beam.loads.part23.appendix_c import drag_factor
from beam.loads.part23.appendix_d import MOST_DRAG, SpinUp, spin_up_drag
from beam.loads.part23.condition import condition
from beam.loads.part23.landing import Landing
from beam.loads.stance import stance
from materials.checks import number
from materials.kinds import instance

CONTACT_SPEED = 1.2
"""V_H over V_S0, Appendix D; the 1.25 is of another part of the code [-]."""

ROLLING_RADIUS = (0.5, 1.6)
"""Rolling radius over the height of the axle, outside of which two wheels were mixed up; common practice, no source."""


@condition
def three_point_landing(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.479(a)(2)(i): nose and main wheels touch together, with the drag of Appendix C.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; its wheel radii are needed.
    landing : Landing
        The limit landing.

    Returns
    -------
    list of GroundCase
        Limit loads.

    Notes
    -----
    Appendix C takes the arms perpendicular to reactions inclined alike at nose and mains. That is
    moment equilibrium about the c.g. without pitching, with drag over vertical r = K n / (n - L)
    at every wheel, and is solved as such: V_n = V (b + r h_m) / (d + r (h_m - h_n)), with h_m and h_n the
    heights of the c.g. above the axles: the drag of a wheel that spins up reaches its leg at the axle.
    """
    radius_main = airplane.required("main_wheel_radius", "23.479(a)(2)(i)")
    radius_nose = airplane.required("nose_wheel_radius", "23.479(a)(2)(i)")
    cases = []
    for mass, cg, n in landing.corners(airplane):
        at = stance(airplane, cg)
        vertical = (n - landing.lift_ratio) * mass * g
        ratio = float(drag_factor(mass)) * n / (n - landing.lift_ratio)
        above_main, above_nose = at.height - radius_main, at.height - radius_nose
        nose = (
            vertical * (at.main_arm + ratio * above_main) / (at.wheelbase + ratio * (above_main - above_nose))
        )
        main = (vertical - nose) / 2
        speed = contact_speed(airplane, mass)
        _fits(airplane.main_wheel_radius, landing.spin_up)
        _fits(airplane.nose_wheel_radius, landing.nose_spin_up)
        of_main = instants(main, ratio * main, landing.spin_up, speed)
        of_nose = instants(nose, ratio * nose, landing.nose_spin_up, speed)
        for name, (main_x, main_z) in of_main.items():
            nose_x, nose_z = of_nose[name]
            nose_load = WheelLoad(leg="nose", Fx=nose_x, Fz=nose_z, applied_at="axle")
            wheels = (*pair(main_x, main_z, applied_at="axle"), nose_load)
            condition = f"three-point, {name}"
            cases.append(landing.case(airplane, "23.479(a)(2)(i)", condition, mass, cg, *wheels))
    return cases


@condition
def nose_clear_landing(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.479(a)(2)(ii): main wheels touch, nose wheel just clear, with spin-up and spring-back.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    landing : Landing
        The limit landing.

    Returns
    -------
    list of GroundCase
        Limit loads; each main wheel carries half of (n - L) W.
    """
    cases = []
    for mass, cg, n in landing.corners(airplane):
        for name, (drag, vertical) in main_instants(airplane, landing, mass, n).items():
            wheels = pair(drag, vertical, applied_at="axle")
            condition = f"nose clear, {name}"
            cases.append(landing.case(airplane, "23.479(a)(2)(ii)", condition, mass, cg, *wheels))
    return cases


def main_instants(
    airplane: Airplane, landing: Landing, mass: float, n: float
) -> dict[str, tuple[float, float]]:
    """Return drag and vertical load of one main wheel at the instants of a landing with the nose clear.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    landing : Landing
        The limit landing.
    mass : float
        Airplane mass [kg].
    n : float
        Limit inertia load factor [-].

    Returns
    -------
    dict
        Name of the instant -> (drag, vertical) of one wheel [N].
    """
    _fits(airplane.main_wheel_radius, landing.spin_up)
    peak = (n - landing.lift_ratio) * mass * g / 2
    floor = float(drag_factor(mass)) * n * mass * g / 2
    return instants(peak, floor, landing.spin_up, contact_speed(airplane, mass))


def _fits(radius: float | None, wheel: SpinUp | None) -> None:
    """Stop if a wheel that spins up is not the one that the airplane stands on."""
    if wheel is None or radius is None:
        return
    low, high = (part * radius for part in ROLLING_RADIUS)
    cause = f"the axle stands {radius:g} m above the ground; given in inches or feet, or a diameter?"
    number("SpinUp: rolling_radius [m]", wheel.rolling_radius, at_least=low, at_most=high, cause=cause)


def contact_speed(airplane: Airplane, mass: float) -> float:
    """Return V_H = 1.2 V_S0, the stall speed carried to `mass` at the same lift coefficient.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet, with V_S0 at landing mass.
    mass : float
        Airplane mass [kg].

    Returns
    -------
    float
        Speed along the ground at contact [m/s].

    References
    ----------
    14 CFR Part 23 Appendix D (through Amendment 23-62).
    """
    instance("contact_speed: airplane", airplane, Airplane)
    most, cause = airplane.max_mass * (1 + 1e-9), "more than its maximum mass; given in pounds?"
    held = number("contact_speed: mass [kg]", mass, above=0.0, at_most=most, cause=cause)
    return CONTACT_SPEED * airplane.stall_speed * sqrt(held / airplane.landing_mass)


def instants(peak: float, floor: float, wheel: SpinUp | None, speed: float) -> dict[str, tuple[float, float]]:
    """Return drag and vertical load of one wheel at the instants of a level landing.

    Parameters
    ----------
    peak : float
        Peak vertical load of the wheel [N].
    floor : float
        Least drag: K n W of Appendix C, the wheel's share [N].
    wheel : SpinUp or None
        The wheel; None takes spin-up at 0.8 of the peak vertical load.
    speed : float
        Speed along the ground [m/s].

    Returns
    -------
    dict
        Name of the instant -> (drag, vertical) [N].

    Notes
    -----
    Spin-up drag goes with the vertical load of its own instant (23.479(b)), and is not below the
    drag of Appendix C (23.479(c)); friction ties the two. Spring-back is that drag turned forward
    (Appendix D (c)). Only a dynamic solution knows the vertical load when it peaks: the leg has
    swung forward between spin-up and the peak of the vertical load, so both ends are cases.
    """
    if wheel is None:
        drag, friction = MOST_DRAG * peak, MOST_DRAG
    else:
        cause = "a tire faster than the ground; given in km/h?"
        number("SpinUp: pre_rotation [m/s]", wheel.pre_rotation, at_most=speed, cause=cause)
        formula, _ = spin_up_drag(
            peak,
            speed,
            wheel_inertia=wheel.wheel_inertia,
            rolling_radius=wheel.rolling_radius,
            time_to_peak=wheel.time_to_peak,
            friction=wheel.friction,
            pre_rotation=wheel.pre_rotation,
        )
        drag, friction = float(formula), wheel.friction
    drag = max(drag, floor)
    then = min(drag / friction, peak)
    return {
        "peak vertical": (floor, peak),
        "spin-up": (drag, then),
        "spring-back, vertical at spin-up": (-drag, then),
        "spring-back, peak vertical": (-drag, peak),
    }
