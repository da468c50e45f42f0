"""Thousands of drops at once on one design axis: mass, speed, lift and shock may differ."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.constants import g

from beam.gear.main_gear import MainGear
from beam.gear.motion.batch import around
from beam.gear.motion.equations import forces
from beam.gear.motion.from_gear import touchdown, unit_of
from beam.gear.motion.many_units import MOTION, follow_drops
from beam.gear.motion.unit import STATES
from beam.gear.parts.shocks import Shocks
from materials.checks import Array, array, common_shape, number, reject, whole
from materials.kinds import instance

CHUNK = 1024
"""Designs integrated together: enough to share the cost of a call, few enough to stay in cache [-]."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Drops:
    """Peaks of many drops, one row per design.

    Parameters
    ----------
    mass : ndarray, shape (design,)
        Mass on the unit [kg].
    lift_ratio : ndarray, shape (design,)
        Lift over weight [-].
    max_stroke : ndarray, shape (design,)
        Stroke between the stops of the shock [m].
    peak_ground_force : ndarray, shape (design,)
        Largest vertical load of the ground [N].
    time_to_peak : ndarray, shape (design,)
        When [s].
    max_stroke_used : ndarray, shape (design,)
        Largest stroke of the shock, beyond `max_stroke` by the give of the stop where it bottoms [m].
    peak_tire_deflection : ndarray, shape (design,)
        Largest deflection of the tire [m].
    peak_shock_force : ndarray, shape (design,)
        Largest force of the shock [N].
    """

    mass: Array
    lift_ratio: Array
    max_stroke: Array
    peak_ground_force: Array
    time_to_peak: Array
    max_stroke_used: Array
    peak_tire_deflection: Array
    peak_shock_force: Array

    @property
    def load_factor(self) -> Array:
        """Inertia load factor n = F / W + L, shape (design,) [-]."""
        return self.peak_ground_force / (self.mass * g) + self.lift_ratio

    @property
    def bottomed(self) -> NDArray[np.bool_]:
        """Whether the shock met its compression stop, shape (design,)."""
        return self.max_stroke_used > self.max_stroke


def drops(
    gear: MainGear,
    *,
    mass: ArrayLike,
    speed: ArrayLike,
    lift_ratio: ArrayLike,
    ground_speed: ArrayLike = 0.0,
    shocks: Shocks | None = None,
    attitude_deg: float = 0.0,
    duration: float = 0.5,
    rtol: float = 1e-4,
    processes: int = 1,
) -> Drops:
    """Drop many designs of one main unit on level ground, the strut rigid.

    Parameters
    ----------
    gear : MainGear
        Link, tire and wheel of all designs, and their shock if no others are given.
    mass : array_like, shape (design,)
        Mass that stands on the unit, link and wheel included [kg].
    speed : array_like, shape (design,)
        Sink speed at touchdown [m/s].
    lift_ratio : array_like, shape (design,)
        Lift over weight, constant through the drop [-].
    ground_speed : array_like, shape (design,)
        Speed of the ground past the airplane; the wheel does not turn at touchdown [m/s].
    shocks : Shocks, optional
        Shock of each design.
    attitude_deg : float
        Nose-up attitude of the airplane [deg].
    duration : float
        Longest time to follow; each drop ends when the mass rises and the shock opens, its peaks behind it [s].
    rtol : float
        Error of a step over the size of each state; the default holds peaks to 1e-3 with room [-].
    processes : int
        Processes that share the designs, one for each core. They pay from some thousand designs on; more than
        one needs the guard ``if __name__ == "__main__":`` in a script, as `multiprocessing` does [-].

    Returns
    -------
    Drops
        Peaks; a shock that bottoms goes on over its stop, as `drop` does with bottoming="record".

    Raises
    ------
    RuntimeError
        If a design cannot be integrated or its shock is still shortening at the end.
    ValueError
        If an input is outside its limits.
    """
    instance("drops: gear", gear, MainGear)
    if shocks is not None:
        instance("drops: shocks", shocks, Shocks)
    least, cause = 2 * gear.unsprung_mass, "it is the mass on this unit, not that of the wheel"
    columns = (
        _column("mass [kg]", mass, least, 1e5, cause),
        _column("speed [m/s]", speed, 1e-3, 10, "given in ft/s or ft/min?"),
        _column("lift_ratio [-]", lift_ratio, 0, 1, "lift over weight, 2/3 at limit"),
        _column("ground_speed [m/s]", ground_speed, 0, 150, "given in knots or km/h?"),
    )
    number("drops: attitude_deg [deg]", attitude_deg, at_least=-30, at_most=30)
    number("drops: duration [s]", duration, above=0, at_most=20)
    number("drops: rtol [-]", rtol, at_least=1e-10, at_most=1e-2)
    processes = whole("drops: processes [-]", processes, at_least=1)
    shocks = Shocks.of(gear.shock) if shocks is None else shocks
    (count,) = common_shape("drops: designs", *(c.shape for c in columns), shocks.shape)
    if shocks.shape != (count,):
        shocks = shocks.take(np.zeros(count, dtype=int))
    mass, speed, lift_ratio, ground_speed = (np.broadcast_to(column, (count,)) for column in columns)
    size = min(CHUNK, -(-count // processes))
    parts = [np.arange(first, min(first + size, count)) for first in range(0, count, size)]
    jobs = [
        _Job(
            gear=gear,
            shocks=shocks.take(part),
            mass=mass[part],
            speed=speed[part],
            lift_ratio=lift_ratio[part],
            ground_speed=ground_speed[part],
            attitude_deg=attitude_deg,
            duration=duration,
            rtol=rtol,
            first=int(part[0]),
        )
        for part in parts
    ]
    if processes == 1:
        peaks = [_peaks(job) for job in jobs]
    else:
        from concurrent.futures import ProcessPoolExecutor

        with ProcessPoolExecutor(processes) as pool:
            peaks = list(pool.map(_peaks, jobs))
    return Drops(
        mass=mass,
        lift_ratio=lift_ratio,
        max_stroke=np.broadcast_to(shocks.max_stroke, (count,)),
        **{name: np.concatenate([peak[name] for peak in peaks]) for name in peaks[0]},
    )


def _column(what: str, value: ArrayLike, low: float, high: float, cause: str = "") -> Array:
    values = np.atleast_1d(array(f"drops: {what}", value))
    if values.ndim != 1 or not values.size:
        reject(f"drops: {what}", f"shape {values.shape}", "one design axis", "flatten a grid of designs")
    for end in (values.min(), values.max()):
        number(f"drops: {what}", float(end), at_least=low, at_most=high, cause=cause)
    return values


@dataclass(frozen=True, kw_only=True, eq=False)
class _Job:
    """Designs that are integrated together."""

    gear: MainGear
    shocks: Shocks
    mass: Array
    speed: Array
    lift_ratio: Array
    ground_speed: Array
    attitude_deg: float
    duration: float
    rtol: float
    first: int


def _peaks(job: _Job) -> dict[str, Array]:
    """Peaks of one chunk, by the names of `Drops`."""
    unit = unit_of(
        job.gear,
        mass=job.mass,
        lift_ratio=job.lift_ratio,
        ground_speed=job.ground_speed,
        attitude_deg=job.attitude_deg,
        shock=job.shocks,
    )
    paths = follow_drops(unit, touchdown(unit, job.speed)[:MOTION], duration=job.duration, rtol=job.rtol)
    still = np.flatnonzero(paths.states[STATES.index("angle_rate"), -1] > 0)
    if len(still):
        got = f"design {job.first + int(still[0])} still shortens after {job.duration:g} s"
        raise RuntimeError(f"drops: the shock of {got}; give a longer duration")
    found = forces(paths.states, unit)
    out = {}
    for name, quantity in (
        ("peak_ground_force", "ground"),
        ("max_stroke_used", "stroke"),
        ("peak_tire_deflection", "deflection"),
        ("peak_shock_force", "shock"),
    ):
        time, states = around(paths, np.argmax(getattr(found, quantity), axis=0), points=8)
        values = getattr(forces(states, unit), quantity)
        top = np.argmax(values, axis=0)[np.newaxis]
        out[name] = np.take_along_axis(values, top, axis=0)[0]
        if quantity == "ground":
            out["time_to_peak"] = np.take_along_axis(time, top, axis=0)[0]
    return out
