"""One good call of every public callable of beam.joints."""

from small_strut import REQUIREMENT

from beam import joints
from beam.joints import JointFactors, JointLoads, with_joints
from beam.joints.joint_rows import JointCheck, joint_rows

LOADS = JointLoads(force=[[20e3, 8e3, 0.0], [-10e3, 0.0, 0.0]], cases=["level", "spring-back"])
FACTORS = JointFactors(bearing=2.0, bearing_basis="invented")
CHECK = JointCheck("pin", "shear", "ultimate", LOADS.force[:, 0] / 1e4, "invented")
ROWS = joint_rows("pivot", [CHECK], LOADS, REQUIREMENT, factors=FACTORS)

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
}
EXCLUDED = {}
