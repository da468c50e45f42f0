"""The drop-test plan: effective mass and travel agree, the predicted channels are the peaks of the drop."""

import sys
from dataclasses import replace

import numpy as np
import pytest
from gear_landing import GEAR, PLAN, plan
from scipy.constants import g

from beam.gear import Bottomed, plan_drop_test

MASS, HEIGHT, LIFT = PLAN["mass"], PLAN["height"], PLAN["lift_ratio"]


def test_effective_mass_and_travel_belong_together():
    found = plan()
    assert found.travel == pytest.approx(found.prediction.sink.max(), abs=1e-5)
    # 23.725(b) written out, at the height that gives the speed
    d = found.travel
    assert found.effective_mass == pytest.approx(MASS * (HEIGHT + (1 - LIFT) * d) / (HEIGHT + d), rel=1e-4)
    assert found.touchdown_speed**2 == pytest.approx(2 * g * HEIGHT)
    assert found.prediction.lift_ratio == 0
    assert found.wheel_speed * 0.20 == pytest.approx(35.0)


def test_the_rules_of_the_code_are_handed_in():
    # 23.725(e) written out, with n_j of the predicted record
    found = plan()
    n_j = found.prediction.acceleration.max() / g + 1
    assert found.load_factor == pytest.approx(n_j * found.effective_mass / MASS + LIFT, rel=1e-4)
    other = replace(found, load_factor_rule=lambda n, dropped, mass, lift: 10 * n + dropped / mass + lift)
    assert other.landing_factor(2.0, 250.0) == pytest.approx(20 + 0.5 + LIFT)
    with pytest.raises(ValueError, match=r"test_factor.*m/s2"):
        found.landing_factor(80.0, 250.0)


def test_the_descent_is_axle_travel_plus_tire():
    found = plan().prediction
    k = int(np.argmax(found.sink))
    rise = found.gear.axle(found.stroke[k])[2] - found.gear.axle(found.stroke[0])[2]
    assert found.sink[k] == pytest.approx(rise + found.tire_deflection[k], abs=1e-9)


def test_predicted_channels_are_the_peaks_of_the_drop():
    channels, found = plan().channels, plan().prediction
    peaks = {c.quantity.split(";")[0]: c.peak for c in channels}
    assert peaks["stroke of the shock"] == pytest.approx(found.max_stroke_used)
    assert peaks["vertical force on the platform"] == pytest.approx(found.peak_ground_force)
    assert peaks["acceleration dv/dt of the dropped mass, up"] == pytest.approx(
        found.acceleration.max(), rel=1e-4
    )
    assert peaks["descent of the dropped mass since touchdown"] == pytest.approx(plan().travel, rel=1e-6)
    assert all(c.full_scale == 1.5 * c.peak and 0 < c.time_of_peak <= 0.5 for c in channels)
    assert plan().sample_rate * found.time_to_peak == pytest.approx(200)


def test_a_drop_that_bottoms_is_no_plan():
    with pytest.raises(Bottomed):
        plan_drop_test(GEAR, **PLAN | {"height": 1.2})


@pytest.mark.parametrize("rule", [lambda *_: None, lambda *_: np.nan, lambda *_: [1.0, 2.0], lambda *_: -1.0])
def test_a_rule_that_gives_no_number_is_refused(rule):
    with pytest.raises(ValueError, match="load_factor_rule"):
        replace(plan(), load_factor_rule=rule).landing_factor(3.0, 300.0)
    with pytest.raises(ValueError, match="effective mass by rule"):
        plan_drop_test(GEAR, **PLAN | {"rule": rule})


def test_a_mass_that_does_not_settle_is_said(monkeypatch):
    monkeypatch.setattr(sys.modules[plan_drop_test.__module__], "ROUNDS", 2)
    masses = iter([300.0, 400.0])
    with pytest.raises(RuntimeError, match="do not settle; last 400 kg"):
        plan_drop_test(GEAR, **PLAN | {"rule": lambda *_: next(masses)})


def test_limits_of_a_load_factor():
    same = replace(plan(), load_factor_rule=lambda n, *_: n)
    assert same.landing_factor(50.0, 100.0) == 50.0
    with pytest.raises(ValueError, match="test_factor"):
        same.landing_factor(50.1, 100.0)
    more = replace(plan(), load_factor_rule=lambda n, *_: n + 0.1)
    with pytest.raises(ValueError, match="load factor by load_factor_rule"):
        more.landing_factor(50.0, 100.0)


def test_acceleration_is_asked_within_the_prediction():
    last = plan().prediction.time[-1]
    assert plan().acceleration_at([0.0, last]).shape == (2,)
    with pytest.raises(ValueError, match="where the prediction ends"):
        plan().acceleration_at(last + 1e-9)
