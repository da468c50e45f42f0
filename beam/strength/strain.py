"""Extreme ply strains along the span at ultimate load, as the strain-along-span plot draws them."""

from dataclasses import replace
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.strength.check import meets, screening
from beam.strength.requirement import Requirement, Service, case_factors
from beam.strength.section_forces import (
    in_service,
    refuse_without_cases,
    section_forces,
    stations_on,
    total_loads,
)
from beam.strength.station_ratios import PlyStates, faces_of, wall_groups
from beam.strut import PointLoads, Strut
from materials.checks import (
    Array,
    Frozen,
    Items,
    Limits,
    Numbers,
    OptionalNumbers,
    WholeNumbers,
    checked,
    default,
)

FIBER_TENSION, FIBER_COMPRESSION, SHEAR, TRANSVERSE_TENSION, TRANSVERSE_COMPRESSION = range(5)
KINDS = {
    "fiber": ((FIBER_TENSION, "tension"), (FIBER_COMPRESSION, "compression")),
    "transverse": ((TRANSVERSE_TENSION, "tension"), (TRANSVERSE_COMPRESSION, "compression")),
    "shear": ((SHEAR, "shear, by size"),),
}
"""What is drawn together: its index in the last axis of `SpanStrain.strain`, and its name."""


class SpanStrain(Frozen):
    """Extreme strains of each lamina in each wall along the span, with the case of each and the allowables.

    Parameters
    ----------
    stations : array_like, shape (station,)
        Along the axis from the root [m].
    strain : array_like, shape (lamina, station, wall, 5)
        Largest fiber strain, least fiber strain, largest shear strain by size, largest and least strain across
        the fibers, in ply axes, over cases, plies, surfaces and places; load part times the ultimate factor plus
        residual part; NaN where the lamina is not in the wall [-].
    case : array_like of int, shape (lamina, station, wall, 5)
        Number of the case; -1 where the lamina is not [-].
    allowable : array_like, shape (lamina, 5)
        e1t, -e1c, g12, e2t and -e2c of the lamina in the service [-].
    service : Service
        Temperature, moisture and knockdowns.
    laminae : sequence of str
        Names of the laminae.
    walls : sequence of str
        Names of the walls.
    caps : array_like, shape (2,), optional
        Lowest caps on fiber strain that decide in the service, tension and, negative, compression; for the strain of
        load alone [-].

    Examples
    --------
    >>> found = SpanStrain(stations=[0.1], strain=[[[[4e-3, -2e-3, 1e-3, 2e-3, -1e-3]]]], case=[[[[0, 1, 1, 0, 1]]]],
    ...                    allowable=[[9e-3, -7e-3, 0.02, 4e-3, -0.02]], laminae=["tape"], walls=["aft"],
    ...                    service=Service(name="room", temperature=293.0))
    >>> found.governing(lamina=0, wall=0, part=FIBER_TENSION)
    0
    """

    stations: Annotated[Numbers, Limits("m", shape=(-1,))]
    strain: Annotated[Numbers, Limits("-", shape=(-1, -1, -1, 5), finite=False)]
    case: Annotated[WholeNumbers, Limits("-", shape=(-1, -1, -1, 5), at_least=-1.0)]
    allowable: Annotated[Numbers, Limits("-", shape=(-1, 5))]
    service: Service
    laminae: Items[str]
    walls: Items[str]
    caps: OptionalNumbers = default(None)

    @checked
    def governing(
        self,
        lamina: Annotated[int, Limits("-", at_least=0)],
        wall: Annotated[int, Limits("-", at_least=0)],
        part: Annotated[int, Limits("-", at_least=0, at_most=4)],
    ) -> int | None:
        """Index of the station where one kind of strain of a lamina is largest in one wall, None if it is not there.

        Parameters
        ----------
        lamina, wall : int
            Index of the lamina and of the wall [-].
        part : int
            FIBER_TENSION, FIBER_COMPRESSION, SHEAR, TRANSVERSE_TENSION or TRANSVERSE_COMPRESSION [-].

        Returns
        -------
        int or None
            Index of the station [-].
        """
        value = self.strain[lamina, :, wall, part] * np.sign(self.allowable[lamina, part])
        return None if np.isnan(value).all() else int(np.nanargmax(value))


@checked
def span_strain(
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    service: Service,
    *,
    stations: Annotated[ArrayLike, Limits("m", shape=(-1,))],
) -> SpanStrain:
    """Extreme ply strains along the span at ultimate load in one service.

    Parameters
    ----------
    strut : Strut
        The strut.
    loads : PointLoads
        Limit loads.
    requirement : Requirement
        Factors on load, and the temperature at assembly where supports are redundant.
    service : Service
        Temperature, moisture and knockdowns.
    stations : array_like, shape (station,)
        Where [m].

    Returns
    -------
    SpanStrain
        Extremes with their cases and allowables.

    Raises
    ------
    ValueError
        As `beam.margins`.

    Notes
    -----
    e = ultimate factor x e(limit load) + e(cure, moisture), the second without its free part.

    Examples
    --------
    >>> from beam import BookPly, MoldLine, PlyBook
    >>> from materials import lamina
    >>> line = MoldLine(root=[0, 0, 0.4], tip=[0, 0, 0], stations=[0, 0.4], width=[0.1, 0.08], height=[0.08, 0.06],
    ...                 corner_radius=[0.02, 0.015])
    >>> tape = BookPly(lamina=lamina("T700S/2510"), angle_deg=0.0, walls=line.wall_names, start=0.0, end=0.4)
    >>> room = Service(name="room", temperature=293.0)
    >>> required = Requirement(services=[room], special_factor=1.2, special_factor_basis="invented", route="factor")
    >>> pull = PointLoads(at=[0.4], force=[[[2e5, 0, 0]]])
    >>> found = span_strain(Strut(line, PlyBook([tape] * 8)), pull, required, room, stations=[0.3])
    >>> float(found.strain[0, 0, 0, FIBER_TENSION].round(4))
    0.0088
    """
    refuse_without_cases("span_strain", loads)
    where = stations_on("span_strain", strut, np.asarray(stations))
    alone = replace(requirement, services=(service,), credit_relief=True, checks=screening())
    ((_, states, strut),) = in_service(strut, alone)
    grows, restraint = section_forces(strut, loads, alone, where, states=states)
    factor = case_factors(requirement, loads)["ultimate"]
    names = strut.mold_line.wall_names
    laminae = list(dict.fromkeys(ply.lamina for ply in strut.ply_book.plies))
    strain = np.full((len(laminae), where.size, len(names), 5), np.nan)
    case = np.full(strain.shape, -1, dtype=np.int64)
    for group in wall_groups(strut, where, total_loads(strut, loads, where, grows), restraint, states):
        plies, faces, found = group.laminate.plies, faces_of(group.laminate, {}), PlyStates(group)
        ultimate = factor * found.grows(faces, stress=False, state=0)
        ultimate += found.fixed(faces, stress=False, state=0)[..., None]
        i, walls = np.array(group.pairs).T
        for m, lamina in enumerate(laminae):
            own = [plies[ply].lamina == lamina for ply in faces.ply.tolist()]
            if any(own):
                strain[m, i, walls], case[m, i, walls] = _extremes(ultimate[own])
    limits = [service.allowables(lamina).strains for lamina in laminae]
    return SpanStrain(
        stations=where,
        strain=strain,
        case=case,
        allowable=[(e1t, -e1c, g12, e2t, -e2c) for e1t, e1c, e2t, e2c, g12 in limits],
        service=service,
        laminae=(lamina.name for lamina in laminae),
        walls=names,
        caps=_caps(requirement, service),
    )


def _caps(requirement: Requirement, service: Service) -> Array | None:
    """Lowest caps on fiber strain that decide in a service, tension and compression, (2,); None without caps."""
    found = [
        (check.caps.tension, -check.caps.compression)
        for check in requirement.checks
        if check.decides and check.caps is not None and meets(check, service.name)
    ]
    return np.array([min(t for t, _ in found), max(c for _, c in found)]) if found else None


def _extremes(strain: Array) -> tuple[Array, NDArray[np.int64]]:
    """Extremes of strains (ply, surface, 3, pair, place, case) and the numbers of their cases, (pair, 5) each."""
    high, low = strain.max(axis=(0, 1, 4)), strain.min(axis=(0, 1, 4))
    each = np.array([high[0], -low[0], np.maximum(high[2], -low[2]), high[1], -low[1]])
    value = each.max(axis=-1)
    value[[FIBER_COMPRESSION, TRANSVERSE_COMPRESSION]] *= -1
    return value.T, each.argmax(axis=-1).T
