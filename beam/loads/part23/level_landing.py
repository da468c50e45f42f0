"""23.479 Level, 23.481 Tail-down and 23.483 One-wheel landing conditions, with the drag of Appendices C and D.

Left out: the dynamic response of tip tanks and other large masses on the wing, 23.479(d).
"""

from collections.abc import Callable, Iterator
from math import sqrt

from scipy.constants import g

from beam.loads.airplane import Airplane, Mass, check_within_max_mass
from beam.loads.case import MAINS, GroundCase, Leg, WheelLoad, pair
from beam.loads.part23.appendices import MOST_DRAG, SpinUp, drag_factor, spin_up_drag
from beam.loads.part23.landing import Corner, Landing, corners, landing_case
from beam.loads.stance import stance
from materials.checks import checked, number, reject

CONTACT_SPEED = 1.2
"""V_H over V_S0, Appendix D; the 1.25 is of another part of the code [-]."""

ROLLING_RADIUS = (0.5, 1.6)
"""Rolling radius over the height of the axle, outside of which two wheels were mixed up; common practice, no source."""


@checked
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

    Raises
    ------
    ValueError
        If a wheel radius is missing, or a wheel that spins up is not one of the airplane.

    Notes
    -----
    Appendix C takes the arms perpendicular to reactions inclined alike at nose and mains. That is moment
    equilibrium about the c.g. without pitching, with drag over vertical r = K n / (n - L) at every wheel:
    V_n = V (b + r h_m) / (d + r (h_m - h_n)), with h_m and h_n the heights of the c.g. above the axles. The drag of
    a wheel that spins up reaches its leg at the axle. The spin-up of a drop is not repeated here: the nose wheel takes
    its share, so that the main wheels carry less than with the nose clear.
    Source: 14 CFR 23.479(a)(2)(i) and Part 23 Appendix C.

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> case = three_point_landing(TOURER, Landing(load_factor=3.0))[0]
    >>> case.condition, [wheel.leg for wheel in case.wheels]
    ('three-point, peak vertical', ['starboard', 'port', 'nose'])
    """
    radius_main = airplane.required("main_wheel_radius", "23.479(a)(2)(i)")
    radius_nose = airplane.required("nose_wheel_radius", "23.479(a)(2)(i)")
    _check_wheel(airplane.main_wheel_radius, landing.spin_up)
    _check_wheel(airplane.nose_wheel_radius, landing.nose_spin_up)
    cases = []
    for mass, cg, n, point in corners(airplane, landing, "three-point"):
        pitch = None if point is None else point.attitude_deg
        at, speed = stance(airplane, cg), contact_speed(airplane, mass)
        vertical = (n - landing.lift_ratio) * mass * g
        ratio = float(drag_factor(mass)) * n / (n - landing.lift_ratio)
        above_main, above_nose = at.height - radius_main, at.height - radius_nose
        arm = at.main_arm + ratio * above_main
        nose = vertical * arm / (at.wheelbase + ratio * (above_main - above_nose))
        main = (vertical - nose) / 2
        of_nose = instants(nose, ratio * nose, landing.nose_spin_up, speed)
        for name, (main_x, main_z) in instants(main, ratio * main, landing.spin_up, speed).items():
            nose_x, nose_z = of_nose[name]
            nose_load = WheelLoad(leg="nose", Fx=nose_x, Fz=nose_z, applied_at="axle")
            wheels = (*pair(main_x, main_z, applied_at="axle"), nose_load)
            condition = f"three-point, {name}"
            case = landing_case(airplane, landing, "23.479(a)(2)(i)", condition, mass, cg, wheels, pitch)
            cases.append(case)
    return cases


@checked
def nose_clear_landing(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.479(a)(2)(ii): main wheels touch, nose wheel just clear, with spin-up and spring-back.

    Parameters
    ----------
    airplane, landing : Airplane, Landing
        The airplane sheet and the limit landing.

    Returns
    -------
    list of GroundCase
        Limit loads.

    Raises
    ------
    ValueError
        If a wheel that spins up is not one of the airplane.

    Notes
    -----
    Each main wheel carries (n - L) W / 2 at the peak, with the drag K n W / 2. Where the landing holds the spin-up and
    spring-back of the drop, these are cases of their own, at the stroke of their instant: the better analysis of
    23.479(c). Whichever is larger, they or Appendix D, decides.
    Source: 14 CFR 23.479(a)(2)(ii), (b), (c).

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> case = nose_clear_landing(TOURER, Landing(load_factor=3.0))[0]
    >>> [round(wheel.Fz) for wheel in case.wheels]
    [13500, 13500]
    """
    cases = []
    for corner in corners(airplane, landing, "nose clear"):
        mass, cg, _, point = corner
        pitch = None if point is None else point.attitude_deg
        for name, load, strokes in _main_loads(airplane, landing, corner):
            wheels, condition = (load("starboard"), load("port")), f"nose clear, {name}"
            case = landing_case(
                airplane, landing, "23.479(a)(2)(ii)", condition, mass, cg, wheels, pitch, strokes
            )
            cases.append(case)
    return cases


@checked
def tail_down_landing(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.481(a)(2), (b): main wheels only, nose high, reactions vertical.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; its tail-down angle is needed.
    landing : Landing
        The limit landing.

    Returns
    -------
    list of GroundCase
        Limit loads.

    Raises
    ------
    ValueError
        If the tail-down angle is missing.

    Notes
    -----
    Each main wheel carries (n - L) W / 2 without drag: the wheels have spun up before the vertical load peaks.
    There is no spring-back here (Appendix D (c)).
    Source: 14 CFR 23.481.

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> tail_down_landing(TOURER, Landing(load_factor=3.0))[0].attitude_deg
    13.0
    """
    pitch = airplane.required("tail_down_angle_deg", "23.481(a)(2)")
    cases = []
    for mass, cg, n, point in corners(airplane, landing, "tail-down"):
        if point is not None and point.attitude_deg is not None and abs(point.attitude_deg - pitch) > 1e-9:
            reject("Landing: points: attitude_deg of tail-down [deg]", point.attitude_deg,
                   f"{pitch:g}, the tail-down angle of the airplane sheet", "made for another angle?")  # fmt: skip
        wheels = pair(0.0, (n - landing.lift_ratio) * mass * g / 2, applied_at="axle")
        case = landing_case(airplane, landing, "23.481(a)(2)", "tail-down", mass, cg, wheels, pitch)
        cases.append(case)
    return cases


@checked
def one_wheel_landing(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.483: level, one main wheel touches; its load is that of the same wheel in 23.479.

    Parameters
    ----------
    airplane, landing : Airplane, Landing
        The airplane sheet and the limit landing.

    Returns
    -------
    list of GroundCase
        Limit loads.

    Raises
    ------
    ValueError
        If a wheel that spins up is not one of the airplane.

    Notes
    -----
    The leg carries what it carries when both touch, (n - L) W / 2, in the drop as well. Rolling and yawing inertia
    balance the rest.
    Source: 14 CFR 23.483.

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> one_wheel_landing(TOURER, Landing(load_factor=3.0))[0].condition
    'starboard wheel only, peak vertical'
    """
    cases = []
    for corner in corners(airplane, landing, "nose clear"):
        mass, cg, _, point = corner
        pitch = None if point is None else point.attitude_deg
        for name, load, strokes in _main_loads(airplane, landing, corner):
            for leg in MAINS:
                condition = f"{leg} wheel only, {name}"
                case = landing_case(
                    airplane, landing, "23.483", condition, mass, cg, [load(leg)], pitch, strokes
                )
                cases.append(case)
    return cases


@checked
def contact_speed(airplane: Airplane, mass: Mass) -> float:
    """Return V_H, the speed along the ground at contact.

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

    Raises
    ------
    ValueError
        If the mass is above the maximum mass.

    Notes
    -----
    V_H = 1.2 V_S0 (m / m_landing)^(1/2): the stall speed carried to the mass at the same lift coefficient.
    Source: 14 CFR Part 23 Appendix D.

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> round(contact_speed(TOURER, 1240.0), 2)
    35.67
    """
    check_within_max_mass("contact_speed: mass [kg]", airplane, mass)
    return CONTACT_SPEED * airplane.stall_speed * sqrt(mass / airplane.landing_mass)


def _main_loads(
    airplane: Airplane, landing: Landing, corner: Corner
) -> Iterator[tuple[str, Callable[[Leg], WheelLoad], tuple[float, ...]]]:
    """Name, load of a main leg and strokes of each instant with the nose clear: Appendices C and D, then the drop."""
    for name, (drag, vertical) in main_instants(airplane, landing, corner.mass, corner.load_factor).items():
        yield name, _wheel(drag, vertical), ()
    for one in () if corner.point is None else corner.point.instants:
        yield f"{one.name} of the drop", _wheel(one.drag, one.vertical, one.ground_drag), (one.fraction,)


def _wheel(drag: float, vertical: float, ground_drag: float | None = None) -> Callable[[Leg], WheelLoad]:
    """Load on the axle [N] of whichever leg is asked for."""
    return lambda leg: WheelLoad(leg=leg, Fx=drag, Fz=vertical, applied_at="axle", ground_Fx=ground_drag)


def main_instants(
    airplane: Airplane, landing: Landing, mass: float, n: float
) -> dict[str, tuple[float, float]]:
    """Drag and vertical load of one main wheel [N] at each instant of a landing with the nose clear."""
    _check_wheel(airplane.main_wheel_radius, landing.spin_up)
    peak = (n - landing.lift_ratio) * mass * g / 2
    floor = float(drag_factor(mass)) * n * mass * g / 2
    return instants(peak, floor, landing.spin_up, contact_speed(airplane, mass))


def instants(peak: float, floor: float, wheel: SpinUp | None, speed: float) -> dict[str, tuple[float, float]]:
    """Drag and vertical load of one wheel [N] at each instant of a level landing; `floor` is its least drag [N]."""
    # Spin-up drag goes with the vertical load of its own instant (23.479(b)) and is not below the drag of Appendix C
    # (23.479(c)); friction ties the two. Spring-back is that drag turned forward (Appendix D (c)). The leg swings
    # forward between spin-up and the peak of the vertical load, so both ends are cases.
    if wheel is None:
        drag, friction = MOST_DRAG * peak, MOST_DRAG
    else:
        number("SpinUp: pre_rotation [m/s]", wheel.pre_rotation, at_most=speed,
               cause="a tire faster than the ground; given in km/h?")  # fmt: skip
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


def _check_wheel(radius: float | None, wheel: SpinUp | None) -> None:
    """Refuse a wheel that spins up and is not the one the airplane stands on, of that radius [m]."""
    if wheel is not None and radius is not None:
        low, high = (part * radius for part in ROLLING_RADIUS)
        cause = f"the axle stands {radius:g} m above the ground; given in inches or feet, or a diameter?"
        number("SpinUp: rolling_radius [m]", wheel.rolling_radius, at_least=low, at_most=high, cause=cause)
