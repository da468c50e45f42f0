"""Fittings of the strut: free bodies, and the loads of their joints in every case.

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
from dataclasses import replace
from functools import lru_cache
from typing import Annotated, Any, Literal, NamedTuple, Protocol, Self, runtime_checkable

import numpy as np
from numpy.typing import NDArray

from beam.joints.bond import HasMargins
from beam.joints.joint_rows import JointLoads
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
    checked,
    default,
    reject,
)

NOISE = 1e-9
"""Part of the loads of a case below which a component counts as rounding and becomes zero."""
COMPONENTS = ("F1", "F2", "F3", "M1", "M2", "M3")
ENTERING, LOAD, REACTION, INBOARD, OUTBOARD = "entering", "load", "reaction", "inboard", "outboard"
Takes = Literal["entering", "load", "reaction", "inboard", "outboard"]
"""What a joint carries: what enters its fitting from outside, loads and reactions of supports together or one of them,
or the section forces of the tube at one of its ends."""

_STATION = Limits("m", at_least=0.0, at_most=10.0, cause="given in mm?")


@runtime_checkable
class Drawn(Protocol):
    """A joint that takes walls and sizes from the strut that it is drawn on."""

    def on(self, strut: Strut, *, start: float, end: float, mouth: float) -> HasMargins:
        """The joint on a strut."""
        ...


class FittedJoint(Frozen):
    """A joint in its fitting: which load it carries, at which point and in which axes.

    Parameters
    ----------
    joint : object with ``margins(loads, requirement)``
        A lug, pin, bonded sleeve, saddle and so on; or one that is drawn on the strut first, as `DrawnSocket`.
    takes : {"entering", "load", "reaction", "inboard", "outboard"}
        What enters the fitting from outside, or of it the loads or the reactions of supports alone; or the section
        forces of the tube at the inboard or outboard end of the fitting, as the mouth of a bonded sleeve has them.
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

    joint: HasMargins | Drawn
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

    @checked
    def on(self, strut: Strut) -> Self:
        """Draw the joints that take walls and sizes from the strut.

        Parameters
        ----------
        strut : Strut
            With its ply book.

        Returns
        -------
        Fitting
            With joints that have margins.

        Raises
        ------
        ValueError
            If the fitting leaves the strut.
        """
        drawn: Self = _drawn(self, strut)
        return drawn

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


@lru_cache(maxsize=64)
def _drawn(fitting: Any, strut: Strut) -> Any:
    """A fitting with its joints drawn on a strut; the same object for the same two, so that its solutions are kept."""
    length = strut.mold_line.length
    if fitting.end > length * (1 + SNAP):
        reject(f"Fitting '{fitting.name}': end [m]", f"{fitting.end:g}", f"at most the tip, {length:.9g}")
    end, joints = min(fitting.end, length), []
    for one in fitting.joints:
        if isinstance(one.joint, Drawn):
            mouth = fitting.start if one.takes == INBOARD else end
            one = replace(one, joint=one.joint.on(strut, start=fitting.start, end=end, mouth=mouth))
        joints.append(one)
    same = all(one is other for one, other in zip(joints, fitting.joints, strict=True))
    return fitting if same else replace(fitting, joints=joints)


class FreeBody(NamedTuple):
    """What acts on a fitting, as `free_body` returns it.

    Parameters
    ----------
    names : tuple of str
        Load, support or side of the tube of each.
    sides : tuple of str
        "load", "reaction", "inboard" or "outboard", for each.
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
    >>> body.names, body.wrench[0, :, 2].round(1).tolist(), body.wrench[0, :, 4].round(1).tolist()
    (('trunnion', 'tube outboard'), [2541.7, -2541.7], [0.0, -254.2])
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
    sides = [LOAD] * len(inside) + [REACTION] * (len(names) - len(inside))
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


def _parts(takes: Takes) -> tuple[str, ...]:
    """Sides of a free body that a joint carries."""
    return (LOAD, REACTION) if takes == ENTERING else (takes,)


def _about(body: FreeBody, side: Takes, point: Array) -> Array:
    """Force and moment (case, 6) of one side about a point (3,) in strut axes from the root [N, N m]."""
    on = np.array([one in _parts(side) for one in body.sides], dtype=bool)
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
    return loads_of(joint, fitting, body, loads, labels_of(loads, cases), strut.mold_line.length)


def point_of(joint: FittedJoint, fitting: Fitting) -> Array:
    """Point of a joint in strut axes from the root, (3,) [m]."""
    station = {INBOARD: fitting.start, OUTBOARD: fitting.end}.get(joint.takes, fitting.middle)
    return np.array([station, 0.0, 0.0]) if joint.point is None else joint.point


def loads_of(
    joint: FittedJoint,
    fitting: Fitting,
    body: FreeBody,
    loads: PointLoads,
    cases: Sequence[Any],
    length: float,
) -> JointLoads:
    """Loads of a joint from the free body of its fitting."""
    if not set(_parts(joint.takes)) & set(body.sides):
        limit = f"among {', '.join(sorted(set(body.sides)))}"
        cause = "no load, support or tube there"
        reject(f"Fitting '{fitting.name}': takes of '{joint.name}'", joint.takes, limit, cause)
    wrench = _about(body, joint.takes, point_of(joint, fitting))
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


def labels_of(loads: PointLoads, cases: Sequence[Any] | NDArray[np.str_] | None) -> list[Any]:
    """Labels of the cases."""
    return list(range(len(loads.force))) if cases is None else list(np.asarray(cases).tolist())
