"""One good call of every public callable of the failure criteria, governing ratio and progressive failure."""

import importlib

import numpy as np

from laminate import Laminate, failure
from laminate.failure import Criterion, Mode, Puck
from laminate.governing import Governing, governing
from laminate.progressive import PlyFailure, Progression, Step, progressive
from materials import Factor, lamina

T300 = lamina("T300/5208")
QUASI = Laminate.from_code("[0/45/-45/90]s", T300)
PREPARED = governing(QUASI)
STATE = {"values": [1e8, -2e7, 1e7], "allowables": T300.allowables, "residual": [0.0, 1e6, 0.0]}
ENVIRONMENT = {"temperature_change": -100.0, "moisture": 0.01}
FAILURE = PlyFailure(ply=1, surface=0, mode=Mode.MATRIX_TENSION)
STEP = Step(factor=1.5, failures=[FAILURE], deformation=np.full(6, 1e-3))
WET = Factor(name="hot wet", value=0.8, on=("Xc", "Yt"), source=T300.source)
CAPS = {"tension": 0.005, "compression": 0.004}
PLIES = {"allowables": (T300.allowables,) * 8}
ENVELOPE = {"space": "strain", "plane": ("x", "xy"), "third": 0.0} | ENVIRONMENT

PACKAGES = [
    failure,
    *(importlib.import_module(f"laminate.{name}") for name in ("governing", "progressive", "plots.envelope")),
]
CALLS = {
    Criterion.ratio: {"self": Puck()} | STATE,
    Criterion.mode: {"self": Puck()} | STATE,
    Criterion.for_kind: {"self": Puck(), "kind": "tape"},
    Criterion.surfaces: {"self": Puck(), "allowables": T300.allowables},
    Puck.fracture_angle: {"self": Puck()} | STATE,
    failure.TsaiWu: {"interaction": -0.5, "fabric_interaction": 0.0, "kind": "fabric"},
    failure.TsaiWu.for_kind: {"self": failure.TsaiWu(), "kind": "fabric"},
    failure.FiberStrain: CAPS | {"kind": "fabric"},
    failure.FiberStrain.for_kind: {"self": failure.FiberStrain(**CAPS), "kind": "fabric"},
    failure.Fabric: {"shear_share": 0.5},
    failure.Hashin: {"transverse_shear": 60e6, "shear_share": 1.0},
    failure.Puck: {"inclination_tension": 0.35, "inclination_compression": 0.3, "fiber_coupling": 0.1}
    | {"fiber": False},
    failure.LaRC03: {"shear_modulus": 7e9, "toughness_ratio": 0.35, "fracture_angle_deg": 53.0}
    | {"coupon_shear_strength": 90e6},
    failure.labels: {"mode": [1.0, 5.0]},
    governing: {
        "laminate": QUASI,
        "criterion": failure.TsaiWu(),
        "residual_N": [1e3, 0.0, 0.0],
        "residual_M": [1.0, 0.0, 0.0],
    }
    | ENVIRONMENT
    | PLIES,
    Governing: {
        "laminate": QUASI,
        "forms": PREPARED.forms,
        "ply": PREPARED.ply,
        "surface": PREPARED.surface,
    },
    Governing.ratio: {"self": PREPARED, "deformation": np.full(6, 1e-3)},
    Governing.place: {"self": PREPARED, "deformation": np.full(6, 1e-3)},
    Governing.ratio_of_loads: {"self": PREPARED, "loads": np.full(6, 1e-3)},
    Governing.ratio_of_strain: {"self": PREPARED, "strain": np.full(3, 1e-3)},
    progressive: {
        "laminate": QUASI,
        "N": [1e5, 0.0, 0.0],
        "M": [1.0, 0.0, 0.0],
        "criterion": failure.TsaiWu(),
        "complete": True,
        "matrix_left": 1e-6,
        "fiber_left": 1e-6,
    }
    | ENVIRONMENT
    | PLIES,
    PlyFailure: {"ply": 1, "surface": 0, "mode": Mode.MATRIX_TENSION},
    Step: {"factor": 1.5, "failures": (FAILURE,), "deformation": np.full(6, 1e-3)},
    Progression: {"steps": (STEP,)},
    PACKAGES[-1].first_ply_envelope: {"laminate": QUASI, "criterion": failure.TsaiWu()} | ENVELOPE,
    PACKAGES[-1].plot_envelope: {
        "laminate": QUASI,
        "criteria": (failure.TsaiWu(),),
        "ax": None,
        "factors": (WET,),
        "units": "SI",
    }
    | ENVELOPE,
}
EXCLUDED = {
    "Mode": "a list of words",
    "Criterion": "a base class; its subclasses are called",
}
