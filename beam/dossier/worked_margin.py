"""One margin followed by hand: from the wheel load to the reserve, every number printed to five digits.

A step says its formula, the numbers that it takes and the numbers that it gives, in base SI. Each step can be
followed with a calculator from the numbers printed before it.
"""

from collections.abc import Mapping, Sequence
from typing import Annotated, Any, NamedTuple

import numpy as np

from beam.gear import MainGear
from beam.strength.check import Check
from beam.strength.ply_places import judged_allowables, ply_places
from beam.strength.region_factors import factors_at
from beam.strength.requirement import Requirement, Service, case_factors, kind_of
from beam.strength.section_forces import (
    PLACES,
    in_service,
    introduced_loads,
    running_loads,
    section_forces,
    wall_loads,
    wall_response,
)
from beam.strength.station_ratios import Faces, PlyStates, face_ratios, wall_groups
from beam.strut import MoldLine, PointLoads, Strut
from beam.strut_cases import DesignCases
from laminate.failure.surface import SensedEllipsoid, Surface, first_crossing
from materials.allowables import ALLOWABLES
from materials.checks import Array, Frozen, Items, Limits, Table, checked, reject

FORCES = ("N", "V2", "V3", "T", "M2", "M3")
RUNNING = ("Nx", "Ny", "Nxy", "Mx", "My", "Mxy")
STRESSES = ("s1", "s2", "t12")
STRAINS = ("e1", "e2", "g12")


class Step(NamedTuple):
    """One step of a worked margin.

    Attributes
    ----------
    title : str
        What is found.
    formula : str
        How.
    numbers : dict
        By name and unit: what goes in first, then what comes out.
    """

    title: str
    formula: str
    numbers: dict[str, Any]


class WorkedMargin(Frozen):
    """A margin with all that leads to it, as `worked_margin` makes it.

    Parameters
    ----------
    title : str
        Case, station, wall, ply and mode.
    assumption : str
        What the row rests on.
    steps : sequence of Step
        In order.
    margin : float
        Margin of safety [-].

    Examples
    --------
    See `worked_margin`.
    """

    title: str
    assumption: str
    steps: Items[tuple[Any, ...]]
    margin: Annotated[float, Limits("-", at_least=-1.0, finite=False)]

    def text(self) -> str:
        """Return the steps as lines of text.

        Returns
        -------
        str
            Five digits of every number.
        """
        lines = [self.title, f"rests on: {self.assumption}"]
        for i, (title, formula, numbers) in enumerate(self.steps, 1):
            lines += ["", f"{i}. {title}", f"   {formula}"]
            for name, value in numbers.items():
                lines += [f"   {name} = {line}" for line in digits(value)]
        return "\n".join(lines)


def digits(value: Any) -> list[str]:
    """Five digits of a number, a row or a matrix, rounding noise as 0; text as it is."""
    if isinstance(value, str):
        return [value]
    x = np.asarray(value, dtype=float)
    x = np.where(abs(x) < 1e-13 * abs(x).max(initial=0.0), 0.0, x)
    if x.ndim == 0:
        return [f"{x:.5g}"]
    if x.ndim == 1:
        return ["  ".join(f"{one:.5g}" for one in x)]
    return ["  ".join(f"{one:.5g}" for one in row) for row in x]


@checked
def worked_margin(
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    row: Mapping[str, Any],
    *,
    cases: Sequence[Any],
    first: Annotated[Sequence[tuple[Any, ...]], Limits(items=0)] = (),
) -> WorkedMargin:
    """Follow one margin of a ply check by hand.

    Parameters
    ----------
    strut : Strut
        The strut.
    loads : PointLoads
        Loads.
    requirement : Requirement
        Services, factors and checks.
    row : dict
        A row of the margin table with its place: case, station, wall, ply, mode, service, place, surface, margin.
    cases : sequence of str, length case
        Labels of the load cases.
    first : sequence of Step
        Steps that lead to the loads on the strut, as `wheel_steps` makes them.

    Returns
    -------
    WorkedMargin
        The steps.

    Raises
    ------
    ValueError
        If the row is of no ply check, or names a case, wall or ply that is not there.

    Examples
    --------
    >>> import beam
    >>> from beam.dossier import lowest
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> sizing = beam.lightest(LATTICE, PULL, REQUIREMENT, cases=["pull"])
    >>> row = lowest(sizing.margins, 1, by="mode").iloc[0].to_dict()
    >>> found = worked_margin(sizing.strut, PULL, REQUIREMENT, row, cases=["pull"])
    >>> abs(found.margin - row["margin"]) < 1e-9
    True
    """
    labels = [str(one) for one in cases]
    if str(row["case"]) not in labels:
        reject("worked_margin: case", repr(row["case"]), "one of the labels")
    i, s = labels.index(str(row["case"])), float(row["station"])
    check = next((one for one in requirement.ply_checks if one.mode == row["mode"]), None)
    if check is None or not int(row["ply"]):
        reject(
            "worked_margin: mode", repr(str(row["mode"])), "a check of the plies", "walls have no such steps"
        )
    states = list(requirement.states)
    state = next(one for one in states if one.title == row["service"])
    _, _, one = next(part for part in in_service(strut, requirement) if state in part[1])
    case = loads.take([i])
    grows, restraint = section_forces(one, case, requirement, np.array([s]), states=(state,))
    force = grows[0, 0, 0]
    steps = [Step(*one) for one in first]
    steps.append(_on_strut(case))
    steps.append(_section(strut, case, s, force))
    wall = one.mold_line.wall_names.index(str(row["wall"]))
    place = PLACES.index(float(row["place"]))
    added = introduced_loads(one, case, np.array([s]))
    walls = wall_loads(
        one, s, grows[:, :, 0], (state,), restraint[:, 0], None if added is None else added[:, 0]
    )
    running, fixed = walls.running[0][wall], walls.fixed[0][wall]
    steps.append(_wall(one, s, wall, place, force, running[place, 0], str(row["wall"])))
    laminate = one.ply_book.laminate(str(row["wall"]), s)
    response = wall_response(laminate, state, running, fixed)
    numbers_in_book = one.ply_book.numbers(str(row["wall"]), s).tolist()
    if int(row["ply"]) not in numbers_in_book:
        reject("worked_margin: ply", int(row["ply"]), f"one of {numbers_in_book}")
    ply = numbers_in_book.index(int(row["ply"]))
    surface = ("inner", "outer").index(str(row["surface"]))
    lamina, angle = laminate.plies[ply].lamina, laminate.plies[ply].angle_deg
    z = float(laminate.surfaces[ply, surface])
    load = response.load_deformation[place, 0]
    steps.append(
        Step(
            "Deformation of the wall from load",
            "(ex0, ey0, gxy0, kx, ky, kxy) = inverse of ABD times (Nx, Ny, Nxy, Mx, My, Mxy)",
            {"inverse of ABD [m/N, 1/N, 1/(N m)]": np.linalg.inv(laminate.abd), "deformation [-, 1/m]": load},
        )
    )
    a = np.radians(angle)
    own = _ply(one, s, grows, restraint, added, state, (wall, place, ply, surface), check)
    grown, rest = own.found[False]
    if own.share:
        steps.append(_curved(own, row))
    else:
        steps.append(
            Step(
                f"Strain of ply {int(row['ply'])}, {lamina.name}, {angle:g} deg, {row['surface']} surface",
                "e = e0 + z k;  e1 = ex c^2 + ey s^2 + gxy s c;  e2 = ex s^2 + ey c^2 - gxy s c;  "
                "g12 = 2 (ey - ex) s c + gxy (c^2 - s^2)",
                {"z [m]": z, "c, s": [np.cos(a), np.sin(a)], "ex, ey, gxy [-]": load[:3] + z * load[3:],
                 "e1, e2, g12 of load [-]": grown,
                 "e1, e2, g12 of cure and moisture, given by lamination theory [-]": rest},
            )
        )  # fmt: skip
    values, fixed_values, names, unit = grown, rest, STRAINS, "-"
    if check.criterion.takes == "stress":
        Q = laminate.Q[ply]
        (values, fixed_values), names, unit = own.found[True], STRESSES, "Pa"
        if not own.share:
            steps.append(
                Step(
                    "Stress of the ply",
                    "s = Q e, Q of the lamina in this service, for load and for cure and moisture",
                    {
                        "Q [Pa]": Q,
                        "s1, s2, t12 of load [Pa]": values,
                        "s1, s2, t12 of cure and moisture [Pa]": fixed_values,
                    },
                )
            )
    if check.caps is not None:
        fixed_values = np.zeros(3)
    places = ply_places(one.ply_book, str(row["wall"]), s, one.mold_line.length) if check.in_situ else {}
    allowables, changed = judged_allowables(check, state, lamina, places.get(ply, ()))
    ratio, step = _criterion(check, lamina.kind, values, fixed_values, allowables, names, unit, changed)
    steps.append(step)
    level = float(case_factors(requirement, case)[check.level][0])
    kind = kind_of(requirement, check.mode)
    region = float(factors_at(strut, requirement.region_factors, np.array([s]))[0, kind])
    factor = level * region
    reserve = ratio / factor
    parts = f"deflection allowance {requirement.deflection_allowance:g}"
    if check.level == "ultimate":
        safety = level / requirement.special_factor / requirement.deflection_allowance
        parts = f"factor of safety {safety:g} x special factor {requirement.special_factor:g} x {parts}"
    steps.append(
        Step(
            f"Reserve and margin at {check.level} load",
            f"RF = R / ({parts}{f' x {region:g} of the region' if region > 1.0 else ''});  MS = RF - 1",
            {"factor on load [-]": factor, "RF [-]": reserve, "MS [-]": reserve - 1},
        )
    )
    where = f"station {s * 1e3:.1f} mm; wall {row['wall']}; ply {int(row['ply'])}"
    title = f"{row['case']}; {where}; {row['mode']}; {row['service']}"
    return WorkedMargin(
        title=title, assumption=str(row.get("assumption", "-")), steps=steps, margin=reserve - 1
    )


class _PlyState(NamedTuple):
    """Strain (False) and stress (True) of a ply of load and of cure and moisture; those of load per running load."""

    found: dict[bool, tuple[Array, Array]]
    per_load: dict[bool, Array]
    share: float
    """Share of the state of a thick corner."""


def _ply(
    strut: Strut,
    station: float,
    grows: Array,
    restraint: Array,
    added: Array | None,
    state: Service,
    at: tuple[int, int, int, int],
    check: Check,
) -> _PlyState:
    """State of a ply; `at` are indices of wall, place, ply and surface."""
    wall, place, ply, surface = at
    where = np.array([station])
    total = running_loads(strut, where, grows)
    total = total if added is None else total + added
    groups = wall_groups(strut, where, total, restraint, (state,))
    group, pair = next((g, g.pairs.index((0, wall))) for g in groups if (0, wall) in g.pairs)
    states, faces = PlyStates(group), Faces(np.array([ply]), np.array([[surface]]))
    curved, laminate = group.curved(), group.laminate
    if states.flat is not None:
        blocks = ply_places(*group.first) if check.in_situ else {}
        R = [
            face_ratios(own, check, state, 0, faces, blocks)[0, 0, pair, place, 0]
            for own in (states, states.flat)
        ]
        if R[1] <= R[0]:  # the flat ply is the lower one
            states, curved = states.flat, None
    share = 0.0 if curved is None else float(curved.share[pair, place])
    found, per_load = {}, {}
    for stress in (True, False):
        found[stress] = (
            states.grows(faces, stress=stress, state=0)[0, 0, :, pair, place, 0],
            states.fixed(faces, stress=stress, state=0)[0, 0, :, pair, place],
        )
        flat = laminate.stress_recovery if stress else laminate.strain_recovery
        per_load[stress] = (1 - share) * flat[ply, surface] @ laminate.compliance
        if curved is not None:
            bent = (curved.wall.stress if stress else curved.wall.strain)[pair, ply, surface]
            per_load[stress] = per_load[stress] + share * bent @ curved.strain_per_load[pair]
    return _PlyState(found, per_load, share)


def _curved(ply: _PlyState, row: Mapping[str, Any]) -> Step:
    """Ply states in or beside a thick corner."""
    (s, s_rest), (e, e_rest) = ply.found[True], ply.found[False]
    return Step(
        f"Ply {int(row['ply'])}, {row['surface']} surface, in or beside a thick corner",
        "P = share x that of the stack bent to the corner's radius (module laminate.interlaminar.curved_wall) + "
        "(1 - share) x that of the flat stack; e or s of load = P times (Nx, Ny, Nxy, Mx, My, Mxy)",
        {
            "share [-]": ply.share,
            "P of strain [m/N, 1/N]": ply.per_load[False],
            "P of stress [1/m, 1/m2]": ply.per_load[True],
            "e1, e2, g12 of load [-]": e,
            "e1, e2, g12 of cure and moisture, given [-]": e_rest,
            "s1, s2, t12 of load [Pa]": s,
            "s1, s2, t12 of cure and moisture [Pa]": s_rest,
        },
    )


def wheel_steps(
    gear: MainGear, mold_line: MoldLine, cases: Table, loading: DesignCases, label: str
) -> tuple[Step, ...]:
    """Steps from the ground's force on the wheel to the forces of pivot and bracket on the strut."""
    i = loading.labels.tolist().index(label)
    row = cases[cases["leg"] != "nose"].reset_index(drop=True).iloc[int(loading.row[i])]
    ground = {
        "condition": f"{row['paragraph']} {row['condition']}, {row['leg']} leg",
        "airplane": f"{row['mass']:g} kg, c.g. {row['cg']}, {row['attitude_deg']:g} deg nose-up, level {row['level']}",
        "Fx aft, Fy starboard, Fz up [N]": row[["Fx", "Fy", "Fz"]].to_numpy(dtype=float),
        "Mx, My, Mz [N m]": row[["Mx", "My", "Mz"]].to_numpy(dtype=float),
    }
    link, frame = gear.link, mold_line.frame
    at = mold_line.position(loading.loads.at)
    force = loading.loads.force[i] @ frame
    couple = np.broadcast_to(loading.loads.moment, loading.loads.force.shape)[i] @ frame
    A, P, B, h = loading.contact[i], link.pivot, link.shock_on_strut, link.hinge / np.linalg.norm(link.hinge)
    W = force.sum(axis=0)
    M = (np.cross(at, force) + couple).sum(axis=0) - np.cross(A, W)
    S, bracket = float(loading.shock_force[i]), int(np.argmin(np.linalg.norm(at - B, axis=-1)))
    u = -force[bracket] / S
    body = {
        "W, wheel force in airplane axes [N]": W,
        "M, couple on the wheel in airplane axes [N m]": np.where(abs(M) < 1e-6 * abs(couple).max(), 0.0, M),
        "A, where W acts [m]": A,
        "P, pivot [m]": P,
        "B, shock's end on the strut [m]": B,
        "h, hinge [-]": h,
        "u, from B to the shock's end on the link at this stroke [-]": u,
        "S, shock force [N]": S,
        "force on the strut at B, airplane axes [N]": -S * u,
        "force on the strut at P, airplane axes [N]": W + S * u,
        "frame: rows e1, e2, e3 in airplane axes [-]": frame,
    }
    formula = (
        "ground axes turned by the attitude, port legs mirrored; moments about h: S = -(M + (A - P) x W).h / "
        "((B - P) x u).h; on the strut -S u at B and W + S u at P; frame times a force gives F1, F2, F3"
    )
    return (
        Step(
            "Force of the ground on the wheel", "as the condition of the code makes it, ground axes", ground
        ),
        Step("Equilibrium of link and wheel", formula, body),
    )


def _on_strut(case: PointLoads) -> Step:
    """Loads on the strut."""
    numbers: dict[str, Any] = {}
    moment = np.broadcast_to(case.moment, case.force.shape)
    for j, at in enumerate(case.at.tolist()):
        numbers[f"station {at:.5g} m: F1, F2, F3 [N]"] = case.force[0, j]
        numbers[f"station {at:.5g} m: M1, M2, M3 about the axis [N m]"] = moment[0, j]
    formula = "free body of link, wheel and shock (virtual work); strut axes e1 root to tip"
    return Step("Loads on the strut", formula, numbers)


def _section(strut: Strut, case: PointLoads, s: float, force: Array) -> Step:
    """Section forces."""
    length = strut.mold_line.length
    past = np.where(case.at >= s - 1e-9 * length, 1.0, 0.0)
    arm = (case.at - s) * past
    F, M = case.force[0], np.broadcast_to(case.moment, case.force.shape)[0]
    total = np.concatenate([past @ F, past @ M])
    total[4] -= arm @ F[:, 2]
    total[5] += arm @ F[:, 1]
    formula = (
        "sums over the loads outboard, a their distance: N, V2, V3 = sum F1, F2, F3;  T = sum M1;  "
        "M2 = sum (M2 - a F3);  M3 = sum (M3 + a F2)"
    )
    if not np.allclose(total, force, rtol=1e-6, atol=1e-6 * abs(force).max()):
        formula = "from the span on its supports: they carry a part of the loads outboard"
    numbers = {"a [m]": case.at - s, ", ".join(FORCES) + " [N, N m]": force}
    return Step(f"Section forces at {s:.5g} m", formula, numbers)


def _wall(strut: Strut, s: float, wall: int, place: int, force: Array, running: Array, name: str) -> Step:
    """Wall loads."""
    coefficients = strut.section(s).wall_loads(np.eye(6), (PLACES[place],))[:, wall, 0].T
    prismatic = coefficients @ force
    numbers: dict[str, Any] = {"C [1/m, 1/m2, -, 1/m]": coefficients}
    formula = f"({', '.join(RUNNING)}) = C (N, V2, V3, T, M2, M3), C of the section of straight walls"
    scale = abs(running).max()
    if not np.allclose(prismatic, running, rtol=1e-7, atol=1e-9 * scale):
        numbers["added by taper, bands, ribs and ends [N/m, N]"] = running - prismatic
        formula += " + what taper, bands, ribs and ends add"
    numbers[", ".join(RUNNING) + " [N/m, N]"] = running
    return Step(f"Wall loads on '{name}', {PLACES[place]:g} of its width", formula, numbers)


def _criterion(
    check: Check,
    kind: Any,
    values: Array,
    fixed: Array,
    allowables: Any,
    names: tuple[str, ...],
    unit: str,
    changed: str,
) -> tuple[float, Step]:
    """Ratio of the criterion, and its step: the piece of the surface that is met first."""
    pieces = check.criterion.for_kind(kind)._surfaces(allowables)
    plain: list[Surface] = []
    for piece in pieces:
        if isinstance(piece, SensedEllipsoid):
            plain += piece.surfaces
        elif isinstance(piece, Surface):
            plain.append(piece)
        else:
            cause = "its surface is searched, not solved"
            reject(
                f"worked_margin: criterion {check.criterion.name}",
                "no closed form",
                "one with closed form",
                cause,
            )
    each = [float(first_crossing((one,), values[None], fixed[None])[0][0]) for one in plain]
    R = min(each)
    piece = plain[each.index(R)]
    a, b, c = (float(x) for x in piece._rise(tuple(values), tuple(fixed)))
    used = {name: getattr(allowables, name) for name in ALLOWABLES}
    numbers: dict[str, Any] = {}
    if check.caps is not None:
        numbers["caps, tension and compression [-]"] = [check.caps.tension, check.caps.compression]
    else:
        numbers |= {
            f"{name} [{'Pa' if name[0] in 'XYS' else '-'}]": x for name, x in used.items() if x is not None
        }
    if changed:
        numbers["changed"] = changed
    numbers |= {f"on {names[i]} [1/{unit}]": k for i, k in piece.linear}
    numbers |= {f"on {names[i]} {names[j]} [1/{unit}2]": k for i, j, k in piece.quadratic}
    numbers |= {"a, b, c": [a, b, c], "R [-]": R}
    formula = (
        "index = sum of the coefficients below times the state, at R x load + cure and moisture;  "
        f"index = {piece.level:g} gives a R^2 + b R = c"
    )
    return R, Step(
        f"{check.criterion.title}: {str(piece.mode.name).lower().replace('_', ' ')}", formula, numbers
    )
