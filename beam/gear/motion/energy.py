"""The energy ledger of a motion: what went in, what is found."""

import numpy as np

from beam.gear.motion.equations import forces, turned, turned_slope
from beam.gear.motion.unit import STATES, Unit
from materials.checks import Array

LOSSES = slice(STATES.index("damper_loss"), STATES.index("sway_loss") + 1)
"""Components of the state that hold dissipated energy."""


def kinetic(y: Array, unit: Unit) -> Array:
    """Kinetic energy of sprung mass, link, wheel and strut.

    Parameters
    ----------
    y : ndarray, shape (14, ...)
        State, components first, see `unit.STATES` [any].
    unit : Unit
        The unit or the designs.

    Returns
    -------
    ndarray, shape (...)
        Kinetic energy [J].
    """
    _, q, _, s_rate, q_rate, u_rate, spin = y[:7]
    cos, sin = np.cos(q), np.sin(q)
    Z, X = turned_slope(unit.mass_up, cos, sin), turned_slope(unit.mass_aft, cos, sin)
    rigid = np.asarray(unit.sway_mobility) == 0
    swaying = np.where(rigid, 0.0, u_rate**2 / np.where(rigid, 1.0, unit.sway_mobility))
    turning = unit.hinge_inertia * q_rate**2 + 2 * q_rate * (u_rate * X - s_rate * Z)
    return 0.5 * (unit.mass * s_rate**2 + swaying + turning + unit.wheel_inertia * spin**2)


def descent_energy(y: Array, unit: Unit) -> float:
    """Kinetic energy at one state without that of the wheel's spin.

    Parameters
    ----------
    y : ndarray, shape (14,)
        State, see `unit.STATES` [any].
    unit : Unit
        The unit.

    Returns
    -------
    float
        What shock, tire and stops have yet to take [J].
    """
    return float(kinetic(y, unit) - 0.5 * unit.wheel_inertia * y[STATES.index("spin")] ** 2)


def balance(y: Array, unit: Unit, height: Array | float = 0.0) -> tuple[Array, Array]:
    """Energy put in and energy found, each from its own zero: their changes are equal.

    Parameters
    ----------
    y : ndarray, shape (14, ...)
        State, components first, see `unit.STATES` [any].
    unit : Unit
        The unit or the designs.
    height : ndarray, shape (...)
        Height of the ground [m].

    Returns
    -------
    supplied : ndarray, shape (...)
        Work of weight, lift, and the ground's motion aft and up [J].
    found : ndarray, shape (...)
        Kinetic energy, energy in shock, tire and strut, and what was dissipated [J].
    """
    s, q, u = y[:3]
    f = forces(y, unit, height)
    moment = turned(unit.mass_up, np.cos(q), np.sin(q))
    belt, lift = y[STATES.index("drag_impulse")], y[STATES.index("ground_work")]
    supplied = unit.net_weight * s - unit.gravity * moment + unit.ground_speed * belt + lift
    stored = unit.shock.energy(f.stroke) + unit.tire.energy(f.deflection) + 0.5 * unit.sway_stiffness * u**2
    return supplied, kinetic(y, unit) + stored + y[LOSSES].sum(axis=0)
