"""23.507 Jacking loads.

Left out: jack points on the airframe; its inertia reacts the horizontal loads.
"""

from itertools import product

from scipy.constants import g

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase, WheelLoad, standing
from beam.loads.part23.condition import condition
from beam.loads.part23.landing import Landing
from beam.loads.stance import split, stance

VERTICAL = 1.35
HORIZONTAL = 0.4
"""Loads of a jack over the vertical static reaction [-]."""


@condition
def jacking(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.507: one leg at a time on a jack, three-point attitude.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    landing : Landing
        Not used: the factors are printed.

    Returns
    -------
    list of GroundCase
        Limit loads at maximum mass: 1.35 of the static reaction up, with 0.4 of it fore, aft and to
        either side, and with all combinations of a fore-aft and a lateral one. They are given at
        the axle, where the jack pad of a trailing link sits; a pad elsewhere adds its arm.
    """
    cases = []
    for cg in ("forward", "aft"):
        at = stance(airplane, cg)
        nose, mains = split(airplane.max_mass * g, at.nose_arm, at.main_arm)
        for leg, static in (("starboard", mains / 2), ("port", mains / 2), ("nose", nose)):
            for (along, x), (across, y) in product(
                (("", 0.0), (" aft", 1.0), (" forward", -1.0)),
                (("", 0.0), (" starboard", 1.0), (" port", -1.0)),
            ):
                load = WheelLoad(
                    leg=leg,
                    Fx=x * HORIZONTAL * float(static),
                    Fy=y * HORIZONTAL * float(static),
                    Fz=VERTICAL * float(static),
                    applied_at="axle",
                )
                push = f", push{along}{across}" if along or across else ""
                cases.append(standing(airplane, "23.507", f"jack under {leg} leg{push}", cg, load))
    return cases
