"""One good call of every public callable of beam.strut."""

import numpy as np
from matplotlib.figure import Figure
from spans import PLAIN
from struts import LENGTH, MOLD, ROOT, TAPE, TIP, book, strut

import beam.strut
import beam.strut.plots
from beam.strut import (
    Axis,
    Band,
    BookPly,
    CutPiece,
    Held,
    MoldLine,
    PlyBook,
    PointLoads,
    PointMass,
    Rib,
    Span,
    Step,
    Strut,
    Support,
    at_steps,
    beside_ends,
    cut_list,
    end_factor,
    end_of_ply,
    end_stations,
    flexibility,
    force_influence,
    plots,
    ply_end_ratios,
    point_stiffness,
    steep,
    steps,
)

PACKAGES = [beam.strut, beam.strut.plots]

AXIS, BOOK, STRUT, CLAMP = Axis.straight(2.0), book(), strut(), Support.clamp()
SPAN = Span(axis=2.0, stiffness=PLAIN, inertia=np.eye(6))
LOADS = PointLoads(at=[2.0], force=[[[0.0, 0.0, 1.0]]])
TIP_LOADS = PointLoads(at=[LENGTH], force=[[[0.0, 0.0, 1.0]]])
MASSES = (PointMass(at=2.0, mass=1.0),)
BAND = Band(name="bracket", start=0.1, end=0.2)
UP = [[0.0, 0.0, 1.0]]
LOADED = {"self": SPAN, "loads": LOADS, "free_strain": np.zeros(6)}
PLACE = {"self": BOOK, "wall": "inboard", "s": 0.1}
HOLDS = {"stiffness": 1e6, "play": 0.0, "name": "brace"}
MOVING = {"span": SPAN, "at": [0.5], "moving": [0.5]}
AXES = Figure().subplots(4, 1)
DRAWN = {"span": SPAN, "loads": LOADS, "cases": ("one",), "axes": tuple(AXES), "units": "SI"}
STEP = {"wall": "aft", "station": 0.3, "ends": True, "plies": (4, 5), "thickness": 4e-4, "run": 0.01}
PIECE = {
    "ply": 1, "lamina": "tape", "angle_deg": 0.0, "walls": ("aft",), "start": 0.0, "end": 0.5, "width_start": 0.04,
    "width_end": 0.03, "area": 0.0175, "mass": 0.004,
}  # fmt: skip
PLY = {"lamina": TAPE, "angle_deg": 45.0, "walls": ("inboard",), "start": 0.0, "end": 0.5}
MOLD_LINE = {
    "root": ROOT, "tip": TIP, "stations": [0.0, LENGTH], "width": [0.11, 0.07], "height": [0.08, 0.055],
    "corner_radius": [0.02, 0.015], "aft": [1.0, 0.0, 0.0], "names": ("a", "b", "c", "d"),
}  # fmt: skip

CALLS = {
    Axis: {"points": [[0, 0, 0], [1, 0, 0]]},
    Axis.straight: {"length": 2.0},
    Axis.position: {"self": AXIS, "s": [0.5]},
    Axis.frames: {"self": AXIS, "s": [0.5]},
    Axis.check: {"self": AXIS, "what": "s", "s": [0.5]},
    Band: {"name": "bracket", "start": 0.1, "end": 0.2, "walls": ("aft",), "fitting": "rigid"},
    BookPly: PLY,
    PlyBook: {"plies": BOOK.plies},
    PlyBook.present: PLACE | {"s": [0.1]},
    PlyBook.at: PLACE,
    PlyBook.numbers: PLACE,
    PlyBook.laminate: PLACE,
    PointLoads: {"at": [2.0], "force": [[[0.0, 0.0, 1.0]]], "moment": 0.0, "arm": 0.0, "level": ["limit"],
                 "factor_of_safety": [1.5]},
    PointLoads.take: {"self": LOADS, "cases": [0]},
    PointLoads.times: {"self": LOADS, "factor": 2.0},
    PointMass: {"at": 2.0, "mass": 1.0, "inertia": np.eye(3), "arm": np.zeros(3)},
    CutPiece: PIECE,
    Step: STEP,
    MoldLine: MOLD_LINE,
    MoldLine.flat_widths: {"self": MOLD, "s": [0.1]},
    MoldLine.at: {"self": MOLD, "s": [0.1]},
    MoldLine.position: {"self": MOLD, "s": [0.1]},
    MoldLine.point_loads: {"self": MOLD, "at": [LENGTH], "points": [[TIP]], "force": [UP], "moment": 0.0},
    MoldLine.support: HOLDS | {"self": MOLD, "at": 0.1, "point": ROOT, "directions": UP},
    Span: {
        "axis": AXIS, "stiffness": SPAN.stiffness, "inertia": SPAN.inertia, "supports": (CLAMP,),
        "stations": SPAN.stations,
    },
    Span.forces: LOADED | {"at": [0.5], "large": False},
    Span.displacement: LOADED | {"at": [0.5], "large": False},
    Span.reactions: LOADED | {"large": False},
    Span.buckling_factor: LOADED,
    Span.modes: {"self": SPAN, "n": 2, "masses": MASSES},
    Span.frequencies: {"self": SPAN, "n": 2, "masses": MASSES},
    Rib: {"station": 0.1, "bending_stiffness": 400.0, "name": "rib"},
    Strut: {
        "mold_line": MOLD, "ply_book": BOOK, "supports": (CLAMP,), "bands": (BAND,), "ribs": (Rib(station=0.1),),
        "root_end": "closed", "tip_end": "closed",
    },
    Strut.wall_loads: {"self": STRUT, "F": np.ones((1, 6)), "station": [0.1], "at": [0.0, 0.5]},
    Strut.band_at: {"self": STRUT, "station": 0.1},
    Strut.added_wall_loads: {"self": STRUT, "loads": TIP_LOADS, "station": [0.1], "at": [0.5]},
    Strut.ribs_in: {"self": STRUT, "band": BAND},
    Strut.introduction_notes: {"self": STRUT, "loads": TIP_LOADS},
    Strut.section: {"self": STRUT, "s": 0.1},
    Strut.flexibility: {
        "self": STRUT,
        "bracket": MOLD.root + 0.4 * (MOLD.tip - MOLD.root) + [0.05, 0.0, 0.0],
        "pivot": MOLD.tip,
        "damping_ratio": 0.02,
    },
    Strut.free_strain: {"self": STRUT, "temperature_change": -50.0, "moisture": 0.0},
    Held: {name: getattr(SPAN.held, name) for name in Held.__dataclass_fields__},
    Held.refuse_play: {"self": SPAN.held},
    Support: HOLDS | {"at": 0.1, "translations": UP, "rotations": UP, "arm": np.zeros(3)},
    Support.clamp: {"at": 0.1, "stiffness": 1e6, "name": "clamp"},
    Support.motions: HOLDS | {"at": 0.1, "held": ("u1",)},
    Support.point: HOLDS | {"at": 0.1, "directions": UP, "arm": np.zeros(3)},
    at_steps: {"strut": STRUT, "loads": TIP_LOADS, "resin_shear_modulus": 1e9, "resin_thickness": 1e-5},
    beside_ends: {"strut": STRUT, "stations": [0.1]},
    end_factor: {"distance": [0.001]},
    end_stations: {"strut": STRUT},
    ply_end_ratios: {
        "strut": STRUT, "forces": np.ones((1, 6)), "restraint": np.zeros(6), "temperature_change": -50.0,
        "moisture": 0.0,
    },
    cut_list: {"strut": STRUT},
    end_of_ply: {"load": 1.0, "dropped": 1.0, "continuing": 1.0, "layer_stiffness": 1.0, "faces": 1.0},
    flexibility: MOVING,
    force_influence: MOVING,
    point_stiffness: {"span": SPAN, "at": 2.0, "directions": UP, "arm": np.zeros(3)},
    steep: {"book": BOOK, "least_rate": 20.0},
    steps: {"book": BOOK},
    plots.plot_ply_book: {"strut": STRUT, "ax": AXES[0], "units": "SI"},
    plots.plot_forces: DRAWN,
    plots.plot_deflection: DRAWN | {"axes": tuple(AXES[:3]), "large": False},
    plots.plot_modes: {"span": SPAN, "modes": SPAN.modes(3), "axes": tuple(AXES[:3]), "units": "SI"},
}  # fmt: skip
EXCLUDED = {
    "EndOfPly": "a result",
    "IntroductionNote": "a result",
    "Modes": "a result",
    "PlyEnd": "a result",
    "Profile": "a result",
    "NoEquilibrium": "an exception",
}
SKIP = {
    "Span axis: a number": "the length of a straight axis",
    "Span stations: None": "left out",
}
