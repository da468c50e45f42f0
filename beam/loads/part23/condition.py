"""What every condition of this code takes."""

from collections.abc import Callable
from functools import wraps

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase
from beam.loads.part23.landing import Landing
from materials.kinds import instance

Rule = Callable[[Airplane, Landing], list[GroundCase]]


def condition(rule: Rule) -> Rule:
    """Make a rule stop at what is not an airplane and a landing of this code.

    Parameters
    ----------
    rule : callable
        Function (airplane, landing) -> list of GroundCase.

    Returns
    -------
    callable
        The same with its arguments checked.
    """

    @wraps(rule)
    def checked(airplane: Airplane, landing: Landing) -> list[GroundCase]:
        instance(f"{rule.__name__}: airplane", airplane, Airplane)
        instance(f"{rule.__name__}: landing", landing, Landing)
        return rule(airplane, landing)

    return checked
