"""Slips that leave a number possible but wrong: degrees, percent, another file, a drop cut short."""

from dataclasses import replace

import numpy as np
import pytest
from gear_calls import DOOR, GEAR, RETRACTING, SWINGING, plan

from beam.gear import Curve, DoorRod, RetractingGear, Tire, drop, read_drop, swing


@pytest.mark.parametrize(
    "name", ["actuator_length", "actuator_arm", "weight_moment", "air_moment", "held_moment"]
)
def test_turn_in_degrees(name):
    more = {"dynamic_pressure": 1500.0} if name == "air_moment" else {}
    with pytest.raises(ValueError, match=r"angle.*degrees"):
        getattr(RETRACTING, name)(90.0, **more)


def test_turn_of_the_door_in_degrees():
    with pytest.raises(ValueError, match=r"angle.*degrees"):
        DoorRod(**DOOR).moment(RETRACTING.axis, 90.0)


@pytest.mark.parametrize("last", [90.0, 100.0])
def test_curves_are_over_the_part_of_the_turn(last):
    """Held at its end values, a curve over degrees would give the force of the first degree all the way."""
    with pytest.raises(ValueError, match=r"DoorRod: force.*degrees"):
        DoorRod(**DOOR | {"force": Curve(x=[0.0, last], y=[0.0, 400.0])})
    with pytest.raises(ValueError, match=r"exposure.*degrees"):
        RetractingGear(**SWINGING | {"exposure": Curve(x=[0.0, last], y=[1.0, 0.0])})


@pytest.mark.parametrize("share", [-0.1, 1.1, 50.0])
def test_exposure_is_a_part(share):
    with pytest.raises(ValueError, match=r"exposure.*percent"):
        RetractingGear(**SWINGING | {"exposure": Curve(x=[0.0, 1.0], y=[share, 0.0])})


def test_centers_in_millimeters():
    with pytest.raises(ValueError, match=r"center.*mm"):
        RetractingGear(**SWINGING | {"center": [[50.0, 100.0, -800.0], [0.0, 20.0, -400.0]]})


def test_a_swing_of_no_time():
    with pytest.raises(ValueError, match="duration"):
        swing(RETRACTING, duration=1e-5)


@pytest.mark.parametrize("duration", [1e-6, 2e-3, 0.03])
def test_a_drop_cut_short_is_no_load_factor(duration):
    with pytest.raises(RuntimeError, match="longer duration"):
        drop(GEAR, mass=500.0, speed=2.5, lift_ratio=2 / 3, duration=duration)


@pytest.mark.parametrize("rule", [lambda *_: None, lambda *_: np.nan, lambda *_: [1.0, 2.0], lambda *_: -1.0])
def test_a_rule_that_gives_no_load_factor(rule):
    with pytest.raises(ValueError, match="load_factor_rule"):
        replace(plan(), load_factor_rule=rule).landing_factor(3.0, 300.0)


def test_a_workbook_for_a_csv_file(tmp_path):
    path = tmp_path / "drop.xlsx"
    path.write_bytes(bytes(range(256)))
    with pytest.raises(ValueError, match="UTF-8"):
        read_drop(path)


def test_pressures_in_two_units():
    with pytest.raises(ValueError, match=r"pressure.*rated"):
        Tire.smiley_horne(
            width=0.16, diameter=0.44, pressure=2.9e6, rated_pressure=2.9e5, bottoming_deflection=0.1
        )
