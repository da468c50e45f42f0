"""Gear walk: the judgment against eigenvalues, the limit of a stiff tire, what is not covered."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beam.gear import gear_walk

LEG = {"stiffness": 5e5, "mass": 14.0, "wheel_inertia": 0.25, "rolling_radius": 0.19, "damping_ratio": 0.03}


def test_frequency_and_damping_are_those_of_the_eigenvalues():
    rng = np.random.default_rng(3)
    for _ in range(40):
        k, m, inertia, r = rng.uniform([1e5, 5, 0.05, 0.1], [3e6, 60, 1.0, 0.4])
        zeta, slope = rng.uniform(0, 0.1), rng.uniform(-60, 60, size=3)
        mode = gear_walk(stiffness=k, mass=m, wheel_inertia=inertia, rolling_radius=r, damping_ratio=zeta,
                         torque_slope=slope)  # fmt: skip
        M = m + inertia / r**2
        C = 2 * zeta * np.sqrt(k * M) + slope / r**2
        zero = np.zeros(3)
        A = np.array([[zero, zero + 1], [zero - k / M, -C / M]])
        found = np.linalg.eigvals(np.moveaxis(A, -1, 0))
        assert_allclose(mode.growth_rate, found.real.max(axis=1), rtol=1e-9, atol=1e-9)
        assert_allclose(mode.frequency, np.abs(found.imag).max(axis=1) / (2 * np.pi), rtol=1e-6, atol=1e-9)
        assert mode.stable == (found.real.max() < 0)
        assert mode.table.judgment.str.startswith("stable").tolist() == (found.real.max(axis=1) < 0).tolist()


@pytest.mark.parametrize("slope", [-12.0, -2.0, 0.0, 5.0])
def test_a_stiff_tire_that_slips_gives_the_same_mode(slope):
    """Axle, wheel and slip of their own: drag S (-v - r w) on a tire of growing slip stiffness S."""
    mode = gear_walk(**LEG, torque_slope=slope)
    k, m, inertia, r = LEG["stiffness"], LEG["mass"], LEG["wheel_inertia"], LEG["rolling_radius"]
    off = []
    for S in (1e6, 1e7):
        A = np.array(
            [
                [0, 1, 0],
                [-k / m, -(mode.free_damping + S) / m, -S * r / m],
                [0, -S * r / inertia, -(S * r**2 + slope) / inertia],
            ]
        )
        swings = np.linalg.eigvals(A)
        swings = swings[swings.imag > 0]
        assert len(swings) == 1
        want = complex(mode.growth_rate[0], 2 * np.pi * mode.frequency[0])
        off.append(abs(swings[0] - want) / abs(want))
    assert off[1] < 1e-3
    assert off[0] / off[1] == pytest.approx(10, rel=0.05)  # in the first power of 1 / S


def test_the_critical_slope_leaves_just_the_damping_asked_for():
    for least in (0.0, 0.01, 0.05):
        mode = gear_walk(**LEG, least_damping_ratio=least)
        for more, good in ((1e-6, True), (-1e-6, False)):
            judged = gear_walk(**LEG, torque_slope=mode.critical_slope + more, least_damping_ratio=least)
            assert judged.braked_damping_ratio[0] == pytest.approx(least, abs=1e-6)
            assert judged.stable is good
            assert judged.margin[0] == pytest.approx(0.0, abs=1e-6)
            assert ("gear walk" in judged.table.judgment[0]) is not good
    assert gear_walk(**LEG).critical_slope == pytest.approx(-gear_walk(**LEG).free_damping * 0.19**2)


def test_a_torque_without_slope_leaves_the_damping_of_the_free_wheel():
    mode = gear_walk(**LEG, torque_slope=0.0)
    assert mode.braked_damping_ratio.tolist() == [0.03]
    assert mode.moving_mass == pytest.approx(14.0 + 0.25 / 0.19**2)
    assert mode.natural_frequency == pytest.approx(np.sqrt(5e5 / mode.moving_mass) / 2 / np.pi)
    still = gear_walk(**LEG, torque_slope=1e4)
    assert still.frequency[0] == 0.0
    assert still.stable


def test_without_a_slope_the_walk_is_listed_as_not_covered():
    mode = gear_walk(**LEG)
    assert not mode.covered
    assert mode.stable is None
    assert mode.braked_damping_ratio is mode.frequency is mode.growth_rate is mode.margin is None
    row = mode.table.iloc[0]
    assert row.judgment.startswith("not covered: slope of the brake's torque")
    assert np.isnan(row["damping_ratio [-]"])
    assert row["frequency [Hz]"] == pytest.approx(mode.natural_frequency)
    assert row["critical_slope [N m s]"] == pytest.approx(mode.critical_slope)
