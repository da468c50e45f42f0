"""One good call of every public callable of beam.sizing."""

from dataclasses import replace

import pandas as pd
from matplotlib.figure import Figure
from small_strut import LOADS, MOLD_LINE, REQUIREMENT, TAPE, WALLS, lattice
from small_tube import LATTICE as OF_TUBE
from small_tube import PULL
from small_tube import REQUIREMENT as TUBE_REQUIREMENT

from beam import sizing
from beam.sizing import (
    AngleStep,
    Contiguity,
    InfeasibleSizing,
    Lattice,
    LeastShare,
    OuterPlies,
    PlyKind,
    Problem,
    Scatter,
    Sizing,
    Sweep,
    Variation,
    lightest,
    plots,
    scatter,
    size,
    sweep,
    usual_variations,
)
from beam.strut import Band, Rib

LATTICE = lattice(2, most=(1, 1, 1))
FOUND_LOADS = LOADS.times(0.1)
FOUND = lightest(LATTICE, FOUND_LOADS, REQUIREMENT)
TIGHT = replace(OF_TUBE.mold_line, corner_radius=[3e-4, 3e-4])
KIND = {"name": "tape", "lamina": TAPE, "angles_deg": (0.0,), "walls": WALLS, "least": 1, "most": 3, "depth": 0.0,
        "pitch": 1.0, "least_share": 0.1, "start": 0.0, "end": 0.5}  # fmt: skip
TUBE = Problem(lattice=OF_TUBE, loads=PULL, requirement=TUBE_REQUIREMENT)
SIZED = size(TUBE)
NO_BOOK = InfeasibleSizing("no book", replace(TUBE, lattice=replace(OF_TUBE, mold_line=TIGHT)), size)
LOAD = Variation(quantity="load", deviation=0.05)
SCATTERED = scatter(TUBE, SIZED.strut, [LOAD], samples=1000)
SWEPT = sweep(TUBE.reshaped, {"width_factor": [1.0]})
CHANGED = {
    "assumption": "all loads",
    "side": "relaxed",
    "before": "1",
    "after": "0.9",
    "change_g": -50.0,
    "note": "",
}
RESIZED = pd.DataFrame([CHANGED]).set_index(["assumption", "side"])
ADDED = {"bands": [Band(name="wheel", start=0.3, end=0.4)], "ribs": [Rib(station=0.35)], "root_end": "closed",
         "tip_end": "closed"}  # fmt: skip
AX = Figure().subplots()

PACKAGES = [sizing, plots]
CALLS = {
    PlyKind: KIND,
    Lattice: {"mold_line": MOLD_LINE, "stations": [0.0, 0.5], "kinds": (PlyKind(**KIND),), "drop_length": 20.0,
              "most_ending": 1, "rules": (Contiguity(most=8),)},
    Contiguity: {"most": 4, "thickness": 1e-3},
    LeastShare: {"share": 0.1, "directions_deg": (0.0, 90.0)},
    AngleStep: {"most_deg": 60.0},
    OuterPlies: {"directions_deg": (45.0, -45.0), "count": 1},
    Lattice.book: {"self": LATTICE, "counts": [[1, 1, 1], [1, 1, 1]]},
    Sizing: {name: getattr(FOUND, name) for name in ("strut", "problem", "counts", "bound", "margins", "evaluations",
                                                    "passes", "held", "notes")},
    lightest: {"lattice": LATTICE, "loads": LOADS.times(0.1), "requirement": REQUIREMENT, "cases": ["a", "b", "c"],
               "bands": (), "ribs": (), "root_end": "warping held", "tip_end": "open", "supports": None,
               "deflected": False, "start": None, "progress": str},
    Problem: {"lattice": LATTICE, "loads": LOADS, "requirement": REQUIREMENT, "cases": ["a", "b", "c"],
              "supports": None, "deflected": False, **ADDED},
    Problem.strut: {"self": TUBE, "counts": SIZED.counts},
    Problem.margins: {"self": TUBE, "strut": SIZED.strut, "stations": [0.1, 0.3]},
    Problem.reshaped: {"self": TUBE, "width_factor": 1.1, "height_factor": 0.9, "tip_factor": 0.95},
    Problem.with_laminae: {"self": TUBE, "new": {OF_TUBE.kinds[0].lamina.name: TAPE}},
    size: {"problem": TUBE, "start": SIZED.strut, "progress": str},
    Sizing.why: {"self": SIZED},
    Sizing.widened: {"self": SIZED, "lower": False, "seconds": 9.0, "workers": 1, "progress": str},
    Sizing.sensitivity: {"self": SIZED, "step": 0.4, "variants": {"half": PULL.times(0.5)}, "only": ["limit"],
                         "workers": 1, "progress": str},
    Sizing.scatter: {"self": SIZED, "variations": [LOAD], "samples": 1000, "seed": 1, "workers": map, "progress": str},
    InfeasibleSizing.why: {"self": NO_BOOK, "seconds": 9.0},
    InfeasibleSizing.what_if: {"self": NO_BOOK, "seconds": 0.1, "workers": map, "progress": str},
    Sweep: {"table": SWEPT.table, "parameters": ("width_factor",), "asked": 1},
    Sweep.pareto: {"self": SWEPT, "columns": "mass"},
    sweep: {"build": TUBE.reshaped, "over": {"width_factor": [1.0]}, "size": size, "measure": None,
            "workers": map, "progress": str},
    Variation: {"quantity": "E1", "lamina": "test tape", "deviation": 0.05, "mean": 1.1, "distribution": "normal"},
    Variation.factor: {"self": LOAD, "u": [0.0, 1.0]},
    usual_variations: {"problem": TUBE, "strut": SIZED.strut},
    Scatter: {name: getattr(SCATTERED, name) for name in Scatter.__dataclass_fields__},
    scatter: {"problem": TUBE, "strut": SIZED.strut, "variations": [LOAD], "nominal": SIZED.margins, "samples": 1000,
              "quantile": 0.01, "confidence": 0.95, "most_rechecked": 8, "seed": 1, "workers": map, "progress": str},
    plots.plot_tornado: {"table": RESIZED, "most": 5, "ax": AX, "units": "US"},
    plots.plot_pareto: {"found": SWEPT, "x": "mass", "y": "deflection", "color": "margin", "ax": AX, "units": "US"},
    plots.plot_scatter: {"found": SCATTERED, "ax": AX},
}  # fmt: skip
EXCLUDED = {InfeasibleSizing.__qualname__: "an exception"}
