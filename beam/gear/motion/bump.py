"""Taxi over a bump: from standing, over a rounded rise or dip of the ground. Does the shock bottom?"""

from dataclasses import dataclass, replace

import numpy as np

from beam.gear.main_gear import MainGear
from beam.gear.motion.energy import descent_energy
from beam.gear.motion.from_gear import rolling, unit_of
from beam.gear.motion.ground_run import GroundRun
from beam.gear.motion.integration import integrate
from materials.checks import Array, number, reject
from materials.kinds import instance


@dataclass(frozen=True, kw_only=True, eq=False)
class BumpRide(GroundRun):
    """Histories and results of a ride over a bump.

    Parameters
    ----------
    gear : MainGear
        The gear, its gas settled at the standing position.
    mass : float
        Mass on the unit [kg].
    lift_ratio : float
        Lift over weight [-].
    ground_speed : float
        Taxi speed [m/s].
    history : History
        The motion.
    bottoming_energy : float
        Kinetic energy of the descent left when the shock met its stop; zero if it did not [J].
    bump_height : float
        Height of the bump, negative for a dip [m].
    bump_length : float
        Its length along the ground [m].
    """

    bump_height: float
    bump_length: float


def check_bump(owner: str, ground_speed: float, bump_height: float, bump_length: float) -> None:
    """Stop if a bump or the speed over it is outside what a taxiway has.

    Parameters
    ----------
    owner : str
        Whose numbers they are, for the message.
    ground_speed : float
        Speed along the ground [m/s].
    bump_height : float
        Height, negative for a dip [m].
    bump_length : float
        Length [m].

    Raises
    ------
    ValueError
        If a number is outside its limits.
    """
    number(
        f"{owner}: ground_speed [m/s]", ground_speed, above=0, at_most=150, cause="given in knots or km/h?"
    )
    number(f"{owner}: bump_height [m]", bump_height, at_least=-1, at_most=1, cause="given in mm?")
    number(f"{owner}: bump_length [m]", bump_length, above=0, at_most=1000)


def bump_profile(
    time: Array | float, *, ground_speed: float, bump_height: float, bump_length: float
) -> tuple[Array, Array]:
    """Height of the ground under a point that rolls over a bump of one cosine wave.

    Parameters
    ----------
    time : ndarray, shape (...)
        Time since the wheel reached the bump [s].
    ground_speed : float
        Speed along the ground [m/s].
    bump_height : float
        Height, negative for a dip [m].
    bump_length : float
        Length [m].

    Returns
    -------
    height : ndarray, shape (...)
        Height above level ground, (H / 2) (1 - cos(2 pi x / l)) [m].
    climb : ndarray, shape (...)
        Its rate [m/s].
    """
    turn = 2 * np.pi * np.clip(ground_speed * np.asarray(time, dtype=float) / bump_length, 0.0, 1.0)
    height = 0.5 * bump_height * (1 - np.cos(turn))
    return height, bump_height * np.pi * ground_speed / bump_length * np.sin(turn)


def taxi_bump(
    gear: MainGear,
    *,
    mass: float,
    ground_speed: float,
    bump_height: float,
    bump_length: float,
    lift_ratio: float = 0.0,
    duration: float = 1.0,
    rtol: float = 1e-7,
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
    The tire follows the ground as a point; a bump shorter than the tire's contact is felt softer than this.
    The gas starts at the outside temperature (see `Spring.settled`) and the wheel rolls.
    """
    instance("taxi_bump: gear", gear, MainGear)
    number("taxi_bump: rtol [-]", rtol, at_least=1e-12, at_most=1e-2)
    number(
        "taxi_bump: mass [kg]", mass, above=2 * gear.unsprung_mass, at_most=1e5, cause="mass on this one unit"
    )
    check_bump("taxi_bump", ground_speed, bump_height, bump_length)
    number("taxi_bump: lift_ratio [-]", lift_ratio, at_least=0, below=1)
    number("taxi_bump: duration [s]", duration, above=0, at_most=60)
    if duration * ground_speed < bump_length:
        limit = f"> {bump_length / ground_speed:.3g}"
        reject("taxi_bump: duration [s]", duration, limit, "it ends before the bump does")
    stroke = float(gear.static((1 - lift_ratio) * mass))
    settled = replace(gear, shock=gear.shock.settled(stroke))
    unit = unit_of(settled, mass=mass, lift_ratio=lift_ratio, ground_speed=ground_speed)
    history = integrate(
        unit,
        rolling(settled, unit, stroke),
        duration=duration,
        max_stroke=gear.shock.max_stroke,
        stop_at_bottom=False,
        rtol=rtol,
        method="RK45",
        ground=lambda time: bump_profile(
            time, ground_speed=ground_speed, bump_height=bump_height, bump_length=bump_length
        ),
        corners=(bump_length / ground_speed,),
    )
    met = history.bottomed_at
    return BumpRide(
        gear=settled,
        mass=mass,
        lift_ratio=lift_ratio,
        ground_speed=ground_speed,
        history=history,
        bottoming_energy=descent_energy(history.solution(float(met[0])), unit) if len(met) else 0.0,
        bump_height=bump_height,
        bump_length=bump_length,
    )
