"""One good call of every public callable of the fittings: free bodies, joint loads, margins, masses and the picture."""

import numpy as np
from bonded import PASTE
from matplotlib.figure import Figure
from small_strut import CASES, INVENTED, LENGTH, LOADS, MOLD_LINE, REQUIREMENT, lattice

from beam import joints as j
from beam.dossier import worked_joint_margins
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

DRAWN_ON = {"strut": STRUT, "start": 0.0, "end": 0.12, "mouth": 0.12}
TIGHT = j.Preload(torque=6.0, nut_factor=0.2, nut_factor_basis="invented")
SOCKET = {
    "name": "root", "metal": metal("2024-T3 sheet"), "adhesive": PASTE, "thickness": 4e-3, "bond_thickness": 0.3e-3,
    "bolt": j.InstalledBolt(fastener=j.fastener("M6 8.8"), planes=2), "columns": 9, "rows": 3, "tension": 0.01,
    "compression": 0.008, "bearing": 400e6, "shear": 100e6, "strength_source": INVENTED, "fail_safe_basis": "invented",
    "taper": 0.05, "tip": 0.5e-3, "couple_share": 0.5, "body_gap": 1e-3, "couple_basis": "invented",
    "factors": j.JointFactors(),
}  # fmt: skip
SADDLE = {
    "name": "bracket", "crush": 150e6, "strain": 0.004, "strength_basis": "invented", "pull": 20e6, "torsion": "form",
    "hold": j.Clamp(bolt=j.InstalledBolt(fastener=j.fastener("M6 8.8"), preload=TIGHT), bolts=4, friction=0.1,
                    friction_basis="invented"),
    "filled": True, "factors": j.JointFactors(),
}  # fmt: skip
TABLE = j.assembly_margins([PIVOT], STRUT, LOADS, REQUIREMENT, cases=CASES, whole=False).reset_index()

PACKAGES = []
CALLS = {
    j.FittedJoint: PLACE,
    j.Fitting: FITTING,
    j.Fitting.on: {"self": PIVOT, "strut": STRUT},
    j.DrawnSocket: SOCKET,
    j.DrawnSocket.on: {"self": j.DrawnSocket(**SOCKET)} | DRAWN_ON,
    j.DrawnSaddle: SADDLE,
    j.DrawnSaddle.on: {"self": j.DrawnSaddle(**SADDLE)} | DRAWN_ON,
    worked_joint_margins: {
        "fittings": [PIVOT], "strut": STRUT, "loads": LOADS, "requirement": REQUIREMENT, "cases": CASES, "first": None,
        "rows": [TABLE.iloc[0].to_dict()], "units": "US",
    },
    j.free_body: {"strut": STRUT, "loads": LOADS, "fitting": PIVOT, "free_strain": STRAIN},
    j.joint_loads: {
        "strut": STRUT, "loads": LOADS, "fitting": PIVOT, "joint": PIVOT.joints[0], "cases": CASES,
        "free_strain": STRAIN,
    },
    j.hinge_shares: {"spread": 0.1, "thrust": 1.0},
    j.assembly_margins: JUDGED | {"whole": False},
    j.joint_load_table: JUDGED | {"units": "US"},
    j.leg_masses: {"strut": STRUT, "fittings": [PIVOT]},
    plots.plot_free_body: {
        "fitting": PIVOT, "strut": STRUT, "loads": LOADS, "requirement": REQUIREMENT, "case": 1, "label": "side",
        "level": "limit", "across": "e3", "units": "US", "ax": Figure().subplots(),
    },
}  # fmt: skip
EXCLUDED = {}
