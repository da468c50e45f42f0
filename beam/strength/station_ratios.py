"""Strength ratios of every wall of a strut at one station: plies by every criterion, walls by buckling and corners."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.strength.check import Check, Level, applies, meets
from beam.strength.corner_unfolding import unfolding_ratios
from beam.strength.ply_places import Place, judged_allowables, ply_places
from beam.strength.requirement import BUCKLING, CORNER_OPENING, CURVED_BUCKLING, Requirement, Service
from beam.strength.section_forces import PLACES, wall_loads, wall_response
from beam.strength.wall_buckling import (
    Known,
    bent_wall_ratio,
    curved_loads,
    curved_wall_ratio,
    flat_wall_ratio,
)
from beam.strut import Strut
from laminate import Laminate, Response
from materials.checks import Array

LEVELS: tuple[Level, ...] = ("limit", "ultimate")


class WallRatios(NamedTuple):
    """Strength ratios of one wall at one station in one mode and state.

    `wall` and `service` are indices, the latter in `Requirement.states`; `ply` (ply,) are numbers in the ply book,
    from 1 at the mandrel, 0 for the wall as one. `ratio` (case, ply) is the lowest over places and surfaces,
    `place` (case, ply) the fraction along the wall where it is, `surface` (case, ply) 0 for inner, 1 for outer, -1
    for the wall as one.
    """

    wall: int
    mode: str
    service: int
    ply: NDArray[np.int64]
    ratio: Array
    place: Array
    surface: NDArray[np.int64]


def station_ratios(
    strut: Strut,
    station: float,
    forces: Array,
    requirement: Requirement,
    states: tuple[Service, ...] | None = None,
    *,
    restraint: Array | None = None,
    known: Known | None = None,
    every_ply: bool = False,
    factors: Mapping[Level, Array] | None = None,
) -> Iterator[WallRatios]:
    """Ratios of each wall, state and mode at a station [m] under forces (1 or state, case, 6) [N, N m].

    `factors` are those on the load of each case, (case,), at each level; without them those of limit loads.
    """
    services = requirement.states if states is None else states
    if factors is None:
        usual = {"limit": requirement.limit_factor, "ultimate": requirement.ultimate_factor}
        factors = {level: np.full(forces.shape[1], usual[level]) for level in LEVELS}
    loads = wall_loads(strut, station, forces, services, restraint)
    flat = dict(zip(strut.mold_line.flat_walls, strut.mold_line.flat_widths(station).tolist(), strict=True))
    solved: Known = {} if known is None else known
    for wall, name in enumerate(strut.mold_line.wall_names):
        numbers, laminate = strut.ply_book.numbers(name, station), strut.ply_book.laminate(name, station)
        lowest: Array = np.full(forces.shape[1], np.inf)
        places = ply_places(strut.ply_book, name, station, strut.mold_line.length)
        every, outermost = np.arange(len(numbers)), _outermost(laminate, {})
        by_block = _outermost(laminate, places)
        for index, service in enumerate(services):
            response = wall_response(laminate, service, loads.running[index][wall], loads.fixed[index][wall])
            for check in requirement.ply_checks:
                if not meets(check, service.name):
                    continue
                plies = every
                if check.convex and not every_ply:
                    plies = by_block if check.in_situ else outermost
                plies = plies[[applies(check, laminate.plies[i].lamina) for i in plies]]
                if not plies.size:
                    continue
                if check.caps is not None:
                    check.caps.outside_range(laminate)
                R = np.moveaxis(_ply_ratios(check, response, service, plies, places), 0, -2)
                found = _lowest(wall, check.mode, index, numbers[plies], R.reshape(*R.shape[:2], -1))
                if check.decides:
                    lowest = np.minimum(lowest, reserve(found.ratio.min(axis=1), factors[check.level]))
                yield found
        running, fixed = (np.stack([one[wall] for one in part]) for part in loads)
        contour = strut.section(station).contour
        width = flat.get(name, float(contour.length[wall]))
        if name in flat:
            R = bent_wall_ratio(laminate, width, running, fixed, PLACES)
        else:
            R = flat_wall_ratio(laminate, width, running, fixed)
        # The flat-wall value of a curved wall is a lower bound. Where it is the lowest reserve of the wall in a case,
        # the curved-wall solution replaces it where that is larger.
        if name not in flat and (reserve(R.min(axis=(0, 1)), factors["ultimate"]) < lowest).any():
            design = curved_loads(laminate, width, width / abs(float(contour.turn[wall])), solved)
            if design is not None:
                R = np.maximum(R, curved_wall_ratio(design, running, fixed))
        mode = BUCKLING if name in flat else CURVED_BUCKLING
        for index, ratio in enumerate(R):
            worst = ratio.argmin(axis=0)
            yield _as_one(wall, mode, index, ratio.min(axis=0), np.asarray(PLACES)[worst])
    if requirement.corner_opening:
        corners = unfolding_ratios(strut, station, forces, services, restraint=restraint)
        for index, (ratio, place) in enumerate(zip(corners.ratio, corners.place, strict=True)):
            for column, wall in enumerate(corners.walls):
                yield _as_one(wall, CORNER_OPENING, index, ratio[:, column], place[:, column])


def _outermost(laminate: Laminate, places: Mapping[int, Place]) -> NDArray[np.int64]:
    """Indices of the first and the last ply of each material and angle, in each kind of block."""
    # The safe strains of a convex criterion are a convex set and strain is linear through the thickness, so a ply
    # between two others of its kind is never worse than both.
    kinds = [(ply.lamina, ply.angle_deg, places.get(i, ())) for i, ply in enumerate(laminate.plies)]
    first = {kind: i for i, kind in reversed(list(enumerate(kinds)))}
    last = {kind: i for i, kind in enumerate(kinds)}
    return np.unique([*first.values(), *last.values()])


def reserve(ratio: Array, factor: Array) -> Array:
    """Reserve factors R / factor (...) [-]; inf where the factor is 0, as for a check that a case does not meet."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(factor > 0.0, ratio / factor, np.inf)


def _ply_ratios(
    check: Check,
    response: Response,
    service: Service,
    plies: NDArray[np.int64],
    places: Mapping[int, Place],
) -> Array:
    """Ratios of one check in some plies, (place, case, ply, surface)."""
    criterion = check.criterion
    states = response.load_stress, response.residual_stress
    if criterion.takes == "strain":
        states = response.load_strain, response.residual_strain
    grows, fixed = (one[:, :, plies] for one in states)
    out = np.empty(grows.shape[:-1])
    kinds = [
        (response.laminate.plies[i].lamina, places.get(i, ()) if check.in_situ else ())
        for i in plies.tolist()
    ]
    for lamina, place in dict.fromkeys(kinds):
        own = np.array([other == (lamina, place) for other in kinds])
        allowables = judged_allowables(check, service, lamina, place)[0]
        rest = None if check.caps is not None else fixed[:, :, own]
        out[:, :, own] = criterion.for_kind(lamina.kind)._ratio(grows[:, :, own], allowables, rest)
    return out


def _as_one(wall: int, mode: str, service: int, ratio: Array, place: Array) -> WallRatios:
    """Ratios (case,) of a wall as one."""
    surface = np.full((len(ratio), 1), -1)
    return WallRatios(wall, mode, service, np.array([0]), ratio[:, None], place[:, None], surface)


def _lowest(wall: int, mode: str, service: int, ply: NDArray[np.int64], ratio: Array) -> WallRatios:
    """Reduce ratios (case, ply, place x surface) to the lowest place and surface."""
    worst = ratio.argmin(axis=-1)
    lowest = np.take_along_axis(ratio, worst[..., None], axis=-1)[..., 0]
    return WallRatios(wall, mode, service, ply, lowest, np.asarray(PLACES)[worst // 2], worst % 2)
