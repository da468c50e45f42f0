import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from materials import halpin_tsai, longitudinal_expansion, mixture, series, transverse_expansion

modulus = st.floats(1e9, 5e11)
share = st.floats(0.0, 0.9)


@pytest.mark.parametrize("rule", [mixture, series, lambda f, m, v: halpin_tsai(f, m, v, reinforcement=2.0)])
def test_all_matrix_all_fiber_and_one_material(rule):
    assert rule(85e9, 3.4e9, 0.0) == pytest.approx(3.4e9, rel=1e-14)
    assert rule(85e9, 3.4e9, 1.0) == pytest.approx(85e9, rel=1e-12)
    assert rule(5e9, 5e9, 0.37) == pytest.approx(5e9, rel=1e-14)


@settings(deadline=None, max_examples=60)
@given(f=modulus, m=modulus, v=share, xi=st.floats(0.01, 100))
def test_halpin_tsai_lies_between_its_limits(f, m, v, xi):
    middle = halpin_tsai(f, m, v, reinforcement=xi)
    assert series(f, m, v) <= middle * (1 + 1e-12)
    assert middle <= mixture(f, m, v) * (1 + 1e-12)
    assert halpin_tsai(f, m, v, reinforcement=0.0) == pytest.approx(float(series(f, m, v)), rel=1e-10)
    assert halpin_tsai(f, m, v, reinforcement=1e12) == pytest.approx(float(mixture(f, m, v)), rel=1e-6)


@settings(deadline=None, max_examples=40)
@given(f=modulus, m=modulus, v=share)
def test_shear_with_xi_one_is_the_cylinder_assemblage(f, m, v):
    # Hashin & Rosen (1964), exact for the composite cylinder assemblage: a second way to xi = 1.
    exact = m * (f * (1 + v) + m * (1 - v)) / (f * (1 - v) + m * (1 + v))
    assert halpin_tsai(f, m, v, reinforcement=1.0) == pytest.approx(exact, rel=1e-12)


@settings(deadline=None, max_examples=40)
@given(ef=modulus, em=modulus, v=st.floats(0.05, 0.9), af=st.floats(-2e-6, 9e-6), am=st.floats(2e-5, 9e-5))
def test_longitudinal_expansion_leaves_no_net_force(ef, em, v, af, am):
    a1 = longitudinal_expansion(af, am, v, fiber_modulus=ef, matrix_modulus=em)
    assert v * ef * (a1 - af) + (1 - v) * em * (a1 - am) == pytest.approx(0.0, abs=1e-9 * em * am)


def test_equal_constituents_expand_as_one():
    a1 = longitudinal_expansion(3e-5, 3e-5, 0.6, fiber_modulus=70e9, matrix_modulus=3e9)
    a2 = transverse_expansion(
        3e-5, 3e-5, 0.6, fiber_along=3e-5, fiber_poisson=0.2, matrix_poisson=0.35, along=a1
    )
    assert (a1, a2) == (pytest.approx(3e-5, rel=1e-13), pytest.approx(3e-5, rel=1e-13))


def test_transverse_expansion_is_schapery_for_isotropic_fibers():
    v, af, am, nf, nm, ef, em = 0.55, 5e-6, 6e-5, 0.2, 0.35, 72e9, 3.5e9
    a1 = longitudinal_expansion(af, am, v, fiber_modulus=ef, matrix_modulus=em)
    a2 = transverse_expansion(af, am, v, fiber_along=af, fiber_poisson=nf, matrix_poisson=nm, along=a1)
    printed = (1 + nf) * af * v + (1 + nm) * am * (1 - v) - a1 * (nf * v + nm * (1 - v))
    assert a2 == pytest.approx(printed, rel=1e-13)


def test_broadcast_is_the_loop():
    f, m, v = np.array([70e9, 230e9])[:, None], np.array([3e9, 4e9, 5e9]), 0.6
    whole = halpin_tsai(f, m, v, reinforcement=2.0)
    assert whole.shape == (2, 3)
    loop = [[float(halpin_tsai(a, b, v, reinforcement=2.0)) for b in m] for a in f[:, 0]]
    assert_allclose(whole, loop, rtol=1e-15)


def test_moduli_scale_with_their_unit():
    assert_allclose(
        halpin_tsai(85e3, 3.4e3, 0.6, reinforcement=2.0) * 1e6,
        halpin_tsai(85e9, 3.4e9, 0.6, reinforcement=2.0),
    )


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: mixture(1.0, 2.0, 60.0), "percent"),
        (lambda: mixture(1.0, 2.0, -0.1), "fiber_volume"),
        (lambda: mixture(np.nan, 2.0, 0.6), "finite"),
        (lambda: mixture([1.0, 2.0], [1.0] * 3, 0.6), "broadcastable"),
        (lambda: series(0.0, 2.0, 0.6), "> 0"),
        (lambda: series([1.0, 2.0], [1.0] * 3, 0.6), "broadcastable"),
        (lambda: halpin_tsai(1.0, -2.0, 0.6, reinforcement=2.0), "> 0"),
        (lambda: halpin_tsai(1.0, 2.0, 0.6, reinforcement=-1.0), "reinforcement"),
        (lambda: halpin_tsai([1.0, 2.0], 1.0, 0.6, reinforcement=[1.0] * 3), "broadcastable"),
        (lambda: longitudinal_expansion(1e-6, 2e-6, 0.6, fiber_modulus=0.0, matrix_modulus=1.0), "> 0"),
        (
            lambda: longitudinal_expansion(
                [1e-6] * 2, [2e-6] * 3, 0.6, fiber_modulus=1.0, matrix_modulus=1.0
            ),
            "broadcastable",
        ),
        (
            lambda: transverse_expansion(
                [1e-6] * 2,
                2e-6,
                0.6,
                fiber_along=[1e-6] * 3,
                fiber_poisson=0.2,
                matrix_poisson=0.3,
                along=1e-6,
            ),
            "broadcastable",
        ),
    ],
)
def test_refuses(call, message):
    with pytest.raises(ValueError, match=message):
        call()
