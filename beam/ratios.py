"""Strength ratios of every wall of a strut at one station: plies by every criterion, flat walls by buckling."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.criteria import ply_ratio
from beam.requirement import BUCKLING, Requirement, Service
from beam.section.expansion import residual_wall_loads
from beam.strut import Strut
from laminate import Laminate, Response, stability
from materials.checks import Array, array

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
