"""Every public callable of the strut refuses every bad value of every argument, by name."""

import numpy as np
import pytest
from doors import doors_of, refuses, trials
from spans import PLAIN
from struts import LENGTH, MOLD, ROOT, TAPE, TIP, book, strut

import beam.strut
from beam.strut import (
    Axis,
    BookPly,
    MoldLine,
    PlyBook,
    PointLoads,
    PointMass,
    Span,
    Strut,
    Support,
    at_steps,
    cut_list,
    end_of_ply,
    flexibility,
    force_influence,
    point_stiffness,
    steep,
    steps,
)

L = 2.0
AXIS = Axis.straight(L)
SPAN = Span(axis=L, stiffness=PLAIN, inertia=np.eye(6))
LOADS = PointLoads(at=[L], force=[[[0.0, 0.0, 1.0]]])
BOOK, STRUT = book(), strut()
PLY = BOOK.plies[0]
UP = [[0.0, 0.0, 1.0]]
STATIONS = {"at": ([0.5], "stations?")}
MOVING = {"span": (SPAN, "object"), "at": ([0.5], "stations"), "moving": ([0.5], "stations")}
OPTIONS = {"large": (False, "flag"), "free_strain": (np.zeros(6), "array?")}
LOADED = {"loads": (LOADS, "object")}
HOLDS = {"stiffness": (np.inf, "stiffness"), "name": ("brace", "text")}
PLAYS = HOLDS | {"play": (0.0, "play")}
SIZES = {name: ([a, b], "positive array") for name, a, b in
         (("width", 0.11, 0.07), ("height", 0.08, 0.055), ("corner_radius", 0.02, 0.015))}  # fmt: skip
PLACE = {"wall": ("inboard", "name"), "s": (0.1, "number")}
ENDS = ("load", "dropped", "continuing", "layer_stiffness", "faces")

REGISTER = {f"beam.strut.{name}": door for name, door in {
    "Axis": (Axis, {"points": ([[0, 0, 0], [1, 0, 0]], "array")}),
    "Axis.straight": (Axis.straight, {"length": (L, "positive number")}),
    "Axis.stretch": (AXIS.stretch, {"s": ([0.5], "values")}),
    "Axis.position": (AXIS.position, {"s": ([0.5], "values")}),
    "Axis.frames": (AXIS.frames, {"s": ([0.5], "values")}),
    "Axis.check": (lambda s: AXIS.check("s", s), {"s": ([0.5], "stations")}),
    "BookPly": (BookPly, {
        "lamina": (TAPE, "object"), "angle_deg": (45.0, "number"), "walls": (("inboard",), "labels"),
        "start": (0.0, "number from 0"), "end": (0.5, "positive number"),
    }),
    "PlyBook": (PlyBook, {"plies": ((PLY,), "objects")}),
    "PlyBook.present": (BOOK.present, {"wall": ("inboard", "name"), "s": ([0.1], "values")}),
    "PlyBook.at": (BOOK.at, PLACE),
    "PlyBook.numbers": (BOOK.numbers, PLACE),
    "PlyBook.laminate": (BOOK.laminate, PLACE),
    "PointLoads": (PointLoads, {
        "at": ([L], "array"), "force": ([[[0.0, 0.0, 1.0]]], "array"), "moment": (0.0, "array"), "arm": (0.0, "array"),
    }),
    "PointLoads.take": (LOADS.take, {"cases": ([0], "indices")}),
    "PointLoads.times": (LOADS.times, {"factor": (2.0, "number")}),
    "PointMass": (PointMass, {
        "at": (L, "number from 0"), "mass": (1.0, "number from 0"), "inertia": (np.eye(3), "array"),
        "arm": (np.zeros(3), "array"),
    }),
    "MoldLine": (MoldLine, SIZES | {
        "root": (ROOT, "array"), "tip": (TIP, "array"), "stations": ([0.0, LENGTH], "array"),
        "aft": ([1.0, 0.0, 0.0], "array"), "names": (("a", "b", "c", "d"), "names"),
    }),
    "MoldLine.flat_widths": (MOLD.flat_widths, {"s": ([0.1], "stations")}),
    "MoldLine.at": (MOLD.at, {"s": ([0.1], "stations")}),
    "MoldLine.position": (MOLD.position, {"s": ([0.1], "stations")}),
    "MoldLine.point_loads": (MOLD.point_loads, {
        "at": ([LENGTH], "stations"), "points": ([[TIP]], "array"), "force": ([[[0.0, 0.0, 1.0]]], "array"),
        "moment": (0.0, "array"),
    }),
    "MoldLine.support": (MOLD.support, PLAYS | {
        "at": (0.1, "station"), "point": (ROOT, "array"), "directions": (UP, "array"),
    }),
    "Span": (Span, {
        "axis": (L, "positive number"), "stiffness": (PLAIN, "array"), "inertia": (np.eye(6), "array?"),
        "supports": ((Support.clamp(),), "objects?"), "stations": ([0.0, L], "array?"),
    }),
    "Span.forces": (SPAN.forces, LOADED | STATIONS | OPTIONS),
    "Span.displacement": (SPAN.displacement, LOADED | STATIONS | OPTIONS),
    "Span.reactions": (SPAN.reactions, LOADED | OPTIONS),
    "Span.buckling_factor": (SPAN.buckling_factor, LOADED | {"free_strain": (np.zeros(6), "array?")}),
    "Span.modes": (SPAN.modes, {"n": (2, "count"), "masses": ((PointMass(at=L, mass=1.0),), "some")}),
    "Span.frequencies": (SPAN.frequencies, {"n": (2, "count"), "masses": ((), "some")}),
    "Strut": (Strut, {
        "mold_line": (MOLD, "object"), "ply_book": (BOOK, "object"), "supports": ((Support.clamp(),), "objects?"),
    }),
    "Strut.section": (STRUT.section, {"s": (0.1, "station")}),
    "Strut.free_strain": (STRUT.free_strain, {"temperature_change": (-50.0, "number"), "moisture": (0.0, "number")}),
    "Support": (Support, PLAYS | {
        "at": (0.1, "number from 0"), "translations": (UP, "array"), "rotations": (UP, "array"),
        "arm": (np.zeros(3), "array"),
    }),
    "Support.clamp": (Support.clamp, HOLDS | {"at": (0.1, "number from 0")}),
    "Support.motions": (Support.motions, PLAYS | {"at": (0.1, "number from 0"), "held": (("u1",), "names")}),
    "Support.point": (Support.point, PLAYS | {
        "at": (0.1, "number from 0"), "directions": (UP, "array"), "arm": (np.zeros(3), "array"),
    }),
    "at_steps": (at_steps, {
        "strut": (STRUT, "object"), "loads": (PointLoads(at=[LENGTH], force=[[[0.0, 0.0, 1.0]]]), "object"),
        "resin_shear_modulus": (1e9, "positive number"), "resin_thickness": (1e-5, "positive number"),
    }),
    "cut_list": (cut_list, {"strut": (STRUT, "object")}),
    "end_of_ply": (end_of_ply, {name: (1.0, "values" if name == "load" else "positive values") for name in ENDS}),
    "flexibility": (flexibility, MOVING),
    "force_influence": (force_influence, MOVING),
    "point_stiffness": (point_stiffness, {
        "span": (SPAN, "object"), "at": (L, "station"), "directions": (UP, "array"), "arm": (np.zeros(3), "array"),
    }),
    "steep": (steep, {"book": (BOOK, "object"), "least_rate": (20.0, "positive number")}),
    "steps": (steps, {"book": (BOOK, "object")}),
}.items()}  # fmt: skip
MADE_BY_THE_LIBRARY = {
    f"beam.strut.{name}"
    for name in ("CutPiece", "EndOfPly", "Held", "Modes", "NoEquilibrium", "Profile", "Step")
}
"""Results and failures that nobody but the library builds."""


def test_every_door_is_in_the_register():
    assert set(doors_of(beam.strut)) == set(REGISTER) | MADE_BY_THE_LIBRARY


@pytest.mark.parametrize("name", REGISTER)
def test_the_calls_of_the_register_are_valid(name):
    door, arguments = REGISTER[name]
    door(**{key: value for key, (value, _) in arguments.items()})


@pytest.mark.parametrize(("name", "argument", "bad"), trials(REGISTER))
def test_bad_values_are_refused_by_name(name, argument, bad):
    refuses(REGISTER, name, argument, bad)


@pytest.mark.parametrize("case", [-1, 1])
def test_the_first_case_that_is_not_there(case):
    with pytest.raises(ValueError, match=r"cases.*from 0 to 0"):
        LOADS.take([case])
