"""All joints of a strut: their margins, the table of their loads, and their masses."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.joints.bond import HasMargins, Works
from beam.joints.fitting import COMPONENTS, FittedJoint, Fitting, FreeBody, free_body, labels_of, loads_of
from beam.joints.joint_rows import JointLoads, Judged, Line, with_joints, worked_lines
from beam.strength.check import Level
from beam.strength.requirement import Requirement, case_factors
from beam.strength.section_forces import free_strains, in_state, refuse_without_cases
from beam.strut import PointLoads, Strut
from beam.strut.axis import SNAP
from beam.strut.solver.field import Property
from beam.units import shown, symbol
from materials.checks import Array, Table, checked, reject

if TYPE_CHECKING:
    import pandas as pd


@checked
def assembly_margins(
    fittings: Sequence[Fitting],
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    *,
    cases: Sequence[Any] | NDArray[np.str_] | None = None,
    free_strain: Property | None = None,
    whole: bool = True,
) -> Table:
    """Margins of all joints of the strut under the loads of the strut.

    Parameters
    ----------
    fittings : sequence of Fitting
        The fittings with their joints.
    strut : Strut
        The strut.
    loads : PointLoads
        As for `beam.margins`, each case with its level.
    requirement : Requirement
        Services and factors.
    cases : sequence of str, length case, optional
        Labels of the cases; their numbers if not given.
    free_strain : array_like or callable, optional
        Strain of heat and moisture since assembly that loads redundant supports, from `Strut.free_strain`. None: on
        redundant supports that of every service since `Requirement.assembly_temperature`, and none at all. It counts
        with the factors of the load [-, 1/m].
    whole : bool
        Ask that every load and support lies in a fitting; switch it off to judge single fittings.

    Returns
    -------
    DataFrame
        Rows for `with_joints`, at the middle of each fitting; how the load gets to the joint ends the assumption.

    Raises
    ------
    ValueError
        If fittings overlap or share a name, a load or support lies outside all of them, or supports are redundant and
        no temperature at assembly is given.

    Notes
    -----
    Reactions are those of the span on the supports of the strut, whatever they are. Cases on other supports take a call
    with a strut on those, as each of `RetractionCases.groups` has them. On redundant supports the lowest row of every
    service counts, of the strut with and without its heat.

    Examples
    --------
    >>> import tarn  # examples/tarn.py
    >>> from beam.joints import Pin
    >>> from materials import metal
    >>> loads = PointLoads(at=[0.62], force=[[[0.0, 0.0, 2e4]]])
    >>> for diameter in (12e-3, 16e-3):
    ...     pin = Pin(name="pivot", diameter=diameter, metal=metal("4340 180 ksi"), outer=10e-3, middle=15e-3)
    ...     place = FittedJoint(joint=pin, takes="entering", axes=[[0, 1, 0], [0, 0, 1], [1, 0, 0]])
    ...     pivot = Fitting(name="pivot", start=0.55, end=0.62, joints=[place])
    ...     found = assembly_margins([pivot], tarn.FIRST_STRUT, loads, tarn.REQUIREMENT, whole=False)
    ...     print(round(float(found["margin"].min()), 2))
    0.84
    3.3
    """
    refuse_without_cases("assembly_margins", loads)
    fittings = [one.on(strut) for one in fittings]
    if not any(one.joints for one in fittings):
        reject("assembly_margins: fittings", "no joint", "one at least")
    _refuse_overlap(fittings)
    if whole:
        _refuse_uncovered(fittings, strut, loads)
    labels, tables = labels_of(loads, cases), []
    heats = _heats(strut, requirement, free_strain)
    for said, one, required, heat in heats:
        for fitting in fittings:
            body = free_body(one, loads, fitting, free_strain=heat)
            for joint in fitting.joints:
                own = loads_of(joint, fitting, body, loads, labels, strut.mold_line.length)
                words = "; ".join(word for word in (joint.said, said) if word)
                assert isinstance(joint.joint, HasMargins)  # it is drawn
                tables.append(_placed(joint.joint.margins(own, required), fitting.middle, words))
    table = with_joints(*tables)
    return table if len(heats) == 1 else _lowest(table)


class _Heat(NamedTuple):
    """Words, strut, requirement and free strain by which joints are judged."""

    said: str
    strut: Strut
    requirement: Requirement
    free_strain: Property | None


def _heats(strut: Strut, requirement: Requirement, free_strain: Property | None) -> list[_Heat]:
    """One way to judge, or on redundant supports without a strain every service with its heat and without."""
    if free_strain is not None or len(strut.span.held.rows) <= 6:
        return [_Heat("", strut, requirement, free_strain)]
    out = []
    for service in requirement.services:
        own, required = in_state(strut, service), replace(requirement, services=(service,))
        (heat,) = free_strains(own, requirement, (service,))
        text = f"redundant supports, {service.name}"
        out += [
            _Heat(f"{text}, heat included", own, required, heat),
            _Heat(f"{text}, without heat", own, required, np.zeros(6)),
        ]
    return out


def _lowest(table: Table) -> Table:
    """The lowest row of every case, part, mode and level."""
    flat = table.reset_index()
    keys = ["case", "station", "wall", "mode", "level"]
    least = flat.groupby(keys, observed=True, sort=False)["margin"].idxmin()
    return flat.loc[least].set_index(list(table.index.names))


def _placed(rows: Table, station: float, said: str) -> Table:
    """Rows of a joint at the station of its fitting [m], with the words for the way of its load."""
    out = rows.reset_index()
    out["station"] = station
    if said:
        out["assumption"] = out["assumption"].cat.rename_categories(lambda text: f"{text}; {said}")
    return out.set_index(list(rows.index.names))


def _refuse_overlap(fittings: Sequence[Fitting]) -> None:
    """Refuse fittings that overlap or are called alike."""
    for one, other in pairwise(sorted(fittings, key=lambda fitting: fitting.start)):
        if other.start < one.end:
            limit = f"at least {one.end:g}, the end of '{one.name}'"
            reject(f"Fitting '{other.name}': start [m]", f"{other.start:g}", limit, "they would share a load")
    names = [one.name for one in fittings]
    if len(set(names)) != len(names):
        reject("fittings: names", names, "all different")


def _refuse_uncovered(fittings: Sequence[Fitting], strut: Strut, loads: PointLoads) -> None:
    """Refuse a loaded station or a support that lies in no fitting."""
    near = SNAP * strut.mold_line.length
    held = np.unique(strut.span.held.at)
    for what, stations in (("load", loads.at[loads.wrench.any(axis=(0, 2))]), ("support", held)):
        for station in stations.tolist():
            if not any(one.start - near <= station <= one.end + near for one in fittings):
                cause = "which metal takes it? whole=False judges single fittings"
                reject(f"fittings: {what} at {station:g} m", "in no fitting", "in one", cause)


class WorkedJoint(NamedTuple):
    """What leads to a row of a joint: its fitting, the free body, the loads of the joint in its case, and the lines."""

    fitting: Fitting
    joint: FittedJoint
    body: FreeBody
    loads: JointLoads
    lines: list[Line]


def worked_joints(
    fittings: Sequence[Fitting],
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    rows: Iterable[Mapping[str, Any]],
    *,
    cases: Sequence[Any] | NDArray[np.str_] | None = None,
    free_strain: Property | None = None,
) -> Iterator[WorkedJoint | None]:
    """How rows of `assembly_margins` are reached; None where a joint gives no lines."""
    labels, drawn = labels_of(loads, cases), [one.on(strut) for one in fittings]
    heats, names = _heats(strut, requirement, free_strain), [str(one) for one in labels]

    @cache
    def body_of(case: int, way: int, number: int) -> FreeBody:
        return free_body(
            heats[way].strut, loads.take([case]), drawn[number], free_strain=heats[way].free_strain
        )

    @cache
    def judged(case: int, way: int, number: int, which: int) -> tuple[JointLoads, list[Judged]]:
        one, body = drawn[number].joints[which], body_of(case, way, number)
        own = loads_of(one, drawn[number], body, loads.take([case]), [labels[case]], strut.mold_line.length)
        return own, one.joint._judged(own, heats[way].requirement) if isinstance(one.joint, Works) else []

    def found(row: Mapping[str, Any]) -> WorkedJoint | None:
        case = names.index(str(row["case"]))
        for way, heat in enumerate(heats):
            for number, fitting in enumerate(drawn):
                if abs(fitting.middle - float(row["station"])) > 1e-9:
                    continue
                for which, joint in enumerate(fitting.joints):
                    own, groups = judged(case, way, number, which)
                    lines = worked_lines(groups, heat.requirement, row)
                    if lines is not None:
                        return WorkedJoint(fitting, joint, body_of(case, way, number), own, lines)
        return None

    return map(found, rows)


@checked
def joint_load_table(
    fittings: Sequence[Fitting],
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    *,
    cases: Sequence[Any] | NDArray[np.str_] | None = None,
    free_strain: Property | None = None,
    units: Literal["SI", "US"] | None = None,
) -> "pd.DataFrame":
    """Loads for those who design the metal: extremes of every component at limit and ultimate load.

    Parameters
    ----------
    fittings : sequence of Fitting
        The fittings with their joints.
    strut : Strut
        The strut.
    loads : PointLoads
        As for `assembly_margins`.
    requirement : Requirement
        Factor of safety and deflection allowance.
    cases : sequence of str, length case, optional
        Labels of the cases; their numbers if not given.
    free_strain : array_like or callable, optional
        As for `assembly_margins` [-, 1/m].
    units : {"SI", "US"}, optional
        Units to show; N and N m if not given.

    Returns
    -------
    DataFrame
        Indexed by (fitting, load, level, extreme): case, "factor [-]", and F1 to F3 and M1 to M3 that act together in
        that case, each with its unit in its name, as "F1 [N]" and "M1 [N m]". First what acts on the fitting, in strut
        axes about the axis, by name; then the load of each joint at its point in its axes.

    Notes
    -----
    Limit: given load x deflection allowance; ultimate: x factor of safety besides, 1 for a case given at ultimate load.
    Neither holds the fitting, bearing or special factor, which margins put on top.

    Examples
    --------
    >>> import tarn  # examples/tarn.py
    >>> loads = PointLoads(at=[0.62], force=[[[0.0, 0.0, 2e3]], [[5e3, 0.0, -1e3]]])
    >>> root = Fitting(name="root", start=0.0, end=0.1, joints=[])
    >>> table = joint_load_table([root], tarn.FIRST_STRUT, loads, tarn.REQUIREMENT, cases=["side", "pull"])
    >>> table.loc[("root", "tube outboard", "ultimate"), ["F1 [N]", "F3 [N]"]].iloc[0].round().tolist()
    [8091.0, -3927.0]
    """
    import pandas as pd

    _refuse_overlap(fittings)
    labels, fittings = labels_of(loads, cases), [one.on(strut) for one in fittings]
    factors = load_factors(requirement, loads)
    heats = _heats(strut, requirement, free_strain)
    rows: list[dict[str, Any]] = []
    for fitting in fittings:
        acts: dict[str, list[Array]] = {}
        for _, one, _, heat in heats:
            for name, wrench in _acting(fitting, one, loads, labels, heat).items():
                acts.setdefault(name, []).append(wrench)
        every = labels * len(heats)
        for name, wrenches in acts.items():
            for level, factor in factors.items():
                if np.isfinite(factor).any():
                    title = {"fitting": fitting.name, "load": name, "level": level}
                    by_heat = np.tile(factor, len(heats))
                    scaled = np.concatenate(wrenches) * by_heat[:, None]
                    rows += [title | row for row in _extremes(scaled, by_heat, every)]
    table, index = pd.DataFrame(rows), ["fitting", "load", "level", "extreme"]
    for name in index:  # in the order of appearance, and sorted so that parts of it are found at once
        table[name] = pd.Categorical(table[name], categories=table[name].unique())
    names = {"factor": "factor [-]"}
    for name in COMPONENTS:
        quantity, unit = ("force", "N") if name.startswith("F") else ("moment", "N m")
        if units is not None:
            table[name], unit = shown(table[name], quantity, units), symbol(quantity, units)
        names[name] = f"{name} [{unit}]"
    return table.rename(columns=names).set_index(index).sort_index()


def _acting(
    fitting: Fitting, strut: Strut, loads: PointLoads, labels: list[Any], heat: Property | None
) -> dict[str, Array]:
    """Force and moment (case, 6) of what acts on a fitting, and of its joints in their axes, by name."""
    body = free_body(strut, loads, fitting, free_strain=heat)
    acts: dict[str, Array] = {}
    for name, wrench in zip(body.names, np.moveaxis(body.wrench, 1, 0), strict=True):
        acts[_free_name(name, acts)] = wrench
    for joint in fitting.joints:
        own = loads_of(joint, fitting, body, loads, labels, strut.mold_line.length)
        acts[_free_name(f"{joint.name}, own axes", acts)] = np.concatenate([own.force, own.moment], axis=-1)
    return acts


def load_factors(requirement: Requirement, loads: PointLoads) -> dict[Level, Array]:
    """Load of a fitting over given load of each case, (case,), at both levels; NaN: it meets no limit check."""
    found = case_factors(requirement, loads)
    limit = np.where(found["limit"] > 0.0, found["limit"], np.nan)
    return {"limit": limit, "ultimate": found["ultimate"] / requirement.special_factor}


def _free_name(name: str, taken: dict[str, Any]) -> str:
    """The name, numbered from the second on."""
    count, found = 2, name
    while found in taken:
        found, count = f"{name} ({count})", count + 1
    return found


def _extremes(wrench: Array, factor: Array, labels: list[Any]) -> list[dict[str, Any]]:
    """Rows with the largest and the least of each component of (case, 6), each case once; NaN is left out."""
    found: dict[int, list[str]] = {}
    for i, component in enumerate(COMPONENTS):
        column = wrench[:, i]
        if np.nanmax(abs(column)) > 0.0:
            found.setdefault(int(np.nanargmax(column)), []).append(f"most {component}")
            found.setdefault(int(np.nanargmin(column)), []).append(f"least {component}")
    return [
        {"extreme": ", ".join(words), "case": labels[case], "factor": factor[case]}
        | dict(zip(COMPONENTS, wrench[case].tolist(), strict=True))
        for case, words in found.items()
    ]


@checked
def leg_masses(strut: Strut, fittings: Sequence[Fitting]) -> "pd.DataFrame":
    """Mass of the strut with its fittings, item by item.

    Parameters
    ----------
    strut : Strut
        The strut.
    fittings : sequence of Fitting
        Its fittings.

    Returns
    -------
    DataFrame
        One row for the tube, each joint that gives its mass, and the rest of each fitting: item, station [m],
        mass [kg], basis. The sum of the column is the mass of the leg's strut.

    Examples
    --------
    >>> import tarn  # examples/tarn.py
    >>> root = Fitting(name="root", start=0.0, end=0.1, joints=[], other_mass=1.5, other_basis="invented")
    >>> leg_masses(tarn.FIRST_STRUT, [root])["mass"].round(2).tolist()
    [3.37, 1.5]
    """
    import pandas as pd

    rows: list[tuple[str, float, float, str]] = [("tube", strut.mold_line.length / 2, strut.mass, "ply book")]
    for fitting in (one.on(strut) for one in fittings):
        for name, mass in fitting.own_masses:
            rows.append((f"{fitting.name}: {name}", fitting.middle, mass, "geometry"))
        if fitting.other_mass:
            rows.append(
                (f"{fitting.name}: rest", fitting.middle, fitting.other_mass, str(fitting.other_basis))
            )
    return pd.DataFrame(rows, columns=["item", "station", "mass", "basis"])
