"""Strength where plies end: the plies beside an end carry more, and a delamination may run from it."""

from typing import Annotated, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.strut.ply_drops import Step, axial_stiffness, groups, steps
from beam.strut.point_loads import before
from beam.strut.strut import Strut
from laminate import Laminate
from materials.checks import Array, Limits, checked, reject

PLACES = np.linspace(0.0, 1.0, 9)
NEAR, FAR = 2e-3, 10e-3
MORE_NEAR, MORE_FAR = 0.31, 0.06
"""What plies beside an end carry more, within 2 mm of it and at 10 mm [-]: the largest found in a layered solid model
of a strut of 0 and 45 degree plies 0.15 to 0.22 mm thick (1.11 to 1.31 and 1.03 to 1.06 times)."""
OPENING = float(np.cos(np.radians(52.07)) ** 2)
"""Share of the opening mode where a layer under tension comes off the surface of a thick one of the same stiffness:
the phase angle is 52.07 degrees (Z. Suo, J. W. Hutchinson, Int. J. Fracture 43 (1990) 1-18; from memory)."""


@checked
def end_factor(
    distance: Annotated[ArrayLike, Limits("m", at_least=0.0, cause="given with a sign?")],
) -> Array:
    """Estimate of what plies beside the end of another carry, over what they carry far from it.

    Parameters
    ----------
    distance : array_like, shape (...)
        Along the span from the end [m].

    Returns
    -------
    ndarray, shape (...)
        Factor on all stresses from load [-].

    Notes
    -----
    1.31 within 2 mm, then 1 + 0.31 exp(-(d - 2 mm)/4.87 mm), which is 1.06 at 10 mm: the largest values found in one
    strut in a layered solid model. Thicker groups of plies that end together may carry more.

    Examples
    --------
    >>> end_factor([0.0, 0.002, 0.01, 0.05]).round(3)
    array([1.31, 1.31, 1.06, 1.  ])
    """
    decay = (FAR - NEAR) / np.log(MORE_NEAR / MORE_FAR)
    return 1 + MORE_NEAR * np.exp(-(np.maximum(np.asarray(distance), NEAR) - NEAR) / decay)


@checked
def beside_ends(strut: Strut, stations: Annotated[ArrayLike, Limits("m", shape=(-1,))]) -> Array:
    """Factor of `end_factor` on every ply that lies on one that ends, at stations.

    Parameters
    ----------
    strut : Strut
        The strut.
    stations : array_like, shape (station,)
        Along the axis [m].

    Returns
    -------
    ndarray, shape (station, wall, ply)
        Factor on the stresses from load, 1 for plies that lie on none that ends; ply i is number i + 1 in the book [-].

    Examples
    --------
    >>> from materials import lamina
    >>> from beam.strut import BookPly, MoldLine, PlyBook
    >>> line = MoldLine(root=[0, 0, 0.8], tip=[0, 0, 0.2], stations=[0, 0.6], width=[0.1, 0.07], height=[0.08, 0.06],
    ...                 corner_radius=[0.02, 0.015])
    >>> ply = {"lamina": lamina("T700S/2510"), "angle_deg": 0, "walls": line.wall_names, "start": 0}
    >>> strut = Strut(line, PlyBook(BookPly(**ply, end=end) for end in (0.6, 0.6, 0.4, 0.6, 0.6)))
    >>> beside_ends(strut, [0.401])[0, 0]
    array([1.  , 1.31, 1.  , 1.31, 1.  ])
    """
    s = strut.span.axis.check("beside_ends: stations [m]", np.asarray(stations))
    names, book = strut.mold_line.wall_names, strut.ply_book
    out = np.ones((s.size, len(names), len(book.plies)))
    for step, station in zip(steps(book), end_stations(strut).tolist(), strict=True):
        wall, present = names.index(step.wall), book.numbers(step.wall, station).tolist()
        factor = end_factor(np.abs(s - step.station))
        for group in groups(present, step.plies):
            for ply in _neighbors(present, group):
                out[:, wall, ply - 1] = np.maximum(out[:, wall, ply - 1], factor)
    return out


@checked
def end_stations(strut: Strut) -> Array:
    """Station on the thicker side of every step, where `ply_end_ratios` takes its section forces.

    Parameters
    ----------
    strut : Strut
        The strut.

    Returns
    -------
    ndarray, shape (step,)
        In the order of `steps` [m].

    Examples
    --------
    >>> from materials import lamina
    >>> from beam.strut import BookPly, MoldLine, PlyBook
    >>> line = MoldLine(root=[0, 0, 0.8], tip=[0, 0, 0.2], stations=[0, 0.6], width=[0.1, 0.07], height=[0.08, 0.06],
    ...                 corner_radius=[0.02, 0.015])
    >>> ply = {"lamina": lamina("T700S/2510"), "angle_deg": 0, "start": 0}
    >>> short = BookPly(**ply, walls=["aft"], end=0.4)
    >>> end_stations(Strut(line, PlyBook([BookPly(**ply, walls=line.wall_names, end=0.6), short]))).round(6)
    array([0.4])
    """
    length = strut.mold_line.length
    each = steps(strut.ply_book)
    return np.array([float(before(step.station, length)) if step.ends else step.station for step in each])


class PlyEnd(NamedTuple):
    """Delamination from the end of some plies that lie on each other, as `ply_end_ratios` returns it.

    Parameters
    ----------
    step : Step
        Where, on which wall.
    plies : tuple of int
        Numbers of the plies that end together [-].
    energy_release : ndarray, shape (...)
        Energy released per area of delamination at the given load, the largest along the wall [J/m2].
    ratio : ndarray, shape (...)
        Factor on the load at which the delamination runs, the lowest along the wall; 0 where heat and moisture alone
        make it run, infinite where no load does, NaN where the toughness is not given [-].
    place : ndarray, shape (...)
        Fraction along the wall where it is lowest [-].
    assumption : str
        What the ratio rests on.
    """

    step: Step
    plies: tuple[int, ...]
    energy_release: Array
    ratio: Array
    place: Array
    assumption: str


@checked
def ply_end_ratios(
    strut: Strut,
    forces: Annotated[ArrayLike, Limits("N, N m", last=(-1, 6))],
    *,
    restraint: Annotated[ArrayLike, Limits("N, N m", last=(6,))] = (0.0,) * 6,
    temperature_change: Annotated[float, Limits("K")] = 0.0,
    moisture: Annotated[float, Limits("-")] = 0.0,
) -> tuple[PlyEnd, ...]:
    """Strength ratio of the delamination from the end of every group of plies, in every wall and case.

    Parameters
    ----------
    strut : Strut
        The strut.
    forces : array_like, shape (..., step, 6)
        Section forces at `end_stations` that grow with the load [N], [N m].
    restraint : array_like, shape (6,) or (step, 6)
        Section forces there that heat and moisture make on redundant supports [N], [N m].
    temperature_change : float
        Temperature above the stress-free one [K].
    moisture : float
        Absorbed moisture as mass fraction [-].

    Returns
    -------
    tuple of PlyEnd
        Step by step, group by group.

    Notes
    -----
    With N the load of the plies that end, per width and along the span, A_d and A_c the axial stiffness of those and of
    the plies that continue, and the number of faces (1 at a surface, else 2) the delamination runs along,

        G = N^2 (1/A_d + 1/A_c) / (2 faces),   G(R) = Gc with N = R N_load + N_residual

    1/Gc = m/GIc + (1 - m)/GIIc, with m = 0.378 for a surface under tension, else 0: between other plies the two faces
    are alike and slide, and compression keeps the crack shut. The lowest toughness of the plies there is taken.

    References
    ----------
    G is that of `end_of_ply`. Z. Suo, J. W. Hutchinson, "Interface crack between two elastic layers", Int. J.
    Fracture 43 (1990) 1-18, for m (from memory).

    Examples
    --------
    >>> from dataclasses import replace
    >>> from materials import lamina
    >>> from beam.strut import BookPly, MoldLine, PlyBook, PointLoads
    >>> line = MoldLine(root=[0, 0, 0.8], tip=[0, 0, 0.2], stations=[0, 0.6], width=[0.1, 0.07], height=[0.08, 0.06],
    ...                 corner_radius=[0.02, 0.015])
    >>> tape = replace(lamina("T700S/2510"), GIc=250.0, GIIc=700.0)
    >>> ply = {"lamina": tape, "angle_deg": 0, "walls": line.wall_names, "start": 0}
    >>> strut = Strut(line, PlyBook(BookPly(**ply, end=end) for end in (0.6, 0.6, 0.4, 0.6, 0.6)))
    >>> pull = PointLoads(at=[0.6], force=[[[50e3, 0, 0]]])
    >>> found = ply_end_ratios(strut, strut.span.forces(pull, at=end_stations(strut)))[0]
    >>> found.step.wall, found.ratio.round(2)
    ('inboard', array([5.41]))
    """
    at, each = end_stations(strut), steps(strut.ply_book)
    given = np.asarray(forces)
    if given.shape[-2] not in (1, at.size):
        limit = f"(..., {at.size}, 6), one for each step"
        reject("ply_end_ratios: forces [N, N m]", f"shape {given.shape}", limit)
    if not each:
        return ()
    running = strut.wall_loads(np.broadcast_to(given, (*given.shape[:-2], at.size, 6)), at, PLACES)
    held = strut.wall_loads(np.broadcast_to(np.asarray(restraint), (at.size, 6)), at, PLACES)
    cure = {
        s: strut.section(s).residual_wall_loads(temperature_change, moisture, PLACES)
        for s in set(at.tolist())
    }
    out = []
    for i, (step, station) in enumerate(zip(each, at.tolist(), strict=True)):
        wall = strut.mold_line.wall_names.index(step.wall)
        laminate = strut.section(station).laminates[wall]
        fixed = held[i, wall] + cure[station][wall]
        loads = running[..., i, wall, :, :]
        unit = laminate.response(N=np.eye(6)[:, :3], M=np.eye(6)[:, 3:])
        cured = laminate.response(
            N=np.zeros((PLACES.size, 3)),
            temperature_change=temperature_change,
            moisture=moisture,
            residual_N=fixed[..., :3],
            residual_M=fixed[..., 3:],
        )
        per_load, rest = (_along(laminate, stress) for stress in (unit.load_stress, cured.residual_stress))
        present = strut.ply_book.numbers(step.wall, station).tolist()
        stack = {number: strut.ply_book.plies[number - 1] for number in present}
        kept = axial_stiffness([ply for number, ply in stack.items() if number not in step.plies])
        for group in groups(present, step.plies):
            own = np.isin(present, group)
            N, N0 = loads @ per_load[:, own].sum(axis=-1), rest[:, own].sum(axis=-1)
            near = _neighbors(present, group)
            faces = len(near)
            per_square = (1 / axial_stiffness([stack[n] for n in group]) + 1 / kept) / (2 * faces)
            laminae = [stack[n].lamina for n in (*group, *near)]
            GIc, GIIc = (_least([getattr(one, name) for one in laminae]) for name in ("GIc", "GIIc"))
            pull, push = (
                np.sqrt(Gc / per_square)
                for Gc in (_toughness(GIc, GIIc, OPENING if faces == 1 else 0.0), GIIc)
            )
            with np.errstate(divide="ignore", invalid="ignore"):
                ratio = np.where(N > 0, (pull - N0) / N, (push + N0) / -N)
                ratio = np.where(N == 0, np.inf, np.maximum(ratio, 0.0))
            ratio = np.where((pull <= N0) | (push <= -N0), 0.0, ratio)
            worst = np.argmin(ratio, axis=-1)
            released = (per_square * (N + N0) ** 2).max(axis=-1)
            out.append(
                PlyEnd(
                    step,
                    tuple(group),
                    released,
                    ratio.min(axis=-1),
                    PLACES[worst],
                    _assumption(faces, GIc, GIIc),
                )
            )
    return tuple(out)


def _along(laminate: Laminate, stress: Array) -> Array:
    """Load per width along the span (..., ply) of each ply, from ply stresses (..., ply, surface, 3)."""
    turn = np.radians([ply.angle_deg for ply in laminate.plies])
    c, s = np.cos(turn), np.sin(turn)
    to_span = np.stack([c * c, s * s, -2 * c * s], axis=-1)
    thickness = np.array([ply.lamina.thickness for ply in laminate.plies])
    return np.asarray(thickness * np.einsum("...psi,pi->...p", stress, to_span) / 2)


def _neighbors(present: list[int], group: list[int]) -> list[int]:
    """Numbers of the plies that lie on the two faces of a group; one at a surface of the wall."""
    first, last = present.index(group[0]), present.index(group[-1])
    return present[max(first - 1, 0) : first] + present[last + 1 : last + 2]


def _least(values: list[float | None]) -> float:
    """The lowest; NaN where one is not given."""
    return float(np.min([np.nan if value is None else value for value in values]))


def _toughness(GIc: float, GIIc: float, opening: float) -> float:
    """Energy release rate at which a delamination of that share of opening runs [J/m2]."""
    return GIIc if opening == 0.0 else 1 / (opening / GIc + (1 - opening) / GIIc)


def _assumption(faces: int, GIc: float, GIIc: float) -> str:
    """What a ratio rests on."""
    if np.isnan(GIIc):
        return "not judged: no GIIc (ASTM D7905)"
    if np.isnan(GIc) and faces == 1:
        return "not judged in tension: no GIc (ASTM D5528)"
    mode = (
        "shear alone, two faces alike"
        if faces == 2
        else f"at the surface, {100 * OPENING:.0f} % opening in tension"
    )
    return f"energy release of the cut plies, {mode}; lowest toughness of the plies there"
