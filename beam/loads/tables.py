"""Ground loads as tables for people."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

import numpy as np
from scipy.constants import g

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase
from beam.loads.ground_cases import Condition, case_list
from beam.loads.part23 import LANDING_AND_ROLLING
from beam.loads.part23.appendix_d import SpinUp
from beam.loads.part23.landing import Landing
from beam.loads.shown_table import in_units
from beam.loads.stance import CENTERS, split, stance
from materials.kinds import instance, instances
from materials.limits import positive

if TYPE_CHECKING:
    from pandas import DataFrame

CASE = ("paragraph", "condition", "mass", "cg", "shock", "attitude_deg", "strokes", "level")
WHEEL = ("leg", "Fx", "Fy", "Fz", "applied_at", "Mx", "My", "Mz")
COLUMNS = (
    *("paragraph", "condition", "leg", "mass", "cg", "Fx", "Fy", "Fz", "applied_at", "shock", "attitude_deg"),
    *("strokes", "Mx", "My", "Mz", "level"),
)
QUANTITIES = (
    {"mass": "mass"}
    | dict.fromkeys(("Fx", "Fy", "Fz"), "force")
    | dict.fromkeys(("Mx", "My", "Mz"), "moment")
)


def case_table(cases: Iterable[GroundCase], *, units: str = "SI") -> "DataFrame":
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
        Columns paragraph, condition, leg ("starboard", "port", "nose"), mass [kg], cg ("forward",
        "aft"), Fx, Fy, Fz [N] on ground axes (aft, starboard, up), applied_at ("ground", "axle"),
        shock ("landing", "static", "extended"), attitude_deg (nose-up pitch) [deg], strokes (fractions
        of the stroke the row stands for; empty at static position) [-], Mx, My, Mz (couple) [N m],
        level ("limit"; "ultimate" for loads that carry no further factor of safety).

    Raises
    ------
    ValueError
        If there is anything but cases, or the system of units is unknown.
    """
    from pandas import DataFrame

    held = instances("case_table: cases", cases, GroundCase, least=0)
    rows = [
        {name: getattr(case if name in CASE else wheel, name) for name in COLUMNS}
        for case in held
        for wheel in case.wheels
    ]
    return in_units(DataFrame(rows, columns=list(COLUMNS)), QUANTITIES, units)


def ground_cases(
    airplane: Airplane,
    *,
    load_factor: float,
    lift_ratio: float = 2 / 3,
    spin_up: SpinUp | None = None,
    nose_spin_up: SpinUp | None = None,
    max_mass_load_factor: float | None = None,
    reserve_load_factor: float | None = None,
    conditions: Sequence[Condition] = LANDING_AND_ROLLING,
    units: str = "SI",
) -> "DataFrame":
    """Return the LIMIT loads of every ground-load condition of Part 23, one row per leg.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    load_factor : float
        Limit inertia load factor n at landing mass; `required_load_factor` raises a drop's [-].
    lift_ratio : float
        Wing lift over weight during the landing, at most 2/3 [-].
    spin_up, nose_spin_up : SpinUp, optional
        Wheels for Appendix D; None takes the drag at 0.8 of the peak vertical load, the most
        that is asked for.
    max_mass_load_factor : float, optional
        Limit inertia load factor at maximum mass; None takes the floor of 23.473(g) [-].
    reserve_load_factor : float, optional
        Inertia load factor of the reserve energy landing, for its row [-].
    conditions : sequence of callable
        Functions (airplane, landing) -> list of GroundCase, such as `beam.loads.part23.EVERY`; by
        default those that size a leg, 23.479 to 23.499.
    units : str
        "SI" or "US", see `case_table`.

    Returns
    -------
    DataFrame
        The columns of `case_table`; level is "ultimate" for the reserve energy alone.

    Raises
    ------
    ValueError
        If a factor is below the code's floor, or the sheet lacks what a condition needs.

    Notes
    -----
    Landing conditions are at landing mass with `load_factor`, and at maximum mass with the floor of
    23.473(g); all others at maximum mass (23.473(a)). `airplane_axes` turns the loads into
    airplane axes. Another code: `case_table(case_list(airplane, its_landing, conditions=its_conditions))`.

    References
    ----------
    14 CFR 23.471 to 23.511 and Appendices C and D (through Amendment 23-62).
    """
    landing = Landing(
        load_factor=load_factor,
        lift_ratio=lift_ratio,
        spin_up=spin_up,
        nose_spin_up=nose_spin_up,
        max_mass_load_factor=max_mass_load_factor,
        reserve_load_factor=reserve_load_factor,
    )
    return case_table(case_list(airplane, landing, conditions=conditions), units=units)


def static_reactions(airplane: Airplane, *, masses: Sequence[float] = (), units: str = "SI") -> "DataFrame":
    """Return the wheel reactions of the standing airplane at each mass and center of gravity.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    masses : sequence of float
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
        If a mass is not positive or above the maximum mass, or the system of units is unknown.
    """
    from pandas import DataFrame

    instance("static_reactions: airplane", airplane, Airplane)
    slip = "more than the maximum mass; given in pounds?"
    given = positive("static_reactions: masses [kg]", masses, airplane.max_mass, slip)
    rows = []
    for mass in dict.fromkeys(np.ravel(given).tolist() or (airplane.max_mass, airplane.landing_mass)):
        for cg in CENTERS:
            at = stance(airplane, cg)
            nose, mains = split(mass * g, at.nose_arm, at.main_arm)
            share = float(mains) / (mass * g)
            rows.append(
                {"mass": mass, "cg": cg, "nose": float(nose), "main": float(mains) / 2, "main_share": share}
            )
    return in_units(DataFrame(rows), {"mass": "mass", "nose": "force", "main": "force"}, units)
