import dataclasses

import pytest
from numpy.testing import assert_allclose

from materials import Fiber, Matrix, Source, halpin_tsai, unidirectional

GLASS = Fiber(
    name="E-glass", E1=85e9, E2=85e9, G12=85e9 / 2.4, nu12=0.2, density=2500.0, alpha1=5e-6, alpha2=5e-6,
    source=Source("fiber sheet"),
)  # fmt: skip
EPOXY = Matrix(
    name="epoxy", E=3.4e9, nu=0.3, density=1200.0, alpha=63e-6, beta=0.33, source=Source("resin sheet")
)


def test_ply_of_one_material_is_that_material():
    solid = Fiber(
        name="epoxy", E1=3.4e9, E2=3.4e9, G12=EPOXY.G, nu12=0.3, density=1200.0, alpha1=63e-6, alpha2=63e-6,
        source=Source("resin sheet"),
    )  # fmt: skip
    ply = unidirectional(solid, EPOXY, name="solid", fiber_volume=0.5, areal_weight=0.3)
    assert_allclose((ply.E1, ply.E2, ply.G12), (3.4e9, 3.4e9, EPOXY.G), rtol=1e-12)
    assert (ply.nu12, ply.density) == pytest.approx((0.3, 1200.0), rel=1e-12)
    assert (ply.alpha1, ply.alpha2) == pytest.approx((63e-6, 63e-6), rel=1e-12)


def test_swelling_is_referred_to_the_moisture_of_the_ply():
    # Nearly all matrix: the ply holds what the matrix holds, and swells as it does.
    ply = unidirectional(GLASS, EPOXY, name="lean", fiber_volume=1e-6, areal_weight=1e-6)
    assert (ply.beta1, ply.beta2) == pytest.approx((0.33, 0.33), rel=1e-4)


def test_symmetry_is_used_and_nothing_else_is_made_up():
    ply = unidirectional(GLASS, EPOXY, name="glass", fiber_volume=0.6, areal_weight=0.3)
    assert ply.G13 == ply.G12
    assert ply.G23 is None
    assert ply.allowables is None
    assert ply.stress_free_temperature is None
    assert ply.thickness == pytest.approx(0.3 / 2500.0 / 0.6, rel=1e-14)
    assert "fiber sheet" in ply.source.note
    assert "resin sheet" in ply.source.note


def test_reinforcing_factors_reach_their_moduli():
    ply = unidirectional(
        GLASS,
        EPOXY,
        name="glass",
        fiber_volume=0.6,
        areal_weight=0.3,
        reinforcement_E2=1.5,
        reinforcement_G12=1.2,
    )
    wanted = (
        halpin_tsai(85e9, 3.4e9, 0.6, reinforcement=1.5),
        halpin_tsai(85e9 / 2.4, EPOXY.G, 0.6, reinforcement=1.2),
    )
    assert_allclose((ply.E2, ply.G12), wanted, rtol=1e-15)


def test_anisotropic_fiber_keeps_its_axes():
    # A carbon fiber shrinks along itself and grows across; with little matrix the ply does the same.
    carbon = Fiber(
        name="carbon", E1=230e9, E2=15e9, G12=24e9, nu12=0.2, density=1780.0, alpha1=-0.7e-6, alpha2=10e-6,
        source=Source("fiber sheet"),
    )  # fmt: skip
    ply = unidirectional(carbon, EPOXY, name="carbon", fiber_volume=0.9, areal_weight=0.3)
    assert -0.7e-6 < ply.alpha1 < 0.0
    # Vf (a2f + nu f a1f) + Vm (1 + nu m) am - a1 nu12, by hand
    by_hand = 0.9 * (10e-6 - 0.2 * 0.7e-6) + 0.1 * 1.3 * 63e-6 - ply.alpha1 * (0.9 * 0.2 + 0.1 * 0.3)
    assert ply.alpha2 == pytest.approx(by_hand, rel=1e-12)
    assert 15e9 > ply.E2 > 3.4e9
    assert 24e9 > ply.G12 > EPOXY.G


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"E1": 85.0}, "GPa"), ({"E2": 0.0}, "> 0"), ({"G12": float("nan")}, "finite"),
        ({"density": 2.5}, "g/cm"), ({"alpha1": 5.0}, "1e-6/K"), ({"nu12": 0.9, "E1": 1e10}, "swapped"),
        ({"name": ""}, "name"), ({"source": "sheet"}, "a Source"),
    ],
)  # fmt: skip
def test_fiber_refuses(change, message):
    with pytest.raises(ValueError, match=message):
        dataclasses.replace(GLASS, **change)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"E": 3.4}, "GPa"), ({"nu": 0.5}, "nu"), ({"density": 1.2}, "g/cm"), ({"alpha": 63.0}, "1e-6/K"),
        ({"beta": 33.0}, "mass fraction"), ({"source": None}, "a Source"),
    ],
)  # fmt: skip
def test_matrix_refuses(change, message):
    with pytest.raises(ValueError, match=message):
        dataclasses.replace(EPOXY, **change)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"fiber_volume": 60.0}, "percent"),
        ({"fiber_volume": 0.0}, "> 0"),
        ({"areal_weight": 300.0}, "g/m"),
        ({"fiber": EPOXY}, "fiber: got Matrix.*must be of type Fiber"),
        ({"stress_free_temperature": 80.0}, "degC"),
    ],
)
def test_unidirectional_refuses(change, message):
    given = {
        "fiber": GLASS,
        "matrix": EPOXY,
        "name": "ply",
        "fiber_volume": 0.6,
        "areal_weight": 0.3,
    } | change
    with pytest.raises(ValueError, match=message):
        unidirectional(given.pop("fiber"), given.pop("matrix"), **given)
