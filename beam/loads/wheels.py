"""Wheels, tires and brakes: what their ratings must reach."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import foot, g, knot, pound, pound_force

from beam.loads.airplane import Airplane
from beam.loads.case import LEGS, GroundCase
from beam.loads.sheet_checks import HEAVIEST
from beam.loads.stance import CENTERS, Stance, split, stance
from materials.checks import Array, common_shape, number, one_of, reject
from materials.kinds import instance, instances
from materials.limits import between, positive

NOSE_TIRE_BRAKING = 0.31
"""Forward inertia factor of 23.733(b) [-]; the drop test of the nose unit has 0.33 (23.725(b))."""

BRAKE_ENERGY = 0.0443 * pound_force * foot / (pound * knot**2)
"""Printed 0.0443 ft lbf for each lb and knot squared; exactly one half would be 0.04427 [-]."""

FASTEST, KMH = 150.0, "given in km/h?"
"""No light airplane rolls faster [m/s]; common practice, no source."""


def static_wheel_loads(airplane: Airplane) -> tuple[float, float]:
    """Return the largest static reaction of one main wheel and of the nose wheel.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.

    Returns
    -------
    main, nose : float
        At maximum mass, each at the center of gravity that is worse for it [N].

    References
    ----------
    14 CFR 23.731(a), 23.733(a)(1) (through Amendment 23-62).
    """
    shares = [split(airplane.max_mass * g, at.nose_arm, at.main_arm) for at in _stances(airplane)]
    return max(float(mains) / 2 for _, mains in shares), max(float(nose) for nose, _ in shares)


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

    References
    ----------
    14 CFR 23.733(b) (through Amendment 23-62).
    """
    stances = _stances(airplane)
    weight = airplane.max_mass * g
    loads = [
        split(weight, at.nose_arm, at.main_arm, NOSE_TIRE_BRAKING * weight * at.height)[0] for at in stances
    ]
    return max(float(load) for load in loads)


def _stances(airplane: Airplane) -> list[Stance]:
    instance("airplane", airplane, Airplane)
    return [stance(airplane, cg) for cg in CENTERS]


def radial_limit_load(cases: Sequence[GroundCase], *legs: str) -> float:
    """Return the largest limit load in the plane of a wheel.

    Parameters
    ----------
    cases : sequence of GroundCase
        Ground cases.
    *legs : str
        "starboard", "port", "nose".

    Returns
    -------
    float
        Largest resultant of drag and vertical load [N].

    Raises
    ------
    ValueError
        If no case loads such a leg.

    References
    ----------
    14 CFR 23.731(b) (through Amendment 23-62).
    """
    for leg in legs:
        one_of("radial_limit_load: legs", leg, LEGS)
    loads = [
        np.hypot(wheel.Fx, wheel.Fz)
        for case in instances("radial_limit_load: cases", cases, GroundCase, least=0)
        if case.level == "limit"
        for wheel in case.wheels
        if wheel.leg in legs
    ]
    if not loads:
        reject("radial_limit_load: cases", "none", f"some that load {' or '.join(legs)}")
    return float(max(loads))


def brake_energy(mass: ArrayLike, speed: ArrayLike, braked_wheels: ArrayLike = 2) -> Array:
    """Return the kinetic energy one brake must absorb.

    Parameters
    ----------
    mass : array_like
        Design landing mass [kg].
    speed : array_like
        Not less than V_S0, power off, sea level, at landing mass [m/s].
    braked_wheels : array_like
        Main wheels with brakes [-].

    Returns
    -------
    ndarray
        Energy of one braked wheel [J].

    Raises
    ------
    ValueError
        If a value is not finite and positive, or there is no braked wheel.

    Notes
    -----
    KE = 0.0443 W V^2 / N in ft lbf, lb and knots: half of m V^2 over N, rounded up by 0.07 %.

    References
    ----------
    14 CFR 23.735(a)(1) (through Amendment 23-62).
    """
    m, v = _mass("brake_energy", mass), positive("brake_energy: speed [m/s]", speed, FASTEST, KMH)
    N = _wheels("brake_energy", braked_wheels)
    common_shape("brake_energy: mass, speed, braked_wheels", m.shape, v.shape, N.shape)
    return np.asarray(BRAKE_ENERGY * m * v**2 / N)


def stopping_distance(speed: ArrayLike, deceleration: ArrayLike) -> Array:
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
        V^2 / (2 a) [m].

    Raises
    ------
    ValueError
        If a value is not finite and positive.
    """
    v = positive("stopping_distance: speed [m/s]", speed, FASTEST, KMH)
    a = _deceleration("stopping_distance", deceleration)
    common_shape("stopping_distance: speed, deceleration", v.shape, a.shape)
    return np.asarray(v**2 / (2.0 * a))


def braking_torque(
    mass: ArrayLike, deceleration: ArrayLike, wheel_radius: ArrayLike, braked_wheels: ArrayLike = 2
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
    braked_wheels : array_like
        Main wheels with brakes [-].

    Returns
    -------
    ndarray
        m a r / N [N m].

    Raises
    ------
    ValueError
        If a value is not finite and positive, or there is no braked wheel.
    """
    m, a = _mass("braking_torque", mass), _deceleration("braking_torque", deceleration)
    r = positive("braking_torque: wheel_radius [m]", wheel_radius, 2.0, "given in mm or inches?")
    N = _wheels("braking_torque", braked_wheels)
    names = "mass, deceleration, wheel_radius, braked_wheels"
    common_shape(f"braking_torque: {names}", m.shape, a.shape, r.shape, N.shape)
    return np.asarray(m * a * r / N)


def skid_deceleration(airplane: Airplane, friction: float) -> float:
    """Return the deceleration at which both braked main wheels are about to skid.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; the forward center of gravity, which loads the mains least, governs.
    friction : float
        Coefficient of friction between tire and ground [-].

    Returns
    -------
    float
        Deceleration [m/s2].

    Raises
    ------
    ValueError
        If the friction is not between 0 and 1.5.

    Notes
    -----
    a = mu g a_n / (d + mu h): the braking unloads the mains as it loads the nose.
    """
    mu = number("skid_deceleration: friction [-]", friction, above=0.0, at_most=1.5)
    return min(mu * g * at.nose_arm / (at.wheelbase + mu * at.height) for at in _stances(airplane))


def _mass(owner: str, mass: ArrayLike) -> Array:
    return positive(f"{owner}: mass [kg]", mass, HEAVIEST, "given in pounds or newtons?")


def _wheels(owner: str, count: ArrayLike) -> Array:
    what, held = f"{owner}: braked_wheels [-]", between(f"{owner}: braked_wheels [-]", count, 1.0, 16.0)
    if (held % 1.0).any():
        reject(what, held.tolist(), "whole numbers")
    return held


def _deceleration(owner: str, deceleration: ArrayLike) -> Array:
    return positive(f"{owner}: deceleration [m/s2]", deceleration, 1.5 * g, "given in ft/s2?")
