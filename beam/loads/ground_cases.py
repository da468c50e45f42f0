"""Gather the conditions of a code; adding another code is adding a folder like `part23`."""

from collections.abc import Callable, Sequence

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase
from beam.loads.part23 import LANDING_AND_ROLLING
from beam.loads.part23.assumptions import Landing

Condition = Callable[[Airplane, Landing], list[GroundCase]]


def case_list(
    airplane: Airplane, landing: Landing, *, conditions: Sequence[Condition] = LANDING_AND_ROLLING
) -> list[GroundCase]:
    """Return every case of the conditions, at every mass and c.g. that can govern.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    landing : Landing
        The limit landing.
    conditions : sequence of callable
        Functions (airplane, landing) -> list of GroundCase.

    Returns
    -------
    list of GroundCase
        Limit loads.
    """
    return [case for condition in conditions for case in condition(airplane, landing)]
