"""One good call of every public callable of beam.joints."""

from small_strut import REQUIREMENT

from beam import joints
from beam.joints import (
    Bushing,
    JointFactors,
    JointLoads,
    Lug,
    LugCurves,
    Pin,
    PressFit,
    ReadCurve,
    with_joints,
)
from beam.joints.joint_rows import JointCheck, joint_rows
from materials import Source, metal

LOADS = JointLoads(force=[[20e3, 8e3, 0.0], [-10e3, 0.0, 0.0]], cases=["level", "spring-back"])
FACTORS = JointFactors(bearing=2.0, bearing_basis="invented")
CHECK = JointCheck("pin", "shear", "ultimate", LOADS.force[:, 0] / 1e4, "invented")
ROWS = joint_rows("pivot", [CHECK], LOADS, REQUIREMENT, factors=FACTORS)

INVENTED = Source("invented", "for the tests")
STEEL = metal("4340 180 ksi")
CURVE = ReadCurve(x=[0.1, 10.0], y=[0.9, 0.8], source=INVENTED)
BUSHING = {
    "bore": 20e-3, "diameter": 25e-3, "length": 15e-3, "metal": STEEL, "allowed_pressure": 60e6,
    "pressure_basis": "invented",
}  # fmt: skip
LUG = {
    "name": "pivot", "hole": 25e-3, "width": 60e-3, "edge": 30e-3, "thickness": 15e-3, "metal": metal("2024-T3 sheet"),
    "pin_diameter": 20e-3, "bushing": Bushing(**BUSHING), "moves": True, "areas": [4e-4, 3e-4, 3e-4, 4e-4],
    "curves": LugCurves(net=CURVE, bearing=CURVE, transverse=CURVE, transverse_yield=CURVE, yielding=CURVE),
    "arm": 40e-3, "sideways": 0.1, "factors": FACTORS, "station": 0.5,
}  # fmt: skip
PIN = {
    "name": "pivot", "diameter": 20e-3, "metal": STEEL, "outer": 10e-3, "middle": 15e-3, "gap": 0.5e-3, "bore": 8e-3,
    "arrangement": "double", "peaking": 0.9, "peaking_basis": "invented", "bending_factor": 1.2, "lugs": (150e3, 320e3),
    "factors": FACTORS, "station": 0.5,
}  # fmt: skip
FIT = {
    "name": "pivot", "bushing": Bushing(**BUSHING), "member": metal("7075-T6 bar"), "width": 60e-3,
    "interference": (20e-6, 40e-6), "temperature": 296.0, "friction": 0.12, "friction_basis": "invented",
    "test_basis": "invented", "factors": FACTORS, "station": 0.5,
}  # fmt: skip
JUDGED = {"loads": LOADS, "requirement": REQUIREMENT}

PACKAGES = [joints]
CALLS = {
    JointLoads: {
        "force": [[20e3, 8e3, 0.0], [-10e3, 0.0, 0.0]],
        "moment": [[0.0, 0.0, 5.0], [0.0, 0.0, 0.0]],
        "cases": ("level", "spring-back"),
        "level": ("limit", "limit"),
        "factor_of_safety": [1.5, 1.5],
    },
    JointFactors: {
        "fitting": 1.15,
        "fitting_basis": "14 CFR 23.625",
        "casting": 1.25,
        "casting_basis": "invented",
        "bearing": 2.0,
        "bearing_basis": "invented",
        "combination": "product",
        "combination_basis": "invented",
    },
    JointFactors.fitting_of: {"self": FACTORS, "kind": "bearing"},
    with_joints: {"table": ROWS, "rows": ROWS},
    Bushing: BUSHING,
    PressFit: FIT,
    PressFit.stress: {"self": PressFit(**FIT), "interference": [2e-5, 4e-5], "temperature": [296.0, 300.0]},
    PressFit.margins: {"self": PressFit(**FIT)} | JUDGED,
    ReadCurve: {"x": [1.0, 2.0], "y": [0.9, 0.8], "source": INVENTED},
    ReadCurve.at: {"self": CURVE, "x": 1.5},
    LugCurves: dict.fromkeys(("net", "bearing", "transverse", "transverse_yield", "yielding"), CURVE),
    Lug: LUG,
    Lug.margins: {"self": Lug(**LUG)} | JUDGED,
    Pin: PIN,
    Pin.margins: {"self": Pin(**PIN)} | JUDGED,
}
EXCLUDED = {
    "BalancedPin": "a result, made by Pin.balanced",
    "FitStress": "a result, made by PressFit.stress",
    "LugStrength": "a result, made by Lug.strength",
}
