"""From a gear to the plain numbers of its equations of motion, and to the states it can start from."""

import numpy as np
from scipy.constants import g

from beam.axes import attitude
from beam.gear.circle import slope
from beam.gear.gear import MainGear
from beam.gear.motion import lowest_point
from beam.gear.roots import rising_root
from beam.gear.strut_sway import StrutSway
from beam.gear.unit import STATES, Unit
from materials.checks import Array


def hanging_angle(gear: MainGear, attitude_deg: float = 0.0) -> float:
    """Link angle with the wheel in the air, the shock on its extension stop.

    Parameters
    ----------
    gear : MainGear
        The gear.
    attitude_deg : float
        Nose-up attitude [deg].

    Returns
    -------
    float
        Angle, a little below zero by the give of the stop [rad].
    """
    link, shock, up = gear.link, gear.shock, attitude(attitude_deg)[:, 2]
    free, arm = link.shock_length(0.0), float(link.shock_arm(0.0))
    most = float(shock.spring.force(0.0)) + g * float(np.abs(gear.mass_moment[1:] @ up).sum()) / arm
    low, high = link.angle(1.5 * most / shock.stop_stiffness * np.array([-1.0, 1.0]))

    def closing(angle: Array) -> Array:
        shock_moment = shock.elastic_force(free - link.shock_length(angle)) * link.shock_arm(angle)
        return shock_moment + g * slope(gear.mass_moment, angle) @ up

    return float(rising_root(closing, low, high))


def unit_of(
    gear: MainGear,
    *,
    mass: float,
    lift_ratio: float,
    ground_speed: float,
    attitude_deg: float = 0.0,
    sway: StrutSway | None = None,
) -> Unit:
    """Numbers of the equations of motion.

    Parameters
    ----------
    gear : MainGear
        The gear.
    mass : float
        Mass on this unit, its own included [kg].
    lift_ratio : float
        Lift over weight [-].
    ground_speed : float
        Speed of the ground past the airplane [m/s].
    attitude_deg : float
        Nose-up attitude of the airplane, which keeps it [deg].
    sway : StrutSway, optional
        Fore-aft flexibility of the strut; rigid if not given.

    Returns
    -------
    Unit
        Plain numbers.
    """
    link, axes = gear.link, attitude(attitude_deg)
    aft, up = axes[:, 0], axes[:, 2]
    axle_up, wheel_axis_up = link.axle_terms @ up, link.wheel_axis_terms @ up
    angle = hanging_angle(gear, attitude_deg)
    low, _ = lowest_point(axle_up, wheel_axis_up, gear.tire.radius, np.cos(angle), np.sin(angle))
    swaying = gear.unsprung_mass + (0.0 if sway is None else sway.mass)
    stiffness = 0.0 if sway is None else sway.stiffness
    damping = 0.0 if sway is None else 2 * sway.damping_ratio * np.sqrt(stiffness * swaying)
    return Unit(
        mass=mass,
        net_weight=(1 - lift_ratio) * mass * g,
        gravity=g,
        hinge_inertia=gear.hinge_inertia,
        mass_up=gear.mass_moment @ up,
        mass_aft=gear.mass_moment @ aft,
        axle_up=axle_up,
        axle_aft=link.axle_terms @ aft,
        wheel_axis_up=wheel_axis_up,
        length=link.length_terms,
        free_length=float(link.shock_length(0.0)),
        touch_height=float(low),
        wheel_inertia=gear.wheel_inertia,
        rolling_radius=gear.rolling_radius,
        ground_speed=ground_speed,
        sway_stiffness=stiffness,
        sway_damping=damping,
        sway_mobility=0.0 if sway is None else 1 / swaying,
        shock=gear.shock,
        tire=gear.tire,
        friction=gear.friction,
    )


def rolling(gear: MainGear, unit: Unit, stroke: float) -> Array:
    """State of a unit that rolls on level ground at a stroke, without slip.

    Parameters
    ----------
    gear : MainGear
        The gear.
    unit : Unit
        Its numbers.
    stroke : float
        Stroke of the shock [m].

    Returns
    -------
    ndarray, shape (14,)
        State, see `unit.STATES` [any].
    """
    angle = float(gear.link.angle(stroke))
    cos, sin = np.cos(angle), np.sin(angle)
    low, _ = lowest_point(unit.axle_up, unit.wheel_axis_up, gear.tire.radius, cos, sin)
    state = np.zeros(len(STATES))
    state[STATES.index("angle")] = angle
    state[STATES.index("sink")] = low - unit.touch_height + gear.tire.deflection(unit.net_weight)
    state[STATES.index("spin")] = unit.ground_speed / unit.rolling_radius
    return state


def touchdown(gear: MainGear, speed: float, attitude_deg: float = 0.0) -> Array:
    """State at touchdown: the link hanging, the wheel not turning.

    Parameters
    ----------
    gear : MainGear
        The gear.
    speed : float
        Sink speed [m/s].
    attitude_deg : float
        Nose-up attitude [deg].

    Returns
    -------
    ndarray, shape (14,)
        State, see `unit.STATES` [any].
    """
    state = np.zeros(len(STATES))
    state[STATES.index("angle")] = hanging_angle(gear, attitude_deg)
    state[STATES.index("sink_rate")] = speed
    return state
