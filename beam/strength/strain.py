"""Extreme ply strains along the span at ultimate load: what the strain-along-span plot draws."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.strength.requirement import Requirement, Service
from beam.strength.section_forces import refuse_strangers, section_forces, some_stations
from beam.strength.wall_ratios import respond, station_loads
from beam.strut import PointLoads, Strut
from materials.checks import Array
from materials.kinds import instance

FIBER_TENSION, FIBER_COMPRESSION, SHEAR, TRANSVERSE_TENSION, TRANSVERSE_COMPRESSION = range(5)
KINDS = {
    "fiber": ((FIBER_TENSION, "tension"), (FIBER_COMPRESSION, "compression")),
    "transverse": ((TRANSVERSE_TENSION, "tension"), (TRANSVERSE_COMPRESSION, "compression")),
    "shear": ((SHEAR, "shear, by size"),),
}
"""What is drawn together: where it stands in the last axis of `SpanStrain.strain`, and its name."""


@dataclass(frozen=True, kw_only=True, eq=False)
class SpanStrain:
    """Extreme strains of each lamina in each wall along the span, with the case that makes each and the allowables.

    Parameters
    ----------
    stations : ndarray, shape (station,)
        Along the axis from the root [m].
    strain : ndarray, shape (lamina, station, wall, 5)
        Largest fiber strain, least fiber strain, largest shear strain by size, largest and least strain across
        the fibers, in ply axes, over cases, plies, surfaces and places; load part times the factors plus residual
        part; NaN where the lamina is not in the wall [-].
    case : ndarray of int, shape (lamina, station, wall, 5)
        The case that makes it; -1 where the lamina is not [-].
    allowable : ndarray, shape (lamina, 5)
        e1t, -e1c, g12, e2t and -e2c of the lamina in the service [-].
    service : Service
        Temperature, moisture and knockdowns.
    laminae : tuple of str
        Names of the laminae.
    walls : tuple of str
        Names of the walls.
    """

    stations: Array
    strain: Array
    case: NDArray[np.int64]
    allowable: Array
    service: Service
    laminae: tuple[str, ...]
    walls: tuple[str, ...]

    def governing(self, lamina: int, wall: int, part: int) -> int | None:
        """Station index where one kind of strain of a lamina is largest in one wall.

        Parameters
        ----------
        lamina, wall : int
            Index of the lamina and of the wall [-].
        part : int
            FIBER_TENSION, FIBER_COMPRESSION, SHEAR, TRANSVERSE_TENSION or TRANSVERSE_COMPRESSION [-].

        Returns
        -------
        int or None
            Index of the station; None if the lamina is not in the wall [-].
        """
        value = self.strain[lamina, :, wall, part] * np.sign(self.allowable[lamina, part])
        return None if np.isnan(value).all() else int(np.nanargmax(value))


def span_strain(
    strut: Strut, loads: PointLoads, requirement: Requirement, service: Service, *, stations: ArrayLike
) -> SpanStrain:
    """Find the extreme ply strains along the span at ultimate load in one service.

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
    """
    refuse_strangers("span_strain", strut, loads, requirement)
    instance("span_strain: service", service, Service)
    where = some_stations("span_strain", strut, stations)
    grows, resisted = section_forces(strut, loads, replace(requirement, services=(service,)), where)
    names = strut.mold_line.wall_names
    laminae = list(dict.fromkeys(ply.lamina for ply in strut.ply_book.plies))
    strain = np.full((len(laminae), where.size, len(names), 5), np.nan)
    case = np.full(strain.shape, -1, dtype=np.int64)
    for i, s in enumerate(where.tolist()):
        found = station_loads(strut, s, grows[:, :, i], (service,), resisted[:, i])
        for wall, name in enumerate(names):
            laminate = strut.ply_book.laminate(name, s)
            response = respond(laminate, service, found.running[0][wall], found.fixed[0][wall])
            ultimate = requirement.ultimate_factor * response.load_strain + response.residual_strain
            for m, lamina in enumerate(laminae):
                own = [ply.lamina == lamina for ply in laminate.plies]
                if any(own):
                    strain[m, i, wall], case[m, i, wall] = _extremes(ultimate[:, :, own])
    held = [service.allowables(lamina).strains for lamina in laminae]
    return SpanStrain(
        stations=where,
        strain=strain,
        case=case,
        allowable=np.array([(e1t, -e1c, g12, e2t, -e2c) for e1t, e1c, e2t, e2c, g12 in held]),
        service=service,
        laminae=tuple(lamina.name for lamina in laminae),
        walls=names,
    )


def _extremes(strain: Array) -> tuple[Array, NDArray[np.int64]]:
    """Extremes of strains (place, case, ply, surface, 3) and the cases that make them, shape (5,) each."""
    by_case = np.moveaxis(strain, 1, 0).reshape(strain.shape[1], -1, 3)
    (fiber, across, _), (least, least_across, _) = (
        np.moveaxis(one, -1, 0) for one in (by_case.max(axis=1), by_case.min(axis=1))
    )
    each = (fiber, -least, np.abs(by_case[..., 2]).max(axis=1), across, -least_across)
    value = np.array([one.max() for one in each])
    value[[FIBER_COMPRESSION, TRANSVERSE_COMPRESSION]] *= -1
    return value, np.array([one.argmax() for one in each])
