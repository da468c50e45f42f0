"""Section forces of a strut: those of the loads, and those of heat and moisture where redundant supports resist."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.strength.requirement import Requirement
from beam.strut import PointLoads, Strut
from beam.strut.solver.field import Field
from materials.checks import Array, array, reject
from materials.kinds import instance


class SectionForces(NamedTuple):
    """Section forces N, V2, V3, T, M2, M3 at stations.

    Parameters
    ----------
    grows : ndarray, shape (1, case, station, 6) or (service, case, station, 6)
        At limit load, what is there without load taken off; of every service where heat changes it [N, N m].
    held : ndarray, shape (service, station, 6)
        What heat and moisture make without load; zero on statically determinate supports [N, N m].
    """

    grows: Array
    held: Array


def refuse_strangers(who: str, strut: Strut, loads: PointLoads, requirement: Requirement) -> None:
    """Stop if what is to be judged, or what by, is something else.

    Parameters
    ----------
    who : str
        Name of the function for the message.
    strut : Strut
        To be judged.
    loads : PointLoads
        Limit loads, with an axis of cases.
    requirement : Requirement
        Services, factors and criteria.

    Raises
    ------
    ValueError
        If one is of another kind, or the loads have no axis of cases.
    """
    instance(f"{who}: strut", strut, Strut)
    instance(f"{who}: requirement", requirement, Requirement)
    if instance(f"{who}: loads", loads, PointLoads).force.ndim != 3:
        reject(f"{who}: loads", f"force of shape {loads.force.shape}", "(case, load, 3)")


def some_stations(who: str, strut: Strut, stations: ArrayLike) -> Array:
    """Check stations where a strut is to be judged.

    Parameters
    ----------
    who : str
        Name of the function for the message.
    strut : Strut
        The strut.
    stations : array_like, shape (station,)
        Distances along the axis from the root [m].

    Returns
    -------
    ndarray, shape (station,)
        The same [m].

    Raises
    ------
    ValueError
        If there is none, one is off the strut, or it is no list of numbers.
    """
    where = array(f"{who}: stations [m]", stations, last=(-1,))
    if where.ndim != 1 or not where.size:
        reject(f"{who}: stations [m]", f"shape {where.shape}", "(station,), one or more")
    return strut.span.axis.check(f"{who}: stations [m]", where)


def free_strains(strut: Strut, requirement: Requirement) -> tuple[Field | None, ...]:
    """Find what each service would strain the strut by since it was mounted, where its supports resist that.

    Parameters
    ----------
    strut : Strut
        The strut on its supports.
    requirement : Requirement
        Services, and the temperature at assembly.

    Returns
    -------
    tuple of Field
        One for each service; None for each where no more than six directions are held.

    Raises
    ------
    ValueError
        If more than six directions are held and one of them has play, or no assembly temperature is given.

    Notes
    -----
    The strut is taken to be dry and free of support forces at the assembly temperature, and what holds it
    not to expand itself.
    """
    held = strut.span.held
    if len(held.rows) <= 6:
        return (None,) * len(requirement.services)
    if held.play.any():
        reject(
            "margins: supports",
            "play in redundant supports",
            "without play",
            "reactions are then not proportional to the load",
        )
    if requirement.assembly_temperature is None:
        reject(
            "Requirement: assembly_temperature [K]",
            None,
            f"given for {len(held.rows)} held directions",
            "heat and moisture load a strut on redundant supports",
        )
    return tuple(
        strut.free_strain(service.temperature - requirement.assembly_temperature, service.moisture)
        for service in requirement.services
    )


def section_forces(
    strut: Strut, loads: PointLoads, requirement: Requirement, at: Array, *, deflected: bool = False
) -> SectionForces:
    """Find the section forces of all cases in every service.

    Parameters
    ----------
    strut : Strut
        The strut on its supports.
    loads : PointLoads
        Limit loads.
    requirement : Requirement
        Services, factors and the temperature at assembly.
    at : ndarray, shape (station,)
        Stations [m].
    deflected : bool
        Let the loads follow the strut to where it is at ultimate load; heat and moisture then bend it, too.

    Returns
    -------
    SectionForces
        What grows with load and what does not.

    Raises
    ------
    ValueError
        As `free_strains`.

    Notes
    -----
    On the undeflected strut the forces of the loads and those of heat superpose. On the deflected one they do not:
    what grows is then the difference between the strut at ultimate load and without load, in each service.
    """
    strains, span = free_strains(strut, requirement), strut.span
    factor = requirement.ultimate_factor if deflected else 1.0
    scaled, none = loads.times(factor), loads.take([0]).times(0.0)
    resisted = [strain for strain in strains if strain is not None]
    if not resisted:
        return SectionForces(
            span.forces(scaled, at=at, large=deflected)[None] / factor, np.zeros((len(strains), len(at), 6))
        )
    held = np.concatenate([span.forces(none, at=at, large=deflected, free_strain=one) for one in resisted])
    if not deflected:
        return SectionForces(span.forces(loads, at=at)[None], held)
    total = [span.forces(scaled, at=at, large=True, free_strain=one) for one in resisted]
    return SectionForces((np.array(total) - held[:, None]) / factor, held)
