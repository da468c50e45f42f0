"""One good call of every public callable of the fittings: free bodies, joint loads, margins, masses and the picture."""

import numpy as np
from matplotlib.figure import Figure
from small_strut import CASES, LENGTH, LOADS, MOLD_LINE, REQUIREMENT, lattice

from beam import joints as j
from beam.joints import plots
from beam.strut import Strut
from materials import metal

STRUT = Strut(MOLD_LINE, lattice().book([[4, 2, 2], [4, 2, 2]]))
PIN = j.Pin(name="pin", diameter=20e-3, metal=metal("4340 180 ksi"), outer=10e-3, middle=15e-3)
PLACE = {
    "joint": PIN, "takes": "entering", "point": [LENGTH, 0.0, 0.0], "axes": np.eye(3), "share": np.eye(6),
    "said": "invented",
}  # fmt: skip
FITTING = {
    "name": "pivot", "start": 0.4, "end": LENGTH, "joints": [j.FittedJoint(**PLACE)], "other_mass": 0.5,
    "other_basis": "invented",
}  # fmt: skip
PIVOT = j.Fitting(**FITTING)
STRAIN = np.zeros(6)
JUDGED = {
    "fittings": [PIVOT], "strut": STRUT, "loads": LOADS, "requirement": REQUIREMENT, "cases": CASES,
    "free_strain": STRAIN,
}  # fmt: skip

PACKAGES = []
CALLS = {
    j.FittedJoint: PLACE,
    j.Fitting: FITTING,
    j.free_body: {"strut": STRUT, "loads": LOADS, "fitting": PIVOT, "free_strain": STRAIN},
    j.joint_loads: {
        "strut": STRUT, "loads": LOADS, "fitting": PIVOT, "joint": PIVOT.joints[0], "cases": CASES,
        "free_strain": STRAIN,
    },
    j.hinge_shares: {"spread": 0.1, "thrust": 1.0},
    j.assembly_margins: JUDGED | {"whole": False},
    j.joint_load_table: JUDGED,
    j.leg_masses: {"strut": STRUT, "fittings": [PIVOT]},
    plots.plot_free_body: {
        "fitting": PIVOT, "strut": STRUT, "loads": LOADS, "requirement": REQUIREMENT, "case": 1, "label": "side",
        "level": "limit", "across": "e3", "units": "US", "ax": Figure().subplots(),
    },
}  # fmt: skip
EXCLUDED = {}
