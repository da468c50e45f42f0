"""The drop of one main unit: impact at a sink speed, spin-up, compression, rebound."""

from functools import cached_property, partial
from typing import Annotated, Any, Literal

import numpy as np
from scipy.constants import g

from beam.flexibility import Flexibility
from beam.gear.main_gear import MainGear
from beam.gear.motion.equations import STATES, Setup, refuse_soft, touchdown
from beam.gear.motion.history import GroundRun, Method, integrate
from materials.checks import Array, Frozen, Limits, checked, number

STILL = 0.01
"""Rate of the stroke over the sink speed at touchdown below which the shock has come to rest [-]."""

Mass = Annotated[float, Limits("kg", above=0.0, at_most=1e5, cause="it is the mass on this unit")]
SinkSpeed = Annotated[float, Limits("m/s", above=0.0, at_most=10.0, cause="given in ft/s or ft/min?")]
LiftRatio = Annotated[float, Limits("-", at_least=0.0, at_most=1.0, cause="lift over weight, 2/3 at limit")]
GroundSpeed = Annotated[float, Limits("m/s", at_least=0.0, at_most=150.0, cause="given in knots or km/h?")]
Pitch = Annotated[float, Limits("deg", at_least=-30.0, at_most=30.0)]
Duration = Annotated[float, Limits("s", above=0.0, at_most=20.0)]
Tolerance = Annotated[float, Limits("-", at_least=1e-12, at_most=1e-2)]


class Bottomed(RuntimeError):
    """The shock reached its compression stop while the unit still came down.

    Parameters
    ----------
    speed : float
        Sink speed left [m/s].
    energy : float
        Kinetic energy left, which shock and tire fall short by [J].
    total : float
        Kinetic energy at touchdown and work of weight less lift since [J].
    time : float
        Time since touchdown [s].
    max_stroke : float
        Stroke of the shock [m].
    """

    def __init__(self, *, speed: float, energy: float, total: float, time: float, max_stroke: float) -> None:
        self.speed, self.energy, self.total, self.time, self.max_stroke = (
            speed,
            energy,
            total,
            time,
            max_stroke,
        )
        super().__init__(
            f"drop: the shock bottomed at its full stroke of {max_stroke:g} m, {time:.4f} s after touchdown, "
            f"with {speed:.3g} m/s of sink left: {energy:.4g} J of {total:.4g} J not absorbed; "
            "more stroke, charge pressure or orifice damping, or less mass or speed?"
        )

    def __reduce__(self) -> tuple[Any, ...]:
        return partial(Bottomed, **vars(self)), ()


class Instant(Frozen, eq=True):
    """The loads on a leg at one instant of a landing.

    Parameters
    ----------
    time : float
        Time since touchdown [s].
    drag : float
        Fore-aft force in the strut: drag of the ground less the inertia of wheel, link and strut, positive aft [N].
    axle_drag : float
        Fore-aft force of the wheel on the axle: drag of the ground less the inertia of the wheel, positive aft [N].
    ground_drag : float
        Drag of the ground, positive aft [N].
    vertical : float
        Vertical load of the ground [N].
    stroke : float
        Stroke of the shock [m].

    Examples
    --------
    >>> from beam.gear import Instant
    >>> loads = {"drag": 6316.0, "axle_drag": 6250.0, "ground_drag": 6131.0, "vertical": 7664.0}
    >>> Instant(time=0.025, stroke=0.013, **loads).drag
    6316.0
    """

    time: Annotated[float, Limits("s")]
    drag: Annotated[float, Limits("N")]
    axle_drag: Annotated[float, Limits("N")]
    ground_drag: Annotated[float, Limits("N")]
    vertical: Annotated[float, Limits("N")]
    stroke: Annotated[float, Limits("m")]


class Drop(GroundRun):
    """Histories and results of a drop, from `drop`.

    Parameters
    ----------
    history : History
        The motion. ``history.state(name)`` gives one state at the samples of `time`: sink, angle [m, rad], their rates
        sink_rate, angle_rate, the wheel's spin [rad/s], slip of a tread that gives [-]; on a flexible strut mode_1,
        mode_1_rate and so on, scaled to 1 kg [m kg^0.5]; the energies damper_loss, friction_loss, tire_loss, slip_loss
        (strain of the tread included), strut_loss [J]; drag_impulse [N s] and ground_work [J].
        ``history.solution(t)``, ``history.forces_at(t)`` and ``history.rates_at(t)`` give all states, forces and
        rates at any time.

    Notes
    -----
    Vertical balance of the whole mass at the peak: n W = F + L W, so n = F / W + L. It is 14 CFR 23.725(e),
    n = n_j W_e / W + L, with n_j W_e the peak load of the drop test.

    Examples
    --------
    >>> from beam.gear import drop
    >>> from tourer import GEAR  # examples/tourer.py
    >>> found = drop(GEAR, mass=500, speed=2.9, lift_ratio=2 / 3, ground_speed=35, rtol=1e-5)
    >>> round(found.load_factor, 3), round(found.max_stroke_used, 4), round(found.efficiency, 2)
    (3.138, 0.1057, 0.86)
    >>> round(float(found.history.state("spin").max()), 0)
    175.0
    """

    @property
    def speed(self) -> float:
        """Sink speed at touchdown [m/s]."""
        return float(self.history.state("sink_rate")[0])

    @cached_property
    def strut_drag(self) -> Array:
        """Fore-aft force in the strut, positive aft, shape (time,) [N]."""
        return self.history.strut_drag_at(self.time)

    @property
    def acceleration(self) -> Array:
        """Upward acceleration of the sprung mass, shape (time,) [m/s2]."""
        return -self.history.rates_at(self.time)[STATES.index("sink_rate")]

    @property
    def efficiency(self) -> float:
        """Work on the shock up to its largest stroke over that stroke times the largest force [-].

        NaN where the load does not move the shock off its extension stop.
        """
        return _efficiency(self.stroke, self.shock_force)

    @property
    def lift_off_time(self) -> float:
        """When the tire first left the ground in rebound; NaN if it did not [s]."""
        clear = np.flatnonzero((self.tire_deflection < 0) & (self.time > self.time_to_peak))
        return float(self.time[clear[0]]) if len(clear) else float("nan")

    @cached_property
    def spin_up(self) -> Instant:
        """The instant of the largest aft force in the strut."""
        return self._instant(self.history.peak(self.history.strut_drag_at)[0])

    @cached_property
    def spring_back(self) -> Instant:
        """The instant of the largest forward force in the strut after spin-up; its drag is negative.

        Without fore-aft flexibility there is none but the inertia of link and wheel.
        """
        after = self.spin_up.time
        return self._instant(self.history.peak(lambda t: -self.history.strut_drag_at(t), since=after)[0])

    def _instant(self, time: float) -> Instant:
        forces = self.history.forces_at(time)
        return Instant(
            time=time,
            drag=float(self.history.strut_drag_at(time)),
            axle_drag=float(self.history.axle_drag_at(time)),
            ground_drag=float(forces.drag),
            vertical=float(forces.ground),
            stroke=float(forces.stroke),
        )


def _efficiency(travel: Array, force: Array) -> float:
    top = int(np.argmax(travel)) + 1
    if travel[top - 1] <= 0:
        return float("nan")
    work = np.trapezoid(force[:top], travel[:top])
    return float(work / (force[:top].max() * (travel[top - 1] - travel[0])))


@checked
def free_fall_speed(height: Annotated[float, Limits("m", above=0.0, at_most=5.0)]) -> float:
    """Speed at touchdown of a free drop.

    Parameters
    ----------
    height : float
        Drop height, from the tire to the ground [m].

    Returns
    -------
    float
        Sink speed [m/s].

    Raises
    ------
    ValueError
        If the height is outside its limits.

    Notes
    -----
    v = sqrt(2 g h).

    Examples
    --------
    >>> from beam.gear import free_fall_speed
    >>> round(free_fall_speed(0.4), 3)
    2.801
    """
    return float(np.sqrt(2 * g * height))


def check_mass(what: str, gear: MainGear, mass: float) -> None:
    """Refuse a mass on the unit of less than twice its unsprung mass."""
    cause = "it is the mass on this unit, not that of the wheel"
    number(f"{what}: mass [kg]", mass, above=2 * gear.unsprung_mass, cause=cause)


@checked
def drop(
    gear: MainGear,
    *,
    mass: Mass,
    speed: SinkSpeed,
    lift_ratio: LiftRatio,
    ground_speed: GroundSpeed = 0.0,
    attitude_deg: Pitch = 0.0,
    flexibility: Flexibility | None = None,
    duration: Duration = 0.5,
    rtol: Tolerance = 1e-7,
    method: Method = "RK45",
    bottoming: Literal["raise", "record"] = "raise",
) -> Drop:
    """Drop one main unit on level ground.

    Parameters
    ----------
    gear : MainGear
        The gear.
    mass : float
        Mass that stands on this unit, link and wheel included [kg].
    speed : float
        Sink speed at touchdown, see `free_fall_speed` for a drop from a height [m/s].
    lift_ratio : float
        Lift over weight, constant through the drop [-].
    ground_speed : float
        Speed of the ground past the airplane; the wheel does not turn at touchdown [m/s].
    attitude_deg : float
        Nose-up attitude of the airplane, which keeps it [deg].
    flexibility : Flexibility, optional
        That of the strut at link pivot and bracket; rigid if not given.
    duration : float
        Time to follow [s].
    rtol : float
        Relative tolerance of the integration [-].
    method : str
        Integrator of `scipy.integrate.solve_ivp`.
    bottoming : str
        "raise" stops with `Bottomed` when the shock meets its stop; "record" goes on over the stop.

    Returns
    -------
    Drop
        Histories and results.

    Raises
    ------
    Bottomed
        If the shock meets its compression stop with energy left.
    RuntimeError
        If the integrator fails, or shock or ground force have not come to their peak at the end.
    ValueError
        If an input is outside its limits.

    Notes
    -----
    Coordinates: sink of the sprung mass, link angle, wheel spin, and the modes of the strut below 300 Hz with link and
    wheel on it; the modes above are taken as rigid. 14 CFR 23.479(b) and 23.479(c) ask for spin-up and spring-back on
    such a strut. The equations of
    motion stand in `beam.gear.motion.equations`. The energy supplied must equal the energy found to 1e-3.

    Examples
    --------
    >>> from beam.gear import drop
    >>> from tourer import GEAR  # examples/tourer.py
    >>> found = drop(GEAR, mass=500, speed=2.9, lift_ratio=2 / 3, rtol=1e-5)
    >>> round(found.peak_ground_force, -1), round(found.time_to_peak, 3), found.bottomed
    (12250.0, 0.06, False)
    """
    check_mass("drop", gear, mass)
    setup = Setup(
        gear=gear,
        mass=mass,
        lift_ratio=lift_ratio,
        ground_speed=ground_speed,
        attitude_deg=attitude_deg,
        flexibility=flexibility,
    )
    start, stop = touchdown(setup.unit, speed), bottoming == "raise"
    history = integrate(setup, start, duration=duration, rtol=rtol, method=method, stop_at_bottom=stop)
    if stop and len(history.bottomed_at):
        when = float(history.bottomed_at[0])
        state = history.solution(when)
        sunk = float(state[STATES.index("sink")])
        raise Bottomed(
            speed=float(state[STATES.index("sink_rate")]),
            energy=history.bottoming_energy,
            total=0.5 * mass * speed**2 + (1 - lift_ratio) * mass * g * sunk,
            time=when,
            max_stroke=gear.shock.max_stroke,
        )
    refuse_soft("drop", history.states.T, setup.unit, gear)
    stroke, ground = history.forces.stroke, history.forces.ground
    if stroke[-1] >= stroke.max() and history.forces.stroke_rate[-1] > STILL * speed:
        raise RuntimeError(f"drop: the shock still shortens after {duration:g} s; give a longer duration")
    if ground[-1] >= ground.max() and history.state("sink_rate")[-1] > STILL * speed:
        raise RuntimeError(f"drop: the ground force still rises after {duration:g} s; give a longer duration")
    return Drop(history=history)


@checked
def reserve_energy(
    gear: MainGear,
    *,
    mass: Mass,
    reserve_speed: SinkSpeed,
    ground_speed: GroundSpeed = 0.0,
    flexibility: Flexibility | None = None,
    duration: Duration = 0.5,
    rtol: Tolerance = 1e-7,
) -> Drop:
    """Drop at the descent speed of the reserve-energy case, with lift equal to weight.

    Parameters
    ----------
    gear : MainGear
        The gear.
    mass : float
        Mass that stands on this unit, link and wheel included [kg].
    reserve_speed : float
        Descent speed of the reserve-energy case, such as `beam.loads.part23.reserve_descent_speed`: in Part 23
        1.2 times the limit one, so not the limit one itself [m/s].
    ground_speed : float
        Speed of the ground past the airplane [m/s].
    flexibility : Flexibility, optional
        That of the strut at link pivot and bracket; rigid if not given.
    duration : float
        Time to follow [s].
    rtol : float
        Relative tolerance of the integration [-].

    Returns
    -------
    Drop
        Histories; `bottomed` and `bottoming_energy` say whether it bottoms and by how much energy.

    Raises
    ------
    ValueError, RuntimeError
        As `drop`; a shock that bottoms goes on over its stop.

    References
    ----------
    14 CFR 23.723(b) (through Amendment 23-62): the gear may yield but not fail.

    Examples
    --------
    >>> from beam.gear import reserve_energy
    >>> from tourer import GEAR  # examples/tourer.py
    >>> found = reserve_energy(GEAR, mass=800, reserve_speed=3.84, rtol=1e-5)
    >>> found.bottomed, round(found.bottoming_energy, -1)
    (True, 880.0)
    """
    return drop(
        gear,
        mass=mass,
        speed=reserve_speed,
        lift_ratio=1.0,
        ground_speed=ground_speed,
        flexibility=flexibility,
        duration=duration,
        rtol=rtol,
        bottoming="record",
    )
