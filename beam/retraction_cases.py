"""Where the gear in the air meets the strut: loads on the strut at every turn, and what holds it there."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated, Any

import numpy as np
from numpy.typing import NDArray

from beam.axes import out_of
from beam.gear import (
    FlightCondition,
    Lock,
    OverCenterBrace,
    RetractingGear,
    TrailingLink,
    leg_loads,
    leg_reactions,
    swing,
)
from beam.gear.retraction.conditions import State
from beam.gear.retraction.leg_reactions import (
    AirPoints,
    Bearings,
    LegLoads,
    LegReactions,
    Shares,
    WheelPart,
    check_bearings,
    holding_line,
    into_leg,
)
from beam.gear.retraction.retracting_gear import LEAST_ARM
from beam.gear.strut_loads import free_body
from beam.strut import MoldLine, PointLoads, Support
from beam.strut_cases import DesignCases
from materials.checks import Array, Frozen, Items, Limits, Numbers, OptionalNumbers, checked, default, reject

if TYPE_CHECKING:
    import pandas as pd

__all__ = [
    "RetractionCases",
    "SupportGroup",
    "down_lock_force",
    "locked_down_supports",
    "retraction_cases",
    "sizing_cases",
]

_HOLDS = {"retracting": "actuator", "extending": "actuator", "down": "down-lock", "up": "up-lock"}
_WHEEL = ("own inertia", "gyroscopic couple", "brake")
_DOWN = Lock | OverCenterBrace
_ASSUMED = (
    "the leg is rigid and loads do not follow its deflection",
    "in transit the actuator alone holds the leg; locked, the lock alone, the actuator with its given force",
    "the turn follows the smooth law of `swing`",
    "the couple of own inertia acts at the wheel and about the axis only",
    "the airplane's own pitch and roll rate add no gyroscopic couple",
)
_ON_STRUT = ("force", "moment", "arm")
_BRACE_ASSUMED = (
    "the brace is a two-force member; in transit it carries nothing",
    "elastic shortening of the brace takes nothing from its offset beyond the given play",
)
_NO_LINK = "loads on wheel and link enter at the tip, not through pivot and shock"
_EXTENDED = "the shock is at its extension stop, in transit and stowed"


class SupportGroup(Frozen):
    """Load cases of a strut on the same supports, from `RetractionCases.groups`.

    Parameters
    ----------
    supports : tuple of Support
        What the strut stands on.
    labels : ndarray of str, shape (case,)
        Names of the cases.
    loads : PointLoads
        Loads without the reactions, in strut axes.

    Examples
    --------
    >>> from tarn_retraction import BEARINGS, CONDITIONS, DOWN_LOCK, LINK, RETRACTING, UP_LOCK  # examples, invented
    >>> import tarn
    >>> found = retraction_cases(RETRACTING, tarn.MOLD_LINE, bearings=BEARINGS, down_lock=DOWN_LOCK, up_lock=UP_LOCK,
    ...                          conditions=CONDITIONS[-2:], duration=6.0, link=LINK)
    >>> [([one.name for one in group.supports], len(group.labels)) for group in found.groups]
    [(['trunnion bearing 1', 'trunnion bearing 2', 'lock'], 2)]
    """

    supports: Annotated[tuple[Support, ...], Limits(items=0)]
    labels: NDArray[np.str_]
    loads: PointLoads


class RetractionCases(Frozen):
    """Limit load cases of the strut in flight, from `retraction_cases`.

    Parameters
    ----------
    labels : ndarray of str, shape (case,)
        Condition, turn and, in transit, time.
    state : tuple of str
        State of each case: "retracting", "extending", "down" or "up".
    angle : array_like, shape (case,)
        Turn from extended [rad].
    loads : PointLoads
        Loads on the strut without the reactions, in strut axes, which turn with the gear.
    supports : tuple of tuple of Support
        What the strut stands on in each case: both trunnion bearings, and the actuator or lock.
    reactions : LegReactions
        What these supports put on the leg, airplane axes.
    held : PointLoads
        What actuator, down-lock and up-lock put on the strut in each case, in strut axes.
    locking_moment : array_like, shape (case,), optional
        Moment that keeps the knee of the over-center brace on its stop, where the gear is down; infinite elsewhere.
        None without such a brace [N m].
    assumptions : tuple of str
        What the reactions leave out or take for granted.

    Examples
    --------
    >>> from tarn_retraction import BEARINGS, CONDITIONS, DOWN_LOCK, LINK, RETRACTING, UP_LOCK  # examples, invented
    >>> import tarn
    >>> found = retraction_cases(RETRACTING, tarn.MOLD_LINE, bearings=BEARINGS, down_lock=DOWN_LOCK, up_lock=UP_LOCK,
    ...                          conditions=CONDITIONS, duration=6.0, link=LINK)
    >>> found.worst[["value", "unit"]].round(0)
                                      value unit
    actuator, positive                507.0    N
    actuator, negative              -1113.0    N
    down-lock, positive               398.0    N
    down-lock, negative              -285.0    N
    up-lock, positive                 768.0    N
    up-lock, negative                -470.0    N
    bearing 1, thrust                 191.0    N
    bearing 1, radial                 842.0    N
    bearing 2, radial                 759.0    N
    down-lock, least locking moment     3.0  N m
    """

    labels: NDArray[np.str_]
    state: Items[State]
    angle: Annotated[Numbers, Limits("rad", shape=(-1,))]
    loads: PointLoads
    supports: tuple[tuple[Support, ...], ...]
    reactions: LegReactions
    held: PointLoads
    locking_moment: Annotated[OptionalNumbers, Limits("N m", shape=(-1,), finite=False)] = default(None)
    assumptions: Annotated[Items[str], Limits(items=0)] = default(())

    def __post_init__(self) -> None:
        super().__post_init__()
        parts = (
            self.labels,
            self.state,
            self.angle,
            self.loads.force,
            self.supports,
            self.reactions.link_force,
        )
        counts = [len(one) for one in parts]
        if len(set(counts)) > 1:
            reject("RetractionCases: cases of its parts", counts, "equally many")

    @property
    def held_by(self) -> tuple[str, ...]:
        """What holds the gear in each case: "actuator", "down-lock" or "up-lock"."""
        return tuple(_HOLDS[one] for one in self.state)

    @property
    def groups(self) -> tuple[SupportGroup, ...]:
        """The cases by their supports, for `Strut` and `beam.margins`: one group for each lock and turn."""
        lines: dict[bytes, list[int]] = {}
        for case, supports in enumerate(self.supports):
            parts = [np.r_[one.at, one.arm, one.translations.ravel()] for one in supports]
            lines.setdefault(np.concatenate(parts).round(9).tobytes(), []).append(case)
        return tuple(
            SupportGroup(
                supports=self.supports[rows[0]], labels=self.labels[rows], loads=self.loads.take(rows)
            )
            for rows in lines.values()
        )

    @property
    def unlocked(self) -> NDArray[np.bool_]:
        """True where the knee of the brace leaves its stop, in compression or in tension, shape (case,)."""
        if self.locking_moment is None:
            return np.zeros(len(self.labels), dtype=bool)
        return np.asarray(self.locking_moment <= 0)

    @property
    def table(self) -> "pd.DataFrame":
        """Reactions of every case, one row each [N, N m, deg]."""
        import pandas as pd

        r, held = self.reactions, np.array(self.held_by)
        folds = "UNLOCKED: the brace folds"
        straight = "knee off its stop: the brace is straight in tension, unlocked if the load reverses"
        pushed = (held == "up-lock") & (r.link_force < 0)
        note = np.where(pushed, "the lock pushes: a hook needs a stop", "")
        return pd.DataFrame(
            {
                "case": self.labels,
                "state": self.state,
                "angle_deg": np.degrees(self.angle),
                "held_by": held,
                "link_force": r.link_force,
                "thrust": r.thrust,
                "radial_1": r.radial[:, 0],
                "radial_2": r.radial[:, 1],
                "locking_moment": np.inf if self.locking_moment is None else self.locking_moment,
                "note": np.where(self.unlocked, np.where(r.link_force > 0, folds, straight), note),
            }
        )

    @property
    def worst(self) -> "pd.DataFrame":
        """Largest reactions and least locking moment, indexed by what they are, with the case of each."""
        import pandas as pd

        table, rows = self.table, {}
        for name in dict.fromkeys(self.held_by):
            force = table["link_force"][table["held_by"] == name]
            if force.max() > 0:
                rows[f"{name}, positive"] = (force.max(), "N", force.idxmax())
            if force.min() < 0:
                rows[f"{name}, negative"] = (force.min(), "N", force.idxmin())
        for column, name in (
            ("thrust", "bearing 1, thrust"),
            ("radial_1", "bearing 1, radial"),
            ("radial_2", "bearing 2, radial"),
        ):
            size = table[column].abs()
            rows[name] = (size.max(), "N", size.idxmax())
        if self.locking_moment is not None and np.isfinite(self.locking_moment).any():
            least = table["locking_moment"]
            rows["down-lock, least locking moment"] = (least.min(), "N m", least.idxmin())
        found = pd.DataFrame(rows, index=["value", "unit", "row"]).T
        found["case"] = self.labels[found.pop("row").to_numpy(dtype=int)]
        return found.astype({"value": float})


@checked
def retraction_cases(
    gear: RetractingGear,
    mold_line: MoldLine,
    *,
    bearings: Bearings,
    down_lock: Lock | OverCenterBrace,
    up_lock: Lock,
    conditions: Sequence[FlightCondition],
    duration: Annotated[float, Limits("s", at_least=0.05, at_most=120.0, cause="given in minutes or ms?")],
    steps: Annotated[int, Limits("-", at_least=10, at_most=10**4)] = 10,
    link: TrailingLink | None = None,
    wheel: WheelPart = 0,
    air_points: AirPoints = None,
    air_shares: Shares = None,
) -> RetractionCases:
    """Carry flight conditions of the gear to loads on the strut's axis, each with its supports.

    Parameters
    ----------
    gear : RetractingGear
        What turns; cut the strut into as many parts as its inertia load asks for.
    mold_line : MoldLine
        The strut with the gear extended.
    bearings : array_like, shape (2, 3)
        Centers of the trunnion bearings on the pivot axis; the first one takes the thrust too [m].
    down_lock : Lock or OverCenterBrace
        What locks the gear down.
    up_lock : Lock
        What locks the gear up.
    conditions : sequence of FlightCondition
        Conditions, of different names; `flight_conditions` gives those of 23.729.
    duration : float
        Time from lock to lock [s].
    steps : int
        Steps of time from lock to lock [-].
    link : TrailingLink, optional
        The link at the tip. Loads on wheel and link then reach the strut at its pivot and, through the extended shock,
        at the bracket. Without one they enter at the tip.
    wheel : int
        Which part of the gear is the wheel, from 0 [-].
    air_points, air_shares : array_like, shapes (point, 3) and (point,), optional
        Points that share the air load, extended, and their shares; see `leg_loads` [m, -].

    Returns
    -------
    RetractionCases
        Loads, supports and reactions; cases of a condition in the order of time.

    Raises
    ------
    ValueError
        If bearings, locks or brace cannot hold the leg, the brace cannot reach over the travel, two conditions have one
        name, or the tip of the mold line is not at the pivot of the link.

    Notes
    -----
    A load enters the strut at the station of its point, at root or tip where the point lies beyond them. Loads of
    points beyond the tip and the couples of the wheel are loads on wheel and link. Strut axes turn with the gear, so
    every support keeps its place and only the line of the actuator turns. The brace carries nothing in transit. Left
    out: the gyroscopic couple of the airplane's own pitch and roll rate.

    Examples
    --------
    See `RetractionCases`.

    >>> import tarn  # examples/tarn.py
    >>> from beam.gear import PivotAxis
    >>> T = tarn.TRUNNION
    >>> gear = RetractingGear(axis=PivotAxis(point=T, direction=(-1, 0, 0), angle=1.4), mass=[14], center=[T + (0, 0.2,
    ...     -0.5)], actuator_on_gear=T + (0, 0, -0.2), actuator_on_airplane=T + (0, -0.5, 0.2))
    >>> hook = Lock(on_gear=T + (0, 0.2, -0.5), line=(0, 0, 1))
    >>> found = retraction_cases(gear, tarn.MOLD_LINE, bearings=[T + (0.1, 0, 0), T - (0.1, 0, 0)], up_lock=hook,
    ...     down_lock=Lock(on_gear=T + (0, 0.1, -0.25), line=(0, 1, 0)), duration=5.0,
    ...     conditions=[FlightCondition(name="pull-up", state="up", load_factor=(0, 0, 3.8))])
    >>> str(found.labels[0]), found.reactions.link_force.round(0)  # 3.8 g m on the hook
    ('pull-up, 80.2 deg', array([522.]))
    """
    names = [one.name for one in conditions]
    if twice := sorted({name for name in names if names.count(name) > 1}):
        reject("retraction_cases: names of conditions", twice, "all different")
    points = np.asarray(bearings)
    check_bearings(gear.axis, points)
    if isinstance(down_lock, OverCenterBrace):
        down_lock.fold(gear.axis, np.linspace(0.0, gear.axis.angle, 91))
    holders = {"down-lock": down_lock, "up-lock": up_lock, "actuator": None}
    air = {"wheel": wheel, "air_points": air_points, "air_shares": air_shares}
    blocks = [_leg_loads(gear, one, duration, steps, air) for one in conditions]
    reactions = [
        leg_reactions(gear, loads, bearings=points, held_by=holders[_HOLDS[one.state]])
        for one, (loads, _) in zip(conditions, blocks, strict=True)
    ]
    joined = {
        name: np.concatenate([getattr(r, name) for r in reactions])
        for name in ("bearing_force", "link_force", "link_line", "link_point")
    }
    counts = [len(loads.angle) for loads, _ in blocks]
    state = np.repeat([one.state for one in conditions], counts)
    angle = np.concatenate([loads.angle for loads, _ in blocks])
    trunnion, supports = _bearings(gear, mold_line, points), list[tuple[Support, ...]]()
    for one, (loads, _) in zip(conditions, blocks, strict=True):
        where = loads.angle if one.moving else loads.angle[:1]
        held_by = holders[_HOLDS[one.state]]
        turned = [(*trunnion, _holder(gear, mold_line, held_by, float(q))) for q in where]
        supports += turned if one.moving else turned * len(loads.angle)
    locking = None
    if isinstance(down_lock, OverCenterBrace):
        factor = np.repeat([one.load_factor for one in conditions], counts, axis=0)
        moment = down_lock.locking_moment(joined["link_force"], factor)
        locking = np.where(state == "down", moment, np.inf)
    return RetractionCases(
        labels=np.array([label for _, labels in blocks for label in labels]),
        state=state.tolist(),
        angle=angle,
        loads=_on_strut(gear, mold_line, link, [loads for loads, _ in blocks], wheel),
        held=_held(gear, mold_line, holders, state, angle, joined["link_force"], joined["link_line"]),
        supports=tuple(supports),
        reactions=LegReactions(**joined, axis=gear.axis.direction),
        locking_moment=locking,
        assumptions=(
            *_ASSUMED,
            *(_BRACE_ASSUMED if locking is not None else ()),
            _NO_LINK if link is None else _EXTENDED,
        ),
    )


def _leg_loads(
    gear: RetractingGear, one: FlightCondition, duration: float, steps: int, air: dict[str, Any]
) -> tuple[LegLoads, list[str]]:
    """Loads on the leg of one condition, with a label for each case."""
    flight: dict[str, Any] = {
        "load_factor": one.load_factor,
        "dynamic_pressure": one.dynamic_pressure,
        "sideslip_deg": one.sideslip_deg,
    }
    if not one.moving:
        q = 0.0 if one.state == "down" else gear.axis.angle
        loads = leg_loads(gear, q, **flight, **air)
        return _with_actuator(gear, loads, one.actuator_force), [f"{one.name}, {np.degrees(q):.1f} deg"]
    extending = one.state == "extending"
    motion = swing(
        gear,
        duration=duration,
        steps=steps,
        wheel_speed=one.wheel_speed,
        brake_torque=one.brake_torque,
        extending=extending,
        **flight,
    )
    spin = np.full_like(motion.time, one.wheel_speed)
    braking = np.zeros_like(spin)
    if one.brake_torque:
        slowing = one.brake_torque / gear.wheel_inertia
        # where the wheel stops within the travel, `swing` has two samples at that time: the brake on, and just off
        last = np.searchsorted(motion.time, one.wheel_speed / slowing * (1 - 1e-12))
        braking = np.where(np.arange(len(spin)) <= last, one.brake_torque, 0.0)
        spin = np.maximum(spin - slowing * motion.time, 0.0)
    loads = leg_loads(
        gear,
        motion.angle.clip(0.0, gear.axis.angle),
        angle_rate=motion.angle_rate,
        angle_acceleration=motion.angle_acceleration,
        wheel_speed=spin,
        brake_torque=braking,
        friction=motion.friction,
        **flight,
        **air,
    )
    labels = []
    for i, (q, t) in enumerate(zip(np.degrees(motion.angle), motion.time, strict=True)):
        stopped = ", wheel stopped" if one.brake_torque and not braking[i] else ""
        labels.append(f"{one.name}, {q:.1f} deg, {t:.3f} s{stopped}")
    return _with_actuator(gear, loads, 0.0), labels


def _with_actuator(gear: RetractingGear, loads: LegLoads, force: float) -> LegLoads:
    """Add the force of an actuator while a lock holds the gear."""
    point, line = holding_line(gear, None, loads.angle)
    return LegLoads(
        names=(*loads.names, "actuator"),
        angle=loads.angle,
        extended=np.concatenate([loads.extended, [gear.actuator_on_gear]]),
        points=np.concatenate([loads.points, point[:, None]], axis=1),
        force=np.concatenate([loads.force, force * line[:, None]], axis=1),
        moment=np.concatenate([loads.moment, np.zeros_like(line)[:, None]], axis=1),
    )


def _station(mold_line: MoldLine, points: Array) -> Array:
    """Stations (...) of points (..., 3) of the extended gear, not limited to the strut."""
    return np.asarray((points - mold_line.root) @ mold_line.frame[0])


def _on_strut(
    gear: RetractingGear, mold_line: MoldLine, link: TrailingLink | None, blocks: list[LegLoads], wheel: int
) -> PointLoads:
    """Loads of all conditions on the strut's axis; loads on wheel and link through the link if there is one."""
    names, at = blocks[0].names, blocks[0].extended
    force, moment = (
        np.concatenate([into_leg(gear.axis, one.angle, getattr(one, what)) for one in blocks])
        for what in ("force", "moment")
    )
    station, length = _station(mold_line, at), mold_line.length
    if link is not None:
        miss = float(np.linalg.norm(mold_line.tip - link.pivot))
        if miss > 1e-6:
            what = "retraction_cases: mold_line to link pivot [m]"
            reject(what, f"{miss:.3g} apart", "the tip at the pivot")
        out = (station > length * (1 + 1e-9)) | np.isin(names, [*_WHEEL, f"part {wheel + 1}"])
        body = free_body(
            pivot=link.pivot,
            hinge=link.hinge,
            lug=link.shock_on_link,
            bracket=link.shock_on_strut,
            at=at[out],
            force=force[:, out],
            moment=moment[:, out].sum(axis=1),
        )
        at = np.concatenate([at[~out], [link.pivot, link.shock_on_strut]])
        reaction = np.stack([-body.pivot_force, -body.shock_on_link], axis=1)
        force = np.concatenate([force[:, ~out], reaction], axis=1)
        couple = np.stack([-body.pivot_moment, np.zeros_like(body.pivot_moment)], axis=1)
        moment = np.concatenate([moment[:, ~out], couple], axis=1)
        station = _station(mold_line, at)
    return mold_line.point_loads(station.clip(0.0, length), np.broadcast_to(at, force.shape), force, moment)


def _bearings(gear: RetractingGear, mold_line: MoldLine, points: Array) -> tuple[Support, ...]:
    """Trunnion bearings, which enter the strut at its root."""
    n = gear.axis.direction
    across = np.linalg.svd(n[None])[2][1:]
    return (
        mold_line.support(0.0, points[0], [n, *across], name="trunnion bearing 1"),
        mold_line.support(0.0, points[1], across, name="trunnion bearing 2"),
    )


def _holder(gear: RetractingGear, mold_line: MoldLine, held_by: _DOWN | None, angle: float) -> Support:
    """What holds the leg at a turn, on the axes of the extended gear."""
    q = np.array([angle])
    line = into_leg(gear.axis, q, holding_line(gear, held_by, q)[1])[0]
    pin = gear.actuator_on_gear if held_by is None else held_by.on_gear
    name = "actuator" if held_by is None else "brace" if isinstance(held_by, OverCenterBrace) else "lock"
    station = float(_station(mold_line, pin).clip(0.0, mold_line.length))
    return mold_line.support(station, pin, [line], name=name)


def _held(
    gear: RetractingGear,
    mold_line: MoldLine,
    holders: dict[str, _DOWN | None],
    state: NDArray[np.str_],
    angle: Array,
    force: Array,
    line: Array,
) -> PointLoads:
    """What each holder puts on the strut, at the station where it holds."""
    pins = np.array([gear.actuator_on_gear if one is None else one.on_gear for one in holders.values()])
    by = np.array([list(holders).index(_HOLDS[one]) for one in state.tolist()])
    on = np.zeros((len(by), len(pins), 3))
    on[np.arange(len(by)), by] = into_leg(gear.axis, angle, force[:, np.newaxis] * line)
    station = _station(mold_line, pins).clip(0.0, mold_line.length)
    return mold_line.point_loads(station, np.broadcast_to(pins, on.shape), on, np.zeros_like(on))


@checked
def sizing_cases(retraction: RetractionCases, design: DesignCases | None = None) -> SupportGroup:
    """Cases of the gear in the air as loads on the strut clamped at its root, after those on the ground.

    Parameters
    ----------
    retraction : RetractionCases
        The gear in the air.
    design : DesignCases, optional
        The gear on the ground.

    Returns
    -------
    SupportGroup
        Without supports, so ready for `beam.lightest` and `beam.margins` on a strut that is clamped at its root: the
        labels and the loads of all cases at the stations of both.

    Raises
    ------
    ValueError
        If an input is of another type.

    Notes
    -----
    Two bearings at the root and one holder hold the strut statically: the holder's force as a load, and the root as
    what takes the rest, give the same section forces everywhere outboard of the root, and so the same margins. Only
    what follows the motion of the whole strut (deflection, twist, column buckling) needs the supports: `groups`.

    Examples
    --------
    >>> from tarn_retraction import BEARINGS, CONDITIONS, DOWN_LOCK, LINK, RETRACTING, UP_LOCK  # examples, invented
    >>> import tarn
    >>> found = retraction_cases(RETRACTING, tarn.MOLD_LINE, bearings=BEARINGS, down_lock=DOWN_LOCK, up_lock=UP_LOCK,
    ...                          conditions=CONDITIONS[-2:], duration=6.0, link=LINK)
    >>> group = sizing_cases(found)
    >>> group.supports, group.loads.force.shape == (2, len(group.loads.at), 3)
    ((), True)
    """
    own = [retraction.loads, retraction.held]
    air = {name: np.concatenate([getattr(one, name) for one in own], axis=1) for name in _ON_STRUT}
    at = np.concatenate([one.at for one in own])
    labels, level = retraction.labels, ["limit"] * len(retraction.labels)
    if design is None:
        return SupportGroup(supports=(), labels=labels, loads=PointLoads(at=at, **air))
    ground = design.loads
    wide = ((0, 0), (0, len(at)), (0, 0)), ((0, 0), (len(ground.at), 0), (0, 0))
    both = {
        name: np.concatenate([np.pad(getattr(ground, name), wide[0]), np.pad(air[name], wide[1])])
        for name in _ON_STRUT
    }
    levels = [*(ground.level or ["limit"] * len(design.labels)), *level]
    loads = PointLoads(at=np.concatenate([ground.at, at]), **both, level=levels)
    return SupportGroup(supports=(), labels=np.concatenate([design.labels, labels]), loads=loads)


@checked
def locked_down_supports(
    gear: RetractingGear, mold_line: MoldLine, *, bearings: Bearings, down_lock: Lock | OverCenterBrace
) -> tuple[Support, ...]:
    """Supports of the strut with the gear locked down, as for ground loads.

    Parameters
    ----------
    gear : RetractingGear
        What turns.
    mold_line : MoldLine
        The strut with the gear extended.
    bearings : array_like, shape (2, 3)
        Centers of the trunnion bearings on the pivot axis; the first one takes the thrust too [m].
    down_lock : Lock or OverCenterBrace
        What locks the gear down.

    Returns
    -------
    tuple of Support
        Both bearings and the down-lock.

    Raises
    ------
    ValueError
        If a bearing is off the axis.

    Examples
    --------
    >>> import tarn
    >>> from tarn_retraction import BEARINGS, DOWN_LOCK, RETRACTING  # examples, invented
    >>> found = locked_down_supports(RETRACTING, tarn.MOLD_LINE, bearings=BEARINGS, down_lock=DOWN_LOCK)
    >>> [one.name for one in found]
    ['trunnion bearing 1', 'trunnion bearing 2', 'brace']
    """
    points = np.asarray(bearings)
    check_bearings(gear.axis, points)
    return (*_bearings(gear, mold_line, points), _holder(gear, mold_line, down_lock, 0.0))


@checked
def down_lock_force(
    gear: RetractingGear, mold_line: MoldLine, loads: PointLoads, *, down_lock: Lock | OverCenterBrace
) -> Array:
    """Force of the down-lock under any loads on the strut, such as those of `beam.design_cases`.

    Parameters
    ----------
    gear : RetractingGear
        What turns.
    mold_line : MoldLine
        The strut with the gear extended.
    loads : PointLoads
        Loads on the strut.
    down_lock : Lock or OverCenterBrace
        What locks the gear down.

    Returns
    -------
    ndarray, shape (..., case)
        Force: of a brace positive in compression, ready for `OverCenterBrace.locking_moment`; of a lock positive where
        it pulls along its line [N].

    Raises
    ------
    ValueError
        If the line of the down-lock has no moment about the pivot axis.

    Notes
    -----
    s = -M_loads . n / ((r x l) . n), moments about the pivot axis n.

    Examples
    --------
    >>> import tarn  # examples/tarn.py
    >>> from beam.gear import PivotAxis
    >>> T = tarn.TRUNNION
    >>> gear = RetractingGear(axis=PivotAxis(point=T, direction=(-1, 0, 0), angle=1.4), mass=[14], center=[T + (0, 0.2,
    ...     -0.5)], actuator_on_gear=T + (0, 0, -0.2), actuator_on_airplane=T + (0, -0.5, 0.2))
    >>> up = tarn.MOLD_LINE.point_loads([0.62], [[T + (0, 0.25, -0.5)]], [[[0, 0, 1000.0]]])
    >>> down_lock_force(gear, tarn.MOLD_LINE, up, down_lock=Lock(on_gear=T + (0, 0.1, -0.25), line=(0, -1, 0)))
    array([1000.])
    """
    axis, frame = gear.axis, mold_line.frame
    point, line = (one[0] for one in holding_line(gear, down_lock, np.zeros(1)))
    arm = float(np.cross(point - axis.point, line) @ axis.direction)
    if abs(arm) <= LEAST_ARM * float(np.linalg.norm(point - axis.point)):
        cause = "the line of the down-lock passes through the axis or runs along it"
        reject("down_lock_force: arm of the lock about the axis [m]", f"{arm:.3g}", "not zero", cause)
    force, moment = out_of(frame, loads.force), out_of(frame, loads.moment)
    lever = mold_line.position(loads.at) - axis.point
    return np.asarray(-((moment + np.cross(lever, force)).sum(axis=-2) @ axis.direction) / arm)
