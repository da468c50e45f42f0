"""Closed-form limits of a landing: printed values derived outside the code from the formulas beside them."""

import numpy as np
import pytest
from gears import linear_spring, upright_gear
from printed import printed
from scipy.constants import g

from beam.gear import AirSpring, Orifice, drop, orifice_coefficient
from beam.gear.tire_laws import smiley_horne_ratio

MASS, SPEED = 1019.368, 3.0
"""W = 10 kN with g = 9.81 m/s2, the case of the reference values."""


@pytest.mark.parametrize(
    ("lift_ratio", "peak"),
    [(1.0, "42.835"), (2 / 3, "46.298"), (0.0, "53.987")],
    # F = W' + sqrt(W'^2 + k m V^2), W' = (1 - L) W, k = 200 kN/m; derived
)
def test_rigid_mass_on_a_linear_spring(lift_ratio, peak):
    # the reference takes g = 9.81: keep its weight of 10 kN and its energy m V^2 / 2 with the g of this code
    mass = 10e3 / g
    speed = SPEED * np.sqrt(MASS / mass)
    gear = upright_gear(spring=linear_spring(200e3))
    found = drop(gear, mass=mass, speed=speed, lift_ratio=lift_ratio, method="Radau", rtol=1e-8)
    assert found.peak_ground_force / 1e3 == printed(peak)


def test_orifice_alone():
    # c = 5000 N s2/m2, lift = W: m v' = - c v |v|, so v = V exp(-c s / m); derived
    gear = upright_gear(
        spring=AirSpring(pressure=0.0, volume=1.0, area=1e-6, exponent=1.0, ambient_pressure=0.0),
        damper=Orifice(compression=5000.0, extension=5000.0),
    )
    # it never stops: follow it to the reference stroke and a little beyond
    found = _follow(gear, lift_ratio=1.0, duration=0.2)
    stroke, rate, force = found.forces.stroke, found.forces.stroke_rate, found.forces.shock
    assert force.max() / 1e3 == printed("45.0")
    when = _time_at(found, 0.2)
    at = found.forces_at(when)
    assert float(at.stroke_rate) == printed("1.12481")
    assert float(at.shock) / 1e3 == printed("6.3260")
    assert stroke.max() < 0.5 and (rate[10:] > 0).all()


def _follow(gear, *, lift_ratio, duration):
    from beam.gear.from_gear import touchdown, unit_of
    from beam.gear.history import integrate

    return integrate(
        unit_of(gear, mass=MASS, lift_ratio=lift_ratio, ground_speed=0.0),
        touchdown(gear, SPEED),
        duration=duration,
        max_stroke=gear.shock.max_stroke,
        stop_at_bottom=False,
        rtol=1e-9,
        method="Radau",
    )


def _time_at(history, stroke):
    from scipy.optimize import brentq

    return brentq(lambda t: float(history.forces_at(t).stroke) - stroke, 0.0, history.time[-1], xtol=1e-14)


def test_frictionless_air_spring_alone():
    # p0 1.5 MPa, V0 2e-3 m3, area 6e-3 m2, n 1.1, no outside pressure, lift = W:
    # m V^2 / 2 = p0 V0 [(V0 / (V0 - A s))^(n - 1) - 1] / (n - 1); derived
    spring = AirSpring(pressure=1.5e6, volume=2e-3, area=6e-3, exponent=1.1, ambient_pressure=0.0)
    gear = upright_gear(spring=spring, max_stroke=0.3)
    assert float(spring.force(0.0)) / 1e3 == printed("9.0")
    found = drop(gear, mass=MASS, speed=SPEED, lift_ratio=1.0, method="Radau", rtol=1e-8)
    assert found.max_stroke_used == printed("0.252991")
    assert found.peak_ground_force / 1e3 == printed("43.050")


def test_orifice_coefficient():
    # rho Ah^3 / (2 (Cd A0)^2); derived
    found = orifice_coefficient(density=860, hydraulic_area=4e-3, orifice_area=6e-5, discharge_coefficient=0.9)
    assert found == printed("9437.586")


@pytest.mark.parametrize(("x", "ratio"), [(0.05, "0.0660"), (0.10, "0.1680"), (0.20, "0.4080"), (0.30, "0.6480")])
def test_smiley_and_horne_vertical_load(x, ratio):
    # R. F. Smiley, W. B. Horne, NASA TR R-64 (1960): equations from memory, values evaluated from them; Cz = 0.03
    assert float(smiley_horne_ratio(x, 0.03)) == printed(ratio)
