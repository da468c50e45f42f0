import math

import pytest

from materials import Metal, Source, metal

GOOD = {
    "name": "steel", "E": 200e9, "nu": 0.3, "density": 7850.0, "alpha": 11e-6, "Ftu": 655e6, "Fty": 517e6,
    "Fcy": 517e6, "basis": "specification", "source": Source("mill certificate"),
}  # fmt: skip


def test_shear_modulus_is_the_isotropic_one():
    # E, G and nu of one isotropic solid: 200 GPa and 0.25 make 80 GPa.
    assert math.isclose(Metal(**GOOD | {"nu": 0.25}).G, 80e9, rel_tol=1e-14)


def test_ply_is_isotropic_and_yields_after_von_mises():
    ply = Metal(**GOOD).lamina(1e-3)
    assert (ply.E1, ply.alpha1, ply.G13, ply.G23) == (ply.E2, ply.alpha2, ply.G12, ply.G12)
    assert math.isclose(ply.G12, ply.E1 / 2 / (1 + ply.nu12), rel_tol=1e-14)
    a = ply.allowables
    assert (a.Xt, a.Yt, a.Xc, a.Yc) == (517e6,) * 4
    assert math.isclose(3 * a.S**2, a.Xt**2, rel_tol=1e-14)
    assert math.isclose(a.e1t, 517e6 / 200e9, rel_tol=1e-14)
    assert a.basis == "specification"
    assert "von Mises" in a.source.note


def test_ply_needs_yield_in_compression():
    with pytest.raises(ValueError, match="no Fcy"):
        metal("17-4PH H1025").lamina(1e-3)


def test_yield_is_not_above_ultimate():
    with pytest.raises(ValueError, match=r"Fty.*<= Ftu = 6.55e"):
        Metal(**GOOD | {"Fty": 655.1e6})
    assert Metal(**GOOD | {"Fty": 655e6}).Fty == 655e6


def test_bearing_strength_over_the_edge_distance():
    sheet = metal("2024-T3 sheet")
    assert sheet.bearing_strength(1.5) == (sheet.Fbru_1_5, sheet.Fbry_1_5)
    assert sheet.bearing_strength(2.0) == sheet.bearing_strength(3.0) == (sheet.Fbru, sheet.Fbry)
    half = sheet.bearing_strength(1.75)
    assert math.isclose(half[0], (sheet.Fbru + sheet.Fbru_1_5) / 2, rel_tol=1e-12)
    assert math.isclose(half[1], (sheet.Fbry + sheet.Fbry_1_5) / 2, rel_tol=1e-12)
    tube = metal("4130 N tube")
    assert tube.bearing_strength(2.0) == (tube.Fbru, tube.Fbry)
    with pytest.raises(ValueError, match=r"Fbru_1_5.*None.*given for this check"):
        tube.bearing_strength(1.9)
    with pytest.raises(ValueError, match=r"edge_ratio.*>= 1.5"):
        sheet.bearing_strength(1.4)


def test_single_values_have_their_own_source():
    bar = metal("7075-T6 bar")
    assert "check before use" in bar.source_of("Fsu").note
    assert bar.source_of("Ftu") == bar.source
    with pytest.raises(ValueError, match=r"name.*Fxx"):
        bar.source_of("Fxx")
    with pytest.raises(ValueError, match="of its values"):
        Metal(**GOOD, sources=[("Fxx", Source("nowhere"))])


def test_a_missing_strength_is_named():
    assert metal("4130 N tube").need("Fsu") == metal("4130 N tube").Fsu
    with pytest.raises(ValueError, match=r"17-4PH.*Fsu.*handbook"):
        metal("17-4PH H1025").need("Fsu")


@pytest.mark.parametrize(
    ("low", "high"),
    [("Fbry", "Fbru"), ("Fbry_1_5", "Fbru_1_5"), ("Fbru_1_5", "Fbru"), ("Fty_across", "Ftu_across")],
)
def test_strengths_in_the_wrong_order_are_named(low, high):
    with pytest.raises(ValueError, match=f"{low} .*<= {high}"):
        Metal(**GOOD | {low: 401e6, high: 400e6})


def test_grain_across_is_not_stronger_than_along():
    with pytest.raises(ValueError, match=r"Ftu_across .*<= Ftu "):
        Metal(**GOOD | {"Ftu_across": 656e6})
