"""Pictures of the gear; the only files of this room that import matplotlib."""

from beam.gear.plots.drop_test import plot_drop_test

__all__ = ["plot_drop_test"]
