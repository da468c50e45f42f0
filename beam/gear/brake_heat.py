"""Heat of the brakes: the energy of a stop in a lumped thermal network from the disc to the tip of the strut."""

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Annotated, cast

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import zero_Celsius
from scipy.integrate import solve_ivp
from scipy.optimize import minimize_scalar
from scipy.sparse.csgraph import connected_components

from beam.gear.thermal_network import (
    AMBIENT,
    Conduction,
    Convection,
    Radiation,
    ThermalLink,
    ThermalNode,
)
from beam.loads import brake_energy
from materials.checks import Array, Frozen, Items, Limits, Numbers, checked, number, one_of, reject
from materials.source import Source

if TYPE_CHECKING:
    from pandas import DataFrame

LEDGER = 1e-5
"""Largest error of the energy ledger over the energy that takes part [-]."""

STILL_HOTTER = 1.0
"""A tip that still warms at the end, with a node hotter by this beside it, has not had its peak [K]."""

RTOL, ATOL = 1e-8, 1e-6
"""Tolerances of the integration: relative, and absolute [K]."""

WITHIN = 8
"""Samples kept in each step of the integration."""

_Outside = Annotated[
    float, Limits("K", at_least=200.0, at_most=340.0, cause="given in degC? Kelvin is degC + 273.15")
]


class BrakeStop(Frozen):
    """A stop, or a rejected take-off, at constant deceleration, and what one brake takes of it.

    Parameters
    ----------
    mass : float
        Mass of the airplane [kg].
    ground_speed : float
        Speed over the ground when the brakes come on [m/s].
    deceleration : float
        Deceleration down to rest [m/s2].
    braked_wheels : int
        Wheels with brakes [-].
    energy_share : float
        Part of the kinetic energy that the brakes take; the rest is drag of air, tires and propeller. 1 is safe [-].
    start : float
        Time at which the brakes come on [s].
    name : str
        As in "landing" or "rejected take-off".

    Raises
    ------
    ValueError
        If a value is outside its limits.

    Notes
    -----
    One brake takes E = s m V^2 / (2 N) in T = V / a; its power falls with the speed, P = (2 E / T) (1 - t / T).
    23.735(a)(1) asks for KE = 0.0443 W V^2 / N (ft lbf, lb, knots), that is 0.07 % more than m V^2 / (2 N), at the
    design landing mass from not less than V_S0; 23.735(e) for the take-off mass and V_1.
    Source: 14 CFR 23.735.

    Examples
    --------
    >>> stop = BrakeStop(mass=1180, ground_speed=29, deceleration=3, name="landing")
    >>> round(stop.energy), round(stop.duration, 2), round(stop.rule_energy / stop.energy, 4)
    (248095, 9.67, 1.0007)
    """

    mass: Annotated[float, Limits("kg", above=0.0, at_most=8700.0, cause="given in pounds?")]
    ground_speed: Annotated[float, Limits("m/s", above=0.0, at_most=150.0, cause="given in km/h?")]
    deceleration: Annotated[float, Limits("m/s2", above=0.0, at_most=15.0, cause="given in ft/s2?")]
    braked_wheels: Annotated[int, Limits("-", at_least=1, at_most=16)] = 2
    energy_share: Annotated[float, Limits("-", above=0.0, at_most=1.0, cause="given in percent?")] = 1.0
    start: Annotated[float, Limits("s", at_least=0.0, at_most=1e6)] = 0.0
    name: str = "stop"

    @property
    def energy(self) -> float:
        """Energy that one brake takes [J]."""
        return self.energy_share * self.mass * self.ground_speed**2 / (2 * self.braked_wheels)

    @property
    def rule_energy(self) -> float:
        """Energy that 23.735(a)(1) asks of one brake from this mass and speed [J]."""
        return float(brake_energy(self.mass, self.ground_speed, self.braked_wheels))

    @property
    def duration(self) -> float:
        """Time from the speed to rest [s]."""
        return self.ground_speed / self.deceleration

    @property
    def end(self) -> float:
        """Time at which the airplane stands [s]."""
        return self.start + self.duration

    @checked
    def power(self, time: Annotated[ArrayLike, Limits("s")]) -> Array:
        """Power of one brake, shape (...) [W].

        Parameters
        ----------
        time : array_like, shape (...)
            Time [s].
        """
        done = (np.asarray(time) - self.start) / self.duration
        on = (done >= 0) & (done <= 1)
        return np.where(on, 2 * self.energy / self.duration * (1 - done), 0.0)

    @checked
    def absorbed(self, time: Annotated[ArrayLike, Limits("s")]) -> Array:
        """Energy that one brake has taken up to a time, shape (...) [J].

        Parameters
        ----------
        time : array_like, shape (...)
            Time [s].
        """
        done = np.clip((np.asarray(time) - self.start) / self.duration, 0.0, 1.0)
        return np.asarray(self.energy * (1 - (1 - done) ** 2))


class BrakeHeat(Frozen):
    """Lumped thermal network of one wheel: disc, wheel, axle, link, tip of the strut, or whatever nodes are given.

    Parameters
    ----------
    nodes : iterable of ThermalNode
        The parts.
    links : iterable of Conduction, Convection or Radiation
        What carries heat between them and to the surroundings ("ambient").
    ambient : float
        Temperature of the surroundings [K].
    tip : str
        Name of the node of the strut's tip.

    Raises
    ------
    ValueError
        If two nodes have one name, a link names an unknown node or one node twice, the heat shares do not sum to 1,
        or no links lead from the heated nodes to a node.

    Notes
    -----
    C_i dT_i/dt = P_i(t) - sum over links of G (T_i - T_j) + R (T_i^4 - T_j^4), with the heat capacities C, the
    conductances G and the radiative coefficients R. A lumped node holds while its Biot number h L / k is below 0.1.
    Source: Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, lumped capacitance (from memory).

    Examples
    --------
    >>> from brake_stop import NETWORK, LANDING  # examples/brake_stop.py
    >>> found = NETWORK.temperatures([LANDING], duration=7200)
    >>> round(found.tip_temperature), found.tip_time > LANDING.end
    (305, True)
    """

    nodes: Items[ThermalNode]
    links: Items[ThermalLink]
    ambient: _Outside
    tip: str

    def __post_init__(self) -> None:
        super().__post_init__()
        names = self.names
        if len(set(names)) < len(names):
            reject("BrakeHeat: nodes", sorted(names), "of different names")
        one_of("BrakeHeat: tip", self.tip, names)
        for i, link in enumerate(self.links):
            for end in (link.first, link.second):
                one_of(
                    f"BrakeHeat: links[{i}], end of {type(link).__name__}",
                    end,
                    (*names, AMBIENT),
                    "no such node",
                )
            if link.first == link.second:
                reject(f"BrakeHeat: links[{i}]", f"{link.first!r} at both ends", "between two nodes")
        total = sum(node.heat_share for node in self.nodes)
        cause = "which node takes the energy of the brake?"
        number("BrakeHeat: sum of the heat_share of all nodes [-]", total, at_least=1 - 1e-9, at_most=1 + 1e-9,
               cause=cause)  # fmt: skip
        self._refuse_disconnected()

    def _refuse_disconnected(self) -> None:
        """Refuse a node that no links join with a heated node; the surroundings do not count as a way."""
        n = len(self.nodes)
        inner = [e for e in self._ends if n not in e]
        joined = np.zeros((n, n))
        for i, j in inner:
            joined[i, j] = 1
        _, group = connected_components(joined, directed=False)
        heated = {group[i] for i, node in enumerate(self.nodes) if node.heat_share}
        alone = [node.name for i, node in enumerate(self.nodes) if group[i] not in heated]
        if alone:
            limit = "joined by links with a heated node"
            reject("BrakeHeat: nodes", f"disconnected {', '.join(alone)}", limit, "a link left out?")

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the nodes, in order."""
        return tuple(node.name for node in self.nodes)

    @property
    def _ends(self) -> list[tuple[int, int]]:
        """Numbers of the nodes of every link; the surroundings come after the last node."""
        place = {name: i for i, name in enumerate((*self.names, AMBIENT))}
        return [(place[link.first], place[link.second]) for link in self.links]

    @property
    def inputs(self) -> "DataFrame":
        """Every input with its source: columns part, input, value, unit, source, guess."""
        from pandas import DataFrame

        rows = [["surroundings", "temperature", self.ambient, "K", "as given", False]]
        for node in self.nodes:
            given = {
                "mass": (node.mass, "kg"),
                "specific_heat": (node.specific_heat, "J/(kg K)"),
                "heat_share": (node.heat_share, "-"),
            }
            rows += [[node.name, name, *pair, *_standing(node.source)] for name, pair in given.items()]
        units = {
            Conduction: {"conductivity": "W/(m K)", "cross_section": "m2", "length": "m"},
            Convection: {"coefficient": "W/(m2 K)", "surface": "m2"},
            Radiation: {"emissivity": "-", "surface": "m2", "view_factor": "-"},
        }
        for link in self.links:
            part = f"{type(link).__name__.lower()}, {link.first} to {link.second}"
            rows += [
                [part, name, getattr(link, name), unit, *_standing(link.source)]
                for name, unit in units[type(link)].items()
            ]
        return DataFrame(rows, columns=["part", "input", "value", "unit", "source", "guess"])

    @property
    def guesses(self) -> tuple[str, ...]:
        """Parts and links whose numbers are guesses."""
        rows = self.inputs
        return tuple(dict.fromkeys(rows.part[rows.guess]))

    @checked
    def temperatures(
        self,
        stops: Sequence[BrakeStop],
        *,
        duration: Annotated[float, Limits("s", above=0.0, at_most=1e6, cause="given in ms?")] = 7200.0,
    ) -> "BrakeTemperatures":
        """Temperatures of all nodes over one or more stops and the soak-back after them.

        Parameters
        ----------
        stops : sequence of BrakeStop
            The stops, one after the other, such as a landing and a rejected take-off.
        duration : float
            Time to follow, to well after the last stop [s].

        Returns
        -------
        BrakeTemperatures
            Histories, peaks and the energy ledger.

        Raises
        ------
        ValueError
            If two stops overlap, or the tip of the strut has not had its peak at the end.
        """
        ordered = sorted(stops, key=lambda stop: stop.start)
        for before, after in pairwise(ordered):
            what = f"BrakeHeat.temperatures: start of {after.name!r} [s]"
            number(what, after.start, at_least=before.end, cause=f"{before.name!r} still goes on")
        what = "BrakeHeat.temperatures: duration [s]"
        number(what, duration, above=ordered[-1].end, cause="it ends before the airplane stands")
        start = np.array([node.start_temperature or self.ambient for node in self.nodes])
        marks = sorted({0.0, duration, *(t for stop in ordered for t in (stop.start, stop.end))})
        pieces, lost, at = [], 0.0, start
        for begin, end in pairwise(marks):
            active = next((s for s in ordered if s.start <= begin < s.end), None)
            piece, at, out = self._integrate(active, begin, end, at)
            pieces.append(piece)
            lost += out
        time = np.concatenate([piece[0] for piece in pieces])
        temperature = np.concatenate([piece[1] for piece in pieces])
        peaks = [max((piece[2][i] for piece in pieces), key=lambda p: p[1]) for i in range(len(self.nodes))]
        found = BrakeTemperatures(
            network=self, stops=ordered, time=time, temperature=temperature,
            peak_time=[t for t, _ in peaks], peak_temperature=[T for _, T in peaks], energy_lost=lost,
        )  # fmt: skip
        what = "BrakeHeat.temperatures: error of the energy ledger [-]"
        number(what, abs(found.ledger_error), at_most=LEDGER, cause="the integration does not converge")
        k = self.names.index(self.tip)
        if found.peak_time[k] >= duration * (1 - 1e-9) and at.max() - at[k] > STILL_HOTTER:
            hottest = self.names[int(at.argmax())]
            got = f"{duration:g}, when {hottest} is still {at.max() - at[k]:.3g} K hotter than {self.tip}"
            reject("BrakeHeat.temperatures: duration [s]", got, "long enough for the peak of the tip",
                   "the tip still warms")  # fmt: skip
        return found

    def _integrate(
        self, stop: BrakeStop | None, begin: float, end: float, at: Array
    ) -> tuple[tuple[Array, Array, list[tuple[float, float]]], Array, float]:
        """Samples (time, temperature, peaks), last temperatures and heat lost of a time with one stop or none."""
        n = len(self.nodes)
        capacity = np.array([node.heat_capacity for node in self.nodes])
        share = np.array([node.heat_share for node in self.nodes])
        i, j = np.array(self._ends, dtype=int).reshape(-1, 2).T
        G = np.array([link.linear for link in self.links])
        R = np.array([link.radiative for link in self.links])
        incidence = np.zeros((n + 1, len(self.links)))
        incidence[i, np.arange(len(i))] += 1
        incidence[j, np.arange(len(j))] -= 1

        def flows(T: Array) -> Array:
            """Flow through every link, shape (link, ...), at temperatures (node, ...) [W]."""
            full = np.concatenate([T, np.full((1, *T.shape[1:]), self.ambient)])
            first, second = full[i], full[j]
            return (G * (first - second).T + R * (first**4 - second**4).T).T

        def slope(t: float, T: Array) -> Array:
            heat = (
                0.0 if stop is None else 2 * stop.energy / stop.duration * (1 - (t - begin) / stop.duration)
            )
            return np.asarray((share * heat - incidence[:n] @ flows(T)) / capacity)

        def jacobian(t: float, T: Array) -> Array:
            full = np.append(T, self.ambient)
            d = incidence.T * 0.0
            rows = np.arange(len(i))
            d[rows, i] += G + 4 * R * full[i] ** 3
            d[rows, j] -= G + 4 * R * full[j] ** 3
            return np.asarray(-(incidence[:n] @ d[:, :n]) / capacity[:, None])

        done = solve_ivp(
            slope, (begin, end), at, method="Radau", jac=jacobian, rtol=RTOL, atol=ATOL, dense_output=True
        )
        if not done.success:
            reject("BrakeHeat.temperatures: integration", done.message, "converged")
        steps, solution = done.t, cast(Callable[[ArrayLike], Array], done.sol)
        share_of_step = np.linspace(0.0, 1.0, WITHIN, endpoint=False)
        time = np.append((steps[:-1, None] + np.diff(steps)[:, None] * share_of_step).ravel(), end)
        temperature = solution(time).T
        peaks = [_peak(time, temperature[:, k], solution, k) for k in range(n)]
        x, w = np.polynomial.legendre.leggauss(5)
        half = 0.5 * np.diff(steps)
        nodes = (steps[:-1] + half)[:, None] + half[:, None] * x
        outflow = (incidence[n] @ flows(solution(nodes.ravel()))).reshape(
            nodes.shape
        )  # from the surroundings
        return (time, temperature, peaks), done.y[:, -1], -float(np.sum(half[:, None] * w * outflow))


def _standing(source: Source) -> tuple[str, bool]:
    """A source as text, and whether its note calls the numbers a guess."""
    return str(source), "guess" in source.note.lower()


def _peak(
    time: Array, values: Array, solution: Callable[[ArrayLike], Array], node: int
) -> tuple[float, float]:
    """Time and value of the largest temperature of a node, looked for between its samples, shape (sample,)."""
    k = int(np.argmax(values))
    if k in (0, len(values) - 1):
        return float(time[k]), float(values[k])
    ends = (float(time[k - 1]), float(time[k + 1]))
    found = minimize_scalar(
        lambda t: -float(solution(t)[node]), bounds=ends, method="bounded", options={"xatol": 1e-6 * ends[1]}
    )
    return max((float(time[k]), float(values[k])), (float(found.x), -float(found.fun)), key=lambda p: p[1])


class BrakeTemperatures(Frozen):
    """Temperatures of the nodes of a brake over stops and soak-back.

    Parameters
    ----------
    network : BrakeHeat
        The network.
    stops : iterable of BrakeStop
        The stops.
    time : array_like, shape (sample,)
        Time [s].
    temperature : array_like, shape (sample, node)
        Temperatures [K].
    peak_time : array_like, shape (node,)
        Time of the highest temperature of each node [s].
    peak_temperature : array_like, shape (node,)
        Highest temperature of each node [K].
    energy_lost : float
        Heat that went to the surroundings, integrated over the links on its own [J].

    Raises
    ------
    ValueError
        If the arrays do not fit each other or the nodes.

    Notes
    -----
    Energy ledger: what the brake put in is what the nodes store and what they lost. The temperature of the tip is a
    plain number for a `Service` of the strength check. It is that of the hottest moment: a landing or take-off after
    the turn-round meets at most this.

    Examples
    --------
    >>> from beam import Service
    >>> from brake_stop import NETWORK, LANDING  # examples/brake_stop.py
    >>> found = NETWORK.temperatures([LANDING])
    >>> hot = Service(name="after a stop", temperature=found.tip_temperature, moisture=0.008)
    >>> round(hot.temperature), abs(found.ledger_error) < 1e-5
    (305, True)
    """

    network: BrakeHeat
    stops: Items[BrakeStop]
    time: Annotated[Numbers, Limits("s", shape=(-1,))]
    temperature: Annotated[Numbers, Limits("K", shape=(-1, -1), above=0.0, cause="given in degC?")]
    peak_time: Annotated[Numbers, Limits("s", shape=(-1,))]
    peak_temperature: Annotated[Numbers, Limits("K", shape=(-1,), above=0.0, cause="given in degC?")]
    energy_lost: Annotated[float, Limits("J")]

    def __post_init__(self) -> None:
        super().__post_init__()
        n, want = len(self.network.nodes), len(self.time)
        shapes = (self.temperature.shape, self.peak_time.shape, self.peak_temperature.shape)
        if shapes != ((want, n), (n,), (n,)):
            limit = f"of shapes {((want, n), (n,), (n,))}"
            reject("BrakeTemperatures: temperature, peak_time, peak_temperature", f"shapes {shapes}", limit)

    @property
    def tip_temperature(self) -> float:
        """Highest temperature of the strut's tip, for a service of the strength check [K]."""
        return float(self.peak_temperature[self._tip])

    @property
    def tip_time(self) -> float:
        """Time of the highest temperature of the strut's tip [s]."""
        return float(self.peak_time[self._tip])

    @property
    def _tip(self) -> int:
        """Number of the node of the tip."""
        return self.network.names.index(self.network.tip)

    @property
    def energy_in(self) -> float:
        """Energy that one brake put in [J]."""
        return sum(stop.energy for stop in self.stops)

    @property
    def energy_stored(self) -> float:
        """Energy in the nodes at the end, above that of their start [J]."""
        capacity = np.array([node.heat_capacity for node in self.network.nodes])
        return float(capacity @ (self.temperature[-1] - self.temperature[0]))

    @property
    def ledger_error(self) -> float:
        """Energy put in less stored less lost, over the energy put in and that of the changes of temperature [-]."""
        capacity = np.array([node.heat_capacity for node in self.network.nodes])
        moved = float(capacity @ np.abs(self.temperature[-1] - self.temperature[0]))
        return (self.energy_in - self.energy_stored - self.energy_lost) / (self.energy_in + moved)

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What the temperatures rest on: shares of energy, constant coefficients, guesses by name."""
        guesses = self.network.guesses
        shares = ", ".join(f"{stop.name} {stop.energy_share:g}" for stop in self.stops)
        rows = [
            f"share of the kinetic energy that the brakes take: {shares} (1 is safe), equal on all braked wheels",
            "constant deceleration; heat transfer coefficients and specific heats constant, rolling or standing",
            f"surroundings at {self.network.ambient:g} K; no sun, no engine heat, no drag of a hot tire",
        ]
        if not any(AMBIENT in (link.first, link.second) for link in self.network.links):
            rows.append("no heat is lost to the surroundings")
        return (*rows, f"guesses: {'; '.join(guesses) if guesses else 'none'}")

    @property
    def table(self) -> "DataFrame":
        """One row for each node: peak and its time, temperature at rest and at the end, limit, whether it is met."""
        from pandas import DataFrame

        rest = np.array([np.interp(self.stops[-1].end, self.time, T) for T in self.temperature.T])
        limits = [node.highest_temperature for node in self.network.nodes]
        rows = {
            "node": self.network.names,
            "peak [K]": self.peak_temperature,
            "peak [degC]": self.peak_temperature - zero_Celsius,
            "time of peak [s]": self.peak_time,
            "at rest [K]": rest,
            "at the end [K]": self.temperature[-1],
            "limit [K]": np.array(limits, dtype=float),
            "met": [
                None if limit is None else bool(peak <= limit)
                for limit, peak in zip(limits, self.peak_temperature, strict=True)
            ],
        }
        return DataFrame(rows).astype({"met": "boolean"})
