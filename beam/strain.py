"""Extreme ply strains along the span at ultimate load: what the strain-along-span plot draws."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.margin import respond, station_loads
from beam.requirement import Requirement, Service
from beam.strut import PointLoads, Strut
from materials.checks import Array, array

FIBER_TENSION, FIBER_COMPRESSION, SHEAR = range(3)


@dataclass(frozen=True, kw_only=True, eq=False)
class SpanStrain:
    """Extreme strains in each wall along the span, with the case that makes each and its allowable.

    Parameters
    ----------
    stations : ndarray, shape (station,)
        Along the axis from the root [m].
    strain : ndarray, shape (station, wall, 3)
        Largest fiber strain, least fiber strain and largest shear strain by size, in ply axes, over
        cases, plies, surfaces and places; load part times the factors plus residual part [-].
    case : ndarray of int, shape (station, wall, 3)
        The case that makes it [-].
    allowable : ndarray, shape (3,)
        Allowable e1t, -e1c and g12 of the service; the lowest over the laminae [-].
    service : Service
        Temperature, moisture and knockdowns.
    walls : tuple of str
        Names of the walls.
    """

    stations: Array
    strain: Array
    case: NDArray[np.int64]
    allowable: Array
    service: Service
    walls: tuple[str, ...]


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
        Factors on load.
    service : Service
        Temperature, moisture and knockdowns.
    stations : array_like, shape (station,)
        Where [m].

    Returns
    -------
    SpanStrain
        Extremes with their cases and allowables.
    """
    where = array("span_strain: stations [m]", stations, last=(-1,))
    forces = strut.span.forces(loads, at=where)
    names = strut.mold_line.wall_names
    strain = np.empty((where.size, len(names), 3))
    case = np.empty(strain.shape, dtype=np.int64)
    for i, s in enumerate(where.tolist()):
        found = station_loads(strut, s, forces[:, i], (service,))
        for wall, name in enumerate(names):
            laminate = strut.ply_book.laminate(name, s)
            response = respond(laminate, service, found.running[wall], found.fixed[0][wall])
            ultimate = requirement.ultimate_factor * response.load_strain + response.residual_strain
            # (place, case, ply, surface, 3) to (case, all the rest)
            fiber, shear = (np.moveaxis(ultimate[..., c], 1, 0).reshape(len(forces), -1) for c in (0, 2))
            for k, extreme in enumerate((fiber.max(axis=1), -fiber.min(axis=1), np.abs(shear).max(axis=1))):
                case[i, wall, k] = extreme.argmax()
                strain[i, wall, k] = extreme.max() * (-1 if k == FIBER_COMPRESSION else 1)
    held = [service.allowables(lamina).strains for lamina in dict.fromkeys(p.lamina for p in strut.ply_book.plies)]
    e1t, e1c, _, _, g12 = np.min(held, axis=0)
    return SpanStrain(
        stations=where,
        strain=strain,
        case=case,
        allowable=np.array([e1t, -e1c, g12]),
        service=service,
        walls=names,
    )
