"""23.729 Landing gear extension and retraction system: what loads the main strut in the air.

Loads are at the axle, on airplane axes (attitude 0), shock extended. Left out: loads on actuator and down-lock,
which follow from the motion of the leg, and those of the stowed leg on its up-lock in flight (23.729(a)(1)).
"""

from math import cos, radians, sin

import numpy as np
from scipy.constants import g

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase, WheelLoad
from beam.loads.flight_gear import FlightGear
from beam.loads.part23.condition import condition
from beam.loads.part23.landing import Landing
from beam.loads.sheet_checks import SEA_LEVEL_DENSITY
from materials.checks import reject

SPEED = 1.6
LOAD_FACTOR = 2.0
"""Speed over V_S1 up to which the gear moves, and the load factor of 23.345 with flaps out [-]."""


@condition
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

    Notes
    -----
    A wheel that spins at w = V / r about -y (rolling forward) has momentum H = -I w y; turning it at Omega
    puts the couple -Omega x H = I w (-Omega_z, 0, Omega_x) on the leg; the brake that stops it, -T about y.
    """
    leg = _gear(airplane)
    radius = airplane.required("main_wheel_radius", "23.729(a)(1)")
    momentum = leg.wheel_inertia * leg.take_off_speed / radius
    rate = np.asarray(leg.retraction_rate)
    loads = [
        WheelLoad(
            leg=side,
            Fx=_dynamic_pressure(leg) * leg.drag_area,
            Fz=-LOAD_FACTOR * leg.mass * g,
            applied_at="axle",
            Mx=-mirror * momentum * float(rate[2]),
            My=-leg.brake_torque,
            Mz=mirror * momentum * float(rate[0]),
        )
        for side, mirror in (("starboard", 1.0), ("port", -1.0))
    ]
    return _cases(airplane, "23.729(a)(1)", "retraction, brake on", *loads)


@condition
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
        Limit loads on each main leg: at the largest flight load factor straight ahead, and at load
        factor 1 with the wind from either side.
    """
    leg = _gear(airplane)
    cases = []
    for name, factor, slip in (
        ("gear out, pull-up", leg.flight_load_factor, 0.0),
        ("gear out, wind from port", 1.0, leg.sideslip_deg),
        ("gear out, wind from starboard", 1.0, -leg.sideslip_deg),
    ):
        pressure = _dynamic_pressure(leg)
        broadside = leg.drag_area if leg.side_area is None else leg.side_area
        loads = [
            WheelLoad(
                leg=side,
                Fx=pressure * leg.drag_area * cos(radians(slip)),
                Fy=pressure * broadside * sin(radians(slip)),
                Fz=-factor * leg.mass * g,
                applied_at="axle",
            )
            for side in ("starboard", "port")
        ]
        cases += _cases(airplane, "23.729(a)(2)", name, *loads)
    return cases


def _gear(airplane: Airplane) -> FlightGear:
    if airplane.flight_gear is None:
        reject(f"{airplane.name}: flight_gear", None, "given: 23.729 needs it", "it is never guessed")
    return airplane.flight_gear


def _dynamic_pressure(leg: FlightGear) -> float:
    return 0.5 * SEA_LEVEL_DENSITY * (SPEED * leg.stall_speed_clean) ** 2


def _cases(airplane: Airplane, paragraph: str, condition: str, *wheels: WheelLoad) -> list[GroundCase]:
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
        for cg in ("forward", "aft")
    ]
