"""Strength ratios of every wall of a strut at one station: plies by every criterion, walls by buckling."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.section.expansion import residual_wall_loads
from beam.strength.corner_unfolding import opening_ratios
from beam.strength.requirement import BUCKLING, CORNER_OPENING, CURVED_BUCKLING, Requirement, Service
from beam.strength.wall_buckling import (
    Known,
    bent_wall_ratio,
    curved_loads,
    curved_wall_ratio,
    flat_wall_ratio,
)
from beam.strut import Strut
from laminate import Laminate, Response
from laminate.failure import Criterion
from materials.checks import Array, array, reject

PLACES = tuple(np.linspace(0.0, 1.0, 9).tolist())
"""Fractions of a wall at which it is judged. Nx is linear on a flat and a harmonic on an arc, and Nxy peaks anywhere:
ends and middle alone were 5 percent unsafe at times; nine miss a quarter circle's harmonic by 0.5 percent at most."""

WHOLE_WALL = 0


@dataclass(frozen=True, kw_only=True, eq=False)
class WallRatios:
    """Strength ratios of one wall at one station.

    Parameters
    ----------
    wall : int
        Index of the wall [-].
    mode : str
        Criterion, "buckling" of a flat, "curved wall buckling" or "corner opening" of a curved wall.
    service : int
        Index of the service [-].
    ply : ndarray of int, shape (ply,)
        Numbers in the ply book, from 1 at the mandrel; 0 is the wall as a whole [-].
    ratio : ndarray, shape (case, ply)
        Lowest strength ratio over the places and surfaces [-].
    place : ndarray, shape (case, ply)
        Fraction along the wall where it is [-].
    surface : ndarray of int, shape (case, ply)
        0 inner, 1 outer, -1 the wall as a whole [-].
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
    running : tuple of ndarray, each of shape (wall, place, case, 6)
        For each service, running loads at limit load (Nx, Ny, Nxy) [N/m], (Mx, My, Mxy) [N].
    fixed : tuple of ndarray, each of shape (wall, place, 1, 6)
        For each service, what stays in the unloaded section [N/m], [N].
    """

    running: tuple[Array, ...]
    fixed: tuple[Array, ...]


def station_loads(
    strut: Strut, station: float, forces: Array, services: tuple[Service, ...], held: Array | None = None
) -> StationLoads:
    """Find the wall loads of all cases at one station.

    Parameters
    ----------
    strut : Strut
        The strut.
    station : float
        Distance along the axis from the root [m].
    forces : ndarray, shape (case, 6), or (service, case, 6) where services differ
        Limit section forces N, V2, V3 [N], T, M2, M3 [N m].
    services : tuple of Service
        Give temperature and moisture.
    held : ndarray, shape (service, 6), optional
        Section forces of heat and moisture against redundant supports [N, N m].

    Returns
    -------
    StationLoads
        Running loads, and the part that does not grow.
    """
    section = strut.section(station)
    each = forces if forces.ndim == 3 else forces[None]
    running = [np.moveaxis(section.wall_loads_along(one, PLACES), 0, -2) for one in each]
    fixed = []
    laminae = [ply.lamina for ply in strut.ply_book.plies]
    for index, service in enumerate(services):
        change = service.temperature_change(*laminae)
        free = np.stack(
            [
                wall.free_strain(change, service.moisture)
                for wall in (strut.ply_book.laminate(name, station) for name in strut.mold_line.wall_names)
            ]
        )
        rest = residual_wall_loads(section.states, free, PLACES)
        if held is not None:
            rest = rest + section.wall_loads_along(held[index], PLACES)
        fixed.append(rest[..., None, :])
    return StationLoads(tuple(running * (len(services) // len(running))), tuple(fixed))


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


def _outermost(laminate: Laminate) -> NDArray[np.int64]:
    """Indices of the first and the last ply of each material and angle.

    The safe strains of a convex criterion are a convex set and strain is linear through the thickness, so a ply
    between two others of its kind is never worse than both.
    """
    kinds = [(ply.lamina, ply.angle_deg) for ply in laminate.plies]
    first = {kind: i for i, kind in reversed(list(enumerate(kinds)))}
    last = {kind: i for i, kind in enumerate(kinds)}
    return np.unique([*first.values(), *last.values()])


def _ply_ratios(
    criterion: Criterion, response: Response, service: Service, plies: NDArray[np.int64]
) -> Array:
    """Ratios of one criterion in some plies, shape (place, case, ply, surface)."""
    states = response.load_stress, response.residual_stress
    if criterion.takes == "strain":
        states = response.load_strain, response.residual_strain
    grows, fixed = (one[:, :, plies] for one in states)
    out = np.empty(grows.shape[:-1])
    laminae = [response.laminate.plies[i].lamina for i in plies]
    for lamina in dict.fromkeys(laminae):
        own = np.array([other == lamina for other in laminae])
        out[:, :, own] = criterion._ratio(grows[:, :, own], service.allowables(lamina), fixed[:, :, own])
    return out


def wall_ratios(
    strut: Strut,
    station: float,
    forces: ArrayLike,
    requirement: Requirement,
    *,
    held: ArrayLike | None = None,
    known: Known | None = None,
    every_ply: bool = False,
) -> Iterator[WallRatios]:
    """Yield the strength ratios of every wall, mode and service at one station.

    Parameters
    ----------
    strut : Strut
        The strut.
    station : float
        Distance along the axis from the root [m].
    forces : array_like, shape (case, 6), or (service, case, 6) where services differ
        Limit section forces N, V2, V3 [N], T, M2, M3 [N m].
    requirement : Requirement
        Services and criteria.
    held : array_like, shape (service, 6), optional
        Section forces of heat and moisture against redundant supports, which do not grow with load [N, N m].
    known : dict, optional
        Curved walls solved before, of which many are alike along a strut; new ones are added.
    every_ply : bool
        Judge every ply; otherwise, by criteria whose safe strains are convex, only those that can be the lowest.

    Yields
    ------
    WallRatios
        One for each (wall, service, mode).

    Notes
    -----
    A curved wall is first judged as the flat one of its width along the arc, a lower bound in closed form. Where
    that is the lowest ratio of the wall in some case, it is the larger of this and `curved_wall_ratio` in all: so
    what a curved wall can bear in its lowest mode is never a mere bound.
    """
    F = array("wall_ratios: forces [N, N m]", forces, last=(-1, 6))
    services = requirement.services
    if F.ndim > 3 or (F.ndim == 3 and len(F) not in (1, len(services))):
        reject("wall_ratios: forces [N, N m]", f"shape {F.shape}", f"(case, 6) or ({len(services)}, case, 6)")
    rest = None if held is None else array("wall_ratios: held [N, N m]", held, last=(len(services), 6))
    loads = station_loads(strut, station, F, services, rest)
    flat = dict(zip(strut.mold_line.flat_walls, strut.mold_line.flat_widths(station).tolist(), strict=True))
    solved: Known = {} if known is None else known
    for wall, name in enumerate(strut.mold_line.wall_names):
        numbers, laminate = strut.ply_book.numbers(name, station), strut.ply_book.laminate(name, station)
        lowest = np.inf
        every, outermost = np.arange(len(numbers)), _outermost(laminate)
        for index, service in enumerate(services):
            response = respond(laminate, service, loads.running[index][wall], loads.fixed[index][wall])
            for criterion in requirement.criteria:
                plies = outermost if criterion.convex and not every_ply else every
                R = np.moveaxis(_ply_ratios(criterion, response, service, plies), 0, -2)
                found = _lowest(wall, criterion.name, index, numbers[plies], R.reshape(*R.shape[:2], -1))
                lowest = np.minimum(lowest, found.ratio.min(axis=1))
                yield found
        running, fixed = (np.stack([one[wall] for one in part]) for part in loads)
        contour = strut.section(station).contour
        width = flat.get(name, float(contour.length[wall]))
        if name in flat:
            R = bent_wall_ratio(laminate, width, running, fixed, PLACES)
        else:
            R = flat_wall_ratio(laminate, width, running, fixed)
        if name not in flat and (R.min(axis=(0, 1)) < lowest).any():
            credited = curved_loads(laminate, width, width / abs(float(contour.turn[wall])), solved)
            if credited is not None:
                R = np.maximum(R, curved_wall_ratio(credited, running, fixed))
        mode = BUCKLING if name in flat else CURVED_BUCKLING
        for index, ratio in enumerate(R):
            worst = ratio.argmin(axis=0)
            yield _as_one(wall, mode, index, ratio.min(axis=0), np.asarray(PLACES)[worst])
    if requirement.corner_opening:
        opening = opening_ratios(strut, station, F, services, held=rest)
        for index, (ratio, place) in enumerate(zip(opening.ratio, opening.place, strict=True)):
            for column, wall in enumerate(opening.walls):
                yield _as_one(wall, CORNER_OPENING, index, ratio[:, column], place[:, column])


def _as_one(wall: int, mode: str, service: int, ratio: Array, place: Array) -> WallRatios:
    """Ratios of shape (case,) of a wall as a whole."""
    return WallRatios(
        wall=wall,
        mode=mode,
        service=service,
        ply=np.array([WHOLE_WALL]),
        ratio=ratio[:, None],
        place=place[:, None],
        surface=np.full((len(ratio), 1), -1),
    )


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
