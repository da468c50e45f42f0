"""Fittings of the strut: free bodies, the loads of their joints in every case, their margins and masses.

A fitting covers a stretch of the strut. Cut there, it is in equilibrium under what enters from outside and the tube::

                       entering: loads and reactions with a station on the stretch
                                  |
      - F(start)  <---[ inboard   v    outboard ]--->  F(end)
        of the tube inboard                            of the tube outboard
                      start                   end

F are section forces (N, V2, V3, T, M2, M3), what the outboard part puts on the inboard part. A fitting at the root has
no inboard tube, one at the tip no outboard tube.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Annotated, Any, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.joints.bond import HasMargins
from beam.joints.joint_rows import JointLoads, with_joints
from beam.strength.check import Level
from beam.strength.requirement import Requirement, case_factors
from beam.strength.section_forces import refuse_without_cases
from beam.strut import PointLoads, Strut
from beam.strut.axis import SNAP
from beam.strut.point_loads import past
from beam.strut.solver.field import Property
from materials.checks import (
    Array,
    Frozen,
    Items,
    Limits,
    Numbers,
    OptionalNumbers,
    Table,
    checked,
    default,
    reject,
)

if TYPE_CHECKING:
    import pandas as pd

NOISE = 1e-9
"""Part of the loads of a case below which a component counts as rounding and becomes zero."""
COMPONENTS = ("F1", "F2", "F3", "M1", "M2", "M3")
ENTERING, INBOARD, OUTBOARD = "entering", "inboard", "outboard"
Takes = Literal["entering", "inboard", "outboard"]
"""What a joint carries: what enters its fitting from outside, or the section forces of the tube at one of its ends."""

_STATION = Limits("m", at_least=0.0, at_most=10.0, cause="given in mm?")


class FittedJoint(Frozen):
    """A joint in its fitting: which load it carries, at which point and in which axes.

    Parameters
    ----------
    joint : object with ``margins(loads, requirement)``
        A lug, pin, bonded sleeve, saddle and so on.
    takes : {"entering", "inboard", "outboard"}
        What enters the fitting from outside; or the section forces of the tube at the inboard or outboard end of the
        fitting, as the mouth of a bonded sleeve has them.
    point : array_like, shape (3,), optional
        Point of the joint in strut axes from the root; None: on the axis, in the middle of the fitting or at the end of
        the tube [m].
    axes : array_like, shape (3, 3)
        Axes of the joint as rows in strut axes, right-handed [-].
    share : array_like, shape (6, 6)
        Force and moment on the joint for unit force and moment at the point, axes of the joint; `hinge_shares` gives
        those of two lugs on a hinge [-, m, 1/m].
    said : str, optional
        How the load gets there, added to the assumption of every row.

    Raises
    ------
    ValueError
        If the axes are not orthonormal and right-handed.

    Examples
    --------
    >>> from beam.joints import Lug
    >>> from materials import metal
    >>> lug = Lug(name="pivot", hole=20e-3, width=40e-3, edge=20e-3, thickness=15e-3, pin_diameter=19.9e-3,
    ...           metal=metal("7075-T6 bar"))
    >>> FittedJoint(joint=lug, takes="entering", axes=[[0, 1, 0], [0, 0, 1], [1, 0, 0]]).share.shape
    (6, 6)
    """

    joint: HasMargins
    takes: Takes
    point: Annotated[OptionalNumbers, Limits("m", shape=(3,))] = default(None)
    axes: Annotated[Numbers, Limits("-", shape=(3, 3))] = default(tuple(map(tuple, np.eye(3).tolist())))
    share: Annotated[Numbers, Limits("-, m, 1/m", shape=(6, 6))] = default(
        tuple(map(tuple, np.eye(6).tolist()))
    )
    said: str | None = None

    def __post_init__(self) -> None:
        super().__post_init__()
        if not np.allclose(self.axes @ self.axes.T, np.eye(3), atol=1e-9) or np.linalg.det(self.axes) < 0.0:
            reject(
                "FittedJoint: axes [-]", self.axes.tolist(), "three unit rows at right angles, right-handed"
            )

    @property
    def name(self) -> str:
        """Of the joint."""
        return str(getattr(self.joint, "name", type(self.joint).__name__))


class Fitting(Frozen):
    """A fitting of the strut: the stretch it covers, its joints and its mass.

    Parameters
    ----------
    name : str
        Name in tables.
    start, end : float
        Stretch of the strut that it covers, ends of the bond or edges of the saddle included [m].
    joints : sequence of FittedJoint
        Its joints, each with its share of the load [-].
    other_mass : float
        Mass of what its joints do not give: bodies between lugs and sleeve, bolts, sealant [kg].
    other_basis : str, optional
        Where that mass comes from.

    Raises
    ------
    ValueError
        If it does not end outboard of its start, or another mass has no basis.

    Examples
    --------
    >>> bracket = Fitting(name="bracket", start=0.26, end=0.32, joints=[], other_mass=0.4, other_basis="drawing")
    >>> bracket.mass
    0.4
    """

    name: str
    start: Annotated[float, _STATION]
    end: Annotated[float, _STATION]
    joints: Annotated[Items[FittedJoint], Limits(items=0)]
    other_mass: Annotated[float, Limits("kg", at_least=0.0, at_most=200.0, cause="given in g or lb?")] = 0.0
    other_basis: str | None = None

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.end <= self.start:
            cause = "a fitting runs from start outboard to end"
            reject(f"Fitting '{self.name}': end [m]", f"{self.end:g}", f"> start, {self.start:g}", cause)
        if self.other_mass > 0.0 and self.other_basis is None:
            reject(f"Fitting '{self.name}': other_basis", None, "given with other_mass")

    @property
    def middle(self) -> float:
        """Station half way between its ends [m]."""
        return (self.start + self.end) / 2

    @property
    def mass(self) -> float:
        """Of its joints, each object once, and of the rest [kg]."""
        return self.other_mass + sum(mass for _, mass in self.own_masses)

    @property
    def own_masses(self) -> list[tuple[str, float]]:
        """Name and mass of each joint that gives it, every object once [kg]."""
        every = {id(one.joint): one for one in self.joints}.values()
        known = [(one, getattr(one.joint, "mass", None)) for one in every]
        return [
            (f"{type(one.joint).__name__} '{one.name}'", float(mass))
            for one, mass in known
            if mass is not None
        ]


class FreeBody(NamedTuple):
    """What acts on a fitting, as `free_body` returns it.

    Parameters
    ----------
    names : tuple of str
        Load, support or side of the tube of each.
    sides : tuple of str
        "entering", "inboard" or "outboard", for each.
    stations : ndarray, shape (force,)
        Points of the axis about which the moments are taken [m].
    wrench : ndarray, shape (case, force, 6)
        Force and moment on the fitting in strut axes [N, N m].
    arm : ndarray, shape (case, force, 3)
        From the axis to where a load acts; 0 for reactions and the tube [m].
    residual : ndarray, shape (case, 2)
        Sums of forces and of moments about the root, over what their terms could add up to [-].
    """

    names: tuple[str, ...]
    sides: tuple[str, ...]
    stations: Array
    wrench: Array
    arm: Array
    residual: Array


@checked
def free_body(
    strut: Strut, loads: PointLoads, fitting: Fitting, *, free_strain: Property | None = None
) -> FreeBody:
    """Everything that acts on a fitting: loads, reactions, and the tube at both ends.

    Parameters
    ----------
    strut : Strut
        The strut.
    loads : PointLoads
        Its loads.
    fitting : Fitting
        The fitting.
    free_strain : array_like or callable, optional
        Strain of heat and moisture as for `Span.forces`; it loads redundant supports [-, 1/m].

    Returns
    -------
    FreeBody
        Forces on the fitting.

    Raises
    ------
    ValueError
        If the fitting leaves the strut, or a band of the strut lies across one of its ends.

    Notes
    -----
    Loads + reactions + F(end) - F(start) = 0. A load or support at an end of the fitting belongs to it.

    Examples
    --------
    >>> import tarn  # examples/tarn.py
    >>> loads = PointLoads(at=[0.62], force=[[[0.0, 0.0, 2000.0]]])
    >>> body = free_body(tarn.FIRST_STRUT, loads, Fitting(name="root", start=0.0, end=0.1, joints=[]))
    >>> body.names, body.wrench[0, :, 2].round(6).tolist(), body.wrench[0, :, 4].round(3).tolist()
    (('clamp', 'tube outboard'), [-2000.0, 2000.0], [1240.0, -1040.0])
    """
    refuse_without_cases("free_body", loads)
    length, near = strut.mold_line.length, SNAP * strut.mold_line.length
    start, end, who = fitting.start, fitting.end, f"Fitting '{fitting.name}'"
    if end > length + near:
        reject(f"{who}: end [m]", f"{end:g}", f"at most the tip, {length:.9g}")
    for band in strut.bands:
        for edge in (start, end):
            if band.start + near < edge < band.end - near:
                limit = f"outside the band '{band.name}', {band.start:g} to {band.end:g} m"
                reject(
                    f"{who}: start, end [m]", f"{edge:g}", limit, "give the strut the band of this fitting"
                )
    span, held = strut.span, strut.span.held
    inside = np.flatnonzero((loads.at >= start - near) & (loads.at <= end + near))
    names = [f"load at {station:.4g} m" for station in loads.at[inside]]
    stations, parts = list(loads.at[inside]), [loads.wrench[:, i] for i in inside]
    reaction = span.reactions(loads, free_strain=free_strain)
    first = 0
    for support in span.supports or (None,):
        count = 6 if support is None else len(support.rows)
        own = slice(first, first + count)
        first += count
        if start - near <= held.at[first - 1] <= end + near:
            names.append("clamp" if support is None else support.name)
            stations.append(held.at[first - 1])
            parts.append(reaction[:, own] @ held.rows[own])
    sides = [ENTERING] * len(names)
    for side, station, there, sign in (
        (INBOARD, start, start > near, -1.0),
        (OUTBOARD, end, end < length - near, 1.0),
    ):
        if there:
            cut = float(past(station, length)) if side == OUTBOARD else station
            names.append(f"tube {side}")
            sides.append(side)
            stations.append(cut)  # its moments are about the axis there
            parts.append(sign * span.forces(loads, at=[cut], free_strain=free_strain)[:, 0])
    wrench, at = np.stack(parts, axis=1), np.array(stations)
    lever = np.outer(at, [1.0, 0.0, 0.0])
    force, turn = wrench[..., :3], wrench[..., 3:] + np.cross(lever, wrench[..., :3])
    sizes = np.linalg.norm(force, axis=-1), np.linalg.norm(wrench[..., 3:], axis=-1)
    most = [sizes[0].sum(-1), (sizes[1] + length * sizes[0]).sum(-1)]
    out = [
        np.linalg.norm(one.sum(axis=1), axis=-1) / np.where(size > 0.0, size, 1.0)
        for one, size in zip((force, turn), most, strict=True)
    ]
    arm = np.zeros_like(force)
    arm[:, : len(inside)] = loads.arm[:, inside]
    return FreeBody(tuple(names), tuple(sides), at, wrench, arm, np.stack(out, axis=-1))


def _about(body: FreeBody, side: Takes, point: Array) -> Array:
    """Force and moment (case, 6) of one side about a point (3,) in strut axes from the root [N, N m]."""
    on = np.array([one == side for one in body.sides], dtype=bool)
    arm = np.outer(body.stations[on], [1.0, 0.0, 0.0]) - point
    force, moment = body.wrench[:, on, :3], body.wrench[:, on, 3:]
    return np.concatenate([force, moment + np.cross(arm, force)], axis=-1).sum(axis=1)


@checked
def joint_loads(
    strut: Strut,
    loads: PointLoads,
    fitting: Fitting,
    joint: FittedJoint,
    *,
    cases: Sequence[Any] | NDArray[np.str_] | None = None,
    free_strain: Property | None = None,
) -> JointLoads:
    """Loads of one joint in every case, at its point and in its axes.

    Parameters
    ----------
    strut : Strut
        The strut.
    loads : PointLoads
        Its loads, each case with its level.
    fitting : Fitting
        The fitting that the joint is part of.
    joint : FittedJoint
        One of them, with its share of the load [-].
    cases : sequence of str, length case, optional
        Labels of the cases; their numbers if not given.
    free_strain : array_like or callable, optional
        As for `free_body` [-, 1/m].

    Returns
    -------
    JointLoads
        Level and factor of safety of each case are kept. Components below 1e-9 of the load are rounding, set to 0.

    Examples
    --------
    >>> import tarn  # examples/tarn.py
    >>> from beam.joints import Pin
    >>> from materials import metal
    >>> pin = Pin(name="pivot", diameter=20e-3, metal=metal("4340 180 ksi"), outer=10e-3, middle=15e-3)
    >>> loads = PointLoads(at=[0.62], force=[[[0.0, 0.0, 2000.0]]])
    >>> half = FittedJoint(joint=pin, takes="entering", point=[0.62, 0, 0], share=np.eye(6) / 2)
    >>> joint_loads(tarn.FIRST_STRUT, loads, Fitting(name="pivot", start=0.5, end=0.62, joints=[half]), half).force
    array([[   0.,    0., 1000.]])
    """
    body = free_body(strut, loads, fitting, free_strain=free_strain)
    return _loads_of(joint, fitting, body, loads, _labels(loads, cases), strut.mold_line.length)


def _loads_of(
    joint: FittedJoint,
    fitting: Fitting,
    body: FreeBody,
    loads: PointLoads,
    cases: Sequence[Any],
    length: float,
) -> JointLoads:
    """Loads of a joint from the free body of its fitting."""
    if joint.takes not in body.sides:
        limit = f"among {', '.join(sorted(set(body.sides)))}"
        cause = "no load, support or tube there"
        reject(f"Fitting '{fitting.name}': takes of '{joint.name}'", joint.takes, limit, cause)
    station = {ENTERING: fitting.middle, INBOARD: fitting.start, OUTBOARD: fitting.end}[joint.takes]
    point = np.array([station, 0.0, 0.0]) if joint.point is None else joint.point
    wrench = _about(body, joint.takes, point)
    if joint.takes == INBOARD:  # section forces: what the outboard part puts on the inboard part
        wrench = -wrench
    force, moment = wrench[:, :3] @ joint.axes.T, wrench[:, 3:] @ joint.axes.T
    most = np.linalg.norm(body.wrench[..., :3], axis=-1).max(axis=1)
    turns = np.linalg.norm(body.wrench[..., 3:], axis=-1).max(axis=1) + length * most
    force = np.where(abs(force) > NOISE * most[:, None], force, 0.0)
    moment = np.where(abs(moment) > NOISE * turns[:, None], moment, 0.0)
    own = np.concatenate([force, moment], axis=-1) @ joint.share.T
    return JointLoads(
        force=own[:, :3],
        moment=own[:, 3:],
        cases=list(cases),
        level=loads.level,
        factor_of_safety=loads.factor_of_safety,
    )


@checked
def hinge_shares(
    spread: Annotated[float, Limits("m", above=0.0, at_most=2.0, cause="given in mm?")],
    *,
    thrust: Annotated[float, Limits("-", at_least=0.0, at_most=1.0)] = 1.0,
) -> tuple[Array, Array]:
    """Shares of two lugs on a hinge in the load at the middle between them.

    Parameters
    ----------
    spread : float
        Between the middles of the lugs, along the hinge [m].
    thrust : float
        Share of the first lug in the force along the hinge: 1 where it alone has thrust faces [-].

    Returns
    -------
    tuple of ndarray, each shape (6, 6)
        For `FittedJoint.share` of the lug at + spread / 2 and of that at - spread / 2 along axis 3, the hinge. A moment
        about the hinge is left with the first, whose lug refuses it [-, m, 1/m].

    Notes
    -----
    Statics: f = (F1 / 2 +- M2 / spread, F2 / 2 -+ M1 / spread). The moment across the hinge is a couple of the lugs.

    Examples
    --------
    >>> first, second = hinge_shares(0.08)
    >>> load = np.array([10e3, 0.0, 3e3, 0.0, 400.0, 0.0])
    >>> (first @ load)[:3].round(6).tolist(), (second @ load)[:3].round(6).tolist()
    ([10000.0, 0.0, 3000.0], [0.0, 0.0, 0.0])
    """
    shares = []
    for sign, along in ((1.0, thrust), (-1.0, 1.0 - thrust)):
        one = np.zeros((6, 6))
        one[0, 0] = one[1, 1] = 0.5
        one[0, 4], one[1, 3] = sign / spread, -sign / spread
        one[2, 2] = along
        one[5, 5] = (1.0 + sign) / 2
        shares.append(one)
    return shares[0], shares[1]


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
        Strain of heat and moisture of one service since assembly, from `Strut.free_strain`; a strut on redundant
        supports needs it, one call for each service. It counts with the factors of the load [-, 1/m].
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
        heat is left out.

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
    if not any(one.joints for one in fittings):
        reject("assembly_margins: fittings", "no joint", "one at least")
    _refuse_overlap(fittings)
    if whole:
        _refuse_uncovered(fittings, strut, loads)
    _refuse_without_heat("assembly_margins", strut, free_strain)
    labels, tables = _labels(loads, cases), []
    for fitting in fittings:
        body = free_body(strut, loads, fitting, free_strain=free_strain)
        for joint in fitting.joints:
            own = _loads_of(joint, fitting, body, loads, labels, strut.mold_line.length)
            tables.append(_placed(joint.joint.margins(own, requirement), fitting.middle, joint.said))
    return with_joints(*tables)


def _placed(rows: Table, station: float, said: str | None) -> Table:
    """Rows of a joint at the station of its fitting [m], with the words for the way of its load."""
    out = rows.reset_index()
    out["station"] = station
    if said:
        out["assumption"] = out["assumption"].cat.rename_categories(lambda text: f"{text}; {said}")
    return out.set_index(list(rows.index.names))


def _labels(loads: PointLoads, cases: Sequence[Any] | NDArray[np.str_] | None) -> list[Any]:
    """Labels of the cases."""
    return list(range(len(loads.force))) if cases is None else list(np.asarray(cases).tolist())


def _refuse_without_heat(who: str, strut: Strut, free_strain: Property | None) -> None:
    """Refuse redundant supports without a word on heat."""
    if len(strut.span.held.rows) > 6 and free_strain is None:
        cause = (
            "heat loads redundant supports: one call for each service, with Strut.free_strain; zeros: no heat"
        )
        reject(f"{who}: free_strain [-, 1/m]", None, "given on redundant supports", cause)


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


@checked
def joint_load_table(
    fittings: Sequence[Fitting],
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    *,
    cases: Sequence[Any] | NDArray[np.str_] | None = None,
    free_strain: Property | None = None,
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

    Returns
    -------
    DataFrame
        Indexed by (fitting, load, level, extreme): case, factor [-], and F1 to F3 [N] and M1 to M3 [N m] that act
        together in that case. First what acts on the fitting, in strut axes about the axis, by name; then the load
        of each joint at its point in its axes.

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
    >>> table.loc[("root", "tube outboard", "ultimate"), ["F1", "F3"]].iloc[0].tolist()
    [7725.0, -1545.0]
    """
    import pandas as pd

    _refuse_overlap(fittings)
    _refuse_without_heat("joint_load_table", strut, free_strain)
    labels = _labels(loads, cases)
    factors = load_factors(requirement, loads)
    rows: list[dict[str, Any]] = []
    for fitting in fittings:
        body = free_body(strut, loads, fitting, free_strain=free_strain)
        acts: dict[str, Array] = {}
        for name, wrench in zip(body.names, np.moveaxis(body.wrench, 1, 0), strict=True):
            acts[_free_name(name, acts)] = wrench
        for joint in fitting.joints:
            own = _loads_of(joint, fitting, body, loads, labels, strut.mold_line.length)
            acts[_free_name(f"{joint.name}, own axes", acts)] = np.concatenate(
                [own.force, own.moment], axis=-1
            )
        for name, wrench in acts.items():
            for level, factor in factors.items():
                if np.isfinite(factor).any():
                    title = {"fitting": fitting.name, "load": name, "level": level}
                    rows += [title | row for row in _extremes(wrench * factor[:, None], factor, labels)]
    table, index = pd.DataFrame(rows), ["fitting", "load", "level", "extreme"]
    for name in index:  # in the order of appearance, and sorted so that parts of it are found at once
        table[name] = pd.Categorical(table[name], categories=table[name].unique())
    return table.set_index(index).sort_index()


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
    [3.25, 1.5]
    """
    import pandas as pd

    rows: list[tuple[str, float, float, str]] = [("tube", strut.mold_line.length / 2, strut.mass, "ply book")]
    for fitting in fittings:
        for name, mass in fitting.own_masses:
            rows.append((f"{fitting.name}: {name}", fitting.middle, mass, "geometry"))
        if fitting.other_mass:
            rows.append(
                (f"{fitting.name}: rest", fitting.middle, fitting.other_mass, str(fitting.other_basis))
            )
    return pd.DataFrame(rows, columns=["item", "station", "mass", "basis"])
