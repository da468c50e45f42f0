"""23.485 Side load conditions."""

from scipy.constants import g

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase, WheelLoad, standing
from beam.loads.part23.condition import condition
from beam.loads.part23.landing import Landing

VERTICAL = 1.33
INBOARD = 0.50
OUTBOARD = 0.33
"""Limit vertical factor, shared equally, and side loads, all on the weight of the whole airplane [-]."""


@condition
def side_load(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.485: level on the main wheels, drifting to either side.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    landing : Landing
        Not used: the factors are printed.

    Returns
    -------
    list of GroundCase
        Limit loads at maximum mass, at the ground: each wheel 0.665 W up; one 0.5 W inboard, the
        other 0.33 W outboard, both ways.
    """
    weight = airplane.max_mass * g
    cases = []
    for drift, sense in (("starboard", -1.0), ("port", 1.0)):
        for cg in ("forward", "aft"):
            wheels = tuple(
                WheelLoad(
                    leg=leg,
                    Fy=sense * (INBOARD if leg == drift else OUTBOARD) * weight,
                    Fz=VERTICAL / 2 * weight,
                    applied_at="ground",
                )
                for leg in ("starboard", "port")
            )
            cases.append(standing(airplane, "23.485", f"side load, {drift} wheel inboard", cg, *wheels))
    return cases
