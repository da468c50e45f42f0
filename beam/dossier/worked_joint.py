"""The margin of a joint followed by hand: free body of its fitting, load of the joint, its lines, ratio and margin."""

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any, Literal

import numpy as np

from beam.dossier.worked_margin import Step, WorkedMargin
from beam.joints import Fitting
from beam.joints.assembly import WorkedJoint, worked_joints
from beam.joints.fitting import point_of
from beam.strength.requirement import Requirement
from beam.strut import PointLoads, Strut
from materials.checks import checked, reject

Units = Literal["SI", "US"]

_US = {"m": (0.0254, "in"), "N": (4.4482216152605, "lbf"), "Pa": (4.4482216152605 / 0.0254**2, "psi")}
"""Inch, pound-force and their pressure: formulas hold in them as in base SI."""


@checked
def worked_joint_margins(
    fittings: Sequence[Fitting],
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    rows: Sequence[Mapping[str, Any]],
    *,
    cases: Sequence[Any],
    first: Callable[[str], Sequence[tuple[Any, ...]]] | None = None,
    units: Units = "SI",
) -> list[WorkedMargin]:
    """Follow margins of joints by hand.

    Parameters
    ----------
    fittings : sequence of Fitting
        The fittings of the strut.
    strut : Strut
        The strut.
    loads : PointLoads
        Loads.
    requirement : Requirement
        Services and factors.
    rows : sequence of dict
        Rows of `beam.joints.assembly_margins` with their place: case, station, wall, mode, level, service, ratio.
    cases : sequence of str, length case
        Labels of the load cases.
    first : callable, optional
        Gives the steps that lead to the loads on the strut in a case, from its label, as `wheel_steps` makes them.
    units : {"SI", "US"}
        Base SI, or inch and pound-force, of the lines of the joint; the steps before them are in base SI.

    Returns
    -------
    list of WorkedMargin
        The steps of each row; a formula stands in the name of its result.

    Raises
    ------
    ValueError
        If a row names a case that is not there, has no load, or no joint of the fittings works it.

    Examples
    --------
    >>> import beam, tarn  # examples/tarn.py
    >>> from beam.joints import FittedJoint, Pin, assembly_margins
    >>> from materials import metal
    >>> pin = Pin(name="pivot", diameter=12e-3, metal=metal("4340 180 ksi"), outer=10e-3, middle=15e-3)
    >>> place = FittedJoint(joint=pin, takes="entering", axes=[[0, 1, 0], [0, 0, 1], [1, 0, 0]])
    >>> pivot = [Fitting(name="pivot", start=0.55, end=0.62, joints=[place])]
    >>> loads = beam.PointLoads(at=[0.62], force=[[[0.0, 0.0, 2e4]]])
    >>> table = assembly_margins(pivot, tarn.FIRST_STRUT, loads, tarn.REQUIREMENT, cases=["side"], whole=False)
    >>> row = table.reset_index().iloc[2].to_dict()
    >>> found, = worked_joint_margins(pivot, tarn.FIRST_STRUT, loads, tarn.REQUIREMENT, [row], cases=["side"])
    >>> print(found.text().splitlines()[-1].strip(), abs(found.margin - row["margin"]) < 1e-9)
    MS = RF - 1 [-] = 0.92965 True
    """
    labels, who = [str(one) for one in cases], "worked_joint_margins"
    for row in rows:
        if str(row["case"]) not in labels:
            reject(f"{who}: case", repr(row["case"]), "one of the labels")
        if not np.isfinite(float(row["ratio"])):
            reject(f"{who}: ratio [-]", f"{row['ratio']}", "finite", "no load in this mode: nothing to work")
    out = []
    for row, found in zip(
        rows, worked_joints(fittings, strut, loads, requirement, rows, cases=labels), strict=True
    ):
        if found is None:
            got, cause = f"{row['wall']}, {row['mode']}", "a joint of your own gives no lines"
            reject(f"{who}: wall, mode", got, "of a joint that works it", cause)
        steps = [Step(*one) for one in (first(str(row["case"])) if first else ())]
        steps += [_body(found), _load(found, units), _lines(found, row, units)]
        service = row.get("service")
        said = f"; {service}" if isinstance(service, str) and service else ""
        title = f"{row['case']}; {found.fitting.name}; {row['wall']}; {row['mode']}{said}"
        assumption, margin = str(row.get("assumption", "-")), found.lines[-1].value
        out.append(WorkedMargin(title=title, assumption=assumption, steps=steps, margin=margin))
    return out


def _lines(found: WorkedJoint, row: Mapping[str, Any], units: Units) -> Step:
    """The lines of the joint from its load to the margin."""
    numbers: dict[str, Any] = {}
    for name, value, unit, formula, note in found.lines:
        value, unit = _in(value, unit, units)
        title = f"{name} = {formula} [{unit}]" if formula else f"{name} [{unit}]"
        numbers[f"{title}{': ' + note if note else ''}"] = value
    title = f"{row['wall']}, {row['mode']} at {row['level']} load"
    return Step(title, "each line from those before it", numbers)


def _body(found: WorkedJoint) -> Step:
    """What acts on the fitting in the case."""
    body = found.body
    numbers: dict[str, Any] = {}
    for i, (name, side, at) in enumerate(zip(body.names, body.sides, body.stations.tolist(), strict=True)):
        what = f"{name}, {side}, about the axis at {at:.5g} m"
        numbers[f"{what}: F1, F2, F3 [N]; M1, M2, M3 [N m]"] = body.wrench[0, i]
    title = (
        f"Free body of the fitting '{found.fitting.name}', {found.fitting.start:g} to {found.fitting.end:g} m"
    )
    formula = "loads and reactions between its ends + section forces outboard - section forces inboard = 0"
    return Step(title, formula, numbers)


def _load(found: WorkedJoint, units: Units) -> Step:
    """The load of the joint."""
    joint, loads = found.joint, found.loads
    numbers: dict[str, Any] = {
        "point P [m]": point_of(joint, found.fitting),
        "axes of the joint, rows in strut axes [-]": joint.axes,
    }
    plain = np.array_equal(joint.share, np.eye(6))
    if not plain:
        numbers["share of force and moment [-, m, 1/m]"] = joint.share
    summed = {
        "entering": "the loads and the reactions of supports",
        "load": "the loads",
        "reaction": "the reactions of supports",
        "inboard": "what the outboard tube puts on the inboard one",
        "outboard": "what is outboard",
    }[joint.takes]
    formula = f"sum of {summed}, moments about P: M + (x - P) x F; turned into the axes of the joint"
    formula += "" if plain else ", times the share"
    for name, value, unit in (("F1, F2, F3", loads.force[0], "N"), ("M1, M2, M3", loads.moment[0], "N m")):
        values = [_in(one, unit, units) for one in value.tolist()]
        numbers[f"{name} [{values[0][1]}]"] = [one for one, _ in values]
    return Step(f"Load of '{joint.name}'", formula, numbers)


def _in(value: float, unit: str, units: Units) -> tuple[float, str]:
    """A value in base SI and its unit, in the units shown."""
    if units == "SI":
        return value, unit
    over, shown = 1.0, []
    top, _, bottom = unit.partition("/")
    for part, sign in ((top, 1), (bottom, -1)):
        words = []
        for word in part.split():
            found = re.fullmatch(r"(m|N|Pa)(\d?)", word)
            if found is None:
                words.append(word)
                continue
            size, name = _US[found[1]]
            over *= size ** (sign * int(found[2] or 1))
            words.append(f"{name}{found[2]}")
        shown.append(" ".join(words))
    return value / over, "/".join(one for one in shown if one)
