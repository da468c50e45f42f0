"""What else a batch of drops gives: loads at spin-up and spring-back, the energy balance, the energy left at the stop."""

from typing import Protocol

import numpy as np
from scipy.constants import g

from beam.gear.motion.equations import (
    STATES,
    Forces,
    Unit,
    forces,
    kinetic,
    turned,
    turned_slope,
)
from materials.checks import Array

GAUSS, WEIGHT = np.polynomial.legendre.leggauss(4)
"""Points and weights, on -1 to 1, at which the dissipated power of a step is integrated."""


def axle_drag(y: Array, rates: Array, unit: Unit, found: Forces) -> Array:
    """Fore-aft force [N] of the wheel on its axle, shape (...): drag of the ground less inertia of link and wheel."""
    cos, sin = np.cos(y[1]), np.sin(y[1])
    _, B, C = unit.mass_aft
    inertia = turned_slope(unit.mass_aft, cos, sin) * rates[4] - (B * cos + C * sin) * y[4] ** 2
    if not unit.rigid:
        inertia = inertia + rates[5] / unit.sway_mobility
    return np.asarray(found.drag - inertia)


class Followed(Protocol):
    """Accepted points of many drops: time (step, design) [s], states and their rates (state, step, design)."""

    @property
    def time(self) -> Array:
        """Time [s]."""

    @property
    def states(self) -> Array:
        """States."""

    @property
    def slopes(self) -> Array:
        """Rates of the states."""


def energies(paths: Followed, unit: Unit, max_stroke: Array, *, balance: bool) -> tuple[Array, Array]:
    """Error of the energy balance [-], NaN if not asked, and energy left where the shock meets its stop [J], (design,).

    Power is integrated over the cubic of each step. The error is over the energy at the start or the most supplied
    since, as in `History.energy_error`.
    """
    time, states, slopes = paths.time, paths.states, paths.slopes
    f, moving = forces(states, unit), kinetic(states, unit)
    met = f.stroke > max_stroke
    descent = moving - 0.5 * unit.wheel_inertia * states[STATES.index("spin")] ** 2
    first = np.argmax(met, axis=0)[np.newaxis]
    left = np.where(met.any(axis=0), np.take_along_axis(descent, first, axis=0)[0], 0.0)
    if not balance:
        return np.full(left.shape, np.nan), left
    h = np.diff(time, axis=0)
    u = 0.5 * (1 + GAUSS)[:, np.newaxis, np.newaxis]
    y0, y1 = states[:, np.newaxis, :-1], states[:, np.newaxis, 1:]
    m0, m1 = (h * one[:, np.newaxis] for one in (slopes[:, :-1], slopes[:, 1:]))
    cubic = y0 + u * (m0 + u * (3 * (y1 - y0) - 2 * m0 - m1 + u * (2 * (y0 - y1) + m0 + m1)))
    inside = forces(cubic, unit)
    tire = (inside.ground - inside.ground_elastic) * inside.deflection_rate
    power = (inside.damper + inside.friction) * inside.stroke_rate + tire + inside.drag * inside.slip_speed
    power = power + unit.sway_damping * cubic[STATES.index("sway_rate")] ** 2
    lost, pulled = (_since(h, one) for one in (power, inside.drag * unit.ground_speed))
    moment, sway = turned(unit.mass_up, np.cos(states[1]), np.sin(states[1])), states[STATES.index("sway")]
    supplied = unit.net_weight * states[0] - g * moment + pulled
    stored = unit.shock.energy(f.stroke) + unit.tire_energy(f.deflection) + 0.5 * unit.sway_stiffness * sway**2
    found, change = moving + stored + lost, supplied - supplied[0]
    scale = np.maximum(np.maximum(moving[0], 1.0), np.abs(change).max(axis=0))
    return np.abs(found - found[0] - change).max(axis=0) / scale, left


def _since(h: Array, rate: Array) -> Array:
    """Integral since the start, shape (point, design), of a rate at the Gauss points (gauss, step, design) of steps h."""
    step = 0.5 * h * np.tensordot(WEIGHT, rate, axes=(0, 0))
    return np.concatenate([np.zeros_like(step[:1]), np.cumsum(step, axis=0)])
