"""From ground-load conditions to rows for the main leg: every stroke each condition stands for."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.constants import g

from beam.gear.gear import MainGear, StrutLoads
from materials.checks import Array, array, reject

STROKE_FRACTIONS = (0.25, 0.5, 0.75, 1.0)
"""Strokes for landing conditions: from 25 to 100 percent, 14 CFR 23 Appendix C Note 2 [-]."""

POSITIONS = ("landing", "static", "extended")
"""Shock positions: judged over the stroke, standing, in the air."""

COLUMNS = ("leg", "Fx", "Fy", "Fz", "applied_at", "shock", "attitude_deg")
"""What a table of ground-load conditions must hold."""

MIRROR = {"starboard": 1.0, "port": -1.0}
"""Main legs and the sign that takes their side loads to the starboard leg."""


@dataclass(frozen=True, kw_only=True, eq=False)
class LegCases:
    """Conditions of the main legs, seen on the starboard leg, one row per stroke.

    Parameters
    ----------
    row : ndarray of int, shape (case,)
        Row of the table that the case comes from, counted from 0 [-].
    fraction : ndarray, shape (case,)
        Stroke over full stroke [-].
    stroke : ndarray, shape (case,)
        Stroke of the shock [m].
    force : ndarray, shape (case, 3)
        Force of the ground on the wheel, ground axes; port legs mirrored to starboard [N].
    moment : ndarray, shape (case, 3)
        Couple of the ground on the wheel, mirrored likewise [N m].
    applied_at : sequence of str, shape (case,)
        "ground" or "axle".
    attitude_deg : ndarray, shape (case,)
        Nose-up attitude [deg].
    tire_load : ndarray, shape (case,)
        Static load of the leg, which sets the loaded radius [N].
    """

    row: NDArray[np.int64]
    fraction: Array
    stroke: Array
    force: Array
    moment: Array
    applied_at: NDArray[np.str_]
    attitude_deg: Array
    tire_load: Array

    def strut_loads(self, gear: MainGear) -> StrutLoads:
        """Carry every case through the link to the strut."""
        return gear.strut_loads(
            self.force,
            self.applied_at,
            self.stroke,
            self.attitude_deg,
            tire_load=self.tire_load,
            moment=self.moment,
        )


def leg_cases(
    gear: MainGear,
    table: Mapping[str, Any],
    *,
    static_load: ArrayLike,
    fractions: Sequence[float] = STROKE_FRACTIONS,
) -> LegCases:
    """Expand a table of ground-load conditions over the strokes that each stands for.

    Parameters
    ----------
    gear : MainGear
        The starboard gear; the port one is its mirror image.
    table : mapping
        Columns leg, Fx, Fy, Fz [N], applied_at ("ground", "axle"), shock ("landing", "static",
        "extended") and attitude_deg [deg], as ``table["Fx"]``; Mx, My, Mz [N m] if there are couples. A
        DataFrame or a dict of arrays. Rows of the nose leg are left out.
    static_load : array_like, shape () or (row,)
        Static vertical load of the leg, for each row of the table or for all [N].
    fractions : sequence of float
        Strokes of landing conditions over the full stroke [-].

    Returns
    -------
    LegCases
        One row per condition and stroke, in the order of the table.

    Raises
    ------
    ValueError
        If a leg or a shock position has another name, or a fraction is outside 0 to 1.
    """
    missing = [name for name in COLUMNS if name not in table]
    if missing:
        reject("leg_cases: missing columns", ", ".join(missing), f"a table with {', '.join(COLUMNS)}")
    leg, shock = np.asarray(table["leg"], dtype=str), np.asarray(table["shock"], dtype=str)
    for name, words, known in (("leg", leg, (*MIRROR, "nose")), ("shock", shock, POSITIONS)):
        if not np.isin(words, known).all():
            reject(f"leg_cases: {name}", sorted(set(words.tolist()) - set(known)), f"one of {known}")
    strokes = array("leg_cases: fractions [-]", fractions, last=(-1,))
    if not ((strokes >= 0) & (strokes <= 1)).all():
        reject("leg_cases: fractions [-]", strokes.tolist(), "from 0 to 1", "given in percent or meters?")
    load = array("leg_cases: static_load [N]", static_load)
    if load.shape not in ((), leg.shape):
        reject(
            "leg_cases: static_load [N]", f"shape {load.shape}", f"one, or one for each of {len(leg)} rows"
        )
    load = np.broadcast_to(load, leg.shape)
    main, landing = np.isin(leg, list(MIRROR)), shock == "landing"
    standing = np.zeros(leg.shape)
    at_rest = main & (shock == "static")
    standing[at_rest] = gear.static(load[at_rest] / g) / gear.shock.max_stroke

    count = np.where(main, np.where(landing, len(strokes), 1), 0)
    row = np.repeat(np.arange(len(leg)), count)
    place = np.arange(len(row)) - np.repeat(np.cumsum(count) - count, count)
    fraction = np.where(landing[row], strokes[np.where(landing[row], place, 0)], standing[row])
    side = np.array([MIRROR[name] for name in leg[row].tolist()]).reshape(-1, 1)
    return LegCases(
        row=row,
        fraction=fraction,
        stroke=fraction * gear.shock.max_stroke,
        # in a mirror the athwart force turns round, and of a couple the other two components do
        force=_columns(table, ("Fx", "Fy", "Fz"), leg.shape)[row] * np.where([True, False, True], 1.0, side),
        moment=_columns(table, ("Mx", "My", "Mz"), leg.shape)[row]
        * np.where([False, True, False], 1.0, side),
        applied_at=np.asarray(table["applied_at"], dtype=str)[row],
        attitude_deg=array("leg_cases: attitude_deg [deg]", table["attitude_deg"])[row],
        tire_load=load[row],
    )


def _columns(table: Mapping[str, Any], names: tuple[str, str, str], shape: tuple[int, ...]) -> Array:
    """Return three columns side by side; a table without couples may leave theirs out."""
    columns = {name: table[name] if name in table else np.zeros(shape) for name in names}
    return np.stack([array(f"leg_cases: {name}", column) for name, column in columns.items()], axis=-1)
