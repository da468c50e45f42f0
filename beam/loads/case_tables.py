"""Ground loads, what balances them, and static reactions as tables."""

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.loads.airplane import CENTERS, Airplane, check_within_max_mass
from beam.loads.balance import balance
from beam.loads.case import Condition, GroundCase
from beam.loads.part23 import LANDING_AND_ROLLING
from beam.loads.stance import split, stance
from beam.units import shown, symbol
from materials.checks import Limits, checked, instances, reject

if TYPE_CHECKING:
    from pandas import DataFrame

Units = Literal["SI", "US"]

CASE = ("paragraph", "condition", "mass", "cg", "shock", "attitude_deg", "level")
NUMBERS = ("mass", "Fx", "Fy", "Fz", "attitude_deg", "Mx", "My", "Mz", "ground_drag")
COLUMNS = (
    *("paragraph", "condition", "leg", "mass", "cg", "Fx", "Fy", "Fz", "applied_at", "shock", "attitude_deg"),
    *("strokes", "Mx", "My", "Mz", "level", "ground_drag"),
)
QUANTITIES = (
    {"mass": "mass"}
    | dict.fromkeys(("Fx", "Fy", "Fz", "ground_drag"), "force")
    | dict.fromkeys(("Mx", "My", "Mz"), "moment")
)


class _Strokes(tuple[float, ...]):
    """Fractions of the shock stroke of one row; written to a file as numbers with blanks between them."""

    def __str__(self) -> str:
        return " ".join(map(str, self))


@checked
def case_list(
    airplane: Airplane, landing: Any, *, conditions: Sequence[Condition] = LANDING_AND_ROLLING
) -> list[GroundCase]:
    """Return every case of the conditions, at every mass and c.g. that can govern.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    landing : Landing or any object
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

    Notes
    -----
    Another code is a file of its own, anywhere: functions (airplane, landing) -> list of GroundCase, and a landing
    object of its own where Part 23's `Landing` does not fit.

    Examples
    --------
    >>> from beam.loads import Landing, part23
    >>> from tourer import TOURER  # examples/tourer.py
    >>> len(case_list(TOURER, Landing(load_factor=3.0), conditions=[part23.side_load]))
    4
    """
    cases: list[GroundCase] = []
    for condition in conditions:
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


@checked
def case_table(
    cases: Annotated[Iterable[GroundCase], Limits(items=0)], *, units: Units = "SI"
) -> "DataFrame":
    """Return the loads of cases of any code, one row per leg.

    Parameters
    ----------
    cases : iterable of GroundCase
        From `case_list`, or made by hand.
    units : str
        "SI": base units, for the gear; "US": to be read, each column named with its unit.

    Returns
    -------
    DataFrame
        Columns paragraph, condition, leg ("starboard", "port", "nose"), mass [kg], cg ("forward", "aft"), Fx, Fy,
        Fz [N] on ground axes (aft, starboard, up), applied_at ("ground", "axle"), shock ("landing", "static",
        "extended"), attitude_deg (nose-up pitch) [deg], strokes (fractions of the stroke the row stands for; empty
        at static position) [-], Mx, My, Mz (couple) [N m], level ("limit"; "ultimate" for loads that carry no
        further factor of safety), ground_drag (drag of the ground; other than Fx where the inertia of a swinging
        wheel is in Fx) [N].

    Notes
    -----
    ``table.to_csv(path, index=False)`` writes a table in SI, strokes as in "0.25 0.5 0.75 1.0"; `read_cases` reads
    it back.

    Examples
    --------
    >>> from beam.loads import Landing, part23
    >>> from tourer import TOURER  # examples/tourer.py
    >>> table = case_table(part23.side_load(TOURER, Landing(load_factor=3.0)))
    >>> print(table.loc[0, "leg"], table.loc[0, "Fy"].round(), table.loc[0, "applied_at"])
    starboard -6080.0 ground
    """
    from pandas import DataFrame

    rows = []
    for case in cases:
        shared = {name: getattr(case, name) for name in CASE} | {"strokes": _Strokes(case.strokes)}
        for wheel in case.wheels:
            rows.append([shared[name] if name in shared else getattr(wheel, name) for name in COLUMNS])
    return in_units(DataFrame(rows, columns=list(COLUMNS)), QUANTITIES, units)


@checked
def read_cases(path: str | Path) -> "DataFrame":
    """Return a table of ground cases that ``to_csv(path, index=False)`` wrote.

    Parameters
    ----------
    path : str or Path
        File of comma-separated values with the columns of `case_table`, in SI.

    Returns
    -------
    DataFrame
        The same table, number by number, with its strokes as tuples.

    Raises
    ------
    ValueError
        If a column is missing, as in a table of US units, or does not hold numbers where it must.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> from beam.loads import Landing
    >>> from tourer import TOURER  # examples/tourer.py
    >>> table = ground_cases(TOURER, Landing(load_factor=3.0))
    >>> with TemporaryDirectory() as folder:
    ...     table.to_csv(f"{folder}/loads.csv", index=False)
    ...     read_cases(f"{folder}/loads.csv").equals(table)
    True
    """
    from pandas import read_csv

    table = read_csv(path, dtype=str, keep_default_na=False)
    missing = [name for name in COLUMNS if name not in table]
    if missing:
        reject(f"read_cases: columns of {path}", f"no {', '.join(missing)}", "those of `case_table`",
               "written in US units, or by another program?")  # fmt: skip
    try:
        table = table.astype(dict.fromkeys(NUMBERS, float))
        table["strokes"] = [_Strokes(map(float, one.split())) for one in table["strokes"]]
    except ValueError as error:
        reject(
            f"read_cases: path: numbers of {path}", str(error), "numbers, strokes with blanks between them"
        )
    return table


@checked
def ground_cases(
    airplane: Airplane,
    landing: Any,
    *,
    conditions: Sequence[Condition] = LANDING_AND_ROLLING,
    units: Units = "SI",
) -> "DataFrame":
    """Return the LIMIT loads of every ground-load condition, one row per leg.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    landing : Landing or any object
        Load factors, lift and spin-up of the landing; for a code other than Part 23 the landing object of that code.
    conditions : sequence of callable
        Functions (airplane, landing) -> list of GroundCase, such as `beam.loads.part23.EVERY`; by default those
        that size a leg, 23.479 to 23.499.
    units : str
        "SI" or "US", see `case_table`.

    Returns
    -------
    DataFrame
        The columns of `case_table`; level is "ultimate" for the reserve energy alone.

    Raises
    ------
    ValueError
        If the sheet or the landing lacks what a condition needs.

    Notes
    -----
    Landing conditions are at landing mass with `load_factor`, and at maximum mass with `max_mass_load_factor`, or
    each with that of its own point; all others at maximum mass (23.473(a)). `airplane_axes` turns the loads into
    airplane axes.
    Source: 14 CFR 23.471 to 23.511 and Appendices C and D.

    Examples
    --------
    >>> from beam.loads import Landing
    >>> from tourer import TOURER  # examples/tourer.py
    >>> table = ground_cases(TOURER, Landing(load_factor=3.0))
    >>> round(table[table.leg == "starboard"].Fz.max())
    13500
    """
    return _of_sheet(airplane, case_table(case_list(airplane, landing, conditions=conditions), units=units))


@checked
def inertia_balance(
    airplane: Airplane,
    landing: Any,
    *,
    conditions: Sequence[Condition] = LANDING_AND_ROLLING,
    units: Units = "SI",
) -> "DataFrame":
    """Return the linear and angular inertia that balances every case, one row per case.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    landing : Landing or any object
        The landing as the conditions want it: for those of Part 23 its `Landing`.
    conditions : sequence of callable
        Functions (airplane, landing) -> list of GroundCase.
    units : str
        "SI": base units; "US": to be read, each column named with its unit.

    Returns
    -------
    DataFrame
        Columns paragraph, condition, mass [kg], cg, nx, ny, nz (inertia load factor at the c.g.) [-], Mx, My, Mz
        (inertia moment) [N m] on ground axes.

    Raises
    ------
    ValueError
        If a case is one of flight, or the sheet lacks what a condition needs.

    Notes
    -----
    `balance` gives the same as objects, with the angular acceleration.
    Source: 14 CFR 23.471.

    Examples
    --------
    >>> from beam.loads import Landing
    >>> from tourer import TOURER  # examples/tourer.py
    >>> table = inertia_balance(TOURER, Landing(load_factor=3.0))
    >>> print(table.nz.max().round(6))
    3.0
    """
    from pandas import DataFrame

    rows = [
        {
            "paragraph": found.case.paragraph,
            "condition": found.case.condition,
            "mass": found.case.mass,
            "cg": found.case.cg,
            **dict(zip(("nx", "ny", "nz"), found.load_factor.tolist(), strict=True)),
            **dict(zip(("Mx", "My", "Mz"), found.inertia_moment.tolist(), strict=True)),
        }
        for found in balance(airplane, case_list(airplane, landing, conditions=conditions))
    ]
    quantities = {"mass": "mass", "Mx": "moment", "My": "moment", "Mz": "moment"}
    return in_units(DataFrame(rows), quantities, units)


@checked
def static_reactions(
    airplane: Airplane,
    *,
    masses: Annotated[ArrayLike, Limits("kg", above=0.0)] = (),
    units: Units = "SI",
) -> "DataFrame":
    """Return the wheel reactions of the standing airplane at each mass and center of gravity.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    masses : array_like
        Airplane masses; none takes the maximum and the landing mass of the sheet [kg].
    units : str
        "SI": base units; "US": to be read, each column named with its unit.

    Returns
    -------
    DataFrame
        Columns mass [kg], cg, nose and main (one wheel) [N], main_share (both mains over weight) [-].

    Raises
    ------
    ValueError
        If a mass is above the maximum mass.

    Notes
    -----
    V_n = W b / (a + b), V_m = W a / (a + b).

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> static_reactions(TOURER).main.round().tolist()
    [4870.0, 5112.0, 4634.0, 4865.0]
    """
    from pandas import DataFrame

    rows = []
    for mass in dict.fromkeys(np.ravel(masses).tolist() or (airplane.max_mass, airplane.landing_mass)):
        check_within_max_mass("static_reactions: masses [kg]", airplane, mass)
        for cg in CENTERS:
            at = stance(airplane, cg)
            nose, mains = map(float, split(mass * g, at.nose_arm, at.main_arm))
            share = mains / (mass * g)
            rows.append({"mass": mass, "cg": cg, "nose": nose, "main": mains / 2, "main_share": share})
    table = in_units(DataFrame(rows), {"mass": "mass", "nose": "force", "main": "force"}, units)
    return _of_sheet(airplane, table)


def _of_sheet(airplane: Airplane, table: "DataFrame") -> "DataFrame":
    """The table, with the main wheel of its airplane sheet in SI as an attribute, for what carries it to a gear."""
    table.attrs["main_wheel"] = {
        "contact": airplane.main_contact.tolist(),
        "radius": airplane.main_wheel_radius,
        "attitude_deg": airplane.level_attitude_deg,
    }
    return table


def in_units(table: "DataFrame", quantities: Mapping[str, str], units: Units) -> "DataFrame":
    """A table of base SI as it is, or in US customary units with the unit in the name of each column."""
    # a renamed column cannot be taken for one of base SI by what reads the table on
    if units == "SI":
        return table
    columns = {name: shown(table[name].to_numpy(), quantity, units) for name, quantity in quantities.items()}
    names = {name: f"{name} [{symbol(quantity, units)}]" for name, quantity in quantities.items()}
    return table.assign(**columns).rename(columns=names)
