"""23.725 Limit drop tests and 23.727 Reserve energy drop: height, mass and load factor."""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import foot, inch, pound_force

from beam.loads.airplane import HEAVIEST, WING_LOADING, Airplane, Mass, check_within_max_mass
from beam.loads.stance import braked_nose_load
from materials.checks import Array, Limits, broadcastable, checked, reject

PSF = pound_force / foot**2

MOST_LIFT = 0.667
"""Largest lift ratio of the limit drop [-]."""

NOSE_BRAKING = 0.33
"""Forward inertia factor at the c.g. that goes with 1 g down for the static load of the nose unit [-]."""

RESERVE_HEIGHT = 1.44
"""23.727(a): drop height over that of the limit drop [-]."""

WingLoadings = Annotated[ArrayLike, WING_LOADING]
_Masses = Annotated[ArrayLike, Limits("kg", above=0.0, at_most=HEAVIEST, cause="given in pounds or newtons?")]
_SLIP = "given in inches or mm?"


@checked
def drop_height(wing_loading: WingLoadings) -> Array:
    """Return the free drop height of the limit drop test.

    Parameters
    ----------
    wing_loading : array_like
        Weight per wing area W/S [Pa].

    Returns
    -------
    ndarray
        Height [m].

    Notes
    -----
    h = 3.6 (W/S)^(1/2) in inches and lb/ft2, not below 9.2 in, and need not exceed 18.7 in. The height that gives
    the speed of 23.473(d) differs by up to 0.7 %, and so do the clamps: both are as printed.
    Source: 14 CFR 23.725(a).

    Examples
    --------
    >>> drop_height([600.0, 1000.0]).round(4)
    array([0.3237, 0.4179])
    """
    return np.asarray(np.clip(3.6 * np.sqrt(np.asarray(wing_loading) / PSF), 9.2, 18.7) * inch)


@checked
def reserve_drop_height(wing_loading: WingLoadings) -> Array:
    """Return the free drop height of the reserve energy test.

    Parameters
    ----------
    wing_loading : array_like
        Weight per wing area W/S [Pa].

    Returns
    -------
    ndarray
        Height [m].

    Notes
    -----
    1.44 times the height of the limit drop; the effective mass is that of this height and a lift ratio of 1.
    Source: 14 CFR 23.727.

    Examples
    --------
    >>> reserve_drop_height([600.0, 1000.0]).round(4)
    array([0.4661, 0.6018])
    """
    return RESERVE_HEIGHT * drop_height(wing_loading)


@checked
def effective_mass(
    mass: _Masses,
    height: Annotated[ArrayLike, Limits("m", above=0.0, at_most=5.0, cause=_SLIP)],
    deflection: Annotated[ArrayLike, Limits("m", above=0.0, at_most=2.0, cause=_SLIP)],
    lift_ratio: Annotated[ArrayLike, Limits("-", at_least=0.0, at_most=1.0, cause="given in percent?")],
) -> Array:
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
        If the lift ratio is neither <= 0.667 nor 1, or the shapes do not fit.

    Notes
    -----
    W_e = W (h + (1 - L) d) / (h + d): the drop of W_e over h + d does the work of W with lift L W.
    Source: 14 CFR 23.725(b), 23.727(b); the formula of 23.725(b) from memory, and derived from the energy balance.

    Examples
    --------
    >>> effective_mass(590.0, 0.38, 0.30, [2 / 3, 1.0]).round(1)
    array([416.5, 329.7])
    """
    m, h, d, lift = broadcastable(mass=mass, height=height, deflection=deflection, lift_ratio=lift_ratio)
    between = lift[(lift > MOST_LIFT) & (lift != 1.0)]
    if between.size:
        limit = "at most 0.667 in the limit drop (23.725(b)), or 1 for reserve energy (23.727)"
        reject("effective_mass: lift_ratio [-]", between.flat[0], limit)
    return np.asarray(m * (h + (1.0 - lift) * d) / (h + d))


@checked
def drop_load_factor(
    test_factor: Annotated[ArrayLike, Limits("-", above=0.0, at_most=30.0, cause="given in m/s2?")],
    effective_mass: _Masses,
    mass: _Masses,
    lift_ratio: Annotated[ArrayLike, Limits("-", at_least=0.0, at_most=1.0, cause="given in percent?")],
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
    Source: 14 CFR 23.725(e); from memory, and derived from the vertical balance.

    Examples
    --------
    >>> drop_load_factor(3.2, [416.5, 430.0], 590.0, 2 / 3).round(3)
    array([2.926, 2.999])
    """
    n_j, m_e, m, L = broadcastable(
        test_factor=test_factor, effective_mass=effective_mass, mass=mass, lift_ratio=lift_ratio
    )
    return np.asarray(n_j * m_e / m + L)


@checked
def unit_masses(airplane: Airplane, mass: Mass) -> tuple[float, float]:
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
        Half the airplane, level with the nose wheel clear; and the vertical reaction of the nose under 1.0 g down
        and 0.33 g forward at the c.g. [kg].

    Raises
    ------
    ValueError
        If the mass is above the maximum mass.

    Notes
    -----
    W_N = W (b + 0.33 h) / (a + b).
    Source: 14 CFR 23.725(b).

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> main, nose = unit_masses(TOURER, 1180.0)
    >>> main, round(nose, 1)
    (590.0, 438.2)
    """
    check_within_max_mass("unit_masses: mass [kg]", airplane, mass)
    return mass / 2, braked_nose_load(airplane, mass, NOSE_BRAKING)
