"""Pictures of the gear; the only files of this room that import matplotlib."""

from beam.gear.plots.drop_test import plot_drop_test
from beam.gear.plots.retraction import plot_swing
from beam.gear.plots.shock_trade import plot_shock_trade

__all__ = ["plot_drop_test", "plot_shock_trade", "plot_swing"]
