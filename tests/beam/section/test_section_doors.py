"""Every public callable of the section refuses every bad value of every argument, by name."""

from dataclasses import replace

import numpy as np
import pytest
from doors import doors_of, refuses, trials
from section_cases import carbon, metal
from solid_cases import metal3d

import beam.section
import beam.section.solid
from beam import section as thin
from beam.section import solid

WALL = metal(2e-3)
TUBE = thin.Section.tube(0.05, WALL)
TAPE = carbon()
METAL = solid.Orthotropic.isotropic(70e9, 0.3)
GRID = solid.rectangle(1.0, 1.0, METAL, count=(1, 1))
WALLS = solid.mesh_walls(TUBE, metal3d, size=0.05)
WARPED = solid.solve(WALLS)
SQUARE = [[-0.02, 0.02], [0.02, 0.02], [0.02, -0.02], [-0.02, -0.02]]
RING = [[0, 1], [1, 2], [2, 3], [3, 0]]
F = np.ones(6)
ABD = np.stack([WALL.abd] * 4)
FREE = np.zeros((4, 6))
BATCH = TUBE.contour.flat((2,))
NU = {f"nu{ij}": (0.3, "number") for ij in ("23", "13", "12")}
SIX = dict.fromkeys(("E1", "E2", "E3", "G23", "G13", "G12"), (1000000000.0, "positive number"))
SIZES = {"width": (0.08, "positive values"), "height": (0.05, "positive values")}
SURFACE = {"surface": ("middle", "name"), "faces": (("a", "b", "c", "d"), "names")}
SOLID_SIZES = {"width": (1.0, "positive number"), "height": (1.0, "positive number")}
HEAT = {"temperature_change": (10.0, "values"), "moisture": (0.0, "values")}
FORCES = {"F": (F, "array")}
PLACE, PLACES = {"at": (0.5, "fraction")}, {"at": ([0.5], "fractions")}
LOCAL = {"at": ([[0.5, 0.5]], "array")}
POINT = {"point": ([0.0, 0.0], "array"), "angle": (0.0, "number")}
C = {"compliance": (TUBE.compliance, "array")}
STATES = {"states": (TUBE.states, "object"), "free_strain": (FREE, "array")}

THIN = {
    "Contour": (thin.Contour, {
        "start": (SQUARE, "array"), "direction": ([0, -1, 2, 1], "array"), "length": ([0.04] * 4, "positive array"),
        "turn": (np.zeros(4), "array"), "ends": (RING, "indices"), "names": (("a", "b", "c", "d"), "names"),
    }),
    "Contour.offset": (TUBE.contour.offset, {"distance": (np.zeros(4), "array")}),
    "Contour.flat": (TUBE.contour.flat, {"lead": ((2,), "counts")}),
    "Contour.part": (BATCH.part, {"cut": (slice(0, 1), "object")}),
    "Contour.position": (TUBE.contour.position, PLACES),
    "Contour.tangent": (TUBE.contour.tangent, PLACES),
    "Contour.normal": (TUBE.contour.normal, PLACES),
    "Contour.functions": (TUBE.contour.functions, PLACES),
    "Section": (thin.Section, {"contour": (TUBE.contour, "object"), "laminates": ((WALL,) * 4, "objects")}),
    "Section.tube": (thin.Section.tube, {"radius": (0.05, "positive number"), "laminate": (WALL, "object")}),
    "Section.ellipse": (thin.Section.ellipse, SIZES | {
        "walls": (WALL, "objects"), "surface": ("middle", "name"), "pairs": (2, "count"),
    }),
    "Section.box": (thin.Section.box, SIZES | SURFACE | {"walls": (WALL, "objects")}),
    "Section.rounded_box": (thin.Section.rounded_box, SIZES | SURFACE | {
        "radius": (0.012, "positive number"), "walls": (WALL, "objects"),
    }),
    "Section.from_walls": (thin.Section.from_walls, {
        "points": (SQUARE, "array"), "laminates": (WALL, "objects"), "radius": (0.005, "values from 0"),
        "surface": ("middle", "name"),
    }),
    "Section.stiffness_about": (TUBE.stiffness_about, POINT),
    "Section.wall_loads": (TUBE.wall_loads, FORCES | PLACE),
    "Section.wall_loads_along": (TUBE.wall_loads_along, FORCES | PLACES),
    "Section.free_strain": (TUBE.free_strain, HEAT),
    "Section.residual_wall_loads": (TUBE.residual_wall_loads, HEAT | PLACE),
    "Section.ply_states": (TUBE.ply_states, FORCES | HEAT | PLACE),
    "States.recovery": (TUBE.states.recovery, PLACES),
    "box": (thin.box, SIZES | SURFACE | {"thickness": (1e-3, "values from 0")}),
    "centroid": (thin.centroid, C),
    "ellipse": (thin.ellipse, SIZES | SURFACE | {"thickness": (1e-3, "values from 0"), "pairs": (2, "count")}),
    "expand": (thin.expand, STATES),
    "filleted": (thin.filleted, {
        "points": (SQUARE, "array"), "radius": ([5e-3], "values from 0"), "thickness": (1e-3, "positive array"),
        "surface": ("outside", "name"), "names": ((), "names"),
    }),
    "flattening_loads": (thin.flattening_loads, {"states": (TUBE.states, "object")} | FORCES | PLACES),
    "inertia": (thin.inertia, {
        "contour": (TUBE.contour, "object"), "areal_density": (np.ones(4), "array"), "thickness": (np.ones(4), "array"),
    }),
    "moved": (thin.moved, C | {"point": ([0.0, 0.0], "array")}),
    "network": (thin.network, {
        "joints": (SQUARE, "array"), "walls": (RING, "indices"), "turn": (0.0, "array"), "names": ((), "names"),
    }),
    "polygon": (thin.polygon, {
        "points": (SQUARE, "array"), "thickness": (0.0, "values from 0"), "surface": ("middle", "name"),
        "names": ((), "names"),
    }),
    "principal_axes": (thin.principal_axes, C),
    "residual_wall_loads": (thin.residual_wall_loads, STATES | PLACES),
    "round_tube": (thin.round_tube, SURFACE | {
        "radius": (0.05, "positive values"), "thickness": (0.0, "values from 0"),
    }),
    "rounded_box": (thin.rounded_box, SIZES | SURFACE | {
        "radius": (0.012, "positive values"), "thickness": (np.full(8, 1e-3), "positive array"),
    }),
    "shear_center": (thin.shear_center, C),
    "solve": (thin.solve, {"contour": (TUBE.contour, "object"), "abd": (ABD, "array")}),
    "spring_in_loads": (thin.spring_in_loads, STATES | PLACES | {"thickness_strain": (np.zeros(4), "array")}),
    "turned": (thin.turned, C | {"angle": (0.0, "values")}),
    "wall_names": (thin.wall_names, {"faces": (("a", "b", "c", "d"), "names")}),
}  # fmt: skip
SOLID = {
    "Orthotropic": (solid.Orthotropic, SIX | NU),
    "Orthotropic.isotropic": (solid.Orthotropic.isotropic, {"E": (7e10, "positive number"), "nu": (0.3, "number")}),
    "Orthotropic.transversely_isotropic": (solid.Orthotropic.transversely_isotropic, {
        "lamina": (TAPE, "object"), "nu23": (0.4, "number?"),
    }),
    "Orthotropic.from_lamina": (solid.Orthotropic.from_lamina, {
        "lamina": (replace(TAPE, G13=7e9, G23=4e9), "object"),
        "E3": (1e10, "positive number"), "nu13": (0.3, "number"), "nu23": (0.3, "number"),
    }),
    "SolidMesh": (solid.SolidMesh, {
        "points": (GRID.points, "array"), "elements": (GRID.elements, "indices"), "constants": ((METAL,), "objects"),
        "material": ([0], "indices"), "angle_deg": ([0.0], "array"), "tangent": (np.zeros(9), "array"),
    }),
    "WarpedSection.stiffness_about": (WARPED.stiffness_about, POINT),
    "WarpedSection.strain": (WARPED.strain, FORCES | LOCAL | {"axes": ("ply", "name")}),
    "WarpedSection.stress": (WARPED.stress, FORCES | LOCAL | {"axes": ("ply", "name")}),
    "WarpedSection.places": (WARPED.places, LOCAL),
    "ellipse": (solid.ellipse, SOLID_SIZES | {
        "constants": (METAL, "object"), "count": (1, "count"), "angle_deg": (0.0, "number"),
    }),
    "mesh_walls": (solid.mesh_walls, {
        "section": (TUBE, "object"), "constants": (metal3d, "callable"), "size": (0.05, "positive number"),
        "per_layer": (1, "count"),
    }),
    "ply_stress": (solid.ply_stress, {"section": (WARPED, "object"), "wall": (0, "index")} | FORCES | PLACE),
    "rectangle": (solid.rectangle, SOLID_SIZES | {
        "constants": (METAL, "object"), "count": ((1, 1), "counts"), "angle_deg": (0.0, "number"),
    }),
    "solve": (solid.solve, {"mesh": (GRID, "object")}),
}  # fmt: skip
REGISTER = {f"beam.section.{k}": v for k, v in THIN.items()} | {
    f"beam.section.solid.{k}": v for k, v in SOLID.items()
}
MADE_BY_THE_LIBRARY = {
    "beam.section.States",
    "beam.section.PrincipalAxes",
    "beam.section.solid.WallMesh",
    "beam.section.solid.WarpedSection",
}
"""Results that nobody but the library builds."""


def test_every_door_is_in_the_register():
    assert set(doors_of(beam.section, beam.section.solid)) == set(REGISTER) | MADE_BY_THE_LIBRARY


@pytest.mark.parametrize("name", REGISTER)
def test_the_calls_of_the_register_are_valid(name):
    door, arguments = REGISTER[name]
    door(**{key: value for key, (value, _) in arguments.items()})


@pytest.mark.parametrize(("name", "argument", "bad"), trials(REGISTER))
def test_bad_values_are_refused_by_name(name, argument, bad):
    refuses(REGISTER, name, argument, bad)
