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
        metal("7075-T6 bar").lamina(1e-3)


def test_yield_is_not_above_ultimate():
    with pytest.raises(ValueError, match=r"Fty.*<= Ftu = 6.55e"):
        Metal(**GOOD | {"Fty": 655.1e6})
    assert Metal(**GOOD | {"Fty": 655e6}).Fty == 655e6
