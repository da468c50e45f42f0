"""Many designs of one unit in motion: how they are followed."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from beam.gear.motion.batch import Indices, Paths, follow
from beam.gear.motion.equations import motion_rates
from beam.gear.motion.unit import STATES, Unit
from beam.gear.parts.shocks import Shocks
from materials.checks import Array

MAX_STEP = 5e-3
"""Longest step, short against the rise of the load [s]."""

MOTION = STATES.index("spin") + 1
"""States that move and are followed here; the rest are integrals over them [-]."""

VARIED = ("mass", "net_weight", "ground_speed", "hanging_angle", "touch_height")
"""Numbers of a unit that differ between designs; all but these and the shock they share."""


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
    mass, net_weight, ground_speed, hanging_angle, touch_height = (
        np.asarray(getattr(unit, name))[index] for name in VARIED
    )
    some = replace(
        unit,
        mass=mass,
        net_weight=net_weight,
        ground_speed=ground_speed,
        hanging_angle=hanging_angle,
        touch_height=touch_height,
        shock=unit.shock.take(index),
    )
    return lambda y: motion_rates(y, some)
