"""One good call of every public callable of the laminate modules."""

import numpy as np
from bad_input import (
    RAGGED,
    Argument,
    count,
    fixed,
    items,
    number,
    stiffness,
    thing,
    values,
    word,
)

import laminate as package
from laminate import (
    Laminate,
    Ply,
    Response,
    batch,
    constants,
    expansion,
    lamina_stiffness,
    lamination_parameters,
    orientation,
    plate,
    response,
    rules,
    stack,
    transverse_shear,
)
from materials import lamina

T300 = lamina("T300/5208")
QUASI = Laminate.from_code("[0/45/-45/90]s", T300)
ABD, THICK, PLIES = QUASI.abd, QUASI.thickness, len(QUASI.plies)
Q_BAR, T = QUASI.q_bar, QUASI.ply_thickness
Q = lamina_stiffness.q_reduced(T300.E1, T300.E2, T300.G12, T300.nu12)
G_BAR = transverse_shear.shear_modulus_rotated(5e9, 3e9, QUASI.angles_deg)
XI = lamination_parameters.lamination_parameters(QUASI.angles_deg, T)

MODULUS = values(70e9, sign="positive")
ANGLE = values(30.0)
STACK = {"q_bar": values(Q_BAR, 3), "thickness": values(T, 1, "positive")}
UNIFORM = {"temperature_change": values(-100.0, slips=(-2000.0,)), "moisture": values(0.01, slips=(1.0,))}
HELD = {"laminate": fixed(QUASI)}
IN_PLY = {
    "temperature_change": values([[-100.0]], 2, slips=([[-2000.0]],), cut=False),
    "moisture": values([[0.01]], 2, slips=([[1.0]],), cut=False),
}
FREE = values(np.zeros((PLIES, 2, 3)), 3, slips=(np.zeros((PLIES - 1, 2, 3)), np.zeros((PLIES, 3, 3))))
PLANE = values([1e5, 0.0, 0.0], 1)
ASKED = {"laminate": thing(QUASI)}
DIRECTIONS = items((45.0, -45.0), ("steep", np.nan, None, [0.0, 90.0]))
PLY_MODULI = dict.fromkeys(("E1", "E2", "G12"), MODULUS) | {"nu12": values(0.3, slips=(30.0, 1.01))}
PRESCRIBED = Argument(
    good={"ey": 0.0},
    bad={
        "a list": [1.0], "a word": "ey", "a number": 1.0, "unknown": {"e1": 0.0}, "nan": {"ey": np.nan},
        "none": {"ey": None}, "percent": {"ey": 1.0}, "words": {"ey": "small"}, "ragged": {"ey": RAGGED},
    },
)  # fmt: skip

REGISTRY = {
    Laminate: {"plies": items(QUASI.plies, (T300, None, "0", 45.0))},
    Laminate.from_code: {"code": word("[0/90]s"), "lamina": thing(T300)},
    Laminate.moduli: {"self": fixed(QUASI), "curvature": word("free")},
    Laminate.flexural_moduli: {"self": fixed(QUASI), "midplane": word("held")},
    Ply: {"lamina": thing(T300), "angle_deg": number(45.0, slips=(720.0,))},
    Response: ASKED
    | dict.fromkeys(("load_deformation", "residual_deformation"), values(np.zeros(6), 1))
    | {"free": FREE},
    response.respond: HELD
    | {"N": PLANE, "M": values([1.0, 0.0, 0.0], 1)}
    | UNIFORM
    | {"prescribed": PRESCRIBED, "residual_N": PLANE, "residual_M": values([1.0, 0.0, 0.0], 1)}
    | {
        "temperature_profile": values(np.full((PLIES, 2), 20.0), 2),
        "moisture_profile": values(np.zeros((PLIES, 2)), 2),
    },
    expansion.ply_free_strain: HELD | IN_PLY,
    expansion.resultants_of: HELD | {"free_strain": FREE},
    expansion.thermal_resultants: HELD | UNIFORM,
    expansion.free_strain: HELD | UNIFORM,
    orientation.angles: {"code": word("[0/90]s")},
    orientation.labels: {"code": word("[0A/90B]s")},
    orientation.code: {
        "angles": items([0.0, 45.0], ("steep", np.nan, np.inf, 95.0, None, [0.0])),
        "labels": items(["A", "B"], ("s", 3.0, None, ["A"]), optional=True),
    },
    batch.abd_of_choices: {
        "choice": values(
            [0, 1, 1, 0], 1, "not negative", slips=([0.5, 1.0], [0, 99]), cut=False, leading=False
        ),
        "q_bar": values(Q_BAR, 3, leading=False),
        "thickness": values(T, sign="positive", leading=False),
    },
    constants.inplane_moduli: {
        "abd": stiffness(ABD),
        "thickness": values(THICK, sign="positive"),
        "curvature": word("free"),
    },
    constants.flexural_moduli: {
        "abd": stiffness(ABD),
        "thickness": values(THICK, sign="positive"),
        "midplane": word("free"),
    },
    constants.moduli_along: {
        "moduli": items(QUASI.moduli(), (np.nan, np.inf, "stiff", None, -7e10, 0.0, RAGGED)),
        "angle_deg": ANGLE,
    },
    constants.bending_parameters: {"D": stiffness(QUASI.D)},
    constants.stretch_bend_coupling: {"abd": stiffness(ABD)},
    lamina_stiffness.q_reduced: PLY_MODULI,
    lamina_stiffness.off_axis_moduli: PLY_MODULI | {"angle_deg": ANGLE},
    lamina_stiffness.strain_rotation: {"angle_deg": ANGLE},
    lamina_stiffness.q_rotated: {"Q": values(Q, 2), "angle_deg": ANGLE},
    lamina_stiffness.invariants: {"Q": values(Q, 2)},
    lamina_stiffness.moduli_of: {"compliance": stiffness(np.linalg.inv(Q))},
    lamination_parameters.lamination_parameters: {
        "angle_deg": values(QUASI.angles_deg, 1),
        "thickness": values(T, 1, "positive"),
    },
    lamination_parameters.abd_of_parameters: {
        "parameters": values(XI, 2, slips=(XI + np.outer([1.0, 0.0, 0.0], [0.0, 1.2, 0.0, 0.0]),)),
        "invariants": values(lamina_stiffness.invariants(Q), 1, "positive"),
        "thickness": values(THICK, sign="positive"),
    },
    plate.interfaces: {"thickness": values(T, 1, "positive", cut=False)},
    plate.abd: STACK,
    plate.inverse: {"abd": stiffness(ABD)},
    plate.thermal_resultants: STACK | {"free_strain": FREE},
    plate.solve_mixed: {
        "abd": stiffness(ABD, leading=False),
        "load": values(np.ones(6), 1),
        "deformation": values(np.zeros(6), 1),
        "given": items([True] + [False] * 5, ("no", None, np.nan, 2.0, [True])),
    },
    rules.symmetry: ASKED,
    rules.balance: ASKED,
    rules.least_share: ASKED
    | {"share": number(0.1, "not negative", slips=(10.0,)), "directions_deg": DIRECTIONS},
    rules.contiguity: ASKED
    | {"most": count(4, 1), "thickness": number(1e-3, "positive", slips=(0.5,), optional=True)},
    rules.outer_plies: ASKED | {"directions_deg": DIRECTIONS, "count": count(1, 1)},
    rules.angle_step: ASKED | {"most_deg": number(60.0, "not negative", most=100.0)},
    rules.check: ASKED,
    transverse_shear.shear_modulus_rotated: {"G13": MODULUS, "G23": MODULUS, "angle_deg": ANGLE},
    transverse_shear.shear_spread: STACK
    | {"fraction": values([0.0, 0.5], 1, "not negative", cut=False, leading=False, most=[0.0, 1.5])},
    transverse_shear.shear_stiffness: STACK | {"g_bar": stiffness(G_BAR)},
}
MODULES = (
    package, batch, constants, expansion, lamina_stiffness, lamination_parameters, orientation, plate, response,
    rules, stack, transverse_shear,
)  # fmt: skip
EXCLUDED = {
    "BendingParameters": "a result, made by bending_parameters",
    "OffAxisModuli": "a result, made by moduli_of; moduli_along reads one and checks it",
    "Verdict": "a result, made by the rules",
    "unit_diagonal": "the check itself, of arrays that were read before",
}
