"""Wheels, tires and brakes: what their ratings must reach (23.731, 23.733, 23.735)."""

from collections.abc import Sequence
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import foot, g, knot, pound, pound_force

from beam.loads.airplane import CENTERS, HEAVIEST, Airplane
from beam.loads.case import GroundCase, Leg, resting
from beam.loads.stance import braked_nose_load, stance
from materials.checks import Array, Limits, broadcastable, checked, reject

NOSE_TIRE_BRAKING = 0.31
"""Forward inertia factor of 23.733(b) [-]; the drop test of the nose unit has 0.33 (23.725(b))."""

BRAKE_ENERGY = 0.0443 * pound_force * foot / (pound * knot**2)
"""Printed 0.0443 ft lbf for each lb and knot squared; exactly one half would be 0.04427 [-]."""

_Masses = Annotated[ArrayLike, Limits("kg", above=0.0, at_most=HEAVIEST, cause="given in pounds or newtons?")]
_Speeds = Annotated[ArrayLike, Limits("m/s", above=0.0, at_most=150.0, cause="given in km/h?")]
_Decelerations = Annotated[ArrayLike, Limits("m/s2", above=0.0, at_most=1.5 * g, cause="given in ft/s2?")]
_Brakes = Annotated[int, Limits("-", at_least=1, at_most=16)]


@checked
def nose_tire_load(airplane: Airplane) -> float:
    """Return the load the dynamic rating of the nose tire must reach.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.

    Returns
    -------
    float
        Nose reaction under 1.0 W down and 0.31 W forward at the worse center of gravity [N].

    Notes
    -----
    V_n = W (b + 0.31 h) / (a + b); the drag is at the braked main wheels, on the ground.
    Source: 14 CFR 23.733(b).

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> round(nose_tire_load(TOURER))
    4389
    """
    return braked_nose_load(airplane, airplane.max_mass * g, NOSE_TIRE_BRAKING)


@checked
def brake_energy(mass: _Masses, speed: _Speeds, braked_wheels: _Brakes = 2) -> Array:
    """Return the kinetic energy one brake must absorb.

    Parameters
    ----------
    mass : array_like
        Design landing mass [kg].
    speed : array_like
        Not less than V_S0, power off, sea level, at landing mass [m/s].
    braked_wheels : int
        Main wheels with brakes [-].

    Returns
    -------
    ndarray
        Energy of one braked wheel [J].

    Notes
    -----
    KE = 0.0443 W V^2 / N in ft lbf, lb and knots: half of m V^2 over N, rounded up by 0.07 %.
    Source: 14 CFR 23.735(a)(1).

    Examples
    --------
    >>> brake_energy(1180.0, [29.0, 32.0]).round(-2)
    array([248300., 302300.])
    """
    m, v = broadcastable(mass=mass, speed=speed)
    return np.asarray(BRAKE_ENERGY * m * v**2 / braked_wheels)


@checked
def stopping_distance(speed: _Speeds, deceleration: _Decelerations) -> Array:
    """Return the distance of a stop at constant deceleration.

    Parameters
    ----------
    speed : array_like
        Speed when the brakes come on [m/s].
    deceleration : array_like
        Mean deceleration [m/s2].

    Returns
    -------
    ndarray
        Distance [m].

    Notes
    -----
    V^2 / (2 a).

    Examples
    --------
    >>> stopping_distance(30.0, [2.5, 3.0])
    array([180., 150.])
    """
    v, a = broadcastable(speed=speed, deceleration=deceleration)
    return np.asarray(v**2 / (2.0 * a))


@checked
def braking_torque(
    mass: _Masses,
    deceleration: _Decelerations,
    wheel_radius: Annotated[ArrayLike, Limits("m", above=0.0, at_most=2.0, cause="given in mm or inches?")],
    braked_wheels: _Brakes = 2,
) -> Array:
    """Return the torque each brake needs for a deceleration, without help of drag or reverse thrust.

    Parameters
    ----------
    mass : array_like
        Airplane mass [kg].
    deceleration : array_like
        Deceleration [m/s2].
    wheel_radius : array_like
        Axle above the ground [m].
    braked_wheels : int
        Main wheels with brakes [-].

    Returns
    -------
    ndarray
        Torque of one brake [N m].

    Notes
    -----
    m a r / N.

    Examples
    --------
    >>> braking_torque(1180.0, 3.0, [0.19, 0.20])
    array([336.3, 354. ])
    """
    m, a, r = broadcastable(mass=mass, deceleration=deceleration, wheel_radius=wheel_radius)
    return np.asarray(m * a * r / braked_wheels)


def static_wheel_loads(airplane: Airplane) -> tuple[float, float]:
    """Largest static reaction of a main and of the nose wheel, each at its worse c.g.: 23.731(a), 23.733(a)(1) [N]."""
    static = [resting(airplane, cg) for cg in CENTERS]
    return max(loads["starboard"].Fz for loads in static), max(loads["nose"].Fz for loads in static)


def radial_limit_load(cases: Sequence[GroundCase], *legs: Leg) -> float:
    """Largest resultant of drag and vertical limit load of some legs: 23.731(b) [N]."""
    loads = [
        float(np.hypot(wheel.Fx, wheel.Fz))
        for case in cases
        if case.level == "limit"
        for wheel in case.wheels
        if wheel.leg in legs
    ]
    if not loads:
        reject("layout_table: conditions", "none", f"some that load {' or '.join(legs)}")
    return max(loads)


def skid_deceleration(airplane: Airplane, friction: float) -> float:
    """Deceleration at which both braked main wheels are about to skid, at the worse c.g. [m/s2]."""
    # the braking unloads the mains as it loads the nose: a = mu g a_n / (d + mu h)
    stances = [stance(airplane, cg) for cg in CENTERS]
    return min(friction * g * at.nose_arm / (at.wheelbase + friction * at.height) for at in stances)
