"""One good call of every public callable of beam.dossier, beam.strut_cases and beam.units."""

import tarn
from calls_sizing import FOUND
from small_strut import REQUIREMENT

from beam import dossier, strut_cases, units
from beam.dossier import book_table, lowest, report, schedule_table
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

PACKAGES = [dossier, report, strut_cases, units]
CALLS = {
    units.shown: {"value": [1.0, 2.0], "quantity": "force", "units": "SI"},
    units.symbol: {"quantity": "force", "units": "US"},
    design_cases: CARRIED,
    DesignCases: {name: getattr(LOADS, name) for name in ("labels", "loads", "row", "shock_force")},
    lowest: {"table": FOUND.margins, "count": 3, "by": "case", "decides": True},
    schedule_table: {"sizing": FOUND, "units": "SI"},
    book_table: {"strut": FOUND.strut, "units": "US"},
    report.heading: {"text": "Loads"},
    report.airplane: {"sheet": tarn.AIRPLANE, "units": "SI"},
    report.reactions: {"static": STATIC, "units": "SI"},
    report.landing: {"drop": LANDED, "units": "US"},
    report.loads: {"cases": CASES, "leg": "starboard", "units": "SI"},
    report.layout: {"checks": layout_table(tarn.AIRPLANE, tarn.EQUIPMENT, LANDING)},
    report.proof: {"sizing": FOUND, "requirement": REQUIREMENT, "units": "SI"},
    report.screened: {"table": FOUND.margins, "units": "SI"},
    report.margins: {"rows": lowest(FOUND.margins, 3), "units": "SI"},
}
EXCLUDED = {}
