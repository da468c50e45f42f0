"""23.723(b) and 23.729: reserve energy, and the gear in the air."""

import numpy as np
import pytest
from calls_loads import LEG as FULL
from loads_airplane import tourer
from numpy.testing import assert_allclose
from scipy.constants import g

from beam.loads import FlightGear, Landing, balance, ground_cases
from beam.loads.part23 import SYSTEM
from beam.loads.part23.extension_retraction import retraction

LANDING = Landing(load_factor=3.0)
LEG = FULL | {"side_area": None}


def test_mistake_factor_of_safety_on_reserve_energy():
    """The gear may yield but not fail: the row says ultimate; lift equals weight."""
    cases = ground_cases(tourer(), Landing(load_factor=3.0, reserve_load_factor=4.2), conditions=SYSTEM[:1])
    assert set(cases.level) == {"ultimate"}
    assert_allclose(cases.Fz, (4.2 - 1.0) * 1180.0 * g / 2, rtol=1e-14)
    assert (cases.Fx == 0).all()
    with pytest.raises(ValueError, match=r"reserve_load_factor.*23\.723"):
        ground_cases(tourer(), Landing(load_factor=3.0), conditions=SYSTEM)


def test_retraction_couples():
    """H = -I w about y; the couple on the leg is minus dH/dt, dH/dt = Omega x H; mirrored on the port leg."""
    airplane = tourer(flight_gear=FlightGear(**LEG))
    (case,) = [case for case in retraction(airplane, LANDING) if case.cg == "aft"]
    legs = {w.leg: w for w in case.wheels}
    H = np.array([0.0, -0.25 * 36.0 / 0.19, 0.0])
    couple = -np.cross([0.5, 0.0, -0.2], H) - np.array([0.0, 120.0, 0.0])
    star = legs["starboard"]
    assert_allclose([star.Mx, star.My, star.Mz], couple, rtol=1e-12)
    port = legs["port"]
    assert_allclose([port.Mx, port.My, port.Mz], couple * (-1, 1, -1), rtol=1e-12)
    assert star.Fx == pytest.approx(0.5 * 1.225 * (1.6 * 32.0) ** 2 * 0.06)
    assert star.Fz == pytest.approx(-2.0 * 14.0 * g)
    assert case.shock == "extended"
    assert case.strokes == (0.0,)
    with pytest.raises(ValueError, match="in flight"):
        balance(airplane, [case])[0]


def test_braking_torque_has_the_sense_of_ground_drag():
    """Stopping a wheel that rolls forward twists the leg as drag below the axle does."""
    airplane = tourer(flight_gear=FlightGear(**LEG))
    below_axle = np.cross([0, 0, -0.19], [1000.0, 0, 0])
    assert np.sign(retraction(airplane, LANDING)[0].wheels[0].My) == np.sign(below_axle[1])


def test_gear_out_in_flight():
    airplane = tourer(flight_gear=FlightGear(**LEG))
    cases = ground_cases(airplane, Landing(load_factor=3.0), conditions=SYSTEM[2:])
    drag = 0.5 * 1.225 * (1.6 * 32.0) ** 2 * 0.06
    assert_allclose(np.hypot(cases.Fx, cases.Fy), drag, rtol=1e-12)
    pull = cases[cases.condition == "gear out, pull-up"]
    assert_allclose(pull.Fz, -3.8 * 14.0 * g, rtol=1e-12)
    assert (pull.Fy == 0).all()
    port = cases[cases.condition == "gear out, wind from port"]
    assert_allclose(port.Fy, drag * np.sin(np.radians(12.0)), rtol=1e-12)
    assert_allclose(port.Fz, -14.0 * g, rtol=1e-12)
    with pytest.raises(ValueError, match=r"flight_gear.*23\.729"):
        ground_cases(tourer(), Landing(load_factor=3.0), conditions=SYSTEM[1:])


def test_a_leg_broadside_to_the_wind_has_its_own_area():
    """Yawed, the side force is that of the side area and the drag stays that of the drag area."""
    leg = FlightGear(**LEG | {"side_area": 0.15})
    cases = ground_cases(tourer(flight_gear=leg), Landing(load_factor=3.0), conditions=SYSTEM[2:])
    pressure = 0.5 * 1.225 * (1.6 * LEG["stall_speed_clean"]) ** 2
    yawed = cases[cases.condition == "gear out, wind from starboard"]
    assert_allclose(yawed.Fy, -pressure * 0.15 * np.sin(np.radians(12.0)), rtol=1e-12)
    assert_allclose(yawed.Fx, pressure * 0.06 * np.cos(np.radians(12.0)), rtol=1e-12)
