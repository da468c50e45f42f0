"""Where the gear meets the strut: ground-load conditions carried through the link into loads on the strut's axis."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from beam.gear import MainGear, leg_cases
from beam.strut import MoldLine, PointLoads
from materials.checks import Array, reject

if TYPE_CHECKING:
    import pandas as pd

# Decimals to which loads and their points are compared: a micrometer, a micronewton, a micronewton meter.
_ALIKE = 6


@dataclass(frozen=True, kw_only=True, eq=False)
class DesignCases:
    """Limit load cases of a strut.

    Parameters
    ----------
    labels : ndarray of str, shape (case,)
        Paragraph, condition, mass, c.g. and stroke of each case.
    loads : PointLoads
        What bracket and link pivot put on the strut.
    row : ndarray of int, shape (case,)
        Row of the ground-load table that each case comes from [-].
    shock_force : ndarray, shape (case,)
        Axial force of the shock, compression positive [N].
    """

    labels: NDArray[np.str_]
    loads: PointLoads
    row: NDArray[np.int64]
    shock_force: Array


def design_cases(
    gear: MainGear, cases: "pd.DataFrame", mold_line: MoldLine, *, static: "pd.DataFrame"
) -> DesignCases:
    """Carry every condition, at every stroke it stands for, through the link to the strut.

    Parameters
    ----------
    gear : MainGear
        The starboard gear; port conditions are mirrored onto it.
    cases : DataFrame
        From `beam.loads.ground_cases`.
    mold_line : MoldLine
        The strut, trunnion to link pivot.
    static : DataFrame
        From `beam.loads.static_reactions`: the load that sets stroke and loaded radius.

    Returns
    -------
    DesignCases
        Cases that load the strut alike are kept once, under the first label.

    Raises
    ------
    ValueError
        If a row is not a limit load.
        If the mold line does not end at the gear's link pivot, or the bracket is off the strut.
    """
    miss = float(np.linalg.norm(mold_line.tip - gear.link.pivot))
    if miss > 1e-6:
        reject("design_cases: mold line to link pivot [m]", f"{miss:.3g} apart", "the tip at the pivot")
    bracket = float((gear.link.shock_on_strut - mold_line.root) @ mold_line.frame[0])
    if not 0 < bracket < mold_line.length:
        reject(
            "design_cases: station of the shock's bracket [m]",
            f"{bracket:.4g}",
            f"from 0 to {mold_line.length:.4g}",
        )
    main = cases[cases["leg"] != "nose"].reset_index(drop=True)
    ultimate = main["level"] != "limit"
    if ultimate.any():
        which = sorted(set(main["condition"][ultimate]))
        reject(
            "design_cases: level", which, "limit loads only", "reserve energy rows carry no further factor"
        )
    load = main.merge(static, on=["mass", "cg"], how="left")["main"].to_numpy(dtype=float)
    legs = leg_cases(gear, {str(name): main[name].to_numpy() for name in main}, static_load=load)
    on_strut = legs.strut_loads(gear)
    wrench = np.concatenate([on_strut.points, on_strut.force, on_strut.moment], axis=-1)
    _, first = np.unique(wrench.reshape(len(wrench), -1).round(_ALIKE), axis=0, return_index=True)
    first = np.sort(first)
    labels = np.array([_label(main.iloc[legs.row[i]], float(legs.fraction[i])) for i in first])
    loads = mold_line.point_loads(
        [mold_line.length, bracket], on_strut.points[first], on_strut.force[first], on_strut.moment[first]
    )
    return DesignCases(
        labels=labels, loads=loads, row=legs.row[first], shock_force=on_strut.shock_force[first]
    )


def _label(row: "pd.Series[Any]", fraction: float) -> str:
    side = "" if row["leg"] == "starboard" else ", port leg"
    cg = {"forward": "fwd"}.get(str(row["cg"]), row["cg"])
    return f"{row['paragraph']} {row['condition']}{side}, {row['mass']:.0f} kg {cg}, stroke {100 * fraction:.0f} %"
