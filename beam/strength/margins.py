"""Margins of every ply and wall of a strut, and of the strut as a whole.

With R the strength ratio at the given load,

    reserve factor at limit     RF = R / deflection allowance
    reserve factor at ultimate  RF = R / (factor of safety x special factor x deflection allowance)
    margin of safety            MS = RF - 1.

A case given at ultimate load has factor of safety 1 and meets no check at limit load. Near bands and the ends of plies
the load has a factor more, `RegionFactor`.
Cure and moisture stresses do not grow with load and stay as they are inside R.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.strength.check import Check, Level
from beam.strength.global_modes import WHOLE_STRUT, GlobalRatios, global_ratios, lowest_modes
from beam.strength.ply_places import judged_allowables
from beam.strength.region_factors import RegionFactor, factors_at, said_at
from beam.strength.requirement import (
    BUCKLING,
    COLUMN,
    CORNER_OPENING,
    CURVED_BUCKLING,
    DEFLECTION,
    FREQUENCY,
    TWIST,
    Requirement,
    Service,
    case_factors,
    decides,
    kind_of,
    level_of,
    refuse_route,
)
from beam.strength.section_forces import (
    in_service,
    introduced_loads,
    refuse_without_cases,
    section_forces,
    stations_on,
)
from beam.strength.station_ratios import LEVELS, WallRatios, ratios, reserve
from beam.strength.wall_buckling import Known
from beam.strut import IntroductionNote, PointLoads, Strut
from beam.strut.axis import SNAP
from beam.strut.introductions import reach_of
from beam.strut.point_loads import before, past
from beam.strut.supports import support_sets
from materials import Lamina
from materials.checks import Array, Limits, Table, checked, reject

if TYPE_CHECKING:
    import pandas as pd

INDEX = ("case", "station", "wall", "ply", "mode")
WALL_ASSUMPTIONS = {
    BUCKLING: "long flat wall, simply supported; stiffness of the service; hoop force Ny left out",
    CURVED_BUCKLING: "wall between its corners, simply supported, with the knockdown of shells; Ny left out",
    CORNER_OPENING: "lowest Zt of the plies, which is weakest between plies of different angles; NOT JUDGED: shear "
    "between the plies, growth of ovalization near buckling",
    COLUMN: "linear buckling of the axis, lowest over the services, stiffness of each",
    DEFLECTION: "limit on the motion of the tip at limit load, without the allowance",
    TWIST: "limit on the rotation of the tip at limit load, without the allowance",
    FREQUENCY: "lowest natural frequency of the strut on its supports with the masses that the requirement names",
}
"""What the modes of walls and of the whole strut rest on."""
TIP_ASSUMPTION = (
    "limit on a linear form of the motion of the tip at limit load, first order, without the allowance"
)


@checked
def check_stations(strut: Strut, loads: PointLoads) -> Array:
    """Stations where margins are found: both sides of every step in lay-up or load, half way between, edges of bands.

    Parameters
    ----------
    strut : Strut
        Gives the ply drops, the mold line's own stations and the bands.
    loads : PointLoads
        Gives the stations of the loads. Those of the supports count besides.

    Returns
    -------
    ndarray, shape (station,)
        From root to tip [m].

    Notes
    -----
    The inboard side of a step in lay-up lies 2e-9 of the length before it. A load still counts at its own station, so
    its outboard side lies as far beyond.

    Examples
    --------
    >>> from beam import BookPly, MoldLine, PlyBook
    >>> from materials import lamina
    >>> line = MoldLine(root=[0, 0, 0.4], tip=[0, 0, 0], stations=[0, 0.4], width=[0.1, 0.08], height=[0.08, 0.06],
    ...                 corner_radius=[0.02, 0.015])
    >>> tape = BookPly(lamina=lamina("T700S/2510"), angle_deg=0.0, walls=line.wall_names, start=0.0, end=0.4)
    >>> strut = Strut(line, PlyBook([tape] * 8))
    >>> check_stations(strut, PointLoads(at=[0.4], force=[[[2e5, 0, 0]]])).round(3).tolist()
    [0.0, 0.2, 0.4, 0.4]
    """
    length = strut.mold_line.length
    held = strut.span.held.at
    enters = np.concatenate([loads.at, held[held > SNAP * length]])
    steps = np.concatenate([[0.0, length], strut.ply_book.drops, strut.mold_line.stations, enters])
    steps = np.unique(steps[(steps >= 0) & (steps <= length)])
    steps = steps[np.concatenate([[True], np.diff(steps) > 1e-9 * length])]
    below = before(steps[1:], length)
    beyond = past(enters, length)
    middles = (steps[1:] + steps[:-1]) / 2
    edges = np.array([s for band in strut.bands for s in (band.start, band.end)])
    edges = edges[np.abs(edges[:, None] - steps).min(axis=1) > 1e-9 * length]
    return np.unique(np.concatenate([steps, below, middles, beyond[beyond < length], edges]))


@checked
def margins(
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    *,
    stations: Annotated[ArrayLike | None, Limits("m", shape=(-1,))] = None,
    cases: Iterable[Any] | None = None,
    every_ply: bool = False,
    deflected: bool = False,
    whole_strut: bool = True,
    supports: Any = None,
) -> Table:
    """Margins over case, station, wall, ply and mode.

    Parameters
    ----------
    strut : Strut
        The strut.
    loads : PointLoads
        Loads, each case with its level; limit loads where it has none.
    requirement : Requirement
        Services, factors and checks.
    stations : array_like, shape (station,), optional
        Where to find margins; `check_stations` if not given [m].
    cases : sequence of str, length case, optional
        Labels of the load cases, all different; their numbers if not given.
    every_ply : bool
        Keep every ply; otherwise only the lowest ply of each (case, station, wall, mode).
    deflected : bool
        Let the loads follow the strut to where it is at ultimate load (23.301(c)), without the deflection
        allowance; some thirty milliseconds a case.
    whole_strut : bool
        Add the modes of the whole strut, at the station of the tip: "column" and the limits on the tip's
        motion and the frequency that the requirement sets. Switch it off where a support has play.
    supports : sequence of Support, or of one such sequence for each case, optional
        What restrains the strut, in place of its own supports: one set for all cases, or the set of each case; an
        empty set is a clamp at the root.

    Returns
    -------
    DataFrame
        Indexed by (case, station [m], wall, ply, mode), ply numbered in the book from 1 at the mandrel
        and 0 for the wall, or the whole strut, as one; columns ratio, reserve, margin, factor on the load [-], level
        ("limit" or "ultimate"), decides, service, angle_deg, place (fraction along the wall), surface, assumption
        (what the row rests on). The lowest service is kept. Only rows that decide say whether the strut holds.

    Raises
    ------
    ValueError
        If the labels are not one for each case, two are alike, the allowables do not belong to the route, or the strut
        is on redundant supports with play or without an assembly temperature.

    Notes
    -----
    RF = R / factor of its level and, near bands and ply ends, of `RegionFactor`; MS = RF - 1. Plies: every check at
    nine places along each wall, residual stress constant. Walls: buckling between their corners. Of a curved wall,
    "curved wall buckling" is that of the flat wall (a lower bound) where another mode of that wall has less reserve
    in every case, else the larger of this and the curved-wall solution. "corner opening": tension through the
    thickness.

    Examples
    --------
    >>> from beam import BookPly, MoldLine, PlyBook, Service
    >>> from beam.strength import screening
    >>> from materials import lamina
    >>> line = MoldLine(root=[0, 0, 0.4], tip=[0, 0, 0], stations=[0, 0.4], width=[0.1, 0.08], height=[0.08, 0.06],
    ...                 corner_radius=[0.02, 0.015])
    >>> tape = BookPly(lamina=lamina("T700S/2510"), angle_deg=0.0, walls=line.wall_names, start=0.0, end=0.4)
    >>> required = Requirement(services=[Service(name="room", temperature=293)], special_factor=1.2,
    ...                        special_factor_basis="invented", route="factor", mixed="an example", checks=screening(),
    ...                        corner_opening=False)
    >>> pull = PointLoads(at=[0.4], force=[[[2e5, 0, 0]]])
    >>> table = margins(Strut(line, PlyBook([tape] * 8)), pull, required, cases=["pull"], stations=[0.3])
    >>> table["margin"].groupby(level="mode", observed=True).min().round(2).to_dict()["tsai_wu"]
    0.96
    """
    refuse_without_cases("margins", loads)
    if supports is not None:
        given = {"every_ply": every_ply, "deflected": deflected, "whole_strut": whole_strut}
        return _on_each_set(strut, loads, requirement, stations, cases, supports, given)
    where = check_stations(strut, loads) if stations is None else np.asarray(stations)
    where = stations_on("margins", strut, where)
    if len(np.unique(where)) != where.size:
        reject("margins: stations [m]", where.tolist(), "all different", "a station given twice?")
    if deflected:
        requirement = replace(requirement, deflection_allowance=1.0)
    count = len(loads.force)
    labels = np.arange(count) if cases is None else np.asarray(tuple(cases))
    if labels.shape != (count,):
        reject("margins: cases", f"shape {labels.shape}", f"({count},), one label for each load case")
    if len(np.unique(labels)) != count:
        twice = sorted({str(one) for one in labels if (labels == one).sum() > 1})
        reject("margins: cases", twice, "labels that differ", "two load cases of one name?")
    refuse_route(requirement, (ply.lamina for ply in strut.ply_book.plies))
    factors = case_factors(requirement, loads)
    parts = in_service(strut, requirement)
    forces = [
        section_forces(one, loads, requirement, where, states=states, deflected=deflected)
        for _, states, one in parts
    ]
    notes = (*strut.introduction_notes(loads), *_beside_bricks(strut))
    regions = factors_at(strut, requirement.region_factors, where)
    known: Known = {}

    found: list[list[WallRatios]] = [[] for _ in where]
    for (indices, states, one), (grows, restraint) in zip(parts, forces, strict=True):
        each = ratios(
            one,
            where,
            grows,
            requirement,
            states,
            restraint=restraint,
            added=introduced_loads(one, loads, where),
            known=known,
            every_ply=every_ply,
            factors=factors,
        )
        for own, here in zip(found, each, strict=True):
            own += [ratio._replace(service=indices[ratio.service]) for ratio in here]
    whole: GlobalRatios = {}
    for _, states, one in parts if whole_strut else ():
        lowest_modes(whole, global_ratios(one, loads, requirement, states=states, deflected=deflected))
    return _table(
        zip(where.tolist(), found, strict=True),
        strut,
        requirement,
        labels,
        whole,
        factors,
        notes,
        regions=regions,
        every_ply=every_ply,
    )


def _on_each_set(
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    stations: ArrayLike | None,
    cases: Iterable[Any] | None,
    supports: Any,
    given: Mapping[str, bool],
) -> Table:
    """Margins of every case on the supports that it has, those of one set together."""
    import pandas as pd

    sets = support_sets("margins", supports, len(loads.force))
    struts = [replace(strut, supports=own) for own, _ in sets]
    if stations is None:
        stations = np.unique(np.concatenate([check_stations(one, loads) for one in struts]))
    labels = np.arange(len(loads.force)) if cases is None else np.asarray(tuple(cases))
    tables = [
        margins(one, loads.take(rows), requirement, stations=stations, cases=labels[rows].tolist(), **given)
        for one, (_, rows) in zip(struts, sets, strict=True)
    ]
    if len(tables) == 1:
        return tables[0]
    whole = pd.concat([one.reset_index() for one in tables], ignore_index=True)
    for name in tables[0].reset_index().select_dtypes("category"):
        found = [one.reset_index()[name].cat.categories for one in tables]
        words = labels if name == "case" else list(dict.fromkeys(word for one in found for word in one))
        whole[name] = pd.Categorical(whole[name], categories=pd.Index(words))
    return whole.set_index(list(INDEX))


def _table(
    found: Iterable[tuple[float, Iterable[WallRatios]]],
    strut: Strut,
    requirement: Requirement,
    cases: NDArray[np.generic],
    whole_strut: Mapping[str, tuple[Array, Array]],
    factors: Mapping[Level, Array],
    notes: Sequence[IntroductionNote],
    *,
    regions: Array | None = None,
    every_ply: bool,
) -> Table:
    """The margin table of ratios by station [m] and of the modes of the whole strut.

    `regions`, (station, kind), are further factors on the load; `factors_at`.
    """
    import pandas as pd

    names = (*INDEX, "ratio", "factor", "service", "place", "surface")
    parts: dict[str, list[NDArray[Any]]] = {name: [] for name in names}
    kinds = {mode: kind_of(requirement, mode) for mode in requirement.modes}
    for i, (station, every_ratio) in enumerate(found):
        for (wall, mode), columns in _lowest_services(every_ratio, every_ply).items():
            shape, kind = columns["ratio"].shape, kinds[mode]
            more = 1.0 if regions is None or kind is None else regions[i, kind]
            place = {"station": station, "wall": wall, "mode": requirement.modes.index(mode)}
            case = {
                "case": np.arange(len(cases))[:, None],
                "factor": more * factors[level_of(requirement, mode)][:, None],
            }
            rows = columns | place | case
            for name in names:
                parts[name].append(np.broadcast_to(rows[name], shape).ravel())
    for mode, (ratio, divisor) in whole_strut.items():
        whole: dict[str, Any] = {
            "case": np.arange(len(cases)),
            "station": strut.mold_line.length,
            "wall": len(strut.mold_line.wall_names),
            "mode": requirement.modes.index(mode),
            **{"ratio": ratio, "factor": divisor, "service": 0, "place": np.nan, "surface": -1, "ply": 0},
        }
        for name in names:
            parts[name].append(np.broadcast_to(whole[name], ratio.shape))
    every = {name: np.concatenate(column) for name, column in parts.items()}
    met = every["factor"] > 0.0  # a case at ultimate load meets no check at limit load
    every = {name: column[met] for name, column in every.items()}
    words: dict[str, Any] = {
        "case": cases,
        "wall": (*strut.mold_line.wall_names, WHOLE_STRUT),
        "mode": requirement.modes,
        "service": [state.title for state in requirement.states],
        "surface": ["inner", "outer"],
    }
    named: dict[str, Any] = every | {
        name: pd.Categorical.from_codes(every[name], categories=pd.Index(categories))
        for name, categories in words.items()
    }
    angles = np.array([np.nan, *(ply.angle_deg for ply in strut.ply_book.plies)])
    levels = np.array([LEVELS.index(level_of(requirement, mode)) for mode in requirement.modes])
    deciding = np.array([decides(requirement, mode) for mode in requirement.modes])
    spare = reserve(every["ratio"], every["factor"])
    return pd.DataFrame(
        {
            "ratio": every["ratio"],
            "reserve": spare,
            "margin": spare - 1,
            "factor": every["factor"],
            "level": pd.Categorical.from_codes(levels[every["mode"]], categories=pd.Index(LEVELS)),
            "decides": deciding[every["mode"]],
            "service": named["service"],
            "angle_deg": angles[every["ply"]],
            "place": every["place"],
            "surface": named["surface"],
            "assumption": _assumptions(strut, requirement, every, notes, beam=regions is not None),
        },
        index=pd.MultiIndex.from_arrays([named[name] for name in INDEX], names=INDEX),
    )


THIN_CORNERS = "corners as thin walls, without what spring-in of load and cure puts on the plies ({why})"


def _beside_bricks(strut: Strut) -> list[IntroductionNote]:
    """What the beam leaves out of corners that are not judged as thick."""
    if strut.thick_corners:
        return []
    unknown = ", ".join(strut.unknown_through_thickness)
    why = f"unknown through the thickness: {unknown}" if strut.bands else "the strut has no bands"
    bricks = "bricks of the demonstration strut have down to 0.57 of the reserve of matrix at limit load"
    text = THIN_CORNERS.format(why=why)
    return [IntroductionNote(0.0, strut.mold_line.length, text if strut.bands else f"{text}: {bricks}")]


def _assumptions(
    strut: Strut,
    requirement: Requirement,
    every: Mapping[str, NDArray[Any]],
    notes: Sequence[IntroductionNote],
    *,
    beam: bool,
) -> "pd.Categorical[Any]":
    """What each row rests on: the check, how loads enter there, and of plies the allowables with all they stand on."""
    import pandas as pd

    laminae = list(dict.fromkeys(ply.lamina for ply in strut.ply_book.plies))
    of_ply = np.array([0, *(1 + laminae.index(ply.lamina) for ply in strut.ply_book.plies)])
    factors = requirement.region_factors if beam else ()
    entering, where = _entering(strut, notes, factors, every["station"])
    shape = len(requirement.modes), len(requirement.states), len(laminae) + 1, 2, len(entering)
    outside = _outside_caps(strut, requirement, every)
    codes = np.ravel_multi_index(
        (every["mode"], every["service"], of_ply[every["ply"]], outside, where), shape
    )
    found, rows = np.unique(codes, return_inverse=True)
    texts = []
    checks = {check.mode: check for check in requirement.ply_checks}
    for mode, state, lamina, out, place in zip(*np.unravel_index(found, shape), strict=True):
        check = checks.get(requirement.modes[mode])
        if check is None or lamina == 0:
            said = WALL_ASSUMPTIONS.get(requirement.modes[mode], TIP_ASSUMPTION)
        else:
            one = requirement.states[state]
            said = _assumption(check, one, one.lamina(laminae[lamina - 1]))
            if out:
                said = f"OUTSIDE THE LAY-UP OF THE CAPS (share of 0 degree plies); {said}"
        texts.append("; ".join(part for part in (said, entering[place]) if part))
    words = list(dict.fromkeys(texts))
    return pd.Categorical.from_codes([words.index(texts[i]) for i in rows], categories=pd.Index(words))


def _entering(
    strut: Strut, notes: Sequence[IntroductionNote], factors: Sequence[RegionFactor], stations: Array
) -> tuple[list[str], NDArray[np.int64]]:
    """How loads enter where rows are: the different texts, and the index of the text of each row."""
    where, rows = np.unique(stations, return_inverse=True)
    near, reach = 1e-9 * strut.mold_line.length, reach_of(strut.mold_line)
    texts = [
        "; ".join(
            [
                f"{'inside' if inside else 'within reach of'} band '{b.name}'"
                for b in strut.bands
                if (inside := b.start - near <= s <= b.end + near) or b.start - reach <= s <= b.end + reach
            ]
            + list(dict.fromkeys(n.text for n in notes if n.start - near <= s <= n.end + near))
            + said_at(strut, factors, s)
        )
        for s in where.tolist()
    ]
    words = list(dict.fromkeys(texts))
    return words, np.array([words.index(text) for text in texts], dtype=np.int64)[rows]


def _outside_caps(
    strut: Strut, requirement: Requirement, every: Mapping[str, NDArray[Any]]
) -> NDArray[np.int64]:
    """1 for each row of a check with caps whose wall is too far from the lay-up they were tested on, else 0."""
    out = np.zeros(len(every["mode"]), dtype=np.int64)
    for check in requirement.checks:
        if check.caps is None or not check.caps.shares:
            continue
        rows = np.flatnonzero(every["mode"] == requirement.modes.index(check.mode))
        places = np.stack([every["wall"][rows], every["station"][rows]], axis=1)
        found, each = np.unique(places, axis=0, return_inverse=True)
        laminates = [
            strut.ply_book.laminate(strut.mold_line.wall_names[int(wall)], station) for wall, station in found
        ]
        out[rows] = np.array([check.caps.outside_range(one) for one in laminates], dtype=int)[each.ravel()]
    return out


def _assumption(check: Check, service: Service, lamina: Lamina) -> str:
    """What one check rests on in one service, for plies of one lamina."""
    allowables, changed = judged_allowables(check, service, lamina)
    parts = [check.assumption]
    if check.caps is not None:
        parts.append(check.caps.note)
    else:
        stated = allowables.before or allowables
        factors = "".join(f" x {one.value:.3g} {one.name}" for one in allowables.factors)
        parts.append(f"{lamina.name}: {stated.basis}, {stated.condition}{factors}; {stated.source}")
        if allowables.basis_said != stated.basis:
            parts.append(allowables.basis_said)
    if lamina.placeholders:
        parts.append(f"placeholders, untested: {', '.join(lamina.placeholders)}")
    return "; ".join(part for part in (*parts, changed) if part)


def _lowest_services(
    found: Iterable[WallRatios], every_ply: bool
) -> dict[tuple[int, str], dict[str, NDArray[Any]]]:
    """Ratio, service, place, surface and ply, each (case, ply), of the lowest service of each wall and mode.

    Of the plies only the lowest, (case, 1), unless every ply is asked for.
    """
    together: dict[tuple[int, str], list[WallRatios]] = {}
    for one in found:
        together.setdefault((one.wall, one.mode), []).append(one)
    out = {}
    for key, each in together.items():
        ratio, place, surface = (
            np.array([getattr(one, name) for one in each]) for name in ("ratio", "place", "surface")
        )
        lowest = ratio.min(axis=0)
        ply = np.arange(lowest.shape[1])[None] if every_ply else lowest.argmin(axis=1)[:, None]
        case = np.arange(len(lowest))[:, None]
        which = ratio[:, case, ply].argmin(axis=0)
        at = which, case, ply
        out[key] = {
            "ratio": ratio[at],
            "service": np.array([one.service for one in each])[which],
            "place": place[at],
            "surface": surface[at],
            "ply": np.array([np.broadcast_to(one.ply, lowest.shape) for one in each])[at],
        }
    return out
