"""Ground loads as tables for people."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from scipy.constants import g

from beam.loads.airplane import Airplane
from beam.loads.balance import balance
from beam.loads.case import GroundCase
from beam.loads.equipment import Equipment
from beam.loads.ground_cases import Condition, case_list
from beam.loads.layout_checks import layout_checks
from beam.loads.part23 import LANDING_AND_ROLLING
from beam.loads.part23.appendix_d import SpinUp
from beam.loads.part23.assumptions import Landing
from beam.loads.stance import split, stance

if TYPE_CHECKING:
    from pandas import DataFrame


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
) -> "DataFrame":
    """Return the LIMIT loads of every ground-load condition, one row per leg.

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

    Returns
    -------
    DataFrame
        Columns paragraph, condition, leg ("starboard", "port", "nose"), mass [kg], cg ("forward",
        "aft"), Fx, Fy, Fz [N] on ground axes (aft, starboard, up), applied_at ("ground", "axle"),
        shock ("landing", "static", "extended"), attitude_deg (nose-up pitch) [deg], strokes (fractions
        of the stroke the row stands for; empty at static position) [-], Mx, My, Mz (couple) [N m],
        level ("limit"; "ultimate" for the reserve energy alone, which carries no further factor).

    Raises
    ------
    ValueError
        If a factor is below the code's floor, or the sheet lacks what a condition needs.

    Notes
    -----
    Landing conditions are at landing mass with `load_factor`, and at maximum mass with the floor of
    23.473(g); all others at maximum mass (23.473(a)). `airplane_axes` turns the loads into
    airplane axes.

    References
    ----------
    14 CFR 23.471 to 23.511 and Appendices C and D (through Amendment 23-62).
    """
    from pandas import DataFrame

    landing = Landing(
        load_factor=load_factor,
        lift_ratio=lift_ratio,
        spin_up=spin_up,
        nose_spin_up=nose_spin_up,
        max_mass_load_factor=max_mass_load_factor,
        reserve_load_factor=reserve_load_factor,
    )
    return DataFrame(
        [
            {
                "paragraph": case.paragraph,
                "condition": case.condition,
                "leg": wheel.leg,
                "mass": case.mass,
                "cg": case.cg,
                "Fx": wheel.Fx,
                "Fy": wheel.Fy,
                "Fz": wheel.Fz,
                "applied_at": wheel.applied_at,
                "shock": case.shock,
                "attitude_deg": case.attitude_deg,
                "strokes": case.strokes,
                "Mx": wheel.Mx,
                "My": wheel.My,
                "Mz": wheel.Mz,
                "level": case.level,
            }
            for case in case_list(airplane, landing, conditions=conditions)
            for wheel in case.wheels
        ]
    )


def inertia_balance(
    airplane: Airplane, landing: Landing, *, conditions: Sequence[Condition] = LANDING_AND_ROLLING
) -> "DataFrame":
    """Return the linear and angular inertia that balances every case, one row per case.

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
    DataFrame
        Columns paragraph, condition, mass [kg], cg, nx, ny, nz (inertia load factor at the c.g.)
        [-], Mx, My, Mz (inertia moment) [N m] on ground axes, residual (largest of the six sums over
        weight, and weight times wheelbase) [-].
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
    return DataFrame(rows)


def static_reactions(airplane: Airplane) -> "DataFrame":
    """Return the wheel reactions of the standing airplane at each mass and center of gravity.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.

    Returns
    -------
    DataFrame
        Columns mass [kg], cg, nose and main (one wheel) [N], main_share (both mains over weight) [-].
    """
    from pandas import DataFrame

    rows = []
    for mass in dict.fromkeys((airplane.max_mass, airplane.landing_mass)):
        for cg in ("forward", "aft"):
            at = stance(airplane, cg)
            nose, mains = split(mass * g, at.nose_arm, at.main_arm)
            share = float(mains) / (mass * g)
            rows.append(
                {"mass": mass, "cg": cg, "nose": float(nose), "main": float(mains) / 2, "main_share": share}
            )
    return DataFrame(rows)


def layout_table(airplane: Airplane, equipment: Equipment, cases: list[GroundCase]) -> "DataFrame":
    """Return the layout and equipment checks.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    equipment : Equipment
        Ratings and points; what is missing is listed without a value.
    cases : list of GroundCase
        Ground cases from `case_list`, for the limit ratings of the wheels.

    Returns
    -------
    DataFrame
        Columns check, value, relation, limit, unit, met (missing where a side is), source (paragraph, or
        common practice).
    """
    from pandas import DataFrame

    checks = layout_checks(airplane, equipment, cases)
    columns = ["check", "value", "relation", "limit", "unit", "met", "source"]
    table = DataFrame([[getattr(check, column) for column in columns] for check in checks], columns=columns)
    return table.astype({"value": float, "limit": float, "met": "boolean"})
