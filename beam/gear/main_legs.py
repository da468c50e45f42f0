"""From ground-load conditions to cases of the main leg: every stroke that each condition stands for."""

from collections.abc import Mapping
from typing import Annotated, Any

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.constants import g

from beam.gear.main_gear import PLACES, MainGear
from beam.gear.strut_loads import StrutLoads
from materials.checks import Array, Frozen, Limits, Numbers, WholeNumbers, array, checked, reject, sequence

POSITIONS = ("landing", "static", "extended")
"""Shock positions: anywhere in the stroke, standing, in the air."""

WORDS = {"leg": ("starboard", "port", "nose"), "shock": POSITIONS, "applied_at": PLACES}
"""Columns of words, and the words allowed in them."""

COLUMNS = ("leg", "Fx", "Fy", "Fz", "applied_at", "shock", "attitude_deg")
"""Columns that a table of ground-load conditions must have."""

MIRROR = {"starboard": 1.0, "port": -1.0}
"""Main legs and the sign that takes their side loads to the starboard leg."""

FRACTIONS = Limits("-", shape=(-1,), at_least=0.0, at_most=1.0, cause="given in percent or meters?")


class LegCases(Frozen):
    """Conditions of the main legs, seen on the starboard leg, one row per stroke, from `leg_cases`.

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
    applied_at : ndarray of str, shape (case,)
        "ground" or "axle".
    attitude_deg : ndarray, shape (case,)
        Nose-up attitude [deg].
    tire_load : ndarray, shape (case,)
        Static load of the leg, which sets the loaded radius [N].

    Examples
    --------
    >>> from beam.gear import leg_cases
    >>> from tourer import GEAR  # examples/tourer.py
    >>> table = {"leg": ["starboard"], "Fx": [3e3], "Fy": [0], "Fz": [13e3], "attitude_deg": [0],
    ...     "applied_at": ["axle"], "shock": ["landing"]}
    >>> cases = leg_cases(GEAR, table, static_load=5168, fractions=[0.25, 1.0])
    >>> cases.strut_loads(GEAR).shock_force.round(-2)
    array([31500., 24300.])
    """

    row: Annotated[WholeNumbers, Limits("-", shape=(-1,))]
    fraction: Annotated[Numbers, Limits("-", shape=(-1,))]
    stroke: Annotated[Numbers, Limits("m", shape=(-1,))]
    force: Annotated[Numbers, Limits("N", shape=(-1, 3))]
    moment: Annotated[Numbers, Limits("N m", shape=(-1, 3))]
    applied_at: NDArray[np.str_]
    attitude_deg: Annotated[Numbers, Limits("deg", shape=(-1,))]
    tire_load: Annotated[Numbers, Limits("N", shape=(-1,))]

    @checked
    def strut_loads(self, gear: MainGear) -> StrutLoads:
        """Carry every case through the link to the strut, one row per case.

        Parameters
        ----------
        gear : MainGear
            The starboard gear.
        """
        return gear.strut_loads(
            self.force,
            self.applied_at,
            self.stroke,
            self.attitude_deg,
            tire_load=self.tire_load,
            moment=self.moment,
        )


@checked
def leg_cases(
    gear: MainGear,
    table: Any,
    *,
    static_load: Annotated[ArrayLike, Limits("N", above=0.0, cause="the load of the ground, positive up")],
    fractions: Annotated[ArrayLike | None, FRACTIONS] = None,
) -> LegCases:
    """Expand a table of ground-load conditions over the strokes that each stands for.

    Parameters
    ----------
    gear : MainGear
        The starboard gear; the port one is its mirror image.
    table : mapping or DataFrame
        Columns leg, Fx, Fy, Fz [N], applied_at ("ground", "axle"), shock ("landing", "static", "extended"),
        attitude_deg [deg] and strokes; Mx, My, Mz [N m] if there are couples. A row of strokes lists the strokes
        over full stroke at which a landing condition is evaluated; it is empty for a static one, which is evaluated
        where the airplane stands. Rows of the nose leg are left out.
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

    Notes
    -----
    On the mirrored port leg Fy, Mx and Mz change sign.

    Examples
    --------
    >>> from beam.gear import leg_cases
    >>> from tourer import GEAR  # examples/tourer.py
    >>> row = {"leg": ["port"], "Fx": [0], "Fy": [-6e3], "Fz": [8e3], "applied_at": ["ground"], "shock": ["static"],
    ...     "attitude_deg": [0], "strokes": [()]}
    >>> cases = leg_cases(GEAR, row, static_load=5168.0)
    >>> cases.force, cases.fraction.round(3)
    (array([[   0., 6000., 8000.]]), array([0.697]))
    """
    if not all(hasattr(table, part) for part in ("keys", "__getitem__", "__contains__")):
        reject("leg_cases: table", f"{table!r:.80}", "a mapping of columns or a DataFrame")
    columns = COLUMNS if fractions is not None else (*COLUMNS, "strokes")
    missing = [name for name in columns if name not in table]
    if missing:
        reject("leg_cases: table, missing columns", ", ".join(missing), f"a table with {', '.join(columns)}")
    rows = len(np.atleast_1d(np.asarray(table["leg"], dtype=str)))
    leg, shock, places = (_words(table, name, rows, known) for name, known in WORDS.items())
    load = np.asarray(static_load)
    if load.shape not in ((), (rows,)):
        reject("leg_cases: static_load [N]", f"shape {load.shape}", f"one, or one for each of {rows} rows")
    load = np.broadcast_to(load, leg.shape)
    main = np.isin(leg, list(MIRROR))
    standing = np.zeros(leg.shape)
    at_rest = main & (shock == "static")
    standing[at_rest] = gear.static(load[at_rest] / g) / gear.shock.max_stroke
    given = None if fractions is None else np.asarray(fractions)
    if given is not None and not len(given):
        reject("leg_cases: fractions [-]", "none", "one at least")
    own, at = _strokes(table, rows), np.flatnonzero(main).tolist()
    at_strokes = [_at_strokes(i, own[i], str(shock[i]), float(standing[i]), given) for i in at]
    row = np.repeat(np.array(at, dtype=int), [len(one) for one in at_strokes])
    fraction = np.concatenate([np.zeros(0), *at_strokes])
    side = np.array([MIRROR[name] for name in leg[row].tolist()]).reshape(-1, 1)
    return LegCases(
        row=row,
        fraction=fraction,
        stroke=fraction * gear.shock.max_stroke,
        # in a mirror the athwart force changes sign, and of a couple the other two components do
        force=_columns(table, ("Fx", "Fy", "Fz"), rows)[row] * np.where([True, False, True], 1.0, side),
        moment=_columns(table, ("Mx", "My", "Mz"), rows)[row] * np.where([False, True, False], 1.0, side),
        applied_at=places[row],
        attitude_deg=_column(table, "attitude_deg", rows)[row],
        tire_load=load[row],
    )


def _words(table: Mapping[str, Any], name: str, rows: int, known: tuple[str, ...]) -> NDArray[np.str_]:
    words = np.atleast_1d(np.asarray(table[name], dtype=str))
    if words.shape != (rows,):
        reject(f"leg_cases: {name}", f"shape {words.shape}", f"one word for each of {rows} rows")
    if not np.isin(words, known).all():
        reject(f"leg_cases: {name}", sorted(set(words.tolist()) - set(known)), f"one of {known}")
    return words


def _column(table: Mapping[str, Any], name: str, rows: int) -> Array:
    """Column of numbers, shape (row,); couples that the table leaves out are zero."""
    unit = {"F": "N", "M": "N m"}.get(name[0], "deg")
    values = array(f"leg_cases: {name} [{unit}]", table[name] if name in table else np.zeros(rows))
    if values.shape != (rows,):
        reject(f"leg_cases: {name}", f"shape {values.shape}", f"one number for each of {rows} rows")
    return values


def _columns(table: Mapping[str, Any], names: tuple[str, str, str], rows: int) -> Array:
    return np.stack([_column(table, name, rows) for name in names], axis=-1)


def _strokes(table: Mapping[str, Any], rows: int) -> list[Array]:
    """Column of strokes; none for each row where the table has no such column."""
    if "strokes" not in table:
        return [np.zeros(0)] * rows
    given = sequence("leg_cases: strokes", table["strokes"], empty=True)
    if len(given) != rows:
        reject("leg_cases: strokes", f"{len(given)} rows", f"one row of strokes for each of {rows} rows")
    out = []
    for i, one in enumerate(given):
        what = f"leg_cases: strokes of row {i} [-]"
        strokes = array(what, one)
        if strokes.ndim != 1:
            reject(what, f"shape {strokes.shape}", "a row of strokes over the full stroke")
        FRACTIONS.hold(what, strokes)
        out.append(strokes)
    return out


def _at_strokes(i: int, own: Array, shock: str, standing: float, given: Array | None) -> Array:
    """Strokes over full stroke at which one row of the table is evaluated, shape (stroke,)."""
    what = f"leg_cases: strokes of row {i} [-]"
    if shock == "landing":
        if given is None and not len(own):
            reject(what, "none", "one at least for a landing condition")
        return own if given is None else given
    if (own != standing).any():
        cause = f"the shock of this row is {shock}: its position is not a choice"
        reject(what, own.tolist(), "left empty", cause)
    return np.array([standing])
