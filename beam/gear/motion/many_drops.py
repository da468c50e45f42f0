"""Thousands of drops at once on one design axis: mass, speed, lift and shock may differ.

Each design keeps its own time and its own step. The pair of Bogacki and Shampine: a third-order step whose error is
estimated against a second-order one, four stages, the last of which is the first of the next step. The laws of tire
and shock have kinks (the stop that lets go, the valve that turns), where a high order would be wasted; a design that
meets one shortens its own step, and the others go on.
"""

from collections.abc import Callable
from functools import partial
from typing import Annotated, Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.constants import g

from beam.flexibility import Flexibility
from beam.gear.main_gear import MainGear
from beam.gear.motion.drop import Duration, check_mass
from beam.gear.motion.equations import (
    AXLE,
    INTEGRALS,
    STATES,
    Unit,
    aft_forces,
    forces,
    kinetic,
    motion_rates,
    motion_sizes,
    powers,
    refuse_far,
    touchdown,
    unit_of,
)
from beam.gear.motion.equations import balance as energy_balance
from beam.gear.parts.shocks import Shocks
from materials.checks import Array, Frozen, Limits, Numbers, checked, common_shape, reject

Indices = NDArray[np.int64]

ORDER = 3
"""Order of the accepted solution [-]."""

WEIGHTS = ((1 / 2,), (0.0, 3 / 4), (2 / 9, 1 / 3, 4 / 9))
"""What each stage takes of the slopes before it; the last is the step itself [-]."""

ERROR = (-5 / 72, 1 / 12, 1 / 9, -1 / 8)
"""Weights of the slopes in the third-order step less those in the second-order one [-]."""

STAGES = len(ERROR)
"""Slopes of a step, the one it ends with included [-]."""

LEAST_STEP = 1e-9
"""A step below this is a failure [s]."""

MAX_STEP = 5e-3
"""Longest step, short against the rise of the load [s]."""

RUNNING = 0.8
"""When fewer than this part of the designs still run, the others are left out [-]."""

CHUNK = 512
"""Designs integrated together: enough to share the cost of a call, few enough to stay in cache [-]."""

GAUSS, WEIGHT = np.polynomial.legendre.leggauss(3)
"""Points and weights, on -1 to 1, at which the power of a step is integrated."""

FLAT = 5e-5
"""Part of a largest value by which the top of a parabola may stay below it [-]."""

VARIED = (
    "mass",
    "net_weight",
    "ground_speed",
    "hanging_angle",
    "touch_height",
    "tire_factor",
    "tread_stiffness",
)
"""Numbers of a unit that differ between designs, besides those of the shock; designs are their last axis."""

TILTED = ("mass_up", "mass_aft", "axle_up", "axle_aft", "wheel_axis_up", "up", "aft")
"""Numbers of a unit that differ between attitudes."""

PEAKS = {
    "peak_ground_force": "ground",
    "max_stroke_used": "stroke",
    "peak_tire_deflection": "deflection",
    "peak_shock_force": "shock",
}
"""Fields of `Drops` and what of `Forces` they are the largest of."""


class Instants(Frozen):
    """The loads on a leg at one instant of each of many landings, shape (design,); as `Instant`."""

    time: Annotated[Numbers, Limits("s", shape=(-1,))]
    drag: Annotated[Numbers, Limits("N", shape=(-1,))]
    axle_drag: Annotated[Numbers, Limits("N", shape=(-1,))]
    ground_drag: Annotated[Numbers, Limits("N", shape=(-1,))]
    vertical: Annotated[Numbers, Limits("N", shape=(-1,))]
    stroke: Annotated[Numbers, Limits("m", shape=(-1,))]


class Drops(Frozen):
    """Peaks of many drops, one row per design, from `drops`.

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
    spin_up, spring_back : Instants
        The instants of `Drop.spin_up` and `Drop.spring_back`, arrays of shape (design,).
    energy_error : ndarray, shape (design,)
        Error of the energy balance over the energy put in; NaN where it was not asked for [-].
    energy_left : ndarray, shape (design,)
        Kinetic energy of the descent left when the shock met its stop; zero if it did not [J].

    Examples
    --------
    >>> from beam.gear import Shocks, drops
    >>> from tourer import GEAR  # examples/tourer.py
    >>> softer = Shocks.of(GEAR.shock, compression=[1e4, 2e4])
    >>> drops(GEAR, mass=500, speed=2.9, lift_ratio=2 / 3, shocks=softer).max_stroke_used.round(3)
    array([0.111, 0.102])
    """

    mass: Annotated[Numbers, Limits("kg", shape=(-1,))]
    lift_ratio: Annotated[Numbers, Limits("-", shape=(-1,))]
    max_stroke: Annotated[Numbers, Limits("m", shape=(-1,))]
    peak_ground_force: Annotated[Numbers, Limits("N", shape=(-1,))]
    time_to_peak: Annotated[Numbers, Limits("s", shape=(-1,))]
    max_stroke_used: Annotated[Numbers, Limits("m", shape=(-1,))]
    peak_tire_deflection: Annotated[Numbers, Limits("m", shape=(-1,))]
    peak_shock_force: Annotated[Numbers, Limits("N", shape=(-1,))]
    spin_up: Instants
    spring_back: Instants
    energy_error: Annotated[Numbers, Limits("-", shape=(-1,), finite=False)]
    energy_left: Annotated[Numbers, Limits("J", shape=(-1,))]

    @property
    def load_factor(self) -> Array:
        """Inertia load factor n = F / W + L, shape (design,) [-]."""
        return self.peak_ground_force / (self.mass * g) + self.lift_ratio

    @property
    def bottomed(self) -> NDArray[np.bool_]:
        """Whether the shock met its compression stop, shape (design,)."""
        return self.max_stroke_used > self.max_stroke


@checked
def drops(
    gear: MainGear,
    *,
    mass: Annotated[ArrayLike, Limits("kg", above=0.0, at_most=1e5, cause="it is the mass on this unit")],
    speed: Annotated[ArrayLike, Limits("m/s", at_least=1e-3, at_most=10.0, cause="given in ft/s or ft/min?")],
    lift_ratio: Annotated[
        ArrayLike, Limits("-", at_least=0.0, at_most=1.0, cause="lift over weight, 2/3 at limit")
    ],
    ground_speed: Annotated[
        ArrayLike, Limits("m/s", at_least=0.0, at_most=150.0, cause="given in knots or km/h?")
    ] = 0.0,
    shocks: Shocks | None = None,
    attitude_deg: Annotated[ArrayLike, Limits("deg", at_least=-30.0, at_most=30.0)] = 0.0,
    flexibility: Flexibility | None = None,
    tire_factor: Annotated[
        ArrayLike, Limits("-", above=0.0, at_most=3.0, cause="1 is the gear's own tire")
    ] = 1.0,
    tread_factor: Annotated[
        ArrayLike, Limits("-", above=0.0, at_most=3.0, cause="1 is the gear's own tire")
    ] = 1.0,
    duration: Duration = 0.5,
    rtol: Annotated[float, Limits("-", at_least=1e-10, at_most=1e-2)] = 3e-5,
    processes: Annotated[int, Limits("-", at_least=1.0)] = 1,
    balance: bool = False,
) -> Drops:
    """Drop many designs of one main unit on level ground.

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
    attitude_deg : array_like, shape (design,)
        Nose-up attitude of the airplane [deg].
    flexibility : Flexibility, optional
        That of the strut of all designs at link pivot and bracket; rigid if not given.
    tire_factor : array_like, shape (design,)
        Radial load of the tire over that of the gear's at the same deflection, as another pressure makes it [-].
    tread_factor : array_like, shape (design,)
        The same of its fore-aft stiffness; nothing where the gear's tire has none [-].
    duration : float
        Longest time to follow; each drop ends when the mass rises and the shock opens, its peaks behind it [s].
    rtol : float
        Error of a step over the size of each state [-]. With the default, rigid and flexible, ground load, stroke and
        tire deflection are good to 2e-4 of their peaks, the shock's force to 5e-4, the drags at spin-up and spring-back
        to 1e-3 of the largest ground load; with 1e-4 to 2e-4, 1e-3 and 3e-3, in a third less time.
    processes : int
        Processes that share the designs, one for each core. They pay from some thousand designs on; more than
        one needs the guard ``if __name__ == "__main__":`` in a script, as `multiprocessing` does [-].
    balance : bool
        Add up the energy balance of every drop, at a third more time. It closes to 1e-5 with an `rtol` of 1e-7.

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

    References
    ----------
    P. Bogacki, L. F. Shampine, A 3(2) pair of Runge-Kutta formulas, Appl. Math. Lett. 2 (1989) 321-325
    (from memory; the order is tested).

    Examples
    --------
    >>> from beam.gear import drops
    >>> from tourer import GEAR  # examples/tourer.py
    >>> found = drops(GEAR, mass=[450, 500], speed=2.9, lift_ratio=2 / 3)
    >>> found.load_factor.round(2), found.bottomed
    (array([3.37, 3.17]), array([False, False]))
    """
    given = (mass, speed, lift_ratio, ground_speed, attitude_deg, tire_factor, tread_factor)
    columns = [_column(n, x) for n, x in zip(ROWS, given, strict=True)]
    check_mass("drops", gear, columns[0].min())
    shocks = Shocks.of(gear.shock) if shocks is None else shocks
    (count,) = common_shape("drops: designs", *(c.shape for c in columns), shocks.shape)
    if shocks.shape != (count,):
        shocks = shocks.take(np.zeros(count, dtype=int))
    columns = [np.broadcast_to(column, (count,)) for column in columns]
    size = min(CHUNK, -(-count // processes))
    parts = [np.arange(first, min(first + size, count)) for first in range(0, count, size)]
    job = partial(_peaks, gear, flexibility=flexibility, duration=duration, rtol=rtol, balance=balance)
    arguments: list[list[Any]] = [[int(part[0]) for part in parts], [shocks.take(part) for part in parts]]
    arguments += [[column[part] for part in parts] for column in columns]
    if processes == 1:
        peaks = list(map(job, *arguments))
    else:
        from concurrent.futures import ProcessPoolExecutor

        with ProcessPoolExecutor(processes) as pool:
            peaks = list(pool.map(job, *arguments))
    found: dict[str, Any] = {name: np.concatenate([peak[name] for peak in peaks]) for name in peaks[0]}
    instants: dict[str, Any] = {
        name: Instants(**{part: found.pop(f"{name}.{part}") for part in Instants.__dataclass_fields__})
        for name in ("spin_up", "spring_back")
    }
    return Drops(
        mass=columns[0],
        lift_ratio=columns[2],
        max_stroke=np.broadcast_to(shocks.max_stroke, (count,)),
        **found,
        **instants,
    )


ROWS = (
    "mass [kg]",
    "speed [m/s]",
    "lift_ratio [-]",
    "ground_speed [m/s]",
    "attitude_deg [deg]",
    "tire_factor [-]",
    "tread_factor [-]",
)


def _column(what: str, value: ArrayLike) -> Array:
    values = np.atleast_1d(np.asarray(value))
    if values.ndim != 1 or not values.size:
        reject(f"drops: {what}", f"shape {values.shape}", "one design axis", "flatten a grid of designs")
    return values


def _peaks(
    gear: MainGear,
    first: int,
    shocks: Shocks,
    mass: Array,
    speed: Array,
    lift_ratio: Array,
    ground_speed: Array,
    attitude_deg: Array,
    tire_factor: Array,
    tread_factor: Array,
    *,
    flexibility: Flexibility | None,
    duration: float,
    rtol: float,
    balance: bool,
) -> dict[str, Array]:
    """Peaks of one chunk, by the names of `Drops`; `first` is the index of its first design."""
    level = (attitude_deg == attitude_deg[0]).all()
    unit = unit_of(
        gear,
        mass=mass,
        lift_ratio=lift_ratio,
        ground_speed=ground_speed,
        attitude_deg=float(attitude_deg[0]) if level else attitude_deg,
        flexibility=flexibility,
        shock=shocks,
        tire_factor=tire_factor,
        tread_factor=tread_factor,
    )
    start = touchdown(unit, speed)[: -len(INTEGRALS)]
    try:
        paths = follow_drops(unit, shocks, start, duration=duration, rtol=rtol)
    except RuntimeError as error:
        if not unit.modes:
            raise
        raise RuntimeError(f"{error} of those from {first} on; a strut too soft for a landing?") from error
    still = np.flatnonzero(paths.states[STATES.index("angle_rate"), -1] > 0)
    if len(still):
        got = f"design {first + int(still[0])} still shortens after {duration:g} s"
        raise RuntimeError(f"drops: the shock of {got}; give a longer duration")
    at_steps = _in_blocks(partial(_watched, unit=unit), paths.states, paths.slopes)
    if unit.modes:
        refuse_far(f"drops: design {first} and on", float(at_steps[-1].max()), gear)
    out = {}
    for row, (name, quantity) in enumerate(PEAKS.items()):

        def value(states: Array, quantity: str = quantity) -> Array:
            return np.asarray(getattr(forces(states, unit), quantity))

        time, states = closest(paths, np.argmax(at_steps[row], axis=0), value)
        out[name] = value(states)
        if quantity == "ground":
            out["time_to_peak"] = time
    stroke, aft = at_steps[list(PEAKS.values()).index("stroke")], at_steps[len(PEAKS)]
    out["energy_left"] = _energy_left(paths, stroke > shocks.max_stroke, unit)
    out["energy_error"] = _energy_error(paths, unit) if balance else np.full(mass.shape, np.nan)

    def drags(states: Array) -> tuple[Array, Array]:
        f = forces(states, unit)
        return aft_forces(states, motion_rates(states, unit), f, unit)

    spin_up = np.argmax(aft, axis=0)
    later = np.arange(len(aft))[:, np.newaxis] >= spin_up
    back = np.argmin(np.where(later, aft, np.inf), axis=0)
    for name, index, sign in (("spin_up", spin_up, 1.0), ("spring_back", back, -1.0)):
        time, states = closest(paths, index, lambda at, sign=sign: sign * drags(at)[0])  # type: ignore[misc]
        f = forces(states, unit)
        values = (time, *drags(states), f.drag, f.ground, f.stroke)
        for part, value_there in zip(Instants.__dataclass_fields__, values, strict=True):
            out[f"{name}.{part}"] = value_there
    return out


def _watched(states: Array, slopes: Array, unit: Unit) -> Array:
    """What is looked at in every step, shape (row, step, design): `PEAKS`, drag in the strut, motion of the axle."""
    f = forces(states, unit)
    rows = [getattr(f, quantity) for quantity in PEAKS.values()]
    moved = np.abs(f.bent.value[AXLE]).max(axis=0) if f.bent else 0.0 * f.ground
    return np.array([*rows, aft_forces(states, slopes, f, unit)[0], moved])


def _in_blocks(function: Callable[..., Array], *arrays: Array) -> Array:
    """Function of arrays (row, step, design), a few steps at once: larger arrays cost more to make than to fill."""
    steps = max(1, 2 * CHUNK // arrays[0].shape[-1])
    parts = range(0, arrays[0].shape[1], steps)
    blocks = ([np.ascontiguousarray(x[:, i : i + steps]) for x in arrays] for i in parts)
    return np.concatenate([function(*block) for block in blocks], axis=1)


class Paths(NamedTuple):
    """Accepted points of every design; a design that ended earlier repeats its last point.

    `time` has the shape (step, design) [s], `states` and `slopes` (their rates) the shape (state, step, design).
    """

    time: Array
    states: Array
    slopes: Array


def follow_drops(
    unit: Unit,
    shocks: Shocks,
    start: Array,
    *,
    duration: float,
    rtol: float,
    max_step: float = MAX_STEP,
    first_step: float = 2e-4,
) -> Paths:
    """Integrate many designs from states (state, design) until their peaks are behind; rtol inf for fixed steps."""
    speed = start[STATES.index("sink_rate")]
    tilted = unit.axle_up.ndim > 1
    varied = tuple(name for name in VARIED if np.ndim(getattr(unit, name))) + (TILTED if tilted else ())
    varied += ("preload",) if unit.modes else ()
    down, closing = STATES.index("sink_rate"), STATES.index("angle_rate")

    def rates_of(index: Indices) -> Callable[[Array], Array]:
        numbers: dict[str, Any] = {name: np.asarray(getattr(unit, name))[..., index] for name in varied}
        return partial(motion_rates, unit=unit._replace(**numbers, shock=shocks.take(index).laws))

    return follow(
        rates_of,
        start,
        sizes=motion_sizes(unit, speed),
        ended=lambda y: (y[down] < 0) & (y[closing] < 0),
        duration=duration,
        rtol=rtol,
        max_step=max_step,
        first_step=first_step,
    )


def follow(
    rates_of: Callable[[Indices], Callable[[Array], Array]],
    start: Array,
    *,
    sizes: Array,
    ended: Callable[[Array], NDArray[np.bool_]],
    duration: float,
    rtol: float,
    max_step: float,
    first_step: float,
) -> Paths:
    """Follow many designs from states (state, design), each until it has ended or its time is over.

    `rates_of` gives the function of the rates of some designs, `sizes` the size that each state can come to, of which
    a step may be off by `rtol`.
    """
    width, total = start.shape
    counts = np.zeros(total, dtype=int)
    alive = np.arange(total)
    rates = rates_of(alive)
    y, t, h, going = start, np.zeros(total), np.full(total, first_step), np.ones(total, dtype=bool)
    slopes = np.empty((STAGES, width, total))
    slopes[0] = rates(start)
    allowed = sizes * rtol
    points = np.zeros((64, total, 1 + 2 * width))
    points[0] = _rows(t, y, slopes[0])
    # a trial step may go far out before it is refused
    with np.errstate(over="ignore", invalid="ignore"):
        while going.any():
            np.minimum(h, np.maximum(duration - t, LEAST_STEP), out=h)
            for stage, weights in enumerate(WEIGHTS, start=1):
                new = y + h * _sum(weights, slopes[:stage])
                slopes[stage] = rates(new)
            excess = np.max(np.abs(_sum(ERROR, slopes)) / allowed, axis=0) * h
            excess[~np.isfinite(excess)] = np.inf
            taken = going & (excess <= 1)
            if taken.all():
                y, slopes[0] = new, slopes[-1]
                t = t + h
            else:
                y = np.where(taken, new, y)
                np.copyto(slopes[0], slopes[-1], where=taken)
                t = np.where(taken, t + h, t)
            counts[alive] += taken
            if counts.max() == len(points):
                points = np.concatenate([points, np.zeros_like(points)])
            kept = alive[taken]
            points[counts[kept], kept] = _rows(t, y, slopes[0])[taken]
            h = np.minimum(h * np.clip(0.9 * np.maximum(excess, 1e-6) ** (-1 / ORDER), 0.2, 5.0), max_step)
            if (going & (h < LEAST_STEP)).any():
                k = int(np.argmax(going & (h < LEAST_STEP)))
                raise RuntimeError(f"drops: integration failed at {t[k]:.5g} s in design {alive[k]}")
            going &= ~(taken & ended(y)) & (t < duration * (1 - 1e-12))
            # the arrays keep what has ended until leaving it out saves more than it costs
            if going.any() and going.mean() < RUNNING:
                alive, y, t, h = alive[going], y[:, going], t[going], h[going]
                slopes, allowed = slopes[..., going], allowed[:, going]
                rates, going = rates_of(alive), going[going]
    at = np.minimum(np.arange(counts.max() + 1)[:, np.newaxis], counts)
    points = np.moveaxis(points[at, np.arange(total)], -1, 0)
    return Paths(points[0], points[1 : 1 + width], points[1 + width :])


def _sum(weights: tuple[float, ...], slopes: Array) -> Array:
    """Weighted sum over the stages, term by term: in a matrix product, rounding depends on the other designs."""
    whole = weights[0] * slopes[0]
    for weight, slope in zip(weights[1:], slopes[1:], strict=True):
        whole += weight * slope
    return np.asarray(whole)


def _rows(t: Array, y: Array, slope: Array) -> Array:
    """Time, state and slope side by side, one row per design."""
    return np.concatenate([t[np.newaxis], y, slope]).T


def closest(
    paths: Paths, index: Indices, value: Callable[[Array], Array], points: int = 3
) -> tuple[Array, Array]:
    """Times (design,) and states (state, design) where a function of the states is largest near one step each.

    A top is flat: the largest of close points has the value, but its time, and so what else is read there, is left to
    rounding and to the error of the steps. So it is the top of the parabola through points a part of a step apart, or
    the largest of close points where the function has a kink, which a parabola misses.
    """
    designs = np.arange(len(index))

    def values(states: Array) -> Array:
        return _in_blocks(lambda part: value(part)[np.newaxis], states)[0]

    time, states = around(paths, index, points)
    v = values(states)
    best = np.argmax(v, axis=0)
    middle = np.clip(best, 1, 2 * points - 1)
    (t0, t1, t2), (v0, v1, v2) = ([x[middle + i, designs] for i in (-1, 0, 1)] for x in (time, v))
    left, right = (v1 - v0) * (t2 - t1), (v2 - v1) * (t1 - t0)
    bend = np.where(left > right, left - right, np.inf)
    found = np.clip(t1 + 0.5 * (left * (t2 - t1) + right * (t1 - t0)) / bend, t0, t2)
    low, high = (time[np.clip(best + i, 0, 2 * points), designs] for i in (-1, 1))
    times = np.concatenate([[found], np.linspace(low, high, 2 * points + 1)])
    states = _at(paths, index, times)
    v = values(states)
    best = np.where(v[0] < v.max(axis=0) - FLAT * np.abs(v).max(axis=0), np.argmax(v, axis=0), 0)
    return times[best, designs], states[:, best, designs]


def around(paths: Paths, index: Indices, points: int) -> tuple[Array, Array]:
    """Times (point, design) and states (state, point, design) between the neighbors of one step of each design.

    `points` points on each side of the step.
    """
    designs, last = np.arange(len(index)), len(paths.time) - 1
    before, here, after = (paths.time[np.clip(index + i, 0, last), designs] for i in (-1, 0, 1))
    time = np.concatenate([np.linspace(before, here, points + 1), np.linspace(here, after, points + 1)[1:]])
    return time, _at(paths, index, time)


def _at(paths: Paths, index: Indices, time: Array) -> Array:
    """States (state, point, design) at times (point, design) in the steps before and after one: cubic in each."""
    designs, last = np.arange(len(index)), len(paths.time) - 1
    low = np.where(time < paths.time[index, designs], np.maximum(index - 1, 0), index)
    high = np.minimum(low + 1, last)
    h = paths.time[high, designs] - paths.time[low, designs]
    u = (time - paths.time[low, designs]) / np.where(h > 0, h, 1.0)
    y0, y1 = paths.states[:, low, designs], paths.states[:, high, designs]
    m0, m1 = h * paths.slopes[:, low, designs], h * paths.slopes[:, high, designs]
    return np.asarray(y0 + u * (m0 + u * (3 * (y1 - y0) - 2 * m0 - m1 + u * (2 * (y0 - y1) + m0 + m1))))


def _energy_left(paths: Paths, met: NDArray[np.bool_], unit: Unit) -> Array:
    """Kinetic energy of the descent [J] where the shock meets its stop, zero where it does not, shape (design,).

    `met`, shape (step, design), says where the shock is beyond its stroke.
    """
    states = paths.states[:, np.argmax(met, axis=0), np.arange(met.shape[1])]
    descent = kinetic(states, unit) - 0.5 * unit.wheel_inertia * states[STATES.index("spin")] ** 2
    return np.where(met.any(axis=0), descent, 0.0)


def _energy_error(paths: Paths, unit: Unit) -> Array:
    """Error of the energy balance [-], shape (design,), over the energy at the start or the most supplied since.

    Power is integrated over the cubic of each step; the balance is that of `History.energy_error`.
    """
    states, last = paths.states, len(paths.time) - 1
    integrals = np.zeros((len(INTEGRALS), *paths.time.shape))
    steps = max(1, CHUNK // paths.time.shape[1])
    for first in range(0, last, steps):
        step = slice(first, first + steps + 1)
        work = _worked(paths.time[step], states[:, step], paths.slopes[:, step], unit)
        integrals[:, first + 1 : first + 1 + steps] = integrals[:, first, np.newaxis] + np.cumsum(
            work, axis=1
        )
    supplied, found = _in_blocks(
        lambda *parts: np.array(energy_balance(np.concatenate(parts), unit)), states, integrals
    )
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
