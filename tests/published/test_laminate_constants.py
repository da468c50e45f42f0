"""Invariants, engineering constants and residual strains of stacks against printed values."""

import dataclasses

import pytest
from invariants import invariants
from printed import printed
from stacks import CARBON, MADE_UP

from laminate import Laminate, lamina_stiffness, transverse_shear
from materials.lamina import Lamina

TABLE_34 = "S. W. Tsai, H. T. Hahn, Introduction to Composite Materials, 1980, table 3.4 (from memory)"
KAW_44 = "A. K. Kaw, Mechanics of Composite Materials, 2nd ed. 2006, Ex. 4.4 (from memory)"
KAW_45 = "A. K. Kaw, Mechanics of Composite Materials, 2nd ed. 2006, Ex. 4.5 (from memory)"
KAW_46 = "A. K. Kaw, Mechanics of Composite Materials, 2nd ed. 2006, expansion of [0/90]s, odd (from memory)"
WHITNEY = "J. M. Whitney, J. Appl. Mech. 40 (1973) 302-304, shear correction factors (from memory)"

THICK = dataclasses.replace(CARBON, thickness=5e-3)
ODD = Laminate.from_code("[0/90bar]s", THICK)
TWO = Laminate.from_code("[0/90]", THICK)


# E1, E2, nu12, G12 [GPa] of the same book, table 1.7 (from memory)
@pytest.mark.parametrize(
    ("E1", "E2", "nu12", "G12", "i", "value", "source"),
    [
        (138, 8.96, 0.30, 7.10, 1, "59.66", TABLE_34),
        (138, 8.96, 0.30, 7.10, 3, "14.25", TABLE_34),
        (138, 8.96, 0.30, 7.10, 4, "16.96", TABLE_34),
        (138, 8.96, 0.30, 7.10, 5, "21.35", TABLE_34),
        (38.6, 8.27, 0.26, 4.14, 1, "20.45", TABLE_34),
        (38.6, 8.27, 0.26, 4.14, 2, "15.39", TABLE_34),
        (38.6, 8.27, 0.26, 4.14, 3, "3.33", TABLE_34),
        (38.6, 8.27, 0.26, 4.14, 4, "5.51", TABLE_34),
        (38.6, 8.27, 0.26, 4.14, 5, "7.47", TABLE_34),
        (76, 5.5, 0.34, 2.30, 1, "32.44", TABLE_34),
        (76, 5.5, 0.34, 2.30, 2, "35.55", TABLE_34),
        (76, 5.5, 0.34, 2.30, 3, "8.65", TABLE_34),
        (76, 5.5, 0.34, 2.30, 4, "10.54", TABLE_34),
        (76, 5.5, 0.34, 2.30, 5, "10.95", TABLE_34),
    ],
)
def test_invariants(E1: float, E2: float, nu12: float, G12: float, i: int, value: str, source: str) -> None:
    U = invariants(lamina_stiffness.q_reduced(E1, E2, G12, nu12))
    assert U[i - 1] == printed(value), source


@pytest.mark.parametrize(
    ("at", "value", "source"),
    [
        ((0, 0), "5.353e-10", KAW_44),
        ((0, 1), "-2.297e-11", KAW_44),
        ((1, 1), "9.886e-10", KAW_44),
        ((2, 2), "9.298e-9", KAW_44),
    ],
)
def test_compliance_of_an_odd_cross_ply(at: tuple[int, int], value: str, source: str) -> None:
    assert ODD.compliance[at] == printed(value), source


@pytest.mark.parametrize(
    ("moduli", "name", "unit", "value", "source"),
    [
        ("moduli", "Ex", 1e9, "124.5", KAW_44),
        ("moduli", "Ey", 1e9, "67.43", KAW_44),
        ("moduli", "Gxy", 1e9, "7.17", KAW_44),
        ("moduli", "nu_xy", 1, "0.04292", KAW_44),
        ("flexural_moduli", "Ex", 1e9, "175.0", KAW_44),
    ],
)
def test_moduli_of_an_odd_cross_ply(moduli: str, name: str, unit: float, value: str, source: str) -> None:
    assert getattr(getattr(ODD, moduli)(), name) / unit == printed(value), source


@pytest.mark.parametrize(
    ("name", "unit", "value"), [("Ex", 1e9, "69.68"), ("nu_xy", 1, "0.30"), ("Gxy", 1e9, "26.88")]
)
def test_quasi_isotropic_constants(name: str, unit: float, value: str) -> None:
    # S. W. Tsai, H. T. Hahn, 1980, quasi-isotropic constants of T300/5208 (from memory)
    moduli = Laminate.from_code("[0/±60]s", CARBON).moduli()
    assert getattr(moduli, name) / unit == printed(value)


@pytest.mark.parametrize(
    ("i", "value", "source"),
    [
        (0, "-1.131e5", KAW_45),
        (1, "-1.131e5", KAW_45),
        (3, "-1.538e2", KAW_45),
        (4, "1.538e2", KAW_45),
    ],
)
def test_thermal_resultants_of_a_two_ply_strip(i: int, value: str, source: str) -> None:
    assert TWO.resultants_of(TWO.ply_free_strain([[-75.0]], [[0.0]]))[i] == printed(value), source


@pytest.mark.parametrize(
    ("i", "value", "source"),
    [
        (0, "-3.907e-4", KAW_45),
        (1, "-3.907e-4", KAW_45),
        (3, "-1.276e-1", KAW_45),
        (4, "1.276e-1", KAW_45),
    ],
)
def test_warp_of_a_two_ply_strip(i: int, value: str, source: str) -> None:
    assert TWO.free_strain(-75.0)[i] == printed(value), source


@pytest.mark.parametrize(
    ("quantity", "i", "value", "source"),
    [
        ("laminate_strain", 0, "2.475e-4", KAW_45),
        ("laminate_strain", 1, "-1.029e-3", KAW_45),
        ("residual_stress", 0, "4.718e7", KAW_45),
        ("residual_stress", 1, "7.535e6", KAW_45),
    ],
)
def test_first_surface_of_a_two_ply_strip(quantity: str, i: int, value: str, source: str) -> None:
    assert getattr(TWO.response(temperature_change=-75.0), quantity)[0, 0, i] == printed(value), source


def test_apparent_expansion_of_an_odd_cross_ply() -> None:
    assert ODD.free_strain(1.0)[0] == printed("9.303e-7"), KAW_46


# E1/E2 = 25, G12 = G13 = 0.5 E2, G23 = 0.2 E2, four equal plies. Whitney holds the curvature across to
# zero, which without contraction across (nu12 = 0) is the same as no moment across.
@pytest.mark.parametrize(("code", "i", "value"), [("[0/90]s", 0, "0.5952"), ("[0/90]s", 1, "0.7205")])
def test_shear_correction_factors(code: str, i: int, value: str) -> None:
    E2 = 1e9
    ply = Lamina(
        name="shear",
        kind="tape",
        E1=25 * E2,
        E2=E2,
        G12=0.5 * E2,
        nu12=0.0,
        thickness=1e-3,
        density=1500.0,
        G13=0.5 * E2,
        G23=0.2 * E2,
        source=MADE_UP,
    )
    stack = Laminate.from_code(code, ply)
    G = transverse_shear.shear_modulus_rotated(0.5 * E2, 0.2 * E2, stack.angles_deg)
    uncorrected = (G * stack.ply_thickness[:, None, None]).sum(axis=0)
    assert stack.transverse_shear[i, i] / uncorrected[i, i] == printed(value), WHITNEY
