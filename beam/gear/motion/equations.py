"""Equations of motion of one unit on the ground, on plain arrays; its numbers; its energy.

Coordinates: sink s of the sprung mass (down), link angle q, modes a of the strut, wheel spin W (rolling forward). A
point i of link or wheel, at r(q) on the rigid strut, is at

    X = r(q) + G(q) a - s up,   G = U + R x (r - pivot),   U, R: motion of the pivot in each mode
    Z = sum(m r') up,  z = (z_strut + sum(m G))^T up,  M = M_strut + sum(m G^T G)
    B = sum(m G^T G'),  y = sum(m G^T r') + B a

    T = m s'^2/2 + J q'^2/2 + a'^T M a'/2 - s' q' (Z + z' a) - s' z a' + q' y a' + I W^2/2

    m s'' - (Z + z' a) q'' - z a'' = (1 - L) m g - N + q'^2 (Z + z' a)' + 2 q' z' a'
    J q'' - (Z + z' a) s'' + y a'' = N d(up) + D d(aft) - F d(stroke) - g (Z + z' a)          d() by q
    M a'' - z s'' + y q''          = N d(up) + D d(aft) - F d(stroke) - g z - K a - C a' + P    d() by a
                                     - 2 q' B a' - q'^2 (sum(m G^T r'') + B' a)
    I W'                           = D r

where ' is a derivative by time on s, q, a, W and by q on the others. N ground load (up), D drag (aft), F shock force,
r rolling radius; m includes strut, link and wheel. Squared length of the shock, height and reach of the axle are taken
linear in a. Modes are measured from the strut under the hanging gear: so does the constant P = g z + F d(stroke) there.

The wheel's spin is measured against the ground, so the torque of the drag spins the wheel and does not
pass to the link; the gyroscopic couple of the spin is square to the hinge and does no work. On the modes it is left
out, as is the side force on a wheel that the strut moves sideways. Drag acts
straight aft at the axle: what a skewed hinge and a toed wheel turn of it is of second order in
their angles and left out. The other states add up what is dissipated and what the ground puts in.

State components come FIRST here; the numbers of `Unit` may be arrays that broadcast against one component, such as
one row per design. Nothing is checked here: an integrator tries states far outside any limit.
"""

from collections.abc import Callable
from functools import cached_property, partial
from typing import Annotated, NamedTuple

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.axes import attitude
from beam.flexibility import Flexibility
from beam.gear.main_gear import MainGear
from beam.gear.motion.strut_modes import strut_modes
from beam.gear.parts.rotation import lowest_point, rising_root, slope, turned, turned_slope
from beam.gear.parts.shock import Shock, ShockLaws
from beam.gear.parts.shocks import Shocks
from beam.gear.parts.tire import static_load
from materials.checks import Array, Frozen, Limits, reject, unchecked

MOTION = ("sink", "angle", "sink_rate", "angle_rate", "spin", "slip")
"""States that move with a rigid strut [m, rad, m/s, rad/s, rad/s, -]; slip is that where the tread meets the ground."""

INTEGRALS = (
    "damper_loss", "friction_loss", "tire_loss", "slip_loss", "strut_loss", "drag_impulse", "ground_work",
)  # fmt: skip
"""States that are integrals over the motion [J x 5, N s, J]."""

STATES = MOTION + INTEGRALS
"""Order of the state vector on a rigid strut; on a flexible one its modes and their rates stand between the two."""

LOSSES = slice(-len(INTEGRALS), INTEGRALS.index("strut_loss") + 1 - len(INTEGRALS))
"""States that are dissipated energy."""

LENGTH, AXLE, MASS = 0, slice(1, 3), slice(3, 5)
"""What a mode moves: squared length of the shock; axle and mass moment, both along x and z of the airplane."""

LARGEST = 0.2
"""Largest motion of the axle by the strut over the length of the link: beyond, deflections are not small [-]."""

SLIDING = 2e-4
"""Shortest time in which the tread takes up a slip, so that a light load is not a stiff equation [s]."""

SMALL_SLIP = 1e-6
"""Slip from which the friction is a straight line to zero [-]."""

Law = Callable[..., Array]


class Unit(NamedTuple):
    """Numbers and laws of the equations of motion; terms A, B, C stand for A + B cos q + C sin q.

    Numbers are floats or arrays of shape (...), terms of shape (3, ...); units as in `MainGear`; `tire_factor` is the
    load of the tire over that of `tire_load`; `up` and `aft`, shape (2, ...), are x and z of these ground axes in the
    airplane's. Of a flexible strut: `shapes`, shape (3, 5, mode), the terms of what each mode moves; `modal_mass` and
    `convected`, shape (5, mode, mode), and `forward`, shape (5, mode), those of M, B and sum(m G^T r') on 1, cos q,
    sin q, cos 2q, sin 2q.
    """

    mass: Array | float
    net_weight: Array | float
    hinge_inertia: Array | float
    mass_up: Array
    mass_aft: Array
    axle_up: Array
    axle_aft: Array
    wheel_axis_up: Array
    length: Array
    free_length: float
    hanging_angle: Array
    touch_height: Array
    wheel_mass: float
    wheel_inertia: float
    rolling_radius: float
    ground_speed: Array | float
    up: Array
    aft: Array
    modes: int
    shapes: Array
    modal_mass: Array
    convected: Array
    forward: Array
    mode_stiffness: Array
    mode_damping: Array
    preload: Array
    tread_stiffness: Array | float | None
    least_speed: float
    tire_radius: float
    tire_damping: float
    tire_load: Law
    tire_energy: Law
    ground_friction: Law
    shock: ShockLaws
    tire_factor: Array | float = 1.0


class Bent(NamedTuple):
    """What the modes of a flexible strut move at a state.

    `basis`, shape (5, ...), is 1, cos q, sin q, cos 2q, sin 2q; `shape`, shape (5, mode, ...), what each mode moves.
    Of shape (5, ...): `value`, its first and second derivative by the link angle `slope` and `curve`, of what the modes
    have moved; `rate` and `rate_slope` of what their rates move. Of shape (mode, ...): `forward`, y, its derivative
    `forward_slope`, and `turning`, B a'.
    """

    basis: Array
    shape: Array
    value: Array
    slope: Array
    curve: Array
    rate: Array
    rate_slope: Array
    forward: Array
    forward_slope: Array
    turning: Array


class Forces(NamedTuple):
    """What acts at a state, all of one shape (...); lengths [m], rates [m/s], forces [N].

    `drag` and `slip_speed` are positive aft. `rise` and `reach` are the derivatives by the link angle of the wheel's
    lowest point up and of the axle aft [m/rad]. `spring`, `damper` and `friction` are the parts of the shock's force.
    """

    stroke: Array
    arm: Array
    stroke_rate: Array
    deflection: Array
    deflection_rate: Array
    ground: Array
    ground_elastic: Array
    drag: Array
    slip_speed: Array
    rise: Array
    reach: Array
    spring: Array
    damper: Array
    friction: Array
    bent: Bent | None

    @property
    def shock(self) -> Array:
        """Force of the shock, positive when it pushes its ends apart [N]."""
        return self.spring + self.damper + self.friction


# --- from a gear to its numbers, and the states it starts from ------------------------------------------


def hanging_angle(gear: MainGear, shock: Shock | Shocks, attitude_deg: Array | float = 0.0) -> Array:
    """Link angle [rad] of each design with the wheel in the air: a little below zero by the give of the stop."""
    link, up, elastic = gear.link, attitude(attitude_deg)[..., 2], shock.laws.elastic
    length, arm = unchecked(link.shock_length), unchecked(link.shock_arm)
    weight = np.abs(_along(gear.mass_moment[1:], up)).sum(axis=0)
    most = elastic(np.zeros(())) + g * weight / float(arm(0.0))
    reach = 1.5 * most / shock.stop_stiffness

    def closing(angle: Array) -> Array:
        weight = np.sum(slope(gear.mass_moment, angle) * up, axis=-1)
        return elastic(link.free_length - length(angle)) * arm(angle) + g * weight

    return rising_root(closing, link.angle(-reach), link.angle(reach))


def _along(terms: Array, direction: Array) -> Array:
    """Terms (term, ...) of the component along directions (..., 3), of terms (term, 3)."""
    return np.einsum("ti,...i->t...", terms, direction)


def unit_of(
    gear: MainGear,
    *,
    mass: Array | float,
    lift_ratio: Array | float,
    ground_speed: Array | float,
    attitude_deg: Array | float = 0.0,
    flexibility: Flexibility | None = None,
    shock: Shock | Shocks | None = None,
    tire_factor: Array | float = 1.0,
    tread_factor: Array | float = 1.0,
) -> Unit:
    """Numbers of the equations of motion; arrays where designs differ, `shock` in place of the gear's own."""
    tread = gear.tire.fore_aft_stiffness
    link, axes = gear.link, attitude(attitude_deg)
    aft, up = axes[..., 0], axes[..., 2]
    axle_up, wheel_axis_up = _along(link.axle_terms, up), _along(link.wheel_axis_terms, up)
    shock = gear.shock if shock is None else shock
    angle = hanging_angle(gear, shock, attitude_deg)
    low, _ = lowest_point(axle_up, wheel_axis_up, gear.tire.radius, np.cos(angle), np.sin(angle))
    unit = Unit(
        mass=mass,
        net_weight=(1 - lift_ratio) * mass * g,
        hinge_inertia=gear.hinge_inertia,
        mass_up=_along(gear.mass_moment, up),
        mass_aft=_along(gear.mass_moment, aft),
        axle_up=axle_up,
        axle_aft=_along(link.axle_terms, aft),
        wheel_axis_up=wheel_axis_up,
        length=link.length_terms,
        free_length=link.free_length,
        hanging_angle=angle,
        touch_height=low,
        wheel_mass=gear.wheel_mass,
        wheel_inertia=gear.wheel_inertia,
        rolling_radius=gear.rolling_radius,
        ground_speed=ground_speed,
        up=np.stack([up[..., 0], up[..., 2]]),
        aft=np.stack([aft[..., 0], aft[..., 2]]),
        modes=0,
        shapes=np.zeros((3, 5, 0)),
        modal_mass=np.zeros((5, 0, 0)),
        convected=np.zeros((5, 0, 0)),
        forward=np.zeros((5, 0)),
        mode_stiffness=np.zeros(0),
        mode_damping=np.zeros(0),
        preload=np.zeros(0),
        tread_stiffness=None if tread is None else tread * tread_factor,
        least_speed=gear.friction.least_speed,
        tire_radius=gear.tire.radius,
        tire_damping=gear.tire.damping,
        tire_load=partial(static_load, gear.tire),
        tire_energy=unchecked(gear.tire.energy),
        ground_friction=unchecked(gear.friction.__call__),
        shock=shock.laws,
        tire_factor=tire_factor,
    )
    return unit if flexibility is None else _flexible(unit, gear, flexibility)


def _flexible(unit: Unit, gear: MainGear, flexibility: Flexibility) -> Unit:
    """The same unit on a flexible strut."""
    found = strut_modes(gear, flexibility)
    count = len(found.frequency)
    if not count:
        return unit
    both = np.concatenate([found.axle[:, [0, 2]], found.moment[:, [0, 2]]], axis=1)
    omega = 2 * np.pi * found.frequency
    unit = unit._replace(
        modes=count,
        shapes=np.concatenate([found.length[:, np.newaxis], both], axis=1),
        modal_mass=found.inertia[:, :count].copy(),
        convected=found.inertia[:, count:-1].copy(),
        forward=found.inertia[:, -1].copy(),
        mode_stiffness=omega**2,
        mode_damping=2 * flexibility.damping_ratio * omega,
        preload=np.zeros((count, *np.shape(unit.hanging_angle))),
    )
    f = forces(touchdown(unit, np.zeros(np.shape(unit.hanging_angle))), unit)
    return unit._replace(preload=-_loads_on_modes(f, unit))


class Setup(Frozen):
    """What a motion of one unit starts from: gear, mass on it, lift, speed, attitude, flexibility, bump."""

    gear: MainGear
    mass: Annotated[float, Limits("kg", above=0.0)]
    lift_ratio: Annotated[float, Limits("-", at_least=0.0, at_most=1.0)]
    ground_speed: Annotated[float, Limits("m/s", at_least=0.0)]
    attitude_deg: Annotated[float, Limits("deg")] = 0.0
    flexibility: Flexibility | None = None
    bump_height: Annotated[float, Limits("m")] = 0.0
    bump_length: Annotated[float, Limits("m", above=0.0)] = 1.0

    @cached_property
    def unit(self) -> Unit:
        """Numbers of the equations of motion."""
        return unit_of(
            self.gear,
            mass=self.mass,
            lift_ratio=self.lift_ratio,
            ground_speed=self.ground_speed,
            attitude_deg=self.attitude_deg,
            flexibility=self.flexibility,
        )

    @property
    def states(self) -> tuple[str, ...]:
        """Names of the states, in their order."""
        modes = range(1, self.unit.modes + 1)
        bent = [f"mode_{i}" for i in modes] + [f"mode_{i}_rate" for i in modes]
        return (*MOTION, *bent, *INTEGRALS)

    def ground(self, time: Array | float) -> tuple[Array | float, Array | float]:
        """Height [m] and climb [m/s] of the ground under the wheel: a bump (H / 2) (1 - cos(2 pi x / l))."""
        if self.bump_height == 0:
            return 0.0, 0.0
        turn = 2 * np.pi * np.clip(self.ground_speed * np.asarray(time) / self.bump_length, 0.0, 1.0)
        steepness = np.pi * self.bump_height / self.bump_length
        return 0.5 * self.bump_height * (1 - np.cos(turn)), steepness * self.ground_speed * np.sin(turn)


def touchdown(unit: Unit, speed: ArrayLike) -> Array:
    """State, shape (state, ...), at touchdown at a sink speed [m/s]: the link hanging, the wheel not turning."""
    state = np.zeros((len(STATES) + 2 * unit.modes, *np.shape(speed)))
    state[STATES.index("angle")] = unit.hanging_angle
    state[STATES.index("sink_rate")] = speed
    return state


def rolling(setup: Setup, stroke: float) -> Array:
    """State, shape (13,), of a unit that rolls on level ground at a stroke [m], without slip."""
    gear, unit = setup.gear, setup.unit
    angle = float(gear.link.angle(stroke))
    low, _ = lowest_point(unit.axle_up, unit.wheel_axis_up, unit.tire_radius, np.cos(angle), np.sin(angle))
    state = np.zeros(len(STATES))
    state[STATES.index("angle")] = angle
    state[STATES.index("sink")] = low - unit.touch_height + gear.tire.deflection(unit.net_weight)
    state[STATES.index("spin")] = unit.ground_speed / unit.rolling_radius
    return state


def motion_sizes(unit: Unit, speed: Array) -> Array:
    """Size that each moving state can come to after a touchdown at sink speeds (...) [m/s], shape (6 + 2 mode, ...)."""
    one = np.ones_like(speed)
    arm = np.hypot(unit.axle_up[1], unit.axle_up[2]) * one
    spin = np.maximum(unit.ground_speed, 1.0) / unit.rolling_radius * one
    rigid = [0.1 * one, 0.1 / arm, speed, speed / arm, spin, one]
    if not unit.modes:
        return np.array(rigid)
    # a mode moves the axle by centimeters, at meters per second
    moves = np.abs(unit.shapes[:, AXLE]).max(axis=(0, 1))
    moves = moves.reshape(unit.modes, *(1,) * speed.ndim) * one
    return np.concatenate([np.array(rigid), 0.02 / moves, 2 / moves])


# --- forces and accelerations at a state ----------------------------------------------------------------


def forces(y: Array, unit: Unit, height: Array | float = 0.0, climb: Array | float = 0.0) -> Forces:
    """Forces at a state, its moving part or all of it first, over ground of a height [m] and its rate [m/s]."""
    s, q, s_rate, q_rate, spin, slip = y[:6]
    cos, sin = np.cos(q), np.sin(q)
    squared, squared_slope = turned(unit.length, cos, sin), turned_slope(unit.length, cos, sin)
    low, rise = lowest_point(unit.axle_up, unit.wheel_axis_up, unit.tire_radius, cos, sin)
    reach = turned_slope(unit.axle_aft, cos, sin)
    bent = _bent(y, cos, sin, unit) if unit.modes else None
    if bent:
        squared, squared_slope = squared + bent.value[LENGTH], squared_slope + bent.slope[LENGTH]
        low, rise = (
            low + _along_ground(unit.up, bent.value[AXLE]),
            rise + _along_ground(unit.up, bent.slope[AXLE]),
        )
        reach = reach + _along_ground(unit.aft, bent.slope[AXLE])
    length = np.sqrt(squared)
    arm = -0.5 * squared_slope / length
    stroke, stroke_rate = unit.free_length - length, arm * q_rate
    deflection = s - (low - unit.touch_height) + height
    deflection_rate = s_rate - rise * q_rate + climb
    slip_speed = unit.ground_speed - reach * q_rate - spin * unit.rolling_radius
    if bent:
        stroke_rate = stroke_rate - bent.rate[LENGTH] / (2 * length)
        deflection_rate = deflection_rate - _along_ground(unit.up, bent.rate[AXLE])
        slip_speed = slip_speed - _along_ground(unit.aft, bent.rate[AXLE])
    elastic = unit.tire_factor * unit.tire_load(deflection)
    ground = elastic * np.maximum(1 + unit.tire_damping * deflection_rate, 0.0)
    sliding = slip_speed if unit.tread_stiffness is None else slip * _rolling_speed(unit)
    return Forces(
        stroke=stroke,
        arm=arm,
        stroke_rate=stroke_rate,
        deflection=deflection,
        deflection_rate=deflection_rate,
        ground=ground,
        ground_elastic=elastic,
        drag=ground * unit.ground_friction(sliding, unit.ground_speed),
        slip_speed=slip_speed,
        rise=rise,
        reach=reach,
        spring=unit.shock.elastic(stroke),
        damper=unit.shock.damper(stroke, stroke_rate),
        friction=unit.shock.friction(stroke_rate),
        bent=bent,
    )


def _wide(numbers: Array, own: int, angle: Array) -> Array:
    """Numbers (own axes, ...) with axes put in so that they broadcast against own axes and an angle (...)."""
    more = np.ndim(angle) - (numbers.ndim - own)
    return numbers.reshape(*numbers.shape[:own], *(1,) * more, *numbers.shape[own:])


def _along_ground(direction: Array, vector: Array) -> Array:
    """Component (...) along a direction (2, ...) of ground axes of a vector (2, ...), x and z of the airplane."""
    return np.asarray(direction[0] * vector[0] + direction[1] * vector[1])


def _bent(y: Array, cos: Array, sin: Array, unit: Unit) -> Bent:
    """What the modes move at a state and link angle."""
    a, b = _modes_of(y, unit)
    cos2, sin2 = cos * cos - sin * sin, 2 * sin * cos
    basis, change = np.empty((5, *np.shape(cos))), np.empty((4, *np.shape(cos)))
    basis[0], basis[1], basis[2], basis[3], basis[4] = 1.0, cos, sin, cos2, sin2
    change[0], change[1], change[2], change[3] = -sin, cos, -2 * sin2, 2 * cos2
    shape, shape_slope = _at(unit.shapes, basis[:3]), _at(unit.shapes[1:], change[:2])
    convected, convected_slope = _at(unit.convected, basis), _at(unit.convected[1:], change)
    value = _moved(shape, a)
    return Bent(
        basis=basis,
        shape=shape,
        value=value,
        slope=_moved(shape_slope, a),
        curve=_at(unit.shapes[0].T, a) - value,
        rate=_moved(shape, b),
        rate_slope=_moved(shape_slope, b),
        forward=_at(unit.forward, basis) + _moved(convected, a),
        forward_slope=_at(unit.forward[1:], change) + _moved(convected_slope, a),
        turning=_moved(convected, b),
    )


def _at(terms: Array, basis: Array) -> Array:
    """Sum over the first axis of terms (term, own axes) times a basis (term, ...)."""
    at = terms.reshape(len(terms), -1).T @ basis.reshape(len(basis), -1)
    return np.asarray(at.reshape(*terms.shape[1:], *basis.shape[1:]))


def _moved(shape: Array, modes: Array) -> Array:
    """What modes (mode, ...) move together, shape (row, ...), of what each moves, shape (row, mode, ...)."""
    return np.asarray(np.einsum("km...,m...->k...", shape, modes))


def _mass_moment(bent: Bent, unit: Unit) -> Array:
    """Mass moment up, shape (mode, ...), that each mode moves: z."""
    return _along_ground(unit.up, bent.shape[MASS])


def _loads_on_modes(f: Forces, unit: Unit) -> Array:
    """Load (mode, ...) of ground, shock and weight on the modes."""
    assert f.bent
    shape = f.bent.shape
    load = (f.shock / (2 * (unit.free_length - f.stroke))) * shape[LENGTH]
    aft, up = (f.ground * unit.up[i] + f.drag * unit.aft[i] for i in (0, 1))
    load += aft * shape[AXLE][0]
    load += up * shape[AXLE][1]
    load -= g * _mass_moment(f.bent, unit)
    return np.asarray(load)


def _dot(left: Array, right: Array) -> Array:
    """Sum over the modes, shape (...), of the products of two (mode, ...)."""
    return np.asarray(np.einsum("m...,m...->...", left, right))


def _modes_of(y: Array, unit: Unit) -> tuple[Array, Array]:
    """Modes of the strut and their rates, shape (mode, ...), in a state."""
    first, count = len(MOTION), unit.modes
    return y[first : first + count], y[first + count : first + 2 * count]


def _rolling_speed(unit: Unit) -> Array:
    """Speed [m/s] that a slip is a part of."""
    return np.maximum(unit.ground_speed, unit.least_speed)


def slip_rate(y: Array, f: Forces, unit: Unit) -> Array:
    """Rate of the slip where the tread meets the ground, shape (...) [1/s]; zero with a tread of no give.

    With the tread's deflection x and its stiffness k, x' = slip speed - V slip and k x = D. The drag over the slip,
    D / slip, is taken to change slowly, as in the transient tire models of H. B. Pacejka, Tire and Vehicle Dynamics
    (from memory): slip' = (slip speed / V - slip) k V / (D / slip).
    """
    slip = y[STATES.index("slip")]
    if unit.tread_stiffness is None:
        return np.zeros_like(slip)
    speed = _rolling_speed(unit)
    some = np.maximum(np.abs(slip), SMALL_SLIP)
    secant = f.ground * unit.ground_friction(some * speed, unit.ground_speed) / some
    time = np.maximum(secant / (unit.tread_stiffness * speed), SLIDING)
    return (f.slip_speed / speed - slip) / time


def accelerations(y: Array, f: Forces, unit: Unit) -> tuple[Array, ...]:
    """Accelerations of sink, angle, spin, shape (...), and modes, (mode, ...), at a state, from the forces there."""
    q, q_rate = y[1], y[3]
    cos, sin = np.cos(q), np.sin(q)
    Z, square = turned_slope(unit.mass_up, cos, sin), q_rate**2
    Z_q = -unit.mass_up[1] * cos - unit.mass_up[2] * sin
    spin = f.drag * (unit.rolling_radius / unit.wheel_inertia)
    if not unit.modes:
        down = (unit.net_weight - f.ground + Z_q * square) / unit.mass
        moment = f.ground * f.rise + f.drag * f.reach - g * Z - f.shock * f.arm
        q_accel = (moment + Z * down) / (unit.hinge_inertia - Z * Z / unit.mass)
        return down + Z * q_accel / unit.mass, q_accel, spin, y[len(MOTION) : len(MOTION)]
    a, b = _modes_of(y, unit)
    assert f.bent
    z = _mass_moment(f.bent, unit)
    Z = Z + _along_ground(unit.up, f.bent.slope[MASS])
    Z_q = Z_q + _along_ground(unit.up, f.bent.curve[MASS])
    on_sink = unit.net_weight - f.ground + Z_q * square
    on_sink += 2 * q_rate * _along_ground(unit.up, f.bent.rate_slope[MASS])
    on_link = f.ground * f.rise + f.drag * f.reach - g * Z - f.shock * f.arm
    on_modes = _loads_on_modes(f, unit)
    on_modes -= _wide(unit.mode_stiffness, 1, q) * a
    on_modes -= _wide(unit.mode_damping, 1, q) * b
    on_modes += _wide(unit.preload, 1, q)
    on_modes -= (2 * q_rate) * f.bent.turning
    on_modes -= square * f.bent.forward_slope
    # sink, then link are eliminated; what is left is one small symmetric system for the modes
    down = on_sink / unit.mass
    link_inertia = unit.hinge_inertia - Z * Z / unit.mass
    coupling = f.bent.forward - z * (Z / unit.mass)
    swing = (on_link + Z * down) / link_inertia
    along = coupling / link_inertia
    inertia = _at(unit.modal_mass, f.bent.basis)
    inertia -= z[:, np.newaxis] * (z / unit.mass)
    inertia -= coupling[:, np.newaxis] * along
    on_modes += z * down
    on_modes -= coupling * swing
    bent = _solved(inertia, on_modes)
    q_accel = swing - _dot(along, bent)
    return down + (Z * q_accel + _dot(z, bent)) / unit.mass, q_accel, spin, bent


def _solved(matrix: Array, right: Array) -> Array:
    """Solution (mode, ...) of symmetric positive definite systems (mode, mode, ...), column by column in place."""
    count = len(right)
    for k in range(count - 1):
        factor = matrix[k + 1 :, k] / matrix[k, k]
        matrix[k + 1 :, k + 1 :] -= factor[:, np.newaxis] * matrix[k, k + 1 :]
        right[k + 1 :] -= factor * right[k]
    for k in range(count - 1, -1, -1):
        right[k] = (right[k] - _dot(matrix[k, k + 1 :], right[k + 1 :])) / matrix[k, k]
    return right


def rates(y: Array, unit: Unit, height: Array | float = 0.0, climb: Array | float = 0.0) -> Array:
    """Time derivative of a state, shape (state, ...), over ground of a height [m] and its rate [m/s]."""
    f = forces(y, unit, height, climb)
    return np.concatenate([_motion(y[: -len(INTEGRALS)], f, unit), powers(y, f, unit, climb)])


def powers(y: Array, f: Forces, unit: Unit, climb: Array | float = 0.0) -> Array:
    """Rates of `INTEGRALS`, shape (7, ...), at a state or its moving part."""
    b = _modes_of(y, unit)[1]
    integrals = [
        f.damper * f.stroke_rate,
        f.friction * f.stroke_rate,
        (f.ground - f.ground_elastic) * f.deflection_rate,
        f.drag * f.slip_speed,
        np.sum(_wide(unit.mode_damping, 1, y[1]) * b * b, axis=0) + 0.0 * y[0],
        f.drag,
        f.ground * climb,
    ]
    return np.array(integrals)


def motion_rates(y: Array, unit: Unit) -> Array:
    """Time derivative of the states that move, shape (6 + 2 mode, ...), on level ground."""
    return _motion(y, forces(y, unit), unit)


def _motion(y: Array, f: Forces, unit: Unit) -> Array:
    out = np.empty_like(y)
    out[:2] = y[2:4]
    first, count = len(MOTION), unit.modes
    out[2], out[3], out[4], bent = accelerations(y, f, unit)
    out[5] = slip_rate(y, f, unit)
    out[first : first + count], out[first + count :] = y[first + count :], bent
    return out


# --- energy at a state ----------------------------------------------------------------------------------


def kinetic(y: Array, unit: Unit) -> Array:
    """Kinetic energy [J] of sprung mass, link, wheel and strut, shape (...), at a state."""
    q, s_rate, q_rate, spin = y[1:5]
    cos, sin = np.cos(q), np.sin(q)
    Z = turned_slope(unit.mass_up, cos, sin)
    energy = unit.mass * s_rate**2 + unit.hinge_inertia * q_rate**2 + unit.wheel_inertia * spin**2
    if unit.modes:
        bent, b = _bent(y, cos, sin, unit), _modes_of(y, unit)[1]
        Z = Z + _along_ground(unit.up, bent.slope[MASS])
        energy = energy + np.sum(_moved(_at(unit.modal_mass, bent.basis), b) * b, axis=0)
        energy = energy + 2 * q_rate * np.sum(bent.forward * b, axis=0)
        energy = energy - 2 * s_rate * _along_ground(unit.up, bent.rate[MASS])
    return 0.5 * (energy - 2 * s_rate * q_rate * Z)


def descent_energy(y: Array, unit: Unit) -> float:
    """Kinetic energy [J] at one state without that of the wheel's spin: what shock, tire and stops must still take."""
    return float(kinetic(y, unit) - 0.5 * unit.wheel_inertia * y[STATES.index("spin")] ** 2)


def balance(y: Array, unit: Unit, height: Array | float = 0.0) -> tuple[Array, Array]:
    """Energy supplied and energy found [J], shape (...), each from its own zero: their changes are equal.

    Supplied: work of weight, lift, the ground and the hanging strut's own force. Found: kinetic, stored in shock, tire
    and strut, and dissipated.
    """
    s, q = y[:2]
    f = forces(y, unit, height)
    a, _ = _modes_of(y, unit)
    moment = turned(unit.mass_up, np.cos(q), np.sin(q))
    if f.bent:
        moment = moment + _along_ground(unit.up, f.bent.value[MASS])
    belt, lift = (y[INTEGRALS.index(name) - len(INTEGRALS)] for name in ("drag_impulse", "ground_work"))
    supplied = unit.net_weight * s - g * moment + unit.ground_speed * belt + lift
    supplied = supplied + np.sum(_wide(unit.preload, 1, q) * a, axis=0)
    bent = 0.5 * np.sum(_wide(unit.mode_stiffness, 1, q) * a**2, axis=0)
    stored = unit.shock.energy(f.stroke) + unit.tire_factor * unit.tire_energy(f.deflection) + bent
    return supplied, kinetic(y, unit) + stored + y[LOSSES].sum(axis=0)


def refuse_soft(what: str, y: Array, unit: Unit, gear: MainGear) -> None:
    """Refuse a motion, states (state, ...), in which the strut moves the axle too far for small deflections."""
    if not unit.modes:
        return
    moved = _bent(y, np.cos(y[1]), np.sin(y[1]), unit).value[AXLE]
    refuse_far(what, float(np.abs(moved).max()), gear)


def refuse_far(what: str, most: float, gear: MainGear) -> None:
    """Refuse a largest motion of the axle by the strut [m] that is too far for small deflections."""
    limit = LARGEST * gear.link.length
    if not most <= limit:
        cause = "a strut too soft for small deflections; compliance in another unit?"
        reject(f"{what}: motion of the axle by the strut [m]", f"{most:.3g}", f"<= {limit:.3g}", cause)


def aft_forces(y: Array, rate: Array, f: Forces, unit: Unit) -> tuple[Array, Array]:
    """Fore-aft force [N] in the strut and of the wheel on the axle, shape (...), at a state and its rate; positive aft.

    Both are the drag less inertia: of wheel, link and strut; of the wheel.
    """
    q, q_rate, q_accel = y[1], y[3], rate[3]
    cos, sin = np.cos(q), np.sin(q)
    out = []
    if f.bent:
        pushing = _moved(f.bent.shape, _modes_of(rate, unit)[1])
    for mass, terms, rows in ((1.0, unit.mass_aft, MASS), (unit.wheel_mass, unit.axle_aft, AXLE)):
        first, second = turned_slope(terms, cos, sin), -terms[1] * cos - terms[2] * sin
        moving = np.zeros(())
        if f.bent:
            first = first + _along_ground(unit.aft, f.bent.slope[rows])
            second = second + _along_ground(unit.aft, f.bent.curve[rows])
            moving = _along_ground(unit.aft, pushing[rows] + 2 * q_rate * f.bent.rate_slope[rows])
        out.append(f.drag - mass * (first * q_accel + second * q_rate**2 + moving))
    return out[0], out[1]
