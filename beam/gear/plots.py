"""Plots of the gear: the landing, the shock, the drop test, the choice of the shock, the retraction."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from numpy.typing import ArrayLike
from scipy.constants import degree_Fahrenheit, g, zero_Celsius

from beam.gear.brake_heat import BrakeTemperatures
from beam.gear.landing.drop_comparison import DropComparison
from beam.gear.landing.landing_envelope import LandingEnvelope
from beam.gear.landing.shock_choice import ShockChoice, ShockTrade
from beam.gear.motion.drop import Drop
from beam.gear.parts.shock import Shock
from beam.gear.retraction.swing import MOMENTS, Swing
from beam.plots import (
    BLUE,
    COLORS,
    DASHES,
    GREEN,
    INK,
    MARKS,
    ORANGE,
    PALE,
    PINK,
    RED,
    SKY,
    given_or_new,
    one_or_new,
)
from beam.units import shown, symbol
from materials.checks import Array, Table, checked

__all__ = [
    "plot_alignment",
    "plot_brake_heat",
    "plot_drop",
    "plot_drop_test",
    "plot_landing_envelope",
    "plot_retraction",
    "plot_shock",
    "plot_shock_trade",
    "plot_swing",
]

CHANNEL_QUANTITIES = {"stroke": "length", "force": "force"}
"""Channels of a drop test and the kind of quantity they show; acceleration is in g."""


@checked
def plot_brake_heat(temperatures: BrakeTemperatures, *, ax: Axes | None = None, units: str = "SI") -> Axes:
    """Draw the temperatures of a brake's nodes over time, the stops, and the limits of the nodes that have one.

    Parameters
    ----------
    temperatures : BrakeTemperatures
        From `BrakeHeat.temperatures`.
    ax : Axes, optional
        Where to draw; None makes a figure.
    units : str
        "SI" for degC, "US" for degF.

    Returns
    -------
    Axes
        The axes drawn in. The limits are of the materials, not of the loads.
    """
    symbol("length", units)
    ax = one_or_new(ax)
    network, minutes = temperatures.network, temperatures.time / 60
    degree, size, zero = "degC", 1.0, zero_Celsius
    if units == "US":
        degree, size, zero = "degF", degree_Fahrenheit, 459.67 * degree_Fahrenheit
    reading = (temperatures.temperature - zero) / size
    for k, node in enumerate(network.nodes):
        color, dash = COLORS[k % len(COLORS)], DASHES[k % len(DASHES)]
        peak = (temperatures.peak_temperature[k] - zero) / size
        label = f"{node.name}, {peak:.0f} {degree} after {temperatures.peak_time[k] / 60:.1f} min"
        if node.highest_temperature is not None:
            label += f" (limit {(node.highest_temperature - zero) / size:.0f} {degree})"
        width = 2.6 if node.name == network.tip else 1.4
        ax.plot(minutes, reading[:, k], ls=dash, color=color, lw=width, label=label)
        ax.plot(temperatures.peak_time[k] / 60, peak, "o", color=color, ms=4)
    for i, stop in enumerate(temperatures.stops):
        said = f"brakes on, {temperatures.energy_in / 1e3:.0f} kJ in all" if i == 0 else None
        ax.axvspan(stop.start / 60, stop.end / 60, color="0.85", zorder=0, label=said)
    guesses = len(network.guesses)
    ax.set_title(
        f"{', '.join(stop.name for stop in temperatures.stops)}; {guesses} parts or links by guess",
        loc="right",
        fontsize=9,
    )
    ax.set_xlabel("time [min]")
    ax.set_ylabel(f"temperature [{degree}]")
    ax.set_xlim(0.0, minutes[-1])
    ax.grid(alpha=0.3)
    ax.legend(frameon=False, fontsize=8)
    return ax


@checked
def plot_drop(drop: Drop, *, axes: Sequence[Axes] | None = None, units: str = "SI") -> tuple[Axes, ...]:
    """Draw the time history of a landing: forces above, strokes below.

    Parameters
    ----------
    drop : Drop
        From `beam.gear.drop`.
    axes : sequence of Axes, optional
        Two; None makes a figure.
    units : str
        "SI" or "US".

    Returns
    -------
    tuple of Axes
        Forces, travel. They are limit loads where the sink speed is the limit descent speed.

    Examples
    --------
    >>> from beam.gear import drop
    >>> from tourer import GEAR  # examples/tourer.py
    >>> from matplotlib.figure import Figure
    >>> landing = drop(GEAR, mass=500, speed=2, lift_ratio=2 / 3, duration=0.3, rtol=1e-4)
    >>> force, travel = plot_drop(landing, axes=Figure().subplots(2, 1))
    >>> force.get_ylabel(), travel.get_ylabel()
    ('force [kN]', 'travel [mm]')
    """
    t = drop.time * 1e3
    force, travel = given_or_new("plot_drop", axes, 2, size=(9.0, 6.0), sharex=True)
    for value, color, dash, label in (
        (drop.ground_force, BLUE, "-", "ground, vertical"),
        (drop.drag_force, RED, "--", "ground, drag"),
        (drop.shock_force, GREEN, "-.", "shock, axial"),
    ):
        force.plot(t, shown(value, "force", units), dash, color=color, label=label)
    peak = shown(drop.peak_ground_force, "force", units)
    force.plot(drop.time_to_peak * 1e3, peak, "o", color=BLUE, ms=4)
    force.annotate(
        f"{peak:.1f} {symbol('force', units)}, n = {drop.load_factor:.2f}",
        (drop.time_to_peak * 1e3, float(peak)),
        xytext=(6, 4),
        textcoords="offset points",
        fontsize=8,
    )
    force.set_ylabel(f"force [{symbol('force', units)}]")
    travel.plot(t, shown(drop.stroke, "length", units), color=GREEN, label="shock stroke")
    on_ground = np.where(drop.tire_deflection > 0, drop.tire_deflection, 0.0)
    travel.plot(t, shown(on_ground, "length", units), "--", color=BLUE, label="tire deflection")
    travel.set_ylabel(f"travel [{symbol('length', units)}]")
    travel.set_xlabel("time from touchdown [ms]")
    for ax in (force, travel):
        ax.grid(alpha=0.3)
        ax.set_xlim(t[0], t[-1])
        ax.legend(fontsize=8, loc="upper right")
    force.set_title(_landing(drop, units), fontsize=9, loc="left")
    return force, travel


@checked
def plot_shock(drop: Drop, shock: Shock, *, ax: Axes | None = None, units: str = "SI", **line: Any) -> Axes:
    """Draw the force of the shock over its stroke in a landing, and that of its spring.

    Parameters
    ----------
    drop : Drop
        From `beam.gear.drop`.
    shock : Shock
        The shock.
    ax : Axes, optional
        Where to draw; None makes a figure.
    units : str
        "SI" or "US".
    **line
        Passed to matplotlib for the landing curve.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from beam.gear import drop
    >>> from tourer import GEAR  # examples/tourer.py
    >>> from matplotlib.figure import Figure
    >>> landing = drop(GEAR, mass=500, speed=2, lift_ratio=2 / 3, duration=0.3, rtol=1e-4)
    >>> plot_shock(landing, landing.gear.shock, ax=Figure().subplots(), units="US").get_ylabel()
    'axial force [lbf]'
    """
    ax = one_or_new(ax)
    inward = np.linspace(0.0, shock.max_stroke, 200)
    ax.plot(
        shown(drop.stroke, "length", units),
        shown(drop.shock_force, "force", units),
        **{"color": BLUE, "label": "landing: in and out", **line},
    )
    ax.plot(
        shown(inward, "length", units),
        shown(shock.force(inward, np.zeros_like(inward)), "force", units),
        "--",
        color=RED,
        label="air spring alone",
    )
    full = float(shown(shock.max_stroke, "length", units))
    ax.axvline(full, color=INK, lw=0.9, ls=":", label="full stroke")
    ax.set_xlabel(f"stroke [{symbol('length', units)}]")
    ax.set_ylabel(f"axial force [{symbol('force', units)}]")
    ax.set_ylim(bottom=min(0.0, ax.get_ylim()[0]))
    ax.set_title(_landing(drop, units), fontsize=9, loc="left")
    ax.grid(alpha=0.3)
    ax.legend(fontsize=8)
    return ax


@checked
def plot_landing_envelope(
    envelope: LandingEnvelope, *, axes: Sequence[Axes] | None = None, units: str = "SI"
) -> tuple[Axes, ...]:
    """Draw limit load factor and spin-up drag of every variant of the landing envelope, one line for each.

    Parameters
    ----------
    envelope : LandingEnvelope
        From `beam.landing_envelope`.
    axes : sequence of Axes, optional
        Two, side by side: load factor, drag; None makes a figure.
    units : str
        "SI" or "US", for the drag.

    Returns
    -------
    tuple of Axes
        Load factor, drag: limit loads.

    Examples
    --------
    >>> import beam, tarn  # examples/tarn.py
    >>> from matplotlib.figure import Figure
    >>> found = beam.landing_envelope(tarn.AIRPLANE, tarn.GEAR, variants=())
    >>> factor, drag = plot_landing_envelope(found, axes=Figure().subplots(1, 2, sharey=True))
    >>> factor.get_xlabel()
    'limit load factor n [-]'
    """
    factor, drag = given_or_new("plot_landing_envelope", axes, 1, 2, size=(12.0, 7.0), sharey=True)
    table = envelope.table[envelope.table["kind"] == "limit"]
    names = list(dict.fromkeys(table["variant"]))
    place = {name: len(names) - 1 - i for i, name in enumerate(names)}
    conditions = [name for name in ("nose clear", "tail-down") if (table["condition"] == name).any()]
    colors = dict(zip(conditions, (BLUE, RED), strict=False))
    for condition in conditions:
        for mass, marker in zip(dict.fromkeys(table["mass"]), "os", strict=False):
            for moving in (False, True):
                rows = table[(table["condition"] == condition) & (table["mass"] == mass)]
                rows = rows[(rows["ground_speed"] > 0) == moving]
                if moving and condition == "tail-down":  # 23.481(b): it decides nothing
                    continue
                angle = rows["attitude_deg"].iloc[0]
                speed = ", ground moving" if moving else ""
                look: dict[str, Any] = {"ls": "", "marker": marker, "ms": 5, "color": colors[condition],
                        "mfc": colors[condition] if moving else "none",
                        "label": f"{condition} {angle:.3g} deg, {_mass(mass, units)}{speed}"}  # fmt: skip
                at = [place[name] for name in rows["variant"]]
                factor.plot(rows["load_factor"], at, **look)
                if moving:
                    shown_drag = shown(rows["spin_up_drag"].to_numpy(), "force", units)
                    drag.plot(shown_drag, at, **look)
    ring: dict[str, Any] = {"ms": 12, "mfc": "none", "mec": INK, "ls": ""}
    governing: Any = envelope.governing
    for condition, variant, n, force, governs in governing[
        ["condition", "variant", "load_factor", "spin_up_drag", "governs"]
    ].to_numpy():
        what = governs.split(", ")
        if "n" in what and condition in colors:
            factor.plot(n, place[variant], "o", **ring)
        if "spin-up" in what:
            drag.plot(float(shown(force, "force", units)), place[variant], "o", **ring)
    factor.plot([], [], "o", label="governs", **ring)
    bottomed = set(table.loc[table["bottomed"], "variant"])
    labels = [f"{name} (bottoms)" if name in bottomed else name for name in names]
    factor.set_yticks(list(place.values()), labels, fontsize=8)
    factor.axvline(2.67, color=INK, ls=":", lw=0.9, label="least n, 23.473(g)")
    factor.set_xlabel("limit load factor n [-]")
    drag.set_xlabel(f"aft force on the axle, limit [{symbol('force', units)}]")
    for ax in (factor, drag):
        ax.grid(alpha=0.3)
        ax.set_ylim(-0.7, len(names) - 0.3)
    factor.legend(fontsize=7, loc="upper center", bbox_to_anchor=(0.5, -0.09), ncols=2, frameon=False)
    factor.set_title("Limit landings of the envelope", fontsize=10, loc="left")
    return factor, drag


def _landing(drop: Drop, units: str) -> str:
    """What lands, how fast, and at which load level, for a title."""
    speed = f"{shown(drop.speed, 'speed', units):.3g} {symbol('speed', units)}"
    return (
        f"{_mass(drop.mass, units)} on the unit, sink speed {speed}, lift {drop.lift_ratio:.2f} W, "
        f"nose up {drop.history.setup.attitude_deg:g} deg:\nlimit loads if this is the limit landing"
    )


def _mass(mass: float, units: str) -> str:
    return f"{shown(mass, 'mass', units):.0f} {symbol('mass', units)}"


@checked
def plot_drop_test(
    comparison: DropComparison, *, axes: Sequence[Axes] | None = None, units: str = "SI"
) -> tuple[Axes, ...]:
    """Draw acceleration, stroke and force of a drop, measured over predicted.

    Parameters
    ----------
    comparison : DropComparison
        Measurement and prediction.
    axes : sequence of Axes, optional
        Where to draw, three of them; None makes a figure.
    units : str
        "SI" or "US"; acceleration is in g either way.

    Returns
    -------
    tuple of Axes
        Acceleration, stroke, force.
    """
    unit = {name: symbol(quantity, units) for name, quantity in CHANNEL_QUANTITIES.items()}
    axes = given_or_new("plot_drop_test", axes, 3, size=(8.0, 9.0), sharex=True)
    for ax, (name, error) in zip(axes, comparison.channels.items(), strict=True):
        for values, style, color, label in (
            (error.predicted, "--", "0.3", "predicted"),
            (error.measured, "-", RED, "measured"),
        ):
            drawn, k = _in_units(name, values, units), int(np.argmax(values))
            ax.plot(1e3 * error.time, drawn, style, color=color, lw=1.4, label=label)
            ax.plot(1e3 * error.time[k], drawn[k], "o", color=color, ms=4)
        if error.peak_error:
            k, bar = int(np.argmax(error.measured)), float(_in_units(name, error.peak_error, units))
            top = float(_in_units(name, error.peak[0], units))
            ax.errorbar(1e3 * error.time[k], top, yerr=[[0.0], [bar]], color=RED, capsize=4,
                        label="error bar of the peak")  # fmt: skip
        ax.set_ylabel(f"{'dv/dt' if name == 'acceleration' else name} [{unit.get(name, 'g')}]")
        peak, wanted = (f"{_in_units(name, value, units):.4g} {unit.get(name, 'g')}" for value in error.peak)
        ax.set_title(
            f"peak {peak}, predicted {wanted} ({_difference(error.peak_ratio)}, "
            f"{1e3 * error.delay:+.1f} ms); rms {error.rms:.1%} of the peak",
            fontsize=9,
            loc="right",
        )
        ax.axhline(0.0, color="0.7", lw=0.8, zorder=0)
        ax.grid(alpha=0.3)
    axes[0].legend(frameon=False, loc="upper right")
    axes[-1].set_xlabel("time since touchdown [ms]")
    n, planned = comparison.load_factor, comparison.plan.load_factor
    within = f" + {more:.2f}" if (more := comparison.load_factor_error) else ""
    axes[0].annotate(
        f"limit drop: n = {n:.2f}{within}, predicted {planned:.2f} ({_difference(comparison.load_factor_ratio)})",
        (0.5, 0.06),
        xycoords="axes fraction",
        ha="center",
        fontsize=11,
        bbox={"fc": "white", "ec": "0.8"},
    )
    return axes


def _in_units(channel: str, values: ArrayLike, units: str) -> Array:
    """Values of a channel as they are drawn."""
    if channel == "acceleration":
        return np.asarray(values) / g
    return shown(values, CHANNEL_QUANTITIES[channel], units)


def _difference(ratio: float) -> str:
    """Ratio less one in percent; adding zero turns a minus zero into zero."""
    return f"{round(ratio - 1, 3) + 0.0:+.1%}"


@checked
def plot_shock_trade(
    trade: ShockTrade, choice: ShockChoice | None = None, *, ax: Axes | None = None, units: str = "SI"
) -> Axes:
    """Draw the least load factor over the stroke, with what is asked and what was chosen.

    Parameters
    ----------
    trade : ShockTrade
        The curve.
    choice : ShockChoice, optional
        The chosen shock.
    ax : Axes, optional
        Where to draw; None makes a figure.
    units : str
        "SI" or "US".

    Returns
    -------
    Axes
        The axes drawn on.

    Examples
    --------
    >>> from beam.gear import ShockDemand
    >>> from matplotlib.figure import Figure
    >>> demand = ShockDemand(stroke=0.115, load_factor=3, mass=500, speed=2.9, reserve_speed=3.5)
    >>> trade = ShockTrade(demand=demand, stroke=[0.10, 0.12], load_factor=[3.2, 2.9], pressure=[2e6, 2e6],
    ...                    volume=[2e-4, 3e-4], compression=[2e4, 2e4])
    >>> plot_shock_trade(trade, ax=Figure().subplots()).get_xlabel()
    'stroke of the shock [mm]'
    """
    stroke = shown(trade.stroke, "length", units)
    ax = one_or_new(ax, (7.0, 4.5))
    ax.plot(stroke, trade.load_factor, "o-", color=BLUE, label="least load factor found")
    bottoms = np.isnan(trade.load_factor)
    asked = trade.demand.load_factor
    if bottoms.any():
        label = "every design tried bottoms"
        ax.plot(stroke[bottoms], np.full(bottoms.sum(), asked), "x", color="0.4", label=label)
    ax.axhline(asked, ls="--", color=RED, label="load factor asked")
    allowed = float(shown(trade.demand.stroke, "length", units))
    ax.axvline(allowed, ls=":", color=RED, label="stroke allowed")
    if choice is not None:
        at = float(shown(choice.gear.shock.max_stroke, "length", units)), choice.limit.load_factor
        ax.plot(*at, "*", color="k", ms=12, label="chosen, tight solution")
    ax.set(xlabel=f"stroke of the shock [{symbol('length', units)}]", ylabel="limit load factor n [-]")
    ax.grid(alpha=0.3)
    ax.legend(frameon=False, fontsize=9)
    return ax


@checked
def plot_swing(swing: Swing, *, axes: Sequence[Axes] | None = None, units: str = "SI") -> tuple[Axes, ...]:
    """Draw the actuator's force and the moments that it works against, both over the turn.

    Parameters
    ----------
    swing : Swing
        The retraction or extension.
    axes : sequence of Axes, optional
        Where to draw, two of them; None makes a figure.
    units : str
        "SI" or "US".

    Returns
    -------
    tuple of Axes
        Force, moments; a moment that is zero throughout is left out.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> still = dict.fromkeys(("inertia", "air", "friction", "brake", "door"), [0, 0, 0])
    >>> found = Swing(time=[0, 1, 2], angle=[0, 0.5, 1], angle_rate=[0, 0.5, 0], angle_acceleration=[0, 0, 0],
    ...               length=[0.9, 0.8, 0.7], force=[0, -50, -100], weight=[0, -10, -20], **still)
    >>> len(plot_swing(found, axes=Figure().subplots(1, 2))[1].get_lines())  # the weight, and the zero line
    2
    """
    turn, drawn = np.degrees(swing.angle), shown(swing.force, "force", units)
    newton, meter = symbol("force", units), symbol("length", units)
    axes = given_or_new("plot_swing", axes, 1, 2, size=(12.0, 4.8), sharex=True)
    force, moments = axes
    force.plot(turn, drawn, color=RED, lw=1.6)
    force.plot(turn[0], drawn[0], "ko", ms=5, label="start")
    for name, peak, sign, marker in (("push", swing.push, 1, "v"), ("pull", swing.pull, -1, "^")):
        if peak:
            k = int(np.argmax(sign * swing.force))
            label = f"largest {name} {shown(peak, 'force', units):.3g} {newton}"
            label += f", actuator {shown(swing.length[k], 'length', units):.4g} {meter} long"
            force.plot(turn[k], drawn[k], marker, color=RED, label=label)
    force.set_ylabel(f"limit force of the actuator, positive pushes [{newton}]")
    for name, color, dash in zip(MOMENTS, (BLUE, ORANGE, GREEN, PALE, PINK, SKY), DASHES, strict=True):
        values = getattr(swing, name)
        if values.any():
            moments.plot(turn, shown(values, "moment", units), ls=dash, lw=1.4, label=name, color=color)
    moments.set_ylabel(f"moment about the axis, positive toward stowed [{symbol('moment', units)}]")
    for ax in axes:
        ax.set_xlabel("turn from extended [deg]")
        ax.axhline(0.0, color="0.6", lw=0.8, zorder=0)
        ax.margins(y=0.12)
        ax.grid(alpha=0.3)
        ax.legend(frameon=False, fontsize=9)
    return axes


@checked
def plot_retraction(
    table: Table, *, axes: Sequence[Axes] | None = None, units: str = "SI"
) -> tuple[Axes, ...]:
    """Draw the limit reactions of actuator, locks and trunnion bearings over the turn.

    Parameters
    ----------
    table : DataFrame
        `table` of the `RetractionCases` from `beam.retraction_cases`.
    axes : sequence of Axes, optional
        Where to draw, two of them; None makes a figure.
    units : str
        "SI" or "US".

    Returns
    -------
    tuple of Axes
        Forces of what holds the gear, forces of the trunnion bearings; one point for each case.

    Examples
    --------
    >>> import pandas as pd
    >>> from matplotlib.figure import Figure
    >>> rows = {"case": ["a", "b"], "angle_deg": [0, 80], "held_by": ["down-lock", "up-lock"], "link_force": [300, 600],
    ...         "thrust": [20, 30], "radial_1": [200, 300], "radial_2": [150, 90]}
    >>> plot_retraction(pd.DataFrame(rows), axes=Figure().subplots(1, 2))[1].get_xlabel()
    'turn from extended [deg]'
    """
    newton, turn = symbol("force", units), table["angle_deg"].to_numpy()
    holding, bearings = given_or_new("plot_retraction", axes, 1, 2, size=(12.0, 4.8), sharex=True)
    for (name, marker), color in zip(
        {"down-lock": "s", "actuator": ".", "up-lock": "D"}.items(), (GREEN, RED, BLUE), strict=True
    ):
        rows = (table["held_by"] == name).to_numpy()
        if not rows.any():
            continue
        force = shown(table["link_force"].to_numpy()[rows], "force", units)
        label = f"{name}, {force.min():.3g} to {force.max():.3g} {newton}"
        holding.plot(turn[rows], force, marker, color=color, ms=6, alpha=0.6, label=label)
    for column, marker, color, name in (
        ("radial_1", "o", BLUE, "bearing 1, radial"),
        ("radial_2", "x", RED, "bearing 2, radial"),
        ("thrust", "+", GREEN, "bearing 1, thrust"),
    ):
        force = shown(np.abs(table[column].to_numpy()), "force", units)
        label = f"{name}, up to {force.max():.3g} {newton}"
        bearings.plot(turn, force, marker, color=color, ms=5, alpha=0.6, label=label)
    holding.set_ylabel(f"limit force on the gear [{newton}]")
    holding.set_title("actuator, brace: compression positive; lock: pull positive", fontsize=9)
    bearings.set_ylabel(f"size of the limit force on the gear [{newton}]")
    bearings.set_title("trunnion bearings", fontsize=9)
    for ax in (holding, bearings):
        ax.set_xlabel("turn from extended [deg]")
        ax.axhline(0.0, color="0.6", lw=0.8, zorder=0)
        ax.margins(y=0.25)
        ax.grid(alpha=0.3)
        ax.legend(frameon=False, fontsize=9)
    bearings.set_ylim(bottom=0.0)
    return holding, bearings


@checked
def plot_alignment(
    table: Table, *, axes: Sequence[Axes] | None = None, units: str = "SI"
) -> tuple[Axes, ...]:
    """Draw toe and camber of the wheel over the stroke, on the rigid strut and on the loaded one.

    Parameters
    ----------
    table : DataFrame
        From `beam.wheel_alignment.alignment_under_load`; each value of its column "case" is one line, lines alike are
        drawn once.
    axes : sequence of Axes, optional
        Where to draw, two of them; None makes a figure.
    units : str
        "SI" or "US".

    Returns
    -------
    tuple of Axes
        Toe, camber.

    Examples
    --------
    >>> import pandas as pd
    >>> from matplotlib.figure import Figure
    >>> rows = {"case": ["standing"] * 2, "stroke": [0.05, 0.06], "toe_deg": [0, 0], "camber_deg": [0, 0],
    ...         "toe_loaded_deg": [0.1, 0.2], "camber_loaded_deg": [-0.1, -0.3]}
    >>> plot_alignment(pd.DataFrame(rows), axes=Figure().subplots(1, 2))[0].get_ylabel()
    'toe [deg], toe-in positive'
    """
    toe, camber = given_or_new("plot_alignment", axes, 1, 2, size=(12.0, 4.8), sharex=True)
    drawn: dict[bytes, list[str]] = {}
    lines: dict[bytes, Any] = {}
    for name, rows in table.groupby("case", sort=False):
        line = rows.sort_values("stroke")[["stroke", "toe_loaded_deg", "camber_loaded_deg"]].to_numpy()
        key = (line.round(4) + 0.0).tobytes()
        drawn.setdefault(key, []).append(str(name))
        lines[key] = line
    for i, (key, names) in enumerate(drawn.items()):
        stroke, *angles = lines[key].T
        label = names[0] + (f" (and {len(names) - 1} alike)" if len(names) > 1 else "")
        for ax, angle in zip((toe, camber), angles, strict=True):
            ax.plot(
                shown(stroke, "length", units),
                angle,
                f"-{MARKS[i % len(MARKS)]}",
                color=COLORS[i % len(COLORS)],
                ms=4,
                lw=1.3,
                label=label,
            )
    every = table.sort_values("stroke")
    for ax, angle, sign in ((toe, "toe", "toe-in"), (camber, "camber", "top outboard")):
        stroke = shown(every["stroke"].to_numpy(), "length", units)
        ax.plot(stroke, every[f"{angle}_deg"], "--", color=INK, lw=1.2, label="rigid strut")
        ax.set_ylabel(f"{angle} [deg], {sign} positive")
        ax.set_xlabel(f"stroke of the shock [{symbol('length', units)}]")
        ax.grid(alpha=0.3)
    toe.set_title("standing: static load; landing: limit load", fontsize=9, loc="left")
    camber.legend(frameon=False, fontsize=8, loc="center left", bbox_to_anchor=(1.0, 0.5))
    return toe, camber
