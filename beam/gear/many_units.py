"""Many designs of one unit in motion: their numbers, how they start, how they are followed."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from scipy.constants import g

from beam.axes import attitude
from beam.gear.batch import Indices, Paths, follow
from beam.gear.circle import slope
from beam.gear.from_gear import unit_of
from beam.gear.gear import MainGear
from beam.gear.motion import lowest_point, rates
from beam.gear.roots import rising_root
from beam.gear.shocks import Shocks
from beam.gear.unit import STATES, Unit
from materials.checks import Array

MAX_STEP = 5e-3
"""Longest step, short against the rise of the load [s]."""

MOTION = STATES.index("spin") + 1
"""States that move and are followed here; the rest are integrals over them [-]."""


def units_of(
    gear: MainGear,
    shocks: Shocks,
    mass: Array,
    lift_ratio: Array,
    ground_speed: Array,
    attitude_deg: float = 0.0,
) -> Unit:
    """Numbers of the equations of motion of many designs.

    Parameters
    ----------
    gear : MainGear
        What the designs share.
    shocks : Shocks
        Their shocks.
    mass : ndarray, shape (design,)
        Mass on the unit [kg].
    lift_ratio : ndarray, shape (design,)
        Lift over weight [-].
    ground_speed : ndarray, shape (design,)
        Speed of the ground past the airplane [m/s].
    attitude_deg : float
        Nose-up attitude [deg].

    Returns
    -------
    Unit
        Plain numbers, arrays where the designs differ.
    """
    one = unit_of(gear, mass=1.0, lift_ratio=0.0, ground_speed=0.0, attitude_deg=attitude_deg)
    angle = hanging_angles(gear, shocks, attitude_deg)
    low, _ = lowest_point(one.axle_up, one.wheel_axis_up, gear.tire.radius, np.cos(angle), np.sin(angle))
    return replace(
        one,
        mass=mass,
        net_weight=(1 - lift_ratio) * mass * g,
        ground_speed=ground_speed,
        touch_height=low,
        shock=shocks,
    )


def hanging_angles(gear: MainGear, shocks: Shocks, attitude_deg: float = 0.0) -> Array:
    """Link angles with the wheel in the air, see `from_gear.hanging_angle`.

    Parameters
    ----------
    gear : MainGear
        What the designs share.
    shocks : Shocks
        Their shocks.
    attitude_deg : float
        Nose-up attitude [deg].

    Returns
    -------
    ndarray, shape (design,)
        Angles, a little below zero by the give of the stop [rad].
    """
    link, up = gear.link, attitude(attitude_deg)[:, 2]
    free, arm = float(link.shock_length(0.0)), float(link.shock_arm(0.0))
    most = shocks.elastic_force(0.0) + g * float(np.abs(gear.mass_moment[1:] @ up).sum()) / arm
    reach = np.broadcast_to(1.5 * most / shocks.stop_stiffness, shocks.shape)

    def closing(angle: Array) -> Array:
        shock_moment = shocks.elastic_force(free - link.shock_length(angle)) * link.shock_arm(angle)
        return shock_moment + g * slope(gear.mass_moment, angle) @ up

    return rising_root(closing, link.angle(-reach), link.angle(reach))


def touchdowns(gear: MainGear, unit: Unit, speed: Array, attitude_deg: float = 0.0) -> Array:
    """States at touchdown: the link hanging, the wheel not turning.

    Parameters
    ----------
    gear : MainGear
        What the designs share.
    unit : Unit
        The designs, from `units_of`.
    speed : ndarray, shape (design,)
        Sink speeds [m/s].
    attitude_deg : float
        Nose-up attitude [deg].

    Returns
    -------
    ndarray, shape (7, design)
        States that move, see `unit.STATES` [any].
    """
    assert isinstance(unit.shock, Shocks)
    state = np.zeros((MOTION, len(speed)))
    state[STATES.index("angle")] = hanging_angles(gear, unit.shock, attitude_deg)
    state[STATES.index("sink_rate")] = speed
    return state


def follow_drops(
    unit: Unit,
    start: Array,
    *,
    duration: float,
    rtol: float,
    max_step: float = MAX_STEP,
    first_step: float = 2e-4,
) -> Paths:
    """Integrate many designs until their peaks are behind them.

    Parameters
    ----------
    unit : Unit
        The designs.
    start : ndarray, shape (7, design)
        Starting states [any].
    duration : float
        Longest time to follow [s].
    rtol : float
        Error of a step over the size of each state; infinity for fixed steps [-].
    max_step, first_step : float
        Longest and first step [s].

    Returns
    -------
    Paths
        The motions.
    """
    speed = start[STATES.index("sink_rate")]
    arm = float(np.hypot(*unit.axle_up[1:]))
    spin = np.maximum(unit.ground_speed, 1.0) / unit.rolling_radius
    one = np.ones_like(speed)
    # sink, angle, sway and their rates, spin: what each can come to
    sizes = np.array([0.1 * one, 0.1 / arm * one, 0.01 * one, speed, speed / arm, one, spin * one])
    down, closing = STATES.index("sink_rate"), STATES.index("angle_rate")
    return follow(
        lambda index: rates_of(unit, index),
        start,
        sizes=sizes,
        ended=lambda y: (y[down] < 0) & (y[closing] < 0),
        duration=duration,
        rtol=rtol,
        max_step=max_step,
        first_step=first_step,
    )


def rates_of(unit: Unit, index: Indices) -> Callable[[Array], Array]:
    """Rates of the states of some designs.

    Parameters
    ----------
    unit : Unit
        All designs.
    index : ndarray of int, shape (chosen,)
        Some of them [-].

    Returns
    -------
    callable
        Rates of their states, shape (7, chosen).
    """
    assert isinstance(unit.shock, Shocks)
    varied = (
        np.asarray(v)[index] for v in (unit.mass, unit.net_weight, unit.ground_speed, unit.touch_height)
    )
    mass, net_weight, ground_speed, touch_height = varied
    some = replace(
        unit,
        mass=mass,
        net_weight=net_weight,
        ground_speed=ground_speed,
        touch_height=touch_height,
        shock=unit.shock.take(index),
    )
    return lambda y: rates(y, some)[:MOTION]
