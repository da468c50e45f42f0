"""The airplane from the side and from the front, with its angles or the loads of a case."""

from beam.loads.plots.airplane import plot_airplane

__all__ = ["plot_airplane"]
