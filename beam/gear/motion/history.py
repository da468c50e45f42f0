"""The motion of one unit over time: integrated with its energy balance, kept as arrays, read at any time."""

from collections.abc import Callable
from functools import cached_property
from typing import Annotated, Literal

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import ArrayLike
from scipy.constants import g
from scipy.integrate import OdeSolution, solve_ivp

from beam.gear.main_gear import MainGear
from beam.gear.motion.equations import (
    Forces,
    Setup,
    Unit,
    aft_forces,
    balance,
    descent_energy,
    forces,
    kinetic,
    motion_sizes,
    rates,
)
from materials.checks import Array, Frozen, Limits, Numbers

SAMPLE = 2.5e-4
"""Time between the samples of a history [s]."""

MAX_STEP = 5e-3
"""Longest step, so that no peak of a landing lies unseen inside one [s]."""

MOST_ERROR = 1e-3
"""Error of the energy balance beyond which a motion is refused: its loads may be off by as much [-]."""

DEGREE = 7
"""Degree of the polynomial kept for each step: that of the output of DOP853, the highest of a fixed degree [-]."""

NODES = chebyshev.chebpts1(DEGREE + 1)
FIT = np.linalg.inv(chebyshev.chebvander(NODES, DEGREE))
"""From the states at the nodes of a step to the coefficients of its Chebyshev polynomial."""

Method = Literal["RK23", "RK45", "DOP853", "Radau", "BDF", "LSODA"]
"""Integrators of `scipy.integrate.solve_ivp`."""


class History(Frozen):
    """Motion of a unit over time, from `integrate`: its setup, and the states of each step as a polynomial.

    `knots`, shape (step + 1,), are the times at which a step ends; `pieces`, shape (8, state, step), the Chebyshev
    coefficients over each step; `bottomed_at` the times at which the shock met its compression stop; `evaluations`
    the number of those of the equations.
    """

    setup: Setup
    knots: Annotated[Numbers, Limits("s", shape=(-1,))]
    pieces: Annotated[Numbers, Limits("any", shape=(DEGREE + 1, -1, -1))]
    bottomed_at: Annotated[Numbers, Limits("s", shape=(-1,))]
    evaluations: int

    @cached_property
    def time(self) -> Array:
        """Sample times, shape (time,) [s]."""
        end = self.knots[-1]
        return np.linspace(0.0, end, max(round(end / SAMPLE), 1) + 1)

    @cached_property
    def states(self) -> Array:
        """State at each sample, shape (time, state), in the order of `Setup.states`."""
        return self.solution(self.time).T

    @cached_property
    def forces(self) -> Forces:
        """What acts at each sample."""
        return self.forces_at(self.time)

    @cached_property
    def energy_error(self) -> float:
        """Largest error of the energy balance over the energy at the start or the most supplied since [-]."""
        states = self.states.T
        height, _ = self.setup.ground(self.time)
        supplied, found = balance(states, self.setup.unit, height)
        change = supplied - supplied[0]
        scale = max(_start_energy(states[:, 0], self.setup.unit), float(np.abs(change).max()))
        return float(np.abs(found - found[0] - change).max()) / scale

    @property
    def bottoming_energy(self) -> float:
        """Kinetic energy of the descent left when the shock met its stop; zero if it did not [J]."""
        return (
            descent_energy(self.solution(self.bottomed_at[0]), self.setup.unit)
            if len(self.bottomed_at)
            else 0.0
        )

    def state(self, name: str) -> Array:
        """One component of the state at each sample, shape (time,), by its name in `Setup.states`."""
        return self.states[:, self.setup.states.index(name)]

    def solution(self, time: Array | float) -> Array:
        """State, shape (state, ...), at times of shape (...) [s]."""
        return _evaluate(self.knots, self.pieces, time)

    def forces_at(self, time: Array | float) -> Forces:
        """What acts at times of shape (...) [s]."""
        return forces(self.solution(time), self.setup.unit, *self.setup.ground(time))

    def rates_at(self, time: Array | float) -> Array:
        """Rate of the state, shape (state, ...), at times of shape (...) [s]."""
        return rates(self.solution(time), self.setup.unit, *self.setup.ground(time))

    def strut_drag_at(self, time: Array | float) -> Array:
        """Fore-aft force [N] in the strut, shape (...): drag less inertia of wheel, link and strut, positive aft."""
        return self._aft_at(time)[0]

    def axle_drag_at(self, time: Array | float) -> Array:
        """Fore-aft force [N] of the wheel on the axle, shape (...): drag less inertia of the wheel, positive aft."""
        return self._aft_at(time)[1]

    def _aft_at(self, time: Array | float) -> tuple[Array, Array]:
        return aft_forces(self.solution(time), self.rates_at(time), self.forces_at(time), self.setup.unit)

    def peak(
        self, history: Callable[[Array], Array], since: float = 0.0, until: float = np.inf
    ) -> tuple[float, float]:
        """Time [s] and value of the largest of a function of time, searched from the samples between two times [s]."""
        time = self.time[(self.time >= since) & (self.time <= until)]
        for _ in range(4):
            values = history(time)
            top = int(np.argmax(values))
            found = float(time[top]), float(values[top])
            time = np.linspace(time[max(top - 1, 0)], time[min(top + 1, len(time) - 1)], 41)
        return found


def _evaluate(knots: Array, pieces: Array, time: ArrayLike) -> Array:
    """Values (state, ...) at times (...) of Chebyshev polynomials (degree, state, step) between knots (step + 1,)."""
    time = np.asarray(time, dtype=float)
    step = np.clip(np.searchsorted(knots, time, side="right") - 1, 0, len(knots) - 2)
    low, high = knots[step], knots[step + 1]
    return np.asarray(
        chebyshev.chebval((2 * time - low - high) / (high - low), pieces[:, :, step], tensor=False)
    )


def integrate(
    setup: Setup,
    start: Array,
    *,
    duration: float,
    rtol: float,
    method: Method = "RK45",
    stop_at_bottom: bool = False,
) -> History:
    """Follow a unit from a state (state,); RuntimeError if the integrator fails or energy is not kept."""
    unit, ground, max_stroke = setup.unit, setup.ground, setup.gear.shock.max_stroke

    def bottoms(t: float, y: Array) -> float:
        return float(forces(y, unit, *ground(t)).stroke) - max_stroke

    bottoms.terminal, bottoms.direction = stop_at_bottom, 1.0  # type: ignore[attr-defined]
    energy, state = _start_energy(start, unit), start
    knots, values, bottomed, evaluations = [np.zeros(1)], [], [], 0
    begin = 0.0
    # no step goes across the end of the bump, where the climb has a corner
    corner = setup.bump_length / setup.ground_speed if setup.bump_height else duration
    for end in (*([corner] if corner < duration else []), duration):
        found = solve_ivp(
            lambda t, y: rates(y, unit, *ground(t)),
            (begin, end),
            state,
            method=method,
            rtol=rtol,
            atol=rtol * _sizes(unit, energy),
            max_step=MAX_STEP,
            dense_output=True,
            events=bottoms,
        )
        if found.status < 0 or found.sol is None or found.t_events is None:
            last = dict(zip(setup.states, found.y[:, -1].tolist(), strict=True))
            when = f"{found.t[-1]:.5g} s"
            soft = "; a strut too soft?" if unit.modes else ""
            raise RuntimeError(f"motion: integration failed at {when}: {found.message}{soft}; state {last}")
        knots.append(found.sol.ts[1:])
        values.extend(_at_nodes(found.sol))
        bottomed.append(found.t_events[0])
        evaluations += int(found.nfev)
        begin, state = float(found.t[-1]), found.y[:, -1]
        if found.status == 1:
            break
    history = History(
        setup=setup,
        knots=np.concatenate(knots),
        pieces=np.einsum("cn,kin->cik", FIT, np.array(values)),
        bottomed_at=np.concatenate(bottomed),
        evaluations=evaluations,
    )
    if not history.energy_error <= MOST_ERROR:
        gap, cause = history.energy_error, f"give a smaller rtol than {rtol:g}"
        raise RuntimeError(
            f"motion: the energy balance is off by {gap:.2g}, at most {MOST_ERROR:g} allowed; {cause}"
        )
    return history


def _start_energy(start: Array, unit: Unit) -> float:
    """Kinetic energy at the start, at least 1 J: the scale of the balance [J]."""
    return max(float(kinetic(start, unit)), 1.0)


def _at_nodes(dense: OdeSolution) -> list[Array]:
    """States (state, node) of each step at the nodes of its polynomial."""
    steps = zip(dense.ts[:-1], dense.ts[1:], dense.interpolants, strict=True)
    return [state(low + (high - low) * 0.5 * (NODES + 1)) for low, high, state in steps]


def _sizes(unit: Unit, energy: float) -> Array:
    """Size that each state can come to, shape (state,), for the absolute tolerance."""
    speed = float(np.sqrt(2 * energy / unit.mass))
    ends = [energy] * 5 + [float(unit.mass) * speed, energy]
    return np.concatenate([motion_sizes(unit, np.array(speed)), ends])


class GroundRun(Frozen):
    """What every motion of a unit on the ground gives: histories, peaks, load factor, whether it bottomed."""

    history: History

    @property
    def gear(self) -> MainGear:
        """The gear."""
        return self.history.setup.gear

    @property
    def mass(self) -> float:
        """Mass on the unit [kg]."""
        return self.history.setup.mass

    @property
    def lift_ratio(self) -> float:
        """Lift over weight [-]."""
        return self.history.setup.lift_ratio

    @property
    def ground_speed(self) -> float:
        """Speed of the ground past the airplane [m/s]."""
        return self.history.setup.ground_speed

    @property
    def time(self) -> Array:
        """Time since touchdown, shape (time,) [s]."""
        return self.history.time

    @property
    def sink(self) -> Array:
        """Descent of the sprung mass since touchdown, shape (time,) [m]."""
        return self.history.state("sink")

    @property
    def stroke(self) -> Array:
        """Stroke of the shock, shape (time,) [m]."""
        return self.history.forces.stroke

    @property
    def tire_deflection(self) -> Array:
        """Deflection of the tire, negative when clear of the ground, shape (time,) [m]."""
        return self.history.forces.deflection

    @property
    def ground_force(self) -> Array:
        """Vertical load of the ground on the tire, shape (time,) [N]."""
        return self.history.forces.ground

    @property
    def shock_force(self) -> Array:
        """Axial force of the shock, positive in compression, shape (time,) [N]."""
        return self.history.forces.shock

    @property
    def drag_force(self) -> Array:
        """Drag of the ground on the tire, positive aft, shape (time,) [N]."""
        return self.history.forces.drag

    @cached_property
    def _peak(self) -> tuple[float, float]:
        return self.history.peak(lambda t: self.history.forces_at(t).ground)

    @property
    def peak_ground_force(self) -> float:
        """Largest vertical load of the ground [N]."""
        return self._peak[1]

    @property
    def time_to_peak(self) -> float:
        """Time from touchdown to the largest vertical load, t_s of Appendix D to 14 CFR 23 [s]."""
        return self._peak[0]

    @cached_property
    def max_stroke_used(self) -> float:
        """Largest stroke of the shock [m]."""
        return self.history.peak(lambda t: self.history.forces_at(t).stroke)[1]

    @property
    def load_factor(self) -> float:
        """Inertia load factor n = F / W + L: upward acceleration of the center of mass over g, plus 1 [-]."""
        return self.peak_ground_force / (self.mass * g) + self.lift_ratio

    @property
    def heat(self) -> float:
        """Energy turned into heat in the shock by the end of the history [J]."""
        return float(self.history.state("damper_loss")[-1] + self.history.state("friction_loss")[-1])

    @property
    def energy_error(self) -> float:
        """Error of the energy balance over the energy put in [-]."""
        return self.history.energy_error

    @property
    def bottoming_energy(self) -> float:
        """Kinetic energy of the descent left when the shock met its stop; zero if it did not [J]."""
        return self.history.bottoming_energy

    @property
    def bottomed(self) -> bool:
        """Whether the shock met its compression stop."""
        return len(self.history.bottomed_at) > 0

    @property
    def tire_bottomed(self) -> bool:
        """Whether the tire was flat on its rim."""
        return bool((self.tire_deflection > self.gear.tire.bottoming_deflection).any())
