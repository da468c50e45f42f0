"""One good call of every public callable of beam.dossier, beam.strut_cases and beam.units."""

import tempfile
from dataclasses import fields
from pathlib import Path

import numpy as np
import tarn
import tarn_joints
from calls_sizing import FOUND, FOUND_LOADS
from matplotlib.figure import Figure
from small_strut import REQUIREMENT

from beam import dossier, strut_cases, units
from beam.dossier import (
    Design,
    book_table,
    compare,
    lowest,
    plots,
    read_margins,
    read_ply_book,
    schedule_table,
    shop,
    texts,
    write_ply_book,
    write_table,
)
from beam.gear import drop
from beam.loads import Landing, ground_cases, layout_table, static_reactions
from beam.strut_cases import DesignCases, design_cases

STATIC = static_reactions(tarn.AIRPLANE)
LANDING = Landing(load_factor=2.96, max_mass_load_factor=2.93)
CASES = ground_cases(tarn.AIRPLANE, LANDING)
CARRIED = {
    "gear": tarn.GEAR,
    "cases": CASES,
    "mold_line": tarn.MOLD_LINE,
    "static": STATIC,
    "airplane": tarn.AIRPLANE,
}
LANDED = drop(tarn.GEAR, mass=590.0, speed=2.85, lift_ratio=2 / 3)
LOADS = design_cases(**CARRIED)

FOLDER = Path(tempfile.mkdtemp())
DESIGN = {"name": "Tarn", "airplane": tarn.AIRPLANE, "gear": tarn.GEAR, "mold_line": tarn.MOLD_LINE,
          "lattice": tarn.LATTICE, "requirement": tarn.REQUIREMENT, "equipment": tarn.EQUIPMENT, "first_counts": None,
          "supports": (), "bands": (), "ribs": (), "root_end": "warping held",
          "tip_end": "open", "ply_book": tarn.FIRST_STRUT.ply_book, "remarks": "invented",
          "fittings": tarn_joints.FITTINGS}  # fmt: skip
TARN = Design(**DESIGN)
SMALL = Design(**DESIGN | {"fittings": (), "mold_line": FOUND.lattice.mold_line, "lattice": FOUND.lattice,
                           "requirement": REQUIREMENT, "ply_book": FOUND.strut.ply_book})  # fmt: skip
SMALL_LOADING = DesignCases(labels=np.array(["a", "b", "c"]), loads=FOUND_LOADS, row=[0, 1, 2], shock_force=[0.0] * 3,
                            contact=np.zeros((3, 3)), stroke=[0.0] * 3)  # fmt: skip
BOOK = TARN.ply_book
write_ply_book(BOOK, FOLDER / "book.csv")
write_table(FOUND.margins, FOLDER / "margins.csv")
TARN.write(FOLDER / "design.toml")
LAMINAE = {ply.lamina.name: ply.lamina for ply in BOOK.plies}

PATTERNS = shop.flat_patterns(FOUND.strut)
AXES = tuple(Figure().subplots(2, 1))
AXES_FOUR = tuple(Figure().subplots(2, 2).ravel())

TEST = dossier.plan_static_test(FOUND.strut, FOUND_LOADS, REQUIREMENT, FOUND.margins, cases=[0, 1, 2], overload=1.1,
                                overload_basis="invented")  # fmt: skip
READ = dossier.compare_gauges(TEST, TEST.readings().assign(measured=lambda t: t["predicted"]))

ROW = lowest(FOUND.margins, None, by="mode").set_index("mode", drop=False).loc["tsai_wu"].to_dict()
WORKED = dossier.worked_margin(FOUND.strut, FOUND_LOADS, REQUIREMENT, ROW, cases=[0, 1, 2])

PACKAGES = [dossier, plots, texts, shop, strut_cases, units]
CALLS = {
    units.shown: {"value": [1.0, 2.0], "quantity": "force", "units": "SI"},
    units.symbol: {"quantity": "force", "units": "US"},
    shop.release_faults: {"margins": FOUND.margins},
    shop.FlatPattern: {
        name: getattr(PATTERNS[0], name) for name in ("piece", "outline", "stations", "seam", "end_rise")
    },
    shop.flat_patterns: {"strut": FOUND.strut, "seam": 0.012},
    shop.kit_list: {"strut": FOUND.strut, "struts": 2, "units": "SI"},
    shop.drop_table: {"strut": FOUND.strut, "units": "SI"},
    shop.mandrel_table: {"strut": FOUND.strut, "units": "US"},
    shop.port_book: {"book": BOOK},
    shop.write_svg: {"patterns": PATTERNS[:1], "folder": FOLDER / "svg", "faults": ("invented",)},
    shop.write_dxf: {"patterns": PATTERNS[:1], "path": FOLDER / "plies.dxf", "faults": ()},
    plots.plot_longitudinal_section: {
        "strut": FOUND.strut,
        "wall": "aft",
        "ax": AXES[0],
        "exaggeration": 20.0,
        "faults": (),
        "units": "SI",
    },
    plots.plot_mandrel: {"strut": FOUND.strut, "axes": AXES, "faults": (), "units": "SI"},
    dossier.worked_margin: {
        "strut": FOUND.strut,
        "loads": FOUND_LOADS,
        "requirement": REQUIREMENT,
        "row": ROW,
        "cases": [0, 1, 2],
        "first": (),
    },
    dossier.WorkedMargin: {f.name: getattr(WORKED, f.name) for f in fields(WORKED)},
    dossier.WorkedMargin.text: {"self": WORKED},
    dossier.coupon_plan: {
        "requirement": REQUIREMENT,
        "laminae": list(LAMINAE.values()),
        "basis": "A",
        "sample": "reduced",
    },
    dossier.element_plan: {"margins": FOUND.margins},
    dossier.Gauge: {"station": 0.1, "wall": "aft", "place": 0.5},
    dossier.StaticTest: {f.name: getattr(TEST, f.name) for f in fields(TEST)},
    dossier.StaticTest.loads: {"self": TEST},
    dossier.StaticTest.sequence: {"self": TEST},
    dossier.StaticTest.readings: {"self": TEST},
    dossier.plan_static_test: {
        "strut": FOUND.strut,
        "loads": FOUND_LOADS,
        "requirement": REQUIREMENT,
        "margins": FOUND.margins,
        "cases": [0, 1, 2],
        "overload": 1.1,
        "overload_basis": "invented",
        "count": 2,
        "gauges": (dossier.Gauge(station=0.1, wall="aft"),),
        "stop": 0.1,
    },
    dossier.compare_gauges: {"test": TEST, "measured": READ},
    dossier.inspection_plan: {"damages": (), "interval": "100 h"},
    plots.plot_gear_bodies: {
        "gear": tarn.GEAR,
        "strut": tarn.FIRST_STRUT,
        "loading": LOADS,
        "label": str(LOADS.labels[0]),
        "axes": AXES_FOUR,
        "units": "SI",
    },
    dossier.write_packet: {
        "design": TARN,
        "margins": FOUND.margins,
        "folder": FOLDER / "packet",
        "static_test": TEST,
        "damages": (),
        "units": "SI",
    },
    shop.write_templates: {"strut": FOUND.strut, "path": FOLDER / "templates.svg", "faults": ()},
    plots.plot_gauges: {"comparison": READ, "case": TEST.cases[0], "ax": AXES[0]},
    units.from_text: {"text": "42 psi", "unit": "Pa"},
    Design: DESIGN,
    Design.tables: {"self": TARN},
    Design.from_tables: {"tables": TARN.tables(), "file": "design.toml"},
    Design.read: {"path": FOLDER / "design.toml"},
    Design.write: {"self": TARN, "path": FOLDER / "again.toml"},
    Design.lightest: {"self": SMALL, "loading": SMALL_LOADING, "start": None, "progress": str},
    Design.sized: {"self": TARN, "sizing": FOUND},
    compare: {"old": TARN, "new": TARN, "margins": (FOUND.margins, FOUND.margins)},
    read_margins: {"path": FOLDER / "margins.csv"},
    read_ply_book: {"path": FOLDER / "book.csv", "laminae": LAMINAE},
    write_ply_book: {"book": BOOK, "path": FOLDER / "book.csv"},
    write_table: {"table": FOUND.margins, "path": FOLDER / "margins.csv"},
    design_cases: CARRIED,
    DesignCases: {
        name: getattr(LOADS, name) for name in ("labels", "loads", "row", "shock_force", "contact", "stroke")
    },
    lowest: {"table": FOUND.margins, "count": 3, "by": "case", "decides": True},
    schedule_table: {"sizing": FOUND, "units": "SI"},
    book_table: {"strut": FOUND.strut, "units": "US"},
    texts.heading: {"text": "Loads"},
    texts.airplane: {"sheet": tarn.AIRPLANE, "units": "SI"},
    texts.reactions: {"static": STATIC, "units": "SI"},
    texts.landing: {"drop": LANDED, "units": "US"},
    texts.loads: {"cases": CASES, "leg": "starboard", "units": "SI"},
    texts.layout: {"checks": layout_table(tarn.AIRPLANE, tarn.EQUIPMENT, LANDING)},
    texts.proof: {"sizing": FOUND, "requirement": REQUIREMENT, "widened": None, "units": "SI"},
    texts.screened: {"table": FOUND.margins, "units": "SI"},
    texts.margins: {"rows": lowest(FOUND.margins, 3), "units": "SI"},
}
EXCLUDED = {"report": "writes a whole report: tests/beam/dossier/test_stress_report.py"}
