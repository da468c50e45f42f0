"""Plots of a landing and of the shock: axes, units, and what is drawn."""

import pytest
import tarn
from matplotlib.figure import Figure

from beam.gear import drop
from beam.strength import plots


def test_landing_and_shock():
    found = drop(tarn.GEAR, mass=590.0, speed=2.85, lift_ratio=2 / 3)
    force, travel = Figure().subplots(2, 1)
    plots.plot_drop(found, axes=(force, travel))
    assert (force.get_ylabel(), travel.get_ylabel()) == ("force [kN]", "travel [mm]")
    assert "time" in travel.get_xlabel()
    assert "[ms]" in travel.get_xlabel()
    assert f"n = {found.load_factor:.2f}" in force.texts[0].get_text()
    assert max(force.lines[0].get_ydata()) == pytest.approx(found.ground_force.max() / 1e3)
    ax = Figure().subplots()
    assert plots.plot_shock(found, tarn.GEAR.shock, ax=ax, units="US") is ax
    assert (ax.get_xlabel(), ax.get_ylabel()) == ("stroke [in]", "axial force [lbf]")
    with pytest.raises(AttributeError):
        plots.plot_shock(found, tarn.GEAR.shock, ax=ax, colour="red")
