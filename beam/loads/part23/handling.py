"""23.507 Jacking, 23.509 Towing and 23.511(a) Pivoting: loads of the ground crew and of a locked wheel.

Left out: jack points on the airframe, whose inertia reacts the horizontal loads; the reactions of 23.509(c) at the
towed wheel itself, which relieve the leg; several wheels on a leg, 23.511(b) and (c).
"""

from itertools import product
from math import pi, sqrt

from scipy.constants import g

from beam.loads.airplane import CENTERS, Airplane
from beam.loads.case import LEGS, MAINS, GroundCase, Leg, WheelLoad, resting, standing
from beam.loads.part23.landing import Landing
from materials.checks import checked

JACK_VERTICAL, JACK_HORIZONTAL = 1.35, 0.4
"""23.507: loads of a jack over the vertical static reaction [-]."""

TOW_MAIN, TOW_NOSE, TOW_SWIVELLED = 0.225, 0.3, 0.15
"""23.509: tow loads over the weight of the whole airplane [-]."""

_COS, _SIN, _DIAGONAL = sqrt(3) / 2, 0.5, sqrt(0.5)
MAIN_DIRECTIONS = {
    "aft": (1.0, 0.0),
    "forward": (-1.0, 0.0),
    "30 deg from aft to starboard": (_COS, _SIN),
    "30 deg from aft to port": (_COS, -_SIN),
    "30 deg from forward to starboard": (-_COS, _SIN),
    "30 deg from forward to port": (-_COS, -_SIN),
}
NOSE_DIRECTIONS = {
    "45 deg from aft to starboard": (_DIAGONAL, _DIAGONAL),
    "45 deg from aft to port": (_DIAGONAL, -_DIAGONAL),
    "45 deg from forward to starboard": (-_DIAGONAL, _DIAGONAL),
    "45 deg from forward to port": (-_DIAGONAL, -_DIAGONAL),
}
"""Directions of the tow: parts of the load aft and to starboard [-]."""

FRICTION = 0.8
"""23.511(a): coefficient of friction at a vertical factor of 1.0 [-]."""


@checked
def jacking(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.507: one leg at a time on a jack, three-point attitude.

    Parameters
    ----------
    airplane, landing : Airplane, Landing
        The airplane sheet, and the landing, which is not used: the factors are printed.

    Returns
    -------
    list of GroundCase
        Limit loads at maximum mass, at the axle, where the jack pad of a trailing link sits; a pad elsewhere adds
        its arm.

    Notes
    -----
    1.35 of the static reaction up, with 0.4 of it fore, aft and to either side, and with all combinations of a
    fore-aft and a lateral one.
    Source: 14 CFR 23.507.

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> cases = jacking(TOURER, Landing(load_factor=3.0))
    >>> len(cases), cases[1].condition
    (54, 'jack under starboard leg, push starboard')
    """
    ways = list(
        product(
            (("", 0.0), (" aft", 1.0), (" forward", -1.0)), (("", 0.0), (" starboard", 1.0), (" port", -1.0))
        )
    )
    cases = []
    for cg in CENTERS:
        static = resting(airplane, cg)
        for leg in LEGS:
            for (along, x), (across, y) in ways:
                load = WheelLoad(
                    leg=leg,
                    Fx=x * JACK_HORIZONTAL * static[leg].Fz,
                    Fy=y * JACK_HORIZONTAL * static[leg].Fz,
                    Fz=JACK_VERTICAL * static[leg].Fz,
                    applied_at="axle",
                )
                push = f", push{along}{across}" if along or across else ""
                cases.append(standing(airplane, "23.507", f"jack under {leg} leg{push}", cg, load))
    return cases


@checked
def towing(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.509: the tow bar pulls or pushes one leg, vertical factor 1.0.

    Parameters
    ----------
    airplane, landing : Airplane, Landing
        The airplane sheet, and the landing, which is not used: the factors are printed.

    Returns
    -------
    list of GroundCase
        Limit loads at maximum mass, at the axle, where a tow fitting sits, with the static reactions of all wheels.

    Notes
    -----
    A main leg takes 0.225 W (printed for "main gear", taken for each leg as Part 25 does) along the drag axis and
    30 degrees to either side of it; the nose leg 0.3 W fore and aft, and 0.15 W in the plane of a wheel turned
    45 degrees. Inertia of the airplane balances the tow load.
    Source: 14 CFR 23.509.

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> case = towing(TOURER, Landing(load_factor=3.0))[0]
    >>> case.condition, round(case.wheels[0].Fx)
    ('tow on starboard leg, aft', 2736)
    """
    weight = airplane.max_mass * g
    tows: list[tuple[Leg, float, str, tuple[float, float]]] = []
    for main in MAINS:
        tows += [(main, TOW_MAIN, way, unit) for way, unit in MAIN_DIRECTIONS.items()]
    tows += [("nose", TOW_NOSE, way, MAIN_DIRECTIONS[way]) for way in ("aft", "forward")]
    tows += [("nose", TOW_SWIVELLED, way, unit) for way, unit in NOSE_DIRECTIONS.items()]
    cases = []
    for cg in CENTERS:
        static = resting(airplane, cg)
        for leg, share, way, (aft, starboard) in tows:
            pulled = WheelLoad(
                leg=leg,
                Fx=share * weight * aft,
                Fy=share * weight * starboard,
                Fz=static[leg].Fz,
                applied_at="axle",
            )
            wheels = (static | {leg: pulled}).values()
            cases.append(standing(airplane, "23.509", f"tow on {leg} leg, {way}", cg, *wheels))
    return cases


@checked
def pivoting(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.511(a): the airplane turns about one main wheel, its brake locked.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; the pressure of the main tires is needed.
    landing : Landing
        Not used: the factors are printed.

    Returns
    -------
    list of GroundCase
        Limit loads at maximum mass: static reactions, and on the pivoting leg the couple of the turning tire,
        both ways.

    Raises
    ------
    ValueError
        If the tire pressure is missing.

    Notes
    -----
    The paragraph prints friction 0.8 and vertical factor 1.0, no arm. With the load V spread evenly at the tire
    pressure p over a circle, R = sqrt(V / (pi p)), friction everywhere at 0.8 gives M = (2/3) 0.8 V R.
    Source: 14 CFR 23.511(a).

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> case = pivoting(TOURER, Landing(load_factor=3.0))[0]
    >>> case.condition, round(case.wheels[0].Mz)
    ('pivoting about starboard wheel, turning to starboard', 184)
    """
    pressure = airplane.required("main_tire_pressure", "23.511(a)")
    cases = []
    for cg in CENTERS:
        static = resting(airplane, cg)
        for leg in MAINS:
            up = static[leg].Fz
            couple = 2 / 3 * FRICTION * up * sqrt(up / (pi * pressure))
            for way, sense in MAINS.items():
                # the ground turns the tire against the turn; a turn to starboard is about -z
                scrubbed = WheelLoad(leg=leg, Fz=up, Mz=sense * couple, applied_at="ground")
                wheels = (static | {leg: scrubbed}).values()
                name = f"pivoting about {leg} wheel, turning to {way}"
                cases.append(standing(airplane, "23.511(a)", name, cg, *wheels))
    return cases
