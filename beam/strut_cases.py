"""Where the gear meets the strut: ground-load conditions carried through the link into loads on the strut's axis."""

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, Any

import numpy as np
from numpy.typing import NDArray
from scipy.constants import g

from beam.gear import MainGear, leg_cases
from beam.gear.one_gear import check_one_gear, check_one_wheel
from beam.loads import Airplane
from beam.loads.case import LEVELS
from beam.strut import MoldLine, PointLoads
from materials.checks import (
    Frozen,
    Limits,
    Numbers,
    Table,
    WholeNumbers,
    array,
    checked,
    one_of,
    reject,
)

if TYPE_CHECKING:
    import pandas as pd

# Decimals to which loads and their points are compared: a micrometer, a micronewton, a micronewton meter.
_ALIKE = 6

_COLUMNS = {
    "cases": ("paragraph", "condition", "leg", "mass", "cg", "level", "strokes"),
    "static": ("mass", "cg", "main"),
}

__all__ = ["DesignCases", "design_cases"]


class DesignCases(Frozen):
    """Load cases of a strut, each at limit or at ultimate load.

    Parameters
    ----------
    labels : ndarray of str, shape (case,)
        Paragraph, condition, mass, c.g. and stroke of each case; of a row at ultimate load also that it is.
    loads : PointLoads
        Loads of bracket and link pivot on the strut, each case with its level.
    row : ndarray of int, shape (case,)
        Row of the ground-load table that each case comes from [-].
    shock_force : ndarray, shape (case,)
        Axial force of the shock in these loads, compression positive [N].
    contact : ndarray, shape (case, 3)
        Where the ground's force acts on the wheel, airplane axes [m].
    stroke : array_like, shape (case,)
        Stroke of the shock in each case [m].

    Examples
    --------
    >>> import beam, tarn  # examples/tarn.py
    >>> landing = beam.Landing(load_factor=2.96)
    >>> cases = beam.ground_cases(tarn.AIRPLANE, landing)
    >>> static = beam.static_reactions(tarn.AIRPLANE)
    >>> design_cases(tarn.GEAR, cases, tarn.MOLD_LINE, static=static).loads.at.round(3).tolist()
    [0.62, 0.297]
    """

    labels: NDArray[np.str_]
    loads: PointLoads
    row: Annotated[WholeNumbers, Limits("-", at_least=0, shape=(-1,))]
    shock_force: Annotated[Numbers, Limits("N", shape=(-1,))]
    contact: Annotated[Numbers, Limits("m", shape=(-1, 3))]
    stroke: Annotated[Numbers, Limits("m", shape=(-1,), at_least=0.0)]


@checked
def design_cases(
    gear: MainGear,
    cases: Table,
    mold_line: MoldLine,
    *,
    static: Table,
    airplane: Airplane | None = None,
) -> DesignCases:
    """Carry every condition, at every stroke it stands for, through the link to the strut.

    Parameters
    ----------
    gear : MainGear
        The starboard gear; port conditions are mirrored onto it.
    cases : DataFrame
        From `beam.ground_cases`, in SI.
    mold_line : MoldLine
        The strut, trunnion to link pivot.
    static : DataFrame
        From `beam.static_reactions`: the load that sets stroke and loaded radius.
    airplane : Airplane, optional
        The sheet behind these tables, to check that its main wheel is the gear's; None takes the wheel that the tables
        bring in their ``attrs``. Tables read back from a file bring none, and are not checked.

    Returns
    -------
    DesignCases
        Cases that load the strut alike are kept once, under the first label.

    Raises
    ------
    ValueError
        If a mass and c.g. has no static load, no row is of a main leg, or a static load is more than half the weight.
        If the mold line does not end at the gear's link pivot, or the bracket is off the strut. If the airplane's main
        wheel is another than the gear's.

    Notes
    -----
    The reserve energy landing (14 CFR 23.723(b)) is ultimate as it stands: the gear may yield but must not fail. Such
    a row keeps its load and carries the level "ultimate": it meets no check at limit load and no second 1.5. The
    special factor of 23.619 and the deflection allowance stay on it: the scatter and moisture that the special factor
    stands for weaken the strut in any landing.

    Examples
    --------
    >>> import beam, tarn  # examples/tarn.py
    >>> landing = beam.Landing(load_factor=2.96)
    >>> cases = beam.ground_cases(tarn.AIRPLANE, landing)
    >>> static = beam.static_reactions(tarn.AIRPLANE)
    >>> design = design_cases(tarn.GEAR, cases, tarn.MOLD_LINE, static=static)
    >>> len(design.labels), str(design.labels[0])
    (88, '23.479(a)(2)(i) three-point, peak vertical, 1180 kg fwd, stroke 25 %')
    """
    if airplane is not None:
        check_one_gear("design_cases", airplane, gear)
    sheets = [table.attrs["main_wheel"] for table in (cases, static) if "main_wheel" in table.attrs]
    if sheets[1:] and sheets[0] != sheets[1]:
        reject("design_cases: main wheel of cases and static", sheets, "that of one airplane sheet")
    miss = float(np.linalg.norm(mold_line.tip - gear.link.pivot))
    if miss > 1e-6:
        reject("design_cases: mold_line to link pivot [m]", f"{miss:.3g} apart", "the tip at the pivot")
    bracket = float((gear.link.shock_on_strut - mold_line.root) @ mold_line.frame[0])
    if not 0 < bracket < mold_line.length:
        what, limit = "design_cases: station of the shock's bracket [m]", f"from 0 to {mold_line.length:.4g}"
        reject(what, f"{bracket:.4g}", limit)
    for name, table in (("cases", cases), ("static", static)):
        if missing := [column for column in _COLUMNS[name] if column not in table]:
            cause = "printed in US units? loads are carried on in SI"
            reject(f"design_cases: {name}", f"no {', '.join(missing)}", "a table of beam.loads in SI", cause)
    main = cases[cases["leg"] != "nose"].reset_index(drop=True)
    if main.empty:
        reject("design_cases: cases", "no row of a main leg", "one at least")
    mass = array("design_cases: mass of cases [kg]", main["mass"].to_numpy())
    array("design_cases: mass of static [kg]", static["mass"].to_numpy())
    for level in dict.fromkeys(main["level"]):
        one_of("design_cases: level", level, LEVELS)
    if static.duplicated(["mass", "cg"]).any():
        reject("design_cases: static", "two rows for a mass and c.g.", "one", "two airplanes in one table?")
    load = main.merge(static, on=["mass", "cg"], how="left")["main"].to_numpy(dtype=float)
    if np.isnan(load).any():
        lost = main.loc[np.isnan(load), ["mass", "cg"]].drop_duplicates().to_numpy().tolist()
        limit = "one for every mass and c.g."
        reject("design_cases: static", f"no row for {lost}", limit, "static_reactions(masses=)")
    over = load > mass * g / 2 * (1 + 1e-9)
    if over.any():
        got, cause = f"{load[over][0]:.5g} for {mass[over][0]:g} kg", "the load of both main wheels?"
        reject("design_cases: static main [N]", got, "at most half the weight", cause)

    if sheets and airplane is None:
        check_one_wheel("design_cases", gear, static["main"].to_numpy(dtype=float), **sheets[0])
    legs = leg_cases(gear, {str(name): main[name].to_numpy() for name in main}, static_load=load)
    on_strut, level = legs.strut_loads(gear), main["level"].to_numpy(dtype=str)[legs.row]
    force, moment = on_strut.force, on_strut.moment
    wrench = np.concatenate([on_strut.points, force, moment], axis=-1)
    alike = np.column_stack([wrench.reshape(len(wrench), -1).round(_ALIKE), level == "ultimate"])
    _, first = np.unique(alike, axis=0, return_index=True)
    first = np.sort(first)
    named = zip(legs.row[first], legs.fraction[first], strict=True)
    labels = np.array([_label(main.iloc[row], float(stroke)) for row, stroke in named])
    loads = mold_line.point_loads(
        [mold_line.length, bracket], on_strut.points[first], force[first], moment[first]
    )
    loads = replace(loads, level=level[first].tolist())
    return DesignCases(
        labels=labels,
        loads=loads,
        row=legs.row[first],
        shock_force=on_strut.shock_force[first],
        contact=on_strut.contact[first],
        stroke=legs.fraction[first] * gear.shock.max_stroke,
    )


def _label(row: "pd.Series[Any]", fraction: float) -> str:
    """Name of a case."""
    side = "" if row["leg"] == "starboard" else ", port leg"
    cg = {"forward": "fwd"}.get(str(row["cg"]), row["cg"])
    ultimate = ", at ultimate load" if row["level"] == "ultimate" else ""
    return (
        f"{row['paragraph']} {row['condition']}{side}, {row['mass']:.0f} kg {cg}, "
        f"stroke {100 * fraction:.0f} %{ultimate}"
    )
