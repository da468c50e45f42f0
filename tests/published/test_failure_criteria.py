"""Printed values of the failure criteria.

Standing: all values here were recalled from the cited sources and recomputed; no page was read again.
"""

from dataclasses import replace

import numpy as np
import pytest
from failure_cases import M1, TSAI_HAHN
from printed import printed

from laminate.failure import Hoffman, MaxStrain, MaxStress, TsaiHill, TsaiWu
from laminate.failure.forms import Forms
from laminate.lamina_stiffness import q_reduced, strain_rotation
from materials import Allowables

# --- Kaw, Mechanics of Composite Materials, 2nd ed. 2006, ex. 2.16 to 2.19: T300/5208 at 60 deg under
# sx, sy, txy = 2, -3, 4 MPa (from memory, verified to 4 figures)

Q = q_reduced(181e9, 10.3e9, 7.17e9, 0.28)
APPLIED = np.array([2e6, -3e6, 4e6])
PLY_STRESS = np.linalg.inv(strain_rotation(60.0).T) @ APPLIED
PLY_STRAIN = np.linalg.solve(Q, PLY_STRESS)
PLAIN = replace(
    M1, Yc=M1.Yt
)  # Tsai-Hill as first published: tensile strength across the fiber for both signs
LINEAR = replace(M1, e1t=None, e1c=None, e2t=None, e2c=None, g12=None).with_linear_strains(
    E1=181e9, E2=10.3e9, G12=7.17e9
)


@pytest.mark.parametrize(("component", "text"), [(0, "1.714"), (1, "-2.714"), (2, "-4.165")])
def test_kaw_ply_stress(component, text):
    assert PLY_STRESS[component] / 1e6 == printed(text)


@pytest.mark.parametrize(("component", "text"), [(0, "0.1367e-4"), (1, "-0.2662e-3"), (2, "-0.5809e-3")])
def test_kaw_ply_strain(component, text):
    assert PLY_STRAIN[component] == printed(text)


@pytest.mark.parametrize(
    ("criterion", "state", "allowables", "text"),
    [
        (MaxStress(), PLY_STRESS, M1, "16.33"),  # ex. 2.16
        (MaxStrain(), PLY_STRAIN, LINEAR, "16.33"),  # ex. 2.17
        (TsaiHill(), PLY_STRESS, PLAIN, "10.94"),  # ex. 2.18
        (TsaiHill(), PLY_STRESS, M1, "16.06"),  # ex. 2.18, modified: compressive strength used
        (TsaiWu(), PLY_STRESS, M1, "22.39"),  # ex. 2.19, Mises-Hencky interaction
        (Hoffman(), PLY_STRESS, M1, "22.49"),  # ex. 2.19 with H12 = -1/(2 X^2), which is Hoffman's
        (TsaiWu(interaction=-0.5 * np.sqrt(40 * 246) / 1500), PLY_STRESS, M1, "22.49"),
    ],
)
def test_kaw_strength_ratio(criterion, state, allowables, text):
    assert float(criterion.ratio(state, allowables)) == printed(text)


def coefficients(allowables):
    """F11, F22, 2 F12, F66 and F1, F2 as the criterion holds them."""
    (surface,) = TsaiWu().surfaces(allowables)
    return {(i, j): v for i, j, v in surface.quadratic}, dict(surface.linear)


# The book prints H22 = 1.0162e-16, which is 1/(40 x 246) = 1.01626e-16 cut off: four figures are compared
@pytest.mark.parametrize(
    ("i", "j", "factor", "text"),
    [(0, 0, 1, "4.4444e-19"), (1, 1, 1, "1.016e-16"), (2, 2, 1, "2.1626e-16"), (0, 1, 0.5, "-3.360e-18")],
)
def test_kaw_tsai_wu_coefficients(i, j, factor, text):
    assert factor * coefficients(M1)[0][i, j] == printed(text)


def test_kaw_tsai_wu_linear_coefficients():
    assert coefficients(M1)[1][1] == printed("2.093e-8")
    assert coefficients(M1)[1][0] == 0


# --- S. W. Tsai, H. T. Hahn, Introduction to Composite Materials, 1980, ch. 7, tables of strength
# parameters in stress space, (GPa)^-2 and (GPa)^-1 (from memory; the tables cut digits off)

STRENGTHS = {  # X, X', Y, Y', S [MPa]
    "T300/5208": (1500, 1500, 40, 246, 68),
    "B(4)/5505": (1260, 2500, 61, 202, 67),
    "AS/3501": (1447, 1447, 51.7, 206, 93),
    "Scotchply 1002": (1062, 610, 31, 118, 72),
    "Kevlar 49/epoxy": (1400, 235, 12, 53, 34),
}
NAMES = ("Fxx", "Fyy", "Fxy", "Fss", "Fx", "Fy")
TABLE = {
    "T300/5208": ("0.444", "101.6", "-3.36", "216.2", "0", "20.93"),
    "B(4)/5505": ("0.317", "81.15", "-2.53", "222.7", "0.393", "11.44"),
    "AS/3501": ("0.477", "93.89", None, "115.6", "0", None),
    "Scotchply 1002": ("1.543", "273.3", "-10.27", "192.9", "-0.697", "23.78"),
    "Kevlar 49/epoxy": ("3.039", "1572", "-34.56", "865.0", "-3.541", "64.46"),
}
CELLS = [(m, n, text) for m, row in TABLE.items() for n, text in zip(NAMES, row, strict=True) if text]


def cut(value, text):
    """Whether the digits of `value`, cut off where those of `text` end, are those of `text`."""
    decimals = len(text.partition(".")[2])
    return np.trunc(round(value * 10**decimals, 6)) == round(float(text) * 10**decimals)


@pytest.mark.parametrize(("material", "name", "text"), CELLS)
def test_tsai_hahn_parameters_in_stress_space(material, name, text):
    Xt, Xc, Yt, Yc, S = (v * 1e6 for v in STRENGTHS[material])
    allowables = Allowables(
        Xt=Xt, Xc=Xc, Yt=Yt, Yc=Yc, S=S, basis="typical", condition="room, dry", source=TSAI_HAHN
    )
    quadratic, linear = coefficients(allowables)
    F = {
        "Fxx": quadratic[0, 0] * 1e18,
        "Fyy": quadratic[1, 1] * 1e18,
        "Fxy": quadratic[0, 1] / 2 * 1e18,
        "Fss": quadratic[2, 2] * 1e18,
        "Fx": linear[0] * 1e9,
        "Fy": linear[1] * 1e9,
    }
    assert cut(F[name], text), F[name]


# The same chapter, strength parameters of T300/5208 in strain space, no unit (from memory). The book works
# them out from parameters of four figures, so one unit of the last digit is allowed, not half of it.
@pytest.mark.parametrize(
    ("name", "text"),
    [("Gxx", "12004"), ("Gyy", "10680"), ("Gxy", "-3069"), ("Gx", "60.64"), ("Gy", "216.6")],
)
def test_tsai_hahn_parameters_in_strain_space(name, text):
    # with c = 1 the forms hold b = g / 2 and W W = G
    forms = Forms.of([(TsaiWu().surfaces(M1), Q, np.zeros(3))])
    g, G = 2 * forms.linear[0], forms.root[0].T @ forms.root[0]
    value = {"Gxx": G[0, 0], "Gyy": G[1, 1], "Gxy": G[0, 1], "Gx": g[0], "Gy": g[1]}[name]
    unit = 10.0 ** -len(text.partition(".")[2])
    assert value == pytest.approx(float(text), rel=0, abs=unit)


# --- World-Wide Failure Exercise, Soden, Hinton, Kaddour, Compos. Sci. Technol. 58 (1998) 1011-1022, table 1:
# a ply that is linear along the fiber has strengths and failure strains [%] that belong together
@pytest.mark.parametrize(
    ("strength", "modulus", "text"),
    [
        (1140e6, 53.48e9, "2.132"),
        (1280e6, 45.6e9, "2.807"),
        (-800e6, 45.6e9, "1.754"),
        (-1480e6, 126e9, "1.175"),
        (1500e6, 138e9, "1.087"),
        (-900e6, 138e9, "0.652"),
    ],
)
def test_soden_strengths_and_strains_agree_along_the_fiber(strength, modulus, text):
    limit = float(text) / 100
    allowables = replace(LINEAR, Xt=abs(strength), Xc=abs(strength), e1t=limit, e1c=limit)
    by_strain = MaxStrain().ratio([strength / modulus, 0, 0], allowables)
    assert float(text) / float(by_strain) == printed(text)
