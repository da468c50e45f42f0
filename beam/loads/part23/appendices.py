"""Appendix C: the drag of a basic landing condition. Appendix D: the drag that spins a wheel up."""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import pound

from beam.loads.airplane import HEAVIEST
from materials.checks import Array, Frozen, Limits, broadcastable, checked

MOST_DRAG = 0.8
"""Spin-up drag need not exceed this part of the peak vertical load, Appendix D (b) [-]."""

_RADIUS = Limits("m", at_least=1e-3, at_most=2.0, cause="given in mm?")
_TIME = Limits("s", at_least=1e-6, at_most=2.0, cause="given in ms?")
_UNITS = "given in other units?"


@checked
def drag_factor(
    mass: Annotated[
        ArrayLike, Limits("kg", above=0.0, at_most=HEAVIEST, cause="given in pounds or newtons?")
    ],
) -> Array:
    """Return K, the drag of a landing over n W.

    Parameters
    ----------
    mass : array_like
        Airplane mass [kg].

    Returns
    -------
    ndarray
        K [-].

    Notes
    -----
    K = 0.25 up to 3,000 lb, 0.33 from 6,000 lb, linear between. The drag of both mains is K n W with the inertia
    factor n, not the reaction factor n - L, so it also meets the 25 % of the vertical reaction without wing lift
    that 23.479(b) asks for. Drag over vertical reaction is K n / (n - L).
    Source: 14 CFR Part 23 Appendix C, Note 1.

    Examples
    --------
    >>> drag_factor([1240.0, 2000.0]).round(3)
    array([0.25 , 0.288])
    """
    return np.asarray(np.interp(np.asarray(mass) / pound, [3000.0, 6000.0], [0.25, 0.33]))


class SpinUp(Frozen, eq=True):
    """One wheel and its tire, as they meet the ground.

    Parameters
    ----------
    wheel_inertia : float
        Moment of inertia of the rolling assembly of one wheel about its axle [kg m2].
    rolling_radius : float
        Effective rolling radius under impact [m].
    time_to_peak : float
        Time from contact to the peak vertical load [s].
    friction : float
        Coefficient of friction; 0.8 may be used, less needs evidence of one's own [-].
    pre_rotation : float
        Circumferential speed of the tire before contact [m/s].

    Notes
    -----
    `spin_up_drag` gives the drag of such a wheel.
    Source: 14 CFR Part 23 Appendix D.

    Examples
    --------
    >>> SpinUp(wheel_inertia=0.25, rolling_radius=0.17, time_to_peak=0.1).friction
    0.8
    """

    wheel_inertia: Annotated[float, Limits("kg m2", at_least=1e-5, at_most=100.0, cause=_UNITS)]
    rolling_radius: Annotated[float, _RADIUS]
    time_to_peak: Annotated[float, _TIME]
    friction: Annotated[float, Limits("-", at_least=1e-9, at_most=0.8, cause="23.479(b) assumes 0.8")] = 0.8
    pre_rotation: Annotated[
        float,
        Limits("m/s", at_least=0.0, at_most=150.0, cause="only rotation that lessens the spin-up counts"),
    ] = 0.0


@checked
def spin_up_drag(
    peak_vertical: Annotated[ArrayLike, Limits("N", at_least=0.0, cause="up is positive")],
    ground_speed: Annotated[ArrayLike, Limits("m/s", at_least=0.0, at_most=150.0, cause="given in km/h?")],
    *,
    wheel_inertia: Annotated[ArrayLike, Limits("kg m2", at_least=0.0, at_most=100.0, cause=_UNITS)],
    rolling_radius: Annotated[ArrayLike, _RADIUS],
    time_to_peak: Annotated[ArrayLike, _TIME],
    friction: Annotated[ArrayLike, Limits("-", at_least=1e-9, at_most=2.0)] = 0.8,
    pre_rotation: Annotated[
        ArrayLike, Limits("m/s", at_least=0.0, at_most=150.0, cause="given in km/h?")
    ] = 0.0,
) -> tuple[Array, Array]:
    """Return the drag at the end of spin-up and the vertical load at that instant.

    Parameters
    ----------
    peak_vertical : array_like
        F_Vmax: peak vertical load on the wheel, n_j W_e [N].
    ground_speed : array_like
        V_H: speed along the ground at contact, 1.2 V_S0 [m/s].
    wheel_inertia : array_like
        I_w: rolling assembly about its axle [kg m2].
    rolling_radius : array_like
        r_e: effective rolling radius under impact [m].
    time_to_peak : array_like
        t_s: from contact to the peak vertical load [s].
    friction : array_like
        mu: coefficient of friction (the n of the printed formula; not a load factor) [-].
    pre_rotation : array_like
        V_C: circumferential speed of the tire before contact [m/s].

    Returns
    -------
    drag, vertical : ndarray
        Drag at the end of spin-up and vertical load then [N].

    Notes
    -----
    F_H = (1/r_e) sqrt(2 I_w (V_H - V_C) mu F_V / t_s), at most 0.8 F_V. The vertical load rises linearly and drag
    is mu times it, so at the end of spin-up it is F_H / mu, at most F_V.
    Source: 14 CFR Part 23 Appendix D.

    Examples
    --------
    >>> drag, vertical = spin_up_drag(
    ...     9000.0, 34.8, wheel_inertia=0.13, rolling_radius=0.2, time_to_peak=[0.08, 0.12]
    ... )
    >>> drag.round(), vertical.round()
    (array([4512., 3684.]), array([5640., 4605.]))
    """
    peak, speed, inertia, radius, time, mu, before = broadcastable(
        peak_vertical=peak_vertical,
        ground_speed=ground_speed,
        wheel_inertia=wheel_inertia,
        rolling_radius=rolling_radius,
        time_to_peak=time_to_peak,
        friction=friction,
        pre_rotation=pre_rotation,
    )
    formula = np.sqrt(2.0 * inertia * np.maximum(speed - before, 0.0) * mu * peak / time) / radius
    drag = np.minimum(formula, MOST_DRAG * peak)
    return drag, np.minimum(drag / mu, peak)
