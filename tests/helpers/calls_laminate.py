"""One good call of every public callable of laminate, failure criteria and what is built on them apart."""

from dataclasses import replace

import numpy as np
from walls import isotropic_abd, isotropic_D

import laminate
from laminate import (
    Laminate,
    Ply,
    Response,
    batch,
    constants,
    interlaminar,
    notch,
    plots,
    rules,
    stability,
)
from laminate import lamina_stiffness as ply_stiffness
from materials import Source, lamina

T300 = replace(lamina("T300/5208"), G13=7.17e9, G23=3.5e9)
QUASI = Laminate.from_code("[0/45/-45/90]s", T300)
ABD, D, WALL = QUASI.abd, isotropic_D(0.3, 10.0), isotropic_abd(70e9, 0.3, 1e-3)
Q = ply_stiffness.q_reduced(T300.E1, T300.E2, T300.G12, T300.nu12)
PLY = {"E1": 181e9, "E2": 10.3e9, "G12": 7.17e9, "nu12": 0.28}
STACK = {"q_bar": QUASI.q_bar, "thickness": QUASI.ply_thickness}
SELF, ASKED = {"self": QUASI}, {"laminate": QUASI}
UNIFORM = {"temperature_change": -100.0, "moisture": 0.01}
PRESSED = {"Nx": -1.0, "Nxy": 0.1}
ALL_LOADS = PRESSED | {"Ny": -0.2, "Nx_bending": 0.5}
TUBE = {"abd": WALL, "radius": 0.02, "tube_length": 0.02}
CORNER = {"inner_radius": 5e-3, "thickness": 2e-3, "moment": 100.0, "axial": 1e3}
CORNER_MODULI = {"E_hoop": 60e9, "E_radial": 9e9, "G": 4e9, "nu": 0.3}
DRAWN = {"ax": None, "units": "US"}

TOUGH = Laminate.from_code("[0/90]s", replace(T300, GIc=250.0, GIIc=700.0, shear_nonlinearity=3e-26))
HOLE = {"diameter": 6.35e-3, "width": 38.1e-3}
OPEN_HOLE = {"distance": 1e-3, "diameters": (5e-3, 8e-3), "cap": 0.005, "sense": "tension"}
OPEN_HOLE |= {"source": Source("invented", "for the tests"), "criterion": "average"}

FILLED = {"N": [1e5, 2e4, 0.0], "angle": [0.0, 1.2], "modulus": 110e9, "poisson": 0.3, "clearance": 1e-3}
LOADED_HOLE = {
    "diameter": 6e-3, "width": 36e-3, "edge": 36e-3, "thickness": 4e-3, "tension": 600e6, "compression": 300e6,
    "bearing": 550e6, "shear": 200e6, "relief": 0.25, "source": Source("invented", "for the tests"),
    "pull_through": 50e6, "head_diameter": 12e-3, "countersink": 1e-3,
}  # fmt: skip

PACKAGES = (
    laminate,
    batch,
    constants,
    ply_stiffness,
    rules,
    stability,
    interlaminar,
    notch,
    plots,
)
CALLS = {
    Ply: {"lamina": T300, "angle_deg": 45.0},
    Laminate: {"plies": QUASI.plies},
    Laminate.from_code: {"code": "[0/90]s", "lamina": T300},
    Laminate.moduli: SELF | {"curvature": "free"},
    Laminate.flexural_moduli: SELF | {"midplane": "held"},
    Laminate.ply_free_strain: SELF | {"temperature_change": [[-100.0]], "moisture": [[0.01]]},
    Laminate.resultants_of: SELF | {"free_strain": np.full((8, 2, 3), 1e-3)},
    Laminate.free_strain: SELF | UNIFORM,
    Laminate.response: SELF
    | {"N": [1e5, 0.0, 2e4], "M": [1.0, 0.0, 0.5], "prescribed": {"ey": 0.0}}
    | {"residual_N": [1e4, 0.0, 3e3], "residual_M": [1.0, 0.0, 0.2]}
    | UNIFORM
    | {"temperature_profile": np.full((8, 2), 20.0), "moisture_profile": np.full((8, 2), 1e-3)},
    Response: ASKED
    | dict.fromkeys(("load_deformation", "residual_deformation"), np.full(6, 1e-3))
    | {"free": np.full((8, 2, 3), 1e-4)},
    laminate.angles: {"code": "[0/90]s"},
    laminate.labels: {"code": "[0A/90B]s"},
    laminate.code: {"angles": [0.0, 45.0], "labels": ["A", "B"]},
    ply_stiffness.q_reduced: PLY,
    ply_stiffness.strain_rotation: {"angle_deg": 30.0},
    ply_stiffness.q_rotated: {"Q": Q, "angle_deg": 30.0},
    batch.abd_of_choices: STACK | {"choice": [0, 1, 1, 0]},
    constants.inplane_moduli: {"abd": ABD, "thickness": 1e-3, "curvature": "free"},
    constants.flexural_moduli: {"abd": ABD, "thickness": 1e-3, "midplane": "held"},
    constants.moduli_along: {"moduli": QUASI.moduli(), "angle_deg": 30.0},
    rules.Verdict: {"rule": "symmetric", "holds": True, "reason": "each ply has its mirror image"},
    rules.symmetry: ASKED,
    rules.balance: ASKED,
    rules.least_share: ASKED | {"share": 0.1, "directions_deg": (45.0, -45.0)},
    rules.contiguity: ASKED | {"most": 4, "thickness": 1e-3},
    rules.outer_plies: ASKED | {"directions_deg": (45.0, -45.0), "count": 1},
    rules.angle_step: ASKED | {"most_deg": 60.0},
    rules.check: ASKED,
    stability.anisotropy_bound: {"D": ABD[3:, 3:]},
    stability.reduced_bending_stiffness: {"abd": ABD},
    stability.neighbor_restraint: {"D": D, "width": 0.1, "load_ratio": 0.2, "far_edge": "clamped"},
    stability.critical_loads: {"D": D, "width": 0.1, "edges": "clamped"},
    stability.buckling_ratio: {"D": D, "width": 0.1, "edges": "clamped", "bound_anisotropy": True}
    | ALL_LOADS
    | {"residual_Nx": -10.0, "residual_Nxy": 20.0},
    stability.strip_buckling: {"D": D, "width": 0.1, "edges": ("clamped", "simply supported"), "terms": 6}
    | ALL_LOADS
    | {"edge_stiffness": [1.0, 2.0], "longest_half_wave": 0.5},
    stability.plate_buckling_ratio: {"D": D, "plate_length": 0.1, "width": 0.12, "terms": (8, 8)}
    | ALL_LOADS
    | {"edges": ("clamped", "free", "clamped", "simply supported"), "edge_stiffness": [1.0, 2.0, 3.0, 4.0]},
    stability.panel_buckling: {"abd": WALL, "width": 0.1, "radius": 0.5, "hold_v": False, "terms": 6}
    | ALL_LOADS
    | {"edges": ("clamped", "simply supported"), "longest_half_wave": 0.5},
    stability.tube_buckling_ratio: TUBE | PRESSED | {"column": True, "terms": 8},
    stability.compression_knockdown: {"abd": WALL, "radius": 0.05},
    stability.bending_knockdown: {"abd": WALL, "radius": 0.05},
    stability.brazier_moment: {"abd": WALL, "radius": 0.05},
    stability.tube_ratio: TUBE | PRESSED | {"Nx_bending": 0.3},
    stability.curved_wall_ratio: {"abd": WALL, "width": 0.1, "radius": 0.5}
    | PRESSED
    | {"longest_half_wave": 0.5, "terms": 5},
    interlaminar.corner_stress: CORNER | CORNER_MODULI | {"shear_force": 1e3, "points": 5},
    interlaminar.radial_peak: CORNER | CORNER_MODULI,
    interlaminar.corner_moduli: ASKED,
    interlaminar.thickness_compliance: ASKED,
    interlaminar.thickness_expansion: ASKED | UNIFORM,
    interlaminar.interlaminar_shear: STACK | {"shear_force": [1e3, 500.0], "points": 3},
    interlaminar.delamination_ratio: {"radial_stress": 10e6, "shear_stress": 5e6}
    | {"tensile_strength": 60e6, "shear_strength": 60e6},
    laminate.Block: {"first": 0, "last": 1, "thickness": 0.25e-3, "outer": True, "alone": False},
    laminate.blocks: ASKED | {"without_fiber": (T300,)},
    laminate.in_situ: {"laminate": TOUGH, "thin": True, "shear": True, "without_fiber": (T300,)},
    laminate.in_situ_at_drop: {"laminate": TOUGH, "continues": [True, False, True, True]}
    | {"thin": True, "shear": True, "without_fiber": (T300,)},
    notch.stress_concentration: ASKED,
    notch.finite_width_factor: {"width_ratio": 0.2, "concentration": 3.5},
    notch.edge_stress: ASKED | {"N": [1e5, 2e4, 3e4], "angle": 1.2},
    notch.loads_around_hole: ASKED | {"N": [1e5, 2e4, 3e4], "place": [0.5, -1.2]},
    notch.filled_edge_stress: ASKED | FILLED,
    notch.ligament_stress: ASKED | {"distance_ratio": [1.0, 1.5]},
    notch.open_hole_ratio: {
        "concentration": 3.0,
        "diameter": 6.35e-3,
        "distance": 1e-3,
        "criterion": "point",
    },
    notch.characteristic_distance: {"strength_ratio": 0.5, "concentration": 3.0, "criterion": "point"} | HOLE,
    notch.LoadedHole: LOADED_HOLE,
    notch.LoadedHole.ratios: {
        "self": notch.LoadedHole(**LOADED_HOLE),
        "load": 1e3,
        "bypass": -2e3,
        "pull": 10.0,
    },
    notch.OpenHoleTest: ASKED | HOLE | OPEN_HOLE,
    notch.OpenHoleTest.transfer: {"self": notch.OpenHoleTest(**ASKED, **HOLE, **OPEN_HOLE)} | ASKED | HOLE,
    plots.plot_stack: ASKED | DRAWN,
    plots.plot_polar_moduli: ASKED | DRAWN | {"shear": True},
    plots.plot_carpet: {"lamina": T300, "name": "Gxy", "step": 0.25} | DRAWN,
    plots.plot_through_thickness: {"response": QUASI.response(), "component": 0}
    | {"quantity": "stress", "along": "ply"}
    | DRAWN,
}
EXCLUDED = {
    "CornerModuli": "a result, made by corner_moduli",
    "CornerStress": "a result, made by corner_stress",
    "CriticalLoads": "a result, made by critical_loads",
    "HoleRatios": "a result, made by LoadedHole.ratios",
    "HoleRule": "a result, made by LoadedHole.rules",
    "NotConverged": "an exception",
    "OffAxisModuli": "a result, made by the functions of constants; moduli_along reads one and checks it",
    "StripBuckling": "a result, made by strip_buckling and panel_buckling",
    "plot_envelope": "registered with the criteria",
}
SKIP = {"code labels: item a word": "any word is a label"}
