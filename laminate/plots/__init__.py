"""Plots of laminates: drawn on the axes given, which are returned; nothing is shown or saved."""

from laminate.plots.carpet import plot_carpet
from laminate.plots.envelope import plot_envelope
from laminate.plots.lay_up import plot_stack
from laminate.plots.polar import plot_polar_moduli
from laminate.plots.thickness import plot_through_thickness

__all__ = ["plot_carpet", "plot_envelope", "plot_polar_moduli", "plot_stack", "plot_through_thickness"]
