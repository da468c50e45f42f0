"""Catalog rows against what their sources print, typed a second time from published check values."""

import pytest
from printed import printed

from materials import lamina, metal

# Soden, Hinton & Kaddour, Compos. Sci. Technol. 58 (1998) 1011-1022, table 1, from memory:
# GPa, MPa, percent, 1e-6/K, degC
EXERCISE = {
    "E-glass/LY556": "53.48 17.7 5.83 0.278 1140 570 35 114 72 2.132 1.065 0.197 0.644 3.8 8.6 26.4 120",
    "E-glass/MY750": "45.6 16.2 5.83 0.278 1280 800 40 145 73 2.807 1.754 0.246 1.2 4 8.6 26.4 120",
    "AS4/3501-6": "126 11 6.6 0.28 1950 1480 48 200 79 1.38 1.175 0.436 2.0 2 -1 26 177",
    "T300/BSL914C": "138 11 5.5 0.28 1500 900 27 200 80 1.087 0.652 0.245 1.818 4 -1 26 120",
}


@pytest.mark.parametrize("name", EXERCISE)
def test_failure_exercise(name):
    ply = lamina(name)
    a = ply.allowables
    values = (
        *(value / 1e9 for value in (ply.E1, ply.E2, ply.G12)), ply.nu12,
        *(value / 1e6 for value in (a.Xt, a.Xc, a.Yt, a.Yc, a.S)), *(100 * value for value in a.strains),
        1e6 * ply.alpha1, 1e6 * ply.alpha2, ply.stress_free_temperature - 273.15,
    )  # fmt: skip
    for value, text in zip(values, EXERCISE[name].split(), strict=True):
        assert value == printed(text)


@pytest.mark.parametrize(
    ("name", "strength", "modulus", "percent"),
    [
        ("E-glass/LY556", "Xt", "E1", "2.132"), ("E-glass/MY750", "Xt", "E1", "2.807"),
        ("E-glass/MY750", "Xc", "E1", "1.754"), ("AS4/3501-6", "Xc", "E1", "1.175"),
        ("AS4/3501-6", "Yt", "E2", "0.436"), ("T300/BSL914C", "Xt", "E1", "1.087"),
        ("T300/BSL914C", "Xc", "E1", "0.652"), ("T300/BSL914C", "Yt", "E2", "0.245"),
        ("T300/BSL914C", "Yc", "E2", "1.818"),
    ],
)  # fmt: skip
def test_printed_strains_are_linear(name, strength, modulus, percent):
    # The printed strain follows from the printed strength and modulus: a slip in one of the three would show.
    ply = lamina(name)
    linear = 100 * getattr(ply.allowables, strength) / getattr(ply, modulus)
    assert linear == pytest.approx(float(percent), abs=0.00101)  # the source rounds or cuts the last digit


# Tsai & Hahn, Introduction to Composite Materials (1980), reduced stiffness in GPa, from memory
STIFFNESS = [
    ("T300/5208", "181.8", "10.35", "2.897"),
    ("AS/3501", "138.8", "9.013", "2.704"),
    ("Scotchply 1002", "39.17", "8.392", "2.182"),
]


@pytest.mark.parametrize(("name", "Q11", "Q22", "Q12"), STIFFNESS)
def test_reduced_stiffness(name, Q11, Q22, Q12):
    ply = lamina(name)
    free = 1 - ply.nu12 * ply.nu21
    assert ply.E1 / free / 1e9 == printed(Q11)
    assert ply.E2 / free / 1e9 == printed(Q22)
    assert ply.nu12 * ply.E2 / free / 1e9 == printed(Q12)


def test_minor_ratio():
    assert lamina("T300/5208").nu21 == printed("0.01593"), "Kaw (2006) ex. 2.6, from memory"


@pytest.mark.parametrize(
    ("attribute", "MPa"), [("Xt", "1500"), ("Xc", "1500"), ("Yt", "40"), ("Yc", "246"), ("S", "68")]
)
def test_strengths_of_the_textbook_ply(attribute, MPa):
    # Kaw (2006) table 2.1, page read
    assert getattr(lamina("T300/5208").allowables, attribute) / 1e6 == printed(MPa)


KSI = 6894757.293168


@pytest.mark.parametrize(
    ("name", "Ftu", "Fty", "E"),
    [
        ("4130 N tube", "95", "75", "29.0"),
        ("4340 180 ksi", "180", "163", "29.0"),
        ("17-4PH H1025", "155", "145", "28.5"),
        ("2024-T3 sheet", "64", "47", "10.5"),
        ("7075-T6 bar", "77", "66", "10.3"),
        ("6061-T6 sheet", "42", "36", "9.9"),
        ("Ti-6Al-4V bar", "130", "120", "16.9"),
        ("C63000 bar", "110", "68", "17.5"),
    ],
)
def test_metals_in_the_unit_of_their_handbook(name, Ftu, Fty, E):
    # MIL-HDBK-5H, and AMS 4640 for C63000, from memory: ksi and 1000 ksi
    alloy = metal(name)
    for value, text in ((alloy.Ftu / KSI, Ftu), (alloy.Fty / KSI, Fty), (alloy.E / KSI / 1000, E)):
        assert value == printed(text)
