"""Statics of the swinging leg in space: what acts on it, and the reactions of trunnion and holder.

The leg is a rigid body with one degree of freedom. The trunnion has five reactions, those of two bearings on its axis:
both take radial force, the first one thrust too. The sixth reaction is the force of what holds the leg: the actuator, a
lock or a brace. Six equations of equilibrium give the six reactions.
"""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.axes import rotation
from beam.gear.parts.rotation import position, slope
from beam.gear.retraction.brace import Lock, OverCenterBrace, check_travel
from beam.gear.retraction.pivot_axis import PivotAxis
from beam.gear.retraction.retracting_gear import LEAST_ARM, RetractingGear
from materials.checks import Array, Frozen, Items, Limits, Numbers, checked, common_shape, reject

Bearings = Annotated[ArrayLike, Limits("m", shape=(2, 3))]
WheelPart = Annotated[int, Limits("-", at_least=0)]
AirPoints = Annotated[ArrayLike | None, Limits("m", shape=(-1, 3))]
Shares = Annotated[ArrayLike | None, Limits("-", shape=(-1,), at_least=0.0, at_most=1.0)]
OFF_AXIS = 1e-4
"""Largest distance of a bearing from the pivot axis [m]."""


class LegLoads(Frozen):
    """Loads on the leg at each turn, airplane axes, without the reactions; from `leg_loads`.

    Parameters
    ----------
    names : tuple of str
        Name of each load.
    angle : array_like, shape (case,)
        Turn from extended [rad].
    extended : array_like, shape (load, 3)
        Points of the loads with the gear extended [m].
    points : array_like, shape (case, load, 3)
        Points of the loads at the turn [m].
    force : array_like, shape (case, load, 3)
        Forces on the leg [N].
    moment : array_like, shape (case, load, 3)
        Couples on the leg [N m].

    Examples
    --------
    >>> zero = [[[0.0, 0.0, 0.0]]]
    >>> LegLoads(names=["part 1"], angle=[0.0], extended=zero[0], points=zero, force=zero, moment=zero).names
    ('part 1',)
    """

    names: Items[str]
    angle: Annotated[Numbers, Limits("rad", shape=(-1,))]
    extended: Annotated[Numbers, Limits("m", shape=(-1, 3))]
    points: Annotated[Numbers, Limits("m", shape=(-1, -1, 3))]
    force: Annotated[Numbers, Limits("N", shape=(-1, -1, 3))]
    moment: Annotated[Numbers, Limits("N m", shape=(-1, -1, 3))]


@checked
def leg_loads(
    gear: RetractingGear,
    angle: Annotated[ArrayLike, Limits("rad")],
    *,
    angle_rate: Annotated[ArrayLike, Limits("rad/s")] = 0.0,
    angle_acceleration: Annotated[ArrayLike, Limits("rad/s2")] = 0.0,
    load_factor: Annotated[ArrayLike, Limits("-", last=(3,))] = (0.0, 0.0, 1.0),
    dynamic_pressure: Annotated[
        ArrayLike, Limits("Pa", at_least=0.0, at_most=5e4, cause="given as a speed?")
    ] = 0.0,
    sideslip_deg: Annotated[ArrayLike, Limits("deg", at_least=-45.0, at_most=45.0)] = 0.0,
    wheel_speed: Annotated[
        ArrayLike, Limits("rad/s", at_least=0.0, at_most=1e3, cause="given in rpm or m/s?")
    ] = 0.0,
    brake_torque: Annotated[ArrayLike, Limits("N m", at_least=0.0, at_most=1e5)] = 0.0,
    friction: Annotated[ArrayLike, Limits("N m")] = 0.0,
    wheel: WheelPart = 0,
    air_points: AirPoints = None,
    air_shares: Shares = None,
) -> LegLoads:
    """All loads on the leg in flight, at every turn: weight, inertia, gyroscopic couple, brake, air, door, friction.

    Parameters
    ----------
    gear : RetractingGear
        What turns.
    angle : array_like, shape () or (case,)
        Turn q from extended; the other arrays have its shape or one number [rad].
    angle_rate : array_like, shape () or (case,)
        Rate of the turn, positive toward stowed [rad/s].
    angle_acceleration : array_like, shape () or (case,)
        Acceleration of the turn [rad/s2].
    load_factor : array_like, shape (3,) or (case, 3)
        Load factors n of the airplane aft, starboard and up [-].
    dynamic_pressure : array_like, shape () or (case,)
        rho V**2 / 2 of the air speed [Pa].
    sideslip_deg : array_like, shape () or (case,)
        Sideslip, positive with the wind from port [deg].
    wheel_speed : array_like, shape () or (case,)
        Speed w at which the wheel still rolls forward [rad/s].
    brake_torque : array_like, shape () or (case,)
        Torque of the brake on the turning wheel [N m].
    friction : array_like, shape () or (case,)
        Friction moment about the axis, positive toward stowed [N m].
    wheel : int
        Which part is the wheel, from 0; gyroscopic couple, brake and the couple of own inertia act there [-].
    air_points : array_like, shape (point, 3), optional
        Points among which the air load is shared, with the gear extended; the drag center if not given [m].
    air_shares : array_like, shape (point,), optional
        Share of each point; they sum to 1 and their center is the drag center [-].

    Returns
    -------
    LegLoads
        One row per case.

    Raises
    ------
    ValueError
        If a turn is beyond the travel, the wheel's data are missing, or the shares miss the drag center.

    Notes
    -----
    A part of mass m at p has -m g n - m (p' q'' + p'' q'^2), the primes of p by q. The wheel rolls forward about -e,
    e its axle toward starboard; its angular momentum is H = -I w e. Leg and wheel turn at W = q' n, so the wheel puts
    the gyroscopic couple -W x H on the leg, of size I w W where e is square to the axis n. A brake puts -T e on it.
    The couple of own inertia has its part about the axis only. Source: rigid-body mechanics, derived here.

    Examples
    --------
    >>> axis = PivotAxis(point=(0, 0, 0), direction=(-1, 0, 0), angle=1.5)
    >>> gear = RetractingGear(axis=axis, mass=[20], center=[(0, 0, -0.8)], actuator_on_gear=(0, -0.05, -0.25),
    ...                       actuator_on_airplane=(0, -0.5, 0.5), wheel_axle=(0, 1, 0), wheel_inertia=0.5)
    >>> loads = leg_loads(gear, 0.0, angle_rate=0.6, wheel_speed=150.0)
    >>> loads.moment[0, loads.names.index("gyroscopic couple")].round(6).tolist()  # 0.5 x 150 x 0.6
    [0.0, 0.0, -45.0]
    """
    axis, n = gear.axis, gear.axis.direction
    given = (angle, angle_rate, angle_acceleration, dynamic_pressure, sideslip_deg, wheel_speed, brake_torque)
    factor = np.asarray(load_factor)
    what = "leg_loads: angle and the others"
    shape = common_shape(what, (1,), factor.shape[:-1], *(np.shape(one) for one in (*given, friction)))
    if len(shape) != 1:
        reject(what, f"shape {shape}", "one row of cases")
    q, rate, acceleration, pressure, slip, spin, brake = (np.broadcast_to(one, shape) for one in given)
    factor = np.broadcast_to(factor, (*shape, 3))
    check_travel("leg_loads", axis, q)
    if wheel >= len(gear.mass):
        reject("leg_loads: wheel [-]", wheel, f"< {len(gear.mass)}, the number of parts")
    if (brake.any() or spin.any()) and (gear.wheel_axle is None or not gear.wheel_inertia):
        got = f"wheel_axle {gear.wheel_axle}, wheel_inertia {gear.wheel_inertia:g}"
        reject("leg_loads: wheel of the gear", got, "an axle and an inertia above zero, where it turns")
    at_air, shares = _air_points(gear, air_points, air_shares)

    first, second = slope_of(axis, gear.center, q), curvature_of(axis, gear.center, q)
    along, square = acceleration[:, None, None], rate[:, None, None] ** 2
    parts = -gear.mass[:, None] * (g * factor[:, None] + first * along + second * square)
    blow = np.stack(
        [
            gear.drag_area * np.cos(np.radians(slip)),
            gear.broadside * np.sin(np.radians(slip)),
            np.zeros(shape),
        ],
        axis=-1,
    )
    fraction = q / axis.angle
    exposed = np.ones(shape) if gear.exposure is None else gear.exposure(fraction)
    air = (pressure * exposed)[:, None, None] * blow[:, None] * shares[:, None]
    axle = np.zeros((*shape, 3)) if gear.wheel_axle is None else axis.turned(gear.wheel_axle, q)
    couples = {
        "own inertia": -gear.own_inertia * acceleration[:, None] * n,
        "gyroscopic couple": (gear.wheel_inertia * spin * rate)[:, None] * np.cross(n, axle),
        "brake": -brake[:, None] * axle,
        "pivot friction": np.broadcast_to(friction, shape)[:, None] * n,
    }
    door_at, door = axis.point, np.zeros((*shape, 3))
    if gear.door is not None:
        door_at = gear.door.on_gear
        line = axis.at(door_at, q) - gear.door.on_airplane
        door = gear.door.force(fraction)[:, None] * line / np.linalg.norm(line, axis=-1, keepdims=True)

    names = [f"part {i + 1}" for i in range(len(gear.mass))]
    names += [f"air {i + 1}" for i in range(len(shares))] + ["door rod", *couples]
    at_wheel = gear.center[wheel]
    extended = np.concatenate([gear.center, at_air, [door_at, at_wheel, at_wheel, at_wheel, axis.point]])
    force = np.concatenate([parts, air, door[:, None], np.zeros((*shape, 4, 3))], axis=1)
    moment = np.zeros_like(force)
    moment[:, -4:] = np.stack(list(couples.values()), axis=1)
    points = position_of(axis, extended, q)
    return LegLoads(names=names, angle=q, extended=extended, points=points, force=force, moment=moment)


def position_of(axis: PivotAxis, extended: Array, angle: Array) -> Array:
    """Points (case, point, 3) of the gear, extended (point, 3), at turns (case,)."""
    return np.stack([position(terms, angle) for terms in axis.terms(extended)], axis=1)


def slope_of(axis: PivotAxis, extended: Array, angle: Array) -> Array:
    """First derivative (case, point, 3) of the points by the turn."""
    return np.stack([slope(terms, angle) for terms in axis.terms(extended)], axis=1)


def curvature_of(axis: PivotAxis, extended: Array, angle: Array) -> Array:
    """Second derivative (case, point, 3) of the points by the turn."""
    return axis.terms(extended)[:, 0] - position_of(axis, extended, angle)


def _air_points(
    gear: RetractingGear, points: ArrayLike | None, shares: ArrayLike | None
) -> tuple[Array, Array]:
    """Points (point, 3) of the air load, extended, and their shares (point,)."""
    if (points is None) != (shares is None):
        reject("leg_loads: air_points, air_shares", "one of the two", "both or none")
    center = gear.axis.point if gear.drag_center is None else gear.drag_center
    if points is None or shares is None:
        return np.array([center]), np.ones(1)
    at, part = np.asarray(points), np.asarray(shares)
    if len(at) != len(part) or not len(part):
        reject(
            "leg_loads: air_points, air_shares", f"{len(at)} and {len(part)}", "equally many, at least one"
        )
    if abs(part.sum() - 1) > 1e-9:
        reject("leg_loads: sum of air_shares [-]", f"{part.sum():g}", "1", "given in percent?")
    off = float(np.linalg.norm(part @ at - center))
    if off > 1e-3:
        cause = "else the actuator of `swing` works against another air load"
        reject("leg_loads: center of air_points from the drag center [m]", f"{off:.3g}", "<= 0.001", cause)
    return at, part


class LegReactions(Frozen):
    """Reactions on the leg, airplane axes; from `leg_reactions`.

    Parameters
    ----------
    bearing_force : array_like, shape (case, 2, 3)
        Forces of the trunnion bearings on the leg [N].
    link_force : array_like, shape (case,)
        Force of what holds the leg: of actuator and brace positive in compression, of a lock positive where it
        pulls along its line [N].
    link_line : array_like, shape (case, 3)
        Direction on the leg of a positive force [-].
    link_point : array_like, shape (case, 3)
        Where it acts on the leg [m].
    axis : array_like, shape (3,)
        Direction of the pivot axis [-].

    Examples
    --------
    >>> found = LegReactions(bearing_force=[[[3.0, 0, 4], [0, 0, 1]]], link_force=[5.0], link_line=[[0, 0, 1]],
    ...                      link_point=[[0, 0, 0]], axis=[1, 0, 0])
    >>> found.thrust.tolist(), found.radial.tolist()
    ([3.0], [[4.0, 1.0]])
    """

    bearing_force: Annotated[Numbers, Limits("N", shape=(-1, 2, 3))]
    link_force: Annotated[Numbers, Limits("N", shape=(-1,))]
    link_line: Annotated[Numbers, Limits("-", shape=(-1, 3))]
    link_point: Annotated[Numbers, Limits("m", shape=(-1, 3))]
    axis: Annotated[Numbers, Limits("-", shape=(3,))]

    @property
    def thrust(self) -> Array:
        """Thrust of the first bearing along the axis, shape (case,) [N]."""
        return np.asarray(self.bearing_force[:, 0] @ self.axis)

    @property
    def radial(self) -> Array:
        """Radial forces of the bearings, shape (case, 2) [N]."""
        along = (self.bearing_force @ self.axis)[..., None] * self.axis
        return np.linalg.norm(self.bearing_force - along, axis=-1)


@checked
def leg_reactions(
    gear: RetractingGear,
    loads: LegLoads,
    *,
    bearings: Bearings,
    held_by: Lock | OverCenterBrace | None = None,
) -> LegReactions:
    """Reactions of trunnion bearings and of what holds the leg.

    Parameters
    ----------
    gear : RetractingGear
        What turns.
    loads : LegLoads
        Loads, from `leg_loads`.
    bearings : array_like, shape (2, 3)
        Centers of the trunnion bearings on the pivot axis; the first one takes the thrust too [m].
    held_by : Lock or OverCenterBrace, optional
        What alone keeps the leg from turning; the actuator if not given.

    Returns
    -------
    LegReactions
        One row per case.

    Raises
    ------
    ValueError
        If a bearing is off the axis or the line of what holds the leg has no moment about it. If a brace, which locks
        the extended gear, is asked for at another turn.

    Notes
    -----
    With the resultant F, M of loads and link about the first bearing, and d the signed distance of the second one along
    n: the link has s = -M_loads . n / ((r x l) . n), the second bearing f2 = n x M / d, the first one f1 = -F - f2.

    Examples
    --------
    >>> axis = PivotAxis(point=(0, 0, 0), direction=(-1, 0, 0), angle=1.5)
    >>> gear = RetractingGear(axis=axis, mass=[20], center=[(0, 0, -0.8)], actuator_on_gear=(0, -0.05, -0.25),
    ...                       actuator_on_airplane=(0, -0.5, 0.5))
    >>> loads = leg_loads(gear, [0.0, 1.0], load_factor=(0, 0, 2))
    >>> found = leg_reactions(gear, loads, bearings=[(0.1, 0, 0), (-0.1, 0, 0)])
    >>> found.link_force.round(1).tolist(), found.radial.round(1).tolist()
    ([0.0, -1036.7], [[196.1, 196.1], [348.2, 348.2]])
    """
    axis, n = gear.axis, gear.axis.direction
    first, d = check_bearings(axis, np.asarray(bearings))
    q = loads.angle
    point, line = holding_line(gear, held_by, q)
    arm = np.cross(point - axis.point, line) @ n
    bad = np.abs(arm) <= LEAST_ARM * np.linalg.norm(point - axis.point, axis=-1)
    if bad.any():
        what = f"leg_reactions: arm of the line about the axis at {np.degrees(q[bad][0]):.4g} deg [m]"
        cause = "the line of what holds the leg passes through the axis or runs along it"
        reject(what, f"{arm[bad][0]:.3g}", "not zero", cause)
    total = loads.force.sum(axis=1)
    about = (loads.moment + np.cross(loads.points - first, loads.force)).sum(axis=1)
    force = -(about @ n) / arm
    link = force[:, None] * line
    about = about + np.cross(point - first, link)
    second = np.cross(n, about) / d
    bearing_force = np.stack([-total - link - second, second], axis=1)
    return LegReactions(
        bearing_force=bearing_force, link_force=force, link_line=line, link_point=point, axis=n
    )


def check_bearings(axis: PivotAxis, bearings: Array) -> tuple[Array, float]:
    """Refuse bearings (2, 3) off the axis or together; return the first one and the distance along the axis."""
    n = axis.direction
    off = float(np.linalg.norm(np.cross(bearings - axis.point, n), axis=-1).max())
    if off > OFF_AXIS:
        reject("bearings: distance from the pivot axis [m]", f"{off:.3g}", f"<= {OFF_AXIS:g}", "given in mm?")
    d = float((bearings[1] - bearings[0]) @ n)
    if not abs(d) > 0.01:
        reject("bearings: distance along the axis [m]", f"{abs(d):.3g}", "> 0.01", "twice the same one?")
    return bearings[0], d


def holding_line(
    gear: RetractingGear, held_by: Lock | OverCenterBrace | None, angle: Array
) -> tuple[Array, Array]:
    """Point (case, 3) and direction (case, 3) of a positive force on the leg, airplane axes, at turns (case,)."""
    if isinstance(held_by, OverCenterBrace) and (np.abs(angle) > 1e-9).any():
        far = np.degrees(angle[np.argmax(np.abs(angle))])
        limit, cause = "0: a brace locks the extended gear", "in transit the actuator holds the leg"
        reject("leg_reactions: turn of a gear that the brace locks [deg]", f"{far:.4g}", limit, cause)
    pin = gear.actuator_on_gear if held_by is None else held_by.on_gear
    point = gear.axis.at(pin, angle)
    if isinstance(held_by, Lock):
        return point, np.broadcast_to(held_by.line, point.shape)
    line = point - (gear.actuator_on_airplane if held_by is None else held_by.on_airplane)
    return point, line / np.linalg.norm(line, axis=-1, keepdims=True)


def into_leg(axis: PivotAxis, angle: Array, vector: Array) -> Array:
    """Vectors (case, ..., 3) of airplane axes on the axes that turn with the gear, those of the extended gear."""
    turn = rotation(angle[:, None] * axis.direction)
    return np.einsum("cji,c...j->c...i", turn, vector)
