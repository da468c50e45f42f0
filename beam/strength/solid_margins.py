"""Margins of a strut from its bricks: rows of the same table as `beam.margins`, by the same requirement.

Plies are judged by the strain and stress of the bricks, walls by the running loads of the bricks with the formulas of
buckling that the beam's walls have. Opening of corners and the modes of the whole strut stay with the beam.
"""

from collections.abc import Iterable, Iterator
from typing import Annotated, Any, NamedTuple, cast

import numpy as np
from numpy.typing import ArrayLike

from beam.strength.check import applies, meets
from beam.strength.margins import _table, check_stations
from beam.strength.ply_places import ply_places
from beam.strength.requirement import BUCKLING, CURVED_BUCKLING, Requirement, Service, case_factors
from beam.strength.section_forces import (
    PLACES,
    InService,
    in_service,
    refuse_without_cases,
    stations_on,
    wall_loads,
)
from beam.strength.station_ratios import WallRatios, _as_one, _lowest, _outermost, _ply_ratios
from beam.strength.wall_buckling import bent_wall_ratio, flat_wall_ratio
from beam.strut import PointLoads, Strut
from beam.strut.bricks import Bricks, Density, solve
from beam.strut.bricks.brick_mesh import USUAL
from laminate import Laminate, Response
from materials.checks import Array, Limits, Table, checked, reject

IN_PLANE = [0, 1, 5]


class _States(NamedTuple):
    """Ply states in the plane of the plies, (place, case, ply, surface, 3), as a `Response` of a laminate has them."""

    laminate: Laminate
    load_strain: Array
    load_stress: Array
    residual_strain: Array
    residual_stress: Array


@checked
def brick_margins(
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    density: Density = USUAL,
    *,
    stations: Annotated[ArrayLike | None, Limits("m", shape=(-1,))] = None,
    cases: Iterable[Any] | None = None,
    every_ply: bool = False,
) -> Table:
    """Margins over case, station, wall, ply and mode from a three-dimensional model of the strut.

    Parameters
    ----------
    strut : Strut
        The strut, with bands, ribs and ends.
    loads : PointLoads
        Loads, each case with its level; limit loads where it has none.
    requirement : Requirement
        Services, factors and checks.
    density : Density
        How fine the bricks are.
    stations : array_like, shape (station,), optional
        Where to find margins; those of `check_stations` if not given [m].
    cases : sequence of str, length case, optional
        Labels of the load cases; their numbers if not given.
    every_ply : bool
        Keep every ply; otherwise only the lowest ply of each (case, station, wall, mode).

    Returns
    -------
    DataFrame
        Index and columns as `beam.margins`. `assumption` begins with "bricks". There are no rows of corner opening
        and of the whole strut.

    Raises
    ------
    ValueError
        As `beam.margins` and `beam.strut.bricks.solve`; also on redundant supports, where heat would load the bricks.

    Notes
    -----
    Plies by in-plane stress and strain of the bricks, residual parts by the free strut in bricks. One factorization for
    each stiffness in service.

    Examples
    --------
    >>> from beam import BookPly, MoldLine, PlyBook
    >>> from beam.strength import screening
    >>> from materials import lamina
    >>> line = MoldLine(root=[0, 0, 0.2], tip=[0, 0, 0], stations=[0, 0.2], width=[0.1, 0.1], height=[0.08, 0.08],
    ...                 corner_radius=[0.02, 0.02])
    >>> tape = BookPly(lamina=lamina("AS4/3501-6"), angle_deg=0.0, walls=line.wall_names, start=0.0, end=0.2)
    >>> required = Requirement(services=[Service(name="room", temperature=293)], special_factor=1.2,
    ...                        special_factor_basis="invented", route="factor", mixed="an example", checks=screening(),
    ...                        corner_opening=False)
    >>> pull = PointLoads(at=[0.2], force=[[[2e5, 0, 0]]])
    >>> coarse = Density(per_corner=4, per_face=2, size=0.05, fine=0.02)
    >>> table = brick_margins(Strut(line, PlyBook([tape] * 40)), pull, required, coarse, stations=[0.1])
    >>> bool(table["margin"].min() > 0)
    True
    """
    refuse_without_cases("brick_margins", loads)
    if len(strut.span.held.rows) > 6:
        what = f"{len(strut.span.held.rows)} supported directions"
        reject(
            "brick_margins: supports", what, "at most 6", "heat would load the strut on redundant supports"
        )
    where = check_stations(strut, loads) if stations is None else np.asarray(stations)
    where = np.unique(stations_on("brick_margins", strut, where))
    count = len(loads.force)
    labels = np.arange(count) if cases is None else np.asarray(tuple(cases))
    if labels.shape != (count,):
        reject("brick_margins: cases", f"shape {labels.shape}", f"({count},), one label for each load case")
    factors = case_factors(requirement, loads)
    solved = [(part, solve(part.strut, loads, density)) for part in in_service(strut, requirement)]
    running = [found.wall_loads(where, PLACES) for _, found in solved]

    def ratios(i: int, station: float) -> Iterator[WallRatios]:
        for (part, found), loaded in zip(solved, running, strict=True):
            for one in _station(part, found, station, loaded[:, i], requirement, every_ply=every_ply):
                yield one._replace(service=part.indices[one.service])

    each = ((station, ratios(i, station)) for i, station in enumerate(where.tolist()))
    table = _table(each, strut, requirement, labels, {}, factors, every_ply=every_ply)
    said = [f"bricks; {text}" for text in table["assumption"].cat.categories]
    table["assumption"] = table["assumption"].cat.rename_categories(said)
    return table


def _station(
    part: InService,
    found: Bricks,
    station: float,
    running: Array,
    requirement: Requirement,
    *,
    every_ply: bool,
) -> Iterator[WallRatios]:
    """Ratios of each wall in some states at a station [m] with running loads (case, wall, place, 6)."""
    strut, states = part.strut, part.states
    flat = dict(zip(strut.mold_line.flat_walls, strut.mold_line.flat_widths(station).tolist(), strict=True))
    none = np.zeros((1, running.shape[0], 6))
    rest = wall_loads(strut, station, none, states).fixed
    for wall, name in enumerate(strut.mold_line.wall_names):
        numbers, laminate = strut.ply_book.numbers(name, station), strut.ply_book.laminate(name, station)
        plies = found.ply_states(station, name, PLACES)
        places = ply_places(strut.ply_book, name, station, strut.mold_line.length)
        outermost, by_block = _outermost(laminate, {}), _outermost(laminate, places)
        strain, stress = (np.swapaxes(one[..., IN_PLANE], 0, 1) for one in (plies.strain, plies.stress))
        for index, service in enumerate(states):
            response = cast(Response, _states(laminate, service, plies, strain, stress))
            for check in requirement.ply_checks:
                if not meets(check, service.name):
                    continue
                chosen = np.arange(len(numbers))
                if check.convex and not every_ply:
                    chosen = by_block if check.in_situ else outermost
                chosen = chosen[[applies(check, laminate.plies[i].lamina) for i in chosen]]
                if not chosen.size:
                    continue
                R = np.moveaxis(_ply_ratios(check, response, service, chosen, places), 0, -2)
                yield _lowest(wall, check.mode, index, numbers[chosen], R.reshape(*R.shape[:2], -1))
            loaded, fixed = np.swapaxes(running[:, wall], 0, 1), rest[index][wall]
            if name in flat:
                R = bent_wall_ratio(laminate, flat[name], loaded, fixed, PLACES)
            else:
                R = flat_wall_ratio(
                    laminate, float(strut.section(station).contour.length[wall]), loaded, fixed
                )
            mode = BUCKLING if name in flat else CURVED_BUCKLING
            yield _as_one(wall, mode, index, R.min(axis=0), np.asarray(PLACES)[R.argmin(axis=0)])


def _states(laminate: Laminate, service: Service, plies: Any, strain: Array, stress: Array) -> _States:
    """Ply states of a wall in a service: load part (place, case, ply, surface, 3) and the part that does not grow."""
    change = service.temperature_change(*(ply.lamina for ply in laminate.plies)), service.free_moisture
    fixed = [
        np.tensordot(change, one[..., IN_PLANE], axes=1)[:, None]
        for one in (plies.cure_strain, plies.cure_stress)
    ]
    return _States(laminate, strain, stress, fixed[0], fixed[1])
