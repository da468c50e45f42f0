"""The energy balance of many drops at once, and the energy left where a shock meets its stop."""

from typing import Protocol

import numpy as np

from beam.gear.motion.equations import INTEGRALS, STATES, Unit, balance, forces, kinetic, powers
from materials.checks import Array

GAUSS, WEIGHT = np.polynomial.legendre.leggauss(3)
"""Points and weights, on -1 to 1, at which the power of a step is integrated."""

BLOCK = 16
"""Steps integrated together: few enough to stay in cache [-]."""


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
    states = paths.states
    integrals = np.zeros((len(INTEGRALS), *paths.time.shape))
    for first in range(0, len(paths.time) - 1, BLOCK):
        step = slice(first, first + BLOCK + 1)
        work = _worked(paths.time[step], states[:, step], paths.slopes[:, step], unit)
        integrals[:, first + 1 : first + 1 + BLOCK] = integrals[:, first, np.newaxis] + np.cumsum(
            work, axis=1
        )
    supplied, found = balance(np.concatenate([states, integrals]), unit)
    change = supplied - supplied[0]
    scale = np.maximum(np.maximum(kinetic(states[:, 0], unit), 1.0), np.abs(change).max(axis=0))
    return np.asarray(np.abs(found - found[0] - change).max(axis=0) / scale)


def _worked(time: Array, states: Array, slopes: Array, unit: Unit) -> Array:
    """What each of `INTEGRALS` gains in each step, shape (7, step, design), from states (state, step + 1, design)."""
    h = np.diff(time, axis=0)
    u = 0.5 * (1 + GAUSS)[:, np.newaxis, np.newaxis]
    y0, y1 = states[:, np.newaxis, :-1], states[:, np.newaxis, 1:]
    m0, m1 = (h * one[:, np.newaxis] for one in (slopes[:, :-1], slopes[:, 1:]))
    inside = y0 + u * (m0 + u * (3 * (y1 - y0) - 2 * m0 - m1 + u * (2 * (y0 - y1) + m0 + m1)))
    power = powers(inside, forces(inside, unit), unit)
    return np.asarray(0.5 * h * np.einsum("g,igsd->isd", WEIGHT, power))
