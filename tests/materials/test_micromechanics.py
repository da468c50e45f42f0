import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from materials import Fiber, Matrix, Source, halpin_tsai, mixture, unidirectional
from materials.micromechanics import expansions

GLASS = Fiber(
    name="E-glass", E1=85e9, E2=85e9, G12=85e9 / 2.4, nu12=0.2, density=2500.0, alpha1=5e-6, alpha2=5e-6,
    source=Source("fiber sheet"),
)  # fmt: skip
EPOXY = Matrix(
    name="epoxy", E=3.4e9, nu=0.3, density=1200.0, alpha=63e-6, beta=0.33, source=Source("resin sheet")
)
modulus = st.floats(1e9, 5e11)
share = st.floats(0.0, 0.9)


@pytest.mark.parametrize("rule", [mixture, lambda f, m, v: halpin_tsai(f, m, v, reinforcement=2.0)])
def test_all_matrix_all_fiber_and_one_material(rule):
    assert rule(85e9, 3.4e9, 0.0) == pytest.approx(3.4e9, rel=1e-14)
    assert rule(85e9, 3.4e9, 1.0) == pytest.approx(85e9, rel=1e-12)
    assert rule(5e9, 5e9, 0.37) == pytest.approx(5e9, rel=1e-14)


@settings(deadline=None, max_examples=60)
@given(f=modulus, m=modulus, v=share, xi=st.floats(0.01, 100))
def test_halpin_tsai_lies_between_its_limits(f, m, v, xi):
    middle = halpin_tsai(f, m, v, reinforcement=xi)
    harmonic = 1 / (v / f + (1 - v) / m)
    assert harmonic <= middle * (1 + 1e-12)
    assert middle <= mixture(f, m, v) * (1 + 1e-12)
    assert halpin_tsai(f, m, v, reinforcement=0.0) == pytest.approx(harmonic, rel=1e-10)
    assert halpin_tsai(f, m, v, reinforcement=1e12) == pytest.approx(float(mixture(f, m, v)), rel=1e-6)


@settings(deadline=None, max_examples=40)
@given(f=modulus, m=modulus, v=share)
def test_shear_with_xi_one_is_the_cylinder_assemblage(f, m, v):
    # Hashin & Rosen (1964), exact for the composite cylinder assemblage: a second way to xi = 1.
    exact = m * (f * (1 + v) + m * (1 - v)) / (f * (1 - v) + m * (1 + v))
    assert halpin_tsai(f, m, v, reinforcement=1.0) == pytest.approx(exact, rel=1e-12)


def constituents(ef, em, nf=0.2, nm=0.35):
    fiber = dataclasses.replace(GLASS, E1=ef, E2=ef, G12=ef / 2 / (1 + nf), nu12=nf)
    return fiber, dataclasses.replace(EPOXY, E=em, nu=nm)


@settings(deadline=None, max_examples=40)
@given(ef=modulus, em=modulus, v=st.floats(0.05, 0.9), af=st.floats(-2e-6, 9e-6), am=st.floats(2e-5, 9e-5))
def test_longitudinal_expansion_leaves_no_net_force(ef, em, v, af, am):
    a1, _ = expansions(*constituents(ef, em), v, (af, 5e-6), am)
    assert v * ef * (a1 - af) + (1 - v) * em * (a1 - am) == pytest.approx(0.0, abs=1e-9 * em * am)


def test_equal_constituents_expand_as_one():
    assert expansions(*constituents(70e9, 3e9), 0.6, (3e-5, 3e-5), 3e-5) == pytest.approx(
        (3e-5, 3e-5), rel=1e-13
    )


def test_transverse_expansion_is_schapery_for_isotropic_fibers():
    v, af, am, nf, nm = 0.55, 5e-6, 6e-5, 0.2, 0.35
    a1, a2 = expansions(*constituents(72e9, 3.5e9, nf, nm), v, (af, af), am)
    schapery = (1 + nf) * af * v + (1 + nm) * am * (1 - v) - a1 * (nf * v + nm * (1 - v))
    assert a2 == pytest.approx(schapery, rel=1e-13)


def test_moduli_scale_with_their_unit():
    assert_allclose(
        halpin_tsai(85e3, 3.4e3, 0.6, reinforcement=2.0) * 1e6,
        halpin_tsai(85e9, 3.4e9, 0.6, reinforcement=2.0),
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
    [({"nu12": 0.9, "E1": 1e10}, "below sqrt.*swapped"), ({"E2": 1.6e8}, "E1, E2.*within a factor of 500")],
)
def test_fiber_refuses_values_that_do_not_go_together(change, message):
    with pytest.raises(ValueError, match=message):
        dataclasses.replace(GLASS, **change)
