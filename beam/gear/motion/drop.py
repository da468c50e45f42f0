"""The drop of one main unit: impact at a descent speed, spin-up, compression, rebound."""

from typing import get_args

import numpy as np
from scipy.constants import g

from beam.gear.main_gear import MainGear
from beam.gear.motion.bottomed import Bottomed
from beam.gear.motion.drop_result import Drop
from beam.gear.motion.energy import descent_energy
from beam.gear.motion.from_gear import touchdown, unit_of
from beam.gear.motion.integration import Method, integrate
from beam.gear.motion.unit import STATES
from beam.gear.parts.strut_sway import StrutSway
from materials.checks import number, one_of
from materials.kinds import instance

STILL = 0.01
"""Rate of the stroke over the sink speed at touchdown below which the shock has come to rest [-]."""


def free_fall_speed(height: float) -> float:
    """Speed at touchdown of a free drop.

    Parameters
    ----------
    height : float
        Drop height, from the tire to the ground [m].

    Returns
    -------
    float
        sqrt(2 g h) [m/s].
    """
    return float(np.sqrt(2 * g * number("free_fall_speed: height [m]", height, above=0, at_most=5)))


def drop(
    gear: MainGear,
    *,
    mass: float,
    speed: float,
    lift_ratio: float,
    ground_speed: float = 0.0,
    attitude_deg: float = 0.0,
    sway: StrutSway | None = None,
    duration: float = 0.5,
    rtol: float = 1e-7,
    method: Method = "RK45",
    bottoming: str = "raise",
) -> Drop:
    """Drop one main unit on level ground.

    Parameters
    ----------
    gear : MainGear
        The gear.
    mass : float
        Mass that stands on this unit, link and wheel included [kg].
    speed : float
        Sink speed at touchdown, see `free_fall_speed` for a drop from a height [m/s].
    lift_ratio : float
        Lift over weight, constant through the drop [-].
    ground_speed : float
        Speed of the ground past the airplane; the wheel does not turn at touchdown [m/s].
    attitude_deg : float
        Nose-up attitude of the airplane, which keeps it [deg].
    sway : StrutSway, optional
        Fore-aft flexibility of the strut; rigid if not given.
    duration : float
        Time to follow [s].
    rtol : float
        Relative tolerance of the integration [-].
    method : str
        Integrator of `scipy.integrate.solve_ivp`.
    bottoming : str
        "raise" stops with `Bottomed` when the shock meets its stop; "record" goes on over the stop.

    Returns
    -------
    Drop
        Histories and results.

    Raises
    ------
    Bottomed
        If the shock meets its compression stop with energy left.
    RuntimeError
        If the integrator fails, or shock or ground force have not come to their peak at the end.
    ValueError
        If an input is outside its limits.
    """
    instance("drop: gear", gear, MainGear)
    if sway is not None:
        instance("drop: sway", sway, StrutSway)
    what, cause = "drop: mass [kg]", "it is the mass on this unit, not that of the wheel"
    number(what, mass, above=2 * gear.unsprung_mass, at_most=1e5, cause=cause)
    number("drop: speed [m/s]", speed, above=0, at_most=10, cause="given in ft/s or ft/min?")
    number("drop: lift_ratio [-]", lift_ratio, at_least=0, at_most=1, cause="lift over weight, 2/3 at limit")
    number("drop: ground_speed [m/s]", ground_speed, at_least=0, at_most=150, cause="given in knots or km/h?")
    number("drop: attitude_deg [deg]", attitude_deg, at_least=-30, at_most=30)
    number("drop: duration [s]", duration, above=0, at_most=20)
    number("drop: rtol [-]", rtol, at_least=1e-12, at_most=1e-2)
    one_of("drop: method", method, get_args(Method))
    one_of("drop: bottoming", bottoming, ("raise", "record"))
    unit = unit_of(
        gear,
        mass=mass,
        lift_ratio=lift_ratio,
        ground_speed=ground_speed,
        attitude_deg=attitude_deg,
        sway=sway,
    )
    history = integrate(
        unit,
        touchdown(unit, speed),
        duration=duration,
        max_stroke=gear.shock.max_stroke,
        stop_at_bottom=bottoming == "raise",
        rtol=rtol,
        method=method,
    )
    left = 0.0
    if len(history.bottomed_at):
        when = float(history.bottomed_at[0])
        state = history.solution(when)
        left = descent_energy(state, history.unit)
        if bottoming == "raise":
            raise Bottomed(
                speed=float(state[STATES.index("sink_rate")]),
                energy=left,
                total=0.5 * mass * speed**2
                + (1 - lift_ratio) * mass * g * float(state[STATES.index("sink")]),
                time=when,
                max_stroke=gear.shock.max_stroke,
            )
    stroke, rate = history.forces.stroke, history.forces.stroke_rate
    if stroke[-1] >= stroke.max() and rate[-1] > STILL * speed:
        raise RuntimeError(f"drop: the shock still shortens after {duration:g} s; give a longer duration")
    sinks = float(history.solution(history.time[-1])[STATES.index("sink_rate")])
    if history.forces.ground[-1] >= history.forces.ground.max() and sinks > STILL * speed:
        raise RuntimeError(f"drop: the ground force still rises after {duration:g} s; give a longer duration")
    return Drop(
        gear=gear,
        mass=mass,
        speed=speed,
        lift_ratio=lift_ratio,
        ground_speed=ground_speed,
        history=history,
        bottoming_energy=left,
    )


def reserve_energy(
    gear: MainGear,
    *,
    mass: float,
    reserve_speed: float,
    ground_speed: float = 0.0,
    sway: StrutSway | None = None,
    duration: float = 0.5,
    rtol: float = 1e-7,
) -> Drop:
    """Drop at the descent speed of the reserve-energy case, with lift equal to weight.

    Parameters
    ----------
    gear : MainGear
        The gear.
    mass : float
        Mass that stands on this unit, link and wheel included [kg].
    reserve_speed : float
        Descent speed of the reserve-energy case, such as `beam.loads.part23.reserve_descent_speed`: in Part 23
        1.2 times the limit one, so not the limit one itself [m/s].
    ground_speed : float
        Speed of the ground past the airplane [m/s].
    sway : StrutSway, optional
        Fore-aft flexibility of the strut; rigid if not given.
    duration : float
        Time to follow [s].
    rtol : float
        Relative tolerance of the integration [-].

    Returns
    -------
    Drop
        Histories; `bottomed` and `bottoming_energy` say whether it bottoms and by how much energy.

    References
    ----------
    14 CFR 23.723(b) (through Amendment 23-62): the gear may yield but not fail.
    """
    number("reserve_energy: reserve_speed [m/s]", reserve_speed, above=0, at_most=10, cause="given in ft/s?")
    return drop(
        gear,
        mass=mass,
        speed=reserve_speed,
        lift_ratio=1.0,
        ground_speed=ground_speed,
        sway=sway,
        duration=duration,
        rtol=rtol,
        bottoming="record",
    )
