"""The motion of a unit over time, at the samples and in between."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from beam.gear.motion.equations import forces, rates, turned_slope
from beam.gear.motion.unit import STATES, Forces, Unit
from materials.checks import Array

Ground = Callable[[Array | float], tuple[Array | float, Array | float]]
"""Height of the ground under the wheel and its rate, over time."""


def level(_: Array | float) -> tuple[float, float]:
    """Return the height and climb of level ground."""
    return 0.0, 0.0


@dataclass(frozen=True, kw_only=True, eq=False)
class History:
    """A unit's motion over time.

    Parameters
    ----------
    unit : Unit
        The numbers of the unit.
    ground : callable
        Height and climb of the ground over time.
    solution : callable
        State, components first, at any time of the motion.
    time : ndarray, shape (time,)
        Sample times [s].
    states : ndarray, shape (time, 14)
        State at each, see `unit.STATES` [any].
    forces : Forces
        What acts at each.
    energy_error : float
        Largest difference between energy put in and energy found, over the kinetic energy at the
        start or, if larger, the most that was put in [-].
    turned_at : ndarray, shape (turn,)
        Times at which the link stopped closing [s].
    bottomed_at : ndarray, shape (bottom,)
        Times at which the shock met its compression stop [s].
    evaluations : int
        How often the right-hand side was evaluated [-].
    """

    unit: Unit
    ground: Ground
    solution: Callable[[Array | float], Array]
    time: Array
    states: Array
    forces: Forces
    energy_error: float
    turned_at: Array
    bottomed_at: Array
    evaluations: int

    def state(self, name: str) -> Array:
        """One component of the state.

        Parameters
        ----------
        name : str
            Name in `unit.STATES`.

        Returns
        -------
        ndarray, shape (time,)
            Its history [any].
        """
        return self.states[:, STATES.index(name)]

    def forces_at(self, time: Array | float) -> Forces:
        """What acts at any time of the motion.

        Parameters
        ----------
        time : ndarray, shape (...)
            Time [s].

        Returns
        -------
        Forces
            Forces at each time.
        """
        return forces(self.solution(time), self.unit, *self.ground(time))

    def rates_at(self, time: Array | float) -> Array:
        """Rate of the state, components first, at any time of the motion.

        Parameters
        ----------
        time : ndarray, shape (...)
            Time [s].

        Returns
        -------
        ndarray, shape (14, ...)
            Rate of each component, see `unit.STATES` [any].
        """
        return rates(self.solution(time), self.unit, *self.ground(time))

    def strut_drag_at(self, time: Array | float) -> Array:
        """Fore-aft force that the pivot passes to the strut's root at any time of the motion.

        Parameters
        ----------
        time : ndarray, shape (...)
            Time [s].

        Returns
        -------
        ndarray, shape (...)
            Ground drag less the fore-aft inertia of link, wheel and swaying strut, positive aft [N].
        """
        y, rate = self.solution(time), self.rates_at(time)
        cos, sin = np.cos(y[1]), np.sin(y[1])
        _, B, C = self.unit.mass_aft
        X = turned_slope(self.unit.mass_aft, cos, sin)
        inertia = X * rate[4] - (B * cos + C * sin) * y[4] ** 2
        if np.all(self.unit.sway_mobility):
            inertia = inertia + rate[5] / self.unit.sway_mobility
        return self.forces_at(time).drag - inertia

    def peak(
        self, history: Callable[[Array], Array], since: float = 0.0, until: float = np.inf
    ) -> tuple[float, float]:
        """Largest value of a smooth history, closed in on from the samples.

        Parameters
        ----------
        history : callable
            Value over time.
        since, until : float
            Bounds of the search [s].

        Returns
        -------
        time : float
            When [s].
        value : float
            How much [any].
        """
        time = self.time[(self.time >= since) & (self.time <= until)]
        for _ in range(4):
            values = history(time)
            top = int(np.argmax(values))
            found = float(time[top]), float(values[top])
            time = np.linspace(time[max(top - 1, 0)], time[min(top + 1, len(time) - 1)], 41)
        return found
