"""Unfolding of corners: tension through the thickness of curved walls, from ovalization, load and cure together.

A curved wall under a hoop moment that unfolds it, or under hoop tension, is pulled apart between its plies. Its hoop
loads have three parts: ovalization grows with the square of the load factor R (`beam.section.ovalization`), the
linear theory with its spring-in under load grows with R, cure and moisture do not grow (`beam.section.spring_in`). At
each height the radial stress is linear in hoop force and moment, so it is a quadratic in R there,

    s2 R^2 + s1 R + s0 = Zt

and the ratio is the first positive root, the least over the heights. The linear theory of thin symmetric walls alone
gives no hoop moment: it would predict that no corner ever unfolds.

Left out, each as small as it is beside the load: the pressure of the wall loads of cure under the curvature of
the load, and that of the load under the curvature that heat gives a free section.
"""

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from beam.section.ovalization import ovalization_form
from beam.section.spring_in import spring_in_loads, spring_in_recovery
from beam.strength.requirement import Service
from beam.strength.section_forces import PLACES
from beam.strut import Strut
from laminate import Laminate
from laminate.failure.surface import first_root
from laminate.interlaminar import (
    CornerModuli,
    corner_moduli,
    corner_stress,
    thickness_compliance,
    thickness_expansion,
)
from materials.checks import Array, reject

POINTS = 33
"""Heights through the thickness: the peak under a moment is missed by 1e-3 of it, under a hoop force alone by 3e-3."""


class Unfolding(NamedTuple):
    """Indices of the curved walls, and their lowest ratios and the places of these, each (service, case, wall)."""

    walls: tuple[int, ...]
    ratio: Array
    place: Array


def radial_influence(inner_radius: Array, thickness: Array, moduli: dict[str, Array]) -> Array:
    """Radial stress per hoop force [1/m] and per moment that unfolds the corner [1/m2], (..., point, 2)."""
    per = [
        corner_stress(inner_radius, thickness, moment, force, points=POINTS, **moduli).radial
        for moment, force in ((0.0, 1.0), (1.0, 0.0))
    ]
    return np.stack(per, axis=-1)


def unfolding_ratio(
    influence: Array, quadratic: Array, linear: Array, fixed: Array, strength: Array
) -> Array:
    """Factor (...) on the load that unfolds a corner; 0 where the fixed part alone unfolds it, inf where no load does.

    Hoop force and moment (..., 2) [N/m], [N] that grow with the square of the load, with the load, and not at all;
    strength (...) through the thickness [Pa].
    """
    s2, s1, s0 = ((influence @ one[..., None])[..., 0] for one in (quadratic, linear, fixed))
    with np.errstate(all="ignore"):
        return np.asarray(first_root(s2, s1, strength[..., None] - s0).min(axis=-1))


def unfolding_ratios(
    strut: Strut,
    station: float,
    forces: Array,
    services: tuple[Service, ...],
    *,
    places: Sequence[float] = PLACES,
    restraint: Array | None = None,
    total: Array | None = None,
    spring_in: bool = True,
) -> Unfolding:
    """Ratios of the curved walls at one station [m] under forces (1 or service, case, 6), restraint (service, 6).

    `total` are all wall loads that grow, (1 or service, case, wall, place, 6); without them those of a long straight
    tube. `spring_in`: spring-in under load is not among them, as in a beam.
    """
    F, at = forces, np.asarray(places)
    H = (np.zeros((len(services), 6)) if restraint is None else restraint)[:, None]
    section = strut.section(station)
    states, contour, laminates = section.states, section.contour, section.laminates
    curved = [int(wall) for wall in np.flatnonzero(contour.turn)]
    corners = [laminates[wall] for wall in curved]
    # A moment My > 0 pulls on the outer side of the skin: it closes a convex wall, which turns clockwise.
    opens = np.stack([np.ones(len(curved)), np.sign(contour.turn[curved])], axis=-1)[:, None]

    plies = [ply.lamina for ply in strut.ply_book.plies]
    change = np.array([service.temperature_change(*plies) for service in services])
    moisture = np.array([service.free_moisture for service in services])
    kinds = list(dict.fromkeys(corners))
    kind = [kinds.index(wall) for wall in corners]
    through = [_through_thickness(wall, tuple(change.tolist()), tuple(moisture.tolist())) for wall in kinds]
    e_z, soft = np.zeros((len(services), len(laminates))), np.zeros((len(laminates), 6))
    e_z[:, curved] = np.stack([one.expansion for one in through], axis=-1)[:, kind]
    soft[curved] = np.array([one.compliance for one in through])[kind]
    free = np.stack([wall.free_strain(change, moisture) for wall in laminates], axis=-2)

    form = ovalization_form(states, at)[curved] * opens[..., None, None]
    square, mixed, still = (
        np.einsum("wpkij,sci,scj->scwpk", form, *np.broadcast_arrays(one, other), optimize=True)
        for one, other in ((F, F), (F, H), (H, H))
    )
    abd = np.stack([wall.abd for wall in laminates])
    linear = spring_in_recovery(states, abd, soft, at)[curved] * opens[..., None]
    cure = spring_in_loads(states, free, e_z, at)[:, None, curved] * opens

    grows = np.einsum("wpki,sci->scwpk", linear, F)
    if total is not None and not spring_in:
        grows = total[:, :, curved][..., [1, 4]] * opens
    elif total is not None:  # taper, bands, ribs and ends add to hoop force and moment
        more = total[:, :, curved] - section.wall_loads(F, at)[:, :, curved]
        grows = grows + more[..., [1, 4]] * opens
    thickness = np.array([wall.thickness for wall in corners])
    inner = np.abs(contour.length[curved] / contour.turn[curved]) - 0.5 * thickness
    moduli = np.array([one.moduli for one in through])[kind].T
    named = dict(zip(("E_hoop", "E_radial", "G", "nu"), moduli, strict=True))
    influence = radial_influence(inner, thickness, named)
    ratio = unfolding_ratio(
        influence[:, None],
        square,
        grows + 2 * mixed,
        cure + np.einsum("wpki,sci->scwpk", linear, H) + still,
        _weakest(kinds, services)[:, None, kind, None],
    )
    lowest = ratio.argmin(axis=-1)
    ratio = np.take_along_axis(ratio, lowest[..., None], axis=-1)[..., 0]
    return Unfolding(tuple(curved), ratio, at[lowest])


class _ThroughThickness(NamedTuple):
    """Moduli of a bent stack, its strain through the thickness in each service, and that per running load, (6,)."""

    moduli: CornerModuli
    expansion: Array
    compliance: Array


@lru_cache(maxsize=1024)
def _through_thickness(
    wall: Laminate, change: tuple[float, ...], moisture: tuple[float, ...]
) -> _ThroughThickness:
    """What a corner of a stack needs, in services of some temperature changes [K] and moistures [-]."""
    expansion = thickness_expansion(wall, np.array(change), np.array(moisture))
    return _ThroughThickness(corner_moduli(wall), expansion, thickness_compliance(wall))


def _weakest(kinds: list[Laminate], services: tuple[Service, ...]) -> Array:
    """Lowest strength between the plies of each kind of wall, (service, kind) [Pa]."""
    laminae = [dict.fromkeys(ply.lamina for ply in wall.plies) for wall in kinds]
    for one in (lamina for some in laminae for lamina in some):
        if one.allowables is not None and one.allowables.Zt is None:
            reject(
                f"corner unfolding: Zt [Pa] of lamina {one.name!r}",
                None,
                "given",
                "test it by ASTM D6415, or settle the corners by test and set Requirement.corner_opening=False",
            )
    return np.array(
        [[min(s.allowables(one).through_thickness for one in some) for some in laminae] for s in services]
    )
