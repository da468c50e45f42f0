"""From ground-load conditions to rows for the main leg: every stroke each condition stands for."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.constants import g

from beam.gear.checks import able
from beam.gear.main_gear import MainGear
from beam.gear.strut_loads import PLACES, StrutLoads
from materials.checks import Array, array, reject, sequence
from materials.kinds import instance
from materials.limits import between

POSITIONS = ("landing", "static", "extended")
"""Shock positions: judged over the stroke, standing, in the air."""

WORDS = {"leg": ("starboard", "port", "nose"), "shock": POSITIONS, "applied_at": PLACES}
"""Columns of words, and the words they may hold."""

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
        """Carry every case through the link to the strut.

        Parameters
        ----------
        gear : MainGear
            The starboard gear.

        Returns
        -------
        StrutLoads
            One row per case.
        """
        instance("LegCases.strut_loads: gear", gear, MainGear)
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
    fractions: ArrayLike | None = None,
) -> LegCases:
    """Expand a table of ground-load conditions over the strokes that each stands for.

    Parameters
    ----------
    gear : MainGear
        The starboard gear; the port one is its mirror image.
    table : mapping
        Columns leg, Fx, Fy, Fz [N], applied_at ("ground", "axle"), shock ("landing", "static",
        "extended"), strokes (of each row, the strokes over full stroke that it is judged at) and
        attitude_deg [deg], as ``table["Fx"]``; Mx, My, Mz [N m] if there are couples. A DataFrame or a dict of
        columns. Rows of the nose leg are left out. A static row has no strokes: it is judged where it stands.
    static_load : array_like, shape () or (row,)
        Static vertical load of the leg, for each row of the table or for all [N].
    fractions : array_like, shape (stroke,), optional
        Strokes of all landing conditions over the full stroke, in place of the column's [-].

    Returns
    -------
    LegCases
        One row per condition and stroke, in the order of the table.

    Raises
    ------
    ValueError
        If a column is missing or of another length, a leg or a shock position has another name, or a stroke is
        outside 0 to 1.
    """
    instance("leg_cases: gear", gear, MainGear)
    able("leg_cases: table", table, "keys", "__getitem__", "__contains__")
    columns = COLUMNS if fractions is not None else (*COLUMNS, "strokes")
    missing = [name for name in columns if name not in table]
    if missing:
        reject("leg_cases: missing columns", ", ".join(missing), f"a table with {', '.join(columns)}")
    rows = len(np.atleast_1d(np.asarray(table["leg"], dtype=str)))
    leg, shock, places = (_words(table, name, rows, known) for name, known in WORDS.items())
    load = array("leg_cases: static_load [N]", static_load)
    if load.shape not in ((), (rows,)):
        reject("leg_cases: static_load [N]", f"shape {load.shape}", f"one, or one for each of {rows} rows")
    if not (load > 0).all():
        reject("leg_cases: static_load [N]", f"{load.min():g}", "> 0", "the load of the ground, positive up")
    load = np.broadcast_to(load, leg.shape)
    main = np.isin(leg, list(MIRROR))
    standing = np.zeros(leg.shape)
    at_rest = main & (shock == "static")
    standing[at_rest] = gear.static(load[at_rest] / g) / gear.shock.max_stroke
    given = None if fractions is None else _fractions("leg_cases: fractions [-]", fractions)
    if given is not None and not len(given):
        reject("leg_cases: fractions [-]", "none", "one at least")
    own, at = _strokes(table, rows), np.flatnonzero(main).tolist()
    judged = [_judged(i, own[i], str(shock[i]), float(standing[i]), given) for i in at]

    row = np.repeat(np.array(at, dtype=int), [len(one) for one in judged])
    fraction = np.concatenate([np.zeros(0), *judged])
    side = np.array([MIRROR[name] for name in leg[row].tolist()]).reshape(-1, 1)
    return LegCases(
        row=row,
        fraction=fraction,
        stroke=fraction * gear.shock.max_stroke,
        # in a mirror the athwart force turns round, and of a couple the other two components do
        force=_columns(table, ("Fx", "Fy", "Fz"), rows)[row] * np.where([True, False, True], 1.0, side),
        moment=_columns(table, ("Mx", "My", "Mz"), rows)[row] * np.where([False, True, False], 1.0, side),
        applied_at=places[row],
        attitude_deg=_column(table, "attitude_deg", rows)[row],
        tire_load=load[row],
    )


def _words(table: Mapping[str, Any], name: str, rows: int, known: tuple[str, ...]) -> NDArray[np.str_]:
    """Return a column of known words, one for each row."""
    words = np.atleast_1d(np.asarray(table[name], dtype=str))
    if words.shape != (rows,):
        reject(f"leg_cases: {name}", f"shape {words.shape}", f"one word for each of {rows} rows")
    if not np.isin(words, known).all():
        reject(f"leg_cases: {name}", sorted(set(words.tolist()) - set(known)), f"one of {known}")
    return words


def _column(table: Mapping[str, Any], name: str, rows: int) -> Array:
    """Return a column of numbers, one for each row; couples that the table leaves out are none."""
    values = array(f"leg_cases: {name}", table[name] if name in table else np.zeros(rows))
    if values.shape != (rows,):
        reject(f"leg_cases: {name}", f"shape {values.shape}", f"one number for each of {rows} rows")
    return values


def _columns(table: Mapping[str, Any], names: tuple[str, str, str], rows: int) -> Array:
    return np.stack([_column(table, name, rows) for name in names], axis=-1)


def _strokes(table: Mapping[str, Any], rows: int) -> list[Array]:
    """Return the column of strokes; none for each row where the table has no such column."""
    if "strokes" not in table:
        return [np.zeros(0)] * rows
    given = sequence("leg_cases: strokes", table["strokes"], empty=True)
    if len(given) != rows:
        reject("leg_cases: strokes", f"{len(given)} rows", f"one row of strokes for each of {rows} rows")
    return [_fractions(f"leg_cases: strokes of row {i} [-]", one) for i, one in enumerate(given)]


def _judged(i: int, own: Array, shock: str, standing: float, given: Array | None) -> Array:
    """Strokes over full stroke that one row of the table is judged at."""
    what = f"leg_cases: strokes of row {i} [-]"
    if shock == "landing":
        if given is None and not len(own):
            reject(what, "none", "one at least for a landing condition")
        return own if given is None else given
    if (own != standing).any():
        cause = f"the shock of this row is {shock}: its place is not a choice"
        reject(what, own.tolist(), "left empty", cause)
    return np.array([standing])


def _fractions(what: str, value: ArrayLike) -> Array:
    strokes = array(what, value)
    if strokes.ndim != 1:
        reject(what, f"shape {strokes.shape}", "a row of strokes over the full stroke")
    return between(what, strokes, 0.0, 1.0, "given in percent or meters?")
