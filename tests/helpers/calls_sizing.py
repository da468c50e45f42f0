"""One good call of every public callable of beam.sizing."""

from small_strut import LOADS, MOLD_LINE, REQUIREMENT, TAPE, WALLS, lattice

from beam import sizing
from beam.sizing import InfeasibleSizing, Lattice, PlyKind, Sizing, lightest

LATTICE = lattice(2, most=(1, 1, 1))
FOUND_LOADS = LOADS.times(0.1)
FOUND = lightest(LATTICE, FOUND_LOADS, REQUIREMENT)
KIND = {"name": "tape", "lamina": TAPE, "angles_deg": (0.0,), "walls": WALLS, "least": 1, "most": 3, "depth": 0.0,
        "pitch": 1.0, "least_share": 0.1}  # fmt: skip

PACKAGES = [sizing]
CALLS = {
    PlyKind: KIND,
    Lattice: {"mold_line": MOLD_LINE, "stations": [0.0, 0.5], "kinds": (PlyKind(**KIND),), "drop_length": 20.0,
              "most_ending": 1},
    Lattice.book: {"self": LATTICE, "counts": [[1, 1, 1], [1, 1, 1]]},
    Sizing: {name: getattr(FOUND, name) for name in ("strut", "lattice", "counts", "bound", "margins", "evaluations",
                                                    "passes", "held")},
    lightest: {"lattice": LATTICE, "loads": LOADS.times(0.1), "requirement": REQUIREMENT, "cases": ["a", "b", "c"],
               "bands": (), "ribs": (), "root_end": "warping held", "tip_end": "open", "start": None, "progress": str},
}  # fmt: skip
EXCLUDED = {InfeasibleSizing.__qualname__: "an exception"}
