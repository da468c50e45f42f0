"""Equations of motion of one unit on the ground, on plain arrays; its numbers; its energy.

Coordinates: sink s of the sprung mass (down), link angle q, fore-aft sway u of the pivot against the
airplane (aft), wheel spin W (rolling forward). S(q) = sum(m r) is the mass moment of link and wheel, Z and
X its derivatives up and aft; z and x those of the wheel's lowest point and of the axle:

    T = m s'^2/2 + M u'^2/2 + J q'^2/2 - s' q' Z(q) + u' q' X(q) + I W^2/2

    m s'' - Z q'' - Z_q q'^2 = (1 - L) m g - N
    M u'' + X q'' + X_q q'^2 = D - k u - c u'
    J q'' - Z s'' + X u''    = N z + D x - g Z - F a
    I W'                     = D r

N ground load (up), D drag (aft), F shock force, a its arm, r rolling radius; m includes link and wheel. The
wheel's spin is measured against the ground, so the torque of the drag spins the wheel and does not
pass to the link; the gyroscopic couple of the spin is square to the hinge and does no work. Drag acts
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
from beam.gear.main_gear import MainGear
from beam.gear.parts.rotation import lowest_point, slope, turned, turned_slope
from beam.gear.parts.shock import Shock, ShockLaws
from beam.gear.parts.shocks import Shocks
from beam.gear.parts.tire import static_load
from beam.gear.roots import rising_root
from materials.checks import Array, Frozen, Limits, unchecked

STATES = (
    "sink", "angle", "sway", "sink_rate", "angle_rate", "sway_rate", "spin",
    "damper_loss", "friction_loss", "tire_loss", "slip_loss", "sway_loss", "drag_impulse", "ground_work",
)  # fmt: skip
"""Order of the state vector: motion, then integrals [m, rad, m, m/s, rad/s, m/s, rad/s, J x 5, N s, J]."""

MOTION = STATES.index("spin") + 1
"""Number of states that move; the rest are integrals over them [-]."""

LOSSES = slice(STATES.index("damper_loss"), STATES.index("sway_loss") + 1)
"""States that are dissipated energy."""

Law = Callable[..., Array]


class StrutSway(Frozen, eq=True):
    """Fore-aft flexibility of the strut: a spring between link pivot and airplane.

    Parameters
    ----------
    stiffness : float
        Fore-aft force at the pivot over its displacement, such as `beam.strut.point_stiffness` gives it [N/m].
    mass : float
        Part of the strut's mass that moves with the pivot; about a quarter of a cantilever [kg].
    damping_ratio : float
        Damping over critical, of strut, link and wheel swaying together [-].

    Raises
    ------
    ValueError
        If a value is outside its limits.

    Notes
    -----
    The drag D on the wheel sways the pivot by u: M u'' = D - k u - c u' with c = 2 zeta sqrt(k M), where the mass M is
    that of the strut's part, the link and the wheel.

    Examples
    --------
    >>> from beam.gear import StrutSway, drop
    >>> from tourer import GEAR  # examples/tourer.py
    >>> sway = StrutSway(stiffness=6e5, mass=2.0)
    >>> found = drop(GEAR, mass=500, speed=2.9, lift_ratio=2 / 3, ground_speed=35, sway=sway, rtol=1e-5)
    >>> round(found.spin_up.drag, -1), round(found.spring_back.drag, -1)
    (8780.0, -6110.0)
    """

    stiffness: Annotated[float, Limits("N/m", at_least=1e3, at_most=1e10, cause="given in N/mm?")]
    mass: Annotated[float, Limits("kg", at_least=0.0, at_most=1e4)]
    damping_ratio: Annotated[float, Limits("-", at_least=0.0, below=1.0, cause="given in percent?")] = 0.02


class Unit(NamedTuple):
    """Numbers and laws of the equations of motion; terms A, B, C stand for A + B cos q + C sin q.

    Numbers are floats or arrays of shape (...), terms of shape (3, ...); units as in `MainGear` and `StrutSway`.
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
    wheel_inertia: float
    rolling_radius: float
    ground_speed: Array | float
    sway_stiffness: Array | float
    sway_damping: Array | float
    sway_mobility: Array | float
    rigid: bool
    tire_radius: float
    tire_damping: float
    tire_load: Law
    tire_energy: Law
    ground_friction: Law
    shock: ShockLaws


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

    @property
    def shock(self) -> Array:
        """Force of the shock, positive when it pushes its ends apart [N]."""
        return self.spring + self.damper + self.friction


# --- from a gear to its numbers, and the states it starts from ------------------------------------------


def hanging_angle(gear: MainGear, shock: Shock | Shocks, attitude_deg: float) -> Array:
    """Link angle [rad] of each design with the wheel in the air: a little below zero by the give of the stop."""
    link, up, elastic = gear.link, attitude(attitude_deg)[:, 2], shock.laws.elastic
    length, arm = unchecked(link.shock_length), unchecked(link.shock_arm)
    most = elastic(np.zeros(())) + g * float(np.abs(gear.mass_moment[1:] @ up).sum()) / float(arm(0.0))
    reach = 1.5 * most / shock.stop_stiffness

    def closing(angle: Array) -> Array:
        return (
            elastic(link.free_length - length(angle)) * arm(angle) + g * slope(gear.mass_moment, angle) @ up
        )

    return rising_root(closing, link.angle(-reach), link.angle(reach))


def unit_of(
    gear: MainGear,
    *,
    mass: Array | float,
    lift_ratio: Array | float,
    ground_speed: Array | float,
    attitude_deg: float = 0.0,
    sway: StrutSway | None = None,
    shock: Shock | Shocks | None = None,
) -> Unit:
    """Numbers of the equations of motion; arrays where designs differ, `shock` in place of the gear's own."""
    link, axes = gear.link, attitude(attitude_deg)
    aft, up = axes[:, 0], axes[:, 2]
    axle_up, wheel_axis_up = link.axle_terms @ up, link.wheel_axis_terms @ up
    shock = gear.shock if shock is None else shock
    angle = hanging_angle(gear, shock, attitude_deg)
    low, _ = lowest_point(axle_up, wheel_axis_up, gear.tire.radius, np.cos(angle), np.sin(angle))
    swaying = gear.unsprung_mass + (0.0 if sway is None else sway.mass)
    stiffness = 0.0 if sway is None else sway.stiffness
    return Unit(
        mass=mass,
        net_weight=(1 - lift_ratio) * mass * g,
        hinge_inertia=gear.hinge_inertia,
        mass_up=gear.mass_moment @ up,
        mass_aft=gear.mass_moment @ aft,
        axle_up=axle_up,
        axle_aft=link.axle_terms @ aft,
        wheel_axis_up=wheel_axis_up,
        length=link.length_terms,
        free_length=link.free_length,
        hanging_angle=angle,
        touch_height=low,
        wheel_inertia=gear.wheel_inertia,
        rolling_radius=gear.rolling_radius,
        ground_speed=ground_speed,
        sway_stiffness=stiffness,
        sway_damping=0.0 if sway is None else 2 * sway.damping_ratio * np.sqrt(stiffness * swaying),
        sway_mobility=0.0 if sway is None else 1 / swaying,
        rigid=sway is None,
        tire_radius=gear.tire.radius,
        tire_damping=gear.tire.damping,
        tire_load=partial(static_load, gear.tire),
        tire_energy=unchecked(gear.tire.energy),
        ground_friction=unchecked(gear.friction.__call__),
        shock=shock.laws,
    )


class Setup(Frozen):
    """What a motion of one unit starts from: gear, mass on it, lift, speed, attitude, flexibility, bump."""

    gear: MainGear
    mass: Annotated[float, Limits("kg", above=0.0)]
    lift_ratio: Annotated[float, Limits("-", at_least=0.0, at_most=1.0)]
    ground_speed: Annotated[float, Limits("m/s", at_least=0.0)]
    attitude_deg: Annotated[float, Limits("deg")] = 0.0
    sway: StrutSway | None = None
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
            sway=self.sway,
        )

    def ground(self, time: Array | float) -> tuple[Array | float, Array | float]:
        """Height [m] and climb [m/s] of the ground under the wheel: a bump (H / 2) (1 - cos(2 pi x / l))."""
        if self.bump_height == 0:
            return 0.0, 0.0
        turn = 2 * np.pi * np.clip(self.ground_speed * np.asarray(time) / self.bump_length, 0.0, 1.0)
        steepness = np.pi * self.bump_height / self.bump_length
        return 0.5 * self.bump_height * (1 - np.cos(turn)), steepness * self.ground_speed * np.sin(turn)


def touchdown(unit: Unit, speed: ArrayLike) -> Array:
    """State, shape (14, ...), at touchdown at a sink speed [m/s]: the link hanging, the wheel not turning."""
    state = np.zeros((len(STATES), *np.shape(speed)))
    state[STATES.index("angle")] = unit.hanging_angle
    state[STATES.index("sink_rate")] = speed
    return state


def rolling(setup: Setup, stroke: float) -> Array:
    """State, shape (14,), of a unit that rolls on level ground at a stroke [m], without slip."""
    gear, unit = setup.gear, setup.unit
    angle = float(gear.link.angle(stroke))
    low, _ = lowest_point(unit.axle_up, unit.wheel_axis_up, unit.tire_radius, np.cos(angle), np.sin(angle))
    state = np.zeros(len(STATES))
    state[STATES.index("angle")] = angle
    state[STATES.index("sink")] = low - unit.touch_height + gear.tire.deflection(unit.net_weight)
    state[STATES.index("spin")] = unit.ground_speed / unit.rolling_radius
    return state


# --- forces and accelerations at a state ----------------------------------------------------------------


def forces(y: Array, unit: Unit, height: Array | float = 0.0, climb: Array | float = 0.0) -> Forces:
    """Forces at a state, shape (14, ...) or (7, ...), over ground of a height [m] and its rate [m/s]."""
    s, q, _, s_rate, q_rate, u_rate, spin = y[:7]
    cos, sin = np.cos(q), np.sin(q)
    length = np.sqrt(turned(unit.length, cos, sin))
    arm = -0.5 * turned_slope(unit.length, cos, sin) / length
    stroke, stroke_rate = unit.free_length - length, arm * q_rate
    low, rise = lowest_point(unit.axle_up, unit.wheel_axis_up, unit.tire_radius, cos, sin)
    reach = turned_slope(unit.axle_aft, cos, sin)
    deflection = s - (low - unit.touch_height) + height
    deflection_rate = s_rate - rise * q_rate + climb
    elastic = unit.tire_load(deflection)
    ground = elastic * np.maximum(1 + unit.tire_damping * deflection_rate, 0.0)
    slip_speed = unit.ground_speed - u_rate - reach * q_rate - spin * unit.rolling_radius
    return Forces(
        stroke=stroke,
        arm=arm,
        stroke_rate=stroke_rate,
        deflection=deflection,
        deflection_rate=deflection_rate,
        ground=ground,
        ground_elastic=elastic,
        drag=ground * unit.ground_friction(slip_speed, unit.ground_speed),
        slip_speed=slip_speed,
        rise=rise,
        reach=reach,
        spring=unit.shock.elastic(stroke),
        damper=unit.shock.damper(stroke, stroke_rate),
        friction=unit.shock.friction(stroke_rate),
    )


def accelerations(y: Array, f: Forces, unit: Unit) -> tuple[Array, Array, Array, Array]:
    """Accelerations of sink, angle, sway and spin, shape (...), at a state, from the forces there."""
    _, q, u, _, q_rate, u_rate, _ = y[:7]
    cos, sin = np.cos(q), np.sin(q)
    Z, square = turned_slope(unit.mass_up, cos, sin), q_rate**2
    Z_q = -unit.mass_up[1] * cos - unit.mass_up[2] * sin
    down = (unit.net_weight - f.ground + Z_q * square) / unit.mass
    moment = f.ground * f.rise + f.drag * f.reach - g * Z - f.shock * f.arm
    spin = f.drag * (unit.rolling_radius / unit.wheel_inertia)
    if unit.rigid:
        q_accel = (moment + Z * down) / (unit.hinge_inertia - Z * Z / unit.mass)
        return down + Z * q_accel / unit.mass, q_accel, np.zeros_like(q_accel), spin
    X = turned_slope(unit.mass_aft, cos, sin)
    X_q = -unit.mass_aft[1] * cos - unit.mass_aft[2] * sin
    push = f.drag - unit.sway_stiffness * u - unit.sway_damping * u_rate - X_q * square
    aft = push * unit.sway_mobility
    inertia = unit.hinge_inertia - Z * Z / unit.mass - X * X * unit.sway_mobility
    q_accel = (moment + Z * down - X * aft) / inertia
    return down + Z * q_accel / unit.mass, q_accel, aft - X * q_accel * unit.sway_mobility, spin


def rates(y: Array, unit: Unit, height: Array | float = 0.0, climb: Array | float = 0.0) -> Array:
    """Time derivative of a state, shape (14, ...), over ground of a height [m] and its rate [m/s]."""
    f = forces(y, unit, height, climb)
    sink, angle, sway, spin = accelerations(y, f, unit)
    s_rate, q_rate, u_rate = y[3:6]
    return np.array(
        [
            s_rate,
            q_rate,
            u_rate,
            sink,
            angle,
            sway,
            spin,
            f.damper * f.stroke_rate,
            f.friction * f.stroke_rate,
            (f.ground - f.ground_elastic) * f.deflection_rate,
            f.drag * f.slip_speed,
            unit.sway_damping * u_rate * u_rate,
            f.drag,
            f.ground * climb,
        ]
    )


def motion_rates(y: Array, unit: Unit) -> Array:
    """Time derivative of the states that move, shape (7, ...), on level ground."""
    out = np.empty_like(y)
    out[:3] = y[3:6]
    out[3], out[4], out[5], out[6] = accelerations(y, forces(y, unit), unit)
    return out


# --- energy at a state ----------------------------------------------------------------------------------


def kinetic(y: Array, unit: Unit) -> Array:
    """Kinetic energy [J] of sprung mass, link, wheel and strut, shape (...), at a state."""
    _, q, _, s_rate, q_rate, u_rate, spin = y[:7]
    cos, sin = np.cos(q), np.sin(q)
    Z, X = turned_slope(unit.mass_up, cos, sin), turned_slope(unit.mass_aft, cos, sin)
    swaying = 0.0 if unit.rigid else u_rate**2 / unit.sway_mobility
    turning = unit.hinge_inertia * q_rate**2 + 2 * q_rate * (u_rate * X - s_rate * Z)
    return 0.5 * (unit.mass * s_rate**2 + swaying + turning + unit.wheel_inertia * spin**2)


def descent_energy(y: Array, unit: Unit) -> float:
    """Kinetic energy [J] at one state without that of the wheel's spin: what shock, tire and stops must still take."""
    return float(kinetic(y, unit) - 0.5 * unit.wheel_inertia * y[STATES.index("spin")] ** 2)


def balance(y: Array, unit: Unit, height: Array | float = 0.0) -> tuple[Array, Array]:
    """Energy supplied and energy found [J], shape (...), each from its own zero: their changes are equal.

    Supplied: work of weight, lift and the ground. Found: kinetic, stored in shock, tire and strut, and dissipated.
    """
    s, q, u = y[:3]
    f = forces(y, unit, height)
    moment = turned(unit.mass_up, np.cos(q), np.sin(q))
    belt, lift = y[STATES.index("drag_impulse")], y[STATES.index("ground_work")]
    supplied = unit.net_weight * s - g * moment + unit.ground_speed * belt + lift
    stored = unit.shock.energy(f.stroke) + unit.tire_energy(f.deflection) + 0.5 * unit.sway_stiffness * u**2
    return supplied, kinetic(y, unit) + stored + y[LOSSES].sum(axis=0)
