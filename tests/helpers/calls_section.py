"""One good call of every public callable of the thin-walled section and of the section on a mesh."""

from dataclasses import replace

import numpy as np
from section_cases import carbon, metal
from solid_cases import metal3d

import beam.section
import beam.section.plots
import beam.section.solid
from beam.section import (
    Contour,
    Section,
    centroid,
    network,
    ovalization_loads,
    principal_axes,
    rounded_box,
    shear_center,
    solid,
    solve,
)
from beam.section.plots import plot_section, plot_wall_load
from beam.section.states import States

PACKAGES = [beam.section, beam.section.plots, beam.section.solid]

WALL = metal(2e-3)
TUBE = Section.tube(0.05, WALL)
SQUARE = [[-0.02, 0.02], [0.02, 0.02], [0.02, -0.02], [-0.02, -0.02]]
RING = [[0, 1], [1, 2], [2, 3], [3, 0]]
FORCES = np.ones(6)
WEAVE = replace(carbon(), G13=7e9, G23=4e9)
METAL = solid.Orthotropic.isotropic(70e9, 0.3)
WALLS = solid.mesh_walls(TUBE, metal3d, size=0.05)
WARPED = solid.solve(WALLS)
MODULI = dict.fromkeys(("E1", "E2", "E3", "G23", "G13", "G12"), 1e9)
SQUARE_MESH = {
    "points": [[-1, -1], [1, -1], [1, 1], [-1, 1], [0, -1], [1, 0], [0, 1], [-1, 0], [0, 0]],
    "elements": [[0, 1, 2, 3, 4, 5, 6, 7, 8]],
    "constants": [METAL],
    "material": [0],
    "angle_deg": [0.0],
    "tangent": [np.zeros(9)],
}
MESH = solid.SolidMesh(**SQUARE_MESH)

CALLS = {
    Contour: {
        "start": SQUARE, "direction": [0.0, -1.5, 3.0, 1.5], "length": [0.04] * 4, "turn": np.zeros(4), "ends": RING,
        "names": ("a", "b", "c", "d"),
    },
    Contour.offset: {"self": TUBE.contour, "distance": np.zeros(4)},
    Contour.position: {"self": TUBE.contour, "at": [0.5]},
    Contour.tangent: {"self": TUBE.contour, "at": [0.5]},
    Contour.normal: {"self": TUBE.contour, "at": 0.5},
    Section: {"contour": TUBE.contour, "laminates": (WALL,) * 4},
    Section.tube: {"radius": 0.05, "laminate": WALL},
    Section.ellipse: {"width": 0.08, "height": 0.05, "walls": WALL, "surface": "middle", "pairs": 2},
    Section.box: {"width": 0.08, "height": 0.05, "walls": WALL, "surface": "middle", "faces": ("a", "b", "c", "d")},
    Section.rounded_box: {
        "width": 0.08, "height": 0.05, "radius": 0.012, "walls": (WALL,) * 8, "surface": "outside",
        "faces": ("a", "b", "c", "d"),
    },
    Section.from_walls: {"points": SQUARE, "laminates": WALL, "radius": 0.005, "surface": "middle"},
    Section.stiffness_about: {"self": TUBE, "point": [0.0, 0.0], "angle": 0.0},
    Section.wall_loads: {"self": TUBE, "F": FORCES, "at": [0.5]},
    Section.free_strain: {"self": TUBE, "temperature_change": 10.0, "moisture": 0.0},
    Section.residual_wall_loads: {"self": TUBE, "temperature_change": 10.0, "moisture": 0.0, "at": 0.5},
    Section.ply_states: {"self": TUBE, "F": FORCES, "temperature_change": 10.0, "moisture": 0.0, "at": 0.5},
    States.recovery: {"self": TUBE.states, "at": [0.5]},
    centroid: {"compliance": TUBE.compliance},
    shear_center: {"compliance": TUBE.compliance},
    principal_axes: {"compliance": TUBE.compliance},
    network: {"joints": SQUARE, "walls": RING, "turn": 0.0, "names": ("a", "b", "c", "d")},
    rounded_box: {
        "width": 0.08, "height": 0.05, "radius": 0.012, "thickness": np.full(8, 1e-3), "surface": "outside",
        "faces": ("a", "b", "c", "d"),
    },
    solve: {"contour": TUBE.contour, "abd": np.stack([WALL.abd] * 4)},
    ovalization_loads: {"states": TUBE.states, "F": FORCES, "at": [0.5]},
    plot_section: {"section": TUBE, "ax": None, "names": True, "units": "SI"},
    plot_wall_load: {"section": TUBE, "F": FORCES, "component": "Nxy", "ax": None, "units": "SI"},
    solid.Orthotropic: MODULI | dict.fromkeys(("nu23", "nu13", "nu12"), 0.3),
    solid.Orthotropic.isotropic: {"E": 7e10, "nu": 0.3},
    solid.Orthotropic.transversely_isotropic: {"lamina": carbon(), "nu23": 0.4},
    solid.Orthotropic.from_lamina: {"lamina": WEAVE, "E3": 1e10, "nu13": 0.3, "nu23": 0.3},
    solid.SolidMesh: SQUARE_MESH,
    solid.WarpedSection.strain: {"self": WARPED, "F": FORCES, "at": [[0.5, 0.5]], "axes": "ply"},
    solid.WarpedSection.stress: {"self": WARPED, "F": FORCES, "at": [[0.5, 0.5]], "axes": "ply"},
    solid.WarpedSection.places: {"self": WARPED, "at": [[0.5, 0.5]]},
    solid.mesh_walls: {"section": TUBE, "constants": metal3d, "size": 0.05, "per_layer": 1},
    solid.solve: {"mesh": MESH},
    solid.ply_stress: {"section": WARPED, "F": FORCES, "wall": 0, "at": 0.5},
}  # fmt: skip
EXCLUDED = {
    "PrincipalAxes": "result of principal_axes",
    "States": "result of solve",
    "WarpedSection": "result of solid.solve",
}
