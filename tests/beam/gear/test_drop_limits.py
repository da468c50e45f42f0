"""Closed-form limits of a landing: printed values derived outside the code from the formulas beside them.

No worked example of an oleo's drop or of a spin-up from NACA or NASA stands here. The drop of Milwitzky and Cook
(NACA TN 2755, TR 1154) is the one to have: some of its data could be recalled, its printed results could not, and
half an example is none. In its place: each limit of the oleo with an answer in closed form (spring, orifice, gas,
each alone), the printed figures of Appendix D to 14 CFR 23 as what the spin-up comes to in the dynamics, Lagrange's
equations derived from positions (test_equations), Duhamel's integral for the spring-back (test_drop_spin_up), and
the balances of energy and momentum of any landing (test_drop). Who has the report at hand: this is where its
numbers go.
"""

from dataclasses import replace

import numpy as np
import pytest
from gears import linear_spring, upright_gear
from printed import printed
from scipy.constants import foot, g, knot, lbf

from beam.gear import AirSpring, GroundFriction, Orifice, drop, orifice_coefficient
from beam.gear.motion.equations import Setup, touchdown
from beam.gear.motion.history import integrate
from beam.gear.parts.tire import smiley_horne_ratio

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
    # the spring is shock and tire in a row
    tire = 1e9
    gear = upright_gear(spring=linear_spring(1 / (1 / 200e3 - 1 / tire)), tire_stiffness=tire)
    found = drop(
        gear, mass=mass, speed=speed, lift_ratio=lift_ratio, method="LSODA", rtol=1e-7, duration=0.15
    )
    assert found.peak_ground_force / 1e3 == printed(peak)


def test_orifice_alone():
    # c = 5000 N s2/m2, lift = W: m v' = - c v |v|, so v = V exp(-c s / m); derived. It comes to a stroke s
    # at t = (m / (c V)) (exp(c s / m) - 1), where the history is made to end: integrated there, not interpolated
    c, s = 5000.0, 0.2
    end = MASS / (c * SPEED) * np.expm1(c * s / MASS)
    gear = upright_gear(
        spring=AirSpring(pressure=0.0, volume=0.05, area=1e-6, exponent=1.0, ambient_pressure=0.0),
        damper=Orifice(compression=c, extension=c),
        tire_stiffness=1e11,
    )
    found = _follow(gear, duration=end)
    _, peak = found.peak(lambda t: found.forces_at(t).shock)
    assert peak / 1e3 == printed("45.0")
    at = found.forces_at(end)
    assert float(at.stroke) == pytest.approx(s, rel=1e-5)
    assert float(at.stroke_rate) == printed("1.12481")
    assert float(at.shock) / 1e3 == printed("6.3260")
    assert (found.forces.stroke_rate[1:] > 0).all()


def _follow(gear, *, duration, mass=MASS, speed=SPEED, ground_speed=0.0, method="Radau"):
    """The motion itself, lift = W, where `drop` would refuse a unit that does not stop."""
    setup = Setup(gear=gear, mass=mass, lift_ratio=1.0, ground_speed=ground_speed)
    return integrate(setup, touchdown(setup.unit, speed), duration=duration, rtol=1e-7, method=method)


def test_spin_up_of_appendix_d_comes_out_of_the_dynamics():
    # 14 CFR 23 Appendix D: F_H = (1/r_e) sqrt(2 I_w V_H mu F_V / t_s) at t_1 = t_s F_H / (mu F_V). Values derived from
    # it: I_w 0.08 slug ft2, r_e 0.45 ft, V_H 1.2 x 45 kt, mu 0.8, F_V 1500 lb, t_s 0.15 s. Its load rises in proportion
    # to time: a linear tire under a mass too large to be slowed
    speed, slug_ft2 = 1.0, lbf * foot
    rise = 1500 * lbf / 0.15
    # tire and shock in a row have the stiffness that makes it so
    shock = 1e8
    tire = 1 / (speed / rise - 1 / shock)
    gear = upright_gear(spring=linear_spring(shock), tire_stiffness=tire, wheel_mass=1.0)
    gear = replace(
        gear,
        wheel_inertia=0.08 * slug_ft2,
        rolling_radius=0.45 * foot,
        friction=GroundFriction(slip=(0.0, 1e-6, 1.0), coefficient=(0.0, 0.8, 0.8)),
        tire=replace(gear.tire, damping=0.0),
    )
    found = _follow(gear, duration=0.1, mass=1e10, speed=speed, ground_speed=1.2 * 45 * knot, method="LSODA")
    time, drag = found.peak(lambda t: found.forces_at(t).drag)
    assert drag / lbf == printed("759.02")
    assert time == printed("0.0949")
    assert float(found.forces_at(time).ground) / lbf == printed("948.8")


def test_frictionless_air_spring_alone():
    # p0 1.5 MPa, V0 2e-3 m3, area 6e-3 m2, n 1.1, no outside pressure, lift = W:
    # m V^2 / 2 = p0 V0 [(V0 / (V0 - A s))^(n - 1) - 1] / (n - 1); derived
    spring = AirSpring(pressure=1.5e6, volume=2e-3, area=6e-3, exponent=1.1, ambient_pressure=0.0)
    gear = upright_gear(spring=spring, max_stroke=0.3, tire_stiffness=1e11)
    assert float(spring.force(0.0)) / 1e3 == printed("9.0")
    found = drop(gear, mass=MASS, speed=SPEED, lift_ratio=1.0, method="Radau", rtol=1e-7, duration=0.15)
    assert found.max_stroke_used == printed("0.252991")
    assert found.peak_ground_force / 1e3 == printed("43.050")


def test_orifice_coefficient():
    # rho Ah^3 / (2 (Cd A0)^2); derived
    found = orifice_coefficient(
        density=860, hydraulic_area=4e-3, orifice_area=6e-5, discharge_coefficient=0.9
    )
    assert found == printed("9437.586")


@pytest.mark.parametrize(
    ("x", "ratio"), [(0.05, "0.0660"), (0.10, "0.1680"), (0.20, "0.4080"), (0.30, "0.6480")]
)
def test_smiley_and_horne_vertical_load(x, ratio):
    # R. F. Smiley, W. B. Horne, NASA TR R-64 (1960): equations from memory, values evaluated from them; Cz = 0.03
    assert float(smiley_horne_ratio(x, 0.03)) == printed(ratio)
