"""Taxi over a bump: from standing, over a rounded rise or dip of the ground. Does the shock bottom?"""

from dataclasses import replace
from typing import Annotated

import numpy as np

from beam.gear.main_gear import MainGear
from beam.gear.motion.drop import Mass, Tolerance, check_mass
from beam.gear.motion.equations import Setup, rolling
from beam.gear.motion.history import GroundRun, integrate
from materials.checks import Limits, checked, reject

TaxiSpeed = Annotated[float, Limits("m/s", above=0.0, at_most=150.0, cause="given in knots or km/h?")]
BumpHeight = Annotated[float, Limits("m", at_least=-1.0, at_most=1.0, cause="given in mm?")]
BumpLength = Annotated[float, Limits("m", above=0.0, at_most=1000.0)]


class BumpRide(GroundRun):
    """Histories and results of a ride over a bump, from `taxi_bump`.

    Parameters
    ----------
    history : History
        The motion, see `Drop`; its gear has the gas settled at the standing position.

    Examples
    --------
    >>> from beam.gear import taxi_bump
    >>> from tourer import GEAR  # examples/tourer.py
    >>> dip = {"ground_speed": 15, "bump_height": -0.03, "bump_length": 1.0}
    >>> ride = taxi_bump(GEAR, mass=527, **dip, duration=0.2, rtol=1e-5)
    >>> round(float(ride.ground_force.min()), -2), round(ride.max_stroke_used, 3)
    (1000.0, 0.087)
    """


@checked
def taxi_bump(
    gear: MainGear,
    *,
    mass: Mass,
    ground_speed: TaxiSpeed,
    bump_height: BumpHeight,
    bump_length: BumpLength,
    lift_ratio: Annotated[float, Limits("-", at_least=0.0, below=1.0)] = 0.0,
    duration: Annotated[float, Limits("s", above=0.0, at_most=60.0)] = 1.0,
    rtol: Tolerance = 1e-7,
) -> BumpRide:
    """Roll one main unit over a bump, from its standing position.

    Parameters
    ----------
    gear : MainGear
        The gear.
    mass : float
        Mass that stands on this unit, link and wheel included [kg].
    ground_speed : float
        Taxi speed [m/s].
    bump_height : float
        Height of the bump, negative for a dip [m].
    bump_length : float
        Its length along the ground [m].
    lift_ratio : float
        Lift over weight, constant [-].
    duration : float
        Time to follow [s].
    rtol : float
        Relative tolerance of the integration [-].

    Returns
    -------
    BumpRide
        Histories; `bottomed` and `bottoming_energy` answer the question.

    Raises
    ------
    RuntimeError
        If the integrator fails.
    ValueError
        If an input is outside its limits, or the gear does not stand within its stroke.

    Notes
    -----
    The ground rises by (H / 2) (1 - cos(2 pi x / l)). The tire follows it as a point; a bump shorter than the tire's
    contact is felt softer than this. The gas starts at the outside temperature (see `Shock.settled`) and the wheel
    rolls.

    Examples
    --------
    >>> from beam.gear import taxi_bump
    >>> from tourer import GEAR  # examples/tourer.py
    >>> bump = {"ground_speed": 15, "bump_height": 0.05, "bump_length": 1.0}
    >>> ride = taxi_bump(GEAR, mass=527, **bump, duration=0.2, rtol=1e-5)
    >>> ride.bottomed, round(ride.load_factor, 2)
    (False, 2.0)
    """
    check_mass("taxi_bump", gear, mass)
    if duration * ground_speed < bump_length:
        limit = f"> {bump_length / ground_speed:.3g}"
        reject("taxi_bump: duration [s]", f"{duration:g}", limit, "it ends before the bump does")
    stroke = float(gear.static(np.asarray((1 - lift_ratio) * mass)))
    setup = Setup(
        gear=replace(gear, shock=gear.shock.settled(stroke)),
        mass=mass,
        lift_ratio=lift_ratio,
        ground_speed=ground_speed,
        bump_height=bump_height,
        bump_length=bump_length,
    )
    return BumpRide(history=integrate(setup, rolling(setup, stroke), duration=duration, rtol=rtol))
