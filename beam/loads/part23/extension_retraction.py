"""23.729 Landing gear extension and retraction system: what loads the main strut in the air.

Loads are at the axle, on airplane axes (attitude 0), shock extended. Left out: loads on actuator and down-lock,
which follow from the motion of the leg, and those of the stowed leg on its up-lock in flight (23.729(a)(1)).
"""

from math import cos, radians, sin

from scipy.constants import g

from beam.loads.airplane import CENTERS, SEA_LEVEL_DENSITY, Airplane
from beam.loads.case import MAINS, GroundCase, WheelLoad
from beam.loads.flight_gear import FlightGear
from beam.loads.part23.landing import Landing
from materials.checks import checked, reject

SPEED = 1.6
LOAD_FACTOR = 2.0
"""Speed over V_S1 up to which the gear moves, and the load factor of 23.345 with flaps out [-]."""


@checked
def retraction(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.729(a)(1): the gear on its way up: inertia, brake torque, spinning wheel, air load.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; its flight gear is needed.
    landing : Landing
        Not used.

    Returns
    -------
    list of GroundCase
        Limit loads on each main leg.

    Raises
    ------
    ValueError
        If the flight gear or the radius of the main wheels is missing.

    Notes
    -----
    A wheel that spins at w = V / r about -y (rolling forward) has momentum H = -I w y. Turning it at Omega puts the
    couple -Omega x H = I w (-Omega_z, 0, Omega_x) on the leg; the brake that stops it, -T about y.
    Source: 14 CFR 23.729(a)(1), 23.345.

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> load = retraction(TOURER, Landing(load_factor=3.0))[0].wheels[0]
    >>> round(load.Mx, 2), round(load.My, 2), round(load.Mz, 2)
    (9.47, -120.0, 23.68)
    """
    leg = _flight_gear(airplane)
    radius = airplane.required("main_wheel_radius", "23.729(a)(1)")
    momentum = leg.wheel_inertia * leg.take_off_speed / radius
    loads = [
        WheelLoad(
            leg=side,
            Fx=_dynamic_pressure(leg) * leg.drag_area,
            Fz=-LOAD_FACTOR * leg.mass * g,
            applied_at="axle",
            Mx=-outboard * momentum * float(leg.retraction_rate[2]),
            My=-leg.brake_torque,
            Mz=outboard * momentum * float(leg.retraction_rate[0]),
        )
        for side, outboard in MAINS.items()
    ]
    return _cases(airplane, "23.729(a)(1)", "retraction, brake on", *loads)


@checked
def gear_extended(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.729(a)(2): flight with the gear out, pulling up and yawed.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; its flight gear is needed.
    landing : Landing
        Not used.

    Returns
    -------
    list of GroundCase
        Limit loads on each main leg.

    Raises
    ------
    ValueError
        If the flight gear is missing.

    Notes
    -----
    At the largest flight load factor straight ahead, and at load factor 1 with the wind from either side, at
    1.6 V_S1 and sea level.
    Source: 14 CFR 23.729(a)(2), 23.351.

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> case = gear_extended(TOURER, Landing(load_factor=3.0))[2]
    >>> case.condition, round(case.wheels[0].Fy, 1)
    ('gear out, wind from port', 20.0)
    """
    leg = _flight_gear(airplane)
    pressure = _dynamic_pressure(leg)
    broadside = leg.drag_area if leg.side_area is None else leg.side_area
    cases = []
    for name, factor, slip in (
        ("gear out, pull-up", leg.flight_load_factor, 0.0),
        ("gear out, wind from port", 1.0, radians(leg.sideslip_deg)),
        ("gear out, wind from starboard", 1.0, -radians(leg.sideslip_deg)),
    ):
        loads = [
            WheelLoad(
                leg=side,
                Fx=pressure * leg.drag_area * cos(slip),
                Fy=pressure * broadside * sin(slip),
                Fz=-factor * leg.mass * g,
                applied_at="axle",
            )
            for side in MAINS
        ]
        cases += _cases(airplane, "23.729(a)(2)", name, *loads)
    return cases


def _flight_gear(airplane: Airplane) -> FlightGear:
    """The leg in flight of a sheet that has one."""
    if airplane.flight_gear is None:
        reject(f"{airplane.name}: flight_gear", None, "given: 23.729 needs it", "it is never guessed")
    return airplane.flight_gear


def _dynamic_pressure(leg: FlightGear) -> float:
    """Dynamic pressure at 1.6 V_S1 and sea level [Pa]."""
    return 0.5 * SEA_LEVEL_DENSITY * (SPEED * leg.stall_speed_clean) ** 2


def _cases(airplane: Airplane, paragraph: str, condition: str, *wheels: WheelLoad) -> list[GroundCase]:
    """The loads of the legs in flight at both ends of the c.g. range."""
    return [
        GroundCase(
            paragraph=paragraph,
            condition=condition,
            mass=airplane.max_mass,
            cg=cg,
            shock="extended",
            attitude_deg=0.0,
            wheels=wheels,
            lift_ratio=1.0,
        )
        for cg in CENTERS
    ]
