"""The comparison of a drop: a perfect record gives the prediction back, known errors are found."""

from dataclasses import replace

import numpy as np
import pytest
from gear_landing import PLAN, columns, plan
from numpy.testing import assert_allclose
from scipy.constants import g, pound_force
from scipy.interpolate import CubicSpline
from scipy.optimize import brentq

from beam.gear import DropRecord, compare_drop

MASS, LIFT = PLAN["mass"], PLAN["lift_ratio"]


def record(**changes):
    return DropRecord(**(columns() | changes))


def test_a_perfect_record_gives_the_prediction_back():
    found = compare_drop(plan(), record())
    assert found.load_factor == pytest.approx(plan().load_factor, rel=1e-4)
    assert found.load_factor_ratio == pytest.approx(1.0, rel=1e-4)
    by_force = plan().prediction.peak_ground_force / (MASS * g) + LIFT
    assert found.load_factor_by_force == pytest.approx(by_force, rel=1e-4)
    assert found.travel == pytest.approx(plan().travel, rel=1e-3)
    assert found.mass_needed == pytest.approx(plan().effective_mass, rel=1e-3)
    for error in found.channels.values():
        assert error.peak_ratio == pytest.approx(1.0, abs=2e-4)
        assert abs(error.delay) < 3e-4
        assert error.rms < 2e-3


def test_known_errors_are_found_again():
    made = columns()
    stretched = 0.95 * made["stroke"]
    wave = 300.0 * np.sin(2 * np.pi * 100 * made["time"])
    found = compare_drop(plan(), record(stroke=stretched, force=made["force"] * 1.05))
    assert found.channels["stroke"].peak_ratio == pytest.approx(0.95, rel=1e-3)
    assert found.channels["force"].peak_ratio == pytest.approx(1.05, rel=1e-3)
    assert found.channels["force"].peak[0] == pytest.approx(
        1.05 * plan().prediction.peak_ground_force, rel=1e-3
    )
    # the root mean square of a sine is its size over sqrt(2)
    down = made["time"] > made["time"][0] + 0.06
    shaken = compare_drop(plan(), record(force=made["force"] + np.where(down, wave, 0.0)))
    error = shaken.channels["force"]
    assert error.rms == pytest.approx(300 / np.sqrt(2) / error.peak[1], rel=0.05)
    # a stroke that lags by 5 ms
    late = np.interp(made["time"] - 5e-3, made["time"], made["stroke"])
    assert compare_drop(plan(), record(stroke=late)).channels["stroke"].delay == pytest.approx(5e-3, abs=3e-4)


def test_the_clock_of_the_record_does_not_matter():
    one, other = (compare_drop(plan(), DropRecord(**columns(clock=clock))) for clock in (-3.0, 40.0))
    assert_allclose(one.time, other.time, atol=1e-9)
    assert one.load_factor == other.load_factor


def test_load_factor_counts_the_mass_that_was_dropped():
    found = compare_drop(plan(), record(), mass=1.1 * plan().effective_mass)
    assert found.load_factor - LIFT == pytest.approx(1.1 * (plan().load_factor - LIFT), rel=1e-4)


def test_less_descent_than_planned_asks_for_more_mass():
    made = columns()
    down = made["time"] >= 1.7
    found = compare_drop(plan(), record(acceleration=made["acceleration"] + 1.0 * down))
    assert found.travel < plan().travel
    assert found.mass_needed > plan().effective_mass


def test_force_and_mass_that_do_not_fit_are_refused():
    for wrong in (1 / pound_force, pound_force):
        with pytest.raises(ValueError, match="another unit of force, or another mass"):
            compare_drop(plan(), record(force=columns()["force"] * wrong))
    with pytest.raises(ValueError, match="another mass"):
        compare_drop(plan(), record(), mass=2 * plan().effective_mass)
    with pytest.raises(ValueError, match="past the predicted peak"):
        compare_drop(plan(), DropRecord(**columns(end=0.03)))
    with pytest.raises(
        ValueError, match=r"200 samples a second .* must be >= .*too coarse.*with the bandwidth"
    ):
        compare_drop(plan(), DropRecord(**columns(rate=200.0)))


def test_the_rule_of_the_plan_gives_the_load_factor():
    other = replace(plan(), load_factor_rule=lambda n, dropped, mass, lift: 10 * n + dropped / mass + lift)
    n_j = float(record().acceleration.max()) / g + 1
    found = compare_drop(other, record())
    assert found.load_factor == pytest.approx(10 * n_j + found.mass / MASS + LIFT)


@pytest.mark.parametrize("rate", [200.0, 500.0])
def test_a_coarse_record_is_accepted_with_its_bandwidth_and_error_bars(rate):
    made = columns(rate=rate)
    coarse, fine = (
        compare_drop(plan(), DropRecord(**made, bandwidth=rate / 6)),
        compare_drop(plan(), record()),
    )
    for name, channel in coarse.channels.items():
        assert channel.peak_error == coarse.record.peak_error(name) > 0
        assert channel.peak[0] <= fine.channels[name].peak[0] * (1 + 1e-9)
        assert fine.channels[name].peak[0] <= channel.peak[0] + channel.peak_error
    assert coarse.load_factor <= fine.load_factor <= coarse.load_factor + coarse.load_factor_error
    n_j = coarse.load_factor_error * MASS / coarse.mass  # 23.725(e): n = n_j W_e / W + L
    assert n_j == pytest.approx(coarse.channels["acceleration"].peak_error / g)
    assert abs(coarse.travel - plan().travel) <= coarse.travel_error
    said = " ".join(coarse.assumptions)
    assert "accepted on request" in said
    assert f"no content above {rate / 6:g} Hz" in said


def test_the_error_of_the_descent_is_its_formula():
    found = compare_drop(plan(), DropRecord(**columns(rate=500.0), bandwidth=50.0))
    h, w = 1 / 500, 2 * np.pi * 50.0
    A = 0.5 * np.ptp(found.record.acceleration) / np.cos(np.pi * 50.0 / 500)
    after = found.time >= 0
    time = np.append(0.0, found.time[after])
    rise = np.append(-g, found.record.acceleration[after])
    T = brentq(lambda t: plan().touchdown_speed - CubicSpline(time, rise).integrate(0.0, t), 0.05, 0.29)
    bound = w**2 * A * h**2 * T**2 / 24 + w * A * h**2 * T / 12 + plan().touchdown_speed * h
    assert found.travel_error == pytest.approx(bound, rel=5e-3)  # the lowest point is known to a time step


def test_a_fine_record_has_no_error_bars():
    found = compare_drop(plan(), record())
    assert found.load_factor_error == found.travel_error == 0.0
    assert found.assumptions == ()
    assert all(channel.peak_error == 0.0 for channel in found.channels.values())
