"""Margins of every ply and wall of a strut at ultimate load.

This is the only room that holds both allowables (with their knockdowns, in the services) and
factors on load. With R the strength ratio at limit load,

    reserve factor RF = R / (factor of safety x special factor),   margin of safety MS = RF - 1.

Cure and moisture stresses do not grow with load and stay as they are inside R.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.criteria import ply_ratio
from beam.requirement import BUCKLING, Requirement, Service
from beam.section.expansion import residual_wall_loads
from beam.strut import PointLoads, Strut
from beam.strut.statics import past
from laminate import Laminate, Response, stability
from materials.checks import Array, array, reject

if TYPE_CHECKING:
    import pandas as pd

# Running loads vary along a wall linearly (Nx) or as a parabola (Nxy): ends and middle hold the extremes.
PLACES = (0.0, 0.5, 1.0)
WHOLE_WALL = 0


@dataclass(frozen=True, kw_only=True, eq=False)
class WallRatios:
    """Strength ratios of one wall at one station.

    Parameters
    ----------
    wall : int
        Index of the wall [-].
    mode : str
        Criterion, or "buckling".
    service : int
        Index of the service [-].
    ply : ndarray of int, shape (ply,)
        Numbers in the ply book, from 1 at the mandrel; 0 is the wall as a whole [-].
    ratio : ndarray, shape (case, ply)
        Lowest strength ratio over the places and surfaces [-].
    place : ndarray, shape (case, ply)
        Fraction along the wall where it is [-].
    surface : ndarray of int, shape (case, ply)
        0 inner, 1 outer [-].
    """

    wall: int
    mode: str
    service: int
    ply: NDArray[np.int64]
    ratio: Array
    place: Array
    surface: NDArray[np.int64]


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
        From root to tip [m]. The inboard side of a step in lay-up is the next number below it; a load still
        counts at its own station, so its outboard side lies a little beyond.
    """
    length = strut.mold_line.length
    steps = np.concatenate([[0.0, length], strut.ply_book.drops, strut.mold_line.stations, loads.at])
    steps = np.unique(steps[(steps >= 0) & (steps <= length)])
    steps = steps[np.concatenate([[True], np.diff(steps) > 1e-9 * length])]
    below = np.nextafter(steps[1:], 0.0)
    beyond = past(loads.at, length)
    return np.unique(np.concatenate([steps, below, (steps[1:] + steps[:-1]) / 2, beyond[beyond < length]]))


class StationLoads(NamedTuple):
    """Wall loads of all cases at one station, once for all walls.

    Parameters
    ----------
    running : ndarray, shape (wall, place, case, 6)
        Running loads at limit load (Nx, Ny, Nxy) [N/m], (Mx, My, Mxy) [N].
    fixed : tuple of ndarray, each of shape (wall, place, 1, 6)
        For each service, what stays in the unloaded section [N/m], [N].
    """

    running: Array
    fixed: tuple[Array, ...]


def station_loads(strut: Strut, station: float, forces: Array, services: tuple[Service, ...]) -> StationLoads:
    """Find the wall loads of all cases at one station.

    Parameters
    ----------
    strut : Strut
        The strut.
    station : float
        Distance along the axis from the root [m].
    forces : ndarray, shape (case, 6)
        Limit section forces N, V2, V3 [N], T, M2, M3 [N m].
    services : tuple of Service
        Give temperature and moisture.

    Returns
    -------
    StationLoads
        Running loads, and the part that does not grow.
    """
    section = strut.section(station)
    running = np.moveaxis(section.wall_loads_along(forces, PLACES), 0, -2)
    fixed = []
    laminae = [ply.lamina for ply in strut.ply_book.plies]
    for service in services:
        change = service.temperature_change(*laminae)
        free = np.stack(
            [
                wall.free_strain(change, service.moisture)
                for wall in (strut.ply_book.laminate(name, station) for name in strut.mold_line.wall_names)
            ]
        )
        fixed.append(residual_wall_loads(section.states, free, PLACES)[..., None, :])
    return StationLoads(running, tuple(fixed))


def respond(laminate: Laminate, service: Service, running: Array, fixed: Array) -> Response:
    """Ply states of one wall at all places and cases.

    Parameters
    ----------
    laminate : Laminate
        Lay-up of the wall.
    service : Service
        Gives temperature and moisture.
    running : ndarray, shape (place, case, 6)
        Running loads at limit load [N/m], [N].
    fixed : ndarray, shape (place, 1, 6)
        Running loads that do not grow [N/m], [N].

    Returns
    -------
    Response
        Of shape (place, case) in front.
    """
    return laminate.response(
        N=running[..., :3],
        M=running[..., 3:],
        temperature_change=service.temperature_change(*(ply.lamina for ply in laminate.plies)),
        moisture=service.moisture,
        residual_N=fixed[..., :3],
        residual_M=fixed[..., 3:],
    )


def _ply_ratios(mode: str, response: Response, requirement: Requirement, service: Service) -> Array:
    """Ratios of one criterion, shape (place, case, ply, surface)."""
    out = np.empty(response.load_stress.shape[:-1])
    laminae = [ply.lamina for ply in response.laminate.plies]
    for lamina in dict.fromkeys(laminae):
        own = np.array([other == lamina for other in laminae])
        out[:, :, own] = ply_ratio(
            mode,
            response.load_stress[:, :, own],
            response.load_strain[:, :, own],
            service.allowables(lamina),
            residual_stress=response.residual_stress[:, :, own],
            residual_strain=response.residual_strain[:, :, own],
            interaction=requirement.interaction,
        )
    return out


def wall_ratios(
    strut: Strut, station: float, forces: ArrayLike, requirement: Requirement
) -> Iterator[WallRatios]:
    """Yield the strength ratios of every wall, mode and service at one station.

    Parameters
    ----------
    strut : Strut
        The strut.
    station : float
        Distance along the axis from the root [m].
    forces : array_like, shape (case, 6)
        Limit section forces N, V2, V3 [N], T, M2, M3 [N m].
    requirement : Requirement
        Services and criteria.

    Yields
    ------
    WallRatios
        One for each (wall, service, mode).
    """
    F = array("wall_ratios: forces [N, N m]", forces, last=(-1, 6))
    loads = station_loads(strut, station, F, requirement.services)
    flat = dict(zip(strut.mold_line.flat_walls, strut.mold_line.flat_widths(station).tolist(), strict=True))
    for wall, name in enumerate(strut.mold_line.wall_names):
        numbers, laminate = strut.ply_book.numbers(name, station), strut.ply_book.laminate(name, station)
        for index, service in enumerate(requirement.services):
            response = respond(laminate, service, loads.running[wall], loads.fixed[index][wall])
            for mode in requirement.criteria:
                R = np.moveaxis(_ply_ratios(mode, response, requirement, service), 0, -2)
                yield _lowest(wall, mode, index, numbers, R.reshape(*R.shape[:2], -1))
        if name in flat:
            # Stiffness is taken the same in every service, so one service tells buckling.
            N = loads.running[wall]
            D = stability.reduced_bending_stiffness(laminate.abd)
            R = stability.buckling_ratio(D, flat[name], N[..., 0], N[..., 2], bound_anisotropy=True)
            yield _lowest(wall, BUCKLING, 0, np.array([WHOLE_WALL]), np.repeat(R.T, 2, axis=1)[:, None])


def _lowest(wall: int, mode: str, service: int, ply: NDArray[np.int64], ratio: Array) -> WallRatios:
    """Reduce ratios of shape (case, ply, place x surface) to the lowest place and surface."""
    worst = ratio.argmin(axis=-1)
    return WallRatios(
        wall=wall,
        mode=mode,
        service=service,
        ply=ply,
        ratio=np.take_along_axis(ratio, worst[..., None], axis=-1)[..., 0],
        place=np.asarray(PLACES)[worst // 2],
        surface=worst % 2,
    )


def margins(
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    *,
    stations: ArrayLike | None = None,
    cases: ArrayLike | None = None,
    every_ply: bool = False,
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

    Returns
    -------
    DataFrame
        Indexed by (case, station [m], wall, ply, mode), ply numbered in the book from 1 at the mandrel
        and 0 for the wall as a whole; columns ratio, reserve, margin [-], service, angle_deg,
        place (fraction along the wall), surface. The lowest service is kept.

    Raises
    ------
    ValueError
        If the labels are not one for each case, or two are alike.
    """
    from beam.tables import margin_table

    where = (
        check_stations(strut, loads)
        if stations is None
        else array("margins: stations [m]", stations, last=(-1,))
    )
    forces = strut.span.forces(loads, at=where)
    labels = np.arange(len(forces)) if cases is None else np.asarray(cases)
    if labels.shape != (len(forces),):
        reject("margins: cases", f"shape {labels.shape}", f"({len(forces)},), one label for each load case")
    if len(np.unique(labels)) != len(labels):
        twice = sorted({str(one) for one in labels if (labels == one).sum() > 1})
        reject("margins: cases", twice, "labels that differ", "two load cases of one name?")
    found = [
        (station, wall_ratios(strut, station, forces[:, i], requirement))
        for i, station in enumerate(where.tolist())
    ]
    return margin_table(found, strut, requirement, labels, every_ply=every_ply)
