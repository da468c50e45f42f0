"""23.511 Ground load; unsymmetrical loads on multiple-wheel units: (a) pivoting."""

from math import pi, sqrt

from scipy.constants import g

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase, WheelLoad, pair, standing
from beam.loads.part23.condition import condition
from beam.loads.part23.landing import Landing
from beam.loads.stance import split, stance

FRICTION = 0.8
"""Coefficient of friction at a vertical factor of 1.0 [-]."""


@condition
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
        Limit loads at maximum mass: static reactions, and on the pivoting leg the couple of the tire
        that scrubs, both ways. The 60 percent rules of (b) and (c) are for two wheels on a leg.

    Notes
    -----
    The paragraph prints friction 0.8 and vertical factor 1.0, no arm. With the load V spread evenly at the
    tire pressure p over a circle, R = sqrt(V / (pi p)), friction everywhere at 0.8 gives M = (2/3) 0.8 V R.
    """
    pressure = airplane.required("main_tire_pressure", "23.511(a)")
    cases = []
    for cg in ("forward", "aft"):
        at = stance(airplane, cg)
        nose, mains = (float(part) for part in split(airplane.max_mass * g, at.nose_arm, at.main_arm))
        couple = 2 / 3 * FRICTION * mains / 2 * sqrt(mains / 2 / (pi * pressure))
        resting = {wheel.leg: wheel for wheel in pair(0.0, mains / 2, applied_at="ground")}
        resting["nose"] = WheelLoad(leg="nose", Fz=nose, applied_at="ground")
        for leg in ("starboard", "port"):
            for way, sense in (("starboard", 1.0), ("port", -1.0)):
                # the ground turns the tire against the turn; a turn to starboard is about -z
                scrubbed = WheelLoad(leg=leg, Fz=mains / 2, Mz=sense * couple, applied_at="ground")
                wheels = (resting | {leg: scrubbed}).values()
                name = f"pivoting about {leg} wheel, turning to {way}"
                cases.append(standing(airplane, "23.511(a)", name, cg, *wheels))
    return cases
