import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.integrate import quad

from materials import (
    diffusivity,
    equilibrium_moisture,
    moisture_profile,
    moisture_uptake,
)

PLATE = {"thickness": 2e-3, "diffusivity": 4e-13}
DAY = 86400.0
TAU_UNIT = 2e-3**2 / 4e-13  # time at which D t / h^2 = 1


def uptake_fraction(time, **plate):
    """Share of the way to equilibrium."""
    return moisture_uptake(time, **plate, equilibrium=0.1) / 0.1


@settings(deadline=None, max_examples=30)
@given(tau=st.floats(1e-6, 1.5))
def test_uptake_is_the_mean_of_the_profile(tau):
    t = tau * TAU_UNIT
    ends = {"equilibrium": 0.015, "initial": 0.002}
    mean = (
        quad(
            lambda s: float(moisture_profile(s * 2e-3, t, **PLATE, **ends)), 0, 0.5, epsabs=1e-12, limit=200
        )[0]
        * 2
    )
    assert moisture_uptake(t, **PLATE, **ends) == pytest.approx(mean, abs=1e-9)


def test_short_and_long_time_forms_meet():
    around = 0.01 * TAU_UNIT * np.array([1 - 1e-12, 1 + 1e-12])
    G = uptake_fraction(around, **PLATE)
    assert G[1] - G[0] == pytest.approx(0.0, abs=1e-11)
    x = np.linspace(0, 2e-3, 9)
    c = moisture_profile(x[:, None], around, **PLATE, equilibrium=0.015)
    assert np.abs(np.diff(c, axis=-1)).max() < 1e-12


def test_against_finite_differences():
    # Crank-Nicolson in 400 cells, an independent solution of dc/dt = D d2c/dx2.
    n, steps, tau = 400, 800, 0.2
    a = np.zeros((n, n))
    i = np.arange(n)
    a[i, i], a[i[1:], i[:-1]], a[i[:-1], i[1:]] = -2.0, 1.0, 1.0
    a[0, 0] = a[-1, -1] = -3.0  # the face lies half a cell away
    r = tau / steps * n**2 / 2.0
    push = np.zeros(n)
    push[0] = push[-1] = 2.0
    left, right = np.eye(n) - r * a, np.eye(n) + r * a
    inverse = np.linalg.inv(left)
    c = np.zeros(n)
    for _ in range(steps):
        c = inverse @ (right @ c + 2.0 * r * push)
    assert uptake_fraction(tau * TAU_UNIT, **PLATE) == pytest.approx(c.mean(), abs=2e-5)
    x = (i + 0.5) / n * 2e-3
    assert_allclose(moisture_profile(x, tau * TAU_UNIT, **PLATE, equilibrium=0.01), 0.01 * c, atol=2e-7)


def test_limits():
    assert uptake_fraction(0.0, **PLATE) == 0.0
    assert uptake_fraction(50 * TAU_UNIT, **PLATE) == 1.0
    assert moisture_uptake(0.0, **PLATE, equilibrium=0.01, initial=0.004) == 0.004
    assert moisture_uptake(9e9, **PLATE, equilibrium=0.0, initial=0.004) == pytest.approx(0.0, abs=1e-15)


@settings(deadline=None, max_examples=40)
@given(t=st.floats(0, 1e8), more=st.floats(1.0, 3.0))
def test_uptake_rises_between_0_and_1(t, more):
    early, late = uptake_fraction([t, more * t], **PLATE)
    assert 0.0 <= early <= late + 1e-12 <= 1.0 + 2e-12


def test_one_face_is_half_of_a_plate_twice_as_thick():
    t = 30 * DAY
    one = uptake_fraction(t, thickness=1e-3, diffusivity=4e-13, faces=1)
    assert one == pytest.approx(float(uptake_fraction(t, **PLATE)), rel=1e-14)
    x = np.array([0.0, 3e-4, 1e-3])
    assert_allclose(
        moisture_profile(x, t, thickness=1e-3, diffusivity=4e-13, equilibrium=0.01, faces=1),
        moisture_profile(x, t, **PLATE, equilibrium=0.01),
    )


def test_profile_is_symmetric_and_saturated_at_the_faces():
    x = np.linspace(0, 2e-3, 11)
    for t in (0.5 * DAY, 100 * DAY):
        c = moisture_profile(x, t, **PLATE, equilibrium=0.01, initial=0.001)
        assert_allclose(c, c[::-1], rtol=1e-11)
        assert c[0] == pytest.approx(0.01, rel=1e-12)
        assert c.argmin() == 5


def test_broadcast_is_the_loop():
    t, h, D = (
        np.array([1.0, 20.0, 300.0])[:, None, None] * DAY,
        np.array([[1e-3], [4e-3]]),
        np.array([2e-13, 9e-13]),
    )
    whole = moisture_uptake(t, thickness=h, diffusivity=D, equilibrium=0.012)
    assert whole.shape == (3, 2, 2)
    for place in np.ndindex(3, 2, 2):
        one = moisture_uptake(
            float(t[place[0], 0, 0]),
            thickness=float(h[place[1], 0]),
            diffusivity=float(D[place[2]]),
            equilibrium=0.012,
        )
        assert whole[place] == pytest.approx(float(one), rel=1e-14)


@pytest.mark.parametrize("k", [2.0, 3.0])
def test_units_of_time_and_length(k):
    # [D] = m^2/s: length k times, time l times, diffusivity k^2/l times leaves the share as it is.
    share = uptake_fraction(3e6, **PLATE)
    assert uptake_fraction(5 * 3e6, thickness=2e-3 * k, diffusivity=4e-13 * k**2 / 5) == pytest.approx(
        float(share)
    )


def test_equilibrium_and_arrhenius():
    assert equilibrium_moisture([0.0, 0.5, 1.0], saturation=0.015) == pytest.approx([0.0, 0.0075, 0.015])
    assert equilibrium_moisture(0.5, saturation=0.016, exponent=2.0) == pytest.approx(0.004)
    D = diffusivity([300.0, 350.0], prefactor=6.5e-6, activation_temperature=5700.0)
    assert np.log(D[1] / D[0]) == pytest.approx(5700.0 * (1 / 300 - 1 / 350))
    assert D[0] == pytest.approx(6.5e-6 * np.exp(-19.0))


@pytest.mark.parametrize("faces", [1, 2])
def test_a_depth_beyond_the_plate_is_refused(faces):
    with pytest.raises(ValueError, match="beyond the plate, must be from 0 to the thickness"):
        moisture_profile([1e-3, 2.001e-3], DAY, **PLATE, equilibrium=0.01, faces=faces)
    assert moisture_profile(2e-3, DAY, **PLATE, equilibrium=0.01, faces=faces).shape == ()
