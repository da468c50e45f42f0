"""Thin-walled sections made of laminates: stiffness, centers, mass and the loads of every wall."""

from beam.section.centers import PrincipalAxes, centroid, principal_axes, shear_center
from beam.section.contour import Contour
from beam.section.outline import network, rounded_box
from beam.section.ovalization import ovalization_loads
from beam.section.section import Section
from beam.section.states import States, solve

__all__ = [
    "Contour",
    "PrincipalAxes",
    "Section",
    "States",
    "centroid",
    "network",
    "ovalization_loads",
    "principal_axes",
    "rounded_box",
    "shear_center",
    "solve",
]
