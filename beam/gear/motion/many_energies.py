"""The energy balance of many drops at once, and the energy left where a shock meets its stop."""

from typing import Protocol

import numpy as np

from beam.gear.motion.equations import INTEGRALS, STATES, Unit, balance, forces, kinetic, powers
from materials.checks import Array

GAUSS, WEIGHT = np.polynomial.legendre.leggauss(4)
"""Points and weights, on -1 to 1, at which the power of a step is integrated."""


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


def energy_left(paths: Followed, unit: Unit, max_stroke: Array) -> Array:
    """Kinetic energy of the descent [J] where the shock meets its stop, zero where it does not, shape (design,)."""
    met = forces(paths.states, unit).stroke > max_stroke
    descent = kinetic(paths.states, unit) - 0.5 * unit.wheel_inertia * paths.states[STATES.index("spin")] ** 2
    first = np.argmax(met, axis=0)[np.newaxis]
    return np.where(met.any(axis=0), np.take_along_axis(descent, first, axis=0)[0], 0.0)


def energy_error(paths: Followed, unit: Unit) -> Array:
    """Error of the energy balance [-], shape (design,), over the energy at the start or the most supplied since.

    Power is integrated over the cubic of each step; the balance is that of `History.energy_error`.
    """
    states, h = paths.states, np.diff(paths.time, axis=0)
    u = 0.5 * (1 + GAUSS)[:, np.newaxis, np.newaxis]
    y0, y1 = states[:, np.newaxis, :-1], states[:, np.newaxis, 1:]
    m0, m1 = (h * one[:, np.newaxis] for one in (paths.slopes[:, :-1], paths.slopes[:, 1:]))
    inside = y0 + u * (m0 + u * (3 * (y1 - y0) - 2 * m0 - m1 + u * (2 * (y0 - y1) + m0 + m1)))
    power = powers(inside, forces(inside, unit), unit)
    step = 0.5 * h * np.einsum("g,igsd->isd", WEIGHT, power)
    integrals = np.zeros((len(INTEGRALS), *paths.time.shape))
    np.cumsum(step, axis=1, out=integrals[:, 1:])
    supplied, found = balance(np.concatenate([states, integrals]), unit)
    change = supplied - supplied[0]
    scale = np.maximum(np.maximum(kinetic(states[:, 0], unit), 1.0), np.abs(change).max(axis=0))
    return np.asarray(np.abs(found - found[0] - change).max(axis=0) / scale)
