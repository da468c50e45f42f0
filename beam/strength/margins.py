"""Margins of every ply and wall of a strut at ultimate load.

This is the only room that holds both allowables (with their knockdowns, in the services) and
factors on load. With R the strength ratio at limit load,

    reserve factor RF = R / (factor of safety x special factor),   margin of safety MS = RF - 1.

Cure and moisture stresses do not grow with load and stay as they are inside R.
"""

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from beam.strength.global_modes import whole_strut_ratios
from beam.strength.requirement import Requirement
from beam.strength.section_forces import refuse_strangers, section_forces, some_stations
from beam.strength.wall_buckling import Known
from beam.strength.wall_ratios import wall_ratios
from beam.strut import PointLoads, Strut
from beam.strut.statics import before, past
from materials.checks import Array, flag, reject
from materials.kinds import instance

if TYPE_CHECKING:
    import pandas as pd


def check_stations(strut: Strut, loads: PointLoads) -> Array:
    """Stations to judge a strut at: both sides of every step in lay-up or load, and half way between.

    Parameters
    ----------
    strut : Strut
        Gives the ply drops and the mold line's own stations.
    loads : PointLoads
        Gives the stations of the loads.

    Returns
    -------
    ndarray, shape (station,)
        From root to tip [m]. The inboard side of a step in lay-up lies a little before it; a load still counts at
        its own station, so its outboard side lies a little beyond.

    Raises
    ------
    ValueError
        If the strut or the loads are something else.
    """
    instance("check_stations: strut", strut, Strut)
    instance("check_stations: loads", loads, PointLoads)
    length = strut.mold_line.length
    steps = np.concatenate([[0.0, length], strut.ply_book.drops, strut.mold_line.stations, loads.at])
    steps = np.unique(steps[(steps >= 0) & (steps <= length)])
    steps = steps[np.concatenate([[True], np.diff(steps) > 1e-9 * length])]
    below = before(steps[1:], length)
    beyond = past(loads.at, length)
    return np.unique(np.concatenate([steps, below, (steps[1:] + steps[:-1]) / 2, beyond[beyond < length]]))


def margins(
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    *,
    stations: ArrayLike | None = None,
    cases: ArrayLike | None = None,
    every_ply: bool = False,
    deflected: bool = False,
    whole_strut: bool = True,
) -> "pd.DataFrame":
    """Margins over case, station, wall, ply and mode at ultimate load.

    Parameters
    ----------
    strut : Strut
        The strut.
    loads : PointLoads
        Limit loads.
    requirement : Requirement
        Services, factors and criteria.
    stations : array_like, shape (station,), optional
        Where to judge; `check_stations` if not given [m].
    cases : array_like of str, shape (case,), optional
        Labels of the load cases; their numbers if not given.
    every_ply : bool
        Keep every ply; otherwise only the lowest ply of each (case, station, wall, mode).
    deflected : bool
        Let the loads follow the strut to where it is at ultimate load (23.301(c)), without the deflection
        allowance; some thirty milliseconds a case.
    whole_strut : bool
        Add the modes of the strut as a whole, at the station of the tip: "column" and the limits on the tip's
        motion that the requirement sets. To be left out where a support has play.

    Returns
    -------
    DataFrame
        Indexed by (case, station [m], wall, ply, mode), ply numbered in the book from 1 at the mandrel
        and 0 for the wall, or the whole strut, as one; columns ratio, reserve, margin [-], service, angle_deg,
        place (fraction along the wall), surface. The lowest service is kept.

    Raises
    ------
    ValueError
        If the labels are not one for each case, two are alike, or the strut is held redundantly with play or
        without an assembly temperature.

    Notes
    -----
    Of a curved wall, "curved wall buckling" is printed as if it were flat (a lower bound) where another mode of that
    wall is lower still in every case, else with what its curvature is worth: `beam.strength.wall_ratios.wall_ratios`.
    """
    from beam.dossier.tables import margin_table

    refuse_strangers("margins", strut, loads, requirement)
    named = {"every_ply": every_ply, "deflected": deflected, "whole_strut": whole_strut}
    for name, value in named.items():
        flag(f"margins: {name}", value)
    where = check_stations(strut, loads) if stations is None else some_stations("margins", strut, stations)
    if len(np.unique(where)) != where.size:
        reject("margins: stations [m]", where.tolist(), "all different", "a station given twice?")
    if deflected:
        requirement = replace(requirement, deflection_allowance=1.0)
    count = len(loads.force)
    labels = np.arange(count) if cases is None else np.asarray(cases)
    if labels.shape != (count,):
        reject("margins: cases", f"shape {labels.shape}", f"({count},), one label for each load case")
    if len(np.unique(labels)) != len(labels):
        twice = sorted({str(one) for one in labels if (labels == one).sum() > 1})
        reject("margins: cases", twice, "labels that differ", "two load cases of one name?")
    grows, held = section_forces(strut, loads, requirement, where, deflected=deflected)
    known: Known = {}
    found = (
        (
            station,
            wall_ratios(
                strut, station, grows[:, :, i], requirement, held=held[:, i], known=known, every_ply=every_ply
            ),
        )
        for i, station in enumerate(where.tolist())
    )
    whole = whole_strut_ratios(strut, loads, requirement, deflected=deflected) if whole_strut else {}
    return margin_table(found, strut, requirement, labels, whole, every_ply=every_ply)
