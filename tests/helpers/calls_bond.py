"""One good call of every public callable of bonded joints: the sleeve, its adhesive and its plot."""

from bonded import PASTE, ROUND, sleeve
from matplotlib.figure import Figure
from small_strut import REQUIREMENT

import materials as m
from beam.joints import BondedSleeve, JointFactors, JointLoads, plots

SLEEVE, TEST = sleeve(), PASTE.curves[1]
LOADS = JointLoads(force=[[20e3, 1e3, 0.0], [-10e3, 0.0, 2e3]], moment=[[100.0, 0.0, 50.0], [0.0, 90.0, 0.0]])
SERVICE = REQUIREMENT.services[0]

PACKAGES = [plots]
CALLS = {
    m.AdhesiveCurve: {name: getattr(TEST, name) for name in TEST.__dataclass_fields__},
    m.Adhesive: {name: getattr(PASTE, name) for name in PASTE.__dataclass_fields__},
    m.Adhesive.at: {"self": PASTE, "temperature": 250.0, "moisture": 0.0},
    BondedSleeve: ROUND | {
        "fail_safe": "bolts", "bolts": SLEEVE, "disbond": None, "taper": 0.01, "tip": 1e-3, "wall_taper": 0.01,
        "wall_tip": 2e-3, "couple_share": 0.9, "body_gap": 1e-3, "couple_basis": "invented", "yield_decides": True,
        "factors": JointFactors(),
    },
    BondedSleeve.line_loads: {"self": SLEEVE, "loads": LOADS},
    BondedSleeve.shear_stress: {"self": SLEEVE, "loads": LOADS, "service": SERVICE},
    BondedSleeve.peel: {"self": SLEEVE, "loads": LOADS, "service": SERVICE},
    BondedSleeve.long_strength: {"self": SLEEVE, "service": SERVICE},
    BondedSleeve.useful_overlap: {"self": SLEEVE, "service": SERVICE},
    BondedSleeve.loads_without_bond: {"self": SLEEVE, "loads": LOADS},
    BondedSleeve.margins: {"self": SLEEVE, "loads": LOADS, "requirement": REQUIREMENT},
    plots.plot_bond_stress: {"joint": SLEEVE, "loads": LOADS, "service": SERVICE, "case": 1,
                             "ax": Figure().subplots(), "units": "SI"},
}  # fmt: skip
EXCLUDED = {}
