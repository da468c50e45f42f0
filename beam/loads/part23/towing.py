"""23.509 Towing loads.

Left out: the reactions of 23.509(c) at the towed wheel itself, which relieve the leg.
"""

from math import sqrt

from scipy.constants import g

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase, WheelLoad, pair, standing
from beam.loads.part23.condition import condition
from beam.loads.part23.landing import Landing
from beam.loads.stance import split, stance

MAIN = 0.225
NOSE = 0.3
NOSE_SWIVELLED = 0.15
"""Tow loads over the weight of the whole airplane [-]."""

COS, SIN = sqrt(3) / 2, 0.5
MAIN_DIRECTIONS = {
    "aft": (1.0, 0.0),
    "forward": (-1.0, 0.0),
    "30 deg from aft to starboard": (COS, SIN),
    "30 deg from aft to port": (COS, -SIN),
    "30 deg from forward to starboard": (-COS, SIN),
    "30 deg from forward to port": (-COS, -SIN),
}
NOSE_DIRECTIONS = {
    "45 deg from aft to starboard": (sqrt(0.5), sqrt(0.5)),
    "45 deg from aft to port": (sqrt(0.5), -sqrt(0.5)),
    "45 deg from forward to starboard": (-sqrt(0.5), sqrt(0.5)),
    "45 deg from forward to port": (-sqrt(0.5), -sqrt(0.5)),
}


@condition
def towing(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.509: the tow bar pulls or pushes one leg, vertical factor 1.0.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    landing : Landing
        Not used: the factors are printed.

    Returns
    -------
    list of GroundCase
        Limit loads at maximum mass. A main leg takes 0.225 W (printed for "main gear", taken for
        each leg as Part 25 does) along the drag axis and 30 degrees to either side of it; the nose
        leg 0.3 W fore and aft, and 0.15 W in the plane of a wheel turned 45 degrees.

    Notes
    -----
    Loads are given at the axle, where a tow fitting sits, with the static reactions of all wheels. The
    reactions of 23.509(c) at the towed wheel itself, side force at the ground and drag at the axle, relieve
    the leg and are left out: inertia of the airplane balances the tow load.
    """
    weight = airplane.max_mass * g
    cases = []
    for cg in ("forward", "aft"):
        at = stance(airplane, cg)
        nose, mains = (float(part) for part in split(weight, at.nose_arm, at.main_arm))
        resting = {wheel.leg: wheel for wheel in pair(0.0, mains / 2, applied_at="ground")}
        resting["nose"] = WheelLoad(leg="nose", Fz=nose, applied_at="ground")
        tows = [
            (leg, MAIN, way, unit) for leg in ("starboard", "port") for way, unit in MAIN_DIRECTIONS.items()
        ]
        tows += [("nose", NOSE, way, MAIN_DIRECTIONS[way]) for way in ("aft", "forward")]
        tows += [("nose", NOSE_SWIVELLED, way, unit) for way, unit in NOSE_DIRECTIONS.items()]
        for leg, share, way, (aft, starboard) in tows:
            pulled = WheelLoad(
                leg=leg,
                Fx=share * weight * aft,
                Fy=share * weight * starboard,
                Fz=resting[leg].Fz,
                applied_at="axle",
            )
            wheels = (resting | {leg: pulled}).values()
            cases.append(standing(airplane, "23.509", f"tow on {leg} leg, {way}", cg, *wheels))
    return cases
