"""Loads on the walls of a strut: from the loads, and from heat and moisture.

Section forces are those of the loads and, where redundant supports restrain the strut, those of heat and moisture.
They give the running loads along every wall; walls that expand differently add loads of their own.
"""

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from beam.section.expansion import residual_wall_loads
from beam.strength.requirement import Requirement, Service, case_factors
from beam.strut import PlyBook, PointLoads, Strut
from beam.strut.solver.field import Field
from laminate import Laminate, Response
from materials import Lamina
from materials.checks import Array, reject

PLACES = tuple(np.linspace(0.0, 1.0, 9).tolist())
"""Fractions of a wall at which it is checked. Nx is linear on a flat wall and a harmonic on an arc; Nxy peaks
anywhere; the hoop moment of a corner is a second harmonic. Ends and middle alone were 5 percent unsafe at times; nine
miss a quarter circle's harmonic by 0.5 percent at most, and the hoop moment by 0.2 percent."""

CORNER_FADES, FLAT_FADES, HELD_REACH = 1.0, 0.6, 4.0
"""Over what the hoop force of held contraction fades to 1/e: thicknesses of a corner, widths of a flat wall in its
middle; and widths of the section beyond which it is left out."""


class SectionForces(NamedTuple):
    """Section forces N, V2, V3, T, M2, M3 at stations [N, N m].

    `grows` is what limit load adds, (1, case, station, 6), or (service, case, station, 6) where heat changes it.
    `restraint` is what heat and moisture make without load, (service, station, 6); zero on determinate supports.
    """

    grows: Array
    restraint: Array


class WallLoads(NamedTuple):
    """Running loads (Nx, Ny, Nxy) [N/m], (Mx, My, Mxy) [N] of all walls at one station, one array for each service.

    `running` is at limit load, each (wall, place, case, 6); `fixed` stays in the unloaded strut, (wall, place, 1, 6).
    """

    running: tuple[Array, ...]
    fixed: tuple[Array, ...]


def refuse_without_cases(what: str, loads: PointLoads) -> None:
    """Refuse loads that have no axis of cases."""
    if loads.force.ndim != 3:
        reject(f"{what}: loads", f"force of shape {loads.force.shape}", "(case, load, 3)")


def stations_on(what: str, strut: Strut, stations: Array) -> Array:
    """Stations (station,), at least one and all on the strut [m]."""
    if not stations.size:
        reject(f"{what}: stations [m]", "none", "at least one")
    return strut.span.axis.check(f"{what}: stations [m]", stations)


class InService(NamedTuple):
    """The strut with the stiffness of some states of service: their indices in `Requirement.states`, and the states."""

    indices: tuple[int, ...]
    states: tuple[Service, ...]
    strut: Strut


def in_service(strut: Strut, requirement: Requirement) -> list[InService]:
    """The strut in every state, states of one stiffness together."""
    laminae = dict.fromkeys(ply.lamina for ply in strut.ply_book.plies)
    found: dict[tuple[Lamina, ...], list[int]] = {}
    for index, state in enumerate(requirement.states):
        own = tuple(state.lamina(lamina) for lamina in laminae)
        for lamina in own:
            state.refuse_too_hot(lamina)
        found.setdefault(own, []).append(index)
    out = []
    for indices in found.values():
        states = tuple(requirement.states[i] for i in indices)
        out.append(InService(tuple(indices), states, in_state(strut, states[0])))
    return out


def free_strains(
    strut: Strut, requirement: Requirement, states: tuple[Service, ...]
) -> tuple[Field | None, ...]:
    """Thermal and moisture strain of the dry strut since assembly, for each state; None on determinate supports."""
    supported = strut.span.held
    if len(supported.rows) <= 6:
        return (None,) * len(states)
    if supported.play.any():
        cause = "reactions are then not proportional to the load"
        reject("margins: supports", "play in redundant supports", "without play", cause)
    if requirement.assembly_temperature is None:
        reject(
            "Requirement: assembly_temperature [K]",
            None,
            f"given for {len(supported.rows)} supported directions",
            "heat and moisture load a strut on redundant supports",
        )
    return tuple(
        strut.free_strain(service.temperature - requirement.assembly_temperature, service.moisture)
        for service in states
    )


def section_forces(
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    at: Array,
    *,
    states: tuple[Service, ...] | None = None,
    deflected: bool = False,
) -> SectionForces:
    """Section forces of all cases in every service at stations (station,) [m]; `deflected`: loads follow the strut."""
    strains, span = (
        free_strains(strut, requirement, requirement.states if states is None else states),
        strut.span,
    )
    # A deflected strut is solved at ultimate load, on the safe side for checks at limit load.
    each = case_factors(requirement, loads)["ultimate"] if deflected else np.ones(len(loads.force))
    factor = each[:, None, None]
    scaled, none = loads.times(each), loads.take([0]).times(0.0)
    resisted = [strain for strain in strains if strain is not None]
    if not resisted:
        return SectionForces(
            span.forces(scaled, at=at, large=deflected)[None] / factor, np.zeros((len(strains), len(at), 6))
        )
    restraint = np.concatenate(
        [span.forces(none, at=at, large=deflected, free_strain=one) for one in resisted]
    )
    if not deflected:
        return SectionForces(span.forces(loads, at=at)[None], restraint)
    # The forces of loads and of heat do not superpose on the deflected strut: what grows is the difference between the
    # strut at ultimate load and the strut without load, in each service.
    total = [span.forces(scaled, at=at, large=True, free_strain=one) for one in resisted]
    return SectionForces((np.array(total) - restraint[:, None]) / factor, restraint)


def running_loads(strut: Strut, stations: Array, forces: Array) -> Array:
    """Wall loads (..., station, wall, place, 6) at stations (station,) [m] of forces (..., station, 6) [N, N m]."""
    thin = np.asarray(strut.wall_loads(forces, stations, PLACES))
    if not strut.thick_corners:
        return thin
    each = [strut.section(s) for s in stations.tolist()]
    more = np.stack([one.with_thick_corners.recovery(PLACES) - one.states.recovery(PLACES) for one in each])
    flat = more.reshape(len(stations), -1, 6) @ np.asarray(forces)[..., None]
    return thin + flat.reshape(thin.shape)


def introduced_loads(strut: Strut, loads: PointLoads, stations: Array) -> Array | None:
    """Wall loads that bands, ribs and ends add, (case, station, wall, place, 6); None of a strut without bands."""
    if not strut.bands:
        return None
    added = np.asarray(strut.added_wall_loads(loads, stations, PLACES))
    total = running_loads(strut, stations, strut.span.forces(loads, at=stations)) + added
    return added + held_contraction(strut, stations, total)


def held_contraction(strut: Strut, stations: Array, total: Array) -> Array:
    """Hoop force that holds the walls where their section keeps its size, (case, station, wall, place, 6).

    Under `total` loads, alike, a wall contracts around the section by its strain along the span. A rigid rib, a rigid
    fitting and a closed end hold that. Beside them the hoop force fades over `CORNER_FADES` thicknesses in corners and
    at the ends of flat walls, over `FLAT_FADES` widths in the middle of these, as measured on bricks.
    """
    away = _from_held(strut, stations)
    out = np.zeros(total.shape)
    for i in np.flatnonzero(away < HELD_REACH * strut.mold_line.width.max()).tolist():
        section = strut.section(float(stations[i]))
        thick = np.array([wall.thickness for wall in section.laminates])[:, None]
        middle = np.where(section.contour.turn == 0, FLAT_FADES * section.contour.length, 0.0)[:, None]
        shape = np.sin(np.pi * np.array(PLACES))
        fades = np.maximum(CORNER_FADES * thick, middle * shape)
        share = np.exp(-away[i] / fades)[..., None]
        if strut.thick_corners:
            held = section.with_thick_corners.held_hoop()
        else:
            soft = np.stack([wall.compliance for wall in section.laminates])
            held = np.zeros(soft.shape)
            held[:, 1] = -soft[:, 1] / soft[:, 1:2, 1]
        out[:, i] = share * (held[:, None] @ total[:, i, ..., None])[..., 0]
    return out


def _from_held(strut: Strut, stations: Array) -> Array:
    """Distance of stations to the nearest place where the section keeps its size, (station,) [m]; 0 in a fitting."""
    length = strut.mold_line.length
    held = [(s, s) for s, end in ((0.0, strut.root_end), (length, strut.tip_end)) if end != "open"]
    held += [(rib.station, rib.station) for rib in strut.ribs if rib.bending_stiffness is None]
    held += [(band.start, band.end) for band in strut.bands if band.fitting == "rigid"]
    apart = [np.maximum(np.maximum(start - stations, stations - end), 0.0) for start, end in held]
    return np.asarray(np.min(apart, axis=0, initial=np.inf))


def in_state(strut: Strut, state: Service) -> Strut:
    """The strut with the stiffness of a state of service."""
    new = {lamina: state.lamina(lamina) for lamina in dict.fromkeys(p.lamina for p in strut.ply_book.plies)}
    if all(own is lamina for lamina, own in new.items()):
        return strut
    return replace(
        strut, ply_book=PlyBook([replace(ply, lamina=new[ply.lamina]) for ply in strut.ply_book.plies])
    )


def added_to_tube(strut: Strut, loads: PointLoads, stations: Array) -> Array:
    """Wall loads beside those of a long straight tube: taper, bands, ribs, ends; (station, case, wall, place, 6)."""
    forces = strut.span.forces(loads, at=stations)
    total = np.moveaxis(total_loads(strut, loads, stations, forces), 1, 0)
    tube = [strut.section(s).wall_loads(forces[:, i], PLACES) for i, s in enumerate(stations.tolist())]
    return np.asarray(total - np.stack(tube))


def restraint_beside_tube(strut: Strut, stations: Array, restraint: Array) -> Array:
    """Wall loads of restraint (service, station, 6) beside those of a tube, (service, station, wall, place, 6)."""
    tube = [strut.section(s).wall_loads(restraint[:, i], PLACES) for i, s in enumerate(stations.tolist())]
    return np.asarray(running_loads(strut, stations, restraint) - np.stack(tube, axis=1))


def total_loads(strut: Strut, loads: PointLoads, stations: Array, forces: Array) -> Array:
    """Wall loads that grow, (1 or service, case, station, wall, place, 6), of forces (..., case, station, 6)."""
    running, added = running_loads(strut, stations, forces), introduced_loads(strut, loads, stations)
    return running if added is None else running + added


def fixed_loads(
    strut: Strut, stations: Array, services: tuple[Service, ...], restraint: Array | None = None
) -> Array:
    """Wall loads of cure, heat, moisture and of restraint (service, station, 6), (service, station, wall, place, 6)."""
    fixed = _unloaded(strut, stations, services, thick=strut.thick_corners)
    return fixed if restraint is None else fixed + running_loads(strut, stations, restraint)


def fixed_by_corners(strut: Strut, stations: Array, services: tuple[Service, ...]) -> Array:
    """What thick corners add to the wall loads of cure and moisture, (service, station, wall, place, 6)."""
    thin = _unloaded(strut, stations, services, thick=False)
    return fixed_loads(strut, stations, services) - thin


def _unloaded(strut: Strut, stations: Array, services: tuple[Service, ...], *, thick: bool) -> Array:
    """Wall loads of cure and moisture, (service, station, wall, place, 6), with thick corners or with thin ones."""
    laminae = [ply.lamina for ply in strut.ply_book.plies]
    change = np.array([service.temperature_change(*laminae) for service in services])
    moisture = np.array([service.free_moisture for service in services])
    sections = [strut.section(s) for s in stations.tolist()]
    if thick:
        each = [one.with_thick_corners.residual_loads(change, moisture, PLACES) for one in sections]
        return np.stack(each, axis=1)
    free: dict[int, Array] = {}
    out = []
    for section in sections:
        for wall in section.laminates:
            if id(wall) not in free:
                free[id(wall)] = wall.free_strain(change, moisture)
        strains = np.stack([free[id(wall)] for wall in section.laminates], axis=-2)
        out.append(residual_wall_loads(section.states, strains, PLACES))
    return np.swapaxes(np.array(out), 0, 1)


def wall_loads(
    strut: Strut,
    station: float,
    forces: Array,
    services: tuple[Service, ...],
    restraint: Array | None = None,
    added: Array | None = None,
) -> WallLoads:
    """Wall loads at one station [m] of forces (1 or service, case, 6) and restraint (service, 6) [N, N m].

    `added`, (case, wall, place, 6), are those of bands, ribs and ends.
    """
    at = np.array([station])
    running = running_loads(strut, at, forces[..., None, :])[..., 0, :, :, :]
    running = np.moveaxis(running if added is None else running + added, 1, -2)
    fixed = fixed_loads(strut, at, services, None if restraint is None else restraint[:, None])
    return WallLoads(
        tuple(np.broadcast_to(running, (len(services), *running.shape[1:]))),
        tuple(fixed[:, 0, :, :, None]),
    )


def wall_response(laminate: Laminate, service: Service, running: Array, fixed: Array) -> Response:
    """Ply states of one wall, (place, case) in front, under running (place, case, 6) and fixed loads (place, 1, 6)."""
    return laminate.response(
        N=running[..., :3],
        M=running[..., 3:],
        temperature_change=service.temperature_change(*(ply.lamina for ply in laminate.plies)),
        moisture=service.free_moisture,
        residual_N=fixed[..., :3],
        residual_M=fixed[..., 3:],
    )
