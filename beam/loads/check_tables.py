"""What balances the ground loads, and the layout and equipment checks, as tables."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from beam.loads.airplane import Airplane
from beam.loads.balance import balance
from beam.loads.case import GroundCase
from beam.loads.equipment import Equipment
from beam.loads.ground_cases import Condition, case_list
from beam.loads.layout_checks import Check, layout_checks
from beam.loads.part23 import LANDING_AND_ROLLING
from beam.loads.shown_table import in_units
from beam.units import shown, symbol
from materials.checks import one_of

if TYPE_CHECKING:
    from pandas import DataFrame

READ_AS = {"N": "force", "m": "distance", "N m": "moment", "J": "energy", "m/s2": "acceleration"}
"""Unit of a check -> quantity of `beam.units.shown`."""


def inertia_balance(
    airplane: Airplane,
    landing: Any,
    *,
    conditions: Sequence[Condition] = LANDING_AND_ROLLING,
    units: str = "SI",
) -> "DataFrame":
    """Return the linear and angular inertia that balances every case, one row per case.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    landing : object
        The landing as the conditions want it: for those of Part 23 its `Landing`.
    conditions : sequence of callable
        Functions (airplane, landing) -> list of GroundCase.
    units : str
        "SI": base units; "US": to be read, each column named with its unit.

    Returns
    -------
    DataFrame
        Columns paragraph, condition, mass [kg], cg, nx, ny, nz (inertia load factor at the c.g.)
        [-], Mx, My, Mz (inertia moment) [N m] on ground axes, residual (largest of the six sums over
        weight, and weight times wheelbase, worked out a second way) [-].

    Raises
    ------
    ValueError
        If a case is one of flight, or the sheet lacks what a condition needs.
    """
    from pandas import DataFrame

    rows = []
    for found in balance(airplane, case_list(airplane, landing, conditions=conditions)):
        case = found.case
        rows.append(
            {
                "paragraph": case.paragraph,
                "condition": case.condition,
                "mass": case.mass,
                "cg": case.cg,
                **dict(zip(("nx", "ny", "nz"), found.load_factor.tolist(), strict=True)),
                **dict(zip(("Mx", "My", "Mz"), found.inertia_moment.tolist(), strict=True)),
                "residual": float(abs(found.residual).max()),
            }
        )
    quantities = {"mass": "mass", "Mx": "moment", "My": "moment", "Mz": "moment"}
    return in_units(DataFrame(rows), quantities, units)


def layout_table(
    airplane: Airplane, equipment: Equipment, cases: Iterable[GroundCase], *, units: str = "SI"
) -> "DataFrame":
    """Return the layout and equipment checks.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    equipment : Equipment
        Ratings and points; what is missing is listed without a value.
    cases : iterable of GroundCase
        Ground cases from `case_list`, for the limit ratings of the wheels.
    units : str
        "SI": base units; "US": US customary, as the column unit says.

    Returns
    -------
    DataFrame
        Columns check, value, relation, limit, unit, met (missing where a side is), source (paragraph, or
        common practice).
    """
    from pandas import DataFrame

    one_of("layout_table: units", units, ("SI", "US"))
    columns = ["check", "value", "relation", "limit", "unit", "met", "source"]
    rows = []
    for check in layout_checks(airplane, equipment, cases):
        value, limit, unit = (check.value, check.limit, check.unit) if units == "SI" else _read(check, units)
        rows.append([check.check, value, check.relation, limit, unit, check.met, check.source])
    return DataFrame(rows, columns=columns).astype({"value": float, "limit": float, "met": "boolean"})


def _read(check: Check, units: str) -> tuple[float | None, float | None, str]:
    """Value, limit and unit of a check in another system."""
    if check.unit not in READ_AS:
        return check.value, check.limit, check.unit
    quantity = READ_AS[check.unit]
    if quantity == "distance" and check.limit is not None:
        quantity = "length"  # clearances are short: 23.925 prints inches; the way of a stop is long
    value, limit = (
        None if side is None else float(shown(side, quantity, units)) for side in (check.value, check.limit)
    )
    return value, limit, symbol(quantity, units)
