"""One good call of every public callable of laminate.stability and laminate.interlaminar."""

from dataclasses import replace

import numpy as np
from bad_input import (
    count,
    flag,
    items,
    number,
    stiffness,
    thing,
    values,
    word,
)
from walls import isotropic_abd, isotropic_D

from laminate import Laminate, interlaminar
from laminate import stability as st
from materials import lamina

D, ABD = isotropic_D(0.3, 10.0), isotropic_abd(70e9, 0.3, 1e-3)
T300 = replace(lamina("T300/5208"), G13=7.17e9, G23=3.5e9)
QUASI = Laminate.from_code("[0/45/-45/90]s", T300)
STACK = {"laminate": thing(QUASI)}

BENDING, WALL = {"D": stiffness(D)}, {"abd": stiffness(ABD)}
LENGTH = values(0.1, sign="positive", slips=(120.0,))
WIDTH, RADIUS = {"width": LENGTH}, {"radius": values(0.05, sign="positive", slips=(50.0,))}
ARC = {"radius": values(0.5, sign="positive", inf=True)}
TUBE = RADIUS | {"tube_length": values(0.05, sign="positive", slips=(50.0,))}
PRESSED = {"Nx": values(-1.0), "Nxy": values(0.1)}
MORE = {"Ny": values(0.0), "Nx_bending": values(0.0)}
PAIR = items(("clamped", "simply supported"), ("glued", None, 3.0, ["free"]))
HALF_WAVE = {"longest_half_wave": values(0.5, sign="positive", inf=True)}
TERMS = count(6, 4, most=41)

CORNER = {
    "inner_radius": values(5e-3, sign="positive"),
    "thickness": values(2e-3, sign="positive", slips=(0.5,)),
    "moment": values(100.0),
    "axial": values(1e3),
}
CORNER_MODULI = {
    "E_hoop": values(60e9, sign="positive"),
    "E_radial": values(9e9, sign="positive"),
    "G": values(4e9, sign="positive"),
    "nu": values(0.3, slips=(30.0,)),
}
STRENGTH = number(60e6, "positive", slips=(60.0, 60e12))

REGISTRY = {
    st.anisotropy_bound: BENDING,
    st.bending_knockdown: WALL | RADIUS,
    st.brazier_moment: WALL | RADIUS,
    st.buckling_ratio: BENDING
    | WIDTH
    | PRESSED
    | MORE
    | dict.fromkeys(("residual_Nx", "residual_Nxy"), values(0.0))
    | {"edges": word("clamped"), "bound_anisotropy": flag(True)},
    st.compression_knockdown: WALL | RADIUS,
    st.critical_loads: BENDING | WIDTH | {"edges": word("clamped")},
    st.curved_wall_ratio: WALL
    | WIDTH
    | {"radius": values(0.5, sign="positive", slips=(500.0,))}
    | PRESSED
    | HALF_WAVE
    | {"terms": TERMS},
    st.interact: dict.fromkeys(("linear", "squared"), values(0.5, sign="not negative", inf=True)),
    st.neighbor_restraint: BENDING | WIDTH | {"load_ratio": values(0.2), "far_edge": word("clamped")},
    st.panel_buckling: WALL
    | WIDTH
    | ARC
    | PRESSED
    | MORE
    | {"edges": PAIR, "hold_v": flag(False)}
    | HALF_WAVE
    | {"terms": TERMS},
    st.plate_buckling_ratio: BENDING
    | {"plate_length": LENGTH}
    | WIDTH
    | PRESSED
    | MORE
    | {
        "edges": items(("clamped", "free", "clamped", "free"), ("glued", None, 3.0, ["free"])),
        "edge_stiffness": values([0.0] * 4, 1, "not negative", one=True),
        "terms": items((8, 8), (3, 8.5, "many", None, np.nan, 80, [8, 8])),
    },
    st.reduced_bending_stiffness: WALL,
    st.strip_buckling: BENDING
    | WIDTH
    | PRESSED
    | MORE
    | {"edges": PAIR, "edge_stiffness": values([0.0] * 2, 1, "not negative", one=True)}
    | HALF_WAVE
    | {"terms": TERMS},
    st.tube_buckling_ratio: WALL
    | TUBE
    | PRESSED
    | {"column": flag(True), "terms": count(8, 2, optional=True, most=251)},
    st.tube_ratio: WALL | TUBE | PRESSED | {"Nx_bending": values(0.0)},
    interlaminar.corner_stress: CORNER
    | {"shear_force": values(1e3)}
    | CORNER_MODULI
    | {"points": count(5, 2, most=1_000_000)},
    interlaminar.corner_moduli: STACK,
    interlaminar.thickness_compliance: STACK,
    interlaminar.thickness_expansion: STACK
    | {"temperature_change": values(-100.0, slips=(-2000.0,)), "moisture": values(0.01, slips=(1.0,))},
    interlaminar.radial_peak: CORNER | CORNER_MODULI,
    interlaminar.delamination_ratio: {
        "radial_stress": values(10e6),
        "shear_stress": values(5e6),
        "tensile_strength": STRENGTH,
        "shear_strength": STRENGTH,
    },
    interlaminar.interlaminar_shear: {
        "q_bar": values(QUASI.q_bar, 3),
        "thickness": values(QUASI.ply_thickness, 1, "positive"),
        "shear_force": values([1e3, 0.0], 1),
        "points": count(3, 2, most=20_000),
    },
}
EXCLUDED = {
    "CornerModuli": "a result, made by corner_moduli",
    "CornerStress": "a result, made by corner_stress",
    "CriticalLoads": "a result, made by critical_loads",
    "NotConverged": "an exception",
    "StripBuckling": "a result, made by strip_buckling and panel_buckling",
}
MODULES = (st, interlaminar)
