"""Equations of motion of one unit on the ground, on plain arrays.

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

State components come FIRST here, as the integrator's dense output gives them; the numbers of `Unit` may
be arrays that broadcast against one component, such as one row per design.
"""

import numpy as np

from beam.gear.motion.unit import Forces, Unit
from materials.checks import Array


def turned(terms: Array, cos: Array, sin: Array) -> Array:
    """Value of A + B cos q + C sin q.

    Parameters
    ----------
    terms : ndarray, shape (3, ...)
        A, B, C [any].
    cos, sin : ndarray, shape (...)
        Cosine and sine of q [-].

    Returns
    -------
    ndarray, shape (...)
        The value, in the unit of the terms [any].
    """
    A, B, C = terms
    value: Array = A + B * cos + C * sin
    return value


def turned_slope(terms: Array, cos: Array, sin: Array) -> Array:
    """Derivative by q of A + B cos q + C sin q.

    Parameters
    ----------
    terms : ndarray, shape (3, ...)
        A, B, C [any].
    cos, sin : ndarray, shape (...)
        Cosine and sine of q [-].

    Returns
    -------
    ndarray, shape (...)
        The derivative, in the unit of the terms [any].
    """
    _, B, C = terms
    slope: Array = C * cos - B * sin
    return slope


def lowest_point(
    axle_up: Array, wheel_axis_up: Array, radius: float, cos: Array, sin: Array
) -> tuple[Array, Array]:
    """Height of the unloaded wheel's lowest point in airplane axes, and its derivative by the angle.

    Parameters
    ----------
    axle_up : ndarray, shape (3, ...)
        Terms of the axle's height [m].
    wheel_axis_up : ndarray, shape (3, ...)
        Terms of the rise of the wheel's axis [-].
    radius : float
        Radius of the tire [m].
    cos, sin : ndarray, shape (...)
        Cosine and sine of the link angle [-].

    Returns
    -------
    height : ndarray, shape (...)
        Height; a disk whose axle leans by c from level reaches radius cos c below its center [m].
    rise : ndarray, shape (...)
        Its derivative [m/rad].
    """
    height, rise = turned(axle_up, cos, sin), turned_slope(axle_up, cos, sin)
    if not wheel_axis_up.any():
        return height - radius, rise
    lean = turned(wheel_axis_up, cos, sin)
    upright = np.sqrt(1 - lean**2)
    return height - radius * upright, rise + radius * lean * turned_slope(wheel_axis_up, cos, sin) / upright


def forces(y: Array, unit: Unit, height: Array | float = 0.0, climb: Array | float = 0.0) -> Forces:
    """Forces at a state.

    Parameters
    ----------
    y : ndarray, shape (14, ...)
        State, components first, see `unit.STATES` [any].
    unit : Unit
        The unit or the designs.
    height : ndarray, shape (...)
        Height of the ground under the wheel above where it was at touchdown [m].
    climb : ndarray, shape (...)
        Rate of that height [m/s].

    Returns
    -------
    Forces
        What acts.
    """
    s, q, _, s_rate, q_rate, u_rate, spin = y[:7]
    cos, sin = np.cos(q), np.sin(q)
    length = np.sqrt(turned(unit.length, cos, sin))
    arm = -0.5 * turned_slope(unit.length, cos, sin) / length
    stroke, stroke_rate = unit.free_length - length, arm * q_rate
    low, rise = lowest_point(unit.axle_up, unit.wheel_axis_up, unit.tire.radius, cos, sin)
    reach = turned_slope(unit.axle_aft, cos, sin)
    deflection = s - (low - unit.touch_height) + height
    deflection_rate = s_rate - rise * q_rate + climb
    elastic = unit.tire.load(deflection)
    ground = elastic * np.maximum(1 + unit.tire.damping * deflection_rate, 0.0)
    slip_speed = unit.ground_speed - u_rate - reach * q_rate - spin * unit.rolling_radius
    return Forces(
        stroke=stroke,
        arm=arm,
        stroke_rate=stroke_rate,
        deflection=deflection,
        deflection_rate=deflection_rate,
        ground=ground,
        ground_elastic=elastic,
        drag=ground * unit.friction(slip_speed, unit.ground_speed),
        slip_speed=slip_speed,
        rise=rise,
        reach=reach,
        spring=unit.shock.elastic_force(stroke),
        damper=unit.shock.damper_force(stroke, stroke_rate),
        friction=unit.shock.friction_force(stroke_rate),
    )


def accelerations(y: Array, f: Forces, unit: Unit) -> tuple[Array, Array, Array, Array]:
    """Solve the equations of motion at a state.

    Parameters
    ----------
    y : ndarray, shape (14, ...)
        State, components first, see `unit.STATES` [any].
    f : Forces
        What acts there.
    unit : Unit
        The unit or the designs.

    Returns
    -------
    sink, angle, sway, spin : ndarray, shape (...)
        Accelerations [m/s2, rad/s2, m/s2, rad/s2].
    """
    _, q, u, _, q_rate, u_rate, _ = y[:7]
    cos, sin = np.cos(q), np.sin(q)
    Z, square = turned_slope(unit.mass_up, cos, sin), q_rate**2
    Z_q = -unit.mass_up[1] * cos - unit.mass_up[2] * sin
    down = (unit.net_weight - f.ground + Z_q * square) / unit.mass
    moment = f.ground * f.rise + f.drag * f.reach - unit.gravity * Z - f.shock * f.arm
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
    """Time derivative of a state.

    Parameters
    ----------
    y : ndarray, shape (14, ...)
        State, components first, see `unit.STATES` [any].
    unit : Unit
        The unit or the designs.
    height, climb : ndarray, shape (...)
        Height of the ground [m] and its rate [m/s].

    Returns
    -------
    ndarray, shape (14, ...)
        Rate of each component [any].
    """
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
    """Time derivative of what moves, without the integrals, on level ground.

    Parameters
    ----------
    y : ndarray, shape (7, ...)
        The states that move, components first, see `unit.STATES` [any].
    unit : Unit
        The unit or the designs.

    Returns
    -------
    ndarray, shape (7, ...)
        Rate of each component [any].
    """
    sink, angle, sway, spin = accelerations(y, forces(y, unit), unit)
    out = np.empty_like(y)
    out[:3] = y[3:6]
    out[3], out[4], out[5], out[6] = sink, angle, sway, spin
    return out
