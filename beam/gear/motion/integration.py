"""Integrate a unit over time, and check that energy was kept."""

from collections.abc import Sequence
from typing import Literal

import numpy as np
from scipy.integrate import OdeSolution, solve_ivp

from beam.gear.motion.energy import balance, kinetic
from beam.gear.motion.equations import forces, rates
from beam.gear.motion.history import Ground, History, level
from beam.gear.motion.unit import STATES, Unit
from materials.checks import Array

SAMPLE = 2.5e-4
"""Time between the samples of a history [s]."""

MAX_STEP = 5e-3
"""Longest step, so that no peak of a landing lies unseen inside one [s]."""

LEDGER = 1e-3
"""Gap in the energy ledger beyond which a motion is refused: its loads may be off by as much [-]."""

Method = Literal["RK23", "RK45", "DOP853", "Radau", "BDF", "LSODA"]
"""Integrators of `scipy.integrate.solve_ivp`."""


def integrate(
    unit: Unit,
    start: Array,
    *,
    duration: float,
    max_stroke: float,
    stop_at_bottom: bool,
    rtol: float,
    method: Method,
    ground: Ground = level,
    corners: Sequence[float] = (),
) -> History:
    """Follow a unit from a starting state.

    Parameters
    ----------
    unit : Unit
        The unit.
    start : ndarray, shape (14,)
        Starting state [any].
    duration : float
        Time to follow [s].
    max_stroke : float
        Stroke at which the shock meets its stop [m].
    stop_at_bottom : bool
        End the history where it does.
    rtol : float
        Relative tolerance [-].
    method : str
        Integrator of `scipy.integrate.solve_ivp`.
    ground : callable
        Height and climb of the ground over time.
    corners : sequence of float
        Times, rising, at which the climb has a corner; no step goes across them [s].

    Returns
    -------
    History
        The motion.

    Raises
    ------
    RuntimeError
        If the integrator fails, with the last state, or the energy ledger stays open.
    """

    def bottoms(t: float, y: Array) -> float:
        return float(forces(y, unit, *ground(t)).stroke) - max_stroke

    def turns(t: float, y: Array) -> float:
        return float(y[STATES.index("angle_rate")])

    bottoms.terminal, bottoms.direction = stop_at_bottom, 1.0  # type: ignore[attr-defined]
    turns.terminal, turns.direction = False, -1.0  # type: ignore[attr-defined]
    energy = max(float(kinetic(start, unit)), 1.0)
    times, pieces, bottomed, turned, evaluations = [np.zeros(1)], [], [], [], 0
    begin, state = 0.0, start
    for end in (*(corner for corner in corners if corner < duration), duration):
        found = solve_ivp(
            lambda t, y: rates(y, unit, *ground(t)),
            (begin, end),
            state,
            method=method,
            rtol=rtol,
            atol=rtol * _sizes(unit, energy),
            max_step=MAX_STEP,
            dense_output=True,
            events=(bottoms, turns),
        )
        if found.status < 0 or found.sol is None or found.t_events is None:
            last = dict(zip(STATES, found.y[:, -1].tolist(), strict=True))
            when = f"{found.t[-1]:.5g} s"
            raise RuntimeError(f"motion: integration failed at {when}: {found.message}; state {last}")
        times.append(found.sol.ts[1:])
        pieces.extend(found.sol.interpolants)
        bottomed.append(found.t_events[0])
        turned.append(found.t_events[1])
        evaluations += int(found.nfev)
        begin, state = float(found.t[-1]), found.y[:, -1]
        if found.status == 1:
            break
    dense = OdeSolution(np.concatenate(times), pieces)
    time = np.linspace(0.0, begin, max(round(begin / SAMPLE), 1) + 1)
    states = np.asarray(dense(time))
    height, climb = ground(time)
    supplied, held = balance(states, unit, height)
    drift = (held - held[0]) - (supplied - supplied[0])
    scale = max(energy, float(np.abs(supplied - supplied[0]).max()))
    gap = float(np.abs(drift).max()) / scale
    if not gap <= LEDGER:
        cause = f"give a smaller rtol than {rtol:g}"
        raise RuntimeError(
            f"motion: the energy ledger is open by {gap:.2g}, at most {LEDGER:g} allowed; {cause}"
        )
    return History(
        unit=unit,
        ground=ground,
        solution=lambda t: np.asarray(dense(t)),
        time=time,
        states=states.T,
        forces=forces(states, unit, height, climb),
        energy_error=gap,
        turned_at=np.concatenate(turned),
        bottomed_at=np.concatenate(bottomed),
        evaluations=evaluations,
    )


def _sizes(unit: Unit, energy: float) -> Array:
    """Size that each state can come to, for the absolute tolerance."""
    speed = np.sqrt(2 * energy / unit.mass)
    arm = float(np.hypot(*unit.axle_up[1:]))
    spin = max(float(unit.ground_speed), 1.0) / unit.rolling_radius
    return np.array(
        [0.1, 0.1 / arm, 0.01, speed, speed / arm, 1.0, spin, *[energy] * 5, unit.mass * speed, energy]
    )
