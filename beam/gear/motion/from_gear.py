"""From a gear to the plain numbers of its equations of motion, and to the states it can start from."""

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.axes import attitude
from beam.gear.main_gear import MainGear
from beam.gear.motion.equations import lowest_point
from beam.gear.motion.unit import STATES, ShockLaw, Unit
from beam.gear.parts.rotation import slope
from beam.gear.parts.strut_sway import StrutSway
from beam.gear.roots import rising_root
from materials.checks import Array


def hanging_angle(gear: MainGear, shock: ShockLaw, attitude_deg: float = 0.0) -> Array:
    """Link angle with the wheel in the air, the shock on its extension stop.

    Parameters
    ----------
    gear : MainGear
        Link and wheel.
    shock : ShockLaw
        The shock, or those of many designs.
    attitude_deg : float
        Nose-up attitude [deg].

    Returns
    -------
    ndarray, shape (...)
        Angle of each design, a little below zero by the give of the stop [rad].
    """
    link, up = gear.link, attitude(attitude_deg)[:, 2]
    free, arm = float(link.shock_length(0.0)), float(link.shock_arm(0.0))
    most = shock.elastic_force(0.0) + g * float(np.abs(gear.mass_moment[1:] @ up).sum()) / arm
    reach = 1.5 * most / shock.stop_stiffness

    def closing(angle: Array) -> Array:
        shock_moment = shock.elastic_force(free - link.shock_length(angle)) * link.shock_arm(angle)
        return shock_moment + g * slope(gear.mass_moment, angle) @ up

    return rising_root(closing, link.angle(-reach), link.angle(reach))


def unit_of(
    gear: MainGear,
    *,
    mass: Array | float,
    lift_ratio: Array | float,
    ground_speed: Array | float,
    attitude_deg: float = 0.0,
    sway: StrutSway | None = None,
    shock: ShockLaw | None = None,
) -> Unit:
    """Numbers of the equations of motion.

    Parameters
    ----------
    gear : MainGear
        The gear.
    mass : ndarray, shape (...)
        Mass on this unit, its own included [kg].
    lift_ratio : ndarray, shape (...)
        Lift over weight [-].
    ground_speed : ndarray, shape (...)
        Speed of the ground past the airplane [m/s].
    attitude_deg : float
        Nose-up attitude of the airplane, which keeps it [deg].
    sway : StrutSway, optional
        Fore-aft flexibility of the strut; rigid if not given.
    shock : ShockLaw, optional
        Shocks of many designs in place of the gear's own.

    Returns
    -------
    Unit
        Plain numbers, arrays where the designs differ.
    """
    link, axes = gear.link, attitude(attitude_deg)
    aft, up = axes[:, 0], axes[:, 2]
    axle_up, wheel_axis_up = link.axle_terms @ up, link.wheel_axis_terms @ up
    shock = gear.shock if shock is None else shock
    angle = hanging_angle(gear, shock, attitude_deg)
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
        hanging_angle=angle,
        touch_height=low,
        wheel_inertia=gear.wheel_inertia,
        rolling_radius=gear.rolling_radius,
        ground_speed=ground_speed,
        sway_stiffness=stiffness,
        sway_damping=damping,
        sway_mobility=0.0 if sway is None else 1 / swaying,
        shock=shock,
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


def touchdown(unit: Unit, speed: ArrayLike) -> Array:
    """State at touchdown: the link hanging, the wheel not turning.

    Parameters
    ----------
    unit : Unit
        The unit or the designs.
    speed : array_like, shape (...)
        Sink speed [m/s].

    Returns
    -------
    ndarray, shape (14, ...)
        State, components first, see `unit.STATES` [any].
    """
    state = np.zeros((len(STATES), *np.shape(speed)))
    state[STATES.index("angle")] = unit.hanging_angle
    state[STATES.index("sink_rate")] = speed
    return state
