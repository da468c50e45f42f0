"""23.725 Limit drop tests and 23.727 Reserve energy drop: height, mass and load factor."""

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import foot, inch, pound_force

from beam.loads.airplane import Airplane
from beam.loads.sheet_checks import HEAVIEST, WING_LOADING
from beam.loads.stance import CENTERS, split, stance
from materials.checks import Array, array, common_shape, number, reject
from materials.limits import between, positive

PSF = pound_force / foot**2

MOST_LIFT = 0.667
"""Largest lift ratio of the limit drop [-]."""

NOSE_BRAKING = 0.33
"""Forward inertia factor at the c.g. that goes with 1 g down for the static load of the nose unit [-]."""

RESERVE_SPEED = 1.2
RESERVE_HEIGHT = 1.44
"""23.723(b) and 23.727(a): descent speed and drop height over those of the limit landing [-]."""


def check_wing_loading(owner: str, wing_loading: ArrayLike) -> Array:
    """Return wing loadings that light airplanes have.

    Parameters
    ----------
    owner : str
        Function that asks, for the message.
    wing_loading : array_like
        Weight per wing area W/S [Pa].

    Returns
    -------
    ndarray
        The same [Pa].

    Raises
    ------
    ValueError
        If one is outside the band of light airplanes.
    """
    low, high = WING_LOADING
    what, slip = f"{owner}: wing_loading [Pa]", "given in kg/m2 or lb/ft2?"
    return between(what, positive(what, wing_loading), low, high, slip)


def drop_height(wing_loading: ArrayLike) -> Array:
    """Return the free drop height of the limit drop test.

    Parameters
    ----------
    wing_loading : array_like
        Weight per wing area W/S [Pa].

    Returns
    -------
    ndarray
        Height [m].

    Raises
    ------
    ValueError
        If the wing loading is not positive, or outside the band of light airplanes.

    Notes
    -----
    h = 3.6 (W/S)^(1/2) in inches and lb/ft2, not below 9.2 in, and need not exceed 18.7 in. The height
    that gives the speed of 23.473(d) differs by up to 0.7 %, and so do the clamps: both are as printed.

    References
    ----------
    14 CFR 23.725(a) (through Amendment 23-62).
    """
    loading = check_wing_loading("drop_height", wing_loading) / PSF
    return np.asarray(np.clip(3.6 * np.sqrt(loading), 9.2, 18.7) * inch)


def reserve_drop_height(wing_loading: ArrayLike) -> Array:
    """Return the free drop height of the reserve energy test.

    Parameters
    ----------
    wing_loading : array_like
        Weight per wing area W/S [Pa].

    Returns
    -------
    ndarray
        Height [m].

    Raises
    ------
    ValueError
        If the wing loading is not positive, or outside the band of light airplanes.

    Notes
    -----
    1.44 times the height of the limit drop; the effective mass is that of this height and a lift ratio of 1.

    References
    ----------
    14 CFR 23.727 (through Amendment 23-62).
    """
    return RESERVE_HEIGHT * drop_height(wing_loading)


def effective_mass(mass: ArrayLike, height: ArrayLike, deflection: ArrayLike, lift_ratio: ArrayLike) -> Array:
    """Return the mass to drop so that a free drop does the work of a landing with wing lift.

    Parameters
    ----------
    mass : array_like
        Mass carried by the unit: half the airplane for one of two mains [kg].
    height : array_like
        Free drop height [m].
    deflection : array_like
        Tire deflection plus vertical axle travel relative to the drop mass, as measured [m].
    lift_ratio : array_like
        Lift over weight: at most 0.667 in the limit drop, 1 in the reserve energy drop [-].

    Returns
    -------
    ndarray
        Effective mass [kg].

    Raises
    ------
    ValueError
        If a mass, height or deflection is not positive, or the lift ratio is neither <= 0.667 nor 1.

    Notes
    -----
    W_e = W (h + (1 - L) d) / (h + d): the drop of W_e over h + d does the work of W with lift L W.

    References
    ----------
    14 CFR 23.725(b), 23.727(b) (through Amendment 23-62); the formula of 23.725(b) from memory, and
    derived from the energy balance.
    """
    m = positive("effective_mass: mass [kg]", mass, HEAVIEST, "given in pounds or newtons?")
    h = positive("effective_mass: height [m]", height, 5.0, "given in inches or mm?")
    d = positive("effective_mass: deflection [m]", deflection, 2.0, "given in inches or mm?")
    lift = array("effective_mass: lift_ratio [-]", lift_ratio)
    if not (((lift >= 0.0) & (lift <= MOST_LIFT)) | (lift == 1.0)).all():
        limit = "in [0, 0.667] for the limit drop (23.725(b)), or 1 for reserve energy (23.727)"
        reject("effective_mass: lift_ratio [-]", lift.tolist(), limit)
    names = "mass, height, deflection, lift_ratio"
    common_shape(f"effective_mass: {names}", m.shape, h.shape, d.shape, lift.shape)
    return np.asarray(m * (h + (1.0 - lift) * d) / (h + d))


def drop_load_factor(
    test_factor: ArrayLike, effective_mass: ArrayLike, mass: ArrayLike, lift_ratio: ArrayLike
) -> Array:
    """Return the inertia load factor at the c.g. that a drop test stands for.

    Parameters
    ----------
    test_factor : array_like
        n_j: peak dv/dt of the drop mass in g, plus 1 [-].
    effective_mass : array_like
        Mass dropped, W_e / g [kg].
    mass : array_like
        Mass carried by the unit in the airplane, W / g [kg].
    lift_ratio : array_like
        Lift over weight that the effective mass was made for [-].

    Returns
    -------
    ndarray
        Limit inertia load factor n [-].

    Notes
    -----
    n = n_j W_e / W + L.

    References
    ----------
    14 CFR 23.725(e) (through Amendment 23-62); from memory, and derived from the vertical balance.
    """
    slip = "given in pounds or newtons?"
    n_j = positive("drop_load_factor: test_factor [-]", test_factor, 30.0, "given in m/s2?")
    m_e = positive("drop_load_factor: effective_mass [kg]", effective_mass, HEAVIEST, slip)
    m = positive("drop_load_factor: mass [kg]", mass, HEAVIEST, slip)
    L = between("drop_load_factor: lift_ratio [-]", lift_ratio, 0.0, 1.0, "given in percent?")
    names = "test_factor, effective_mass, mass, lift_ratio"
    common_shape(f"drop_load_factor: {names}", n_j.shape, m_e.shape, m.shape, L.shape)
    return np.asarray(n_j * m_e / m + L)


def unit_masses(airplane: Airplane, mass: float) -> tuple[float, float]:
    """Return the mass W / g that one main unit and the nose unit carry in a drop test.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; the nose takes the center of gravity that loads it more.
    mass : float
        Airplane mass [kg].

    Returns
    -------
    main, nose : float
        Half the airplane, level with the nose wheel clear; and the vertical reaction of the nose under
        1.0 g down and 0.33 g forward at the c.g. [kg].

    Notes
    -----
    W_N = W (b + 0.33 h) / (a + b).

    References
    ----------
    14 CFR 23.725(b) (through Amendment 23-62).
    """
    at = [stance(airplane, cg) for cg in CENTERS]
    most, cause = airplane.max_mass * (1 + 1e-9), "more than its maximum mass; given in pounds?"
    mass = number("unit_masses: mass [kg]", mass, above=0.0, at_most=most, cause=cause)
    nose = max(
        float(split(mass, arms.nose_arm, arms.main_arm, NOSE_BRAKING * mass * arms.height)[0]) for arms in at
    )
    return mass / 2, nose
