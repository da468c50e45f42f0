"""Plots of the gear carry units and draw the numbers of the results they are given."""

from dataclasses import replace

import numpy as np
import pytest
import tarn
from brake_stop import LANDING, NETWORK, REJECTED
from calls_gear_landing import CHOICE, TRADE
from gear_landing import FLIGHT, SKEWED_GEAR, columns, plan
from matplotlib.figure import Figure
from matplotlib.text import Text
from numpy.testing import assert_allclose
from scipy.constants import g, inch, pound_force

from beam.gear import DropRecord, ShockChoice, ShockTrade, compare_drop, drop, swing
from beam.gear.plots import (
    plot_brake_heat,
    plot_drop,
    plot_drop_test,
    plot_shock,
    plot_shock_trade,
    plot_swing,
)
from beam.gear.retraction.swing import MOMENTS


def axes(count):
    return tuple(Figure().subplots(count, 1))


def test_landing_and_shock():
    found = drop(tarn.GEAR, mass=590.0, speed=2.85, lift_ratio=2 / 3)
    force, travel = axes(2)
    plot_drop(found, axes=(force, travel))
    assert (force.get_ylabel(), travel.get_ylabel()) == ("force [kN]", "travel [mm]")
    assert travel.get_xlabel() == "time from touchdown [ms]"
    assert f"n = {found.load_factor:.2f}" in force.texts[0].get_text()
    for line, values in zip(
        force.lines, (found.ground_force, found.drag_force, found.shock_force), strict=False
    ):
        assert_allclose(line.get_xydata(), np.column_stack([1e3 * found.time, values / 1e3]))
    assert_allclose(force.lines[3].get_xydata(), [[1e3 * found.time_to_peak, found.peak_ground_force / 1e3]])
    stroke, tire = (line.get_ydata() for line in travel.lines)
    assert_allclose(stroke, 1e3 * found.stroke)
    assert_allclose(tire, 1e3 * np.maximum(found.tire_deflection, 0.0))
    figure = Figure(figsize=(7, 5), layout="constrained")
    ax = figure.subplots()
    shock = tarn.GEAR.shock
    assert plot_shock(found, shock, ax=ax, units="US", color="red") is ax
    figure.draw_without_rendering()
    assert ax.get_title(loc="left").endswith("limit loads if this is the limit landing")
    title = next(text for text in ax.findobj(Text) if text.get_text() == ax.get_title(loc="left"))
    assert title.get_window_extent().x1 < figure.bbox.x1  # not cut off
    assert (ax.get_xlabel(), ax.get_ylabel()) == ("stroke [in]", "axial force [lbf]")
    landing, spring, full = ax.lines
    assert landing.get_color() == "red"
    assert_allclose(
        landing.get_xydata(), np.column_stack([found.stroke / inch, found.shock_force / pound_force])
    )
    assert_allclose(spring.get_ydata()[-1], float(shock.elastic_force(shock.max_stroke)) / pound_force)
    assert_allclose(full.get_xdata(), shock.max_stroke / inch)
    with pytest.raises(AttributeError):
        plot_shock(found, shock, ax=ax, colour="red")


def test_brake_heat():
    found = NETWORK.temperatures([LANDING, REJECTED])
    ax = plot_brake_heat(found, ax=Figure().subplots())
    assert (ax.get_xlabel(), ax.get_ylabel()) == ("time [min]", "temperature [degC]")
    labels = ax.get_legend_handles_labels()[1]
    for k, name in enumerate(NETWORK.names):
        line, peak = ax.lines[2 * k : 2 * k + 2]
        assert_allclose(line.get_xdata() * 60, found.time)
        assert_allclose(line.get_ydata() + 273.15, found.temperature[:, k])
        assert_allclose(peak.get_ydata() + 273.15, found.peak_temperature[k])
        assert labels[k].startswith(f"{name}, {found.peak_temperature[k] - 273.15:.0f} degC")
    assert f"brakes on, {found.energy_in / 1e3:.0f} kJ in all" in labels
    assert "(limit 71 degC)" in labels[-2]
    assert ax.get_title(loc="right") == "landing, rejected take-off; 11 parts or links by guess"


def test_error_bars_of_a_coarse_record():
    found = compare_drop(plan(), DropRecord(**columns(rate=200.0), bandwidth=40.0))
    drawn = plot_drop_test(found, axes=axes(3))
    for ax, channel, size in zip(drawn, found.channels.values(), (g, 1e-3, 1e3), strict=True):
        (bar,) = ax.containers
        low, high = bar.lines[2][0].get_segments()[0][:, 1]
        assert_allclose([low * size, (high - low) * size], [channel.peak[0], channel.peak_error])
    assert f"n = {found.load_factor:.2f} + {found.load_factor_error:.2f}" in drawn[0].texts[0].get_text()


def test_drop_test():
    made = columns()
    found = compare_drop(plan(), DropRecord(**made | {"force": 1.05 * made["force"]}))
    si = plot_drop_test(found)
    predicted, measured = si[2].get_lines()[0], si[2].get_lines()[2]
    assert measured.get_ydata().max() / predicted.get_ydata().max() == pytest.approx(1.05, rel=1e-3)
    assert "+5.0%" in si[2].get_title(loc="right")
    assert "+0.0%" in si[1].get_title(loc="right")
    assert f"n = {found.load_factor:.2f}" in si[0].texts[0].get_text()
    assert [ax.get_ylabel() for ax in si] == ["dv/dt [g]", "stroke [mm]", "force [kN]"]
    us = plot_drop_test(found, axes=axes(3), units="US")
    assert [ax.get_ylabel() for ax in us] == ["dv/dt [g]", "stroke [in]", "force [lbf]"]
    for ax, error, size in zip(us, found.channels.values(), (g, inch, pound_force), strict=True):
        top = int(np.argmax(error.measured))
        for k, values in ((0, error.predicted), (2, error.measured)):
            assert_allclose(ax.get_lines()[k].get_ydata(), values / size)
        assert_allclose(ax.get_lines()[3].get_xydata(), [[1e3 * error.time[top], error.measured[top] / size]])


def test_shock_trade():
    trade, choice = ShockTrade(**TRADE), ShockChoice(**CHOICE)
    ax = plot_shock_trade(trade, choice, ax=Figure().subplots())
    assert_allclose(ax.get_lines()[0].get_xydata(), [[100.0, 3.0], [200.0, 2.0]])
    assert_allclose(ax.get_lines()[-1].get_xydata(), [[115.0, choice.limit.load_factor]])
    short = replace(trade, load_factor=[np.nan, 2.0])
    us = plot_shock_trade(short, ax=Figure().subplots(), units="US")
    assert us.get_xlabel() == "stroke of the shock [in]"
    bottoms = us.get_lines()[1]
    assert bottoms.get_label() == "every design tried bottoms"
    assert_allclose(bottoms.get_xydata(), [[0.1 / inch, 3.2]])


def test_swing():
    found = swing(SKEWED_GEAR, duration=2.0, **FLIGHT)
    for units, newton, meter in (("SI", 1e3, 1e3), ("US", pound_force, pound_force * inch)):
        force, moments = plot_swing(found, axes=axes(2), units=units)
        assert_allclose(
            force.get_lines()[0].get_xydata(),
            np.column_stack([np.degrees(found.angle), found.force / newton]),
        )
        drawn = {line.get_label(): line.get_ydata() for line in moments.get_lines()}
        for name in MOMENTS:
            assert_allclose(drawn[name], getattr(found, name) / meter)
    pull = next(line for line in force.get_lines() if line.get_label().startswith("largest pull"))
    assert_allclose(pull.get_ydata(), found.force.min() / pound_force)
    assert f"{found.length[np.argmin(found.force)] / inch:.4g} in long" in pull.get_label()
    # a moment that is zero throughout is not drawn
    bare = swing(replace(SKEWED_GEAR, door=None), duration=2.0)
    assert not {"brake", "door", "air"} & {line.get_label() for line in plot_swing(bare)[1].get_lines()}


@pytest.mark.parametrize(("count", "units", "says"), [(3, "SI", "2 of them"), (2, "metric", "units")])
def test_bad_axes_and_units_are_refused(count, units, says):
    with pytest.raises(ValueError, match=says):
        plot_swing(swing(SKEWED_GEAR, duration=2.0), axes=axes(count), units=units)
