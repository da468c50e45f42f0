"""Gather the conditions of a code.

Another code is a file of its own, anywhere: functions (airplane, landing) -> list of GroundCase, and a
landing object of its own where Part 23's `Landing` does not fit. Nothing here needs to know it.
"""

from collections.abc import Callable, Sequence
from typing import Any

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase
from beam.loads.part23 import LANDING_AND_ROLLING
from materials.checks import reject
from materials.kinds import instance, instances

Condition = Callable[[Airplane, Any], list[GroundCase]]
"""What a paragraph prescribes; its second argument is whatever describes the landing in that code."""


def case_list(
    airplane: Airplane, landing: Any, *, conditions: Sequence[Condition] = LANDING_AND_ROLLING
) -> list[GroundCase]:
    """Return every case of the conditions, at every mass and c.g. that can govern.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    landing : object
        The landing as the conditions want it: for those of Part 23 its `Landing`.
    conditions : sequence of callable
        Functions (airplane, landing) -> list of GroundCase; by default those of 14 CFR 23.479 to 23.499.

    Returns
    -------
    list of GroundCase
        The cases.

    Raises
    ------
    ValueError
        If a condition is no function, returns anything but cases, or returns one case twice.
    """
    instance("case_list: airplane", airplane, Airplane)
    cases: list[GroundCase] = []
    for condition in instances("case_list: conditions", conditions, object):
        if not callable(condition):
            reject("case_list: conditions", f"{condition!r:.80}", "functions (airplane, landing) -> cases")
        what = f"case_list: cases of {getattr(condition, '__name__', condition)}"
        cases += instances(what, condition(airplane, landing), GroundCase, least=0)
    seen: set[tuple[object, ...]] = set()
    for case in cases:
        key = (case.paragraph, case.condition, case.mass, case.cg)
        if key in seen:
            cause = "a condition listed twice, or two cases of one name?"
            reject("case_list: conditions", f"{key} twice", "each case once", cause)
        seen.add(key)
    return cases
