"""Sections of any shape, solid or hollow, solved as a warping problem on a mesh through the plies."""

from beam.section.solid.mesh import SolidMesh
from beam.section.solid.orthotropic import Orthotropic
from beam.section.solid.wall_mesh import mesh_walls
from beam.section.solid.warping import WarpedSection, ply_stress, solve

__all__ = [
    "Orthotropic",
    "SolidMesh",
    "WarpedSection",
    "mesh_walls",
    "ply_stress",
    "solve",
]
