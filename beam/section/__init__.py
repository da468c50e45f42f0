"""Thin-walled sections made of laminates: stiffness, centers, mass and the loads of every wall."""

from beam.section.centers import PrincipalAxes, centroid, moved, principal_axes, shear_center, turned
from beam.section.contour import Contour
from beam.section.expansion import expand, residual_wall_loads
from beam.section.flattening import flattening_loads
from beam.section.mass import inertia
from beam.section.outline import box, ellipse, round_tube, rounded_box, wall_names
from beam.section.polygons import filleted, network, polygon
from beam.section.section import Section
from beam.section.spring_in import spring_in_loads
from beam.section.states import States, solve

__all__ = [
    "Contour",
    "PrincipalAxes",
    "Section",
    "States",
    "box",
    "centroid",
    "ellipse",
    "expand",
    "filleted",
    "flattening_loads",
    "inertia",
    "moved",
    "network",
    "polygon",
    "principal_axes",
    "residual_wall_loads",
    "round_tube",
    "rounded_box",
    "shear_center",
    "solve",
    "spring_in_loads",
    "turned",
    "wall_names",
]
