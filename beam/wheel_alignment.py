"""Alignment of the wheel under load: the link's geometry with bend and twist of the strut added."""

from collections.abc import Iterable
from typing import Annotated, Any

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.axes import out_of
from beam.gear import LegCases, MainGear, alignment
from beam.strut import Strut
from materials.checks import Limits, Table, checked, instances, reject

__all__ = ["alignment_under_load", "standing_legs"]


@checked
def standing_legs(
    gear: MainGear, mass: Annotated[ArrayLike, Limits("kg", above=0.0, shape=(-1,))]
) -> LegCases:
    """The airplane at rest on its wheels, at masses that each leg carries.

    Parameters
    ----------
    gear : MainGear
        The starboard gear.
    mass : array_like, shape (case,)
        Mass that stands on this unit [kg].

    Returns
    -------
    LegCases
        One row per mass: a vertical load m g at the ground contact, the shock at its static stroke.

    Raises
    ------
    ValueError
        If the shock does not carry a mass within its stroke.

    Examples
    --------
    >>> import tarn  # examples/tarn.py
    >>> standing_legs(tarn.GEAR, [450.0, 527.0]).fraction.round(2)
    array([0.55, 0.63])
    """
    m = np.asarray(mass)
    stroke, zero = gear.static(m), np.zeros_like(m)
    return LegCases(
        row=np.arange(len(m)),
        fraction=stroke / gear.shock.max_stroke,
        stroke=stroke,
        force=np.stack([zero, zero, m * g], axis=-1),
        moment=np.zeros((len(m), 3)),
        applied_at=np.full(len(m), "ground"),
        attitude_deg=zero,
        tire_load=m * g,
    )


@checked
def alignment_under_load(
    gear: MainGear, strut: Strut, legs: LegCases, *, labels: Iterable[Any] | None = None
) -> Table:
    """Toe and camber of the wheel over the stroke, on the rigid strut and on the bent and twisted one.

    Parameters
    ----------
    gear : MainGear
        The starboard gear.
    strut : Strut
        The strut, trunnion to link pivot, on its supports.
    legs : LegCases
        Standing cases from `standing_legs`, or ground-load conditions from `beam.gear.leg_cases`.
    labels : sequence of str, length case, optional
        What each case is; the plot draws one line for each label. The row of the table if not given.

    Returns
    -------
    DataFrame
        One row per case: case, stroke [m], drag, side, vertical (the wheel's load on ground axes [N]), toe_deg and
        camber_deg on the rigid strut, toe_loaded_deg and camber_loaded_deg with the strut's rotation, and that rotation
        at the tip about the airplane axes, aft_deg, starboard_deg, up_deg.

    Raises
    ------
    ValueError
        If the strut does not end at the pivot of the link, or a label is missing.

    Notes
    -----
    The loads are those of the rigid strut, its motion that of linear statics: (u, r) at pivot and bracket from
    `Span.displacement`, the bracket with its arm, u + r x a. Weight and inertia of wheel and link are left out, as in
    the loads on the strut. Loads of a row at ultimate stay at ultimate. See `beam.gear.alignment` for the signs.

    Examples
    --------
    >>> import tarn  # examples/tarn.py
    >>> found = alignment_under_load(tarn.GEAR, tarn.FIRST_STRUT, standing_legs(tarn.GEAR, [450.0, 527.0]))
    >>> found["toe_loaded_deg"].round(1).tolist(), bool((found["camber_loaded_deg"] < 0).all())  # top inboard
    ([0.2, 0.2], True)
    """
    import pandas as pd

    line = strut.mold_line
    miss = float(np.linalg.norm(line.tip - gear.link.pivot))
    if miss > 1e-6:
        what = "alignment_under_load: end of the strut to the link pivot [m]"
        reject(what, f"{miss:.3g} apart", "the tip at the pivot")
    station = float((gear.link.shock_on_strut - line.root) @ line.frame[0])
    if not 0 < station < line.length:
        limit = f"from 0 to {line.length:.4g}"
        reject("alignment_under_load: station of the shock's bracket [m]", f"{station:.4g}", limit)
    names = legs.row.tolist() if labels is None else list(labels)
    if len(names) != len(legs.row):
        reject("alignment_under_load: labels", len(names), f"one for each of {len(legs.row)} cases")
    if labels is not None:
        instances("alignment_under_load: labels", names, str)
    on = legs.strut_loads(gear)
    loads = line.point_loads([line.length, station], on.points, on.force, on.moment)
    motion = strut.span.displacement(loads, [station, line.length])
    moved, turned = out_of(line.frame, motion[..., :3]), out_of(line.frame, motion[..., 3:])
    arm = gear.link.shock_on_strut - line.position(station)
    bent = alignment(
        gear.link,
        legs.stroke,
        pivot_motion=np.concatenate([moved[:, 1], turned[:, 1]], axis=-1),
        bracket_motion=moved[:, 0] + np.cross(turned[:, 0], arm),
    )
    rigid = alignment(gear.link, legs.stroke)
    aft, starboard, up = np.degrees(turned[:, 1]).T
    return pd.DataFrame(
        {
            "case": names,
            "stroke": legs.stroke,
            "drag": legs.force[:, 0],
            "side": legs.force[:, 1],
            "vertical": legs.force[:, 2],
            "toe_deg": rigid.toe_deg,
            "camber_deg": rigid.camber_deg,
            "toe_loaded_deg": bent.toe_deg,
            "camber_loaded_deg": bent.camber_deg,
            "aft_deg": aft,
            "starboard_deg": starboard,
            "up_deg": up,
        }
    )
