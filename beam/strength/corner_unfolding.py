"""Opening of corners: tension through the thickness of curved walls, from ovalization, load and cure together.

A curved wall under a hoop moment that opens it, or under hoop tension, is pulled apart between its plies. Its hoop
loads have three parts: ovalization grows with the square of the load factor R (`beam.section.ovalization`), the
linear theory with its spring-in under load grows with R, cure and moisture do not grow (`beam.section.spring_in`). At
each height the radial stress is linear in hoop force and moment, so it is a quadratic in R there,

    s2 R^2 + s1 R + s0 = Zt

and the ratio is the first positive root, the least over the heights. Where walls are symmetric the linear theory of
thin walls alone gives no hoop moment, and would say that no corner ever opens.

Left out, in each factor as small as they are beside the load: what the wall loads that cure leaves press with under
the curvature of the load, and what the load presses with under the curvature that heat gives a free section.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.section.ovalization import ovalization_form
from beam.section.spring_in import spring_in_loads, spring_in_recovery
from beam.strength.requirement import Service
from beam.strut import Strut
from laminate import Laminate
from laminate.interlaminar import corner_moduli, corner_stress, thickness_compliance, thickness_expansion
from materials.checks import Array, array, common_shape, reject
from materials.kinds import instance, instances
from materials.limits import between

POINTS = 33
"""Heights through the thickness: the peak under a moment is missed by 1e-3 of it, under a hoop force alone by 3e-3."""

PLACES = tuple(np.linspace(0.0, 1.0, 9).tolist())
"""Places along each corner: the hoop moment varies in it as the second harmonic, and is missed by 2e-3 of it."""


class Opening(NamedTuple):
    """Strength ratios of the curved walls of one section.

    Attributes
    ----------
    walls : tuple of int
        Indices of the curved walls [-].
    ratio : ndarray, shape (service, case, wall)
        Strength ratio, the lowest over the places [-].
    place : ndarray, shape (service, case, wall)
        Fraction along the wall where that is [-].
    """

    walls: tuple[int, ...]
    ratio: Array
    place: Array


def radial_influence(
    inner_radius: ArrayLike,
    thickness: ArrayLike,
    *,
    E_hoop: ArrayLike,
    E_radial: ArrayLike,
    G: ArrayLike,
    nu: ArrayLike,
    points: int = POINTS,
) -> Array:
    """Radial stress across a corner per unit of hoop force and of opening moment.

    Parameters
    ----------
    inner_radius : array_like, shape (...)
        Inner radius [m].
    thickness : array_like, shape (...)
        Thickness [m].
    E_hoop : array_like, shape (...)
        Modulus of the stack along the arc [Pa].
    E_radial : array_like, shape (...)
        Modulus through the thickness [Pa].
    G : array_like, shape (...)
        Interlaminar shear modulus in the plane of the corner [Pa].
    nu : array_like, shape (...)
        Contraction through the thickness for stress along the arc [-].
    points : int
        Heights, from the inner to the outer radius [-].

    Returns
    -------
    ndarray, shape (..., point, 2)
        Per axial force [1/m] and per moment that opens the corner [1/m^2], tension positive.

    Raises
    ------
    ValueError
        As `laminate.interlaminar.corner_stress`.
    """
    moduli = {"E_hoop": E_hoop, "E_radial": E_radial, "G": G, "nu": nu}
    pulled = corner_stress(inner_radius, thickness, 0.0, 1.0, points=points, **moduli)
    opened = corner_stress(inner_radius, thickness, 1.0, 0.0, points=points, **moduli)
    return np.stack([pulled.radial, opened.radial], axis=-1)


def corner_opening_ratio(
    influence: ArrayLike, quadratic: ArrayLike, linear: ArrayLike, fixed: ArrayLike, strength: ArrayLike
) -> Array:
    """Factor on the load at which a corner opens.

    Parameters
    ----------
    influence : array_like, shape (..., point, 2)
        From `radial_influence` [1/m], [1/m^2].
    quadratic : array_like, shape (..., 2)
        Hoop force and opening moment that grow with the square of the load [N/m], [N].
    linear : array_like, shape (..., 2)
        Those that grow with the load [N/m], [N].
    fixed : array_like, shape (..., 2)
        Those that do not grow [N/m], [N].
    strength : array_like, shape (...)
        Tensile strength through the thickness [Pa].

    Returns
    -------
    ndarray, shape (...)
        R; 0 where the fixed part alone reaches the strength, inf where no load opens the corner [-].

    Raises
    ------
    ValueError
        If a strength is not positive, a load is not finite, or the shapes do not fit together.
    """
    per = array("corner_opening_ratio: influence [1/m], [1/m^2]", influence, last=(-1, 2), copy=False)
    named = (("quadratic", quadratic), ("linear", linear), ("fixed", fixed))
    loads = [array(f"corner_opening_ratio: {n} [N/m], [N]", v, last=(2,), copy=False) for n, v in named]
    Zt = array("corner_opening_ratio: strength [Pa]", strength)
    if not (Zt > 0).all():
        reject("corner_opening_ratio: strength [Pa]", f"{Zt.min():g}", "> 0")
    common_shape("corner_opening_ratio", per.shape[:-2], *(one.shape[:-1] for one in loads), Zt.shape)
    s2, s1, s0 = ((per @ one[..., None])[..., 0] for one in loads)
    return np.asarray(first_root(s2, s1, s0 - Zt[..., None]).min(axis=-1))


def first_root(a: Array, b: Array, c: Array) -> Array:
    """Smallest R > 0 at which a R^2 + b R + c is no longer negative.

    Parameters
    ----------
    a, b, c : ndarray, shape (...)
        Coefficients, all of one unit [any].

    Returns
    -------
    ndarray, shape (...)
        0 where c >= 0, inf where the sum stays negative [-].

    Notes
    -----
    With c < 0 the largest 1/R is (b + root) / (-2 c). It holds for a = 0 as well; for b < 0 it loses digits as R gets
    large, a part in 1e9 at R = 1e6.
    """
    square = b * b - 4 * a * c
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        inverse = (b + np.sqrt(np.maximum(square, 0.0))) / (-2 * c)
        return np.where(c >= 0, 0.0, np.where((square >= 0) & (inverse > 0), 1 / inverse, np.inf))


def opening_ratios(
    strut: Strut,
    station: float,
    forces: ArrayLike,
    services: tuple[Service, ...],
    *,
    places: ArrayLike = PLACES,
    held: ArrayLike | None = None,
) -> Opening:
    """Find the strength ratios of the curved walls of a strut at one station.

    Parameters
    ----------
    strut : Strut
        The strut; every lamina of a curved wall must hold Zt, G13, G23 and what
        `materials.through_thickness` asks for.
    station : float
        Distance along the axis from the root [m].
    forces : array_like, shape (case, 6), or (service, case, 6) where services differ
        Limit section forces N, V2, V3 [N], T, M2, M3 [N m].
    services : tuple of Service
        Give temperature, moisture and knockdowns.
    places : array_like, shape (place,)
        Fractions of the length of each wall [-].
    held : array_like, shape (service, 6), optional
        Section forces of heat and moisture against redundant supports, which do not grow with load [N, N m].

    Returns
    -------
    Opening
        Ratios of the curved walls; the strength of a wall is the lowest of its plies.

    Raises
    ------
    ValueError
        If a lamina does not say enough.
    """
    F = array("opening_ratios: forces [N, N m]", forces, last=(-1, 6))
    F = F if F.ndim == 3 else F[None]
    services = instances("opening_ratios: services", services, Service)
    rest = np.zeros((len(services), 6)) if held is None else held
    H = array("opening_ratios: held [N, N m]", rest, last=(len(services), 6))[:, None]
    at = between("opening_ratios: places [-]", places, 0.0, 1.0)
    if at.ndim != 1:
        reject("opening_ratios: places [-]", f"shape {at.shape}", "(place,)")
    instance("opening_ratios: strut", strut, Strut)
    section = strut.section(station)
    states, contour, laminates = section.states, section.contour, section.laminates
    curved = [int(wall) for wall in np.flatnonzero(contour.turn)]
    corners = [laminates[wall] for wall in curved]
    # A moment My > 0 pulls on the outer side of the skin: it closes a convex wall, which turns clockwise.
    opens = np.stack([np.ones(len(curved)), np.sign(contour.turn[curved])], axis=-1)[:, None]

    plies = [ply.lamina for ply in strut.ply_book.plies]
    change = np.array([service.temperature_change(*plies) for service in services])
    moisture = np.array([service.moisture for service in services])
    kinds = list(dict.fromkeys(corners))
    kind = [kinds.index(wall) for wall in corners]
    e_z, soft = np.zeros((len(services), len(laminates))), np.zeros((len(laminates), 6))
    e_z[:, curved] = np.stack([thickness_expansion(wall, change, moisture) for wall in kinds], axis=-1)[
        :, kind
    ]
    soft[curved] = np.array([thickness_compliance(wall) for wall in kinds])[kind]
    free = np.stack([wall.free_strain(change, moisture) for wall in laminates], axis=-2)

    form = ovalization_form(states, at)[curved] * opens[..., None, None]
    square, mixed, still = (
        np.einsum("wpkij,sci,scj->scwpk", form, *np.broadcast_arrays(one, other), optimize=True)
        for one, other in ((F, F), (F, H), (H, H))
    )
    abd = np.stack([wall.abd for wall in laminates])
    linear = spring_in_recovery(states, abd, soft, at)[curved] * opens[..., None]
    cure = spring_in_loads(states, free, e_z, at)[:, None, curved] * opens

    thickness = np.array([wall.thickness for wall in corners])
    inner = np.abs(contour.length[curved] / contour.turn[curved]) - 0.5 * thickness
    E_hoop, E_radial, G, nu = np.array([corner_moduli(wall) for wall in kinds])[kind].T
    influence = radial_influence(inner, thickness, E_hoop=E_hoop, E_radial=E_radial, G=G, nu=nu)
    ratio = corner_opening_ratio(
        influence[:, None],
        square,
        np.einsum("wpki,sci->scwpk", linear, F) + 2 * mixed,
        cure + np.einsum("wpki,sci->scwpk", linear, H) + still,
        _weakest(kinds, services)[:, None, kind, None],
    )
    lowest = ratio.argmin(axis=-1)
    ratio = np.take_along_axis(ratio, lowest[..., None], axis=-1)[..., 0]
    return Opening(tuple(curved), ratio, at[lowest])


def _weakest(kinds: list[Laminate], services: tuple[Service, ...]) -> Array:
    """Lowest strength between the plies of each kind of wall, shape (service, kind)."""
    laminae = [dict.fromkeys(ply.lamina for ply in wall.plies) for wall in kinds]
    for one in (lamina for some in laminae for lamina in some):
        if one.allowables is not None and one.allowables.Zt is None:
            reject(
                f"corner opening: Zt [Pa] of lamina {one.name!r}",
                None,
                "given",
                "test it by ASTM D6415, or settle the corners by test and set Requirement.corner_opening=False",
            )
    return np.array(
        [[min(s.allowables(one).through_thickness for one in some) for some in laminae] for s in services]
    )
