"""Sections of any shape, solid or hollow, solved as a warping problem on a mesh through the plies."""

from beam.section.solid.mesh import SolidMesh
from beam.section.solid.orthotropic import Orthotropic
from beam.section.solid.plies import ply_stress
from beam.section.solid.shapes import ellipse, rectangle
from beam.section.solid.walls import WallMesh, mesh_walls
from beam.section.solid.warping import WarpedSection, solve

__all__ = [
    "Orthotropic",
    "SolidMesh",
    "WallMesh",
    "WarpedSection",
    "ellipse",
    "mesh_walls",
    "ply_stress",
    "rectangle",
    "solve",
]
