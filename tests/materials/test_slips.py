"""Slips that leave a number of the right sign: a modulus in GPa, a share in percent, a temperature in degC or degF."""

import calls_materials
import pytest

import materials as m
from materials import statistics as st

MODULUS, DENSITY, EXPANSION, STRENGTH = (70.0, 9.0, 7e13), (1.6,), (20.0,), (60.0, 60e12)
SLIPS = {
    m.Allowables: dict.fromkeys(("Xt", "Xc", "Yt", "Yc", "S", "S02", "Zt"), (*STRENGTH, -60e6))
    | dict.fromkeys(("e1t", "e1c", "e2t", "e2c", "g12"), (1.0, 0.197, -0.01)),
    m.Allowables.with_linear_strains: dict.fromkeys(("E1", "E2", "G12"), MODULUS),
    m.Condition: {"temperature": (77.0, 180.0), "moisture": (1.0,)},
    m.ConditionedLamina: {"wet_glass_transition": (127.0, 260.0)},
    m.ConditionedLamina.at: {"temperature": (47.0, 180.0), "moisture": (1.0,)},
    m.check_glass_transition: {"temperature": (47.0, 117.0), "wet_glass_transition": (127.0, 260.0)},
    m.Factor: {"value": (80.0, 1.05)},
    m.Allowables.to_basis: dict.fromkeys(("fiber", "matrix", "shear"), (5.0, 0.0)),
    m.Fiber: dict.fromkeys(("E1", "E2", "G12"), MODULUS)
    | {"nu12": (20.0,), "density": DENSITY, "alpha1": EXPANSION, "alpha2": EXPANSION},
    m.Matrix: {"E": MODULUS, "nu": (35.0, 0.5, -1.0), "density": DENSITY, "alpha": EXPANSION, "beta": (33.0,)},
    m.Lamina: dict.fromkeys(("E1", "E2", "G12", "G13", "G23", "E3"), MODULUS)
    | {"nu12": (30.0, 5.0), "nu13": (30.0,), "nu23": (40.0,), "thickness": (0.125,), "density": (1.6, 1.6e6)}
    | {"alpha1": EXPANSION, "alpha2": EXPANSION, "alpha3": EXPANSION}
    | {"beta1": (60.0,), "beta2": (60.0,), "beta3": (60.0,), "stress_free_temperature": (177.0, 250.0)}
    | {"E1c": MODULUS, "E2c": MODULUS, "GIc": (0.277,), "GIIc": (0.788,), "shear_nonlinearity": (2.98e-8,)}
    | {"wet_glass_transition": (160.0,)},
    m.Metal: dict.fromkeys(("Ftu", "Fty", "Fcy", "Fsu", "Fbru", "Fbry", "Fbru_1_5", "Fbry_1_5", "Ftu_across",
                            "Fty_across"), (500.0, 5e11))
    | {"elongation": (12.0,)}
    | {"E": (200.0, 9.0), "nu": (30.0, 0.5, -1.0), "density": (7.85,), "alpha": EXPANSION},
    m.Metal.lamina: {"thickness": (1.0,)},
    m.unidirectional: {"fiber_volume": (60.0, 0.95), "areal_weight": (200.0,), "stress_free_temperature": (177.0,)},
    m.mixture: {"fiber_volume": (60.0,)},
    m.halpin_tsai: {"fiber_volume": (60.0,)},
    m.cured_thickness: {"areal_weight": (200.0,), "fiber_density": (1.76, 1e6), "fiber_volume": (60.0,)},
    m.fiber_volume: {"areal_weight": (200.0,), "fiber_density": (1.76, 1e6), "cured_thickness": (0.8,),
                     "plies": (1.5,)},
    m.void_volume: dict.fromkeys(("measured_density", "theoretical_density"), (1.6, 1e6)),
    m.diffusivity: {"temperature": (27.0, 180.0)},
    m.equilibrium_moisture: {"relative_humidity": (50.0,), "saturation": (1.5,), "exponent": (10.0,)},
    m.moisture_uptake: {"thickness": (2.0, 0.125), "diffusivity": (4e-7,), "equilibrium": (1.0,), "initial": (1.0,),
                        "faces": (0, 3)},
    m.moisture_profile: {"position": (1.0, 3e-3), "thickness": (2.0,), "diffusivity": (4e-7,), "equilibrium": (1.0,)},
    st.tolerance_factor: {"n": (1, 2.5), "confidence": (95.0, 1.0)},
    st.k_sample_anderson_darling: {"significance": (2.5, 0.02)},
    st.modified_variation: {"variation": (5.0,)},
    st.sampling: {"coupons": (0, 1.5), "batches": (0,)},
    st.outliers: {"significance": (5.0, 1.0)},
}  # fmt: skip


@pytest.mark.parametrize("function", SLIPS, ids=lambda f: f.__qualname__)
def test_a_slip_of_units_is_refused_by_name(function):
    for name, slips in SLIPS[function].items():
        for slip in slips:
            given = calls_materials.CALLS[function] | {name: slip}
            front = [given.pop("self")] if "self" in given else []
            with pytest.raises(ValueError, match=rf"\b{name}\b.* \[.+\]: got .*must be"):
                function(*front, **given)
